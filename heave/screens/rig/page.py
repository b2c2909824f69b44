"""Rig and well: every field of vessel, compensator, hoisting path and string, and a measured sea."""

from __future__ import annotations

import streamlit as st

from heave.screens import every_page, pieces
from heave.screens.rig import chain, parts, uploads

st.title("Rig and well")
every_page.messages()
words = "Everything here is in the plan and stays with it. The demo equipment is invented: put in your own."
st.caption(words)

tabs = {"Vessel": parts.vessel, "Compensator": parts.compensator, "Hoisting path": chain.draw}
pieces.tabs("rig", {**tabs, "Drill string": parts.string, "Measured sea": uploads.buoy_box})
