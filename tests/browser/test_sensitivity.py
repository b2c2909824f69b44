"""The grid of ranges takes a cell as typed, and says beside itself why it does not."""

from __future__ import annotations

from typing import Any

import grids
import pytest
from rest import at_rest

import harness

pytestmark = pytest.mark.browser

_COLUMN, _LOW = 3, 0.36
"""The column of low ends, and where it is across the grid."""


def type_low_end(page: Any, row: int, words: str) -> None:
    """Type into the low end of a row of the grid, counted from 0."""
    grids.type_in_cell(page, row + 1, _COLUMN, _LOW, words)


def test_the_grid_is_edited_in_place(page: Any, address: str) -> None:
    harness.open_page(page, f"{address}/sensitivity")
    with harness.rerun(page):
        page.get_by_text("Ranges that are studied").click()
    at_rest(page)
    type_low_end(page, 1, "6,5")
    page.locator('img[alt*="Wave period Tp: at 6.50\u00a0s"]').first.wait_for()
    type_low_end(page, 6, "many")
    page.get_by_text("Not taken.").wait_for()
    assert "one number, such as 2.5" in page.get_by_test_id("stMain").inner_text()
    harness.no_sideways_overflow(page)
