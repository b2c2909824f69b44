"""Figures as functions: true to scale, labels apart, states told by word and mark as well as by colour."""

from __future__ import annotations

import base64
import json
import math
import re
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any
from xml.etree import ElementTree

import numpy as np
import plotly.graph_objects as go
import plotly.io
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heave.files.rigs import demo_plan
from heave.judging import NEAR, NOT_ASSESSED, OVER, VERDICTS, WITHIN, Check, StrokeBudget, assess
from heave.judging.checks import utilisation_state
from heave.planning.rig import closed_form_vessels, load_over_stroke, response_curves
from heave.screens.figures.bit_band import bit_figure, bit_words
from heave.screens.figures.chart import Chart
from heave.screens.figures.curves import load_figure, response_figure
from heave.screens.figures.look import DARK, FILLS, LIGHT, Look, look_for, mark_paths, mark_svg
from heave.screens.figures.spectra import spectra_figure, spectrum_preview
from heave.screens.figures.stroke_column import stroke_figure, stroke_words
from heave.screens.figures.svg import Across, spread, text
from heave.screens.figures.utilisation import utilisation_figure, utilisation_text, utilisation_words

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


@dataclass(frozen=True)
class Line:
    """How a shape is outlined."""

    width: float


@dataclass(frozen=True)
class Box:
    """A rectangle of a picture, as it is written before it is set to scale."""

    y0: float
    y1: float
    line: Line


def parts_of(picture: str, name: str) -> list[ElementTree.Element]:
    """Every element of a kind in an SVG picture; reading it fails on anything that is not well formed."""
    return list(ElementTree.fromstring(picture).iter("{http://www.w3.org/2000/svg}" + name))


def texts_of(picture: str) -> list[str]:
    """Every word on a picture, bold pieces marked as such."""
    found = []
    for line in parts_of(picture, "text"):
        pieces = [line.text or ""]
        for piece in line:
            words = piece.text or ""
            pieces.append(f"<b>{words}</b>" if piece.get("font-weight") == "700" else words)
        found.append("".join(pieces))
    return found


def scaled_group(picture: str) -> ElementTree.Element:
    """The group of shapes written in the units on the screen."""
    return next(group for group in parts_of(picture, "g") if "translate" in group.get("transform", ""))


def rectangles(picture: str) -> list[Box]:
    found = []
    for shape in scaled_group(picture):
        if shape.tag.endswith("rect"):
            low, width = float(shape.attrib["y"]), float(shape.get("stroke-width", "0"))
            found.append(Box(low, low + float(shape.attrib["height"]), Line(width)))
    return found


def ends_of(picture: str) -> tuple[float, float]:
    """What stands at the foot and at the top of the picture, in the units on the screen."""
    transform = scaled_group(picture).attrib["transform"]
    middle, per_unit = (float(part) for part in re.findall(r"[,(]([\d.]+|-[\d.]+)\)", transform))
    height = float(ElementTree.fromstring(picture).attrib["height"])
    return (height - middle) / per_unit, -middle / per_unit


def bars_of(picture: str) -> list[float]:
    """How far each bar reaches, the track of limit 1 being the measure; tracks and bars come in turn."""
    reach = [float(shape.attrib["width"].rstrip("%")) for shape in parts_of(picture, "rect")]
    pushed = [
        float(re.findall(r"-?[\d.]+", shape.attrib["transform"])[0]) for shape in parts_of(picture, "rect")
    ]
    assert [p / pushed[0] for p in pushed] == pytest.approx([r / reach[0] for r in reach])
    return [length / track for track, length in zip(reach[::2], reach[1::2], strict=True)]


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
        assert mark_svg(word, LIGHT).startswith("<svg ")


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
    figure = stroke_figure(budget(), LIGHT, system)
    factor = 1.0 if system == "metric" else 0.3048
    frame = [shape for shape in rectangles(figure) if shape.line.width == 2]
    assert len(frame) == 1
    assert (frame[0].y1 * factor, frame[0].y0 * factor) == pytest.approx((3.81, -3.81))
    ends = [(shape.y0 * factor, shape.y1 * factor) for shape in rectangles(figure) if shape.line.width == 0]
    ends += [pair[::-1] for pair in ends]  # a rectangle does not say where it begins
    assert any(pair == pytest.approx((-0.2, 0.4 + 1.7)) for pair in ends)
    assert any(pair == pytest.approx((-0.2, -0.5 - 1.7)) for pair in ends)


