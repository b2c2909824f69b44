"""The blocks of a response file: rows of numbers, the names over them and the words above; text or a workbook.

Naval architects send one long table, a table for each heading, or one for each motion with the headings over its
columns. All are blocks of numbers under words. A line that is neither numbers nor words is refused, so nothing is lost.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Final

from heave.errors import FileError
from heave.files.forecast.fixed import (
    NUMBER,
    WITH_UNIT,
    names_over,
    phrases,
    spans_of,
    to_the_right,
    with_units,
)
from heave.files.forecast.text import forecast_text
from heave.files.forecast.workbook import said_of, sheets_of
from heave.files.registry import MISSING_WORDS
from heave.files.rows import Row, trimmed
from heave.files.tables import cut
from heave.files.wanted import printable, ragged

MOST_BLOCKS: Final = 400
MOST_ROWS: Final = 60_000
_LARGEST: Final = 1e9
_MARKS: Final = (";", "\t", ",", "|")
_HEADING: Final = re.compile(r"([+-]?[0-9]+(?:[.,][0-9]+)?) *(?:°|deg|degrees)?", re.IGNORECASE)
_UNIT: Final = re.compile(
    r"[\[(]?(?:[smhz-]|sec|hz|rad/s|r/s|1/s|deg|degrees|°|rad|(?:m|ft|deg|rad|°)/(?:m|ft|deg|rad|°)|-)[\])]?",
    re.IGNORECASE,
)
_BEGINS_A_NUMBER: Final = re.compile(r"[+-]?[.,]?[0-9]")
_COMMENT: Final = re.compile(r"\s*[\"']?\s*[#!%*/]+\s*")


@dataclass(frozen=True)
class Block:
    """Rows of numbers, the name over each column and the words above them, the nearest last."""

    names: tuple[str, ...]
    rows: tuple[Row, ...]
    words: tuple[str, ...]
    sheet: str = ""
    """Name of the sheet of a workbook; its words begin anew there."""


@dataclass(frozen=True, eq=False)
class Content:
    """What a file holds: its blocks, all of its words, the decimal mark, and what is to be said of its reading.

    Two of them are never equal, so that what is made of one can be kept by it.
    """

    blocks: tuple[Block, ...]
    words: tuple[str, ...]
    notes: tuple[str, ...]


@lru_cache(maxsize=2)
def content_of(data: bytes) -> Content:
    """The blocks of a file, text or workbook (.xlsx).

    Raises
    ------
    FileError
        With its line for what cannot be read in one way, and for a file without numbers under names.
    """
    words: list[str] = []
    blocks: list[Block] = []
    notes: tuple[str, ...] = ()
    if data.startswith(b"PK\x03\x04"):
        for name, rows in sheets_of(data).items():
            lines = [_Line(row.line, "\t".join(row.cells), row.cells) for row in rows]
            blocks += _blocks(lines, "\t", words, name)
        used = dict.fromkeys(block.sheet for block in blocks)
        notes = (f"Read from {len(used)} sheets of the workbook.",)
        notes += tuple(note for name in used for note in said_of(data, name))
    else:
        text, notes = forecast_text(data)
        mark = _delimiter(text)
        blocks = list(_blocks([_cut(number, line, mark) for number, line in _filled(text)], mark, words))
    if not blocks:
        allowed = "a name over every column, and rows of numbers under them"
        raise FileError("response table", "no numbers under names", None, allowed, line=1)
    if len(blocks) > MOST_BLOCKS or sum(len(block.rows) for block in blocks) > MOST_ROWS:
        allowed = f"at most {MOST_BLOCKS} tables of {MOST_ROWS} rows together"
        raise FileError("size of the response table", len(blocks), None, allowed)
    _one_decimal_mark(blocks)
    return Content(tuple(blocks), tuple(words), notes)


def number_in(cell: str) -> float | None:
    """The number a cell holds, with a decimal point or comma; None for a mark of a missing one.

    Raises
    ------
    ValueError
        If it is neither.
    """
    if cell == "" or cell in MISSING_WORDS:
        return None
    if not NUMBER.fullmatch(cell):
        raise ValueError(cell)
    value = float(cell.replace(",", "."))
    if abs(value) > _LARGEST:  # a damaged exponent: nothing of a response is so large, nor infinite
        raise ValueError(cell)
    return value


def heading_in(cell: str) -> float | None:
    """A heading that stands alone in a cell, such as 30, 30° or 30 deg; None for anything else."""
    found = _HEADING.fullmatch(cell.strip())
    value = float(found[1].replace(",", ".")) if found else None
    return value if value is not None and -180.0 <= value <= 360.0 else None


@dataclass(frozen=True)
class _Line:
    """A line that is not blank: as it stands, and its cells."""

    number: int
    text: str
    cells: tuple[str, ...]

    @cached_property
    def filled(self) -> tuple[str, ...]:
        return tuple(cell for cell in self.cells if cell)

    @cached_property
    def numbers(self) -> bool:
        """Whether it is a row of numbers, some perhaps missing."""
        found = 0
        for cell in self.filled:
            if NUMBER.fullmatch(cell):
                found += 1
            elif cell not in MISSING_WORDS:
                return False
        return found >= 2

    @cached_property
    def over_headings(self) -> bool:
        """Whether it names columns by their headings, after a corner that is words or empty."""
        if _BEGINS_A_NUMBER.match(self.cells[0]):
            return False
        rest = [heading_in(cell) for cell in self.cells[1:] if cell]
        return len(rest) >= 2 and None not in rest and len(set(rest)) > 1

    @property
    def damaged(self) -> bool:
        """Whether it is a row of numbers but for some of its cells."""
        found = sum(bool(NUMBER.fullmatch(cell)) for cell in self.filled)
        mostly = len(self.filled) > 2 and 2 * found > len(self.filled)
        return mostly and not self.numbers and not self.over_headings

    @property
    def units(self) -> bool:
        """Whether it holds units under the names."""
        return len(self.filled) >= 2 and all(_UNIT.fullmatch(cell) for cell in self.filled)


def _filled(text: str) -> Iterator[tuple[int, str]]:
    for number, line in enumerate(text.split("\n"), 1):
        if line.strip(" \t-=+|:_;,") and not line.lower().startswith("sep="):
            yield number, line


def _delimiter(text: str) -> str:
    """The mark by which most lines become rows of numbers; a space for columns parted by spaces."""
    lines = [line for _, line in _filled(text)][:2000]
    counts = {}
    for mark in (*_MARKS, " "):
        if mark not in text and '"' not in text:  # every line would be one cell; quotes left open are told of
            counts[mark] = 0
            continue
        cut = [_cut(0, line, mark) for line in lines]
        counts[mark] = sum(len(line.cells) > 1 and (line.numbers or line.over_headings) for line in cut)
    return max(counts, key=lambda mark: counts[mark])


def _cut(number: int, line: str, mark: str) -> _Line:
    comment = _COMMENT.match(line)
    if comment:
        words = line[comment.end() :].strip(" \"';,\t")
        cells = tuple(words.split()) if mark == " " else tuple(part.strip() for part in words.split(mark))
        made = _Line(number, words, cells)
        return _Line(number, words, (words,)) if made.numbers else made
    if mark == " ":
        made = _Line(number, line.rstrip(), tuple(line.split()))
        if made.numbers:
            return made
        apart = phrases(line)
        return _Line(number, line.rstrip(), tuple(apart if len(apart) > 2 else WITH_UNIT.findall(line)))
    return _Line(number, line.strip(), cut(line, mark, number or None))


def _blocks(lines: Sequence[_Line], mark: str, words: list[str], sheet: str = "") -> Iterator[Block]:
    """The blocks among lines; all words are put to `words`."""
    above: list[_Line] = []
    rows: list[_Line] = []
    names: tuple[str, ...] = ()
    for place, line in enumerate(lines):
        following = lines[place + 1] if place + 1 < len(lines) else None
        alone = not rows and line.numbers and _headings_alone(line, following, mark)
        starts = line.over_headings or alone
        if line.numbers and not starts:
            rows.append(line)
            continue
        if line.damaged:
            allowed = "numbers in every cell of a row, and no numbers but headings among the names"
            raise FileError("row", line.text[:60], None, allowed, line=line.number)
        if rows:
            block = _block(above, rows, names, mark, sheet)
            names = block.names
            yield block
            above, rows = [], []
        above.append(line)
        words.append(line.text if mark == " " or not sheet else " ".join(line.filled))
    if rows:
        yield _block(above, rows, names, mark, sheet)


def _headings_alone(line: _Line, following: _Line | None, mark: str) -> bool:
    """Whether a line of numbers without a corner names the columns under it: one cell fewer, or the first empty."""
    alone = [heading_in(cell) for cell in line.filled]
    if None in alone or len(set(alone)) != len(alone) or following is None or not following.numbers:
        return False
    return len(following.filled) == len(alone) + 1 and (mark == " " or not line.cells[0])


def _block(above: list[_Line], rows: list[_Line], before: tuple[str, ...], mark: str, sheet: str) -> Block:
    """The block of some rows under some lines of words; a block without names has those of the one before."""
    width = max(len(trimmed(row.cells)) for row in rows)
    heads: list[_Line] = []
    units: _Line | None = None
    rest = _corner_joined(above)
    if rest and rest[-1].units:
        units = rest.pop()
    while rest and len(heads) < 2 and _is_head(rest[-1], width, mark, heads):
        heads.insert(0, rest.pop())
    if units is not None and not heads:
        rest, units = above, None
    if heads and mark != " ":  # the last columns may be empty in every row
        most = max(len(row.cells) for row in rows)
        width = max(width, min(most, max(len(trimmed(head.cells)) for head in heads)))
    spans = spans_of([row.text for row in rows]) if mark == " " else []
    names = _names(heads, units, width, mark, spans) if heads else before
    printable(names, heads[-1].number if heads else rows[0].number)
    named = len(trimmed(names))
    beyond = [row for row in rows if len(trimmed(row.cells)) > named]
    if heads and 0 < len(beyond) < len(rows):
        raise ragged(len(trimmed(beyond[0].cells)), named, heads[-1].number, beyond[0].number)
    for row in rows:
        count = len(trimmed(row.cells)) if mark != " " else len(row.cells)
        if len(names) < count or (mark == " " and count != len(names)):
            where = heads[-1].number if heads else rows[0].number
            raise ragged(count, len(names), where, row.number)
    made = tuple(Row(row.number, (*row.cells, *[""] * len(names))[: len(names)]) for row in rows)
    return Block(names, made, tuple(line.text for line in rest), sheet)


def _corner_joined(above: Sequence[_Line]) -> list[_Line]:
    """The lines, where one word such as 'Period (s)' under a line of headings is put into the corner of that line."""
    rest = list(above)
    if len(rest) > 1 and rest[-2].over_headings and len(rest[-1].filled) == 1 and not rest[-1].units:
        word, line = rest.pop(), rest.pop()
        cells = (word.filled[0], *line.cells[1:])
        rest.append(_Line(line.number, line.text, cells))
    return rest


def _is_head(line: _Line, width: int, mark: str, below: list[_Line]) -> bool:
    """Whether a line names columns: cells over most of them, or groups over the names below."""
    if below and (below[0].over_headings or line.number != below[0].number - 1):
        return False
    filled = len(line.filled)
    if below:
        groups = len(phrases(line.text)) if mark == " " else filled
        grouped = groups >= 2 and len(trimmed(line.cells)) <= max(width, groups)
        wide = not line.cells[0] or mark == " " or 2 * filled >= width
        return grouped and wide and line.text[-1:] not in ".:"
    if line.over_headings or line.numbers:
        return True
    if mark == " ":
        return 2 * len(phrases(line.text)) >= width or filled == width
    return filled >= 2 and 2 * filled >= width


def _names(
    heads: Sequence[_Line], units: _Line | None, width: int, mark: str, spans: Sequence[tuple[int, int]]
) -> tuple[str, ...]:
    """The name of each column, lower case: what stands over a group of columns, its own, and its unit."""
    below = _placed(heads[-1], width, mark, spans)
    if len(heads) > 1:
        over = to_the_right(_placed(heads[0], width, mark, spans))
        below = [f"{one} {two}".strip() if two else two or one for one, two in zip(over, below, strict=True)]
    if units is not None:
        below = with_units(below, _placed(units, width, mark, spans))
    return tuple(" ".join(name.lower().split()) for name in below)


def _placed(line: _Line, width: int, mark: str, spans: Sequence[tuple[int, int]]) -> list[str]:
    """The words of a line over its columns: by cells, by counting, or by where they stand."""
    if mark != " ":
        cells = list(trimmed(line.cells))
        if len(cells) > width:
            raise ragged(len(cells), width, line.number, line.number + 1)
        return [*cells, *[""] * (width - len(cells))]
    for cells in (list(line.cells), phrases(line.text)):
        if len(cells) == width:
            return cells
    if line.numbers and len(line.cells) == width - 1:
        return ["", *line.cells]
    if len(spans) != width:
        allowed = f"{width} names, parted by two spaces or more, or a comma or semicolon between columns"
        raise FileError("names of columns", line.text.strip()[:60], None, allowed, line=line.number)
    return names_over(line.text, spans)


def _one_decimal_mark(blocks: Sequence[Block]) -> None:
    """Refuse a file that writes 0.5 in one place and 0,5 in another: one of the two is a mark of thousands."""
    seen: dict[str, int] = {}
    for row in (row for block in blocks for row in block.rows):
        for mark in ",.":
            if any(mark in cell and cell not in MISSING_WORDS for cell in row.cells):
                seen.setdefault(mark, row.line)
    if len(seen) > 1:
        line = max(seen.values())
        raise FileError("decimal mark", "a point and a comma", None, "one decimal mark throughout", line=line)
