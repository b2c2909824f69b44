"""What the columns of a forecast file mean: a first guess by name, and the questions left to ask."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from heave.errors import FileError
from heave.files.conventions import ConventionNeeded, Question
from heave.files.forecast.names import column_meaning, not_used, rank
from heave.files.forecast.table import forecast_table
from heave.files.tables import Source, Table
from heave.files.times import TIME_SETS
from heave.planning.columns import SENSES, UNITS_OF, WAVES, ColumnMeaning, ForecastMapping
from heave.sea.periods import PERIOD_KINDS

PREVIEW_ROWS = 8
"""Rows shown while columns are mapped."""

Roles = dict[tuple[str, str], ColumnMeaning]
"""The column for each (quantity, wave system); the system of times, members and wind is `total`."""

_PARTITIONS = ("swell 1", "swell 2", "swell 3")
_PARTS = ("wind sea", "swell", *_PARTITIONS)


class ForecastQuestions(ConventionNeeded):
    """The file can be read but not understood: `questions` must be answered first.

    A question's key is an argument of `read_forecast`, followed by the column where it is about one, as in
    `period_kind:wvper`; `column:time` and `column:waves` ask for columns to be mapped by hand. `mapping` is what
    is understood so far.
    """

    def __init__(self, questions: tuple[Question, ...], mapping: ForecastMapping) -> None:
        self.questions = questions
        self.mapping = mapping
        asked = "; ".join(question.words for question in questions)
        FileError.__init__(self, "meaning of the forecast", "not stated", None, f"an answer to: {asked}")


@dataclass(frozen=True)
class Answers:
    """What the person who brings the file says it means, None where nothing is said."""

    period_kind: str | None = None
    height_unit: str | None = None
    direction_sense: str | None = None
    direction_from: float | None = None
    time_zone: str | None = None


@dataclass(frozen=True)
class MappingGuess:
    """A first reading of a file's columns, for the page on which they are mapped by hand."""

    mapping: ForecastMapping
    header: tuple[str, ...]
    preview: tuple[tuple[str, ...], ...]
    """The first rows, as text."""

    questions: tuple[Question, ...]
    """What must be answered before the file can be read; empty where nothing need be."""


def suggest_mapping(source: Source) -> MappingGuess:
    """The meaning of a forecast file's columns by their names, and what is left to ask.

    Parameters
    ----------
    source : a path, or bytes

    Returns
    -------
    MappingGuess, one ColumnMeaning for every column of the file

    Raises
    ------
    FileError
        If the file is no table, or two columns give one quantity equally well.
    """
    table = forecast_table(source)
    mapping = guess(table)
    preview = tuple(table.rows[row].cells for row in range(min(PREVIEW_ROWS, len(table.rows))))
    return MappingGuess(mapping, table.header, preview, questions_about(mapping, table))


def guess(table: Table) -> ForecastMapping:
    """The mapping by names alone: of several columns for one quantity the surest, the others not used."""
    best: Roles = {}
    for header in table.header:
        meaning = column_meaning(header, table.buoy)
        if meaning.quantity == "not used":
            continue
        key = meaning.role
        other = best.get(key)
        if other is not None and rank(other) == rank(meaning):
            allowed = f"one column for the {_named(meaning)}; {other.column} gives it too"
            raise FileError("column", header, None, allowed, line=table.header_line, column=header)
        if other is None or rank(meaning) < rank(other):
            best[key] = meaning
    _clock_beside_date(best, table)
    _full_time_in_date(best, table)
    used = {meaning.column: meaning for meaning in best.values()}
    return ForecastMapping(tuple(used.get(header) or not_used(header) for header in table.header))


def _clock_beside_date(best: Roles, table: Table) -> None:
    """Where there is a date column, a time column without dates in it is the clock."""
    date, time = best.get(("date", "total")), best.get(("time", "total"))
    if date is None or time is None:
        return
    place = table.header.index(time.column)
    if re.match(r"[0-9]{4}-", table.rows.cell(0, place)):
        del best["date", "total"]
    elif ("clock", "total") not in best:
        best["clock", "total"] = replace(best.pop(("time", "total")), quantity="clock")


def _full_time_in_date(best: Roles, table: Table) -> None:
    """A date column by itself that holds times of day as well is the time."""
    date = best.get(("date", "total"))
    if date is None or ("clock", "total") in best or ("time", "total") in best:
        return
    cell = table.rows.cell(0, table.header.index(date.column))
    if re.match(r"[0-9]{4}-[0-9]{2}-[0-9]{2}[Tt ][0-9]{2}", cell):
        best["time", "total"] = replace(best.pop(("date", "total")), quantity="time")


