"""What the weather-window page keeps for the session, and the results computed from it.

All that is decided stands in the plan; here are the forecast in use and what of it is looked at.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any, Final

import numpy as np

from heave.errors import InputError
from heave.files.forecast.reader import read_forecast
from heave.planning import Plan, WeatherChoices, instant
from heave.screens import state
from heave.screens.figures.timeline_bars import Span
from heave.screens.weather.clock import Clock
from heave.screens.weather.summary import lost_to_swell
from heave.weather import (
    EnsembleForecast,
    EnsembleResult,
    Forecast,
    WindowResult,
    ensemble_windows,
    question,
    starts_lost_to_systems,
    weather_windows,
)

SAMPLE: Final = Path(__file__).resolve().parents[3] / "sea_states" / "sample_forecast.csv"


@dataclass(frozen=True, eq=False)
class Source:
    """A forecast in use: the file's name, what was read, and its bytes for reading it another way."""

    name: str
    forecast: Forecast | EnsembleForecast
    data: bytes = b""
    sample: bool = False


@dataclass(frozen=True)
class View:
    """What is looked at: one member of an ensemble by its place, or None for all; the step whose checks are drawn."""

    member: int | None = None
    step: int = 0


@lru_cache(maxsize=1)
def sample() -> Source:
    """The invented sample forecast, read once a process."""
    return Source("sample_forecast.csv", read_forecast(SAMPLE), b"", True)


def source() -> Source:
    """The forecast in use: the user's own, or the sample."""
    kept: Source | None = state.kept("forecast")
    return sample() if kept is None else kept


def use(taken: Source | None) -> None:
    """Take another forecast into use, or go back to the sample with None.

    A present time that was picked stays only where the forecast has it.
    """
    state.keep("forecast", taken)
    view(member=None)
    now, times = choices().now, source().forecast.times
    if now is not None and not times[0] <= instant(now) <= times[-1]:
        choose(now=None)


def looked() -> View:
    """What this session looks at."""
    kept: View | None = state.kept("weather view")
    return kept or View()


def view(**fields: Any) -> None:
    """Look at another member or step."""
    state.keep("weather view", replace(looked(), **fields))


def choices() -> WeatherChoices:
    """What the plan asks of a forecast."""
    return state.plan().weather


def choose(**fields: Any) -> None:
    """Change some of what the plan asks of a forecast, or say why that is refused."""
    state.try_edit(lambda plan: plan.changed(weather=replace(plan.weather, **fields)))


def clock() -> Clock:
    """The clock that shows times."""
    return Clock(choices().time_zone)


def looked_at() -> Forecast | EnsembleForecast:
    """The forecast that is searched: the file's, or the one member of it that is looked at."""
    whole, member = source().forecast, looked().member
    if isinstance(whole, EnsembleForecast) and member is not None:
        return whole.members[min(member, len(whole.members) - 1)]
    return whole


def present(forecast: Forecast | EnsembleForecast) -> np.datetime64:
    """The present time: as the plan has it, else the clock's if the forecast covers it, else the forecast's first.

    The clock counts by the minute, so that a search is not made again for every second.

    The sample is of no real days, so the clock does not count there.
    """
    picked = choices().now
    if picked is not None:
        return instant(picked)
    clock_ = np.datetime64("now", "m").astype("datetime64[s]")
    inside = forecast.times[0] <= clock_ <= forecast.times[-1]
    return clock_ if inside and not source().sample else np.datetime64(forecast.times[0])


@dataclass(frozen=True, eq=False)
class Answer:
    """A search for windows, or why there is none."""

    result: WindowResult | EnsembleResult | None
    lost_to_swell: tuple[Span, ...] = ()
    error: InputError | None = None


def answer() -> Answer:
    """The windows of the plan in the forecast in use."""
    forecast = looked_at()
    if isinstance(forecast, EnsembleForecast):
        return _in_members(question(state.plan()), forecast)
    asked = replace(choices(), now=str(present(forecast)))
    return _in_one(question(state.plan().changed(weather=asked)), forecast)


@lru_cache(maxsize=12)
def _in_one(plan: Plan, forecast: Forecast) -> Answer:
    """Frozen values in, frozen values out, as on the check page."""
    try:
        result = weather_windows(plan, forecast)
        return Answer(result, lost_to_swell(result, starts_lost_to_systems(result)))
    except InputError as error:
        return Answer(None, error=error)


@lru_cache(maxsize=6)
def _in_members(plan: Plan, forecast: EnsembleForecast) -> Answer:
    try:
        return Answer(ensemble_windows(plan, forecast))
    except InputError as error:
        return Answer(None, error=error)
