"""Text of a file or of a person is shown as it stands: no link, picture, mark-up, formula or icon comes of it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import fields, is_dataclass, replace
from typing import Any

import pytest
from rest import at_rest

import harness
import heave
from heave import fields as described
from heave.errors import InputError
from heave.files.plan import plan_to_json
from heave.screens.pages import PAGES

pytestmark = pytest.mark.browser

SPOILT = "![p](http://e.t/i)<b>b</b><a href='http://e.t'>l</a> www.e.t a@e.t $x$ a -- b"
"""A picture, tags, addresses, a formula, and a dash, all as text."""

CAME_OF_IT = """() => {
    const found = [];
    const text = element => (element.closest('[data-testid]') || element).outerHTML.slice(0, 300);
    const all = (query, wrong) => document.querySelectorAll(query).forEach(e => wrong(e) && found.push(text(e)));
    const local = link => { try { return new URL(link, location.href).hostname === location.hostname }
                            catch { return true } };
    all('a[href], a', e => !local(e.getAttribute('href') || e.getAttribute('xlink:href') || ''));
    all('img[src]', e => e.src.startsWith('http') && !local(e.src));
    all('.katex', e => e.textContent.includes('x') && e.textContent.length < 4);
    all('img[alt*="treamlit"]', () => true);
    all('b, strong, tspan', e => e.textContent.trim() === 'b');
    return found;
}"""


NOT_FREE = {"sha256", "seal", "model", "time_zone"}
"""Texts that have to be of a form."""


def spoilt(value: Any) -> Any:
    """A value of the plan with every free text in it replaced."""
    if isinstance(value, tuple):
        return tuple(spoilt(one) for one in value)
    if not is_dataclass(value):
        return value
    for item in fields(value):
        about, held = item.metadata.get("about"), getattr(value, item.name)
        free = isinstance(about, described.Text) and item.name not in NOT_FREE
        if free or is_dataclass(held) or isinstance(held, tuple):
            with suppress(InputError):  # a name under a calculation goes with its seal
                value = replace(value, **{item.name: SPOILT if free else spoilt(held)})  # type: ignore[type-var]
    return value


@pytest.fixture(scope="module")
def walked(context: Any, address: str) -> Iterator[Any]:
    """A page with a plan whose every text is spoilt."""
    with harness.open_view(context) as page:
        harness.open_page(page, address)
        data = plan_to_json(spoilt(heave.demo_plan())).encode()
        harness.plan_file(page)
        with harness.rerun(page):
            page.get_by_test_id("stSidebar").locator("input[type=file]").first.set_input_files(
                {"name": "plan.json", "mimeType": "application/json", "buffer": data}
            )
        page.get_by_text("Plan loaded").first.wait_for()
        yield page


def test_nothing_comes_of_the_texts_of_a_plan(walked: Any) -> None:
    page, seen, found = walked, 0, []
    for name in [one.title for one in PAGES]:
        harness.go_to(page, name)
        tabs = page.get_by_test_id("stMain").get_by_role("tab")
        for place in range(max(tabs.count(), 1)):
            if place:
                with harness.rerun(page):
                    tabs.nth(place).click()
            at_rest(page)
            found += [f"{name} {place}: {one}" for one in page.evaluate(CAME_OF_IT)]
            seen += page.get_by_test_id("stApp").inner_text().replace("\u2060", "").count(SPOILT[:18])
    assert found == [], "\n\n".join(found)
    assert seen > 20


FILES = (
    ("/weather-window", "Forecast: ", f'time_utc,hs_m,tp_s,dir_deg,"{SPOILT}"\n'),
    ("/weather-window", "Forecast: ", f'"{SPOILT}",hs_m,tp_s,dir_deg\n'),
    ("/weight-on-bit", "", f'time_s,heave_m,"{SPOILT}"\n'),
)


@pytest.mark.parametrize(("path", "opener", "head"), FILES)
def test_nothing_comes_of_the_names_in_a_file_or_of_its_own_name(
    page: Any, address: str, path: str, opener: str, head: str
) -> None:
    harness.open_page(page, address + path)
    main = page.get_by_test_id("stMain")
    if opener:
        main.locator("summary", has_text=opener).click()
        harness.wait_settled(page)
    else:
        with harness.rerun(page):
            main.get_by_role("tab", name="Measured heave").click()
    rows = "".join(f"2026-12-01T{hour:02d}:00Z,2.0,9.0,200,7\n" for hour in range(24))
    name = "![p](http:..e.t.i) <b>b<b> www.e.t a@e.t $x$ a -- b.csv"
    with harness.rerun(page):
        main.locator("input[type=file]").first.set_input_files(
            {"name": name, "mimeType": "text/csv", "buffer": (head + rows).encode()}
        )
    harness.wait_settled(page)
    assert page.evaluate(CAME_OF_IT) == []
    assert name[:10] in main.inner_text().replace("\u2060", "")
