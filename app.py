"""The planner in the browser: `streamlit run app.py`."""

import heave.screens.startup  # noqa: F401  (first: everything heavy is imported once and frozen)

# isort: split
from pathlib import Path

import streamlit as st

from heave.screens import calibration, panels, sidebar

SCREENS = Path(__file__).parent / "heave" / "screens"
PAGES = SCREENS / "pages"

st.set_page_config(
    page_title="Heave and compensator planning",
    page_icon=str(SCREENS / "images" / "icon.png"),
    layout="wide",
    initial_sidebar_state="auto",
)
page = st.navigation(
    [
        st.Page(PAGES / "check.py", title="Compensator check", url_path="check", default=True),
        st.Page(PAGES / "weather_window.py", title="Weather window", url_path="weather-window"),
        st.Page(PAGES / "weight_on_bit.py", title="Weight on bit", url_path="weight-on-bit"),
        st.Page(PAGES / "rig.py", title="Rig and well", url_path="rig"),
        st.Page(PAGES / "method.py", title="Method and sources", url_path="method"),
    ]
)
panels.style(panels.look())
sidebar.draw()
calibration.banner()
page.run()
