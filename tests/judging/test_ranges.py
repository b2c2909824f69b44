"""What is not known: every check over the plan's ranges, by the rules that judge the planned values."""

from __future__ import annotations

import itertools
import math
from dataclasses import fields, replace
from typing import Any

import numpy as np
import pytest
from random_calculations import plans as drawn_plans

import heave
from heave.compensator import nitrogen_index
from heave.errors import InputError
from heave.files.rigs import demo_compensators
from heave.judging import NEAR, assessment, largest_doubt, utilisations
from heave.judging.assessment import MOVES
from heave.judging.cases import ALONE, _case, _Ends, cases, cases_alone
from heave.judging.checks import utilisation_state
from heave.judging.demands import demands_of
from heave.judging.rules import rules_for
from heave.planning import CLOSED, OPERATIONS, Operation, Plan, Ranges
from heave.planning.ranges import USUAL
from heave.sea import SeaState, WaveSystem
from heave.vessel import BoxHull

UNITS = {unit.kind: unit for unit in demo_compensators().values()}
LIMITS: dict[str, Any] = {
    "wob_low": 20e3,
    "wob_high": 340e3,
    "residual_motion_limit": 1.0,
    "residual_velocity_limit": 1.0,
}


def random_plans(count: int, seed: int) -> list[Plan]:
    """Plans of every kind of unit and operation in seas and with settings of their own."""
    rng, made = np.random.default_rng(seed), list[Plan]()
    while len(made) < count:
        unit, operation = rng.choice(list(UNITS)), rng.choice(list(OPERATIONS))
        chosen = UNITS[str(unit)]
        if chosen.friction_fraction:
            chosen = replace(chosen, friction_fraction=float(rng.uniform(0.005, 0.04)))
        base = heave.demo_plan()
        sea = SeaState.single(
            float(rng.uniform(1, 6)),
            float(rng.uniform(6, 17)),
            direction_from=float(rng.uniform(0, 360)),
            depth=base.sea.depth,
        )
        changes = {"sea": sea, "wob": float(rng.uniform(5e4, 2.5e5)), "overpull": float(rng.uniform(0, 3e5))}
        try:
            made.append(
                base.changed(
                    compensator=chosen, operation=Operation(kind=str(operation), **LIMITS), **changes
                )
            )
        except InputError:  # a start position this unit has no stroke for
            continue
    return made


def test_without_doubt_the_range_is_the_planned_value() -> None:
    for plan in random_plans(12, 1):
        for check in heave.assess(plan.changed(ranges=CLOSED)).checks:
            assert check.high == pytest.approx(check.utilisation, nan_ok=True)
    assert largest_doubt(heave.assess(heave.demo_plan().changed(ranges=CLOSED))) is None


def test_few_cases_stand_for_all_ends_together() -> None:
    """The worst of the cases is at most 5 % below the worst of every combination of ends."""
    for plan in random_plans(25, 2):
        ends = itertools.product((1, -1), (1, -1), (1, -1), (1, -1), (1, -1))
        every = [
            _case(plan, _Ends(gas, warm, friction, 1, load, wob, 1, 1))
            for gas, warm, friction, load, wob in ends
        ]
        few = cases(plan)
        found = demands_of([*few, *every], plan.sea.batch(), np.asarray(plan.heading))
        for rule in rules_for(plan):
            used = [float(np.max(rule.work(one).utilisation)) for one in found]
            if not math.isnan(used[0]) and max(used) > 0.2:
                assert max(used[: len(few)]) >= 0.95 * max(used), (rule.key, plan.operation.kind)


WIDE = Ranges(gas_temperature=25.0, seal_friction=0.8, active_lost=0.3, hookload=0.08)


