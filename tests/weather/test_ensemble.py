"""Shares of members: counted by hand on members whose windows are known."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heave.errors import InputError
from heave.planning import NO_FACTOR, Operation, Plan, WeatherChoices
from heave.weather import ensemble_windows, weather_windows
from heave.weather.ensemble import _least
from heave.weather.forecast import EnsembleForecast, Forecast
from heave.weather.intervals import coverage, held_by, holds_at, merged

HOUR = 3600.0
MINUTE = np.timedelta64(1, "m")
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


def test_between_two_times_the_members_that_hold_are_counted_anew(plan: Plan, make: Maker) -> None:
    """One member's starts end half past an hour and the other's begin at the next: between the two none holds."""
    drilling = plan.changed(operation=Operation(duration=2.25 * HOUR))
    members = _ensemble(make, "#############............", "........#################")
    found = ensemble_windows(drilling, members, needed=0.5, alpha=NO_FACTOR)
    start = members.times[0]
    spans = [((one.start - start) / MINUTE, (one.latest_start - start) / MINUTE) for one in found.windows]
    assert spans == [(0.0, 450.0), (480.0, 1170.0)]
    assert [found.members_at(start + minutes * MINUTE) for minutes in (449, 450, 451, 465, 479, 480)] == [
        1,
        1,
        0,
        0,
        0,
        1,
    ]
    assert found.best_from(start + 451 * MINUTE) == (start + 480 * MINUTE, 1)
    assert found.best_from(start + 500 * MINUTE) == (start + 500 * MINUTE, 1)
    assert found.best_from(start + 1171 * MINUTE) == (start + 1171 * MINUTE, 0)


def test_one_member_has_the_windows_of_its_forecast(plan: Plan, make: Maker) -> None:
    """Also where its latest start lies between two times."""
    rng = np.random.default_rng(6)
    between = 0
    for hours in rng.uniform(0.3, 3.0, 40):
        some = plan.changed(operation=Operation(duration=hours * HOUR))
        members = _ensemble(make, "".join(rng.choice(["#", "#", "#", "#", "."], 40)))
        alone = weather_windows(some, members.members[0], alpha=NO_FACTOR)
        found = ensemble_windows(some, members, needed=1.0, alpha=NO_FACTOR)
        starts = [(window.start, window.latest_start) for window in alone.windows]
        assert [(window.start, window.latest_start) for window in found.windows] == starts
        between += sum(last not in members.times for _, last in starts)
    assert between > 20


def test_the_fewest_are_looked_for_between_ends_too() -> None:
    sets = [np.array([[0.0, 1.0]]), np.array([[2.0, 3.0]])]
    assert [_least(sets, *span) for span in ((0.0, 3.0), (0.5, 1.0), (1.0, 2.0), (1.5, 1.5))] == [0, 1, 0, 0]


@settings(deadline=None, max_examples=60)
@given(
    st.lists(st.lists(st.tuples(st.integers(0, 30), st.integers(0, 8)), max_size=5), min_size=1, max_size=5)
)
def test_where_enough_sets_hold_is_as_counted_time_by_time(given_sets: list[list[tuple[int, int]]]) -> None:
    sets = [
        merged(np.array([(a, a + long) for a, long in rows], float).reshape(-1, 2)) for rows in given_sets
    ]
    times = np.arange(-1.0, 40.0, 0.25)
    counted = np.zeros(times.shape, int)
    for rows in sets:
        counted += np.logical_or.reduce(
            [(times >= a) & (times <= b) for a, b in rows] or [np.zeros(times.shape, bool)]
        )
    assert coverage(sets, times).tolist() == counted.tolist()
    for least in (1, 2, 3):
        found = held_by(sets, least)
        assert holds_at(found, times).tolist() == (coverage(sets, times) >= least).tolist()
        assert (found[1:, 0] > found[:-1, 1]).all()
