"""A table, its rows held in one of two ways: as text, or as the bytes they were read from.

A table is plain when its rows are ASCII without comments or blank lines, quotes stand around whole cells only, and
every line has as many cells as the header: cells are then found by counting delimiters in the bytes. Any other is
read line by line by `heave.files.tables`, which also says what is wrong with it. Both give the same cells.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from heave.arrays import BoolArray, FloatArray, Indices, IntArray
from heave.errors import FileError
from heave.files.wanted import at_most

Bytes = npt.NDArray[np.uint8]
Places = npt.NDArray[np.int32]
Flags = BoolArray
Integers = IntArray

WIDEST: Final = 64
"""Widest cell of a plain table [bytes]."""

DIGITS: Final = 15
"""Most digits of a number read in bulk: such a whole number and the power of ten it is divided by are exact, the
division rounds once, and so gives the float nearest to what is written, as `float` does."""

_POWERS: Final = 10.0 ** np.arange(DIGITS + 1)
_PRINTABLE: Final = bytes(set(range(32, 127)) - set(b"#")) + b"\n"
_NEW_LINE: Final = ord("\n")
_SPACE: Final = ord(" ")
_QUOTE: Final = ord('"')


@dataclass(frozen=True)
class Row:
    """One row of cells and the line of the file it stood on."""

    line: int
    cells: tuple[str, ...]


def trimmed(cells: tuple[str, ...]) -> tuple[str, ...]:
    """Cells without the empty ones at their end."""
    end = len(cells)
    while end and not cells[end - 1]:
        end -= 1
    return cells[:end]


Coded = tuple[list[str], Indices]
"""Different texts, and which of them stands in each row."""


def coded(cells: Sequence[str]) -> Coded:
    """The different cells in the order they appear, and which of them each cell is."""
    numbers = {cell: number for number, cell in enumerate(dict.fromkeys(cells))}
    return list(numbers), np.array([numbers[cell] for cell in cells], dtype=np.intp)


def joined(parts: Sequence[Coded], write: Callable[..., str]) -> Coded:
    """Texts that `write` makes of several columns, each different set of cells once."""
    number = parts[0][1]
    for texts, codes in parts[1:]:
        number = number * len(texts) + codes
    _, first, which = np.unique(number, return_index=True, return_inverse=True)
    return [write(*(texts[codes[row]] for texts, codes in parts)) for row in first.tolist()], which


def runs(true: Flags) -> tuple[Indices, Indices]:
    """Where stretches of true values begin, and how many values each has."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], true, [False])).astype(np.int8)))
    return edges[::2], edges[1::2] - edges[::2]


class Rows(Sequence[Row]):
    """Rows of a table, one after the other."""

    def line(self, row: int | np.integer[Any]) -> int:
        """Line of the file a row stood on."""
        return self[int(row)].line

    def cell(self, row: int, place: int) -> str:
        """One cell."""
        return self[row].cells[place]

    def column(self, place: int, rows: Indices | None = None) -> list[str]:
        """Cells of a column, of every row or of some."""
        return [self[row].cells[place] for row in (range(len(self)) if rows is None else rows.tolist())]

    def coded(self, place: int, first: int = 0, last: int | None = None) -> Coded:
        """As `coded`, of a stretch of the letters of a column's cells."""
        return coded([cell[first:last] for cell in self.column(place)])

    def having(self, place: int, mark: str) -> Sequence[int] | Indices:
        """Rows whose cell in a column has `mark` in it."""
        return [number for number, cell in enumerate(self.column(place)) if mark in cell]


class TextRows(list[Row], Rows):
    """Rows as text."""


