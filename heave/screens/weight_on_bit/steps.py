"""One of several at a time: the list of scenes or exercises, and the way back and on through it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import streamlit as st

from heave.screens.inputs import STAYS, button


def picked(name: str, label: str, titles: Mapping[str, str]) -> str:
    """The list, and the key of what is picked from it.

    Parameters
    ----------
    name : of the list on the page
    label : over the list
    titles : by key; they must not change from run to run, for the browser knows an option by its label
    """
    keys = list(titles)
    key: str = st.selectbox(
        label,
        keys,
        key=f"heave:wob:{name}",
        help="In the order in which one builds on the other; any of them can be opened.",
        **STAYS,
        format_func=lambda key: f"{keys.index(key) + 1}. {titles[key]}" if key in titles else key,
    )
    return key if key in titles else keys[0]


def back_and_on(name: str, keys: Sequence[str], key: str) -> None:
    """Buttons to the one before and the one after."""
    back, on, _ = st.columns([1, 1, 2])
    place = keys.index(key)
    for column, label, other in ((back, "Back", place - 1), (on, "Next", place + 1)):
        key, how = f"wob:{name}:{label.lower()}", {"disabled": not 0 <= other < len(keys), "width": "stretch"}
        button(label, key, _go, name, keys, other, at=column, **how)


def _go(name: str, keys: Sequence[str], place: int) -> None:
    st.session_state[f"heave:wob:{name}"] = keys[place]
