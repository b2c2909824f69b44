"""The quick checks against simulation over random plans; prints a table by kind of case and the worst plans.

    python tests/benchmarks/random_plans.py [--groups 84] [--seeds 16] [--minutes 10] [--first 0] [--keep FOLDER]
        [--kind "on bottom, active"]

Each group is a string with a dozen plans on it, drawn at random: both demonstration vessels, two wave systems, gas,
friction, load, weight on bit, active gain and delay. Simulated extremes are the median over the drawings, each side by
itself; they are divided by the level of the quick checks for a chance of one half in the same time, and by what
heave itself came to in the same drawings, so that chance alone weighs little. With `--kind` only groups of that kind
of case are run, out of those counted. With `--keep` the simulated figures are
written to a folder, or read from it where they are there, and only the quick checks are worked anew.

A bit on bottom is held in the simulation: the checks say how far its load would swing, and that it lifts off where
the swing reaches the weight on bit.
"""

# ruff: noqa: E402

from __future__ import annotations

import argparse
import sys
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np

from heave.arrays import FloatArray

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from heave.compensator import Compensator
from heave.compensator.time_domain import (
    HeaveMotion,
    SimulationCase,
    StringModel,
    irregular_heave,
    simulate_cases,
    simulation_case,
    string_model,
)
from heave.drill_string import DrillString, Section, collar, drill_pipe, heavy_weight
from heave.errors import InputError
from heave.files.rigs import demo_vessels
from heave.judging.demands import demands
from heave.judging.high_figures import kind_of_case
from heave.judging.rules.hook import hook_slack, sea_adds
from heave.judging.rules.load import active_force, least_load, working_load
from heave.planning import Operation, Plan
from heave.sea import OMEGA, SeaState, WaveSystem
from heave.threads import one_thread_each

CHANCE: Final = 0.5
PLANS: Final = 12
"""Plans of a group, which share string, moving mass and delay."""

STEP: Final = 0.02
KINDS: Final = (
    ("drilling", "in-line"),
    ("landing", "in-line"),
    ("drilling", "active-assisted"),
    ("landing", "active-assisted"),
    ("fixed", "crown-mounted"),
    ("landing", "crown-mounted"),
    ("drilling", "crown-mounted"),
    ("fixed", "active-assisted"),
    ("wireline", "in-line"),
    ("drilling", "in-line"),
    ("landing", "in-line"),
    ("landing", "drawworks"),
)
"""Operation and kind of unit of the groups, in turn."""

PIPES: Final = (("5 in", "19.50"), ("5-1/2 in", "21.90"), ("6-5/8 in", "27.70"))
FIGURES: Final = {
    "stroke": "stroke", "speed": "compensator speed",
    "passive": "load above static", "least": "load taken off, falling",
    "active": "active force", "force": "load left on the hook",
    "bit_force": "swing at the bit", "bit": "motion left", "bit speed": "speed left", "heave": "heave (control)",
}  # fmt: skip
"""What is compared, by signal; "least" is the falling side of "passive", which is else the rising one if larger."""

SIGNALS: Final = (
    *("heave", "heave speed", "heave acceleration"),
    *("stroke", "speed", "force", "passive", "active", "bit_force", "bit", "bit speed"),
)  # fmt: skip

CONTROLS: Final = SIGNALS[:3]
RATES: Final = {"heave": "heave speed", "heave speed": "heave acceleration", "bit": "bit speed"}
"""Signals that are the rate of another, after it."""


@dataclass(frozen=True)
class Group:
    """Plans on one string, and the mass of the unit that moves with the hook."""

    number: int
    plans: tuple[Plan, ...]

    @property
    def kind(self) -> str:
        """What kind of case these are."""
        return kind_of_case(self.plans[0])


