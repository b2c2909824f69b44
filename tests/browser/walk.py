"""A walk through the whole app: every page, every tab of it, everything folded opened."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import harness
from heave.screens.pages import PAGES

PATHS = ("/", *(f"/{page.address}" for page in PAGES[1:]))
"""Addresses of the pages, in the order of the menu."""

CLOSED = '[data-testid="stExpander"] details:not([open]) > summary'


def unfold(page: Any, where: str = "stMain") -> None:
    """Open everything that is folded, and what is folded in it."""
    for _ in range(3):
        closed = page.get_by_test_id(where).locator(CLOSED).locator("visible=true")
        if not closed.count():
            return
        closed.evaluate_all("all => all.forEach(one => one.click())")
        page.wait_for_timeout(200)  # what is drawn before it is opened starts no run to wait for
        harness.wait_settled(page)


def tabs(page: Any, name: str, *, unfolded: bool = True) -> Iterator[str]:
    """Each tab of the page that is open, one after the other, what is folded in it opened; the name of the place."""
    found = page.get_by_test_id("stMain").get_by_role("tab")
    for place in range(max(found.count(), 1)):
        if place:
            with harness.rerun(page):
                found.nth(place).click()
        if unfolded:
            unfold(page)
        yield f"{name}: {found.nth(place).inner_text().strip()}" if found.count() else name


def through(page: Any, address: str, *, unfolded: bool = True) -> Iterator[str]:
    """Every place of the app, the sidebar's folds opened where the rest is."""
    harness.open_page(page, address)
    if unfolded:
        unfold(page, "stSidebar")
    for screen in PAGES:
        if screen is not PAGES[0]:
            harness.go_to(page, screen.title)
        yield from tabs(page, screen.title, unfolded=unfolded)
