"""Where the table stands in a forecast file: titles, header, units, rows, dates on lines of their own, footers.

A file whose first line is its header and whose rows are alike is read strictly and in bulk (`heave.files.tables`).
Anything else comes here: text is cut into cells by its delimiter or its widths, a workbook brings its own, and the rows
whose cells are mostly values are the table. What stands above names its columns; a line that is none of these, between
two rows, is refused, so that nothing of the table can be lost.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Final

from heave.errors import FileError
from heave.files.forecast.clock import ISSUED, MONTHS, day_alone, moment_in, zone_said
from heave.files.forecast.fixed import (
    Span,
    cut_at,
    groups_over,
    names_over,
    spans_of,
    to_the_right,
    with_units,
)
from heave.files.forecast.turned import MOST_LINES, cut_by_words, may_lie, placed, stood_up
from heave.files.forecast.words import word_set
from heave.files.forecast.workbook import DAY_ZERO
from heave.files.registry import MISSING_WORDS, POINTS
from heave.files.rows import Row, Table, TextRows, trimmed
from heave.files.tables import MAX_COLUMNS, cut
from heave.files.wanted import NAMELESS, each_named, printable, ragged
from heave.units import unit_written

DELIMITERS: Final = ("\t", ";", ",", "|")
_RULED: Final = " \t-=+|:_"
"""What a line is drawn with."""

_SAMPLE: Final = 300
"""Lines looked at to see how a file is delimited."""

_NUMBER = re.compile(
    r"[<>~+-]?[0-9]+(?:[.,][0-9]+)?(?:[eE][+-]?[0-9]+)?(?:\s*-\s*[0-9]+(?:[.,][0-9]+)?)?\u00b0?|[+-]?[.,][0-9]+"
)
_ISO = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}(?:[T ][0-9]{2}:[0-9]{2}(?::[0-9]{2})?Z?)?")
SUMMARY = re.compile(r"(?:max|min|mean|average|avg|total|median|maximum|minimum)\b", re.IGNORECASE)
_DATE_WORDS: Final = re.compile(
    r"(?:mon|tue|wed|thu|fri|sat|sun|" + "|".join(MONTHS) + r")[a-z]*[.,]?", re.IGNORECASE
)
_UNIT_WORDS: Final = word_set("- utc gmt z lt hh:mm hh deg degt true h hr date time local") | {"deg t"}
_UNIT_WORDS_DATE = re.compile(r"[dmy]{2,4}[-/. ][dmy]{2,3}[-/. ][dmy]{2,4}( hh(:?mm)?)?")


@dataclass
class Sheet:
    """A table and what stands around it."""

    table: Table
    above: list[str] = field(default_factory=list)
    """Lines around the table: titles, comments, footers."""

    notes: list[str] = field(default_factory=list)
    carried: bool = False
    """Whether a date stands once for the hours under it."""

    day_zero: int = DAY_ZERO
    """1 January 1970 in day numbers."""

    hours: dict[int, str] | None = None
    """Of a table whose times ran across: the cells of time of each row, by its line."""


@dataclass
class _Line:
    """One line or row that is not blank: its cells, what it says as a whole, and what it is."""

    row: Row
    text: str
    kind: str
    """'values', 'day' or 'words'."""


def sheet_of_text(text: str) -> Sheet | None:
    """The table of a text; None where no rows of values are found.

    Raises
    ------
    FileError
        With its line for what stands in the table and does not belong to it.
    """
    lines = [
        (number, line.expandtabs(8) if "\t" in line and line.count("\t") < 2 else line)
        for number, line in enumerate(text.split("\n"), 1)
        if line.strip(_RULED)
    ]
    delimiter = _delimiter([line for _, line in lines])
    if delimiter:
        cut_up = [Row(number, _split(number, line, delimiter)) for number, line in lines]
        return _sheet([_line(row) for row in cut_up], delimiter)
    words = [_line(Row(number, tuple(line.split()))) for number, line in lines]
    rows = [line for (_, line), found in zip(lines, words, strict=True) if found.kind == "values"]
    spans = spans_of(rows)
    if not rows or not 2 <= len(spans) <= MAX_COLUMNS:
        return None
    found = []
    for (number, line), one in zip(lines, words, strict=True):
        values = one.kind == "values"
        cells = cut_at(number, line, spans) if values else Row(number, tuple(names_over(line, spans)))
        found.append(_Line(cells, line.rstrip(), one.kind))
    return _sheet(found, "\t", spans)


def sheet_of_rows(rows: Sequence[Row]) -> Sheet | None:
    """The table among the rows of a workbook's sheet; raises as `sheet_of_text`."""
    return _upright(rows, "\t") or _sheet([_line(row) for row in rows], "\t")


def upright_sheet(text: str) -> Sheet | None:
    """The table of a text whose times run across, turned; None for any other. Raises as `sheet_of_text`."""
    lines = [(number, line) for number, line in enumerate(text.split("\n"), 1) if line.strip(_RULED)]
    if len(lines) > MOST_LINES or not any(may_lie(line) for _, line in lines):
        return None
    delimiter = _delimiter([line for _, line in lines])
    if delimiter:
        return _upright([Row(number, _split(number, line, delimiter)) for number, line in lines], delimiter)
    return _upright(cut_by_words(lines, _value), "\t")


