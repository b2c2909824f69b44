"""Lines of a scatter diagram to its matrices: delimiter, titles, the line of periods, rows, printed sums."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Final, NamedTuple

import numpy as np

from heave.errors import FileError
from heave.files.columns import POINT_OF_THOUSANDS, parse_number, two_ways
from heave.files.scatter_words import PARTS_OF, Label, direction_of, label_of, month_of
from heave.files.tables import cut, on_line
from heave.files.wanted import at_most
from heave.studies.scatter import MOST_SEEN

LONGEST_LINE: Final = 20_000
"""Longest line of a file [characters]."""

MOST_CLASSES: Final = 120

_TOTAL = re.compile(
    r"(printed[_ ]?)?((row|col(umn)?|grand)[_ ]?)?(sub)?(total|sum)s?([_ ]?(row|col(umn)?))?|Σ|σ|all",
    re.IGNORECASE,
)
_CUMULATIVE = re.compile(r"cum|exceed|probab|p\s*\(", re.IGNORECASE)
_GROUPED = re.compile(r"(wave )?(dir|sector|month|mwd)", re.IGNORECASE)
_NOTHING: Final = ("", "-", "–", "—", "\u2212", ".")


class Group(NamedTuple):
    """What a matrix is of; `whole` is all directions or the whole year, beside matrices of parts of them."""

    direction_from: float | None = None
    month: int | None = None
    whole: bool = False


_EVERY: Final = Group()


@dataclass
class Block:
    """One matrix as it stands in the file: labels of its classes, cells, printed sums, and what it is of."""

    header_line: int
    corner: str
    periods: list[Label]
    total_column: int | None
    heights: list[Label] = field(default_factory=list)
    cells: list[list[float]] = field(default_factory=list)
    lines: list[int] = field(default_factory=list)
    row_sums: list[float | None] = field(default_factory=list)
    column_sums: list[float | None] | None = None
    group: Group = _EVERY
    key: str | None = None
    """Name of a column of sectors or months before the heights, where there is one."""

    held: str = ""
    """What that column held last."""


_SHEET_ERROR: Final = re.compile(r"#(?:REF!|N/A|VALUE!|DIV/0!|NAME\?|NUM!|NULL!|SPILL!|CALC!)", re.IGNORECASE)
"""What spreadsheets write where a formula fails; with its # it would be taken for a comment, and its row lost."""


def lines_of(text: str) -> list[tuple[int, str]]:
    """Lines that hold something, with their numbers; `sep=` of a spreadsheet is left out."""
    rows = [(number, line) for number, line in enumerate(text.split("\n"), 1) if line.strip(" \t,;")]
    if rows and re.fullmatch(r'"?sep=.*', rows[0][1].strip(), re.IGNORECASE):
        rows = rows[1:]
    if not rows:
        allowed = "a line of periods over rows that begin with a height"
        raise FileError("file", "no rows", None, allowed, line=1)
    for number, line in rows:
        if len(line) > LONGEST_LINE:
            allowed = f"at most {LONGEST_LINE} characters: delete what is not of the diagram"
            raise FileError("line", f"{len(line)} characters", None, allowed, line=number)
    return rows


