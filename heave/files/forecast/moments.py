"""The time columns of a forecast to UTC: the order of dates by the whole column, the zone, steps from an issue time.

ISO 8601 times are read in bulk by `heave.files.times`. Any other form is read here, each different cell once. Where
03/04 could be two days the column decides: a number over 12, or the one order in which its times run on evenly; where
neither does, it is asked. A time without a zone is asked about, unless the header, a line above the table or the
cells name one, which is obeyed and said.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any, Final

import numpy as np

from heave.arrays import Indices
from heave.errors import FileError
from heave.files.conventions import Question
from heave.files.forecast.clock import ISSUED, MONTHS, Moment, moment_in, offset_name, zone_said
from heave.files.forecast.issue import issue_of
from heave.files.forecast.layout import Sheet
from heave.files.forecast.workbook import DAY_ZERO
from heave.files.rows import Integers, Table, coded, joined
from heave.files.tables import on_line
from heave.files.times import ALLOWED, ONE_ZONE, iso_clock, localised, read_times
from heave.planning.columns import DATE_ORDERS, ForecastMapping
from heave.planning.zones import UTC_NAME, zone_of

SECOND: Final = 10**6
_DAY: Final = 86_400
_EPOCH: Final = date(1970, 1, 1).toordinal()
_ISO = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}(?=[Tt ]|$)")
_SERIAL = re.compile(r"[2-7][0-9]{4}(\.[0-9]+)?")
_UNIX = re.compile(r"[0-9]{10}(?:[0-9]{3})?(?:\.0+)?")
_ENDS_IN_ZONE = re.compile(r"([Zz]|UTC|GMT|[+-][0-9:]{2,5})$")
_LEAD = re.compile(r"(?:[tThHfF]\+?|\+)?0*([0-9]{1,4}(?:\.[0-9]+)?)\s*(?:h|hrs?|hours?)?")
_LEAD_UNITS: Final = {
    **dict.fromkeys(("min", "mins", "minutes"), 60),
    **dict.fromkeys(("s", "sec", "seconds"), 1),
    **dict.fromkeys(("days", "d"), 86_400),
}
"""Seconds of a step whose column says that it is not in hours."""

_ORDERS: Final = {"day first": "dmy", "month first": "mdy", "year first": "ymd"}
_ABOUT_TIMES = re.compile(r"\b(?:times|time zone|timezone|time|zone)\b", re.IGNORECASE)


_WRITTEN: Final = {r"dd.mm.yy": "day first", r"mm.dd.yy": "month first", r"\byy.mm.dd": "year first"}
"""How a header says that dates are written."""


@dataclass
class Clock:
    """What is known of the times of a file before they are read: what is asked, and what the file says."""

    table: Table
    places: dict[str, int]
    mapping: ForecastMapping
    zone: str = ""
    """Of times that carry none; empty where nobody says."""

    issued: np.datetime64 | None = None
    notes: list[str] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    order: str = "dmy"
    moments: list[Moment | None] = field(default_factory=list)
    of_row: Any = None
    carried: bool = False
    """Whether a date stands once for the hours under it."""

    day_zero: int = DAY_ZERO
    """1 January 1970 in day numbers."""

    plain: bool = True
    """Whether times are ISO 8601, in days and times of day of their own or together."""

    def ticks(self, groups: Sequence[str] | None) -> tuple[Integers, tuple[str, ...]]:
        """Microseconds since 1970 of every row, UTC, and what is to be said of them."""
        if self.plain:
            found, notes = read_times(self.table, self.places, self.zone, groups)
            return found, tuple(self.notes) if self.notes else notes
        clock, ahead = self._clock()
        if ahead is not None:
            return clock - ahead, tuple(self.notes)
        with on_line(None):
            zone = zone_of(self.zone)
        return localised(clock, zone, groups, self.table, self.columns), tuple(self.notes)

    @property
    def columns(self) -> list[str]:
        """Names of the time columns."""
        return [self.table.header[place] for place in self.places.values()]

    def refuse(self, where: int | np.integer[Any], allowed: str) -> FileError:
        """The error about the first row whose time is that of a number in `moments`."""
        return self.table.wrong("time", np.argmax(self.of_row == where), allowed, *self.columns)

    def _clock(self) -> tuple[Integers, Integers | None]:
        """Clock times [μs], and how far each is ahead of UTC if all cells say [μs]."""
        seconds, ahead = [], []
        for code, moment in enumerate(self.moments):
            day = None if moment is None else moment.day(self.order, _year(moment, self.issued, self.order))
            if moment is None or day is None or moment.seconds is None:
                raise self.refuse(code, self._wanted(moment))
            seconds.append((day.toordinal() - _EPOCH) * _DAY + moment.seconds)
            ahead.append(moment.ahead)
        told = [minutes is not None for minutes in ahead]
        if any(told) and not all(told):
            raise self.refuse(told.index(False), f"a zone with every time or with none: {ONE_ZONE}")
        clock = np.array(seconds, dtype=np.int64)[self.of_row] * SECOND
        if not all(told):
            return clock, None
        return clock, np.array(ahead, dtype=np.int64)[self.of_row] * 60 * SECOND

    def _wanted(self, moment: Moment | None) -> str:
        if moment is not None and moment.numbers and not moment.numbers[-1] and self.issued is None:
            return "a date with its year; the file names no issue time to take it from: write the year"
        if moment is not None and moment.seconds is None:
            return "a date with its time of day: write the hour behind it"
        return f"{ALLOWED}, or a date and a time of day written as in the rows above: correct it"


def time_of(sheet: Sheet, places: dict[str, int], mapping: ForecastMapping, issued: str | None) -> Clock:
    """What a file says of its times, and what must be asked before they can be read.

    Parameters
    ----------
    sheet : the table and the lines around it, in which a zone or the time of issue may stand
    places : its time columns by what they hold; of `lead` hours after the issue
    mapping : how the file is to be read
    issued : time of issue as somebody gave it, ISO 8601, UTC where it has no zone; None where nobody did

    Raises
    ------
    FileError
        If a column that holds times by its name holds none.
    """
    table, above = sheet.table, sheet.above
    clock = Clock(table, places, mapping, carried=sheet.carried, day_zero=sheet.day_zero)
    header = " ".join(clock.columns)
    _zone(clock, header, above)
    cells = [table.rows.cell(0, place) for place in places.values()] if places else []
    clock.plain = "lead" not in places and _is_plain(places, cells)
    if places and not clock.plain and "lead" not in places:
        _read_cells(clock)
        _date_order(clock)
    open_ = clock.plain and mapping.date_order is None
    clock.issued, notes = issue_of(sheet, mapping, header, clock.zone, "" if open_ else clock.order, issued)
    clock.notes += notes
    if "lead" in places:
        _steps(clock)
    elif places:
        _ask_zone(clock)
    return clock


def _is_plain(places: dict[str, int], cells: list[str]) -> bool:
    """Whether the first times are ISO 8601, or of a kind that nothing here reads either."""
    if not cells or "year" in places:
        return True
    if "date" in places:
        clock = re.fullmatch(r"[0-9]{1,2}|[0-9]{2}:.*|[0-9]{4}(?:Z|[+-].*)?", cells[1])
        return bool(_ISO.fullmatch(cells[0]) and clock)
    iso = bool(_ISO.match(cells[0]) and iso_clock(cells[0][10:]))
    return iso or (_ISO.match(cells[0]) is not None and moment_in(cells[0]) is None)


def _zone(clock: Clock, header: str, above: Sequence[str]) -> None:
    """The zone that the header or a line above names; else the mapping's."""
    said = zone_said(header)
    where = f"as column {header} says"
    lines = [line for line in above if _ABOUT_TIMES.search(line) and not ISSUED.search(line)]
    told = {zone_said(line) for line in lines} - {None, "local"}
    if said not in (None, "local", "several") and told - {said}:
        allowed = f"{said}, {where}, or a header that agrees: correct one of the two"
        raise FileError("time zone", ", ".join(map(str, told)), None, allowed, column=header)
    if said in (None, "local"):
        if len(told) == 1:
            said = told.pop()
            where = f"as the file says: {next(line for line in lines if zone_said(line))[:80]}"
        elif told:
            said = "several"
    given = clock.mapping.time_zone.strip()
    if said in (None, "local", "several"):
        clock.zone = given
        return
    with on_line(None):
        own, other = (zone_of(name) for name in (str(said), given or str(said)))
    if other is not own and other.utcoffset(None) != own.utcoffset(None):
        allowed = f"{said}, {where}: correct the header, or give no other zone"
        raise FileError("time zone", given, None, allowed, column=header)
    clock.zone = str(said)
    if clock.zone != UTC_NAME or "column" not in where:
        clock.notes.append(f"Times are in {clock.zone}, {where}.")


