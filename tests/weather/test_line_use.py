"""Ton-miles and bends of a compensating drawworks over forecasts, members and years: against sums by hand."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

import heave
from heave.files.rigs import demo_compensators
from heave.planning import Campaign, HsLimit, Operation, OperationStep, Plan
from heave.sea import OMEGA
from heave.vessel import hoist_spectrum
from heave.weather import hindcast_windows
from heave.weather.forecast import EnsembleForecast, Forecast
from heave.weather.line_use import line_use, mean_use, not_exceeded

HOUR, DAY, YEAR = 3600.0, 86400.0, 365.2425 * 86400.0
CALM, SOME, ROUGH = 0.8, 1.6, 9.0
G = 9.80665
Maker = Callable[..., Forecast]


@pytest.fixture(scope="module")
def line_plan() -> Plan:
    """Drilling for two hours and two of contingency on the demo drawworks, up to 4 m of Hs."""
    unit = next(unit for unit in demo_compensators().values() if unit.is_drawworks)
    return heave.demo_plan().changed(
        compensator=unit, operation=Operation(duration=2 * HOUR, hs_limits=(HsLimit(4.0),))
    )


def by_hand(plan: Plan, forecast: Forecast, place: int) -> tuple[float, float]:
    """Work [J] and bends of an hour: load × mean |v| of a Gaussian heave (Rice 1944), √(2/π) σ_v, and two passages a
    period of each sheave that a piece runs over; blocks are 45 m apart less the block's 30 m of way."""
    spectrum = hoist_spectrum(plan.vessel, plan.heading, forecast.sea_state(place).batch()).ordinates[0]
    sigma, pace = (math.sqrt(np.trapezoid(spectrum * OMEGA**n, OMEGA)) * plan.heave_factor for n in (0, 2))
    path = plan.hoisting
    assert path is not None
    assert path.line is not None
    hung = path.block_mass + 12 * 45.0 * path.line.linear_mass + plan.compensator.moving_mass
    load = plan.hookload - plan.wob + hung * G
    passed = min(1 + math.floor(12 * 4 * sigma / 15.0), 12)
    return load * math.sqrt(2 / math.pi) * pace * HOUR, 2 * passed * HOUR * pace / (2 * math.pi * sigma)


def hourly(plan: Plan, make: Maker) -> dict[float, tuple[float, float]]:
    return {hs: by_hand(plan, make([hs]), 0) for hs in (CALM, SOME, ROUGH)}


def test_a_forecast_is_the_sum_of_its_hours(line_plan: Plan, make: Maker) -> None:
    """Three hours a sample; the missing one and a flat calm add nothing, and only the missing one is not known."""
    of = hourly(line_plan, make)
    found = line_use(line_plan, make([CALM, ROUGH, math.nan, 0.0, SOME], step=3 * HOUR))
    assert found is not None
    (through,) = found.members
    for made, which in ((through.work, 0), (through.bends, 1)):
        assert made == pytest.approx(3 * sum(of[hs][which] for hs in (CALM, ROUGH, SOME)), rel=2e-3)
    assert (through.time, found.span, found.missing) == (12 * HOUR, 15 * HOUR, 3 * HOUR)
    assert found.work(0.5) == found.work(0.9) == through.work


def test_bends_grow_by_whole_sheaves(line_plan: Plan, make: Maker) -> None:
    """A rough sea runs a piece over more of them; a path without its drop knows of one."""
    of = hourly(line_plan, make)
    assert of[ROUGH][1] > 2 * of[CALM][1]
    short = line_plan.changed(hoisting=replace(line_plan.hoisting, drop=None))  # type: ignore[type-var]
    found = line_use(short, make([ROUGH]))
    assert found is not None
    one = found.members[0].bends
    passed = round(of[ROUGH][1] / one)
    assert passed >= 2
    assert one * passed == pytest.approx(of[ROUGH][1], rel=2e-3)


def test_members_are_ranked_and_those_that_know_nothing_left_out(line_plan: Plan, make: Maker) -> None:
    """Ten members of 1 to 10 hours of the same sea, and one without any: 5 h and 9 h of it are not exceeded in half
    and in nine of ten."""
    members = tuple(make([SOME] * n + [math.nan] * (10 - n)) for n in (4, 9, 1, 10, 2, 7, 0, 3, 8, 5, 6))
    found = line_use(line_plan, EnsembleForecast(members, tuple("abcdefghijk")))
    assert found is not None
    work, bends = by_hand(line_plan, members[0], 0)
    assert (len(found.members), len(found.known)) == (11, 10)
    for share, hours in ((0.5, 5), (0.9, 9), (1.0, 10)):
        assert found.work(share) == pytest.approx(hours * work, rel=2e-3)
        assert found.bends(share) == pytest.approx(hours * bends, rel=2e-3)
    assert found.missing == found.span == 10 * HOUR
    nothing = line_use(line_plan, make([math.nan] * 3))
    assert nothing is not None
    assert math.isnan(nothing.work(0.5))


