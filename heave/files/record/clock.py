"""When each value of a heave record was taken: seconds, clock times with parts of a second, or a stated rate."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Final

import numpy as np

from heave.arrays import FloatArray, Indices
from heave.errors import FileError
from heave.files.forecast.clock import Moment, zone_said
from heave.files.forecast.fixed import NUMBER
from heave.files.record.layout import RecordSheet, clock_in
from heave.files.record.questions import NO_COLUMN, Answers, ask_rate, ask_time, ask_time_unit, asked, given
from heave.files.record.words import TIME, meaning_of
from heave.files.rows import coded

STEP_RANGE: Final = (0.01, 2.0)
"""Shortest and longest step of a record [s]; two seconds still give ten samples a swell."""

_DAY: Final = 86400.0
_LATEST: Final = 1e13
"""Most that a number of time may be: milliseconds since 1970 are 2e12."""

_SHARED: Final = 0.25
"""Share of the values with the stamp of the one before from which stamps are taken to be coarser than the rate."""

_AGREE: Final = 0.02
"""Share by which a stated rate may differ from the times."""


@dataclass(frozen=True)
class Times:
    """Seconds from the first value (n,) [s], its clock time where date and zone are known, and notes."""

    seconds: FloatArray
    start: datetime | None
    notes: tuple[str, ...]


def time_columns(sheet: RecordSheet, answers: Answers, apart: str) -> tuple[str, ...]:
    """Which columns hold the time: one, or a date and a time of day; none where no column does.

    Parameters
    ----------
    sheet : the file
    answers : what was answered
    apart : the column of the motion, which is none of them

    Raises
    ------
    RecordQuestions
        Where more than one may.
    """
    header = sheet.table.header
    named = [name for name in header if name != apart and meaning_of(name).kind in ("time", "sample")]
    if not named and "rate" not in answers:
        named = [name for name in header if name != apart and _may_be_time(sheet, name)]
        if not named:
            return ()
        said = asked(answers, ask_time(named, [first_cells(sheet, name) for name in named], False))
        return () if said == NO_COLUMN else (said,)
    words = [name for name in named if not holds_numbers(sheet, name)]
    numbers = [name for name in named if name not in words and meaning_of(name).kind == "time"]
    counts = [name for name in named if meaning_of(name).kind == "sample" and name not in words]
    choices = [words] if words and _one_time(sheet, words) else [[name] for name in words]
    choices += [[name] for name in numbers]
    choices = choices or [[name] for name in counts[:1]]
    if len(choices) <= 1:
        return tuple(choices[0]) if choices else ()
    firsts = [first_cells(sheet, names[0]) for names in choices]
    question = ask_time([" and ".join(names) for names in choices], firsts, True)
    said = asked(answers, question)
    if said == NO_COLUMN:
        return ()
    return (said,) if said in header else tuple(said.split(" and "))


def holds_numbers(sheet: RecordSheet, name: str) -> bool:
    """Whether the first cells of a column are numbers."""
    cells = sheet.table.cells(name, 20)
    found = [cell for cell in cells if NUMBER.fullmatch(cell)]
    if name == "time_utc":  # of our own format: words, whatever they look like
        return False
    return 2 * len(found) > len([cell for cell in cells if cell]) > 0


def first_cells(sheet: RecordSheet, name: str) -> str:
    """The first three cells of a column in words."""
    return ", ".join(sheet.table.cells(name, 3))


def _may_be_time(sheet: RecordSheet, name: str) -> bool:
    """Whether a column whose name says nothing could hold the time: it is a clock's, or its numbers only grow."""
    if meaning_of(name).kind != "unknown":
        return False
    cells = [cell.replace(",", ".") for cell in sheet.table.cells(name, 50)]
    try:
        numbers = np.array(list(map(float, cells)))
    except ValueError:
        return all(clock_in(cell) for cell in cells if cell)
    return bool(len(numbers) > 2 and np.all(np.isfinite(numbers)) and np.all(np.diff(numbers) > 0))


def _one_time(sheet: RecordSheet, names: Sequence[str]) -> bool:
    """Whether columns of words are one date and one time of day."""
    if len(names) != 2:
        return len(names) == 1
    firsts = [clock_in(sheet.table.cells(name, 1)[0]) for name in names]
    return sum(first is not None and first[0].numbers is not None for first in firsts) == 1


