"""The page as the browser prints it: whole, on white, with title block and foot, and the screen as it was afterwards.

`print_pages.py` prints every page and tab on both papers from both themes; these are a few of them.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
import rest
from pdf_text import pages_of
from print_pages import open_tab, print_page, tight, too_wide_or_pale, troubles_of

import harness
import heave
from heave.files.link import plan_to_link
from heave.planning import MODEL_DATE, MODEL_VERSION

pytestmark = pytest.mark.browser

HOSTILE = '"}body{display:none}@page{x:"\\41 <img src=x onerror=y>'

_LAID = """() => {
    const main = document.querySelector('[data-testid=stMain]');
    const boxes = '.js-plotly-plot, canvas, table, input, iframe, [data-testid=stImage] img';
    return [document.documentElement.className, main.innerText, main.querySelectorAll('*').length,
        [...main.querySelectorAll(boxes)].map(one => {
            const place = one.getBoundingClientRect();
            return [one.tagName, one.src ?? '', Math.round(place.width), Math.round(place.height)];
        })];
}"""


def test_the_check_page_prints_whole_from_the_dark_theme(context: Any, address: str) -> None:
    with harness.open_view(context, scheme="dark") as page:
        harness.open_page(page, address)
        page.get_by_text("Off-bottom period").first.wait_for()
        rest.at_rest(page)  # what is drawn last may still move what stands below it
        before = page.evaluate(_LAID)
        pdf = print_page(page, "A4")
        assert not troubles_of(page, "A4", pdf)
        assert not too_wide_or_pale(page)
        first = tight(pages_of(pdf)[0])
        assert f"Model{MODEL_VERSION}of{MODEL_DATE}" in first
        assert "Thedemoplan,inventedequipment." in first
        harness.wait_until(page, lambda: page.evaluate(_LAID) == before, "the screen to be as it was")


def test_the_weather_window_prints_whole_on_letter(page: Any, address: str) -> None:
    harness.open_page(page, f"{address}/weather-window")
    rest.at_rest(page)
    pdf = print_page(page, "Letter")
    assert not troubles_of(page, "Letter", pdf)
    assert not too_wide_or_pale(page)


def test_a_table_drawn_on_a_canvas_is_a_table_on_paper(page: Any, address: str) -> None:
    harness.open_page(page, f"{address}/rig")
    open_tab(page, "Drill string")
    rest.at_rest(page)
    pdf = print_page(page, "A4")
    whole = tight("".join(pages_of(pdf)))
    assert not troubles_of(page, "A4", pdf)
    for place, section in enumerate(heave.demo_plan().string.sections, 1):
        assert tight(f"{place}{section.name}") in whole


def test_a_name_ends_nothing_and_is_no_markup_on_paper(page: Any, address: str) -> None:
    record = replace(heave.demo_plan().record, well="7 A")
    plan = heave.demo_plan().changed(name=HOSTILE, record=record)
    harness.open_page(page, f"{address}/sensitivity?plan={plan_to_link(plan)}")
    rest.at_rest(page)
    sheets = [tight(words) for words in pages_of(print_page(page, "A4"))]
    assert "Well7A" in sheets[0]
    assert "demoplan,inventedequipment" not in sheets[0]
    for number, sheet in enumerate(sheets, 1):
        assert f"Page{number}of{len(sheets)}" in sheet
        assert tight(HOSTILE) in sheet
