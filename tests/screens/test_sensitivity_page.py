"""The sensitivity page: what it says against what was computed, ranges edited in its grid, a run with its end."""

from __future__ import annotations

import csv
import io
import math
import time
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Any

import pytest
from streamlit.testing.v1 import AppTest
from studied import only

from heave.errors import InputError
from heave.files.rigs import demo_plan
from heave.judging import NEAR, NOT_ASSESSED, OVER, WITHIN
from heave.planning import Operation, Plan, StudiedInput
from heave.screens.figures.look import LIGHT
from heave.screens.figures.swings import swings_figure
from heave.screens.job import Job
from heave.screens.sensitivity import chances, ranges, swings
from heave.screens.weather.table import csv_text
from heave.studies.inputs import inputs_of
from heave.studies.monte_carlo import MonteCarlo, monte_carlo
from heave.studies.sensitivity import Sensitivity

PAGE = "heave/screens/sensitivity/page.py"


@pytest.fixture(scope="module")
def found() -> Sensitivity:
    return swings.of(demo_plan())


@pytest.fixture(scope="module")
def drawn() -> MonteCarlo:
    given = StudiedInput("sea_height", 2.0, 5.0), StudiedInput("tide_rise", 0.0, 1.0)
    return monte_carlo(only(demo_plan(), *given, samples=200, seed=3))


def row_of(plan: Plan, name: str) -> int:
    return [one.name for one in inputs_of(plan)].index(name)


def test_the_page_says_what_was_computed(app: AppTest, words: Callable[[], str], found: Sensitivity) -> None:
    app.switch_page(PAGE).run()
    assert not app.exception
    page = words()
    first = found.swings[0]
    assert f"{first.ranged.input.about.label} moves it most" in page
    assert f"As planned {found.planned.utilisation:.2f}, {found.planned.state}" in page
    assert "One input at a time" in page
    assert app.button(key="heave:study:run").label == "Draw 10\u202f000 plans, seed 1"


def test_an_end_without_a_plan_is_in_the_words() -> None:
    found = swings.of(only(demo_plan(), StudiedInput("wob", 100e3, 1.9e6)))
    assert any("Weight on bit: Weight on bit" in line for line in swings.notes(found, swings.moving(found)))
    assert any(
        "Not assessed somewhere in the range of: Weight on bit." in line
        for line in swings.sentences(found, "metric")
    )
    assert "no plan" in swings_figure(found, swings.moving(found), LIGHT)
    assert "no such plan" in swings.table_rows(found, "metric")[0]["At high"]


def test_a_plan_that_is_not_assessed_has_no_result_to_move() -> None:
    plan = demo_plan().changed(operation=Operation(kind="casing"))
    found = swings.of(plan)
    assert swings.headline_words(found) == "Not assessed"
    assert swings.worst_state(found) == "not assessed"
    assert "needs the rig's heave limit for running casing" in swings.sentences(found, "metric")[0]
    assert swings.moving(found) == []
    assert all(math.isfinite(one.size) for one in found.swings)
    assert "Move the highest" not in " ".join(swings.notes(found, []))


def test_an_end_that_is_not_assessed_is_no_pass() -> None:
    found = swings.of(only(demo_plan(), StudiedInput("tide_rise", 0.0, 0.01)))
    (row,) = found.swings
    assert swings.worst_state(found) == found.planned.state == NEAR
    unknown = replace(row, high=replace(row.high, utilisation=math.nan, state=NOT_ASSESSED))
    assert swings.worst_state(replace(found, swings=(unknown,))) == NOT_ASSESSED
    part = replace(
        row, high=replace(row.high, state=NOT_ASSESSED)
    )  # highest, of the checks that could be made
    assert swings.worst_state(replace(found, swings=(part,))) == NOT_ASSESSED
    over = replace(unknown, low=replace(row.low, utilisation=1.2, state=OVER))
    assert swings.worst_state(replace(found, swings=(over,))) == OVER


def test_the_table_is_the_same_as_csv(found: Sensitivity) -> None:
    rows = list(csv.DictReader(io.StringIO(csv_text(swings.table_rows(found, "oilfield")))))
    assert len(rows) == len(found.swings)
    assert rows[0]["Low end"].endswith("ft")


def test_cells_of_the_grid_go_into_the_plan_in_the_units_on_the_screen() -> None:
    plan = demo_plan()
    place = row_of(plan, "wob")
    made = ranges.with_edits(plan, {place: {ranges.LOW: "30,5", ranges.SPREAD: "normal"}}, "oilfield")
    own = made.study.of("wob")
    assert own is not None
    assert own.low == pytest.approx(30.5 * 4448.2216, rel=1e-6)
    assert own.high == pytest.approx(1.03 * plan.wob)
    assert (own.shape, own.varied) == ("normal", True)
    assert ranges.grid(made, "oilfield")[place][ranges.LOW] == "30.5"
    assert ranges.grid(made, "oilfield")[place]["Range from"] == "you"
    off = ranges.with_edits(made, {place: {ranges.VARY: False}}, "metric")
    assert off.study.of("wob") == replace(own, varied=False)
    assert ranges.with_edits(off, {place: {ranges.HIGH: ""}}, "metric") == plan


