"""Compare page: plans stand side by side, follow the plan or stay as they were, and can take its place."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from streamlit.testing.v1 import AppTest

import heave
from heave.files.plan import plan_to_json
from heave.files.rigs import demo_compensators, demo_vessels
from heave.judging import NOT_ASSESSED, OVER, WITHIN, assess
from heave.planning import Plan
from heave.screens.compare import tables
from heave.screens.figures.limit_curves import limit_figure, limit_words
from heave.screens.figures.look import LIGHT
from heave.screens.figures.utilisation import utilisation_text
from heave.studies.compare import limit_curve, sides, variant

PAGE = "heave/screens/compare/page.py"
ACTIVE, SEMI = "Demo active-assisted unit, 600 klbf", "Demo semisubmersible"
Box = Callable[[str], Any]
Words = Callable[[], str]

PLAN = heave.demo_plan()


@pytest.fixture
def page(app: AppTest) -> AppTest:
    app.switch_page(PAGE).run()
    assert not app.exception
    return app


def plan_of(app: AppTest) -> Plan:
    plan: Plan = app.session_state["heave:plan"]
    return plan


def add(app: AppTest, part: str, value: str) -> None:
    app.selectbox(key="heave:compare:part").set_value(part).run()
    key = f"heave:compare:value:{part}"
    box = app.text_input(key=key) if part == "heading" else app.selectbox(key=key)
    box.set_value(value).run()
    app.button(key="heave:compare:add").click().run()
    assert not app.exception


def bring(app: AppTest, plan: Plan, of: str = "whole", **changes: Any) -> None:
    app.selectbox(key="heave:compare:of").set_value(of).run()
    document = json.loads(plan_to_json(plan)) | changes
    uploader = next(item for item in app.main.get("file_uploader"))
    uploader.set_value([("other.json", json.dumps(document).encode(), "application/json")]).run()
    assert not app.exception


def names(app: AppTest) -> list[str]:
    return [item.name for item in app.session_state["heave:kept:compared"]]


def test_the_page_opens_on_the_plan_alone(page: AppTest, words: Words) -> None:
    text = words()
    assert "Nothing stands beside this plan yet." in text
    assert f"| **Verdict** | ![{assess(PLAN).verdict}]" in text
    assert "riser and its angle, the riser analysis" in text


def test_variants_follow_the_plan_and_an_active_unit_has_its_second_column(
    page: AppTest, box: Box, words: Words
) -> None:
    add(page, "compensator", ACTIVE)
    add(page, "vessel", SEMI)
    add(page, "heading", "200")
    add(page, "operation", "tripping")
    assert names(page) == [ACTIVE, SEMI, "Heading 200.0°", "Tripping"]
    text = words()
    assert f"This plan | {ACTIVE} | {ACTIVE}, active part lost | {SEMI} | Heading 200.0° | Tripping |" in text
    box("Hs 1 (m)").set_value("3.4").run()
    plan = plan_of(page)
    assert plan.sea.systems[0].hs == 3.4
    unit = assess(variant(plan, "compensator", demo_compensators()[ACTIVE]))
    assert unit.lost is not None
    shown = [assess(plan), unit, unit.lost, assess(variant(plan, "vessel", demo_vessels()[SEMI]))]
    line = next(row for row in words().splitlines() if row.startswith("| Governed by"))
    for cell, result in zip(line.split(" | ")[1:], shown, strict=False):
        assert result.governing is not None
        assert result.governing.name in cell
        assert f"**{utilisation_text(result.governing.utilisation)}**" in cell
    assert (
        "| Vessel: Draught | 11.0\u00a0m | 11.0\u00a0m | 19.0\u00a0m | 11.0\u00a0m | 11.0\u00a0m |" in words()
    )
    assert "Significant wave height" not in words()


def test_a_plan_of_a_file_and_a_kept_plan_stay_as_they_were(page: AppTest, box: Box, words: Words) -> None:
    bring(page, PLAN.changed(name="Of a file", wob=150e3))
    page.button(key="heave:compare:keep").click().run()
    assert names(page) == ["other.json", "Demo plan, as it was"]
    box("Hs 1 (m)").set_value("3.4").run()
    text = words()
    assert "| Sea, system 1: Significant wave height | 3.40\u00a0m | 2.80\u00a0m | 2.80\u00a0m |" in text
    assert "| Plan: Weight on bit | 180\u00a0kN | 150\u00a0kN | 180\u00a0kN |" in text


def test_one_part_of_a_file_stands_in_this_plan_and_its_model_is_said(page: AppTest, words: Words) -> None:
    other = PLAN.changed(vessel=demo_vessels()[SEMI], wob=100e3)
    bring(page, other, "vessel", model="2025.1")
    assert names(page) == ["vessel of other.json"]
    text = words()
    assert "Vessel: Draught" in text
    assert "Weight on bit |" not in text
    said = " ".join(item.value for item in page.warning).replace("\\", "")
    assert "It was written by model 2025.1" in said


def test_what_stands_there_outlives_a_visit_to_another_page_and_can_be_removed(page: AppTest) -> None:
    add(page, "vessel", SEMI)
    add(page, "heading", "200")
    page.switch_page("heave/screens/check/page.py").run()
    page.switch_page(PAGE).run()
    assert names(page) == [SEMI, "Heading 200.0°"]
    page.button(key="heave:compare:remove:0").click().run()
    assert names(page) == ["Heading 200.0°"]


def test_a_variant_can_take_the_place_of_the_plan_which_then_stands_in_its_own(page: AppTest) -> None:
    add(page, "heading", "200")
    before = plan_of(page)
    page.button(key="heave:compare:take:0").click().run()
    assert not page.exception
    assert plan_of(page) == before.changed(heading=200.0)
    assert names(page) == ["Demo plan, before Heading 200.0°"]
    assert page.session_state["heave:kept:compared"][0].plan() == before


@pytest.mark.parametrize(
    ("typed", "why"), [("400", "Vessel heading"), ("2,5,", "Heading to compare"), ("", "Heading")]
)
def test_a_heading_that_cannot_be_is_refused(page: AppTest, typed: str, why: str) -> None:
    page.selectbox(key="heave:compare:part").set_value("heading").run()
    page.text_input(key="heave:compare:value:heading").set_value(typed).run()
    page.button(key="heave:compare:add").click().run()
    assert why in page.error[0].value.replace("\\", "")
    assert "heave:kept:compared" not in page.session_state


def test_a_variant_the_plan_can_no_longer_have_says_so_and_the_rest_stays(
    page: AppTest, words: Words
) -> None:
    short = replace(PLAN.string, sections=(replace(PLAN.string.sections[-1], length=30.0),))
    light = PLAN.changed(string=short, wob=0.0)
    app = page
    app.session_state["heave:plan"] = PLAN.changed(wob=0.0)
    app.run()
    bring(app, light, "string")
    assert names(app) == ["string of other.json"]
    app.session_state["heave:plan"] = PLAN.changed(wob=300e3)
    app.run()
    assert not app.exception
    assert "string of other.json cannot be compared. Weight on bit" in app.error[0].value.replace("\\", "")
    assert "| **Verdict** |" in words()


def test_no_more_than_six_stand_side_by_side(page: AppTest, words: Words) -> None:
    for bow in ("200", "205", "210", "215", "225"):
        add(page, "heading", bow)
    assert "6 plans stand side by side, as many as there is room for." in words()
    assert len(names(page)) == 5


def test_a_file_that_is_none_is_refused_and_nothing_is_changed(page: AppTest) -> None:
    uploader = next(item for item in page.main.get("file_uploader"))
    uploader.set_value([("x.json", b"{}", "application/json")]).run()
    assert "x.json was not read" in page.error[0].value.replace("\\", "")
    assert "heave:kept:compared" not in page.session_state


def test_a_state_is_a_mark_with_its_word_and_never_a_colour_alone() -> None:
    (side,) = sides([("a", PLAN)])
    for check in side.checks.values():
        cell = tables._cell(check, "metric", LIGHT)
        assert f"![{check.state}](data:image/svg+xml;base64," in cell
        assert check.state in cell.split("[", 2)[2]
    marks = {tables._mark(state, LIGHT) for state in (WITHIN, OVER, NOT_ASSESSED)}
    assert len(marks) == 3


def test_names_of_files_are_no_markup(page: AppTest, words: Words) -> None:
    bring(page, PLAN.changed(name="![x](http://127.0.0.2/a.png) | **b**", wob=150e3))
    raw = "\n".join(item.value for item in page.markdown)
    assert "![x]" not in raw
    assert "| **b**" not in raw


@pytest.mark.parametrize("system", ["metric", "oilfield"])
def test_the_limit_curves_stand_on_one_axis_in_its_units(system: str) -> None:
    active = variant(PLAN, "compensator", demo_compensators()[ACTIVE])
    found = [(side, limit_curve(side.plan)) for side in sides([("A", active), ("B", PLAN)])]
    known = [(side, curve) for side, curve in found if curve is not None]
    drawn = limit_figure(known, LIGHT, system)
    lines = [trace for trace in drawn.data if trace.mode == "lines"]
    assert [trace.name for trace in lines] == ["A", "A, active part lost", "B"]
    assert lines[0].line.color == lines[1].line.color != lines[2].line.color
    assert (lines[0].line.dash, lines[1].line.dash) == ("solid", "dot")
    factor = {"metric": 1.0, "oilfield": 0.3048}[system]
    for trace, (_, curve) in zip(lines, known, strict=True):
        place = [one.tp for one in curve].index(12.0)
        assert trace.y[place] * factor == pytest.approx(curve[place].hs)
        assert trace.customdata[place] == curve[place].governing
    (dots,) = [trace for trace in drawn.data if trace.mode == "markers"]
    assert (dots.x[0], dots.y[0] * factor) == (pytest.approx(8.8), pytest.approx(2.8))
    assert "A, active part lost: Tp 5 s" in limit_words(known, system)
    highest = max(one.hs for _, curve in known for one in curve if math.isfinite(one.hs))
    assert drawn.layout.yaxis.range[1] * factor >= highest


def test_a_high_limit_and_a_high_sea_stand_in_the_picture() -> None:
    """A line that left the picture would read as one that ends: no limit up to the highest sea tried."""
    (side,) = sides([("A", PLAN.changed(sea=PLAN.sea.with_primary(hs=16.0)))])
    curve = tuple(replace(one, hs=18.0) for one in limit_curve(side.plan) or ())
    drawn = limit_figure([(side, curve)], LIGHT)
    assert drawn.layout.yaxis.range[1] >= 18.0


def test_a_line_that_is_missing_is_not_told_as_no_limit(page: AppTest, words: Words) -> None:
    """Where a required check cannot be made there is no line, as where no check reaches 1."""
    assert "no line and no limit" not in words()
    page.session_state["heave:plan"] = PLAN.changed(procedures=()).doing("casing")
    page.run()
    assert not page.exception
    assert "Not assessed, so no line and no limit where it is missing: This plan" in words()
