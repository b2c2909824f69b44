"""Named columns of a table: units at the end of the name, sentinels, ranges, and values in SI.

A column is declared once with the headers it may carry (`hs_m`, `hs_ft`), the values that mean
"missing", and its range; `take` then reads a whole table against the declarations.
"""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

import numpy as np

from heave.arrays import FloatArray, Indices
from heave.errors import FileError
from heave.files.rows import PlainRows, Rows, Table
from heave.files.tables import un_neutral
from heave.files.wanted import MAX_CELL
from heave.units import UNITS, significant

_NUMBER = re.compile(r"[+-]?([0-9]{1,30}([.][0-9]{0,30})?|[.][0-9]{1,30})([eE][+-]?[0-9]{1,3})?")
_COMMA_NUMBER = re.compile(r"[+-]?[0-9]{0,30},[0-9]{1,30}([eE][+-]?[0-9]{1,3})?")
_THOUSANDS = re.compile(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}")
POINT_OF_THOUSANDS: Final = re.compile(r"[+-]?[1-9][0-9]{0,2}(?:[.][0-9]{3})+")
"""A number whose points may part thousands, as they do in files with semicolons of some countries."""


@dataclass(frozen=True, eq=False)
class Column:
    """A column a table may have.

    `headers` maps each header to the factor that brings its numbers to SI; None marks text. `low` and
    `high` are inclusive and `above` is exclusive, in SI. `sentinels` are compared as numbers, in the
    file's own unit, or as words; they and empty cells are missing values, refused unless `missing` is
    allowed. `goes` is the field its values go to; its name where nothing else is said.
    """

    name: str
    headers: Mapping[str, float | None] | Mapping[str, float]
    required: bool = True
    missing: bool = False
    sentinels: tuple[float | str, ...] = ()
    low: float | None = None
    high: float | None = None
    above: float | None = None
    goes: str = ""
    numeric: bool = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "numeric", None not in self.headers.values())
        object.__setattr__(self, "goes", self.goes or self.name)

    def inside(self, stored: Any) -> Any:
        """Whether a number in SI, or each of an array of them, is finite and within the range."""
        found = abs(stored) < math.inf
        if self.low is not None:
            found = found & (stored >= self.low)
        if self.high is not None:
            found = found & (stored <= self.high)
        return found if self.above is None else found & (stored > self.above)

    def allowed(self, header: str) -> str:
        """The range in words, in the unit of `header`."""
        factor = self.headers[header] or 1.0
        bounds = (("above", self.above), ("from", self.low), ("to", self.high))
        parts = [f"{word} {significant(bound / factor)}" for word, bound in bounds if bound is not None]
        return " ".join(parts) if parts else "a finite number"


@dataclass(frozen=True)
class Columns:
    """What `take` read: numbers in SI (NaN where a missing value is allowed), texts, and the headers."""

    numbers: dict[str, FloatArray]
    texts: dict[str, tuple[str, ...]]
    headers: dict[str, str]
    table: Table
    declared: Sequence[Column]

    def line(self, row: int | np.integer[Any]) -> int:
        """Line of the file a row stood on."""
        return self.table.rows.line(row)

    def __contains__(self, name: str) -> bool:
        return name in self.headers

    def only(self, what: str, *names: str) -> str:
        """Which of the columns called `names` the table has, where just one of them may be there."""
        present = [name for name in names if name in self]
        if len(present) == 1:
            return present[0]
        headers = [header for column in self.declared if column.name in names for header in column.headers]
        found = f"both {' and '.join(present)}" if present else f"neither {' nor '.join(names)}"
        raise self.table.refuse(what, found, "just one column of " + ", ".join(headers))


def number_headers(stem: str, *symbols: str) -> dict[str, float | None]:
    """Headers `stem_unit` for the unit `symbols`: `number_headers("hs", "m", "ft")` gives hs_m and hs_ft."""
    return {f"{stem}_{UNITS[symbol].token}": UNITS[symbol].factor for symbol in symbols}


def number_column(name: str, symbols: str, *, other: Mapping[str, str] | None = None, **more: Any) -> Column:
    """A column of numbers `name_unit`, in any of the units of `symbols`, one after the other; `other` names as well.

    `more` is the rest of a Column: number_column("od", "mm in", low=0.02, high=0.6).
    """
    stems = {name: symbols, **(other or {})}
    headers = [number_headers(stem, *units.split()) for stem, units in stems.items()]
    return Column(name, {header: factor for each in headers for header, factor in each.items()}, **more)