def times_of(
    sheet: RecordSheet,
    columns: tuple[str, ...],
    numbers: FloatArray | None,
    answers: Answers,
    rate: float | None,
) -> Times:
    """The time of every value.

    Parameters
    ----------
    sheet : the file
    columns : those of time
    numbers : of the column of time, where it holds numbers and no words, (n,)
    answers : what was answered
    rate : values a second that the words above state [Hz]

    Raises
    ------
    RecordQuestions
        Where the file does not say when they were.
    """
    count = len(sheet.table.rows)
    if not columns:
        return _at_rate(count, answers, rate, "the file has no column of time")
    if numbers is None:
        return _shared(_of_words(sheet, columns), answers, rate, sheet)
    name = columns[0]
    for row in np.flatnonzero(~(np.abs(numbers) <= _LATEST))[:1]:
        allowed = "a number of seconds since the first value, or since 1970: correct it"
        raise sheet.table.wrong("time", row, allowed, name)
    unit = meaning_of(name).unit
    if unit is None or unit == "utc":
        unit = _unit_of(sheet, name, numbers, answers)
    if unit == "sample":
        _whole(sheet, name, numbers)
        told = _at_rate(count, answers, rate, f"column {name} counts them")
        step = told.seconds[1] if count > 1 else 1.0
        return Times((numbers - numbers[0]) * step, None, told.notes)
    seconds = (numbers - numbers[0]) * TIME.units[unit].factor
    return _shared(Times(seconds, None, ("The file gives no clock time.",)), answers, rate, sheet)


def _unit_of(sheet: RecordSheet, name: str, numbers: FloatArray, answers: Answers) -> str:
    """The unit of a column of time by what its steps can be; asked where they can be more than one thing."""
    steps = np.diff(numbers)
    rising = steps[steps > 0]
    usual = float(np.median(rising)) if rising.size else 0.0
    low, high = STEP_RANGE
    steps_in = {name: usual * unit.factor for name, unit in TIME.units.items()}
    options = {name: step for name, step in steps_in.items() if low <= step <= high}
    if meaning_of(name).kind == "sample":
        options = {"sample": 0.0}
    elif np.all(numbers == np.round(numbers)) and usual == 1.0:
        options["sample"] = 0.0
    if not options:
        line = sheet.table.rows.line(0)
        allowed = (
            f"steps of {low:g} to {high:g}\u00a0s, or of 1 for a running number: say its unit in the name"
        )
        raise FileError("time between values", usual, None, allowed, line=line, column=name)
    question = ask_time_unit(name, options)
    if len(options) == 1 and given(answers, question) is None:
        return next(iter(options))
    return asked(answers, question)


def _whole(sheet: RecordSheet, name: str, numbers: FloatArray) -> None:
    for row in np.flatnonzero(numbers != np.round(numbers))[:1]:
        raise sheet.table.wrong("time", row, "a whole number, as it counts the values: correct it", name)


def _at_rate(count: int, answers: Answers, rate: float | None, why: str) -> Times:
    """Times at an even rate, as the file states it or as it was answered."""
    question = ask_rate(None, f"{why}, and nothing above it states the rate")
    used = rate if rate is not None else float(asked(answers, question))
    if not 1 / STEP_RANGE[1] <= used <= 1 / STEP_RANGE[0]:
        allowed = f"from {1 / STEP_RANGE[1]:g} to {1 / STEP_RANGE[0]:g}: correct it"
        raise FileError("values a second", used, "Hz", allowed, line=1)
    where = "as the file states" if rate is not None else "as it was answered"
    notes = (f"{used:g} values a second, {where}; {why}.", "The file gives no clock time.")
    return Times(np.arange(count) / used, None, notes)


def _shared(times: Times, answers: Answers, rate: float | None, sheet: RecordSheet) -> Times:
    """Times as they stand, or even ones where many values share a stamp: the clock is coarser than the rate."""
    steps = np.diff(times.seconds)
    same = float(np.mean(steps == 0.0)) if steps.size else 0.0
    if same < _SHARED or np.any(steps < 0) or times.seconds[-1] <= 0:
        _check_rate(times.seconds, rate, sheet)
        return times
    changes = np.flatnonzero(steps > 0) + 1
    each = np.diff(changes)
    if each.size and each.min() == each.max() == 2 and all(_pairs(sheet, changes)):
        line = sheet.table.rows.line(changes[0])
        raise FileError("time", "twice each", None, "each time once: keep the last of them", line=line)
    ends = changes[[0, -1]]
    mean = np.diff(ends)[0] / np.diff(times.seconds[ends])[0] if each.size else 1.0
    why = "values share their times, as the clock is coarser than the rate"
    question = ask_rate(float(f"{mean:.4g}"), why)
    said = f"{rate:g}" if rate is not None else asked(answers, question)
    if each.size and abs(float(said) / mean - 1) > _AGREE:
        allowed = f"about {mean:.4g}, as the times have it: correct it"
        raise FileError("values a second", said, "Hz", allowed, line=sheet.table.rows.line(0))
    if each.size and each.max() - each.min() > max(2.0, 0.1 * each.max()):
        line = sheet.table.rows.line(changes[int(np.argmin(each))])
        allowed = (
            f"as many values at every time, about {np.median(each):g}: the record has gaps, ask for it whole"
        )
        raise FileError("values that share a time", int(each.min()), None, allowed, line=line)
    note = f"Values share their times: brought to {said} values a second, evenly."
    return Times(np.arange(len(times.seconds)) / float(said), times.start, (*times.notes, note))


