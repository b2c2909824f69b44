"""Columns of fixed width: where a table of text is cut, seen from its rows, and which name stands over which column.

A place that is blank in every row parts two columns. A date and the time of day behind it are one column where one
name stands over both. A name belongs to the column it stands over.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

import numpy as np

from heave.files.rows import Row

Span = tuple[int, int]


def spans_of(lines: Sequence[str]) -> list[Span]:
    """First and last place, exclusive, of every column of some rows."""
    width = max(map(len, lines), default=0)
    letters = np.frombuffer("".join(line.ljust(width) for line in lines).encode("utf-32-le"), dtype=np.uint32)
    filled = (
        (letters.reshape(len(lines), width) != ord(" ")).any(axis=0) if width else np.zeros(0, dtype=bool)
    )
    edges = np.flatnonzero(np.diff(np.concatenate(([False], filled, [False])).astype(np.int8)))
    return [(int(start), int(end)) for start, end in edges.reshape(-1, 2)]


def names_over(line: str, spans: Sequence[Span]) -> list[str]:
    """The words of a header over each column, empty where there are none."""
    found: list[list[str]] = [[] for _ in spans]
    for phrase in re.finditer(r"\S+(?: \S+)*", line):
        over = [
            place for place, (start, end) in enumerate(spans) if start < phrase.end() and end > phrase.start()
        ]
        if len(over) > 1 and " " in phrase[0]:
            for word in re.finditer(r"\S+(?: [(\[][^)\]]*[)\]])*", phrase[0]):  # a bracket goes with its word
                start, end = phrase.start() + word.start(), phrase.start() + word.end()
                found[_nearest(start, end, spans)].append(word[0])
        elif over:
            found[over[0]].append(phrase[0])
        else:
            found[_nearest(phrase.start(), phrase.end(), spans)].append(phrase[0])
    return [" ".join(words) for words in found]


def _nearest(start: int, end: int, spans: Sequence[Span]) -> int:
    """The first column that a word covers, else the one it overlaps most or stands nearest to."""
    inside = [place for place, (first, last) in enumerate(spans) if start <= first and last <= end]
    if inside:
        return inside[0]
    overlap = [min(end, last) - max(start, first) for first, last in spans]
    return max(range(len(spans)), key=lambda place: (overlap[place], -place))


def cut(number: int, line: str, spans: Sequence[Span]) -> Row:
    """A line cut into its columns."""
    return Row(number, tuple(line[start:end].strip() for start, end in spans))
