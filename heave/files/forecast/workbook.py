"""Cells of a workbook (.xlsx) as text: values only, no formula and no macro is ever run.

The package openpyxl reads the sheets, and is imported when the first workbook comes. A workbook is a zip archive: its
size is looked at before and after unzipping, and a part that defines entities is refused before it is parsed.
"""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from collections.abc import Callable
from datetime import date, datetime, time, timedelta
from functools import lru_cache
from typing import Any, Final, TypeVar

from heave.errors import FileError
from heave.files.rows import Row
from heave.units import counted

T = TypeVar("T")

MAX_UNZIPPED: Final = 150_000_000
"""Most bytes of all parts of a workbook together."""

MAX_CELLS: Final = 3_000_000
MOST_BLANK_ROWS: Final = 2_000
"""Empty rows after which nothing more is looked for in a sheet."""

DAY_ZERO: Final = 25_569
"""1 January 1970 in day numbers, of which 0 is 30 December 1899."""

DAY_ZERO_1904: Final = 24_107
"""The same in a workbook that counts from 1 January 1904, as some do."""

_HIDDEN: Final = re.compile(rb"<row\b[^>]*\bhidden=\"(?:1|true)\"")
_UNSAVED: Final = re.compile(rb"<f\b[^>]*(?:/>|>[^<]*</f>)\s*(?:<v\s*/>|<v>\s*</v>)?\s*</c>")
_COUNTS_FROM_1904: Final = re.compile(rb"\bdate1904=\"(?:1|true)\"")

_AS_TEXT: Final = "save the sheet as CSV, or as a workbook (.xlsx) without a password"


def sheets_of(data: bytes) -> dict[str, list[Row]]:
    """The visible sheets of a workbook by name: rows with any value, hidden ones too, their cells as text.

    Parameters
    ----------
    data : bytes of the .xlsx file

    Raises
    ------
    FileError
        If it is no workbook, is damaged or holds too much.
    """
    return _read(data)[0]


def one_sheet(
    data: bytes, table_in: Callable[[list[Row]], T | None], wanted: str
) -> tuple[T, tuple[str, ...]]:
    """What `table_in` makes of the one sheet that has a table, and what is to be said of the sheet.

    Parameters
    ----------
    data : bytes of the .xlsx file
    table_in : gives the table among the rows of a sheet, None where there is none
    wanted : what the workbook should hold

    Raises
    ------
    FileError
        As `sheets_of`, where no sheet or more than one has a table, and as `table_in` where none has.
    """
    found: dict[str, T] = {}
    problem: FileError | None = None
    for name, rows in sheets_of(data).items():
        try:
            table = table_in(rows)
        except FileError as error:
            problem = problem or error
            continue
        if table is not None:
            found[name] = table
    if problem is not None and not found:
        raise problem
    if len(found) != 1:
        allowed = f"one sheet with {wanted}. Delete the other sheets"
        raise FileError("sheets of the workbook", (", ".join(found) or "no table")[:80], None, allowed)
    name, table = found.popitem()
    return table, (f"Read from sheet {name[:60]}.", *said_of(data, name))


def said_of(data: bytes, name: str) -> tuple[str, ...]:
    """What is to be said of a sheet that `sheets_of` has read, in sentences: rows and values that nobody sees.

    Parameters
    ----------
    data : bytes of the .xlsx file
    name : of the sheet
    """
    return _read(data)[1].get(name, ())


def day_zero(data: bytes) -> int:
    """1 January 1970 in the day numbers of a workbook, `DAY_ZERO` unless it counts from 1904.

    Parameters
    ----------
    data : bytes of the .xlsx file, looked at by `sheets_of`
    """
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        found = _COUNTS_FROM_1904.search(archive.read("xl/workbook.xml"))
    return DAY_ZERO_1904 if found else DAY_ZERO


@lru_cache(maxsize=1)
def _read(data: bytes) -> tuple[dict[str, list[Row]], dict[str, tuple[str, ...]]]:
    """Rows of every visible sheet, and what is to be said of it."""
    _look_inside(data)
    try:
        import openpyxl

        book = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
        shown = [sheet for sheet in book.worksheets if sheet.sheet_state == "visible"]
        found = {sheet.title: _rows(sheet) for sheet in shown}
        said = {sheet.title: _unseen(data, getattr(sheet, "_worksheet_path", "")) for sheet in shown}
        book.close()
    except FileError:
        raise
    except ImportError as problem:
        raise FileError("workbook", "openpyxl is not installed", None, "the sheet saved as CSV") from problem
    except Exception as problem:  # the parser raises whatever a damaged part brings it to
        allowed = f"a sound workbook: {_AS_TEXT}"
        raise FileError("workbook", type(problem).__name__, None, allowed) from problem
    return {name: rows for name, rows in found.items() if rows}, said