@pytest.mark.parametrize(("ranges", "seed"), [(USUAL, 30), (WIDE, 31)])
def test_few_cases_stand_for_all_ends_of_every_kind_of_unit(ranges: Ranges, seed: int) -> None:
    """As above where an active part follows force or position, has all its gain or too much of it, and the gas may
    warm or cool: 10 %; stroke-outs, whose rate goes up with the square of the travel in the exponent, are left out."""
    ends = itertools.product((1, -1), (1, -1), (1, -1), (1, 0), (1, -1), (1, -1))
    every_end = [
        _Ends(gas, warm, friction, less, load, wob, 1, 1) for gas, warm, friction, less, load, wob in ends
    ]
    for drawn in itertools.islice(drawn_plans(240, seed), 0, 240, 7):
        plan = drawn.changed(ranges=ranges)
        if not plan.operation.compensated:
            continue
        few = cases(plan)
        try:
            every = [_case(plan, end) for end in every_end]
        except InputError:  # all ends together leave no hookload for the weight on bit
            continue
        found = demands_of([*few, *every], plan.sea.batch(), np.asarray(plan.heading))
        for rule in rules_for(plan):
            used = [float(np.max(rule.work(one).utilisation)) for one in found]
            if not math.isnan(used[0]) and max(used) > 0.2 and rule.key != "stroke_out":
                assert max(used[: len(few)]) >= 0.9 * max(used), (
                    rule.key,
                    plan.name,
                    max(used[: len(few)]),
                    max(used),
                )


def test_an_active_part_that_lost_nothing_has_the_most_to_do() -> None:
    """Force and power go with the gain: a range of all of it leaves them at no less than the heave's own doubt makes
    of them, for a part that is lost asks nothing."""
    unit = next(one for one in demo_compensators().values() if one.kind == "active-assisted")
    plan = heave.demo_plan().changed(compensator=unit)
    lost, kept = (
        heave.assess(plan.changed(ranges=replace(CLOSED, heave=0.1, active_lost=share)))
        for share in (1.0, 0.0)
    )
    for key in ("active_force", "active_force_falling"):
        assert lost.check(key).high >= kept.check(key).high > 1.02 * kept.check(key).utilisation


def test_cold_gas_is_made_up_by_a_drive_off_bottom() -> None:
    """What cold gas no longer carries of a free hook that is driven, the drive does while the vessel falls."""
    unit = next(one for one in demo_compensators().values() if one.follows_position and not one.is_drawworks)
    plan = heave.demo_plan().changed(compensator=unit).doing("landing")
    plan = plan.changed(ranges=replace(CLOSED, gas_temperature=10.0))
    result = heave.assess(plan)
    check = result.check("active_force_falling")
    carried = result.setting.load + 101_325.0 * unit.effective_area
    assert (check.high - check.utilisation) * check.capacity >= 0.9 * 0.05 * carried


def test_a_wider_range_never_lowers_what_may_be() -> None:
    for plan in random_plans(8, 3):
        before = {check.key: check.high for check in heave.assess(plan).checks}
        for item in fields(Ranges):
            wider = replace(
                plan.ranges, **{item.name: min(1.3 * getattr(plan.ranges, item.name) + 0.02, 1.0)}
            )
            if item.name == "gas_temperature":
                wider = replace(plan.ranges, gas_temperature=14.0)
            for check in heave.assess(plan.changed(ranges=wider)).checks:
                more = item.name in ("sea_period", "active_lost", "seal_friction", "gas_index", "hookload")
                # another period, gain, load or damping may do less by itself than the one planned
                least = check.utilisation if more else before[check.key]
                assert math.isnan(check.high) or check.high >= least * (1 - 1e-9), (item.name, check.key)


def test_ten_kelvin_reach_the_bit_as_the_gas_law_says() -> None:
    """5 % of the absolute force of the gas in 10 K, the larger of ideal gas and nitrogen (PHYSICS of closed gas)."""
    plan = heave.demo_plan().changed(ranges=replace(CLOSED, gas_temperature=10.0))
    load = plan.hookload + plan.compensator.moving_mass * 9.80665 - plan.wob
    gas = 0.005 * 10.0 * (load + 101_325.0 * plan.compensator.effective_area)
    check = heave.assess(plan).check("lift_off")
    assert check.high - check.utilisation == pytest.approx(gas / plan.wob, rel=1e-9)
    doubt = largest_doubt(heave.assess(plan))
    assert doubt is not None
    assert doubt.moved is doubt.check
    assert (doubt.unknown, doubt.alone) == ("gas_temperature", pytest.approx(doubt.check.high))


