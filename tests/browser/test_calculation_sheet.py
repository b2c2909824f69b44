"""The calculation sheet in a browser: every page of both papers numbered, nothing cut, no network and no scripts."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from pdf_text import pages_of

import harness
import heave
from heave.files.plan import plan_to_json
from heave.files.rigs import demo_compensators
from heave.files.seals import signed, text_hash
from heave.judging import assess
from heave.judging.calculation import calculation
from heave.planning import Campaign, Operation, OperationStep, Plan, Record
from heave.screens.calculation.sheet import html_of

pytestmark = pytest.mark.browser

PATH = "/calculation-sheet"
PAPERS = {"A4": (595, 842), "Letter": (612, 792)}
UNITS = {unit.kind: unit for unit in demo_compensators().values()}


def long_plan() -> Plan:
    plan = heave.demo_plan()
    step = OperationStep(plan.operation, name="a step of the well", interruptible=True, contingency=3600.0)
    note = "\n".join(f"Line {place} of a long note that the author left." for place in range(36))
    record = Record(*["A long field of the block"] * 2, "B", "2026-11-26", "A. Author", note)
    weather = plan.weather.but(campaign=Campaign((step,) * 12))
    whole = plan.changed(name="A long plan of the well " * 6, record=record, weather=weather)
    return signed(signed(whole, "checked", "B. Checker"), "approved", "C. Manager")


def drawworks() -> Plan:
    plan, unit = heave.demo_plan(), UNITS["drawworks"]
    assert plan.hoisting is not None
    return plan.changed(
        compensator=unit, hoisting=replace(plan.hoisting, lines=int(getattr(unit, "lines", 12)))
    )


def kinds() -> dict[str, tuple[Plan, str]]:
    plan = heave.demo_plan()
    return {
        "demo": (plan, "metric"),
        "long": (long_plan(), "oilfield"),
        "active": (plan.changed(compensator=UNITS["active-assisted"]), "oilfield"),
        "drawworks": (drawworks(), "metric"),
        "not assessed": (plan.changed(operation=Operation(kind="casing"), hoisting=None), "metric"),
    }


def tight(text: str) -> str:
    """Words as they are compared: no spaces, no marks of indices, letters that the font joins apart."""
    return re.sub(r"[\s_,]+", "", unicodedata.normalize("NFKC", text))


@pytest.fixture(scope="module")
def printed(context: Any, tmp_path_factory: pytest.TempPathFactory) -> Any:
    """Prints a sheet on a paper; the page asks for nothing but itself."""
    page, asked = context.new_page(), list[str]()
    page.on("request", lambda request: asked.append(request.url))
    folder = tmp_path_factory.mktemp("sheets")

    def print_(text: str, name: str, paper: str) -> tuple[list[str], bytes]:
        path = folder / f"{name}.html"
        path.write_text(text, "utf-8")
        asked.clear()
        page.goto(path.as_uri())
        pdf: bytes = page.pdf(format=paper, print_background=True)
        assert asked == [path.as_uri()]
        return [tight(words) for words in pages_of(pdf)], pdf

    yield print_
    page.close()


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", kinds())
def test_it_prints_whole_on_numbered_pages(printed: Any, name: str, paper: str) -> None:
    plan, system = kinds()[name]
    result = assess(plan)
    pages, pdf = printed(html_of(result, system), name, paper)
    assert len(pages) > 1
    box = [[float(side) for side in found.split()] for found in re.findall(rb"/MediaBox \[([^\]]+)\]", pdf)]
    assert all(side[2:] == pytest.approx(PAPERS[paper], abs=1) for side in box)
    hashed = text_hash(plan_to_json(plan))[:12]
    for number, words in enumerate(pages, 1):
        assert f"Page{number}of{len(pages)}" in words
        assert f"plan{hashed}" in words
    for chapter in calculation(result):
        for step in chapter.steps:  # its lines are on one page
            lines = tight(f"{step.symbols()}{step.numbers(system)}{step.symbol}: {step.result.meaning}")
            assert any(lines in words for words in pages), step.symbol
    for check in result.checks:  # a row of the table is on one page, under its head
        row = tight(f"{check.name}")
        assert any(row in words and "CheckDemandCapacityUsedToState" in words for words in pages), check.key


def test_no_figure_is_cut(printed: Any) -> None:
    plan = heave.demo_plan()
    pages, _ = printed(html_of(assess(plan)), "figures", "Letter")
    for first, last, caption in (
        ("m · vessel rises, gas compressed", "m · vessel falls, gas expands", "Stroke column, to scale."),
        ("then the most in this sea, of the rating", "Levels and stroke to scale", "The reeved system and"),
        ("heave at the hoist", "period, s (even in frequency)", "Sea and heave at the hoist:"),
        ("vessel falling", "position on the stroke, m", "Load over the stroke;"),
        ("lift-off", "weight on bit, kN", "Weight on bit between its limits."),
        ("near from 0.85", "limit 1", "Checks, most used first"),
    ):
        assert any(all(tight(part) in words for part in (first, last, caption)) for words in pages), caption


@pytest.mark.parametrize("width", harness.WIDTHS)
def test_it_is_read_without_scripts_and_without_a_network(browser: Any, tmp_path: Path, width: int) -> None:
    path = tmp_path / "sheet.html"
    path.write_text(html_of(assess(long_plan())), "utf-8")
    alone = browser.new_context(java_script_enabled=False, offline=True)
    try:
        page = alone.new_page()
        page.set_viewport_size({"width": width, "height": 900})
        asked: list[str] = []
        page.on("request", lambda request: asked.append(request.url))
        page.goto(path.as_uri())
        assert asked == [path.as_uri()]
        assert page.get_by_role("heading", name="Calculation sheet").is_visible()
        assert page.get_by_text("C. Manager").first.is_visible()
        assert not page.get_by_role("button", name="Print this sheet").is_visible()
        assert page.locator("svg").count() > 20
    finally:
        alone.close()


@pytest.mark.parametrize("width", harness.WIDTHS)
def test_it_fits_its_window(context: Any, tmp_path: Path, width: int) -> None:
    path = tmp_path / "sheet.html"
    path.write_text(html_of(assess(long_plan())), "utf-8")
    page = context.new_page()
    try:
        page.set_viewport_size({"width": width, "height": 900})
        page.goto(path.as_uri())
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert wide <= 1, f"{wide} px too wide at {width}"
    finally:
        page.close()


def test_the_saved_files_are_the_sheet_and_load_again(page: Any, address: str, tmp_path: Path) -> None:
    harness.open_page(page, address + PATH)
    harness.set_number(page, "Well", "7 A")
    harness.set_number(page, "Checked by", "B. Checker")
    frame = page.locator("iframe").content_frame
    frame.get_by_text("for this plan, model").wait_for()
    frame.locator("body").evaluate(
        "() => { window.printed = 0; window.print = () => { window.printed += 1 } }"
    )
    frame.get_by_role("button", name="Print this sheet").click()
    assert frame.locator("body").evaluate("() => window.printed") == 1
    read = []
    for button, name in (
        ("Save the sheet (HTML)", "sheet.html"),
        ("Save the calculation (JSON)", "sheet.json"),
    ):
        with page.expect_download() as download:
            page.get_by_role("button", name=button).click()
        download.value.save_as(tmp_path / name)
        read.append(heave.read_plan(tmp_path / name))
    assert read[0] == read[1]
    assert (read[0].record.well, read[0].record.checked.by) == ("7 A", "B. Checker")
