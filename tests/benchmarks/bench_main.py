"""Timings of the main job, printed beside their targets: `python tests/benchmarks/bench_main.py`.

A benchmark, not a test: nothing fails here.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import heave
from heave.judging import utilisations
from heave.sea import OMEGA, SeaBatch, SystemSlot
from heave.vessel import motion_statistics

SEAS = 100_000


def best(work: Callable[[], object], runs: int = 5) -> float:
    """Shortest of some runs [s]."""
    taken = []
    for _ in range(runs):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return min(taken)


def two_system_seas(count: int, seed: int = 1) -> SeaBatch:
    """Wind sea and swell with random heights, periods and directions."""
    rng = np.random.default_rng(seed)
    wind = SystemSlot(
        hs=rng.uniform(0.5, 5.0, count),
        tp=rng.uniform(5.0, 14.0, count),
        direction_from=rng.uniform(0.0, 360.0, count),
        shape="jonswap",
    )
    swell = SystemSlot(
        hs=rng.uniform(0.5, 3.0, count),
        tp=rng.uniform(9.0, 18.0, count),
        direction_from=rng.uniform(0.0, 360.0, count),
        shape="jonswap",
        gamma=5.0,
        spreading_exponent=10.0,
    )
    return SeaBatch((wind, swell))


def bare_exponential(rows: int, columns: int) -> float:
    """One pass of numpy.exp over rows × columns points [s]."""
    exponents = np.random.default_rng(0).uniform(-5.0, 0.0, (rows, columns))
    return best(lambda: np.exp(exponents), 3)


def main() -> None:
    """Print every timing."""
    plan = heave.demo_plan()
    heave.assess(plan)
    print(f"assess one plan            {1e3 * best(lambda: heave.assess(plan), 20):8.1f} ms   (target 20 ms)")

    seas = two_system_seas(SEAS)
    bare = bare_exponential(SEAS, OMEGA.size)
    points = f"{SEAS:,} × {OMEGA.size} points"
    motion = best(lambda: motion_statistics(plan.vessel, plan.heading, seas, 10800.0, 0.01), 3)
    print(f"bare numpy.exp             {1e3 * bare:8.1f} ms   ({points}, once)")
    print(
        f"seas to motion statistics  {1e3 * motion:8.1f} ms   ({SEAS:,} seas of two systems; "
        f"{motion / bare / 2:.1f} × bare over both systems' points, {motion / bare:.1f} × over one's; target 4)"
    )
    checks = best(lambda: utilisations(plan, seas), 1)
    print(f"seas to every check        {1e3 * checks:8.1f} ms   ({SEAS:,} seas, all checks of the demo plan)")
    print(f"peak memory so far         {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:8.0f} MB")

    root = Path(__file__).resolve().parents[2]
    cold = best(lambda: subprocess.run([sys.executable, "-c", "import heave"], cwd=root, check=True), 3)
    empty = best(lambda: subprocess.run([sys.executable, "-c", "pass"], cwd=root, check=True), 3)
    print(
        f"cold import of the library {1e3 * (cold - empty):8.1f} ms   (interpreter start taken off; target 1000 ms)"
    )


if __name__ == "__main__":
    main()
