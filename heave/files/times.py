"""Times of every sort of file to UTC: zones written in the cell, one stated zone, or UTC.

A time is read as a day and a time of day, each different one once: forty years of hours hold 14,610 days and 24
times of day. A time in a named zone with summer time may not exist (the hour the clock skips) or happen twice (the
hour it repeats). The first is refused; the second is read only where the file holds both, in their order.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta, tzinfo
from typing import Any, Final

import numpy as np

from heave.errors import FileError
from heave.files.rows import Coded, Integers, Rows, Table, joined
from heave.files.tables import on_line
from heave.planning.zones import UTC_NAME, offset_of, zone_of

YEARS: Final = (1900, 2200)
"""First and last year believed."""

ALLOWED: Final = f"an ISO 8601 time such as 2026-03-04T06:00Z, of the years {YEARS[0]} to {YEARS[1]}"

ONE_ZONE: Final = "write it with each of them, or in the header alone"
"""What to change where some times have a zone."""

TIME_SETS: Final = (("time",), ("date", "clock"), ("year", "month", "day", "hour"), ("lead",))
"""Columns that make up a time; a column `minute` may stand beside the last."""

_MICROSECOND: Final = timedelta(microseconds=1)
_SECOND: Final = 10**6
_DAY: Final = 86_400 * _SECOND
_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)
_DATE = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
_SAYS_UTC = re.compile(r"utc(?![ _]*(?:[+-]|plus|minus)[ _]*[0-9])")
_CLOCK = re.compile(
    r"[Tt ]([0-9]{2})(?::?([0-9]{2})(?::?([0-9]{2})(?:[.,]([0-9]{0,9}))?)?)?"
    r" ?([Zz]|UTC|GMT|[+-][0-9:]{2,5})?"
)


def parse_time(cell: str) -> datetime:
    """An ISO 8601 time with a zone, as UTC.

    Raises
    ------
    FileError
        If it is not ISO 8601 (03/04/2026 could be read in two ways) or has no zone.
    """
    day, clock = _day(cell[:10]), iso_clock(cell[10:])
    if day is None or clock is None:
        raise FileError("time", cell, None, f"{ALLOWED}: write it so")
    if clock[1] is None:
        raise FileError("time", cell, None, ALLOWED + ", with its zone: add it")
    return moment(day + clock[0] - clock[1])


def moment(ticks: int | np.int64) -> datetime:
    """Microseconds since 1970 as a time in UTC."""
    return _EPOCH + timedelta(microseconds=int(ticks))


def buoy_time(cells: Sequence[str]) -> str:
    """Year, month, day, hour and perhaps minute as ISO text; two digits of a year from 70 are of the 1900s."""
    return _buoy_day(*cells[:3]) + _buoy_clock(*cells[3:])


def _buoy_day(year: str, month: str, day: str) -> str:
    year = "19" + year if len(year) == 2 and year.isdigit() and int(year) >= 70 else year
    return f"{year}-{month.zfill(2)}-{day.zfill(2)}"


def _buoy_clock(hour: str, minute: str = "00") -> str:
    return f"T{hour.zfill(2)}:{minute.zfill(2)}Z"


def read_times(
    table: Table, places: dict[str, int], zone_name: str = "", groups: Sequence[str] | None = None
) -> tuple[Integers, tuple[str, ...]]:
    """Time of every row in UTC.

    Parameters
    ----------
    table : the table
    places : time columns by what they hold, one of TIME_SETS
    zone_name : zone of times that carry none, as `zone_of` takes it; empty is UTC
    groups : member of each row, within which a repeated hour is told apart by its order

    Returns
    -------
    Microseconds since 1970-01-01T00:00Z, shape (rows,), and notes on what was assumed

    Raises
    ------
    FileError
        With line and column for what is no time, a clock time that does not exist, and one that could be
        two.
    """
    columns = [table.header[place] for place in places.values()]
    (days, day), (clocks, clock) = _pieces(table.rows, places)
    of_day, of_clock = [_day(text) for text in days], [iso_clock(text, whole=True) for text in clocks]

    def refuse(row: int | np.integer[Any], allowed: str) -> FileError:
        text = (days[day[row]] + clocks[clock[row]]).strip() or "empty"
        return FileError("time", text, None, allowed, line=table.rows.line(row), column=" ".join(columns))

    if None in of_day or None in of_clock:
        pairs = zip(day.tolist(), clock.tolist(), strict=True)
        bad = [of_day[one] is None or of_clock[other] is None for one, other in pairs]
        raise refuse(bad.index(True), f"{ALLOWED}: write it so")
    says_utc = bool(_SAYS_UTC.search(" ".join(columns))) or "year" in places
    with on_line(None):
        zone = zone_of(zone_name.strip() or UTC_NAME)
    if says_utc and zone is not UTC:
        raise FileError("time zone", zone_name, None, f"UTC, as column {' '.join(columns)} says")
    bare = np.array([found is not None and found[1] is None for found in of_clock])[clock]
    if bare.any() and not bare.all() and not says_utc:
        line = table.rows.line(np.argmin(bare))
        raise refuse(np.argmax(bare), f"a zone with every time or with none; line {line} has one: {ONE_ZONE}")
    added = [found[0] - (found[1] or 0) for found in of_clock if found]
    ticks = np.array(of_day, dtype=np.int64)[day] + np.array(added, dtype=np.int64)[clock]
    if not bare.any() or zone is UTC:
        return ticks, ()
    return localised(ticks, zone, groups, table, columns), (f"Times carry no zone: taken as {zone_name}.",)


def _pieces(rows: Rows, places: dict[str, int]) -> tuple[Coded, Coded]:
    """Days and times of day as ISO text, and which of them each row has."""
    if "time" in places:
        return rows.coded(places["time"], 0, 10), rows.coded(places["time"], 10)
    columns = [rows.coded(place) for place in places.values()]
    if "date" in places:
        clocks, clock = columns[1]
        return columns[0], ([f"T{text.zfill(2) if text.isdigit() else text}" for text in clocks], clock)
    return joined(columns[:3], _buoy_day), joined(columns[3:], _buoy_clock)


def _day(text: str) -> int | None:
    """A date as microseconds since 1970; None for what is none, or is not of YEARS."""
    try:
        day = date(*map(int, found.groups())) if (found := _DATE.fullmatch(text)) else None
    except ValueError:
        return None
    if day is None or not YEARS[0] <= day.year <= YEARS[1]:
        return None
    return (day.toordinal() - _EPOCH.toordinal()) * _DAY


def iso_clock(text: str, *, whole: bool = False) -> tuple[int, int | None] | None:
    """A time of day [μs], and how far its clock is ahead of UTC if it says [μs]; None for what is no time."""
    found = _CLOCK.fullmatch(text)
    if found is None:
        return None
    hour, minute, second = (int(found[place] or 0) for place in (1, 2, 3))
    part, zone = found[4] or "", found[5]
    midnight = hour == 24 and not (minute or second or part.strip("0"))  # ISO 8601: the end of the day
    if (hour > 23 and not midnight) or minute > 59 or second > 59 or (whole and part.strip("0")):
        return None
    ticks = ((hour * 60 + minute) * 60 + second) * _SECOND + int(part.ljust(6, "0")[:6])
    if zone is None:
        return ticks, None
    ahead = offset_of(zone) if zone[0] in "+-" else timedelta(0)
    return None if ahead is None else (ticks, ahead // _MICROSECOND)


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
    local = moment(clock).replace(tzinfo=zone, fold=fold)
    return (local.utcoffset() or timedelta(0)) // _MICROSECOND
