"""Traces, gauges and words of the film in Chromium, each place and figure worked out again here from the data sent.

The component's own page is mounted without a server. A film of plain curves, known beforehand, is looked at dot by dot;
films of the demonstration plan are looked at for words that cover each other.
"""

from __future__ import annotations

import base64
import itertools
import json
import re
from collections.abc import Callable, Iterator, Sequence
from typing import Any

import numpy as np
import pytest

import harness
from heave.files.rigs import demo_plan
from heave.judging.assessment import assess
from heave.screens.figures.look import DARK, LIGHT, Look
from heave.screens.figures.sides import Side
from heave.screens.film import component, payload
from heave.simulation.comparisons import band_of, for_the_bit, variants
from heave.simulation.scenario import Happening, Scenario, run
from heave.units import display_value, unit_of

pytestmark = pytest.mark.browser

Film = dict[str, Any]
Dot = tuple[int, int, int]

LISTENING = """
function listen(paper) {
  const write = paper.fillText;
  paper.fillText = function (text, x, y) {
    const size = parseFloat(this.font.match(/([\\d.]+)px/)[1]);
    const width = this.measureText(text).width;
    const left = x - width * ({center: 0.5, right: 1}[this.textAlign] || 0);
    window.written.push({text, left, right: left + width, top: y - 0.73 * size, bottom: y + 0.02 * size,
                         canvas: `${this.canvas.width}x${this.canvas.height}`});
    return write.call(this, text, x, y);
  };
  for (const name of ['stroke', 'fill', 'fillRect']) {
    const done = paper[name];
    paper[name] = function (...given) { window.strokes.push(this.canvas); return done.apply(this, given); };
  }
}
if (!window.written) listen(CanvasRenderingContext2D.prototype);
window.written = [];  // every word that is put on a canvas, with its box and the size of that canvas
window.strokes = [];  // every canvas that is drawn on, a stroke or a fill each
window.mounted = false;
"""


def film_page(film: Film) -> str:
    """A page with nothing on it but the film."""
    ground, module = film["look"]["ground"], component.module()
    mount = module.replace("export default function", "const mountFilm = function")
    return (
        f"<!doctype html><meta charset='utf-8'><style>body {{ margin: 8px; background: {ground} }}"
        f"{component.style()}</style>"
        f"<body>{component.markup()}<script>{LISTENING}</script><script type='module'>{mount}\n"
        "window.rests = [];\n"
        f"mountFilm({{ data: {json.dumps(film)}, parentElement: document.body, "
        "setStateValue: (name, value) => window.rests.push(value) });\nwindow.mounted = true;</script>"
    )


def mounted(page: Any, film: Film, width: int = 1024) -> Any:
    """The page with this film on it, so wide."""
    page.set_viewport_size({"width": width, "height": 900})
    page.set_content(film_page(film))
    page.wait_for_function("() => window.mounted && document.querySelector('.film').filmDrawn.traces.plot")
    return page


def drawn(page: Any) -> dict[str, Any]:
    """What the film says it drew."""
    found: dict[str, Any] = page.evaluate(
        "() => JSON.parse(JSON.stringify(document.querySelector('.film').filmDrawn))"
    )
    return found


def seek(page: Any, time: float) -> None:
    page.evaluate("time => document.querySelector('.film').filmPlayer.seek(time)", time)


def dots(page: Any, region: str) -> np.ndarray:
    """The dots of a region's canvas, (height, width, 3), one a CSS pixel."""
    size, data = page.evaluate(
        """region => {
            const canvas = document.querySelector(`.film-${region} canvas`);
            const image = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data;
            let text = '';
            for (let i = 0; i < image.length; i += 32768) text += String.fromCharCode(...image.subarray(i, i + 32768));
            return [[canvas.height, canvas.width], btoa(text)];
        }""",
        region,
    )
    raw = np.frombuffer(base64.b64decode(data), dtype=np.uint8).reshape(*size, 4).astype(int)
    ground = np.array(
        rgb(
            page.evaluate(
                "getComputedStyle(document.querySelector('.film')).getPropertyValue('--film-ground')"
            )
        )
    )
    share = raw[:, :, 3:] / 255  # a canvas is clear where nothing was drawn
    return np.asarray(np.rint(share * raw[:, :, :3] + (1 - share) * ground), dtype=int)


