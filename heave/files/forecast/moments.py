"""The time columns of a forecast to UTC: the order of dates by the whole column, the zone, steps from an issue time.

A time is read as a day and a time of day, each different cell of either once: forty years of hours hold 14,610 days
and 24 times of day. An ISO 8601 time is cut into the two; any other that has both in a cell is read as it stands. Where
03/04 could be two days the column decides: a number over 12, or the one order in which its times run on evenly; where
neither does, it is asked. A time without a zone is asked about, unless the header, a line above the table or the
cells name one, which is obeyed and said.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Final

import numpy as np

from heave.arrays import Indices
from heave.errors import FileError
from heave.files.conventions import Question
from heave.files.forecast.clock import ISSUED, MONTHS, Moment, moment_in, offset_name, zone_said
from heave.files.forecast.issue import issue_of
from heave.files.forecast.layout import Sheet
from heave.files.rows import Coded, Integers, Table, joined
from heave.files.tables import on_line
from heave.files.times import ALLOWED, buoy_clock, buoy_day, localised
from heave.planning.columns import DATE_ORDERS, ForecastMapping
from heave.planning.zones import UTC_NAME, zone_of

SECOND: Final = 10**6
_DAY: Final = 86_400
_EPOCH: Final = date(1970, 1, 1).toordinal()
_ISO = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}(?=[Tt ]|$)")
_SERIAL = re.compile(r"[2-7][0-9]{4}(\.[0-9]+)?")
_UNIX = re.compile(r"[0-9]{10}(?:[0-9]{3})?(?:\.0+)?")
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


Moments = tuple[list[Moment | None], Indices]
"""Different cells as moments, None for what is none, and which of them each row has."""


@dataclass
class Clock:
    """What is known of the times of a file before they are read: what is asked, and what the file says."""

    table: Table
    places: dict[str, int]
    mapping: ForecastMapping
    zone: str = ""
    """Of times that carry none; empty where nobody says."""

    says_utc: bool = False
    """Whether the header says that all are UTC."""

    issued: np.datetime64 | None = None
    notes: list[str] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    order: str = "dmy"
    days: Moments = ([], np.zeros(0, dtype=np.intp))
    clocks: Moments = ([], np.zeros(0, dtype=np.intp))
    """Times of day; those of `days` where one cell holds both."""

    def ticks(self, groups: Sequence[str] | None) -> tuple[Integers, tuple[str, ...]]:
        """Microseconds since 1970 of every row, UTC, and what is to be said of them."""
        (days, of_day), (clocks, of_clock) = self.days, self.clocks
        dates = [one and one.day(self.order, _year(one, self.issued, self.order)) for one in days]
        times = [one.seconds if one else None for one in clocks]
        wrong = np.array([one is None for one in dates])[of_day]
        wrong |= np.array([one is None for one in times])[of_clock]
        for row in np.flatnonzero(wrong)[:1]:
            wanted = self._wanted(days[of_day[row]], clocks[of_clock[row]])
            raise self.table.wrong("time", row, wanted, *self.columns)
        bare = np.array([one is not None and one.ahead is None for one in clocks])[of_clock]
        if bare.any() and not bare.all() and not self.says_utc:
            other = self.table.rows.line(np.argmin(bare))
            allowed = f"a zone with every time or with none; line {other} has one: write it with each of them, or in "
            raise self.table.wrong("time", np.argmax(bare), allowed + "the header alone", *self.columns)
        ordinals = np.array([one.toordinal() - _EPOCH for one in dates if one], dtype=np.int64)
        seconds = np.array([one.seconds for one in clocks if one], dtype=np.int64)
        ahead = np.array([60 * (one.ahead or 0) for one in clocks if one], dtype=np.int64)
        clock = (ordinals[of_day] * _DAY + (seconds - ahead)[of_clock]) * SECOND
        with on_line(None):
            zone = zone_of(self.zone or UTC_NAME)
        if not bare.any() or zone is zone_of(UTC_NAME):
            return clock, tuple(self.notes)
        notes = self.notes or [f"Times carry no zone: taken as {self.zone}."]
        return localised(clock, zone, groups, self.table, self.columns), tuple(notes)

    @property
    def columns(self) -> list[str]:
        """Names of the time columns."""
        return [self.table.header[place] for place in self.places.values()]

    def _wanted(self, day: Moment | None, clock: Moment | None) -> str:
        if day is not None and day.numbers and not day.numbers[-1] and self.issued is None:
            return "a date with its year; the file names no issue time to take it from: write the year"
        if day is not None and clock is not None and clock.seconds is None:
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
    clock = Clock(sheet.table, places, mapping)
    header = " ".join(clock.columns)
    _zone(clock, header, sheet.above)
    if places and "lead" not in places:
        _read_cells(clock, sheet.day_zero)
        if sheet.carried:
            _hours_run_on(clock)
        _date_order(clock)
    own = any(moment is not None and moment.order != "ymd" for moment in clock.days[0])
    order = clock.order if own else _ORDERS.get(mapping.date_order or "", "")
    clock.issued, notes = issue_of(sheet, mapping, header, clock.zone, order, issued)
    clock.notes += notes
    if "lead" in places:
        _steps(clock)
    elif places:
        _ask_zone(clock)
    return clock


def _zone(clock: Clock, header: str, above: Sequence[str]) -> None:
    """The zone that the header or a line above names; else the mapping's."""
    said = "UTC" if "year" in clock.places else zone_said(header)
    clock.says_utc = said == UTC_NAME
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


