"""Writes one known sea in many layouts, and answers what is asked about them as the one who knows it would."""

from __future__ import annotations

import io
from datetime import datetime
from itertools import groupby, zip_longest
from typing import Any

import numpy as np
from known_sea import GROUPS, ISSUED, SYSTEMS, Layout, Sea, table_of

from heave.files.conventions import Question
from heave.files.forecast.answers import answer
from heave.files.forecast.questions import ForecastQuestions
from heave.files.forecast.reader import read_forecast
from heave.weather.forecast import EnsembleForecast, Forecast


def heads_of(layout: Layout, sea: Sea) -> tuple[list[list[str]], list[list[str]], list[str]]:
    """The lines that name the columns, the rows, and the dates that stand above them."""
    groups, names, units, rows, dates = table_of(layout, sea)
    if layout.unit_place == "brackets" or (layout.names == "ours" and layout.unit_place != "nowhere"):
        end = "_{}" if layout.names == "ours" else " ({})"
        names = [name + (end.format(unit) if unit else "") for name, unit in zip(names, units, strict=True)]
        units = []
    elif layout.unit_place == "nowhere":
        units = []
    else:
        units = [unit or "-" for unit in units]
    heads = [groups] * any(groups) + [names] + [units] * bool(units)
    return heads, rows, dates


def titles_of(layout: Layout) -> list[str]:
    """Lines above the table."""
    titles = ["Marine forecast for site 12", "Prepared for the rig"][: layout.title]
    if layout.times == "lead":
        titles.append(f"Issued: {ISSUED:%Y-%m-%d %H:%M} UTC")
    if layout.zone == "title UTC+2" and layout.times not in ("epoch", "lead"):
        titles.append("All times are UTC+2")
    return titles


def written(layout: Layout, sea: Sea) -> bytes:
    """The sea as a file."""
    heads, rows, dates = heads_of(layout, sea)
    titles = titles_of(layout)
    lines: list[list[str]] = [*([title] for title in titles)]
    if layout.blank and titles:
        lines.append([])
    if layout.across:
        return _encoded(layout, lines + _turned(layout, heads, rows, dates))
    if not dates:
        lines += heads
    for place, row in enumerate(rows):
        new = bool(dates) and (place == 0 or dates[place] != dates[place - 1])
        if new:
            lines.append([dates[place]])
            if place == 0 or layout.again:
                lines += heads
        elif layout.again and not dates and place == len(rows) // 2:
            lines += heads
        elif layout.blank and place == len(rows) // 2:
            lines.append([])
        lines.append(row)
    return _encoded(layout, lines)


def _turned(
    layout: Layout, heads: list[list[str]], rows: list[list[str]], dates: list[str]
) -> list[list[str]]:
    """The table with its times across: a line a quantity, a part a day where dates stand above."""
    names = [list(column) for column in zip(*heads, strict=True)]
    if layout.sides == "fixed":  # what stands before the values is one cell there
        names = [[" ".join(word for word in column if word != "-")] for column in names]
    elif len(heads) > 1 and heads[0][0] == "":  # a group stands once, before the first of its lines
        for place in range(len(names) - 1, 0, -1):
            if names[place][0] == names[place - 1][0]:
                names[place][0] = ""
    lines: list[list[str]] = []
    for date in dict.fromkeys(dates) or [""]:
        part = [row for place, row in enumerate(rows) if not dates or dates[place] == date]
        values = zip(*part, strict=True)
        lines += [[date]] * bool(date)
        lines += [[*name, *cells] for name, cells in zip(names, values, strict=True)]
        if layout.blank:
            lines.append([])
    return lines


def _encoded(layout: Layout, lines: list[list[str]]) -> bytes:
    """The bytes of a file, its footer under it."""
    if layout.footer:
        lines += [[], ["Valid for the named site only"]]
    if layout.sides == "xlsx":
        return _workbook(lines)
    text = _fixed(lines, layout.middle) if layout.sides == "fixed" else _delimited(lines, layout.sides)
    return text.encode({"utf-16": "utf-16", "cp1252": "cp1252"}.get(layout.encoding, "utf-8"))


def _delimited(lines: list[list[str]], mark: str) -> str:
    comma = mark == ";"
    made = []
    for line in lines:
        cells = [
            cell.replace(".", ",") if comma and cell.replace(".", "", 1).isdigit() else cell for cell in line
        ]
        made.append(mark.join(cells))
    return "\n".join(made) + "\n"


