"""The planner in the browser: `streamlit run app.py`."""

from heave.screens import startup  # first: what is heavy is imported once and frozen

# isort: split
import streamlit as st

from heave.screens import access, calibration, every_page, log, memory, opening, paper, pieces, sidebar
from heave.screens.check import top_of_page
from heave.screens.pages import PAGES, by_section
from heave.screens.run_queue import LATER, RUN_QUEUE, SOON

with startup.page_run(), RUN_QUEUE.run():
    drawn = {
        page.title: st.Page(page.script, title=page.title, url_path=page.address, default=page is PAGES[0])
        for page in PAGES
    }
    page = st.navigation(
        {section: [drawn[one.title] for one in pages] for section, pages in by_section().items()},
        position="top",
    )
    shown = next(one for one in PAGES if one.title == page.title)
    st.set_page_config(
        page_title=access.page_title(page.title),
        page_icon=every_page.ICON,
        layout="wide",
        initial_sidebar_state="auto",
    )
    every_page.style(every_page.look())
    access.draw()
    opening.begin()
    memory.take_found()
    every_page.brand()
    checks = shown is PAGES[0]
    if checks:
        opening.first_steps()
    calibration.banner()
    opening.draw()
    with log.slow(page.title), pieces.figures_as_tables():
        try:
            if checks:  # first the answer, then what stands beside it and what is not to be lost
                top_of_page.draw()
                RUN_QUEUE.step_back(SOON)
        except Exception:
            sidebar.draw(shown)  # what cannot be answered is changed there
            raise
        sidebar.draw(shown)
        if checks:
            memory.draw()
            RUN_QUEUE.step_back(LATER)
        page.run()
    every_page.unsaid()
    if not checks:  # other pages may still change the plan while they are drawn
        memory.draw()
    paper.draw()