def rgb(colour: str) -> Dot:
    digits = colour.strip().lstrip("#")
    return int(digits[:2], 16), int(digits[2:4], 16), int(digits[4:], 16)


def alike(found: np.ndarray, colour: str, most: float = 60.0) -> np.ndarray:
    """Where the dots are of a colour."""
    return np.abs(found - np.array(rgb(colour))).sum(axis=-1) <= most


def contrast(one: Sequence[float], other: Sequence[float]) -> float:
    """Contrast ratio of the Web Content Accessibility Guidelines 2.1 (relative luminance of sRGB)."""

    def light(colour: Sequence[float]) -> float:
        parts = [part / 255 for part in colour]
        red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    low, high = sorted((light(one), light(other)))
    return (high + 0.05) / (low + 0.05)


def decoded(signal: Film) -> np.ndarray:
    """A signal as it was sent, unpacked here."""
    steps = np.frombuffer(base64.b64decode(signal["data"]), dtype="<u2").astype(float)
    return np.asarray(signal["low"] + (signal["high"] - signal["low"]) * steps / 65535)


def value_at(film: Film, side: int, name: str, time: float) -> float:
    """Between two samples, straight."""
    values = decoded(film["sides"][side]["signals"][name])
    return float(np.interp(time, film["start"] + film["step"] * np.arange(len(values)), values))


def units_of(system: str) -> Film:
    kinds = {name: unit_of(name, system) for name in ("length", "force", "pressure")}
    return {name: {"symbol": u.symbol, "factor": u.factor} for name, u in kinds.items()} | {
        "time": {"symbol": "s", "factor": 1.0}
    }


STEP = 0.02
TIME = np.arange(6001) * STEP  # two minutes
SPIKE = 4321
"""The one sample at which the bit lands hard."""


def plain_signals(place: int) -> dict[str, np.ndarray]:
    """Curves that are known beforehand; those of the second side lie elsewhere, its heave is the same."""
    wave = np.sin(2 * np.pi * TIME / 12)
    bit = 100e3 + 30e3 * np.sin(2 * np.pi * TIME / 10 + place) + 20e3 * place
    bit[SPIKE] = 460e3 - 50e3 * place
    bit[2000:2100] = 0.0
    return {
        "heave": 0.8 * wave,
        "block": 0.8 * wave,
        "hook": 0.1 * wave,
        "bit": 0.0 * wave,
        "stroke": (0.7 - 0.3 * place) * np.sin(2 * np.pi * TIME / 12 + 0.4) + 0.2 * place,
        "hook_load": 1200e3 + (60e3 - 20e3 * place) * np.cos(2 * np.pi * TIME / 12),
        "bit_force": bit,
        "gas_pressure": 150e5 + (10 - 4 * place) * 1e5 * wave,
    }


