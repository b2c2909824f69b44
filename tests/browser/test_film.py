"""The film in Chromium: what is drawn stands where the run has it, hands and keys move it, nothing is left behind."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import film_page
import numpy as np
import pytest
import rest

from heave.screens.figures.sides import Side
from heave.simulation.scenario import Happening, Scenario

pytestmark = pytest.mark.browser

HEIGHT = 620.0
"""Of the picture at a desktop's width [px]."""

DRAWN = """() => {
    Object.assign(window, { instants: [], clock: [] });
    let now = film.filmDrawn.time;
    Object.defineProperty(film.filmDrawn, 'time', { get: () => now, set: time => {
        now = time; instants.push(time); clock.push(performance.now());
    } });
}"""
"""Keeps every instant that is drawn from now on, and when it was [ms]; the first is that of the button."""

INSTANTS = np.linspace(0.3, 59.7, 37)
"""Instants looked at [s]: more than half of them between two samples."""

# What the picture states of its parts [px]: from the head to the crown, of block, of the end of a cylinder, of the
# shortest rod, of the hook, and so on down to the rock.
HEAD, CROWN, REEVE, BLOCK, CAP, EYE, HOOK, CLEAR, FLOOR = 58, 22, 30, 32, 15, 20, 40, 12, 8
STRING, COLLARS, BIT, ROCK = 78, 48, 16, 54


class Traces:
    """The run of a side on the instants of the film."""

    def __init__(self, side: Side) -> None:
        result = side.result
        self.side, self.time = side, result.time
        self.heave, self.block, self.hook = result.heave, result.block, result.hook
        self.stroke = np.zeros_like(result.stroke) if side.variant.unit == "locked" else result.stroke
        drilled = result.plan.offsets.penetration_rate * result.time
        self.above_rock = result.bit + drilled

    def at(self, name: str, time: float) -> float:
        return float(np.interp(time, self.time, getattr(self, name)))

    def window(self) -> tuple[float, float]:
        """The stretch of the stroke that is drawn [m]: what is used and a quarter of a metre, or to a near end."""
        stroke = self.side.variant.plan.compensator.stroke
        assert stroke is not None
        low, high = float(self.stroke.min()), float(self.stroke.max())
        return (
            low - 0.25 if low > 0.6 - stroke / 2 else -stroke / 2,
            high + 0.25 if high < stroke / 2 - 0.6 else stroke / 2,
        )


def scale_of(kind: str, run: Traces) -> float:
    """Pixels a metre at which the most that moves in the film just fits into the height of the picture."""
    lift = max(run.above_rock.max(), 0.0)
    below = max((run.heave - run.hook).max(), 0.0) + max((-run.heave).max(), 0.0) + lift
    fixed = HEAD + CROWN + HOOK + CLEAR + FLOOR + STRING + COLLARS + BIT + ROCK
    if kind in ("drawworks", "none"):
        moving = max(run.heave.max(), 0.0) + max((run.block - run.heave).max(), 0.0)
        return float((HEIGHT - fixed - REEVE - BLOCK - EYE) / (moving + below))
    low, high = run.window()
    if kind == "under the block":
        moving = max(run.heave.max(), 0.0) + max((run.block - run.heave).max(), 0.0) - low + (high - low)
        return float((HEIGHT - fixed - REEVE - BLOCK - 2 * CAP - EYE) / (moving + below))
    moving = max((run.heave - run.stroke).max(), 0.0) + low + 2 * (high - low)
    moving += max((run.hook - run.heave).max(), 0.0)
    return float((HEIGHT - fixed - (EYE + 2 * CAP + 8 + BLOCK + EYE)) / (moving + below))


def drawn(page: Any, time: float) -> Any:
    return page.evaluate("time => { film.filmPlayer.seek(time); return film.filmDrawn.picture }", time)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("film")


@pytest.fixture
def two(browser: Any, folder: Path) -> Iterator[Any]:
    """A film of two set-ups."""
    scenario = Scenario(duration=30.0)
    sides = film_page.sides_of(
        [film_page.variant_of("under the block"), film_page.variant_of("none")], scenario
    )
    with film_page.film_opened(browser, film_page.film_sent(sides, scenario), folder) as page:
        yield page


