"""An hour of a forecast as a plan: assessed, it gives what the windows were found by."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

import heave
from heave.errors import InputError
from heave.planning import Campaign, OperationStep, Plan, Record, Tide, TideWater
from heave.screens.weather import store
from heave.weather import WindowResult, question, weather_windows
from heave.weather.in_hour import plan_in_hour


def searched() -> tuple[Plan, WindowResult]:
    """Two steps of the well, one with a load and a heading of its own, in a tide, on the best heading."""
    plan = heave.demo_plan()
    first = OperationStep(plan.operation, name="drill", interruptible=True, contingency=3600.0)
    second = replace(first, operation=plan.doing("tripping").operation, name="trip", bit_depth=1500.0)
    times = store.sample().forecast.times
    water = tuple(
        TideWater(str(times[0] + np.timedelta64(6 * place, "h")), 1.0 * (place % 2)) for place in range(40)
    )
    weather = plan.weather.but(campaign=Campaign((first, second)), heading="best", tide=Tide(water))
    asked = plan.changed(weather=weather)
    return asked, weather_windows(asked, store.sample().forecast)


@pytest.mark.parametrize("step", [0, 1])
@pytest.mark.parametrize("raised", [True, False])
def test_the_checks_are_those_of_the_window_hour_by_hour(step: int, raised: bool) -> None:
    plan, result = searched()
    judged = result.steps[step]
    table = judged.reduced if raised else judged.plain
    assert judged.asked.factor is not None
    assert (judged.asked.tide is not None) == (step == 0)  # the first works under the tide
    for place in range(0, result.forecast.size, 17):
        if np.isnan(table.governing[place]):  # past the last high water that is given
            with pytest.raises(InputError, match="tide: 'not known at"):
                plan_in_hour(plan, result, step, place, raised=raised)
            continue
        made = plan_in_hour(plan, result, step, place, raised=raised)
        hs = judged.design_hs[place] if raised else result.forecast.batch.hs[place]
        assert made.sea.hs == pytest.approx(float(hs), rel=1e-12)
        assert made.heading == result.bow(step)[place]
        checks = {check.key: check.utilisation for check in heave.assess(made).checks}
        for key, used in checks.items():
            assert used == pytest.approx(float(table.by_check[key][place]), rel=1e-6, nan_ok=True), key


def test_an_hour_without_a_sea_or_beyond_the_planner_is_refused() -> None:
    plan, result = searched()
    with pytest.raises(InputError, match="forecast sample"):
        plan_in_hour(plan, result, 0, result.forecast.size)
    batch = result.forecast.batch.times(np.full(result.forecast.size, np.nan))
    missing = replace(result, forecast=replace(result.forecast, batch=batch))
    with pytest.raises(InputError, match="missing at"):
        plan_in_hour(plan, missing, 0, 3)


def test_the_title_block_asks_no_other_question_of_a_forecast() -> None:
    plan = heave.demo_plan()
    named = plan.changed(record=Record(well="7 A", note="a note"))
    assert named != plan
    assert question(named) == question(plan)