@dataclass(frozen=True, eq=False)
class PlainRows(Rows):
    """Rows as bytes, and where each cell starts and ends in them, shape (rows, columns)."""

    text: Bytes
    starts: Places
    ends: Places
    first_line: int
    delimiter: str

    def __len__(self) -> int:
        return len(self.starts)

    def __getitem__(self, row: int) -> Row:  # type: ignore[override]
        return Row(self.line(row), tuple(self.cell(row, place) for place in range(self.starts.shape[1])))

    def line(self, row: int | np.integer[Any]) -> int:
        """As of any rows."""
        return self.first_line + int(row)

    def cell(self, row: int, place: int) -> str:
        """As of any rows."""
        return self.text[self.starts[row, place] : self.ends[row, place]].tobytes().decode()

    def column(self, place: int, rows: Indices | None = None) -> list[str]:
        """As of any rows, all cells at a time."""
        return _texts(self._letters(place, rows))

    def coded(self, place: int, first: int = 0, last: int | None = None) -> Coded:
        """As of any rows; neighbours that are equal are looked at once."""
        letters = self._letters(place, None, first, last or WIDEST)
        changed = np.concatenate(([True], (letters[:, 1:] != letters[:, :-1]).any(axis=0)))
        found, codes = coded(_texts(letters[:, changed]))
        return found, np.repeat(codes, np.diff(np.flatnonzero(np.append(changed, True))))

    def having(self, place: int, mark: str) -> Indices:
        """As of any rows, all cells at a time."""
        if mark == self.delimiter or not (self.text == ord(mark)).any():
            return np.zeros(0, dtype=np.intp)
        return np.flatnonzero((self._letters(place) == ord(mark)).any(axis=0))

    def blank(self, place: int) -> Flags:
        """Whether each cell of a column is empty."""
        found: Flags = self.starts[:, place] == self.ends[:, place]
        return found

    def decimals(self, place: int, mark: str) -> tuple[FloatArray, Flags]:
        """Numbers of a column, as far as they are plain: digits, a sign, one decimal `mark`.

        Returns
        -------
        Numbers, NaN where a cell is not plain, and whether it is, each of shape (rows,)
        """
        letters = self._letters(place)
        negative = letters[0] == ord("-")
        signed = negative | (letters[0] == ord("+"))
        whole = np.zeros(len(self))
        digits, decimals, marks = np.zeros((3, len(self)), dtype=np.int8)
        for letter in letters:
            digit = letter - np.uint8(ord("0"))
            is_digit = digit < 10
            whole = np.where(is_digit, whole * 10.0 + digit, whole)
            digits += is_digit
            decimals += is_digit & (marks > 0)
            marks += letter == ord(mark)
        width = self.ends[:, place] - self.starts[:, place]
        plain = (digits > 0) & (digits <= DIGITS) & (digits + marks + signed == width)
        plain &= (marks == 0) | ((marks == 1) & (decimals > 0))
        numbers = whole / _POWERS[np.where(plain, decimals, 0)]
        return np.where(plain, np.where(negative, -numbers, numbers), np.nan), plain

    def _letters(self, place: int, rows: Indices | None = None, first: int = 0, last: int = WIDEST) -> Bytes:
        """Letters `first` to `last` of a column's cells, one after the other, 0 past their ends; (widest, rows)."""
        chosen = slice(None) if rows is None else rows
        at, ends = (edges[chosen, place].astype(np.intp) for edges in (self.starts, self.ends))
        ends, at = np.minimum(ends, at + last), at + first
        found = np.zeros((int((ends - at).max(initial=1)), at.size), dtype=np.uint8)
        for letters in found:
            self.text.take(at, out=letters, mode="clip")
            letters[at >= ends] = 0
            at += 1
        return found


@dataclass(frozen=True)
class Table:
    """A rectangular table of text: every row has as many cells as the header."""

    header: tuple[str, ...]
    header_line: int
    rows: Rows
    comments: tuple[tuple[int, str], ...]
    delimiter: str
    first_line: int
    """Line the first row may stand on."""

    buoy: bool = False
    """Whether the header is a buoy centre's; its time columns are then named as in TIME_NAMES."""

    units: Row | None = None
    """The line of units under a buoy centre's header."""

    def settings(self) -> dict[str, tuple[int, str]]:
        """The `# key: value` pairs among the comments: key to (line, value).

        Raises
        ------
        FileError
            If a key is given twice.
        """
        found: dict[str, tuple[int, str]] = {}
        for line, comment in self.comments:
            pair = re.fullmatch(r"([A-Za-z][A-Za-z0-9_]*)\s*:\s*(.*)", comment)
            name = pair[1].lower() if pair else ""
            if name in found:
                allowed = f"each key once; line {found[name][0]} has it too: delete one of them"
                raise FileError("setting", name, None, allowed, line=line)
            if pair:
                found[name] = (line, pair[2])
        return found

    def check_format(self, known: str) -> None:
        """Refuse a table whose comments name another format, or version of it; one that names none is read.

        Raises
        ------
        FileError
            Naming the line and the format `known`.
        """
        for line, comment in self.comments:
            key, _, value = comment.partition(":")
            if key.strip().lower() == "format" and value.strip() != known:
                allowed = f"{known}: write that, or delete the line"
                raise FileError("format", value.strip(), None, allowed, line=line)

    def refuse(self, what: str, value: object, allowed: str, column: str | None = None) -> FileError:
        """The error about something on the line of the header."""
        return FileError(what, value, None, allowed, line=self.header_line, column=column)

    def cells(self, column: str, most: int | None = None) -> list[str]:
        """Cells of the column of that name, all or the first of them."""
        place = self.header.index(column)
        if most is None:
            return self.rows.column(place)
        return [self.rows.cell(row, place) for row in range(min(most, len(self.rows)))]

    def wrong(
        self, what: str, row: int | np.integer[Any], allowed: str, *columns: str, unit: str | None = None
    ) -> FileError:
        """The error about what stands in a row, in one or several of its `columns`."""
        cells = " ".join(self.rows.cell(int(row), self.header.index(column)) for column in columns).strip()
        line, column = self.rows.line(row), " ".join(columns)
        return FileError(what, cells or "empty", unit, allowed, line=line, column=column)

    def not_longer(self, most: int) -> None:
        """Refuse a table of more than `most` rows."""
        if len(self.rows) > most:
            line = self.rows.line(most)
            at_most("number of rows", len(self.rows), most, ": cut it into shorter files", line)


