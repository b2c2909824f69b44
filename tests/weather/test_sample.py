"""The sample forecast on the demo plan: a window, one lost to swell alone, one lost to the forecast factor."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

import heave
from heave.errors import InputError
from heave.planning import NO_FACTOR, AlphaRow, AlphaTable, Campaign, OperationStep, WeatherChoices
from heave.planning.columns import ColumnMeaning, ForecastMapping
from heave.planning.operations import Operation
from heave.weather import (
    WindowResult,
    starts_lost_to_systems,
    weather_windows,
    without_systems,
)
from heave.weather.forecast import Forecast

HOUR = np.timedelta64(1, "h")


@pytest.fixture(scope="module")
def sample(root: Path) -> Forecast:
    found = heave.read_forecast(root / "sea_states" / "sample_forecast.csv")
    assert isinstance(found, Forecast)
    return found


@pytest.fixture(scope="module")
def result(sample: Forecast) -> WindowResult:
    return weather_windows(heave.demo_plan(), sample)


def test_there_is_a_window(result: WindowResult) -> None:
    assert result.earliest is not None
    assert result.earliest.length >= result.reference_period
    assert 0 < result.earliest.margin < 1


def test_a_window_is_lost_to_the_factor(sample: Forecast, result: WindowResult) -> None:
    lost = result.lost_to_factor
    assert len(lost) == 1
    assert lost[0].length >= result.reference_period
    exact = weather_windows(heave.demo_plan(), sample, alpha=NO_FACTOR)
    inside = (sample.times >= lost[0].start) & (sample.times <= lost[0].latest_start)
    assert exact.start_works[inside].all()
    assert not result.start_works[inside].any()
    assert lost[0] in exact.windows


def test_a_window_is_lost_to_swell_alone(sample: Forecast, result: WindowResult) -> None:
    """Over a day of starts that work without the swells and do not with them, even if the forecast were exact."""
    exact = weather_windows(heave.demo_plan(), sample, alpha=NO_FACTOR)
    lost = [s for s in starts_lost_to_systems(exact) if s.latest_start - s.start >= 24 * HOUR]
    assert len(lost) == 1
    assert lost[0].to == "swell 1, swell 2"
    swell_only = weather_windows(heave.demo_plan(), without_systems(sample, ("wind sea",)), alpha=NO_FACTOR)
    during = (sample.times >= lost[0].start) & (sample.times <= lost[0].latest_start)
    assert (~swell_only.steps[0].inside[during]).sum() >= 12
    assert any(s.latest_start - s.start >= 24 * HOUR for s in starts_lost_to_systems(result))


def test_one_swell_can_be_named(result: WindowResult) -> None:
    both, second = (starts_lost_to_systems(result, names) for names in (None, ("swell 2",)))
    assert sum((s.latest_start - s.start for s in second), 0 * HOUR) > 24 * HOUR
    assert sum((s.latest_start - s.start for s in both), 0 * HOUR) >= sum(
        (s.latest_start - s.start for s in second), 0 * HOUR
    )
    assert starts_lost_to_systems(result, ()) == ()
    with pytest.raises(InputError, match="wave system"):
        starts_lost_to_systems(result, ("tide",))


def test_plan_remembers_campaign_factors_and_columns(result: WindowResult, tmp_path: Path) -> None:
    steps = (OperationStep(Operation(kind="drilling", duration=7200.0), "Drill", 3600.0, True),)
    choices = WeatherChoices(
        campaign=Campaign(steps, 6 * 3600.0),
        alpha=AlphaTable((AlphaRow(7200.0, 0.7, 0.8, 0.8, 0.9),), "the rig's own"),
        forecast_mapping=ForecastMapping((ColumnMeaning("hs", "height", "total", "m"),), time_zone="+02:00"),
    )
    plan = heave.demo_plan().changed(weather=choices)
    heave.write_plan(plan, str(tmp_path / "plan.json"))
    read = heave.read_plan(tmp_path / "plan.json")
    assert read == plan
    assert weather_windows(read, result.forecast).campaign == plan.campaign
    assert weather_windows(read, result.forecast).alpha == plan.weather.alpha
    with pytest.raises(InputError, match="campaign"):
        WeatherChoices(campaign="drill first")
    with pytest.raises(InputError, match="alpha"):
        WeatherChoices(alpha=None)
    with pytest.raises(InputError, match="weather"):
        heave.demo_plan().changed(weather=None)


def test_a_plan_file_without_the_new_keys_reads_as_before(tmp_path: Path) -> None:
    heave.write_plan(heave.demo_plan(), str(tmp_path / "plan.json"))
    document = json.loads((tmp_path / "plan.json").read_text("utf-8"))
    del document["plan"]["weather"]
    read = heave.read_plan(json.dumps(document).encode())
    assert read == heave.demo_plan()
