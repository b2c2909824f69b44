"""The lesson on its page: predicted, played, explained, tried; what was done stands in the plan and on one page."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from streamlit.testing.v1 import AppTest

from heave.files.plan import plan_to_json, read_plan
from heave.files.rigs import demo_compensators, demo_plan
from heave.planning import Plan, Progress
from heave.screens.weight_on_bit import runs
from heave.screens.weight_on_bit.handout import handout
from heave.simulation.comparisons import for_the_bit
from heave.teaching import SCENES, exercises_for
from heave.teaching.scene import told

APP = Path(__file__).resolve().parents[2] / "app.py"
PAGE = "heave/screens/weight_on_bit/page.py"


@pytest.fixture(autouse=True, scope="module")
def _nothing_kept() -> Iterator[None]:
    runs.forget()
    yield
    runs.forget()


@pytest.fixture
def page() -> AppTest:
    app = AppTest.from_file(str(APP), default_timeout=300)
    app.session_state["heave:wob:minutes:metric"] = "0.5"
    app.run()
    app.switch_page(PAGE).run()
    return open_tab(app, "Lesson")


def open_tab(app: AppTest, name: str) -> AppTest:
    app.session_state["heave:tab:wob"] = name
    app.run()
    assert not app.exception
    return app


def words(app: AppTest) -> str:
    kinds = (app.markdown, app.caption, app.error, app.success, app.info, app.warning)
    return "\n".join(item.value for kind in kinds for item in kind).replace("\\", "")


def by_label(items: Any, label: str) -> Any:
    found = [item for item in items if item.label == label]
    assert len(found) == 1, f"{len(found)} are called {label}"
    return found[0]


def plan_of(app: AppTest) -> Plan:
    plan: Plan = app.session_state["heave:plan"]
    return plan


def guess(app: AppTest, place: int) -> None:
    radio = next(
        item for item in app.radio if len(item.options) > 1 and item.key.startswith("heave:wob:guess")
    )
    radio.set_value(radio.options[place] if isinstance(radio.options[place], int) else place).run()
    assert not app.exception


def test_a_scene_is_predicted_played_explained_and_tried(page: AppTest) -> None:
    found, _, _ = told(SCENES["calm"], demo_plan())
    assert "Pick what you expect" in words(page)
    assert found.why[0] not in words(page)
    guess(page, found.answer)
    assert found.why[0] not in words(page)
    assert plan_of(page).progress.scenes == ()
    by_label(page.button, "See why").click().run()
    assert f"As you expected: {found.choices[found.answer]}" in words(page)
    for text in (*found.why, found.change, found.expect, found.learned):
        assert text in words(page)
    assert plan_of(page).progress.scenes == ("calm",)
    wrong = (found.answer + 1) % len(found.choices)
    guess(page, wrong)
    assert f"Not as you expected: {found.choices[found.answer]}" in words(page)
    by_label(page.button, "Next").click().run()
    assert "## Hook load is not bit load" in words(page)
    assert "Pick what you expect" in words(page)


def test_what_was_done_stays_with_the_plan_through_changes_and_files(page: AppTest) -> None:
    page.session_state["heave:plan"] = demo_plan().changed(progress=Progress(("calm", "swell")))
    page.run()
    assert plan_of(page).progress.scenes == ("calm", "swell")
    other = next(unit for unit in demo_compensators().values() if unit.is_drawworks)
    changed = plan_of(page).changed(compensator=replace(other, lines=12))
    assert changed.progress.scenes == ("calm", "swell")
    assert read_plan(plan_to_json(changed).encode()).progress.scenes == ("calm", "swell")


def test_a_change_taken_or_undone_keeps_what_was_done(page: AppTest) -> None:
    """What would help is kept by plan, and was found before the scenes were gone through."""
    page.switch_page("heave/screens/check/page.py").run()
    done = Progress(("calm", "swell"))
    page.session_state["heave:plan"] = plan_of(page).changed(progress=done)
    page.run()
    next(item for item in page.button if item.label == "Use this").click().run()
    assert not page.exception
    assert plan_of(page) != demo_plan()
    assert plan_of(page).progress == done
    page.session_state["heave:plan"] = plan_of(page).changed(progress=done.with_scene("drum"))
    page.run()
    by_label(page.button, "Undo the change taken").click().run()
    assert plan_of(page) == demo_plan()
    assert plan_of(page).progress.scenes == ("calm", "swell", "drum")


def test_an_answer_is_marked_as_of_other_numbers_once_they_change(page: AppTest) -> None:
    open_tab(page, "Exercises")
    first, second = exercises_for(demo_plan())[:2]
    box = next(item for item in page.text_input if item.label.startswith("Your answer"))
    box.set_value(f"{first.answer / 4448.2216152605:.2f} klbf").run()
    assert "Right: " in words(page)
    kept = plan_of(page).progress.numbers_of(first.key)
    assert kept == first.numbers
    heavier = replace(demo_plan().string, mud_density=1800.0)
    page.session_state["heave:plan"] = plan_of(page).changed(string=heavier)
    page.run()
    assert not page.exception
    assert plan_of(page).progress.numbers_of(first.key) == kept
    assert exercises_for(plan_of(page))[0].numbers != kept
    bars = [item.proto.text if hasattr(item, "proto") else str(item) for item in page.get("progress")]
    assert any("0 of 20 answered correctly. For other numbers than this plan's: 1" in bar for bar in bars), (
        bars
    )
    assert second.numbers == exercises_for(demo_plan())[1].numbers


def test_an_empty_box_says_what_is_missing_and_a_wrong_unit_which_are_read(page: AppTest) -> None:
    open_tab(page, "Exercises")
    by_label(page.button, "Check").click().run()
    assert "Nothing typed yet" in words(page)
    assert "weight in mud" in words(page)
    assert "klbf" in words(page)
    box = next(item for item in page.text_input if item.label.startswith("Your answer"))
    box.set_value("12 bar").run()
    assert "Not read" in words(page)
    assert "kN" in words(page)
    assert plan_of(page).progress.answers == ()


@pytest.mark.parametrize("key", ["weight in mud", "extreme heave", "lift-off"])
def test_an_exercise_opens_the_film(page: AppTest, key: str) -> None:
    open_tab(page, "Exercises")
    page.session_state["heave:wob:exercise"] = key
    page.run()
    by_label(page.toggle, "Show it in the film").set_value(True).run()
    assert not page.exception
    assert "What is shown" in words(page)
    assert "Simulated: " in words(page)


def every_scene() -> Plan:
    return demo_plan().changed(name="A <plan>", progress=Progress((*SCENES, "of another year")))


def test_the_page_of_what_was_learned_has_each_scene_its_numbers_and_a_picture() -> None:
    page = handout(every_scene(), "oilfield")
    for key, scene in SCENES.items():
        found, _, _ = told(scene, every_scene(), "oilfield")
        learned = found.learned.replace("± ", "±\u00a0").replace("'", "&#x27;")
        assert scene.title in page
        assert learned in page, key
    assert page.count("<polyline") >= len(SCENES)
    assert page.count('role="img"') >= len(SCENES)
    assert "A &lt;plan&gt;" in page
    assert "rig&#x27;s procedures" in page
    assert "certificate" not in page.lower()
    assert not re.search(r"https?://(?!www\.w3\.org)", page)
    assert len(set(re.findall(r' id="([^"]+)"', page))) == len(re.findall(r' id="([^"]+)"', page))


def test_only_scenes_gone_through_are_on_it() -> None:
    page = handout(demo_plan().changed(progress=Progress(("locked",))))
    assert SCENES["locked"].title in page
    assert SCENES["calm"].title not in page
    assert f"1 of {len(SCENES)} scenes" in page


def light() -> Plan:
    """Running casing light, off bottom, with the weight on bit of the drilling before kept: more than hangs."""
    plan = demo_plan()
    off = replace(plan.operation, kind="tripping")
    return plan.changed(operation=off, hookload_entered=300e3, wob=320e3)


@pytest.mark.parametrize("tab", ["Watch", "Lesson", "Exercises"])
def test_a_weight_on_bit_that_is_more_than_hangs_is_not_set(page: AppTest, tab: str) -> None:
    """Off bottom the plan may keep it; put on bottom for the page, nothing would be left on the hook."""
    page.session_state["heave:plan"] = light()
    open_tab(page, tab)
    if tab != "Exercises":
        assert "more than hangs" in words(page)
    changed, _ = for_the_bit(light())
    assert changed.wob == pytest.approx(0.1 * 300e3)


def test_a_scene_that_a_plan_does_not_allow_says_why(page: AppTest) -> None:
    """The long string is weighed anew there, and does not hold a tenth of a hookload entered eleven times too large."""
    page.session_state["heave:plan"] = demo_plan().changed(hookload_entered=15e6, hookload_confirmed=15e6)
    page.session_state["heave:wob:scene"] = "deep string"
    open_tab(page, "Lesson")
    assert "This scene cannot be made of this plan." in words(page)


def test_a_scene_that_a_plan_no_longer_allows_does_not_cost_the_page_of_what_was_learned() -> None:
    plan = demo_plan().changed(hookload_entered=15e6, hookload_confirmed=15e6)
    page = handout(plan.changed(progress=Progress(("calm", "deep string"))))
    assert page.count("This scene cannot be made of this plan.") == 1
    assert "<h2>A calm</h2>" in page


def test_the_end_of_the_shortest_stroke_can_be_shown(page: AppTest) -> None:
    unit = replace(demo_plan().compensator, stroke=0.5, end_reserve=0.0)
    page.session_state["heave:plan"] = demo_plan().changed(compensator=unit)
    page.session_state["heave:wob:scene"] = "stroke-out"
    open_tab(page, "Lesson")
    assert "0.250\u00a0m of stroke is left" in " ".join(item.label.replace("\\", "") for item in page.radio)
