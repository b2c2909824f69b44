"""Typing into tables edited in place, as a person does."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import harness

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

GRID_ROW: Final = 35
"""Height of a row of a table edited in place [px]."""


def type_in_cell(page: Page, row: int, column: int, share: float, words: str) -> None:
    """Type over a cell of the first table edited in place, as a person does, and leave it with Enter.

    `row` and `column` count from 1, the row under the head first; `share` is how far to the right the column lies.
    """
    table = page.get_by_test_id("stDataFrame").first
    table.scroll_into_view_if_needed()
    cell = table.locator(f"[aria-rowindex='{row + 1}'] [aria-colindex='{column}']")

    harness.wait_until(page, lambda: _lies_still(table), "a table that lies still")
    place = table.locator("canvas").first.bounding_box()
    assert place is not None
    page.mouse.click(place["x"] + place["width"] * share, place["y"] + GRID_ROW * (row + 0.5))
    harness.wait_until(
        page, lambda: cell.get_attribute("aria-selected") == "true", f"row {row}, column {column}"
    )
    page.keyboard.press("Enter")
    box = page.locator("#portal textarea, #portal input").first
    box.wait_for()
    box.fill(words)
    with harness.rerun(page):
        page.keyboard.press("Enter")


def _lies_still(element: Locator) -> bool:
    """Whether what stands above it has stopped moving it."""
    before = element.bounding_box()
    element.page.wait_for_timeout(300)
    return before == element.bounding_box()
