"""Times of a heave record brought to a constant step: double stamps, jitter, gaps and jumps of the clock."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from heave.arrays import FloatArray, Indices
from heave.errors import FileError
from heave.files.record.clock import STEP_RANGE
from heave.files.record.faults import Fault
from heave.files.rows import Integers
from heave.units import counted, per_cent, significant

JITTER: Final = 0.5
"""A step longer than the usual one by more than this share of it is a gap."""

NEAR: Final = 0.1
"""Two values nearer to each other in time than this share of the usual step share one stamp."""

WANDER: Final = 0.005
"""Share of the longest step by which one that wanders may be beyond it."""

MOST_MERGED: Final = 0.01
"""Most of the values that may share the stamp of another."""

LONGEST_GAP: Final = 2.0
"""Longest gap filled [s], or two steps if that is longer; a wave of 8 s is bridged with a few per cent error."""

MOST_FILLED: Final = 0.05
"""Most of a record that may be filled."""

HELD: Final = 0.25
"""How far a cubic may go beyond the four values about it, as a share of their range.

At the crest of a sine it goes an eighth beyond where the step is short, and a fifth at four values a period."""

FEWEST_ROWS: Final = 10
"""Fewest values of a record."""


@dataclass(frozen=True)
class Series:
    """Values at their own times: seconds (n,) [s], values (n,), and the line of the file each stood on (n,)."""

    time: FloatArray
    values: FloatArray
    lines: Integers

    def at(self, kept: Indices) -> Series:
        """Some of the values."""
        return Series(self.time[kept], self.values[kept], self.lines[kept])


def merged(series: Series) -> tuple[Series, list[Fault]]:
    """One value for each time: those that stand within a tenth of the usual step are one, their mean.

    Parameters
    ----------
    series : as the file has it

    Returns
    -------
    Series with times that increase, and the fault if there was one

    Raises
    ------
    FileError
        For a time that goes back, and where more than 1 % of the values share a stamp.
    """
    steps = np.diff(series.time)
    for row in np.flatnonzero(steps < 0)[:1]:
        back = significant(float(-steps[row]))
        allowed = f"a time after the row above; the clock is put back by {back}\u00a0s: cut the file there"
        value = float(series.time[row + 1])
        raise FileError("time", value, "s from the first", allowed, line=int(series.lines[row + 1]))
    usual = _usual(series.time)
    near = np.flatnonzero(steps < NEAR * usual) + 1
    if not near.size:
        return series, []
    if near.size > max(1.0, MOST_MERGED * len(series.time)):
        why = "the file is written twice, or two sensors in one; part them"
        allowed = f"at most {per_cent(MOST_MERGED)} of them: {why}"
        line = int(series.lines[near[0]])
        raise FileError("values with the time of another", int(near.size), None, allowed, line=line)
    first = np.setdiff1d(np.arange(len(series.time)), near)
    counts = np.diff(np.append(first, len(series.time)))
    values = np.add.reduceat(series.values, first) / counts
    words = (
        f"{counted(near.size, 'value')} with the time of the one before, or nearer to it than a tenth of a step, "
        f"first on line {series.lines[near[0]]}: the mean of the two is used."
    )
    fault = Fault("double stamp", words, tuple(series.time[near].tolist()))
    return Series(series.time[first], values, series.lines[first]), [fault]


def _usual(time: FloatArray) -> float:
    """The median of the steps that are no double stamps."""
    steps = np.diff(time)
    mean = float(time[-1] - time[0]) / max(len(steps), 1)
    longer = steps[steps > NEAR * mean]
    return float(np.median(longer)) if longer.size else 0.0


def step_of(series: Series) -> float:
    """The step of a record [s]: the mean one where it has no gap, so that times that wander keep the places of values.

    Where there are gaps, the whole time over as many steps as the mean of the others makes of it.

    Raises
    ------
    FileError
        For one that no record has.
    """
    if len(series.time) < FEWEST_ROWS:
        allowed = f"at least {FEWEST_ROWS}: ask for a longer record"
        raise FileError("values of the record", len(series.time), None, allowed, line=1)
    step = _usual(series.time)
    if step > 0.0:
        span, gaps = float(series.time[-1] - series.time[0]), np.diff(series.time)
        even = gaps <= (1 + JITTER) * step
        step = span / max(len(gaps) if even.all() else round(span / float(gaps[even].mean())), 1)
    if not STEP_RANGE[0] <= step <= STEP_RANGE[1] * (1 + WANDER):
        allowed = f"from {STEP_RANGE[0]:g} to {STEP_RANGE[1]:g}: correct the unit of time"
        raise FileError("time between values", step, "s", allowed, line=int(series.lines[0]))
    return step


def evened(series: Series, step: float, fill: bool) -> tuple[FloatArray, list[Fault]]:
    """Values a `step` apart from the first time on, and what was done about gaps and wandering times.

    A step over one and a half of the usual one is a gap. It is bridged by a cubic through all values where it is not
    over 2 s or two steps, and all gaps together not over 5 % of the record. The cubic is held: beyond the four values
    about a place by no more than a quarter of their range, and in a gap within the range of the record.

    Raises
    ------
    FileError
        For a gap that is not bridged, or any without `fill`.
    """
    gaps = np.diff(series.time)
    wide = np.flatnonzero(gaps > (1 + JITTER) * step)
    faults = _check_gaps(series, gaps, wide, step, fill)
    time = series.time - series.time[0]
    count = int(float(time[-1]) / step + 0.01) + 1
    places = np.minimum(np.arange(count) * step, float(time[-1]))
    off = np.abs(time - places) if count == len(time) else np.array([np.inf])
    if np.all(off < 0.01 * step):
        return series.values.copy(), faults
    from scipy.interpolate import CubicSpline

    found = np.asarray(CubicSpline(time, series.values)(places), dtype=np.float64)
    found, held = _held(found, places, time, series.values, set(wide.tolist()))
    if not wide.size:
        wander = float(np.abs(gaps - step).max())
        size = significant(wander, 2)
        words = f"Times wander about an even step by up to {size}\u00a0s: values brought to even places by a cubic."
        faults.append(Fault("jitter", words))
    if held.size:
        words = (
            f"{counted(held.size, 'value')} of the cubic would have gone beyond what was measured: held within it, "
            f"first at {significant(float(places[held[0]]))}\u00a0s."
        )
        faults.append(Fault("held", words, tuple(places[held].tolist())))
    return found, faults


def _held(
    found: FloatArray, places: FloatArray, time: FloatArray, values: FloatArray, wide: set[int]
) -> tuple[FloatArray, Indices]:
    """Values of the cubic within their bounds, and the places of those that were held."""
    before = np.clip(np.searchsorted(time, places, side="right") - 1, 0, len(time) - 2)
    about = np.clip(before[:, None] + np.arange(-1, 3), 0, len(time) - 1)
    low, high = values[about].min(axis=1), values[about].max(axis=1)
    room = HELD * (high - low)
    low, high = low - room, high + room
    in_gap = np.isin(before, list(wide))
    low[in_gap], high[in_gap] = values.min(), values.max()
    held = np.clip(found, low, high)
    return held, np.flatnonzero(np.abs(held - found) > 1e-9 * max(1.0, float(np.abs(values).max())))


def _check_gaps(series: Series, gaps: FloatArray, wide: Indices, step: float, fill: bool) -> list[Fault]:
    longest = max(LONGEST_GAP, 2 * step) + JITTER * step
    for place in wide:
        if not fill or gaps[place] > longest:
            allowed = f"no gap over {longest:.3g}\u00a0s" if fill else "no gap"
            allowed += ": the record stops, or its clock jumps; cut the file there"
            line = int(series.lines[place])
            raise FileError("gap after this row", float(gaps[place]), "s", allowed, line=line)
    if not wide.size:
        return []
    missing = float((gaps[wide] - step).sum())
    if missing > MOST_FILLED * float(gaps.sum()):
        allowed = f"at most {per_cent(MOST_FILLED)} of it: ask for a whole record"
        line = int(series.lines[wide[0]])
        raise FileError("time missing from the record", missing, "s", allowed, line=line)
    most = significant(float(gaps[wide].max()))
    words = (
        f"{counted(wide.size, 'gap')} of at most {most}\u00a0s, first after line {series.lines[wide[0]]}, "
        f"{significant(missing)}\u00a0s in all, bridged by a cubic."
    )
    return [Fault("gap", words, tuple(series.time[wide].tolist()))]
