"""How long a climate takes: forty years of hours of two systems, and a scatter diagram.

python tests/benchmarks/bench_climate.py

Processor time of this process, linear algebra on one thread. Budget for the checks of one operation over forty years
of hours: 3 s on the machine the budgets are of; print the figure of one bare `numpy.exp` pass beside it to compare.
"""

from __future__ import annotations

import sys
from pathlib import Path
from time import process_time

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import heave
from heave.files.scatter import read_scatter
from heave.judging import utilisations
from heave.planning import Campaign, Operation, OperationStep
from heave.planning.ranges import CLOSED
from heave.sea import SeaBatch, SystemSlot
from heave.studies.climate import operability
from heave.studies.climate_headings import HEADING_RULES
from heave.studies.climate_seas import seas_of_record, seas_of_scatter
from heave.studies.persistence import persistence
from heave.studies.waiting import waiting_times
from heave.weather.forecast import Forecast

HOURS = 350_640
SCATTER = Path(__file__).resolve().parents[2] / "sea_states" / "iacs_rec34_rev1.csv"


def record() -> Forecast:
    """Forty invented years, heights that rise and fall over days and seasons, directions to 1 degree."""
    chance = np.random.default_rng(1)
    hour = np.arange(HOURS)
    noise = np.repeat(chance.normal(size=HOURS // 60 + 2), 60)[:HOURS]
    smooth = np.convolve(noise, np.ones(48) / 48, mode="same")
    hs = np.clip(np.exp(0.75 + 0.35 * np.cos(2 * np.pi * hour / 8766) + 0.55 * smooth), 0.3, 14.0).round(2)
    tp = np.clip(5.0 + 1.9 * np.sqrt(hs) + chance.normal(size=HOURS), 4.0, 18.0).round(1)
    swell = np.clip(np.exp(0.1 + 0.4 * np.roll(smooth, 500)), 0.2, 6.0).round(2)
    slots = (
        SystemSlot(hs, tp, chance.integers(0, 360, HOURS).astype(float)),
        SystemSlot(
            swell,
            chance.uniform(9.0, 16.0, HOURS).round(1),
            chance.integers(0, 360, HOURS).astype(float),
            shape="gaussian-swell",
            spreading_exponent=10.0,
        ),
    )
    times = np.datetime64("1985-01-01T00", "s") + hour * np.timedelta64(3600, "s")
    return Forecast(
        times, SeaBatch(slots, 1200.0), ("wind sea", "swell"), 3600.0, np.zeros(HOURS - 1, dtype=bool)
    )


def main() -> None:
    """Print the figures."""
    plan, years = heave.demo_plan(), record()
    some = np.random.default_rng(2).normal(size=(HOURS, 100)).astype(np.float32)
    for _ in range(2):
        start = process_time()
        np.exp(some)
        bare = process_time() - start
    print(f"one bare numpy.exp pass over {HOURS} × 100 numbers: {bare:.2f} s")
    for name, own in (("with ranges", plan), ("planned values", plan.changed(ranges=CLOSED))):
        start = process_time()
        utilisations(own, years.batch)
        print(f"all checks, {name}: {process_time() - start:.2f} s")
    start = process_time()
    found = operability(plan, seas_of_record(plan, years))
    print(
        f"operability of one step, doubt on a sample of the seas: {process_time() - start:.2f} s (budget 3 s)"
    )
    steps = tuple(
        OperationStep(Operation(kind=kind, duration=hours * 3600.0), interruptible=True)
        for kind, hours in (("drilling", 24.0), ("tripping", 12.0), ("casing", 18.0), ("landing", 8.0))
    )
    start = process_time()
    four = operability(plan, seas_of_record(plan, years), campaign=Campaign(steps))
    print(f"operability of four steps: {process_time() - start:.2f} s")
    for name, ask in (("waiting", lambda: waiting_times(four)), ("persistence", lambda: persistence(found))):
        start = process_time()
        ask()
        print(f"{name}: {process_time() - start:.2f} s")
    for rule in HEADING_RULES[1:]:
        start = process_time()
        share = operability(plan, seas_of_record(plan, years), rule).steps[0].shares.workable
        print(
            f"one step, headings '{rule}': {process_time() - start:.1f} s, workable {share:.3f}", flush=True
        )
    diagram = read_scatter(SCATTER, classes="middles")
    for rule in HEADING_RULES:
        start = process_time()
        operability(plan, seas_of_scatter(plan, diagram), rule)
        print(f"scatter diagram, headings '{rule}': {process_time() - start:.2f} s")


if __name__ == "__main__":
    main()