class Reader:
    """Lines to blocks; the words of titles, corners and comments are kept for what they say."""

    def __init__(self, lines: Sequence[tuple[int, str]]) -> None:
        self.lines = lines
        self.delimiter = self._delimiter()
        self.comma = False
        self.decimals = 0
        self.said: list[str] = []
        self.notes: list[str] = []
        self.blocks: list[Block] = []
        self.blanks = 0
        self.per_cent_signs = False
        self.pointed: list[tuple[str, int]] = []
        """Numbers with a point in the cells, and their lines."""

    def _delimiter(self) -> str:
        """The mark that parts the most cells, in the lines that look like rows of numbers."""
        for mark in (";", "\t", ",", " "):
            parts = [cut(line, mark) for _, line in self.lines if not line.lstrip().startswith("#")]
            rows = [cells for cells in parts if len(cells) >= 2 and sum(map(_numeric, cells)) >= 1]
            if len(rows) >= 2 and len(rows) >= 0.5 * len(parts):
                return mark
        number, line = self.lines[0]
        allowed = "rows of cells with a semicolon, comma, tab or spaces between them: save the matrix as CSV"
        raise FileError("table", line[:40], None, allowed, line=number)

    def read(self) -> None:
        """Every block of the file."""
        self.comma = self.delimiter in (";", "\t") and self._decimal_comma()
        group = _EVERY
        block: Block | None = None
        for number, line in self.lines:
            if line.lstrip().lstrip('"').startswith("#"):
                if _SHEET_ERROR.match(line.lstrip().lstrip('"')):
                    allowed = (
                        "a height at the head of the row: a spreadsheet wrote an error there, correct it"
                    )
                    raise FileError("row", line.strip()[:60], None, allowed, line=number)
                group = self._title(line.strip().strip('"').lstrip("# ").rstrip(",; \t"), number, group)
                continue
            cells = list(cut(line, self.delimiter, number))
            while len(cells) > 1 and not cells[-1] and (block is None or len(cells) > self._width(block)):
                cells.pop()
            if header := self._header_of(cells, number):
                block = replace(header, group=group)
                self.blocks.append(block)
            elif self._is_title(cells):
                group = self._title(" ".join(filter(None, cells)), number, group)
                block = None if block is None or block.heights else block
            elif block is None:
                allowed = "periods, numbers or ranges, in a line above the rows of heights"
                raise FileError("header", line.strip()[:60], None, allowed, line=number)
            else:
                block = self._row(block, cells, number)
        if self.delimiter == ";" and self.pointed:
            cell, number = self.pointed[0]
            if all(POINT_OF_THOUSANDS.fullmatch(one) for one, _ in self.pointed):
                raise FileError("number of a cell", cell, None, two_ways(cell), line=number)
        if not self.blocks or not all(block.heights for block in self.blocks):
            at = self.blocks[-1].header_line if self.blocks else self.lines[0][0]
            allowed = "at least one row of a height under the line of periods"
            raise FileError("rows", 0, None, allowed, line=at)

    def _is_title(self, cells: list[str]) -> bool:
        """Whether a line is words: no class at its head, and no numbers or the name of a sector or month."""
        if not cells[0] or _numeric(cells[0]) or _TOTAL.fullmatch(cells[0]):
            return False
        words = " ".join(filter(None, cells))
        return not any(map(_numeric, cells[1:])) or (len(words) < 40 and bool(_GROUPED.match(words)))

    def _title(self, words: str, line: int, group: Group) -> Group:
        """Sector and month that hold from this line of words on."""
        self.said.append(words)
        with on_line(line):
            direction, month = direction_of(words), month_of(words)
        if direction is None and month is None:
            return Group(whole=True) if PARTS_OF.search(words) else group
        kept = group.direction_from if direction is None else direction
        return Group(kept, group.month if month is None else month)

    def _width(self, block: Block) -> int:
        return 1 + len(block.periods) + (block.total_column is not None) + (block.key is not None)

    def _decimal_comma(self) -> bool:
        points = commas = False
        for _, line in self.lines:
            for cell in cut(line, self.delimiter):
                points |= bool(re.fullmatch(r"[\d\s%<>=≥-]*\d\.\d[\d\s%.-]*", cell))
                commas |= bool(re.fullmatch(r"[\d\s%<>=≥-]*\d,\d[\d\s%,-]*", cell))
        if points and commas:
            allowed = "one decimal mark in the file: write all numbers alike"
            raise FileError("decimal mark", "points and commas", None, allowed, line=self.lines[0][0])
        return commas

    def _header_of(self, cells: list[str], number: int) -> Block | None:
        """The matrix that a line of periods begins: classes that rise or fall over rows, after one or two names."""
        for names in (1, 2):
            rest = cells[names:]
            if len(rest) < 2 or any(_numeric(cell) or _TOTAL.fullmatch(cell) for cell in cells[:names]):
                return None
            if names == 2 and not _GROUPED.match(cells[0]):
                return None
            found = [label_of(cell, self.comma) for cell in rest if not _is_sum(cell)]
            periods = [label for label in found if label is not None]
            steps = np.diff([label.order for label in periods])
            if len(periods) == len(found) > 1 and ((steps > 0).all() or (steps < 0).all()):
                at_most("periods", len(periods), MOST_CLASSES, "", number)
                total = self._total_in(cells[names - 1 :], number)
                self.said.extend(cells[:names])
                return Block(number, cells[names - 1], periods, total, key=cells[0] if names == 2 else None)
        return None

    def _total_in(self, cells: list[str], number: int) -> int | None:
        """The place of the column of sums, which is the last."""
        for place, cell in enumerate(cells[1:], 1):
            if _TOTAL.fullmatch(cell):
                if place < len(cells) - 1:
                    allowed = "a sum in the last column only"
                    raise FileError("column", cell, None, allowed, line=number, column=cell)
                return place
            if _is_sum(cell):
                allowed = "a period, a range such as 4-5, or a sum in the last column: delete the column"
                raise FileError("column", cell, None, allowed, line=number, column=str(place + 1))
        return None

    def _row(self, block: Block, cells: list[str], number: int) -> Block:
        """Put a row into its matrix, and return that: another where a column of sectors or months says so."""
        width = self._width(block)
        if len(cells) != width:
            allowed = (
                f"{width}, as line {block.header_line} has: check the marks between the cells of this row"
            )
            raise FileError("cells in the row", len(cells), None, allowed, line=number)
        if block.key is not None:
            block, cells = self._of_group(block, cells, number), cells[1:]
        self._fill(block, cells, number)
        return block

    def _of_group(self, block: Block, cells: list[str], number: int) -> Block:
        """The matrix of the sector or month in the first cell of a row; an empty cell is of the one above."""
        if not cells[0] or cells[0] == block.held:
            return block
        group = self._title(f"{block.key} {cells[0]}", number, _EVERY)
        if group == _EVERY:
            allowed = "a direction or a month: correct it"
            raise FileError(str(block.key), cells[0], None, allowed, line=number, column=block.key)
        if block.held:
            block = Block(block.header_line, block.corner, block.periods, block.total_column, key=block.key)
            self.blocks.append(block)
        block.held = cells[0]
        block.group = group
        return block

    def _fill(self, block: Block, cells: list[str], number: int) -> None:
        if _TOTAL.fullmatch(cells[0]):
            if block.column_sums is not None:
                raise FileError("row", cells[0], None, "one row of sums in each matrix", line=number)
            block.column_sums = [self._sum(cell, number, block, at) for at, cell in enumerate(cells[1:], 1)]
            return
        if block.column_sums is not None:
            allowed = "nothing under the row of sums but another matrix"
            raise FileError("row", cells[0], None, allowed, line=number)
        height = label_of(cells[0], self.comma)
        if height is None:
            allowed = "a height, a range such as 1-2, or a sum: correct or delete the row"
            raise FileError("height", cells[0], None, allowed, line=number, column=block.corner or "1")
        block.heights.append(height)
        block.lines.append(number)
        at_most("heights", len(block.heights), MOST_CLASSES, "", number)
        row = enumerate(cells[1 : 1 + len(block.periods)], 1)
        block.cells.append([self._cell(cell, number, block, place) for place, cell in row])
        total = block.total_column
        block.row_sums.append(None if total is None else self._sum(cells[total], number, block, total))

    def _sum(self, cell: str, line: int, block: Block, place: int) -> float | None:
        return self._number(cell, line, block, place) if cell else None

    def _cell(self, cell: str, line: int, block: Block, place: int) -> float:
        if cell in _NOTHING:
            self.blanks += 1
            return 0.0
        plain = cell.removesuffix("%").rstrip()
        if "." in plain:
            self.pointed.append((plain, line))
        decimals = len(re.split(r"[.,]", plain, maxsplit=1)[1]) if re.fullmatch(r"\d*[.,]\d+", plain) else 0
        self.decimals = max(self.decimals, decimals)
        return self._number(cell, line, block, place)

    def _number(self, cell: str, line: int, block: Block, place: int) -> float:
        """A finite number from 0."""
        labels = [label.text for label in block.periods]
        column = labels[place - 1] if place <= len(labels) else "sum"
        self.per_cent_signs |= cell.endswith("%")
        plain = cell.removesuffix("%").rstrip()
        if self.comma and re.fullmatch(r"-?\d*,\d+([eE][-+]?\d+)?", plain):
            plain = plain.replace(",", ".")
        value = parse_number(plain, "number of a cell", line=line, column=column)
        if not 0 <= value <= MOST_SEEN:
            allowed = "from 0: correct it" if value < 0 else f"at most {MOST_SEEN:g}: correct it"
            raise FileError("number of a cell", cell, None, allowed, line=line, column=column)
        return value


def _is_sum(cell: str) -> bool:
    """Whether a cell names a column that is no class of periods."""
    return bool(_TOTAL.fullmatch(cell) or _CUMULATIVE.search(cell))


def _numeric(cell: str) -> bool:
    return label_of(cell, True) is not None
