"""The numbers of each scene measured from its runs again, by plain arithmetic on the traces, and what follows."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from heave.judging import assess
from heave.planning import Plan
from heave.simulation.simulate import SimulationResult as Run
from heave.teaching.staging import Staged

G = 9.80665


def part(run: Run, name: str, start: float = 0.0, end: float = math.inf) -> Any:
    chosen = (run.time > start - 0.005) & (run.time < end + 0.005)
    return getattr(run, name)[chosen]


def swing(run: Run, name: str, start: float = 0.0, end: float = math.inf) -> float:
    values = part(run, name, start, end)
    return float(np.ptp(values)) / 2


def hangs(plan: Plan) -> float:
    """String in mud and gear, weighed section by section where no hookload is entered and no well bears on it."""
    setting = assess(plan).setting
    return float(setting.load + setting.wob - plan.moving_mass * G)


def hidden(run: Run) -> Any:
    return np.abs(run.bit_force + run.hook_load - hangs(run.plan))


@dataclass(frozen=True)
class Film:
    """A scene's runs: those played, those tried, and what it was made of."""

    staged: Staged
    play: tuple[Run, ...]
    tried: tuple[Run, ...]

    @property
    def period(self) -> float:
        return self.staged.play.scenario.period

    @property
    def end(self) -> float:
        return self.staged.play.scenario.duration


def event_time(film: Film, kind: str) -> float:
    return next(one.time for one in film.staged.play.scenario.happenings if one.kind == kind)


def calm(film: Film) -> dict[str, float]:
    run, faster = film.play[0], film.tried[1]
    feed = event_time(film, "driller feeds off")
    rate = run.plan.offsets.penetration_rate
    over = feed + rate * feed / 0.05  # the block is lowered at 5 cm/s
    return {
        "cell": float(part(run, "hook_load", 0, 2).mean()),
        "hangs": hangs(run.plan),
        "set": float(part(run, "bit_force", 0, 2).mean()),
        "late": float(part(run, "bit_force", feed - 2, feed).mean()),
        "back": float(part(run, "bit_force", over, over + 2).mean()),
        "drilled": rate * feed,
        "sunk": float(part(run, "hook", 0, 2).mean() - part(run, "hook", feed - 2, feed).mean()),
        "fed": rate * feed,
        "late tried": float(part(faster, "bit_force", feed - 2, feed).mean()),
    }


def hook_load(film: Film) -> dict[str, float]:
    (run,), (slow,) = film.play, film.tried
    unit, setting = run.plan.compensator, assess(run.plan).setting
    return {
        "cell": swing(run, "hook_load"),
        "bit": swing(run, "bit_force"),
        "hidden": float(hidden(run).max()),
        "hidden tried": float(hidden(slow).max()),
        "cell tried": swing(slow, "hook_load"),
        "bit tried": swing(slow, "bit_force"),
        "friction": unit.friction_fraction * setting.load,
    }


def seals(film: Film) -> dict[str, float]:
    run, smooth = film.play[0], film.tried[1]
    return {
        "heave": swing(run, "heave"),
        "stroke": swing(run, "stroke"),
        "hook": swing(run, "hook"),
        "pull": swing(run, "compensator_force"),
        "friction": run.plan.compensator.friction_fraction * assess(run.plan).setting.load,
        "stroke tried": swing(smooth, "stroke"),
        "hook tried": swing(smooth, "hook"),
    }


def gas_slope(run: Run, shut: float = 0.0) -> float:
    """Load per metre of stroke from P Vⁿ constant a millimetre either side of where the gas is set."""
    unit, load = run.plan.compensator, assess(run.plan).setting.load
    area = getattr(unit, "effective_area", math.nan)
    volume = getattr(unit, "gas_volume", math.nan) - unit.gas_volume_shut - shut
    pressure = load / area + 101_325.0

    def force(x: float) -> float:
        return area * (
            pressure * (volume / (volume - area * x)) ** (getattr(unit, "index", math.nan)) - 101_325.0
        )

    return (force(1e-3) - force(-1e-3)) / 2e-3


