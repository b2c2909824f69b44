"""The assessment as a whole: verdict, governing check, batch against single, invariants."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import heave
from heave.errors import InputError
from heave.judging import NOT_ASSESSED, OVER, WITHIN, utilisations
from heave.planning import OPERATIONS, Operation, Plan
from heave.sea import SeaBatch, SeaState, WaveSystem

pytestmark = pytest.mark.portable


@pytest.fixture(scope="module")
def plan() -> Plan:
    return heave.demo_plan()


def _single(plan: Plan, hs: float, tp: float = 10.0, direction: float = 220.0) -> Plan:
    return plan.changed(sea=SeaState.single(hs=hs, tp=tp, direction_from=direction, depth=plan.sea.depth))


def test_demo_plan_is_judged_by_a_named_check(plan: Plan) -> None:
    result = heave.assess(plan)
    assert result.verdict in (WITHIN, "near a limit")
    assert result.governing is result.by_utilisation[0]
    assert all(check.working for check in result.checks if check.state != NOT_ASSESSED)
    assert result.setting.pressure_low < result.setting.pressure < result.setting.pressure_high


@pytest.mark.parametrize("kind", OPERATIONS)
def test_every_operation_gives_checks_or_says_what_is_missing(plan: Plan, kind: str) -> None:
    changed = plan.changed(operation=Operation(kind=kind))
    result = heave.assess(changed)
    assert result.checks
    missing = changed.operation.missing
    assert (result.verdict == NOT_ASSESSED) == bool(missing) or result.verdict == OVER
    for check in result.checks:
        assert check.state == NOT_ASSESSED or math.isfinite(check.utilisation)


@pytest.mark.parametrize("kind", OPERATIONS)
def test_one_sea_and_many_give_the_same_numbers(plan: Plan, kind: str) -> None:
    seas = [
        SeaState.single(hs=h, tp=t, direction_from=d) for h, t, d in ((1, 6, 10), (3, 9, 200), (5, 13, 300))
    ]
    changed = plan.changed(
        operation=Operation(kind=kind, wob_low=60e3, wob_high=280e3, residual_motion_limit=1.0),
        offsets=dataclasses.replace(plan.offsets, vessel_offset=0.0),
    )
    many = utilisations(changed, SeaBatch.stack([sea.batch() for sea in seas]))
    for row, sea in enumerate(seas):
        one = heave.assess(changed.changed(sea=sea))
        for check in one.checks:
            np.testing.assert_allclose(many.by_check[check.key][row], check.utilisation, rtol=1e-6)


def test_headings_of_a_batch_match_plans_with_those_headings(plan: Plan) -> None:
    headings = np.array([0.0, 95.5, 220.0])
    batch = plan.sea.batch().take(np.zeros(3, dtype=int))
    many = utilisations(plan, batch, headings)
    for row, heading in enumerate(headings):
        one = heave.assess(plan.changed(heading=float(heading)))
        assert many.governing[row] == pytest.approx(one.governing.utilisation, rel=1e-6)


def test_missing_sea_is_never_assessed(plan: Plan) -> None:
    batch = plan.sea.batch()
    gone = SeaBatch(
        tuple(dataclasses.replace(slot, hs=np.array([math.nan])) for slot in batch.slots), batch.depth
    )
    found = utilisations(plan, gone)
    assert not found.assessed[0]
    assert math.isnan(found.governing[0])
    assert found.governed_by[0] == -1


@settings(max_examples=20, deadline=None)
@given(hs=st.floats(0.3, 9.0), tp=st.floats(5.0, 18.0), factor=st.floats(1.05, 2.0))
def test_stroke_checks_rise_with_hs(hs: float, tp: float, factor: float) -> None:
    plan = heave.demo_plan()
    fixed = dataclasses.replace(
        plan, sea=SeaState((WaveSystem(hs=hs, period=tp, gamma=2.0),), plan.sea.depth)
    )
    low = heave.assess(fixed)
    high = heave.assess(fixed.changed(sea=fixed.sea.with_primary(hs=hs * factor)))
    for key in ("stroke_rising", "stroke_falling", "stroke_rate", "lift_off"):
        assert high.check(key).utilisation > low.check(key).utilisation


@pytest.mark.parametrize(("start", "key"), [(3.0, "stroke_falling"), (-3.6, "stroke_rising")])
def test_a_stroke_below_zero_is_explained(start: float, key: str) -> None:
    """A piston that starts far on one side stays there: what it uses of the other is below zero, and why is told."""
    plan = heave.demo_plan()
    check = heave.assess(plan.changed(offsets=dataclasses.replace(plan.offsets, start_position=start))).check(
        key
    )
    assert check.demand < 0
    assert "elow zero the piston does not come to this side of mid-stroke" in check.basis


@settings(max_examples=15, deadline=None)
@given(off_bow=st.floats(0.0, 180.0), tp=st.floats(6.0, 16.0))
def test_port_and_starboard_seas_are_alike_for_a_hoist_on_the_centreline(off_bow: float, tp: float) -> None:
    plan = heave.demo_plan()
    port = _single(plan, 3.0, tp, (plan.heading - off_bow) % 360)
    starboard = _single(plan, 3.0, tp, (plan.heading + off_bow) % 360)
    assert heave.assess(port).responses.heave.sigma == pytest.approx(
        heave.assess(starboard).responses.heave.sigma, rel=1e-6
    )


@settings(max_examples=15, deadline=None)
@given(hs=st.floats(0.5, 8.0), factor=st.floats(0.2, 2.5))
def test_heave_is_linear_in_hs_with_a_fixed_table(hs: float, factor: float) -> None:
    plan = heave.demo_plan()
    one = plan.changed(sea=SeaState((WaveSystem(hs=hs, period=11.0, gamma=3.3),), plan.sea.depth))
    other = one.changed(sea=one.sea.with_primary(hs=hs * factor))
    sigma = heave.assess(one).responses.heave.sigma
    assert heave.assess(other).responses.heave.sigma == pytest.approx(factor * sigma, rel=1e-6)


def test_a_longer_exposure_and_a_smaller_risk_ask_for_more_stroke(plan: Plan) -> None:
    base = heave.assess(plan).responses.stroke.extreme
    assert heave.assess(plan.changed(exposure=24 * 3600.0)).responses.stroke.extreme > base
    assert heave.assess(plan.changed(risk=0.001)).responses.stroke.extreme > base


def test_turning_the_active_part_off_gives_the_passive_unit(plan: Plan) -> None:
    units = heave.files.rigs.demo_compensators()
    active = next(unit for unit in units.values() if unit.kind == "active-assisted")
    passive = next(unit for unit in units.values() if unit.kind == "crown-mounted")
    lost = heave.assess(plan.changed(compensator=active, active=False))
    alone = heave.assess(plan.changed(compensator=passive))
    assert lost.check("lift_off").utilisation == pytest.approx(alone.check("lift_off").utilisation, rel=1e-12)
    assert "active_force" not in {check.key for check in lost.checks}


def test_drawworks_are_judged_by_line_and_power_not_stroke(plan: Plan) -> None:
    unit = next(u for u in heave.files.rigs.demo_compensators().values() if u.kind == "drawworks")
    keys = {check.key for check in heave.assess(plan.changed(compensator=unit)).checks}
    assert {"line_speed", "line_acceleration", "power"} <= keys
    assert not keys & {"stroke_rising", "gas_pressure", "stroke_rate"}


def test_weight_on_bit_above_the_hookload_is_refused(plan: Plan) -> None:
    with pytest.raises(InputError, match=r"Weight on bit.*1500000.*less than the hookload"):
        plan.changed(wob=1.5e6)


def test_an_offset_without_a_depth_is_refused(plan: Plan) -> None:
    with pytest.raises(InputError, match="Water depth"):
        plan.changed(sea=SeaState.single(hs=2.0, tp=9.0))


def test_reserve_that_leaves_no_stroke_is_over_the_limit(plan: Plan) -> None:
    unit = dataclasses.replace(plan.compensator, end_reserve=3.8)
    result = heave.assess(plan.changed(compensator=unit))
    assert result.check("stroke_rising").utilisation > 1
    assert result.verdict == OVER
