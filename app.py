"""The planner in the browser: `streamlit run app.py`."""

from heave.screens import startup  # first: what is heavy is imported once and frozen

# isort: split
import streamlit as st

from heave.screens import calibration, every_page, memory, opening, sidebar
from heave.screens.pages import PAGES, SCREENS, by_section

with startup.page_run():
    st.set_page_config(
        page_title=every_page.NAME,
        page_icon=str(SCREENS / "images" / "icon.png"),
        layout="wide",
        initial_sidebar_state="auto",
    )
    drawn = {
        page.title: st.Page(page.script, title=page.title, url_path=page.address, default=page is PAGES[0])
        for page in PAGES
    }
    page = st.navigation(
        {section: [drawn[one.title] for one in pages] for section, pages in by_section().items()},
        position="top",
    )
    shown = next(one for one in PAGES if one.title == page.title)
    every_page.style(every_page.look())
    opening.begin()
    sidebar.draw(shown)
    every_page.brand()
    if shown is PAGES[0]:
        opening.first_steps()
    calibration.banner()
    opening.draw()
    page.run()
    every_page.unsaid()
    memory.draw()