def _read_cells(clock: Clock) -> None:
    """Every different cell of the time columns as a moment."""
    rows = clock.table.rows
    columns = [rows.coded(place) for place in clock.places.values()]
    texts, clock.of_row = columns[0]
    if len(columns) > 1:
        texts, clock.of_row = joined(columns, lambda day, hour: f"{day} {_hour(hour)}")
    if all(_UNIX.fullmatch(text) for text in texts) and not all(_calendar(text) for text in texts):
        unit = "seconds" if len(texts[0]) < 13 else "milliseconds"
        clock.notes.append(f"Times are {unit} since 1970, UTC.")
        clock.moments = [_of_seconds(int(text[:10]), 0) for text in texts]
    elif all(_SERIAL.fullmatch(text) for text in texts) and "date" not in clock.places:
        clock.notes.append("Times are a spreadsheet's day numbers.")
        clock.moments = [_of_seconds(round((float(text) - clock.day_zero) * 86_400), None) for text in texts]
    else:
        clock.moments = [moment_in(text) for text in texts]
        if clock.carried:
            _hours_run_on(clock, columns[0][1])


def _hours_run_on(clock: Clock, day: Indices) -> None:
    """Refuse hours that go back under one date: 00:00 after 18:00 would be of the next day, or of another table."""
    seconds = [-1 if moment is None else moment.seconds or 0 for moment in clock.moments]
    back = np.flatnonzero((np.diff(np.array(seconds)[clock.of_row]) < 0) & (np.diff(day) == 0))
    if back.size:
        allowed = (
            "hours that run on under their date, and a new date above those of the next day: write it there"
        )
        raise clock.table.wrong("time", back[0] + 1, allowed, *clock.columns)


