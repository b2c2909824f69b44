"""What the columns of a forecast file mean: a first guess by name, and the questions left to ask."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from heave.errors import FileError
from heave.files.conventions import ConventionNeeded, Question
from heave.files.forecast.names import column_meaning, not_used, rank
from heave.files.forecast.table import forecast_table
from heave.files.tables import Source, Table
from heave.files.times import TIME_SETS
from heave.planning.columns import SENSES, UNITS_OF, WAVES, ColumnMeaning, ForecastMapping
from heave.sea.periods import PERIOD_KINDS

__all__ = ["ForecastQuestions", "MappingGuess", "suggest_mapping"]

PREVIEW_ROWS = 8
"""Rows shown while columns are mapped."""

Roles = dict[tuple[str, str], ColumnMeaning]
"""The column for each (quantity, wave system); the system of times, members and wind is `total`."""

_PARTITIONS = ("swell 1", "swell 2", "swell 3")
_PARTS = ("wind sea", "swell", *_PARTITIONS)

_SAID = {
    "height": (
        "unit",
        Question("height_unit", "in which unit is the height in column {}?", UNITS_OF["height"]),
    ),
    "period": (
        "period_kind",
        Question(
            "period_kind",
            "which period is in column {}: Tp peak, Tz (Tm02), T1 (Tm01) or Te (T−1,0)?",
            PERIOD_KINDS,
        ),
    ),
    "direction": (
        "sense",
        Question("direction_sense", "does column {} say where waves come from or go to?", SENSES),
    ),
}
"""What must be known of the column of a quantity: the field of its meaning, and how it is asked for."""


class ForecastQuestions(ConventionNeeded):
    """The file can be read but not understood: `questions` must be answered first.

    A question's key is an argument of `read_forecast`, followed by the column where it is about one, as in
    `period_kind:wvper`; `column:time` and `column:waves` ask for columns to be mapped by hand. `mapping` is what
    is understood so far.
    """

    about = "meaning of the forecast"

    def __init__(self, questions: tuple[Question, ...], mapping: ForecastMapping) -> None:
        super().__init__(questions)
        self.mapping = mapping


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
            raise table.refuse("column", header, allowed, header)
        if other is None or rank(meaning) < rank(other):
            best[key] = meaning
    _tell_dates_from_times(best, table)
    used = {meaning.column: meaning for meaning in best.values()}
    return ForecastMapping(tuple(used.get(header) or not_used(header) for header in table.header))


def _tell_dates_from_times(best: Roles, table: Table) -> None:
    """Beside a date a time without dates in it is the clock; a date alone, with times of day in it, is the time."""
    date, time, clock = (best.get((name, "total")) for name in ("date", "time", "clock"))
    if date is None:
        return
    first = table.rows[0].cells
    if time is None:
        cell = first[table.header.index(date.column)]
        if clock is None and re.match(r"[0-9]{4}-[0-9]{2}-[0-9]{2}[Tt ][0-9]{2}", cell):
            best["time", "total"] = replace(best.pop(date.role), quantity="time")
    elif re.match(r"[0-9]{4}-", first[table.header.index(time.column)]):
        del best[date.role]
    elif clock is None:
        best["clock", "total"] = replace(best.pop(time.role), quantity="clock")


def answered(mapping: ForecastMapping, answers: Mapping[str, str | None]) -> ForecastMapping:
    """`mapping` with `answers` to the questions about columns, by key, filled in where it says nothing.

    Raises
    ------
    FileError
        For an answer that is not allowed.
    """
    for _, question in _SAID.values():
        answer = answers[question.key]
        if answer is not None and answer not in question.options:
            raise FileError(question.key, answer, None, "one of " + ", ".join(question.options))

    def filled(meaning: ColumnMeaning) -> ColumnMeaning:
        name, question = _SAID.get(meaning.quantity, (None, None))
        if question is None or name is None or getattr(meaning, name) or answers[question.key] is None:
            return meaning
        change: dict[str, Any] = {name: answers[question.key]}
        return replace(meaning, **change)

    return replace(mapping, columns=tuple(map(filled, mapping.columns)))


def roles_of(mapping: ForecastMapping, table: Table) -> Roles:
    """The column for each quantity and wave system.

    Raises
    ------
    FileError
        If the mapping names a column the file does not have, or two columns for one quantity.
    """
    roles: Roles = {}
    for meaning in mapping.columns:
        if meaning.quantity == "not used":
            continue
        if meaning.column not in table.header:
            allowed = "the columns of this file: " + ", ".join(table.header[:20])
            raise table.refuse("mapped column", meaning.column, allowed)
        if meaning.role in roles:
            allowed = f"one column for the {_named(meaning)}; {roles[meaning.role].column} gives it too"
            raise table.refuse("mapped column", meaning.column, allowed)
        units = UNITS_OF.get(meaning.quantity, ())
        if meaning.unit and meaning.unit not in units:
            allowed = "the unit " + " or ".join(units) if units else "no unit"
            raise table.refuse("unit", meaning.unit, allowed, meaning.column)
        roles[meaning.role] = meaning
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
    none_left_out = counted == list(_PARTITIONS[: len(counted)])
    swells = counted if counted and whole.issuperset(counted) else ["swell"]
    if none_left_out and whole.issuperset(["wind sea", *swells]):
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
        asked += _unsaid(roles["height", system])
    for system in systems:
        asked += _unsaid(roles["period", system]) + _unsaid(roles.get(("direction", system)))
    lacking = [_system_words(system) for system in systems if ("direction", system) not in roles]
    if lacking and mapping.direction_from is None:
        words = f"where do the waves come from ({', '.join(lacking)}), in degrees? the file does not say"
        asked.append(Question("direction_from", words, ()))
    return tuple(asked)


def _unsaid(meaning: ColumnMeaning | None) -> list[Question]:
    """The question about a column, if what must be known of it is not."""
    if meaning is None:
        return []
    name, question = _SAID[meaning.quantity]
    key, words = f"{question.key}:{meaning.column}", question.words.format(meaning.column)
    return [] if getattr(meaning, name) else [Question(key, words, question.options)]


def _system_words(system: str) -> str:
    return "the sea" if system == "total" else system


def _named(meaning: ColumnMeaning) -> str:
    of_waves = f" of {_system_words(meaning.system)}" if meaning.quantity in WAVES else ""
    return meaning.quantity + of_waves
