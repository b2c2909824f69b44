"""The planner in the browser: `streamlit run app.py`."""

from heave.screens import startup  # first: what is heavy is imported once and frozen

# isort: split
from pathlib import Path

import streamlit as st

from heave.screens import calibration, every_page, log, memory, opening, sidebar

SCREENS = Path(__file__).parent / "heave" / "screens"
PAGES = (
    ("check", "Compensator check", "check"),
    ("weather", "Weather window", "weather-window"),
    ("weight_on_bit", "Weight on bit", "weight-on-bit"),
    ("hoisting", "Hoisting", "hoisting"),
    ("limits", "Operating limits", "operating-limits"),
    ("sensitivity", "Sensitivity", "sensitivity"),
    ("climate", "Climate", "climate"),
    ("compare", "Compare", "compare"),
    ("rig", "Rig and well", "rig"),
    ("calculation", "Calculation sheet", "calculation-sheet"),
    ("method", "Method and sources", "method"),
)
"""Folder, title and address of each page; the first opens first."""

with startup.page_run():
    st.set_page_config(
        page_title="Heave and compensator planning",
        page_icon=str(SCREENS / "images" / "icon.png"),
        layout="wide",
        initial_sidebar_state="auto",
    )
    page = st.navigation(
        [
            st.Page(
                SCREENS / folder / "page.py", title=title, url_path=address, default=folder == PAGES[0][0]
            )
            for folder, title, address in PAGES
        ]
    )
    every_page.style(every_page.look())
    opening.begin()
    sidebar.draw(forecast=page.url_path == "weather-window")
    calibration.banner()
    opening.draw()
    with log.slow(page.title):
        page.run()
    memory.draw()
