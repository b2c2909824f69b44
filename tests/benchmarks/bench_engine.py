"""What the engine costs, beside its targets, and beside another checkout of the planner in the same run.

    python tests/benchmarks/bench_engine.py [other checkout]

Every measure is the shortest of some runs in processor time, in a process of its own; the two checkouts take turns,
so that a busy machine slows both. A benchmark, not a test: nothing fails here. One pass of `numpy.exp` over as many
double-precision points as 100,000 seas of two systems once had (2 × 263 each) is the yardstick for motions.
"""

from __future__ import annotations

import contextlib
import dataclasses
import io
import json
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

HERE = Path(__file__).resolve().parents[2]
SEAS, YEARS, HOURS = 24_576, 350_640, 241


def cost(work: Callable[[], object], runs: int = 3) -> float:
    """Processor time of the shortest of some runs [s]."""
    taken = []
    for _ in range(runs):
        start = time.process_time()
        work()
        taken.append(time.process_time() - start)
    return min(taken)


def old_or_new(new: str, old: str, name: str) -> Any:
    """A name from the room it is in now, or from the one it was in."""
    with contextlib.suppress(ImportError, AttributeError):
        return getattr(__import__(new, fromlist=[name]), name)
    return getattr(__import__(old, fromlist=[name]), name)


def seas(count: int, shape: str = "jonswap") -> Any:
    """Wind sea and swell with random heights, periods and directions."""
    from heave.sea import SeaBatch, SystemSlot

    rng = np.random.default_rng(1)
    wind = SystemSlot(
        rng.uniform(0.5, 5.0, count), rng.uniform(5.0, 14.0, count), rng.uniform(0.0, 360.0, count), shape
    )
    swell = SystemSlot(
        rng.uniform(0.5, 3.0, count), rng.uniform(9.0, 18.0, count), rng.uniform(0.0, 360.0, count), gamma=5.0
    )
    return SeaBatch((wind, swell) if shape == "jonswap" else (wind,))


def record(hours: int) -> Any:
    """Invented hourly seas: a wind sea that comes and goes, and a swell that turns slowly."""
    from heave.sea import SeaBatch, SystemSlot

    forecast = old_or_new("heave.weather.forecast", "heave.planning.forecast", "Forecast")
    age = np.arange(hours) / 24.0
    wind = 2.0 + 1.2 * np.sin(age) + 0.6 * np.sin(age / 9.0)
    swell = 0.9 + 0.5 * np.sin(age / 5.0)
    slots = (
        SystemSlot(wind, 4.8 * np.sqrt(wind), np.mod(220.0 + 60.0 * np.sin(age / 3.0), 360.0)),
        SystemSlot(swell, 12.0 + 2.0 * np.sin(age / 7.0), np.mod(250.0 + 20.0 * np.sin(age / 11.0), 360.0)),
    )
    times = np.datetime64("1986-01-01T00:00:00", "s") + np.arange(hours) * np.timedelta64(3600, "s")
    return forecast(
        times, SeaBatch(slots), ("wind sea", "swell 1"), 3600.0, np.zeros(hours - 1, dtype=np.bool_)
    )


