"""The small parts a verdict is put together from, each by its own arithmetic and on both sides of where it turns."""

from __future__ import annotations

import math
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from plain_plans import ACTIVE, GAS, OFFSETS, STRING, plain_vessel, sea

import heave
from heave.compensator import Compensator
from heave.drill_string import DrillString, Section
from heave.formula import Step
from heave.judging import NEAR, NOT_ASSESSED, OVER, WITHIN
from heave.judging.cases import cases, cases_alone, known_range, label_of
from heave.judging.checks import Outcome, governing_of, utilisation_state, worst_of
from heave.judging.demands import demands, drift_per_metre
from heave.judging.results import active_demand, bit_band, residual, string_period, stroke_budget
from heave.judging.rules.string import most_used
from heave.judging.rules.stroke import end_rates
from heave.judging.waves import Waves, limits_of, waves_of
from heave.planning import HsLimit, Operation, Plan
from heave.planning.ranges import CLOSED, Ranges

G = 9.80665


def plan_of(kind: str = "drilling", unit: str = "passive", **changes: Any) -> Plan:
    """A plain plan of a moderate sea, its unit passive or active."""
    made = {
        "passive": Compensator.of("passive", "in-line", **GAS),
        "active": Compensator.of("active", "active-assisted", **GAS, **ACTIVE),
    }[unit]
    given = {"sea": sea((2.0, 9.0)), "heading": 210.0, "name": "plain", "string": STRING}
    given |= {"wob": 150e3, "offsets": OFFSETS, "overpull": 150e3}
    return Plan(
        vessel=plain_vessel(),
        compensator=made,
        operation=Operation(kind=kind),
        **given | changes,
    )


def outcome_of(demand: list[float], capacity: Any) -> Outcome:
    return Outcome(np.array(demand), np.asarray(capacity), ())


def test_share_of_a_capacity_that_is_used_up_or_not_known() -> None:
    """0 left is endless, nothing known is nothing; one capacity for all seas or one for each is the same."""
    nan, inf = math.nan, math.inf
    found = outcome_of([1.0, 1.0, 1.0, nan, nan, 1.0], [2.0, 0.0, -1.0, 2.0, 0.0, nan]).utilisation
    np.testing.assert_array_equal(found, [0.5, inf, inf, nan, nan, nan])
    for capacity in (4.0, 0.0, -1.0, nan):
        one, each = outcome_of([1.0, nan], capacity), outcome_of([1.0, nan], [capacity] * 2)
        np.testing.assert_array_equal(one.utilisation, each.utilisation)
    assert outcome_of([1.0], 4.0).utilisation[0] == 0.25


def test_of_two_sides_the_more_used_counts_sea_by_sea() -> None:
    one, other = outcome_of([1.0, 3.0, math.nan], 4.0), outcome_of([1.0, 1.0, 1.0], [2.0, 2.0, 2.0])
    worst = worst_of(one, other)
    np.testing.assert_array_equal(worst.demand, [1.0, 3.0, 1.0])
    np.testing.assert_array_equal(worst.capacity, [2.0, 4.0, 2.0])


@pytest.mark.parametrize(
    ("share", "assessed", "high", "state"),
    [
        (0.0, True, None, WITHIN),
        (math.nextafter(0.8, 0), True, None, WITHIN),
        (0.8, True, None, NEAR),
        (math.nextafter(1.0, 0), True, None, NEAR),
        (1.0, True, None, OVER),
        (1.0, False, None, OVER),
        (0.5, False, None, NOT_ASSESSED),
        (math.nan, True, None, NOT_ASSESSED),
        (math.nan, True, 0.5, NOT_ASSESSED),
        (0.5, True, math.nan, NOT_ASSESSED),
        (0.5, True, math.nextafter(1.0, 0), WITHIN),
        (0.5, True, 1.0, NEAR),
        (1.0, True, math.nan, OVER),
    ],
)
def test_word_for_a_share(share: float, assessed: bool, high: float | None, state: str) -> None:
    assert utilisation_state(share, 0.8, assessed, high) == state


