"""Utilisation of every check for many seas at once, by the same rules that judge one."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import reduce
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.arrays import BoolArray, FloatArray, Indices
from heave.judging.cases import cases
from heave.judging.checks import Verdict, governing_of, utilisation_state
from heave.judging.demands import Demands, demands_of
from heave.judging.missing import withheld
from heave.judging.rules import rules_for
from heave.planning.plan import Plan
from heave.sea import SeaBatch

PIECE: Final = 8192
"""Cases whose figures are held at once."""

Progress = Callable[[float], None]


@dataclass(frozen=True)
class Utilisations:
    """Utilisation of every check for n cases, seas and headings.

    `by_check` maps each check's key to (n,); `governing` is the highest assessed one, NaN where none
    is; `governed_by` its index into `keys`, −1 where none is.
    """

    keys: tuple[str, ...]
    by_check: Mapping[str, FloatArray]
    governing: FloatArray
    governed_by: Indices
    assessed: BoolArray
    """True where every required check could be made, of a hookload that is known to be this string's."""

    heave_sigma: FloatArray
    high: FloatArray
    """Highest utilisation of any check over the plan's ranges; never below `governing`."""

    high_by: Indices
    """Index into `keys` of the check it is of, −1 where none is assessed."""

    @property
    def inside(self) -> BoolArray:
        """True where every required check could be made and the highest utilisation is below 1."""
        # A comparison with NaN is false, so what is not known is never inside.
        return np.asarray(self.assessed & (self.governing < 1.0), dtype=np.bool_)

    @property
    def sure(self) -> BoolArray:
        """True where it is inside at the worst of the ranges as well."""
        return np.asarray(self.inside & (self.high < 1.0), dtype=np.bool_)

    def verdicts(self, caution_level: float) -> tuple[Verdict, ...]:
        """The verdict word of each case, as an assessment gives it for one.

        Parameters
        ----------
        caution_level : utilisation from which the verdict says near a limit
        """
        rows = zip(self.governing.tolist(), self.assessed.tolist(), self.high.tolist(), strict=True)
        return tuple(utilisation_state(used, caution_level, *row) for used, *row in rows)


def utilisations(
    plan: Plan, batch: SeaBatch, heading: npt.ArrayLike | None = None, progress: Progress | None = None
) -> Utilisations:
    """Utilisation of every check of the plan's operation for every sea state of a batch.

    Parameters
    ----------
    plan : the plan; its own sea is not used
    batch : n sea states
    heading : vessel heading [deg], scalar, (n,), or (n, k) for k headings in each sea; None takes the plan's
    progress : called now and then with the share done, 0 to 1; what it raises ends the work

    Returns
    -------
    Utilisations, arrays of shape (n,), or (n·k,) with the headings of a sea next to each other
    """
    return utilisations_of([plan], batch, heading, progress)[0]


def utilisations_of(
    plans: Sequence[Plan],
    batch: SeaBatch,
    heading: npt.ArrayLike | None = None,
    progress: Progress | None = None,
) -> tuple[Utilisations, ...]:
    """`utilisations` of plans that differ in their operation alone: the seas are worked once for all of them.

    Parameters
    ----------
    plans : with one vessel, calibration and heading
    batch, heading, progress : as for `utilisations`
    """
    first = plans[0]
    bow = np.asarray(first.heading if heading is None else heading, dtype=np.float64)
    many = bow.shape[1] if bow.ndim == 2 else 1
    headings = bow if bow.ndim == 2 else np.broadcast_to(bow, (batch.size,))
    gathered = [_Table(plan, batch.size * many) for plan in plans]
    every = [case for table in gathered for case in table.cases]
    step = max(PIECE // many, 1)
    for start in range(0, batch.size, step):
        seas = slice(start, min(start + step, batch.size))
        rows = slice(seas.start * many, seas.stop * many)
        found = iter(demands_of(every, batch.take(seas), headings[seas]))
        for table in gathered:
            table.fill(rows, [next(found) for _ in table.cases])
        if progress is not None:
            progress(seas.stop / batch.size)
    return tuple(table.finish() for table in gathered)


class _Table:
    """Utilisations as they are gathered: a row for each rule as planned, what governs of it and over the ranges."""

    def __init__(self, plan: Plan, size: int) -> None:
        self.plan, self.rules, self.cases = plan, rules_for(plan), cases(plan)
        self.required = [rule.required(plan) for rule in self.rules]
        self.rows = np.empty((len(self.rules), size))
        self.sigma, self.governing, self.high = np.empty((3, size))
        self.governed_by, self.high_by = np.empty((2, size), dtype=np.intp)
        self.assessed = np.empty(size, dtype=np.bool_)

    def fill(self, rows: slice, found: list[Demands]) -> None:
        self.sigma[rows] = found[0].heave.sigma
        high = np.empty((len(self.rules), rows.stop - rows.start))
        for index, rule in enumerate(self.rules):
            used = [rule.work(one).utilisation for one in found]
            self.rows[index, rows] = used[0]
            high[index] = reduce(np.maximum, used)
        known = ~np.isnan(self.sigma[rows])
        planned = governing_of(self.rows[:, rows], self.required, known)
        self.governing[rows], self.governed_by[rows], self.assessed[rows] = planned
        self.high[rows], self.high_by[rows], whole = governing_of(high, self.required, known)
        self.assessed[rows] &= whole & (not withheld(self.plan))

    def finish(self) -> Utilisations:
        return Utilisations(
            keys=tuple(rule.key for rule in self.rules),
            by_check={rule.key: self.rows[index] for index, rule in enumerate(self.rules)},
            governing=self.governing,
            governed_by=self.governed_by,
            assessed=self.assessed,
            heave_sigma=self.sigma,
            high=self.high,
            high_by=self.high_by,
        )
