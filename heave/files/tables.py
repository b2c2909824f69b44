"""Strict reading of delimited text: bytes to text, text to a table, table to named columns in SI.

The order never changes: size cap, strict UTF-8, comments, delimiter from the header, ragged rows,
names, numbers with their ranges. Nothing is guessed: what could be read in two ways is refused with
the line and the column, because a shifted column or a comma taken for a thousands mark gives a number
that looks right and is not.
"""

from __future__ import annotations

import codecs
import csv
import io
import itertools
import os
import re
import secrets
import stat
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Final

from heave.errors import FileError, InputError
from heave.files.rows import Row, Rows, Table, TextRows, plain_rows
from heave.files.wanted import at_most, each_named, ragged

MAX_BYTES: Final = 20_000_000
"""Largest table read [bytes]; a larger file is refused before it is read."""

MAX_COLUMNS: Final = 400
"""Most columns in a table."""

Source = str | os.PathLike[str] | bytes
"""What every reader takes: a path, or the bytes of an uploaded file."""

BULK_FROM: Final = 20_000
"""Length of rows from which they are looked at in bulk [characters]; fewer are read sooner one by one."""

TIME_NAMES: Final = ("year", "month", "day", "hour", "minute")
"""The time columns of a buoy centre's files."""

_BUOY_TIMES: Final = (("yy", "yyyy", "yr"), ("mm", "mo"), ("dd", "dy"), ("hh", "hr"), ("mm", "mn"))
_UTF_16_MARKS: Final = (codecs.BOM_UTF32_LE, codecs.BOM_UTF32_BE, codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)
_BINARY_STARTS: Final = {
    b"PK\x03\x04": "a workbook or zip archive",
    b"\xd0\xcf\x11\xe0": "an old workbook, or one with a password",
    b"%PDF": "a PDF document",
    b"\x1f\x8b": "a compressed file",
    b"\x89PNG": "a picture",
}
_PRINTABLE: Final = bytes(range(32, 127)) + b"\t\n\r"
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ufeff\u2028\u2029]")
_DELIMITER_NAMES: Final = {",": "comma", ";": "semicolon", "\t": "tab", " ": "space"}
_UNSAFE_STARTS: Final = ("=", "+", "-", "\u2212", "@", "\t", "'", "#")


@contextmanager
def on_line(line: int | None, column: str | None = None) -> Iterator[None]:
    """Names the line of the file, or the column or key, in an error about a value that stands there."""
    try:
        yield
    except InputError as one:
        raise FileError(one.what, one.value, one.unit, one.allowed, line=line, column=column) from one


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

    def check(size: int) -> None:
        if size > max_bytes:
            allowed = f"at most {max_bytes / 1e6:g}\u00a0MB: cut it into shorter files"
            raise FileError("file size", size, "bytes", allowed)

    if not isinstance(source, bytes | str | os.PathLike):
        raise FileError("file", type(source).__name__, None, "a path or bytes")
    data = source
    if not isinstance(data, bytes):
        with _open_place(path := Path(data), "a file that can be opened"):
            if not stat.S_ISREG((status := path.stat()).st_mode):
                raise FileError("file", path, None, "an ordinary file")
            check(status.st_size)
            with path.open("rb") as stream:
                data = stream.read(max_bytes + 1)
    check(len(data))
    return data


@contextmanager
def _open_place(path: Path, allowed: str) -> Iterator[None]:
    """Says of a place that cannot be opened why not."""
    try:
        yield
    except FileError:
        raise
    except (OSError, ValueError) as problem:
        reason = getattr(problem, "strerror", None) or str(problem)
        raise FileError("file", path, None, f"{allowed} ({reason})") from problem


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
        allowed = "UTF-8 text (binary and UTF-16 files are refused): save the table as CSV UTF-8"
        raise FileError("character", "NUL byte", None, allowed, line=_line_at(data, data.index(b"\x00")))
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = _line_at(data, problem.start)
        value = f"byte 0x{problem.object[problem.start]:02x}"
        raise FileError("encoding", value, None, "UTF-8 text: save it as CSV UTF-8", line=line) from problem
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    odd = data.removeprefix(codecs.BOM_UTF8).translate(None, _PRINTABLE).decode()
    control = _CONTROL.search(odd) and _CONTROL.search(text)
    if control:
        line = text.count("\n", 0, control.start()) + 1
        allowed = "printable text: delete the character, or save the table anew as CSV UTF-8"
        raise FileError("character", f"U+{ord(control[0]):04X}", None, allowed, line=line)
    return text


