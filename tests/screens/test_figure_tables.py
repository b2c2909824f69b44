"""What a figure draws as a table: the numbers are those drawn, with their units, and nothing drawn is left out."""

from __future__ import annotations

import csv
import io
import math
import re
from xml.etree import ElementTree

import numpy as np
import pytest
from hoisting_plans import loads_of, with_path
from streamlit.testing.v1 import AppTest

import heave
from heave.files.rigs import demo_plan
from heave.judging import VERDICTS, assess
from heave.planning.rig import load_over_stroke, response_curves
from heave.screens import pieces
from heave.screens.access import page_title
from heave.screens.figures.bit_band import bit_figure, bit_words
from heave.screens.figures.chart import Chart, figure, line, points
from heave.screens.figures.curves import load_figure, response_figure
from heave.screens.figures.look import DARK, LIGHT, Look
from heave.screens.figures.spectra import spectra_figure
from heave.screens.figures.stroke_column import stroke_figure, stroke_words
from heave.screens.figures.tables import PERIOD, Table, of_bit, of_chart, of_checks, of_load, of_stroke
from heave.screens.figures.timeline_words import hour_lines
from heave.screens.figures.utilisation import utilisation_figure, utilisation_text, utilisation_words
from heave.screens.hoisting.loads import NOT_JUDGED, as_table
from heave.screens.weather import store
from heave.screens.weather.clock import Clock
from heave.screens.weather.table import hours_table
from heave.weather import Forecast, weather_windows
from heave.weather.site_limits import NAMES

LOOKS = (LIGHT, DARK)
FOOT = 3.28084
"""Feet in a metre, six digits."""

SVG = "{http://www.w3.org/2000/svg}"


def column(table: Table, title: str) -> list[float]:
    """The figures under the one title that begins so."""
    (place,) = [place for place, head in enumerate(table.head) if head.startswith(title)]
    return [float(row[place]) for row in table.rows]


def luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour (WCAG 2.2, definition of relative luminance)."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours (WCAG 2.2, definition of contrast ratio)."""
    bright, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_words_of_pictures_can_be_read_on_their_ground(look: Look) -> None:
    colours = [look.text, look.muted, *(look.words(state) for state in VERDICTS)]
    assert min(contrast(colour, look.ground) for colour in colours) >= 4.5


def test_the_table_of_the_spectra_has_the_points_of_the_chart_by_period() -> None:
    responses = assess(demo_plan()).responses
    chart = spectra_figure(responses, LIGHT)
    (table,) = of_chart(chart, PERIOD)
    assert table.head[0] == "period, s"
    assert column(table, "period") == pytest.approx(2 * math.pi / np.asarray(chart.data[0].x))
    for trace, title in zip(chart.data, ("sea: ", "heave at the hoist: ", "heave per wave"), strict=True):
        assert column(table, title) == pytest.approx(np.asarray(trace.y))
    assert [head.rpartition(", ")[2] for head in table.head] == ["s", "m²·s", "m²·s", "m/m"]


def test_the_area_under_the_table_is_the_height_that_was_typed() -> None:
    plan = demo_plan()
    (table,) = of_chart(spectra_figure(assess(plan).responses, LIGHT), PERIOD)
    omega = 2 * math.pi / np.array(column(table, "period"))
    height = 4 * math.sqrt(np.trapezoid(column(table, "sea: "), omega))  # Hs = 4 √m₀
    assert height == pytest.approx(math.hypot(*(system.hs for system in plan.sea.systems)), rel=0.02)


def test_every_line_of_a_response_has_its_column() -> None:
    curves = response_curves(demo_plan().vessel)
    assert curves is not None
    chart = response_figure(curves, DARK)
    (table,) = of_chart(chart)
    assert len(table.head) == 1 + len(curves.headings)
    for place, row in enumerate(curves.heave):
        assert [figures_[place + 1] for figures_ in table.rows] == pytest.approx(row)