@pytest.mark.parametrize("name", list(film_page.KINDS))
def test_parts_stand_where_the_run_has_them(browser: Any, folder: Path, name: str) -> None:
    scenario = Scenario(duration=60.0)
    sides = film_page.sides_of([film_page.variant_of(name, hs=5.0)], scenario)
    data = film_page.film_sent(sides, scenario)
    run, kind = Traces(sides[0]), data["sides"][0]["machine"]["kind"]
    scale = min(scale_of(kind, run), 120.0)
    with film_page.film_opened(browser, data, folder) as page:
        first = drawn(page, float(INSTANTS[0]))
        assert first["scale"] == pytest.approx(scale, rel=1e-3)
        for time in INSTANTS:
            now = drawn(page, float(time))
            moved = {
                part: first["A"][part] - now["A"][part] for part in ("crown", "hook", "floor", "bit", "block")
            }
            gone = {
                part: run.at(part, float(time)) - run.at(part, float(INSTANTS[0]))
                for part in ("heave", "block", "hook", "stroke", "above_rock")
            }
            carried = kind == "under the crown"
            assert moved["hook"] == pytest.approx(scale * gone["hook"], abs=0.5)
            assert moved["floor"] == pytest.approx(scale * gone["heave"], abs=0.5)
            assert moved["block"] == pytest.approx(scale * gone["hook" if carried else "block"], abs=0.5)
            rods = gone["heave"] - gone["stroke"] if carried else gone["heave"]
            assert moved["crown"] == pytest.approx(scale * rods, abs=0.5)
            assert moved["bit"] == pytest.approx(scale * now["bitTimes"] * gone["above_rock"], abs=1.0)
            assert now["hull"] - first["hull"] == pytest.approx(-now["whole"] * gone["heave"], abs=0.1)
            check_unit(kind, run, now["A"], scale, float(time))
            check_room(now["A"])


def check_unit(kind: str, run: Traces, now: dict[str, float], scale: float, time: float) -> None:
    """The piston stands in its cylinder where the stroke has it; of a drawworks the line runs lines times the block."""
    if kind in ("under the block", "under the crown"):
        inside = now["piston"] - now["cylinder"] - CAP
        assert inside == pytest.approx(scale * (run.at("stroke", time) - run.window()[0]), abs=0.5)
        # of a unit under the block the cylinder hangs on the block; under the crown the piston carries the crown
        assert kind == "under the crown" or now["cylinder"] == now["block"]
        assert kind == "under the block" or now["crown"] < now["cylinder"] < now["piston"]
    else:
        assert now["piston"] is None
    plan = run.side.variant.plan
    lines = plan.hoisting.lines if plan.hoisting is not None else getattr(plan.compensator, "lines", 8)
    paid = run.at("block", time) - run.at("heave", time)
    assert now["run"] == pytest.approx(lines * paid, abs=0.02)
    stretch = run.at("hook", time) - float(np.interp(time, run.time, run.side.result.bit))
    assert now["stretch"] == pytest.approx(stretch, abs=0.005)


def check_room(now: dict[str, float]) -> None:
    """Nothing runs into another part or out of the picture."""
    assert now["crown"] >= HEAD + CROWN - 0.5
    assert now["block"] - BLOCK >= now["crown"] + min(REEVE, 8) - 0.5
    assert now["hook"] + HOOK + CLEAR <= now["floor"] + 0.5
    assert now["floor"] + FLOOR <= now["bit"] - BIT - COLLARS
    assert now["bit"] <= HEIGHT - ROCK + 9