def read_table(source: Source, max_bytes: int = MAX_BYTES) -> Table:
    """Read a delimited table: `#` comments, one header line, rows of the same number of cells.

    The delimiter is the one the header uses: comma, semicolon, tab, or spaces where none of these
    stands in it. A first line `sep=;` as spreadsheets write it is honoured. Blank lines are skipped;
    cells are stripped of spaces; a quoted cell may hold the delimiter and no line break.

    Parameters
    ----------
    source : a path, or bytes
    max_bytes : most bytes allowed

    Returns
    -------
    Table of text cells with line numbers

    Raises
    ------
    FileError
        With line, value and what is allowed, for the first thing that cannot be read in one way.
    """
    return table_of(decode(load(source, max_bytes)))


def table_of(text: str, *, buoy: bool = False) -> Table:
    """A delimited table of text that is decoded, as `read_table`; or of a buoy centre's layout, `#YY MM DD hh mm`."""
    table, end = _head(text, buoy)
    rows: Rows | None = None
    if len(text) - end >= BULK_FROM:
        rows = plain_rows(text[end:], len(table.header), table.delimiter, table.first_line)
    rows = rows or TextRows(_rows(text[end:].split("\n"), table))
    if not rows:
        allowed = "at least one row under the header: the file may be cut short, ask for it whole"
        raise table.refuse("rows", 0, allowed)
    return replace(table, rows=rows)


def _head(text: str, buoy: bool) -> tuple[Table, int]:
    """The table without its rows, and where in the text they begin."""
    comments: list[tuple[int, str]] = []
    given: str | None = None
    start, number = 0, 0
    while start <= len(text):
        end = text.find("\n", start)
        end = len(text) if end < 0 else end
        line, start, number = text[start:end], end + 1, number + 1
        if number == 1:
            given = _separator(line)
        if not line.strip() or (number == 1 and given):
            continue
        words = buoy_words(line)
        if buoy and not comments and not given and buoy_times(words) >= 4:
            return _buoy_head(words, number, text, start)
        if line.lstrip().lstrip('"').startswith("#"):
            comments.append((number, _comment(line)))
            continue
        delimiter = _delimiter(line, number, given)
        header = _header(cut(line, delimiter, number), number)
        return Table(header, number, TextRows(), tuple(comments), delimiter, number + 1), start
    allowed = "a header line and at least one row: write the names of the columns above their numbers"
    raise FileError("file", "no header line", None, allowed, line=1)


def _buoy_head(words: list[str], number: int, text: str, start: int) -> tuple[Table, int]:
    """The head of a buoy centre's file; its next line may give the units."""
    times = buoy_times(words)
    header = _header((*TIME_NAMES[:times], *words[times:]), number)
    units = re.compile(r"((?:[^\S\n]*\n)*)([^\S\n]*#[^\n]*)\n?").match(text, start)
    if units is None:
        return Table(header, number, TextRows(), (), " ", number + 1, True), start
    line = number + 1 + units[1].count("\n")
    unit_row = Row(line, tuple(units[2].lower().split()))
    return Table(header, number, TextRows(), (), " ", line + 1, True, unit_row), units.end()


def _rows(lines: list[str], table: Table) -> Iterator[Row]:
    """Rows read line by line; what is wrong with one is said here."""
    for number, line in enumerate(lines, table.first_line):
        if not line.strip():
            continue
        if line.lstrip().startswith("#"):
            where = "under" if table.buoy else "above"
            allowed = f"comments {where} the header only: move this line, or delete it"
            raise FileError("row", line[:60], None, allowed, line=number)
        cells = cut(line, table.delimiter, number)
        if len(cells) != len(table.header):
            raise ragged(len(cells), len(table.header), table.header_line, number)
        yield Row(number, cells)


def buoy_words(line: str) -> list[str]:
    """Words of a buoy centre's header, lower case, without its `#`."""
    return line.lower().lstrip().lstrip("#").split()


