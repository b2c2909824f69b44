"""Strict reading of delimited text: bytes to text, text to a table, table to named columns in SI.

The order never changes: size cap, strict UTF-8, comments, delimiter from the header, ragged rows,
names, numbers with their ranges. Nothing is guessed: what could be read in two ways is refused with
the line and the column, because a shifted column or a comma taken for a thousands mark gives a number
that looks right and is not.
"""

from __future__ import annotations

import codecs
import csv
import os
import re
import stat
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from heave.errors import FileError

MAX_BYTES: Final = 20_000_000
"""Largest table read [bytes]; a larger file is refused before it is read."""

MAX_COLUMNS: Final = 400
"""Most columns in a table."""

Source = str | os.PathLike[str] | bytes
"""What every reader takes: a path, or the bytes of an uploaded file."""

_UTF_16_MARKS: Final = (codecs.BOM_UTF32_LE, codecs.BOM_UTF32_BE, codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
_BINARY_STARTS: Final = {
    b"PK\x03\x04": "a workbook or zip archive",
    b"\xd0\xcf\x11\xe0": "an old workbook",
    b"%PDF": "a PDF document",
    b"\x1f\x8b": "a compressed file",
    b"\x89PNG": "a picture",
}
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ufeff\u2028\u2029]")
_DELIMITER_NAMES: Final = {",": "comma", ";": "semicolon", "\t": "tab", " ": "space"}
_UNSAFE_STARTS: Final = ("=", "+", "-", "\u2212", "@", "\t", "'", "#")


