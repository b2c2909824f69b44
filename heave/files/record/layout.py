"""Where the table of a heave record stands in its file: words above, names, units under them, rows.

A record is long and plain: rows of as many cells each, a name over every column, perhaps units under the names, and
words above that nothing parts from the table but their shape. The delimiter is the one by which most lines become
rows. What stands above the names is kept for what it says of rate, sense and clock; nothing under the first row is
left out but a last line that was cut short, so no value can be lost.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from heave.errors import FileError
from heave.files.forecast.clock import Moment, moment_in
from heave.files.forecast.fixed import NUMBER, WITH_UNIT, phrases, with_units
from heave.files.forecast.text import forecast_text
from heave.files.forecast.workbook import one_sheet
from heave.files.record.words import is_unit
from heave.files.registry import MISSING_WORDS
from heave.files.rows import Row, Rows, Table, TextRows, plain_rows
from heave.files.tables import BULK_FROM, cut
from heave.files.wanted import printable, ragged

MARKS: Final = ("\t", ";", ",", " ", "")
"""Delimiters; a file of one column has none."""

MOST_ROWS: Final = 1_000_000
MOST_COLUMNS: Final = 60
_SAMPLE: Final = 300
"""Filled lines in which the table must have begun."""

_SHORT: Final = 64
"""Letters of a cell up to which it is remembered what it is."""

_FRACTION: Final = re.compile(
    r"([0-9]{1,2}:[0-9]{2}:[0-9]{2}|(?<![0-9.,:])[0-9]{6})[.,]([0-9]{1,9})(?![0-9])"
)
"""A time of day with parts of a second, which stand apart."""

_COMMENT: Final = re.compile(r"\s*\"?\s*[#!%*/]+\s*")


@dataclass(frozen=True)
class RecordSheet:
    """A record as a table of text, the lines above it, and what is to be said of its reading."""

    table: Table
    above: tuple[str, ...]
    notes: tuple[str, ...]


def record_sheet(data: bytes) -> RecordSheet:
    """The table of a heave record, text or workbook (.xlsx).

    Raises
    ------
    FileError
        With the line, for a file without a table, rows of another number of cells, and rows above the names.
    """
    lines, notes = _lines(data)
    filled = [(number, line) for number, line in enumerate(lines, 1) if line.strip(' \t-=+|:_;,"')]
    mark, width = _delimiter([line for _, line in filled[:_SAMPLE]])
    first = next(place for place, (_, line) in enumerate(filled) if _is_row(cut(line, mark), width))
    early = _last_words(filled[first:_SAMPLE], mark, width)
    if early is not None:
        number, line = early
        allowed = "no words between two rows of the record: move them above it, or delete the line"
        raise FileError("row", line[:60], None, allowed, line=number)
    names, header_line, above = _names(filled[:first], mark, width)
    body, tail = _body(lines, filled[first][0], mark, width)
    rows = _rows(body, filled[first][0], mark, width, header_line)
    # between words and in one column a comma is a decimal one
    delimiter = "\t" if mark in (" ", "") else mark
    table = Table(names, header_line, rows, (), delimiter, filled[first][0])
    table.not_longer(MOST_ROWS)
    return RecordSheet(table, above, (*notes, *tail))


def clock_in(cell: str) -> tuple[Moment, float] | None:
    """A cell of time to whole seconds, and their parts [s]; None for what is no time."""
    part = _FRACTION.search(cell)
    whole = cell if part is None else cell[: part.start(2) - 1] + cell[part.end() :]
    moment = moment_in(whole)
    return None if moment is None else (moment, 0.0 if part is None else float("0." + part[2]))


def _lines(data: bytes) -> tuple[list[str], tuple[str, ...]]:
    """The lines of a file; of a workbook those of the one sheet that holds a table."""
    if not data.startswith(b"PK\x03\x04"):
        text, notes = forecast_text(data)
        lines = text.split("\n")
        if lines[0].strip().strip('"').lower().startswith("sep="):
            lines[0] = ""
        return lines, notes
    lines, notes = one_sheet(data, _lines_of_rows, "the record")
    return lines, notes


def _lines_of_rows(rows: list[Row]) -> list[str] | None:
    """The rows of a sheet as lines of a file; None where they hold no record."""
    lines = [""] * (rows[-1].line + 1)
    for row in rows:
        lines[row.line - 1] = "\t".join(row.cells)
    return lines if sum(_is_row(row.cells, len(row.cells)) for row in rows) > 1 else None


def _is_row(cells: Sequence[str], width: int) -> bool:
    """Whether cells are a row: a number or time among them, and more of these than of words."""
    if len(cells) != width or (_COMMENT.match(cells[0]) and cells[0][:1] != "*"):
        return False
    kinds = [_kind(cell) for cell in cells]
    found = sum(value for value, _ in kinds)
    return found > 0 and 2 * found > len(cells) - sum(empty for _, empty in kinds)


def _kind(cell: str) -> tuple[bool, bool]:
    """Whether a cell is a number or a time, and whether it is empty or a mark of a missing value."""
    return _kept_kind(cell) if len(cell) <= _SHORT else _kept_kind.__wrapped__(cell)


@lru_cache(maxsize=20_000)
def _kept_kind(cell: str) -> tuple[bool, bool]:
    value = bool(NUMBER.fullmatch(cell)) or (bool(cell) and clock_in(cell) is not None)
    return value, not cell or cell in MISSING_WORDS


def _delimiter(sample: Sequence[str]) -> tuple[str, int]:
    """The delimiter by which most lines are rows of one width, and that width."""
    best: tuple[tuple[int, bool, float], str, int] | None = None
    for mark in MARKS:
        if mark not in ("", " ") and not any(mark in line for line in sample):
            continue  # every line would be one cell
        lines = [cut(line, mark) for line in sample]
        sound = [_is_row(cells, len(cells)) for cells in lines]
        widths = Counter(len(cells) for cells, row in zip(lines, sound, strict=True) if row)
        for width, _ in widths.most_common(1):
            if width > MOST_COLUMNS or (width == 1) != (mark == ""):
                continue
            rows = [row and len(cells) == width for cells, row in zip(lines, sound, strict=True)]
            begin = rows.index(True)
            headed = begin > 0 and any(len(one) == width for one in _cut_names(sample[begin - 1], mark))
            values = sum(bool(NUMBER.fullmatch(cell)) for cell in lines[begin]) / width
            score = (sum(rows), headed, values)
            if best is None or score > best[0]:
                best = (score, mark, width)
    if best is None:
        allowed = "a name over every column, and rows of numbers under them: add them"
        raise FileError("heave record", "no rows of numbers", None, allowed, line=1)
    return best[1], best[2]


def _last_words(lines: Sequence[tuple[int, str]], mark: str, width: int) -> tuple[int, str] | None:
    """A line without any number between the first rows, such as a second header; None where there is none."""
    for number, line in lines:
        cells = cut(line, mark)
        blank = all(not cell or cell in MISSING_WORDS for cell in cells)
        if len(cells) == width and not any(map(str.isdigit, line)) and not blank:
            return number, line
    return None


def _cut_names(line: str, mark: str) -> Iterator[list[str]]:
    """The ways in which a line of names may be cut."""
    line = _COMMENT.sub("", line, count=1) if _COMMENT.match(line) else line
    yield list(cut(line, mark))
    if mark == " ":
        yield phrases(line.replace("\t", "  "))
        yield WITH_UNIT.findall(line)


def _names(
    above: Sequence[tuple[int, str]], mark: str, width: int
) -> tuple[tuple[str, ...], int, tuple[str, ...]]:
    """Names of the columns, lower case, with their units; the line they stand on; and the lines above."""
    rest, units = list(above), [""] * width
    header_line, found = (above[-1][0] if above else 1), list[str]()
    if len(rest) > 1:
        for cells in _cut_names(rest[-1][1], mark):
            if len(cells) == width and all(is_unit(cell) for cell in cells if cell):
                units = cells
                rest.pop()
                break
    for cells in _cut_names(rest[-1][1], mark) if rest else ():
        if len(cells) == width and any(re.search(r"[^\W\d_]", cell) for cell in cells):
            header_line, found = rest.pop()[0], cells
            break
    if not found:
        rest, units = list(above), [""] * width
    joined = [" ".join(name.split()).lower() for name in with_units(found or [""] * width, units)]
    named = [name or f"column {place}" for place, name in enumerate(joined, 1)]
    often = Counter(named)
    made = [f"{name} (column {place})" if often[name] > 1 else name for place, name in enumerate(named, 1)]
    printable(made, header_line)
    return tuple(made), header_line, tuple(_COMMENT.sub("", line, count=1).strip() for _, line in rest)


def _body(lines: list[str], first: int, mark: str, width: int) -> tuple[list[str], tuple[str, ...]]:
    """The lines from the first row on, without a last one that was cut short as it was written."""
    body = lines[first - 1 :]
    while body and not body[-1].strip():
        body = body[:-1]
    if len(body) < 3 or not lines[-1].strip() or any(map(str.isalpha, body[-1])):
        return body, ()
    last = cut(body[-1], mark)
    before = min(_decimals(cells[-1]) for line in body[-21:-1] if (cells := cut(line, mark)))
    if len(last) < width or _decimals(last[-1]) < before:
        return body[:-1], (f"Line {len(lines)}, the last, is cut short: left out.",)
    return body, ()


def _decimals(cell: str) -> int:
    """Letters behind the decimal mark of a cell."""
    return len(re.split("[.,]", cell)[1]) if re.search("[.,]", cell) else 0


def _rows(body: list[str], first: int, mark: str, width: int, header_line: int) -> Rows:
    """The rows, in bulk where they are plain; any with another number of cells is refused."""
    text = "\n".join(body)
    if mark and len(text) >= BULK_FROM:
        plain = plain_rows(text, width, mark, first)
        if plain is not None:
            return plain
    found = TextRows(Row(number, cut(line, mark)) for number, line in enumerate(body, first) if line.strip())
    for row in found:
        if len(row.cells) != width:
            raise ragged(len(row.cells), width, header_line, row.line)
    return found
