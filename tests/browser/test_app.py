"""The whole app in a browser: a person types, switches units, saves, loads, errs, and loses nothing."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from pictures import overlaps

import harness

pytestmark = pytest.mark.browser

Opened = Callable[..., Any]
WORDS = ("Within limits", "Near a limit", "Over a limit", "Not assessed")


def verdict(page: Any) -> str:
    """The verdict as the panel says it."""
    panel = page.locator('[class*="st-key-verdict-"]')
    assert panel.count() == 1
    return str(panel.get_by_role("heading", level=2).inner_text()).strip()


def main_text(page: Any) -> str:
    return str(page.get_by_test_id("stMain").inner_text())


def test_the_verdict_is_one_of_the_four_words_with_a_mark(opened: Opened) -> None:
    page = opened()
    assert verdict(page) in WORDS
    mark = page.locator('[class*="st-key-verdict-"] img')
    assert mark.get_attribute("alt") == f"Mark of: {verdict(page)}"
    assert mark.evaluate("async image => (await image.decode(), image.naturalWidth > 0)")


def test_a_rising_sea_changes_the_verdict_and_the_echo(page: Any, address: str) -> None:
    harness.open_page(page, address)
    harness.set_number(page, "Hs 2 (m)", "0,1")
    harness.set_number(page, "Hs 1 (m)", "0,2")
    assert verdict(page) == "Within limits"
    assert "Hs 0.2\u00a0m" in main_text(page)
    harness.set_number(page, "Hs 1 (m)", "11")
    assert verdict(page) == "Over a limit"
    assert "would have to fall to Hs" in main_text(page)


def test_a_comma_is_never_thousands(page: Any, address: str) -> None:
    harness.open_page(page, address)
    harness.set_number(page, "WOB (kN)", "1,290")
    assert "Not taken" in page.get_by_test_id("stSidebar").inner_text()
    assert "WOB 180\u00a0kN" in main_text(page)
    harness.set_number(page, "WOB (kN)", "155,5")
    assert harness.box(page, "WOB (kN)").input_value() == "155.5"
    assert "WOB 155.5\u00a0kN" in main_text(page)


def test_a_bad_number_keeps_the_old_one(page: Any, address: str) -> None:
    harness.open_page(page, address)
    before = verdict(page)
    harness.set_number(page, "Hs 1 (m)", "99")
    side = page.get_by_test_id("stSidebar").inner_text()
    assert "Not taken" in side
    assert "Still used: 2.8\u00a0m" in side
    assert "Hs 2.8\u00a0m" in main_text(page)
    assert verdict(page) == before


def test_units_switch_and_switch_back(page: Any, address: str) -> None:
    harness.open_page(page, address)
    metric = main_text(page)
    with harness.rerun(page):
        page.get_by_role("radio", name="Oilfield").click()
    assert harness.box(page, "Hs 1 (ft)").input_value() == "9.186"
    assert "klbf" in main_text(page)
    with harness.rerun(page):
        page.get_by_role("radio", name="Metric").click()
    assert harness.box(page, "Hs 1 (m)").input_value() == "2.8"
    assert main_text(page) == metric


def test_save_change_and_load(page: Any, address: str, tmp_path: Path) -> None:
    harness.open_page(page, address)
    harness.set_number(page, "Heading (°)", "200")
    harness.plan_file(page)
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Save the plan").click()
    saved = tmp_path / "plan.json"
    waiting.value.save_as(saved)
    assert json.loads(saved.read_text("utf-8"))["format"] == "heave-plan"
    harness.set_number(page, "Heading (°)", "90")
    page.locator('input[type="file"]').first.set_input_files(saved)
    page.get_by_text("Plan loaded from plan.json").wait_for()
    harness.wait_settled(page)
    assert harness.box(page, "Heading (°)").input_value() == "200"


def test_a_nonsense_upload_says_so_and_changes_nothing(page: Any, address: str, tmp_path: Path) -> None:
    harness.open_page(page, address)
    harness.set_number(page, "Heading (°)", "123")
    broken = tmp_path / "broken.json"
    broken.write_bytes(b"\x00\xff not a plan")
    harness.plan_file(page)
    page.locator('input[type="file"]').first.set_input_files(broken)
    page.get_by_text("was not loaded and nothing was changed").wait_for()
    harness.wait_settled(page)
    assert harness.box(page, "Heading (°)").input_value() == "123"


def test_pages_keep_the_plan(page: Any, address: str) -> None:
    harness.open_page(page, address)
    harness.set_number(page, "Hs 1 (m)", "3.3")
    harness.box(page, "Heading (°)").click()
    for name in ("Rig and well", "Method and sources", "Compensator check"):
        harness.go_to(page, name)
        page.get_by_role("heading", name=name).first.wait_for()
        harness.no_sideways_overflow(page)
    assert harness.box(page, "Hs 1 (m)").input_value() == "3.3"
    assert "Hs 3.3\u00a0m" in main_text(page)


def test_a_remedy_is_taken_and_undone(page: Any, address: str) -> None:
    harness.open_page(page, address)
    before = main_text(page)
    page.get_by_role("button", name="Use this").first.click()
    page.get_by_text("Taken into the plan").wait_for()
    harness.wait_settled(page)
    page.get_by_role("button", name="Undo the change taken").click()
    page.get_by_text("as it was before the change").wait_for()
    harness.wait_settled(page)
    echo = re.compile(r"Computed for .*")
    assert echo.search(main_text(page)).group() == echo.search(before).group()  # type: ignore[union-attr]


def test_the_working_opens(page: Any, address: str) -> None:
    harness.open_page(page, address)
    first = page.get_by_test_id("stMain").get_by_test_id("stExpander").first
    first.locator("summary").click()
    first.get_by_text("Source:").wait_for()
    harness.wait_settled(page)
    assert "=" in first.inner_text()
    before = first.inner_text()
    harness.set_number(page, "Hs 1 (m)", "3.1")
    assert "Source:" in first.inner_text(), "it stays open when the figures change"
    assert first.inner_text() != before
    first.locator("summary").click()
    page.get_by_text("Source:").wait_for(state="detached")


def test_folded_inputs_open_and_take_a_number(page: Any, address: str) -> None:
    harness.open_page(page, address)
    side = page.get_by_test_id("stSidebar")
    side.locator("summary", has_text="Tide ").click()
    harness.box(page, "Water depth (m)").wait_for()
    harness.wait_settled(page)
    harness.set_number(page, "Tide still to rise (m)", "1,2")
    assert harness.box(page, "Tide still to rise (m)").input_value() == "1.2"
    harness.set_number(page, "Tide still to rise (m)", "50")
    assert "Still used: 1.2\u00a0m" in side.inner_text()


def test_a_telephone_sees_the_verdict_first(phone: Any, address: str) -> None:
    harness.open_page(phone, address)
    panel = phone.locator('[class*="st-key-verdict-"] h2')
    place = panel.bounding_box()
    assert place is not None
    assert place["y"] + place["height"] < 400
    assert place["x"] + place["width"] <= 390
    assert phone.get_by_test_id("stSidebar").get_attribute("data-collapsed") == "true"
    harness.no_sideways_overflow(phone)
    harness.set_number(phone, "Hs 1 (m)", "1.1")
    harness.no_sideways_overflow(phone)


def test_charts_have_names(opened: Opened) -> None:
    page = opened()
    charts = page.get_by_test_id("stPlotlyChart").or_(page.locator('[data-testid="stImage"] img[alt]'))
    assert charts.count() >= 4
    assert page.get_by_alt_text(re.compile(r"^Stroke column: ")).count() >= 1


@pytest.mark.parametrize("width", harness.WIDTHS)
def test_chart_labels_do_not_overlap(opened: Opened, width: int) -> None:
    """No two pieces of text in one still picture cover each other by more than a hair."""
    covered = overlaps(opened(width=width), 3)
    assert covered == []
