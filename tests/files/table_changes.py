"""Changes that tables meet on their way and whose meaning is known: encodings, units, order of rows, dates, zones."""

from __future__ import annotations

import io
import math
import random
from collections.abc import Callable
from dataclasses import replace

from spoiling import Meant, Table
from time_changes import hour_twice, odd_time, other_dates, other_zone

Change = Callable[[Table, random.Random], Meant | None]

ODD_CELLS = [
    "",
    "NaN",
    "nan",
    "inf",
    "-inf",
    "1e308",
    "-1e308",
    "1e-308",
    "-0",
    "1e999",
    "0x10",
    "1_0",
    "--",
    "x",
    "2.5.1",
    "2,5,1",
    "1/2",
    "12:30",
    "=1+1",
    "#REF!",
    "#N/A",
    "N/A",
    "MM",
    "-999",
    "9999",
    "99",
    "999.9",
    "true",
    "<b>2</b>",
    "![p](http://x.y/z.png)",
    "٢.٥",
    "２",
    "2.5m",
    "2 . 5",
    "+ 2",
    "2e",
    "e5",
    "(2.5)",
    "2.5*",
    "~2",
    ">2",
    "<0.5",
    "1-3",
    "2.5°",
    "∞",
    "½",
]


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
    kind = draw.choice(
        ("utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32", "latin-1", "cp1252", "cp437")
    )
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
    return Meant(
        f"decimal commas, {mark!r}", table.text(lines, mark).encode(), unread=mark == "," and decimals
    )


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
    lines = [
        [f'"{cell}"' if draw.random() < share else cell + space for cell in line] for line in table.lines()
    ]
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
    return Meant(
        f"{one.unit} named {unit}", replace(table, columns=columns).data(), factors={one.fact: factor}
    )


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
    return Meant(
        "one number", made.data(), ratio=(row, table.columns[place].fact, float(text) / number), may_go=True
    )


def one_odd(table: Table, draw: random.Random) -> Meant:
    """One cell that is no usable number: its row is missing or the file refused, and no other row changes."""
    place, row = draw.choice(_numeric(table)), draw.randrange(len(table.columns[0].cells))
    odd = draw.choice((*ODD_CELLS, "9" * 400, "a" * 3000))
    made = _with_cell(table, place, row, odd)
    return Meant(f"cell {odd[:12]!r}", made.data(), loose=frozenset({row}))


def _with_cell(table: Table, place: int, row: int, text: str) -> Table:
    one = table.columns[place]
    cells = (*one.cells[:row], text, *one.cells[row + 1 :])
    return replace(
        table, columns=(*table.columns[:place], replace(one, cells=cells), *table.columns[place + 1 :])
    )


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


def renamed(table: Table, draw: random.Random) -> Meant | None:
    """A column whose name says nothing, or says it is another's: never read as what it was by its place alone."""
    place = draw.choice(_numeric(table))
    name = draw.choice(("x", "value", "", "?", "column 7", "=1+1", "\u202eDUE", "<b>x</b>", "a" * 100_000))
    if name == table.columns[place].head:
        return None
    columns = (*table.columns[:place], replace(table.columns[place], head=name), *table.columns[place + 1 :])
    fact = table.columns[place].fact
    return Meant(f"renamed {name[:12]!r}", replace(table, columns=columns).data(), may_go=True, unused=fact)


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
    mark = draw.choice(
        ("\u200b", "\u200e", "\u202e", "\ufeff", "\x00", "\x07", "\u00a0", "\u2028", "\x85", "\x1a")
    )
    cell = lines[row][place]
    at = draw.randrange(len(cell) + 1)
    lines[row][place] = cell[:at] + mark + cell[at:]
    loose = frozenset({row - 1}) if row else frozenset()
    return Meant(f"mark U+{ord(mark):04X}", table.text(lines).encode(), loose=loose, may_go=not row)


def in_workbook(table: Table, draw: random.Random) -> Meant:
    """The table as a workbook, numbers as numbers."""
    import openpyxl

    book = openpyxl.Workbook()
    for line in [*([text] for text in table.above), *table.lines()]:
        book.active.append([cell if (number := _number(cell)) is None else number for cell in line])
    stream = io.BytesIO()
    book.save(stream)
    return Meant("workbook", stream.getvalue())


CHANGES: tuple[Change, ...] = (
    encoded,
    line_ends,
    delimited,
    commas,
    thousands,
    quoted,
    permuted,
    relabelled,
    converted,
    unknown_unit,
    one_changed,
    one_odd,
    removed,
    doubled,
    contradicted,
    shuffled,
    shifted,
    cut,
    beside,
    renamed,
    named_twice,
    marked,
    other_dates,
    other_zone,
    odd_time,
    hour_twice,
    in_workbook,
    one_changed,
    one_odd,
    one_odd,
    odd_time,
)
