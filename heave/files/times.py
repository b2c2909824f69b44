"""Times of every sort of file to UTC: ISO 8601 with a zone, a buoy centre's columns, the clock of a named zone.

A time in a named zone with summer time may not exist (the hour the clock skips) or happen twice (the hour it repeats).
The first is refused; the second is read only where the file holds both, in their order.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta, tzinfo
from typing import Final

import numpy as np

from heave.errors import FileError
from heave.files.forecast.clock import YEARS, moment_in
from heave.files.rows import Integers, Table

ALLOWED: Final = f"an ISO 8601 time such as 2026-03-04T06:00Z, of the years {YEARS[0]} to {YEARS[1]}"

TIME_SETS: Final = (("time",), ("date", "clock"), ("year", "month", "day", "hour"), ("lead",))
"""Columns that make up a time; a column `minute` may stand beside the last."""

_MICROSECOND: Final = timedelta(microseconds=1)
_DAY: Final = 86_400 * 10**6
_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)


def parse_time(cell: str) -> datetime:
    """An ISO 8601 time with a zone, as UTC.

    Raises
    ------
    FileError
        If it is not ISO 8601 (03/04/2026 could be read in two ways) or has no zone.
    """
    found = moment_in(cell)
    day = found.day("") if found is not None and found.order == "ymd" else None
    if found is None or day is None or found.seconds is None:
        raise FileError("time", cell, None, f"{ALLOWED}: write it so")
    if found.ahead is None:
        raise FileError("time", cell, None, ALLOWED + ", with its zone: add it")
    return datetime(day.year, day.month, day.day, tzinfo=UTC) + timedelta(
        seconds=found.seconds - 60 * found.ahead
    )


def buoy_day(year: str, month: str, day: str) -> str:
    """A date of a buoy centre as ISO text; two digits of a year from 70 are of the 1900s."""
    year = "19" + year if len(year) == 2 and year.isdigit() and int(year) >= 70 else year
    return f"{year}-{month.zfill(2)}-{day.zfill(2)}"


def buoy_clock(hour: str, minute: str = "00") -> str:
    """The time of day of a buoy centre as ISO text, UTC."""
    return f"T{hour.zfill(2)}:{minute.zfill(2)}Z"


def localised(
    clock: Integers, zone: tzinfo, groups: Sequence[str] | None, table: Table, columns: Sequence[str]
) -> Integers:
    """Clock times of a zone to UTC; the two meanings of a repeated hour are told apart by their order."""
    days, of_row = np.unique(clock // _DAY, return_inverse=True)
    steady = [_steady(int(day), zone) for day in days]
    found: Integers = clock - np.array([offset or 0 for offset in steady], dtype=np.int64)[of_row]
    rows = np.flatnonzero(np.array([offset is None for offset in steady])[of_row]).tolist()
    seen: dict[tuple[str, int], list[int]] = {}
    for row in reversed(rows) if clock[-1] < clock[0] else rows:
        early, late = (_offset(clock[row], zone, fold) for fold in (0, 1))
        if early < late:
            allowed = "a time the clock shows: it is put forward over this one. "
            raise table.wrong("time", row, f"{allowed}Write its offset from UTC, such as +02:00", *columns)
        if early > late:
            same = seen.setdefault((groups[row] if groups is not None else "", int(clock[row])), [])
            same.append(row)
            early = early if len(same) == 1 else late
        found[row] = clock[row] - early
    alone = [min(same) for same in seen.values() if len(same) != 2]
    if alone:
        allowed = "a UTC offset with the time: the clock shows it twice, as it is put back. Write it, such as +02:00"
        raise table.wrong("time", min(alone), allowed, *columns)
    return found


def _steady(day: int, zone: tzinfo) -> int | None:
    """The one offset of a clock throughout a day [μs]; None where it may change."""
    offsets = {_offset(edge * _DAY, zone, fold) for edge in (day, day + 1) for fold in (0, 1)}
    return offsets.pop() if len(offsets) == 1 else None


def _offset(clock: int | np.int64, zone: tzinfo, fold: int) -> int:
    local = (_EPOCH + int(clock) * _MICROSECOND).replace(tzinfo=zone, fold=fold)
    return (local.utcoffset() or timedelta(0)) // _MICROSECOND