def plain_film(sides: int = 1, system: str = "metric", look: Look = LIGHT) -> Film:
    """A film of those curves, with every kind of limit, band, mark and state."""
    flags = np.zeros(len(TIME), dtype=np.uint8)
    flags[2000:2100] |= 1
    flags[1000:1200] |= 4
    flags[2500:2600] |= 2
    flags[5000:] |= 8
    colours = [look.sea, look.heave]
    limits = {
        "stroke": [{"level": level, "word": "end of the stroke"} for level in (-3.0, 3.0)],
        "bit_force": [
            {"level": 50e3, "word": "WOB, lowest allowed"},
            {"level": 200e3, "word": "WOB, highest allowed"},
        ],
        "hook_load": [{"level": 9e6, "word": "rating compensating"}],
        "gas_pressure": [{"level": 200e5, "word": "pressure rating"}],
    }
    made = [
        ("Gas bank shut", 30.0, None, True),
        ("Bit lifts off", 40.0, "A", False),
        ("Bit lands", 42.0, "A", False),
    ]
    return {
        "key": f"plain {sides} {system} {look.name}",
        "look": {name: getattr(look, name) for name in ("name", "text", "muted", "line", "track", "ground")}
        | {
            "sides": colours[:sides],
            "over": "#A34700" if look is LIGHT else "#F59563",
            "near": "#805600",
            "within": "#005A8D",
        },
        "units": units_of(system),
        "start": 0.0,
        "step": STEP,
        "count": len(TIME),
        "opens": 25.0,
        "panels": [{"name": name, "title": title, "kind": kind} for name, title, kind in payload.PANELS],
        "marks": [
            {"time": t, "word": word, "kind": word.lower(), "side": s, "made": m} for word, t, s, m in made
        ],
        "captions": [{"from": 20.0, "to": 28.0, "text": "The block rises."}],
        "sea": {"known": False, "period": 0.0, "surface": None},
        "sides": [
            {
                "letter": "AB"[place],
                "label": ("as planned", "no compensator")[place],
                "colour": colours[place],
                "dash": [[], [6, 3]][place],
                "machine": machine(),
                "signals": {name: payload.encoded(values) for name, values in plain_signals(place).items()},
                "flags": base64.b64encode(flags.tobytes()).decode(),
                "limits": limits,
                "bands": {
                    "bit_force": [
                        {
                            "low": (60 + 9 * place) * 1e3,
                            "high": (150 + 9 * place) * 1e3,
                            "word": "high band: what is checked",
                            "checked": True,
                        },
                        {
                            "low": (66 + 9 * place) * 1e3,
                            "high": (138 + 9 * place) * 1e3,
                            "word": "nominal band: likely",
                            "checked": False,
                        },
                    ]
                },
                "drilled": 0.0,
            }
            for place in range(sides)
        ],
        "alt": "Moving drawing of the rig",
    }


def machine() -> Film:
    """A unit under the block."""
    sections = [
        {"name": "pipe", "length": 2800.0, "od": 0.127},
        {"name": "collar", "length": 200.0, "od": 0.203},
    ]
    return {
        "kind": "under the block", "active": False, "locked": False, "stroke": 6.0, "start": 0.0, "reserve": 0.5,
        "lines": 10, "sections": sections, "water_depth": 1000.0, "depth": 3000.0, "contact": "one-sided",
    }  # fmt: skip


def height_of(frame: Film, value: float) -> float:
    """The height of a value in a panel [px], from its ends."""
    share = (value - frame["low"]) / (frame["high"] - frame["low"])
    return float(frame["bottom"] - share * (frame["bottom"] - frame["top"]))


def across(told: Film, time: float) -> float:
    """Where a time stands across the traces [px]."""
    left, right = told["plot"]["left"], told["plot"]["right"]
    return float(
        left
        + (time - told["window"]["from"]) / (told["window"]["to"] - told["window"]["from"]) * (right - left)
    )


