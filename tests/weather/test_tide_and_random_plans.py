"""Tide as a curve, and random plans and forecasts against each sample and each half hour by itself."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heave.errors import InputError
from heave.judging import utilisations
from heave.planning import (
    BASE_CASE,
    CLOSED,
    Campaign,
    Operation,
    OperationStep,
    Plan,
    Tide,
    TideWater,
    WeatherChoices,
)
from heave.planning.tide import travel
from heave.weather import weather_windows
from heave.weather.forecast import Forecast

HOUR = 3600.0
CALM, ROUGH = 0.8, 7.0
Maker = Callable[..., Forecast]


def waters(start: str, heights: list[float], apart: float = 6.2) -> Tide:
    first = np.datetime64(start, "s")
    span = np.timedelta64(round(apart * HOUR), "s")
    return Tide(tuple(TideWater(str(first + k * span), height) for k, height in enumerate(heights)))


# --- tide ---------------------------------------------------------------------------------------


def test_tide_is_a_half_cosine_between_waters_and_not_known_outside() -> None:
    """Rule of tide tables: at mid-time half the range, at a sixth of the time 6.7 % of it (1 − cos 30°)/2."""
    tide = waters("2026-05-01T00:00", [1.0, 5.0], 6.0)
    times = np.datetime64("2026-05-01T00:00", "s") + np.array([-1, 0, 3600, 10800, 21600, 21601]).astype(
        "m8[s]"
    )
    np.testing.assert_allclose(tide.level(times), [np.nan, 1.0, 1.2679, 3.0, 5.0, np.nan], atol=1e-4)
    with pytest.raises(InputError, match="tide"):
        Tide((TideWater("2026-05-01", 1.0),))
    with pytest.raises(InputError, match="each later"):
        Tide((TideWater("2026-05-01", 1.0), TideWater("2026-05-01", 2.0)))


@settings(max_examples=200, deadline=None)
@given(seed=st.integers(0, 10_000), span=st.sampled_from([0.5, 3.0, 7.0, 30.0]))
def test_travel_of_the_tide_against_every_ten_minutes(seed: int, span: float) -> None:
    rng = np.random.default_rng(seed)
    tide = waters("2026-05-01T00:00", rng.uniform(-2, 2, 8).tolist())
    times = np.datetime64("2026-05-01T02:00", "s") + np.arange(20) * np.timedelta64(1, "h")
    rise, fall = travel(tide.level, tide.times, times, span * HOUR)
    for place, when in enumerate(times):
        begin = max(times[0], when - np.timedelta64(round(span * HOUR), "s"))
        fine = np.arange(begin, when + np.timedelta64(1, "s"), np.timedelta64(120, "s"))
        levels, now = tide.level(fine), float(tide.level(np.array([when]))[0])
        assert rise[place] == pytest.approx(now - levels.min(), abs=0.01)
        assert fall[place] == pytest.approx(levels.max() - now, abs=0.01)
        assert rise[place] >= now - levels.min() - 1e-9


@settings(max_examples=200, deadline=None)
@given(seed=st.integers(0, 100_000))
def test_random_plans_and_forecasts_against_sample_by_sample_and_half_hour_by_half_hour(
    plan: Plan, make: Maker, seed: int
) -> None:
    """Loads, waits, time to make safe, α by lead time and tide; the slow side judges each sample alone."""
    rng = np.random.default_rng(seed)
    size = 8
    forecast = make(np.round(rng.uniform(0.5, 5.5, size), 2), np.round(rng.uniform(0, 1.5, size), 2))
    issued = forecast.times[0] - np.timedelta64(int(rng.integers(0, 20)), "h")
    tide = waters("2026-04-30T20:00", rng.uniform(-3, 3, 8).tolist()) if rng.random() < 0.7 else None
    forecast = replace(forecast, issued=issued)
    kinds = rng.choice(["drilling", "waiting", "fixed"], 2)
    steps = tuple(
        OperationStep(
            Operation(
                kind=str(kind),
                duration=float(rng.choice([1, 2])) * HOUR,
                heave_limit=float(rng.uniform(1, 6)) if kind == "waiting" else None,
            ),
            "",
            float(rng.choice([0, 1])) * HOUR,
            bool(rng.random() < 0.8),
            make_safe=float(rng.choice([0, 0.5, 1])) * HOUR,
            waits_in=Operation(kind="waiting", heave_limit=float(rng.uniform(1, 5)))
            if rng.random() < 0.6
            else None,
            hookload=float(rng.uniform(8e5, 2e6)) if rng.random() < 0.5 else None,
        )
        for kind in kinds
    )
    campaign = Campaign(steps, float(rng.choice([1, 4])) * HOUR)
    asked = WeatherChoices(campaign, forecast_interval=float(rng.choice([3, 12])) * HOUR, tide=tide)
    sure = plan.changed(ranges=CLOSED, weather=asked)
    found = weather_windows(sure, forecast)
    slow = [_judged_alone(sure, forecast, campaign, place) for place in range(len(steps))]
    for step, (inside, waiting) in zip(found.steps, slow, strict=True):
        assert step.inside.tolist() == inside
        assert step.waiting is None or step.waiting.inside.tolist() == waiting
    tried = np.arange(0, size - 0.5, 0.5)
    first = forecast.times[0]
    spans = [
        ((w.start - first) / np.timedelta64(1, "h"), (w.latest_start - first) / np.timedelta64(1, "h"))
        for w in found.windows
    ]
    quick = [any(a <= t <= b for a, b in spans) for t in tried]
    assert quick == [_works(campaign, slow, 0, float(t)) for t in tried]


def _judged_alone(
    plan: Plan, forecast: Forecast, campaign: Campaign, place: int
) -> tuple[list[bool], list[bool]]:
    """Each sample by itself, every rule written out again: row of α, tide, load."""
    step = campaign.steps[place]
    alone = next(
        block
        for block in campaign.blocks
        if block.first == place or place in range(block.first, block.first + len(block.steps))
    )
    halts = len(alone.steps) == 1 and step.interruptible
    spans = alone.spans[place - alone.first]
    assert forecast.issued is not None
    inside, waiting = [], []
    gone_over: dict[float, list[tuple[float, float]]] = {}
    for row, when in enumerate(forecast.times):
        lead = float((when - forecast.issued) / np.timedelta64(1, "s"))
        lead = min(lead, plan.weather.forecast_interval + step.make_safe) if halts else lead
        factor = BASE_CASE.rows[0] if lead <= 12 * HOUR else BASE_CASE.rows[1]
        hs = float(forecast.batch.hs[row])
        sea = forecast.batch.take([row]).times(float(factor.design_height([hs])[0]) / hs)
        for operation, span, kept, load in (
            (step.operation, spans[1] - spans[0], inside, True),
            (step.waits_in, campaign.longest_wait, waiting, False),
        ):
            if operation is None:
                kept.append(True)
                continue
            exposure = min(plan.exposure, max(step.reference, 600.0)) if load else plan.exposure
            judged = plan.changed(operation=operation, exposure=exposure)
            if step.hookload is not None:
                judged = judged.changed(hookload_entered=step.hookload)
            if plan.weather.tide is not None and operation.kind != "waiting":
                if span not in gone_over:
                    gone_over[span] = [
                        _moved(plan.weather.tide, forecast, one, span) for one in forecast.times
                    ]
                gone = gone_over[span]
                step_of_tide = max(0.25, max(map(max, gone)) / 8)
                up = [math.ceil(round(x / step_of_tide, 4) - 1e-3) * step_of_tide for x in gone[row]]
                judged = judged.changed(offsets=replace(judged.offsets, tide_rise=up[0], tide_fall=up[1]))
            kept.append(bool(utilisations(judged, sea).inside[0]))
    return inside, waiting


def _moved(tide: Tide, forecast: Forecast, when: np.datetime64, span: float) -> tuple[float, float]:
    """Rise and fall since the earliest space-out, minute by minute."""
    begin = max(forecast.times[0], when - np.timedelta64(round(span), "s"))
    fine = np.arange(begin, when + np.timedelta64(1, "s"), np.timedelta64(60, "s"))
    levels = tide.level(fine)
    now = float(levels[-1])
    return now - float(levels.min()), float(levels.max()) - now


def _holds(inside: list[bool], start: float, end: float) -> bool:
    first, last = math.floor(start + 1e-9), math.ceil(end - 1e-9)
    return first >= 0 and last < len(inside) and all(inside[first : last + 1])


def _works(campaign: Campaign, slow: list[tuple[list[bool], list[bool]]], block: int, start: float) -> bool:
    now = campaign.blocks[block]
    for offset, (early, late) in enumerate(now.spans):
        if not _holds(slow[now.first + offset][0], start + early / HOUR, start + late / HOUR):
            return False
    if block + 1 == len(campaign.blocks):
        return True
    done, last = start + now.reference / HOUR, now.first + len(now.steps) - 1
    own, waiting = slow[last]
    securing = campaign.steps[last].make_safe / HOUR
    for wait in np.arange(0, campaign.longest_wait / HOUR + 0.25, 0.5):
        safe = done + min(securing, wait)
        can = wait == 0 or (
            _holds(own, done, safe) and (wait <= securing or _holds(waiting, safe, done + wait))
        )
        if can and _works(campaign, slow, block + 1, done + float(wait)):
            return True
    return False
