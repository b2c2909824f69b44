"""Active parts that follow position: judged beside force-following ones, and the quick method against simulation."""

from __future__ import annotations

import dataclasses
import math
from typing import Any

import numpy as np
import pytest

import heave
from heave.compensator import Compensator
from heave.drill_string import rod_dynamics
from heave.files.plan import plan_to_json, read_plan
from heave.files.rigs import demo_compensators
from heave.judging import OVER, WITHIN
from heave.judging.demands import Demands, calibrated_spectrum, demands
from heave.judging.moments import setting_of
from heave.planning import Operation, Plan, StaticOffsets
from heave.sea import OMEGA, WEIGHTS
from heave.simulation.simulate import simulate_seeds

UNITS = demo_compensators()
DRIVEN, FORCE = UNITS["Demo unit driven by position, 600 klbf"], UNITS["Demo active-assisted unit, 600 klbf"]
LINE = UNITS["Demo compensating drawworks"]


def plan_with(unit: Compensator, kind: str, **changes: Any) -> Plan:
    limits = Operation(
        kind=kind, residual_motion_limit=2.0, residual_velocity_limit=1.0, wob_low=20e3, wob_high=340e3
    )
    still = StaticOffsets()
    base = heave.demo_plan().changed(
        compensator=unit, operation=limits, offsets=still, risk=0.5, exposure=1800.0
    )
    return base.changed(**changes)


def quick(plan: Plan) -> Demands:
    return demands(plan, plan.sea.batch())


def share_left(unit: Compensator) -> Any:
    """|ρ| over the grid, in real numbers: the drive's size and phase, and the law of cosines."""
    size, phase = np.full(OMEGA.size, unit.active_gain), -OMEGA * unit.active_delay
    if getattr(unit, "active_bandwidth", None) is not None:
        lag = OMEGA / (2 * math.pi * unit.active_bandwidth)
        size, phase = size / np.hypot(1, lag), phase - np.arctan(lag)
    if getattr(unit, "active_centring", None) is not None:
        slow = OMEGA * unit.active_centring / (2 * math.pi)
        size, phase = size * slow / np.hypot(1, slow), phase + np.arctan(1 / slow)
    return np.sqrt(1 + size**2 - 2 * size * np.cos(phase))


@pytest.mark.parametrize("unit", [DRIVEN, LINE], ids=lambda unit: unit.kind)
def test_what_is_left_is_the_share_of_heave_and_of_the_locked_force(unit: Compensator) -> None:
    landing, latched, drilling = (plan_with(unit, kind) for kind in ("landing", "fixed", "drilling"))
    energy = calibrated_spectrum(landing) * WEIGHTS
    rod = rod_dynamics(landing.string, OMEGA, landing.string_loss)
    left, mass = share_left(unit), landing.moving_mass + landing.string.handling_mass

    def sigma(response: Any) -> float:
        return math.sqrt(float(np.sum(energy * np.abs(left * response) ** 2)))

    assert quick(landing).residual.sigma[0] == pytest.approx(sigma(rod.bit_motion_per_top_free), rel=2e-3)
    top = rod.top_stiffness_fixed - OMEGA**2 * mass
    assert quick(latched).force_left.sigma[0] == pytest.approx(sigma(top), rel=2e-3)
    found = quick(drilling)
    cycles = found.heave.cycles[0]
    level = sigma(rod.bit_force_per_top) * math.sqrt(2 * math.log(cycles / math.log(2)))
    assert found.bit.high[0] == pytest.approx(level, rel=0.05)
    assert found.bit.low[0] == found.bit.high[0]  # no friction reaches a hook that is driven


def test_on_bottom_it_swings_the_weight_more_and_off_bottom_leaves_far_less() -> None:
    bit = [quick(plan_with(unit, "drilling")).bit.elastic[0] for unit in (DRIVEN, FORCE)]
    assert bit[0] > 3 * bit[1]
    left = [quick(plan_with(unit, "landing")).residual_motion[0] for unit in (DRIVEN, FORCE)]
    assert left[0] < left[1] / 5


