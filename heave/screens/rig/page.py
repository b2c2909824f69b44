"""Rig and well: every field of the vessel, the compensator and the string, and a measured sea."""

from __future__ import annotations

import streamlit as st

from heave.screens import every_page
from heave.screens.rig import equipment as rig
from heave.screens.rig import uploads

st.title("Rig and well")
every_page.messages()
st.caption(
    "Everything here is in the plan and stays with it. The demo equipment is invented: put in your own."
)

parts = {
    "Vessel": rig.vessel,
    "Compensator": rig.compensator,
    "Drill string": rig.string,
    "Measured sea": uploads.buoy_box,
}
tabs = st.tabs(tuple(parts), key="heave:tab:rig", on_change="rerun")
for tab, draw in zip(tabs, parts.values(), strict=True):
    if tab.open:
        with tab:
            draw()
