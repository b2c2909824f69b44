"""The morning sheet as one HTML file: opens without a network and prints on one page, A4 or Letter, colour or grey."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import Final

from heave.screens import printing
from heave.screens.printing import mark, section, tag, words
from heave.screens.weather.sheet import Hour, Sheet
from heave.screens.weather.sheet_steps import Row

MANY: Final = 5
"""More steps than this stand in two tables."""


def html_of(sheet: Sheet) -> str:
    """The whole file; every text on it is escaped, and it asks for nothing outside itself.

    Parameters
    ----------
    sheet : what stands on it
    """
    half = (len(sheet.hours) + 1) // 2 if len(sheet.hours) > 24 else len(sheet.hours)
    parts = (
        tag("header", tag("h1", "Morning sheet") + words("span", sheet.plan)),
        tag("header", words("span", sheet.forecast) + words("b", sheet.present)),
        _answer(sheet),
        section("Steps, if begun as early as the next window allows", _steps(sheet)),
        tag("h2", "The next two days"),
        tag("div", sheet.picture, "picture"),
        tag("div", _hours(sheet, sheet.hours[:half]) + _hours(sheet, sheet.hours[half:]), "beside"),
        words("p", sheet.legend),
        tag("div", _foot(sheet), "four"),
        tag("footer", "<br>".join(map(escape, sheet.footer))),
    )
    title = f"Morning sheet, {sheet.present}"
    return printing.document(
        title, printing.style_of("morning_sheet"), "".join(parts), fit=fit(len(sheet.steps))
    )


def fit(rows: int) -> float:
    """How much smaller than a full page the sheet is printed, so that steps and waits still leave it one page.

    Parameters
    ----------
    rows : steps and waits together
    """
    return 0.98 if rows <= 1 else max(0.92 - 0.016 * rows, 0.5)


def _answer(sheet: Sheet) -> str:
    answer = sheet.headline
    lines = "<br>".join(map(printing.marked, answer.lines))
    return tag("div", f"{mark(answer.state, 36)}{words('b', answer.title, 'word')}<p>{lines}</p>", "answer")


def _hours(sheet: Sheet, hours: Sequence[Hour]) -> str:
    if not hours:
        return ""
    governs = sheet.hours_head.index("Governs")

    def cells(name: str, row: Row) -> str:
        return "".join(words(name, cell, "words" if at == governs else "") for at, cell in enumerate(row))

    rows = "".join(
        f'<tr class="{printing.LETTERS[hour.state]}">{cells("td", hour.cells)}<td>{mark(hour.state)}</td></tr>'
        for hour in hours
    )
    return tag("table", tag("tr", cells("th", sheet.hours_head) + "<th></th>") + rows, "hours")


def _steps(sheet: Sheet) -> str:
    """The steps in one table, of many in two beside each other."""
    half = len(sheet.steps) if len(sheet.steps) <= MANY else (len(sheet.steps) + 1) // 2
    parts = (sheet.steps[:half], sheet.steps[half:])
    tables = "".join(printing.table(sheet.steps_head, rows, "steps") for rows in parts if rows)
    return tag("div", tables, "beside" if half < len(sheet.steps) else "wide")


def _foot(sheet: Sheet) -> str:
    lists = {
        "How sure": sheet.sure,
        "What changed": sheet.changed,
        "Not judged here, who decides": sheet.elsewhere,
    }
    return _settings(sheet) + "".join(
        tag("div", section(title, printing.items(lines))) for title, lines in lists.items()
    )


def _settings(sheet: Sheet) -> str:
    rows = "".join(
        tag("li", f"{escape(title)}: <b>{escape(figure)}</b>; {escape(under)}")
        for title, figure, under in sheet.settings
    )
    rows += "".join(words("li", line) for line in sheet.later)
    return tag("div", section("Settings", words("p", sheet.settings_for) + tag("ul", rows)))