@pytest.mark.parametrize("kind", ["landing", "fixed", "drilling"])
def test_the_quick_method_is_the_simulation_in_a_random_sea(kind: str) -> None:
    """Standard deviations to 2 %, and the extreme at even chance within what half an hour leaves to chance."""
    plan = plan_with(DRIVEN, kind)
    found, run = quick(plan), simulate_seeds(plan, 1800.0, (1, 2, 3, 4)).summary
    chance = run.sigma["heave"] / found.heave.sigma[0]
    assert np.median(run.sigma["stroke"] / chance) == pytest.approx(found.stroke.sigma[0], rel=0.02)
    wanted, trace = {
        "landing": (found.residual, "bit"),
        "fixed": (found.force_left, "bit_force"),
        "drilling": (found.force_left, "bit_force"),
    }[kind]
    swing = (run.highest[trace] - run.lowest[trace]) / 2
    assert np.median(swing / chance) == pytest.approx(
        wanted.level[0] if trace == "bit" else found_bit_level(plan), rel=0.12
    )


def found_bit_level(plan: Plan) -> float:
    """Level of the force at the far end of a string that is held there."""
    return float(quick(plan.changed(operation=Operation(kind="drilling"))).bit.high[0])


@pytest.mark.parametrize("kind", ["landing", "fixed"])
def test_force_and_power_cover_what_simulation_finds(kind: str) -> None:
    plan = plan_with(DRIVEN, kind)
    asked = heave.assess(plan).responses.active
    assert asked is not None
    from heave.simulation.simulate import simulate

    run = simulate(plan, 1800.0, 1)
    force, power = np.abs(run.active_force), run.active_force * -run.stroke_speed
    chance = run.heave.std() / quick(plan).heave.sigma[0]
    assert (
        0.7 * max(asked.rising, asked.falling)
        < force.max() / chance
        < 1.05 * max(asked.rising, asked.falling)
    )
    assert 0.5 * asked.peak_power < power.max() / chance**2 < 1.05 * asked.peak_power
    assert np.maximum(power, 0).mean() / chance**2 == pytest.approx(asked.mean_power, rel=0.25)
    assert asked.energy == pytest.approx(asked.mean_power * 1800.0, rel=1e-12)


def test_past_a_limit_it_is_over_and_said_to_leave_more() -> None:
    plan = plan_with(DRIVEN, "landing")
    assert heave.assess(plan).verdict == WITHIN
    for limit, key in (("active_force_limit", "active_force"), ("active_velocity_limit", "active_velocity")):
        weak = dataclasses.replace(DRIVEN, **{limit: 2e4 if "force" in limit else 0.1})
        result = heave.assess(plan.changed(compensator=weak))
        assert result.check(key).state == result.verdict == OVER
        assert any("asked for more than its limits" in caution for caution in result.cautions)
    weak = dataclasses.replace(DRIVEN, active_power_limit=5e3)
    assert heave.assess(plan.changed(compensator=weak)).check("active_power").state == OVER
    unsaid = dataclasses.replace(DRIVEN, active_force_limit=None)
    assert heave.assess(plan.changed(compensator=unsaid)).verdict == "not assessed"


def test_what_is_left_when_it_is_lost_stands_beside_it() -> None:
    plan = plan_with(DRIVEN, "landing", operation=Operation(kind="landing", residual_motion_limit=0.3))
    plan = plan.changed(operation=dataclasses.replace(plan.operation, residual_velocity_limit=1.0))
    result = heave.assess(plan)
    lost = heave.assess(plan.changed(active=False))
    assert result.verdict == WITHIN
    assert result.lost is not None
    assert (result.lost.verdict, result.lost.governing) == (lost.verdict, lost.governing)
    assert result.lost.verdict == OVER
    assert lost.lost is None
    assert heave.assess(heave.demo_plan()).lost is None
    assert heave.assess(plan.changed(operation=Operation(kind="tripping"))).lost is None


