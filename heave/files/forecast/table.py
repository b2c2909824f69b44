"""The table of a forecast file, in either of its two layouts, and the numbers in it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from heave.errors import FileError
from heave.files.columns import MAX_CELL, read_cells, read_numbers
from heave.files.forecast.names import unit_for
from heave.files.registry import MISSING_WORDS, NDBC, forecast_column
from heave.files.rows import FloatArray
from heave.files.tables import Source, Table, read_table
from heave.planning.columns import UNITS_OF, ColumnMeaning

MAX_FORECAST_BYTES: Final = 40_000_000
"""Largest forecast or hindcast file read [bytes]; 40 years of hourly rows are about 25 MB."""

MAX_FORECAST_ROWS: Final = 500_000
"""Most rows of all members together."""

FORECAST_FORMAT: Final = "heave-forecast 1"
"""Our own format, named in the first comment; a file need not name it."""

_CLOCKWISE: Final = (
    *("N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE"),
    *("S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"),
)
POINTS: Final = {name: place * 22.5 for place, name in enumerate(_CLOCKWISE)}
"""The sixteen compass points in degrees."""


def forecast_table(source: Source) -> Table:
    """Read the text of a forecast file into a table.

    A delimited table is read as any other. A buoy centre's meteorological file has a header that starts with
    `#YY MM DD hh mm`, perhaps a second `#` line of units, and rows of words; older years have no minutes and
    years of two digits.

    Parameters
    ----------
    source : a path, or bytes

    Returns
    -------
    Table

    Raises
    ------
    FileError
        With the line for anything that cannot be read in one way.
    """
    table = read_table(source, MAX_FORECAST_BYTES, buoy=True)
    table.check_format(FORECAST_FORMAT)
    if table.units is not None:
        _check_units(table.header, table.units.cells, table.units.line)
    if len(table.rows) > MAX_FORECAST_ROWS:
        line = table.rows.line(MAX_FORECAST_ROWS)
        raise FileError("number of rows", len(table.rows), None, f"at most {MAX_FORECAST_ROWS}", line=line)
    for place, header in enumerate(table.header, 1):
        if len(header) > MAX_CELL or not header.isprintable():
            allowed = f"printable text of at most {MAX_CELL} characters"
            raise table.refuse(f"name of column {place}", header, allowed)
    return table


def forecast_numbers(table: Table, meanings: Sequence[ColumnMeaning]) -> dict[str, FloatArray]:
    """The numbers of the columns `meanings` name, in SI with directions in degrees; NaN where missing.

    Parameters
    ----------
    table : the table
    meanings : columns of height, period, direction or wind speed

    Returns
    -------
    Column name to numbers, shape (rows,)

    Raises
    ------
    FileError
        With line and column for the first cell that is no number in its range and no mark of a missing one.
    """
    compass = [m.column for m in meanings if m.quantity == "direction" and _in_points(table, m.column)]
    plain = [forecast_column(meaning) for meaning in meanings if meaning.column not in compass]
    found = read_numbers(table, {column: column.name for column in plain})
    return found | {column: _points(table, column) for column in compass}


def _check_units(names: Sequence[str], cells: Sequence[str], line: int) -> None:
    """The line of units must hold the units the layout is known to have."""
    units = [cell.lstrip("#") for cell in cells]
    if len(units) != len(names):
        allowed = f"{len(names)} units, one for each column"
        raise FileError("line of units", len(units), None, allowed, line=line)
    for name, unit in zip(names, units, strict=True):
        meaning = NDBC.get(name)
        if meaning is None or meaning.quantity not in UNITS_OF or unit == "-":
            continue
        if unit_for(meaning.quantity, unit) != meaning.unit:
            raise FileError("unit", unit, None, f"{meaning.unit} for {name}", line=line, column=name)


def _in_points(table: Table, column: str) -> bool:
    """Whether a direction column is written in compass points: its first cell that is not missing is."""
    place = table.header.index(column)
    cells = (table.rows.cell(row, place) for row in range(len(table.rows)))
    return next((cell.upper() in POINTS for cell in cells if cell and cell not in MISSING_WORDS), False)


def _points(table: Table, column: str) -> FloatArray:
    def read(cell: str, line: int) -> float:
        if not cell or cell in MISSING_WORDS:
            return math.nan
        if not cell.isascii() or cell.upper() not in POINTS:
            raise FileError("direction", cell, None, "a compass point such as NNE", line=line, column=column)
        return POINTS[cell.upper()]

    return read_cells(table.rows, table.header.index(column), read)
