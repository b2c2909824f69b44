"""How long reading takes: ten days of three systems, and forty years of hours of two.

python tests/benchmarks/bench_forecast.py
"""

from __future__ import annotations

import resource
import sys
from pathlib import Path
from time import perf_counter

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from heave.files.forecast.reader import SAMPLE, read_forecast

HOURS = 350_640


def hindcast() -> bytes:
    """Forty invented years, heights to 0.01 m and energy periods to 0.1 s as hindcasts give them."""
    chance = np.random.default_rng(1)
    times = np.datetime64("1985-01-01T00") + np.arange(HOURS).astype("timedelta64[h]")
    columns = (
        np.datetime_as_string(times, unit="m"),
        chance.uniform(0.3, 6.0, HOURS).round(2),
        chance.uniform(5.0, 12.0, HOURS).round(1),
        chance.integers(0, 360, HOURS),
        chance.uniform(0.3, 3.0, HOURS).round(2),
        chance.uniform(8.0, 16.0, HOURS).round(1),
        chance.integers(0, 360, HOURS),
    )
    head = "time_utc,shww,mpww,mdww,swh1,mwp1,mwd1"
    return "\n".join([head, *(",".join(map(str, row)) for row in zip(*columns, strict=True))]).encode()


def main() -> None:
    """Print the times."""
    read_forecast(SAMPLE)
    start = perf_counter()
    for _ in range(10):
        read_forecast(SAMPLE)
    print(f"10 days hourly, 3 systems: {(perf_counter() - start) * 100:.1f} ms")
    data = hindcast()
    start = perf_counter()
    found = read_forecast(data)
    seconds = perf_counter() - start
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3
    print(
        f"40 years hourly, 2 systems, {len(data) / 1e6:.0f} MB: {seconds:.1f} s, {found.size} seas, {peak:.0f} MB"
    )


if __name__ == "__main__":
    main()
