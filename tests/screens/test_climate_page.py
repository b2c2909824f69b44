"""Climate page: the example with its caution, an own diagram with its questions, a hindcast counted and shown."""

from __future__ import annotations

import math
import re
import time
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from streamlit.testing.v1 import AppTest

import heave
from heave.judging.checks import OVER
from heave.planning import Campaign, Operation, OperationStep, OtherSeas
from heave.screens.climate import store, tables, view
from heave.screens.figures.climate_curves import climate_months_figure, spells_figure
from heave.screens.figures.look import DARK, LIGHT
from heave.screens.figures.sea_classes import Axes, classes_figure, classes_words
from heave.screens.job import Job
from heave.screens.weather.table import csv_text, share_words
from heave.studies.climate import Operability, operability
from heave.studies.climate_seas import seas_of_record, seas_of_scatter
from heave.studies.persistence import persistence
from heave.studies.scatter import Scatter, ScatterPart
from heave.studies.waiting import waiting_times
from heave.weather import CancelledError

PAGE = str(Path(__file__).resolve().parents[2] / "heave/screens/climate/page.py")
DIAGRAM = "Hs (m)/Tz,4-5,5-6,6-7\n0-1,10,20,5\n1-2,3,30,12\n2-6,0,8,12\n"


def opened(**kept: Any) -> AppTest:
    page = AppTest.from_file(PAGE, default_timeout=300)
    for name, value in kept.items():
        page.session_state[f"heave:kept:climate:{name}"] = value
    page.run()
    assert not page.exception
    return page


def words(page: AppTest) -> str:
    blocks = (*page.markdown, *page.caption, *page.info, *page.warning, *page.error)
    return "\n".join(block.value for block in blocks).replace("\\", "").replace("**", "")


def press(page: AppTest, label: str) -> None:
    next(item for item in page.button if item.label.replace("\\", "") == label).click().run()
    assert not page.exception


def record_text() -> str:
    rows = [
        f"2027-01-{1 + hour // 24:02d}T{hour % 24:02d}:00Z,{9.0 if hour % 24 > 15 else 0.8},9,225"
        for hour in range(240)
    ]
    return "\n".join(["time_utc,hs_m,tp_s,direction_from_deg", *rows])


def test_the_example_says_what_it_is_and_how_much_is_workable() -> None:
    page = opened()
    text = words(page)
    for part in (
        "Revision 1",
        "Revision 2 of 2022",
        "no drilling site",
        "On the checks judged",
        "Not judged: the riser",
    ):
        assert part in text, part
    found = store.of_scatter(heave.demo_plan(), store.example(), "fixed")
    assert isinstance(found, Operability)
    assert f"## {view.headline(found.steps[0])}" in text
    assert "by class middles" in text
    assert "of the time" in text


def test_an_own_diagram_is_asked_about_and_then_shown() -> None:
    page = opened(kind="scatter")
    assert "Bring a scatter diagram" in words(page)
    text = DIAGRAM.replace("0-1", "0.5").replace("1-2", "1.5").replace("2-6", "2.5")
    page.file_uploader[0].set_value([("site.csv", text.encode(), "text/csv")]).run()
    assert "site.csv: 1 to answer" in words(page)
    assert "workable" not in words(page)
    press(page, "middles")
    assert "Using site.csv" in words(page)
    assert "## Drilling ahead: workable" in words(page)


def test_a_diagram_that_is_refused_says_where() -> None:
    page = opened(kind="scatter")
    page.file_uploader[0].set_value([("bad.csv", DIAGRAM.replace("30", "-30").encode(), "text/csv")]).run()
    assert "bad.csv was not read" in words(page)
    assert "line 3, column 5-6" in words(page)


