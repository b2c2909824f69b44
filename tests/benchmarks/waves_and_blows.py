"""What stands in the sentences beside a run: bands of a regular wave, and the blow of a stroke-out, by simulation.

    python tests/benchmarks/waves_and_blows.py [--groups 168] [--places 6]

Waves: random plans drilling (`random_plans.drawn`), each in a sine of heave of random period and amplitude; simulated
over predicted swing, where the bit stays on the rock and the unit between its ends. Blows: the block run too far up
and down on the demonstration units and random ones, stiffness and damping of the cushion halved and doubled.
"""

# ruff: noqa: E402

from __future__ import annotations

import argparse
import itertools
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np

from heave.arrays import FloatArray

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(Path(__file__).resolve().parent)]

from random_plans import drawn

from heave.compensator.time_domain import BLOCK_MOVES, Event, regular_heave, simulate_cases
from heave.errors import InputError
from heave.files.rigs import demo_compensators, demo_plan
from heave.judging.results import bit_band
from heave.planning import Plan
from heave.planning.offsets import StaticOffsets
from heave.simulation.scenario import block_travel
from heave.simulation.simulate import plan_case, plan_model, simulate
from heave.simulation.wave_answer import wave_demands

SHARES = (0.5, 1.0, 2.0)


def drilling(groups: int, places: int) -> Iterator[tuple[str, Plan, np.random.Generator]]:
    """Random plans on bottom, without slow travel."""
    for number in range(groups):
        group = drawn(number)
        for place, plan in enumerate(group.plans[:places] if group.plans[0].on_bottom else ()):
            yield (
                group.kind,
                plan.changed(offsets=StaticOffsets()),
                np.random.default_rng(100 * number + place),
            )


def waves(groups: int, places: int) -> dict[str, list[tuple[float, float, float]]]:
    """By kind: swing at the bit simulated over predicted, travel less predicted over heave, and load over friction."""
    found: dict[str, list[tuple[float, float, float]]] = {}
    for kind, plan, chance in drilling(groups, places):
        period, heave = float(chance.uniform(6, 18)), float(0.1 * 15 ** chance.random())
        try:
            asked, run = (
                wave_demands(plan, heave, period),
                simulate(plan, heave=regular_heave(heave, period, 180.0)),
            )
        except InputError:
            continue
        band, late = bit_band(asked), run.time > 90
        if run.lift_off.any() or run.stroke_out.any() or band is None or asked.stroke is None:
            continue
        swing = np.abs(run.bit_force[late] - plan.wob).max() / float(np.ravel(band.nominal)[0])
        off = (np.ptp(run.stroke[late]) / 2 - float(asked.stroke.level[0])) / heave
        grip = max(asked.setting.friction_force * (1 - (getattr(plan.compensator, "active_gain", 0.0))), 1.0)
        found.setdefault(kind, []).append((float(swing), float(off), float(asked.locked[0]) / grip))
    return found


def blows(plan: Plan, kind: str, over: float) -> FloatArray:
    """Largest force of the end in the second and a half from its first touch, for each cushion over that assumed."""
    case, model, heave = plan_case(plan), plan_model(plan), regular_heave(0.6, 11.0, 100.0)
    event = Event(kind, 30.0, block_travel(plan, kind), over)  # type: ignore[arg-type]
    found = []
    for stiff, damped in itertools.product(SHARES, SHARES):
        cushion = replace(
            case,
            stop_stiffness=stiff * np.asarray(case.stop_stiffness),
            stop_damping=damped * np.asarray(case.stop_damping),
        )
        stop = simulate_cases(model, cushion, heave, events=(event,)).traces["stop"][:, 0]
        first = int(np.argmax(stop != 0))
        found.append(np.abs(stop[first : first + 75]).max())
    # with little weight on bit and stiff gas the bit lifts before the end is met
    return np.array(found) / found[4] if min(found) > 0 else np.empty(0)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--groups", type=int, default=168)
    parser.add_argument("--places", type=int, default=6)
    asked = parser.parse_args()
    for kind, rows in waves(asked.groups, asked.places).items():
        swing, off, grip = np.array(rows).T
        told = (grip < 1) | (grip >= 1.5)
        print(f"{kind}: {len(rows)} waves; least, 5 %, median, 95 % and most")
        print("  swing at the bit over predicted", np.percentile(swing, [0, 5, 50, 95, 100]).round(2))
        print(
            "  travel off by, of the heave    ", np.percentile(abs(off[told]), [0, 5, 50, 95, 100]).round(3)
        )
    gas = [
        unit for unit in demo_compensators().values() if not unit.is_drawworks and not unit.follows_position
    ]
    plans = [demo_plan().changed(compensator=unit, offsets=StaticOffsets()) for unit in gas]
    plans += [plan for _, plan, _ in drilling(18, 2)]
    shares = [
        blows(plan, kind, over) for plan, kind, over in itertools.product(plans, BLOCK_MOVES, (10.0, 30.0))
    ]
    ends = np.array([(each.min(), each.max()) for each in shares if each.size])
    print(f"blow at the end, {len(ends)} runs: {ends.min():.2f} to {ends.max():.2f}", end="; ")
    print(f"medians {np.median(ends[:, 0]):.2f} and {np.median(ends[:, 1]):.2f}")


if __name__ == "__main__":
    main()
