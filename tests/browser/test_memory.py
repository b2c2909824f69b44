"""Work survives what makes a new session of it: a reload, a second tab, a server that was restarted."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlsplit

import pytest
from keeper import kept

import harness
from heave.screens.weather.store import SAMPLE

pytestmark = pytest.mark.browser


def taken_up(page: Any) -> None:
    """Wait until the work kept by the browser is there."""
    page.get_by_text("Taken up where this browser left it").wait_for()
    harness.wait_settled(page)


def height(page: Any) -> str:
    value: str = harness.box(page, "Hs 1 (m)").input_value()
    return value


def bring_forecast(page: Any, address: str) -> None:
    harness.open_page(page, address + "/weather-window")
    page.get_by_test_id("stMain").locator("summary", has_text="Forecast: ").click()
    data = SAMPLE.read_bytes().replace(b"2026-12", b"2027-12").replace(b"2027-01", b"2028-01")
    with kept(page), harness.rerun(page):
        page.get_by_test_id("stMain").locator("input[type=file]").first.set_input_files(
            {"name": "of_my_own.csv", "mimeType": "text/csv", "buffer": data}
        )
    page.get_by_text("of_my_own").first.wait_for()


def test_a_reload_and_a_second_tab_take_up_plan_and_forecast(keeping: Any, address: str) -> None:
    page = keeping.open(address)
    assert "Taken up" not in page.get_by_test_id("stMain").inner_text()
    with kept(page):
        harness.set_number(page, "Hs 1 (m)", 1.7)
    harness.reload(page)
    taken_up(page)
    assert height(page) == "1.7"
    bring_forecast(page, address)
    for again in (page, keeping.new_page()):
        harness.open_page(again, address + "/weather-window")
        taken_up(again)
        assert "of_my_own" in again.get_by_test_id("stMain").inner_text()
        assert "2027" in again.get_by_test_id("stMain").inner_text()
        harness.go_to(again, "Compensator check")
        assert height(again) == "1.7"


def test_units_come_back_and_the_page_says_when_work_was_kept(keeping: Any, address: str) -> None:
    page = keeping.open(address)
    sidebar = page.get_by_test_id("stSidebar")
    page.get_by_text("Nothing is changed yet.").wait_for()
    with harness.rerun(page):
        sidebar.get_by_role("radio", name="Oilfield").click()
    page.get_by_text("Kept in this browser at ").wait_for()
    with kept(page):
        harness.set_number(page, "Hs 1 (ft)", 6)
    at = page.evaluate("JSON.parse(localStorage.getItem('heave:work')).at")
    harness.reload(page)
    taken_up(page)
    assert harness.box(page, "Hs 1 (ft)").input_value() == "6"
    told = page.evaluate("at => new Date(at).toTimeString().slice(0, 5)", at)
    page.get_by_text(f"Kept in this browser at {told}.").wait_for()


def picked(page: Any, label: str) -> str:
    value: str = harness.box(page, label).input_value()
    return value


def pick(page: Any, label: str, option: str) -> None:
    harness.box(page, label).click()
    with harness.rerun(page):
        page.get_by_role("option", name=option, exact=True).click()


def test_what_is_asked_of_a_climate_and_of_limits_comes_back(keeping: Any, address: str) -> None:
    page = keeping.open(address + "/climate")
    pick(page, "Headings", "Bow to the waves")
    harness.go_to(page, "Operating limits")
    with kept(page):
        pick(page, "Waves that grow", "All waves together, by one factor")
    page.get_by_text("Kept in this browser at ").wait_for()
    harness.reload(page)
    taken_up(page)
    assert picked(page, "Waves that grow") == "All waves together, by one factor"
    harness.go_to(page, "Climate")
    assert picked(page, "Headings") == "Bow to the waves"


def test_a_damaged_keep_names_the_time_of_the_plan_that_is_lost(keeping: Any, address: str) -> None:
    page = keeping.open(address)
    now = page.evaluate(
        """() => {
            const at = Date.now()
            localStorage.setItem('heave:work', JSON.stringify({ text: 'x', at }))
            return new Date(at).toTimeString().slice(0, 5)
        }"""
    )
    harness.reload(page)
    page.get_by_text(f"This is the demo plan; your plan of {now}").wait_for()
    assert height(page) == "2.8"


def test_a_session_that_was_only_looked_at_takes_nothing_away(keeping: Any, address: str) -> None:
    page = keeping.open(address)
    with kept(page):
        harness.set_number(page, "Hs 1 (m)", 1.9)
    other = keeping.open(address)
    taken_up(other)
    other.close()
    harness.reload(page)
    taken_up(page)
    assert height(page) == "1.9"


def test_a_tab_is_told_that_another_keeps_its_plan_instead(keeping: Any, address: str) -> None:
    """Of two tabs the last change is kept; each says so while it is the other's, whatever is looked at meanwhile."""
    notice = "Another tab changed its plan at "
    first = keeping.open(address)
    with kept(first):
        harness.set_number(first, "Hs 1 (m)", 1.9)
    second = keeping.open(address)
    taken_up(second)
    assert not first.get_by_text(notice).count()
    harness.set_number(second, "Hs 1 (m)", 2.1)
    first.get_by_text(notice).wait_for()
    assert not second.get_by_text(notice).count()
    harness.go_to(first, "Weather window")
    first.get_by_text(notice).wait_for()
    assert not first.get_by_text("Kept in this browser at ").count()
    harness.go_to(first, "Compensator check")
    harness.set_number(first, "Hs 1 (m)", 2.3)
    first.get_by_text("Kept in this browser at ").wait_for()
    assert not first.get_by_text(notice).count()
    second.get_by_text(notice).wait_for()
    harness.set_number(first, "Hs 1 (m)", 2.1)
    second.get_by_text("Kept in this browser at ").wait_for()
    harness.reload(second)
    taken_up(second)
    assert height(second) == "2.1"


