"""Named columns of a table: units at the end of the name, sentinels, ranges, and values in SI.

A column is declared once with the headers it may carry (`hs_m`, `hs_ft`), the values that mean
"missing", and its range; `take` then reads a whole table against the declarations.
"""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.errors import FileError
from heave.files.tables import Row, Table, un_neutral
from heave.units import UNITS, significant

FloatArray = npt.NDArray[np.float64]

MAX_CELL: Final = 200
"""Longest cell of text [characters]."""

_NUMBER = re.compile(r"[+-]?([0-9]{1,30}([.][0-9]{0,30})?|[.][0-9]{1,30})([eE][+-]?[0-9]{1,3})?")
_COMMA_NUMBER = re.compile(r"[+-]?[0-9]{0,30},[0-9]{1,30}([eE][+-]?[0-9]{1,3})?")
_THOUSANDS = re.compile(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}")


@dataclass(frozen=True)
class Column:
    """A column a table may have.

    `headers` maps each header to the factor that brings its numbers to SI; None marks text. `low` and
    `high` are inclusive and `above` is exclusive, in SI. `sentinels` are compared as numbers, in the
    file's own unit, or as words; they and empty cells are missing values, refused unless `missing` is
    allowed.
    """

    name: str
    headers: Mapping[str, float | None]
    required: bool = True
    missing: bool = False
    sentinels: tuple[float | str, ...] = ()
    low: float | None = None
    high: float | None = None
    above: float | None = None
    numeric: bool = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "numeric", None not in self.headers.values())

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
    lines: tuple[int, ...]

    def __contains__(self, name: str) -> bool:
        return name in self.headers


def number_headers(stem: str, *symbols: str) -> dict[str, float | None]:
    """Headers `stem_unit` for the unit `symbols`: `number_headers("hs", "m", "ft")` gives hs_m and hs_ft."""
    return {f"{stem}_{UNITS[symbol].token}": UNITS[symbol].factor for symbol in symbols}


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
    places = {header: table.header.index(header) for header in chosen.values()}
    numeric = [column for column in columns if column.name in chosen and column.numeric]
    comma = _decimal_comma(table, [chosen[column.name] for column in numeric], places)
    numbers: dict[str, FloatArray] = {}
    texts: dict[str, tuple[str, ...]] = {}
    for column in columns:
        if column.name not in chosen:
            continue
        header = chosen[column.name]
        place = places[header]
        if column.numeric:
            values = [_cell_number(column, header, row, place, comma) for row in table.rows]
            numbers[column.name] = np.array(values, dtype=np.float64)
        else:
            texts[column.name] = tuple(_cell_text(column, row, place) for row in table.rows)
    return Columns(numbers, texts, chosen, tuple(row.line for row in table.rows))


def parse_number(
    cell: str,
    what: str,
    *,
    line: int | None = None,
    column: str | None = None,
) -> float:
    """One finite number with a decimal point, exactly as a cell holds it.

    Raises
    ------
    FileError
        If the cell is empty, NaN, infinite, overflows, or is not wholly a number.
    """
    if not _NUMBER.fullmatch(cell) or not math.isfinite(float(cell)):
        raise FileError(what, cell, None, "a finite number such as 2.5", line=line, column=column)
    return float(cell)


def parse_time(
    cell: str, *, line: int | None = None, column: str | None = None, utc: bool = False
) -> datetime:
    """An ISO 8601 time with a zone, as UTC; with `utc` the column itself says UTC and a zone may be absent.

    Raises
    ------
    FileError
        If it is not ISO 8601 (03/04/2026 could be read in two ways) or has no zone.
    """
    allowed = "an ISO 8601 time such as 2026-03-04T06:00Z"
    try:
        if not re.match(r"[0-9]{4}-[0-9]{2}-[0-9]{2}[T ][0-9]{2}:[0-9]{2}", cell):
            raise ValueError(cell)
        moment = datetime.fromisoformat(cell)
        if moment.tzinfo is None and not utc:
            raise FileError("time", cell, None, allowed + ", with its zone", line=line, column=column)
        zoned = moment if moment.tzinfo else moment.replace(tzinfo=UTC)
        return zoned.astimezone(UTC)
    except FileError:
        raise
    except (ValueError, OverflowError) as problem:
        raise FileError("time", cell, None, allowed, line=line, column=column) from problem


