"""Columns of fixed width: where a table of text is cut, seen from its rows, and which name stands over which column.

A place that is blank in every row parts two columns. A date and the time of day behind it are one column where one
name stands over both. A name belongs to the column it stands over.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import accumulate, islice, takewhile
from typing import Final

import numpy as np

from heave.errors import FileError
from heave.files.rows import Row, runs

Span = tuple[int, int]

NUMBER: Final = re.compile(r"[+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)(?:[eE][+-]?[0-9]{1,3})?")
"""A number with a decimal point or comma."""

WITH_UNIT: Final = re.compile(r"\S+(?: [\[(][^\])]*[\])])?")
"""A word, with a bracket behind it."""

_APART: Final = re.compile(r"\S+(?: \S+)*")
_PHRASE: Final = re.compile(r"[^\s\-=|_.]+(?: [^\s\-=|_.]+)*")
_MOST_GROUPS: Final = 10
_MOST_WAYS: Final = 50
_OFF_MIDDLE: Final = 2
"""Twice the places that a group may be off the middle of its columns."""

_OF_WAVES: Final = re.compile(r"h(?:s|m0|max|1/3)|t(?:p|z|e|m.*)|.*(?:height|period|\bper\b).*")


def spans_of(lines: Sequence[str]) -> list[Span]:
    """First and last place, exclusive, of every column of some rows."""
    width = max(map(len, lines), default=0)
    letters = np.frombuffer("".join(line.ljust(width) for line in lines).encode("utf-32-le"), dtype=np.uint32)
    filled = (
        (letters.reshape(len(lines), width) != ord(" ")).any(axis=0) if width else np.zeros(0, dtype=bool)
    )
    return [(int(start), int(start + count)) for start, count in zip(*runs(filled), strict=True)]


def to_the_right(cells: Iterable[str]) -> list[str]:
    """Names that stand over several columns, or days over several hours, given to each of them."""
    found: Iterable[str] = accumulate(cells, lambda group, cell: cell or group)
    return list(found)


def with_units(names: Iterable[str], units: Iterable[str]) -> list[str]:
    """Names with the units under them, in brackets behind each."""
    pairs = zip(names, units, strict=True)
    return [f"{name} ({unit.strip('[]() ')})" if unit.strip("[]() -") else name for name, unit in pairs]


def names_over(line: str, spans: Sequence[Span]) -> list[str]:
    """The words of a header over each column, empty where there are none."""
    found: list[list[str]] = [[] for _ in spans]
    for phrase in _APART.finditer(line):
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


def phrases(line: str) -> list[str]:
    """Words that stand two spaces or more apart from others."""
    return _APART.findall(line)


def _nearest(start: int, end: int, spans: Sequence[Span]) -> int:
    """The first column that a word covers, else the one it overlaps most or stands nearest to."""
    inside = [place for place, (first, last) in enumerate(spans) if start <= first and last <= end]
    if inside:
        return inside[0]
    overlap = [min(end, last) - max(start, first) for first, last in spans]
    return max(range(len(spans)), key=lambda place: (overlap[place], -place))


def cut_at(number: int, line: str, spans: Sequence[Span]) -> Row:
    """A line cut into its columns."""
    return Row(number, tuple(line[start:end].strip() for start, end in spans))


def groups_over(text: str, below: str, names: Sequence[str], spans: Sequence[Span], line: int) -> list[str]:
    """Names that stand over several columns, given to each of them.

    Where each begins just over the first of its columns, it goes for the columns from there to the next; or where one
    way alone has each over the middle of its columns, for those. Else the n-th goes to the n-th column of each name
    that is there as often as there are groups.

    Parameters
    ----------
    text : the line of the groups
    below : the line of the names under it
    names : name of each column
    spans : place of each column
    line : of the file, where the groups stand

    Raises
    ------
    FileError
        Where neither place nor number tells which columns a group stands over, or two of them tell different things.
    """
    counted = _by_count(text, names)
    begins = _begins(text, below, spans)
    ways = _middles(text, below, names, spans) if begins is None else [begins]
    made = [way for way in (_given(way, names) for way in ways) if way is not None]
    placed = made[0] if len(made) == 1 else None
    both = zip(placed or counted, counted, strict=True)
    agree = all(one == other for one, other in both if other)
    if not agree or (placed is None and not any(counted)):
        allowed = (
            "each name over a group of columns begun just over the first of its columns, or put over their middle: "
            "move them, or write the group into the name of every column, such as 'Wind Dir' and 'Sea Dir'"
        )
        raise FileError("names over groups of columns", " ".join(text.split())[:60], None, allowed, line=line)
    return counted if placed is None else placed


def _begins(text: str, below: str, spans: Sequence[Span]) -> dict[int, str] | None:
    """Groups by the column that each begins just over; None where one begins over none."""
    firsts = [{start} for start, _ in spans]
    for word in re.finditer(r"\S+", below):
        firsts[_nearest(word.start(), word.end(), spans)].add(word.start())
    begins = {}
    for phrase in _PHRASE.finditer(text):
        place = next((place for place, first in enumerate(firsts) if phrase.start() in first), None)
        if place is None or place in begins:
            return None
        begins[place] = phrase[0]
    return begins


def _middles(text: str, below: str, names: Sequence[str], spans: Sequence[Span]) -> Iterator[dict[int, str]]:
    """Each way to have every group over the middle of its columns: by the column that each begins with, and nothing
    where the last ends."""
    groups = list(_PHRASE.finditer(text))
    edges = [[start, end] for start, end in spans]
    for word in re.finditer(r"\S+", below):
        place = _nearest(word.start(), word.end(), spans)
        edges[place] = [min(edges[place][0], word.start()), max(edges[place][1], word.end())]

    def ways(group: int, first: int) -> Iterator[tuple[int, ...]]:
        """Where the groups from one on begin, when that one begins at a column, and where the last of them ends."""
        named = takewhile(lambda place: names[place], range(first, len(edges)))
        for last in named:
            off = edges[first][0] + edges[last][1] - groups[group].start() - groups[group].end()
            if abs(off) <= _OFF_MIDDLE:
                others = ways(group + 1, last + 1) if group + 1 < len(groups) else iter([(last + 1,)])
                yield from ((first, *other) for other in others)

    for first in range(len(edges) if 1 < len(groups) <= _MOST_GROUPS else 0):
        for way in islice(ways(0, first), _MOST_WAYS):
            yield {way[-1]: ""} | {place: group[0] for place, group in zip(way, groups, strict=False)}


def _given(begins: Mapping[int, str], names: Sequence[str]) -> list[str] | None:
    """Groups from where each begins to the next; None where what comes of it cannot be."""
    found, group = [], ""
    for place, name in enumerate(names):
        group = begins.get(place, group)
        found.append(group if name or place in begins else "")
    made = [f"{group} {name}".lower() for group, name in zip(found, names, strict=True) if group or name]
    often = Counter(name.lower() for name in names if name)
    for group, name in zip(found, map(str.lower, names), strict=True):
        of_wind = "wind" in group.lower() and not re.search(r"sea|wave|swell", group.lower())
        if (often[name] > 1 and not group) or (of_wind and _OF_WAVES.fullmatch(name)):
            return None
    return found if len(set(made)) == len(made) else None


def _by_count(text: str, names: Sequence[str]) -> list[str]:
    """The n-th group to the n-th column of each name that is there so often; empty throughout where none is."""
    groups = [phrase[0] for phrase in _PHRASE.finditer(text)]
    counts = Counter(name.lower() for name in names if name)
    if max(counts.values(), default=0) != len(groups):
        return [""] * len(names)
    seen: Counter[str] = Counter()
    found = []
    for name in map(str.lower, names):
        found.append(groups[seen[name]] if counts[name] == len(groups) else "")
        seen[name] += 1
    return found
