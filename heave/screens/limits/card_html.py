"""The limit card as one HTML file: opens without a network and prints on one page, A4 or Letter."""

from __future__ import annotations

import math
from typing import Final

from heave.judging import NOT_ASSESSED
from heave.screens.limits.card import NO_LIMIT, UNKNOWN, Card
from heave.screens.printing import document, items, mark, tag, words

# As high as what is common to both papers, 210 mm by 279 mm, less the margins.
_STYLE: Final = """
@page{size:auto;margin:9mm 10mm}
body{max-width:190mm;padding:3mm;font-size:7.1pt;line-height:1.25}
h1{font-size:15pt;margin:0;line-height:1.1}
h2{font-size:8pt;margin:1.5mm 0 .5mm;border-bottom:.3mm solid #9aa5b4;break-after:avoid}
header{display:flex;flex-wrap:wrap;justify-content:space-between;gap:0 6mm;align-items:baseline}
.what{font-size:9.4pt;font-weight:600;margin:.8mm 0 1.2mm}
.stop{display:flex;gap:3mm;align-items:center;border:.6mm solid #16202c;padding:1.4mm 2mm;margin:1mm 0;
font-size:10pt}
.stop svg{flex:none}
.limits{border:.4mm solid #16202c;font-variant-numeric:tabular-nums}
.limits :is(td,th){text-align:center;padding:.15mm .3mm;border-bottom:.15mm solid #c9d0d9;line-height:1.12;
white-space:nowrap}
.limits td{border-left:.15mm solid #e1e5ea}
.limits th:first-child{font-size:9pt;border-right:.4mm solid #16202c;min-width:9mm}
.limits thead th{font-size:8pt}.limits thead tr:last-child th{border-bottom:.4mm solid #16202c}
.limits .under th{font-size:6.4pt;font-weight:400;color:#3c4653}
.limits b{font-size:9.4pt}.limits sup{font-size:6.4pt;margin-left:.4mm}
.limits i{font-style:normal;font-size:6.8pt;color:#3c4653}
.limits tbody tr:nth-child(even){background:#f3f5f7}
.limits td.none{background:#dcdfe3}
.limits td:last-child{border-left:.4mm solid #16202c;font-size:7.4pt;color:#3c4653}
.legend{display:flex;flex-wrap:wrap;gap:0 4mm;font-size:8pt;margin:1mm 0}
.two{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(80mm,100%),1fr));gap:0 5mm}
.two>*{min-width:0}
footer{margin-top:1.6mm;border-top:.3mm solid #9aa5b4;padding-top:.8mm;overflow-wrap:anywhere}
@media print{body{padding:0;max-width:none;zoom:var(--fit)}.two{grid-template-columns:1fr 1fr}}
"""

_HEIGHT: Final = 965.0
"""Of what is common to both papers, less margins and a little [px]."""

_LETTERS: Final = 74.0
"""Letters that stand in a line of one of the two columns at full size, at the least."""

_ROW: Final = 28.5
_LINE: Final = 12.2
_HEAD: Final = 24.0
"""Heights of a row of the table, of a line of text and of a heading at full size [px]."""


def html_of(card: Card) -> str:
    """The whole file; every text on it is escaped, and it asks for nothing outside itself.

    Parameters
    ----------
    card : what stands on it
    """
    legend = "".join(
        tag("span", tag("b", words("span", letter)) + " " + words("span", name))
        for letter, name in card.legend
    )
    left = _list("Settings", card.settings) + _list("Not known, ranges of the small figures", card.ranges)
    left += _list("Valid for", card.valid)
    right = _list("Not judged, who decides", card.not_judged) + _list("Cautions", card.cautions)
    parts = (
        tag("header", words("h1", card.title) + words("b", card.plan)),
        words("p", card.what, "what"),
        _stop(card),
        tag("div", _table(card), "wide"),
        tag("div", legend, "legend"),
        words("p", card.reading),
        tag("div", tag("div", left) + tag("div", right), "two"),
        tag("footer", "<br>".join(words("span", line) for line in card.footer)),
    )
    return document(f"{card.title}, {card.plan}", _STYLE, "".join(parts), fit=fit(card))


def fit(card: Card) -> float:
    """How much smaller than a full page the card is printed, so that long cautions still leave it one page.

    Parameters
    ----------
    card : what stands on it
    """
    return next((size / 100 for size in range(100, 50, -1) if _height(card, size / 100) <= _HEIGHT), 0.5)


def _height(card: Card, size: float) -> float:
    """Height that the card takes printed at this size [px]: smaller letters, and more of them in a line."""
    wide = _LETTERS / size

    def lists(*parts: tuple[str, ...]) -> float:
        return sum(_HEAD + _LINE * sum(math.ceil(len(one) / wide) for one in part) for part in parts if part)

    text = sum(len(name) + 6 for _, name in card.legend) / (1.6 * wide) + len(card.reading) / (2 * wide)
    foot = sum(math.ceil(len(line) / (2 * wide)) for line in card.footer)
    columns = max(lists(card.settings, card.ranges, card.valid), lists(card.not_judged, card.cautions))
    stop = 60.0 if card.missing else 0.0
    return size * (82.0 + stop + _ROW * len(card.rows) + _LINE * (text + foot + 4) + columns)


def _stop(card: Card) -> str:
    """Across the card where it is not assessed: no figure on it is a limit."""
    if not card.missing:
        return ""
    said = f"Not assessed: {card.missing}. This card gives no limit where it says {UNKNOWN}."
    return tag("div", mark(NOT_ASSESSED, 30) + words("b", said), "stop")


def _table(card: Card) -> str:
    head = "".join(words("th", name) for name in ("Tp, s", *card.columns, "steepest"))
    under = "".join(words("th", name) for name in ("relative", *card.under_columns, card.unit))
    rows = []
    for tp, cells, steep in card.rows:
        inner = "".join(_cell(cell.limit, cell.letter, cell.worst) for cell in cells)
        rows.append(tag("tr", words("th", tp) + inner + words("td", steep)))
    heads = tag("thead", tag("tr", head) + tag("tr", under, "under"))
    return tag("table", heads + tag("tbody", "".join(rows)), "limits")


def _cell(limit: str, letter: str, worst: str) -> str:
    small = "" if limit == worst == NO_LIMIT or limit == UNKNOWN else "<br>" + words("i", worst)
    raised = words("sup", letter) if letter else ""
    return tag("td", words("b", limit) + raised + small, "none" if limit == "0.0" else "")


def _list(title: str, lines: tuple[str, ...]) -> str:
    return words("h2", title) + items(lines) if lines else ""
