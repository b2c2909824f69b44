"""What happens to files on their way: tables changed in ways whose meaning is known, and bytes, rows and values spoilt.

A `Meant` is a changed file and what a reader that understands it must make of it, told against what it made of the file
as it was: values scaled, rows gone, times shifted, or the very same. What it cannot tell it must refuse or ask.
"""

from __future__ import annotations

import io
import math
import random
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import Any

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


def astray(meant: Meant, before: Facts, found: Facts) -> str:
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


Change = Callable[[Table, random.Random], Meant | None]


def _number(cell: str) -> float | None:
    try:
        value = float(cell)
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def _numeric(table: Table) -> list[int]:
    return [place for place, one in enumerate(table.columns) if one.fact]


def encoded(table: Table, draw: random.Random) -> Meant:
    """Another encoding of the same text, and a word that needs it."""
    kind = draw.choice(("utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32", "latin-1", "cp1252", "cp437"))
    return Meant(f"encoding {kind}", table.text().encode(kind, "replace"))


def line_ends(table: Table, draw: random.Random) -> Meant:
    """Line ends of other systems, or of several at once."""
    ends = draw.choice((("\r\n",), ("\r",), ("\n", "\r\n"), ("\n", "\r", "\r\n"), ("\r\r\n",)))
    text = "".join(line + draw.choice(ends) for line in table.text().split("\n")[:-1])
    return Meant("line ends", text.encode())


def delimited(table: Table, draw: random.Random) -> Meant:
    """Another delimiter."""
    mark = draw.choice((",", ";", "\t", "|"))
    return Meant(f"delimiter {mark!r}", table.text(mark=mark).encode())


def commas(table: Table, draw: random.Random) -> Meant:
    """Decimal commas, under a delimiter that allows them or the one there is."""
    mark = draw.choice((";", ";", "\t", "|", table.mark))
    lines = [[one.named() for one in table.columns]]
    lines += [[_with_comma(cell) for cell in row] for row in table.rows()]
    decimals = any("," in cell for line in lines[1:] for cell in line)
    return Meant(f"decimal commas, {mark!r}", table.text(lines, mark).encode(), unread=mark == "," and decimals)


def _with_comma(cell: str) -> str:
    return cell.replace(".", ",") if _number(cell) is not None else cell


def thousands(table: Table, draw: random.Random) -> Meant | None:
    """Thousands marks in numbers over 999: a point, a comma, a space of several widths, an apostrophe."""
    mark = draw.choice((".", ",", " ", "\u00a0", "\u202f", "'", "\u2019", "_"))
    lines = [[one.named() for one in table.columns]]
    any_ = False
    for row in table.rows():
        made = []
        for place, cell in enumerate(row):
            whole, point, rest = cell.partition(".")
            if table.columns[place].fact and whole.isdigit() and len(whole) > 3:
                whole, any_ = f"{int(whole):,}".replace(",", mark), True
            made.append(whole + point + rest)
        lines.append(made)
    if not any_:
        return None
    delimiter = ";" if mark == "," else table.mark
    return Meant(f"thousands {mark!r}", table.text(lines, delimiter).encode())


def quoted(table: Table, draw: random.Random) -> Meant:
    """Cells in quotes, all or some; spaces around them."""
    share = draw.choice((0.3, 1.0))
    space = draw.choice(("", "", " "))
    lines = [[f'"{cell}"' if draw.random() < share else cell + space for cell in line] for line in table.lines()]
    return Meant("quotes", table.text(lines).encode())


def permuted(table: Table, draw: random.Random) -> Meant:
    """Columns in another order, each with its name."""
    columns = list(table.columns)
    draw.shuffle(columns)
    return Meant("columns permuted", replace(table, columns=tuple(columns)).data())


def relabelled(table: Table, draw: random.Random) -> Meant | None:
    """Another unit over the same numbers: all its values are scaled."""
    places = [place for place in _numeric(table) if len(table.columns[place].units) > 1]
    if not places:
        return None
    place = draw.choice(places)
    one = table.columns[place]
    unit = draw.choice([name for name in one.units if name != one.unit])
    factor = one.units[unit] / one.units[one.unit]
    columns = (*table.columns[:place], replace(one, unit=unit), *table.columns[place + 1 :])
    return Meant(f"{one.unit} named {unit}", replace(table, columns=columns).data(), factors={one.fact: factor})


