"""What a forecast file leaves open: the questions, in the order they are put."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from typing import Final

import numpy as np

from heave.files.conventions import ConventionNeeded, Question
from heave.files.forecast.compose import Composition, composition_of
from heave.files.forecast.layout import Sheet
from heave.files.forecast.mapping import (
    Roles,
    about_beside,
    could_be,
    guess,
    holds,
    members_in,
    roles_of,
    runs_in,
    system_words,
    time_places,
)
from heave.files.forecast.moments import Clock, time_of
from heave.files.forecast.names import column_meaning
from heave.files.forecast.table import forecast_numbers, forecast_sheet
from heave.files.forecast.turned import placed
from heave.files.forecast.words import direction_in, is_statistic
from heave.files.tables import Source
from heave.planning.columns import (
    REST_PERIODS,
    SENSES,
    SYSTEMS,
    UNITS_OF,
    UNSURE,
    ColumnMeaning,
    ForecastMapping,
)
from heave.sea.periods import PERIOD_KINDS
from heave.units import significant, unit_written, with_unit

PREVIEW_ROWS = 8
"""Rows shown while columns are mapped."""

NONE_OF_THEM: Final = "none of them"
NO_MORE: Final = "there is no more"
YES: Final = "take it as the forecast"
NO: Final = "leave it out"

SAID: Final = {
    "height": ("unit", "height_unit", "in which unit is the height in column {}?", UNITS_OF["height"]),
    "period": (
        "period_kind",
        "period_kind",
        "which period is in column {}: Tp peak, Tz (Tm02), T1 (Tm01) or Te (T−1,0)?",
        PERIOD_KINDS,
    ),
    "direction": ("sense", "direction_sense", "does column {} say where waves come from or go to?", SENSES),
}
"""What must be known of the column of a quantity: the field of its meaning, key and words it is asked by, answers."""

MEANT: Final = {
    "Tp": "peak period",
    "Tz": "mean zero-crossing period, Tm02",
    "T1": "mean period, Tm01",
    "Te": "energy period, T−1,0",
    "from": "where waves come from",
    "to": "where waves go to",
}


OF_OTHERS: Final = {
    "direction of the wind": "wind direction",
    "direction of the current": "current direction",
}
"""What else a direction may be of, in the words of an answer."""


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
class Understood:
    """A file and what is known of it; nothing is left to ask where `questions` is empty."""

    sheet: Sheet
    mapping: ForecastMapping
    roles: Roles
    made: Composition
    clock: Clock
    questions: tuple[Question, ...]

    @property
    def header(self) -> tuple[str, ...]:
        """Names of the columns."""
        return self.sheet.table.header

    @property
    def preview(self) -> tuple[tuple[str, ...], ...]:
        """The first rows, as text."""
        rows = self.sheet.table.rows
        return tuple(rows[row].cells for row in range(min(PREVIEW_ROWS, len(rows))))


def suggest_mapping(source: Source, mapping: ForecastMapping | None = None) -> Understood:
    """The meaning of a forecast file's columns by their names or by `mapping`, and what is left to ask.

    Parameters
    ----------
    source : a path, or bytes
    mapping : what is understood so far; None takes the names

    Returns
    -------
    Understood, one ColumnMeaning for every column of the file

    Raises
    ------
    FileError
        If the file is no table, or two columns give one quantity equally well.
    """
    sheet = forecast_sheet(source)
    with placed(sheet.hours):
        return understood(sheet, guess(sheet) if mapping is None else mapping)


def understood(sheet: Sheet, mapping: ForecastMapping, issued: str | None = None) -> Understood:
    """What is known of a file by `mapping`, and what must be asked before it can be read."""
    table = sheet.table
    roles = roles_of(mapping, table)
    made = composition_of(roles, mapping)
    places = time_places(roles, table.header)
    asked: list[Question] = []
    if not places:
        times = [header for place, header in enumerate(table.header) if holds(table, place) == "times"]
        asked.append(Question("column:time", "which column holds the time?", table.header, more=tuple(times)))
    if not made.systems and made.question is None:
        asked.append(_ask_waves(sheet, roles, mapping))
    if mapping.unknown and places and (made.systems or made.question):
        asked.append(_ask_unknown(sheet, roles, mapping))
    asked += _ask_statistic(sheet, roles, mapping)
    asked += _ask_columns(sheet, roles, made)
    if made.question is not None:
        asked.append(made.question)
    if made.rest:
        asked += _ask_rest(sheet, roles, made, mapping)
    clock = time_of(sheet, places, mapping, issued)
    asked += clock.questions
    lacking = [name for name in made.systems if ("direction", name) not in roles]
    if made.rest and ("direction", made.rest) not in roles and ("direction", "total") not in roles:
        lacking.append(made.rest)
    if lacking and mapping.direction_from is None:
        names = ", ".join(map(system_words, lacking))
        words = f"where do the waves come from ({names}), in degrees? the file does not say"
        asked.append(Question("direction_from", words, ()))
    return Understood(sheet, mapping, roles, made, clock, tuple(asked))


def _ask_waves(sheet: Sheet, roles: Roles, mapping: ForecastMapping) -> Question:
    """Which column holds the next thing the sea lacks: the height of the total, or its period."""
    header = sheet.table.header
    high = [name for name in SYSTEMS if ("height", name) in roles]
    lacking = [name for name in high if ("period", name) not in roles]
    used = {meaning.column for meaning in roles.values()}
    highest = [meaning.column for meaning in mapping.columns if meaning.quantity == "other height"]

    def free(quantity: str) -> tuple[str, ...]:
        return tuple(
            name
            for place, name in enumerate(header)
            if name not in used and name not in highest and could_be(sheet.table, place, quantity)
        )

    if not high and highest and not free("height"):
        allowed = "a column of significant wave height, Hs; the highest or average is not: ask the forecaster for Hs"
        raise sheet.table.refuse("wave height", ", ".join(highest), allowed, highest[0])
    if not high and not any(_may_be_height(sheet, place, roles) for place in range(len(header))):
        allowed = "a column of numbers that can be wave heights, one row a time, names above the columns: ask for one"
        raise sheet.table.refuse("columns of waves", "none", allowed)
    if not high:
        words, more = "which column holds the significant wave height (Hs)?", free("height")
        if highest:
            words += f" {', '.join(highest)} is the highest or average wave, which is not Hs"
    elif lacking:
        words, more = f"which column holds the period of {system_words(lacking[0])}?", free("period")
    else:
        words = f"the file has {', '.join(high)} alone: which column holds the rest of the sea?"
        more = (*free("height"), NO_MORE)
    return Question("column:waves", words, header, more=more)


def _may_be_height(sheet: Sheet, place: int, roles: Roles) -> bool:
    """Whether a column that is not used, or used as a period, could hold heights."""
    name = sheet.table.header[place]
    quantity = next((meaning.quantity for meaning in roles.values() if meaning.column == name), "period")
    return quantity == "period" and could_be(sheet.table, place, "height")


def _ask_unknown(sheet: Sheet, roles: Roles, mapping: ForecastMapping) -> Question:
    """What the first column holds whose name says nothing: what its numbers could be and no other column gives."""
    column = mapping.unknown[0]
    place = sheet.table.header.index(column)
    high = [name for name in SYSTEMS if ("height", name) in roles]
    taken = {quantity for quantity, _ in roles}
    about = {about_beside(one.column, one.quantity) for one in mapping.columns if one.column != column}
    by_name = column_meaning(column, sheet.table.buoy)
    of_what = by_name is not None and by_name.quantity == "direction"
    found: list[str] = []
    if of_what or direction_in(column) or could_be(sheet.table, place, "direction"):
        free = [name for name in high if ("direction", name) not in roles]
        found += [f"direction of {system_words(name)}: {MEANT[sense]}" for name in free for sense in SENSES]
        others = [
            words for words, of in OF_OTHERS.items() if of not in taken and of.split()[0] in {"wind"} | about
        ]
        beside = sorted(others, key=lambda words: OF_OTHERS[words].split()[0] not in about)
        found = beside + found if of_what and about - {""} else found + beside
    else:
        for quantity in ("height", "period"):
            if could_be(sheet.table, place, quantity):
                free = [name for name in SYSTEMS if (quantity, name) not in roles and name != "total"]
                free = free if quantity == "height" else [name for name in free if name in high]
                found += [f"{quantity} of {system_words(name)}" for name in free]
    nor = f" (nor {', '.join(mapping.unknown[1:])})" if len(mapping.unknown) > 1 else ""
    words = f"what is in column {column}, whose name is not known?"
    if of_what:
        silent = "neither its name nor its place in the table says"
        words = f"of what is the direction in column {column}? {silent}"
    shown = sheet.table.rows.cell(0, place)
    said = tuple(f"{option}: {shown}" for option in found)
    none = f"{NONE_OF_THEM}: {column}{nor} holds no waves"
    return Question(f"unknown:{column}", words, tuple(found), said, more=(none,))


def _ask_statistic(sheet: Sheet, roles: Roles, mapping: ForecastMapping) -> list[Question]:
    """Whether a mean, a control run or a percentile that stands alone is to be taken as the forecast."""
    named = [name for name in members_in(mapping) if is_statistic(name) or name == "control"]
    runs = [name for name in runs_in(mapping) if name != "control"]
    asked = []
    plain = any(not meaning.member for meaning in mapping.columns if meaning.role == ("height", "total"))
    if named and not runs and not plain:
        columns = [meaning.column for meaning in mapping.columns if meaning.member in named]
        words = f"column {', '.join(columns)} is the {' or the '.join(named)} of an ensemble, not one forecast: use it?"
        said = tuple(f"the {name}: {YES}" for name in named)
        asked.append(Question("statistic", words, tuple(named), said, more=(NO,)))
    member = roles.get(("member", "total"))
    if member is not None:
        cells = dict.fromkeys(sheet.table.cells(member.column))
        if len(cells) == 1 and (is_statistic(cell := next(iter(cells))) or cell.lower() == "control"):
            words = f"the file holds the {cell} of an ensemble only, not one forecast: use it?"
            asked.append(Question("statistic", words, (cell,), (f"the {cell}: {YES}",), more=()))
    return asked


def _ask_columns(sheet: Sheet, roles: Roles, made: Composition) -> list[Question]:
    """Units, kinds of period and senses of direction that the names of used columns do not say."""
    systems = made.systems or (("total",) if made.question else ())
    high = [*systems, *(("total",) if systems else ()), *(("swell",) if made.checks_swell else ())]
    used = [roles.get(("height", system)) for system in high]
    pairs = [(quantity, system) for system in made.systems for quantity in ("period", "direction")]
    used += [roles.get(pair) for pair in pairs]
    if made.rest:
        used += [roles.get((of, made.rest)) or roles.get((of, "total")) for of in ("period", "direction")]
    asked = [question for meaning in used for question in _unsaid(sheet, meaning)]
    return list({question.key: question for question in asked}.values())


def _unsaid(sheet: Sheet, meaning: ColumnMeaning | None) -> list[Question]:
    """The question about a column, if what must be known of it is not."""
    if meaning is None:
        return []
    name, key, words, options = SAID[meaning.quantity]
    if getattr(meaning, name):
        return []
    more = (UNSURE,) if meaning.quantity == "period" else ()
    said = tuple(_preview(sheet, meaning, option) for option in options)
    return [Question(f"{key}:{meaning.column}", words.format(meaning.column), options, said, more)]


def _preview(sheet: Sheet, meaning: ColumnMeaning, option: str) -> str:
    """What an option would mean for the first cells of a column."""
    cells = sheet.table.cells(meaning.column, 3)
    shown = ", ".join(cell for cell in cells if cell)
    if meaning.quantity != "height":
        return f"{MEANT[option]}: {shown}"
    unit = unit_written(option)
    numbers = []
    for cell in cells:
        with suppress(ValueError):
            numbers.append(significant(float(cell.replace(",", ".")) * (unit.factor if unit else 1.0)))
    return with_unit(shown, option) + (f" = {', '.join(numbers)}\u00a0m" if option != "m" and numbers else "")


def _ask_rest(sheet: Sheet, roles: Roles, made: Composition, mapping: ForecastMapping) -> list[Question]:
    """The period of what the total holds beyond its parts, where neither a column nor the total's own can give it."""
    if ("period", made.rest) in roles or mapping.rest_period is not None:
        return []
    total = roles.get(("period", "total"))
    kind = {roles["period", name].period_kind for name in made.systems}
    if total is not None and kind == {total.period_kind}:
        meanings = [total, *(roles["period", name] for name in made.systems)]
        numbers, _ = forecast_numbers(sheet.table, meanings)
        own = numbers[total.column]
        others = np.array([numbers[meaning.column] for meaning in meanings[1:]])
        others = np.where(others > 0.0, others, np.nan)
        with np.errstate(invalid="ignore"):
            beyond = own[None, :] >= others if made.rest == "wind sea" else own[None, :] <= others
        if not beyond.any():
            return []
    names = ", ".join(made.systems)
    words = f"the total holds more than {names}: which peak period has the rest, a {made.rest}? the file does not say"
    meant = ("that of the total", "that of a fully developed wind sea, 6.6 Hs^⅓ (Torsethaugen)")
    first = 0 if total is not None else 1  # without a total's period there is none to take
    return [Question("rest_period", words, REST_PERIODS[first:], meant[first:])]
