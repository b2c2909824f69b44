"""What the comparison shows: verdicts, checks, inputs that differ, what nobody judged, and the limiting sea of each."""

from __future__ import annotations

import base64
from collections.abc import Callable, Sequence
from functools import lru_cache, partial
from typing import Final

import streamlit as st

from heave.files.comparison import comparison_text
from heave.judging import WITHIN, Check
from heave.judging.limiting import HIGHEST_TRIED
from heave.judging.path_loads import PATH_KEYS
from heave.planning import Plan
from heave.screens import pieces
from heave.screens.every_page import TONES
from heave.screens.figures.limit_curves import limit_figure, limit_words
from heave.screens.figures.look import Look, mark_svg
from heave.screens.figures.utilisation import utilisation_text
from heave.screens.inputs import folded, plain, sentence
from heave.studies.compare import CheckRow, Side, check_rows, differences, limit_curve
from heave.units import counted, show

SHOWS: Final = 0.005
"""Least that the ranges of what is not known bring a utilisation up for it to be told."""


_curve = lru_cache(maxsize=32)(limit_curve)
"""The curve of a plan; plans are frozen values, so equal ones share it."""


def checks(sides: Sequence[Side], system: str, look: Look) -> None:
    """Verdict, governing check and every check in reading order, a column a side; checks of the hoisting path that are
    within limits in all of them are folded away."""
    rows = check_rows(sides)
    quiet = [row for row in rows if _is_quiet(row)]
    told = [
        ["**Verdict**", *(_verdict(side, look) for side in sides)],
        ["Governed by", *(_governing(side, system) for side in sides)],
        *(_cells(row, system, look) for row in rows if row not in quiet),
    ]
    pieces.wide_table("compare-checks", _head(sides), told)
    if quiet:
        label = f"Hoisting path: {counted(len(quiet), 'more check')}, within limits in every column"
        more = [_cells(row, system, look) for row in quiet]
        folded(label, "compare:quiet", partial(pieces.wide_table, "compare-quiet", _head(sides), more))


def unjudged(sides: Sequence[Side]) -> None:
    """What nobody judged, told once for all columns that have it in common."""
    found: dict[str, list[str]] = {}
    for side in sides:
        for words in side.unjudged:
            found.setdefault(words, []).append(side.name)
    if found:
        st.header("Not judged")
    lines = []
    for words, names in found.items():
        whose = "all" if len(names) == len(sides) else ", ".join(names)
        lines.append(f"- **{plain(sentence(whose))}**: {plain(words)}")
    st.markdown("\n".join(lines))


def inputs(named: Sequence[tuple[str, Plan]], system: str) -> None:
    """The inputs that differ between the plans, each with its values."""
    found = differences([plan for _, plan in named])
    if len(named) == 1:
        st.caption("Nothing stands beside this plan yet.")
        return
    if not found:
        st.caption("No input differs.")
        return
    head = ("Input", *(plain(name) for name, _ in named))
    rows = (
        (f"{plain(one.part)}: {plain(one.label)}", *(plain(words) for words in one.words(system)))
        for one in found
    )
    pieces.wide_table("compare-inputs", head, rows)


def limits(sides: Sequence[Side], system: str, look: Look) -> None:
    """The largest Hs of the first wave system against its peak period, a line a column."""
    curves = [(side, _curve(side.plan.as_judged)) for side in sides]
    known = [(side, curve) for side, curve in curves if curve is not None]
    if known:
        figure = limit_figure(known, look, system)
        pieces.chart(figure, "compare", limit_words(known, system), name="Limiting sea of every column")
        tried = show(HIGHEST_TRIED, "length", system)
        st.caption(
            "Largest Hs of the first wave system at each peak period, other systems, heading and everything else as in "
            f"the plan of the line; where a line ends, no check reaches 1 up to {tried}. The ranges of what "
            "is not known are not counted, nor what is listed above as not judged. Dots: the sea as planned."
        )
    unknown = [side.name for side, curve in known if not all(one.assessed for one in curve)]
    if unknown:
        words = f"Not assessed, so no line and no limit where it is missing: {', '.join(unknown)}."
        st.caption(plain(words))
    measured = [side.name for side, curve in curves if curve is None]
    if measured:
        words = f"No curve for {', '.join(measured)}: a measured spectrum has no one period to change."
        st.caption(plain(words))


def file_maker(sides: Sequence[Side], system: str) -> Callable[[], str]:
    """What makes the CSV file of the comparison, outside the session."""
    return partial(comparison_text, tuple(sides), system)


def _is_quiet(row: CheckRow) -> bool:
    return row.key in PATH_KEYS and all(check is None or check.state == WITHIN for check in row.checks)


def _cells(row: CheckRow, system: str, look: Look) -> list[str]:
    return [plain(row.name), *(_cell(check, system, look) for check in row.checks)]


def _head(sides: Sequence[Side]) -> tuple[str, ...]:
    return "Plan", *(plain(side.name) for side in sides)


def _verdict(side: Side, look: Look) -> str:
    beside = side.answer.removeprefix(side.verdict)
    return _state(side.verdict, look) + (f"**{plain(beside)}**" if beside else "")


def _governing(side: Side, system: str) -> str:
    check = side.governing
    if check is None:
        return "nothing that was assessed"
    used = utilisation_text(check.utilisation)
    return f"{plain(check.name)} **{used}**, {plain(check.headline(system))}"


def _cell(check: Check | None, system: str, look: Look) -> str:
    """A check in a cell: mark, utilisation, state in words, demand of capacity."""
    if check is None:
        return ":gray[not called for]"
    used, high = utilisation_text(check.utilisation), utilisation_text(check.high)
    if used == check.state:
        return _state(check.state, look)
    more = f", to {high} in doubt" if check.high > check.utilisation + SHOWS else ""
    return f"{_state(check.state, look, used)} :small[:gray[{plain(check.headline(system))}{more}]]"


def _state(state: str, look: Look, used: str = "") -> str:
    """Mark and word of a state, a utilisation between them."""
    figure = f"**{used}** " if used else ""
    return f"![{state}]({_mark(state, look)}) :{TONES[state]}[{figure}{state}]"


@lru_cache(maxsize=16)
def _mark(state: str, look: Look) -> str:
    """The mark of a state as an address of its own picture, so that it can stand in a line."""
    drawn = mark_svg(state, look, 16).encode()
    return f"data:image/svg+xml;base64,{base64.b64encode(drawn).decode()}"
