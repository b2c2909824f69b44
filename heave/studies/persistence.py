"""Persistence: how long the sea stays workable, and how long over a limit, counted in a record itself."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from heave.arrays import BoolArray, FloatArray, IntArray
from heave.studies.climate import OVER, UNKNOWN, WORKABLE, Operability
from heave.studies.waiting import record_of
from heave.weather.forecast import Forecast
from heave.weather.intervals import sample_runs
from heave.weather.line_use import not_exceeded


@dataclass(frozen=True, eq=False)
class Spells:
    """Unbroken spells of one state; lengths in seconds.

    A workable spell is counted from its first to its last sample; one over a limit from the last sample before to the
    first after it where those are known and adjoin, so that neither is made better than it is known to be.

    Parameters
    ----------
    lengths : of every spell (m,)
    cut : True where the record, a gap or a missing sea begins or ends it: it was at least that long (m,)
    """

    lengths: FloatArray
    cut: BoolArray

    @property
    def count(self) -> int:
        """How many there are."""
        return int(self.lengths.size)

    @property
    def mean(self) -> float:
        """Mean length; NaN of none [s]."""
        return float(self.lengths.mean()) if self.count else float("nan")

    @property
    def p90(self) -> float:
        """Length that nine in ten do not exceed; NaN of none [s]."""
        return not_exceeded(self.lengths, 0.9)

    @property
    def longest(self) -> float:
        """Longest; NaN of none [s]."""
        return float(self.lengths.max()) if self.count else float("nan")

    def longer_than(self, length: FloatArray) -> FloatArray:
        """Share of the spells that are at least as long as each length; NaN of none.

        Parameters
        ----------
        length : (k,) [s]
        """
        if not self.count:
            return np.full(np.shape(length), np.nan)
        below = np.searchsorted(np.sort(self.lengths), length, side="left")
        return np.asarray(1.0 - below / self.count)


@dataclass(frozen=True, eq=False)
class Persistence:
    """Spells of one step over a record: workable, and over a limit."""

    workable: Spells
    over: Spells


def persistence(found: Operability, step: int = 0) -> Persistence:
    """Spells in which a step can be worked, and in which it is over a limit; gaps and missing seas break both.

    Parameters
    ----------
    found : operability over a record
    step : place of the step

    Raises
    ------
    InputError
        If it is over a scatter diagram, which has no order in time.
    """
    record = record_of(found)
    state = found.steps[step].state
    return Persistence(_spells(record, state, WORKABLE), _spells(record, state, OVER))


def _spells(record: Forecast, state: IntArray, of: int) -> Spells:
    """Runs of one state; of OVER they are counted out to the known samples beside them."""
    times, gap, size = record.elapsed, record.gap_after, record.size
    runs = sample_runs(state == of, gap)
    first, last = runs[:, 0], runs[:, 1]
    known = state != UNKNOWN
    # before each sample, and past the last
    joined = np.concatenate(([False], ~gap & known[1:] & known[:-1], [False]))
    before, after = joined[first], joined[last + 1]
    if of == OVER:
        first, last = first - before, np.minimum(last + after, size - 1)
    return Spells(times[last] - times[first], ~(before & after))