def buoy_times(words: list[str]) -> int:
    """How many of the first words name the time in a buoy centre's header; one has at least four."""
    times = zip(words, _BUOY_TIMES, strict=False)
    return len(list(itertools.takewhile(lambda pair: pair[0] in pair[1], times)))


def neutral(text: str) -> str:
    """User text made safe for a spreadsheet: an apostrophe before what would start a formula or a comment."""
    return "'" + text if text.startswith(_UNSAFE_STARTS) else text


def csv_text(rows: Iterable[Iterable[str]], line_end: str = "\n") -> str:
    """Rows of cells as CSV, each cell made safe for a spreadsheet."""
    stream = io.StringIO()
    csv.writer(stream, lineterminator=line_end).writerows(map(neutral, row) for row in rows)
    return stream.getvalue()


def un_neutral(text: str) -> str:
    """The inverse of `neutral`, so that our own files give back the text that was written."""
    return text[1:] if text.startswith("'") and text[1:].startswith(_UNSAFE_STARTS) else text


def write_text(path: str | os.PathLike[str], text: str) -> None:
    """Write `text` as UTF-8 to `path` through a neighbour file, so a failure leaves the old file whole.
    It is on the disk before the name points to it, whole with two writers too; a link is followed, an old mode kept.

    Raises
    ------
    FileError
        If the place cannot be written.
    """
    target = Path(os.path.realpath(path))
    with _open_place(target, "a place that can be written"):
        draft = target.with_name(f"{target.name}.{secrets.token_hex(4)}.part")
        try:
            with draft.open("x", encoding="utf-8", newline="\n") as file:
                print(text, end="", file=file, flush=True)
                os.fsync(file.fileno())
            if target.exists():
                draft.chmod(stat.S_IMODE(target.stat().st_mode))
            draft.replace(target)
        finally:
            draft.unlink(missing_ok=True)


def _line_at(data: bytes, position: int) -> int:
    return len((data[:position] + b".").splitlines())


def _separator(line: str) -> str | None:
    """The delimiter a first line `sep=;` names."""
    match = re.match(r'"?sep=(.*?)"?$', line.rstrip(" "), re.IGNORECASE)
    if match and match[1] not in (",", ";", "\t"):
        allowed = "sep= a comma, semicolon or tab: write one of them"
        raise FileError("separator", match[1], None, allowed, line=1)
    return match and match[1]


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
        allowed = "one delimiter in the header: part all columns by the same mark"
        raise FileError("delimiter", names, None, allowed, line=number)
    if given is not None and found and found[0] != given:
        allowed = f"{_DELIMITER_NAMES[given]}, as the sep= line says: correct one of the two"
        raise FileError("delimiter", _DELIMITER_NAMES[found[0]], None, allowed, line=number)
    return found[0] if found else given or (" " if len(outside.split()) > 1 else ",")


def cut(line: str, mark: str, number: int | None = None) -> tuple[str, ...]:
    """The cells of a line, without the spaces around them.

    Parameters
    ----------
    line : of the file
    mark : delimiter; a space for words with any number of spaces between, empty for one cell
    number : of the line, where quotes in it have to be closed; None where it is one cell if they are not

    Raises
    ------
    FileError
        For a quote that is left open or stands within a quoted cell, where the number is given.
    """
    if mark in ("", " "):
        return tuple(line.split()) if mark else (line.strip().strip('"').strip(),)
    if '"' not in line:
        return tuple(map(str.strip, line.split(mark)))
    try:
        return tuple(
            map(str.strip, next(csv.reader([line], delimiter=mark, strict=True, skipinitialspace=True)))
        )
    except csv.Error as problem:
        if number is None:
            return (line.strip(),)
        allowed = f"well-formed cells, quotes closed on the same line ({problem}): close or delete the quote"
        raise FileError("row", line[:60], None, allowed, line=number) from problem


def _header(cells: tuple[str, ...], number: int) -> tuple[str, ...]:
    names = tuple(cell.lower() for cell in cells)
    at_most("number of columns", len(names), MAX_COLUMNS, ": delete those that are not needed", number)
    each_named(names, number)
    return names