def bottles(film: Film) -> dict[str, float]:
    (run,), (half,) = film.play, film.tried
    event, wave = event_time(film, "gas bank shut"), film.period
    share = film.staged.play.scenario.happenings[0].share
    gone = share * ((getattr(run.plan.compensator, "gas_volume", 0.0)) - run.plan.compensator.gas_volume_shut)
    return {
        "before": swing(run, "bit_force", event - 2 * wave, event),
        "after": swing(run, "bit_force", film.end - 2 * wave, film.end),
        "after tried": swing(half, "bit_force", film.end - 2 * wave, film.end),
        "spring": gas_slope(run),
        "stiffer": gas_slope(run, gone) / gas_slope(run),
    }


def delay(film: Film) -> dict[str, float]:
    start = 2 * film.period
    a, b = film.play
    gain, time = getattr(a.plan.compensator, "active_gain", 0.0), np.linspace(0, film.period, 20_001)
    wave = 2 * math.pi / film.period

    def left(share: float, late: float) -> float:
        return float(np.max(np.sin(wave * time) - share * np.sin(wave * (time - late))))

    lags = [getattr(one.plan.compensator, "active_delay", 0.0) for one in film.play]
    return {
        "A": swing(a, "bit_force", start),
        "B": swing(b, "bit_force", start),
        "lost": swing(film.tried[1], "bit_force", start),
        "gain leaves": abs(left(gain, 0.0)) if gain <= 1 else gain - 1,
        "delay leaves A": left(1.0, lags[0]),
        "delay leaves B": left(1.0, lags[1]),
        "both leave A": left(gain, lags[0]) if gain <= 1 or lags[0] else gain - 1,
        "both leave B": left(gain, lags[1]),
    }


def deep(film: Film) -> dict[str, float]:
    found = {}
    for letter, run in zip("AB", film.play, strict=True):
        found |= {
            f"bit {letter}": swing(run, "bit_force"),
            f"cell {letter}": swing(run, "hook_load"),
            f"hidden {letter}": float(hidden(run).max()),
        }
    return found | {"hidden tried": float(hidden(film.tried[1]).max())}


def steel_spring(plan: Plan) -> float:
    """Pull per metre of stretch, each section's tube cut from π/4 (D² − d²)."""
    return 1 / sum(
        one.length / (one.youngs_modulus * math.pi / 4 * (one.outer_diameter**2 - one.inner_diameter**2))
        for one in plan.string.sections
    )


def lift_off(film: Film) -> dict[str, float]:
    a, b = film.play
    return {
        "heave": swing(b, "heave"),
        "rise": b.plan.wob / steel_spring(b.plan),
        "off A": float(np.mean(a.bit_force <= 0)),
        "off B": float(np.mean(b.bit_force <= 0)),
        "off tried": float(np.mean(film.tried[1].bit_force <= 0)),
        "blow": float(np.max(b.bit_force)),
        "lowest A": float(np.min(a.bit_force)),
    }


def swell(film: Film) -> dict[str, float]:
    late = film.end - 4 * film.period
    run, locked = film.play[0], film.tried[1]
    return {name: swing(run, name, late) for name in ("heave", "hook", "stroke")} | {
        "hook tried": swing(locked, "hook", late),
        "own": 2 * math.pi * math.sqrt(assess(run.plan).setting.load / G / gas_slope(run)),
    }


def locked(film: Film) -> dict[str, float]:
    (run,), (half,) = film.play, film.tried
    event, late = event_time(film, "compensator locked"), film.end - 2 * film.period
    heave = swing(run, "heave", late)
    return {
        "before": swing(run, "bit_force", event - 2 * film.period, event),
        "after": swing(run, "bit_force", late),
        "after tried": swing(half, "bit_force", late),
        "heave": heave,
        "string": steel_spring(run.plan) * heave,
    }


def strikes(run: Run) -> int:
    """How often the piston comes to an end more than two seconds after it was last there."""
    count, free = 0, math.inf
    for against in np.abs(run.stroke) >= (getattr(run.plan.compensator, "stroke", math.inf)) / 2:
        if against:
            count, free = count + (free > 2.0), 0.0
        else:
            free += run.step
    return count


