"""Weight on bit: heave travelling through block, compensator and string to the bit, watched and asked about."""

from __future__ import annotations

import streamlit as st

from heave.screens import every_page, pieces
from heave.screens.weight_on_bit import exercises, lesson, record, watch

st.title("Weight on bit")
every_page.messages()
tabs = {"Watch": watch.watch, "Lesson": lesson.lesson, "Exercises": exercises.exercises}
pieces.tabs("wob", {**tabs, "Measured heave": record.measured})
