"""Cautions that a plan's own figures call for."""

from __future__ import annotations

import heave
from heave.judging import STANDING
from heave.planning import Operation


def _has(plan: heave.Plan, words: str) -> bool:
    return any(words in caution for caution in heave.assess(plan).cautions)


def test_past_the_stroke_the_figures_are_said_not_to_hold() -> None:
    plan = heave.demo_plan()
    assert not _has(plan, "past the end of the stroke")
    assert _has(plan.changed(sea=plan.sea.with_primary(hs=12.0)), "past the end of the stroke")


def test_an_active_part_without_feedback_is_said_off_bottom_only() -> None:
    unit = heave.files.rigs.demo_compensators()["Demo active-assisted unit, 600 klbf"]
    plan = heave.demo_plan().changed(compensator=unit)
    landing = plan.changed(operation=Operation(kind="landing"))
    assert not _has(plan, "without watching the hook's place")
    assert _has(landing, "without watching the hook's place")
    assert not _has(landing.changed(active=False), "without watching the hook's place")
    assert _has(landing.changed(active=False), "taken as lost")


def test_shut_bottles_and_a_locked_unit_are_told_in_ratios() -> None:
    plan = heave.demo_plan()
    assert _has(plan, "1.2 times as stiff")
    assert _has(plan, "times the weight on bit")


def test_the_standing_cautions_always_end_the_list() -> None:
    for kind in ("drilling", "waiting", "fixed"):
        cautions = heave.assess(heave.demo_plan().changed(operation=Operation(kind=kind))).cautions
        assert cautions[-len(STANDING) :] == STANDING
        assert len(set(cautions)) == len(cautions)