def text_column(name: str, *, required: bool = True) -> Column:
    """A column of text called `name`."""
    return Column(name, {name: None}, required=required)


def take(table: Table, columns: Sequence[Column]) -> Columns:
    """Read every column of `table` against the declared `columns`.

    A decimal comma is read only where the delimiter is a semicolon or a tab, all numbers of the file
    must use the same mark, and a file whose every comma could be a thousands mark is refused.

    Parameters
    ----------
    table : the table
    columns : what it may and must hold

    Returns
    -------
    Columns, numbers in SI with shape (rows,)

    Raises
    ------
    FileError
        For unknown or missing columns, unknown units, one quantity in two units, and the first cell that is
        not a number in its range; line and column are named.
    """
    chosen = _match_headers(table, columns)
    there = [column for column in columns if column.name in chosen]
    numeric = {column: chosen[column.name] for column in there if column.numeric}
    texts = {column.name: _texts(table, column.name) for column in there if not column.numeric}
    return Columns(read_numbers(table, numeric), texts, chosen, table, columns)


def read_numbers(table: Table, columns: Mapping[Column, str]) -> dict[str, FloatArray]:
    """Numbers of some `columns`, each with its header, by name in SI; raises as `take`."""
    comma = _decimal_comma(table, {table.header.index(header): header for header in columns.values()})
    if table.delimiter == ";" and not comma:
        for column, header in columns.items():
            _one_meaning_of_points(table, column, header)
    return {column.name: _numbers(table, column, header, comma) for column, header in columns.items()}


def parse_number(cell: str, what: str, *, line: int | None = None, column: str | None = None) -> float:
    """One finite number with a decimal point, exactly as a cell holds it.

    Raises
    ------
    FileError
        If the cell is empty, NaN, infinite, overflows, or is not wholly a number.
    """
    if not _NUMBER.fullmatch(cell) or not math.isfinite(float(cell)):
        raise FileError(what, cell, None, "a finite number such as 2.5", line=line, column=column)
    return float(cell)


def _match_headers(table: Table, columns: Sequence[Column]) -> dict[str, str]:
    known = {header: column for column in columns for header in column.headers}
    chosen: dict[str, str] = {}
    for header in table.header:
        column = known.get(header)
        if column is None:
            near = _near(header, columns)
            if near is None:
                raise table.refuse("column", header, "one of " + ", ".join(known), header)
            raise table.refuse("unit of column", header, " or ".join(near.headers), header)
        if column.name in chosen:
            allowed = f"one column for this quantity; {chosen[column.name]} gives it too"
            raise table.refuse("column", header, allowed, header)
        chosen[column.name] = header
    for column in columns:
        if column.required and column.name not in chosen:
            raise table.refuse("column", f"no {column.name}", "a column " + " or ".join(column.headers))
    return chosen


def _near(header: str, columns: Sequence[Column]) -> Column | None:
    """The column whose name starts with most of the words `header` starts with, if any does."""
    words = header.split("_")
    best, most = None, 0
    for column in columns:
        for known in column.headers if column.numeric else ():
            pairs = zip(words, known.split("_"), strict=False)
            shared = len(list(itertools.takewhile(lambda pair: pair[0] == pair[1], pairs)))
            if shared > most:
                best, most = column, shared
    return best


def _unit_words(column: Column, header: str) -> str | None:
    """The unit at the end of a header, as it is written: mm, kg/m, deg/m."""
    rest = header.removeprefix(column.name) if header.startswith(column.name) else header.partition("_")[2]
    token = rest.strip("_")
    symbols = [unit.symbol for unit in UNITS.values() if unit.token == token and token != "deg"]
    return symbols[0] if symbols else token.replace("_per_", "/") or None


def _decimal_comma(table: Table, headers: Mapping[int, str]) -> bool:
    """Whether the numbers of the file use a decimal comma; `headers` are those of its number columns by place."""
    rows = table.rows
    commas = {place: rows.having(place, ",") for place in headers}
    first = min(((int(found[0]), place) for place, found in commas.items() if len(found)), default=None)
    if first is None:
        return False
    row, place = first
    if table.delimiter not in (";", "\t"):
        why = "a decimal comma needs semicolons or tabs between columns: write 2.5 for 2,5"
        raise table.wrong("number", row, f"a decimal point; {why}", headers[place])
    points = [row for at, found in commas.items() for row in set(rows.having(at, ".")).difference(found)]
    if points:
        other = rows.line(min(points))
        allowed = f"one decimal mark in the file; line {other} has a decimal point: write all alike"
        raise table.wrong("number", row, allowed, headers[place])
    written = (rows.cell(int(row), place) for place, found in commas.items() for row in found)
    if all(map(_THOUSANDS.fullmatch, written)):
        why = "this comma could be read in two ways, write the number without it"
        raise table.wrong("number", row, f"a decimal point, or no comma: {why}", headers[place])
    return True


