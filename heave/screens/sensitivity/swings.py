"""One input at a time on the page: what moves the result, in a sentence, a picture and a table."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache, partial
from typing import Final

import streamlit as st

from heave.judging import NOT_ASSESSED, OVER, unjudged_path, wanted
from heave.judging.assessment import MOVES
from heave.screens import every_page, pieces, state
from heave.screens.figures.swings import end_text, swings_figure, value_text
from heave.screens.figures.tables import of_texts
from heave.screens.figures.utilisation import utilisation_text
from heave.screens.inputs import folded, inside, plain, sentence
from heave.screens.weather import table
from heave.screens.weather.table import Rows
from heave.studies.sensitivity import End, Sensitivity, Swing, sensitivity

MOST_ROWS: Final = 14
"""Most inputs in the picture; the table has them all."""

ALONE: Final = "One input at a time: what two of them do together is not in this picture."


of = lru_cache(maxsize=8)(sensitivity)
"""What each input does to a plan; plans are frozen values, so equal plans share it."""


def draw() -> None:
    """The sentence, the picture, what does not move it, the table, and what was left as planned."""
    with st.spinner("Each input over its range"):
        found = of(state.plan().as_studied)
    system, look = state.system(), every_page.look()
    headline(found, system)
    shown, rows = moving(found), table_rows(found, system)
    if shown:
        drawing = swings_figure(found, shown, look, system)
        pieces.picture(drawing, "What moves the result", partial(of_texts, rows))
    for words in notes(found, shown):
        st.caption(plain(words))
    folded("Every input in figures, and the check it moves most", "swings", lambda: _table(rows))
    table.save(rows, "swings", "what_moves_the_result.csv", "Save as a table (CSV)")


def headline(found: Sensitivity, system: str) -> None:
    """What moves the result most, from where to where, and what governs at each end."""
    told = (*sentences(found, system), *filter(None, (unjudged_path(found.plan),)))
    every_page.verdict(worst_state(found), headline_words(found), "  \n".join(map(plain, told)))


def worst_state(found: Sensitivity) -> str:
    """The state of the worst place that any one input alone brings about; not assessed where one could not be and none
    is over."""
    ends = [found.planned, *(end for row in found.swings for end in _places(row))]
    highest = max(ends, key=_rank).state
    unknown = any(end.state == NOT_ASSESSED for end in ends)
    return NOT_ASSESSED if found.planned.state == NOT_ASSESSED or (unknown and highest != OVER) else highest


def _rank(end: End) -> float:
    return -math.inf if math.isnan(end.utilisation) else end.utilisation


def _label(row: Swing) -> str:
    return sentence(row.ranged.input.about.label)


def _places(row: Swing) -> list[End]:
    return [end for end in (row.low, row.high, row.worst) if end is not None]


def headline_words(found: Sensitivity) -> str:
    """The input that moves the result most, in a few words."""
    if found.planned.state == NOT_ASSESSED:
        return "Not assessed"
    if not found.swings:
        return "Nothing is varied"
    first = found.swings[0]
    if first.size < MOVES:
        return "No input moves the result"
    return f"{_label(first)} moves it most"


def sentences(found: Sensitivity, system: str) -> list[str]:
    """Where the plan stands, what the first input does, and how many alone bring it over a limit."""
    planned = found.planned
    if planned.state == NOT_ASSESSED:
        why = "; ".join(wanted(found.plan)) or "a required check cannot be made"
        return [f"The plan itself is not assessed: {why}.", "What could be judged is in the table."]
    governing = f", governed by {inside(planned.governing)}" if planned.governing else ""
    lines = [f"As planned {utilisation_text(planned.utilisation)}, {planned.state}{governing}."]
    if found.swings:
        first = found.swings[0]
        ends = "; ".join(f"{governed(end)} at {value_text(first, end, system)}" for end in _places(first))
        lines.append(f"{_label(first)}: {ends}.")
    over = [_label(row) for row in found.swings if any(end.utilisation >= 1 for end in _places(row))]
    if planned.utilisation < 1:
        words = f"Alone enough to go over a limit: {', '.join(over)}." if over else ""
        lines.append(words or "No input alone, inside its range, brings a check over its limit.")
    unknown = [_label(row) for row in found.swings if any(end.state == NOT_ASSESSED for end in _places(row))]
    if unknown:
        lines.append(f"Not assessed somewhere in the range of: {', '.join(unknown)}.")
    return lines


def governed(end: End) -> str:
    """An end in words: its utilisation and what governs there, or why there is none."""
    if end.refused:
        return f"no such plan ({end.refused})"
    words = f"{end_text(end)} ({inside(end.governing)})" if end.governing else end_text(end)
    return words if end.state != NOT_ASSESSED else f"{words}, not all checks could be made"


def moving(found: Sensitivity) -> list[Swing]:
    """The inputs that are drawn: those that move the highest utilisation, the largest first."""
    if found.planned.state == NOT_ASSESSED:  # there is no result to be moved
        return []
    return [row for row in found.swings if row.size >= MOVES][:MOST_ROWS]


def notes(found: Sensitivity, shown: Sequence[Swing]) -> list[str]:
    """What does not move it, what no plan could be made of, and what was not varied."""
    whole = found.planned.state != NOT_ASSESSED
    still = [row.ranged.input.about.label for row in found.swings if whole and row.size < MOVES]
    rest = len(found.swings) - len(still) - len(shown) if whole else 0
    elsewhere = ", where a row does not say otherwise" if shown else ""
    lines = [f"{found.planned.governing} governs{elsewhere}."] if whole else []
    lines += [ALONE + " The plan's own ranges of doubt are closed here, for they are among what is varied."]
    if still:
        lines.append(f"Move the highest utilisation by less than {MOVES:g}: {', '.join(map(inside, still))}.")
    if rest > 0:
        lines.append(f"{rest} more {'is' if rest == 1 else 'are'} in the table.")
    if found.held:
        left = ", ".join(inside(one.about.label) for one in found.held)
        lines.append(f"Not varied, taken as planned: {left}.")
    ends = [(row, end) for row in found.swings for end in (row.low, row.high)]
    return [*lines, *(f"{_label(row)}: {end.refused}" for row, end in ends if end.refused)]


def table_rows(found: Sensitivity, system: str) -> Rows:
    """One row for each input: its range, both ends with what governs there, the worst inside, what it moves most.

    Parameters
    ----------
    found : from `sensitivity`
    system : units on the screen
    """
    rows = []
    for row in found.swings:
        name, low, high = row.moved
        worst = "" if row.worst is None else f"{value_text(row, row.worst, system)}: {governed(row.worst)}"
        rows.append(
            {
                "Input": _label(row),
                "Low end": value_text(row, row.low, system),
                "At low": governed(row.low),
                "High end": value_text(row, row.high, system),
                "At high": governed(row.high),
                "Worst inside": worst,
                "Swing": "not known" if math.isinf(row.size) else utilisation_text(row.size),
                "Moves most": f"{name}, {utilisation_text(low)} to {utilisation_text(high)}",
                "Range from": row.ranged.source,
            }
        )
    return rows


def _table(rows: Rows) -> None:
    head = tuple(rows[0]) if rows else ()
    pieces.wide_table("swings", head, [tuple(plain(cell) for cell in row.values()) for row in rows])
