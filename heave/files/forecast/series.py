"""Rows of a forecast file into time order: members, repeated times, steps and gaps."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.errors import FileError
from heave.files.rows import Flags, Integers, coded, runs
from heave.units import counted

LONGEST_STEP: Final = 6 * 3600
"""Longest time between samples that is a step and not a gap [s]."""

EVEN_RUN: Final = 3
"""Intervals of one length in a row that make it a step of the file: forecasts widen theirs further ahead."""

SHOWN: Final = 5
"""Most gaps a note lists."""


def in_order(
    times: Integers, values: FloatArray, line: Callable[[int], int], rows: Integers, repeated: str
) -> tuple[Integers, list[str]]:
    """The chosen rows in time order, each time once.

    Parameters
    ----------
    times : times of all rows, shape (n,) [s]
    values : what the rows hold, NaN where missing, shape (n, columns)
    line : gives the line of the file a row stood on
    rows : rows to order, shape (m,)
    repeated : 'refuse' a time whose rows differ, or 'keep last' of them in the file

    Returns
    -------
    Rows in time order, shape (k,), and notes on what was done

    Raises
    ------
    FileError
        If a time is given twice with different values and `repeated` is 'refuse'.
    """
    notes = []
    given = times[rows]
    order = rows[np.argsort(given, kind="stable")]
    if np.any(np.diff(given) < 0):
        newest_first = bool(np.all(np.diff(given) <= 0))
        notes.append("Rows ran newest first: sorted." if newest_first else "Rows were not in order: sorted.")
    same = np.flatnonzero(np.diff(times[order]) == 0)
    if same.size == 0:
        return order, notes
    one, other = values[order[same]], values[order[same + 1]]
    alike = ((one == other) | (np.isnan(one) & np.isnan(other))).all(axis=1)
    if repeated == "refuse" and not alike.all():
        first = int(same[np.argmin(alike)])
        before, after = order[first], order[first + 1]
        allowed = (
            f"each time once, or rows that agree; line {line(before)} has it too. Or keep the last of them"
        )
        raise FileError("time", iso(times[before]), None, allowed, line=line(after))
    keep = np.ones(order.size, dtype=np.bool_)
    keep[same] = False
    how = "the last in the file kept" if not alike.all() else "one of each kept, as they agree"
    notes.append(f"Repeated times, {counted(same.size, 'row')}: {how}.")
    return order[keep], notes


def step_and_gaps(times: Integers, bridge: float = 0.0) -> tuple[float, Flags, list[str]]:
    """The most common step of a series, and which of its intervals are gaps.

    An interval is a gap when it is over 6 h, or longer than the most common one and not in a run of at least
    three of its length.

    Parameters
    ----------
    times : increasing, shape (n,) [s]
    bridge : longest gap that is bridged, as somebody asked [s]

    Returns
    -------
    Step [s] (0 for a single sample), gap flags shape (n−1,), notes
    """
    intervals = np.diff(times)
    if intervals.size == 0:
        return 0.0, np.zeros(0, dtype=np.bool_), ["One sample only: no window can be seen in it."]
    lengths, counts = np.unique(intervals, return_counts=True)
    step = int(lengths[np.argmax(counts)])
    edges = np.flatnonzero(np.diff(intervals) != 0) + 1
    bounds = np.concatenate(([0], edges, [intervals.size]))
    run = np.repeat(np.diff(bounds), np.diff(bounds))
    gaps: Flags = (intervals > LONGEST_STEP) | ((intervals > step) & (run < EVEN_RUN))
    notes = []
    bridged = np.flatnonzero(gaps & (intervals <= bridge))
    if bridged.size:
        notes.append(f"Gaps of up to {_hours(int(bridge))} bridged, as asked: {_listed(times, bridged)}.")
        gaps[bridged] = False
    steps = np.unique(np.delete(intervals, np.flatnonzero(gaps).tolist() + bridged.tolist()))
    if steps.size > 1:
        notes.append("Steps of " + ", ".join(_hours(value) for value in steps[:SHOWN]) + ".")
    where = np.flatnonzero(gaps)
    if where.size:
        notes.append(f"Gaps, which break a window: {_listed(times, where)}.")
    return float(step), gaps, notes


def _listed(times: Integers, where: Integers) -> str:
    listed = [f"{iso(times[i])} to {iso(times[i + 1])}" for i in where[:SHOWN]]
    return "; ".join(listed) + (f" and {where.size - SHOWN} more" if where.size > SHOWN else "")


def without_short_holes(times: Integers, missing: Flags, bridge: float) -> Integers:
    """Rows that are left when stretches of missing seas are taken out that span up to `bridge` [s].

    A stretch spans from the last known sea before it to the first after it; at either end of the series it stays.
    """
    kept = np.ones(times.size, dtype=np.bool_)
    for first, count in zip(*runs(missing), strict=True):
        last = first + count
        if first > 0 and last < times.size and times[last] - times[first - 1] <= bridge:
            kept[first:last] = False
    return np.flatnonzero(kept)


def members_of(cells: Sequence[str] | None, size: int) -> dict[str, Integers]:
    """Rows of each member in the order members appear; one member without a name where `cells` is None.

    Parameters
    ----------
    cells : the member column, as text
    size : number of rows
    """
    if cells is None:
        return {"": np.arange(size, dtype=np.int64)}
    names, member = coded(cells)
    order = np.argsort(member, kind="stable")
    return dict(zip(names, np.split(order, np.cumsum(np.bincount(member))[:-1]), strict=True))


def iso(seconds: int | np.int64) -> str:
    """Seconds since 1970 as `2026-03-04T06:00Z`."""
    return str(np.datetime64(int(seconds), "s"))[:16] + "Z"


def _hours(seconds: int | np.int64) -> str:
    value = int(seconds)
    return f"{value / 3600:g}\u00a0h" if value >= 3600 else f"{value / 60:g}\u00a0min"
