"""Hoisting page: the weakest link is named, the chain is edited top to bottom, the record of the line is kept."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest
from hoisting_plans import UNITS, drawn, loads_of, unit_of_kind, with_path
from streamlit.testing.v1 import AppTest

import heave
from heave.files.rigs import demo_hoisting
from heave.hoisting import efficiency, line_pulls
from heave.judging import NOT_ASSESSED, WITHIN, assess
from heave.judging.line_record import line_record
from heave.judging.path_loads import LOADED, PATH_KEYS, line_power
from heave.planning import LineJob, LineWork, Plan
from heave.screens.check import verdict
from heave.screens.figures.reeving import force
from heave.screens.hoisting import ledger, loads
from heave.units import show, significant, to_si

PAGE, RIG = "heave/screens/hoisting/page.py", "heave/screens/rig/page.py"
Box = Callable[[str], Any]
Words = Callable[[], str]
Unfold = Callable[..., None]


def plan_of(app: AppTest) -> Plan:
    plan: Plan = app.session_state["heave:plan"]
    return plan


@pytest.mark.parametrize(("system", "symbol"), [("metric", "kN"), ("oilfield", "klbf")])
def test_every_part_has_its_loads_in_picture_words_and_table(system: str, symbol: str) -> None:
    plan = with_path(links_rating=None)
    found, states = loads_of(plan), {check.key: check.state for check in assess(plan).checks}
    picture = drawn(plan, system)
    head, rows = loads.table_rows(found, states, system)
    assert head[0] == symbol
    assert len(rows) == len(found.chain) == len(LOADED) + 2
    for part, row in zip(found.chain, rows, strict=True):
        carried = (part.hoisting, part.holding, part.lowering, part.extreme)
        assert list(row[1:5]) == [force(load, system) for load in carried]
        assert f">{part.name}<" in picture
        assert f"sea {force(part.extreme, system)}" in picture
    links = next(row for row in rows if row[0] == "Links")
    assert links[-1] == "not judged: no rating given"
    assert "no rating" in picture
    assert sum("weakest" in row[-1] for row in rows) == 1


def test_the_page_names_the_weakest_link_and_the_plans_own_verdict(app: AppTest, words: Words) -> None:
    app.switch_page(PAGE).run()
    assert not app.exception
    text, result = words(), assess(plan_of(app))
    weakest = loads_of(plan_of(app)).weakest_link
    assert weakest is not None
    assert f"Weakest link: {loads_of(plan_of(app)).link(weakest).name.lower()}" in text
    assert f"utilisation **{result.check(weakest).utilisation:.2f}**" in text
    assert f"The whole plan: :orange[{result.verdict}], governed by stroke" in text


def test_words_of_the_reeving_are_those_of_its_numbers(unfold: Unfold, app: AppTest, words: Words) -> None:
    told = loads.why_not_times(10, 1.04, efficiency(10))
    assert "Why 10 lines do not lift 10 times" in told
    assert "keeps 3.8\u00a0%" in told
    assert "8.11 times" in told  # E of 10 lines, roller bearings: 0.811 (API RP 9B)
    app.switch_page(PAGE).run()
    unfold("strung", "pulls", "reeving")
    text, found = words(), loads_of(plan_of(app))
    for lines in (4, 8, 16):
        pull = float(line_pulls(found.on_block, lines)[..., 0]) / 1e3
        assert re.search(rf"\| {lines} \| {efficiency(lines):.3g} \|.* {pull:.3g}\xa0kN \|", text)
    assert "| Line 12 |" in text
    assert "F_cr = W_l + F_fl + F_dh" in text
    assert "API RP 9B" in text


def test_a_plan_without_a_path_says_so_and_offers_one(app: AppTest, words: Words) -> None:
    app.session_state["heave:plan"] = heave.demo_plan().changed(hoisting=None)
    app.switch_page(PAGE).run()
    assert "Hoisting path not given" in words()
    assert "Nothing of the hoisting path is judged" in words()
    for typed, why in (("11", "even number"), ("", "one number"), ("10", "")):
        app.text_input(key="heave:path:lines").set_value(typed).run()
        app.button(key="heave:path:new").click().run()
        assert not app.exception
        if why:
            assert plan_of(app).hoisting is None
            assert why in app.error[0].value.replace("\\", "")
    path = plan_of(app).hoisting
    assert path is not None
    assert (path.lines, path.hook_rating, path.line) == (10.0, None, None)
    assert "not judged: no rating given" in words()
    app.session_state["heave:plan"] = heave.demo_plan().changed(hoisting=None)
    app.run()
    app.button(key="heave:path:demo").click().run()
    assert plan_of(app).hoisting == demo_hoisting()


def open_chain(app: AppTest) -> None:
    app.session_state["heave:tab:rig"] = "Hoisting path"
    app.switch_page(RIG).run()
    assert not app.exception


@pytest.mark.parametrize(
    ("label", "typed", "why"),
    [
        ("Lines strung", "11", "an even number from 2 to 20"),
        ("Lines strung", "14", "at most 12, with 7 sheaves in the crown block"),
        ("Crown block rating (kN)", "150", ", what the block and what hangs on the lines"),
        ("Travelling block rating (kN)", "80", ", what the block and what hangs on the lines"),
        ("Line diameter (mm)", "33", "or a breaking strength of its own"),
        ("Lowest block position (m)", "40", "below the highest, 38"),
        ("Crown to block at its lowest (m)", "-4", "from 1.00 to 120\u00a0m"),
    ],
)
def test_bad_numbers_of_the_chain_are_refused_and_the_plan_kept(
    app: AppTest, box: Box, words: Words, label: str, typed: str, why: str
) -> None:
    open_chain(app)
    box(label).set_value(typed).run()
    assert not app.exception
    assert plan_of(app) == heave.demo_plan()
    assert "Not taken." in words()
    assert why in words()


@pytest.mark.parametrize("name", UNITS)
def test_the_chain_is_edited_from_the_crown_down_for_every_unit(app: AppTest, box: Box, name: str) -> None:
    app.session_state["heave:plan"] = heave.demo_plan().changed(compensator=UNITS[name])
    open_chain(app)
    box("Lines strung").set_value("10").run()
    box("Hook rating (kN)").set_value("").run()
    box("Top drive rating (kN)").set_value("4 450").run()
    path = plan_of(app).hoisting
    assert path is not None
    assert (path.lines, path.hook_rating, path.top_drive_rating) == (10.0, None, 4.45e6)
    assert getattr(plan_of(app).compensator, "lines", None) in (None, 10.0)
    headings = [item.value for item in app.main.markdown if item.value.startswith("## ")]
    assert headings[0] == "## Derrick and crown block"
    assert headings[-1] == "## Clearances"
    picks = [item.label for item in app.selectbox]
    assert ("The unit carries" in picks) == (UNITS[name].kind == "active-assisted")
    assert ("Lines of a moving crown" in picks) == (UNITS[name].mounting == "crown")


def test_lines_of_a_compensating_drawworks_and_of_the_path_go_together(app: AppTest, box: Box) -> None:
    app.session_state["heave:plan"] = heave.demo_plan().changed(compensator=unit_of_kind("drawworks"))
    app.session_state["heave:tab:rig"] = "Compensator"
    app.switch_page(RIG).run()
    box("Lines strung").set_value("8").run()
    plan = plan_of(app)
    assert plan.hoisting is not None
    assert (plan.hoisting.lines, plan.compensator.lines) == (8.0, 8.0)
    box("Lines strung").set_value("9").run()
    assert plan_of(app) == plan
    app.selectbox(key="heave:kind").set_value("in-line").run()
    app.selectbox(key="heave:kind").set_value("drawworks").run()
    assert not app.error
    assert plan_of(app).compensator.lines == 8.0
    app.selectbox(key="heave:library:compensator").set_value(unit_of_kind("drawworks").name).run()
    app.button(key="heave:use:compensator").click().run()
    assert not app.error
    assert plan_of(app).compensator.lines == 8.0
    open_chain(app)
    app.button(key="heave:path:demo").click().run()
    assert plan_of(app).compensator.lines == 12.0


def test_path_and_line_are_taken_out_and_put_in(app: AppTest) -> None:
    open_chain(app)
    app.button(key="heave:line:out").click().run()
    assert plan_of(app).hoisting == replace(demo_hoisting(), line=None)
    app.button(key="heave:line:in").click().run()
    assert plan_of(app).hoisting == demo_hoisting()
    app.button(key="heave:path:out").click().run()
    assert plan_of(app).hoisting is None
    assert app.info


def test_the_verdict_says_what_of_the_path_was_not_judged() -> None:
    bare = assess(heave.demo_plan().changed(hoisting=None))
    assert verdict.answer_words(bare, None) == "Near a limit, hoisting path not judged"
    assert "Nothing of the hoisting path is judged" in verdict.governs(bare, "metric")
    part = assess(with_path(hook_rating=None, links_rating=None))
    assert verdict.answer_words(part, None) == "Near a limit"
    assert "no rating or height given: hook, links" in verdict.governs(part, "metric").replace("\\", "")
    whole = verdict.governs(assess(heave.demo_plan()), "metric")
    assert "hoisting path" not in whole
    over = assess(heave.demo_plan().changed(hoisting=None, sea=heave.demo_plan().sea.with_primary(hs=9.0)))
    assert verdict.answer_words(over, None) == "Over a limit"


def test_quiet_links_stand_behind_a_disclosure_and_no_other_check_does() -> None:
    result = assess(with_path(links_rating=1.6e6))
    shown, quiet = verdict.without_quiet_links(result.by_utilisation)
    assert {check.key for check in shown} | {check.key for check in quiet} == {c.key for c in result.checks}
    assert [check.key for check in shown if check.key in LOADED] == ["links"]
    assert all(check.state == WITHIN for check in quiet)
    judged = {check.key for check in result.checks} & set(PATH_KEYS)
    assert {check.key for check in quiet} == judged - {"links"}
    hard, _ = verdict.without_quiet_links(
        assess(with_path(links_rating=1.4e6, hook_rating=1.5e6)).by_utilisation
    )
    assert {check.key for check in hard if check.key in LOADED} == {"hook", "links"}
    bare, none = verdict.without_quiet_links(assess(heave.demo_plan().changed(hoisting=None)).by_utilisation)
    assert none == []
    assert len(bare) > 5


def test_the_check_page_shows_the_governing_link_and_unfolds_the_rest(
    app: AppTest, unfold: Unfold, words: Words
) -> None:
    assert not app.exception
    quiet = verdict.without_quiet_links(assess(plan_of(app)).by_utilisation)[1]
    labels = [item.label for item in app.expander]
    told = f"Hoisting path: {len(quiet)} more checks within limits, most used {quiet[0].utilisation:.2f}"
    assert told in labels
    assert "## Elevators" not in words()
    unfold("quiet-links")
    assert "## Elevators" in words()


TON_MILE = to_si(2.0, "klbf") * 1609.344


def test_a_record_of_the_line_is_started_filled_in_and_told(app: AppTest, box: Box, words: Words) -> None:
    app.switch_page(PAGE).run()
    app.button(key="heave:line_work:start").click().run()
    assert not app.exception
    assert plan_of(app).line_work == LineWork()
    app.button(key="heave:job:add").click().run()
    for label, typed in (
        ("Work since the last cut (t·km)", "1 000"),
        ("Work between cuts (t·km)", "4 000"),
        ("Length of a cut (m)", "25"),
        ("Line on the supply reel (m)", "800"),
        ("Line on the drum (m)", "420"),
        ("Time the planned work takes (h)", "48"),
        ("Length of a stand (m)", "28"),
        ("Core diameter of the drum (mm)", "800"),
        ("Width between the flanges (m)", "1,4"),
        ("Layers on the drum", "5"),
    ):
        box(label).set_value(typed).run()
        assert not app.exception
    plan = plan_of(app)
    record, found = plan.line_work, line_record(plan)
    assert record is not None
    assert found is not None
    assert record.jobs == (LineJob("round trip", plan.string.length),)
    assert "3\u202f000\xa0t·km" in words()
    assert f"in {significant(found.time_left / 86400, 2)} days" in words()  # type: ignore[operator]
    before = plan_of(app)
    box("Core diameter of the drum (mm)").set_value("20").run()
    box("Work between cuts (t·km)").set_value("0").run()
    assert plan_of(app) == before
    assert words().count("Not taken.") == 2
    app.button(key="heave:job:cut:0").click().run()
    assert plan_of(app).line_work == replace(record, jobs=())
    app.button(key="heave:line_work:out").click().run()
    assert plan_of(app).line_work is None


def test_the_next_cut_has_a_date_and_what_cannot_wait_is_said() -> None:
    record = LineWork(
        since_cut=900 * TON_MILE,
        goal=1000 * TON_MILE,
        cut_length=25.0,
        on_reel=20.0,
        on_drum=370.0,
        drum_core=0.8,
        drum_width=1.4,
        drum_layers=5.0,
        jobs=(LineJob("round trip", 3000.0),),
        planned=86400.0,
        stand=28.0,
    )
    plan = heave.demo_plan().changed(line_work=record)
    found = line_record(plan)
    assert found is not None
    now = datetime(2026, 11, 26, 12, tzinfo=UTC)
    rows = {title: (figure, under) for title, figure, under in ledger.tiles(record, found, "oilfield", now)}
    assert rows["Work left before the cut"] == (
        "100\xa0ton-mile",
        "900\xa0ton-mile of 1\u202f000\xa0ton-mile done",
    )
    hours = 100 * TON_MILE / found.rate / 3600  # type: ignore[operator]
    assert rows["Next slip and cut"][0] == f"in {significant(hours / 24, 2)} days"
    assert rows["Next slip and cut"][1].startswith("26 Nov 2026 15:" if hours < 4 else "2")
    assert rows["Cuts left on the reel"][0] == "0"
    assert rows["Time for a stand"] == ("not known", "needs: stand, acceleration")
    said = ledger.warnings(found)
    assert any("wraps stay on the drum" in line for line in said)
    assert any("no line for another slip" in line for line in said)
    late = plan.changed(line_work=replace(record, since_cut=1001 * TON_MILE))
    overdue = line_record(late)
    assert overdue is not None
    assert any("past its goal" in line for line in ledger.warnings(overdue))
    assert ("Next slip and cut", "due now", "the goal is reached") in ledger.tiles(
        late.line_work,  # type: ignore[arg-type]
        overdue,
        "metric",
        now,
    )
    # a goal that is just reached is not past, and a little less than six wraps are not six
    assert any("at its goal" in line for line in ledger.warnings(replace(found, left=0.0)))
    few = replace(found, wraps=5.98)
    assert any(line.startswith("Only 5.9 wraps stay") for line in ledger.warnings(few))
    told = {title: figure for title, figure, _ in ledger.tiles(record, few, "metric", now)}
    assert told["Wraps left, block lowest"] == "5.9"


def test_only_a_compensating_drawworks_works_its_line_in_the_sea() -> None:
    plan = heave.demo_plan().changed(compensator=unit_of_kind("drawworks"), line_work=LineWork())
    for one, there in ((plan, True), (plan.changed(active=False), False), (plan.doing("tripping"), False)):
        found = line_record(one)
        assert found is not None
        titles = [title for title, *_ in ledger.tiles(LineWork(), found, "metric", datetime.now(UTC))]
        assert ("Compensating, each hour" in titles) == there


def test_a_forecast_is_told_as_one_figure_where_the_line_works_in_it(app: AppTest, words: Words) -> None:
    for unit, there in ((unit_of_kind("drawworks"), True), (unit_of_kind("in-line"), False)):
        app.session_state["heave:plan"] = heave.demo_plan().changed(compensator=unit, line_work=LineWork())
        app.switch_page(PAGE).run()
        assert not app.exception
        assert ("Compensating all of it" in words()) == there
        assert ("of the invented sample, plan's heading" in words()) == there


def test_no_part_with_a_rating_is_not_a_pass() -> None:
    plan = heave.demo_plan()
    found = loads_of(plan)
    bare = replace(found, chain=())
    assert loads.weakest_state(assess(plan), bare) == NOT_ASSESSED
    assert loads.weakest_words(bare) == "No part can be judged"


def test_mean_power_is_told_of_a_drawworks_that_compensates_and_of_no_other_unit() -> None:
    for plan in (with_path(), with_path().changed(compensator=unit_of_kind("drawworks"))):
        told, found = loads.mean_power(plan, "metric"), line_power(plan)
        assert bool(told) == plan.compensator.is_drawworks
        for _, figure, under in told:
            assert figure == show(found.hoisting, "power", "metric")
            assert show(found.lowering, "power", "metric") in under
            assert show(found.sheaves, "power", "metric") in under


def test_the_design_factor_of_the_line_is_its_strength_over_the_fast_line_in_this_sea() -> None:
    for kind, least in (("drilling", "3 or more"), ("casing", "2 or more")):
        plan = with_path().doing(kind)
        ((_, figure, under),) = loads.line_factor(plan, loads_of(plan), "metric")
        check = next(c for c in assess(plan).checks if c.key == "drilling_line")
        assert figure == significant(plan.hoisting.line.strength / check.demand, 2)
        assert under.endswith(least)
    bare = with_path(line=None)
    assert loads.line_factor(bare, loads_of(bare), "metric") == []
