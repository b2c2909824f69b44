"""What a stranger and a returning user find: product, demo plan, first steps, the sidebar, words where one acted."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from streamlit.testing.v1 import AppTest

from heave.planning import HsLimit, Plan
from heave.screens import every_page, opening
from heave.screens.pages import ALL, PAGES, by_section

Box = Callable[[str], Any]
Words = Callable[[], str]

INPUTS = (
    *("text_input", "selectbox", "checkbox", "toggle", "button_group", "number_input", "text_area"),
    *("file_uploader", "datetime_input", "slider", "radio", "multiselect"),
)
TABS = {
    "weather": ("weather", ("Forecast", "Hindcast, years of seas")),
    "weight_on_bit": ("wob", ("Watch", "Lesson", "Exercises", "Measured heave")),
    "rig": ("rig", ("Vessel", "Compensator", "Hoisting path", "Drill string", "Measured sea")),
}
SHOWN_BY = {
    "sea": "Hs 1 (m)",
    "shape": "From 1 (°)",
    "heading": "Heading (°)",
    "load": "WOB (kN)",
    "exposure": "Risk (%)",
}
"""A box of each group of the sidebar."""


class _AllOpen(dict[str, bool]):
    """Every disclosure as somebody left it open."""

    def get(self, *_: Any) -> bool:  # type: ignore[override]
        return True


def plan_of(app: AppTest) -> Plan:
    plan: Plan = app.session_state["heave:plan"]
    return plan


def test_every_page_shows_what_it_uses_and_every_input_has_its_help(app: AppTest) -> None:
    app.session_state["heave:opened"], app.default_timeout = _AllOpen(), 120.0  # with all of it open at once
    helpless: set[str] = set()
    for page in PAGES:
        name, tabs = TABS.get(page.folder, ("", ("",)))
        for tab in tabs:
            if tab:
                app.session_state[f"heave:tab:{name}"] = tab
            app.switch_page(str(page.script)).run()
            assert not app.exception, page.title
            drawn = [widget for kind in INPUTS for widget in app.get(kind)]
            assert drawn
            helpless |= {f"{page.title}: {one.label}" for one in drawn if not one.proto.help}
        beside = {item.label for item in app.sidebar.text_input}
        for group, label in SHOWN_BY.items():
            if group != "shape" or "sea" not in page.asks:
                assert (label in beside) == (group in page.asks), (page.title, label)
        assert bool(page.instead) == (bool(page.asks) and "sea" not in page.asks and page.folder != "rig")
        assert any(every_page.NAME in item.value for item in app.main.markdown), page.title
    assert not helpless


def test_the_navigation_has_every_page_once_and_the_first_in_sight() -> None:
    listed = [page for pages in by_section().values() for page in pages]
    assert sorted(page.address for page in listed) == sorted({page.address for page in PAGES})
    assert listed[0] is PAGES[0]
    assert PAGES[0].section == ""
    assert all(page.script.is_file() for page in PAGES)
    assert PAGES[0].asks == ALL


def test_the_demo_plan_is_called_that_beside_its_verdict(app: AppTest, box: Box) -> None:
    def large() -> str:
        return next(item.value for item in app.main.markdown if item.value.startswith("## "))

    assert "**Demo plan**, invented rig" in large()
    box("Plan name").set_value("Well 7").run()
    assert "Demo plan" not in large()
    assert "Invented rig" in large()
    plan = plan_of(app)
    own = replace(plan.vessel, name="Ours"), replace(plan.compensator, name="Ours")
    app.session_state["heave:plan"] = plan.changed(vessel=own[0], compensator=own[1])
    app.run()
    assert "nvented" not in large()


def test_the_first_steps_are_done_and_come_back(app: AppTest, words: Words) -> None:
    assert opening.STEPS in words()
    app.button(key="heave:start:done").click().run()
    assert opening.STEPS not in words()
    assert app.session_state["heave:kept:first steps"] == "done"
    app.button(key="heave:start:show").click().run()
    assert opening.STEPS in words()
    app.switch_page("heave/screens/method/page.py").run()
    assert opening.STEPS not in words()


def test_a_fold_says_what_is_in_it(app: AppTest) -> None:
    def folds() -> list[str]:
        return [item.label.replace("\\", "").replace("\u00a0", " ") for item in app.sidebar.expander]

    assert folds()[0] == "Plan: Demo plan"
    assert any(label.startswith("Shape: 2 systems, Hs 3.1 m") for label in folds())
    assert any("Tide ± 0.30 m, depth 1 200 m" in label.replace("\u202f", " ") for label in folds())
    plan = plan_of(app)
    app.session_state["heave:plan"] = plan.changed(
        sea=replace(plan.sea, systems=plan.sea.systems[:1]),
        operation=replace(plan.operation, hs_limits=(HsLimit(hs=2.0),)),
        ranges=type(plan.ranges)(**dict.fromkeys(vars(plan.ranges), 0.0)),
    )
    before = next(label for label in folds() if label.startswith("Rig's limits"))
    app.run()
    assert any("1 system, Hs 2.8 m" in label for label in folds())
    assert "What is not known: no range" in folds()
    assert before not in folds()


@pytest.mark.parametrize("kind", ["drilling", "tripping"])
def test_the_sidebar_asks_in_the_order_of_the_work(app: AppTest, kind: str) -> None:
    app.selectbox(key="heave:pick:operation").set_value(kind).run()
    labels = [item.label for item in app.sidebar.text_input]
    order = ["Hs 1 (m)", "Hs 2 (m)", "Heading (°)", "Hookload (kN)", "WOB (kN)", "Exposure (h)"]
    places = [labels.index(label) for label in order]
    assert places == sorted(places)


def test_what_came_of_an_action_is_said_where_it_was_taken(app: AppTest) -> None:
    app.button(key="heave:remedy:0").click().run()
    (said,) = app.main.success
    assert said.value.startswith("Taken into the plan")
    titles = [item.value for item in app.main.subheader]
    assert "What would help" in titles
    uploader = next(item for item in app.sidebar.get("file_uploader") if item.label == "Load a plan")
    uploader.set_value(("other.json", b"nonsense", "application/json")).run()
    assert [item.value.replace("\\", "")[:10] for item in app.sidebar.error] == ["other.json"]
    assert not app.main.error
    app.run()
    assert not app.sidebar.error


def test_what_has_no_place_on_the_page_is_said_over_it(app: AppTest) -> None:
    from heave.screens.state import Message

    app.session_state["heave:messages"] = [Message("good", "Of elsewhere.", "another page")]
    app.run()
    assert [item.value for item in app.main.success] == ["Of elsewhere\\."]
