"""What decides is drawn strongest: every band that is checked stands out on either background, and without colour.

WCAG 2.2, success criterion 1.4.11: what is needed to understand a picture has a contrast of 3 : 1 at least with what
is beside it. Contrast ratio and relative luminance as that recommendation defines them (W3C, 5 October 2023, "contrast
ratio" and "relative luminance"), worked here anew from the colours that each figure really sends.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pytest

from heave.files.forecast.reader import read_forecast
from heave.files.rigs import demo_plan
from heave.judging import NEAR, OVER, WITHIN, Assessment, assess
from heave.judging.limit_curves import growths, letters_of
from heave.planning.rig import load_over_stroke
from heave.screens.figures.bit_band import bit_figure
from heave.screens.figures.bit_share import seeds_figure, share_figure
from heave.screens.figures.chances import members_figure
from heave.screens.figures.curves import load_figure
from heave.screens.figures.limit_lines import limit_figure
from heave.screens.figures.limit_polar import polar_figure
from heave.screens.figures.look import DARK, LIGHT, Look
from heave.screens.figures.sides import Side
from heave.screens.figures.spectra import spectra_figure
from heave.screens.figures.strips import strips
from heave.screens.figures.stroke_column import stroke_figure
from heave.screens.figures.timeline import timeline_figure
from heave.screens.figures.two_days import two_days_figure
from heave.screens.figures.utilisation import utilisation_figure
from heave.screens.limits import kept_limits
from heave.screens.weather import store
from heave.screens.weather.clock import Clock
from heave.simulation.comparisons import Variant
from heave.simulation.played import play
from heave.simulation.scenario import Scenario
from heave.simulation.statistics import report, shared_edges
from heave.weather import EnsembleForecast, Forecast, ensemble_windows, weather_windows

LOOKS = (LIGHT, DARK)
LEAST = 3.0


def rgb(colour: str, ground: str) -> tuple[float, float, float]:
    """Red, green and blue, 0 to 1, of a colour as it comes out on a ground."""
    under = tuple(int(ground[at : at + 2], 16) / 255 for at in (1, 3, 5))
    if colour.startswith("#"):
        digits = [int(colour[at : at + 2], 16) / 255 for at in range(1, len(colour), 2)]
        share = digits[3] if len(digits) > 3 else 1.0
    else:
        *whole, share = (float(part) for part in re.findall(r"[\d.]+", colour))
        digits = [part / 255 for part in whole]
    mixed = [share * over + (1 - share) * below for over, below in zip(digits, under, strict=False)]
    return mixed[0], mixed[1], mixed[2]


def luminance(parts: tuple[float, float, float]) -> float:
    """0.2126 R + 0.7152 G + 0.0722 B, each c / 12.92 up to 0.04045 and ((c + 0.055) / 1.055)^2.4 above."""
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(colour: str, look: Look) -> float:
    """(L1 + 0.05) / (L2 + 0.05) of a colour on the ground of a look."""
    dark, bright = sorted(luminance(rgb(each, look.ground)) for each in (colour, look.ground))
    return (bright + 0.05) / (dark + 0.05)


def test_the_formula_gives_its_known_values() -> None:
    """Black on white is 21 : 1; #767676 on white is 4.54 : 1, the grey the W3C's techniques name as the lightest."""
    assert contrast("#000000", LIGHT) == pytest.approx(21.0)
    assert contrast("#767676", LIGHT) == pytest.approx(4.54, abs=0.005)
    assert contrast("rgba(0,0,0,0.0)", LIGHT) == pytest.approx(1.0)


@cache
def result() -> Assessment:
    return assess(demo_plan())


def parts(picture: str, name: str) -> list[ElementTree.Element]:
    return list(ElementTree.fromstring(picture).iter("{http://www.w3.org/2000/svg}" + name))


