"""Sensitivity: what moves the result, one input at a time and all drawn together."""

from __future__ import annotations

import streamlit as st

from heave.screens import every_page
from heave.screens.inputs import folded
from heave.screens.sensitivity import chances, ranges, swings

st.title("Sensitivity")
every_page.messages()
st.header("What moves the result")
swings.draw()
folded("Ranges that are studied", "study", ranges.draw)
st.header("How likely a limit is exceeded")
chances.draw()
