"""The table of a forecast file, whatever its layout, and the numbers in it."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.errors import FileError
from heave.files.columns import parse_number, read_cells, read_numbers
from heave.files.forecast.clock import moment_in
from heave.files.forecast.fixed import to_the_right
from heave.files.forecast.layout import SUMMARY, Sheet, sheet_of_rows, sheet_of_text, upright_sheet
from heave.files.forecast.mapping import steps_in
from heave.files.forecast.names import column_meaning
from heave.files.forecast.text import forecast_text
from heave.files.forecast.words import unit_for
from heave.files.forecast.workbook import day_zero, one_sheet
from heave.files.registry import MISSING_WORDS, NDBC, POINTS, forecast_column
from heave.files.rows import Row, Table, TextRows
from heave.files.tables import Source, buoy_times, buoy_words, load, table_of
from heave.files.wanted import printable
from heave.planning.columns import UNITS_OF, USUAL_SENSES, ColumnMeaning
from heave.units import unit_written

MAX_FORECAST_BYTES: Final = 40_000_000
"""Largest forecast or hindcast file read [bytes]; 40 years of hourly rows are about 25 MB."""

MAX_FORECAST_ROWS: Final = 500_000
"""Most rows of all members together."""

FORECAST_FORMAT: Final = "heave-forecast 1"
"""Our own format, named in the first comment; a file need not name it."""

_LEAST_SEA: Final = 0.5
"""Height under which a whole column in centimetres is looked at twice [m]."""

_THOUSANDS: Final = re.compile(r"[0-9]{1,2}[.,][0-9]{3}")

_KEPT_BYTES: Final = 500_000
"""Most bytes of a file whose table is kept for the next answer."""

_MIDNIGHT = re.compile(r"[ T]0?0[:.]00(?:[:.]00(?:\.0+)?)?$")
_BETWEEN = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*(?:-|to)\s*([0-9]+(?:[.,][0-9]+)?)")
_DEGREES = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*\u00b0\s*[tT]?")
_BELOW = re.compile(r"[<\u2264]\s*([0-9]+(?:[.,][0-9]+)?)")


def forecast_sheet(source: Source) -> Sheet:
    """Read a forecast file into a table and what stands around it.

    A table of text whose first line is its header is read strictly and in bulk; a buoy centre's meteorological file has
    a header that starts with `#YY MM DD hh mm`, perhaps a second `#` line of units, and rows of words. Any other text,
    and a workbook, goes through `heave.files.forecast.layout`.

    Parameters
    ----------
    source : a path, or bytes

    Raises
    ------
    FileError
        With the line for anything that cannot be read in one way.
    """
    data = load(source, MAX_FORECAST_BYTES)
    return _kept(data) if len(data) <= _KEPT_BYTES else _sheet_of(data)


def _sheet_of(data: bytes) -> Sheet:
    sheet = _of_workbook(data) if data.startswith(b"PK\x03\x04") else _of_text(data)
    table = sheet.table
    table.check_format(FORECAST_FORMAT)
    if table.units is not None:
        _check_units(table.header, table.units.cells, table.units.line)
    table.not_longer(MAX_FORECAST_ROWS)
    printable(table.header, table.header_line)
    _midnights(sheet)
    _dates_down(sheet)
    return sheet


_kept = lru_cache(maxsize=2)(_sheet_of)
"""Of a file that is read again with each answer; nobody changes a sheet after this."""


def _of_text(data: bytes) -> Sheet:
    text, notes = forecast_text(data)
    first = next((line for line in text.split("\n", 50) if line.strip()), "")
    if len(text) <= _KEPT_BYTES and (sheet := upright_sheet(text)) is not None:
        sheet.notes[:0] = notes
        return sheet
    try:
        table = table_of(text, buoy=True)
    except FileError:
        if buoy_times(buoy_words(first)) >= 4:
            raise
        sheet = sheet_of_text(text)
        if sheet is None:
            raise
    else:
        strict = Sheet(table, [comment for _, comment in table.comments])
        head = text.split("\n", table.header_line)[table.header_line - 1].rstrip()
        sound = _is_sound(table) and ("\n" + text).count("\n" + head) <= 1
        sheet = strict if sound else sheet_of_text(text) or strict
    sheet.notes[:0] = notes
    return sheet


def _of_workbook(data: bytes) -> Sheet:
    sheet, notes = one_sheet(data, sheet_of_rows, "a table: names over columns, one row a time")
    sheet.notes[:0] = notes
    sheet.day_zero = day_zero(data)
    return sheet


def _is_sound(table: Table) -> bool:
    """Whether the first line of a strict table is its header, and its second a row and no units or names."""
    if table.buoy:
        return True
    if any(re.fullmatch(r"[+-]?[0-9.,:/-]+|[\[(].*", name) for name in table.header):
        return False
    if table.delimiter == " " and not all(column_meaning(name, False) for name in table.header):
        return False
    first = [cell for cell in table.rows[0].cells if cell]
    if SUMMARY.match(table.rows.cell(len(table.rows) - 1, 0)):
        return False
    last = [cell for cell in table.rows[len(table.rows) - 1].cells if cell]
    return all(any(map(str.isdigit, "".join(cells))) and not _all_units(cells) for cells in (first, last))


def _all_units(cells: Sequence[str]) -> bool:
    plain = [cell.strip("[]()").lower() for cell in cells]
    return 2 * sum(unit_written(cell) is not None for cell in plain) > len(plain)


def _midnights(sheet: Sheet) -> None:
    """Dates with 00:00 behind them, as spreadsheets write them, are dates alone beside a column of times of day."""
    table = sheet.table
    if table.buoy or len(table.rows) < 1:
        return
    meanings = [column_meaning(name, False) for name in table.header]
    held = [meaning.quantity if meaning else "" for meaning in meanings]
    for place in (place for place, quantity in enumerate(held) if quantity == "date"):
        texts, _ = table.rows.coded(place)
        moments = [moment_in(one) for one in texts if one]
        alone = {one: _MIDNIGHT.sub("", one) for one in texts}
        if not all(found and found.numbers and found.seconds == 0 and not found.zone for found in moments):
            continue
        if ("time" not in held and "clock" not in held) or any(one and alone[one] == one for one in texts):
            continue
        beside = held.index("time" if "time" in held else "clock")
        clocks = [moment_in(one) for one in table.rows.coded(beside)[0] if one]
        dated = any(found is not None and found.numbers for found in clocks)
        if dated or steps_in(table, table.header[beside]):
            continue
        sheet.table = table = _with_columns(table, {place: [alone[one] for one in table.rows.column(place)]})


def _dates_down(sheet: Sheet) -> None:
    """A date that stands in the first row of its day only goes for the rows under it."""
    table = sheet.table
    if len(table.rows) < 2:
        return
    for place, cell in enumerate(table.rows[0].cells):
        first = moment_in(cell) if any(map(str.isdigit, cell)) else None
        if first is None or first.numbers is None or first.seconds is not None:
            continue
        texts, _ = table.rows.coded(place)
        dates = [moment_in(one) for one in texts if one]
        if "" not in texts or not all(date and date.numbers and date.seconds is None for date in dates):
            continue
        days = to_the_right(table.rows.column(place))
        sheet.table = table = _with_columns(table, {place: days})
        sheet.carried = True
        sheet.notes.append(f"A date in column {table.header[place]} holds for the rows under it.")


def _with_columns(table: Table, changed: Mapping[int, list[str]]) -> Table:
    """The table with other cells in some columns."""
    columns = (changed.get(place) or table.rows.column(place) for place in range(len(table.header)))
    rows = (Row(table.rows.line(row), cells) for row, cells in enumerate(zip(*columns, strict=True)))
    return replace(table, rows=TextRows(rows))


def forecast_numbers(
    table: Table, meanings: Sequence[ColumnMeaning]
) -> tuple[dict[str, FloatArray], tuple[str, ...]]:
    """The numbers of the columns `meanings` name, in SI with directions in degrees; NaN where missing.

    Parameters
    ----------
    table : the table
    meanings : columns of height, period or direction, or of what stands beside the waves

    Returns
    -------
    Column name to numbers, shape (rows,), and what is to be said of them

    Raises
    ------
    FileError
        With line and column for the first cell that is no number in its range and no mark of a missing one.
    """
    compass = [m.column for m in meanings if m.quantity == "direction" and _in_points(table, m.column)]
    plain = [forecast_column(meaning) for meaning in meanings if meaning.column not in compass]
    columns = {column: column.name for column in plain}
    notes: tuple[str, ...] = ()
    try:
        found = read_numbers(table, columns)
    except FileError:
        upper, notes = _upper_ends(table, meanings, list(columns.values()))
        if upper is table:
            raise
        found = read_numbers(upper, columns)
    for meaning in meanings:
        in_cm = meaning.quantity == "height" and meaning.unit == "cm"
        if in_cm and np.nanmax(found[meaning.column], initial=0.0) < _LEAST_SEA:
            _no_thousands(table, meaning.column)
    return found | {column: _points(table, column) for column in compass}, notes


def directions_beside(table: Table, meaning: ColumnMeaning) -> tuple[FloatArray, tuple[str, ...]]:
    """A direction by which nothing is judged, as the file has it [degrees], and what is to be said of it.

    Degrees or compass points, cell by cell. What is neither, such as VRB or calm, is missing and told.

    Parameters
    ----------
    table : the table
    meaning : of a column that holds the direction of wind or current

    Returns
    -------
    Degrees from 0 to below 360, NaN where missing, shape (rows,), and notes
    """
    column = forecast_column(meaning)
    other: dict[str, int] = {}

    def read(cell: str, line: int) -> float:
        number = (_degrees(cell) or cell).replace(",", ".")
        if (point := _point(cell)) is not None:
            return point
        try:
            given = float(parse_number(number, meaning.quantity))
        except FileError:
            given = math.inf
        if given in column.sentinels:
            return math.nan
        if not column.inside(given):
            other.setdefault(cell, line)
            return math.nan
        return given

    try:
        found = read_numbers(table, {column: meaning.column})[column.name]
    except FileError:
        found = read_cells(table.rows, table.header.index(meaning.column), read)
    notes: list[str] = []
    if missing := int(np.isnan(found).sum()):
        words = f"Column {meaning.column}: no direction in {missing} of {found.size} rows, missing there"
        cells = ", ".join(f"{cell[:20]} on line {line}" for cell, line in list(other.items())[:3])
        notes.append(words + (f"; the first such: {cells}." if cells else "."))
    usual = USUAL_SENSES[meaning.quantity]
    sense, of = meaning.sense or usual, meaning.quantity.partition(" ")[0]
    way = "comes from" if sense == "from" else "goes to"
    because = "" if meaning.sense else ", as is usual for it"
    notes.append(f"Column {meaning.column} as where the {of} {way}{because}.")
    turned = 180.0 if sense != usual else 0.0
    return (found + turned) % 360.0, tuple(notes)


def _no_thousands(table: Table, column: str) -> None:
    """A column of a few hundredths of a centimetre throughout is metres with a mark of thousands: 1.250 is 12.5 m."""
    cells = enumerate(table.cells(column))
    given = [(row, cell) for row, cell in cells if cell and cell not in MISSING_WORDS]
    if given and all(_THOUSANDS.fullmatch(cell) for _, cell in given):
        allowed = "centimetres without a mark of thousands: write 1250 for 12.5\u00a0m"
        raise table.wrong("height", given[0][0], allowed, column, unit="cm")


def _upper_ends(
    table: Table, meanings: Sequence[ColumnMeaning], columns: Sequence[str]
) -> tuple[Table, tuple[str, ...]]:
    """Cells such as 1.7-2.2 and <0.5 put at their upper end, and how many were in which column; 210\u00b0 as 210."""
    ways = {meaning.column for meaning in meanings if meaning.quantity == "direction"}
    found, notes = dict[int, list[str]](), list[tuple[int, str]]()
    for column in columns:
        place = table.header.index(column)
        texts, which = table.rows.coded(place)
        ends = [_degrees(text) if column in ways else _upper_end(text) for text in texts]
        changed = np.array([end is not None for end in ends])[which]
        if not changed.any():
            continue
        first = int(np.argmax(changed))
        cells = [text if end is None else end for text, end in zip(texts, ends, strict=True)]
        found[place] = [cells[code] for code in which.tolist()]
        if column not in ways:
            how_many = f"{np.count_nonzero(changed)} of {changed.size} cells"
            such = f"give a range such as {texts[which[first]]}: taken at its upper end"
            notes.append((first, f"Column {column}: {how_many} {such}."))
    made = _with_columns(table, found) if found else table
    return made, tuple(note for _, note in sorted(notes, key=lambda one: one[0]))


def _degrees(cell: str) -> str | None:
    """The number of 210\u00b0; None for anything else."""
    way = _DEGREES.fullmatch(cell)
    return way and way[1]


def _upper_end(cell: str) -> str | None:
    """The upper end of a range such as 1.7-2.2 and <0.5; None for anything else."""
    found = _BETWEEN.fullmatch(cell)
    if found and float(found[1].replace(",", ".")) <= float(found[2].replace(",", ".")):
        return found[2]
    below = _BELOW.fullmatch(cell)
    return below and below[1]


def _check_units(names: Sequence[str], cells: Sequence[str], line: int) -> None:
    """The line of units must hold the units the layout is known to have."""
    units = [cell.lstrip("#") for cell in cells]
    if len(units) != len(names):
        allowed = f"{len(names)} units, one for each column: write them, or delete the line"
        raise FileError("line of units", len(units), None, allowed, line=line)
    for name, unit in zip(names, units, strict=True):
        meaning = NDBC.get(name)
        if meaning is None or meaning.quantity not in UNITS_OF or unit == "-":
            continue
        if unit_for(meaning.quantity, unit) != meaning.unit:
            allowed = f"{meaning.unit} for {name}: correct the unit"
            raise FileError("unit", unit, None, allowed, line=line, column=name)


def _in_points(table: Table, column: str) -> bool:
    """Whether a direction column is written in compass points: its first cell that is not missing is."""
    cells = (table.rows.cell(row, table.header.index(column)) for row in range(len(table.rows)))
    return next((cell.upper() in POINTS for cell in cells if cell and cell not in MISSING_WORDS), False)


def _point(cell: str) -> float | None:
    """Degrees of a compass point, NaN for a mark of a missing one; None for anything else."""
    if not cell or cell in MISSING_WORDS:
        return math.nan
    return POINTS.get(cell.upper()) if cell.isascii() else None


def _points(table: Table, column: str) -> FloatArray:
    def read(cell: str, line: int) -> float:
        if (point := _point(cell)) is None:
            allowed = "a compass point such as NNE: write all of the column in points, or all in degrees"
            raise FileError("direction", cell, None, allowed, line=line, column=column)
        return point

    return read_cells(table.rows, table.header.index(column), read)