def _texts(letters: Bytes) -> list[str]:
    joined = np.ascontiguousarray(letters.T).view(f"S{len(letters)}").ravel()
    found: list[str] = joined.astype(f"U{len(letters)}").tolist()
    return found


def plain_rows(text: str, columns: int, delimiter: str, first_line: int) -> PlainRows | None:
    """The rows of a plain table, or None where it is not plain.

    Parameters
    ----------
    text : all below the header, lines ended by a newline
    columns : cells in each row
    delimiter : comma, semicolon or tab; or a space, for words with any number of spaces between
    first_line : line of the file the first row stands on
    """
    end = text.find("\n", len(text.rstrip("\n ")))
    body = (text if end < 0 else text[:end]).encode() + b"\n"
    if columns < 2 or body.translate(None, _PRINTABLE + (b"\t" if delimiter == "\t" else b"")):
        return None
    letters: Bytes = np.frombuffer(body, dtype=np.uint8)
    found = _words(letters, columns) if delimiter == " " else _cells(letters, columns, ord(delimiter))
    if found is None:
        return None
    starts, ends = found
    width = ends - starts
    if width.max() > WIDEST or (delimiter == "\t" and not width.any(axis=1).all()):
        return None  # a line of tabs alone is a blank line
    return PlainRows(letters, starts, ends, first_line, delimiter)


def _cells(letters: Bytes, columns: int, delimiter: int) -> tuple[Places, Places] | None:
    """Starts and ends of cells without the spaces around them; None where a line has another number of cells."""
    marks = np.flatnonzero((letters == delimiter) | (letters == _NEW_LINE)).astype(np.int32)
    if marks.size % columns:
        return None
    ends = marks.reshape(-1, columns)
    if (letters[ends[:, -1]] != _NEW_LINE).any() or (letters[ends[:, :-1]] == _NEW_LINE).any():
        return None
    starts = np.concatenate(([np.int32(0)], marks[:-1] + np.int32(1))).reshape(ends.shape)
    if (ends - starts).max() > WIDEST:
        return None
    spaces, quotes = (letters == _SPACE).any(), np.count_nonzero(letters == _QUOTE)
    if spaces:
        starts = _trimmed(letters, starts, ends, 1)
    if quotes:
        quoted = (letters[starts] == _QUOTE) & (letters[ends - 1] == _QUOTE) & (ends - starts > 1)
        if quotes != 2 * np.count_nonzero(quoted):
            return None  # a delimiter or a quote inside quotes, or a quote left open
        ends = ends - quoted
        starts = _trimmed(letters, starts + quoted, ends, 1)
    return starts, _trimmed(letters, ends, starts, -1) if spaces else ends


def _trimmed(letters: Bytes, edges: Places, others: Places, step: int) -> Places:
    """Starts moved forward (step 1) or ends moved back (step -1) past spaces, as far as the cells' other edges."""
    while (blank := (letters[edges - (step < 0)] == _SPACE) & (edges != others)).any():
        edges = edges + np.int32(step) * blank
    return edges


def _words(letters: Bytes, columns: int) -> tuple[Places, Places] | None:
    """Starts and ends of words; None where a line has another number of them."""
    filled = letters > _SPACE
    edges = (np.flatnonzero(filled[1:] != filled[:-1]) + 1).astype(np.int32)
    edges = np.concatenate(([np.int32(0)], edges)) if filled[0] else edges
    lines = np.flatnonzero(letters == _NEW_LINE)
    if edges.size != 2 * lines.size * columns:
        return None
    starts, ends = (edges[first::2].reshape(-1, columns) for first in (0, 1))
    if (ends[:, -1] > lines).any() or (starts[1:, 0] < lines[:-1]).any():
        return None
    return starts, ends