def drawn(number: int) -> Group:
    """Group `number`, the same each time."""
    chance = np.random.default_rng(10_000 + number)
    operation, kind = KINDS[number % len(KINDS)]
    length = float(500 * 18 ** chance.random())
    size, weight = PIPES[chance.integers(3)]
    pipe = drill_pipe(size=size, weight=weight, grade="S-135", length=length)
    tail: tuple[Section, ...] = ()
    if operation == "drilling" or chance.random() < 0.4:
        tail = heavy_weight("5 in", length=100.0), collar(0.2032, 0.0714, float(chance.uniform(30, 200)))
    string = DrillString(
        (pipe, *tail), float(chance.uniform(1030, 1500)), handling_mass=float(chance.uniform(15e3, 45e3))
    )
    mass, delay = float(chance.uniform(2e3, 20e3)), float(0.02 * 15 ** chance.random())
    plans = tuple(
        _plan(chance, f"{number}.{place}", operation, kind, string, mass, delay) for place in range(PLANS)
    )
    return Group(number, plans)


def _plan(
    chance: np.random.Generator,
    name: str,
    operation: str,
    kind: str,
    string: DrillString,
    mass: float,
    delay: float,
) -> Plan:
    vessel = tuple(demo_vessels().values())[chance.integers(2)]
    wob = float(chance.uniform(20e3, min(300e3, 0.3 * string.hookload))) if operation == "drilling" else 0.0
    held = string.hookload + 9.81 * mass
    length = float(chance.uniform(5.0, 9.0))
    area = held / float(chance.uniform(7e6, 18e6))
    index = float(chance.uniform(1.1, 1.6))
    values: dict[str, Any] = {
        "compensated_rating": 2e7, "locked_rating": 2e7, "velocity_rating": 3.0, "moving_mass": mass, "stroke": length,
        "effective_area": area, "gas_volume": float(chance.uniform(3, 15)) * area * length, "pressure_rating": 5e7,
        "friction_fraction": float(0.005 * 8 ** chance.random()), "hydraulic_loss": float(chance.uniform(3e3, 25e3)),
        "index_low": index, "index": index, "index_high": index,
    }  # fmt: skip
    active = {"active_gain": float(chance.uniform(0.6, 1.0)), "active_delay": delay}
    if kind == "active-assisted":
        values |= active
    if kind == "drawworks":
        values = {key: values[key] for key in ("compensated_rating", "locked_rating", "moving_mass")} | active
        values |= {
            "lines": 12.0,
            "line_speed_limit": 100.0,
            "line_acceleration_limit": 200.0,
            "power_limit": 5e7,
        }
    unit = Compensator.of(name="random", kind=kind, **values)
    swell, sea = float(chance.uniform(11, 18)), float(chance.uniform(6, 12))
    share, bow = float(chance.uniform(0.2, 1.0)), chance.uniform(-60, 60, 2)
    height = float(chance.uniform(1.0, min(7.0, 0.05 * 1.56 * sea**2)))
    while True:
        systems = (
            WaveSystem(height, sea, direction_from=float(180 + bow[0])),
            WaveSystem(share * height, swell, direction_from=float(180 + bow[1])),
        )
        plan = Plan(
            sea=SeaState(systems), vessel=vessel, compensator=unit, string=string,
            operation=Operation(kind=operation), name=name, heading=180.0, wob=wob,  # type: ignore[arg-type]
            exposure=600.0, risk=CHANCE,
        )  # fmt: skip
        found = demands(plan, plan.sea.batch())
        linear = 0.0 if found.stroke is None else float(found.stroke.level[0])
        if max(float(found.heave.level[0]), 0.7 * linear) < length / 2:
            return plan
        height *= 0.8


def prepared(
    group: Group, seeds: int, minutes: float, held: bool = True
) -> tuple[StringModel, SimulationCase, HeaveMotion]:
    """String, unit and heave of every plan and seed; without `held` a bit on bottom may lift off."""
    first = group.plans[0]
    heaves = []
    for plan in group.plans:
        (spectrum,) = demands(plan, plan.sea.batch(), keep_spectrum=True).spectrum
        start = 1000 * int(plan.name.partition(".")[2]) + 100_000 * group.number
        heaves.append(irregular_heave(OMEGA, spectrum, minutes * 60, range(start, start + seeds)))
    position, velocity = (
        np.concatenate([getattr(h, name) for h in heaves], axis=1) for name in ("position", "velocity")
    )
    model = string_model(
        first.string,
        first.string.handling_mass + first.compensator.moving_mass,
        loss_factor=first.string_loss,
    )
    case = _together([_case(plan, held) for plan in group.plans], seeds)
    return model, case, HeaveMotion(heaves[0].step, position, velocity, heaves[0].lead)


