"""Cautions that a plan's own figures call for."""

from __future__ import annotations

from dataclasses import replace

import pytest

import heave
from heave.judging import STANDING
from heave.planning import Operation, StaticOffsets
from heave.planning.rig import closed_form_vessels


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


def test_a_vessel_needs_water_to_float_in() -> None:
    """A ship of 11 m draught in 8 m of water; tide and deeper draught take their part."""
    plan = heave.demo_plan()
    hulls = {"table": plan.vessel, "box": closed_form_vessels()["Box-hull ship, closed form"]}
    for vessel in hulls.values():
        still = plan.changed(vessel=vessel, offsets=StaticOffsets())
        for depth in (8.0, 11.0):
            with pytest.raises(heave.InputError, match=r"Water depth.*draught of 11\u00a0m"):
                still.changed(sea=replace(plan.sea, depth=depth))
        afloat = still.changed(sea=replace(plan.sea, depth=11.5))
        for offsets in (StaticOffsets(tide_fall=0.5), StaticOffsets(draught_change=0.5)):
            with pytest.raises(heave.InputError, match="Water depth"):
                afloat.changed(offsets=offsets)
        assert afloat.changed(offsets=StaticOffsets(draught_change=-0.5)).under_keel == 0.5
        assert _has(afloat, "may touch the seabed")
        assert _has(afloat, "only 1.0 times as deep as the draught")


def test_shallow_water_is_told_below_one_and_a_half_draughts() -> None:
    plan = heave.demo_plan()
    for depth, told in ((16.4, True), (16.6, False)):
        changed = plan.changed(sea=replace(plan.sea, depth=depth), offsets=StaticOffsets())
        assert _has(changed, "times as deep as the draught") == told
        unknown = changed.changed(vessel=replace(plan.vessel, draught=None))
        assert unknown.under_keel is None
        assert _has(unknown, "draught is not given")
    assert not _has(plan.changed(vessel=replace(plan.vessel, draught=None)), "draught is not given")


def test_a_closed_form_hull_has_one_draught() -> None:
    with pytest.raises(heave.InputError, match=r"Draught.*own is 11\u00a0m"):
        replace(closed_form_vessels()["Box-hull ship, closed form"], draught=12.0)


def test_a_hookload_of_another_string_is_said_first_until_confirmed() -> None:
    plan = heave.demo_plan()
    own = plan.string.hookload
    for share, asked in ((0.84, True), (0.86, False), (1.14, False), (1.16, True)):
        changed = plan.changed(hookload_entered=share * own)
        assert changed.hookload_to_confirm == asked
        assert ("times that of the string" in heave.assess(changed).cautions[0]) == asked
        assert not changed.changed(hookload_confirmed=share * own).hookload_to_confirm
    confirmed = plan.changed(hookload_entered=2 * own, hookload_confirmed=2 * own)
    assert not _has(confirmed, "times that of the string")
    assert "2.1 times" in heave.assess(confirmed.changed(hookload_entered=2.1 * own)).cautions[0]