def test_feet_are_feet_in_the_table_too() -> None:
    plan = demo_plan()
    budget = assess(plan).responses.stroke
    assert budget is not None
    (metric,), (oilfield,) = of_stroke(budget, "metric"), of_stroke(budget, "oilfield")
    assert oilfield.head[1].endswith(", ft")
    for title in ("vessel rising", "vessel falling"):
        assert column(oilfield, title) == pytest.approx(np.array(column(metric, title)) * FOOT, rel=1e-6)


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_the_labels_of_the_stroke_column_are_in_its_table(look: Look) -> None:
    budget = assess(demo_plan()).responses.stroke
    assert budget is not None
    drawn = "".join(ElementTree.fromstring(stroke_figure(budget, look)).itertext())
    (table,) = of_stroke(budget, "metric")
    rows = {row[0]: row[1:] for row in table.rows}
    for name in ("extreme", "significant"):
        for end in rows[name]:
            assert f"{float(end):+.2f}".replace("-", "\u2212") in drawn
    assert f"{rows['end of the stroke'][0]:+.2f}" in drawn


def test_the_bars_of_the_checks_are_in_their_table() -> None:
    checks = assess(demo_plan()).by_utilisation
    words = utilisation_words(checks)
    (table,) = of_checks(checks, "metric", {})
    assert len(table.rows) == len(checks)
    for name, _, used, high, simulated, state in table.rows:
        assert f"{name} {utilisation_text(float(used))}" in words
        assert f", {state}" in words
        assert math.isnan(float(high)) or float(high) >= float(used)
        assert math.isnan(float(simulated))


def test_bands_and_loads_are_those_drawn() -> None:
    plan = demo_plan()
    result = assess(plan)
    bit, curve = result.responses.bit, load_over_stroke(plan, result.setting)
    assert bit is not None
    (bands,) = of_bit(bit, "metric", 50e3, None)
    told = bit_words(bit)
    for name, low, high in bands.rows[:3]:
        assert name in ("low", "nominal", "high")
        ends = [heave.units.show(float(end) * 1e3, "force", "metric") for end in (low, high)]
        assert " to ".join(ends) in told
    assert bands.rows[3][1] == 50.0
    assert math.isnan(float(bands.rows[3][2]))
    (load,) = of_load(curve, "metric")
    (same,) = of_chart(load_figure(curve, LIGHT))
    assert column(load, "stroke") == column(same, "stroke")
    assert column(load, "vessel rising") == pytest.approx(column(same, "vessel rising"))
    assert column(load, "vessel falling") == pytest.approx(column(same, "vessel falling"))
    assert column(load, "gas alone") == pytest.approx(
        (np.array(column(load, "vessel rising")) + np.array(column(load, "vessel falling"))) / 2
    )


def test_the_table_of_the_timeline_has_every_strip_and_the_sea() -> None:
    forecast = store.sample().forecast
    assert isinstance(forecast, Forecast)
    result = weather_windows(demo_plan(), forecast)
    rows = hours_table(result, 0, Clock(), "metric")
    judged = result.steps[0]
    assert len(rows) == forecast.size
    for key, values in judged.reduced.by_check.items():
        if not np.isnan(values).all():
            assert [row[NAMES[key]] for row in rows] == [utilisation_text(float(one)) for one in values]
    for place in (0, 17, forecast.size - 1):
        told = " ".join(hour_lines(result, 0, place, Clock(), "metric"))
        row = rows[place]
        assert row["Time"] in told
        assert f"Hs {row['Hs, m']}\u00a0m in all" in told
        assert f"heave {row['Heave crest to trough (4σ), m']}\u00a0m" in told
        assert f"judged in Hs {row['Judged in Hs, m']}\u00a0m" in told
        assert ("can start here" in told) == (row["Start"] == "yes")


def test_the_table_of_the_reeved_system_has_the_loads_of_every_part() -> None:
    plan = with_path()
    found = loads_of(plan)
    states = found.states(assess(plan).checks)
    (table,) = as_table(found, states, "metric")
    for part, row in zip(found.chain, table.rows, strict=True):
        assert row[0] == part.name
        newtons = [float(one) * 1e3 for one in row[1:5]]
        assert newtons == pytest.approx([part.hoisting, part.holding, part.lowering, part.extreme])
        assert math.isnan(float(row[5])) if part.rating is None else float(row[5]) * 1e3 == part.rating
        assert row[7] == states.get(part.key, NOT_JUDGED)


