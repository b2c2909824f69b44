"""Shares of members: counted by hand on members whose windows are known."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable

import numpy as np
import pytest

from heave.errors import InputError
from heave.planning import NO_FACTOR, Operation, Plan, WeatherChoices
from heave.weather import ensemble_windows, weather_windows
from heave.weather.forecast import EnsembleForecast, Forecast

HOUR = 3600.0
CALM, ROUGH = 0.8, 7.0
Maker = Callable[..., Forecast]


@pytest.fixture
def short(plan: Plan) -> Plan:
    """Two hours of drilling and two of contingency."""
    return plan.changed(operation=Operation(duration=2 * HOUR))


def _ensemble(make: Maker, *members: str) -> EnsembleForecast:
    height = {"#": CALM, ".": ROUGH, "?": math.nan}
    made = tuple(make([height[mark] for mark in text]) for text in members)
    return EnsembleForecast(made, tuple(str(place) for place in range(len(made))))


def test_hours_and_starts_are_shares_of_all_members(short: Plan, make: Maker) -> None:
    found = ensemble_windows(short, _ensemble(make, "######", "#####.", "..####", "##?###"), needed=0.5)
    assert found.hour_probability[0].tolist() == [0.75, 0.75, 0.75, 1.0, 1.0, 0.75]
    # A start needs four hours: members 0 at 0 and 1, 1 at 0, 2 and 3 nowhere.
    assert found.start_probability.tolist() == [0.5, 0.25, 0, 0, 0, 0]
    (window,) = found.windows
    assert window.probability == window.lowest == 0.5
    assert window.end - window.start == np.timedelta64(4, "h")


def test_probability_of_a_window_is_of_members_that_hold_all_of_it(short: Plan, make: Maker) -> None:
    members = _ensemble(make, "#######..", ".#######.", "######...", "########.")
    (window,) = ensemble_windows(short, members, needed=0.75).windows
    assert (window.start, window.latest_start) == (members.times[0], members.times[2])
    assert window.lowest == 0.75
    assert window.probability == 0.5
    (strict,) = ensemble_windows(short, members, needed=1.0).windows
    assert strict.start == members.times[1]
    assert strict.probability == strict.lowest == 1.0


def test_the_plan_says_how_many_members_are_needed(short: Plan, make: Maker) -> None:
    members = _ensemble(make, "#######..", ".#######.", "######...", "########.")
    asked = short.changed(weather=WeatherChoices(needed=0.75))
    assert ensemble_windows(asked, members).windows == ensemble_windows(short, members, needed=0.75).windows
    assert ensemble_windows(asked, members).needed == 0.75
    assert ensemble_windows(asked, members, needed=1.0).needed == 1.0


def test_a_missing_member_does_not_hold(short: Plan, make: Maker) -> None:
    found = ensemble_windows(short, _ensemble(make, "######", "??????"))
    assert found.hour_probability[0].tolist() == [0.5] * 6
    assert found.windows == ()


def test_one_member_is_the_forecast_itself(short: Plan, make: Maker) -> None:
    heights = np.abs(np.sin(np.arange(60) / 7.0)) * 7
    forecast = make(heights, heights[::-1] / 4)
    single = weather_windows(short, forecast)
    many = ensemble_windows(short, EnsembleForecast((forecast,), ("0",)), needed=1.0)
    assert (many.start_probability == 1).tolist() == single.start_works.tolist()
    assert (many.inside[0][0] == single.steps[0].inside).all()


def test_gaps_of_the_members_count(short: Plan, make: Maker) -> None:
    member = make([CALM] * 8, gaps=[3])
    found = ensemble_windows(short, EnsembleForecast((member, member), ("a", "b")))
    assert found.start_probability.tolist() == [0.0] * 8
    assert found.hour_probability[0].tolist() == [1.0] * 8


def test_factor_is_said_and_can_be_left_out(short: Plan, make: Maker) -> None:
    members = _ensemble(make, "######", "######")
    assert any("twice" in note for note in ensemble_windows(short, members).notes)
    assert any("spread" in note for note in ensemble_windows(short, members, alpha=NO_FACTOR).notes)
    limit = dataclasses.replace(members, members=tuple(make([6.0] * 6) for _ in range(2)))
    assert ensemble_windows(short, limit, alpha=NO_FACTOR).start_probability[0] == 1.0
    assert ensemble_windows(short, limit).start_probability[0] == 0.0


@pytest.mark.parametrize("needed", [0.0, 1.2, float("nan")])
def test_share_needed_is_a_share(short: Plan, make: Maker, needed: float) -> None:
    with pytest.raises(InputError, match="Share of members"):
        ensemble_windows(short, _ensemble(make, "##"), needed=needed)
