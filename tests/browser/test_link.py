"""A link in a browser: opened, reloaded, bookmarked and sent, and never in the way of work that is there."""

from __future__ import annotations

from typing import Any

import pytest
from keeper import kept

import harness
from heave.files.link import MAX_LINK, plan_to_link
from heave.files.rigs import demo_plan

pytestmark = pytest.mark.browser

OTHER = demo_plan().changed(name="Sent by a link", heading=33.0)


def heading(page: Any) -> str:
    value: str = harness.box(page, "Heading (°)").input_value()
    return value


def taken_up(page: Any) -> None:
    """Wait until the work kept by the browser is there: said over the page before every box has it."""
    page.get_by_text("Taken up where this browser left it").wait_for()
    harness.wait_settled(page)


def test_a_link_is_made_sent_opened_and_outlives_a_reload(keeping: Any, elsewhere: Any, address: str) -> None:
    page = keeping.open(address)
    harness.set_number(page, "Heading (°)", 123.0)
    harness.plan_file(page)
    page.get_by_test_id("stSidebar").locator("summary", has_text="Link to this plan").click()
    code = page.get_by_test_id("stSidebar").get_by_test_id("stCode")
    code.wait_for()
    link = code.inner_text().strip()
    assert link.startswith(address)
    other = elsewhere.open(link)
    assert heading(other) == "123"
    assert "?plan=" in other.url
    harness.reload(other)
    assert heading(other) == "123"
    with kept(other):
        harness.set_number(other, "Heading (°)", 125.0)
    harness.wait_until(other, lambda: "?plan=" not in other.url, "the link to leave the address")
    harness.reload(other)
    taken_up(other)
    assert heading(other) == "125"


def test_a_link_asks_before_it_takes_the_place_of_own_work(keeping: Any, address: str) -> None:
    page = keeping.open(address)
    with kept(page):
        harness.set_number(page, "Heading (°)", 77.0)
    link = f"{address}/?plan={plan_to_link(OTHER)}"
    other = keeping.open(link)
    other.get_by_text("The link carries another plan").wait_for()
    harness.wait_settled(other)
    assert heading(other) == "77"
    other.get_by_role("button", name="Keep my work").click()
    harness.wait_until(other, lambda: "?plan=" not in other.url, "the link to leave the address")
    harness.reload(other)
    taken_up(other)
    assert heading(other) == "77"
    again = keeping.open(link)
    again.get_by_text("The link carries another plan").wait_for()
    harness.wait_settled(again)
    with kept(again):
        again.get_by_role("button", name="Open the plan of the link").click()
    again.get_by_text("The plan of the link is open").wait_for()
    harness.wait_settled(again)
    assert heading(again) == "33"
    harness.open_page(again, address)
    taken_up(again)
    assert heading(again) == "33"


def test_a_plan_of_a_link_is_there_after_the_page_was_left(keeping: Any, address: str) -> None:
    page = keeping.new_page()
    with kept(page):
        harness.open_page(page, f"{address}/?plan={plan_to_link(OTHER)}")
    assert heading(page) == "33"
    harness.open_page(page, f"{address}/weather-window")
    taken_up(page)
    assert heading(page) == "33"


@pytest.mark.parametrize("text", [plan_to_link(OTHER)[:-40], "not a link"], ids=["cut", "nonsense"])
def test_a_spoilt_link_is_refused_and_own_work_stays(keeping: Any, address: str, text: str) -> None:
    page = keeping.open(address)
    with kept(page):
        harness.set_number(page, "Heading (°)", 78.0)
    other = keeping.open(f"{address}/?plan={text}")
    other.get_by_text("The plan of the link could not be opened").wait_for()
    taken_up(other)
    assert heading(other) == "78"
    assert other.get_by_text("The plan of the link could not be opened").count() == 1


def test_the_longest_link_reaches_the_page(keeping: Any, address: str) -> None:
    """It is refused in words, as it is none, by the planner and not by anything on the way."""
    page = keeping.open(f"{address}/?plan={'A' * MAX_LINK}")
    page.get_by_text("The plan of the link could not be opened").wait_for()
    harness.wait_settled(page)
    assert heading(page) == "220"