def test_what_only_pointing_or_a_ground_needs_makes_no_column() -> None:
    x = np.array([1.0, 2.0])
    chart = figure(
        LIGHT,
        [
            line("", LIGHT.sea, 0, x=x, y=x),
            line("band", LIGHT.sea, 0, x=x, y=2 * x, fill="tonexty"),
            line("", LIGHT.sea, 0, x=x, y=x, fill="toself"),
            line("found by pointing", LIGHT.sea, 0, x=x, y=3 * x),
            points("a <b>point</b>", x=[1.5], y=[None]),
            line("years", LIGHT.sea, x=x, y=x, error_y={"array": x, "arrayminus": x / 2}),
            line("later", LIGHT.sea, x0="2026-03-01T00:00", dx=3.6e6, y=x),
        ],
        xaxis={"title": "place, m"},
        yaxis={"title": "height, m"},
    )
    curves, point, times = of_chart(chart)
    assert curves.head == (
        "place, m",
        "band, low end: height, m",
        "band: height, m",
        "years: height, m",
        "years, low end",
        "years, high end",
    )
    assert curves.rows == [(1.0, 1.0, 2.0, 1.0, 0.5, 2.0), (2.0, 2.0, 4.0, 2.0, 1.0, 4.0)]
    assert point.texts(9) == [("1.5", "")]
    assert [row[0] for row in times.rows] == ["2026-03-01T00:00", "2026-03-01T01:00"]


def test_a_long_table_is_shown_in_even_steps_and_saved_whole() -> None:
    table = Table(("place", "=formula"), [(float(place), -1.0 / 3.0) for place in range(100)])
    shown = table.texts(40)
    assert [row[0] for row in shown] == [f"{place}" for place in range(0, 100, 3)]
    assert shown[0][1] == "\u22120.3333"
    saved = list(csv.reader(io.StringIO(pieces.csv_of((table.head, *table.rows)))))
    assert len(saved) == 101
    assert saved[1][1] == "-0.333333333"
    assert not saved[0][1].startswith("=")


def test_a_chart_that_was_looked_into_still_gives_its_parts() -> None:
    chart = Chart([line("one", LIGHT.sea, x=[1.0], y=[2.0])], {})
    assert len(chart.data) == 1
    assert [table.rows for table in of_chart(chart)] == [[(1.0, 2.0)]]


def test_pictures_are_named_and_told_in_words() -> None:
    result = assess(demo_plan())
    budget, bit = result.responses.stroke, result.responses.bit
    assert budget is not None
    assert bit is not None
    for drawing, words in (
        (stroke_figure(budget, LIGHT), stroke_words(budget)),
        (bit_figure(bit, LIGHT), bit_words(bit)),
        (
            utilisation_figure(result.checks, 0.85, LIGHT),
            utilisation_words(result.checks),
        ),
    ):
        root = ElementTree.fromstring(drawing)
        named = {
            one.get("id"): one
            for one in (root.find(f"{SVG}title"), root.find(f"{SVG}desc"))
            if one is not None
        }
        assert root.get("role") == "img"
        assert root.get("aria-labelledby", "").split() == list(named) == ["title", "desc"]
        assert named["title"].text
        assert named["desc"].text == words


def test_tables_stand_at_the_foot_only_when_asked_for(app: AppTest) -> None:
    label = "Figures of this page as tables"
    assert [box.label for box in app.main.expander].count(label) == 1
    assert not [item for item in app.markdown if item.value == "## Stroke column"]
    app.session_state["heave:opened"]["figures"] = True
    app.session_state["heave:open:figures"] = True
    app.run()
    assert not app.exception
    heads = [item.value for item in app.markdown if item.value.startswith("## ")]
    for name in ("Stroke column", "Every check, most used first", "Sea and heave at the hoist"):
        assert f"## {name}" in heads
    tables = [item.value for item in app.markdown if re.match(r"\| (level|check|period, s) \|", item.value)]
    assert len(tables) == 3


def test_titles_begin_with_the_page() -> None:
    assert page_title("Hoisting").startswith("Hoisting · ")
