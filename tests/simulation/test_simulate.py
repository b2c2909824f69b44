"""A plan through time against its assessment, and the result's own promises."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from energy import accounted

import heave
from heave.compensator.time_domain import Event, regular_heave
from heave.errors import InputError
from heave.files.rigs import demo_compensators, demo_vessels
from heave.simulation.simulate import (
    SimulationResult,
    _feeds,
    _sea_waves,
    plan_case,
    plan_model,
    regular_wave_heave,
    simulate,
    simulate_seeds,
)
from heave.units import STANDARD_GRAVITY

PLAN = heave.demo_plan()


@pytest.fixture(scope="module")
def run() -> SimulationResult:
    return simulate(PLAN, duration=400.0, seed=3)


def test_the_public_name_is_this_function() -> None:
    assert heave.simulate is simulate


def test_traces_share_one_time_axis(run: SimulationResult) -> None:
    assert run.time[0] == pytest.approx(run.step)
    assert run.time[-1] == pytest.approx(400.0)
    for name, values in vars(run).items():
        if isinstance(values, np.ndarray):
            assert values.shape == run.time.shape, name
            assert np.all(np.isfinite(values)), name
    assert np.diff(run.time) == pytest.approx(run.step)


def test_what_is_on_the_hook_adds_up(run: SimulationResult) -> None:
    plan = run.plan
    assert run.compensator_force.mean() == pytest.approx(heave.assess(plan).setting.load, rel=0.05)
    weight = plan.compensator.moving_mass * STANDARD_GRAVITY
    assert run.compensator_force - run.hook_load == pytest.approx(weight)
    assert run.summary.mean["compensator_force"][0] == pytest.approx(run.compensator_force.mean())
    assert run.summary.highest["compensator_force"][0] == pytest.approx(run.compensator_force.max())
    # block, stroke and hook are one line
    assert run.stroke == pytest.approx(run.block - run.hook + plan.offsets.start_position, abs=1e-9)
    assert run.gas_pressure is not None
    assert run.gas_pressure.mean() == pytest.approx(heave.assess(plan).setting.pressure, rel=0.05)


def test_the_energy_of_a_plan_adds_up() -> None:
    heaves = _sea_waves(PLAN, 400.0, (3,)).motion()
    about = {"events": _feeds(PLAN, 400.0), "drilling_rate": PLAN.offsets.penetration_rate}
    _, energy = accounted(plan_model(PLAN), plan_case(PLAN), heaves, **about)
    assert abs(energy.imbalance[0]) < 0.01


def test_sigma_of_heave_and_wob_are_the_assessments() -> None:
    """Eight seeds of 20 minutes; heave to 5 %, bit force within its band."""
    found = simulate_seeds(PLAN, 1200.0, range(8)).summary
    responses = heave.assess(PLAN.changed(exposure=1200.0, risk=0.5)).responses
    assert found.sigma["heave"].mean() == pytest.approx(responses.heave.sigma, rel=0.05)
    assert np.median(found.highest["heave"]) == pytest.approx(responses.heave.level, rel=0.1)
    assert responses.bit is not None
    swing = np.median(found.highest["bit_force"] - found.mean["bit_force"])
    assert responses.bit.low * 0.8 < swing < responses.bit.high


def test_seeds_agree_with_single_runs() -> None:
    many = simulate_seeds(PLAN, 120.0, (4, 9))
    for number, seed in enumerate((4, 9)):
        alone = simulate(PLAN, 120.0, seed)
        assert many.summary.highest["stroke"][number] == pytest.approx(alone.stroke.max(), rel=1e-6)
        assert many.summary.lowest["bit_force"][number] == pytest.approx(alone.bit_force.min(), rel=1e-6)


def test_the_plans_own_feeds_are_made() -> None:
    plan = PLAN.changed(offsets=replace(PLAN.offsets, penetration_rate=30 / 3600, feed_interval=150.0))
    found = simulate(plan, 400.0)
    assert [event.time for event in found.events] == [150.0, 300.0]
    assert np.ptp(found.block - found.heave) == pytest.approx(2 * 150 * 30 / 3600, abs=2e-3)
    assert found.bit[-1] == pytest.approx(-400 * 30 / 3600, abs=0.02)


def test_every_unit_and_operation_runs() -> None:
    for unit in demo_compensators().values():
        for operation in ("drilling", "landing", "tripping", "fixed"):
            plan = PLAN.changed(compensator=unit, operation=heave.Operation(kind=operation))
            found = simulate(plan, 60.0)
            assert np.all(np.isfinite(found.hook_load)), (unit.name, operation)
            assert (found.gas_pressure is None) == unit.is_drawworks
            if operation == "tripping":
                assert np.abs(found.stroke - plan.offsets.start_position).max() < 2e-3
            if unit.is_drawworks and operation == "landing":
                assert np.ptp(found.hook) < 0.2 * np.ptp(found.heave)
                assert np.ptp(found.stroke) == pytest.approx(np.ptp(found.heave), rel=0.1)


def test_latched_below_the_string_pulls_both_ways() -> None:
    found = simulate(PLAN.changed(operation=heave.Operation(kind="fixed")), 60.0)
    assert found.bit_force.min() < 0 < found.bit_force.max()
    assert not found.lift_off.any()


def test_no_compensator_moves_the_hook_with_the_vessel() -> None:
    heavy = regular_heave(1.0, 10.0, 60.0)
    bare = simulate(PLAN, heave=heavy, unit="no compensator")
    kept = simulate(PLAN, heave=heavy)
    assert np.ptp(bare.hook) == pytest.approx(2.0, rel=0.2)
    assert np.ptp(bare.bit_force) > 2 * np.ptp(kept.bit_force)
    assert bare.lift_off.any()
    assert bare.gas_pressure is None


def test_regular_wave() -> None:
    motion = regular_wave_heave(PLAN, 4.0, 12.0)
    twice = regular_wave_heave(PLAN, 8.0, 12.0)
    assert twice.position == pytest.approx(2 * motion.position)
    assert 0.05 < motion.position.max() < 2.0
    semi = regular_wave_heave(PLAN.changed(vessel=demo_vessels()["Demo semisubmersible"]), 4.0, 12.0)
    assert 0.0 < semi.position.max() < 2.0


def test_decimated_traces_keep_their_extremes(run: SimulationResult) -> None:
    for name in ("heave", "bit_force", "stroke"):
        time, values = run.decimated(name, 500)
        full = getattr(run, name)
        assert len(time) == len(values) <= 500
        assert (values.min(), values.max()) == (full.min(), full.max())
        assert np.all(np.diff(time) > 0)
    with pytest.raises(InputError):
        run.decimated("plan")
    with pytest.raises(InputError):
        run.decimated("heave", 3)


def test_impossible_runs_are_refused() -> None:
    for wrong in ({"duration": 0.1}, {"seed": -1}, {"seed": True}, {"unit": "none"}, {"step": 0.5}):
        with pytest.raises(InputError):
            simulate(PLAN, **({"duration": 10.0} | wrong))  # type: ignore[arg-type]
    with pytest.raises(InputError):
        simulate(PLAN, 10.0, events=(Event("compensator locked", 11.0),))
    with pytest.raises(InputError):
        simulate_seeds(PLAN, 10.0, ())
    with pytest.raises(InputError):
        regular_wave_heave(PLAN, 0.0, 10.0)
    with pytest.raises(InputError):
        regular_wave_heave(PLAN, 2.0, 1.0)


def test_the_gas_is_as_set_at_the_start_position() -> None:
    """The simulator's own gas law against the set pressure: where the piston is, not at mid-stroke."""
    plan = heave.demo_plan()
    moved = plan.changed(offsets=replace(plan.offsets, start_position=1.2))
    found, setting, unit = simulate(moved, 30.0), heave.assess(moved).setting, moved.compensator
    assert setting.start == 1.2
    gas = unit.spring(setting.load, unit.index, 1.2).load(found.stroke)
    np.testing.assert_allclose(found.gas_pressure, gas / unit.effective_area, rtol=2e-4)
    nearest = np.argmin(np.abs(found.stroke - 1.2))
    assert found.gas_pressure[nearest] == pytest.approx(setting.pressure, rel=1e-3)