@pytest.mark.parametrize("name", ["heave", "stroke", "hook_load", "bit_force"])
def test_curves_are_drawn_where_the_data_say(page: Any, name: str) -> None:
    film = plain_film()
    film["sides"][0]["bands"] = {}  # their edges have the curve's colour
    mounted(page, film)
    seek(page, 59.9)  # the cursor out of the way
    told = drawn(page)["traces"]
    found = dots(page, "traces")
    frame, colour = told["panels"][name], film["look"]["sides"][0]
    for time in (3.0, 11.3, 17.0, 20.0, 25.7, 35.1, 50.3):
        column = round(across(told, time))
        hit = np.flatnonzero(
            alike(found[int(frame["top"]) + 2 : int(frame["bottom"]) - 5, column], colour, 120)
        )
        assert hit.size, f"no curve of {name} at {time} s"
        centre = float(hit.mean()) + int(frame["top"]) + 2.5
        wanted = height_of(
            frame,
            value_at(
                film,
                0,
                name,
                told["window"]["from"]
                + (column + 0.5 - told["plot"]["left"]) / (told["plot"]["right"] - told["plot"]["left"]) * 60,
            ),
        )
        assert centre == pytest.approx(wanted, abs=1.0), f"{name} at {time} s"


def test_figures_of_the_axis_stand_at_their_values(page: Any) -> None:
    for system in ("metric", "oilfield"):
        film = plain_film(system=system)
        told = drawn(mounted(page, film))["traces"]
        for panel in film["panels"]:
            frame = told["panels"][panel["name"]]
            assert len(frame["ticks"]) >= 3
            for tick in frame["ticks"]:
                value = number(tick["text"]) * unit_of(panel["kind"], system).factor
                assert tick["y"] == pytest.approx(height_of(frame, value), abs=0.5)


def test_points_and_cursor_follow_the_data(page: Any) -> None:
    film = plain_film(2)
    mounted(page, film)
    for time in (0.0, 12.34, 40.5, 86.42, 120.0):
        seek(page, time)
        told = drawn(page)["traces"]
        assert told["cursor"] == pytest.approx(across(told, time), abs=0.5)
        assert told["window"]["from"] <= time <= told["window"]["to"]
        for side, (name, frame) in itertools.product((0, 1), told["panels"].items()):
            wanted = height_of(frame, value_at(film, side, name, time))
            assert told["points"]["AB"[side]][name] == pytest.approx(wanted, abs=0.5)
        found = dots(page, "traces")
        point = told["points"]["A"]["stroke"]
        near = found[int(point) - 1 : int(point) + 2, round(told["cursor"]) - 1 : round(told["cursor"]) + 2]
        assert alike(near, film["look"]["sides"][0]).any()


def test_a_blow_of_one_sample_is_drawn_in_full(page: Any) -> None:
    film = plain_film()
    mounted(page, film)
    seek(page, 61.0)
    told = drawn(page)["traces"]
    frame = told["panels"]["bit_force"]
    assert frame["low"] <= 0
    assert frame["high"] >= 460e3
    column = int(across(told, SPIKE * STEP))
    found = dots(page, "traces")[:, column - 1 : column + 2]
    top = np.flatnonzero(
        alike(found, film["look"]["sides"][0], 150).any(axis=1) & (np.arange(len(found)) > frame["top"] + 1)
    )
    assert top[0] + 0.5 == pytest.approx(height_of(frame, 460e3), abs=1.6)  # the tip of a line has a width
    page.locator(".film-span").select_option("1000000000")  # all of the run: some ten samples a column
    told = drawn(page)["traces"]
    frame, column = told["panels"]["bit_force"], int(across(told, SPIKE * STEP))
    found = dots(page, "traces")[:, column - 1 : column + 2]
    top = np.flatnonzero(
        alike(found, film["look"]["sides"][0], 150).any(axis=1) & (np.arange(len(found)) > frame["top"] + 1)
    )
    assert top[0] + 0.5 == pytest.approx(height_of(frame, 460e3), abs=1.6)
    strip = told["overview"]
    column = int(strip["left"] + SPIKE * STEP / TIME[-1] * (strip["right"] - strip["left"]))
    found = dots(page, "traces")[int(strip["top"]) : int(strip["bottom"]), column - 1 : column + 2]
    assert np.flatnonzero(alike(found, film["look"]["sides"][0]).any(axis=1))[0] <= 4


