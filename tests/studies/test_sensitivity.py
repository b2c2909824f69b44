"""One input at a time: against plans assessed by hand, a resonance inside a range, and ends that can be no plan."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import pytest
from studied import only

from heave.errors import InputError
from heave.files.plan import plan_to_json, read_plan
from heave.files.rigs import demo_plan
from heave.judging import assess
from heave.planning import CLOSED, OPERATIONS, Plan, Ranges, StudiedInput
from heave.sea import SeaState
from heave.studies.inputs import MEMORY, PLANNED, STATED, held, ranged
from heave.studies.sensitivity import Sensitivity, Swing, sensitivity


def swing(found: Sensitivity, name: str) -> Swing:
    return next(one for one in found.swings if one.ranged.input.name == name)


def test_ends_are_those_of_plans_assessed_by_hand() -> None:
    plan = demo_plan()
    closed = plan.changed(ranges=CLOSED)
    found = sensitivity(plan)
    unit, offsets = plan.compensator, plan.offsets
    by_hand = {
        "wob": lambda v: closed.changed(wob=v),
        "gas_volume": lambda v: closed.changed(compensator=replace(unit, gas_volume=v)),
        "hydraulic_loss": lambda v: closed.changed(compensator=replace(unit, hydraulic_loss=v)),
        "tide_rise": lambda v: closed.changed(offsets=replace(offsets, tide_rise=v)),
        "start_position": lambda v: closed.changed(offsets=replace(offsets, start_position=v)),
        "string_loss": lambda v: closed.changed(string_loss=v),
        "heading_turn": lambda v: closed.changed(heading=plan.heading + v),
    }
    for name, made in by_hand.items():
        one = swing(found, name)
        for end in (one.low, one.high):
            result = assess(made(end.value))
            assert result.governing is not None
            assert end.utilisation == pytest.approx(result.governing.utilisation, rel=1e-6), name
            assert end.governing == result.governing.name
            for check in result.checks:
                assert end.by_check[check.key] == pytest.approx(check.utilisation, rel=1e-6, nan_ok=True)
    result = assess(closed)
    assert found.planned.utilisation == pytest.approx(result.governing.utilisation, rel=1e-6)  # type: ignore[union-attr]


def test_the_largest_comes_first() -> None:
    sizes = [one.size for one in sensitivity(demo_plan()).swings]
    assert sizes == sorted(sizes, reverse=True)
    assert sizes[0] > 0.1


def test_a_peak_inside_the_range_is_found() -> None:
    """Vertical acceleration: short waves do not lift a long hull and long ones lift it slowly, so it peaks between."""
    plan = demo_plan()
    plan = plan.changed(operation=replace(plan.operation, acceleration_limit=0.05))
    sea = SeaState.single(2.0, 18.0, 225.0, depth=plan.sea.depth)
    table = {tp: _used(plan, sea, tp) for tp in (6.0, 9.0, 12.0, 15.0, 18.0, 22.0, 28.0)}
    peak = max(table, key=lambda tp: table[tp])
    assert peak not in (6.0, 28.0), table
    found = sensitivity(only(plan.changed(sea=sea), StudiedInput("sea_period", 6.0, 28.0)))
    one = swing(found, "sea_period")
    assert one.worst is not None
    assert one.worst.utilisation == pytest.approx(table[peak], rel=0.05)
    assert one.worst.utilisation >= max(table[6.0], table[28.0])
    assert 6.0 < one.worst.value < 28.0
    assert one.most == one.worst.utilisation > max(one.low.utilisation, one.high.utilisation)


def _used(plan: Plan, sea: SeaState, tp: float) -> float:
    result = assess(plan.changed(sea=sea.with_primary(tp=tp), ranges=CLOSED))
    assert result.governing is not None
    return result.governing.utilisation


def test_an_end_that_can_be_no_plan_is_named() -> None:
    given = StudiedInput("wob", 100e3, 1.9e6), StudiedInput("sea_period", 1.0, 9.0)
    found = sensitivity(only(demo_plan(), *given))
    wob, period = swing(found, "wob"), swing(found, "sea_period")
    assert "Weight on bit" in wob.high.refused
    assert wob.high.state == "not assessed"
    assert math.isnan(wob.high.utilisation)
    assert not wob.low.refused
    assert wob.size == math.inf
    assert "Wave period" in period.low.refused


def test_the_own_range_wins_and_each_says_where_it_is_from() -> None:
    plan = demo_plan().changed(ranges=Ranges(hookload=0.08, sea_height=0.0))
    found = {one.input.name: one for one in ranged(plan)}
    assert found["hookload"].low == pytest.approx(0.92 * plan.hookload)
    assert found["hookload"].source == PLANNED
    assert found["sea_height"].source == MEMORY
    own = plan.changed(study=plan.study.stating(StudiedInput("hookload", 1.2e6, 1.5e6, "normal")))
    mine = {one.input.name: one for one in ranged(own)}["hookload"]
    assert (mine.low, mine.high, mine.shape, mine.source) == (1.2e6, 1.5e6, "normal", STATED)
    assert ranged(own.changed(study=own.study.without("hookload"))) == ranged(plan)
    off = plan.changed(study=plan.study.stating(StudiedInput("wob", 1e5, 2e5, varied=False)))
    assert "wob" in {one.name for one in held(off)}
    assert "wob" not in {one.input.name for one in ranged(off)}


def test_a_range_has_two_ends() -> None:
    with pytest.raises(InputError, match="below the high end"):
        StudiedInput("wob", 2.0, 2.0)
    with pytest.raises(InputError, match="one of"):
        StudiedInput("colour", 1.0, 2.0)


def test_a_study_is_kept_in_the_plan_file() -> None:
    plan = demo_plan()
    study = replace(plan.study, samples=2000, seed=7, period_correlation=0.5)
    kept = plan.changed(study=study.stating(StudiedInput("wob", 1e5, 2e5, "triangular")))
    assert read_plan(plan_to_json(kept).encode()) == kept
    old = plan_to_json(plan)
    assert '"study"' in old
    document = json.loads(old)
    del document["plan"]["study"]
    document["version"] = 5
    assert read_plan(json.dumps(document).encode()) == plan


@pytest.mark.parametrize("kind", sorted(OPERATIONS))
def test_every_operation_can_be_studied(kind: str) -> None:
    found = sensitivity(demo_plan().doing(kind))  # type: ignore[arg-type]
    assert len(found.swings) > 15
    assert not any(end.refused for one in found.swings for end in (one.low, one.high))
