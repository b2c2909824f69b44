"""The morning sheet in a browser: shown, printed on one page of either paper, saved as a file of its own."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from pdf_text import sheets

import harness
from heave.errors import InputError
from heave.files.rigs import demo_plan
from heave.planning import Campaign, OperationStep
from heave.screens.weather import store
from heave.screens.weather.clock import Clock
from heave.screens.weather.sheet import sheet_of
from heave.screens.weather.sheet_html import html_of
from heave.weather import weather_windows

pytestmark = pytest.mark.browser

PATH = "/weather-window"


def opened_sheet(page: Any, address: str) -> Any:
    """The frame of the sheet on the weather page."""
    harness.open_page(page, address + PATH)
    with harness.rerun(page):
        page.get_by_role("tab", name="Morning sheet").click()
    frame = page.locator("iframe").content_frame
    frame.get_by_role("heading", name="Morning sheet").wait_for()
    whole = "() => document.readyState === 'complete'"
    harness.wait_until(
        page, lambda: frame.locator("body").evaluate(whole), "the sheet to be there to its end"
    )
    return frame


def test_it_is_shown_and_its_button_prints_it_alone(page: Any, address: str) -> None:
    frame = opened_sheet(page, address)
    assert frame.locator("table.hours tr").count() == 2 * 25  # two tables of a head and 24 hours
    frame.locator("body").evaluate(
        "() => { window.printed = 0; window.print = () => { window.printed += 1 } }"
    )
    frame.get_by_role("button", name="Print this sheet").click()
    assert frame.locator("body").evaluate("() => window.printed") == 1


def test_the_file_saved_is_the_sheet(page: Any, address: str, tmp_path: Path) -> None:
    frame = opened_sheet(page, address)
    shown = frame.locator("body").inner_text()
    with page.expect_download() as download:
        page.get_by_role("button", name="Save the sheet (HTML)").click()
    path = tmp_path / "sheet.html"
    download.value.save_as(path)
    page.context.set_offline(True)
    try:
        alone = page.context.new_page()
        alone.goto(path.as_uri())
        assert alone.locator("body").inner_text() == shown
        alone.close()
    finally:
        page.context.set_offline(False)


@pytest.mark.parametrize("count", [1, 2, 3, 5, 6, 8, 20])
def test_it_prints_on_one_page_of_either_paper(context: Any, tmp_path: Path, count: int) -> None:
    """Long names, every number of steps, best heading, in the units that take most room."""
    plan, sample = demo_plan(), store.sample().forecast
    kinds = ("drilling", "tripping", "casing", "landing")
    steps = tuple(
        OperationStep(
            plan.doing(kinds[at % 4]).operation,
            name=f"Step {at} {'of the well ' * 4}"[:60],
            interruptible=True,
            contingency=0.0,
        )
        for at in range(count)
    )
    asked = plan.weather.but(campaign=Campaign(steps), heading="best")
    result = weather_windows(plan.changed(weather=asked, name="A plan of the well " * 4), sample)
    before = weather_windows(plan.changed(weather=asked), replace(sample, name="the one before"))
    sheet = sheet_of(
        result,
        Clock("America/St_Johns"),
        "oilfield",
        [InputError("sea", "calm", None, "waves")] * count,
        before,
    )
    assert sheets(context, tmp_path / "sheet.html", html_of(sheet)) == [1, 1]