@pytest.mark.parametrize("look", [LIGHT, DARK])
def test_bands_and_limits_stand_at_their_levels_and_stand_out(page: Any, look: Look) -> None:
    film = plain_film(2, look=look)
    mounted(page, film)
    told = drawn(page)["traces"]
    frame, found = told["panels"]["bit_force"], dots(page, "traces")
    window = found[:, int(told["plot"]["left"]) + 3 : int(told["plot"]["right"]) - 3]
    ground = np.array(rgb(look.ground))
    strengths: dict[bool, list[float]] = {True: [], False: []}
    for side, band in ((each, band) for each in film["sides"] for band in each["bands"]["bit_force"]):
        for level in (band["low"], band["high"]):
            row = height_of(frame, level)
            rows = window[int(row) - 1 : int(row) + 2]
            apart = max(
                rows,
                key=lambda line: (
                    float(np.median(np.abs(line - ground).sum(axis=1)))
                    if side["letter"] == "A"
                    else float(np.percentile(np.abs(line - ground).sum(axis=1), 75))
                ),
            )
            shade = np.percentile(np.abs(apart - ground).sum(axis=1), 50 if side["letter"] == "A" else 60)
            place = int(np.argmin(np.abs(np.abs(apart - ground).sum(axis=1) - shade)))
            strengths[band["checked"]].append(contrast(apart[place], ground))
    assert min(strengths[True]) >= 3.0
    assert np.mean(strengths[True]) > np.mean(strengths[False])
    for limit in film["sides"][0]["limits"]["bit_force"]:
        row = height_of(frame, limit["level"])
        near = alike(window[int(row) - 1 : int(row) + 2], film["look"]["over"], 150)
        assert near.any(axis=0).mean() > 0.3  # dashes


def test_sides_are_told_apart_without_colour(page: Any) -> None:
    film = plain_film(2)
    for side in film["sides"]:  # two levels, to count the gaps in
        level = {"A": 1150e3, "B": 1250e3}[side["letter"]]
        side["signals"]["hook_load"] = payload.encoded(
            np.full(len(TIME), level) + np.where(TIME < 0.05, 60e3, 0)
        )
    mounted(page, film)
    told = drawn(page)["traces"]
    frame, found = told["panels"]["hook_load"], dots(page, "traces")
    drawn_share = []
    for place, colour in enumerate(film["look"]["sides"]):
        row = int(height_of(frame, value_at(film, place, "hook_load", 50.0)))
        line = alike(
            found[row - 1 : row + 2, int(told["plot"]["left"]) + 20 : int(told["plot"]["right"]) - 2],
            colour,
            150,
        ).any(axis=0)
        drawn_share.append(float(line.mean()))
    assert drawn_share[0] > 0.97
    assert 0.5 < drawn_share[1] < 0.9
    heave = told["panels"]["heave"]
    area = found[
        int(heave["top"]) : int(heave["bottom"]), int(told["plot"]["left"]) : int(told["plot"]["right"])
    ]
    assert alike(area, film["look"]["sides"][0]).sum() > 200
    assert alike(area, film["look"]["sides"][1]).sum() == 0  # one heave, drawn once
    assert any(word["text"].startswith("A and B ") for word in words_of(page, "traces"))


def words_of(page: Any, region: str) -> list[Film]:
    """Every word written on a region's canvas or the still one behind it, once each."""
    size = page.evaluate(
        "region => { const c = document.querySelector(`.film-${region} canvas`); return `${c.width}x${c.height}` }",
        region,
    )
    written = [word for word in page.evaluate("() => window.written") if word["canvas"] == size]
    return list({(word["text"], round(word["left"]), round(word["top"])): word for word in written}.values())


