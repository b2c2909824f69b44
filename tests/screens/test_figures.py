"""Figures as functions: true to scale, labels apart, states told by word and mark as well as by colour."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heave.files.rigs import demo_plan
from heave.judging import NEAR, NOT_ASSESSED, OVER, VERDICTS, WITHIN, Check, StrokeBudget, assess
from heave.judging.checks import utilisation_state
from heave.planning.equipment import closed_form_vessels, load_over_stroke, response_curves
from heave.screens import figures
from heave.screens.figures.look import DARK, FILLS, LIGHT, Look, look_for, mark_paths, spread

LOOKS = (LIGHT, DARK)


def luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour (WCAG 2.2, definition of relative luminance)."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours (WCAG 2.2, definition of contrast ratio)."""
    bright, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


def budget(**changes: float) -> StrokeBudget:
    usual = StrokeBudget(3.81, 0.6, -0.2, 0.4, 0.5, 1.0, 1.7, 9.0, 1e-8, 1e-7, 0.05)
    return replace(usual, **changes)


def a_check(utilisation: float, name: str = "Stroke") -> Check:
    return Check(
        name, name, utilisation, 1.0, "length", utilisation, utilisation_state(utilisation, 0.85), "", "", ()
    )


def texts_of(figure: Any) -> list[str]:
    """Every word on a figure: annotations, text traces and tick labels."""
    found = [note.text for note in figure.layout.annotations]
    for trace in figure.data:
        found += list(trace.text) if trace.type == "scatter" and trace.mode == "text" else []
    return found + list(figure.layout.yaxis.ticktext or ())


def rectangles(figure: Any) -> list[Any]:
    return [shape for shape in figure.layout.shapes if shape.type == "rect"]


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_text_colours_can_be_read(look: Look) -> None:
    """WCAG 2.2, 1.4.3: text needs 4.5 : 1 against what it stands on."""
    for colour in (look.text, look.muted, *(look.words(word) for word in VERDICTS)):
        assert contrast(colour, look.ground) >= 4.5, colour


def test_fills_are_the_published_palette() -> None:
    """Okabe and Ito, "Color Universal Design" (2008): blue, orange, vermillion."""
    assert FILLS[WITHIN] == "#0072B2"
    assert FILLS[NEAR] == "#E69F00"
    assert FILLS[OVER] == "#D55E00"


def test_every_state_has_a_mark_of_its_own() -> None:
    assert len({mark_paths(word) for word in VERDICTS}) == len(VERDICTS)
    for word in VERDICTS:
        assert figures.mark_svg(word, LIGHT).startswith("<svg ")


def test_unknown_theme_is_light() -> None:
    assert look_for(None) is LIGHT
    assert look_for("dark") is DARK


@given(st.lists(st.floats(-5, 5), max_size=14), st.floats(0.05, 1.0))
def test_labels_keep_their_distance_and_order(places: list[float], gap: float) -> None:
    found = spread(places, gap, -6, 6)
    room = min(gap, 12 / max(len(places) - 1, 1))
    rows = sorted(zip(places, found, strict=True))
    ordered = sorted(found)
    assert all(b - a >= room - 1e-9 for a, b in pairwise(ordered))
    assert all(-6 - 1e-9 <= place <= 6 + 1e-9 for place in found)
    assert all(first[1] <= second[1] + 1e-9 for first, second in pairwise(rows) if first[0] < second[0])


def test_labels_stay_where_they_have_room() -> None:
    assert spread([-2.0, 0.0, 3.0], 0.5, -5, 5) == pytest.approx([-2.0, 0.0, 3.0])


@pytest.mark.parametrize("system", ["metric", "oilfield"])
def test_the_stroke_column_is_to_scale(system: str) -> None:
    figure = figures.stroke_figure(budget(), LIGHT, system)
    factor = 1.0 if system == "metric" else 0.3048
    frame = [shape for shape in rectangles(figure) if shape.line.width == 2]
    assert len(frame) == 1
    assert (frame[0].y1 * factor, frame[0].y0 * factor) == pytest.approx((3.81, -3.81))
    ends = [(shape.y0 * factor, shape.y1 * factor) for shape in rectangles(figure) if shape is not frame[0]]
    assert any(pair == pytest.approx((-0.2, 0.4 + 1.7)) for pair in ends)
    assert any(pair == pytest.approx((-0.2, -0.5 - 1.7)) for pair in ends)


def test_travel_past_the_end_is_drawn_past_it_and_said() -> None:
    figure = figures.stroke_figure(budget(extreme=4.0), LIGHT, "metric", OVER, OVER)
    texts = texts_of(figure)
    assert any("past the end by" in text and "0.59" in text for text in texts)
    assert max(shape.y1 for shape in rectangles(figure)) == pytest.approx(4.4)
    low, high = figure.layout.yaxis.range
    assert high > 4.4
    assert low < -4.5


