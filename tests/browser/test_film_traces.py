"""Traces of the film in Chromium, looked at dot by dot: each place is worked out again here from the data sent."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from functools import cache
from typing import Any

import numpy as np
import pytest
from known_film import (
    SPIKE,
    STEP,
    TIME,
    Film,
    across,
    alike,
    contrast,
    demo_film,
    dots,
    drawn,
    height_of,
    mounted,
    number,
    plain,
    plain_film,
    rgb,
    seek,
    time_at,
    value_at,
    words_of,
)

import harness
from heave.screens.figures.look import DARK, LIGHT, Look
from heave.screens.film import payload
from heave.units import unit_of

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("name", ["heave", "stroke", "hook_load", "bit_force"])
def test_curves_are_drawn_where_the_data_say(page: Any, name: str) -> None:
    film = plain_film()
    film["sides"][0]["bands"] = {}  # their edges have the curve's colour
    mounted(page, film)
    seek(page, 59.9)  # the cursor out of the way
    told = drawn(page)["traces"]
    found = dots(page, "traces")
    frame, colour = told["panels"][name], film["look"]["sides"][0]
    top, bottom = int(frame["top"]) + 2, int(frame["bottom"]) - 5
    for asked in (3.0, 11.3, 17.0, 20.0, 25.7, 35.1, 50.3):
        column = round(across(told, asked))
        hit = np.flatnonzero(alike(found[top:bottom, column], colour, 120))
        assert hit.size, f"no curve of {name} at {asked} s"
        centre = float(hit.mean()) + top + 0.5
        time = time_at(told, column + 0.5)
        wanted = height_of(frame, value_at(film, 0, name, time))
        assert centre == pytest.approx(wanted, abs=1.0), f"{name} at {asked} s"


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


def edge_strength(window: np.ndarray, row: float, ground: np.ndarray) -> tuple[float, float]:
    """Contrast of a level line with the ground: over half of its way, and on the average."""
    rows = [[contrast(dot, ground) for dot in line[::2]] for line in window[int(row) - 1 : int(row) + 2]]
    return max(float(np.median(line)) for line in rows), max(float(np.mean(line)) for line in rows)


@pytest.mark.parametrize("look", [LIGHT, DARK])
def test_bands_and_limits_stand_at_their_levels_and_stand_out(page: Any, look: Look) -> None:
    film = plain_film(2, look=look)
    mounted(page, film)
    told = drawn(page)["traces"]
    frame, found = told["panels"]["bit_force"], dots(page, "traces")
    window = found[:, int(told["plot"]["left"]) + 3 : int(told["plot"]["right"]) - 3]
    ground = np.array(rgb(look.ground))
    likely, checked = (
        [
            edge_strength(window, height_of(frame, level), ground)
            for side in film["sides"]
            for band in side["bands"]["bit_force"]
            if band["checked"] is wanted
            for level in (band["low"], band["high"])
        ]
        for wanted in (False, True)
    )
    assert min(most for most, _ in checked) >= 3.0
    assert min(mean for _, mean in checked) > 1.2 * max(mean for _, mean in likely)
    fill = window[
        round(height_of(frame, 47e3)), :
    ]  # between the lower edges of the two bands that are checked
    edge = window[round(height_of(frame, 40e3)) - 1 : round(height_of(frame, 40e3)) + 1]
    assert max(contrast(dot, np.median(fill, axis=0)) for dot in np.median(edge, axis=1)) >= 3.0
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


def crowded_film() -> Film:
    """Known curves, and more that happens than there is room to name."""
    film = plain_film(2)
    kinds = [
        ("Compensator locked", True),
        ("Driller feeds off", True),
        ("Bit lifts off", False),
        ("Stroke out", False),
    ]
    film["marks"] = [
        {"time": 2.0 + 1.7 * n, "word": word, "kind": word.lower(), "side": "AB"[n // 4 % 2], "made": made}
        for n, (word, made) in enumerate(kinds * 8)
    ]
    return film


@pytest.fixture(scope="module")
def films() -> Callable[[str], Film]:
    """Films by name, each made once: of the demonstration plan, or of known curves."""
    makers: dict[str, Callable[[], Film]] = {
        "alone": lambda: demo_film("alone", LIGHT),
        "none": lambda: demo_film("none", LIGHT, "oilfield"),
        "depth": lambda: demo_film("depth", LIGHT),
        "rough": lambda: demo_film("none", LIGHT, rough=True),
        "crowded": crowded_film,
    }
    return cache(lambda name: makers[name]())


@pytest.mark.parametrize("width", [390, 768, 1024, 1440, 1920])
@pytest.mark.parametrize("which", ["alone", "none", "depth", "rough", "crowded"])
def test_no_words_cover_others(page: Any, films: Callable[[str], Film], which: str, width: int) -> None:
    mounted(page, films(which), width)
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
            "high band: what is checked, 40 to 160 kN",
            "nominal band: likely, 70 to 130 kN",
            "Gas bank shut",
            "Bit lifts off",
        ),
        *(
            "WOB, lowest allowed 20 kN",
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
        "WOB, lowest allowed 20 kN",
        "rating compensating 9000 kN",
    ):
        assert words in said, words


def test_marks_stand_at_their_times_and_neighbours_are_told_as_one(page: Any) -> None:
    film = plain_film(2)
    landings = [(39.8, "Bit lands, 300 kN"), (40.3, "Bit lands, 420 kN"), (40.9, "Bit lands, 150 kN")]
    film["marks"] = [
        {"time": 20.0, "word": "Bank shut", "kind": "gas bank shut", "side": side, "made": True}
        for side in "AB"
    ] + [{"time": t, "word": word, "kind": "landing", "side": "B", "made": False} for t, word in landings]
    mounted(page, film)
    told, found = drawn(page)["traces"], dots(page, "traces")
    frame = told["panels"]["heave"]
    area = found[int(frame["top"]) + 1 : int(frame["bottom"]), :]
    for mark in film["marks"]:
        x = int(across(told, mark["time"]))
        colour = film["look"]["text" if mark["made"] else "muted"]
        assert alike(area[:, x - 1 : x + 2], colour, 200).any(axis=1).mean() > 0.3, mark
        if mark["time"] < 40:  # nothing is marked just before
            assert alike(area[:, x - 8 : x - 4], colour, 200).any(axis=1).mean() < 0.2, mark
    said = [plain(word["text"]) for word in words_of(page, "traces")]
    assert said.count("Bank shut") == 1  # it happens to both
    assert said.count("B: Bit lands ×3") == 1
    names = {name: next(w for w in words_of(page, "traces") if plain(w["text"]) == name) for name in said}
    assert names["Bank shut"]["left"] == pytest.approx(across(told, 20.0) + 5, abs=1)
    assert names["B: Bit lands ×3"]["left"] == pytest.approx(across(told, 39.8) + 5, abs=1)


def test_what_does_not_stroke_has_no_stroke(page: Any) -> None:
    film = plain_film(2)
    film["sides"][1]["machine"] |= {"kind": "none", "stroke": None}
    mounted(page, film)
    told, found = drawn(page)["traces"], dots(page, "traces")
    frame = told["panels"]["stroke"]
    area = found[
        int(frame["top"]) + 1 : int(frame["bottom"]),
        int(told["plot"]["left"]) + 1 : int(told["plot"]["right"]),
    ]
    assert alike(area, film["look"]["sides"][0]).sum() > 200
    assert alike(area, film["look"]["sides"][1]).sum() == 0
    assert "B no stroke" in [word["text"] for word in words_of(page, "gauges")]
    assert "stroke" not in page.locator(".film-words").inner_text().split("B, no compensator")[1]


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
