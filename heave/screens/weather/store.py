"""What the weather-window page keeps for the session, and the results computed from it.

All that is decided stands in the plan; here are the forecast in use and what of it is looked at.
"""

from __future__ import annotations

from collections.abc import Callable
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
from heave.weather.why import Opening, Shortfall, openings, shortfall

SAMPLE: Final = Path(__file__).resolve().parents[3] / "sea_states" / "sample_forecast.csv"


@dataclass(frozen=True, eq=False)
class Source:
    """A forecast in use: the file's name, what was read, and its bytes for reading it another way."""

    name: str
    forecast: Forecast | EnsembleForecast
    data: bytes = b""
    sample: bool = False


@lru_cache(maxsize=1)
def sample() -> Source:
    """The invented sample forecast, read once a process."""
    return Source("sample_forecast.csv", read_forecast(SAMPLE), b"", True)


def source() -> Source:
    """The forecast in use: the user's own, or the sample."""
    own: Source | None = state.kept("forecast")
    return own or sample()


def use(taken: Source | None) -> None:
    """Take another forecast into use, or go back to the sample with None.

    A present time that was picked stays only where the forecast has it.
    """
    state.keep("forecast", taken)
    state.keep("member", None)
    now, times = choices().now, source().forecast.times
    if now is not None and not times[0] <= instant(now) <= times[-1]:
        choose(now=None)


def choices() -> WeatherChoices:
    """What the plan asks of a forecast."""
    return state.plan().weather


def choose(**fields: Any) -> None:
    """Change some of what the plan asks of a forecast, or say why that is refused."""
    state.try_edit(lambda plan: plan.changed(weather=replace(plan.weather, **fields)))


def chosen(name: str) -> Callable[[Any], None]:
    """Takes what is picked for one of the things the plan asks of a forecast."""
    return lambda value: choose(**{name: value})


def clock() -> Clock:
    """The clock that shows times."""
    return Clock(choices().time_zone)


def looked_at() -> Forecast | EnsembleForecast:
    """The forecast that is searched: the file's, or the one member of it that is looked at."""
    whole = source().forecast
    member: int | None = state.kept("member")
    if isinstance(whole, EnsembleForecast) and member is not None:
        return whole.members[min(member, len(whole.members) - 1)]
    return whole


def present(forecast: Forecast | EnsembleForecast) -> np.datetime64:
    """The present time: as the plan has it, else the clock's, whatever the forecast covers.

    The clock counts by the minute, so that a search is not made again for every second. The sample is of no real
    days: there the present time is its first.
    """
    picked = choices().now
    if picked is not None:
        return instant(picked)
    if source().sample:
        return np.datetime64(forecast.times[0])
    clock_: np.datetime64 = np.datetime64("now", "m").astype("datetime64[s]")
    return clock_


def to_next_hour() -> int:
    """Seconds until the clock's hour turns."""
    return 3600 - int(np.datetime64("now", "s").astype(np.int64)) % 3600 + 1


def hour_turned() -> bool:
    """Whether the hour is another than when this was last asked in the session."""
    hour = str(np.datetime64("now", "h"))
    before = state.kept("hour:drawn")
    state.keep("hour:drawn", hour)
    return before is not None and before != hour


def answer() -> WindowResult | EnsembleResult | InputError:
    """The windows of the plan in the forecast in use, or why there is no answer."""
    forecast = looked_at()
    if isinstance(forecast, EnsembleForecast):
        return _searched(ensemble_windows, question(state.plan()), forecast)
    asked = replace(choices(), now=str(present(forecast)))
    return _searched(weather_windows, question(state.plan().changed(weather=asked)), forecast)


@lru_cache(maxsize=18)
def _searched(
    search: Callable[[Plan, Any], WindowResult | EnsembleResult],
    plan: Plan,
    forecast: Forecast | EnsembleForecast,
) -> WindowResult | EnsembleResult | InputError:
    """Frozen values in, frozen values out, as on the check page."""
    try:
        return search(plan, forecast)
    except InputError as error:
        return error


@lru_cache(maxsize=12)
def short_of(result: WindowResult) -> tuple[Shortfall | None, tuple[Opening, ...]]:
    """What falls short where there is no window, and what would open one."""
    return shortfall(result), openings(result)


@lru_cache(maxsize=12)
def swell(result: WindowResult) -> tuple[Span, ...]:
    """Stretches in which swell alone takes the starts."""
    return lost_to_swell(result, starts_lost_to_systems(result))
