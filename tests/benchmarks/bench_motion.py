"""Times the way from seas to motion statistics against one bare numpy.exp pass over as many points.

Run from the root of the checkout: `python tests/benchmarks/bench_motion.py [number of seas]`.
The aim is at most 4 times one pass, for two JONSWAP systems in each sea.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from heave.files.response_table import read_response_table  # noqa: E402
from heave.sea import OMEGA, SeaBatch, SystemSlot  # noqa: E402
from heave.vessel import Semisubmersible, Vessel, hoist_moments, motion_statistics  # noqa: E402
from heave.vessel.motion import CHUNK  # noqa: E402


def best(work: Callable[[], object], times: int = 3) -> float:
    """Shortest of a few runs [s]."""
    spent = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        spent.append(time.perf_counter() - start)
    return min(spent)


def seas(count: int) -> SeaBatch:
    """Random seas of two systems."""
    draw = np.random.default_rng(1)
    slots = tuple(
        SystemSlot(draw.uniform(0.5, 6, count), draw.uniform(5, 18, count), draw.uniform(0, 360, count))
        for _ in range(2)
    )
    return SeaBatch(slots)


def main(count: int) -> None:
    """Print the times."""
    batch = seas(count)
    points = np.random.default_rng(2).uniform(-5.0, 0.0, (count, len(OMEGA)))
    out = np.empty_like(points)
    into, fresh = best(lambda: np.exp(points, out=out)), best(lambda: np.exp(points))
    print(f"{count} seas, {len(OMEGA)} frequencies, 2 systems, chunks of {CHUNK}")
    print(f"numpy.exp over seas x frequencies: {fresh:.3f} s, into an array that exists {into:.3f} s")

    buffers = batch.make_buffers(CHUNK)

    def spectra() -> None:
        for start in range(0, count, CHUNK):
            batch.take(slice(start, start + CHUNK)).spectra(buffers)

    print(f"spectra alone: {best(spectra):.3f} s")
    ship = Vessel("ship", read_response_table(ROOT / "heave" / "rigs" / "demo_drillship_response.csv"))
    rig = Vessel("rig", Semisubmersible(4, 16.4, 60.0, 110.0, 15.0, 9.0, 60.0, 19.0, added_mass=5e7))
    start = time.perf_counter()
    hoist_moments(ship, 0.0, batch.take(slice(0, 1)))
    print(f"first sea with a new vessel: {time.perf_counter() - start:.3f} s")
    for vessel in (ship, rig):
        spent = best(lambda vessel=vessel: motion_statistics(vessel, 30.0, batch, 10800.0, 0.1))  # type: ignore[misc]
        print(
            f"{vessel.name}: {spent:.3f} s, {spent / (2 * into):.1f} passes over all systems' points "
            f"({spent / (2 * fresh):.1f} with a fresh array)"
        )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000)