def test_what_cannot_be_read_is_said_and_the_demo_plan_stands(keeping: Any, address: str) -> None:
    page = keeping.open(address)
    page.evaluate("localStorage.setItem('heave:work', 'of another program')")
    harness.reload(page)
    page.get_by_text("This is the demo plan; your plan of an earlier time could not be taken up.").wait_for()
    assert height(page) == "2.8"


def test_a_browser_that_keeps_nothing_is_said_at_once(keeping: Any, address: str) -> None:
    page = keeping.new_page()
    page.add_init_script(
        "Object.defineProperty(window, 'localStorage', { get() { throw new Error('blocked') } })"
    )
    harness.open_page(page, address)
    page.get_by_text("This browser keeps nothing.").wait_for()
    assert not page.evaluate("Boolean(window.onbeforeunload)")
    harness.set_number(page, "Hs 1 (m)", 1.7)
    harness.wait_until(page, lambda: page.evaluate("Boolean(window.onbeforeunload)"), "a word on leaving")
    assert "save the plan before" in page.get_by_test_id("stSidebar").inner_text()
    page.close()


def test_work_survives_a_server_that_was_restarted(browser: Any) -> None:
    """The page stays on the screen; the first entry after the cut finds a new session, which takes up the work."""
    with harness.open_context(browser, forgets=False) as (context, watch):
        with harness.serve() as address:
            page = context.new_page()
            harness.open_page(page, address)
            with kept(page):
                harness.set_number(page, "Hs 1 (m)", 1.3)
        with harness.serve(port=urlsplit(address).port or 0) as again:
            assert again == address
            harness.wait_until(
                page, lambda: not page.get_by_test_id("stConnectionStatus").count(), "the server"
            )
            harness.box(page, "Hs 2 (m)").fill("0.9")
            harness.box(page, "Hs 2 (m)").press("Enter")
            page.get_by_text("make your last entry again").wait_for(
                timeout=60_000
            )  # a new server is slow at first
            with kept(page):
                harness.set_number(page, "Hs 2 (m)", 0.8)
            assert height(page) == "1.3"
            harness.reload(page)
            taken_up(page)
            assert (height(page), harness.box(page, "Hs 2 (m)").input_value()) == ("1.3", "0.8")
        # a page whose server is gone says so in its console; nothing of its own may break
        assert not [trouble for trouble in watch.troubles if not trouble.startswith("console error")]
