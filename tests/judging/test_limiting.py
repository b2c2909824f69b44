"""Limiting sea and remedies: the root is a root, and what is offered really helps."""

from __future__ import annotations

import dataclasses
import math

import pytest

import heave
from heave.judging import what_would_help
from heave.planning import Operation
from heave.sea import SeaState


@pytest.mark.parametrize(("tp", "heading"), [(None, None), (7.0, 220.0), (12.0, 130.0), (15.0, 200.0)])
def test_governing_check_is_one_at_the_limiting_sea(tp: float | None, heading: float | None) -> None:
    plan = heave.demo_plan()
    found = heave.limiting_sea(plan, tp=tp, heading=heading)
    assert found.reached
    at = plan.changed(heading=found.heading, sea=plan.sea.with_primary(hs=found.hs, tp=found.tp))
    result = heave.assess(at)
    assert result.governing.utilisation == pytest.approx(1.0, abs=0.005)
    assert result.governing.name == found.governing
    assert float(found) == found.hs


def test_more_sea_than_the_limit_is_over_and_less_is_not() -> None:
    plan = heave.demo_plan()
    limit = heave.limiting_sea(plan).hs
    assert heave.assess(plan.changed(sea=plan.sea.with_primary(hs=1.02 * limit))).verdict == "over a limit"
    assert heave.assess(plan.changed(sea=plan.sea.with_primary(hs=0.98 * limit))).verdict != "over a limit"


def test_a_plan_over_its_limit_in_a_calm_has_no_sea_at_all() -> None:
    plan = heave.demo_plan()
    unit = dataclasses.replace(plan.compensator, compensated_rating=1e6)
    found = heave.limiting_sea(plan.changed(compensator=unit))
    assert found.hs == 0.0
    assert found.governing == "Compensated load"


def test_no_limit_is_infinite_and_named_none() -> None:
    plan = heave.demo_plan()
    calm = plan.changed(
        operation=Operation(kind="waiting"),
        sea=SeaState.single(hs=1.0, tp=2.5, direction_from=220.0, depth=1200.0),
    )
    found = heave.limiting_sea(calm)
    assert math.isinf(found.hs)
    assert found.governing is None


def test_every_remedy_is_a_real_assessment_of_its_plan() -> None:
    result = heave.assess(heave.demo_plan())
    remedies = what_would_help(result)
    assert remedies
    for remedy in remedies:
        after = heave.assess(remedy.plan)
        assert remedy.after == after.governing.utilisation < result.governing.utilisation
        assert remedy.governed_by == after.governing.name


def test_opening_shut_bottles_is_offered_when_the_band_governs() -> None:
    plan = heave.demo_plan()
    unit = dataclasses.replace(plan.compensator, gas_volume=20.0, gas_volume_shut=11.0)
    tight = plan.changed(compensator=unit, operation=Operation(wob_low=100e3, wob_high=220e3))
    labels = [remedy.label for remedy in what_would_help(heave.assess(tight))]
    assert "Open the shut gas bottles" in labels


def test_waiting_is_offered_only_over_the_limit() -> None:
    plan = heave.demo_plan()
    over = heave.assess(plan.changed(sea=plan.sea.with_primary(hs=9.0)))
    assert any(remedy.plan is None for remedy in what_would_help(over))
    assert all(remedy.plan is not None for remedy in what_would_help(heave.assess(plan)))
