"""A film of curves known beforehand on a page of its own, what was drawn of it, and the dots of its canvases."""

from __future__ import annotations

import base64
import json
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from heave.files.rigs import demo_plan
from heave.screens.figures.look import LIGHT, Look
from heave.screens.figures.sides import Side
from heave.screens.film import component, payload
from heave.simulation.comparisons import for_the_bit, variants
from heave.simulation.played import play
from heave.simulation.scenario import Happening, Scenario
from heave.units import unit_of

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
            {"level": 20e3, "word": "WOB, lowest allowed"},
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
                            "low": (40 + 14 * place) * 1e3,
                            "high": (160 + 14 * place) * 1e3,
                            "word": "high band: what is checked",
                            "checked": True,
                        },
                        {
                            "low": (70 + 14 * place) * 1e3,
                            "high": (130 + 14 * place) * 1e3,
                            "word": "nominal band: likely",
                            "checked": False,
                        },
                    ]
                },
                "drilled": 0.0,
                "shut": [[0.0, 0.0]],
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


def time_at(told: Film, x: float) -> float:
    """The time at a place across the traces [s]."""
    plot, window = told["plot"], told["window"]
    share = (x - plot["left"]) / (plot["right"] - plot["left"])
    return float(window["from"] + share * (window["to"] - window["from"]))


def across(told: Film, time: float) -> float:
    """Where a time stands across the traces [px]."""
    left, right = told["plot"]["left"], told["plot"]["right"]
    return float(
        left
        + (time - told["window"]["from"]) / (told["window"]["to"] - told["window"]["from"]) * (right - left)
    )


def words_of(page: Any, region: str) -> list[Film]:
    """Every word written on a region's canvas or the still one behind it, once each."""
    size = page.evaluate(
        "region => { const c = document.querySelector(`.film-${region} canvas`); return `${c.width}x${c.height}` }",
        region,
    )
    written = [word for word in page.evaluate("() => window.written") if word["canvas"] == size]
    return list({(word["text"], round(word["left"]), round(word["top"])): word for word in written}.values())


def demo_film(comparison: str, look: Look, system: str = "metric", *, rough: bool = False) -> Film:
    """A film of the demonstration plan in which much happens: to the unit, or in a rough sea with its bands."""
    plan, _ = for_the_bit(demo_plan())
    made = (Happening("gas bank shut", 20.0), Happening("compensator locked", 45.0))
    if rough:
        first, *others = plan.sea.systems
        plan = plan.changed(sea=replace(plan.sea, systems=(replace(first, hs=6.0), *others)))
        made = (Happening("driller feeds off", 50.0),)
    scenario = Scenario(duration=120.0, happenings=made)
    sides = [
        Side(letter, variant, *play(variant, scenario))
        for letter, variant in zip("AB", variants(plan, comparison), strict=False)
    ]
    return payload.film_of(sides, scenario, look, system, opens=47.0)


def plain(text: str) -> str:
    """Text without its narrow and unbreakable spaces, and with the keyboard's minus."""
    return text.replace("\u202f", "").replace("\u00a0", " ").replace("\u2212", "-")


def number(text: str) -> float:
    return float(plain(text))