def converted(table: Table, draw: random.Random) -> Meant | None:
    """The same lengths in another unit."""
    made = relabelled(table, draw)
    if made is None:
        return None
    (fact, factor), *_ = made.factors.items()
    place = next(place for place in _numeric(table) if table.columns[place].fact == fact)
    one = table.columns[place]
    unit = next(name for name, size in one.units.items() if math.isclose(size, factor * one.units[one.unit]))
    numbers = [_number(cell) for cell in one.cells]
    cells = tuple(
        cell if number is None else repr(number / factor)
        for cell, number in zip(one.cells, numbers, strict=True)
    )
    columns = (*table.columns[:place], replace(one, unit=unit, cells=cells), *table.columns[place + 1 :])
    return Meant(f"{one.unit} converted to {unit}", replace(table, columns=columns).data())


def unknown_unit(table: Table, draw: random.Random) -> Meant | None:
    """A unit that is none, or none at all, where one is written: refused, asked, or left out in words."""
    places = [place for place in _numeric(table) if table.columns[place].units]
    if not places:
        return None
    place = draw.choice(places)
    one = replace(table.columns[place], unit=draw.choice(("furlong", "kg", "Pa", "%", "bananas", "mm2")))
    columns = (*table.columns[:place], one, *table.columns[place + 1 :])
    return Meant(f"unit {one.unit}", replace(table, columns=columns).data(), unused=table.columns[place].fact)


def one_changed(table: Table, draw: random.Random) -> Meant | None:
    """One number changed: its row changes by that, and no other."""
    place = draw.choice(_numeric(table))
    row = draw.randrange(len(table.columns[place].cells))
    number = _number(table.columns[place].cells[row])
    if not number:
        return None
    factor = draw.choice((0.9, 1.1, 1.25, 0.8))
    text = f"{number * factor:.4g}"
    made = _with_cell(table, place, row, text)
    return Meant("one number", made.data(), ratio=(row, table.columns[place].fact, float(text) / number), may_go=True)


def one_odd(table: Table, draw: random.Random) -> Meant:
    """One cell that is no usable number: its row is missing or the file refused, and no other row changes."""
    place, row = draw.choice(_numeric(table)), draw.randrange(len(table.columns[0].cells))
    odd = draw.choice(ODD_CELLS)
    made = _with_cell(table, place, row, odd)
    return Meant(f"cell {odd[:12]!r}", made.data(), loose=frozenset({row}))


def _with_cell(table: Table, place: int, row: int, text: str) -> Table:
    one = table.columns[place]
    cells = (*one.cells[:row], text, *one.cells[row + 1 :])
    return replace(table, columns=(*table.columns[:place], replace(one, cells=cells), *table.columns[place + 1 :]))


def removed(table: Table, draw: random.Random) -> Meant:
    """A row, or a few in a row, left out."""
    lines = table.lines()
    row = draw.randrange(len(lines) - 1)
    count = min(draw.choice((1, 1, 2)), len(lines) - 1 - row)
    del lines[1 + row : 1 + row + count]
    return Meant("rows left out", table.text(lines).encode(), gone=frozenset(range(row, row + count)))


def doubled(table: Table, draw: random.Random) -> Meant:
    """A row twice, beside itself or elsewhere."""
    lines = table.lines()
    row = draw.randrange(1, len(lines))
    lines.insert(draw.choice((row, draw.randrange(1, len(lines) + 1))), lines[row])
    return Meant("row doubled", table.text(lines).encode())


def contradicted(table: Table, draw: random.Random) -> Meant | None:
    """A row twice with another number in it: which holds is not known."""
    place, row = draw.choice(_numeric(table)), draw.randrange(len(table.columns[0].cells))
    number = _number(table.columns[place].cells[row])
    if not number:
        return None
    lines = table.lines()
    other = [*lines[1 + row]]
    other[place] = f"{number * 1.2:.4g}"
    lines.insert(2 + row, other)
    return Meant("row contradicted", table.text(lines).encode(), loose=frozenset({row}))


def shuffled(table: Table, draw: random.Random) -> Meant:
    """Rows in another order."""
    rows = table.rows()
    way = draw.randrange(3)
    if way == 0:
        rows.reverse()
    elif way == 1:
        draw.shuffle(rows)
    else:
        here, there = (draw.randrange(len(rows)) for _ in range(2))
        rows[here], rows[there] = rows[there], rows[here]
    return Meant("rows in another order", table.text([table.lines()[0], *rows]).encode())


def shifted(table: Table, draw: random.Random) -> Meant:
    """A cell lost, or one too many, in one row: what is behind it would stand under another name."""
    lines = table.lines()
    row = draw.randrange(1, len(lines))
    place = draw.randrange(len(lines[row]))
    if draw.random() < 0.5:
        del lines[row][place]
    else:
        lines[row].insert(place, draw.choice(("7", "x") if table.mark == " " else ("", "", "7", "x")))
    return Meant("row shifted", table.text(lines).encode(), gone=frozenset({row - 1}))