@pytest.mark.parametrize("extreme", [0.02, 0.5, 1.7, 4.0, 9.0])
def test_labels_of_the_stroke_column_never_overlap(extreme: float) -> None:
    figure = figures.stroke_figure(budget(extreme=extreme, significant=0.6 * extreme), LIGHT)
    low, high = figure.layout.yaxis.range
    per_pixel = (high - low) / figure.layout.height
    words = figure.data[-1]
    right = sorted(y for x, y in zip(words.x, words.y, strict=True) if x == pytest.approx(0.52))
    assert len(right) >= 7
    assert min(b - a for a, b in pairwise(right)) / per_pixel >= 15


def test_the_stroke_column_has_words() -> None:
    assert "3.81" in figures.stroke_words(budget())
    assert "2.10" in figures.stroke_words(budget())


def test_bars_tell_value_state_and_mark() -> None:
    checks = [a_check(u) for u in (1.3, 0.9, 0.5, math.nan)]
    figure = figures.utilisation_figure(checks, 0.85, LIGHT)
    texts = " ".join(texts_of(figure))
    for word in VERDICTS:
        assert word in texts
    assert "<b>1.30</b>" in texts
    marks = [shape for shape in figure.layout.shapes if shape.type == "path"]
    assert len(marks) == len(checks)
    assert list(figure.data[1].x) == pytest.approx([1.3, 0.9, 0.5, 0.0])
    assert "nan" not in texts.lower()


def test_a_bar_without_end_is_said_in_words() -> None:
    figure = figures.utilisation_figure([a_check(math.inf), a_check(250.0)], 0.85, LIGHT)
    texts = " ".join(texts_of(figure))
    assert "no room" in texts
    assert "<b>250</b>" in texts
    assert np.isfinite(figure.data[1].x).all()


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_figures_of_the_demo_plan(look: Look) -> None:
    result = assess(demo_plan())
    responses, setting = result.responses, result.setting
    assert responses.bit is not None
    curve = load_over_stroke(result.plan, setting)
    assert curve is not None
    drawn = (
        figures.spectra_figure(responses, look, "oilfield", (16.0, 15.0, 14.0)),
        figures.load_figure(curve, look, "metric", responses.stroke, 1.5e6),
        figures.bit_figure(responses.bit, look, "metric", 60e3, 280e3),
        figures.utilisation_figure(result.by_utilisation, 0.85, look),
    )
    for figure in drawn:
        assert figure.layout.paper_bgcolor == "rgba(0,0,0,0)"
        for trace in figure.data:
            assert isinstance(trace.x, np.ndarray)
            assert trace.x.size <= 2000


def test_areas_of_the_spectra_are_energy() -> None:
    """The drawn sea spectrum integrates to Hs²/16 over the axis it is drawn on (within what is cut off)."""
    result = assess(demo_plan())
    figure = figures.spectra_figure(result.responses, LIGHT)
    sea = figure.data[0]
    assert 4 * math.sqrt(np.trapezoid(sea.y, sea.x)) == pytest.approx(result.plan.sea.hs, rel=0.02)


def test_periods_mark_the_frequency_axis() -> None:
    axis = figures.spectra_figure(assess(demo_plan()).responses, LIGHT).layout.xaxis
    for mark, words in zip(axis.tickvals, axis.ticktext, strict=True):
        assert 2 * math.pi / mark == pytest.approx(float(words), rel=5e-3)


def test_the_load_curve_encloses_friction() -> None:
    result = assess(demo_plan())
    curve = load_over_stroke(result.plan, result.setting)
    assert curve is not None
    figure = figures.load_figure(curve, LIGHT)
    gap = figure.data[0].y - figure.data[1].y
    assert gap == pytest.approx(2 * result.setting.friction_force / 1e3)


def test_response_curves_of_every_library_hull() -> None:
    curves = response_curves(demo_plan().vessel)
    assert curves is not None
    assert len(figures.response_figure(curves, LIGHT).data) == len(curves.headings)
    assert (np.diff(curves.period) > 0).all()
    closed = closed_form_vessels()
    assert response_curves(closed["Box-hull ship, closed form"]) is not None
    assert response_curves(closed["Semisubmersible, closed form"]) is None


def test_states_are_the_four_words() -> None:
    assert {WITHIN, NEAR, OVER, NOT_ASSESSED} == set(FILLS)


@pytest.mark.parametrize(
    ("value", "text"),
    [(0.8996, "0.90"), (0.9984, "0.998"), (0.99999, "0.999"), (1.0, "1.00"), (1.004, "1.00"), (250.4, "250")],
)
def test_nothing_below_one_is_rounded_up_to_it(value: float, text: str) -> None:
    assert figures.utilisation_text(value) == text