def test_lift_off_has_its_own_magnification_and_a_landing_is_struck(browser: Any, folder: Path) -> None:
    scenario = Scenario(duration=60.0)
    sides = film_page.sides_of([film_page.variant_of("under the block", hs=11.0, wob=60e3)], scenario)
    off = sides[0].result.lift_off
    highest = int(np.argmax(np.where(off, Traces(sides[0]).above_rock, -1.0)))
    assert off[highest]
    data = film_page.film_sent(sides, scenario)
    with film_page.film_opened(browser, data, folder) as page:
        now = drawn(page, float(sides[0].result.time[highest]))
        above = Traces(sides[0]).above_rock
        lift = above[highest] - above[~off].max()  # the rock springs back when weight comes off it
        assert now["bitTimes"] > 1
        assert now["A"]["bed"] - now["A"]["bit"] == pytest.approx(
            now["scale"] * now["bitTimes"] * lift, abs=1.0
        )
        assert now["A"]["bed"] - now["A"]["bit"] > 10, "a lift-off is plain to see"


def test_two_set_ups_share_a_scale_and_can_be_laid_over_each_other(two: Any) -> None:
    apart = drawn(two, 12.0)
    assert {"A", "B"} <= apart.keys()
    assert apart["A"]["floor"] == pytest.approx(apart["B"]["floor"], abs=0.5)
    two.get_by_role("button", name="Lay over").click()
    over = drawn(two, 12.0)
    assert over["A"]["hook"] == pytest.approx(apart["A"]["hook"])
    assert over["B"]["hook"] == pytest.approx(apart["B"]["hook"])
    assert two.get_by_role("button", name="Lay over").get_attribute("aria-pressed") == "true"


def test_keyboard_plays_steps_and_changes_speed(two: Any) -> None:
    two.keyboard.press("Tab")
    assert two.evaluate("document.activeElement.shadowRoot.activeElement.className") == "film-play"
    two.keyboard.press("Space")
    two.wait_for_function("film.filmPlayer.time > 10.3")
    assert two.get_by_role("button", name="Pause").is_visible()
    assert two.evaluate("told.length") == 0, "a film that plays tells the page nothing"
    two.keyboard.press("Space")
    time = two.evaluate("film.filmPlayer.time")
    for key, step in (("ArrowRight", 0.1), ("ArrowLeft", -0.1), ("Shift+ArrowRight", 1.0)):
        two.keyboard.press(key)
        time += step
        assert two.evaluate("film.filmPlayer.time") == pytest.approx(time, abs=1e-6)
    two.wait_for_function("time => told.length > 0 && Math.abs(told.at(-1)[1] - time) < 1e-6", arg=time)
    two.keyboard.press("+")
    assert two.get_by_label("Speed").input_value() == "2"
    two.keyboard.press("Home")
    assert two.evaluate("film.filmPlayer.time") == two.evaluate("data.start")
    two.keyboard.press("End")
    assert two.evaluate("film.filmPlayer.time") == pytest.approx(30.0, abs=0.03)
    names = []
    for _ in range(6):
        two.keyboard.press("Tab")
        names.append(two.evaluate("document.activeElement.shadowRoot.activeElement.className"))
    assert names == ["film-back", "film-on", "film-slider", "film-speed", "film-laid", "film-span"]


def test_hand_scrubs_along_the_traces_and_the_slider(two: Any) -> None:
    two.locator(".film-traces").scroll_into_view_if_needed()
    box = two.locator(".film-traces").bounding_box()
    plot = two.evaluate("film.filmDrawn.traces.plot")
    middle = box["x"] + (plot["left"] + plot["right"]) / 2
    two.mouse.move(middle, box["y"] + 150)
    two.mouse.down()
    two.mouse.move(middle + 5, box["y"] + 150)
    two.mouse.move(middle, box["y"] + 150)
    assert two.evaluate("told.length") == 0
    two.mouse.up()
    assert two.evaluate("film.filmPlayer.time") == pytest.approx(15.0, abs=0.3)
    two.wait_for_function("told.length === 1")
    two.get_by_label("Time in the run").fill("7.5")
    assert two.evaluate("film.filmDrawn.time") == pytest.approx(7.5, abs=0.05)


