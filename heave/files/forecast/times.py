"""Times of a forecast file to UTC: zones written in the cell, one stated zone, or UTC.

A time in a named zone with summer time may not exist (the hour the clock skips) or happen twice (the hour it
repeats). The first is refused; the second is read only where the file holds both, in their order.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from typing import Final
from zoneinfo import ZoneInfo

import numpy as np
import numpy.typing as npt

from heave.errors import FileError
from heave.files.tables import Table

Seconds = npt.NDArray[np.int64]

YEARS: Final = (1900, 2200)
"""First and last year believed."""

ALLOWED: Final = "an ISO 8601 time such as 2026-03-04T06:00Z"

NO_ZONE: Final = "Times carry no zone: taken as UTC."
"""Said where UTC is only what is taken for want of a zone."""

CLOCK_PUT_BACK: Final = (
    "A time stands twice and no zone is stated: if the file is in local time over a clock put back, its times "
    "are wrong by hours. State the zone."
)
"""Said where rows of one time agreed, so that one of them was left out."""

_ISO = re.compile(
    r"([0-9]{4})-([0-9]{2})-([0-9]{2})[Tt ]([0-9]{2})(?::?([0-9]{2})(?::?([0-9]{2})(?:[.,]0{1,9})?)?)?"
    r" ?(?:([Zz]|UTC|GMT)|([+-])([0-9]{2}):?([0-9]{2})?)?"
)
_OFFSET = re.compile(r"([+-])([0-9]{2}):?([0-9]{2})")
_ZONE_NAME = re.compile(r"[A-Za-z][A-Za-z0-9_+-]{1,30}(/[A-Za-z0-9_+-]{1,30}){1,2}")
_EPOCH = datetime(1970, 1, 1)


@dataclass(frozen=True)
class _Cell:
    """One time as it is written: on which clock, and how far that clock is ahead of UTC if it says."""

    clock: datetime
    ahead: timedelta | None
    line: int
    text: str


def zone_of(name: str) -> tzinfo:
    """The time zone called `name`: empty or UTC, an offset such as +02:00, or a named zone.

    Raises
    ------
    FileError
        If there is no such zone on this machine.
    """
    if name.strip().upper() in ("", "UTC", "Z", "GMT"):
        return UTC
    offset = _OFFSET.fullmatch(name.strip())
    if offset:
        ahead = timedelta(hours=int(offset[2]), minutes=int(offset[3]))
        if ahead <= timedelta(hours=14) and int(offset[3]) < 60:
            return timezone(-ahead if offset[1] == "-" else ahead)
    if _ZONE_NAME.fullmatch(name.strip()):
        try:
            return ZoneInfo(name.strip())
        except (OSError, ValueError, KeyError):
            pass
    raise FileError("time zone", name, None, "UTC, an offset such as +02:00, or a zone such as Europe/Oslo")


def read_times(
    table: Table, places: dict[str, int], zone_name: str, groups: Sequence[str] | None = None
) -> tuple[Seconds, tuple[str, ...]]:
    """Time of every row in UTC.

    Parameters
    ----------
    table : the table
    places : time columns by what they hold: `time`; or `date` and `clock`; or `year` to `hour` [`minute`]
    zone_name : zone of times that carry none, as `zone_of` takes it; empty is UTC
    groups : member of each row, within which a repeated hour is told apart by its order

    Returns
    -------
    Seconds since 1970-01-01T00:00Z, shape (rows,), and notes on what was assumed

    Raises
    ------
    FileError
        With line and column for what is no time, a clock time that does not exist, and one that could be
        two.
    """
    column = _column(table, places)
    cells = [_parse(_text(row.cells, places), row.line, column) for row in table.rows]
    says_utc = "utc" in column or "year" in places
    zone = zone_of(zone_name)
    if says_utc and zone is not UTC:
        raise FileError("time zone", zone_name, None, f"UTC, as column {column} says")
    bare = next((cell for cell in cells if cell.ahead is None), None)
    zoned = next((cell for cell in cells if cell.ahead is not None), None)
    if bare and zoned and not says_utc:
        allowed = f"a zone with every time or with none; line {zoned.line} has one"
        raise FileError("time", bare.text, None, allowed, line=bare.line, column=column)
    found = np.array([_seconds(cell.clock, cell.ahead or timedelta(0)) for cell in cells], dtype=np.int64)
    if bare is None or zone is UTC:
        stated = says_utc or bare is None or bool(zone_name.strip())
        return found, () if stated else (NO_ZONE,)
    return _localised(cells, zone, column, groups), (f"Times carry no zone: taken as {zone_name}.",)


def _column(table: Table, places: dict[str, int]) -> str:
    return " ".join(table.header[place] for place in places.values()) if places else "time"


def _text(cells: Sequence[str], places: dict[str, int]) -> str:
    """The time of one row as ISO text, put together where it stands in several columns."""
    if "time" in places:
        return cells[places["time"]]
    if "date" in places:
        clock = cells[places["clock"]]
        return f"{cells[places['date']]}T{clock.zfill(2) if clock.isdigit() else clock}"
    year = cells[places["year"]]
    if len(year) == 2 and year.isdigit() and int(year) >= 70:
        year = "19" + year
    rest = [cells[places[name]].zfill(2) for name in ("month", "day", "hour")]
    minute = cells[places["minute"]].zfill(2) if "minute" in places else "00"
    return f"{year}-{rest[0]}-{rest[1]}T{rest[2]}:{minute}Z"


def _parse(text: str, line: int, column: str) -> _Cell:
    match = _ISO.fullmatch(text)
    try:
        if match is None:
            raise ValueError(text)
        if match[5] and text[13] == ":":
            clock = datetime.fromisoformat(text[:16])
        else:
            day = datetime.fromisoformat(text[:10])
            clock = day.replace(hour=int(match[4]), minute=int(match[5] or 0))
        if match[6]:
            clock = clock.replace(second=int(match[6]))
        ahead = timedelta(0) if match[7] else None
        if match[8]:
            hours, minutes = int(match[9]), int(match[10] or 0)
            if minutes > 59 or hours * 60 + minutes > 14 * 60:
                raise ValueError(text)
            ahead = timedelta(hours=hours, minutes=minutes) * (-1 if match[8] == "-" else 1)
    except ValueError as problem:
        raise FileError("time", text, None, ALLOWED, line=line, column=column) from problem
    if not YEARS[0] <= clock.year <= YEARS[1]:
        allowed = f"a year from {YEARS[0]} to {YEARS[1]}"
        raise FileError("time", text, None, allowed, line=line, column=column)
    return _Cell(clock, ahead, line, text)


def _seconds(clock: datetime, ahead: timedelta) -> int:
    return (clock - _EPOCH - ahead) // timedelta(seconds=1)


def _localised(cells: list[_Cell], zone: tzinfo, column: str, groups: Sequence[str] | None) -> Seconds:
    """Clock times of a zone to UTC; the two meanings of a repeated hour are told apart by their order."""
    names = groups if groups is not None else [""] * len(cells)
    order = range(len(cells))
    newest_first = cells[-1].clock < cells[0].clock
    seen: dict[tuple[str, datetime], int] = {}
    found = np.zeros(len(cells), dtype=np.int64)
    for place in reversed(order) if newest_first else order:
        cell = cells[place]
        early, late = (_offset(cell.clock, zone, fold) for fold in (0, 1))
        if early != late:
            if early < late:
                allowed = "a time the clock shows: it is put forward over this one"
                raise FileError("time", cell.text, None, allowed, line=cell.line, column=column)
            key = (names[place], cell.clock)
            seen[key] = seen.get(key, 0) + 1
            early = early if seen[key] == 1 else late
        found[place] = _seconds(cell.clock, early)
    for place, cell in enumerate(cells):
        count = seen.get((names[place], cell.clock), 2)
        if count != 2:
            allowed = "a UTC offset with the time: the clock shows it twice, as it is put back"
            raise FileError("time", cell.text, None, allowed, line=cell.line, column=column)
    return found


def _offset(clock: datetime, zone: tzinfo, fold: int) -> timedelta:
    return clock.replace(tzinfo=zone, fold=fold).utcoffset() or timedelta(0)
