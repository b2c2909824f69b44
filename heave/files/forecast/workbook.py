"""Cells of a workbook (.xlsx) as text: values only, no formula and no macro is ever run.

The package openpyxl reads the sheets, and is imported when the first workbook comes. A workbook is a zip archive: its
size is looked at before and after unzipping, and a part that defines entities is refused before it is parsed.
"""

from __future__ import annotations

import io
import zipfile
from datetime import date, datetime, time, timedelta
from functools import lru_cache
from typing import Any, Final

from heave.errors import FileError
from heave.files.rows import Row

MAX_UNZIPPED: Final = 150_000_000
"""Most bytes of all parts of a workbook together."""

MAX_CELLS: Final = 3_000_000
MOST_BLANK_ROWS: Final = 2_000
"""Empty rows after which nothing more is looked for in a sheet."""

_AS_TEXT: Final = "save the sheet as CSV, or as a workbook (.xlsx) without a password"


@lru_cache(maxsize=1)
def sheets_of(data: bytes) -> dict[str, list[Row]]:
    """The visible sheets of a workbook by name: rows with any value, their cells as text.

    Parameters
    ----------
    data : bytes of the .xlsx file

    Raises
    ------
    FileError
        If it is no workbook, is damaged or holds too much.
    """
    _look_inside(data)
    try:
        import openpyxl

        book = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
        found = {sheet.title: _rows(sheet) for sheet in book.worksheets if sheet.sheet_state == "visible"}
        book.close()
    except FileError:
        raise
    except ImportError as problem:
        raise FileError("workbook", "openpyxl is not installed", None, "the sheet saved as CSV") from problem
    except Exception as problem:  # the parser raises whatever a damaged part brings it to
        raise FileError(
            "workbook", type(problem).__name__, None, f"a sound workbook: {_AS_TEXT}"
        ) from problem
    return {name: rows for name, rows in found.items() if rows}


def _look_inside(data: bytes) -> None:
    """Refuse what is no workbook, what unzips to too much and what defines entities."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            parts = archive.infolist()
            unzipped = sum(part.file_size for part in parts)
            if unzipped > MAX_UNZIPPED or len(parts) > 2_000:
                allowed = (
                    f"at most {MAX_UNZIPPED / 1e6:g} MB in its parts: keep the sheet with the forecast alone"
                )
                raise FileError("workbook", f"{unzipped} bytes unzipped", None, allowed)
            if "xl/workbook.xml" not in archive.namelist():
                raise FileError("file", "a zip archive that is no workbook", None, _AS_TEXT)
            for part in parts:
                if part.filename.endswith((".xml", ".rels")):
                    with archive.open(part) as stream:
                        if b"<!" in stream.read(2_000).replace(b"<!--", b""):
                            raise FileError("workbook", "a part that defines entities", None, _AS_TEXT)
    except (zipfile.BadZipFile, RuntimeError, OSError, EOFError) as problem:
        raise FileError("workbook", "a damaged or locked archive", None, _AS_TEXT) from problem


def _rows(sheet: Any) -> list[Row]:
    rows: list[Row] = []
    cells, last = 0, 0
    for number, values in enumerate(sheet.iter_rows(values_only=True), 1):
        if number - last > MOST_BLANK_ROWS:
            break
        if all(value is None for value in values):
            continue
        last = number
        cells += len(values)
        if cells > MAX_CELLS:
            raise FileError(
                "workbook",
                f"over {MAX_CELLS} cells",
                None,
                "the forecast alone: delete the rest",
                line=number,
            )
        rows.append(Row(number, tuple(map(_text, values))))
    return rows


def _text(value: Any) -> str:
    """A cell as it would be typed: numbers with a decimal point, times in ISO form."""
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() and abs(value) < 1e15 else f"{value:.12g}"
    if isinstance(value, str):
        return " ".join(value.split())
    found = "" if value is None else str(value)
    if isinstance(value, datetime):
        whole = (
            value + timedelta(microseconds=500_000) if value.microsecond else value
        )  # day numbers are not exact
        found = str(whole.replace(microsecond=0))
    elif isinstance(value, date):
        found = value.isoformat()
    elif isinstance(value, time):
        found = value.isoformat("minutes")
    elif isinstance(value, timedelta):
        found = f"{value.total_seconds() / 3600:g}"
    return found
