"""The best heading: against trying every path, and never worse than any fixed heading of the same set."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from itertools import product
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import heave
from heave.errors import InputError
from heave.files.rigs import demo_compensators, demo_vessels
from heave.judging import in_sector
from heave.planning import NO_FACTOR, Campaign, Operation, Plan
from heave.planning.alpha import BASE_CASE
from heave.planning.kinds import OPERATIONS
from heave.weather import best_headings, best_path, evaluate_forecast, headings, weather_windows
from heave.weather.forecast import Forecast
from heave.weather.headings import OUTSIDE, heading_costs

Maker = Callable[..., Forecast]
PATHS = np.array(list(product(range(6), repeat=5)))


def _turned(forecast: Forecast, direction: np.ndarray) -> Forecast:
    slots = tuple(dataclasses.replace(slot, direction_from=direction) for slot in forecast.batch.slots)
    return dataclasses.replace(forecast, batch=dataclasses.replace(forecast.batch, slots=slots))


@settings(max_examples=60)
@given(seed=st.integers(0, 10_000), turn=st.sampled_from([0.0, 60.0, 90.0, 120.0, 400.0]), late=st.booleans())
def test_path_against_trying_every_one(seed: int, turn: float, late: bool) -> None:
    """Six headings, five samples: 7776 paths; a longer interval allows a larger turn."""
    cost = np.random.default_rng(seed).integers(0, 20, (5, 6)).astype(float)
    turns = np.array([turn, turn, 2 * turn if late else turn, turn])
    found = best_path(cost, turns, 60.0)
    apart = _apart(PATHS[:, :-1], PATHS[:, 1:])
    allowed = PATHS[(apart <= turns + 1e-9).all(axis=1)]
    cheapest = cost[np.arange(5), allowed].sum(axis=1).min()
    assert cost[np.arange(5), found].sum() == cheapest
    assert all(_apart(a, b) <= limit for a, b, limit in zip(found, found[1:], turns, strict=False))


def _apart(one: np.ndarray, other: np.ndarray) -> np.ndarray:
    steps = np.abs(one - other)
    return 60.0 * np.minimum(steps, 6 - steps)


def test_of_equal_paths_the_one_that_turns_least() -> None:
    assert best_path(np.ones((6, 36)), np.full(5, 90.0), 10.0).tolist() == [0] * 6


def test_vessel_follows_the_sea_no_faster_than_it_may(plan: Plan, make: Maker) -> None:
    direction = np.repeat([220.0, 310.0], 12)
    forecast = _turned(make([3.0] * 24), direction)
    quick = best_headings(plan, forecast, Campaign.of(plan.operation), BASE_CASE, 90.0)
    slow = best_headings(plan, forecast, Campaign.of(plan.operation), BASE_CASE, 20.0)
    for path, most in ((quick, 90.0), (slow, 20.0)):
        turn = np.abs(np.mod(np.diff(path) + 180.0, 360.0) - 180.0)
        assert turn.max() <= most
    assert len(set(quick)) > 1


def test_best_heading_is_at_least_as_good_as_any_fixed_one(plan: Plan, make: Maker) -> None:
    direction = np.linspace(180.0, 330.0, 20)
    forecast = _turned(make(np.full(20, 4.0)), direction)
    plan = plan.changed(weather=dataclasses.replace(plan.weather, sector=180.0))
    best = weather_windows(plan, forecast, heading="best", turn_rate=30.0).steps[0].reduced.governing
    once = Campaign.of(plan.operation)
    for heading in range(0, 360, 30):
        fixed = evaluate_forecast(plan, forecast, once, BASE_CASE, float(heading))[0].reduced.governing
        assert (best >= 1).sum() <= (fixed >= 1).sum()
        if (best >= 1).sum() == (fixed >= 1).sum() == 0:
            assert best.sum() <= fixed.sum() + 1e-9


@pytest.mark.parametrize("seed", range(4))
def test_all_headings_at_once_choose_as_each_by_itself(plan: Plan, make: Maker, seed: int) -> None:
    """Random seas of two systems: the same path as from every heading judged alone, and the same utilisations."""
    rng = np.random.default_rng(seed)
    plan = plan.changed(weather=dataclasses.replace(plan.weather, sector=180.0))
    forecast = _turned(
        make(rng.uniform(0.2, 7.0, 30), rng.uniform(0.2, 3.0, 30)), rng.uniform(0.0, 360.0, 30)
    )
    once, bows = Campaign.of(plan.operation), np.arange(0.0, 360.0, 10.0)
    alone = [evaluate_forecast(plan, forecast, once, BASE_CASE, float(bow))[0].reduced for bow in bows]
    used = np.stack([np.where(np.isnan(one.governing), 100.0, one.governing) for one in alone], axis=1)
    outside = np.stack([~one.inside for one in alone], axis=1)
    found = heading_costs(plan, forecast, once, BASE_CASE, bows)
    np.testing.assert_array_equal(found >= OUTSIDE, outside)
    np.testing.assert_allclose(np.mod(found, OUTSIDE), np.minimum(used, 100.0), rtol=1e-3)
    slow = bows[best_path(np.minimum(used, 100.0) + OUTSIDE * outside, np.full(29, 30.0), 10.0)]
    assert best_headings(plan, forecast, once, BASE_CASE, 30.0).tolist() == slow.tolist()


@pytest.mark.parametrize("kind", OPERATIONS)
@pytest.mark.parametrize("vessel", sorted(demo_vessels()))
def test_fewest_samples_astern_then_the_lowest_costs_of_all_paths(
    vessel: str, kind: str, make: Maker
) -> None:
    """Random seas, units, sectors, turns and gaps against every heading judged and every turn tried."""
    rng = np.random.default_rng([ord(letter) for letter in vessel + kind])
    operation = Operation(kind=kind, residual_motion_limit=1.0, residual_velocity_limit=0.5, heave_limit=4.0)
    units, bows = sorted(demo_compensators().items()), np.arange(0.0, 360.0, 30.0)
    for turn_rate, sector in product((0.0, 15.0, 40.0), (20.0, 45.0, 180.0)):
        plan = heave.demo_plan().changed(
            vessel=demo_vessels()[vessel],
            compensator=units[rng.integers(len(units))][1],
            operation=operation,
        )
        plan = plan.changed(weather=dataclasses.replace(plan.weather, sector=sector))
        heights = np.where(rng.random(12) < 0.15, np.nan, rng.uniform(0.2, 7.0, 12))
        seas = make(heights, rng.uniform(0.2, 4.0, 12), gaps=[5] if rng.random() < 0.5 else [], step=7200.0)
        seas = _turned(seas, np.mod(200.0 + rng.normal(0.0, 60.0, 12).cumsum(), 360.0))
        once = Campaign.of(plan.operation)
        cost = heading_costs(plan, seas, once, BASE_CASE, bows)
        astern = ~in_sector(plan, seas.batch, bows) & ~seas.missing[:, None]
        turns = turn_rate * np.diff(seas.times).astype(float) / 3600.0
        path = np.searchsorted(bows, best_headings(plan, seas, once, BASE_CASE, turn_rate, 30.0))
        apart = np.abs(bows[path[1:]] - bows[path[:-1]])
        assert (np.minimum(apart, 360.0 - apart) <= turns).all()
        row = np.arange(12)
        least_astern, least_cost = _least_of_all_paths(astern, cost, turns, bows)
        assert astern[row, path].sum() == least_astern
        assert cost[row, path].sum() == pytest.approx(least_cost, rel=1e-6)


def _least_of_all_paths(
    astern: np.ndarray, cost: np.ndarray, turns: np.ndarray, bows: np.ndarray
) -> tuple[int, float]:
    apart = np.abs(np.mod(bows[:, None] - bows + 180.0, 360.0) - 180.0)
    best = list(zip(astern[0].tolist(), cost[0].tolist(), strict=True))
    for sample, turn in enumerate(turns, start=1):
        reached = [min(best[one] for one in np.flatnonzero(row <= turn)) for row in apart]
        here = zip(astern[sample].tolist(), cost[sample].tolist(), strict=True)
        best = [(a + b, c + d) for (a, c), (b, d) in zip(reached, here, strict=True)]
    return min(best)


def test_only_headings_on_paths_with_the_fewest_astern_are_judged(
    plan: Plan, make: Maker, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A steady sea and a sector of 45°: nine headings of 36 each hour."""
    judged = list[tuple[int, ...]]()

    def counted(*given: Any) -> np.ndarray:
        judged.append(given[-1].shape)
        return heading_costs(*given)

    monkeypatch.setattr(headings, "heading_costs", counted)
    best_headings(plan, make([3.0] * 8), Campaign.of(plan.operation), BASE_CASE, 30.0)
    assert judged == [(8, 9)]