@pytest.mark.parametrize(
    ("name", "cells", "why"),
    [
        ("wob", {ranges.LOW: "many"}, "one number"),
        ("wob", {ranges.LOW: "-5"}, "from 0"),
        ("wob", {ranges.LOW: "190", ranges.HIGH: "150"}, "below the high end, 150\u00a0kN"),
        ("sea_period", {ranges.HIGH: "29"}, "Wave period"),
        ("sea_turn", {ranges.LOW: "-200"}, "180"),
        ("sea_height", {ranges.LOW: "0"}, "Significant wave height"),
    ],
)
def test_a_cell_that_cannot_be_is_refused(name: str, cells: dict[str, Any], why: str) -> None:
    plan = demo_plan()
    with pytest.raises(InputError, match=why):
        ranges.with_edits(plan, {row_of(plan, name): cells}, "metric")


def test_an_input_planned_at_zero_takes_its_planned_value_as_the_other_end() -> None:
    plan = demo_plan()
    plan = plan.changed(offsets=replace(plan.offsets, vessel_offset=0.0))
    place = row_of(plan, "vessel_offset")
    assert ranges.grid(plan, "metric")[place]["Range from"] == ranges.NO_RANGE
    with pytest.raises(InputError, match="before it can be varied"):
        ranges.with_edits(plan, {place: {ranges.VARY: True}}, "metric")
    own = ranges.with_edits(plan, {place: {ranges.HIGH: "30"}}, "metric").study.of("vessel_offset")
    assert own is not None
    assert (own.low, own.high) == (0.0, 30.0)


def test_a_run_is_watched_to_its_end_and_outlives_a_page_change(
    app: AppTest, words: Callable[[], str]
) -> None:
    given = StudiedInput("sea_height", 2.0, 5.0), StudiedInput("sea_turn", -20.0, 20.0)
    app.session_state["heave:plan"] = only(demo_plan(), *given, samples=300, seed=4)
    app.switch_page(PAGE).run()
    app.button(key="heave:study:run").click().run()
    deadline = time.monotonic() + 180
    while app.session_state["heave:kept:study:job"] is not None and time.monotonic() < deadline:
        time.sleep(0.2)
        app.run()
    assert not app.exception
    result: MonteCarlo = app.session_state["heave:kept:study:result"]
    page = words()
    assert chances.headline_words(result) in page
    assert "300 plans drawn, seed 4." in page
    app.switch_page("heave/screens/method/page.py").run()
    app.switch_page(PAGE).run()
    assert chances.headline_words(result) in words()
    app.text_input(key="heave:input:heading:metric").set_value("200").run()
    assert any("plan has changed" in item.value for item in app.warning)


def test_cancel_keeps_nothing() -> None:
    job = Job("plans", partial(chances.drawn, demo_plan()))
    job.stop.set()
    job.start()
    job.thread.join(180)
    assert job.result is None
    assert "Stopped" in job.error


def test_figures_of_the_run(drawn: MonteCarlo) -> None:
    whole = drawn.exceedances[0]
    head, rows, under = chances.table(drawn)
    assert len(head) == len(rows[0])
    assert rows[0][0] == "Any check"
    assert "In none of the plans" in under
    assert "Not assessed in any: heave limit of the rig; stroke-out rate" in under
    assert chances.verdict_of(whole) in (OVER, "near a limit")
    assert chances.verdict_of(replace(whole, over=0, unknown=0)) == WITHIN
    assert chances.verdict_of(replace(whole, over=0, unknown=1)) == "not assessed"
    doubtful = replace(drawn, exceedances=(replace(whole, over=4, unknown=1), *drawn.exceedances[1:]))
    assert chances.headline_words(doubtful) == "Over a limit in at least 2.0\u00a0% of the plans"
    table = chances.check_rows(drawn)
    assert {row["Seed"] for row in table} == {"3"}
    assert {row["Samples"] for row in table} == {"200"}
    assert float(table[0]["Over its limit"]) == whole.share
    shares = chances.share_rows(drawn)
    assert [row["Input"] for row in shares] == [one.input.about.label for one, _ in drawn.contributions]


def test_percents_do_not_round_to_certainty() -> None:
    assert chances.percent(0.0) == "0\u00a0%"
    assert chances.percent(1.0) == "100\u00a0%"
    assert chances.percent(0.9998) == "99.980\u00a0%"
    assert chances.percent(0.0333) == "3.3\u00a0%"
    assert not math.isnan(float(chances.percent(1e-9)[:-2]))


def test_a_chance_says_that_no_hoisting_path_was_judged(
    app: AppTest, words: Callable[[], str], drawn: MonteCarlo
) -> None:
    """No plan over a limit is no pass of what nobody judged."""
    bare = drawn.plan.changed(hoisting=None, line_work=None)
    app.session_state["heave:plan"] = bare
    app.session_state["heave:kept:study:result"] = replace(drawn, plan=bare)
    app.switch_page(PAGE).run()
    assert not app.exception
    assert chances.headline_words(drawn) in words()
    assert (
        words().count("Nothing of the hoisting path is judged") == 2
    )  # beside what moves the result as well