def _upright(rows: Sequence[Row], delimiter: str) -> Sheet | None:
    """The sheet of a table whose times run across; None where they run down."""
    upright = stood_up(rows, _value)
    if upright is None:
        return None
    with placed(upright.hours):
        sheet = _sheet([_line(row) for row in upright.rows], delimiter)
    if sheet is not None:
        sheet.hours = upright.hours
        sheet.notes.insert(0, "Times run across the file: each of its columns is read as a row.")
    return sheet


def _delimiter(lines: Sequence[str]) -> str:
    """The delimiter by which most lines become rows of values; empty for columns of fixed width."""
    sample = lines[:_SAMPLE]
    by_words = sum(_is_values(tuple(line.split())) for line in sample)
    counts = {}
    for mark in DELIMITERS:
        split = [tuple(cell.strip().strip('"') for cell in line.strip("|").split(mark)) for line in sample]
        rows = [len(cells) for cells in split if len(cells) > 1 and _is_values(cells)]
        counts[mark] = max(Counter(rows).values(), default=0)
    best = max(DELIMITERS, key=lambda mark: counts[mark])
    return best if counts[best] and 2 * counts[best] >= by_words else ""


def _split(number: int, line: str, delimiter: str) -> tuple[str, ...]:
    line = line.strip().strip("|") if delimiter == "|" else line
    return cut(line, delimiter, number if _is_values(tuple(line.split(delimiter))) else None)


def _line(row: Row) -> _Line:
    filled = tuple(cell for cell in row.cells if cell)
    text = " ".join(filled)
    if (len(filled) <= 2 or len(text) < 40) and any(map(str.isdigit, text)) and day_alone(text):
        return _Line(row, text, "day")
    return _Line(row, text, "values" if _is_values(row.cells) else "words")


def _is_values(cells: tuple[str, ...]) -> bool:
    """Whether the cells of a row are mostly numbers, times, compass points and marks of missing ones."""
    filled = [cell for cell in cells if cell]
    if len(filled) < 2 or SUMMARY.match(filled[0]) or filled[0].startswith("#"):
        return False
    if ISSUED.search(" ".join(filled)):
        return False
    count = sum(map(_value, filled))
    enough = 0.6 if _value(filled[0]) else 0.75
    return count >= 2 and count >= enough * len(filled) and any(map(str.isdigit, "".join(filled)))


@lru_cache(maxsize=50_000)
def _value(cell: str) -> bool:
    plain = cell.strip()
    return bool(
        _NUMBER.fullmatch(plain)
        or _ISO.fullmatch(plain)
        or plain in MISSING_WORDS
        or plain.upper() in POINTS
        or _DATE_WORDS.fullmatch(plain)
        or plain.upper() in ("UTC", "GMT", "Z", "AM", "PM", "LT")
        or (any(map(str.isdigit, plain)) and moment_in(plain))
    )


def _sheet(lines: list[_Line], delimiter: str, spans: Sequence[Span] = ()) -> Sheet | None:
    """The table among lines of known kind."""
    places = [place for place, line in enumerate(lines) if line.kind == "values"]
    if not places:
        return None
    first, last = places[0], places[-1]
    most = max(len(trimmed(line.row.cells)) for line in lines if line.kind == "values")
    heads = _heads(lines[:first], most, bool(spans))
    if not heads:
        return None
    names, header_line = _names(heads, most, spans), heads[-1].row.line
    for row in (line.row for line in lines if line.kind == "values"):
        if len(trimmed(row.cells)) > len(names):
            raise ragged(len(row.cells), len(names), header_line, row.line)
    known = {_key(line) for line in heads}
    around = [line.text.strip("# ") for line in lines[:first] if line not in heads and line.kind == "words"]
    days = [line.text for line in lines[:first] if line.kind == "day"]
    above = bool(days) and not _has_date(lines[first].row)
    dated = above or any(line.kind == "day" for line in lines[first:last])
    body = lines[first : last + 1]
    rows = _rows(body, known, len(names), header_line, (days[-1] if days else "") if dated else None)
    repeated = sum(line.kind == "words" for line in body)
    footers = [line.text for line in lines[last + 1 :]]
    sheet = Sheet(_table(names, header_line, rows, delimiter, dated), [*around, *footers], carried=dated)
    if dated:
        sheet.notes.append("Dates stand on lines of their own, above their hours.")
    if repeated:
        sheet.notes.append(f"The header stands again between the rows, {repeated} lines: left out.")
    if footers:
        shown = "; ".join(text[:60] for text in footers[:3])
        sheet.notes.append(f"Lines under the table, not read: {shown}.")
    return sheet