def test_no_turning_is_the_best_fixed_heading(plan: Plan, make: Maker) -> None:
    forecast = make(np.linspace(1.0, 3.0, 8))
    path = best_headings(plan, forecast, Campaign.of(plan.operation), BASE_CASE, 0.0)
    assert len(set(path)) == 1
    once = Campaign.of(plan.operation)
    used = {
        heading: evaluate_forecast(plan, forecast, once, BASE_CASE, float(heading))[0].reduced.governing.sum()
        for heading in range(0, 360, 10)
    }
    assert used[int(path[0])] == pytest.approx(min(used.values()), rel=1e-9)


def test_a_sea_not_known_asks_for_no_heading(plan: Plan, make: Maker) -> None:
    heights = np.full(6, 3.0)
    heights[2:4] = np.nan
    result = weather_windows(plan, make(heights), heading="best")
    assert np.isfinite(result.heading).all()
    assert not result.steps[0].inside[2:4].any()


@pytest.mark.parametrize(("rate", "step"), [(-1.0, 10.0), (float("nan"), 10.0), (30.0, 7.0), (30.0, 0.0)])
def test_wrong_turns_are_refused(plan: Plan, make: Maker, rate: float, step: float) -> None:
    with pytest.raises(InputError):
        best_headings(plan, make([1.0] * 3), Campaign.of(plan.operation), BASE_CASE, rate, step)


