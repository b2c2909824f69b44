"""The morning sheet as one HTML file: opens without a network and prints on one page, A4 or Letter, colour or grey."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from html import escape
from typing import Final

from heave.judging import NEAR, NOT_ASSESSED, OVER, WITHIN
from heave.screens.figures.look import LIGHT, mark_parts
from heave.screens.weather.sheet import Hour, Sheet
from heave.screens.weather.sheet_steps import Row

_LETTERS: Final = {WITHIN: "within", NEAR: "near", OVER: "over", NOT_ASSESSED: "none"}

MANY: Final = 5
"""More steps than this stand in two tables."""

# As high as what is common to both papers, 210 mm by 279 mm, less the margins.
_STYLE: Final = """
@page{size:auto;margin:8mm 9mm}
*{box-sizing:border-box}
html{-webkit-print-color-adjust:exact;print-color-adjust:exact}
body{margin:0 auto;max-width:192mm;padding:3mm;background:#fff;color:#16202c;
font:7.2pt/1.24 system-ui,'DejaVu Sans','Liberation Sans',Arial,sans-serif}
h1{font-size:14pt;margin:0}h2{font-size:8.2pt;margin:1.6mm 0 .6mm;border-bottom:.3mm solid #9aa5b4}
p{margin:0}ul{margin:0;padding-left:3.4mm}
header{display:flex;flex-wrap:wrap;justify-content:space-between;gap:0 6mm;align-items:baseline}
.answer{display:flex;gap:3mm;align-items:center;border:.4mm solid #16202c;padding:1.4mm 2mm;margin:1.2mm 0}
.answer svg{flex:none}.answer b.word{font-size:15pt;white-space:nowrap}
.beside{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(84mm,100%),1fr));gap:0 5mm}
.four{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(40mm,100%),1fr));gap:0 4mm}
.picture{overflow-x:auto}.picture svg{min-width:150mm;display:block}
.beside>*{min-width:0}.wide{overflow-x:auto}
table{border-collapse:collapse;width:100%}
th,td{text-align:right;padding:.14mm .45mm;border-bottom:.15mm solid #c9d0d9;vertical-align:baseline}
th{font-weight:600;white-space:nowrap}
.wide .steps td:not(:first-child):not(:last-child){white-space:nowrap}
.hours{font-size:6.4pt;line-height:1.14}.beside .steps{font-size:6.2pt}
.hours td{white-space:nowrap}.hours th{white-space:normal;line-height:1;vertical-align:bottom}
th:first-child,td:first-child,.words,.steps td,.steps th{text-align:left}
.hours td.words{overflow:hidden;text-overflow:ellipsis;max-width:31mm}
tr.over{background:#dcdfe3}tr.near{background:#f1f2f4}
svg.mark{height:2.9mm;width:2.9mm;vertical-align:-.5mm}
footer{margin-top:1.4mm;font-size:6.4pt;color:#3c4653}
button{font:inherit;font-size:9pt;padding:1mm 3mm}
@media print{body{padding:0;max-width:none;zoom:var(--fit)}.screen{display:none}
.beside{grid-template-columns:repeat(2,minmax(0,1fr))}.four{grid-template-columns:1.3fr 1fr .9fr 1.1fr}}
"""

_PRINT: Final = "document.getElementById('print').onclick=function(){window.print()}"


def html_of(sheet: Sheet) -> str:
    """The whole file; every text on it is escaped, and it asks for nothing outside itself.

    Parameters
    ----------
    sheet : what stands on it
    """
    half = (len(sheet.hours) + 1) // 2 if len(sheet.hours) > 24 else len(sheet.hours)
    parts = (
        _tag("header", _tag("h1", "Morning sheet") + _tag("span", escape(sheet.plan))),
        _tag("header", _tag("span", escape(sheet.forecast)) + _tag("b", escape(sheet.present))),
        _answer(sheet),
        _tag("h2", "Steps, if begun as early as the next window allows"),
        _steps(sheet),
        _tag("h2", "The next two days"),
        _tag("div", sheet.picture, "picture"),
        _tag("div", _hours(sheet, sheet.hours[:half]) + _hours(sheet, sheet.hours[half:]), "beside"),
        _tag("p", escape(sheet.legend)),
        _tag("div", _foot(sheet), "four"),
        _tag("footer", "<br>".join(map(escape, sheet.footer))),
    )
    button = '<p class="screen"><button id="print">Print this sheet</button></p>'
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width,initial-scale=1">'
        f"<title>Morning sheet, {escape(sheet.present)}</title><style>{_STYLE}</style></head>"
        f'<body style="--fit:{fit(len(sheet.steps)):.3f}">'
        f"{_symbols()}{button}{''.join(parts)}<script>{_PRINT}</script></body></html>"
    )


def fit(rows: int) -> float:
    """How much smaller than a full page the sheet is printed, so that steps and waits still leave it one page.

    Parameters
    ----------
    rows : steps and waits together
    """
    return 1.0 if rows <= 2 else max(0.96 - 0.013 * rows, 0.5)


def _tag(name: str, content: str, kind: str = "") -> str:
    return f'<{name} class="{kind}">{content}</{name}>' if kind else f"<{name}>{content}</{name}>"


def _symbols() -> str:
    """The marks of the states, defined once for all rows."""
    marks = "".join(
        f'<symbol id="{letters}" viewBox="-12 -12 24 24"><g transform="scale(1,-1)">{mark_parts(state, LIGHT)}</g>'
        "</symbol>"
        for state, letters in _LETTERS.items()
    )
    return f'<svg width="0" height="0" style="position:absolute">{marks}</svg>'


def _mark(state: str) -> str:
    return f'<svg class="mark" role="img" aria-label="{state}"><use href="#{_LETTERS[state]}"/></svg>'


def _answer(sheet: Sheet) -> str:
    answer = sheet.headline
    mark = f'<svg width="36" height="36"><use href="#{_LETTERS[answer.state]}"/></svg>'
    lines = "<br>".join(map(marked, answer.lines))
    return _tag("div", f'{mark}<b class="word">{escape(answer.title)}</b><p>{lines}</p>', "answer")


def marked(markdown: str) -> str:
    """A line of the page's Markdown as HTML: bold kept, escaped marks plain, all else text.

    Parameters
    ----------
    markdown : the line
    """
    pieces: list[str] = []
    bold = False
    for escaped, stars, words in re.findall(r"\\(.)|(\*\*)|([^\\*]+|.)", markdown, re.DOTALL):
        if stars:
            bold = not bold
            pieces.append("<b>" if bold else "</b>")
        else:
            pieces.append(escape(escaped or words))
    return "".join(pieces) + "</b>" * bold


def _table(head: Row, rows: Iterable[Row], kind: str) -> str:
    top = _tag("tr", "".join(_tag("th", escape(name)) for name in head))
    body = "".join(_tag("tr", "".join(_tag("td", escape(cell)) for cell in row)) for row in rows)
    return _tag("table", top + body, kind)


def _hours(sheet: Sheet, hours: Sequence[Hour]) -> str:
    if not hours:
        return ""
    words = sheet.hours_head.index("Governs")

    def cells(name: str, row: Row) -> str:
        return "".join(
            _tag(name, escape(cell), "words" if at == words else "") for at, cell in enumerate(row)
        )

    rows = "".join(
        f'<tr class="{_LETTERS[hour.state]}">{cells("td", hour.cells)}<td>{_mark(hour.state)}</td></tr>'
        for hour in hours
    )
    return _tag("table", _tag("tr", cells("th", sheet.hours_head) + "<th></th>") + rows, "hours")


def _steps(sheet: Sheet) -> str:
    """The steps in one table, of many in two beside each other."""
    half = len(sheet.steps) if len(sheet.steps) <= MANY else (len(sheet.steps) + 1) // 2
    parts = (sheet.steps[:half], sheet.steps[half:])
    return _tag(
        "div",
        "".join(_table(sheet.steps_head, rows, "steps") for rows in parts if rows),
        "beside" if half < len(sheet.steps) else "wide",
    )


def _foot(sheet: Sheet) -> str:
    return (
        _settings(sheet)
        + _list("How sure", sheet.sure)
        + _list("What changed", sheet.changed)
        + _list("Not judged here, who decides", sheet.elsewhere)
    )


def _list(title: str, lines: Iterable[str]) -> str:
    items = "".join(_tag("li", escape(line)) for line in lines)
    return _tag("div", _tag("h2", escape(title)) + _tag("ul", items))


def _settings(sheet: Sheet) -> str:
    rows = "".join(
        _tag("li", f"{escape(title)}: <b>{escape(figure)}</b>; {escape(under)}")
        for title, figure, under in sheet.settings
    )
    rows += "".join(_tag("li", escape(line)) for line in sheet.later)
    return _tag("div", _tag("h2", "Settings") + _tag("p", escape(sheet.settings_for)) + _tag("ul", rows))
