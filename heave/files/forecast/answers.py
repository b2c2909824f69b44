"""What an answer to a question about a forecast file changes in the reading of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from heave.errors import FileError
from heave.files.columns import parse_number
from heave.files.conventions import Question
from heave.files.forecast.mapping import system_words
from heave.files.forecast.questions import MEANT, NO_MORE, NONE_OF_THEM, OF_OTHERS, SAID
from heave.files.forecast.words import is_statistic, unit_in
from heave.planning.columns import SENSES, SYSTEMS, UNITS_OF, UNSURE, ColumnMeaning, ForecastMapping
from heave.planning.zones import zone_of


def answered(mapping: ForecastMapping, answers: Mapping[str, str | None]) -> ForecastMapping:
    """`mapping` with `answers` to the questions about columns, by key, filled in where it says nothing.

    Raises
    ------
    FileError
        For an answer that is not allowed.
    """
    for quantity, (_, key, _, options) in SAID.items():
        allowed = (*options, UNSURE) if quantity == "period" else options
        if answers[key] is not None and answers[key] not in allowed:
            raise FileError(key, answers[key], None, "one of " + ", ".join(allowed))

    def filled(meaning: ColumnMeaning) -> ColumnMeaning:
        name, key, _, _ = SAID.get(meaning.quantity, (None, "", "", ()))
        if name is None or getattr(meaning, name) or answers[key] is None:
            return meaning
        return replace(meaning, **{name: answers[key]})  # type: ignore[arg-type]

    return replace(mapping, columns=tuple(map(filled, mapping.columns)))


def answer(
    mapping: ForecastMapping, question: Question, given: str, *, alone: bool = False
) -> ForecastMapping:
    """`mapping` with the answer to one question; what is said of one column goes for all that are silent alike.

    Parameters
    ----------
    mapping : what is understood so far
    question : the question, but for that about the issue of the forecast, which belongs to one file only
    given : one of its options or of its further answers; a zone or a number where it has none
    alone : what is said of a column goes for no other

    Raises
    ------
    InputError
        For an answer that is not allowed.
    """
    key, _, column = question.key.partition(":")
    allowed = (*question.options, *question.more)
    if allowed and given not in allowed:
        raise FileError(question.key, given, None, "one of " + ", ".join(allowed))
    if key in ("height_unit", "period_kind", "direction_sense"):
        given_to = {name: given if name == key else None for _, name, _, _ in SAID.values()}
        found = answered(mapping, given_to)
        if alone:
            pairs = zip(mapping.columns, found.columns, strict=True)
            kept = tuple(new if new.column == column else old for old, new in pairs)
            found = replace(found, columns=kept)
    elif key == "direction_from":
        found = replace(mapping, direction_from=parse_number(given.strip(), "direction"))
    elif key == "statistic":
        found = _of_statistic(mapping, given)
    elif key == "unknown":
        found = _of_unknown(mapping, column, given)
    elif key == "column":
        found = _of_column(mapping, question, given)
    else:
        if key == "time_zone":
            zone_of(given)
        found = replace(mapping, **{key: given})  # type: ignore[arg-type]
    return found


def _of_unknown(mapping: ForecastMapping, column: str, given: str) -> ForecastMapping:
    """What a column holds whose name is not known, or that none such holds waves."""
    if given.startswith(NONE_OF_THEM):
        return replace(mapping, unknown=())
    if given in OF_OTHERS:
        return _named_by_hand(mapping, column, OF_OTHERS[given], "total")
    what, _, sense = given.partition(": ")
    quantity, _, system = what.partition(" of ")
    system = "total" if system == system_words("total") else system
    said = next((one for one in SENSES if MEANT[one] == sense), None)
    return _named_by_hand(mapping, column, quantity, system, said)


def _of_column(mapping: ForecastMapping, question: Question, given: str) -> ForecastMapping:
    """The column that is picked by hand for the time, a height or a period."""
    if given == NO_MORE:
        return replace(mapping, composition="parts")
    if question.key == "column:time":
        return _named_by_hand(mapping, given, "time", "total")
    quantity = "period" if "period" in question.words else "height"
    named = (name for name in SYSTEMS[1:] if question.words.endswith(f"of {name}?"))
    return _named_by_hand(mapping, given, quantity, next(named, "total"))


def _named_by_hand(
    mapping: ForecastMapping, column: str, quantity: str, system: str, sense: str | None = None
) -> ForecastMapping:
    """A column given a meaning by hand, in place of any other that had it."""
    units = UNITS_OF.get(quantity, ())
    unit = unit_in(column, quantity) if quantity == "height" else units[0] if units else ""
    made = ColumnMeaning(column, quantity, system, unit, sense=sense)
    columns = [
        ColumnMeaning(meaning.column) if meaning.role == made.role else meaning for meaning in mapping.columns
    ]
    columns = [made if meaning.column == column else meaning for meaning in columns]
    unknown = tuple(name for name in mapping.unknown if name != column)
    return replace(mapping, columns=tuple(columns), unknown=unknown)


def _of_statistic(mapping: ForecastMapping, given: str) -> ForecastMapping:
    """The mean, control run or percentile that is taken as the forecast, or none of them."""

    def kept(meaning: ColumnMeaning) -> ColumnMeaning:
        named = meaning.member and (is_statistic(meaning.member) or meaning.member == "control")
        if meaning.quantity == "member" or (named and meaning.member != given):
            return ColumnMeaning(meaning.column)
        return replace(meaning, member="") if named else meaning

    return replace(mapping, columns=tuple(map(kept, mapping.columns)))
