"""The weight-on-bit page in a browser: it plays, pauses, scrubs, compares, and an exercise can be finished."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest

import harness
from heave.files.rigs import demo_plan
from heave.teaching.exercises import exercises_for

pytestmark = pytest.mark.browser

Opened = Callable[..., Any]
PATH = "/weight-on-bit"


def pick(page: Any, label: str, option: str) -> None:
    """Choose `option` in the select box called `label`."""
    harness.box(page, label).click()
    with harness.rerun(page):
        page.get_by_role("option", name=option, exact=True).click()


def film(page: Any) -> Any:
    """The chart that moves."""
    return page.locator(".js-plotly-plot", has=page.locator(".updatemenu-button"))


def press(page: Any, word: str) -> None:
    film(page).locator(".updatemenu-button", has_text=word).click()


def moment(page: Any) -> float:
    """Where the film stands [s], as its slider says."""
    text = film(page).locator(".slider-label").first.text_content() or ""
    found = re.search(r"at ([\d.]+) s", text)
    assert found, text
    return float(found[1])


def outlines(page: Any) -> list[str]:
    """The paths of everything drawn in the film, in order."""
    found: list[str] = film(page).evaluate(
        "plot => [...plot.querySelectorAll('.scatterlayer .js-line')].map(line => line.getAttribute('d') || '')"
    )
    return found


def cursor_and_traces(page: Any) -> int:
    """How many lines of the film are drawn with something in them."""
    return sum(len(path) > 4 for path in outlines(page))


def test_it_plays_and_pauses(opened: Opened) -> None:
    page = opened(PATH)
    start, before = moment(page), outlines(page)
    press(page, "▶ Play")
    page.wait_for_function(
        "() => [...document.querySelectorAll('.slider-label')].some(e => /at/.test(e.textContent))"
    )
    harness.wait_until(page, lambda: moment(page) > start + 0.5, "the film to play")
    press(page, "Pause")
    page.wait_for_timeout(300)
    stopped, after = moment(page), outlines(page)
    assert stopped > start + 0.5
    assert sum(one != other for one, other in zip(before, after, strict=True)) >= 5  # rig, piston, cursors
    assert all(len(path) > 4 for path in after)  # nothing is lost on the way
    page.wait_for_timeout(700)
    assert moment(page) == stopped


def test_it_plays_faster(opened: Opened) -> None:
    page = opened(PATH)
    start = moment(page)
    press(page, "×4")
    page.wait_for_timeout(2000)
    press(page, "Pause")
    page.wait_for_timeout(300)
    assert moment(page) > start + 2.5


def test_it_scrubs_and_the_drawing_follows(opened: Opened) -> None:
    page = opened(PATH)
    film(page).scroll_into_view_if_needed()
    rail = film(page).locator(".slider-rail-touch-rect").bounding_box()
    seen = []
    for share in (0.25, 0.75, 0.25):
        page.mouse.click(rail["x"] + share * rail["width"], rail["y"] + rail["height"] / 2)
        page.wait_for_timeout(500)
        seen.append((moment(page), outlines(page)))
    assert seen[1][0] > seen[0][0] + 10
    assert seen[0] == seen[2]  # the same moment, the same picture
    assert seen[0][1] != seen[1][1]


def test_it_compares_two_set_ups(page: Any, address: str) -> None:
    harness.open_page(page, address + PATH)
    alone = cursor_and_traces(page)
    pick(page, "Show", "As planned against no compensator")
    assert cursor_and_traces(page) > alone
    text = page.get_by_test_id("stMain").inner_text()
    assert "A: as planned" in text
    assert "B: no compensator" in text
    dashes = film(page).evaluate(
        "plot => [...plot.querySelectorAll('.scatterlayer .js-line')].map(line => line.style.strokeDasharray)"
    )
    assert any(dash and dash != "none" for dash in dashes)  # B can be told from A without colour
    names = film(page).locator(".legendtext").all_text_contents()
    assert [name[0] for name in names] == ["A", "B"]
    press(page, "▶ Play")
    page.wait_for_timeout(1200)
    press(page, "Pause")
    harness.no_sideways_overflow(page)


def test_an_exercise_is_finished(page: Any, address: str) -> None:
    first = exercises_for(demo_plan())[0]
    harness.open_page(page, address + PATH)
    with harness.rerun(page):
        page.get_by_role("tab", name="Exercises").click()
    harness.set_number(page, "Your answer (kN)", 1)
    assert "too small" in page.get_by_test_id("stMain").inner_text()
    with harness.rerun(page):
        harness.box(page, "Your answer (kN)").fill(f"{first.answer / 1e3:.1f}")
        page.get_by_role("button", name="Check").click()
    page.get_by_text("Right: ").first.wait_for()
    text = page.get_by_test_id("stMain").inner_text()
    assert "Right: " in text
    assert f"1 of {len(exercises_for(demo_plan()))} answered rightly" in text
    with harness.rerun(page):
        page.get_by_role("button", name="Next").click()
    assert exercises_for(demo_plan())[1].title in page.get_by_test_id("stMain").inner_text()


def test_a_long_run_can_be_stopped_and_taken_up_again(page: Any, address: str) -> None:
    # Fifty seeds of three hours: long enough that no machine is done before the button is pressed.
    harness.open_page(page, address + PATH)
    page.get_by_text("Many seeds against the prediction").click()
    harness.set_number(page, "Seeds", 50)
    harness.set_number(page, "Time of each, min", 180)
    page.get_by_role("button", name="Run the seeds").click()
    with harness.rerun(page):
        page.get_by_test_id("stTabs").get_by_role("button", name="Stop").click()
    main = page.get_by_test_id("stMain")
    assert "Stopped; nothing was kept." in main.inner_text()
    page.get_by_role("button", name="Run it").click()
    with harness.rerun(page):
        page.get_by_test_id("stTabs").get_by_role("button", name="Stop").click()
    harness.set_number(page, "Seeds", 2)
    assert "Stopped" not in main.inner_text()
    with harness.rerun(page):
        page.get_by_role("button", name="Run the seeds").click()
    assert "Of 2 seeds" in main.inner_text()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_it_fits_a_telephone(context: Any, address: str, scheme: str) -> None:
    with harness.open_view(context, width=390, height=844, scheme=scheme) as page:
        harness.open_page(page, address + PATH)
        harness.no_sideways_overflow(page)
        for name in ("Exercises", "Measured heave", "Watch"):
            with harness.rerun(page):
                page.get_by_role("tab", name=name).click()
            harness.no_sideways_overflow(page)
        pick(page, "Show", "3000 m against 8000 m of string")
        harness.no_sideways_overflow(page)
        press(page, "▶ Play")
        page.wait_for_timeout(1000)
        press(page, "Pause")