def _unseen(data: bytes, part: str) -> tuple[str, ...]:
    """Hidden rows of a sheet, which are read, and formulas without a value, which cannot be."""
    hidden = unsaved = 0
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        if part not in archive.namelist():
            return ()
        with archive.open(part) as stream:
            held = b""
            while piece := stream.read(1_000_000):
                held += piece
                whole = held.rfind(b"</row>") + 1
                hidden += len(_HIDDEN.findall(held, 0, whole))
                unsaved += len(_UNSAVED.findall(held, 0, whole))
                held = held[whole:]
    said = []
    if hidden:
        said.append(f"Rows that the sheet hides are read as well: {hidden}.")
    if unsaved:
        lost = f"Formulas without a saved value, {counted(unsaved, 'cell')}, are missing"
        said.append(f"{lost}: open and save it in a spreadsheet program.")
    return tuple(said)


def _look_inside(data: bytes) -> None:
    """Refuse what is no workbook, what unzips to too much and what defines entities."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            parts = archive.infolist()
            unzipped = sum(part.file_size for part in parts)
            if unzipped > MAX_UNZIPPED or len(parts) > 2_000:
                allowed = f"at most {MAX_UNZIPPED / 1e6:g}\u00a0MB in its parts: keep the sheet with the forecast alone"
                raise FileError("workbook", f"{unzipped} bytes unzipped", None, allowed)
            if "xl/workbook.xml" not in archive.namelist():
                raise FileError("file", "a zip archive that is no workbook", None, _AS_TEXT)
            for part in parts:
                if part.filename.endswith((".xml", ".rels")):
                    with archive.open(part) as stream:
                        if b"<!" in stream.read(2_000).replace(b"<!--", b""):
                            raise FileError("workbook", "a part that defines entities", None, _AS_TEXT)
    except FileError:
        raise
    except (zipfile.BadZipFile, zlib.error, RuntimeError, OSError, EOFError, ValueError) as problem:
        raise FileError("workbook", "a damaged or locked archive", None, _AS_TEXT) from problem


def _rows(sheet: Any) -> list[Row]:
    rows: list[Row] = []
    cells, last = 0, 0
    days, others, clocks = set[int](), set[int](), False
    for number, values in enumerate(sheet.iter_rows(values_only=True), 1):
        if number - last > MOST_BLANK_ROWS:
            break
        if all(value is None for value in values):
            continue
        last = number
        cells += len(values)
        if cells > MAX_CELLS:
            allowed = "the forecast alone: delete the rest"
            raise FileError("workbook", f"over {MAX_CELLS} cells", None, allowed, line=number)
        rows.append(Row(number, tuple(map(_text, values))))
        for place, value in enumerate(values):
            if isinstance(value, datetime):
                (others if value.time() > time() else days).add(place)
            clocks = clocks or isinstance(value, time | timedelta)
    # a day has no type of its own: beside times of day it is a day, not its midnight
    alone = days - others if clocks else set()

    def as_days(cells: tuple[str, ...]) -> tuple[str, ...]:
        pairs = enumerate(cells)
        return tuple(cell.removesuffix(" 00:00:00") if place in alone else cell for place, cell in pairs)

    return [Row(row.line, as_days(row.cells)) for row in rows] if alone else rows


def _text(value: Any) -> str:
    """A cell as it would be typed: numbers with a decimal point, times in ISO form."""
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() and abs(value) < 1e15 else f"{value:.12g}"
    if isinstance(value, str):
        return " ".join(value.split())
    found = "" if value is None else str(value)
    if isinstance(value, datetime):
        found = str(_exact(value))[:23]
    elif isinstance(value, date):
        found = value.isoformat()
    elif isinstance(value, time):
        exact = _exact(datetime.combine(date.min, value))
        found = "24:00:00" if exact.day > 1 else exact.time().isoformat("auto")[:12]
    elif isinstance(value, timedelta):
        found = f"{value.total_seconds() / 3600:g}"
    return found


def _exact(when: datetime) -> datetime:
    """To the second, which day numbers only come near, or where that is 5 ms and more away to the millisecond."""
    near = when + timedelta(microseconds=500_000)
    whole = near.replace(microsecond=0)
    if abs(when - whole) < timedelta(milliseconds=5):
        return whole
    near = when + timedelta(microseconds=500)
    return near.replace(microsecond=near.microsecond // 1000 * 1000)
