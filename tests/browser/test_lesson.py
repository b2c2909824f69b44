"""The lesson in a browser: a scene gone through by keyboard, and what was learned on one page of either paper."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

import harness
from heave.files.rigs import demo_plan
from heave.planning import Progress
from heave.screens.weight_on_bit.handout import handout
from heave.teaching import SCENES
from heave.teaching.scene import told

pytestmark = pytest.mark.browser

PATH = "/weight-on-bit"


def text(page: Any) -> str:
    found: str = page.get_by_test_id("stMain").inner_text()
    return found


def test_a_scene_is_gone_through_by_keyboard(page: Any, address: str) -> None:
    found, _, _ = told(SCENES["calm"], demo_plan())
    harness.open_page(page, address + PATH)
    with harness.rerun(page):
        page.get_by_role("tab", name="Lesson").click()
    choice = page.get_by_role("radio", name=found.choices[found.answer])
    choice.focus()
    with harness.rerun(page):
        page.keyboard.press("Space")
    button = page.get_by_role("button", name="See why")
    button.focus()
    with harness.rerun(page):
        page.keyboard.press("Enter")
    page.get_by_text("As you expected").wait_for()
    assert f"1 of {len(SCENES)} gone through" in text(page)
    with harness.rerun(page):
        page.get_by_text("The change", exact=True).first.click()
    assert found.expect[:40] in text(page)
    assert page.get_by_role("button", name="Save what was learned").is_visible()
    for width in harness.WIDTHS:
        page.set_viewport_size({"width": width, "height": 900})
        harness.wait_settled(page)
        harness.no_sideways_overflow(page)


@pytest.mark.parametrize("system", ["metric", "oilfield"])
def test_what_was_learned_prints_on_one_page_of_either_paper(
    context: Any, tmp_path: Path, system: str
) -> None:
    """All scenes, and long names."""
    plan = demo_plan().changed(name="A plan of the well " * 4, progress=Progress(tuple(SCENES)))
    path = tmp_path / "learned.html"
    path.write_text(handout(plan, system), "utf-8")
    page = context.new_page()
    page.goto(path.as_uri())
    try:
        for paper in ("A4", "Letter"):
            pdf = page.pdf(format=paper, print_background=True)
            assert len(re.findall(rb"/Type\s*/Page\b", pdf)) == 1, paper
        for width in harness.WIDTHS:
            page.set_viewport_size({"width": width, "height": 900})
            wide = page.evaluate(
                "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"
            )
            assert wide <= 0, width
    finally:
        page.close()
