"""Times the weather window beside its targets: ten days of forecast, and forty years of hindcast.

python tests/benchmarks/bench_window.py [samples of the hindcast]
"""

from __future__ import annotations

import resource
import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import heave
from heave.planning import BASE_CASE
from heave.sea import SeaBatch, SystemSlot
from heave.weather import hindcast_windows, weather_windows
from heave.weather.forecast import Forecast

YEARS = 350_640
"""Hours in forty years."""


def made_up(hours: int, systems: int) -> Forecast:
    """Invented hourly seas: a wind sea that comes and goes, and swells that turn slowly."""
    rng = np.random.default_rng(1)
    age = np.arange(hours) / 24.0
    wind = 2.0 + 1.2 * np.sin(age) + 0.6 * np.sin(age / 9.0) + rng.uniform(0.0, 0.4, hours)
    slots = [SystemSlot(wind, 4.8 * np.sqrt(wind), np.mod(220.0 + 60.0 * np.sin(age / 3.0), 360.0))]
    for place in range(1, systems):
        slots.append(
            SystemSlot(
                0.9 + 0.5 * np.sin(age / 5.0 + place) + rng.uniform(0.0, 0.2, hours),
                12.0 + 2.0 * np.sin(age / 7.0 + place),
                np.mod(250.0 + 25.0 * place + 20.0 * np.sin(age / 11.0), 360.0),
                shape="gaussian-swell",
                spreading_exponent=10.0,
            )
        )
    times = np.datetime64("1986-01-01T00:00:00", "s") + np.arange(hours) * np.timedelta64(3600, "s")
    names = ("wind sea", "swell 1", "swell 2")[:systems]
    return Forecast(times, SeaBatch(tuple(slots)), names, 3600.0, np.zeros(hours - 1, dtype=np.bool_))


def best_of(runs: int, work: object) -> float:
    """Shortest of some runs [s]."""
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        work()  # type: ignore[operator]
        times.append(time.perf_counter() - start)
    return min(times)


def main() -> None:
    plan = heave.demo_plan()
    forecast = made_up(241, 3)
    weather_windows(plan, forecast)
    quick = best_of(5, lambda: weather_windows(plan, forecast))
    turning = best_of(3, lambda: weather_windows(plan, forecast, heading="best"))
    print(f"10 days hourly, 3 systems, all checks, with and without α: {1e3 * quick:.0f} ms (target 150 ms)")
    print(f"the same with the best of 36 headings: {1e3 * turning:.0f} ms")

    hours = int(sys.argv[1]) if len(sys.argv) > 1 else YEARS
    record = made_up(hours, 2)
    start = time.perf_counter()
    found = hindcast_windows(plan, record, alpha=BASE_CASE)
    taken = time.perf_counter() - start
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**20
    print(f"{hours:,} samples, 2 systems, α, all checks: {taken:.1f} s (target 10 s for {YEARS:,})")
    print(f"peak memory {peak:.2f} GiB (target 1 GB)")
    overall = found.overall
    print(
        f"availability {overall.availability:.2f}, {overall.windows:.1f} windows a month, "
        f"waiting P50 {overall.waiting_p50 / 3600:.0f} h, P90 {overall.waiting_p90 / 3600:.0f} h"
    )


if __name__ == "__main__":
    main()
