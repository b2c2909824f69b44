"""The first screen: inputs of the hour in reach, on a phone the answer first, steps remembered, no jumps."""

from __future__ import annotations

from typing import Any

import pytest
from rest import at_rest

import harness
from heave.screens.pages import PAGES

pytestmark = pytest.mark.browser

HOURLY = (
    "Hs 1 (m)",
    "Tp 1 (s)",
    "From 1 (°)",
    "Hs 2 (m)",
    "Heading (°)",
    "Operation",
    "Hookload (kN)",
    "WOB (kN)",
)
"""What changes from hour to hour, in the order in which it is put in."""

PHONE_SCREEN = 844

PLACES = """() => Object.fromEntries([...document.querySelectorAll(
    '[data-testid=stMain] :is(h1, h2, h3), [data-testid=stMain] [data-testid=stPlotlyChart]')].map((e, i) => {
        const box = e.getBoundingClientRect()
        return [i + ' ' + e.tagName, [Math.round(box.left), Math.round(box.top)]]
    }))"""
"""Where headings and charts stand on the screen."""


def opacity(element: Any) -> float:
    return float(element.evaluate("e => getComputedStyle(e).opacity"))


def height_of(page: Any, selector: str) -> dict[str, float]:
    place: dict[str, float] | None = page.locator(selector).first.bounding_box()
    assert place is not None, selector
    return place


def test_what_changes_hourly_is_in_reach_without_scrolling(page: Any, address: str) -> None:
    page.set_viewport_size({"width": 1440, "height": 900})
    harness.open_page(page, address)
    boxes = [page.get_by_label(label, exact=True).first.bounding_box() for label in HOURLY]
    tops = [place["y"] for place in boxes if place is not None]
    assert len(tops) == len(HOURLY)
    assert tops == sorted(tops)
    assert all(place["y"] + place["height"] < 900 for place in boxes if place is not None)


def test_a_phone_shows_the_verdict_first_and_the_timeline_soon(phone: Any, address: str) -> None:
    phone.set_viewport_size({"width": 390, "height": PHONE_SCREEN})
    harness.open_page(phone, address)
    phone.locator(".st-key-start").wait_for()
    at_rest(phone)
    verdict = height_of(phone, '[class*="st-key-verdict-"] h2')
    assert verdict["y"] + verdict["height"] < 0.6 * PHONE_SCREEN
    start = height_of(phone, ".st-key-start")
    assert start["y"] + start["height"] < verdict["y"], "the first steps cover nothing"
    harness.open_page(phone, address + "/weather-window")
    phone.locator(".st-key-timeline .js-plotly-plot").wait_for()
    at_rest(phone)
    assert height_of(phone, ".st-key-timeline")["y"] < 1.5 * PHONE_SCREEN
    assert height_of(phone, '[class*="st-key-verdict-"] h2')["y"] < PHONE_SCREEN / 2
    table = height_of(phone, ".st-key-table-windows table tbody td")
    head = height_of(phone, ".st-key-table-windows table thead th")
    assert table["x"] > head["x"] + 50
    assert abs(table["y"] - head["y"]) < 30, "a phone has the names at the left and a window a column"
    harness.no_sideways_overflow(phone)
    assert phone.locator("meta[name=viewport]").get_attribute("content") not in (None, "")
    assert "user-scalable=no" not in str(phone.locator("meta[name=viewport]").get_attribute("content"))


def test_the_first_steps_are_remembered_and_brought_back(keeping: Any, address: str) -> None:
    page = keeping.open(address)
    steps = page.locator(".st-key-start")
    steps.wait_for()
    with harness.rerun(page):
        steps.get_by_role("button", name="Done").click()
    steps.wait_for(state="hidden")
    harness.reload(page)
    at_rest(page)
    assert not steps.is_visible()
    harness.plan_file(page)
    with harness.rerun(page):
        page.get_by_role("button", name="Show the first steps").click()
    steps.wait_for()


def test_an_edit_moves_nothing_and_what_is_old_is_seen_to_be(page: Any, address: str) -> None:
    page.set_viewport_size({"width": 1440, "height": 900})
    for path, label, value in (("/", "WOB (kN)", 181), ("/weather-window", "WOB (kN)", 181)):
        harness.open_page(page, address + path)
        at_rest(page)
        before = page.evaluate(PLACES)
        harness.set_number(page, label, value)
        at_rest(page)
        after = page.evaluate(PLACES)
        moved = {name for name, place in before.items() if after.get(name) != place}
        assert not moved, (path, moved, before, after)
    old = page.locator("[data-testid=stMain] [data-testid=stElementContainer]").nth(3)
    fresh = opacity(old)
    old.evaluate("e => e.setAttribute('data-stale', 'true')")
    assert fresh == 1
    harness.wait_until(page, lambda: opacity(old) < 0.6, "what is old to be seen to be")
    old.evaluate("e => e.setAttribute('data-stale', 'false')")
    harness.wait_until(page, lambda: opacity(old) > 0.9, "what is new to be seen to be")


def test_every_page_carries_the_products_name(page: Any, address: str) -> None:
    harness.open_page(page, address)
    for one in PAGES[:3]:
        harness.go_to(page, one.title)
        line = page.locator(".st-key-brand")
        line.wait_for()
        assert height_of(page, ".st-key-brand")["height"] < 40
