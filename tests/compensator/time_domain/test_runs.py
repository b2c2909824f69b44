"""Many cases at once, the summary, stopping a run, and what is refused."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from heave.compensator.time_domain import (
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


def test_a_case_in_a_batch_is_the_case_alone(pipe: Pipe, bench_case: SimulationCase) -> None:
    model = string_model(pipe(3000.0), 30e3, loss_factor=0.02)
    frictions = np.array([10e3, 30e3, 60e3])
    heights = np.array([0.5, 1.0, 1.5])
    batch = simulate_cases(model, replace(bench_case, friction=frictions), regular_heave(heights, 10.0, 60.0))
    for number in range(3):
        alone = simulate_cases(
            model, replace(bench_case, friction=frictions[number]), regular_heave(heights[number], 10.0, 60.0)
        )
        for name, trace in alone.traces.items():
            tolerance = 1e-6 * max(float(np.abs(trace).max()), 1e-6)
            assert batch.traces[name][:, number] == pytest.approx(trace[:, 0], rel=1e-6, abs=tolerance), name


def test_summary_is_the_traces_summed_up(bench: Bench) -> None:
    run = bench()
    for name in ("heave", "stroke", "bit_force", "hook"):
        trace = run.traces[name][:, 0]
        assert run.summary.highest[name][0] == trace.max()
        assert run.summary.lowest[name][0] == trace.min()
        assert run.summary.mean[name][0] == pytest.approx(trace.mean(), abs=1e-9 * np.abs(trace).max())
        assert run.summary.sigma[name][0] == pytest.approx(trace.std(), rel=1e-6)


def test_progress_is_told_and_may_stop_a_run(pipe: Pipe, bench_case: SimulationCase) -> None:
    model, heave = string_model(pipe(3000.0), 30e3), regular_heave(1.0, 10.0, 60.0)
    shares: list[float] = []
    simulate_cases(model, bench_case, heave, progress=shares.append)
    assert shares == sorted(shares)
    assert shares[-1] == 1.0

    def stop(share: float) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        simulate_cases(model, bench_case, heave, progress=stop)


@pytest.mark.parametrize(
    "changes",
    [
        {"friction": -1.0},
        {"load": math.nan},
        {"contact": "sideways"},
        {"start": 4.0},
        {"drawworks": True},
        {"gas_length": 0.0},
    ],
)
def test_impossible_cases_are_refused(changes: dict[str, object], bench_case: SimulationCase) -> None:
    with pytest.raises(InputError):
        replace(bench_case, **changes)  # type: ignore[arg-type]


def test_impossible_runs_are_refused(pipe: Pipe, bench_case: SimulationCase) -> None:
    model, heave = string_model(pipe(3000.0), 30e3), regular_heave(1.0, 10.0, 60.0)
    with pytest.raises(InputError, match="time step"):
        simulate_cases(model, bench_case, heave, step=0.03)
    with pytest.raises(InputError, match="time of the event"):
        simulate_cases(model, bench_case, heave, events=(Event("compensator locked", 61.0),))
    with pytest.raises(InputError, match="rate of penetration"):
        simulate_cases(model, bench_case, heave, drilling_rate=-1.0)
    with pytest.raises(InputError, match="gas volume shut"):
        simulate_cases(model, bench_case, heave, events=(Event("gas bank shut", 1.0, 7.6),))
    with pytest.raises(InputError, match="number of values"):
        simulate_cases(model, replace(bench_case, friction=np.array([1e3, 2e3])), heave)
    for kind, time, amount in (
        ("dinner", 0.0, None),
        ("compensator locked", -1.0, None),
        ("gas bank shut", 1.0, None),
    ):
        with pytest.raises(InputError):
            Event(kind, time, amount)
    for wrong in ({"elements": 1}, {"modes": 0}, {"loss_factor": 0.6}):
        with pytest.raises(InputError):
            string_model(pipe(3000.0), 30e3, **wrong)  # type: ignore[arg-type]
    with pytest.raises(InputError):
        string_model(pipe(3000.0), -1.0)
