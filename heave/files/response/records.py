"""The numbers of a response file, each with its motion, heading and frequency, whatever the layout was."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Final, NamedTuple

from heave.errors import FileError
from heave.files.response.blocks import Block, Content, heading_in, number_in
from heave.files.response.words import (
    Context,
    Meaning,
    column_meaning,
    context_of,
    unread_unit,
    with_neighbours,
)
from heave.files.rows import Row
from heave.vessel import ResponseConventions

FREQUENCY, HEADING, NOT_USED = "period or frequency", "heading", "not used"

SAME: Final = 5e-3
"""Share of the largest value by which two values of one place may differ: that of rounding."""

_ALIKE: Final = 0.01
"""Share by which a period and a frequency in one row may differ."""

Place = tuple[float, float]
"""Heading as the file has it [deg] and angular frequency [rad/s]."""


class Value(NamedTuple):
    """A number of the file, None where it is blank, and where it stands."""

    number: float | None
    line: int
    column: str


@dataclass
class Records:
    """What a file gives: its values by what they hold and place, their units, and what its names leave open."""

    values: dict[str, dict[Place, Value]] = field(default_factory=dict)
    units: dict[str, set[str | None]] = field(default_factory=dict)
    unknown: dict[str, str] = field(default_factory=dict)
    """Names of columns that do not tell what they hold, and how each begins."""

    silent: bool = False
    """Whether a column of periods or frequencies does not say its unit."""

    layout: list[str] = field(default_factory=list)
    unused: list[str] = field(default_factory=list)


def records_of(content: Content, given: ResponseConventions) -> Records:
    """The values of all blocks, as far as `given` and the names tell what they are.

    Raises
    ------
    FileError
        With line and column for a value that does not belong, or one given twice and differently.
    """
    answered = ResponseConventions(frequency=given.frequency, columns=given.columns)
    return _records_of(content, answered)


@lru_cache(maxsize=2)
def _records_of(content: Content, given: ResponseConventions) -> Records:
    """The same, kept while a file is read again for answers that do not change it."""
    found = Records()
    context, sheet = Context(), None
    for block in content.blocks:
        if block.sheet != sheet:
            context, sheet = context_of([block.sheet], Context()), block.sheet
        context = context_of(block.words, context)
        labels, meanings = _meanings(block, context, given)
        found.layout += [label for label in labels if label not in found.layout]
        for place, (label, meaning) in enumerate(zip(labels, meanings, strict=True)):
            if meaning.holds is None:
                firsts = block.rows[:3]
                found.unknown.setdefault(label, ", ".join(row.cells[place] for row in firsts))
            if meaning.holds == NOT_USED and label not in found.unused:
                found.unused.append(label)
        if not found.unknown:
            _take(found, block, labels, meanings, given)
    return found


def _meanings(block: Block, context: Context, given: ResponseConventions) -> tuple[list[str], list[Meaning]]:
    """Label and meaning of every column of a block."""
    names = block.names
    labels = [name or f"column {place}" for place, name in enumerate(names, 1)]
    if len(names) > 2 and all(heading_in(name) is not None for name in names[1:]):
        corner = context_of([names[0]], Context())
        own = Context(corner.motion or context.motion, corner.part or context.part, context.unit)
        if own.motion is None:
            allowed = "a title above it that names heave, roll or pitch"
            what = "table with headings over its columns"
            raise FileError(what, names[1], None, allowed, line=block.rows[0].line)
        first = column_meaning(names[0], Context())
        if first.holds == HEADING and "\\" not in names[0] and "/" not in names[0]:
            allowed = "periods or frequencies in the first column, and headings over the others"
            raise FileError("first column", names[0], None, allowed, line=block.rows[0].line)
        unit = first.unit if first.holds == FREQUENCY else None
        return labels, [Meaning(FREQUENCY, unit), *(column_meaning(name, own) for name in names[1:])]
    plain = [column_meaning(name, context) for name in names]
    if any(meaning.holds == HEADING for meaning in plain):
        context = Context(context.motion, context.part, context.unit)
        plain = [column_meaning(name, context) for name in names]
    found = with_neighbours(names, plain)
    for place, name in enumerate(names):  # columns that have one name in common
        if names.count(name) > 1 and name:
            labels[place] = found[place].holds or f"{name}, column {place + 1}"
    for place, label in enumerate(labels):
        said = given.holds(label)
        if said is not None and (found[place].holds is None):
            found[place] = Meaning(said, found[place].unit, found[place].heading)
        if not names[place] and all(row.cells[place] == "" for row in block.rows):
            found[place] = Meaning(NOT_USED)
    return labels, found


def _take(
    found: Records, block: Block, labels: list[str], meanings: list[Meaning], given: ResponseConventions
) -> None:
    """Put the values of a block to the records."""
    frequencies = [place for place, one in enumerate(meanings) if one.holds == FREQUENCY]
    headings = [place for place, one in enumerate(meanings) if one.holds == HEADING]
    apart = (FREQUENCY, HEADING, NOT_USED, None)
    used = [place for place, one in enumerate(meanings) if one.holds not in apart]
    first = block.rows[0].line
    if not used:
        return
    if not frequencies:
        allowed = "a column of periods or frequencies, named so"
        raise FileError("columns", ", ".join(labels)[:80], None, allowed, line=first)
    if len(headings) > 1:
        allowed = "one column of headings"
        raise FileError("columns of headings", labels[headings[1]], None, allowed, line=first)
    if any(meanings[place].unit is None for place in frequencies) and given.frequency is None:
        found.silent = True
        return
    for place in (*frequencies, *used):
        unit = unread_unit(block.names[place], meanings[place])
        if unit is not None:
            allowed = (
                "m/m or ft/ft of heave; deg or rad per m, per ft or per wave slope of roll and pitch; deg or rad of "
                "phases; s, rad/s or Hz"
            )
            raise FileError("unit of a column", unit, None, allowed, line=first, column=labels[place])
    columns = []
    for place in used:
        holds = str(meanings[place].holds)
        found.units.setdefault(holds, set()).add(meanings[place].unit)
        kept = found.values.setdefault(holds, {})
        columns.append((place, holds, meanings[place].heading, labels[place], kept))
    for row in block.rows:
        axis = [(labels[p], row.cells[p], meanings[p].unit or given.frequency) for p in frequencies]
        omega = _omega(row, axis)
        at = _number(row, headings[0], labels[headings[0]]) if headings else None
        for place, holds, own, label, kept in columns:
            heading = at if at is not None else own
            if heading is None or not -180.0 <= heading <= 360.0:
                allowed = (
                    "from -180 to 360 deg, in a column, over the columns or in a title such as Heading 30"
                )
                raise FileError("heading", heading, "deg", allowed, line=row.line, column=label)
            value = Value(_parsed(row.cells[place], row.line, label), row.line, label)
            known = kept.setdefault((heading, omega), value)
            if known is not value and not _agree(known, value, holds):
                other = "an empty cell" if known.number is None else f"{known.number:g}"
                allowed = f"{other}, as line {known.line} has it for the same heading and period"
                raise FileError(holds, value.number, None, allowed, line=row.line, column=label)


def _agree(one: Value, other: Value, holds: str) -> bool:
    if one.number is None or other.number is None:
        return one.number is other.number
    if holds.endswith("phase"):
        return one.number == other.number
    return math.isclose(one.number, other.number, rel_tol=SAME)


def _omega(row: Row, given: list[tuple[str, str, str | None]]) -> float:
    """Angular frequency of a row; where it has a period as well they must agree."""
    found: list[float] = []
    for label, cell, unit in given:
        number = _parsed(cell, row.line, label)
        if number is None or not 0.0 < number < 1e4:
            raise FileError(FREQUENCY, cell, unit, "a number above 0", line=row.line, column=label)
        omega = 2 * math.pi / number if unit == "s" else number * (2 * math.pi if unit == "Hz" else 1.0)
        if found and not math.isclose(omega, found[0], rel_tol=_ALIKE):
            allowed = f"that of the other column of periods or frequencies, {found[0]:.5g}\u00a0rad/s"
            raise FileError(FREQUENCY, cell, unit, allowed, line=row.line, column=label)
        found.append(omega)
    return float(f"{found[0]:.12g}")


def _number(row: Row, place: int, label: str) -> float:
    number = _parsed(row.cells[place], row.line, label)
    if number is None:
        allowed = "a number in every row"
        raise FileError(label, row.cells[place], None, allowed, line=row.line, column=label)
    return number


def _parsed(cell: str, line: int, label: str) -> float | None:
    try:
        return number_in(cell)
    except ValueError:
        raise FileError(label, cell, None, "a number", line=line, column=label) from None


def headings_in(records: Records) -> list[float]:
    """Every heading of a file, as it has them, ascending."""
    return sorted({heading for values in records.values.values() for heading, _ in values})