def test_warm_gas_carries_the_free_hook_along_the_stroke() -> None:
    plan = heave.demo_plan().changed(operation=Operation(kind="landing", **LIMITS))
    plan = plan.changed(ranges=replace(CLOSED, gas_temperature=4.0))
    unit = plan.compensator
    moved = 0.005 * 4.0 * (unit.gas_volume - unit.gas_volume_shut) / unit.effective_area
    available = unit.stroke / 2 - unit.end_reserve
    check = heave.assess(plan).check("stroke_rising")
    assert check.high - check.utilisation == pytest.approx(moved / available, rel=1e-9)


def test_a_latched_string_is_pulled_by_its_gas() -> None:
    plan = heave.demo_plan().changed(operation=Operation(kind="fixed"), overpull=200e3)
    plan = plan.changed(ranges=replace(CLOSED, gas_temperature=10.0))
    unit = plan.compensator
    gas = plan.hookload + unit.moving_mass * 9.80665 + 200e3 + 101_325.0 * unit.effective_area
    locked = heave.assess(plan).check("locked_load")
    assert (locked.high - locked.utilisation) * locked.capacity == pytest.approx(0.05 * gas, rel=1e-9)


def test_more_heave_and_higher_waves_multiply() -> None:
    limit = Operation(kind="waiting", heave_limit=3.0)
    plan = heave.demo_plan().changed(operation=limit)
    plan = plan.changed(ranges=replace(CLOSED, heave=0.1, sea_height=0.2))
    check = heave.assess(plan).check("heave_limit")
    assert check.high == pytest.approx(1.1 * 1.2 * check.utilisation, rel=1e-6)


@pytest.mark.parametrize("factor", [0.8, 1.25])
def test_longer_waves_keep_their_height(factor: float) -> None:
    two = SeaState((WaveSystem(3.0, 9.0), WaveSystem(1.5, 14.0, direction_from=60.0))).batch()
    longer = two.stretched(factor)
    np.testing.assert_allclose(longer.hs, two.hs)
    np.testing.assert_allclose([s.tp[0] for s in longer.slots], [9.0 * factor, 14.0 * factor])


def test_a_longer_measured_sea_is_the_sea_of_longer_waves() -> None:
    """A JONSWAP spectrum on the grid, stretched, against the same spectrum made at the longer period."""
    from heave.sea.slots import MeasuredSlot

    def measured(tp: float) -> MeasuredSlot:
        rows = SeaState.single(3.0, tp, gamma=2.0).spectrum()[None]
        return MeasuredSlot(rows, np.zeros(1))

    there, here = measured(12.0), measured(10.0).stretched(1.2)
    np.testing.assert_allclose(here.hs, measured(10.0).hs, rtol=1e-6)
    np.testing.assert_allclose(here.measured, there.measured, atol=0.01 * there.measured.max())


def test_periods_beyond_the_forecast_are_judged_in_both_directions() -> None:
    plan = heave.demo_plan().changed(operation=Operation(kind="waiting", heave_limit=3.0))
    plan = plan.changed(ranges=replace(CLOSED, sea_period=0.15))
    high = heave.assess(plan).check("heave_limit").high
    alone = [
        utilisations(plan.changed(ranges=CLOSED), plan.sea.batch().stretched(f)).by_check["heave_limit"][0]
        for f in (0.85, 1.15)
    ]
    assert high == pytest.approx(max(alone), rel=1e-6)


def test_many_seas_have_the_ranges_of_each_alone() -> None:
    for plan in random_plans(6, 4):
        batch = plan.sea.batch().scaled(np.array([0.5, 2.0, 6.0]))
        found = utilisations(plan, batch)
        for row in range(3):
            alone = utilisations(plan, batch.take(slice(row, row + 1)))
            assert found.high[row] == pytest.approx(alone.high[0], rel=1e-5, nan_ok=True)
            assert found.verdicts(0.85)[row] == alone.verdicts(0.85)[0]
        assert np.all((found.high >= found.governing) | np.isnan(found.high))


