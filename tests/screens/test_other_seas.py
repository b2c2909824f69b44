"""What is asked of other seas is in the plan, and a pick of it computes nothing again that does not rest on it."""

from __future__ import annotations

import sys
import threading
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from page_words import words_of
from streamlit.testing.v1 import AppTest

import heave
from heave.files.link import plan_to_link
from heave.files.rigs import demo_plan
from heave.judging.limit_curves import growth_asked, growths
from heave.planning import OtherSeas, Plan, Record, Study
from heave.screens.check import proofs
from heave.screens.check.verdict import lowered
from heave.screens.climate import store as climate
from heave.screens.climate import view
from heave.screens.pages import PAGES
from heave.screens.weather import store
from heave.screens.weight_on_bit import runs
from heave.studies.climate import operability
from heave.studies.climate_seas import seas_of_scatter
from heave.studies.monte_carlo import monte_carlo
from heave.weather import Forecast, hindcast_windows

APP = Path(__file__).resolve().parents[2] / "app.py"
PICKED = OtherSeas("head", "all round", "one alone", "second")
TITLED = Record(well="Well 7", revision="B", note="Read on the bridge.")
WRITES_THE_PLAN = {
    *("heave.screens.memory._packed", "heave.screens.opening._link", "heave.screens.paper._hashed"),
    *("heave.screens.calculation.view._shown", "heave.screens.limits.view._text"),
}
"""Caches of what has the plan's own text in it, or the hash of that."""
PUTS_THE_PLAN_IN = {"heave.screens.state.assessed"}
"""Keeps an assessment with the plan that it was asked of; what was worked is kept beside it."""
CHANGED = "plan has changed since"


def caches() -> Iterator[tuple[str, Any]]:
    """Every cache in use of the planner's modules."""
    for name, module in sorted(sys.modules.items()):
        if name.startswith("heave"):
            found = (one for one in vars(module).items() if hasattr(one[1], "cache_info"))
            yield from ((f"{name}.{own}", cache) for own, cache in found)


def made_anew(app: AppTest, plan: Plan) -> set[str]:
    """Caches that had to make something when the page was drawn for a plan."""
    app.default_timeout = 120
    before = {name: cache.cache_info().misses for name, cache in caches()}
    held = proofs._PROOFS.size, runs.KEPT.size
    app.session_state["heave:plan"] = plan
    app.run()
    assert not app.exception
    if (proofs._PROOFS.size, runs.KEPT.size) != held:
        return {"simulated"}
    return {name for name, cache in caches() if cache.cache_info().misses != before.get(name, 0)}


def opened(app: AppTest, page: str, plan: Plan) -> None:
    app.session_state["heave:plan"] = plan
    app.switch_page(f"heave/screens/{page}/page.py").run()
    assert not app.exception
    for thread in threading.enumerate():  # what is imported beside the first page reads files into caches
        if thread.name == "warm-up":
            thread.join(timeout=300.0)


def asking(plan: Plan, **asked: str) -> Plan:
    return plan.changed(other_seas=replace(plan.other_seas, **asked))


@pytest.mark.parametrize("page", [one.folder for one in PAGES if one.folder not in ("climate", "limits")])
def test_a_pick_computes_nothing_again_on_any_other_page(app: AppTest, page: str) -> None:
    plan = demo_plan().changed(name=f"Standing on {page}")
    opened(app, page, plan)
    allowed = WRITES_THE_PLAN | PUTS_THE_PLAN_IN
    assert made_anew(app, plan.changed(other_seas=PICKED)) <= allowed
    if page != "compare":  # which shows in what the plans differ, titles too
        assert made_anew(app, plan.changed(record=TITLED)) <= allowed
    assert made_anew(app, plan.changed(wob=plan.wob + 1e3)) - allowed


def test_a_pick_for_a_climate_leaves_limits_and_a_pick_of_growth_does_not(app: AppTest) -> None:
    plan = demo_plan().changed(name="Limits that stand")
    opened(app, "limits", plan)
    allowed = WRITES_THE_PLAN | PUTS_THE_PLAN_IN
    assert made_anew(app, asking(plan, headings="best", bearing="all round")) <= allowed
    other = plan.changed(study=Study(samples=500), weather=replace(plan.weather, turn_rate=11.0))
    maps = {f"heave.screens.limits.kept_limits.{name}" for name in ("around", "over_period", "card", "whole")}
    assert not made_anew(app, other) & maps
    anew = made_anew(app, asking(plan, growth="all together"))
    assert anew >= maps - {"heave.screens.limits.kept_limits.whole"}
    assert made_anew(app, plan) <= allowed


def test_a_pick_of_growth_leaves_a_climate_and_a_pick_of_headings_does_not(app: AppTest) -> None:
    plan = demo_plan().changed(name="A climate that stands")
    opened(app, "climate", plan)
    allowed = WRITES_THE_PLAN | PUTS_THE_PLAN_IN
    assert made_anew(app, asking(plan, growth="all together")) <= allowed
    for picked in ({"headings": "head"}, {"bearing": "all round"}):
        assert "heave.screens.climate.store._of_scatter" in made_anew(app, asking(plan, **picked))
    assert made_anew(app, plan) <= allowed


def test_windows_of_a_forecast_stand(app: AppTest, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Plan] = []

    def counted(plan: Plan, forecast: Any) -> Any:
        asked.append(plan)
        return heave.weather_windows(plan, forecast)

    monkeypatch.setattr(store, "weather_windows", counted)
    plan = demo_plan().changed(name="Windows that stand")
    opened(app, "weather", plan)
    assert len(asked) == 1
    made_anew(app, plan.changed(other_seas=PICKED, study=Study(samples=500)))
    assert len(asked) == 1
    made_anew(app, plan.changed(heading=200.0))
    assert len(asked) == 2