def _fixed(lines: list[list[str]], middle: bool) -> str:
    """Columns as wide as their widest cell, names to the left; a group over the first or the middle of its columns."""
    groups = (*GROUPS.values(), "Wind")
    wide = [["" if middle and cell in groups else cell for cell in line] for line in lines if len(line) > 1]
    widths = [max(len(cell) for cell in column) + 2 for column in zip_longest(*wide, fillvalue="")]
    made = []
    for line in lines:
        if len(line) < 2:
            made.append("".join(line))
            continue
        text = ""
        for group, cells in groupby(zip(line, widths, strict=False), lambda one: one[0]):
            if group in groups:
                size = sum(width for _, width in cells)
                text += group.center(size - 2).ljust(size) if middle else group.ljust(size)
            else:
                text += "".join(cell.ljust(width) for cell, width in cells)
        made.append(text.rstrip())
    return "\n".join(made) + "\n"


def _workbook(lines: list[list[str]]) -> bytes:
    import openpyxl

    book = openpyxl.Workbook()
    sheet = book.active
    for line in lines:
        cells: list[Any] = []
        for cell in line:
            try:
                cells.append(datetime.strptime(cell, "%Y-%m-%d %H:%M"))
            except ValueError:
                number = cell.replace(".", "", 1)
                cells.append(float(cell) if number.isdigit() else cell or None)
        sheet.append(cells)
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def reply(layout: Layout, question: Question) -> str:
    """What the one who wrote the file says."""
    key = question.key.partition(":")[0]
    order = {"month slash": "month first"}.get(layout.times, "day first")
    known = {
        "height_unit": layout.unit,
        "period_kind": "Tp",
        "direction_sense": layout.sense,
        "date_order": order,
        "time_zone": f"{'-' if layout.ahead < 0 else '+'}{abs(layout.ahead):02d}:00"
        if layout.ahead
        else "UTC",
        "composition": "parts",
        "rest_period": "total",
    }
    assert key in known, f"{question.key}: {question.words}"
    return known[key]


def read_as_asked(layout: Layout, data: bytes) -> tuple[Forecast | EnsembleForecast, int]:
    """What is read once every question is answered, and how many there were."""
    mapping = None
    for count in range(20):
        try:
            return read_forecast(data, mapping), count
        except ForecastQuestions as asked:
            question = asked.questions[0]
            mapping = answer(asked.mapping, question, reply(layout, question))
    raise AssertionError("asked without end")


def same_sea(layout: Layout, sea: Sea, found: Forecast | EnsembleForecast) -> None:
    """Fails where what was read is not what was written."""
    runs = found.members if isinstance(found, EnsembleForecast) else (found,)
    assert len(runs) == (3 if layout.systems in ("wide", "long") else 1)
    times = np.array(sea.times, dtype="datetime64[s]")
    for run, one in enumerate(runs):
        same_wind(layout, sea, one)
        assert np.array_equal(one.times, times), (one.times[:3], times[:3])
        assert set(np.flatnonzero(one.missing)) == sea.holes
        kept = np.array([place not in sea.holes for place in range(len(times))])
        parts = SYSTEMS[layout.systems]
        names = {"both": ("wind sea", "swell"), "total and swell": ("wind sea", "swell")}.get(
            layout.systems, parts
        )
        assert tuple("total" if name == "total sea" else name for name in one.system_names) == names
        for name, slot in zip(names, one.batch.slots, strict=True):
            heights = sea.members[run] if layout.systems in ("wide", "long") else sea.columns["height", name]
            for what, values, near in (
                ("hs", heights, 0.01),
                ("tp", sea.columns["period", name], 0.051),
                ("direction_from", sea.columns["direction", name], 0.01),
            ):
                read = getattr(slot, what)[kept]
                assert np.allclose(read, np.array(values)[kept], atol=near), (name, what, read, values)


def same_wind(layout: Layout, sea: Sea, found: Forecast) -> None:
    """Fails where another wind was read than was written; a speed whose unit is not said is none."""
    assert (found.wind_direction_from is None) is (layout.wind == "none")
    assert found.current_direction_to is None
    if found.wind_direction_from is not None:
        assert np.allclose(found.wind_direction_from, sea.wind, equal_nan=True), (
            found.wind_direction_from,
            sea.wind,
        )
    said = layout.wind != "none" and layout.unit_place != "nowhere"
    assert (found.wind_speed is None) is not said
    if found.wind_speed is not None:
        assert np.allclose(found.wind_speed, 20 * 1852 / 3600)