def test_what_only_may_be_over_is_near() -> None:
    assert utilisation_state(0.5, 0.85, high=1.0) == NEAR
    assert utilisation_state(0.5, 0.85, high=0.999) == "within limits"
    assert utilisation_state(1.0, 0.85, high=math.inf) == "over a limit"
    assert utilisation_state(0.5, 0.85, high=math.nan) == "not assessed"
    result = heave.assess(heave.demo_plan())
    assert result.verdict == NEAR
    assert any(
        check.utilisation < 0.85 and check.high >= 1 and check.state == NEAR for check in result.checks
    )


def test_every_unknown_has_its_ends() -> None:
    assert set(ALONE) == {item.name for item in fields(Ranges)}


def test_a_closed_form_hull_keeps_its_own_error_as_the_least_range_of_heave() -> None:
    """Against the boundary-element table of the same hull, head seas of 12 s and more: the range holds the table."""
    table = heave.demo_plan().vessel
    box = heave.vessel.Vessel("box", BoxHull(210.0, 36.0, 11.0, 0.9, roll_period=19.2))
    for period in (12.0, 14.0, 17.0):
        sea = SeaState.single(3.0, period, direction_from=0.0, depth=1200.0)
        plan = heave.demo_plan().changed(sea=sea, heading=0.0, vessel=box, ranges=Ranges(heave=0.0))
        true = heave.assess(plan.changed(vessel=replace(table, hoist_x=0.0))).responses.heave.sigma
        as_planned, *others = demands_of(cases(plan), sea.batch(), np.asarray(0.0))
        highest = max(float(one.heave.sigma[0]) for one in others)
        assert highest == pytest.approx(1.2 * float(as_planned.heave.sigma[0]), rel=1e-6)
        assert as_planned.heave.sigma[0] < true < highest
    assert "heave" in cases_alone(plan)
    assert max(case.heave for case in cases(plan.changed(ranges=Ranges(heave=0.3)))) == 1.3
    assert [case.heave for case in cases(plan.changed(ranges=CLOSED))] == [1.0]
    assert max(case.heave for case in cases(plan.changed(vessel=table))) == 1.0


def test_warmer_gas_moves_a_free_hook_by_a_share_of_the_gas_where_it_was_set() -> None:
    """10 K are 5 % of the gas, counted as a length of stroke with the piston where the pressure was set."""
    plan = heave.demo_plan().changed(operation=Operation(kind="landing"))
    length = plan.compensator.volume_ratio * plan.compensator.stroke
    for start in (0.0, 2.0):
        moved = plan.changed(offsets=replace(plan.offsets, start_position=start))
        assert max(case.gas_shift for case in cases(moved)) == pytest.approx(0.05 * (length - start))


def test_the_highest_in_doubt_is_named_and_what_alone_moves_one_beside_it() -> None:
    """The blow of the bit is highest in doubt, but only where several unknowns together lift the bit."""
    result = heave.assess(heave.demo_plan())
    doubt = largest_doubt(result)
    assert doubt is not None
    assert doubt.moved is not None
    highest = max(result.checks, key=lambda check: check.high if check.high > 0 else 0)
    assert doubt.check is highest is result.check("bit_blow")
    assert doubt.moved.key == "wob_band"
    assert doubt.moved.utilisation < doubt.alone <= doubt.moved.high < highest.high
    assert doubt.label == "gas temperature since setting"


def test_a_check_that_only_several_unknowns_move_is_named_by_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    """With every unknown alone at its planned value nothing alone moves a check; the highest is named all the same."""
    monkeypatch.setattr(assessment, "cases_alone", lambda plan: {"seal_friction": cases(plan)[:1]})
    result = heave.assess(heave.demo_plan())
    doubt = largest_doubt(result)
    assert doubt is not None
    assert doubt.check is result.check("bit_blow")
    assert (doubt.moved, doubt.unknown, doubt.label) == (None, "", "")