def _calendar(text: str) -> bool:
    """Whether ten digits are a year, month, day and hour, such as 2026030206."""
    moment = moment_in(text)
    day = moment.day("ymd") if moment is not None else None
    return bool(day and len(text) == 10 and 1980 <= day.year < 2100)


def _hour(text: str) -> str:
    """A time of day that is a lone number: hours, or 630 and 0630 as hours and minutes."""
    if re.fullmatch(r"[0-9]{3}", text):
        return text.zfill(4)
    return f"{text}:00" if re.fullmatch(r"[0-9]{1,2}", text) else text


def _of_seconds(seconds: int, ahead: int | None) -> Moment:
    day = date.fromordinal(_EPOCH + seconds // _DAY) if 0 <= seconds // _DAY < 10**5 else date(1, 1, 1)
    return Moment((day.year, day.month, day.day), "ymd", seconds % _DAY, ahead)


def _date_order(clock: Clock) -> None:
    """Which comes first of day and month: by a number over 12, by times that run on evenly, or as somebody says."""
    open_ = [moment for moment in clock.moments if moment is not None and moment.order == "???"]
    if not open_:
        return
    short = any(moment.short for moment in open_)
    orders = [name for name in DATE_ORDERS if short or name != "year first"]
    days = {name: [moment.day(_ORDERS[name]) for moment in open_] for name in orders}
    fit = [name for name in orders if all(days[name])]
    fit = [name for name in fit if all(day and 2000 <= day.year < 2070 for day in days[name])] or fit
    header = " ".join(clock.columns)
    stated = [name for pattern, name in _WRITTEN.items() if re.search(pattern, header)]
    fit = [name for name in fit if name in stated] or fit
    if not fit:
        return
    if len(fit) > 1:
        fit = [name for name in fit if _longest_step(clock, _ORDERS[name]) <= _DAY] or fit
    given = clock.mapping.date_order
    if len(fit) > 1 and given in fit:
        fit = [given]
    if len(fit) > 1:
        days_ = [open_[0].day(_ORDERS[name]) for name in fit]
        words = f"which day is {clock.table.rows.cell(0, next(iter(clock.places.values())))}?"
        said = [f"{day.day} {MONTHS[day.month - 1].capitalize()} {day.year}" for day in days_ if day]
        clock.questions.append(Question("date_order", words, tuple(fit), tuple(said)))
        return
    clock.order = _ORDERS[fit[0]]
    clock.notes.append(f"Dates are read {fit[0]}.")


def _longest_step(clock: Clock, order: str) -> float:
    """Longest step between different times in one reading of the dates [s]."""
    times = []
    for moment in clock.moments:
        day = moment.day(order) if moment is not None else None
        if day is not None and moment is not None:
            times.append(day.toordinal() * _DAY + (moment.seconds or 0))
    return float(np.diff(np.sort(times)).max(initial=0)) if len(times) > 1 else 0.0


def _ask_zone(clock: Clock) -> None:
    """Ask for the zone where nothing names one."""
    if clock.zone:
        return
    if clock.plain:
        if "year" in clock.places:
            return
        place = clock.places.get("clock", clock.places.get("time", 0))
        cells = coded([clock.table.rows.cell(row, place) for row in (0, len(clock.table.rows) - 1)])[0]
        clocks = [cell[10:] if "time" in clock.places else cell for cell in cells]
        if all(_ENDS_IN_ZONE.search(text) for text in clocks):
            return
    elif any(moment is not None and moment.ahead is not None for moment in clock.moments):
        named = dict.fromkeys(
            f"{moment.zone} ({offset_name(moment.ahead)})"
            for moment in clock.moments
            if moment and moment.ahead and moment.zone
        )
        if named:
            clock.notes.append(f"Times are in {', '.join(named)}, as their cells say.")
        return
    words = "in which time zone are the times? the file does not say"
    clock.questions.append(Question("time_zone", words, ()))


def _steps(clock: Clock) -> None:
    """Hours after the time of issue, which must be known."""
    place = clock.places["lead"]
    cells, clock.of_row = clock.table.rows.coded(place)
    hours = [_LEAD.fullmatch(cell.strip()) for cell in cells]
    if None in hours:
        wanted = "hours after the issue of the forecast, such as +06: correct it"
        raise clock.refuse(hours.index(None), wanted)
    clock.plain = False
    if clock.issued is None:
        words = "when was the forecast issued, UTC? its times are hours after that and the file does not say"
        clock.questions.append(Question("issued", words, ()))
        return
    start = int(clock.issued.astype(np.int64))
    named = re.split(r"[^a-z]+", clock.table.header[place])
    unit = next((seconds for name, seconds in _LEAD_UNITS.items() if name in named), 3600)
    clock.moments = [_of_seconds(start + round(float(found[1]) * unit), 0) for found in hours if found]
    clock.notes.append(f"Times are hours after the issue of the forecast, {str(clock.issued)[:16]}Z.")


def _year(moment: Moment, near: np.datetime64 | None, order: str) -> int:
    """The year of a date without one: that nearest to the issue of the forecast; 0 where that is not known."""
    if near is None or moment.numbers is None or moment.numbers[-1]:
        return 0
    issued = date.fromisoformat(str(near)[:10])
    days = [(year, moment.day(order, year)) for year in (issued.year - 1, issued.year, issued.year + 1)]
    return min(((abs((day - issued).days), year) for year, day in days if day), default=(0, 0))[1]