def test_more_motion_than_the_rigs_own_is_said() -> None:
    late = dataclasses.replace(DRIVEN, active_delay=2.0, active_gain=1.2)
    for kind, what in (("landing", "motion left"), ("drilling", "swing of the weight on bit")):
        result = heave.assess(plan_with(late, kind))
        said = [caution for caution in result.cautions if caution.startswith("Worse than locked")]
        assert len(said) == 1
        assert what in said[0]
        calm = heave.assess(plan_with(DRIVEN, kind)).cautions
        assert not any(caution.startswith("Worse than locked") for caution in calm)


def test_slow_travel_goes_into_the_string_of_a_driven_hook() -> None:
    """A metre of tide on a latched string is its whole stiffness, k_s; on bottom it is taken from the weight."""
    tide = StaticOffsets(tide_rise=1.0)
    stiffness = plan_with(DRIVEN, "fixed").string.stiffness
    before, after = (
        heave.assess(plan_with(DRIVEN, "fixed", offsets=offsets)).check("tension").demand
        for offsets in (StaticOffsets(), tide)
    )
    assert after - before == pytest.approx(stiffness, rel=1e-6)
    band = heave.assess(plan_with(DRIVEN, "drilling", offsets=tide)).responses.bit
    assert band is not None
    assert band.drift_less == pytest.approx(stiffness, rel=1e-9)
    cautions = heave.assess(plan_with(DRIVEN, "drilling")).cautions
    assert any("holds its place in the stroke" in caution for caution in cautions)


def test_a_plan_keeps_its_loop_in_the_file_and_an_old_one_reads() -> None:
    plan = plan_with(DRIVEN, "landing")
    text = plan_to_json(plan)
    assert read_plan(text.encode()) == plan
    old = plan_to_json(plan.changed(compensator=dataclasses.replace(FORCE, active_power_limit=None)))
    for line in ('"active_loop": "force",', '"active_bandwidth_hz": null,', '"active_centring_s": null,'):
        assert line in old
        old = old.replace(line, "")
    assert read_plan(old.encode()).compensator == dataclasses.replace(FORCE, active_power_limit=None)


def test_the_setting_of_a_driven_unit_is_that_of_its_gas() -> None:
    plan = plan_with(DRIVEN, "drilling")
    assert setting_of(plan) == setting_of(plan.changed(active=False))


@pytest.mark.parametrize("unit", [DRIVEN, FORCE], ids=["position", "force"])
def test_mean_power_is_that_of_spring_friction_and_loss(unit: Compensator) -> None:
    """E max(Fv, 0) of independent Gaussian F and v is σ_F σ_v/π; E|v| is √(2/π) σ_v and E|v|³ is √(8/π) σ_v³."""
    draw = np.random.default_rng(5).standard_normal((3, 400_000))
    assert np.maximum(draw[0] * draw[1], 0).mean() == pytest.approx(1 / math.pi, rel=0.01)
    assert (np.abs(draw[2]).mean(), (np.abs(draw[2]) ** 3).mean()) == pytest.approx(
        (math.sqrt(2 / math.pi), math.sqrt(8 / math.pi)), rel=0.01
    )
    plan = plan_with(dataclasses.replace(unit, hydraulic_loss=4e4), "fixed")
    d, setting = quick(plan), setting_of(plan)
    speed = 2 * math.pi * d.stroke.sigma[0] / d.stroke.period[0]
    spring = setting.stiffness_nominal * d.stroke.sigma[0]
    spring += d.force_left.sigma[0] if plan.follows_position else 0.0
    found = spring * speed / math.pi + math.sqrt(2 / math.pi) * setting.friction_force * speed
    found += math.sqrt(8 / math.pi) * 4e4 * speed**3
    asked = heave.assess(plan).responses.active
    assert asked is not None
    assert asked.mean_power == pytest.approx(
        found * (1.0 if plan.follows_position else unit.active_gain), rel=1e-9
    )
