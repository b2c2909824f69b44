"""The weight-on-bit page in a browser: it plays, pauses, scrubs, compares, and an exercise can be finished."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
import rest

import harness
from heave.files.rigs import demo_plan
from heave.screens.weight_on_bit import runs
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
    """The film; its player and what it holds hang on this element."""
    return page.locator(".film")


def ask(page: Any, what: str) -> Any:
    """Something of the film, by an expression over its element `root`."""
    return film(page).evaluate(f"root => {what}")


def moment(page: Any) -> float:
    """Where the film stands [s]."""
    return float(ask(page, "root.filmPlayer.time"))


def press(page: Any, word: str) -> None:
    film(page).get_by_role("button", name=word, exact=True).click()


def told(page: Any) -> float:
    """The instant the equations are of [s]."""
    text = page.get_by_text("where the film stands").text_content() or ""
    found = re.search(r"At ([\d.]+) s", text)
    assert found, text
    return float(found[1])


def open_film(page: Any, address: str) -> None:
    """Open the page and wait until the film is drawn, and what stands over it has come to rest."""
    harness.open_page(page, address + PATH)
    harness.wait_until(page, lambda: bool(ask(page, "root.filmDrawn?.picture?.A")), "the film to be drawn")
    rest.at_rest(page)


@pytest.mark.parametrize(("width", "height"), [(1366, 768), (390, 844)])
def test_play_is_on_the_first_screen(context: Any, address: str, width: int, height: int) -> None:
    with harness.open_view(context, width=width, height=height) as page:
        open_film(page, address)
        box = film(page).get_by_role("button", name="Play", exact=True).bounding_box()
        assert 0 < box["y"] < box["y"] + box["height"] < height / 2
        picture = film(page).locator(".film-picture").bounding_box()
        assert height - picture["y"] > 0.45 * height  # and half of the screen is left for what moves


def test_it_plays_and_the_equations_follow_where_it_rests(page: Any, address: str) -> None:
    open_film(page, address)
    start = moment(page)
    page.get_by_text("Equations of this instant").click()
    assert told(page) == pytest.approx(start, abs=0.02)
    press(page, "Play")
    harness.wait_until(page, lambda: moment(page) > start + 0.7, "the film to play")
    assert told(page) == pytest.approx(start, abs=0.02)  # nothing is asked of the server while it plays
    with harness.rerun(page):
        press(page, "Pause")
    assert moment(page) > start + 0.7
    harness.wait_until(page, lambda: abs(told(page) - moment(page)) < 0.02, "the equations to follow")
    assert page.get_by_text("WOB = W_s").is_visible()  # still open


def test_it_compares_two_set_ups(page: Any, address: str) -> None:
    open_film(page, address)
    assert ask(page, "root.querySelectorAll('.film-laid[hidden]').length") == 1
    pick(page, "Show", "As planned against no compensator")
    harness.wait_until(page, lambda: "B" in ask(page, "root.filmDrawn.picture"), "both set-ups to be drawn")
    text = page.get_by_test_id("stMain").inner_text()
    assert "A: as planned" in text
    assert "B: no compensator" in text
    press(page, "Play")
    plays_on(page)
    press(page, "Pause")
    harness.no_sideways_overflow(page)


def plays_on(page: Any, seconds: float = 1.0) -> None:
    """Wait until the film has been drawn so much further, however long its frames take."""
    start = ask(page, "root.filmDrawn.time")
    harness.wait_until(page, lambda: ask(page, "root.filmDrawn.time") > start + seconds, "the film to play")


@contextmanager
def watched(page: Any) -> Iterator[list[Any]]:
    """At the end: where the film stood in every frame (top, height), and whether a bar stood over it then."""
    film(page).evaluate(
        """root => {
          const look = () => {
            const { top, height } = root.getBoundingClientRect()
            window.filmPlaces.push([top, height, document.querySelector('.st-key-over-film') !== null])
            window.filmLook = requestAnimationFrame(look)
          }
          window.filmPlaces = []
          look()
        }"""
    )
    places: list[Any] = []
    yield places
    page.evaluate("() => cancelAnimationFrame(window.filmLook)")
    places += page.evaluate("() => window.filmPlaces")


def test_a_changed_set_up_takes_over_without_a_jump(page: Any, address: str) -> None:
    """Another weight on bit while it plays: the film goes on at its time, and nothing on the page moves."""
    open_film(page, address)
    start = moment(page)
    press(page, "Play")
    harness.wait_until(page, lambda: moment(page) > start + 0.5, "the film to play")
    before = moment(page)
    with watched(page) as places:
        harness.set_number(page, "WOB (kN)", 140)
    assert len({(top, height) for top, height, _ in places}) == 1
    harness.wait_until(page, lambda: moment(page) > before, "the film to go on")
    assert ask(page, "root.classList.contains('film-playing')")
    assert "WOB 140" in page.get_by_test_id("stMain").inner_text()


@pytest.fixture
def impatient(tmp_path: Path) -> Iterator[str]:
    """Where a copy of the app is served that shows a bar for a second and more of every run, however quick it is."""
    for name in ("heave", "sea_states", ".streamlit"):
        shutil.copytree(harness.ROOT / name, tmp_path / name, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(harness.ROOT / "app.py", tmp_path)
    module = tmp_path / Path(runs.__file__).relative_to(harness.ROOT)
    text, waiting = module.read_text("utf-8"), "    with workers.until_superseded():\n"
    for old, new in (  # the module has the time imported
        (f"PATIENCE: Final = {runs.PATIENCE}\n", "PATIENCE: Final = 0.0\n"),
        (waiting, f"{waiting}        missing and (tell(0, 0.0), time.sleep(1.0))\n"),
    ):
        assert text.count(old) == 1
        text = text.replace(old, new)
    module.write_text(text, "utf-8")
    with harness.serve(tmp_path / "app.py") as served:
        yield served


def test_a_bar_over_the_film_takes_no_room(impatient: str, page: Any) -> None:
    """A run that takes its time: how far it is stands over the old film, which stays where it was."""
    open_film(page, impatient)
    pick(page, "Show", "As planned against no compensator")
    page.get_by_role("button", name="Heave and time").click()
    with watched(page) as places:
        harness.set_number(page, "Time simulated, min", 60)
    old = [place for place in places if place[2]]
    assert old
    first = places.index(old[0])
    assert {tuple(place[:2]) for place in places[:first] + old} == {tuple(places[0][:2])}


def test_an_old_film_is_seen_to_be_old(page: Any, address: str) -> None:
    """While another set-up is on its way the page calls the film stale; it fades then and says so."""
    open_film(page, address)
    looks = (
        "['.film-stage', '.film-old'].map(name => Number(getComputedStyle(root.querySelector(name)).opacity))"
    )
    assert ask(page, looks) == [1, 0]
    ask(page, "root.getRootNode().host.closest('[data-stale]').setAttribute('data-stale', 'true')")
    harness.wait_until(page, lambda: ask(page, looks) == pytest.approx([0.45, 1]), "the film to fade")
    ask(page, "root.getRootNode().host.closest('[data-stale]').setAttribute('data-stale', 'false')")
    harness.wait_until(page, lambda: ask(page, looks) == [1, 0], "the film to be itself again")


def test_an_exercise_is_finished(page: Any, address: str) -> None:
    first = exercises_for(demo_plan())[0]
    open_film(page, address)
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
    assert f"1 of {len(exercises_for(demo_plan()))} answered correctly" in text
    with harness.rerun(page):
        page.get_by_role("button", name="Next").click()
    assert exercises_for(demo_plan())[1].title in page.get_by_test_id("stMain").inner_text()


def test_a_long_run_can_be_stopped_and_taken_up_again(page: Any, address: str) -> None:
    # Fifty seeds of three hours: long enough that no machine is done before the button is pressed.
    open_film(page, address)
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
        open_film(page, address)
        harness.no_sideways_overflow(page)
        for name in ("Exercises", "Measured heave", "Watch"):
            with harness.rerun(page):
                page.get_by_role("tab", name=name).click()
            harness.no_sideways_overflow(page)
        pick(page, "Show", "3000\u00a0m against 8000\u00a0m of string")
        harness.no_sideways_overflow(page)
        press(page, "Play")
        plays_on(page)
        press(page, "Pause")
