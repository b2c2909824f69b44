"""What the checks take from the compensator: the larger linearisation, friction off bottom, slow travel."""

from __future__ import annotations

import dataclasses
import itertools
import math

import numpy as np
import pytest
from linear_answer import linear_response

import heave
from heave.compensator import Compensator
from heave.drill_string import DrillString, drill_pipe
from heave.judging.demands import demands, drift_per_metre
from heave.judging.moments import setting_of
from heave.planning import Operation, Plan, StaticOffsets
from heave.sea import OMEGA, WEIGHTS, SeaState


@pytest.fixture(scope="module")
def plan() -> Plan:
    return heave.demo_plan()


def _plain_string(plan: Plan) -> Plan:
    """3000 m of 5 in drill pipe on a unit of 1500 kN, 25 ft, gas ten times the swept volume, index 1.2."""
    unit = Compensator.of(
        name="reference case",
        kind="in-line",
        stroke=7.62,
        compensated_rating=2e6,
        locked_rating=4e6,
        velocity_rating=2.0,
        effective_area=0.1,
        gas_volume=7.62,
        pressure_rating=3e7,
        index=1.2,
    )
    string = DrillString((drill_pipe("5 in", "19.50", "S-135", 3000.0),), mud_density=1200.0)
    return plan.changed(
        compensator=unit,
        string=string,
        hookload_entered=1.65e6,
        wob=150e3,
        overpull=0.0,
        operation=Operation(),
    )


def test_a_slow_metre_moves_the_weight_on_bit_by_both_springs_in_series(plan: Plan) -> None:
    """k_c k_s/(k_c + k_s) = 21.46 kN/m with k_c 23.622 kN/m and 3000 m of 5 in 19.50 (springs in series).

    The unit counts the atmosphere in the gas law, which stiffens it by p_a/P0 = 0.68 %.
    """
    assert drift_per_metre(_plain_string(plan)) == pytest.approx(21.46e3, rel=0.007)


def test_an_active_part_takes_its_gain_out_of_the_drift(plan: Plan) -> None:
    units = heave.files.rigs.demo_compensators()
    active = plan.changed(compensator=units["Demo active-assisted unit, 600 klbf"])
    lost = active.changed(active=False)
    gain = active.compensator.active_gain
    assert drift_per_metre(active) == pytest.approx((1 - gain) * drift_per_metre(lost), rel=1e-12)
    assert drift_per_metre(plan.changed(compensator=units["Demo compensating drawworks"])) == 0.0


def test_drift_counts_from_the_start_position(plan: Plan) -> None:
    offsets = StaticOffsets(tide_rise=0.5, tide_fall=0.2)
    moved = dataclasses.replace(offsets, start_position=-0.7)
    for value in (offsets, moved):
        assert plan.changed(offsets=value).drift_sides == pytest.approx((0.5, 0.2))
    bands = [heave.assess(plan.changed(offsets=value)).responses.bit for value in (offsets, moved)]
    # 0.7 m more gas under the piston when the weight is set: softer by that share, in series with the string
    length = plan.compensator.volume_ratio * plan.compensator.stroke
    gas = heave.assess(plan).setting.stiffness_nominal * np.array([1.0, length / (length + 0.7)])
    series = 1 / (1 / gas + 1 / plan.string.stiffness)
    for band, drift in zip(bands, series, strict=True):
        assert (band.drift_less, band.drift_more) == pytest.approx((0.5 * drift, 0.2 * drift), rel=1e-9)


@pytest.mark.parametrize(("rise", "fall", "low", "high"), [(1.5, 0.0, 50e3, 900e3), (0.0, 1.5, 0.0, 300e3)])
def test_the_band_is_judged_on_the_side_it_uses_more_of(
    plan: Plan, rise: float, fall: float, low: float, high: float
) -> None:
    changed = plan.changed(
        offsets=StaticOffsets(tide_rise=rise, tide_fall=fall),
        operation=Operation(wob_low=low or None, wob_high=high),
    )
    result = heave.assess(changed)
    band, check = result.responses.bit, result.check("wob_band")
    room = changed.wob - low if rise else high - changed.wob
    drift = band.drift_less if rise else band.drift_more
    assert check.capacity == pytest.approx(room)
    assert check.demand == pytest.approx(band.high + drift)
    assert drift == pytest.approx(1.5 * drift_per_metre(changed))


