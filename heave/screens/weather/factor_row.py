"""One more row of the forecast factor, typed whole: no factor is ever filled in for whoever holds the standard."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import streamlit as st

from heave.errors import InputError
from heave.fields import parse_number
from heave.planning import AlphaRow, AlphaTable, Plan
from heave.planning.alpha import HEIGHTS
from heave.screens import state

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
        for column, label, key in zip(columns, labels, _KEYS, strict=True):
            column.text_input(label, key=key)
        st.text_input("Source of the new row", key=_SOURCE)
        st.form_submit_button("Add a row", key="heave:alpha:add", on_click=_add)


def _add() -> None:
    """Put the row in its place by planned period, its source beside the source of the others."""
    try:
        row, source = _typed()
    except InputError as error:
        state.note("bad", f"No row was added. {error}")
        return

    def added(plan: Plan) -> Plan:
        asked = plan.weather
        rows = tuple(sorted((*asked.alpha.rows, row), key=lambda one: one.period))
        named = f"{asked.alpha.source}; up to {row.period / 3600:g} h: {source}"
        return plan.changed(weather=replace(asked, alpha=AlphaTable(rows, named)))

    refused = state.edit(added)
    if refused is not None:
        state.note("bad", f"No row was added. {refused}")
        return
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
    texts = [str(st.session_state[key]) for key in _KEYS]
    for label, text in zip(labels, texts, strict=True):
        if not text.strip():
            raise InputError(label, "empty", None, "a number from the standard: none is filled in")
    numbers = [parse_number(text, label) for label, text in zip(labels, texts, strict=True)]
    source = str(st.session_state[_SOURCE]).strip()
    if not source:
        raise InputError(
            "Source of the new row", "empty", None, "standard, edition and table, or whose numbers"
        )
    period, at_1m, at_2m, at_4m, at_6m = numbers
    return AlphaRow(period * 3600.0, at_1m, at_2m, at_4m, at_6m), source
