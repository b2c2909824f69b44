"""The limit card as one HTML file: opens without a network and prints on one page, A4 or Letter."""

from __future__ import annotations

import math
from typing import Final

from heave.judging import NOT_ASSESSED
from heave.screens.limits.card import NO_LIMIT, UNKNOWN, Card
from heave.screens.printing import document, items, mark, style_of, tag, words

_HEIGHT: Final = 965.0
"""Of what is common to both papers, 210 mm by 279 mm, less margins and a little [px]."""

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
    return document(f"{card.title}, {card.plan}", style_of("limit_card"), "".join(parts), fit=fit(card))


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