def stroke_out(film: Film) -> dict[str, float]:
    run, early = film.play[0], film.tried[0]
    half = (getattr(run.plan.compensator, "stroke", 0.0)) / 2
    at_end = run.time[run.stroke > half]
    feed = event_time(film, "driller feeds off")
    first, last = float(at_end[0]), min(float(at_end[-1]), feed + 15)
    before = (max(first - 2 * film.period, 0.0), first - 0.1)
    return {
        "left": half - run.plan.offsets.start_position,
        "met": first,
        "strikes": float(strikes(run)),
        "strikes tried": float(strikes(early)),
        "low": float(part(run, "bit_force", first, last + 1).min()),
        "low before": float(part(run, "bit_force", *before).min()),
        "load": float(part(run, "hook_load", first, last + 1).max()),
        "load before": float(part(run, "hook_load", *before).max()),
        "low after": float(part(run, "bit_force", feed + 15).min()),
    }


def drum(film: Film) -> dict[str, float]:
    late, found = 2 * film.period, {}
    for tail, run in (("", film.play[0]), (" tried", film.tried[1])):
        lines = getattr(run.plan.compensator, "lines", math.nan)
        between = part(run, "heave", late) - part(run, "block", late)  # crown above block, less at rest
        found |= {
            f"paid{tail}": float(np.ptp(between)) * lines,
            f"pace{tail}": float(np.abs(np.diff(between)).max()) / run.step * lines,
            f"each{tail}": run.plan.hookload / lines,
        }
    run = film.play[0]
    return found | {"heave": 2 * swing(run, "heave", late), "block": 2 * swing(run, "block", late)}


def driller(film: Film) -> dict[str, float]:
    late = 2 * film.period
    (a, b), c = film.play, film.tried[1]
    return {
        "A": swing(a, "bit_force", late),
        "B": swing(b, "bit_force", late),
        "C": swing(c, "bit_force", late),
        "lowest A": float(part(a, "bit_force", late).min()),
        "lowest B": float(part(b, "bit_force", late).min()),
        "light": a.plan.wob,
        "heavy": b.plan.wob,
    }


MEASURED: dict[str, Callable[[Film], dict[str, float]]] = {
    "calm": calm,
    "hook load": hook_load,
    "seals": seals,
    "bottles": bottles,
    "delay": delay,
    "deep string": deep,
    "lift-off": lift_off,
    "swell": swell,
    "locked": locked,
    "stroke-out": stroke_out,
    "drum": drum,
    "driller": driller,
}


def among(value: float, *ends: float) -> int:
    return sum(value >= end for end in ends)


ANSWERS: dict[str, Callable[[dict[str, float]], int]] = {
    "calm": lambda n: among(n["late"] / n["set"], 0.95, 1.05),
    "hook load": lambda n: among(n["bit"] / n["cell"], 0.9, 1.1, 2.0),
    "seals": lambda n: among(n["stroke"] / n["heave"], 0.1, 0.8),
    "bottles": lambda n: among(n["after"] / n["before"], 1.1, 0.95 * n["stiffer"]),
    "delay": lambda n: among(n["B"] / max(n["A"], 1.0), 0.9, 1.1, 2.0),
    "deep string": lambda n: among(n["bit B"] / n["bit A"], 0.9, 1.1),
    "lift-off": lambda n: (n["off A"] > 0) + 2 * (n["off B"] > 0),
    "swell": lambda n: among(n["hook"] / n["heave"], 0.9, 1.1),
    "locked": lambda n: among(n["after"] / max(n["before"], 1.0), 0.9, 1.1, 3.0),
    "stroke-out": lambda n: 0 if n["low"] < n["low before"] - 0.02 * n["wob"] else 1,
    "drum": lambda n: 2 if n["paid"] > n["heave"] else 1,
    "driller": lambda n: among(n["B"] / n["A"], 0.85, 1.15, 1.8),
}
"""The right choice by the measured numbers."""


def relation(one: float, other: float) -> str:
    if abs(one - other) <= 0.03 * max(one, other):
        return "about as much as"
    return "more than" if one > other else "less than"