def test_a_hindcast_is_counted_beside_the_page() -> None:
    page = opened(kind="record")
    page.file_uploader[0].set_value([("years.csv", record_text().encode(), "text/csv")]).run()
    assert not page.exception
    for _ in range(6):  # what the file does not say is asked
        asked = [item for item in page.button if "heave:hindcast:answer" in (item.key or "")]
        if not asked:
            break
        asked[0].click().run()
    assert "Record: years.csv" in words(page)
    press(page, "Count the record")
    deadline = time.monotonic() + 180
    while "of the time" not in words(page) and time.monotonic() < deadline:
        time.sleep(0.25)
        page.run()
    assert "## Drilling ahead: workable" in words(page)
    assert page.session_state["heave:kept:hindcast"].name == "years.csv"
    counted = dict(page.session_state["heave:kept:climate:results"])
    plan = page.session_state["heave:plan"]
    for asked in (OtherSeas(growth="all together"), OtherSeas(bearing="all round")):
        page.session_state["heave:plan"] = plan.changed(other_seas=asked)
        page.run()
        assert "## Drilling ahead: workable" in words(page)
        assert "has changed" not in words(page)
    page.session_state["heave:plan"] = plan.changed(other_seas=OtherSeas(headings="head"))
    page.run()
    assert "## Drilling ahead: workable" not in words(page)
    assert "Count the record" in [item.label for item in page.button]
    page.session_state["heave:plan"] = plan
    page.run()
    assert "## Drilling ahead: workable" in words(page)
    assert page.session_state["heave:kept:climate:results"] == counted


@pytest.fixture(scope="module")
def over_years() -> Operability:
    """Four years of days of two steps, the winters rough, a week of them missing."""
    plan = heave.demo_plan()
    days = np.arange(4 * 365)
    heights = np.where(np.cos(2 * np.pi * days / 365.25) > 0.3, 7.5, 1.2)
    heights[100:107] = math.nan
    from heave.sea import SeaBatch, SystemSlot
    from heave.weather.forecast import Forecast

    slot = SystemSlot(heights, np.full(days.size, 9.0), np.full(days.size, 225.0))
    times = np.datetime64("2025-01-01", "s") + days * np.timedelta64(86400, "s")
    record = Forecast(
        times, SeaBatch((slot,), 1200.0), ("sea",), 86400.0, np.zeros(days.size - 1, dtype=bool)
    )
    steps = tuple(
        OperationStep(Operation(kind=kind, duration=86400.0), interruptible=True)  # type: ignore[arg-type]
        for kind in ("drilling", "tripping")
    )
    return operability(plan, seas_of_record(plan, record), campaign=Campaign(steps))


def test_tables_of_a_record_hold_its_figures(over_years: Operability) -> None:
    step = over_years.steps[0]
    rows = tables.operations_table(over_years)
    assert [row["Operation"] for row in rows] == ["Drilling ahead", "Tripping", "All of them at one time"]
    assert rows[0]["Workable"] == f"{100 * step.shares.workable:.1f}\u00a0%"
    assert rows[0]["Not assessed"] == "0.5\u00a0%"
    months = tables.months_table(step)
    assert [row["Month"] for row in months][:2] == ["Jan", "Feb"]
    assert months[0]["Years P50"] == "0.0\u00a0%"
    assert months[6]["Years P10"] == "100.0\u00a0%"
    waits = tables.waits_table(waiting_times(over_years))
    assert [row["Start in"] for row in waits][-1] == "All"
    assert "Before 2: Tripping" in waits[0]
    spells = tables.spells_table(persistence(over_years))
    assert spells[0]["Count"] == str(persistence(over_years).workable.count)
    for table in (rows, months, waits, spells, tables.checks_table(step)):
        assert csv_text(table).count("\r\n") == len(table) + 1


def test_a_saved_table_has_numbers_as_a_spreadsheet_takes_them() -> None:
    rows = [{"Check": "=stroke", "Hs": "1\u202f364.5", "Share": "12\u00a0%"}]
    assert csv_text(rows) == "Check,Hs,Share\r\n'=stroke,1364.5,12 %\r\n"


def test_lines_say_years_and_what_is_not_known(over_years: Operability) -> None:
    told = " ".join(view.lines(over_years.steps[0]))
    assert "Years differ: one in ten below" in told
    assert "4 years of the record" in told
    assert "Of the time that is known" in told
    assert "0.5\u00a0% not assessed" in view.headline(over_years.steps[0])


def test_charts_of_a_record_are_made(over_years: Operability) -> None:
    step = over_years.steps[0]
    chart = climate_months_figure(step, LIGHT)
    workable, unknown, years = chart.data
    assert list(workable.y) == [one.workable for one in step.months if one is not None]
    assert max(unknown.y) > 0
    assert years.y[0] == 0.0
    curves = spells_figure(persistence(over_years), DARK)
    assert [curve.name for curve in curves.data] == ["workable", "over a limit"]
    assert curves.data[0].y[0] == 1.0


