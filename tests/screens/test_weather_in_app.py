"""The weather-window page inside the app: beside the sidebar, and on the way to other pages and back."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from streamlit.testing.v1 import AppTest

from heave.files.rigs import demo_plan
from heave.judging import assess
from heave.planning import Plan
from heave.screens.weather import store
from heave.weather import weather_windows

Box = Callable[[str], Any]
Words = Callable[[], str]
PAGE = "heave/screens/weather/page.py"


@pytest.fixture
def page(app: AppTest, unfold: Callable[..., None]) -> AppTest:
    """The app on the weather-window page, the clock and the list of hours unfolded."""
    app.switch_page(PAGE).run()
    assert not app.exception
    unfold("weather:heading", "weather:hour")
    return app


def plan_of(app: AppTest) -> Plan:
    plan: Plan = app.session_state["heave:plan"]
    return plan


def test_what_moves_no_window_starts_no_search(page: AppTest, box: Box) -> None:
    """The sea of the plan and the zone of the clock: the same result answers."""
    before = store._searched.cache_info().misses
    page.switch_page("heave/screens/check/page.py").run()
    box("Hs 1 (m)").set_value("3.1").run()
    page.switch_page(PAGE).run()
    page.selectbox(key="heave:weather:zone").set_value("UTC+02:00").run()
    assert plan_of(page).sea.systems[0].hs == 3.1
    assert store._searched.cache_info().misses == before
    box("Heading (°)").set_value("147").run()
    assert store._searched.cache_info().misses == before + 1


def test_an_hour_opens_on_the_check_page(page: AppTest, words: Words) -> None:
    page.selectbox(key="heave:weather:hour").set_value(72).run()
    page.button(key="heave:weather:open").click().run()
    assert not page.exception
    sample = store.sample().forecast
    plan = plan_of(page)
    assert plan.sea.hs == pytest.approx(float(sample.batch.hs[72]))  # type: ignore[union-attr]
    assert plan.sea.depth == demo_plan().sea.depth
    assert "is in the plan now, as forecast" in words()
    found = weather_windows(demo_plan(), sample)
    governing = assess(plan).governing
    assert governing is not None
    assert governing.utilisation == pytest.approx(float(found.steps[0].plain.governing[72]), rel=1e-6)
    page.switch_page("heave/screens/check/page.py").run()
    page.button(key="heave:undo").click().run()
    assert not page.exception
    assert plan_of(page) == demo_plan()


def test_other_units_keep_every_number(page: AppTest, words: Words) -> None:
    before = page.table[0].value.to_dict()
    page.segmented_control(key="heave:pick:units").set_value("oilfield").run()
    assert not page.exception
    assert page.table[0].value.to_dict() == before


def test_the_method_page_has_the_rules_and_the_factor(app: AppTest, words: Words) -> None:
    app.switch_page("heave/screens/method/page.py").run()
    assert not app.exception
    assert "Weather windows" in words()
    assert "0.65 | 0.76 | 0.79 | 0.80" in words()
    assert "no row is built in for more than 24 h" in words()


def test_a_forecast_stays_in_use_over_other_pages(page: AppTest, words: Words) -> None:
    data = (
        b"time_utc,hs_m,tp_s,direction_from_deg\n2026-03-01T00:00Z,0.5,12,220\n2026-03-01T01:00Z,0.5,12,220\n"
    )
    page.session_state["heave:opened"]["weather:forecast"] = True
    page.session_state["heave:open:weather:forecast"] = True
    page.run()
    page.file_uploader[0].set_value([("own.csv", data, "text/csv")]).run()
    page.switch_page("heave/screens/check/page.py").run()
    page.switch_page(PAGE).run()
    assert "Using **own.csv**" in words()