def answered(mapping: ForecastMapping, answers: Answers) -> ForecastMapping:
    """`mapping` with `answers` filled in where it says nothing.

    Raises
    ------
    FileError, InputError
        For an answer that is not allowed.
    """
    if answers == Answers():
        return mapping
    for key, options in (
        ("period_kind", PERIOD_KINDS),
        ("height_unit", UNITS_OF["height"]),
        ("direction_sense", SENSES),
    ):
        answer = getattr(answers, key)
        if answer is not None and answer not in options:
            raise FileError(key, answer, None, "one of " + ", ".join(options))

    def filled(meaning: ColumnMeaning) -> ColumnMeaning:
        if meaning.quantity == "period" and meaning.period_kind is None:
            return replace(meaning, period_kind=answers.period_kind, unit="s")
        if meaning.quantity == "height" and not meaning.unit:
            return replace(meaning, unit=answers.height_unit or "")
        if meaning.quantity == "direction" and meaning.sense is None:
            return replace(meaning, sense=answers.direction_sense, unit="deg")
        return meaning

    direction = mapping.direction_from if answers.direction_from is None else answers.direction_from
    zone = mapping.time_zone if answers.time_zone is None else answers.time_zone
    columns = tuple(filled(meaning) for meaning in mapping.columns)
    return replace(mapping, columns=columns, direction_from=direction, time_zone=zone)


def roles_of(mapping: ForecastMapping, table: Table) -> Roles:
    """The column for each quantity and wave system.

    Raises
    ------
    FileError
        If the mapping names a column the file does not have, or two columns for one quantity.
    """
    header, line = table.header, table.header_line
    roles: Roles = {}
    for meaning in mapping.columns:
        if meaning.quantity == "not used":
            continue
        if meaning.column not in header:
            allowed = "the columns of this file: " + ", ".join(header[:20])
            raise FileError("mapped column", meaning.column, None, allowed, line=line)
        key = meaning.role
        if key in roles:
            allowed = f"one column for the {_named(meaning)}; {roles[key].column} gives it too"
            raise FileError("mapped column", meaning.column, None, allowed, line=line)
        units = UNITS_OF.get(meaning.quantity, ("",))
        if meaning.unit and meaning.unit not in units:
            allowed = "the unit " + " or ".join(units) if units != ("",) else "no unit"
            raise FileError("unit", meaning.unit, None, allowed, line=line, column=meaning.column)
        roles[key] = meaning
    return roles


def time_places(roles: Roles, header: Sequence[str]) -> dict[str, int]:
    """Columns that hold the time, by what they hold; empty where there are none."""
    for names in TIME_SETS:
        if all((name, "total") in roles for name in names):
            extra = ("minute",) if "year" in names and ("minute", "total") in roles else ()
            return {name: header.index(roles[name, "total"].column) for name in (*names, *extra)}
    return {}


def systems_of(roles: Roles) -> tuple[str, ...]:
    """The wave systems the sea is made of: its parts where wind sea and swell are both there, or the total.

    A part is there when it has a height and a period. Of total swell and its partitions the partitions are
    taken, if each is there and they are counted from 1; a partition without a period, or a swell 2 without a
    swell 1, must not drop out of sight. Empty where neither parts nor total make up a sea.
    """
    whole = {name for name in ("total", *_PARTS) if ("height", name) in roles and ("period", name) in roles}
    counted = [name for name in _PARTITIONS if ("height", name) in roles]
    swells: tuple[str, ...] = ()
    if counted == list(_PARTITIONS[: len(counted)]):
        if counted and whole.issuperset(counted):
            swells = tuple(counted)
        elif "swell" in whole:
            swells = ("swell",)
    if "wind sea" in whole and swells:
        return ("wind sea", *swells)
    return ("total",) if "total" in whole else ()


def questions_about(mapping: ForecastMapping, table: Table) -> tuple[Question, ...]:
    """What must be answered before the file can be read by `mapping`."""
    roles = roles_of(mapping, table)
    asked = []
    header = table.header
    if not time_places(roles, header):
        asked.append(Question("column:time", "which column holds the time?", header))
    systems = systems_of(roles)
    if not systems:
        words = "which columns hold height and period of the total sea, or of wind sea and swell?"
        asked.append(Question("column:waves", words, header))
    checked = ("total",) if systems and systems != ("total",) and ("height", "total") in roles else ()
    for system in (*systems, *checked):
        asked += _about_height(roles["height", system])
    for system in systems:
        asked += _about_system(system, roles)
    lacking = [_system_words(system) for system in systems if ("direction", system) not in roles]
    if lacking and mapping.direction_from is None:
        words = f"where do the waves come from ({', '.join(lacking)}), in degrees? the file does not say"
        asked.append(Question("direction_from", words, ()))
    return tuple(asked)


def _about_height(meaning: ColumnMeaning) -> list[Question]:
    if meaning.unit:
        return []
    words = f"in which unit is the height in column {meaning.column}?"
    return [Question(f"height_unit:{meaning.column}", words, UNITS_OF["height"])]


def _about_system(system: str, roles: Roles) -> list[Question]:
    asked = []
    period = roles["period", system]
    if period.period_kind is None:
        words = f"which period is in column {period.column}: Tp peak, Tz (Tm02), T1 (Tm01) or Te (T−1,0)?"
        asked.append(Question(f"period_kind:{period.column}", words, PERIOD_KINDS))
    direction = roles.get(("direction", system))
    if direction is not None and direction.sense is None:
        words = f"does column {direction.column} say where waves come from or go to?"
        asked.append(Question(f"direction_sense:{direction.column}", words, SENSES))
    return asked


def _system_words(system: str) -> str:
    return "the sea" if system == "total" else system


def _named(meaning: ColumnMeaning) -> str:
    of_waves = f" of {_system_words(meaning.system)}" if meaning.quantity in WAVES else ""
    return meaning.quantity + of_waves