def test_travel_past_the_end_is_drawn_past_it_and_said() -> None:
    figure = stroke_figure(budget(extreme=4.0), LIGHT, "metric", OVER, OVER)
    texts = texts_of(figure)
    assert any("past the end by" in text and "0.59" in text for text in texts)
    assert max(shape.y1 for shape in rectangles(figure)) == pytest.approx(4.4)
    low, high = ends_of(figure)
    assert high > 4.4
    assert low < -4.5


@pytest.mark.parametrize("extreme", [0.02, 0.5, 1.7, 4.0, 9.0])
def test_labels_of_the_stroke_column_never_overlap(extreme: float) -> None:
    figure = stroke_figure(budget(extreme=extreme, significant=0.6 * extreme), LIGHT)
    per_pixel = 1.0
    right = sorted(float(word.attrib["y"]) for word in parts_of(figure, "text") if word.attrib["x"] == "52%")
    assert len(right) >= 7
    assert min(b - a for a, b in pairwise(right)) / per_pixel >= 15


def test_the_stroke_column_has_words() -> None:
    assert "3.81" in stroke_words(budget())
    assert "2.10" in stroke_words(budget())


def test_bars_tell_value_state_and_mark() -> None:
    checks = [a_check(u) for u in (1.3, 0.9, 0.5, math.nan)]
    figure = utilisation_figure(checks, 0.85, LIGHT)
    texts = " ".join(texts_of(figure))
    for word in VERDICTS:
        assert word in texts
    assert "<b>1.30</b>" in texts
    marks = parts_of(figure, "use")
    assert len(marks) == len(checks)
    assert bars_of(figure) == pytest.approx([1.3, 0.9, 0.5, 0.0])
    assert "nan" not in texts.lower()


def test_a_bar_without_end_is_said_in_words() -> None:
    figure = utilisation_figure([a_check(math.inf), a_check(250.0)], 0.85, LIGHT)
    texts = " ".join(texts_of(figure))
    assert "no room" in texts
    assert "<b>250</b>" in texts
    assert np.isfinite(bars_of(figure)).all()


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_figures_of_the_demo_plan(look: Look) -> None:
    result = assess(demo_plan())
    responses, setting = result.responses, result.setting
    assert responses.bit is not None
    curve = load_over_stroke(result.plan, setting)
    assert curve is not None
    drawn = (
        spectra_figure(responses, look, "oilfield", (16.0, 15.0, 14.0)),
        load_figure(curve, look, "metric", responses.stroke, 1.5e6),
    )
    for figure in drawn:
        assert figure.layout.paper_bgcolor == "rgba(0,0,0,0)"
        for trace in figure.data:
            assert isinstance(trace.x, np.ndarray)
            assert trace.x.size <= 2000


def test_areas_of_the_spectra_are_energy() -> None:
    """The drawn sea spectrum integrates to Hs²/16 over the axis it is drawn on (within what is cut off)."""
    result = assess(demo_plan())
    figure = spectra_figure(result.responses, LIGHT)
    sea = figure.data[0]
    assert 4 * math.sqrt(np.trapezoid(sea.y, sea.x)) == pytest.approx(result.plan.sea.hs, rel=0.02)


def test_periods_mark_the_frequency_axis() -> None:
    axis = spectra_figure(assess(demo_plan()).responses, LIGHT).layout.xaxis
    for mark, words in zip(axis.tickvals, axis.ticktext, strict=True):
        assert 2 * math.pi / mark == pytest.approx(float(words), rel=5e-3)


def test_the_load_curve_encloses_friction() -> None:
    result = assess(demo_plan())
    curve = load_over_stroke(result.plan, result.setting)
    assert curve is not None
    figure = load_figure(curve, LIGHT)
    gap = figure.data[0].y - figure.data[1].y
    assert gap == pytest.approx(2 * result.setting.friction_force / 1e3)


