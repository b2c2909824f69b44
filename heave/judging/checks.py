"""A check: the rule it follows, that rule over many seas, and demand against capacity for one plan."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final, Literal, get_args

import numpy as np
import numpy.typing as npt

from heave.arrays import BoolArray, FloatArray, Indices
from heave.formula import Formula, Step, number_at
from heave.judging.demands import Demands
from heave.judging.high_figures import high_figure
from heave.planning.plan import Plan
from heave.units import show_apart

Verdict = Literal["within limits", "near a limit", "over a limit", "not assessed"]
VERDICTS: Final[tuple[Verdict, ...]] = get_args(Verdict)
"""The only words a verdict or a check's state can be."""

WITHIN: Final = "within limits"
NEAR: Final = "near a limit"
OVER: Final = "over a limit"
NOT_ASSESSED: Final = "not assessed"


@dataclass(frozen=True)
class Outcome:
    """A rule over n sea states: demand and capacity (n,), with the steps that led to them."""

    demand: FloatArray
    capacity: FloatArray
    steps: tuple[Step, ...]

    @property
    def utilisation(self) -> FloatArray:
        """Demand over capacity; infinite where nothing is left of the capacity, NaN where unknown."""
        if self.capacity.ndim == 0 and self.capacity > 0:
            return np.asarray(self.demand / self.capacity)
        left = np.where(self.capacity > 0, self.capacity, math.nan)
        spent = np.where(np.isnan(self.demand), math.nan, math.inf)
        return np.where(self.capacity <= 0, spent, self.demand / left)


def outcome(*steps: Step, capacity: Step | FloatArray | float | None) -> Outcome:
    """The outcome whose demand is the result of the last step.

    Parameters
    ----------
    steps : the working of the demand, in order
    capacity : a step, a value or one for each sea; None where it is not known, which is not assessed
    """
    if isinstance(capacity, Step):
        steps, capacity, demand = (*steps, capacity), capacity.result.value, steps[-1].result.value
    else:
        demand = steps[-1].result.value
    return Outcome(np.asarray(demand), np.asarray(math.nan if capacity is None else capacity), steps)


def worst_of(*sides: Outcome) -> Outcome:
    """Of outcomes on several sides, row by row the one with the highest utilisation; every side's steps."""
    demand, capacity, most = sides[0].demand, sides[0].capacity, _or_least(sides[0].utilisation)
    for side in sides[1:]:
        used = _or_least(side.utilisation)
        demand, capacity = (
            np.where(used > most, *values) for values in ((side.demand, demand), (side.capacity, capacity))
        )
        most = np.maximum(used, most)
    return Outcome(demand, capacity, tuple(step for side in sides for step in side.steps))


def _or_least(utilisation: FloatArray) -> FloatArray:
    return np.where(np.isnan(utilisation), -math.inf, utilisation)


@dataclass(frozen=True)
class Rule:
    """What a check is called and rests on, when it applies and how it is worked out over many seas.

    `formulas` are those its working may use, for the method page; `limits` are the fields of the operation that
    hold the limit, where only the rig's procedures can give it. The docstring of `work` is the basis shown.
    """

    key: str
    name: str
    kind: str
    source: str
    applies: Callable[[Plan], bool]
    formulas: tuple[Formula, ...]
    work: Callable[[Demands], Outcome]
    limits: tuple[str, ...] = ()

    @property
    def basis(self) -> str:
        """What is compared with what, in words."""
        return " ".join((self.work.__doc__ or "").split())

    def required(self, plan: Plan) -> bool:
        """Whether `plan` cannot be judged without this check: a limit of the rig may be left empty where the
        operation does not need it, but one that is given must be met."""
        operation = plan.operation
        missing = operation.missing
        return not self.limits or any(operation.gives(name) or name in missing for name in self.limits)


@dataclass(frozen=True)
class Check:
    """One demand compared with one capacity.

    `utilisation` is demand / capacity; infinite where the capacity is used up before the sea asks
    anything, NaN where an input is missing, and then the state is 'not assessed', never a pass.
    """

    key: str
    name: str
    demand: float
    capacity: float
    kind: str
    utilisation: float
    state: Verdict
    basis: str
    source: str
    working: tuple[Step, ...]
    required: bool = True
    """False for a limit the rig's procedures may leave empty."""

    high: float = math.nan
    """Highest utilisation over the plan's ranges of what is not known."""

    def headline(self, system: str = "metric") -> str:
        """Demand of capacity in the units of `system`, for example '2.30 m of 3.11 m'; told apart where they differ."""
        return " of ".join(show_apart(self.demand, self.capacity, self.kind, system))


def check_of(rule: Rule, found: Sequence[Demands], shown: dict[int, tuple[Step, Step]]) -> Check:
    """The check that a `rule` makes of the first sea state of the demands `found`, as planned and of its ranges.

    `shown` keeps steps for the first sea state, which checks share, by what they are of.
    """
    worked, *others = (rule.work(one) for one in found)
    figures = (worked.demand, worked.capacity, worked.utilisation)
    demand, capacity, utilisation = (number_at(figure, 0) for figure in figures)
    every = (utilisation, *(number_at(other.utilisation, 0) for other in others))
    high = math.nan if any(map(math.isnan, every)) else max(every)
    plan = found[0].plan
    state = utilisation_state(utilisation, plan.caution_level, high=high)
    for step in worked.steps:
        if id(step) not in shown:
            shown[id(step)] = step, step.at(0)
    working, required = tuple(shown[id(step)][1] for step in worked.steps), rule.required(plan)
    basis = " ".join(filter(None, (rule.basis, high_figure(plan, working))))
    about = (basis, rule.source, working, required, high)
    return Check(rule.key, rule.name, demand, capacity, rule.kind, utilisation, state, *about)


def utilisation_state(
    utilisation: float, caution_level: float, assessed: bool = True, high: float | None = None
) -> Verdict:
    """The verdict word for a utilisation: 1 and above is over a limit, whatever else could not be assessed.

    Parameters
    ----------
    utilisation : of a check, or the governing one of several; NaN is not assessed
    caution_level : utilisation from which the word is near a limit
    assessed : whether every required check could be made
    high : the highest over the ranges of what is not known, near a limit from 1; None where there are none
    """
    most = utilisation if high is None else high
    if utilisation >= 1:
        return OVER
    if math.isnan(utilisation) or math.isnan(most) or not assessed:
        return NOT_ASSESSED
    return NEAR if utilisation >= caution_level or most >= 1 else WITHIN


def governing_of(
    table: FloatArray, required: npt.ArrayLike, known: npt.ArrayLike = True
) -> tuple[FloatArray, Indices, BoolArray]:
    """Which check governs, for n sea states.

    Parameters
    ----------
    table : utilisations (checks, n), NaN where not assessed
    required : which checks must be made (checks,)
    known : which seas are known (n,); one that is not assesses nothing, whatever checks need no sea

    Returns
    -------
    The highest utilisation, NaN where none is assessed; its row in the table, −1 where none; and whether every
    required check could be made; each (n,)
    """
    highest = np.fmax.reduce(table, axis=0)
    governed_by = (table == highest).argmax(axis=0)
    known = np.asarray(known, dtype=np.bool_) & ~np.isnan(highest)
    needed = np.maximum.reduce(table[np.asarray(required, dtype=np.bool_)], axis=0, initial=0.0)
    return np.where(known, highest, np.nan), np.where(known, governed_by, -1), known & ~np.isnan(needed)
