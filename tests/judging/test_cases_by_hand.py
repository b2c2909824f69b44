"""The ends of the ranges that can make a check worst: which, how far, and where a bound of a plan holds them."""

from __future__ import annotations

from dataclasses import replace

import pytest
from test_small_parts import OPEN, plan_of

from heave.judging.cases import Case, cases, cases_alone, known_range
from heave.planning import Plan
from heave.planning.plan import LEAST_HANGING
from heave.planning.ranges import CLOSED

G = 9.80665
STILL = replace(OPEN, sea_period=0.0)
SHARE = 0.05
"""Of the absolute force, for 10 K."""


def told(case: Case, plan: Plan) -> tuple[float, ...]:
    """Load, weight on bit, friction, heave and height over the planned ones, and the gain that is left."""
    made, gain = case.plan, getattr(plan.compensator, "active_gain", None)
    return tuple(
        round(value, 6)
        for value in (
            made.still_hookload / plan.still_hookload,
            made.wob / plan.wob if plan.wob else 1.0,
            made.compensator.friction_fraction / plan.compensator.friction_fraction,
            case.heave,
            case.height,
            1.0 if gain is None else made.compensator.active_gain / gain,  # type: ignore[operator]
        )
    )


def indices(plan: Plan) -> tuple[float, float]:
    """Index at the two ends of a range that is open: the unit's lowest, and its highest or more."""
    one, other = cases_alone(plan)["gas_index"]
    return one.plan.compensator.index, other.plan.compensator.index


@pytest.mark.parametrize("unit", ["passive", "active"])
def test_on_bottom_a_lighter_bit_on_warm_gas_and_a_heavier_on_cold(unit: str) -> None:
    plan = plan_of(unit=unit, ranges=STILL)
    planned, warm, cold, loose, *whole = cases(plan)
    gain = 0.9 if unit == "active" else 1.0
    assert planned == Case(plan)
    assert told(loose, plan) == (0.95, 1.05, 0.6, 1.1, 1.2, gain)
    assert loose.gas_force < 0
    assert loose.plan.compensator.index == pytest.approx(indices(plan)[1])
    # the same with all of its gain, for what an active part has to do
    assert [told(one, plan) for one in whole] == [
        (1.05, wob, 1.4, 1.1, 1.2, 1.0) for wob in ((0.95, 1.05) if unit == "active" else ())
    ]
    assert told(warm, plan) == (1.05, 0.95, 1.4, 1.1, 1.2, gain)
    assert told(cold, plan) == (1.05, 1.05, 1.4, 1.1, 1.2, gain)
    assert warm.gas_force > 0 > cold.gas_force
    hard = indices(plan)[0]
    assert warm.plan.compensator.index == pytest.approx(hard, rel=2e-2)
    assert (warm.gas_shift, cold.gas_shift) == (0.0, 0.0)


def test_a_latched_string_at_its_tautest_and_at_its_slackest() -> None:
    """What warm gas adds to the pull stands in the overpull: 5 % of the absolute force of load and overpull."""
    plan = plan_of("fixed", ranges=replace(STILL, hookload=0.0))
    planned, warm, cold, loose = cases(plan)
    assert planned == Case(plan)
    assert told(loose, plan) == (1.0, 1.0, 0.6, 1.1, 1.2, 1.0)
    for case, side in ((warm, 1.0), (cold, -1.0)):
        assert told(case, plan) == (1.0, 1.0, 1.4, 1.1, 1.2, 1.0)
        carried = plan.still_hookload + 6e3 * G + plan.overpull + 101325.0 * 0.1
        assert case.plan.overpull == pytest.approx(plan.overpull + side * SHARE * carried, rel=1e-3)
        assert (case.gas_force, case.gas_shift) == (0.0, 0.0)
    nothing = plan_of("fixed", ranges=replace(STILL, hookload=0.0, gas_temperature=40.0), overpull=1e3)
    assert cases(nothing)[2].plan.overpull == 0.0