@pytest.mark.parametrize("look", [LIGHT, DARK])
@pytest.mark.parametrize(("system", "unit"), [("metric", "m"), ("oilfield", "ft")])
def test_the_picture_tells_every_class(look: Any, system: str, unit: str) -> None:
    plan = heave.demo_plan()
    cells = np.array([[30.0, 20.0], [10.0, 0.04]])
    diagram = Scatter("Tz", np.array([0.0, 3.0, np.inf]), np.array([5.0, 7.0, 9.0]), (ScatterPart(cells),))
    step = operability(plan, seas_of_scatter(plan, diagram)).steps[0]
    assert step.classes is not None
    axes = Axes(diagram.hs_limits, diagram.period_limits, diagram.period_kind)
    drawing = classes_figure(axes, step.classes, look, system)
    assert drawing.startswith("<svg")
    assert f">Hs, {unit}<" in drawing
    assert ">50<" in drawing
    assert ">open<" in drawing
    assert "stroke-dasharray" in drawing  # the open class is not assessed
    assert "<pattern" not in drawing  # which the browser prints as a photograph for each class
    striped = re.findall(r"<rect ([^>]*)/>", drawing.partition("<clipPath")[2].partition("</clipPath>")[0])
    boxes = drawing.partition("<clipPath")[0]
    assert len(striped) == int((step.classes.over > 0).sum()) == boxes.count(f'fill="{look.fill(OVER)}"')
    assert all(place in boxes for place in striped)
    assert "83\u00a0% of the time" in classes_words(axes, step.classes, system)
    rows = tables.classes_table(axes.hs, axes.period, axes.kind, step.classes)
    assert len(rows) == 4
    assert rows[2]["unknown"] == "1"


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (1.0, "100.0\u00a0%"),
        (0.9996, "over 99.9\u00a0%"),
        (1.0 - 2e-16, "100.0\u00a0%"),
        (0.5, "50.0\u00a0%"),
        (0.0004, "under 0.1\u00a0%"),
        (0.0, "0.0\u00a0%"),
        (math.nan, "not known"),
    ],
)
def test_a_share_is_never_rounded_to_all_or_nothing(value: float, shown: str) -> None:
    assert share_words(value) == shown


def test_headings_side_by_side() -> None:
    plan = heave.demo_plan()
    diagram = Scatter("Tz", np.array([0.0, 2.0, 4.0]), np.array([6.0, 8.0]), (ScatterPart(np.ones((2, 1))),))
    found = {
        rule: operability(plan, seas_of_scatter(plan, diagram, split=1), rule) for rule in ("fixed", "head")
    }
    rows = tables.headings_table(plan, found)  # type: ignore[arg-type]
    assert [row["Heading"] for row in rows] == ["Plan's heading, 220°", "Bow to the waves"]
    assert "1: Drilling ahead" in rows[0]


def test_a_diagram_tells_no_waiting_on_the_page() -> None:
    page = AppTest.from_file(PAGE, default_timeout=300)
    page.session_state["heave:tab:climate"] = "Waiting"
    page.run()
    assert not page.exception
    assert "no order in time" in words(page)


@pytest.mark.parametrize("tab", ["Checks", "Months and years", "Headings", "Notes"])
def test_every_tab_of_the_example_is_drawn(tab: str) -> None:
    page = AppTest.from_file(PAGE, default_timeout=300)
    page.session_state["heave:tab:climate"] = tab
    page.run()
    assert not page.exception


def test_what_was_counted_holds_for_its_own_question_alone(over_years: Operability) -> None:
    plan = heave.demo_plan()
    other_sea = plan.changed(sea=plan.sea.with_primary(hs=1.0))
    assert store.same_question(plan, other_sea)
    assert not store.same_question(plan, plan.changed(heading=10.0))


def test_a_job_tells_how_far_it_is_and_stops() -> None:
    def work(progress: Any) -> str:
        progress(0.5)
        return "done"

    job = Job("a record", work)
    job.start()
    job.thread.join()
    assert (job.share, job.result) == (0.5, "done")
    stopped = Job("a record", work)
    stopped.stop.set()
    stopped.start()
    stopped.thread.join()
    assert stopped.result is None
    assert "Stopped" in stopped.error
    with pytest.raises(CancelledError):
        stopped._tell(1.0)


def test_a_share_of_the_time_says_that_no_hoisting_path_was_judged() -> None:
    page = opened()
    assert "hoisting path" not in words(page)
    page.session_state["heave:plan"] = page.session_state["heave:plan"].changed(hoisting=None, line_work=None)
    page.run()
    assert not page.exception
    assert "Nothing of the hoisting path is judged" in words(page)
