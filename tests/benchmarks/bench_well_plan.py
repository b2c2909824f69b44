"""Processor time of windows for a whole well plan: ten days hourly, three systems, five steps with own loads.

python tests/benchmarks/bench_well_plan.py

Every step has its own hookload, time to make safe and state it waits in. The shortest of five runs counts; the members
of the ensemble are searched on the plan's heading.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from heave.files.rigs import demo_plan
from heave.planning import Campaign, Operation, OperationStep, Plan, Tide, TideWater
from heave.sea import SeaBatch, SystemSlot
from heave.weather import EnsembleForecast, Forecast, ensemble_windows, weather_windows

HOUR, SIZE = 3600.0, 240
LIMITS = {
    "tripping": {"heave_limit": 5.0},
    "casing": {"heave_limit": 5.0},
    "landing": {"residual_motion_limit": 3.0, "residual_velocity_limit": 3.0},
}
STEPS = (
    ("drilling", 10.0, 1.3e6),
    ("tripping", 8.0, 1.2e6),
    ("casing", 20.0, 2.0e6),
    ("landing", 0.5, 1.5e6),
    ("fixed", 6.0, 1.4e6),
)


def forecast() -> Forecast:
    """Ten days of three systems that wander, from a fixed seed."""
    rng = np.random.default_rng(1)

    def wander(low: float, high: float) -> np.ndarray:
        walk = np.cumsum(rng.normal(size=SIZE))
        return low + (high - low) * (walk - walk.min()) / np.ptp(walk)

    parts = (
        ((0.3, 3.0), (6, 9), (200, 260)),
        ((0.3, 2.0), (10, 13), (220, 280)),
        ((0.2, 1.0), (13, 16), (180, 240)),
    )
    slots = tuple(SystemSlot(*(wander(*span) for span in part)) for part in parts)
    times = np.datetime64("2026-05-01T00:00:00") + np.arange(SIZE) * np.timedelta64(3600, "s")
    names = ("wind sea", "swell 1", "swell 2")
    return Forecast(times, SeaBatch(slots, 1200.0), names, HOUR, np.zeros(SIZE - 1, bool))


def campaign() -> Campaign:
    """The five steps."""
    hung = Operation(kind="waiting", heave_limit=6.0)
    return Campaign(
        tuple(
            OperationStep(
                Operation(kind=kind, duration=hours * HOUR, **LIMITS.get(kind, {})),  # type: ignore[arg-type]
                contingency=0.0,
                interruptible=kind in ("drilling", "tripping", "casing"),
                make_safe=2 * HOUR,
                waits_in=hung,
                hookload=load,
            )
            for kind, hours, load in STEPS
        )
    )


def shortest(work: Callable[[], object], runs: int = 5) -> float:
    """Shortest processor time of a few runs [s]."""
    found = []
    for _ in range(runs):
        start = time.process_time()
        work()
        found.append(time.process_time() - start)
    return min(found)


def main() -> None:
    """Print every figure beside its budget."""
    sea, steps, plan = forecast(), campaign(), demo_plan()
    free: Plan = plan.changed(weather=replace(plan.weather, sector=180.0))
    first = sea.times[0] - np.timedelta64(6, "h")
    waters = (TideWater(str(first + k * np.timedelta64(22350, "s")), 2.0 * (-1) ** k) for k in range(45))
    tidal = plan.changed(weather=replace(plan.weather, tide=Tide(tuple(waters))))
    members = tuple(replace(sea, batch=sea.batch.times(x)) for x in np.linspace(0.8, 1.2, 50))
    ensemble = EnsembleForecast(members, tuple(map(str, range(50))))
    rows = (
        ("heading held", "", lambda: weather_windows(plan, sea, steps, heading="fixed")),
        (
            "36 headings, all in the sector",
            "0.5 s",
            lambda: weather_windows(free, sea, steps, heading="best"),
        ),
        ("heading held, tide of 4 m", "", lambda: weather_windows(tidal, sea, steps, heading="fixed")),
        ("50 members", "3 s", lambda: ensemble_windows(plan, ensemble, steps)),
    )
    for name, budget, work in rows:
        print(f"{name:34s} {shortest(work):6.2f} s   {budget and 'budget ' + budget}")


if __name__ == "__main__":
    main()
