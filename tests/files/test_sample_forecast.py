"""The sample forecast: what its README says of it is so, for the demo plan.

The forecast-uncertainty factor here is the base case of DNV-OS-H101 (from memory) for planned periods up to 12 h,
written out again so that nothing of the planner's own window code is used.
"""

from __future__ import annotations

import importlib.util
from dataclasses import replace
from itertools import groupby
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pytest

import heave
from heave.judging import utilisations
from heave.sea import SeaBatch
from heave.weather import Forecast

ROOT = Path(__file__).resolve().parents[2]
SAMPLE = ROOT / "sea_states" / "sample_forecast.csv"
FACTOR = ((1.0, 0.65), (2.0, 0.76), (4.0, 0.79), (6.0, 0.80))
REFERENCE_HOURS = 12
"""The demo operation of 6 h and as much again for contingency."""

Flags = npt.NDArray[np.bool_]


@pytest.fixture(scope="module")
def forecast() -> Forecast:
    found = heave.read_forecast(SAMPLE)
    assert isinstance(found, Forecast)
    return found.with_depth(heave.demo_plan().sea.depth)


def inside(batch: SeaBatch) -> Flags:
    plan = heave.demo_plan()
    return np.asarray(utilisations(plan, batch, plan.heading).governing < 1)


def grown(batch: SeaBatch) -> SeaBatch:
    """Every system raised to the sea whose height times its factor is the forecast height."""
    heights = np.linspace(0.01, 12, 4000)
    reduced = heights * np.interp(heights, *zip(*FACTOR, strict=True))
    share = np.interp(batch.hs, reduced, heights) / batch.hs
    return replace(batch, slots=tuple(replace(slot, hs=slot.hs * share) for slot in batch.slots))  # type: ignore[arg-type]


def without_swell(batch: SeaBatch) -> SeaBatch:
    first, *swells = batch.slots
    return replace(batch, slots=(first, *(replace(slot, hs=0 * slot.hs) for slot in swells)))  # type: ignore[arg-type]


def stretches(flags: Flags) -> list[int]:
    """Hours of each unbroken stretch; k samples in a row span k − 1 hours."""
    return [len(list(group)) - 1 for holds, group in groupby(flags) if holds]


def test_the_file_is_what_the_script_makes() -> None:
    spec = importlib.util.spec_from_file_location("make", ROOT / "tests/files/make_sample_forecast.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    assert SAMPLE.read_text(encoding="utf-8") == module.sample_forecast()


def test_ten_days_hourly_over_a_year_end_nothing_missing(forecast: Forecast) -> None:
    assert forecast.size == 241
    assert forecast.step == 3600.0
    assert not forecast.gap_after.any()
    assert not forecast.missing.any()
    assert forecast.system_names == ("wind sea", "swell 1", "swell 2")
    assert forecast.times[-1] - forecast.times[0] == np.timedelta64(10, "D")
    assert forecast.wind_speed is not None
    assert all(forecast.sea_state(row).warnings() == () for row in range(0, 241, 20))


def test_at_least_one_window_exists(forecast: Forecast) -> None:
    assert max(stretches(inside(grown(forecast.batch)))) >= 2 * REFERENCE_HOURS


def test_one_window_is_lost_to_swell_alone(forecast: Forecast) -> None:
    lost = ~inside(forecast.batch) & inside(grown(without_swell(forecast.batch)))
    assert max(stretches(lost)) >= 2 * REFERENCE_HOURS


def test_one_window_is_lost_to_the_forecast_factor_alone(forecast: Forecast) -> None:
    lost = inside(forecast.batch) & ~inside(grown(forecast.batch))
    assert max(stretches(lost)) >= 2 * REFERENCE_HOURS
