"""Calculation sheet: the plan's calculation as a document that is printed, signed and filed."""

from __future__ import annotations

import streamlit as st

from heave.screens import every_page, state
from heave.screens.calculation import hours, names, view
from heave.screens.calculation.sheet import headline
from heave.screens.check.verdict import governs
from heave.screens.inputs import folded

result, system = state.assessment(), state.system()

st.title("Calculation sheet")
every_page.messages()
every_page.verdict(result.verdict, headline(result), governs(result, system))
folded("An hour of the forecast", "sheet:hour", hours.draw)
names.title_block()
names.signatures()
st.caption(
    "Every page of it has its number, the plan's name and the first digits of the plan's hash. The saved HTML and JSON "
    "hold the plan: load either as a plan to read it again. They open without a network."
)
view.draw(result, system)