def test_no_check_in_doubt_stands_above_the_one_that_is_named() -> None:
    for plan in random_plans(12, 21):
        result = heave.assess(plan)
        high = [c.high for c in result.checks if c.high > c.utilisation + MOVES]
        doubt = largest_doubt(result)
        assert (doubt is None) == (not high)
        if doubt is not None:
            assert doubt.check.high == max(high)
            assert doubt.moved is None or doubt.moved.high <= doubt.check.high


@pytest.mark.parametrize(
    ("pressure", "index"),
    [(0.1e6, 1.40), (10e6, 1.62), (15e6, 1.79), (20e6, 1.97), (12.5e6, 1.705), (60e6, 2.2)],
)
def test_index_of_nitrogen(pressure: float, index: float) -> None:
    """Isentropic exponent at 15 °C by the reference equation of state of nitrogen (Span and others, 2000)."""
    assert nitrogen_index(pressure) == pytest.approx(index, abs=1e-9)


def test_gas_at_high_pressure_is_as_stiff_as_nitrogen_is() -> None:
    """A unit at some 20 MPa: the gas pressure fully compressed follows the nitrogen's index, not the unit's 1.6."""
    plan = heave.demo_plan()
    unit = replace(plan.compensator, effective_area=0.6 * plan.compensator.effective_area)
    plan = plan.changed(compensator=unit, ranges=replace(CLOSED, gas_index=1.0))
    load, half = plan.hookload + unit.moving_mass * 9.80665 - plan.wob, unit.stroke / 2
    absolute = load / unit.effective_area + 101_325.0
    index = 1.79 + (absolute - 15e6) * (1.97 - 1.79) / 5e6
    length = (unit.gas_volume - unit.gas_volume_shut) / unit.effective_area
    full = absolute * (1 - half / length) ** -index - 101_325.0
    check = heave.assess(plan).check("gas_pressure")
    assert check.high * check.capacity == pytest.approx(full, rel=1e-6)


def test_off_bottom_less_friction_may_be_the_worse_end() -> None:
    """Both ends are tried: looser seals let a resonant unit move more, and the worst counts them."""
    plan = heave.demo_plan().doing("landing").changed(ranges=replace(CLOSED, seal_friction=0.5))
    shares = {case.plan.compensator.friction_fraction for case in cases(plan)}
    assert len(shares) == 3
    plan = plan.changed(sea=SeaState.single(hs=2.0, tp=16.0, direction_from=220.0, depth=1200.0))
    unit = plan.compensator
    ends = [
        heave.assess(
            plan.changed(
                ranges=CLOSED, compensator=replace(unit, friction_fraction=share * unit.friction_fraction)
            )
        )
        for share in (0.5, 1.0, 1.5)
    ]
    looser, planned, tighter = (end.check("residual_motion").utilisation for end in ends)
    assert looser > planned
    assert heave.assess(plan).check("residual_motion").high == pytest.approx(max(looser, tighter), rel=1e-6)


def test_every_range_has_a_default_and_says_where_it_is_from() -> None:
    for item in fields(Ranges):
        about = item.metadata["about"]
        assert item.default == getattr(USUAL, item.name)
        assert len(about.help) > 40, item.name


def test_the_doubt_of_a_string_that_its_well_carries_in_part_reaches_its_tension() -> None:
    """Judged as it hangs free, at the planned values and at the ends alike; and a hookload entered that is the very
    one computed moves nothing."""
    carried = [plan for plan in drawn_plans(60, 9) if plan.well is not None]
    carried = [plan for plan in carried if plan.string.hookload > 1.1 * plan.own_hookload]
    assert len(carried) >= 5
    for plan in carried:
        result = heave.assess(plan.changed(ranges=Ranges(0.0, 0.0, 0.0, 0.0, 0.03, 0.0)))
        check = result.check("tension")
        top = plan.string.sections[0].tensile_capacity * plan.yield_fraction
        assert (check.high - check.utilisation) * top >= 0.02 * plan.own_hookload, plan.name
        entered = heave.assess(plan.changed(hookload_entered=plan.own_hookload)).check("tension")
        assert entered.utilisation == pytest.approx(check.utilisation, rel=1e-9)
