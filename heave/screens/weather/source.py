"""Bringing an own forecast: read at once or asked about, kept until another is taken, and by which rules it is read."""

from __future__ import annotations

from functools import partial
from typing import Any, Final

import streamlit as st

from heave import fields
from heave.fields import parse_number
from heave.planning.columns import LONGEST_BRIDGE
from heave.screens import pieces, state
from heave.screens.inputs import button, plain
from heave.screens.weather import dialogue, store

TYPES: Final = ["csv", "txt", "dat", "tsv", "xlsx", "asc", "prn"]

LABEL: Final = "Your own forecast (CSV, text or .xlsx)"
_HELP: Final = (
    "A table with one row a time, as text or as a workbook (.xlsx): comma, semicolon, tab or columns of fixed width, "
    "titles above it, dates on lines of their own. What the file does not say is asked."
)


def upload(slot: str, label: str, **how: Any) -> None:
    """An upload box of one slot, 'forecast' or 'hindcast'; its file is read at once."""
    pieces.upload(slot, label, TYPES, partial(dialogue.take, slot), help=_HELP, **how)


def asked(slot: str, label: str, **how: Any) -> bool:
    """While a file is asked about or was refused: that, and a box for another; False where there is nothing."""
    drawn = dialogue.draw(slot)
    if drawn:
        upload(slot, label, **how)
    return drawn


def forecast_inputs() -> None:
    """The forecast in use, another one, and how it was read."""
    current = store.source()
    invented = " It is invented: no place, no real days." if current.sample else ""
    st.markdown(f"Using **{plain(current.name)}**: {plain(store.about(current.forecast))}.{invented}")
    upload("forecast", LABEL)
    _paste()
    left, right = st.columns(2)
    if current.data:
        once_more = partial(dialogue.again, "forecast", current)
        back = partial(store.use, None)
        button("Ask about it again", "forecast:again", once_more, at=left, width="stretch")
        button("Back to the sample", "forecast:sample", back, at=right, width="stretch")
        _issue(current)
        _rules(current)
    for note in current.forecast.notes:
        st.caption(plain(note))


def _paste() -> None:
    """A box for a table that came in a message; it is emptied once it is read."""
    key = f"heave:forecast:pasted:{state.kept('pasted') or 0}"
    label = "Or paste its table"
    how: dict[str, Any] = {"height": 68, "placeholder": "with its header", "help": _HELP}
    st.text_area(label, key=key, on_change=_pasted, args=(key,), **how)


def _pasted(key: str) -> None:
    text = st.session_state[key]
    state.keep("pasted", (state.kept("pasted") or 0) + 1)
    if text.strip():
        dialogue.take("forecast", "pasted text", text.encode())


def _issue(current: store.Source) -> None:
    """A box for the time of issue, where the file does not say it or somebody has said it before."""
    if current.forecast.issued is not None and current.issued is None:
        return
    key = f"heave:forecast:issued:{current.issued}"
    st.session_state.setdefault(key, current.issued or "")
    about = (
        "Where the file does not say it. From it the age of the forecast and the lead times of α are counted."
    )
    how: dict[str, Any] = {
        "placeholder": "2026-03-04 06:00",
        "help": about,
        "on_change": _issued,
        "args": (key,),
    }
    st.text_input("Issued (UTC)", key=key, **how)


def _issued(key: str) -> None:
    dialogue.issued(st.session_state[key])


def _rules(current: store.Source) -> None:
    """Gaps that are bridged, and what an empty swell is: rules for the whole file."""
    if current.mapping is None:
        return
    one, two = st.columns(2)
    described = fields.about(current.mapping, "bridge")
    key = f"heave:forecast:bridge:{current.mapping.bridge:g}"
    st.session_state.setdefault(key, f"{current.mapping.bridge / 3600:g}")
    one.text_input(f"{described.label} (h)", key=key, help=described.help, on_change=_bridged, args=(key,))
    described = fields.about(current.mapping, "empty_swell")
    key = "heave:forecast:empty"
    st.session_state[key] = current.mapping.empty_swell
    options = described.options  # type: ignore[union-attr]
    two.selectbox(described.label, options, key=key, help=described.help, on_change=_emptied, args=(key,))


def _bridged(key: str) -> None:
    with state.noted():
        given = parse_number(st.session_state[key], "Gaps bridged up to", "h")
        dialogue.change(bridge=min(given * 3600.0, 2 * LONGEST_BRIDGE))


def _emptied(key: str) -> None:
    dialogue.change(empty_swell=st.session_state[key])


def label() -> str:
    """The forecast in use in a few words."""
    current = store.source()
    return f"Forecast: {plain(current.name)}" + (" (invented sample)" if current.sample else "")
