"""Contact of bit and ends, the active part's limits, and what happens during a run."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from energy import accounted

from heave.arrays import FloatArray
from heave.compensator.time_domain import (
    BLOCK_MOVES,
    Event,
    Run,
    SimulationCase,
    regular_heave,
    simulate_cases,
    string_model,
)
from heave.drill_string import DrillString
from heave.errors import InputError

Pipe = Callable[..., DrillString]
Bench = Callable[..., Run]


def half_swing(values: FloatArray) -> float:
    return float(values.max() - values.min()) / 2


def test_bit_lifts_off_and_never_pulls(pipe: Pipe, bench_case: SimulationCase) -> None:
    case = replace(bench_case, wob=30e3)
    run = simulate_cases(
        string_model(pipe(3000.0), 30e3, loss_factor=0.02), case, regular_heave(1.5, 10.0, 200.0)
    )
    force, bit = run.traces["bit_force"][:, 0], run.traces["bit"][:, 0]
    assert force.min() == 0.0
    assert 0.05 < run.summary.lift_off_share[0] < 0.6
    assert run.summary.lift_offs[0] >= 10
    assert bit[force == 0].max() > 0.01
    assert np.all(bit[force > 0] < 1e-3)
    # the mean is kept: what is not carried by the rock hangs on the hook, and the gas sees little of it
    assert force.mean() == pytest.approx(30e3, rel=0.5)


def test_ends_hold_and_make_the_unit_rigid(pipe: Pipe, bench_case: SimulationCase, bench: Bench) -> None:
    model, case = string_model(pipe(3000.0), 30e3, loss_factor=0.02), replace(bench_case, half_stroke=0.7)
    run = simulate_cases(model, case, regular_heave(1.0, 10.0, 200.0))
    stroke = run.traces["stroke"][:, 0]
    assert 0.7 < np.abs(stroke).max() < 0.75
    assert run.summary.stop_hits[0] >= 40
    assert half_swing(run.traces["bit_force"][:, 0]) > 1.2 * half_swing(bench().traces["bit_force"][:, 0])
    inside = np.abs(stroke) < 0.69
    assert np.all(run.traces["stop"][inside, 0] == 0.0)


def test_locked_unit_takes_the_whole_heave(pipe: Pipe, bench_case: SimulationCase) -> None:
    run = simulate_cases(
        string_model(pipe(3000.0), 30e3, loss_factor=0.02),
        replace(bench_case, locked=True),
        regular_heave(0.3, 10.0, 100.0),
    )
    assert np.abs(run.traces["stroke"]).max() < 1e-3
    # k_string times heave, 234.6 kN/m, with κL/sin κL on top: lifts off, so look at the pushing side
    assert run.traces["bit_force"].max() - 150e3 > 0.9 * 234.6e3 * 0.3


def test_force_and_speed_limits_of_the_active_part(pipe: Pipe, bench_case: SimulationCase) -> None:
    model = string_model(pipe(3000.0), 30e3, loss_factor=0.02)
    active = replace(bench_case, gain=0.95, delay=0.06, active_force_limit=25e3)
    heave = regular_heave(1.0, 10.0, 100.0)
    limited = simulate_cases(model, active, heave).traces
    assert np.abs(limited["active"]).max() == pytest.approx(25e3)
    free = simulate_cases(model, replace(active, active_force_limit=1e6), heave).traces
    passive = simulate_cases(model, bench_case, heave).traces
    hooks = [half_swing(traces["hook"][2500:, 0]) for traces in (free, limited, passive)]
    assert hooks[0] < hooks[1] < hooks[2]
    slow = simulate_cases(model, replace(active, active_velocity_limit=0.3), heave).traces
    quick = np.abs(slow["speed"][:-1, 0]) > 0.3 * 1.2
    assert quick.any()
    assert np.all(slow["active"][1:, 0][quick] == 0.0)


def test_shutting_gas_keeps_the_load_and_stiffens_the_spring(pipe: Pipe, c1: SimulationCase) -> None:
    """Shutting 60 % of the gas makes the spring 2.5 times as stiff."""
    model, case = string_model(pipe(300.0), 30e3, loss_factor=0.05), c1
    heave = regular_heave(0.2, 10.0, 200.0)
    run = simulate_cases(model, case, heave, events=(Event("gas bank shut", 100.0, 0.6 * 7.62),))
    gas, time = run.traces["gas"][:, 0], run.time
    steps = np.abs(np.diff(gas))
    assert steps[np.abs(time[1:] - 100) < 1].max() < 3 * steps[time[1:] < 99].max()
    before, after = half_swing(gas[(time > 50) & (time < 100)]), half_swing(gas[time > 150])
    assert after / before == pytest.approx(2.5, rel=0.03)


def test_drilling_eats_stroke_and_feeding_gives_it_back(pipe: Pipe, bench_case: SimulationCase) -> None:
    rate = 20 / 3600.0
    run = simulate_cases(
        string_model(pipe(3000.0), 30e3, loss_factor=0.02),
        bench_case,
        regular_heave(0.5, 10.0, 600.0),
        drilling_rate=rate,
        events=(Event("driller feeds off", 300.0),),
    )
    stroke, time = run.traces["stroke"][:, 0], run.time

    def mean(start: float) -> float:
        return float(stroke[(time >= start) & (time < start + 40)].mean())

    # the gas pulls more as it is compressed and stretches the string: k_s/(k_s + k_c) of the hole, and the
    # weight on bit sags by the series of both springs, 21.46 kN/m
    share = 234.6 / (234.6 + 23.622)
    assert mean(250.0) - mean(0.0) == pytest.approx(rate * 250 * share, rel=0.02)
    force = run.traces["bit_force"][:, 0]
    sag = force[time < 40].mean() - force[(time >= 250) & (time < 290)].mean()
    assert sag == pytest.approx(21.46e3 * rate * 250, rel=0.05)
    # what was drilled by 300 s is fed at 0.05 m/s; from then on only the last 100 s count
    assert mean(400.0) == pytest.approx(mean(100.0), abs=0.1)
    assert run.traces["bit"][-1, 0] == pytest.approx(-rate * 600, rel=0.02)


def test_locking_and_losing_during_the_run(pipe: Pipe, bench_case: SimulationCase) -> None:
    model = string_model(pipe(3000.0), 30e3, loss_factor=0.02)
    case = replace(bench_case, gain=0.9, delay=0.06)
    heave = regular_heave(0.3, 10.0, 300.0)
    events = (Event("active unit lost", 100.0), Event("compensator locked", 200.0))
    run = simulate_cases(model, case, heave, events=events)
    time, stroke = run.time, run.traces["stroke"][:, 0]
    assert np.all(run.traces["active"][time > 100.2, 0] == 0.0)
    assert half_swing(stroke[time > 201]) < 2e-3
    force = run.traces["bit_force"][:, 0]
    assert half_swing(force[(time > 50) & (time < 100)]) < half_swing(force[(time > 150) & (time < 200)])
    assert half_swing(force[(time > 150) & (time < 200)]) < half_swing(force[time > 250])


def test_the_block_run_too_far_strikes_either_end(pipe: Pipe, bench_case: SimulationCase) -> None:
    model, case = string_model(pipe(3000.0), 30e3, loss_factor=0.02), replace(bench_case, half_stroke=2.0)
    heave = regular_heave(0.3, 10.0, 200.0)
    for kind, side in BLOCK_MOVES.items():
        run = simulate_cases(model, case, heave, events=(Event(kind, 60.0, 3.0, 20.0),))  # type: ignore[arg-type]
        block, stroke, time = (
            (run.traces["block"] - run.traces["heave"])[:, 0],
            run.traces["stroke"][:, 0],
            run.time,
        )
        assert np.all(block[time < 59.9] == 0)
        # half of the way when half of the time is over, along a half cosine, and all of it in the end
        assert np.interp(70.0, time, block) == pytest.approx(1.5 * side, abs=1e-3)
        assert np.interp(65.0, time, block) == pytest.approx(
            3.0 * side * (1 - np.cos(np.pi / 4)) / 2, abs=1e-3
        )
        assert block[time > 81] == pytest.approx(3.0 * side)
        assert not run.traces["stop"][time < 60].any()
        assert run.traces["stop"][time > 80].any()
        assert side * run.traces["stop"][:, 0].sum() > 0
        assert 2.0 < (side * stroke).max() < 2.1


def test_the_blow_at_the_end_is_in_the_account_of_energy(pipe: Pipe, bench_case: SimulationCase) -> None:
    """What the block puts in is stored or lost to a hundredth of what is lost, a part of it in the cushion."""
    case = replace(bench_case, half_stroke=2.0)
    _, energy = accounted(
        string_model(pipe(3000.0), 30e3, loss_factor=0.02),
        case,
        regular_heave(0.3, 10.0, 120.0),
        events=(Event("block raised", 40.0, 3.0, 20.0),),
    )
    assert energy.stop[0] > 500.0
    assert abs(energy.imbalance[0]) < 0.01


def test_without_power_nothing_is_driven_fed_or_drilled(pipe: Pipe, bench_case: SimulationCase) -> None:
    model, heave = string_model(pipe(3000.0), 30e3, loss_factor=0.02), regular_heave(0.3, 10.0, 200.0)
    active = replace(bench_case, gain=0.9, delay=0.06)
    events = (
        Event("power lost", 90.0),
        Event("driller feeds off", 120.0),
        Event("block raised", 80.0, 1.0, 20.0),
    )
    run = simulate_cases(model, active, heave, events=events, drilling_rate=0.005)
    after = run.time > 90.2
    assert np.abs(run.traces["active"][run.time < 90]).max() > 1e3
    assert np.all(run.traces["active"][after] == 0)
    block = (run.traces["block"] - run.traces["heave"])[:, 0]
    # caught half-way up, and held there
    assert block[after] == pytest.approx(0.5, abs=1e-6)
    assert run.traces["bit"][-1, 0] == pytest.approx(-0.005 * 90, abs=0.01)


def test_a_drawworks_without_power_holds_the_block(pipe: Pipe) -> None:
    case = SimulationCase(load=1e6, wob=100e3, gain=0.95, delay=0.1, gas=False, drawworks=True)
    heave = regular_heave(0.3, 10.0, 200.0)
    run = simulate_cases(
        string_model(pipe(3000.0), 30e3, loss_factor=0.02), case, heave, events=(Event("power lost", 100.0),)
    )
    added = (run.traces["block"] - run.traces["heave"])[:, 0]
    assert half_swing(added[run.time < 100]) > 0.27
    assert half_swing(added[run.time > 100.1]) < 1e-9


@pytest.mark.parametrize(("amount", "over"), [(None, 10.0), (0.0, 10.0), (1.0, None), (1.0, 0.0)])
def test_a_block_that_is_moved_needs_amount_and_time(amount: float | None, over: float | None) -> None:
    with pytest.raises(InputError, match="block"):
        Event("block raised", 10.0, amount, over)