def simulated(group: Group, seeds: int, minutes: float) -> FloatArray:
    """Highest and lowest of every signal, (plans, seeds, signals, 2)."""
    model, case, heave = prepared(group, seeds, minutes)
    extremes = np.zeros((2, len(SIGNALS), heave.cases))
    last = {name: np.zeros((1, heave.cases)) for name in RATES}

    def see(time: float, seen: dict[str, FloatArray], _: object) -> None:
        passive = seen["gas"] + seen["friction"]
        seen = seen | {"force": passive + seen["active"], "passive": passive}
        seen["bit_force"] = seen["bit_force"] - np.asarray(case.wob)
        for name, before in last.items():
            seen[RATES[name]] = np.diff(seen[name], axis=0, prepend=before) / STEP
            last[name] = seen[name][-1:].copy()
        lead = max(1 - round(time / STEP), 0)
        if lead < len(passive):
            values = np.array([seen[name][lead:] for name in SIGNALS])
            extremes[0] = np.maximum(extremes[0], values.max(axis=1))
            extremes[1] = np.minimum(extremes[1], values.min(axis=1))

    simulate_cases(model, case, heave, step=STEP, keep=False, watch=see)
    return np.moveaxis(
        np.abs(extremes).reshape(2, len(SIGNALS), len(group.plans), seeds), (2, 3), (0, 1)
    ).swapaxes(2, 3)


def _case(plan: Plan, held: bool) -> SimulationCase:
    found = demands(plan, plan.sea.batch())
    return simulation_case(
        plan.compensator, found.setting, plan.operation.about.condition, active=plan.active, latched=held
    )


_SHARED: Final = ("delay", "bandwidth", "centring", "block_speed_limit", "block_acceleration_limit")
"""What a simulation has one of, and what the plans of a group have in common."""


def _together(cases: list[SimulationCase], seeds: int) -> SimulationCase:
    """The cases side by side, each as often as there are seeds; without ends of the stroke."""
    values: dict[str, Any] = {}
    for name, value in vars(cases[0]).items():
        if isinstance(value, bool | str) or name in _SHARED:
            values[name] = value
        else:
            values[name] = np.repeat(np.array([float(getattr(case, name)) for case in cases]), seeds)
    return SimulationCase(**values | {"half_stroke": np.inf})


def checked(plan: Plan) -> dict[str, float]:
    """The levels of the quick checks by signal; loads only where the travel stays between the ends of the stroke."""
    d, unit = demands(plan, plan.sea.batch()), plan.compensator
    motions = d.heave, d.velocity, d.acceleration
    levels = {name: motion.level for name, motion in zip(CONTROLS, motions, strict=True)}
    if not unit.is_drawworks:
        levels |= {"stroke": d.travel, "speed": d.travel_velocity}
        if getattr(unit, "stroke", None) is not None and float(d.travel[0]) < unit.stroke / 2:
            levels["passive"] = working_load(d)[-1].result.value - d.setting.load
            levels["least"] = d.setting.load - least_load(d)[-1].result.value
            if plan.active_in_use:
                levels["active"] = active_force.work(d).demand
                levels["force"] = hook_slack.work(d).demand
                rising = next(step for step in sea_adds(d) if step.symbol == "F_hr").result.value
                levels["force"] = np.maximum(levels["force"], rising)
    if d.bit is not None:
        levels["bit_force"] = d.bit.high
    if d.residual_motion is not None and d.residual_velocity is not None:
        levels |= {"bit": d.residual_motion, "bit speed": d.residual_velocity}
    return {name: float(np.ravel(value)[0]) for name, value in levels.items()}


def median(drawings: FloatArray, controls: FloatArray, known: FloatArray) -> float:
    """Median over the drawings, with the chance taken out that they share with controls whose level is known.

    Control variates: each drawing is moved by what its controls are off, times the slopes of the least squares over
    the drawings (Hammersley and Handscomb, Monte Carlo Methods, 1964).

    Parameters
    ----------
    drawings : extremes, (n,)
    controls : extremes of the motions in the same drawings whose level is known, (n, k)
    known : their levels, (k,)
    """
    apart = controls - controls.mean(axis=0)
    slopes = np.linalg.lstsq(apart, drawings - drawings.mean(), rcond=None)[0]
    return float(np.median(drawings - (controls - known) @ slopes))