def goes(before: float, after: float) -> str:
    word = relation(after, before)
    return {"about as much as": "stays at about", "more than": "grows from", "less than": "falls from"}[word]


def leaves_more(n: dict[str, float]) -> str:
    a, b = ("the gain" if n["gain leaves"] > n[f"delay leaves {one}"] else "the delay" for one in "AB")
    return f"both it is {a} that leaves more." if a == b else f"A it is {a} that leaves more, in B {b}."


Numbers = dict[str, float]
CLAIMS: dict[str, list[Callable[[Numbers], str]]] = {
    "calm": [
        lambda n: f"{relation(n['drilled'] - n['sunk'], n['sunk'])} the hook went down",
        lambda n: f"Weight on bit {goes(n['set'], n['late'])}",
        lambda n: f"As the driller feeds off it {goes(n['late'], n['back'])}",
        lambda n: f"{relation(n['late'], n['late tried'])} that.",
    ],
    "hook load": [
        lambda n: f"does not tell {goes(n['hidden'], n['hidden tried'])}",
        lambda n: "steadier than it is" if n["bit"] > 1.1 * n["cell"] else "steady",
    ],
    "seals": [
        lambda n: f"The pull is {relation(n['pull'], n['friction'])} the seals hold",
        lambda n: "the piston never moves" if n["stroke"] < 0.02 * n["heave"] else "the piston moves, by",
        lambda n: f"The stroke {goes(n['stroke'], n['stroke tried'])}",
        lambda n: f"the hook's own movement {goes(n['hook'], n['hook tried'])}",
    ],
    "bottles": [
        lambda n: f"swing of the weight on bit {goes(n['before'], n['after'])}",
        lambda n: (
            "That is "
            + {"about as much as": "as much as", "less than": "less than", "more than": "more than"}[
                relation(n["after"] / n["before"], n["stiffer"])
            ]
            + " the spring"
        ),
        lambda n: f"{relation(n['after tried'], n['after'])} the ± ",
    ],
    "delay": [
        lambda n: f"So in {leaves_more(n)}",
        lambda n: (
            "B is "
            + {
                "about as much as": "as little good as none at all",
                "more than": "worse than none",
                "less than": "still better than none",
            }[relation(n["B"], n["lost"])]
        ),
        lambda n: f"The swing at the bit {goes(n['A'], n['lost'])}",
    ],
    "deep string": [
        lambda n: f"{relation(n['hidden B'], n['hidden A'])} in A.",
        lambda n: f"does not tell {goes(n['hidden B'], n['hidden tried'])}",
    ],
    "lift-off": [
        lambda n: f"{relation(n['heave'], n['rise'])} that.",
        lambda n: "In B the bit is off the rock" if n["off B"] else "In B the bit stays down",
        lambda n: "In A it is off the rock" if n["off A"] else "In A it stays down",
        lambda n: f"off the rock {goes(n['off B'], n['off tried'])}",
    ],
    "swell": [
        lambda n: f"The hook's movement {goes(n['hook'], n['hook tried'])}",
        lambda n: "is near it and pushes in step" if 6 < n["own"] < 28 else "is not near",
    ],
    "locked": [
        lambda n: f"The swing at the bit {goes(n['before'], n['after'])}",
        lambda n: f"{relation(n['after tried'], n['after'])} the ± ",
    ],
    "stroke-out": [
        lambda n: f"the lowest weight on bit {goes(n['low before'], n['low'])}",
        lambda n: f"the highest hook load {goes(n['load before'], n['load'])}",
    ],
    "drum": [
        lambda n: f"The line on the drum {goes(n['paid'], n['paid tried'])}",
        lambda n: f"its speed {goes(n['pace'], n['pace tried'])}",
        lambda n: f"carries of the hookload {goes(n['each'], n['each tried'])}",
    ],
    "driller": [
        lambda n: (
            "keeps the bit further" if n["lowest B"] > n["lowest A"] else "does not keep the bit further"
        ),
        lambda n: f"the least on it {goes(n['lowest A'], n['lowest B'])}",
        lambda n: f"The swing at the bit {goes(n['A'], n['C'])}",
    ],
}
"""Comparisons that have to stand in what a scene tells, by the measured numbers."""
