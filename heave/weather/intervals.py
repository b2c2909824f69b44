"""Arithmetic on closed intervals of time: runs of good samples, starts that fit in them, waits.

Intervals are rows (start, end) of an array (m, 2), in seconds, ascending and apart.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from heave.arrays import BoolArray, FloatArray, IntArray


def sample_runs(inside: BoolArray, gap_after: BoolArray) -> IntArray:
    """First and last sample of every unbroken run: both ends inside, no gap between.

    Between two samples nothing is known but the samples: a run holds between them only where both hold and
    the file has no gap there.

    Parameters
    ----------
    inside : True where a sample holds, shape (n,)
    gap_after : True where the time to the next sample is a gap, shape (n−1,)

    Returns
    -------
    Indices, shape (m, 2); a run of one sample has both alike
    """
    joined = inside[1:] & inside[:-1] & ~gap_after
    starts = inside & ~np.concatenate(([False], joined))
    ends = inside & ~np.concatenate((joined, [False]))
    return np.stack([np.flatnonzero(starts), np.flatnonzero(ends)], axis=1)


def starts_within(runs: FloatArray, early: float, late: float) -> FloatArray:
    """Starts s for which a run holds from s + early to s + late.

    Parameters
    ----------
    runs : intervals that hold, (m, 2) [s]
    early, late : span after the start that must hold [s]
    """
    starts = runs - np.array([early, late])
    return np.asarray(starts[starts[:, 1] >= starts[:, 0]])


def common(one: FloatArray, other: FloatArray) -> FloatArray:
    """Where intervals of both sets hold; a single instant in common is an interval of no length.

    Parameters
    ----------
    one, other : intervals, (m, 2) and (k, 2)
    """
    if not len(one) or not len(other):
        return np.empty((0, 2))
    first = np.searchsorted(other[:, 1], one[:, 0], side="left")
    last = np.searchsorted(other[:, 0], one[:, 1], side="right")
    count = np.maximum(last - first, 0)
    left = np.repeat(np.arange(len(one)), count)
    right = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count) + np.repeat(first, count)
    return np.stack(
        [np.maximum(one[left, 0], other[right, 0]), np.minimum(one[left, 1], other[right, 1])], axis=1
    )


def merged(intervals: FloatArray) -> FloatArray:
    """The same times as intervals apart from each other; those that touch become one.

    Parameters
    ----------
    intervals : intervals in any order, (m, 2)
    """
    if not len(intervals):
        return np.empty((0, 2))
    ordered = intervals[np.argsort(intervals[:, 0], kind="stable")]
    reach = np.maximum.accumulate(ordered[:, 1])
    opens = np.concatenate(([True], ordered[1:, 0] > reach[:-1]))
    first = np.flatnonzero(opens)
    closes = np.concatenate((first[1:] - 1, [len(ordered) - 1]))
    return np.stack([ordered[first, 0], reach[closes]], axis=1)


def reached_from(later: FloatArray, runs: FloatArray, longest: float) -> FloatArray:
    """Times from which a later start can be reached within one run, after at most `longest`.

    Parameters
    ----------
    later : starts of what follows, (m, 2) [s]
    runs : intervals that hold, apart from each other, (k, 2) [s]
    longest : longest time between, from 0 [s]
    """
    both = common(later, runs)
    if not len(both):
        return both
    row = np.searchsorted(runs[:, 0], both[:, 0], side="right") - 1
    return merged(np.stack([np.maximum(both[:, 0] - longest, runs[row, 0]), both[:, 1]], axis=1))


def ends_before(
    later: FloatArray, own: FloatArray, waiting: FloatArray, make_safe: float, longest: float
) -> FloatArray:
    """Ends of a step after which, by a wait of at most `longest` or none, a later start can be had.

    Until the rig is made safe it stands in the step's own state, from then on in the state it waits in. A wait
    shorter than the time to make safe is spent as it stands.

    Parameters
    ----------
    later : starts of what follows, (m, 2) [s]
    own : intervals over which the step's own limits hold, (k, 2) [s]
    waiting : intervals over which the state it waits in holds, (j, 2) [s]
    make_safe : time to make safe [s]
    longest : longest wait [s]
    """
    as_it_stands = reached_from(later, own, min(make_safe, longest))
    if longest < make_safe:
        return as_it_stands
    safe = reached_from(later, waiting, longest - make_safe) - make_safe
    made_safe = common(safe, starts_within(own, 0.0, make_safe))
    return merged(np.concatenate([as_it_stands, made_safe]))


def waits_until(own: FloatArray, waiting: FloatArray, make_safe: float, longest: float, end: float) -> float:
    """The latest start that a wait from `end` on can reach, by the rules of `ends_before`; any sooner one can be too.

    Parameters
    ----------
    own, waiting, make_safe, longest : as for `ends_before`
    end : end of the step [s]

    Returns
    -------
    The start [s]; minus infinity where the step's own limits do not hold at its end
    """

    def held(runs: FloatArray, at: float) -> float:
        row = int(np.searchsorted(runs[:, 0], at, side="right")) - 1
        return float(runs[row, 1]) if row >= 0 and at <= runs[row, 1] else -np.inf

    until, safe = held(own, end), end + make_safe
    if until < safe or longest < make_safe:
        return min(until, end + min(make_safe, longest))
    return max(safe, min(held(waiting, safe), end + longest))


def holds_at(intervals: FloatArray, times: FloatArray) -> BoolArray:
    """Whether each time lies in an interval, ends included.

    Parameters
    ----------
    intervals : intervals, (m, 2) [s]
    times : times, shape (n,) [s]
    """
    if not len(intervals):
        return np.zeros(times.shape, dtype=np.bool_)
    row = np.searchsorted(intervals[:, 0], times, side="right") - 1
    return np.asarray((row >= 0) & (times <= intervals[row, 1]), dtype=np.bool_)


def coverage(sets: Sequence[FloatArray], times: FloatArray) -> IntArray:
    """In how many sets of intervals each time lies, ends included.

    Parameters
    ----------
    sets : sets of intervals, each (m, 2) [s]
    times : times, shape (n,) [s]
    """
    return np.asarray(sum(holds_at(intervals, times).astype(np.int64) for intervals in sets), dtype=np.int64)


def turns(sets: Sequence[FloatArray]) -> FloatArray:
    """Every time that tells something of its own about sets of intervals: their ends, and the middle between two ends.

    Between two ends the coverage does not change, and at an end it is never less than on either side.

    Parameters
    ----------
    sets : sets of intervals, each (m, 2) [s]

    Returns
    -------
    Ascending, shape (k,) [s]; ends at the even places
    """
    ends = np.unique(np.concatenate([np.empty(0), *(np.ravel(intervals) for intervals in sets)]))
    found = np.repeat(ends, 2)[: max(2 * ends.size - 1, 0)]
    found[1::2] = 0.5 * (ends[1:] + ends[:-1])
    return found


def held_by(sets: Sequence[FloatArray], least: float) -> FloatArray:
    """Intervals of the times that lie in at least `least` of the sets, (k, 2) [s].

    Parameters
    ----------
    sets : sets of intervals, each (m, 2) [s]
    least : number of sets, above 0
    """
    times = turns(sets)
    runs = sample_runs(coverage(sets, times) >= least, np.zeros(max(times.size - 1, 0), dtype=np.bool_))
    return np.asarray(times[runs], dtype=np.float64)


def next_start(intervals: FloatArray, times: FloatArray) -> FloatArray:
    """Earliest time at or after each given one that lies in an interval; infinite where there is none.

    Parameters
    ----------
    intervals : intervals, (m, 2) [s]
    times : times, shape (n,) [s]
    """
    if not len(intervals):
        return np.full(times.shape, np.inf)
    row = np.searchsorted(intervals[:, 1], times, side="left")
    begins = np.concatenate((intervals[:, 0], [np.inf]))[row]
    return np.asarray(np.maximum(begins, times))


def less(one: FloatArray, other: FloatArray) -> FloatArray:
    """What is left of one set where the other does not hold; the ends of what is left touch the other.

    Parameters
    ----------
    one, other : intervals, (m, 2) and (k, 2) [s]
    """
    gaps = np.concatenate(([-np.inf], other.ravel(), [np.inf])).reshape(-1, 2)
    left = common(one, gaps)
    # an instant is left only where it does not touch the other
    return np.asarray(left[(left[:, 1] > left[:, 0]) | ~holds_at(other, left[:, 0])])
