"""The hoisting page in a browser: its picture is readable at every width, and the chain is edited in place."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from pictures import overlaps

import harness
from heave.files.link import plan_to_link
from heave.files.rigs import demo_plan

pytestmark = pytest.mark.browser

Opened = Callable[..., Any]
PATH = "/hoisting"


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", harness.WIDTHS)
def test_the_picture_is_readable_and_nothing_is_too_wide(opened: Opened, width: int, scheme: str) -> None:
    page = opened(PATH, width=width, scheme=scheme)
    assert overlaps(page, 1) == []
    assert page.get_by_alt_text(re.compile("^Reeved system: 12 lines to the block")).count() == 1
    harness.no_sideways_overflow(page)


def test_lines_are_edited_and_the_picture_follows(page: Any, address: str) -> None:
    harness.open_page(page, address + PATH)
    page.get_by_text("Edit the hoisting path, top to bottom").click()
    harness.box(page, "Lines strung").wait_for()
    harness.wait_settled(page)
    harness.set_number(page, "Lines strung", 8)
    assert page.get_by_alt_text(re.compile("^Reeved system: 8 lines to the block")).count() == 1
    assert "Why 8 lines do not lift 8 times" in page.get_by_test_id("stMain").inner_text()
    harness.set_number(page, "Lines strung", 9)
    assert "Not taken." in page.get_by_test_id("stMain").inner_text()
    assert page.get_by_alt_text(re.compile("^Reeved system: 8 lines")).count() == 1


def test_a_record_of_the_line_is_kept_over_pages(page: Any, address: str) -> None:
    harness.open_page(page, address + PATH)
    with harness.rerun(page):
        page.get_by_role("button", name="Start a record of the line").click()
    harness.set_number(page, "Length of a stand (m)", "28,5")
    for name in ("Rig and well", "Hoisting"):
        harness.go_to(page, name)
        page.get_by_role("heading", name=name, exact=True).first.wait_for()
    assert harness.box(page, "Length of a stand (m)").input_value() == "28.5"
    harness.no_sideways_overflow(page)


def test_everything_unfolded_fits_a_telephone(phone: Any, address: str) -> None:
    harness.open_page(phone, address + PATH)
    for words in (
        "Lines strung, side by side",
        "Pull in every part",
        "Working of lines",
        "Edit the hoisting path",
    ):
        with harness.rerun(phone):
            phone.get_by_text(words).first.click()
    with harness.rerun(phone):
        phone.get_by_role("button", name="Start a record of the line").click()
    harness.no_sideways_overflow(phone)


def test_with_a_hole_described_nothing_is_too_wide_for_a_phone(context: Any, address: str) -> None:
    with harness.open_view(context, width=390, scheme="dark") as page:
        harness.open_page(page, address + PATH)
        with harness.rerun(page):
            page.get_by_role("button", name="Describe the hole").click()
        page.get_by_text("Rotating off bottom").first.wait_for()
        harness.no_sideways_overflow(page)


@pytest.mark.parametrize("width", [390, 820, 1024, 1440])
def test_a_path_is_begun_by_buttons_that_can_be_read(context: Any, address: str, width: int) -> None:
    """No button's words are cut, however little room is beside the sidebar."""
    link = plan_to_link(demo_plan().changed(hoisting=None, name="Without a path"))
    with harness.open_view(context, width=width) as page:
        harness.open_page(page, f"{address}{PATH}?plan={link}")
        page.get_by_role("button", name="Start with these, everything else empty").wait_for()
        harness.wait_settled(page)
        cut = "all => all.filter(one => one.scrollWidth > one.clientWidth + 1).map(one => one.innerText)"
        assert page.locator("[data-testid=stMain] button *").evaluate_all(cut) == []
        harness.no_sideways_overflow(page)
