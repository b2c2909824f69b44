"""The weather window in a browser: a file of one's own, its columns mapped, a window, its table, a click through."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from rest import at_rest

import harness
import heave
from heave.files.link import plan_to_link
from heave.weather.site_limits import NAMES

pytestmark = pytest.mark.browser

Opened = Callable[..., Any]
PATH = "/weather-window"


def own_file(folder: Path, header: str = "when;wave;beat;way") -> Path:
    """Three days, rough on the second."""
    rows = [header]
    for hour in range(72):
        height = 6.5 if 24 <= hour < 48 else 0.5
        rows.append(f"2026-03-{1 + hour // 24:02d} {hour % 24:02d}:00;{height};12;220")
    path = folder / "own.csv"
    path.write_text("\n".join(rows), "utf-8")
    return path


def expected() -> Any:
    """What the library finds in the sample for the demo plan."""
    sample = heave.read_forecast(harness.ROOT / "sea_states" / "sample_forecast.csv")
    return heave.weather_windows(heave.demo_plan(), sample)  # type: ignore[arg-type]


def main(page: Any) -> Any:
    return page.get_by_test_id("stMain")


def unfold(page: Any, words: str) -> None:
    box = main(page).get_by_test_id("stExpander").filter(has_text=words).first
    box.locator("summary").click()
    harness.wait_settled(page)


def bring(page: Any, path: Path) -> None:
    with harness.rerun(page):
        main(page).locator('input[type="file"]').first.set_input_files(path)


def headline(page: Any) -> str:
    return str(page.locator('[class*="st-key-verdict-"] h2').inner_text()).strip()


def table(page: Any) -> list[dict[str, str]]:
    rows = page.locator(".st-key-table-windows table tr").all()
    names, *cells = [[cell.inner_text().strip() for cell in row.locator("th, td").all()] for row in rows]
    return [dict(zip(names, row, strict=True)) for row in cells]


def test_the_demo_opens_on_a_window(opened: Opened) -> None:
    page = opened(PATH)
    found = expected()
    assert re.match("Open now$|Opens in [0-9]", headline(page))
    assert [row["Earliest start, UTC"] for row in table(page)] == [
        str(window.start).replace("T", " ")[:16] for window in found.windows
    ]
    assert "What ends it" in main(page).inner_text()
    assert page.get_by_label(re.compile(r"^Timeline of sea, heave and checks: window A")).count() >= 1
    harness.no_sideways_overflow(page)


def test_upload_answer_and_find_a_window(page: Any, address: str, tmp_path: Path) -> None:
    harness.open_page(page, address + PATH)
    unfold(page, "Forecast:")
    bring(page, own_file(tmp_path))
    for question, words in (
        ("Which column holds the significant wave height", "Wave"),
        ("Which column holds the period of the sea", "Beat"),
        ("What is in column way", "Direction of the sea: where waves come from"),
        ("In which unit is the height in column wave", "0.5, 0.5, 0.5\u00a0m"),
        ("Which period is in column beat", "Peak period"),
        ("In which time zone are the times", "UTC"),
    ):
        page.get_by_text(question).wait_for()
        assert page.locator('[class*="st-key-verdict-"]').count() == 0
        with harness.rerun(page):
            page.get_by_role("button", name=words).first.click()
    page.get_by_text("Using own.csv").first.wait_for()
    harness.wait_settled(page)
    found = table(page)
    assert [row["Earliest start, UTC"] for row in found] == ["2026-03-01 00:00", "2026-03-03 00:00"]
    assert "reaches" in found[0]["What ends it"]
    harness.no_sideways_overflow(page)


def test_the_csv_is_the_table(opened: Opened, tmp_path: Path) -> None:
    page = opened(PATH)
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Save the table (CSV)").click()
    saved = tmp_path / "windows.csv"
    waiting.value.save_as(saved)
    harness.wait_settled(page)
    read = list(csv.DictReader(io.StringIO(saved.read_text("utf-8"))))
    assert read == table(page)
    assert len(read) == len(expected().windows) >= 1


def test_a_click_opens_the_hour_on_the_check_page(page: Any, address: str) -> None:
    harness.open_page(page, address + PATH)
    page.set_viewport_size({"width": 1440, "height": 2800})
    chart = page.locator(".st-key-timeline .js-plotly-plot")
    chart.wait_for()
    at_rest(page)
    area = chart.bounding_box()
    assert area is not None
    page.mouse.move(area["x"] + 0.3 * area["width"], area["y"] + 0.6 * area["height"])
    page.locator(".st-key-timeline .hovertext").first.wait_for()
    words = str(page.locator(".st-key-timeline .hovertext").first.text_content())
    assert "governs" in words
    assert "swell 2" in words
    assert re.search(r"Hs \d\.\d\d\sm in all", words)
    assert re.search(r"swell 2 \d\.\d\d\sm, Tp \d+\.\d\ss, from \d{3}°", words)
    assert len(re.findall(r" \d\.\d{2,3} of 1(?!\d)", words)) == len(
        [used for used in expected().steps[0].reduced.by_check.values() if not np.isnan(used).all()]
    )
    page.mouse.click(area["x"] + 0.3 * area["width"], area["y"] + 0.6 * area["height"])
    page.get_by_role("heading", name="Compensator check").first.wait_for()
    page.get_by_text("is in the plan now, as forecast").wait_for()
    harness.wait_settled(page)
    assert harness.box(page, "Hs 1 (m)").input_value() != "2.8"
    with harness.rerun(page):
        page.get_by_role("button", name="Undo the change taken").click()
    assert harness.box(page, "Hs 1 (m)").input_value() == "2.8"
    harness.go_to(page, "Weather window")
    page.locator(".st-key-timeline .js-plotly-plot").wait_for()
    harness.wait_settled(page)
    at_rest(page)
    assert headline(page).startswith("Open"), "coming back does not open the hour again"


def test_a_broken_file_says_so_and_keeps_the_windows(page: Any, address: str, tmp_path: Path) -> None:
    harness.open_page(page, address + PATH)
    before = table(page)
    unfold(page, "Forecast:")
    broken = tmp_path / "broken.csv"
    broken.write_bytes(b"\x00\x01 nothing of the kind")
    bring(page, broken)
    page.get_by_text("broken.csv was not read").wait_for()
    harness.wait_settled(page)
    assert page.locator('[class*="st-key-verdict-"]').count() == 0
    page.get_by_role("button", name="Back to sample_forecast.csv").click()
    page.locator('[class*="st-key-verdict-"] h2').wait_for()
    harness.wait_settled(page)
    assert table(page) == before


def test_a_hindcast_shows_progress_and_months(page: Any, address: str, tmp_path: Path) -> None:
    harness.open_page(page, address + PATH)
    with harness.rerun(page):
        page.get_by_role("tab", name="Hindcast").click()
    bring(page, own_file(tmp_path, "time_utc;hs_m;tp_s;direction_from_deg"))
    page.get_by_text("Using own.csv").first.wait_for()
    page.get_by_role("button", name="Count windows in the record").click()
    page.locator(".st-key-table-months table").wait_for()
    harness.wait_settled(page)
    assert "Mar" in page.locator(".st-key-table-months").inner_text()
    assert "Wait P90" in main(page).inner_text()


def test_a_telephone_sees_the_window_first(phone: Any, address: str, tmp_path: Path) -> None:
    harness.open_page(phone, address + PATH)
    at_rest(phone)
    place = phone.locator('[class*="st-key-verdict-"] h2').bounding_box()
    assert place is not None
    assert place["y"] + place["height"] < 400
    assert place["x"] + place["width"] <= 390
    harness.no_sideways_overflow(phone)
    for words in ("Operation:", "Forecast factor", "Forecast:", "Heading"):
        unfold(phone, words)
        harness.no_sideways_overflow(phone)
    bring(phone, own_file(tmp_path))
    phone.get_by_text("Which column holds the significant wave height").wait_for()
    harness.wait_settled(phone)
    harness.no_sideways_overflow(phone)


def test_names_and_figures_of_strips_do_not_run_into_each_other_on_a_phone(phone: Any, address: str) -> None:
    """The longest name of all is the limit of the vertical acceleration."""
    plan = heave.demo_plan().doing("landing")
    plan = plan.changed(operation=replace(plan.operation, acceleration_limit=0.2))
    harness.open_page(phone, f"{address}{PATH}?plan={plan_to_link(plan)}")
    words = phone.locator(".st-key-timeline .annotation-text")
    words.filter(has_text="Vertical acceleration limit").wait_for()
    at_rest(phone)
    places = [(str(word.text_content()), word.bounding_box()) for word in words.all()]
    named = {
        round(box["y"]): (text, box["x"] + box["width"]) for text, box in places if text in NAMES.values()
    }
    figures = [(text, box) for text, box in places if re.search(r"\d, (within|near|over)", text)]
    assert len(named) == len(figures) > 10
    for text, box in figures:
        name, end = named[min(named, key=lambda y: abs(y - box["y"]))]
        assert end + 4 <= box["x"], (name, text, end - box["x"])
        assert box["x"] + box["width"] <= 390