def _rows(
    body: list[_Line], known: set[tuple[str, ...]], width: int, header_line: int, day: str | None
) -> list[Row]:
    """The rows of values, each with the date above it in front where dates stand alone (`day` is no None)."""
    rows = []
    for line in body:
        if line.kind == "values":
            row = _full(line.row, width, header_line)
            if day == "":
                allowed = "a date above the first hours, as above those of the other days: write it there"
                raise FileError("row", line.text[:60], None, allowed, line=row.line)
            rows.append(row if day is None else Row(row.line, (day, *row.cells)))
        elif line.kind == "day":
            day = line.text
        elif _key(line) not in known:
            allowed = (
                f"rows of {width} cells, the header again or a date; no other words between two rows: move it"
            )
            raise FileError("row", line.text[:60], None, allowed, line=line.row.line)
    return rows


def _key(line: _Line) -> tuple[str, ...]:
    return tuple(cell.lower() for cell in line.row.cells if cell)


def _has_date(row: Row) -> bool:
    """Whether any cell of a row holds a date."""
    return any((moment := moment_in(cell)) and moment.numbers for cell in row.cells if cell)


def _full(row: Row, width: int, header_line: int) -> Row:
    """A row with as many cells as the header."""
    cells = trimmed(row.cells)
    if len(cells) > width or (1 < len(row.cells) < width and len(cells) == len(row.cells)):
        raise ragged(len(row.cells), width, header_line, row.line)
    return Row(row.line, (*cells, *[""] * (width - len(cells))))


def _heads(above: list[_Line], width: int, fixed: bool) -> list[_Line]:
    """The lines that name the columns, from the top: perhaps groups, the names, perhaps units."""
    words = [line for line in above if line.kind == "words" and sum(map(bool, line.row.cells)) >= 2]
    if not words:
        return []
    heads = [words.pop()]
    if _is_units(heads[0].row.cells) and words:
        heads.insert(0, words.pop())
    names = [cell.lower() for cell in heads[0].row.cells]
    while words and len(heads) < 4 and heads[0].row.line - words[-1].row.line == 1:
        cells = trimmed(words[-1].row.cells)
        filled = sum(map(bool, cells))
        repeated = len([name for name in names if name]) > len({name for name in names if name})
        text = words[-1].text
        alone = len(cells) <= 1 or (fixed and text[:1] != " " and not re.search(r"\S\s{2,}\S", text))
        if alone or not (2 * filled > width or not cells[0] or (repeated and filled >= 2)):
            break
        heads.insert(0, words.pop())
    return heads


def _is_units(cells: Sequence[str]) -> bool:
    """Whether a row holds units under the names of the columns."""
    filled = [cell.strip("[]() ").lower() for cell in cells if cell]

    def unit(cell: str) -> bool:
        said = unit_written(cell) or cell in _UNIT_WORDS or zone_said(f"({cell})")
        return bool(said or _UNIT_WORDS_DATE.fullmatch(cell))

    return bool(filled) and 2 * sum(map(unit, filled)) > len(filled)


def _names(heads: list[_Line], width: int, spans: Sequence[Span]) -> list[str]:
    """The names of the columns, lower case: group, name, and unit in brackets."""
    units = heads[-1] if len(heads) > 1 and _is_units(heads[-1].row.cells) else None
    rows = [line for line in heads if line is not units]
    size = max(width, *(len(trimmed(line.row.cells)) for line in heads))
    names = [*rows[-1].row.cells, *[""] * size][:size]
    for line in reversed(rows[:-1]):
        groups = to_the_right([*line.row.cells, *[""] * size][:size])
        if spans:
            groups = groups_over(line.text, rows[-1].text, names, spans, line.row.line)
        names = [f"{group} {name}".strip() for group, name in zip(groups, names, strict=True)]
    if units is not None:
        names = with_units(names, [*units.row.cells, *[""] * size][:size])
    return [" ".join((name.lower().lstrip("#") or "no" * bool(name)).split()) for name in names]


def _table(names: list[str], header_line: int, rows: list[Row], delimiter: str, dated: bool) -> Table:
    """The table, without columns that are empty throughout, and with those that have no name joined to the left."""
    header = ["date", *names] if dated else list(names)
    if dated and "date" in names:
        allowed = "dates on lines of their own, or in a column: delete one"
        raise FileError("column name", "date", None, allowed, line=header_line)
    cells = [list(column) for column in zip(*(row.cells for row in rows), strict=True)]
    kept: list[tuple[str, list[str]]] = []
    for name, column in zip(header, cells, strict=True):
        if not any(column) and not name:
            continue
        if name:
            kept.append((name, column))
            continue
        before = kept[-1][1] if kept else [""] * len(column)
        joined = [f"{one} {two}".strip() for one, two in zip(before, column, strict=True)]
        if not kept or not moment_in(joined[0]):
            nameless = f"the one that begins with {column[0][:20]!r} has none: {NAMELESS}"
            allowed = f"a name over every column; {nameless}"
            raise FileError("column name", "empty", None, allowed, line=header_line)
        kept[-1] = (kept[-1][0], joined)
    header = [name for name, _ in kept]
    each_named(header, header_line)
    printable(header, header_line)
    made = zip(rows, zip(*(column for _, column in kept), strict=True), strict=True)
    found = TextRows(Row(row.line, tuple(cells)) for row, cells in made)
    return Table(tuple(header), header_line, found, (), delimiter, rows[0].line)
