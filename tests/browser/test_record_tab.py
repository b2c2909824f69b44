"""Measured heave in a browser: a record is brought, asked about, looked at, played, and outlives a bad file."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import harness

pytestmark = pytest.mark.browser

PATH = "/weight-on-bit"


def heave_at(time: float) -> float:
    """Heave that the file holds [m]; up is positive."""
    return 0.5 * math.sin(2 * math.pi * time / 10) + 0.3 * math.sin(2 * math.pi * time / 7.3)


def own_file(folder: Path) -> Path:
    """Fifteen minutes in centimetres, down positive, under names that say neither, with one spike."""
    rows = [f"{0.5 * n:.1f},{-100 * heave_at(0.5 * n) + 500 * (n == 900):.2f}" for n in range(1800)]
    path = folder / "motion.csv"
    path.write_text("\n".join(["Elapsed,Motion", *rows, ""]), "utf-8")
    return path


def main(page: Any) -> Any:
    return page.get_by_test_id("stMain")


def go(page: Any, tab: str) -> None:
    with harness.rerun(page):
        page.get_by_role("tab", name=tab).click()


def bring(page: Any, path: Path) -> None:
    with harness.rerun(page):
        main(page).locator('input[type="file"]').set_input_files(path)


def press(page: Any, word: str | re.Pattern[str]) -> None:
    with harness.rerun(page):
        main(page).get_by_role("button", name=word).first.click()


@pytest.fixture
def taken(page: Any, address: str, tmp_path: Path) -> Any:
    """The tab with a record that was asked about and taken."""
    harness.open_page(page, address + PATH)
    go(page, "Measured heave")
    assert "are lost when the page is reloaded" in main(page).inner_text()
    bring(page, own_file(tmp_path))
    for number, answer in enumerate(("motion", "heave", "centimetres", "down"), 1):
        assert f"motion.csv: question {number}" in main(page).inner_text()
        press(page, re.compile(f"^{answer}", re.IGNORECASE))
    text = main(page).inner_text()
    assert "look at it before it is used" in text
    assert "1 spike, on line 902" in text
    harness.no_sideways_overflow(page)
    press(page, re.compile("use it$|^Use this record$"))
    assert "Measured over predicted" in main(page).inner_text()
    return page


def test_a_record_is_played(taken: Any) -> None:
    page = taken
    go(page, "Watch")
    page.get_by_role("button", name="Heave and time").click()
    harness.box(page, "Heave from").click()
    with harness.rerun(page):
        page.get_by_role("option", name="Measured heave", exact=True).click()
    page.keyboard.press("Escape")
    page.get_by_text("Simulated: Measured heave of motion.csv").wait_for()
    film = page.locator(".film")

    def moment() -> float:
        return float(film.evaluate("root => root.filmPlayer.time"))

    def told() -> float:
        words = film.locator(".film-words").text_content() or ""
        found = re.search(r"Heave ([−-]?[\d.]+)\s*m", words)
        assert found, words
        return float(found[1].replace("−", "-"))

    harness.wait_until(page, lambda: bool(film.evaluate("root => root.filmPlayer")), "the film")
    start = moment()
    film.get_by_role("button", name="Play", exact=True).click()
    harness.wait_until(page, lambda: moment() > start + 0.5, "the film to play")
    with harness.rerun(page):
        film.get_by_role("button", name="Pause", exact=True).click()
    waited: Callable[[], bool] = lambda: told() == pytest.approx(heave_at(moment()), abs=0.02)  # noqa: E731
    harness.wait_until(page, waited, "the film to tell the heave of the record")


def test_a_bad_record_leaves_the_good_one(taken: Any, tmp_path: Path) -> None:
    page = taken
    bad = tmp_path / "broken.csv"
    bad.write_text("time_s,heave_m\n0,0.1\n1,fish\n2,0.1\n", "utf-8")
    bring(page, bad)
    text = main(page).inner_text()
    assert "broken.csv was not read and nothing was changed" in text
    assert "Read from motion.csv: 1800 values" in text
    assert "Measured over predicted" in text
