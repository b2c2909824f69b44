"""Why there is no window, and what would open one: every claim is searched again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from heave.planning import CLOSED, Campaign, Operation, OperationStep, Plan
from heave.weather import weather_windows
from heave.weather.forecast import Forecast
from heave.weather.why import openings, shortfall

HOUR = 3600.0
CALM, ROUGH = 0.8, 7.0
Maker = Callable[..., Forecast]


def step(hours: float, stops: bool = True, name: str = "A", **own: object) -> OperationStep:
    return OperationStep(Operation(duration=hours * HOUR), name, 0.0, stops, **own)  # type: ignore[arg-type]


def test_a_step_that_is_never_inside_is_named_with_its_best_hour(plan: Plan, make: Maker) -> None:
    heights = np.full(20, 6.0)
    heights[12] = 5.8
    found = weather_windows(plan, make(heights))
    short = shortfall(found)
    assert short is not None
    used = found.steps[0].reduced.governing
    assert (short.label, short.longest) == ("Drilling ahead", None)
    assert short.hour == found.forecast.times[12]
    assert short.reaches == used[12] == used.min() > 1
    assert short.check == found.steps[0].reduced.keys[found.steps[0].reduced.governed_by[12]]
    assert openings(found) == ()


def test_a_spell_that_is_too_short_is_named_with_what_ends_it(plan: Plan, make: Maker) -> None:
    """Five hours of calm, then six: 8 h of drilling fit into neither; half of the contingency away, six do."""
    forecast = make([CALM] * 6 + [ROUGH] * 3 + [CALM] * 7 + [ROUGH] * 3)
    found = weather_windows(plan, forecast, now=forecast.times[0])
    short = shortfall(found)
    assert short is not None
    assert (short.needed, short.longest, short.hour) == (8 * HOUR, 6 * HOUR, forecast.times[9])
    assert short.cause.endswith("wind sea") or short.check is not None
    (change,) = [one for one in openings(found) if one.change.startswith("contingency")]
    assert change.start == forecast.times[9]
    halved = Campaign((OperationStep(plan.operation, contingency=2 * HOUR),))
    assert weather_windows(plan, forecast, halved).windows[0].start == change.start


def test_what_is_past_does_not_count(plan: Plan, make: Maker) -> None:
    forecast = make([CALM] * 10 + [ROUGH] * 3 + [CALM] * 4 + [ROUGH])
    found = weather_windows(plan, forecast, now=forecast.times[5])
    short = shortfall(found)
    assert short is not None
    assert short.longest == 4 * HOUR
    assert short.hour == forecast.times[5]


def test_a_longer_wait_or_a_step_that_can_be_stopped_opens_one(plan: Plan, make: Maker) -> None:
    forecast = make([CALM] * 5 + [ROUGH] * 8 + [CALM] * 5)
    short_wait = Campaign((step(4), step(4, name="B")), 2 * HOUR)
    words = [one.change for one in openings(weather_windows(plan, forecast, short_wait))]
    assert words == ["waits of up to 17\u00a0h"]
    fixed = Campaign((step(4), step(4, False, "B")))
    (opened,) = openings(weather_windows(plan, forecast, fixed))
    assert (opened.change, opened.start) == ("B being a step that can be stopped", forecast.times[0])


@pytest.mark.parametrize("limit", ["wind_limit", "heave_limit"])
def test_the_rigs_own_limit_that_is_short_is_told_with_what_would_do(
    plan: Plan, make: Maker, limit: str
) -> None:
    """Just below what is told there is no window, with it there is."""
    forecast = make(np.linspace(2.0, 1.0, 12))
    sure = plan.changed(ranges=CLOSED)
    if limit == "wind_limit":
        forecast = replace(forecast, wind_speed=np.linspace(22.0, 18.0, 12))
        one = step(3, wind_limit=12.0)
    else:
        one = OperationStep(Operation(kind="tripping", duration=3 * HOUR, heave_limit=0.2), "A", 0.0)
    found = weather_windows(sure, forecast, Campaign((one,)))
    assert found.windows == ()
    (opened,) = [change for change in openings(found) if "in place of" in change.change]
    high, in_feet = (
        float(opened.change.split(" in place")[0].split(" of ")[-1].split("\u00a0")[0])
        for opened in (opened, *(one for one in openings(found, "oilfield") if "in place of" in one.change))
    )
    assert "\u00a0m" in opened.change, "a limit is told with its unit"
    assert in_feet * 0.3048 == pytest.approx(high, rel=1e-3)
    for raised, opens in ((high, True), (high * 0.98 - 0.01, False)):
        changed = (
            replace(one, wind_limit=raised)
            if limit == "wind_limit"
            else replace(one, operation=replace(one.operation, heave_limit=raised))
        )
        assert bool(weather_windows(sure, forecast, Campaign((changed,))).windows) == opens


def test_nothing_is_told_of_what_is_not_assessed(plan: Plan, make: Maker) -> None:
    coring = plan.changed(operation=Operation(kind="coring", duration=2 * HOUR))
    bare = weather_windows(coring, make([CALM] * 10))
    assert not bare.steps[0].reduced.assessed.any()
    assert openings(bare) == ()


def test_the_bow_starts_from_where_it_is(plan: Plan, make: Maker) -> None:
    """Until now the plan's own heading, that need not be a whole ten; then no faster than the vessel may turn."""
    forecast = make([3.0] * 12)
    start = plan.changed(heading=147.0)
    found = weather_windows(start, forecast, heading="best", turn_rate=20.0, now=forecast.times[3])
    assert found.heading[:4].tolist() == [147.0] * 4
    turn = np.abs(np.mod(np.diff(found.heading) + 180.0, 360.0) - 180.0)
    assert turn.max() == 20.0
    assert found.heading[-1] != 147.0
    free = weather_windows(start, forecast, heading="best", turn_rate=20.0)
    assert free.heading[0] != 147.0
