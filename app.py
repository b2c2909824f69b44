"""The planner in the browser: `streamlit run app.py`."""

from heave.screens import startup  # first: what is heavy is imported once and frozen

# isort: split
from pathlib import Path

import streamlit as st

from heave.screens import calibration, every_page, memory, sidebar

SCREENS = Path(__file__).parent / "heave" / "screens"

with startup.page_run():
    st.set_page_config(
        page_title="Heave and compensator planning",
        page_icon=str(SCREENS / "images" / "icon.png"),
        layout="wide",
        initial_sidebar_state="auto",
    )
    page = st.navigation(
        [
            st.Page(SCREENS / "check" / "page.py", title="Compensator check", url_path="check", default=True),
            st.Page(SCREENS / "weather" / "page.py", title="Weather window", url_path="weather-window"),
            st.Page(SCREENS / "limits" / "page.py", title="Operating limits", url_path="operating-limits"),
            st.Page(SCREENS / "weight_on_bit" / "page.py", title="Weight on bit", url_path="weight-on-bit"),
            st.Page(SCREENS / "hoisting" / "page.py", title="Hoisting", url_path="hoisting"),
            st.Page(SCREENS / "rig" / "page.py", title="Rig and well", url_path="rig"),
            st.Page(SCREENS / "method" / "page.py", title="Method and sources", url_path="method"),
        ]
    )
    every_page.style(every_page.look())
    sidebar.draw(forecast=page.url_path == "weather-window")
    calibration.banner()
    page.run()
    memory.draw()