def test_each_member_is_as_alone(line_plan: Plan, make: Maker) -> None:
    members = (make([CALM, SOME, ROUGH]), make([ROUGH, ROUGH, math.nan]))
    both = line_use(line_plan, EnsembleForecast(members, ("a", "b")))
    assert both is not None
    for one, member in zip(both.members, members, strict=True):
        alone = line_use(line_plan, member)
        assert alone is not None
        assert tuple(one) == pytest.approx(tuple(alone.members[0]), rel=1e-6)


def test_a_year_at_the_availability_there_was(line_plan: Plan, make: Maker) -> None:
    """Sixty days of February and March: of 24 h each, 13 calm, 9 rough and not worked, 2 missing. A month has what its
    known hours have in the mean, 13 of 22; a mean month is a twelfth of a year."""
    of = hourly(line_plan, make)
    found = hindcast_windows(
        line_plan, make(([CALM] * 13 + [ROUGH] * 9 + [math.nan] * 2) * 60, start="2028-02-01T00")
    )
    assert found.overall.availability == pytest.approx(13 / 22)
    spans = {"Feb": 29 * DAY, "Mar": 31 * DAY, "All": YEAR / 12}
    for month in (*found.months, found.overall):
        hours = spans[month.name] / HOUR * 13 / 22
        assert month.line_work == pytest.approx(hours * of[CALM][0], rel=2e-3)
        assert month.bends == pytest.approx(hours * of[CALM][1], rel=2e-3)


def test_a_month_of_several_years_is_as_long_as_they_are_in_the_mean(line_plan: Plan, make: Maker) -> None:
    """February 2027 has 28 days and that of 2028 has 29: 28.5."""
    found = hindcast_windows(line_plan, make([CALM] * 24 * 28 + [CALM] * 24, start="2027-02-01T00", gaps=()))
    assert found.months[0].line_work == pytest.approx(
        28 * 24 * by_hand(line_plan, make([CALM]), 0)[0], rel=2e-3
    )
    record = make([CALM] * 24 * (28 + 1 + 365), start="2027-02-01T00")
    both = hindcast_windows(line_plan, record).months[1]
    assert both.name == "Feb"
    assert both.line_work == pytest.approx(28.5 * 24 * by_hand(line_plan, make([CALM]), 0)[0], rel=2e-3)


def test_the_first_step_says_what_is_done(line_plan: Plan, make: Maker) -> None:
    """A step of another weight on bit and heading works the line with those; one that locks the unit does not."""
    record = make([CALM] * 48)
    lighter = OperationStep(line_plan.operation, hookload=1.1 * line_plan.hookload, heading=200.0)
    found = hindcast_windows(line_plan, record, Campaign((lighter,))).overall
    own = line_plan.changed(hookload_entered=1.1 * line_plan.hookload, heading=200.0)
    hours = YEAR / 12 / HOUR * found.availability
    assert found.line_work == pytest.approx(hours * by_hand(own, record, 0)[0], rel=2e-3)
    locked = OperationStep(Operation(kind="tripping", heave_limit=3.0, duration=2 * HOUR))
    assert math.isnan(hindcast_windows(line_plan, record, Campaign((locked,))).overall.line_work)


def test_only_a_drawworks_that_compensates_works_its_line(line_plan: Plan, make: Maker) -> None:
    record = make([CALM] * 24)
    for plan in (
        heave.demo_plan(),
        line_plan.changed(active=False),
        line_plan.changed(hoisting=None),
        line_plan.doing("tripping"),
    ):
        assert line_use(plan, record) is None
        assert line_use(plan, EnsembleForecast((record, record), ("a", "b"))) is None
    plain = hindcast_windows(heave.demo_plan(), record).overall
    assert math.isnan(plain.line_work)
    assert math.isnan(plain.bends)


def test_a_forecast_without_a_depth_is_in_the_plans_water(line_plan: Plan, make: Maker) -> None:
    offsets = replace(line_plan.offsets, vessel_offset=0.0)
    shallow = line_plan.changed(sea=replace(line_plan.sea, depth=40.0), offsets=offsets)
    forecast = make([SOME])
    found = line_use(shallow, forecast.with_depth(None))
    expected = line_use(shallow, forecast.with_depth(40.0))
    deep = line_use(line_plan, forecast)
    assert found is not None
    assert expected is not None
    assert deep is not None
    assert found.members == expected.members
    assert found.members[0].work != deep.members[0].work


def test_mean_use_and_ranks_by_hand() -> None:
    hour, known = np.array([2.0, 4.0, 8.0, np.nan]), np.array([True, True, True, False])
    inside = np.array([True, False, True, False])
    assert mean_use(hour, known, inside, 30 * HOUR) == pytest.approx(30 * (2 + 8) / 3)
    assert math.isnan(mean_use(hour, np.zeros(4, bool), inside, HOUR))
    assert not_exceeded(np.array([5.0, 1.0, 3.0]), 0.5) == 3.0
    assert math.isnan(not_exceeded(np.array([]), 0.5))
