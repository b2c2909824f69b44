"""A forecast whose times run across, each line a quantity and each column an hour, stood up to a row an hour.

Such a table is known by a line of times, three or more, with words or nothing before them, under which every line is
words and values. Each part of it (a file may have one for each day, under its date) is turned, so that its first
columns become the lines of groups, names and units that `heave.files.forecast.layout` reads.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from itertools import takewhile
from typing import Final, NamedTuple

from heave.errors import FileError
from heave.files.forecast.clock import Moment, day_alone, moment_in, zone_said
from heave.files.forecast.fixed import phrases
from heave.files.forecast.names import column_meaning
from heave.files.rows import Row, trimmed
from heave.files.wanted import MAX_CELL
from heave.planning.columns import WAVES

MOST_LINES: Final = 400
"""Most lines of a file that is looked at: one with times across has few, and many hours down have many."""

_LEAST_TIMES: Final = 3
_MOST_NAMES: Final = 3  # group, name and unit
_TIMES: Final = ("time", "date", "clock", "lead")
_STEP: Final = re.compile(r"[tT]?\+?[0-9]{1,3} ?h?")
_SINCE_1970: Final = re.compile(r"[0-9]{10}(?:[0-9]{3})?")
_NUMBERS: Final = re.compile(r"[0-9][^\s,;|]*")

_NUMBERED: Final = re.compile(r"\b(?:swell|sea|waves?|system|train|partition) [1-9]$", re.IGNORECASE)

IsValue = Callable[[str], bool]


class Upright(NamedTuple):
    """A table that was turned.

    rows : what stood above it; its lines of names and its rows, with a date before those of each part that had one;
        what stood under it. The line of a row is the column it was, counted on from part to part
    hours : cells of time of each row, by its line
    """

    rows: list[Row]
    hours: dict[int, str]


def cut_by_words(lines: Sequence[tuple[int, str]], is_value: IsValue) -> list[Row]:
    """Lines without delimiters, each cut into a name and the values behind it.

    Where a line has as many pieces, two spaces and more apart, as there are times, these are its cells; else the values
    at its end are. A date stands over the first of its hours.

    Parameters
    ----------
    lines : number of each in the file, and its text
    is_value : as `stood_up` takes it

    Raises
    ------
    FileError
        With its line, for one of waves, of times or of another quantity that has fewer values than there are times,
        since of which it lacks one is not said, or more; and for dates that stand between two hours.
    """
    found = []
    times = 0
    for place, (number, line) in enumerate(lines):
        ways = _ways(line, is_value)
        clock = _clock(ways, is_value)
        if clock:
            below = _clock(_ways(lines[place + 1][1], is_value), is_value) if place + 1 < len(lines) else ()
            times = max(len(clock), len(below))
        words = ways[-1]
        more = max(len(words) - times, 0) if times else 0  # a name may end with a number: Swell 2
        cells = (" ".join(filter(None, words[: more + 1])), *words[more + 1 :])
        cells = clock or next((cells for cells in ways if len(cells) == times), cells)
        if clock and len(clock) < times:
            dates = all(map(_is_date, map(moment_in, clock[1:])))
            cells = _over(line, lines[place + 1][1], times, number) if dates else (line.strip(),)
        elif len(words) > 1 and len(cells) < times and _is_short(line, len(cells) - 1, times - 1, is_value):
            allowed = f"{times - 1}, one under each time: write - where nothing is known"
            raise FileError("number of values", len(cells) - 1, None, allowed, line=number)
        elif more and not clock and len(ways[0]) != times and _is_long(words[0], words[1 : more + 1]):
            allowed = (
                f"{times - 1}, one under each time; a number of the name in brackets, as in Wind (10\u00a0m)"
            )
            raise FileError("number of values", len(words) - 1, None, allowed, line=number)
        found.append(Row(number, cells))
    return found


def _clock(ways: Sequence[tuple[str, ...]], is_value: IsValue) -> tuple[str, ...]:
    """The cut of a line that makes it one of times; empty for none."""
    return next((cells for cells in ways if _names_before_times(cells, is_value)), ())


def _ways(line: str, is_value: IsValue) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """A line cut where two spaces part it, and cut into a name and the values at its end."""
    words = line.split()
    count = len(list(takewhile(lambda word: _is_value(word, is_value), reversed(words))))
    return tuple(phrases(line)), (" ".join(words[: len(words) - count]), *words[len(words) - count :])


def _is_value(word: str, is_value: IsValue) -> bool:
    """Whether a word can be no name: UTC may stand before times."""
    return is_value(word) and zone_said(word) is None


def _over(line: str, below: str, times: int, number: int) -> tuple[str, ...]:
    """A line of dates cut where the hours of the line below it begin."""
    starts = [word.start() for word in re.finditer(r"\S+", below)][1 - times :]
    over = {found.start(): found[0] for found in re.finditer(r"\S+(?: \S+)*", line)}
    name = "" if min(over) in starts else over.pop(min(over))
    if not set(over) <= set(starts):
        allowed = f"each date begun just over the first of its hours on line {number + 1}: move it there"
        raise FileError("dates over hours", " ".join(line.split())[:60], None, allowed, line=number)
    return (name, *(over.get(start, "") for start in starts))


def _is_short(line: str, count: int, times: int, is_value: IsValue) -> bool:
    """Whether a line of fewer values than times is of a quantity: of waves any, of others as `_is_quantity` has it."""
    meant = _meant([_until_value(line, is_value)])
    return meant in WAVES or (bool(meant) and 2 * count >= times)


def _is_long(name: str, taken: Sequence[str]) -> bool:
    """Whether values taken into a name of a quantity may be too many: not s for seconds, nor the 2 of Swell 2."""
    unsaid = [one for one in taken if one != "s"]
    return bool(unsaid and _meant([name])) and not _NUMBERED.search(" ".join((name, *unsaid)))


def _until_value(line: str, is_value: IsValue) -> str:
    """The words before the first value."""
    return " ".join(takewhile(lambda word: not _is_value(word, is_value), line.split()))


def stood_up(rows: Sequence[Row], is_value: IsValue) -> Upright | None:
    """The table among lines that are cut into cells, turned; None where times do not run across.

    Parameters
    ----------
    rows : lines of the file that are not blank
    is_value : whether a cell is a number, a time, a compass point or a mark of a missing one

    Raises
    ------
    FileError
        With its line, for words between two lines of such a table, and for a part with other names than the first.
    """
    clocks = [_names_before_times(row.cells, is_value) for row in rows]
    begun = _beginnings(rows, clocks)
    if not begun or len(rows) > MOST_LINES:
        return None
    first, count = begun[0], clocks[begun[0]]
    days = {place - 1 for place in begun if place and day_alone(_text(rows[place - 1]))}
    held, hours = list[int](), 0
    for place in sorted(set(range(first, len(rows))) - days):
        if clocks[place]:
            hours = _filled(rows[place].cells[count:])
        if clocks[place] or _is_quantity(rows[place].cells, count, hours, is_value):
            held.append(place)
    if not any(_meant(rows[place].cells[:count]) == "height" for place in held):
        return None
    inside = range(first, held[-1])
    if any(is_value(next(filter(None, rows[place].cells), "")) for place in set(inside) - set(held) - days):
        return None
    for place, row in enumerate(rows):
        if place in held or place in days or not (place in inside or _has_waves(row.cells, count)):
            continue
        allowed = f"lines of waves under the times of line {rows[first].line}: move it there"
        if place in inside:
            allowed = (
                "lines of a name and its values, or a date; no other words between two of them: write what they say "
                "into the names, such as 'Swell Hs'"
            )
        raise FileError("line", _text(row)[:60], None, allowed, line=row.line)
    parts = [
        [rows[place] for place in held if start <= place < end]
        for start, end in zip(begun, [*begun[1:], len(rows)], strict=True)
    ]
    dates = [rows[place - 1] if place - 1 in days else None for place in begun]
    found, cells_of_time = _turned(parts, dates, count)
    above = [row for place, row in enumerate(rows[:first]) if place not in days]
    around = [Row(0, (_text(row),)) for row in (*above, *rows[held[-1] + 1 :])]
    return Upright([*around[: len(above)], *found, *around[len(above) :]], cells_of_time)


@contextmanager
def placed(hours: Mapping[int, str] | None) -> Iterator[None]:
    """Names the hour, and columns for lines, in an error about a table that was turned.

    Parameters
    ----------
    hours : of `Upright`; None for a table that stands as it was sent
    """
    try:
        yield
    except FileError as one:
        if hours is None or type(one) is not FileError:
            raise
        hour = hours.get(one.line or 0)
        place = f"{one.column or ''} at {hour}".strip() if hour else one.column
        allowed = re.sub(r"\bline (?=[0-9])", "column ", one.allowed)  # another row that it speaks of
        raise FileError(one.what, one.value, one.unit, allowed, column=place) from one


def _turned(
    parts: Sequence[Sequence[Row]], dates: Sequence[Row | None], count: int
) -> tuple[list[Row], dict[int, str]]:
    """The parts turned, one under the other, and the hours of the rows."""
    found: list[Row] = []
    hours: dict[int, str] = {}
    known: list[tuple[str, ...]] = []
    for part, date in zip(parts, dates, strict=True):
        clocks = [place for place, row in enumerate(part) if _are_times(row.cells[:count], row.cells[count:])]
        names = [
            _named(row.cells[:count], row.cells[count:]) if place in clocks else row.cells[:count]
            for place, row in enumerate(part)
        ]
        heads = list(zip(*names, strict=True))
        if known and heads != known:
            allowed = (
                "the same names, in the same order, in every part of the table: write this one like the first"
            )
            raise FileError("names of a part", " ".join(part[0].cells)[:60], None, allowed, line=part[0].line)
        if date is not None:
            found.append(Row(0, date.cells))
        if not known:
            found += [Row(place, head) for place, head in enumerate(heads, 1)]
        known = heads
        width = max(len(trimmed(row.cells)) for row in part) - count
        cells = [(*row.cells[count:], *[""] * width)[:width] for row in part]
        for column in zip(*cells, strict=True):
            line = count + len(hours) + 1
            found.append(Row(line, column))
            hours[line] = " ".join(filter(None, (column[place] for place in clocks)))
    return found, hours


def _names_before_times(cells: tuple[str, ...], is_value: IsValue) -> int:
    """How many cells of a line stand before its times; 0 for a line of anything else."""
    count = next(
        (place for place, cell in enumerate(cells) if any(map(str.isdigit, cell)) and is_value(cell)), 0
    )
    return count if 1 <= count <= _MOST_NAMES and _are_times(cells[:count], cells[count:]) else 0


def _are_times(names: Sequence[str], cells: Sequence[str]) -> bool:
    """Whether all cells are times: by the name before them, or because they could be nothing else."""
    filled = [cell for cell in cells if cell]
    named = _meant(names)
    if len(filled) < (1 if named else 2) or (named and named not in _TIMES):
        return False
    if named == "lead":
        return all(_STEP.fullmatch(cell) for cell in filled)
    if named and all(map(_SINCE_1970.fullmatch, filled)):
        return True
    moments = [moment_in(cell) for cell in filled]
    return all(
        moment and (named or moment.numbers or ":" in cell)
        for cell, moment in zip(filled, moments, strict=True)
    )


def _beginnings(rows: Sequence[Row], clocks: Sequence[int]) -> list[int]:
    """Where the parts of a table begin: at the first line of times of one, and at those of its name."""
    enough = (
        place
        for place, row in enumerate(rows)
        if clocks[place] and _filled(row.cells[clocks[place] :]) >= _LEAST_TIMES
    )
    first = next(enough, None)
    if first is None:
        return []
    count = clocks[first]
    while first and clocks[first - 1] == count:
        first -= 1
    names = rows[first].cells[:count]
    return [place for place, row in enumerate(rows) if clocks[place] == count and row.cells[:count] == names]


def _is_quantity(cells: tuple[str, ...], count: int, hours: int, is_value: IsValue) -> bool:
    """Whether a line under times is a name and values: of waves any, else half as many as there are times."""
    first = next(filter(None, cells))  # what stands behind it may be S for seconds, which is no compass point
    worded = any(cells[:count]) and not is_value(first)
    of_waves = len(cells) > count and _meant(cells[:count]) in WAVES
    return of_waves or (worded and 2 * _filled(cells[count:]) >= max(hours, 1))


def _has_waves(cells: tuple[str, ...], count: int) -> bool:
    """Whether a line is a name of waves with anything behind it."""
    return any(cells[count:]) and _meant(cells[:count]) in WAVES


def _text(row: Row) -> str:
    return " ".join(filter(None, row.cells))


def _named(names: tuple[str, ...], cells: Sequence[str]) -> tuple[str, ...]:
    """What stands before a line of times, without words that mean no time, and with one that does."""
    kept = tuple(name if _meant([name]) in _TIMES or zone_said(f"({name})") else "" for name in names)
    if any(_meant([name]) in _TIMES for name in kept):
        return kept
    moments = [moment_in(cell) for cell in cells if cell]
    return ("date" if all(map(_is_date, moments)) else "time", *kept[1:])


def _is_date(moment: Moment | None) -> bool:
    return moment is not None and moment.numbers is not None and moment.seconds is None


def _meant(names: Sequence[str]) -> str:
    """The quantity that the words before a line mean; empty where they are not known."""
    words = [name.lower() for name in names if name]
    tried = [" ".join(words), *words]
    meanings = (
        column_meaning(name, False) for name in tried if 0 < len(name) <= MAX_CELL and name.isprintable()
    )
    quantities = (meaning.quantity for meaning in meanings if meaning is not None)
    return next((quantity for quantity in quantities if quantity != "not used"), "")


def may_lie(line: str) -> bool:
    """Whether a line could be of a table whose times run across: no number first, and some behind it."""
    return not line.lstrip()[:1].isdigit() and len(_NUMBERS.findall(line)) >= _LEAST_TIMES


def _filled(cells: Sequence[str]) -> int:
    return sum(map(bool, cells))