def test_pages_of_the_traces_hold_what_the_film_opens_for(browser: Any, folder: Path) -> None:
    scenario = Scenario(duration=120.0)
    sides = film_page.sides_of([film_page.variant_of("drawworks")], scenario)
    data = film_page.film_sent(sides, scenario, opens=58.0)
    with film_page.film_opened(browser, data, folder) as page:
        for time, begins in ((58.0, 30.0), (89.0, 30.0), (91.0, 60.0), (10.0, 0.0)):
            drawn(page, time)
            window = page.evaluate("film.filmDrawn.traces.window")
            assert [window["from"], window["to"]] == pytest.approx([begins, begins + 60.0], abs=0.05)


def test_still_every_second_where_motion_is_not_wanted(browser: Any, folder: Path) -> None:
    scenario = Scenario(duration=30.0)
    sides = film_page.sides_of([film_page.variant_of("drawworks")], scenario)
    data = film_page.film_sent(sides, scenario)
    with film_page.film_opened(browser, data, folder, reduced_motion="reduce") as page:
        page.evaluate(DRAWN)
        page.get_by_role("button", name="Play").click()
        page.wait_for_function("instants.length > 4")
        instants, clock = page.evaluate("[instants, clock]")
        assert np.diff(instants[1:]) == pytest.approx(np.ones(len(instants) - 2), abs=1e-6)
        assert np.diff(clock[1:]).min() > 980, "a timer may be late and never early, but for its rounding"


def test_nothing_runs_on_after_the_film_has_left_or_is_hidden(two: Any) -> None:
    two.get_by_role("button", name="Play").click()
    two.wait_for_function("film.filmPlayer.time > 10.2")
    two.evaluate(
        "Object.defineProperty(document, 'hidden', { value: true, configurable: true });"
        "document.dispatchEvent(new Event('visibilitychange'))"
    )
    assert two.evaluate("film.filmPlayer.running()") is False
    two.evaluate("delete document.hidden; document.dispatchEvent(new Event('visibilitychange'))")
    assert two.evaluate("film.filmPlayer.running()") is True
    two.evaluate("leave()")
    assert two.evaluate("film.filmPlayer.running()") is False
    still = two.evaluate("film.filmDrawn.time")
    rest.drawn(two)
    assert two.evaluate("film.filmDrawn.time") == still
    two.keyboard.press("Space")
    assert two.evaluate("film.filmPlayer.running()") is False, "keys of a film that left do nothing"


def test_another_film_takes_over_where_the_last_one_stood(two: Any) -> None:
    two.get_by_role("button", name="Play").click()
    # in one go: the film plays on meanwhile
    took = "() => { film.filmPlayer.seek(14); void mount({ ...data, key: 'another' }); return film.filmPlayer.time }"
    assert two.evaluate(took) == 14
    assert two.evaluate("film.filmPlayer.playing") is True
    two.evaluate("void mount({ ...data, key: 'elsewhere', opens: 20 })")
    assert two.evaluate("film.filmPlayer.playing") is False
    assert two.evaluate("film.filmPlayer.time") == 20
    two.evaluate("window.last = film.filmPlayer; void mount({ ...data, key: 'elsewhere', opens: 20 })")
    assert two.evaluate("film.filmPlayer === last"), "the same film is left as it is"


def test_play_stands_over_the_picture_and_nothing_is_too_wide_on_a_phone(browser: Any, folder: Path) -> None:
    scenario = Scenario(duration=30.0, happenings=(Happening("compensator locked", 12.0),))
    sides = film_page.sides_of(
        [film_page.variant_of("under the crown"), film_page.variant_of("with an active part")], scenario
    )
    data = film_page.film_sent(sides, scenario)
    with film_page.film_opened(browser, data, folder, width=390, height=844, has_touch=True) as page:
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
        play = page.get_by_role("button", name="Play")
        picture = page.locator(".film-picture").bounding_box()
        assert play.bounding_box()["y"] + play.bounding_box()["height"] <= picture["y"]
        assert picture["y"] + picture["height"] < 844
        play.tap()
        page.wait_for_function("film.filmPlayer.time > 10.2")
        page.locator(".film-picture").tap()
        assert page.evaluate("film.filmPlayer.playing") is False