def strength(shape: ElementTree.Element, look: Look) -> float:
    """The better of the contrasts of a shape's fill, as it comes out, and of its edge where that is a pixel or more."""
    found_ = [1.0]
    fill, edge = shape.get("fill", "none"), shape.get("stroke", "none")
    share = float(shape.get("opacity", 1)) * float(shape.get("fill-opacity", 1))
    if fill.startswith("#"):
        found_.append(contrast(f"{fill}{round(255 * share):02x}", look))
    if edge.startswith("#") and float(shape.get("stroke-width", 1)) >= 1:
        found_.append(contrast(edge, look))
    return max(found_)


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
@pytest.mark.parametrize("state", [WITHIN, NEAR, OVER])
def test_the_stroke_column_draws_extreme_travel_strongest(look: Look, state: str) -> None:
    budget = result().responses.stroke
    assert budget is not None
    picture = stroke_figure(budget, look, "metric", state, state)
    ends = {budget.rising, budget.falling}
    bands: dict[float, list[float]] = {}
    grains = 0
    for shape in parts(picture, "rect"):
        low, tall = float(shape.attrib["y"]), float(shape.attrib["height"])
        for end in (abs(low), abs(low + tall)):
            bands.setdefault(round(end, 6), []).append(strength(shape, look))
        grains += "grain" in shape.get("fill", "")
    for end in ends:
        assert max(bands[round(end, 6)]) >= LEAST
    edged = [shape for shape in parts(picture, "rect") if shape.get("stroke") == look.words(state)]
    assert len(edged) == 2
    assert all(contrast(look.words(state), look) >= LEAST for _ in edged)
    assert grains == (0 if state == WITHIN else 2)  # told apart in grey: plain, dots, stripes


def test_patterns_of_states_differ() -> None:
    budget = result().responses.stroke
    assert budget is not None
    grains = {
        part.get("id"): ElementTree.tostring(part) for part in parts(stroke_figure(budget, LIGHT), "pattern")
    }
    assert len(set(grains.values())) == len(grains) == 3


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
@pytest.mark.parametrize(("low_limit", "state"), [(None, WITHIN), (150e3, OVER)])
def test_the_band_of_weight_on_bit_that_is_checked_is_the_strongest(
    look: Look, low_limit: float | None, state: str
) -> None:
    band = result().responses.bit
    assert band is not None
    picture = bit_figure(band, look, "metric", low_limit, None)
    shapes = parts(picture, "rect")
    strengths = [strength(shape, look) for shape in shapes]
    assert min(strengths) >= LEAST
    fills = [float(shape.get("fill-opacity", 1)) for shape in shapes]
    assert fills == sorted(fills)
    assert fills[-1] == 1
    assert shapes[-1].get("fill") == look.fill(state)
    words = [word.text or "" for word in parts(picture, "text") if "checked" in (word.text or "")]
    assert len(words) == 1
    assert words[0].startswith("high")


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_bars_of_utilisation_stand_out(look: Look) -> None:
    checks = [
        replace(check, state=state) for check in result().by_utilisation[:1] for state in (WITHIN, NEAR, OVER)
    ]
    bars = parts(utilisation_figure(checks, 0.85, look), "rect")[1::2]
    assert len(bars) == 3
    assert min(strength(bar, look) for bar in bars) >= LEAST


def drawn_shapes(chart: Any) -> Iterator[dict[str, Any]]:
    yield from (shape.to_plotly_json() for shape in chart.layout.shapes)