def outdated_by_the_job_alone(app: AppTest, plan: Plan) -> None:
    """A pick for other seas leaves what was counted standing, and so does a title; another weight on bit says that
    the plan has changed."""
    for same in ({"other_seas": PICKED}, {"record": TITLED}):
        made_anew(app, plan.changed(**same))
        assert CHANGED not in words_of(app).lower()
    made_anew(app, plan.changed(wob=plan.wob + 1e3))
    assert CHANGED in words_of(app).lower()


def test_a_hindcast_that_was_counted_stands(app: AppTest) -> None:
    plan = asking(demo_plan(), growth="all together")
    record = store.sample().forecast
    assert isinstance(record, Forecast)
    app.session_state["heave:kept:hindcast:result"] = ("years.csv", hindcast_windows(plan, record))
    app.session_state["heave:tab:weather"] = "Hindcast, years of seas"
    opened(app, "weather", plan)
    assert "Can start" in words_of(app)
    made_anew(app, plan.changed(study=Study(samples=500)))
    assert CHANGED not in words_of(app).lower()
    outdated_by_the_job_alone(app, plan)


def test_plans_that_were_drawn_stand(app: AppTest) -> None:
    plan = asking(demo_plan(), growth="all together").changed(study=Study(samples=100, seas_per_draw=100))
    app.session_state["heave:kept:study:result"] = monte_carlo(plan)
    opened(app, "sensitivity", plan)
    assert "100 plans drawn" in words_of(app)
    made_anew(app, plan.changed(study=replace(plan.study, seed=2)))
    assert CHANGED in words_of(app).lower()
    outdated_by_the_job_alone(app, plan)


def test_what_was_simulated_of_a_plan_stands(app: AppTest) -> None:
    plan = demo_plan().changed(name="Simulated and standing")
    opened(app, "check", plan)
    found = proofs.kept(plan)
    assert found is not None
    assert proofs.kept(plan.changed(other_seas=PICKED)) is found
    assert proofs.kept(plan.changed(record=TITLED, study=Study(samples=500))) is found
    assert proofs.kept(plan.changed(wob=plan.wob + 1e3)) is None


def test_a_change_that_helps_is_taken_with_the_picks(app: AppTest) -> None:
    plan = demo_plan().changed(other_seas=PICKED, record=TITLED, study=Study(samples=500))
    opened(app, "check", plan)
    offered = [item for item in app.button if (item.key or "").startswith("heave:remedy:")]
    assert offered
    offered[0].click().run()
    taken: Plan = app.session_state["heave:plan"]
    assert taken != plan
    assert (taken.other_seas, taken.record, taken.study) == (PICKED, TITLED, plan.study)


def test_plans_side_by_side_show_what_each_asks(app: AppTest) -> None:
    from heave.screens.compare.columns import Item

    app.session_state["heave:kept:compared"] = (Item("as asked", demo_plan().changed(other_seas=PICKED)),)
    opened(app, "compare", demo_plan())
    text = words_of(app)
    for words in ("Headings over a climate", "all round", "one alone", "second"):
        assert words in text


def test_a_plan_opened_by_a_link_is_asked_as_it_says() -> None:
    plan = demo_plan().changed(name="By a link", other_seas=PICKED)
    app = AppTest.from_file(str(APP), default_timeout=300)
    app.query_params["plan"] = plan_to_link(plan)
    app.run()
    assert app.session_state["heave:plan"] == plan
    app.switch_page("heave/screens/climate/page.py").run()
    assert not app.exception
    assert app.selectbox(key="heave:climate:rule").value == "head"
    assert app.selectbox(key="heave:climate:bearing").value == "all round"
    assert "no drilling site" in words_of(app)  # the file that was looked at is not in the link
    found = operability(plan, seas_of_scatter(plan, climate.example()))
    assert found.rule == "head"
    assert f"## {view.headline(found.steps[0])}" in words_of(app)
    app.switch_page("heave/screens/limits/page.py").run()
    assert not app.exception
    growth = growth_asked(plan)
    assert app.selectbox(key="heave:limits:growth").value == growth.words
    alone = plan.changed(sea=growth.sea(plan.sea))
    assert f"Hs {lowered(heave.limiting_sea(alone, system=0).hs, 'metric')}" in words_of(app)


def test_what_is_picked_on_the_pages_goes_into_the_plan(app: AppTest) -> None:
    opened(app, "climate", demo_plan())
    app.default_timeout = 120
    app.selectbox(key="heave:climate:rule").set_value("head").run()
    app.selectbox(key="heave:climate:bearing").set_value("all round").run()
    app.switch_page("heave/screens/limits/page.py").run()
    ways = growths(demo_plan())
    app.selectbox(key="heave:limits:growth").set_value(ways[3].words).run()
    assert not app.exception
    assert app.session_state["heave:plan"] == demo_plan().changed(other_seas=PICKED)
    app.selectbox(key="heave:limits:growth").set_value(ways[-1].words).run()
    assert app.session_state["heave:plan"].other_seas.growth == "all together"


def test_the_demo_plan_takes_the_picks_back(app: AppTest) -> None:
    opened(app, "limits", demo_plan().changed(name="Another", other_seas=PICKED))
    app.button(key="heave:demo").click().run()
    assert app.session_state["heave:plan"] == demo_plan()
    assert app.selectbox(key="heave:limits:growth").value == growths(demo_plan())[0].words
