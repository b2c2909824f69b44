"""What happens to files on their way: tables changed in ways whose meaning is known, and bytes, rows and values spoilt.

A `Meant` is a changed file and what a reader that understands it must make of it, told against what it made of the file
as it was: values scaled, rows gone, times shifted, or the very same. What it cannot tell it must refuse or ask.
"""

from __future__ import annotations

import math
import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any


class Fault(Exception):
    """What must not come of a file."""


Facts = dict[Any, dict[str, float]]
"""What was read: by time, place or number of a row, in the order of the file, its values."""


@dataclass(frozen=True)
class Column:
    """A column of a file: `head` has {} where its unit goes, `units` what it may be given in and each one's factor."""

    head: str
    cells: tuple[str, ...]
    fact: str = ""
    unit: str = ""
    units: Mapping[str, float] = field(default_factory=dict)

    def named(self) -> str:
        return self.head.format(self.unit)


@dataclass(frozen=True)
class Table:
    """A table as a file has it, with the times of its rows where it has some."""

    columns: tuple[Column, ...]
    stamps: tuple[datetime, ...] = ()
    above: tuple[str, ...] = ()
    mark: str = ","

    def rows(self) -> list[list[str]]:
        return [list(row) for row in zip(*(one.cells for one in self.columns), strict=True)]

    def lines(self) -> list[list[str]]:
        return [[one.named() for one in self.columns], *self.rows()]

    def text(self, lines: Sequence[Sequence[str]] | None = None, mark: str = "") -> str:
        inside = [(mark or self.mark).join(line) for line in (self.lines() if lines is None else lines)]
        return "\n".join([*self.above, *inside, ""])

    def data(self) -> bytes:
        return self.text().encode()


@dataclass(frozen=True)
class Meant:
    """A changed file and what it means beside the one it was made from."""

    what: str
    data: bytes
    factors: Mapping[str, float] = field(default_factory=dict)
    ratio: tuple[int, str, float] | None = None
    """Row, value and factor of the one number that was changed."""

    loose: frozenset[int] = frozenset()
    """Rows of which nothing is known."""

    gone: frozenset[int] = frozenset()
    """Rows that the file has no longer, or not as numbers."""

    may_go: bool = False
    """Whether rows may be absent."""

    shift: timedelta = timedelta(0)
    unread: bool = False
    """Whether it must be refused or asked about."""

    unused: str = ""
    """A value that may not be read."""

    answers: Mapping[str, str] = field(default_factory=dict)


def astray(meant: Meant, before: Facts, found: Facts) -> str:  # noqa: PLR0911, PLR0912  one rule after the other
    """In what the reading departs from what the file means; empty where it does not."""
    if meant.unread:
        return "read, though it can be read in two ways or not at all"
    used = set()
    for row, (key, values) in enumerate(before.items()):
        place = key + meant.shift if meant.shift else key
        used.add(place)
        if row in meant.loose:
            continue
        got = found.get(place)
        silent = got is None or all(math.isnan(value) for value in got.values())
        if row in meant.gone:
            if not silent:
                return f"row {row} is gone and read all the same: {got}"
            continue
        if silent or got is None:
            if not meant.may_go and not all(math.isnan(value) for value in values.values()):
                return f"row {row} ({place}) is lost"
            continue
        if meant.unused and not math.isnan(got.get(meant.unused, math.nan)):
            return f"row {row}, {meant.unused}: {got[meant.unused]} is read"
        for name, value in values.items():
            if name == meant.unused:
                continue
            wanted = value * meant.factors.get(name, 1.0)
            if meant.ratio is not None and meant.ratio[0] == row:
                if name != meant.ratio[1]:
                    continue  # what hangs on it may follow
                wanted *= meant.ratio[2]
            if not _same(wanted, got.get(name, math.nan)):
                return f"row {row} ({place}), {name}: {got.get(name)} is read, {wanted} is meant"
    more = [key for key in found if key not in used]
    if more and not meant.loose:
        return f"a row that nobody wrote: {more[0]}"
    return ""


def _same(one: float, other: float) -> bool:
    if math.isnan(one) or math.isnan(other):
        return math.isnan(one) and math.isnan(other)
    return abs(one - other) <= 1e-6 * max(abs(one), abs(other)) + 1e-9


PIECES = (
    *(bytes([letter]) for letter in b",;\"'#:-.e(]{|07"),
    *(
        b"\t~ ~\n~\r~\x00~\xff~\xef\xbb\xbf~\xff\xfe~\xc3~\xe2\x80\xa8~\xd9\xa2~\x1a~\x85~NaN~"
        b"inf~1e999~e308~e-308~-0~99~-999~9999~MM~null~sep=;\n~_m~_ft~PK\x03\x04~true~[]~{}~"
        b"2026-13-40~24:00~=cmd|1~</script>~\\ud800~%s~../../x"
    ).split(b"~"),
    *(
        letter * count
        for letter, count in ((b"9", 500), (b"x", 3000), (b"(", 300), (b",", 450), (b"\n", 50), (b"0", 5000))
    ),
    b"",
)


def spoilt(data: bytes, draw: random.Random, pieces: Sequence[bytes] = PIECES) -> bytes:
    """One to three blind changes: bytes flipped, cut, put in, lines doubled, dropped or swapped, digits changed."""
    for _ in range(draw.randint(1, 3)):
        here = draw.randrange(len(data) + 1)
        there = min(len(data), here + draw.choice((0, 1, 1, 2, 5, 40)))
        way = draw.randrange(9)
        if way < 3:
            data = data[:here] + draw.choice(pieces) + data[there:]
        elif way == 3 and data:
            at = draw.randrange(len(data))
            data = data[:at] + bytes([data[at] ^ 1 << draw.randrange(8)]) + data[at + 1 :]
        elif way == 4:
            data = data[:here] if draw.random() < 0.3 else data[:here] + data[there:]
        elif way == 5:
            digits = [at for at, letter in enumerate(data[:20_000]) if 48 <= letter < 58] or [0]
            at = draw.choice(digits)
            data = data[:at] + b"%d" % draw.randrange(10) + data[at + 1 :]
        else:
            lines = data.split(b"\n")
            one, other = (draw.randrange(len(lines)) for _ in range(2))
            if way == 6:
                lines.insert(other, lines[one])
            elif way == 7:
                del lines[one]
            else:
                lines[one], lines[other] = lines[other], lines[one]
            data = b"\n".join(lines)
    return data


def huge(table: Table, draw: random.Random) -> Meant:
    """A million columns, a line of a megabyte, quotes that never close, a hundred thousand lines above."""
    way = draw.randrange(5)
    if way == 0:
        return Meant(
            "million columns", (",".join(["a"] * 1_000_000) + "\n" + ",".join(["1"] * 1_000_000)).encode()
        )
    if way == 1:
        return Meant("long header", ("hs" * 50_000 + table.text()).encode(), may_go=True)
    if way == 2:
        return Meant(
            "open quote",
            ('"' + table.text() * (1 + 400_000 // len(table.text()))).encode(),
            may_go=True,
            loose=frozenset(range(10_000)),
        )
    if way == 3:
        return Meant("long words above", ("x " * 10 + "\n").encode() * 20_000 + table.data())
    return Meant("brackets", b"(" * 50_000 + b"[" * 50_000 + table.data(), may_go=True)