def test_response_curves_of_every_library_hull() -> None:
    curves = response_curves(demo_plan().vessel)
    assert curves is not None
    assert len(response_figure(curves, LIGHT).data) == len(curves.headings)
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
    assert utilisation_text(value) == text


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_pictures_of_the_demo_plan(look: Look) -> None:
    """Still pictures are well formed, named, told in words, as wide as their place, and paint no ground."""
    result = assess(demo_plan())
    responses = result.responses
    assert responses.stroke is not None
    assert responses.bit is not None
    told = {
        stroke_figure(responses.stroke, look): stroke_words(responses.stroke),
        bit_figure(responses.bit, look, "metric", 60e3, 280e3): bit_words(responses.bit),
        utilisation_figure(result.by_utilisation, 0.85, look): utilisation_words(result.by_utilisation),
    }
    for picture, words in told.items():
        assert picture.startswith("<svg ")
        root = ElementTree.fromstring(picture)
        assert (root.get("width"), root.get("viewBox"), root.get("role")) == ("100%", None, "img")
        assert parts_of(picture, "desc")[0].text == words
        assert parts_of(picture, "title")[0].text
        named = {item.get("id") for item in root.iter()}
        assert set((root.get("aria-labelledby") or "").split()) <= named
        assert all(shape.get("width") != "100%" for shape in parts_of(picture, "rect"))
        assert "nan" not in picture.lower().replace("nominal", "")


def test_text_in_a_picture_is_never_markup() -> None:
    hostile = '</text><script>alert("x")</script>&'
    picture = utilisation_figure([a_check(0.5, hostile)], 0.85, LIGHT)
    assert parts_of(picture, "script") == []
    assert any(hostile in words for words in texts_of(picture))
    assert "<script" not in text(Across(0.0), 0, hostile, "#000000")


def test_the_bit_band_is_to_scale() -> None:
    """Places across are linear in the weight on bit: read from the figures under the axis."""
    band = assess(demo_plan()).responses.bit
    assert band is not None
    picture = bit_figure(band, LIGHT, "metric", 20e3, 340e3)
    marks = {}
    for word in parts_of(picture, "text"):
        if re.fullmatch(r"[\u2212\d.]+", word.text or ""):
            marks[float((word.text or "").replace("\u2212", "-"))] = float(word.attrib["x"].rstrip("%"))
    slope, start = np.polyfit(list(marks), list(marks.values()), 1)
    assert len(marks) >= 3
    for shape, swing in zip(parts_of(picture, "rect"), (band.low, band.nominal, band.high), strict=True):
        left, width = (float(shape.attrib[name].rstrip("%")) for name in ("x", "width"))
        edges = [(share - start) / slope for share in (left, left + width)]
        assert edges == pytest.approx([edge / 1e3 for edge in band.span(swing)], rel=1e-6)


def charts() -> list[Chart]:
    result = assess(demo_plan())
    curve = load_over_stroke(result.plan, result.setting)
    curves = response_curves(demo_plan().vessel)
    assert curve is not None
    assert curves is not None
    return [
        spectra_figure(result.responses, LIGHT, "metric", (16.0, 15.0, 14.0)),
        load_figure(curve, LIGHT, "metric", result.responses.stroke, 1.5e6),
        response_figure(curves, LIGHT),
        spectrum_preview(result.responses.omega, result.responses.sea_spectrum, LIGHT),
    ]


def test_what_is_sent_unchecked_is_what_plotly_would_have_sent() -> None:
    """Plotly's own check of every value passes, and changes nothing but its template."""
    for drawn in charts():
        sent = json.loads(plotly.io.to_json(drawn.to_dict(), validate=False))
        checked = json.loads(go.Figure(drawn.to_dict()).update_layout(template="none").to_json())
        checked["layout"].pop("template")
        assert plain(sent) == plain(checked)


def plain(part: Any) -> Any:
    """Arrays as lists of numbers, in whatever form they travel."""
    if isinstance(part, dict):
        if "bdata" in part:
            return plain(list(np.frombuffer(base64.b64decode(part["bdata"]), part["dtype"]).astype(float)))
        return {key: plain(value) for key, value in part.items()}
    if isinstance(part, list | tuple):
        return [plain(item) for item in part]
    return float(part) if isinstance(part, int | float) and not isinstance(part, bool) else part


def test_a_chart_that_was_looked_into_can_still_be_changed_and_sent() -> None:
    chart = charts()[0]
    size = len(chart.data)
    chart.add_scatter(x=[1.0], y=[2.0])
    assert len(chart.to_dict()["data"]) == size + 1
    with pytest.raises(AttributeError):
        _ = chart.no_such_thing