def test_which_check_governs() -> None:
    """The first of the highest; a required one that is missing leaves the sea not assessed, another does not."""
    nan = math.nan
    table = np.array([[0.2, nan, nan, 0.9], [0.7, 0.4, nan, 0.9], [0.5, nan, nan, 0.1]])
    highest, row, assessed = governing_of(table, [True, True, False])
    np.testing.assert_array_equal(highest, [0.7, 0.4, nan, 0.9])
    assert row.tolist() == [1, 1, -1, 0]
    assert assessed.tolist() == [True, False, False, True]
    assert governing_of(table, [False, True, False])[2].tolist() == [True, True, False, True]
    assert governing_of(table, [False] * 3)[2].tolist() == [True, True, False, True]
    highest, row, assessed = governing_of(table, [True] * 3, [False, True, True, True])
    assert (math.isnan(highest[0]), row[0], assessed[0]) == (True, -1, False)


def test_the_section_nearest_to_its_yield_is_chosen_with_pull_and_sea_on() -> None:
    """Bare, the upper one is used most, 0.25 against 0.22; with 300 kN of pull and 100 kN of sea the lower one."""
    rows = [
        SimpleNamespace(tension=1.0e6, capacity=4.0e6),
        SimpleNamespace(tension=0.2e6, capacity=0.9e6),
        SimpleNamespace(tension=0.5e6, capacity=math.nan),
    ]
    plan = SimpleNamespace(overpull=0.0, tension_margins=lambda: rows)
    found: Any = SimpleNamespace(plan=plan, locked=np.zeros(3))
    assert most_used(found, 0.0).tolist() == [0, 0, 0]
    assert most_used(found, np.array([0.0, 40e3, 100e3])).tolist() == [0, 1, 1]
    plan.overpull = 300e3
    assert most_used(found, np.array([-290e3, 0.0, 100e3])).tolist() == [0, 1, 1]


def test_stroke_budget_by_hand() -> None:
    """Slow travel of the plain plans: tide, draught, offset² / 2 depth, space-out and hole made."""
    found = demands(plan := plan_of(), plan.sea.batch())
    budget = stroke_budget(found)
    assert budget is not None
    rising, falling = 0.5 + 0.3 + 0.2 + 0.8 - 0.3, 0.7 + 0.4 + 0.2 + 0.3
    assert (budget.half_stroke, budget.reserve, budget.start) == (3.5, 0.4, -0.3)
    assert (budget.static_rising, budget.static_falling) == pytest.approx((rising, falling))
    assert budget.best_start == pytest.approx(-0.3 + (falling - rising) / 2)
    evened = stroke_budget(
        demands(even := plan_of(offsets=replace(OFFSETS, start_position=budget.best_start)), even.sea.batch())
    )
    assert evened is not None
    assert evened.static_rising == pytest.approx(evened.static_falling)
    assert budget.significant[0] == 2 * max(found.stroke.sigma[0], found.heave.sigma[0])
    assert budget.extreme[0] == max(found.stroke.level[0], found.heave.level[0])
    assert (budget.rising[0], budget.falling[0]) == pytest.approx(
        (rising + budget.extreme[0], falling + budget.extreme[0])
    )
    for rate, static in ((budget.rate_rising, rising), (budget.rate_falling, falling)):
        sigma, period = found.stroke.sigma[0], found.stroke.period[0]
        assert rate[0] == pytest.approx(math.exp(-((3.5 - static) ** 2) / (2 * sigma**2)) / period)


def test_stroke_that_slow_travel_uses_up_is_run_out_all_the_time() -> None:
    """Half the stroke is 3.5 m; the rising side takes 1.8 m beside the start position."""
    for start, endless in ((1.69, False), (1.7, True), (1.71, True)):
        plan = plan_of(offsets=replace(OFFSETS, start_position=start))
        found = demands(plan, plan.sea.batch())
        rising, falling = end_rates(found).values()
        assert (rising == math.inf) == endless, start
        assert isinstance(falling, Step)
        assert np.all(np.isfinite(falling.result.value))
        budget = stroke_budget(found)
        assert budget is not None
        assert np.all(np.isinf(budget.rate_rising)) == endless


