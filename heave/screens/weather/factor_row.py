"""One more row of the forecast factor, typed whole: no factor is ever filled in for whoever holds the standard."""

from __future__ import annotations

from typing import Final

import streamlit as st

from heave.errors import InputError
from heave.fields import parse_number
from heave.planning import AlphaRow, AlphaTable
from heave.planning.alpha import HEIGHTS
from heave.screens import state
from heave.screens.weather import store

_KEYS: Final = tuple(f"heave:alpha:new:{name}" for name in ("period", *(f"{height:g}" for height in HEIGHTS)))
_SOURCE: Final = "heave:alpha:new:source"


def draw() -> None:
    """Boxes of a new row, empty, and the button that adds it."""
    with st.form("heave:alpha:new", border=False):
        st.caption(
            "A new row, from a standard or the rig's own rules: all five numbers and where they come from."
        )
        labels = ("New, up to (h)", *(f"{height:g} m, new" for height in HEIGHTS))
        columns = st.columns([4, 3, 3, 3, 3], gap="small", vertical_alignment="bottom")
        abouts = ("Longest planned period of the row.", *["α for a design height of so much."] * len(HEIGHTS))
        for column, label, key, about in zip(columns, labels, _KEYS, abouts, strict=True):
            column.text_input(label, key=key, help=about)
        about = "Standard, edition and table, or whose numbers."
        st.text_input("Source of the new row", key=_SOURCE, help=about)
        st.form_submit_button("Add a row", key="heave:alpha:add", on_click=_add)


def _add() -> None:
    """Put the row in its place by planned period, its source beside the source of the others."""
    with state.noted("No row was added. "):
        row, source = _typed()
        alpha = store.choices().alpha
        rows = tuple(sorted((*alpha.rows, row), key=lambda one: one.period))
        named = f"{alpha.source}; up to {row.period / 3600:g} h: {source}"
        table = AlphaTable(rows, named)
        state.edit(lambda plan: state.changed(plan, ("weather", "alpha"), table))
        for key in (*_KEYS, _SOURCE):
            st.session_state[key] = ""


def _typed() -> tuple[AlphaRow, str]:
    """The row as typed and its source.

    Raises
    ------
    InputError
        If a number or the source is missing or out of range.
    """
    labels = ("Planned period up to", *(f"α at Hs {height:g} m" for height in HEIGHTS))
    numbers = []
    for label, key in zip(labels, _KEYS, strict=True):
        text = str(st.session_state[key])
        if not text.strip():
            raise InputError(label, "empty", None, "a number from the standard: none is filled in")
        numbers.append(parse_number(text, label))
    source = str(st.session_state[_SOURCE]).strip()
    if not source:
        allowed = "standard, edition and table, or whose numbers"
        raise InputError("Source of the new row", "empty", None, allowed)
    return AlphaRow(numbers[0] * 3600.0, *numbers[1:]), source
