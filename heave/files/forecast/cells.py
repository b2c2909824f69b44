"""Numbers of a forecast file: units to SI, missing-value marks to NaN, compass points to degrees."""

from __future__ import annotations

import math
import re
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.errors import FileError
from heave.files.columns import Column, take
from heave.files.tables import Row, Table
from heave.planning.columns import ColumnMeaning
from heave.sea.arguments import MAX_HS

FloatArray = npt.NDArray[np.float64]

MISSING_WORDS: Final = (
    *("MM", "mm", "NaN", "nan", "NAN", "NA", "na", "N/A", "n/a", "NULL", "null", "None", "none"),
    *("-", "--", "---", "*", "**", "***", "missing", "Missing"),
)
"""Words that mean a value is missing, as an empty cell does."""

_FILLS: Final = (-9.0, -99.0, -99.9, -999.0, -999.9, -9999.0, -32767.0, -32768.0, 9999.0, 32767.0)
_FILLS_LARGE: Final = (9.999e20, 1e20, 9.96921e36, 99999.0, 999999.0)
MISSING_NUMBERS: Final = {
    "height": (*_FILLS, *_FILLS_LARGE, 99.0, 99.9, 99.99, 999.0),
    "period": (*_FILLS, *_FILLS_LARGE, 99.0, 99.9, 99.99, 999.0),
    "direction": (*_FILLS, *_FILLS_LARGE, 999.0, 999.9),
    "wind speed": (*_FILLS, *_FILLS_LARGE, 99.0, 99.9, 99.99, 999.0),
}
"""Numbers that mean a value is missing, in the file's own unit; 99 is a direction like any other."""

RANGES: Final = {
    "height": (0.0, MAX_HS),
    "period": (0.0, 60.0),
    "direction": (0.0, 360.0),
    "wind speed": (0.0, 120.0),
}
"""What is believed of each quantity, in SI; anything outside is refused, not called missing."""

FACTORS: Final = {
    **{"m": 1.0, "ft": 0.3048, "s": 1.0, "deg": 1.0, "": 1.0},
    **{"m/s": 1.0, "kn": 1852.0 / 3600.0, "km/h": 1.0 / 3.6, "ft/s": 0.3048},
}

_CLOCKWISE: Final = (
    *("N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE"),
    *("S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"),
)
POINTS: Final = {name: place * 22.5 for place, name in enumerate(_CLOCKWISE)}
"""The sixteen compass points in degrees."""

_LETTERS = re.compile(r"[A-Za-z]{1,3}")


def read_numbers(table: Table, meanings: list[ColumnMeaning]) -> dict[str, FloatArray]:
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
    places = {meaning.column: table.header.index(meaning.column) for meaning in meanings}
    directions = [meaning.column for meaning in meanings if meaning.quantity == "direction"]
    compass = [column for column in directions if _in_points(table, places[column])]
    plain = [meaning for meaning in meanings if meaning.column not in compass]
    found: dict[str, FloatArray] = {}
    if plain:
        found = _plain_numbers(table, plain, places)
    for column in compass:
        cells = [_point(row, places[column], column) for row in table.rows]
        found[column] = np.array(cells, dtype=np.float64)
    return found


def _plain_numbers(
    table: Table, meanings: list[ColumnMeaning], places: dict[str, int]
) -> dict[str, FloatArray]:
    """Numbers of columns without compass points, each different cell of a column read once.

    Years of hours hold few different cells. The rows in which any cell is new make a short table that holds
    every different cell, first where it first stands, so that nothing is checked less than in the whole.
    """
    firsts: list[dict[str, int]] = []
    for meaning in meanings:
        place = places[meaning.column]
        seen: dict[str, int] = {}
        for number, row in enumerate(table.rows):
            seen.setdefault(row.cells[place], number)
        firsts.append(seen)
    needed = sorted({number for seen in firsts for number in seen.values()})
    chosen = [places[meaning.column] for meaning in meanings]
    kept = [table.rows[number] for number in needed]
    rows = tuple(Row(row.line, tuple(row.cells[place] for place in chosen)) for row in kept)
    header = tuple(meaning.column for meaning in meanings)
    short = Table(header, table.header_line, rows, (), table.delimiter)
    read = take(short, [_declared(meaning) for meaning in meanings]).numbers
    found = {}
    for column, place in zip(header, chosen, strict=True):
        values = dict(zip((row.cells[place] for row in kept), read[column].tolist(), strict=True))
        found[column] = np.array([values[row.cells[place]] for row in table.rows], dtype=np.float64)
    return found


def _declared(meaning: ColumnMeaning) -> Column:
    quantity = meaning.quantity
    low, high = RANGES[quantity]
    marks: tuple[float | str, ...] = (*MISSING_WORDS, *MISSING_NUMBERS[quantity])
    headers = {meaning.column: FACTORS[meaning.unit]}
    return Column(meaning.column, headers, missing=True, sentinels=marks, low=low, high=high)


def _in_points(table: Table, place: int) -> bool:
    """Whether a direction column is written in compass points: its first cell that is not missing is."""
    for row in table.rows:
        cell = row.cells[place]
        if cell and cell not in MISSING_WORDS:
            return cell.upper() in POINTS
    return False


def _point(row: Row, place: int, column: str) -> float:
    cell = row.cells[place]
    if not cell or cell in MISSING_WORDS:
        return math.nan
    if not _LETTERS.fullmatch(cell) or cell.upper() not in POINTS:
        raise FileError("direction", cell, None, "a compass point such as NNE", line=row.line, column=column)
    return POINTS[cell.upper()]
