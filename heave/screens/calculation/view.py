"""The sheet on the page: saved as HTML and as JSON, and shown as it prints."""

from __future__ import annotations

from functools import lru_cache, partial
from typing import Final

import streamlit as st

from heave.files.calculation_json import calculation_to_json
from heave.judging import Assessment
from heave.planning import Plan
from heave.screens import pieces, state
from heave.screens.calculation.sheet import html_of

HEIGHT: Final = 1180
"""Of the frame the sheet stands in; about a page [px]."""


def draw(result: Assessment, system: str) -> None:
    """Buttons that save the sheet, made when they are pressed, and the sheet in a frame of its own."""
    with st.container(horizontal=True):
        sheet, numbers = partial(html_of, result, system), partial(calculation_to_json, result)
        pieces.save("Save the sheet (HTML)", sheet, "calculation_sheet.html", "heave:save:calculation")
        key = "heave:save:calculation-json"
        pieces.save("Save the calculation (JSON)", numbers, "calculation.json", key)
    st.iframe(_shown(result.plan, system), height=HEIGHT, alt="The calculation sheet as it prints")


@lru_cache(maxsize=4)
def _shown(plan: Plan, system: str) -> str:
    """The sheet for the frame, without the plan's own text, which shows nothing."""
    return html_of(state.assessed(plan), system, with_plan=False)