def test_weight_on_bit_drifts_with_slow_travel_on_two_springs_in_series() -> None:
    plan = plan_of()
    found = demands(plan, plan.sea.batch(), keep_spectrum=True)
    band = bit_band(found)
    assert band is not None
    string = 1 / sum(
        one.length / (206.8e9 * math.pi / 4 * (one.outer_diameter**2 - one.inner_diameter**2))
        for one in STRING.sections
    )
    gas = found.setting.stiffness_nominal
    series = 1 / (1 / gas + 1 / string)
    assert drift_per_metre(plan) == pytest.approx(series)
    assert (band.drift_less, band.drift_more) == pytest.approx((series * 1.8, series * 1.3))
    low, high = band.span(10e3)
    assert (low, high) == pytest.approx((150e3 - series * 1.8 - 10e3, 150e3 + series * 1.3 + 10e3))
    assert band.locked[0] == found.locked_end.level[0]
    active = plan_of(unit="active")
    assert drift_per_metre(active) == pytest.approx(0.7 * series)
    assert drift_per_metre(active.changed(active=False)) == pytest.approx(series)


def test_motion_left_is_told_as_a_share_of_the_heave() -> None:
    plan = plan_of("landing")
    found = demands(plan, plan.sea.batch())
    left = residual(found)
    assert found.residual is not None
    assert left is not None
    assert left.share[0] == pytest.approx(found.residual.sigma[0] / found.heave.sigma[0])
    assert left.share_locked[0] == pytest.approx(found.locked_end.sigma[0] / found.heave.sigma[0])
    on = plan_of()
    assert residual(demands(on, on.sea.batch())) is None


def test_what_is_asked_of_an_active_part() -> None:
    plan = plan_of(unit="active")
    found = demands(plan, plan.sea.batch())
    asked = active_demand(found)
    assert asked is not None
    assert asked.energy[0] == pytest.approx(asked.mean_power[0] * plan.exposure)
    assert asked.speed[0] == max(found.stroke_velocity[0], found.velocity.level[0])
    for other in (plan_of(), plan.changed(active=False)):
        assert active_demand(demands(other, other.sea.batch())) is None


def test_period_of_a_hanging_string_is_that_of_a_rod() -> None:
    """4 L / c of one plain rod, c = √(E A / m'); free below, held above."""
    rod = DrillString((Section("rod", 3000.0, 0.127, 0.1086, 33.6, 9.3e8),), mud_density=1200.0)
    free = plan_of("landing", string=rod)
    speed = math.sqrt(206.8e9 * math.pi / 4 * (0.127**2 - 0.1086**2) / 33.6)
    assert string_period(free) == pytest.approx(4 * 3000.0 / speed, rel=1e-3)


ROWS = (HsLimit(3.0, 5.0, 8.0, 0.0, 90.0), HsLimit(2.0, 8.0, 12.0, 90.0, 180.0), HsLimit(4.0, 5.0, 30.0))


@pytest.mark.parametrize(
    ("tp", "heading", "limit"),
    [
        (5.0, 0.0, 3.0),
        (4.99, 0.0, math.nan),
        (8.0, 45.0, 3.0),
        (8.01, 45.0, 4.0),
        (8.0, 90.0, 2.0),
        (7.99, 90.0, 3.0),
        (7.99, 90.01, 4.0),
        (12.0, 180.0, 2.0),
        (12.01, 180.0, 4.0),
        (12.0, 89.99, 4.0),
    ],
)
def test_lowest_row_that_covers_a_system(tp: float, heading: float, limit: float) -> None:
    operation = Operation(hs_limits=ROWS)
    found = limits_of(operation, Waves(np.array([[1.0]]), np.array([[tp]]), np.array([[heading]])))
    np.testing.assert_array_equal(found, [limit])


def test_heights_of_several_systems() -> None:
    """Of two systems the lower limit counts; of one that is not there none; a flat sea has the highest of all."""
    operation = Operation(hs_limits=ROWS)
    hs = np.array([[3.0, 3.0, 0.0, 1.0, math.nan], [4.0, 0.0, 0.0, 1.0, 1.0]])
    tp = np.array([[20.0, 20.0, 6.0, 4.0, 20.0], [10.0, 10.0, 6.0, 10.0, 20.0]])
    waves = Waves(hs, tp, np.full((2, 5), 120.0))
    np.testing.assert_array_equal(limits_of(operation, waves), [2.0, 4.0, 4.0, math.nan, 4.0])
    assert (waves.largest[0], waves.others[0]) == (4.0, 3.0)
    np.testing.assert_array_equal(waves.others[1:3], [0.0, 0.0])


