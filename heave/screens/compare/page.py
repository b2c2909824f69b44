"""Compare: plans side by side, what differs in them, what the checks make of each, and the sea that limits each."""

from __future__ import annotations

import streamlit as st

from heave.screens import every_page, pieces, state
from heave.screens.compare import columns, tables

system, look = state.system(), every_page.look()

st.title("Compare")
every_page.messages()
columns.controls()

named = columns.named_plans()
shown = columns.sides_of(named)
tables.checks(shown, system, look)
tables.unjudged(shown)

st.header("Inputs that differ")
tables.inputs(named, system)

st.header("Limiting sea")
tables.limits(shown, system, look)

pieces.save(
    "Save the comparison (CSV)", tables.file_maker(shown, system), "comparison.csv", "heave:compare:save"
)
