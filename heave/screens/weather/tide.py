"""The tide on the page: a table of high and low waters, typed or pasted."""

from __future__ import annotations

from functools import partial
from typing import Final

import streamlit as st

from heave.errors import InputError
from heave.fields import parse_number
from heave.planning import Tide, TideWater
from heave.screens import pieces, state
from heave.screens.inputs import button, folded
from heave.screens.weather import store
from heave.units import significant

_KEY: Final = "heave:tide:text"


def draw() -> None:
    """The curve in use in a line, folded; in it the waters, one a line."""
    tide = store.choices().tide
    label = f"Tide: {len(tide.waters)} high and low waters" if tide else "Tide: the plan's rise and fall"
    folded(label, "weather:tide", partial(_waters, tide))


def _waters(tide: Tide | None) -> None:
    if _KEY not in st.session_state and tide is not None:
        rows = (f"{one.when[:16].replace('T', ' ')} {significant(one.height)}" for one in tide.waters)
        st.session_state[_KEY] = "\n".join(rows)
    label = "High and low waters, UTC: date, time, height in m, one a line"
    about = "Between two of them the tide goes as half a cosine; outside them it is not known."
    st.text_area(label, key=_KEY, placeholder="2026-05-01 02:10 0.4", help=about)
    with st.container(horizontal=True):
        button("Use this tide", "tide:use", state.acting("tide", _use))
        if tide is not None:
            button("No tide curve", "tide:none", state.put, ("weather", "tide"), None)
    pieces.told("tide")


def _use() -> None:
    with state.noted("The tide is as it was. "):
        waters = read(str(st.session_state[_KEY]))
        state.edit(lambda plan: state.changed(plan, ("weather", "tide"), waters))


def read(text: str) -> Tide:
    """A tide from lines of date, time and height [m], UTC.

    Raises
    ------
    InputError
        Naming the line that is not of this form, or what of it is not allowed.
    """
    waters = []
    for number, line in enumerate(text.splitlines(), 1):
        words = line.split()
        if not words:
            continue
        if len(words) != 3:
            allowed = "a date, a time and a height, such as 2026-05-01 02:10 0.4"
            raise InputError(f"tide, line {number}", line, None, allowed)
        height = parse_number(words[2], f"Height of the tide, line {number}")
        waters.append(TideWater(f"{words[0]}T{words[1]}", height))
    return Tide(tuple(waters))