def demo_film(comparison: str, look: Look, system: str = "metric") -> Film:
    """A film of the demonstration plan in which much happens."""
    plan, _ = for_the_bit(demo_plan())
    shown = variants(plan, comparison)
    scenario = Scenario(
        duration=120.0, happenings=(Happening("gas bank shut", 20.0), Happening("compensator locked", 45.0))
    )
    sides = [
        Side(letter, variant, run(variant, scenario), band_of(variant, assess(variant.plan)))
        for letter, variant in zip("AB", shown, strict=False)
    ]
    return payload.film_of(sides, scenario, look, system, opens=47.0)


@pytest.fixture(scope="module")
def films() -> Callable[..., Film]:
    """Films of the demonstration plan, each made once."""
    kept: dict[Any, Film] = {}

    def film(*which: Any) -> Film:
        if which not in kept:
            kept[which] = demo_film(*which)
        return kept[which]

    return film


@pytest.mark.parametrize("width", [390, 768, 1024, 1440, 1920])
@pytest.mark.parametrize("which", ["alone", "none", "depth", "plain"])
def test_no_words_cover_others(page: Any, films: Callable[..., Film], which: str, width: int) -> None:
    film = (
        plain_film(2)
        if which == "plain"
        else films(which, LIGHT, "oilfield" if which == "none" else "metric")
    )
    mounted(page, film, width)
    for region in ("gauges", "traces"):
        wide = page.evaluate("region => document.querySelector(`.film-${region} canvas`).clientWidth", region)
        words = words_of(page, region)
        assert len(words) > 12
        for word in words:
            assert word["left"] >= -0.5, word
            assert word["right"] <= wide + 0.5, word
        for one, other in itertools.combinations(words, 2):
            beside = one["right"] <= other["left"] + 1 or other["right"] <= one["left"] + 1
            assert beside or one["bottom"] <= other["top"] + 1 or other["bottom"] <= one["top"] + 1, (
                one,
                other,
            )


def test_bands_limits_and_events_are_named(page: Any) -> None:
    mounted(page, plain_film())
    said = plain(" · ".join(word["text"] for word in words_of(page, "traces")))
    for words in (
        *(
            "high band: what is checked, 60 to 150 kN",
            "nominal band: likely, 66 to 138 kN",
            "Gas bank shut",
            "Bit lifts off",
        ),
        *(
            "WOB, lowest allowed 50 kN",
            "WOB, highest allowed 200 kN",
            "end of the stroke ±3 m, off this scale",
            "Bit lands",
        ),
        *(
            "rating compensating 9000 kN, off this scale",
            "bit off bottom",
            "held still by the seals",
            "against an end",
            "locked",
        ),
    ):
        assert words in said, words
    said = plain(" · ".join(word["text"] for word in words_of(page, "gauges")))
    for words in (
        "end of the stroke ±3 m",
        "pressure rating 200 bar",
        "WOB, lowest allowed 50 kN",
        "rating compensating 9000 kN",
    ):
        assert words in said, words


def plain(text: str) -> str:
    """Text without its narrow and unbreakable spaces, and with the keyboard's minus."""
    return text.replace("\u202f", "").replace("\u00a0", " ").replace("\u2212", "-")


def number(text: str) -> float:
    return float(plain(text))


def test_a_hand_on_the_traces_moves_the_film(page: Any) -> None:
    film = plain_film()
    film["captions"] = []  # one that comes and goes moves what is below it
    mounted(page, film)
    page.set_viewport_size({"width": 1024, "height": 1600})
    canvas = page.locator(".film-traces canvas").bounding_box()
    told = drawn(page)["traces"]
    plot, strip = told["plot"], told["overview"]
    a_dot = 60 / (plot["right"] - plot["left"])

    def at(time: float, down: float) -> tuple[float, float]:
        return canvas["x"] + across(told, time), canvas["y"] + down

    page.mouse.click(*at(41.0, 200))
    assert drawn(page)["time"] == pytest.approx(41.0, abs=a_dot)
    page.mouse.move(*at(10.0, 120))
    page.mouse.down()
    page.mouse.move(*at(33.0, 300), steps=4)
    assert drawn(page)["time"] == pytest.approx(33.0, abs=a_dot)
    page.mouse.move(
        canvas["x"] + canvas["width"] + 200, canvas["y"] + 300, steps=4
    )  # past the edge: the page stays
    page.mouse.up()
    assert drawn(page)["traces"]["window"] == told["window"]
    assert drawn(page)["time"] == pytest.approx(60.0, abs=2 * a_dot)
    share = 100.0 / 120.0
    middle = canvas["y"] + (strip["top"] + strip["bottom"]) / 2
    page.mouse.click(canvas["x"] + strip["left"] + share * (strip["right"] - strip["left"]), middle)
    assert drawn(page)["time"] == pytest.approx(100.0, abs=2 * a_dot)
    harness.wait_until(page, lambda: bool(page.evaluate("window.rests.length")), "the rest to be told")