def test_relative_headings_of_the_systems_on_either_side_are_alike() -> None:
    """Bow at 210°: waves from 200° come 10° off the bow; at 30 they come from astern."""
    state = sea((2.0, 9.0), (1.0, 14.0))
    operation = Operation(hs_limits=ROWS)
    waves = waves_of(operation, state.batch(), np.array([[210.0, 190.0, 30.0, 290.0, 110.0]]), 1.1)
    assert waves is not None
    np.testing.assert_allclose(waves.heading[0], [170.0, 170.0, 10.0, 90.0, 90.0])
    np.testing.assert_allclose(waves.hs[:, 0], [2.2, 1.1])
    np.testing.assert_allclose(waves.tp[:, 2], [9.0, 14.0])
    assert waves_of(Operation(), state.batch(), 0.0) is None


OPEN = Ranges(
    gas_index=1.0, gas_temperature=10.0, seal_friction=0.4, active_lost=0.1, hookload=0.05, heave=0.1, sea_height=0.2,
    sea_period=0.05,
)  # fmt: skip


def test_ends_of_what_is_not_known() -> None:
    """Each unknown alone at its ends: load, friction, gain, heave, height, period by their shares."""
    plan = plan_of(unit="active", ranges=OPEN)
    alone = cases_alone(plan)
    unit, hung = plan.compensator, plan.still_hookload
    assert set(alone) == {field for field in vars(OPEN) if getattr(OPEN, field) > 0}
    assert [one.plan.compensator.friction_fraction for one in alone["seal_friction"]] == pytest.approx(
        [0.02 * 1.4, 0.02 * 0.6]
    )
    assert [one.plan.still_hookload for one in alone["hookload"]] == pytest.approx([1.05 * hung, 0.95 * hung])
    assert [one.plan.wob for one in alone["hookload"]] == pytest.approx([0.95 * 150e3, 1.05 * 150e3])
    assert [one.plan.compensator.active_gain for one in alone["active_lost"]] == pytest.approx([0.9 * 0.3])
    assert [one.heave for one in alone["heave"]] == pytest.approx([1.1])
    assert [one.height for one in alone["sea_height"]] == pytest.approx([1.2])
    assert [one.period for one in alone["sea_period"]] == pytest.approx([1.05, 0.95])
    assert alone["gas_index"][1].plan.compensator.index == pytest.approx(unit.index_low)
    assert alone["gas_index"][0].plan.compensator.index >= unit.index_high
    half = cases_alone(plan.changed(ranges=replace(OPEN, gas_index=0.5)))["gas_index"][1]
    assert half.plan.compensator.index == pytest.approx((unit.index + unit.index_low) / 2)
    none = cases_alone(plan.changed(ranges=replace(OPEN, heave=0.0)))
    assert "heave" not in none


def test_warm_gas_pushes_by_its_share_of_the_absolute_force() -> None:
    """5 % of the absolute force for 10 K: the upper end of common practice, 3.5 to 5 %."""
    plan = plan_of(ranges=replace(OPEN, hookload=0.0))
    warm, cold = cases_alone(plan)["gas_temperature"]
    load = plan.still_hookload + 6e3 * G - 150e3
    share = 0.05
    assert (warm.gas_force, cold.gas_force) == pytest.approx(
        (share * (load + 101325.0 * 0.1), -share * (load + 101325.0 * 0.1)), rel=1e-3
    )
    assert warm.gas_shift == 0.0


def test_a_plan_whose_ranges_are_closed_has_one_case() -> None:
    plan = plan_of(ranges=CLOSED)
    assert len(cases(plan)) == 1
    assert known_range(plan) == CLOSED
    every = cases(plan_of(ranges=OPEN))
    assert len(every) == 1 + 3 * 2
    assert len(cases(plan_of(ranges=replace(OPEN, sea_period=0.0)))) == 1 + 3
    assert (every[0].heave, every[0].height, every[0].period) == (1.0, 1.0, 1.0)


def test_what_is_not_known_is_named_without_how_it_is_given() -> None:
    for name in vars(OPEN):
        label = label_of(name)
        assert label[0].islower()
        assert "," not in label


def test_heave_per_metre_of_wave_is_that_of_the_vessel() -> None:
    """The plain vessel heaves 0.6 m a metre wherever the sea has energy; the waves come from 10° off the bow."""
    found = heave.assess(plan_of()).responses
    known = found.transfer[~np.isnan(found.transfer)]
    assert known == pytest.approx(0.6, rel=1e-5)  # spectra are kept in single precision
    assert 10 < known.size < found.omega.size
    assert found.relative_headings == (190.0,)  # (heading − from + 180) mod 360