def cut(table: Table, draw: random.Random) -> Meant:
    """The end of the file missing: the last row there may be cut inside its last number."""
    data = table.data()
    end = draw.randrange(len(data))
    head = len("\n".join([*table.above, ""])) + len(table.text(table.lines()[:1])) if table.above else 0
    left = max(data[:end].count(b"\n") - len(table.above) - 1, 0)
    del head
    return Meant("cut short", data[:end], loose=frozenset({left}), may_go=True)


def beside(table: Table, draw: random.Random) -> Meant:
    """Blank lines, words under the table, the header again, empty columns at the end, a column that means nothing."""
    lines = table.lines()
    way = draw.randrange(5)
    if way == 0:
        lines.insert(draw.randrange(1, len(lines) + 1), [])
    elif way == 1:
        lines += [[], ["End of the table"]]
    elif way == 2:
        lines.insert(draw.randrange(2, len(lines) + 1), lines[0])
    elif way == 3:
        lines = [[*line, ""] for line in lines]
    else:
        lines = [[*lines[0], "site"], *([*line, "A12"] for line in lines[1:])]
    return Meant(f"beside {way}", table.text(lines).encode())


def renamed(table: Table, draw: random.Random) -> Meant:
    """A column whose name says nothing, or says it is another's: never read as what it was by its place alone."""
    place = draw.choice(_numeric(table))
    name = draw.choice(("x", "value", "", "?", "column 7", "=1+1", "\u202eDUE", "<b>Hs</b>", "a" * 100_000))
    columns = (*table.columns[:place], replace(table.columns[place], head=name), *table.columns[place + 1 :])
    return Meant(f"renamed {name[:12]!r}", replace(table, columns=columns).data(), may_go=True)


def named_twice(table: Table, draw: random.Random) -> Meant | None:
    """Two columns of one name and different numbers."""
    place = draw.choice(_numeric(table))
    one = table.columns[place]
    if any(_number(cell) is None for cell in one.cells):
        return None
    other = replace(one, cells=tuple(f"{1.3 * float(cell):.4g}" for cell in one.cells))
    return Meant("name twice", replace(table, columns=(*table.columns, other)).data(), unread=True)


def marked(table: Table, draw: random.Random) -> Meant:
    """An unseen letter in a name or a cell."""
    lines = table.lines()
    row = draw.randrange(len(lines))
    place = draw.randrange(len(lines[row]))
    mark = draw.choice(("\u200b", "\u200e", "\u202e", "\ufeff", "\x00", "\x07", "\u00a0", "\u2028", "\x85", "\x1a"))
    cell = lines[row][place]
    at = draw.randrange(len(cell) + 1)
    lines[row][place] = cell[:at] + mark + cell[at:]
    loose = frozenset({row - 1}) if row else frozenset()
    return Meant(f"mark U+{ord(mark):04X}", table.text(lines).encode(), loose=loose, may_go=not row)


def other_dates(table: Table, draw: random.Random) -> Meant | None:
    """Dates in another order: the same times, or asked, or refused."""
    if not table.stamps:
        return None
    form = draw.choice(DATES)
    return Meant(
        f"dates {form}",
        _stamped(table, [when.strftime(form) for when in table.stamps]).data(),
        answers={"date_order": "month first" if form.startswith("%m") else "day first", "time_zone": "UTC"},
    )


def other_zone(table: Table, draw: random.Random) -> Meant | None:
    """A zone behind every time: all are shifted by it."""
    if not table.stamps or "utc" in table.columns[0].head.lower():
        return None
    text, minutes = draw.choice(
        (("Z", 0), ("+00:00", 0), ("+02:00", 120), ("-0530", -330), ("+14:00", 840), ("+05:45", 345))
    )
    cells = [when.strftime("%Y-%m-%dT%H:%M") + text for when in table.stamps]
    return Meant(f"zone {text}", _stamped(table, cells).data(), shift=-timedelta(minutes=minutes))


def odd_time(table: Table, draw: random.Random) -> Meant | None:
    """One time that is none, far off, of a leap day, or written another way."""
    if not table.stamps:
        return None
    row = draw.randrange(len(table.stamps))
    cells = list(table.columns[0].cells)
    cells[row] = draw.choice(ODD_TIMES)
    return Meant(f"time {cells[row]!r}", _stamped(table, cells).data(), loose=frozenset({row}))


def hour_twice(table: Table, draw: random.Random) -> Meant | None:
    """Local times with the hour of autumn twice and no zone: no two seas may come of one time."""
    if not table.stamps or len(table.stamps) < 4:
        return None
    cells = [when.strftime("%Y-%m-%d %H:%M") for when in table.stamps]
    row = draw.randrange(1, len(cells) - 1)
    cells[row:] = cells[row - 1 : -1]
    return Meant("hour twice", _stamped(table, cells).data(), unread=True)