def sides(plan: Plan, extremes: FloatArray) -> dict[str, tuple[float, float]]:
    """Simulated level of every signal, up and down, with the chance of heave, its speed and acceleration taken out.

    Stroke and speed are by definition never less than the heave's own, in simulation as in the checks. Weight comes
    off the bit as the vessel rises, so its sides are set against the other ones of heave.
    """
    levels = checked(plan)
    known = np.array([levels[name] for name in CONTROLS])
    found = {}
    for place, name in enumerate(SIGNALS):
        other = -1 if name == "bit_force" else 1
        own = extremes[:, : len(CONTROLS), ::other]
        least = levels.get(_FLOOR.get(name, ""), 0.0)
        up, down = (max(median(extremes[:, place, side], own[..., side], known), least) for side in (0, 1))
        found[name] = up, down
    return found


def ratios(plan: Plan, extremes: FloatArray) -> dict[str, float]:
    """Simulated over checked by signal, the larger side; of heave itself without anything taken out."""
    levels, found = checked(plan), sides(plan, extremes)
    shares = {name: max(found[name]) / levels[name] for name in FIGURES.keys() & levels.keys() & found.keys()}
    if "least" in levels:
        shares["least"] = found["passive"][1] / levels["least"]
    return shares | {"heave": float(np.median(extremes[:, 0]) / levels["heave"])}


_FLOOR: Final = {"stroke": "heave", "speed": "heave speed"}


def table(rows: list[tuple[str, str, dict[str, float]]], worst: int = 10) -> str:
    """Simulated over checked: by figure and kind of case, and the plans furthest over, named."""
    lines = [
        "| figure | kind of case | plans | median | over 1.02 | over 1.05 | over 0.85 | most | least |",
        "|" + "---|" * 9,
    ]
    named = []
    for name, words in FIGURES.items():
        over = sorted(
            ((found[name], plan, kind) for kind, plan, found in rows if name in found), reverse=True
        )
        if not over:
            continue
        named.append(
            f"{words}: " + ", ".join(f"{plan} {share:.2f} ({kind})" for share, plan, kind in over[:worst])
        )
        for kind in ("all", *sorted({kind for _, _, kind in over})):
            v = np.array([share for share, _, own in over if kind in ("all", own)])
            shares = " | ".join(f"{100 * np.mean(v > edge):.1f} %" for edge in (1.02, 1.05, 0.85))
            lines.append(
                f"| {words} | {kind} | {len(v)} | {np.median(v):.2f} | {shares} | {v.max():.2f} | {v.min():.2f} |"
            )
    return "\n".join((*lines, "", *named))


def _one(asked: tuple[int, int, float, Path | None]) -> FloatArray | None:
    number, seeds, minutes, folder = asked
    kept = None if folder is None else folder / f"{number}.npy"
    if kept is not None and kept.exists():
        return np.asarray(np.load(kept))
    try:
        with one_thread_each():  # many threads on so few lanes take ten times as long
            found = simulated(drawn(number), seeds, minutes)
    except InputError as error:
        print(f"group {number} left out: {error}", file=sys.stderr)
        return None
    if kept is not None:
        np.save(kept, found)
    return found


def main() -> None:
    """Simulate, compare and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--groups", type=int, default=84)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--seeds", type=int, default=16)
    parser.add_argument("--minutes", type=float, default=10.0)
    parser.add_argument("--keep", type=Path, help="folder of simulated extremes, read where they are there")
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--kind", default="", help="kind of case, as in the table, or part of its name")
    choice = parser.parse_args()
    numbers = range(choice.first, choice.first + choice.groups)
    numbers = [number for number in numbers if choice.kind in drawn(number).kind]
    with ProcessPoolExecutor(choice.workers) as pool:
        done = pool.map(_one, [(n, choice.seeds, choice.minutes, choice.keep) for n in numbers])
        rows = []
        for number, extremes in zip(numbers, done, strict=True):
            group = drawn(number)
            if extremes is not None:
                rows += [
                    (group.kind, p.name, ratios(p, x)) for p, x in zip(group.plans, extremes, strict=True)
                ]
    print(f"{len(rows)} plans\n\n{table(rows)}")


if __name__ == "__main__":
    main()