@dataclass(frozen=True)
class Row:
    """One row of cells and the line of the file it stood on."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True)
class Table:
    """A rectangular table of text: every row has as many cells as the header."""

    header: tuple[str, ...]
    header_line: int
    rows: tuple[Row, ...]
    comments: tuple[tuple[int, str], ...]
    delimiter: str

    def settings(self) -> dict[str, tuple[int, str]]:
        """The `# key: value` pairs among the comments: key to (line, value).

        Raises
        ------
        FileError
            If a key is given twice.
        """
        found: dict[str, tuple[int, str]] = {}
        for line, comment in self.comments:
            key, colon, value = comment.partition(":")
            name = key.strip().lower()
            if not colon or not re.fullmatch(r"[a-z][a-z0-9_]*", name):
                continue
            if name in found:
                raise FileError(
                    "setting", name, None, f"each key once; line {found[name][0]} has it too", line=line
                )
            found[name] = (line, value.strip())
        return found


def load(source: Source, max_bytes: int = MAX_BYTES) -> bytes:
    """The bytes of `source`, refused by size before they are read.

    Parameters
    ----------
    source : a path, or bytes
    max_bytes : most bytes allowed

    Raises
    ------
    FileError
        If the path is not a readable ordinary file, or there are more than `max_bytes`.
    """
    allowed = f"at most {max_bytes / 1e6:g} MB"
    if isinstance(source, bytes):
        if len(source) > max_bytes:
            raise FileError("file size", len(source), "bytes", allowed)
        return source
    if not isinstance(source, str | os.PathLike):
        raise FileError("file", type(source).__name__, None, "a path or bytes")
    try:
        path = Path(source)
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):
            raise FileError("file", str(path), None, "an ordinary file")
        if status.st_size > max_bytes:
            raise FileError("file size", status.st_size, "bytes", allowed)
        with path.open("rb") as stream:
            data = stream.read(max_bytes + 1)
    except (OSError, ValueError) as problem:
        if isinstance(problem, FileError):
            raise
        reason = getattr(problem, "strerror", None) or str(problem)
        raise FileError("file", str(source), None, f"a file that can be opened ({reason})") from problem
    if len(data) > max_bytes:
        raise FileError("file size", len(data), "bytes", allowed)
    return data


def decode(data: bytes) -> str:
    """Text of `data` as strict UTF-8 (a byte-order mark is allowed), line ends made one newline.

    Raises
    ------
    FileError
        For UTF-16 or UTF-32, known binary files, NUL and control characters, and bytes that are not
        UTF-8; the line is named.
    """
    for start, what in _BINARY_STARTS.items():
        if data.startswith(start):
            raise FileError("file", what, None, "text: save the table as CSV in UTF-8", line=1)
    if data.startswith(_UTF_16_MARKS):
        raise FileError("encoding", "UTF-16 or UTF-32", None, "UTF-8 text: save it as CSV UTF-8", line=1)
    if b"\x00" in data:
        line = _line_at(data, data.index(b"\x00"))
        raise FileError(
            "character", "NUL byte", None, "UTF-8 text (binary and UTF-16 files are refused)", line=line
        )
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = _line_at(data, problem.start)
        value = f"byte 0x{problem.object[problem.start]:02x}"
        raise FileError("encoding", value, None, "UTF-8 text: save it as CSV UTF-8", line=line) from problem
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    control = _CONTROL.search(text)
    if control:
        line = text.count("\n", 0, control.start()) + 1
        raise FileError("character", f"U+{ord(control[0]):04X}", None, "printable text", line=line)
    return text


def read_table(source: Source, max_bytes: int = MAX_BYTES) -> Table:
    """Read a delimited table: `#` comments, one header line, rows of the same number of cells.

    The delimiter is the one the header uses: comma, semicolon, tab, or spaces where none of these
    stands in it. A first line `sep=;` as spreadsheets write it is honoured. Blank lines are skipped;
    cells are stripped of spaces; a quoted cell may hold the delimiter and no line break.

    Returns
    -------
    Table of text cells with line numbers

    Raises
    ------
    FileError
        With line, value and what is allowed, for the first thing that cannot be read in one way.
    """
    lines = decode(load(source, max_bytes)).split("\n")
    start, given = _separator_line(lines)
    comments: list[tuple[int, str]] = []
    rows: list[Row] = []
    header: Row | None = None
    delimiter = given or ","
    for number, line in enumerate(lines[start:], start + 1):
        if not line.strip():
            continue
        if header is None and line.lstrip().lstrip('"').startswith("#"):
            comments.append((number, _comment(line)))
        elif header is None:
            delimiter = _delimiter(line, number, given)
            header = Row(number, _header(_cells(line, number, delimiter), number))
        elif line.lstrip().startswith("#"):
            raise FileError("row", line[:60], None, "comments above the header only", line=number)
        else:
            cells = _cells(line, number, delimiter)
            if len(cells) != len(header.cells):
                allowed = f"{len(header.cells)} cells, as in the header on line {header.line}"
                raise FileError("number of cells", len(cells), None, allowed, line=number)
            rows.append(Row(number, cells))
    if header is None:
        raise FileError("file", "no header line", None, "a header line and at least one row", line=1)
    if not rows:
        raise FileError("rows", 0, None, "at least one row under the header", line=header.line)
    return Table(header.cells, header.line, tuple(rows), tuple(comments), delimiter)


def neutral(text: str) -> str:
    """User text made safe for a spreadsheet: an apostrophe before what would start a formula or a comment."""
    return "'" + text if text.startswith(_UNSAFE_STARTS) else text


def un_neutral(text: str) -> str:
    """The inverse of `neutral`, so that our own files give back the text that was written."""
    return text[1:] if text.startswith("'") and text[1:].startswith(_UNSAFE_STARTS) else text


def write_text(path: str | os.PathLike[str], text: str) -> None:
    """Write `text` as UTF-8 to `path` through a neighbour file, so a failure leaves the old file whole.

    Raises
    ------
    FileError
        If the place cannot be written.
    """
    target = Path(path)
    draft = target.with_name(target.name + f".{os.getpid()}.part")
    try:
        draft.write_text(text, encoding="utf-8", newline="\n")
        draft.replace(target)
    except (OSError, ValueError) as problem:
        draft.unlink(missing_ok=True)
        reason = getattr(problem, "strerror", None) or str(problem)
        raise FileError("file", str(target), None, f"a place that can be written ({reason})") from problem


def _line_at(data: bytes, position: int) -> int:
    before = data[:position].replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    return before.count(b"\n") + 1


def _separator_line(lines: list[str]) -> tuple[int, str | None]:
    """Index of the first line to read, and the delimiter a `sep=` line names."""
    match = re.match(r'"?sep=(.*?)"?$', lines[0].rstrip(" \n"), re.IGNORECASE)
    if not match:
        return 0, None
    if match[1] not in (",", ";", "\t"):
        raise FileError("separator", match[1], None, "sep= a comma, semicolon or tab", line=1)
    return 1, match[1]


def _comment(line: str) -> str:
    """Text of a comment line, also when a spreadsheet has quoted it and padded it with delimiters."""
    text = line.strip()
    if text.startswith('"'):
        closing = re.fullmatch(r'"((?:[^"]|"")*)"[,;\t]*', text)
        text = closing[1].replace('""', '"') if closing else text.lstrip('"')
    return text.lstrip("#").strip().rstrip(",;\t").strip()


def _delimiter(line: str, number: int, given: str | None) -> str:
    outside = re.sub(r'"[^"]*"', "", line)
    found = [mark for mark in (",", ";", "\t") if mark in outside]
    if len(found) > 1:
        names = " and ".join(_DELIMITER_NAMES[mark] for mark in found)
        raise FileError("delimiter", names, None, "one delimiter in the header", line=number)
    if given is not None and found and found[0] != given:
        allowed = f"{_DELIMITER_NAMES[given]}, as the sep= line says"
        raise FileError("delimiter", _DELIMITER_NAMES[found[0]], None, allowed, line=number)
    return found[0] if found else given or (" " if len(outside.split()) > 1 else ",")


def _cells(line: str, number: int, delimiter: str) -> tuple[str, ...]:
    if delimiter == " ":
        return tuple(line.split())
    try:
        parsed = list(csv.reader([line], delimiter=delimiter, strict=True, skipinitialspace=True))
    except csv.Error as problem:
        allowed = f"well-formed cells, quotes closed on the same line ({problem})"
        raise FileError("row", line[:60], None, allowed, line=number) from problem
    return tuple(cell.strip() for cell in parsed[0])


def _header(cells: tuple[str, ...], number: int) -> tuple[str, ...]:
    names = tuple(cell.lower() for cell in cells)
    if len(names) > MAX_COLUMNS:
        raise FileError("number of columns", len(names), None, f"at most {MAX_COLUMNS}", line=number)
    for place, name in enumerate(names, 1):
        if not name:
            raise FileError("column name", name, None, f"a name for column {place}", line=number)
        if names.index(name) != place - 1:
            raise FileError("column name", name, None, "each name once", line=number, column=name)
    return names