def _stamped(table: Table, cells: Sequence[str]) -> Table:
    return replace(table, columns=(replace(table.columns[0], cells=tuple(cells)), *table.columns[1:]))


def in_workbook(table: Table, draw: random.Random) -> Meant:
    """The table as a workbook, numbers as numbers."""
    import openpyxl

    book = openpyxl.Workbook()
    for line in [*([text] for text in table.above), *table.lines()]:
        book.active.append([cell if (number := _number(cell)) is None else number for cell in line])
    stream = io.BytesIO()
    book.save(stream)
    return Meant("workbook", stream.getvalue())


def huge(table: Table, draw: random.Random) -> Meant:
    """A million columns, a line of a megabyte, quotes that never close, a hundred thousand lines above."""
    way = draw.randrange(5)
    if way == 0:
        return Meant("million columns", (",".join(["a"] * 1_000_000) + "\n" + ",".join(["1"] * 1_000_000)).encode())
    if way == 1:
        return Meant("long header", ("hs" * 50_000 + table.text()).encode(), may_go=True)
    if way == 2:
        return Meant("open quote", ('"' + table.text() * 200).encode(), may_go=True, loose=frozenset(range(10_000)))
    if way == 3:
        return Meant("long words above", ("x " * 10 + "\n").encode() * 20_000 + table.data())
    return Meant("brackets", b"(" * 50_000 + b"[" * 50_000 + table.data(), may_go=True)


ODD_CELLS = (
    *("", "NaN", "nan", "inf", "-inf", "1e308", "-1e308", "1e-308", "-0", "1e999", "9" * 400, "0x10", "1_0", "--"),
    *("x", "2.5.1", "2,5,1", "1/2", "12:30", "=1+1", "#REF!", "#N/A", "N/A", "MM", "-999", "9999", "99", "999.9"),
    *("true", "<b>2</b>", "![p](http://x.y/z.png)", "\u0662.\u0665", "\uff12", "2.5m", "2 . 5", "+ 2", "2e", "e5"),
    *("(2.5)", "2.5*", "~2", ">2", "<0.5", "1-3", "2.5\u00b0", "\u221e", "\u00bd", "a" * 3000),
)
ODD_TIMES = (
    *("0001-01-01T00:00", "9999-12-31T23:59", "2026-02-29T00:00", "2028-02-29T00:00", "1900-02-29", "24:00"),
    *("2026-13-01T00:00", "2026-01-32", "31/31/2026", "now", "", "1e308", "-1", "46000.5", "2026-03-29T02:30"),
    *("2026-12-27T24:00", "2026-12-27T23:60", "2026-12-27T23:59:60", "27 Dec", "Dec 2026", "26-12-27", "NaT"),
)
DATES = (
    *("%d.%m.%Y %H:%M", "%d/%m/%Y %H:%M", "%m/%d/%Y %H:%M", "%d-%b-%Y %H:%M", "%Y%m%d%H%M", "%Y%m%dT%H%MZ"),
    *("%m/%d/%Y %I:%M %p", "%Y/%m/%d %H:%M", "%d %B %Y %H:%M", "%a %d %b %Y %H:%M", "%Y-%m-%d %H:%M:%S"),
)

CHANGES: tuple[Change, ...] = (
    *(encoded, line_ends, delimited, commas, thousands, quoted, permuted, relabelled, converted, unknown_unit),
    *(one_changed, one_changed, one_odd, one_odd, one_odd, removed, doubled, contradicted, shuffled, shifted, cut),
    *(beside, renamed, named_twice, marked, other_dates, other_zone, odd_time, odd_time, hour_twice, in_workbook),
)


PIECES = (
    *(b"", b",", b";", b"\t", b" ", b"\n", b"\r", b'"', b"'", b"#", b":", b"-", b".", b"e", b"(", b"]", b"{", b"|"),
    *(b"\x00", b"\xff", b"\xef\xbb\xbf", b"\xff\xfe", b"\xc3", b"\xe2\x80\xa8", b"\xd9\xa2", b"\x1a", b"\x85"),
    *(b"NaN", b"inf", b"1e999", b"e308", b"e-308", b"-0", b"99", b"-999", b"9999", b"MM", b"0", b"7", b"null"),
    *(b"sep=;\n", b"_m", b"_ft", b"9" * 500, b"x" * 3000, b"(" * 300, b"," * 450, b"\n" * 50, b"0" * 5000, b"PK\x03\x04"),
    *(b"true", b"[]", b"{}", b"2026-13-40", b"24:00", b"=cmd|1", b"</script>", b"\\ud800", b"%s", b"../../x"),
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