def _pairs(sheet: RecordSheet, changes: np.ndarray) -> list[bool]:
    """Whether the rows that share a time are written twice, cell by cell."""
    rows = sheet.table.rows
    first = [place for place in changes[:200].tolist() if place + 1 < len(rows)]
    return [rows[place].cells == rows[place + 1].cells for place in first]


def _check_rate(seconds: FloatArray, rate: float | None, sheet: RecordSheet) -> None:
    """Refuse a file whose words state another rate than its times."""
    steps = np.diff(seconds)
    usual = float(np.median(steps[steps > 0])) if np.any(steps > 0) else 0.0
    if rate is not None and usual > 0 and abs(usual * rate - 1) > _AGREE:
        found, line = float(f"{1 / usual:.4g}"), sheet.table.rows.line(0)
        allowed = f"{rate:g}, as the words above the table state: correct one of the two"
        raise FileError("values a second", found, "Hz", allowed, line=line)


def _of_words(sheet: RecordSheet, names: tuple[str, ...]) -> Times:
    """Seconds and start of clock times; without a date midnight is passed where the clock begins anew."""
    cells = [" ".join(parts) for parts in zip(*map(sheet.table.cells, names), strict=True)]
    texts, of_row = coded(cells)
    moments, parts = [], []
    for code, text in enumerate(texts):
        found = clock_in(text)
        if found is None or found[0].seconds is None:
            allowed = "a time such as 2026-03-04T06:00:00.5Z or 06:00:00.5: correct it"
            raise sheet.table.wrong("time", np.argmax(of_row == code), allowed, names[-1])
        moments.append(found[0])
        parts.append((found[0].seconds or 0) - 60.0 * (found[0].ahead or 0) + found[1])
    clock, days = np.array(parts)[of_row], _days(moments, of_row, sheet, names)
    for code, moment in enumerate(moments):
        if moment.ahead != moments[0].ahead:
            row = np.argmax(of_row == code)
            raise sheet.table.wrong("time", row, "one zone throughout: correct it", names[-1])
    if days is None:
        turns = np.concatenate(([0.0], np.cumsum(np.diff(clock) < -_DAY / 2)))
        note = "The file gives no date that reads in one way: the clock time of the first value is not kept."
        return Times(clock - clock[0] + _DAY * turns, None, (note,))
    ordinals = np.array([day.toordinal() for day in days], dtype=np.float64)[of_row]
    seconds = clock - clock[0] + _DAY * (ordinals - ordinals[0])
    if moments[0].ahead is None and zone_said(" ".join(names)) != "UTC":
        return Times(seconds, None, ("Times carry no zone: the clock time of the first value is not kept.",))
    midnight = datetime(days[0].year, days[0].month, days[0].day, tzinfo=UTC)
    return Times(seconds, midnight + timedelta(seconds=float(clock[0])), ())


def _days(
    moments: Sequence[Moment], of_row: Indices, sheet: RecordSheet, names: tuple[str, ...]
) -> list[date] | None:
    """The date of every different time; None where there is none, or where day and month may change places."""
    if all(moment.numbers is None for moment in moments):
        return None
    days = []
    for code, moment in enumerate(moments):
        days.append(moment.day(moment.order) if moment.order != "???" else None)
        wrong = ""
        if (moment.numbers is None) != (moments[0].numbers is None):
            wrong = "a date with every time or with none: correct it"
        elif moment.numbers is not None and moment.order != "???" and days[-1] is None:
            wrong = "a date there is, with its year: correct it"
        if wrong:
            raise sheet.table.wrong("time", np.argmax(of_row == code), wrong, names[0])
    known = [day for day in days if day is not None]
    if len(known) == len(days):
        return known
    seconds = np.array([moment.seconds for moment in moments])[of_row]
    turns = np.count_nonzero(np.diff(seconds) < -_DAY / 2)
    if len({moment.numbers for moment in moments}) - 1 != turns:
        allowed = "dates that change as midnight passes: write them as 2026-03-04"
        raise sheet.table.wrong("time", 0, allowed, names[0])
    return None
