"""Broken forecast files in a browser: from upload to the answer, every click counted, nothing beside the question."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import harness

pytestmark = pytest.mark.browser

PATH = "/weather-window"
MOST_CLICKS = 6
HOURS = range(30)


def bulletin(folder: Path) -> Path:
    """Dates on their own lines, no unit, no sense of direction, no zone, a range, Windows-1252."""
    lines = ["Forecast for the rig, 12\u00b0 E", "Issued 00:00 UTC 2 March 2026", ""]
    for hour in HOURS:
        if hour % 24 == 0:
            lines += [
                f"{'Mon' if hour == 0 else 'Tue'} {2 + hour // 24} March 2026",
                "Time  Hs       Tp   Dir",
            ]
        height = "0.4-0.6" if hour % 2 else "0.5"
        lines.append(f"{hour % 24:02d}:00 {height:<8} 12.0 SW")
    path = folder / "bulletin.txt"
    path.write_bytes("\n".join(lines).encode("cp1252"))
    return path


def strange(folder: Path) -> Path:
    """Names that say nothing, a semicolon and decimal commas, dates that could be two days, a column of remarks."""
    lines = ["Titel;;;;", "wann;welle;takt;kommt;text"]
    lines += [f"0{4 if hour > 23 else 3}/03/2026 {hour % 24:02d}:00;0,5;12,0;220;-" for hour in HOURS]
    path = folder / "strange.csv"
    path.write_text("\n".join(lines), "utf-8")
    return path


def workbook(folder: Path) -> Path:
    """A title, merged groups, a row of units, the total beside a swell whose peak is the total's."""
    import openpyxl

    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["Marine forecast"])
    sheet.append([None, "Total", None, None, "Swell", None, None])
    sheet.append(["Time (UTC+2)", "Hs", "Tp", "Dir", "Hs", "Tp", "Dir"])
    sheet.append([None, "m", "s", "deg", "m", "s", "deg"])
    for hour in HOURS:
        sheet.append([f"2026-03-{2 + hour // 24:02d} {hour % 24:02d}:00", 0.6, 12, 220, 0.5, 12, 220])
    stream = io.BytesIO()
    book.save(stream)
    path = folder / "workbook.xlsx"
    path.write_bytes(stream.getvalue())
    return path


def main(page: Any) -> Any:
    return page.get_by_test_id("stMain")


def bring(page: Any, path: Path) -> None:
    with harness.rerun(page):
        main(page).locator('input[type="file"]').first.set_input_files(path)


def unfold(page: Any) -> None:
    main(page).get_by_test_id("stExpander").filter(has_text="Forecast:").first.locator("summary").click()
    harness.wait_settled(page)


class Clicks:
    """Clicks answers, and counts them; looks that the question is on the screen and no answer stands beside it."""

    def __init__(self, page: Any) -> None:
        self.page = page
        self.count = 0

    def answer(self, question: str, words: str) -> None:
        asked = self.page.get_by_text(question).first
        asked.wait_for()
        place = asked.bounding_box()
        assert place is not None
        assert 0 <= place["y"] < self.page.viewport_size["height"] - 40, "the question is on the screen"
        assert self.page.locator('[class*="st-key-verdict-"]').count() == 0
        assert self.page.locator(".js-plotly-plot").count() == 0
        harness.no_sideways_overflow(self.page)
        with harness.rerun(self.page):
            self.page.get_by_role("button", name=words).first.click()
        self.count += 1

    def done(self, name: str) -> None:
        self.page.get_by_text(f"Using {name}").first.wait_for()
        self.page.locator('[class*="st-key-verdict-"] h2').wait_for()
        assert self.count <= MOST_CLICKS


def answer_bulletin(clicks: Clicks) -> None:
    clicks.answer("In which unit is the height in column hs", "0.5, 0.4-0.6, 0.5\u00a0m")
    clicks.answer("Does column dir say where waves come from", "Where waves come from")
    clicks.answer("In which time zone are the times", "UTC")
    clicks.done("bulletin.txt")


def answer_strange(clicks: Clicks) -> None:
    clicks.answer("Which column holds the significant wave height", "Welle")
    clicks.answer("Which column holds the period of the sea", "Takt")
    clicks.answer("What is in column kommt", "Direction of the sea: where waves come from")
    clicks.answer("In which unit is the height in column welle", "0,5, 0,5, 0,5\u00a0m")
    clicks.answer("Which period is in column takt", "Not sure")
    clicks.answer("In which time zone are the times", "UTC")
    clicks.done("strange.csv")


def answer_workbook(clicks: Clicks) -> None:
    clicks.answer("Do columns swell dir", "Where waves come from")
    clicks.answer("The total holds more than swell", "That of the total")
    clicks.done("workbook.xlsx")


FILES: dict[str, tuple[Callable[[Path], Path], Callable[[Clicks], None]]] = {
    "bulletin": (bulletin, answer_bulletin),
    "strange": (strange, answer_strange),
    "workbook": (workbook, answer_workbook),
}


@pytest.mark.parametrize("name", list(FILES))
def test_a_broken_file_is_read_in_few_clicks_and_its_like_in_none(
    page: Any, address: str, tmp_path: Path, name: str
) -> None:
    write, answers = FILES[name]
    harness.open_page(page, address + PATH)
    unfold(page)
    path = write(tmp_path)
    bring(page, path)
    clicks = Clicks(page)
    answers(clicks)
    assert clicks.count <= MOST_CLICKS
    again = path.with_name(f"next-{path.name}")
    path.rename(again)
    bring(page, again)
    page.get_by_text(f"Using {again.name}").first.wait_for()
    page.locator('[class*="st-key-verdict-"] h2').wait_for()
    assert page.locator(".st-key-asked-forecast").count() == 0


def test_a_telephone_sees_the_question_first(phone: Any, address: str, tmp_path: Path) -> None:
    harness.open_page(phone, address + PATH)
    unfold(phone)
    bring(phone, strange(tmp_path))
    clicks = Clicks(phone)
    answer_strange(clicks)
    assert clicks.count <= MOST_CLICKS


def test_a_refused_file_says_what_to_change_and_nothing_else_stands_there(
    page: Any, address: str, tmp_path: Path
) -> None:
    harness.open_page(page, address + PATH)
    unfold(page)
    path = tmp_path / "larger.csv"
    path.write_text(
        "time_utc,hs_m,tp_s,direction_from_deg,swell1_hs_m,swell1_tp_s,swell1_direction_from_deg\n"
        "2026-03-02T00:00Z,2.5,7,220,3.5,12,220\n",
        "utf-8",
    )
    bring(page, path)
    page.get_by_text("larger.csv was not read").wait_for()
    page.get_by_text("together at most the total height, 2.5\u00a0m").wait_for()
    assert page.locator('[class*="st-key-verdict-"]').count() == 0
    page.get_by_role("button", name="Back to sample_forecast.csv").click()
    page.locator('[class*="st-key-verdict-"] h2').wait_for()
