"""What a simulation costs, and what time step, elements and modes do to its accuracy; prints tables.

python tests/benchmarks/bench_simulation.py [--speed] [--study FILE]
"""

# ruff: noqa: E402

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "compensator" / "time_domain")]

from energy import EnergyAccount, accounted

import heave
from heave.compensator.time_domain import (
    Run,
    SimulationCase,
    irregular_heave,
    pieces,
    simulate_cases,
    string_model,
)
from heave.compensator.time_domain.string_model import ELEMENTS, MODES
from heave.drill_string import DrillString, collar, drill_pipe, heavy_weight
from heave.files.rigs import demo_compensators
from heave.planning import Operation, Plan
from heave.sea import OMEGA, jonswap
from heave.simulation.proof import simulated
from heave.simulation.simulate import simulate, simulate_seeds

CASE = SimulationCase(
    load=1500e3,
    wob=150e3,
    friction=30e3,
    hydraulic_loss=12.66e3,
    gas_length=76.2,
    index=1.2,
    half_stroke=3.81,
)
SPECTRUM = jonswap(OMEGA, 2.0, 9.0, 2.0)
SEEDS = 16
STEPS = (0.05, 0.02, 0.01, 0.005)
MODE_COUNTS = (4, 8, 12, 20, 40)
ELEMENT_COUNTS = (8, 20, 60, 200)


def timed(run: Callable[[], object], times: int = 1) -> tuple[float, float]:
    """Processor and clock time of a run, the least of so many [s]."""
    found = []
    for _ in range(times):
        used, clock = time.process_time(), time.perf_counter()
        run()
        found.append((time.process_time() - used, time.perf_counter() - clock))
    return min(found)


def speed() -> list[str]:
    """The two budgets: 10 minutes with every trace, 3 hours of 50 seeds; and what each would take the plain way.

    A case alone is set against the same beside a second one, in arrays; runs in pieces against whole ones.
    """
    plan = heave.demo_plan()
    simulate(plan, 60.0)
    model = string_model(strings()["3000 m"], 30e3, loss_factor=0.04)
    alone, beside = (
        timed(
            partial(simulate_cases, model, CASE, irregular_heave(OMEGA, SPECTRUM, 600.0, seeds)),
            3,
        )
        for seeds in ((1,), (1, 1))
    )
    ten = timed(lambda: simulate(plan, 600.0), 5)
    parted = timed(lambda: simulate_seeds(plan, 10800.0, range(50)))
    most, pieces.MOST_LANES = pieces.MOST_LANES, 0
    whole = timed(lambda: simulate_seeds(plan, 10800.0, range(50)))
    pieces.MOST_LANES = most
    lines = ["| run | processor s | clock s | budget s | before, in this run |", "|---|---|---|---|---|"]
    for name, spent, budget, ratio in (
        ("10 min, one case, every trace", ten, 0.12, beside[0] / alone[0]),
        ("3 h, 50 seeds, extremes", parted, 6.0, whole[0] / parted[0]),
    ):
        lines.append(f"| {name} | {spent[0]:.2f} | {spent[1]:.2f} | {budget:g} | {ratio:.1f} times as much |")
    for name, one in proved(plan).items():
        used, clock = timed(partial(simulated, one), 2)
        lines.append(f"| checks by simulation, {name} | {used:.2f} | {clock:.2f} | 3 | |")
    return lines


def proved(plan: Plan) -> dict[str, Plan]:
    """Plans on and off bottom, passive and with an active part."""
    active = next(one for one in demo_compensators().values() if one.has_active and not one.follows_position)
    landing = Operation(kind="landing", residual_motion_limit=1.2, residual_velocity_limit=0.8)
    return {
        "on bottom, passive": plan,
        "on bottom, active": plan.changed(compensator=active),
        "off bottom, passive": plan.changed(operation=landing),
        "off bottom, active": plan.changed(operation=landing, compensator=active),
    }


def strings() -> dict[str, DrillString]:
    """A middling and a deep string, drill pipe over heavy-weight pipe and collars."""
    tail = (heavy_weight("5 in", length=100.0), collar(0.2032, 0.0714, 150.0))
    return {
        f"{length:g} m": DrillString(
            (drill_pipe(size="5 in", weight="19.50", grade="S-135", length=length - 250.0), *tail), 1300.0
        )
        for length in (3000.0, 7000.0)
    }


def one(
    string: DrillString, wob: float, step: float, modes: int, elements: int
) -> tuple[Run, EnergyAccount, float]:
    """Five minutes of a sea in `SEEDS` drawings, and the processor time one drawing alone would take."""
    contact = "one-sided" if wob > 0 else "none"
    model = string_model(string, 30e3, elements=elements, modes=modes, loss_factor=0.04)
    case = replace(CASE, wob=wob, contact=contact)
    many = irregular_heave(OMEGA, SPECTRUM, 300.0, range(SEEDS))
    run, energy = accounted(model, case, many, step=step, keep=False)
    single = irregular_heave(OMEGA, SPECTRUM, 60.0, (1,))
    start = time.process_time()
    simulate_cases(model, case, single, step=step)
    return run, energy, (time.process_time() - start) * 660 / 120


def study() -> list[str]:
    """Median over drawings of the largest swings, against a fine reference, for each choice."""
    lines = [
        "| string, bit | step s | modes | elements | bit swing % | stroke swing % | bit off rock % of time (reference) "
        "| energy % | s per 10 min |",
        "|---|---|---|---|---|---|---|---|---|",
    ]
    for name, string in strings().items():
        for wob, where in ((300e3, "on bottom"), (60e3, "lifting off"), (0.0, "free")):
            trace = "bit_force" if wob > 0 else "bit"
            reference, *_ = one(string, wob, 0.0025, 60, 200)
            cells = [(step, MODES, ELEMENTS) for step in STEPS]
            cells += [(0.02, modes, ELEMENTS) for modes in MODE_COUNTS if modes != MODES]
            cells += [(0.02, 8, elements) for elements in ELEMENT_COUNTS]
            for step, modes, elements in cells:
                run, energy, used = one(string, wob, step, modes, elements)
                bit, stroke = (_error(run, reference, key) for key in (trace, "stroke"))
                balance = 100 * float(np.abs(energy.imbalance).max())
                off = [100 * float(found.summary.lift_off_share.mean()) for found in (run, reference)]
                lines.append(
                    f"| {name}, {where} | {step:g} | {modes} | {elements} | {bit:+.2f} | {stroke:+.2f} "
                    f"| {off[0]:.2f} ({off[1]:.2f}) | {balance:.2f} | {used:.2f} |"
                )
    return lines


def _error(run: Run, reference: Run, name: str) -> float:
    """Median swing over drawings less the reference's, in per cent of it."""
    swings = [
        float(np.median(found.summary.highest[name] - found.summary.lowest[name]))
        for found in (run, reference)
    ]
    return 100 * (swings[0] / swings[1] - 1)


def main() -> None:
    """Run what was asked for."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--speed", action="store_true")
    parser.add_argument("--study", type=Path)
    choice = parser.parse_args()
    if choice.speed or not choice.study:
        print("\n".join(speed()))
    if choice.study:
        text = "\n".join(study()) + "\n"
        choice.study.write_text(text, encoding="utf-8")
        print(text)


if __name__ == "__main__":
    main()