def _read_cells(clock: Clock, day_zero: int) -> None:
    """Every different cell of the time columns as a moment; `day_zero` is 1 January 1970 in day numbers."""
    rows, places = clock.table.rows, list(clock.places.values())
    if "date" in clock.places:
        return _put(clock, *map(rows.coded, places), iso=False)
    if "year" in clock.places:
        columns = [rows.coded(place) for place in places]
        return _put(clock, joined(columns[:3], buoy_day), joined(columns[3:], buoy_clock), iso=True)
    if _ISO.match(rows.cell(0, places[0])):
        return _put(clock, rows.coded(places[0], 0, 10), rows.coded(places[0], 10), iso=True)
    texts, of_row = rows.coded(places[0])
    moments: list[Moment | None]
    if all(_UNIX.fullmatch(text) for text in texts) and not all(_calendar(text) for text in texts):
        unit = "seconds" if len(texts[0]) < 13 else "milliseconds"
        clock.notes.append(f"Times are {unit} since 1970, UTC.")
        moments = [_of_seconds(int(text[:10]), 0) for text in texts]
    elif all(_SERIAL.fullmatch(text) for text in texts):
        clock.notes.append("Times are a spreadsheet's day numbers.")
        moments = [_of_seconds(round((float(text) - day_zero) * 86_400), None) for text in texts]
    else:
        moments = [moment_in(text) for text in texts]
    clock.days = clock.clocks = moments, of_row
    return None


def _put(clock: Clock, days: Coded, clocks: Coded, *, iso: bool) -> None:
    """Days and times of day that stand apart, each as a moment; `iso` days are written in no other way."""

    def day(text: str) -> Moment | None:
        if _ISO.fullmatch(text):
            year, month, number = map(int, text.split("-"))
            return Moment((year, month, number), "ymd")
        found = None if iso else moment_in(text)
        return found if found and found.seconds is None and found.ahead is None else None

    def hour(text: str) -> Moment | None:
        sound = not iso or re.fullmatch(r"[Tt ][^,;]*", text)
        found = moment_in(_hour(text)) if text and sound else None if text else Moment()
        return found if found and found.numbers is None else None

    clock.days = [day(text) for text in days[0]], days[1]
    clock.clocks = [hour(text) for text in clocks[0]], clocks[1]