def test_a_free_hook_at_either_load_index_and_friction() -> None:
    """Warm gas moves it along the stroke by 5 % of the length of the gas, either way."""
    plan = plan_of("landing", ranges=STILL)
    planned, *ends = cases(plan)
    stiff, soft = indices(plan)
    assert planned == Case(plan)
    assert [told(one, plan)[0:3:2] for one in ends] == [
        (1.05, 1.4), (1.05, 0.6), (1.05, 1.4), (1.05, 0.6), (0.95, 1.4), (0.95, 0.6), (0.95, 0.6),
    ]  # fmt: skip
    high = [abs(one.plan.compensator.index - stiff) < abs(one.plan.compensator.index - soft) for one in ends]
    assert high == [True, True, False, False, True, True, False]
    for one in ends:
        assert told(one, plan)[3:] == (1.1, 1.2, 1.0)
        assert one.gas_force == 0.0
        spring = one.plan.compensator.spring(one.plan.still_hookload + 6e3 * G, set_at=plan.set_at)
        assert one.gas_shift == pytest.approx(SHARE * spring.length)


def test_a_locked_unit_has_two_loads_and_a_closed_plan_one_case() -> None:
    plan = plan_of("waiting", ranges=STILL)
    planned, more, less = cases(plan)
    assert planned == Case(plan)
    assert told(more, plan) == (1.05, 1.0, 1.0, 1.1, 1.2, 1.0)
    assert told(less, plan) == (0.95, 1.0, 1.0, 1.1, 1.2, 1.0)
    assert (more.gas_force, more.gas_shift) == (0.0, 0.0)
    assert cases(plan.changed(ranges=CLOSED)) == (Case(plan.changed(ranges=CLOSED)),)
    both = cases(plan.changed(ranges=OPEN))
    assert [one.period for one in both] == pytest.approx([1.0, 1.05, 0.95, 1.05, 0.95])


def test_a_driven_hook_stays_and_its_active_part_has_the_force() -> None:
    plan = plan_of("landing", "active", ranges=STILL)
    unit = replace(plan.compensator, active_loop="position")
    driven = plan.changed(compensator=unit)
    for one in cases(driven)[1:]:
        assert one.gas_shift == 0.0
    # cold as well as warm: what the gas no longer carries the active part does
    warmer = [one.gas_force > 0.0 for one in cases(driven)[1:]]
    assert warmer == [True, True, True, True, False, False, False, True, False]
    assert all(one.gas_shift > 0.0 for one in cases(driven.changed(active=False))[1:])


def test_no_end_goes_past_what_a_plan_may_hold() -> None:
    """A weight on bit that would leave less than the least hanging; friction no lower than none."""
    plan = plan_of(ranges=replace(STILL, hookload=0.3))
    heavy = plan.changed(wob=plan.hookload - 1.2 * LEAST_HANGING)
    for one in cases_alone(heavy)["hookload"]:
        assert one.plan.hookload - one.plan.wob >= LEAST_HANGING
    light = cases_alone(heavy)["hookload"][1]
    assert light.plan.wob == pytest.approx(light.plan.hookload - LEAST_HANGING)
    gear = plan.string.handling_weight
    small = plan.changed(hookload_entered=1.1 * gear, wob=0.0)
    assert cases_alone(small)["hookload"][1].plan.still_hookload == pytest.approx(gear)


def test_the_index_of_real_nitrogen_where_the_unit_ends_short() -> None:
    """At 10 to 15 MPa real nitrogen is past 1.6; a unit that says 2.2 keeps that. Half a range goes half the way."""
    plan = plan_of(ranges=OPEN)
    stiff, soft = cases_alone(plan)["gas_index"]
    assert soft.plan.compensator.index == pytest.approx(plan.compensator.index_low)
    assert stiff.plan.compensator.index == stiff.plan.compensator.index_high > 1.6
    wide = plan.changed(compensator=replace(plan.compensator, index_high=2.2))
    assert cases_alone(wide)["gas_index"][0].plan.compensator.index == pytest.approx(2.2)
    half = cases_alone(plan.changed(ranges=replace(OPEN, gas_index=0.5)))["gas_index"][0].plan.compensator
    assert half.index == pytest.approx((plan.compensator.index + stiff.plan.compensator.index) / 2)
    assert half.index_high == pytest.approx((1.6 + stiff.plan.compensator.index) / 2)


def test_a_range_that_is_closed_has_no_ends() -> None:
    for name in vars(OPEN):
        assert name not in cases_alone(plan_of(unit="active", ranges=replace(OPEN, **{name: 0.0})))
    assert known_range(plan_of(ranges=OPEN)) == OPEN
