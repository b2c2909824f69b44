"""Weight on bit: heave travelling through block, compensator and string to the bit, watched and asked about."""

from __future__ import annotations

import streamlit as st

from heave.screens import every_page
from heave.screens.weight_on_bit import exercises as weight_on_bit_exercises
from heave.screens.weight_on_bit import record as weight_on_bit_record
from heave.screens.weight_on_bit import watch as weight_on_bit

st.title("Weight on bit")
every_page.messages()
st.caption(
    "The plan through time: what the vessel does, what the compensator takes of it, and what is left for the bit. "
    "Loads beyond a rating are not stopped here; the Compensator check judges them."
)

parts = {
    "Watch": weight_on_bit.watch,
    "Exercises": weight_on_bit_exercises.exercises,
    "Measured heave": weight_on_bit_record.measured,
}
tabs = st.tabs(tuple(parts), key="heave:tab:wob", on_change="rerun")
for tab, draw in zip(tabs, parts.values(), strict=True):
    if tab.open:
        with tab:
            draw()