def test_still_parts_are_drawn_once_a_window(page: Any) -> None:
    mounted(page, plain_film(2))
    seek(page, 61.0)
    page.evaluate("window.strokes.length = 0")
    for time in np.arange(61.0, 66.0, 0.5):
        seek(page, float(time))
    hidden = page.evaluate("() => window.strokes.filter(canvas => !canvas.isConnected).length")
    beside = page.evaluate("() => window.strokes.filter(c => c.closest('.film-beside')).length")
    assert hidden == 0
    assert 0 < beside / 10 < 120


def test_gauges_point_at_the_data(page: Any) -> None:
    film = plain_film(2)
    kinds = {"hook_load": "force", "bit_force": "force", "stroke": "length", "gas_pressure": "pressure"}
    for width in (390, 1440):
        mounted(page, film, width)
        for time in (25.0, 42.4, 86.42):
            page.evaluate("window.written.length = 0")
            seek(page, time)
            gauges = drawn(page)["gauges"]["gauges"]
            said = {plain(word["text"]) for word in words_of(page, "gauges")}
            assert set(gauges) == set(kinds)
            for (name, gauge), side in itertools.product(gauges.items(), (0, 1)):
                value = value_at(film, side, name, time)
                share = (value - gauge["low"]) / (gauge["high"] - gauge["low"])
                wanted = gauge["left"] + share * (gauge["right"] - gauge["left"])
                assert gauge["pointers"]["AB"[side]] == pytest.approx(wanted, abs=0.5)
                decimals = 2 if kinds[name] == "length" else 1
                shown = f"{'AB'[side]} {display_value(value, kinds[name], 'metric'):.{decimals}f}"
                assert any(text == shown or text.startswith(shown + " ") for text in said), (shown, said)
        found = dots(page, "gauges")
        for name, levels in (
            ("stroke", (-3.0, 3.0)),
            ("bit_force", (50e3, 200e3)),
            ("gas_pressure", (200e5,)),
        ):
            gauge = gauges[name]
            for level in levels:
                x = gauge["left"] + (level - gauge["low"]) / (gauge["high"] - gauge["low"]) * (
                    gauge["right"] - gauge["left"]
                )
                column = found[int(gauge["y"]) + 5 : int(gauge["y"]) + 9, int(x) - 1 : int(x) + 2]
                assert alike(column, film["look"]["over"]).any(), (name, level)