def test_the_bow_stays_in_its_sector_of_the_highest_waves(plan: Plan, make: Maker) -> None:
    """A sea that turns slower than the vessel may: no sample with the bow further off than the sector allows."""
    direction = np.mod(np.linspace(180.0, 480.0, 40), 360.0)
    forecast = _turned(make(np.full(40, 4.0)), direction)
    for sector in (20.0, 45.0):
        kept = plan.changed(weather=dataclasses.replace(plan.weather, sector=sector))
        path = best_headings(kept, forecast, Campaign.of(plan.operation), BASE_CASE, 30.0)
        off = np.abs(np.mod(path - forecast.batch.slots[0].direction_from + 180.0, 360.0) - 180.0)
        assert off.max() <= sector


def test_a_sector_that_the_master_gives_takes_the_place_of_the_waves(plan: Plan, make: Maker) -> None:
    """Bow within 20° of north, the sea from the south-west: the best heading is one of the five allowed, over 350°."""
    asked = dataclasses.replace(plan.weather, sector=20.0, sector_middle=0.0)
    kept = plan.changed(weather=asked, heading=0.0)
    forecast = make([2.0] * 12)
    bows = np.arange(0.0, 360.0, 10.0)
    allowed = in_sector(kept, forecast.batch, bows)
    assert allowed.shape == (12, 36)
    assert bows[allowed[3]].tolist() == [0.0, 10.0, 20.0, 340.0, 350.0]
    found = weather_windows(kept, forecast, alpha=NO_FACTOR, heading="best", turn_rate=360.0)
    assert set(found.heading) <= {0.0, 10.0, 20.0, 340.0, 350.0}
    free = plan.changed(weather=dataclasses.replace(plan.weather, sector=20.0), heading=0.0)
    other = weather_windows(free, forecast, alpha=NO_FACTOR, heading="best", turn_rate=360.0)
    assert not set(other.heading[1:]) <= set(found.heading)
