"""Pages and state: opens on the demo plan, follows edits, and loses nothing to pages, uploads or reruns."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from streamlit.testing.v1 import AppTest

from heave.files.plan import plan_to_json, read_plan
from heave.files.rigs import demo_plan
from heave.judging import assess
from heave.planning import OPERATIONS, HsLimit, Operation, Plan
from heave.screens import state

Box = Callable[[str], Any]
Words = Callable[[], str]
Unfold = Callable[..., None]
APP = Path(__file__).resolve().parents[2] / "app.py"
PAGES = ("heave/screens/check/page.py", "heave/screens/rig/page.py", "heave/screens/method/page.py")


def plan_of(app: AppTest) -> Plan:
    plan: Plan = app.session_state["heave:plan"]
    return plan


def load(app: AppTest, name: str, data: bytes, kind: str = "application/json") -> None:
    """Put a file in the upload box of a plan."""
    box = next(item for item in app.file_uploader if item.label == "Load a plan")
    box.set_value([(name, data, kind)]).run()


def test_opens_on_the_complete_demo_plan(app: AppTest, words: Words) -> None:
    result = assess(demo_plan())
    assert plan_of(app) == demo_plan()
    assert result.verdict[1:] in words()
    assert f"**{result.governing.name}** governs" in words()  # type: ignore[union-attr]
    assert "Room to **Hs" in words()


def test_the_echo_names_every_number_used(words: Words) -> None:
    echo = next(line for line in words().splitlines() if line.startswith("Computed for"))
    for part in (
        "wind sea Hs 2.8\u00a0m, Tp 8.8\u00a0s from 225°",
        "swell Hs 1.4\u00a0m, Tp 13\u00a0s from 255°",
        "175° relative",
        "heading 220°",
        "drilling ahead",
        "WOB 180\u00a0kN",
        "exposure 6\u00a0h",
        "accepted risk 1\u00a0%",
        "1 of 100",
        "amplitudes single",
        "crest to trough",
        "model 2026.",
    ):
        assert part in echo, part


def test_a_higher_sea_changes_the_verdict(app: AppTest, box: Box, words: Words) -> None:
    box("Hs 1 (m)").set_value("9").run()
    assert assess(plan_of(app)).verdict == "over a limit"
    assert "[Over a limit]" in words()
    assert "would have to fall to **Hs" in words()
    box("Hs 1 (m)").set_value("0.2").run()
    box("Hs 2 (m)").set_value("0.1").run()
    assert assess(plan_of(app)).verdict == "within limits"
    assert "[Within limits]" in words()


def test_every_caution_is_on_the_page(app: AppTest, words: Words) -> None:
    page = words()
    for caution in assess(plan_of(app)).cautions:
        assert caution in page


def test_every_check_shows_its_working_and_source(app: AppTest, words: Words, unfold: Unfold) -> None:
    checks = assess(plan_of(app)).checks
    assert "Source:" not in words()
    unfold("quiet-links", *(f"working:{check.key}" for check in checks))
    page = words()
    for check in checks:
        assert f"Source: {check.source}" in page
        for step in check.working:
            assert step.symbols().replace("\\", "") in page


@pytest.mark.parametrize("kind", sorted(OPERATIONS))
def test_every_operation_can_be_shown(app: AppTest, kind: str, words: Words) -> None:
    app.selectbox(key="heave:pick:operation").set_value(kind).run()
    assert not app.exception
    assert plan_of(app).operation.kind == kind
    verdict = assess(plan_of(app)).verdict
    assert f"[{verdict.capitalize()}]" in words()


def test_pages_lose_nothing(app: AppTest, box: Box) -> None:
    box("Hs 1 (m)").set_value("3.7").run()
    box("Heading (°)").set_value("95").run()
    app.segmented_control(key="heave:pick:units").set_value("oilfield").run()
    kept = plan_of(app)
    for page in (*PAGES[1:], PAGES[0]):
        app.switch_page(page).run()
        assert not app.exception
        assert plan_of(app) == kept
        assert app.segmented_control(key="heave:pick:units").value == "oilfield"
    assert box("Heading (°)").value == "95"


def test_a_saved_plan_loads_again(app: AppTest, box: Box) -> None:
    other = demo_plan().changed(name="Other plan", heading=10.0, wob=120e3)
    load(app, "other.json", plan_to_json(other).encode())
    assert not app.exception
    assert plan_of(app) == other
    assert box("Heading (°)").value == "10"
    said = app.success[0].value.replace("\\", "")
    assert "other.json" in said
    assert "brings the plan before it back" in said
    assert read_plan(plan_to_json(plan_of(app)).encode()) == other
    app.button(key="heave:undo").click().run()
    assert plan_of(app) == demo_plan()


def test_planned_speeds_are_not_counted_as_limits(app: AppTest) -> None:
    landing = Operation(kind="landing", hoisting_speed=1.3, lowering_speed=0.7)
    app.session_state["heave:plan"] = demo_plan().changed(operation=landing, overpull=0.0)
    app.run()
    assert any(item.label == "Rig's limits: none" for item in app.expander)


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"nonsense",
        b"\xff\xfe\x00",
        b"{}",
        b"[1, 2]",
        json.dumps({"format": "heave-plan", "version": 1, "model": "x", "plan": {"hs": 1}}).encode(),
        plan_to_json(demo_plan()).replace('"wob_n": 180000.0', '"wob_n": NaN').encode(),
        plan_to_json(demo_plan()).encode()[:-40],
    ],
)
def test_a_broken_plan_file_changes_nothing(app: AppTest, box: Box, data: bytes) -> None:
    box("Hs 1 (m)").set_value("3.3").run()
    before = plan_of(app)
    load(app, "broken.json", data)
    assert not app.exception
    assert plan_of(app) == before
    assert "nothing was changed" in app.error[0].value.replace("\\", "")
    app.run()
    assert not app.error
    assert plan_of(app) == before


def test_wave_systems_come_and_go(app: AppTest, unfold: Unfold) -> None:
    unfold("shape")
    app.button(key="heave:add").click().run()
    assert len(plan_of(app).sea.systems) == 3
    app.button(key="heave:add").click().run()
    assert len(plan_of(app).sea.systems) == 4
    assert not [item for item in app.button if item.key == "heave:add"]
    app.button(key="heave:remove:0").click().run()
    assert not app.exception
    assert plan_of(app).sea.systems[0].label == "swell"
    assert len(plan_of(app).sea.systems) == 3


@pytest.mark.parametrize(
    "shape", ["two-parameter", "torsethaugen", "ochi-hubble", "gaussian-swell", "jonswap"]
)
def test_every_spectral_shape_can_be_picked(app: AppTest, shape: str, unfold: Unfold) -> None:
    unfold("shape")
    app.selectbox(key="heave:input:sea:systems:0:shape:").set_value(shape).run()
    assert not app.exception
    assert plan_of(app).sea.systems[0].shape == shape
    app.selectbox(key="heave:input:sea:systems:0:shape:").set_value("jonswap").run()
    assert plan_of(app).sea.systems[0].period is not None


def test_a_remedy_is_taken_and_undone(app: AppTest) -> None:
    before = plan_of(app)
    app.button(key="heave:remedy:0").click().run()
    after = plan_of(app)
    assert after != before
    assert assess(after).governing.utilisation < assess(before).governing.utilisation  # type: ignore[union-attr]
    app.button(key="heave:undo").click().run()
    assert plan_of(app) == before


def test_undo_never_takes_back_a_later_edit(app: AppTest, box: Box) -> None:
    app.button(key="heave:remedy:0").click().run()
    box("Hs 1 (m)").set_value("3.1").run()
    assert not [item for item in app.button if item.key == "heave:undo"]
    assert plan_of(app).sea.systems[0].hs == 3.1


def test_hostile_names_stay_text(app: AppTest, box: Box) -> None:
    box("Plan name").set_value("![x](http://198.51.100.1/x) <script>").run()
    assert not app.exception
    shown = [item.label for item in app.expander if "198" in item.label]
    assert shown
    assert all("![x](" not in text for text in shown)


def test_the_demo_plan_comes_back(app: AppTest, box: Box) -> None:
    box("Hs 1 (m)").set_value("7").run()
    app.button(key="heave:demo").click().run()
    assert plan_of(app) == demo_plan()
    assert box("Hs 1 (m)").value == "2.8"


def test_the_method_page_names_every_rule(app: AppTest, words: Words, unfold: Unfold) -> None:
    from heave.judging import RULES, STANDING

    app.switch_page(PAGES[2]).run()
    assert not app.exception
    labels = [item.label.replace("\\", "") for item in app.expander]
    for rule in RULES:
        assert rule.name in labels
    page = words()
    for caution in STANDING:
        assert caution in page
    unfold(*(f"rule:{rule.key}" for rule in RULES))
    page = words()
    for rule in RULES:
        assert rule.basis in page
        assert f"Source: {rule.source}" in page


def test_limits_and_offsets_are_edited_where_they_are_folded(app: AppTest, box: Box, unfold: Unfold) -> None:
    unfold("limits", "offsets")
    box("Start position from mid-stroke (m)").set_value("-0,4").run()
    assert plan_of(app).offsets.start_position == -0.4
    box("Heave limit of the rig's procedures (m)").set_value("2").run()
    assert plan_of(app).operation.heave_limit == 2.0
    assert assess(plan_of(app)).check("heave_limit").state != "not assessed"
    box("Lowest WOB allowed (kN)").set_value("400").run()
    assert plan_of(app).operation.wob_low == 20e3
    assert [item for item in app.markdown if "Not taken" in item.value]


def test_an_operation_without_its_limits_is_not_assessed(app: AppTest, words: Words) -> None:
    app.session_state["heave:plan"] = plan_of(app).changed(procedures=())
    app.selectbox(key="heave:pick:operation").set_value("landing").run()
    assert "[Not assessed]" in words()
    assert "Not assessed for want of a limit" in words()


def test_the_limit_that_an_operation_needs_is_asked_for_beside_it(
    app: AppTest, box: Box, words: Words
) -> None:
    app.session_state["heave:plan"] = plan_of(app).changed(procedures=())
    app.selectbox(key="heave:pick:operation").set_value("casing").run()
    assert "Needs the rig's heave limit for running casing" in words()
    box("Heave limit of the rig's procedures (m)").set_value("2.5").run()
    assert not app.exception
    assert plan_of(app).operation.heave_limit == 2.5
    assert "Needs the rig" not in words()
    assert "[Within limits]" in words()


def test_a_limit_in_another_motion_is_picked_and_typed_beside_the_operation(
    app: AppTest, box: Box, words: Words
) -> None:
    app.session_state["heave:plan"] = plan_of(app).changed(procedures=())
    app.selectbox(key="heave:pick:operation").set_value("casing").run()
    app.selectbox(key="heave:pick:measure").set_value("speed_limit").run()
    box("Limit of vertical speed at the rotary (m/s)").set_value("1,2").run()
    assert plan_of(app).operation.speed_limit == 1.2
    assert "Needs the rig" not in words()
    assert "[Within limits]" in words()
    box("Roll limit (°)").set_value("2").run()
    assert plan_of(app).operation.roll_limit == pytest.approx(math.radians(2))
    assert assess(plan_of(app)).check("roll_limit").state == "within limits"
    labels = [item.label for item in app.text_input]
    assert len(labels) == len(set(labels)), "no box twice"


def test_a_limit_of_a_motion_the_response_lacks_says_what_it_needs(app: AppTest, words: Words) -> None:
    plan = plan_of(app).doing("casing")
    table = plan.vessel.response
    flat = replace(plan.vessel, response=replace(table, roll=0 * table.heave))  # type: ignore[type-var, union-attr]
    app.session_state["heave:plan"] = plan.changed(vessel=flat)
    app.run()
    assert "[Not assessed]" in words()
    assert "needs the vessel's roll response" in words()
    assert "for want of a limit" not in words()


def test_a_swell_that_no_row_covers_is_said(app: AppTest, box: Box, words: Words, unfold: Unfold) -> None:
    unfold("limits")
    app.button(key="heave:hs:add").click().run()
    assert "No row" not in words()
    box("Tp to 1 (s)").set_value("10").run()
    assert "[Not assessed]" in words()
    assert "No row of the rig's Hs limits covers one of the wave systems" in words()


def test_limits_in_wave_height_come_and_go(app: AppTest, box: Box, unfold: Unfold) -> None:
    unfold("limits")
    for _ in range(2):
        app.button(key="heave:hs:add").click().run()
    box("Hs limit 2 (m)").set_value("3,5").run()
    box("Tp to 2 (s)").set_value("12").run()
    box("Relative heading from 2 (°)").set_value("90").run()
    assert not app.exception
    first, second = plan_of(app).operation.hs_limits
    assert (second.hs, second.period_to, second.heading_from) == (3.5, 12.0, 90.0)
    assert not math.isnan(assess(plan_of(app)).check("hs_limit").demand)
    app.button(key="heave:hs:0").click().run()
    assert plan_of(app).operation.hs_limits == (second,)
    assert first == HsLimit(hs=2.0)


def test_the_answer_waits_for_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Verdict, bars and echo are out before the limiting sea and the remedies are begun."""

    begun: list[Plan] = []

    def refuse(plan: Plan) -> Any:
        begun.append(plan)
        raise RuntimeError("the rest of the page is not drawn")

    monkeypatch.setattr(state, "_room", refuse)
    running = AppTest.from_file(str(APP), default_timeout=300).run()
    assert begun == [demo_plan()]
    assert len(running.exception) == 1
    shown = [item.value for item in running.markdown]
    assert any(f"[{assess(demo_plan()).verdict.capitalize()}]" in text for text in shown)
    assert any("governs" in text for text in shown)
    assert any(item.value.startswith("Computed for") for item in running.caption)
    assert "Every check, most used first" in [item.value for item in running.subheader]
