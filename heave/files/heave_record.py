"""A measured heave record: a table of time and heave, brought to a constant step by stated rules."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

import numpy as np

from heave.errors import FileError
from heave.files.columns import Columns, take
from heave.files.registry import HEAVE_RECORD
from heave.files.rows import FloatArray, Indices
from heave.files.tables import Source, read_table
from heave.files.times import moment, read_times

STEP_RANGE: Final = (0.01, 2.0)
"""Shortest and longest step of a record [s]; two seconds still give ten samples a swell."""

JITTER: Final = 0.5
"""A step longer than the usual one by more than this share of it is a gap."""

LONGEST_GAP: Final = 2.0
"""Longest gap filled [s], or two steps if that is longer; a wave of 8 s is bridged with a few per cent error."""

MOST_FILLED: Final = 0.05
"""Most of a record that may be filled."""

FEWEST_ROWS: Final = 10
"""Fewest values of a record."""


@dataclass(frozen=True, eq=False)
class HeaveRecord:
    """Heave over time at a constant step.

    step : [s]; heave : (nt,), up positive, as measured, mean included [m]
    start : time of the first value, UTC, where the file tells it
    notes : what the reader did
    """

    step: float
    heave: FloatArray
    start: datetime | None
    notes: tuple[str, ...]

    @property
    def duration(self) -> float:
        """Time from the first to the last value [s]."""
        return (len(self.heave) - 1) * self.step


def read_heave_record(source: Source, *, fill: bool = True) -> HeaveRecord:
    """Read a heave record such as

        time_s,heave_m
        0.0,0.12
        0.5,0.31

    Columns: `time_s`, `time_min` or `time_utc` (ISO 8601); `heave_m` or `heave_ft`, the vessel's rise
    positive, or `heave_down_m`, `heave_down_ft` for a sensor that counts downwards. Any rate from a value
    each 0.01 s to each 2 s. The step is the median one; times that wander, with no step over one and a
    half, are brought to even places by a cubic through all values. An empty cell is a missing value. A gap of up to
    2 s (or two steps) is bridged by the same cubic; a longer one, or more than 5 % bridged, is refused, and so
    is any gap without `fill`.

    Parameters
    ----------
    source : a path, or bytes
    fill : bridge short gaps

    Returns
    -------
    HeaveRecord

    Raises
    ------
    FileError
        With line and column for anything that cannot be read in one way, times that do not increase, and gaps.
    """
    columns = take(read_table(source), HEAVE_RECORD)
    time, start = _times(columns)
    upward = columns.only("heave", "heave", "heave_down")
    heave = columns.numbers[upward] * (1.0 if upward == "heave" else -1.0)
    for row in np.flatnonzero(np.diff(time) <= 0)[:1] + 1:
        seconds, allowed = float(time[row]), "a time after the row above"
        raise FileError("time", seconds, "s from the first", allowed, line=columns.line(row))
    kept = np.flatnonzero(~np.isnan(heave))
    if len(kept) < FEWEST_ROWS:
        raise columns.table.refuse("values of the record", len(kept), f"at least {FEWEST_ROWS}")
    gaps = np.diff(time[kept])
    step = float(np.median(gaps))
    if not STEP_RANGE[0] <= step <= STEP_RANGE[1]:
        allowed = f"from {STEP_RANGE[0]:g} to {STEP_RANGE[1]:g}"
        raise FileError("time between values", step, "s", allowed, line=columns.line(kept[0]))
    wide = np.flatnonzero(gaps > (1 + JITTER) * step)
    notes = _check_gaps(gaps, wide, step, [columns.line(kept[place]) for place in wide], fill)
    even, resampled = _even(time[kept] - time[kept[0]], heave[kept], step)
    if resampled and not wide.size:
        notes.append("Times wander about an even step: values brought to even places by a cubic.")
    if kept[0] > 0 or kept[-1] < len(heave) - 1:
        notes.append("Missing values at the beginning or the end left out.")
    if start is None:
        notes.append("The file gives no clock time.")
    elif kept[0] > 0:
        start = datetime.fromtimestamp(start.timestamp() + float(time[kept[0]]), start.tzinfo)
    even.setflags(write=False)
    return HeaveRecord(step, even, start, tuple(notes))


def _times(columns: Columns) -> tuple[FloatArray, datetime | None]:
    """Seconds from the first row, and its clock time if known."""
    if columns.only("time", "time", "time_utc") == "time":
        seconds = columns.numbers["time"]
        return seconds - seconds[0], None
    place = columns.table.header.index("time_utc")
    ticks, _ = read_times(columns.table, {"time": place}, whole=False)
    return (ticks - ticks[0]) / 1e6, moment(ticks[0])


def _check_gaps(gaps: FloatArray, wide: Indices, step: float, lines: list[int], fill: bool) -> list[str]:
    longest = max(LONGEST_GAP, 2 * step) + JITTER * step
    for place, line in zip(wide, lines, strict=True):
        if not fill or gaps[place] > longest:
            allowed = f"no gap over {longest:.3g} s" if fill else "no gap"
            raise FileError("gap after this row", float(gaps[place]), "s", allowed, line=line)
    missing = float((gaps[wide] - step).sum())
    if missing > MOST_FILLED * float(gaps.sum()):
        allowed = f"at most {MOST_FILLED:.0%} of it"
        raise FileError("time missing from the record", missing, "s", allowed, line=lines[0])
    if not wide.size:
        return []
    greatest = f"{wide.size} gaps of at most {gaps[wide].max():.3g} s"
    return [f"{greatest}, {missing:.3g} s in all, bridged by a cubic."]


def _even(time: FloatArray, heave: FloatArray, step: float) -> tuple[FloatArray, bool]:
    """Values at even times, and whether they had to be moved."""
    count = round(float(time[-1]) / step) + 1
    places = np.linspace(0.0, float(time[-1]), count)
    if count == len(time) and np.all(np.abs(time - places) < 0.01 * step):
        return heave.copy(), False
    from scipy.interpolate import CubicSpline

    return np.asarray(CubicSpline(time, heave)(places), dtype=np.float64), True