def _match_headers(table: Table, columns: Sequence[Column]) -> dict[str, str]:
    known = {header: column for column in columns for header in column.headers}
    every = ", ".join(known)
    chosen: dict[str, str] = {}
    for header in table.header:
        column = known.get(header)
        if column is None:
            near = _near(header, columns)
            allowed = " or ".join(near.headers) if near else f"one of {every}"
            what = "unit of column" if near else "column"
            raise FileError(what, header, None, allowed, line=table.header_line, column=header)
        if column.name in chosen:
            allowed = f"one column for this quantity; {chosen[column.name]} gives it too"
            raise FileError("column", header, None, allowed, line=table.header_line, column=header)
        chosen[column.name] = header
    for column in columns:
        if column.required and column.name not in chosen:
            allowed = "a column " + " or ".join(column.headers)
            raise FileError("column", f"no {column.name}", None, allowed, line=table.header_line)
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


def _decimal_comma(table: Table, headers: Sequence[str], places: Mapping[str, int]) -> bool:
    """Whether the numbers of the file use a decimal comma."""
    commas: list[tuple[Row, str]] = []
    points: list[tuple[Row, str]] = []
    for row in table.rows:
        for header in headers:
            cell = row.cells[places[header]]
            if "," in cell:
                commas.append((row, header))
            elif "." in cell:
                points.append((row, header))
    if not commas:
        return False
    row, header = commas[0]
    cell = row.cells[places[header]]
    if table.delimiter not in (";", "\t"):
        allowed = "a decimal point; a decimal comma needs semicolons or tabs between columns"
        raise FileError("number", cell, None, allowed, line=row.line, column=header)
    if points:
        other = points[0][0].line
        allowed = f"one decimal mark in the file; line {other} has a decimal point"
        raise FileError("number", cell, None, allowed, line=row.line, column=header)
    if all(_THOUSANDS.fullmatch(r.cells[places[h]]) for r, h in commas):
        allowed = "a decimal point, or no comma: this comma could be read in two ways"
        raise FileError("number", cell, None, allowed, line=row.line, column=header)
    return True


def _cell_number(column: Column, header: str, row: Row, place: int, comma: bool) -> float:
    cell = row.cells[place]
    plain = cell.replace(",", ".") if comma and _COMMA_NUMBER.fullmatch(cell) else cell
    if not cell or cell in column.sentinels:
        return _missing(column, header, row, cell)
    value = float(plain) if _NUMBER.fullmatch(plain) else math.nan
    if value in column.sentinels:
        return _missing(column, header, row, cell)
    stored = value * (column.headers[header] or 1.0)
    inside = (
        math.isfinite(stored)
        and (column.low is None or stored >= column.low)
        and (column.high is None or stored <= column.high)
        and (column.above is None or stored > column.above)
    )
    if not inside:
        allowed = column.allowed(header)
        if not math.isfinite(stored) and not allowed.startswith("a finite"):
            allowed = "a finite number " + allowed
        unit = _unit_words(column, header)
        raise FileError(column.name, cell, unit, allowed, line=row.line, column=header)
    return stored


def _missing(column: Column, header: str, row: Row, cell: str) -> float:
    if not column.missing:
        what = "an empty cell" if not cell else f"{cell}, which marks a missing value,"
        unit = _unit_words(column, header)
        raise FileError(column.name, what, unit, column.allowed(header), line=row.line, column=header)
    return math.nan


def _cell_text(column: Column, row: Row, place: int) -> str:
    cell = un_neutral(row.cells[place])
    if len(cell) > MAX_CELL or not cell.isprintable():
        allowed = f"printable text of at most {MAX_CELL} characters"
        raise FileError(column.name, cell, None, allowed, line=row.line, column=column.name)
    return cell
