"""Every page, tab and theme as a machine reads it: axe-core, titles, headings in order, names of figures."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import audit
import pytest
import walk

import harness

pytestmark = pytest.mark.browser

HEADINGS = """() => [...document.querySelectorAll('[data-testid="stMain"] :is(h1, h2, h3, h4, h5, h6)')]
    .filter(one => one.offsetParent).map(one => [Number(one.tagName[1]), one.innerText.trim()])"""

UNNAMED = """() => {
    const name = one => one.getAttribute('aria-label') || one.getAttribute('alt') || '';
    const charts = [...document.querySelectorAll('[data-testid="stPlotlyChart"]')]
        .map(chart => [chart, ...chart.querySelectorAll('[aria-label]')].map(name).find(Boolean) || '');
    return [...charts, ...[...document.querySelectorAll('[data-testid="stImage"] img')].map(name)];
}"""


@dataclass(frozen=True)
class Place:
    """What was read off one tab of a page."""

    page: str
    title: str
    headings: list[tuple[int, str]]
    figures: list[str]
    findings: list[dict[str, str]]
    tables: int


@pytest.fixture(scope="module")
def walked(context: Any, address: str) -> dict[str, Place]:
    """Every page and tab, as it opens."""
    found: dict[str, Place] = {}
    with harness.open_view(context) as page:
        for place in walk.through(page, address, unfolded=False):
            found[place] = Place(
                place.partition(":")[0],
                page.title(),
                [(level, words) for level, words in page.evaluate(HEADINGS)],
                page.evaluate(UNNAMED),
                audit.findings(page),
                page.locator("summary", has_text="Figures of this page as tables").count(),
            )
    return found


@pytest.fixture
def unfolded(context: Any, address: str) -> Iterator[Any]:
    """The check page with everything opened."""
    with harness.open_view(context) as page:
        harness.open_page(page, address)
        walk.unfold(page, "stSidebar")
        walk.unfold(page)
        yield page


def test_axe_finds_nothing_on_any_page_or_tab(walked: dict[str, Place]) -> None:
    found = [f"{name}: {line}" for name, place in walked.items() for line in audit.unknown(place.findings)]
    assert found == [], "\n\n".join(found)


def test_axe_finds_nothing_where_everything_is_opened(unfolded: Any) -> None:
    found = audit.unknown(audit.findings(unfolded))
    assert found == [], "\n\n".join(found)


def test_contrast_holds_in_the_dark_on_every_page(context: Any, address: str) -> None:
    with harness.open_view(context, scheme="dark") as page:
        found = [
            f"{name}: {line}"
            for name in walk.through(page, address, unfolded=False)
            for line in audit.unknown(audit.findings(page, ["color-contrast", "link-in-text-block"]))
        ]
    assert found == [], "\n\n".join(found)


def test_the_table_of_what_is_the_platforms_has_no_stale_entry(walked: dict[str, Place]) -> None:
    seen = {one["known"] for place in walked.values() for one in place.findings}
    assert {" ".join(entry) for entry in audit.PLATFORM} <= seen


def test_every_page_has_a_title_of_its_own(walked: dict[str, Place]) -> None:
    titles = {place.page: place.title for place in walked.values()}
    assert len(titles) == len(set(titles.values())) >= 11
    assert all(title.startswith(page) and title != page for page, title in titles.items())


def test_one_first_heading_and_no_level_left_out(walked: dict[str, Place]) -> None:
    for name, place in walked.items():
        levels = [level for level, _ in place.headings]
        assert levels[0] == 1, name
        assert levels.count(1) == 1, name
        assert all(after <= before + 1 for before, after in pairwise(levels)), f"{name}: {place.headings}"
        assert all(words for _, words in place.headings), name
        assert place.headings[0][1] == place.page


def test_every_figure_has_a_name_and_its_page_the_tables(walked: dict[str, Place]) -> None:
    figures = {name: place.figures for name, place in walked.items()}
    assert all(all(words) for words in figures.values()), figures
    assert sum(map(len, figures.values())) > 20
    drawn = {name for name, words in figures.items() if any(not one.startswith("Mark of: ") for one in words)}
    assert {name for name, place in walked.items() if place.tables} >= drawn - {"Compare"}
