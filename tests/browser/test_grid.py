"""A table edited in place, in the browser: one edit after another is kept, a refused one stays to be mended."""

from __future__ import annotations

from typing import Any

import grids

import harness

COLUMNS = ("Row", "Length (m)", "Inclination (°)", "Friction", "Diameter (mm)")


def cell(page: Any, row: int, column: str) -> Any:
    """A cell of the table of intervals, row from 1, as it is told to those who cannot see it."""
    place = f"[aria-rowindex='{row + 1}'] [aria-colindex='{COLUMNS.index(column) + 1}']"
    return page.get_by_test_id("stDataFrame").first.locator(place)


def type_in(page: Any, row: int, column: str, text: str) -> None:
    """Type over a cell of the table of intervals."""
    share = {"Length (m)": 0.2, "Inclination (°)": 0.45, "Friction": 0.65}[column]  # well inside each column
    grids.type_in_cell(page, row, COLUMNS.index(column) + 1, share, text)


def check_cell(page: Any, row: int, column: str, text: str) -> None:
    """Wait until the cell has this text: the table tells its cells anew some time after it has drawn them."""
    harness.wait_until(
        page, lambda: cell(page, row, column).inner_text() == text, f"{text} in row {row}, {column}"
    )


def test_edits_one_after_another_are_kept_and_a_refused_one_is_mended(page: Any, address: str) -> None:
    harness.open_page(page, f"{address}/hoisting")
    with harness.rerun(page):
        page.get_by_role("button", name="Describe the hole").click()
    page.get_by_test_id("stDataFrame").first.wait_for()
    for row, column, text, shown in (
        (2, "Inclination (°)", "35", "35"),
        (2, "Length (m)", "1 850,5", "1850.5"),
        (1, "Friction", "0,2", "0.2"),
        (2, "Friction", "0.25", "0.25"),
    ):
        type_in(page, row, column, text)
        check_cell(page, row, column, shown)
    type_in(page, 1, "Friction", "1,7")
    page.get_by_text("Row 1, Friction: Friction coefficient: 1,7 cannot be used").wait_for()
    check_cell(page, 1, "Friction", "1,7")
    type_in(page, 2, "Inclination (°)", "30")
    check_cell(page, 1, "Friction", "1,7")  # what was refused survives another edit
    type_in(page, 1, "Friction", "0,3")
    page.get_by_text("cannot be used").wait_for(state="detached")
    for row, shown in ((1, ["1200", "0", "0.3"]), (2, ["1850.5", "30", "0.25"])):
        for column, text in zip(COLUMNS[1:4], shown, strict=True):
            check_cell(page, row, column, text)
