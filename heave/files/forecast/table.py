"""The table of a forecast file, whichever of the two layouts it stands in.

A delimited table is read as any other. A buoy centre's meteorological file has a header that starts with
`#YY MM DD hh mm`, perhaps a second `#` line of units, and rows of words; older years have no minutes and
years of two digits.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from heave.errors import FileError
from heave.files.columns import MAX_CELL
from heave.files.forecast.names import GENERAL, NDBC, UNIT_WORDS, UNITS_OF
from heave.files.tables import MAX_COLUMNS, Row, Source, Table, decode, load, read_table
from heave.planning.columns import ColumnMeaning

MAX_FORECAST_BYTES: Final = 40_000_000
"""Largest forecast or hindcast file read [bytes]; 40 years of hourly rows are about 25 MB."""

MAX_FORECAST_ROWS: Final = 500_000
"""Most rows of all members together."""

FORECAST_FORMAT: Final = "heave-forecast 1"
"""Our own format, named in the first comment; a file need not name it."""

_TIME_WORDS: Final = (("yy", "yyyy"), ("mm",), ("dd",), ("hh",), ("mm",))
_TIME_NAMES: Final = ("year", "month", "day", "hour", "minute")


@dataclass(frozen=True)
class ForecastTable:
    """A forecast file as text: its table, the names it may use, and whether it is a buoy centre's layout."""

    table: Table
    buoy: bool

    @property
    def names(self) -> dict[str, ColumnMeaning]:
        """Meaning of the names of this layout."""
        return NDBC if self.buoy else GENERAL


def forecast_table(source: Source) -> ForecastTable:
    """Read the text of a forecast file into a table.

    Parameters
    ----------
    source : a path, or bytes

    Returns
    -------
    ForecastTable

    Raises
    ------
    FileError
        With the line for anything that cannot be read in one way.
    """
    data = load(source, MAX_FORECAST_BYTES)
    words = _first_words(data)
    if _time_columns(words) >= 4:
        found = ForecastTable(_buoy_table(decode(data)), True)
    else:
        found = ForecastTable(read_table(data, MAX_FORECAST_BYTES), False)
        _check_format(found.table)
    rows = found.table.rows
    if len(rows) > MAX_FORECAST_ROWS:
        line = rows[MAX_FORECAST_ROWS].line
        raise FileError("number of rows", len(rows), None, f"at most {MAX_FORECAST_ROWS}", line=line)
    for place, header in enumerate(found.table.header, 1):
        if len(header) > MAX_CELL or not header.isprintable():
            allowed = f"printable text of at most {MAX_CELL} characters"
            raise FileError(f"name of column {place}", header, None, allowed, line=found.table.header_line)
    return found


def _first_words(data: bytes) -> list[str]:
    """Words of the first line, lower case, without its `#`."""
    start = data[:2000].removeprefix(b"\xef\xbb\xbf").lstrip()
    line = re.split(rb"[\r\n]", start, maxsplit=1)[0].decode("utf-8", errors="replace")
    return line.lower().lstrip("#").split()


def _time_columns(words: list[str]) -> int:
    count = 0
    while count < min(5, len(words)) and words[count] in _TIME_WORDS[count]:
        count += 1
    return count


def _buoy_table(text: str) -> Table:
    lines = [(number, line.split()) for number, line in enumerate(text.split("\n"), 1) if line.strip()]
    header_line, words = lines[0]
    words = " ".join(words).lower().lstrip("#").split()
    count = _time_columns(words)
    names = (*_TIME_NAMES[:count], *words[count:])
    if len(names) > MAX_COLUMNS:
        allowed = f"at most {MAX_COLUMNS}"
        raise FileError("number of columns", len(names), None, allowed, line=header_line)
    for name in names:
        if names.count(name) > 1:
            raise FileError("column name", name, None, "each name once", line=header_line, column=name)
    rows = []
    for place, (number, cells) in enumerate(lines[1:]):
        if cells[0].startswith("#"):
            if place == 0:
                _check_units(names, cells, number)
                continue
            raise FileError("row", " ".join(cells)[:60], None, "comments under the header only", line=number)
        if len(cells) != len(names):
            allowed = f"{len(names)} cells, as in the header on line {header_line}"
            raise FileError("number of cells", len(cells), None, allowed, line=number)
        rows.append(Row(number, tuple(cells)))
    if not rows:
        raise FileError("rows", 0, None, "at least one row under the header", line=header_line)
    return Table(names, header_line, tuple(rows), (), " ")


def _check_units(names: tuple[str, ...], cells: list[str], line: int) -> None:
    """The line of units must hold the units the layout is known to have."""
    units = [cell.lower().lstrip("#") for cell in cells]
    if len(units) != len(names):
        allowed = f"{len(names)} units, one for each column"
        raise FileError("line of units", len(units), None, allowed, line=line)
    for name, unit in zip(names, units, strict=True):
        meaning = NDBC.get(name)
        if meaning is None or meaning.quantity not in UNITS_OF or unit == "-":
            continue
        if UNIT_WORDS.get(unit) != meaning.unit:
            raise FileError("unit", unit, None, f"{meaning.unit} for {name}", line=line, column=name)


def _check_format(table: Table) -> None:
    for line, comment in table.comments:
        key, _, value = comment.partition(":")
        if key.strip().lower() == "format" and value.strip() != FORECAST_FORMAT:
            allowed = f"{FORECAST_FORMAT}, the version this planner reads"
            raise FileError("format", value.strip(), None, allowed, line=line)
