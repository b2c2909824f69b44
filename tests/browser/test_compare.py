"""Compare in a browser: the table scrolls in its own place on a telephone, and every state has its mark."""

from __future__ import annotations

from typing import Any

import pytest

import harness

pytestmark = pytest.mark.browser


@pytest.mark.parametrize(("width", "scheme"), [(390, "dark"), (1440, "light")])
def test_plans_stand_side_by_side_at_any_width(context: Any, address: str, width: int, scheme: str) -> None:
    with harness.open_view(context, width=width, scheme=scheme) as page:
        harness.open_page(page, f"{address}/compare")
        compare_two(page)


def compare_two(page: Any) -> None:
    """Add the unit the plan has and a copy of the plan; every check then has its mark and word in each column."""
    main = page.get_by_test_id("stMain")
    with harness.rerun(page):
        main.get_by_role("button", name="Add", exact=True).click()
    with harness.rerun(page):
        main.get_by_role("button", name="Keep this plan as it is now").click()
    head = main.locator("table").first.locator("th")
    assert head.all_inner_texts()[1] == "This plan"
    assert len(head.all_inner_texts()) == 4
    cells = main.locator("table").first.locator("tbody tr").nth(2).locator("td")
    assert cells.first.inner_text() == "Stroke, vessel rising"
    for place in range(1, 4):
        mark = cells.nth(place).locator("img")
        assert mark.evaluate("async image => (await image.decode(), image.naturalWidth)") == 16
        assert mark.get_attribute("alt") in cells.nth(place).inner_text()
    harness.no_sideways_overflow(page)