def _one_meaning_of_points(table: Table, column: Column, header: str) -> None:
    """Refuse a column between semicolons whose every point may part thousands, where both numbers could be meant."""
    place, factor = table.header.index(header), column.headers[header] or 1.0
    pointed = [int(row) for row in table.rows.having(place, ".")]
    cells = (table.rows.cell(row, place) for row in pointed)
    if column.high is None or not pointed or not all(map(POINT_OF_THOUSANDS.fullmatch, cells)):
        return
    cell = table.rows.cell(pointed[0], place)
    if column.inside(float(cell.replace(".", "")) * factor):
        raise table.wrong(column.name, pointed[0], two_ways(cell), header)


def two_ways(cell: str) -> str:
    """What to write for a number whose point is of decimals or of thousands."""
    whole = cell.replace(".", "")
    decimals = f"{cell}0 or " if cell.count(".") == 1 else ""
    return f"{decimals}{whole}: between semicolons this point could be read in two ways"


def _numbers(table: Table, column: Column, header: str, comma: bool) -> FloatArray:
    """Numbers of one column in SI, NaN where missing: plain cells in bulk, any other and any out of range by itself."""
    place = table.header.index(header)

    def read(cell: str, line: int) -> float:
        return _cell_number(column, header, cell, line, comma)

    if not isinstance(table.rows, PlainRows):
        return read_cells(table.rows, place, read)
    written, plain = table.rows.decimals(place, "," if comma else ".")
    marks = np.isin(written, [mark for mark in column.sentinels if not isinstance(mark, str)])
    numbers = written * (column.headers[header] or 1.0)
    done = plain & ~marks & column.inside(numbers)
    if column.missing:
        missing = marks | table.rows.blank(place)
        numbers[missing] = np.nan
        done |= missing
    left = np.flatnonzero(~done)
    numbers[left] = read_cells(table.rows, place, read, left)
    return numbers


def read_cells(
    rows: Rows, place: int, read: Callable[[str, int], float], chosen: Indices | None = None
) -> FloatArray:
    """Numbers of a column by `read(cell, line)`, each different cell once, of every row or of those `chosen`."""
    known: dict[str, float] = {}
    cells = rows.column(place, chosen)
    for row, cell in zip(range(len(cells)) if chosen is None else chosen, cells, strict=True):
        if cell not in known:
            known[cell] = read(cell, rows.line(row))
    return np.array([known[cell] for cell in cells], dtype=np.float64)


def _cell_number(column: Column, header: str, cell: str, line: int, comma: bool) -> float:
    plain = cell.replace(",", ".") if comma and _COMMA_NUMBER.fullmatch(cell) else cell
    marked = not cell or cell in column.sentinels
    value = float(plain) if not marked and _NUMBER.fullmatch(plain) else math.nan
    if marked or value in column.sentinels:
        if column.missing:
            return math.nan
        what = "an empty cell" if not cell else f"{cell}, which marks a missing value,"
        unit, allowed = _unit_words(column, header), f"{column.allowed(header)}: give it"
        raise FileError(column.name, what, unit, allowed, line=line, column=header)
    stored = value * (column.headers[header] or 1.0)
    if not column.inside(stored):
        allowed = column.allowed(header)
        if not allowed.startswith("a finite"):
            allowed = f"a {'' if math.isfinite(stored) else 'finite '}number {allowed}"
        other = ", or leave the cell empty where it is not known" if column.missing else ""
        allowed += f": correct it{other}"
        raise FileError(column.name, cell, _unit_words(column, header), allowed, line=line, column=header)
    return stored


def _texts(table: Table, name: str) -> tuple[str, ...]:
    cells = [un_neutral(cell) for cell in table.cells(name)]
    for row, cell in enumerate(cells):
        if len(cell) > MAX_CELL or not cell.isprintable():
            raise table.wrong(name, row, f"printable text of at most {MAX_CELL} characters", name)
    return tuple(cells)
