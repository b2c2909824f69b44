"""The main tasks with the keyboard alone, what is said meanwhile, and the page at twice its size."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import walk
from rest import at_rest

import harness
from heave.files.plan import plan_to_json
from heave.files.rigs import demo_plan

pytestmark = pytest.mark.browser

LISTEN = """() => {
    const region = document.getElementById('heave-said');
    window.heard = [];
    new MutationObserver(() => window.heard.push(region.innerText))
        .observe(region, {childList: true, characterData: true, subtree: true});
}"""

FOCUS = """() => {
    let one = document.activeElement;
    while (one.shadowRoot?.activeElement) one = one.shadowRoot.activeElement;
    const said = one.getAttribute('aria-label') || (one.tagName === 'MAIN' ? '' : one.innerText) || '';
    return [one.tagName, said.trim()];
}"""

UNSEEN = """async () => {
    let one = document.activeElement;
    const chain = [];
    while (one.shadowRoot?.activeElement) one = one.shadowRoot.activeElement;
    if (one === document.body || one.tagName === 'MAIN') return '';
    for (let up = one; up && chain.length < 5; up = up.parentElement) chain.push(up);
    const look = () => chain.map(getComputedStyle).map(style => [style.outlineStyle, style.outlineWidth,
        style.outlineColor, style.boxShadow, style.borderColor, style.backgroundColor].join()).join('|');
    const atRest = async () => {  // some boxes draw their edge a moment later
        let last = look();
        for (let same = 0; same < 8;) {
            await new Promise(done => requestAnimationFrame(done));
            const now = look();
            [same, last] = [now === last ? same + 1 : 0, now];
        }
        return last;
    };
    const focused = await atRest();
    one.blur();
    const left = await atRest();
    one.focus({preventScroll: true});
    return focused === left ? one.outerHTML.slice(0, 200) : '';
}"""
"""The element with the focus, if nothing of it or around it looks different without."""

CUT = """() => {
    const found = [];
    for (const one of document.querySelectorAll('[data-testid="stMain"] *')) {
        const style = getComputedStyle(one);
        const hides = ['hidden', 'clip'].includes(style.overflowX) && style.clipPath === 'none';
        if (hides && one.clientWidth > 1 && one.scrollWidth > one.clientWidth + 2 && one.innerText?.trim()
            && !one.closest('[data-testid="stPlotlyChart"], [data-testid="stFileUploader"], svg')) {
            found.push(one.innerText.trim().slice(0, 60));
        }
    }
    return found;
}"""

MOST_TABS = 90


def tab_to(page: Any, name: str | re.Pattern[str], *, back: bool = False) -> None:
    """Press Tab until what is called `name` has the focus."""
    pattern = name if isinstance(name, re.Pattern) else re.compile(re.escape(name))
    passed = []
    for _ in range(MOST_TABS):
        page.keyboard.press("Shift+Tab" if back else "Tab")
        tag, words = page.evaluate(FOCUS)
        assert tag != "BODY" or not passed or passed[-1] != "BODY", f"the focus was lost after {passed[-3:]}"
        if pattern.search(words):
            return
        passed.append(words[:40] or tag)
    raise AssertionError(f"{name} is not among {passed}")


def heard(page: Any) -> list[str]:
    """What the live region said since `LISTEN`, once everything is at rest."""
    at_rest(page)
    return [str(words) for words in page.evaluate("() => window.heard")]


@pytest.fixture
def desk(page: Any, address: str) -> Iterator[Any]:
    """The check page, everything that the live region says heard."""
    harness.open_page(page, address)
    page.locator("#heave-said").wait_for(state="attached")
    at_rest(page)
    page.evaluate(LISTEN)
    return page


def test_a_changed_verdict_is_said_once_and_an_unchanged_one_not(desk: Any) -> None:
    assert desk.locator("#heave-said").get_attribute("role") == "status"
    harness.set_number(desk, "Hs 1 (m)", "11")
    said = heard(desk)
    assert len(said) == 1
    assert said[0].startswith("Compensator check: Over a limit. ")
    assert " governs: " in said[0]
    harness.set_number(desk, "Hs 1 (m)", "11.5")
    assert heard(desk) == said
    assert harness.box(desk, "Hs 1 (m)").evaluate("one => one === document.activeElement")


def test_skip_to_the_page_change_the_sea_and_take_a_remedy(desk: Any) -> None:
    page = desk
    page.keyboard.press("Tab")
    assert page.evaluate(FOCUS)[1] == "Skip to main content"
    place = page.locator("[data-testid=stSkipToContent]").bounding_box()
    assert place is not None
    assert place["x"] >= 0
    page.keyboard.press("Enter")
    assert page.evaluate(FOCUS)[0] == "MAIN"
    tab_to(page, "Hs 1 (m)", back=True)
    page.keyboard.press("Control+A")
    page.keyboard.type("2.6")
    with harness.rerun(page):
        page.keyboard.press("Enter")
    assert page.evaluate(FOCUS)[1] == "Hs 1 (m)", "the focus stays where it was typed"
    page.locator("[data-testid=stSkipToContent]").focus()
    page.keyboard.press("Enter")
    tab_to(page, "Use this")
    with harness.rerun(page):
        page.keyboard.press("Enter")
    page.get_by_text("Taken into the plan").wait_for()
    at_rest(page)
    assert page.evaluate(FOCUS)[0] != "BODY", "the focus is not lost when the button goes"


def test_change_page_open_a_tab_and_load_a_plan(desk: Any, tmp_path: Path) -> None:
    page = desk
    tab_to(page, "Weather window")
    with harness.rerun(page):
        page.keyboard.press("Enter")
    page.get_by_role("heading", name="Weather window", level=1).wait_for()
    harness.wait_until(page, lambda: page.evaluate(FOCUS)[0] == "H1", "the focus on the page that was opened")
    assert [words for words in heard(page) if words.startswith("Weather window")]
    tab_to(page, "Forecast")
    with harness.rerun(page):
        page.keyboard.press("ArrowRight")
        page.keyboard.press("Enter")
    chosen = page.get_by_test_id("stMain").get_by_role("tab", selected=True)
    assert chosen.first.inner_text().strip() == "Morning sheet"
    plan = tmp_path / "plan.json"
    plan.write_text(plan_to_json(demo_plan().changed(name="By keys")), "utf-8")
    page.locator("[data-testid=stSkipToContent]").focus()
    page.keyboard.press("Enter")
    tab_to(page, re.compile("Plan: "), back=True)
    with harness.rerun(page):
        page.keyboard.press("Enter")
    with page.expect_file_chooser() as waiting:
        tab_to(page, re.compile("Upload|Browse"))
        page.keyboard.press("Enter")
    with harness.rerun(page):
        waiting.value.set_files(plan)
    page.get_by_text("Plan loaded from plan.json").wait_for()


def test_save_the_sheet_and_play_the_film(page: Any, address: str) -> None:
    harness.open_page(page, address + "/calculation-sheet")
    page.locator("[data-testid=stSkipToContent]").focus()
    page.keyboard.press("Enter")
    with page.expect_download() as waiting:
        tab_to(page, re.compile("Save"))
        page.keyboard.press("Enter")
    assert waiting.value.suggested_filename
    harness.open_page(page, address + "/weight-on-bit")
    page.locator("[data-testid=stSkipToContent]").focus()
    page.keyboard.press("Enter")
    page.get_by_role("button", name="Play").wait_for()
    tab_to(page, "Play")
    page.keyboard.press("Enter")
    page.get_by_role("button", name="Pause").wait_for()
    page.keyboard.press("Enter")
    page.get_by_role("button", name="Play").wait_for()


def test_the_focus_is_always_seen(desk: Any) -> None:
    unseen = []
    for _ in range(30):
        desk.keyboard.press("Tab")
        unseen.append(desk.evaluate(UNSEEN))
    unseen = [one for one in unseen if one]
    assert unseen == [], "\n".join(unseen)


def test_nothing_is_cut_at_twice_the_size(context: Any, address: str) -> None:
    """A window of 1440 by 900 at 200 % has 720 by 450 CSS px (WCAG 2.2, criteria 1.4.4 and 1.4.10)."""
    found = []
    with harness.open_view(context, width=720, height=450) as page:
        twice = context.new_cdp_session(page)
        size = {"width": 720, "height": 450, "deviceScaleFactor": 2, "mobile": False}
        twice.send("Emulation.setDeviceMetricsOverride", size)
        for name in walk.PATHS:
            harness.open_page(page, address + name)
            at_rest(page)
            assert page.evaluate("[innerWidth, innerHeight, devicePixelRatio]") == [720, 450, 2]
            found += [f"{name}: {words}" for words in page.evaluate(CUT)]
            if harness.sideways_overflow(page) > 1:
                found.append(f"{name}: {harness.sideways_overflow(page):g} px too wide")
        twice.detach()
    assert found == []


def test_nothing_of_ours_moves_where_less_motion_is_asked_for(desk: Any) -> None:
    """The context asks for reduced motion: no transition or animation lasts (WCAG 2.2, criterion 2.3.3)."""
    longest = desk.evaluate(
        """() => Math.max(...[...document.querySelectorAll('[data-testid="stApp"] *')].flatMap(one => {
            const style = getComputedStyle(one);
            return [...style.transitionDuration.split(','), ...style.animationDuration.split(',')]
                .map(words => parseFloat(words) * (words.trim().endsWith('ms') ? 1e-3 : 1));
        }))"""
    )
    assert longest <= 1e-4
