"""Typing into tables edited in place, as a person does."""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING, Final

import harness

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

GRID_ROW: Final = 35
"""Height of a row of a table edited in place [px]."""

AGAIN: Final = (5.0, 20.0, harness.PATIENCE)
"""How long a cell is waited for before it is clicked again [s]: a grid drawn anew meanwhile loses a click or a key."""


def type_in_cell(page: Page, row: int, column: int, share: float, words: str) -> None:
    """Type over a cell of the first table edited in place, as a person does, and leave it with Enter.

    `row` and `column` count from 1, the row under the head first; `share` is how far to the right the column lies.
    """
    table = page.get_by_test_id("stDataFrame").first
    cell = table.locator(f"[aria-rowindex='{row + 1}'] [aria-colindex='{column}']")
    box = page.locator("#portal textarea, #portal input").first
    for patience in AGAIN:
        # anew each time: what stands above may have moved the table after it lay still
        table.scroll_into_view_if_needed()
        harness.wait_until(page, lambda: _lies_still(table), "a table that lies still")
        place = table.locator("canvas").first.bounding_box()
        assert place is not None
        page.mouse.click(place["x"] + place["width"] * share, place["y"] + GRID_ROW * (row + 0.5))
        with suppress(TimeoutError):
            harness.wait_until(page, lambda: _chosen(cell), f"row {row}, column {column}", timeout=patience)
            if not box.is_visible():  # a second click on a cell opens it by itself
                page.keyboard.press("Enter")
            harness.wait_until(page, box.is_visible, "a box to type in", timeout=patience)
            break
    assert box.is_visible(), f"row {row}, column {column} is not opened"
    box.fill(words)
    with harness.rerun(page):
        page.keyboard.press("Enter")


def _chosen(cell: Locator) -> bool:
    return cell.count() == 1 and cell.get_attribute("aria-selected") == "true"


def _lies_still(element: Locator) -> bool:
    """Whether what stands above it has stopped moving it."""
    before = element.bounding_box()
    element.page.wait_for_timeout(300)
    return before == element.bounding_box()