def of_shape(shape: dict[str, Any], look: Look) -> float:
    share = round(255 * shape.get("opacity", 1))
    line, fill, found_ = shape.get("line", {}), shape.get("fillcolor", ""), [1.0]
    if line.get("width", 0) >= 1:
        found_.append(contrast(f"{line['color']}{share:02x}", look))
    if fill.startswith("#"):
        found_.append(contrast(f"{fill}{share:02x}", look))
    return max(found_)


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_travel_on_the_load_curve_and_every_band_and_limit_of_charts_stand_out(look: Look) -> None:
    plan, responses = result().plan, result().responses
    curve = load_over_stroke(plan, result().setting)
    assert curve is not None
    assert responses.bit is not None
    charts = [
        load_figure(curve, look, "metric", responses.stroke, 1.2 * float(curve.rising.max())),
        spectra_figure(responses, look, "metric", (16.0, 15.0, 14.0)),
        seeds_figure((np.array([4e4]), np.array([6e4])), responses.bit, look),
    ]
    for chart in charts:
        drawn = [of_shape(shape, look) for shape in drawn_shapes(chart)]
        assert drawn
        assert min(drawn) >= LEAST


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_the_share_of_time_has_the_checked_band_as_its_strongest_lines(look: Look) -> None:
    scenario = Scenario(duration=60.0)
    variant = Variant("as planned", demo_plan())
    side = Side("A", variant, *play(variant, scenario))
    chart = share_figure([side], [report(side.result, side.band, shared_edges([side.result]))], look)
    strong = [shape for shape in drawn_shapes(chart) if shape["line"]["width"] > 2]
    assert side.band is not None
    assert sorted(shape["x0"] * 1e3 for shape in strong) == pytest.approx(side.band.span(side.band.high))
    assert min(of_shape(shape, look) for shape in drawn_shapes(chart)) >= LEAST


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_the_timeline_tells_near_from_within_without_colour_and_its_bars_stand_out(look: Look) -> None:
    sample = store.sample().forecast
    assert isinstance(sample, Forecast)
    windows = weather_windows(demo_plan(), sample)
    outlines = {trace["name"]: trace for trace in strips(windows, 0, look)[0] if trace.get("fillpattern")}
    assert {name: trace["fillpattern"]["shape"] for name, trace in outlines.items()} == {
        "near a limit": ".",
        "over a limit": "/",
    }
    for trace in outlines.values():
        assert contrast(trace["line"]["color"], look) >= LEAST
        assert trace["line"]["width"] >= 1
    chart = timeline_figure(windows, 0, Clock(), look)
    bars = [shape for shape in drawn_shapes(chart) if shape.get("yref") != "paper"]
    assert bars
    assert min(of_shape(shape, look) for shape in bars) >= LEAST
    lines = [trace for trace in chart.data if trace.type == "scatter" and trace.line.width]
    assert min(contrast(trace.line.color, look) for trace in lines) >= LEAST


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_edges_of_the_members_and_limits_stand_out(look: Look) -> None:
    rows = ["time_utc,member,hs_m,tp_s,direction_from_deg"]
    rows += [
        f"2026-03-01T{hour:02d}:00Z,{member},{1 + member},12,220" for member in range(3) for hour in range(24)
    ]
    ensemble = read_forecast("\n".join(rows).encode())
    assert isinstance(ensemble, EnsembleForecast)
    chances = members_figure(ensemble_windows(demo_plan(), ensemble, needed=0.5), Clock(), look)
    plan = demo_plan()
    growth = growths(plan)[2]
    along, around = kept_limits.over_period(plan, growth), kept_limits.around(plan, growth)
    assert along is not None
    own: dict[str, Any] = {"across": "Tp", "up": "Hs", "at": kept_limits.own_place(plan, growth)}
    limits = limit_figure(along, letters_of(along.planned), look, "metric", **own)
    polar = polar_figure(around, letters_of(around.planned), look, "metric", (5.0, 2.8))
    for chart in (chances, limits, polar):
        lines = [trace for trace in chart.data if "lines" in str(trace.mode) and trace.line.width]
        named = [trace for trace in lines if trace.name]
        assert len(named) >= 2
        assert min(contrast(trace.line.color, look) for trace in named) >= LEAST


def test_the_printed_hours_are_edged_and_told_apart_in_grey() -> None:
    hours = np.arange(3.0)
    picture = two_days_figure(
        hours, hours + 1, [("Hs", hours, "m")], [("step", [WITHIN, NEAR, OVER])], [], [], 3.0, "words"
    )
    shapes = [shape for shape in ElementTree.fromstring(picture).iter("rect") if shape.get("fill") != "none"]
    edged = [shape for shape in shapes if shape.get("stroke")]
    assert len(edged) == 3
    assert min(contrast(shape.attrib["stroke"], LIGHT) for shape in edged) >= LEAST
    assert {shape.attrib["fill"] for shape in shapes if "url" in shape.attrib["fill"]} == {
        "url(#dots)",
        "url(#bars)",
    }