def _hours_run_on(clock: Clock) -> None:
    """Refuse hours that go back under one date: 00:00 after 18:00 would be of the next day, or of another table."""
    (_, day), (clocks, of_clock) = clock.days, clock.clocks
    seconds = np.array([-1 if moment is None else moment.seconds or 0 for moment in clocks])[of_clock]
    back = np.flatnonzero((np.diff(seconds) < 0) & (np.diff(day) == 0))
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
    """A time of day that is a lone number: hours, or 630 and 0630 as hours and minutes; behind it +02 as +02:00."""
    if re.fullmatch(r"[0-9]{3}", text):
        return text.zfill(4)
    return f"{text}:00" if re.fullmatch(r"[0-9]{1,2}|[Tt ].*[+-][0-9]{2}", text) else text


def _of_seconds(seconds: int, ahead: int | None) -> Moment:
    day = date.fromordinal(_EPOCH + seconds // _DAY) if 0 <= seconds // _DAY < 10**5 else date(1, 1, 1)
    return Moment((day.year, day.month, day.day), "ymd", seconds % _DAY, ahead)


def _date_order(clock: Clock) -> None:
    """Which comes first of day and month: by a number over 12, by times that run on evenly, or as somebody says."""
    open_ = [moment for moment in clock.days[0] if moment is not None and moment.order == "???"]
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
    (days, of_day), (clocks, of_clock) = clock.days, clock.clocks
    dates = [one and one.day(order) for one in days]
    ordinals = np.array([one.toordinal() if one else np.nan for one in dates])[of_day]
    times = ordinals * _DAY + np.array([(one and one.seconds) or 0 for one in clocks])[of_clock]
    return float(np.diff(np.unique(times[~np.isnan(times)])).max(initial=0))


def _ask_zone(clock: Clock) -> None:
    """Ask for the zone where nothing names one."""
    own = [moment for moment in clock.clocks[0] if moment is not None and moment.ahead is not None]
    if not clock.zone and not own:
        words = "in which time zone are the times? the file does not say"
        clock.questions.append(Question("time_zone", words, ()))
    told = dict.fromkeys(
        (moment.zone, offset_name(moment.ahead or 0)) for moment in own if moment.ahead and moment.zone
    )
    if told and not clock.zone:
        named = ", ".join(zone if zone == offset else f"{zone} ({offset})" for zone, offset in told)
        clock.notes.append(f"Times are in {named}, as their cells say.")


def _steps(clock: Clock) -> None:
    """Hours after the time of issue, which must be known."""
    place = clock.places["lead"]
    cells, of_row = clock.table.rows.coded(place)
    hours = [_LEAD.fullmatch(cell.strip()) for cell in cells]
    if None in hours:
        wanted = "hours after the issue of the forecast, such as +06: correct it"
        raise clock.table.wrong("time", np.argmax(of_row == hours.index(None)), wanted, *clock.columns)
    if clock.issued is None:
        words = "when was the forecast issued, UTC? its times are hours after that and the file does not say"
        clock.questions.append(Question("issued", words, ()))
        return
    start = int(clock.issued.astype(np.int64))
    named = re.split(r"[^a-z]+", clock.table.header[place])
    unit = next((seconds for name, seconds in _LEAD_UNITS.items() if name in named), 3600)
    moments = [_of_seconds(start + round(float(found[1]) * unit), 0) for found in hours if found]
    clock.days = clock.clocks = [*moments], of_row
    clock.notes.append(f"Times are hours after the issue of the forecast, {str(clock.issued)[:16]}Z.")


def _year(moment: Moment, near: np.datetime64 | None, order: str) -> int:
    """The year of a date without one: that nearest to the issue of the forecast; 0 where that is not known."""
    if near is None or moment.numbers is None or moment.numbers[-1]:
        return 0
    issued = date.fromisoformat(str(near)[:10])
    days = [(year, moment.day(order, year)) for year in (issued.year - 1, issued.year, issued.year + 1)]
    return min(((abs((day - issued).days), year) for year, day in days if day), default=(0, 0))[1]
