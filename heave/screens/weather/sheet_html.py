"""The morning sheet as one HTML file: opens without a network and prints on one page, A4 or Letter, colour or grey."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import Final

from heave.screens.printing import LETTERS, document, items, mark, marked, section, table, tag, words
from heave.screens.weather.sheet import Hour, Sheet
from heave.screens.weather.sheet_steps import Row

MANY: Final = 5
"""More steps than this stand in two tables."""

# As high as what is common to both papers, 210 mm by 279 mm, less the margins.
_STYLE: Final = """
@page{size:auto;margin:8mm 9mm}
body{max-width:192mm;padding:3mm;font-size:7.2pt;line-height:1.24}
h1{font-size:14pt;margin:0}h2{font-size:8.2pt;margin:1.6mm 0 .6mm;border-bottom:.3mm solid #9aa5b4}
header{display:flex;flex-wrap:wrap;justify-content:space-between;gap:0 6mm;align-items:baseline}
.answer{display:flex;gap:3mm;align-items:center;border:.4mm solid #16202c;padding:1.4mm 2mm;margin:1.2mm 0}
.answer svg{flex:none}.answer b.word{font-size:15pt;white-space:nowrap}
.beside{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(84mm,100%),1fr));gap:0 5mm}
.four{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(40mm,100%),1fr));gap:0 4mm}
.picture{overflow-x:auto}.picture svg{min-width:150mm;display:block}
.beside>*{min-width:0}
th,td{text-align:right;padding:.14mm .45mm;border-bottom:.15mm solid #c9d0d9;vertical-align:baseline}
th{font-weight:600;white-space:nowrap}
.wide .steps td:not(:first-child):not(:last-child){white-space:nowrap}
.hours{font-size:6.4pt;line-height:1.14}.beside .steps{font-size:6.2pt}
.hours td{white-space:nowrap}.hours th{white-space:normal;line-height:1;vertical-align:bottom}
th:first-child,td:first-child,.words,.steps td,.steps th{text-align:left}
.hours td.words{overflow:hidden;text-overflow:ellipsis;max-width:31mm}
tr.over{background:#dcdfe3}tr.near{background:#f1f2f4}
@media screen and (max-width:640px){.answer{flex-wrap:wrap}.answer b.word{white-space:normal}.answer p{flex:1 1 60mm}}
footer{margin-top:1.4mm;font-size:6.4pt;color:#3c4653}
@media print{body{padding:0;max-width:none;zoom:var(--fit)}
.beside{grid-template-columns:repeat(2,minmax(0,1fr))}.four{grid-template-columns:1.3fr 1fr .9fr 1.1fr}}
"""


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
    return document(title, _STYLE, "".join(parts), fit=fit(len(sheet.steps)))


def fit(rows: int) -> float:
    """How much smaller than a full page the sheet is printed, so that steps and waits still leave it one page.

    Parameters
    ----------
    rows : steps and waits together
    """
    return 1.0 if rows <= 2 else max(0.96 - 0.013 * rows, 0.5)


def _answer(sheet: Sheet) -> str:
    answer = sheet.headline
    lines = "<br>".join(map(marked, answer.lines))
    return tag("div", f"{mark(answer.state, 36)}{words('b', answer.title, 'word')}<p>{lines}</p>", "answer")


def _hours(sheet: Sheet, hours: Sequence[Hour]) -> str:
    if not hours:
        return ""
    governs = sheet.hours_head.index("Governs")

    def cells(name: str, row: Row) -> str:
        return "".join(words(name, cell, "words" if at == governs else "") for at, cell in enumerate(row))

    rows = "".join(
        f'<tr class="{LETTERS[hour.state]}">{cells("td", hour.cells)}<td>{mark(hour.state)}</td></tr>'
        for hour in hours
    )
    return tag("table", tag("tr", cells("th", sheet.hours_head) + "<th></th>") + rows, "hours")


def _steps(sheet: Sheet) -> str:
    """The steps in one table, of many in two beside each other."""
    half = len(sheet.steps) if len(sheet.steps) <= MANY else (len(sheet.steps) + 1) // 2
    parts = (sheet.steps[:half], sheet.steps[half:])
    tables = "".join(table(sheet.steps_head, rows, "steps") for rows in parts if rows)
    return tag("div", tables, "beside" if half < len(sheet.steps) else "wide")


def _foot(sheet: Sheet) -> str:
    lists = {
        "How sure": sheet.sure,
        "What changed": sheet.changed,
        "Not judged here, who decides": sheet.elsewhere,
    }
    return _settings(sheet) + "".join(
        tag("div", section(title, items(lines))) for title, lines in lists.items()
    )


def _settings(sheet: Sheet) -> str:
    rows = "".join(
        tag("li", f"{escape(title)}: <b>{escape(figure)}</b>; {escape(under)}")
        for title, figure, under in sheet.settings
    )
    rows += "".join(words("li", line) for line in sheet.later)
    return tag("div", section("Settings", words("p", sheet.settings_for) + tag("ul", rows)))
