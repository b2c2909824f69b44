"""Ton-miles and bends over a forecast, its members and years, as they are told on the pages."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hoisting_plans import unit_of_kind
from streamlit.testing.v1 import AppTest
from weather_page import Words

import heave
from heave.screens.weather import line_tiles, store, table
from heave.units import show, significant
from heave.weather import EnsembleForecast, hindcast_windows
from heave.weather.forecast import Forecast
from heave.weather.line_use import line_use

PLAN = heave.demo_plan().changed(compensator=unit_of_kind("drawworks"))
NAMES = "abcdefghijk"


def forecast() -> Forecast:
    found = store.sample().forecast
    assert isinstance(found, Forecast)
    return found


def lasting(hours: int) -> Forecast:
    """The sample with all but its first hours missing."""
    whole = forecast()
    first = whole.batch.slots[0]
    heights = first.hs.copy()
    heights[hours:] = float("nan")
    batch = replace(whole.batch, slots=(replace(first, hs=heights), *whole.batch.slots[1:]))
    return replace(whole, batch=batch)


@pytest.mark.parametrize("system", ["metric", "oilfield"])
def test_a_forecast_is_told_with_its_bends(system: str) -> None:
    found = line_use(PLAN, forecast())
    assert found is not None
    ((title, work, under),) = line_tiles.over_forecast(PLAN, forecast(), True, system)
    assert title == "Compensating all of it"
    assert work == show(found.members[0].work, "line_work", system)
    assert under.endswith(f"; {significant(found.members[0].bends)} bend cycles where worst")
    assert "of the invented sample, plan's heading" in under
    (own,) = line_tiles.over_forecast(PLAN, lasting(10), False, system)
    assert own[2].startswith("10.0\u00a0h of the forecast, plan's heading; ")
    assert "missing, not counted" in own[2]


def test_members_are_told_by_median_and_p90() -> None:
    """Members that know 1 to 10 hours, and one that knows all: 6 h are not exceeded in half of eleven, 10 in 90 %."""
    members = (*(lasting(hours) for hours in range(1, 11)), forecast())
    work, bends = line_tiles.over_forecast(PLAN, EnsembleForecast(members, tuple(NAMES)), False, "metric")
    six, ten = (line_use(PLAN, lasting(hours)) for hours in (6, 10))
    assert six is not None
    assert ten is not None
    assert work[1] == show(six.members[0].work, "line_work", "metric")
    assert f"P90 {show(ten.members[0].work, 'line_work', 'metric')}, not exceeded in nine of ten" in work[2]
    assert bends[1] == significant(six.members[0].bends)
    assert f"P90 {significant(ten.members[0].bends)}," in bends[2]
    assert "missing in one member, not counted" in work[2]


def test_years_are_told_as_a_month_and_twelve_of_them() -> None:
    found = hindcast_windows(PLAN, forecast())
    month, year = line_tiles.over_years(found.overall, "oilfield")
    assert month[1] == show(found.overall.line_work, "line_work", "oilfield")
    assert year[1] == show(12 * found.overall.line_work, "line_work", "oilfield")
    assert f"{significant(found.overall.bends)} bend cycles" in month[2]
    assert f"{significant(12 * found.overall.bends)} bend cycles" in year[2]
    row = table.months_table(found, "oilfield")[-1]
    assert row["Line work a month, ton-mile"] == significant(
        found.overall.line_work / (8896.443230521 * 1609.344)
    )
    assert row["Bend cycles a month, where worst"] == significant(found.overall.bends)


def test_other_units_have_none_of_it() -> None:
    plan = heave.demo_plan()
    found = hindcast_windows(plan, forecast())
    assert line_tiles.over_forecast(plan, forecast(), True, "metric") == []
    assert line_tiles.over_years(found.overall, "metric") == []
    assert not [name for name in table.months_table(found)[0] if "Line work" in name]


def test_the_weather_page_tells_it_of_a_forecast_and_of_years(app: AppTest, words: Words) -> None:
    app.session_state["heave:plan"] = PLAN
    app.switch_page("heave/screens/weather/page.py").run()
    assert not app.exception
    assert "Compensating all of it" in words()
    app.session_state["heave:tab:weather"] = "Hindcast, years of seas"
    app.session_state["heave:kept:hindcast:result"] = ("years.csv", hindcast_windows(PLAN, forecast()))
    app.run()
    assert not app.exception
    assert "Line work a year" in words()
    assert "bend cycles where worst" in words()