@pytest.mark.parametrize("kind", ["drilling", "landing"])
def test_no_figure_is_below_the_average_linearisation(plan: Plan, kind: str) -> None:
    batch = SeaState.single(hs=2.5, tp=12.0, direction_from=225.0, depth=1200.0).batch()
    changed = plan.changed(operation=Operation(kind=kind))
    found = demands(changed, batch, keep_spectrum=True)
    average = linear_response(
        changed.compensator,
        changed.string,
        setting_of(changed),
        OMEGA,
        WEIGHTS,
        found.spectrum,
        changed.operation.about.condition,
        loss_factor=changed.string_loss,
    )
    assert found.stroke.sigma[0] >= math.sqrt(average.stroke_m0[0])


def test_off_bottom_friction_adds_to_travel_and_to_what_is_left(plan: Plan) -> None:
    batch = SeaState.single(hs=4.0, tp=13.0, direction_from=225.0, depth=1200.0).batch()
    found = demands(plan.changed(operation=Operation(kind="landing")), batch)
    assert found.stroke_level[0] > found.stroke.level[0] > 0
    assert found.residual_motion[0] > found.residual.level[0]
    still = demands(plan.changed(operation=Operation(kind="waiting")), batch)
    assert still.stroke is None
    assert np.all(still.travel == still.heave.level)


def test_travel_off_bottom_is_not_below_simulation() -> None:
    """Six seeds of 20 min, landing on a passive unit near its period: no largest travel above the check's.

    The check takes the level exceeded in 1 % of 20-minute exposures, so a seed above it has odds of 1 in 17.
    """
    from heave.simulation.simulate import simulate_seeds

    base = heave.demo_plan()
    plan = base.changed(
        operation=Operation(kind="landing"),
        sea=SeaState.single(hs=4.0, tp=14.0, direction_from=225.0, depth=1200.0),
        wob=0.0,
        exposure=1200.0,
        offsets=StaticOffsets(),
    )
    level = heave.assess(plan).responses.stroke.extreme
    summary = simulate_seeds(plan, 1200.0, range(1, 7)).summary
    largest = np.maximum(np.abs(summary.highest["stroke"]), np.abs(summary.lowest["stroke"]))
    assert np.all(largest < level)


def test_a_locked_unit_swings_the_bit_and_not_the_load_cell() -> None:
    """The force at the bit with the hook held to the vessel, by a string cut into lumps (finite differences)."""
    plan = heave.demo_plan().changed(string_loss=0.04)
    found = heave.assess(plan)
    masses, springs = list[float](), list[complex]()
    for section in plan.string.sections:
        pieces = math.ceil(section.length / 25)
        piece = section.length / pieces
        masses += [section.linear_mass * piece] * pieces
        springs += [section.youngs_modulus * section.area * (1 + 0.04j) / piece] * pieces
    # nodes between the springs, half of each neighbour's mass; the top is moved, the bit is held
    mass = np.array([(a + b) / 2 for a, b in itertools.pairwise(masses)])
    spring = np.array(springs)
    stiffness = np.diag(spring[:-1] + spring[1:]) - np.diag(spring[1:-1], 1) - np.diag(spring[1:-1], -1)
    power, width = found.responses.heave_spectrum, WEIGHTS
    used = power > 1e-6 * power.max()
    moved = np.zeros(len(mass), dtype=complex)
    moved[0] = spring[0]
    swing = np.zeros(OMEGA.size)
    for place in np.flatnonzero(used):
        nodes = np.linalg.solve(stiffness - OMEGA[place] ** 2 * np.diag(mass), moved)
        swing[place] = abs(spring[-1] * nodes[-1]) ** 2 * power[place] * width[place]
    sigma, rate = math.sqrt(swing.sum()), math.sqrt((swing * OMEGA**2).sum() / swing.sum()) / (2 * math.pi)
    level = sigma * math.sqrt(2 * math.log(rate * plan.exposure / -math.log(1 - plan.risk)))
    assert found.responses.bit is not None
    assert found.responses.bit.locked == pytest.approx(level, rel=2e-3)
    mass_too = plan.changed(
        string=dataclasses.replace(plan.string, handling_mass=plan.string.handling_mass + 3e4)
    )
    heavier = heave.assess(mass_too.changed(hookload_entered=plan.hookload)).responses.bit
    assert heavier.locked == pytest.approx(found.responses.bit.locked, rel=1e-9)