@pytest.mark.parametrize("system", ["metric", "oilfield"])
def test_the_words_of_an_instant_are_those_of_the_data(page: Any, system: str) -> None:
    film = plain_film(2, system)
    mounted(page, film)
    named = {"stroke": "length", "hook load": "force", "weight on bit": "force", "gas pressure": "pressure"}
    signals = {"weight on bit": "bit_force"}
    for time, holds in (
        (21.0, "the seals hold the unit still"),
        (40.5, "the bit is off bottom"),
        (51.0, "against an end"),
        (110.0, "the unit is locked"),
        (25.0, ""),
    ):
        page.evaluate("time => { const p = document.querySelector('.film').filmPlayer; p.step(time - p.time) }", time)
        harness.wait_until(
            page,
            lambda at=time: f"At {at:.2f} s" in plain(page.locator(".film-words").inner_text()),
            "the words",
        )
        text = plain(page.locator(".film-words").inner_text())
        heave = re.search(r"Heave (\S+) (\S+?)\.? A, as planned", text)
        assert heave
        assert [heave[2].rstrip(".")] == [unit_of("length", system).symbol]
        assert float(heave[1]) == pytest.approx(
            display_value(value_at(film, 0, "heave", time), "length", system), abs=0.0051
        )
        for side, said in enumerate(re.split(r"B, no compensator", text.split("A, as planned")[1])):
            for name, kind in named.items():
                unit = unit_of(kind, system)
                found = re.search(rf"{name} (-?[\d.]+) {unit.symbol}\b", said)
                assert found, (name, said)
                wanted = display_value(
                    value_at(film, side, signals.get(name, name.replace(" ", "_")), time), kind, system
                )
                slack = {
                    "length": 0.0051,
                    "force": 0.051,
                    "pressure": 0.51 if unit.symbol == "psi" else 0.051,
                }[kind]
                assert float(found[1]) == pytest.approx(wanted, abs=slack)
            assert holds in said
            assert ("still" in said) == (time == 21.0)
    assert "The block rises." in text
    assert "In the last second" not in text


@pytest.mark.parametrize("system", ["metric", "oilfield"])
def test_the_table_holds_the_data(page: Any, system: str) -> None:
    film = plain_film(2, system)
    mounted(page, film)
    page.locator(".film-table summary").click()
    table = page.locator(".film-table table")
    harness.wait_until(page, lambda: table.count() == 1, "the table")
    assert plain(table.locator("caption").inner_text()).startswith("Traces from 0 to 60 s")
    head = [plain(text) for text in table.locator("thead th").all_inner_texts()]
    length, force, pressure = (unit_of(kind, system).symbol for kind in ("length", "force", "pressure"))
    columns = [
        f"Stroke [{length}]",
        f"Hook load [{force}]",
        f"Weight on bit [{force}]",
        f"Gas pressure [{pressure}]",
        "What holds",
    ]
    first = ["Time [s]", f"Heave [{length}]", "A: as planned", "B: no compensator", "Happens"]
    assert head == first + columns * 2
    assert table.locator("th:not([scope])").count() == 0
    rows = table.locator("tbody tr").evaluate_all(
        "rows => rows.map(row => [...row.cells].map(cell => cell.textContent))"
    )
    assert [number(row[0]) for row in rows] == list(range(61))
    kinds = {"stroke": "length", "hook_load": "force", "bit_force": "force", "gas_pressure": "pressure"}
    for row in rows:
        time = number(row[0])
        assert number(row[1]) == pytest.approx(
            display_value(value_at(film, 0, "heave", time), "length", system), abs=0.0051
        )
        for side, (place, (name, kind)) in itertools.product((0, 1), enumerate(kinds.items())):
            wanted = display_value(value_at(film, side, name, time), kind, system)
            slack = {"length": 0.0051, "force": 0.051, "pressure": 0.51}[kind]
            assert number(row[2 + 5 * side + place]) == pytest.approx(wanted, abs=slack)
    assert rows[22][6] == "the seals hold the unit still"
    assert rows[41][6] == "the bit is off bottom"
    assert rows[52][6] == "" == rows[53][6]
    assert rows[51][6] == "the unit is against an end of its stroke"
    assert [row[-1] for row in rows if row[-1]] == ["Gas bank shut", "A: Bit lifts off", "A: Bit lands"]


@pytest.fixture
def page(context: Any) -> Iterator[Any]:
    """A blank page of its own; the test fails on any trouble on it."""
    with harness.open_view(context) as page_:
        yield page_
