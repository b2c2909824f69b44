"""What is read off a run for a scene, and words that two numbers choose: no comparison is typed."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.judging.moments import setting_of
from heave.planning.plan import Plan
from heave.simulation.simulate import SimulationResult
from heave.units import STANDARD_GRAVITY, significant

Tell = Callable[[float], str]
"""A number of one kind in words, with its unit."""

ALIKE: Final = 0.03
"""Share of the larger by which two numbers may differ and still be told as about the same."""


def hanging(plan: Plan) -> float:
    """What hangs from the load cell off bottom and still [N]: string in mud and gear."""
    setting = setting_of(plan)
    return setting.load + setting.wob - plan.moving_mass * STANDARD_GRAVITY


def unseen(result: SimulationResult) -> FloatArray:
    """What of the bit force the load cell does not tell (nt,) [N]: it less what hangs less the cell's reading."""
    return result.bit_force - (hanging(result.plan) - result.hook_load)


def stretch(result: SimulationResult, start: float, end: float) -> slice:
    """Places of the samples from `start` to `end` [s], at least one."""
    first, last = np.searchsorted(result.time, [start - 1e-9, end + 1e-9])
    first = min(int(first), len(result.time) - 1)
    return slice(first, max(int(last), first + 1))


def swing(result: SimulationResult, name: str, start: float = 0.0, end: float = math.inf) -> float:
    """Single amplitude of a trace from `start` to `end` [s]: half of highest less lowest."""
    values: FloatArray = getattr(result, name)[stretch(result, start, end)]
    return float(values.max() - values.min()) / 2


def mean(result: SimulationResult, name: str, start: float, end: float) -> float:
    """Mean of a trace from `start` to `end` [s]."""
    return float(getattr(result, name)[stretch(result, start, end)].mean())


def lowest(result: SimulationResult, name: str, start: float = 0.0, end: float = math.inf) -> float:
    """Least value of a trace from `start` to `end` [s]."""
    return float(getattr(result, name)[stretch(result, start, end)].min())


def highest(result: SimulationResult, name: str, start: float = 0.0, end: float = math.inf) -> float:
    """Greatest value of a trace from `start` to `end` [s]."""
    return float(getattr(result, name)[stretch(result, start, end)].max())


def at(result: SimulationResult, name: str, moment: float) -> float:
    """Value of a trace at a moment [s]."""
    return float(getattr(result, name)[stretch(result, moment, moment)][0])


def time_of_highest(
    result: SimulationResult, values: FloatArray, start: float = 0.0, end: float = math.inf
) -> float:
    """When `values` (nt,) are greatest from `start` to `end` [s]."""
    part = stretch(result, start, end)
    return float(result.time[part][int(np.argmax(values[part]))])


def first(result: SimulationResult, name: str, start: float = 0.0, holds: bool = True) -> float:
    """When a state of the run first `holds`, or ends, from `start` on [s]; NaN where it never does."""
    found = np.flatnonzero((getattr(result, name) == holds) & (result.time >= start))
    return float(result.time[found[0]]) if len(found) else math.nan


def last(result: SimulationResult, name: str) -> float:
    """When a state of the run last holds [s]; NaN where it never does."""
    found = np.flatnonzero(getattr(result, name))
    return float(result.time[found[-1]]) if len(found) else math.nan


def times_entered(result: SimulationResult, name: str) -> int:
    """How often a state of the run begins; bounces less than 2 s after one another are one."""
    found = result.time[np.flatnonzero(getattr(result, name))]
    return int(len(found) > 0) + int(np.count_nonzero(np.diff(found) > 2.0))


def alike(one: float, other: float) -> bool:
    """Whether two numbers from zero up differ by no more than a few per cent of the larger."""
    return abs(one - other) <= ALIKE * max(abs(one), abs(other))


def moved(before: float, after: float, tell: Tell) -> str:
    """What a quantity does as it goes from one number to another, in words."""
    if alike(before, after):
        return f"stays at about {tell(before)}"
    return f"{'grows' if after > before else 'falls'} from {tell(before)} to {tell(after)}"


def factor(one: float, other: float) -> str:
    """How `one` compares with `other`, both zero or above, as a phrase before a noun: 'as much as', '2.5 times'."""
    if alike(one, other) or (other > 0 and significant(one / other, 2) == "1.0"):
        return "about as much as"
    if other <= 0 or one / other > 1000:
        return "many times"
    return f"{significant(one / other, 2)} times"


def more_or_less(one: float, other: float) -> str:
    """'more than', 'less than' or 'about as much as', by the numbers."""
    if alike(one, other):
        return "about as much as"
    return "more than" if one > other else "less than"


def pick(value: float, ends: tuple[float, ...]) -> int:
    """Which of the choices a value is: the place among ascending ends, each counted to the choice above it."""
    return int(np.searchsorted(ends, value, side="right"))