def motions(plan: Any) -> float:
    from heave.vessel import hoist_moments

    points = np.random.default_rng(0).uniform(-5.0, 0.0, (SEAS // 2, 263))
    out = np.empty_like(points)
    bare = 4 * cost(lambda: np.exp(points, out=out), 10)
    return cost(lambda: hoist_moments(plan.vessel, 0.0, seas(SEAS)), 10) / bare


def checks(plan: Any, shape: str = "jonswap") -> float:
    utilisations = old_or_new("heave.judging", "heave.planning", "utilisations")
    return 1e6 * cost(lambda: utilisations(plan, seas(SEAS, shape))) / SEAS


def planned_checks(plan: Any) -> float:
    """Every check at the planned values alone."""
    return checks(plan.changed(ranges=old_or_new("heave.planning.ranges", "heave.planning", "CLOSED")))


def forty_years(plan: Any) -> float:
    hindcast = old_or_new("heave.weather", "heave.planning.windows", "hindcast_windows")
    hours = 70_128
    made = record(hours)
    return cost(lambda: hindcast(plan, made), 2) * YEARS / hours


def limit_map(plan: Any) -> float:
    periods, headings = np.linspace(5.0, 18.0, 40), np.arange(0.0, 360.0, 10.0)
    with contextlib.suppress(ImportError, AttributeError):
        from heave.judging import limit_map as whole

        return cost(lambda: whole(plan, list(periods), list(headings)))
    import heave

    some = [(tp, bow) for tp in periods[::8] for bow in headings[::6]]
    return cost(lambda: [heave.limiting_sea(plan, tp, bow) for tp, bow in some], 1) * 1440 / len(some)


def best_heading(plan: Any, sector: float | None = None) -> float:
    best = old_or_new("heave.weather.headings", "heave.planning.windows.headings", "best_headings")
    table = old_or_new("heave.planning", "heave.planning.windows", "BASE_CASE")
    campaign = old_or_new("heave.planning", "heave.planning.windows", "Campaign").of(plan.operation)
    if sector is not None and hasattr(plan, "weather"):
        plan = plan.changed(weather=dataclasses.replace(plan.weather, sector=sector))
    made = record(5 * HOURS)
    return 10 * cost(lambda: best(plan, made, campaign, table, 30.0))


def five_steps(plan: Any) -> float:
    evaluate = old_or_new("heave.weather", "heave.planning.windows", "evaluate_forecast")
    table = old_or_new("heave.planning", "heave.planning.windows", "NO_FACTOR")
    campaign = old_or_new("heave.planning", "heave.planning.windows", "Campaign")
    step = old_or_new("heave.planning", "heave.planning.windows", "OperationStep")
    operation = old_or_new("heave.planning", "heave.planning", "Operation")
    kinds = ("drilling", "coring", "tripping", "casing", "waiting")
    steps = tuple(step(operation(kind=k, duration=7200.0, wob_low=5e4, wob_high=3e5)) for k in kinds)
    made = record(5000)
    one, five = (
        cost(lambda c=c: evaluate(plan, made, c, table)) for c in (campaign(steps[:1]), campaign(steps))
    )
    return five / one


def ten_minutes(plan: Any) -> float:
    import heave

    heave.simulate(plan, 30.0)
    return cost(lambda: heave.simulate(plan, 600.0), 2)


def table_of_forty_years(plan: Any) -> float:
    import heave

    made = record(YEARS)
    wind, swell = made.batch.slots
    text = io.StringIO("time_utc,wind_sea_hs_m,wind_sea_tp_s,wind_sea_direction_from_deg,"
                       "swell1_hs_m,swell1_tp_s,swell1_direction_from_deg\n")  # fmt: skip
    text.seek(0, io.SEEK_END)
    columns = [part for slot in (wind, swell) for part in (slot.hs, slot.tp, slot.direction_from)]
    for when, *row in zip(made.times.astype(str), *(np.round(c, 2).tolist() for c in columns), strict=True):
        text.write(f"{when}Z,{','.join(map(str, row))}\n")
    data = text.getvalue().encode()
    return cost(lambda: heave.read_forecast(data), 2)


def million_seas(plan: Any) -> float:
    utilisations = old_or_new("heave.judging", "heave.planning", "utilisations")
    many = seas(1_000_000)
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    utilisations(plan, many)
    return (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024


def one_plan(plan: Any) -> float:
    import heave

    return 1e3 * cost(lambda: heave.assess(plan), 20)


def library(plan: Any) -> float:
    command = [
        sys.executable,
        "-c",
        "import time; t = time.process_time(); import heave; print(time.process_time() - t)",
    ]
    return min(
        float(subprocess.run(command, capture_output=True, text=True, check=True).stdout) for _ in range(3)
    )


MEASURES: dict[str, tuple[Callable[[Any], float], str, str]] = {
    "seas of two systems to moments of the motion": (motions, "× numpy.exp", "1.7"),
    "every check, per sea": (checks, "µs", "15"),
    "every check without ranges, per sea": (planned_checks, "µs", "6"),
    "Ochi–Hubble to every check, per sea": (lambda plan: checks(plan, "ochi-hubble"), "µs", "25"),
    "350,640 seas of two systems, every check": (forty_years, "s", "10"),
    "limit map, 40 periods × 36 headings": (limit_map, "s", "0.4"),
    "best of 36 headings, 50 members, 10 days": (best_heading, "s", "1.5"),
    "the same, the bow to any side of the sea": (lambda plan: best_heading(plan, 180.0), "s", "1.5"),
    "five steps over one": (five_steps, "×", "1.5"),
    "ten minutes simulated, every trace": (ten_minutes, "s", "0.12"),
    "forty years of hours read from CSV": (table_of_forty_years, "s", "0.8"),
    "memory for a million seas, every check": (million_seas, "MB", "400"),
    "assess one plan": (one_plan, "ms", "20"),
    "import of the library": (library, "s", "0.2"),
}
"""What is measured: how, its unit and its target."""


def measured(root: Path, name: str) -> float:
    """One measure of a checkout, in a process of its own."""
    command = [sys.executable, str(Path(__file__)), "--measure", name]
    environment = {"PYTHONPATH": str(root), "OPENBLAS_NUM_THREADS": "1", "PATH": "", "HOME": str(root)}
    done = subprocess.run(command, capture_output=True, text=True, check=True, env=environment, cwd=root)
    return float(json.loads(done.stdout.splitlines()[-1]))


def main() -> None:
    """Print a row for every measure."""
    if sys.argv[1:2] == ["--measure"]:
        import heave

        print(json.dumps(MEASURES[sys.argv[2]][0](heave.demo_plan())))
        return
    other = Path(sys.argv[1]).resolve() if len(sys.argv) > 1 else None
    print("| what | before | now | target |\n|---|---|---|---|")
    for name, (_, unit, target) in MEASURES.items():
        before = f"{measured(other, name):.3g} {unit}" if other else ""
        print(f"| {name} | {before} | {measured(HERE, name):.3g} {unit} | {target} |", flush=True)


if __name__ == "__main__":
    main()
