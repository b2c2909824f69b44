"""What the weather-window page keeps for the session, and the results computed from it.

The plan holds the campaign, the factors and the meaning of columns; here are the forecast in use, the way
the vessel heads, the present time and the zone of the clock. All are frozen values kept by `state`.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Final

import numpy as np

from heave.errors import InputError
from heave.files.forecast.reader import read_forecast
from heave.planning import Plan
from heave.screens import state
from heave.screens.weather.clock import UTC_NAME, Clock
from heave.weather import (
    HEADINGS,
    TURN_RATE,
    EnsembleForecast,
    EnsembleResult,
    Forecast,
    WindowResult,
    ensemble_windows,
    weather_windows,
    without_systems,
)

SAMPLE: Final = Path(__file__).resolve().parents[3] / "sea_states" / "sample_forecast.csv"

NEEDED: Final = (0.5, 0.7, 0.8, 0.9, 0.95, 1.0)
"""Shares of the members of an ensemble that may be asked for."""


@dataclass(frozen=True, eq=False)
class Source:
    """A forecast in use: the file's name, what was read, and its bytes for reading it another way."""

    name: str
    forecast: Forecast | EnsembleForecast
    data: bytes = b""
    sample: bool = False


@dataclass(frozen=True)
class Settings:
    """How the windows are asked for, besides what the plan says."""

    heading: str = HEADINGS[0]
    turn_rate: float = TURN_RATE
    now: np.datetime64 | None = None
    zone: str = UTC_NAME
    needed: float = 0.9
    member: int | None = None
    """Place of the one member of an ensemble looked at; None for all."""

    step: int = 0
    """Place of the step whose checks are drawn."""

    @property
    def clock(self) -> Clock:
        """The clock that shows times."""
        return Clock(self.zone)


@lru_cache(maxsize=1)
def sample() -> Source:
    """The invented sample forecast, read once a process."""
    return Source("sample_forecast.csv", read_forecast(SAMPLE), b"", True)


def source() -> Source:
    """The forecast in use: the user's own, or the sample."""
    found: Source | None = state.kept("forecast")
    return sample() if found is None else found


def use(found: Source | None) -> None:
    """Take another forecast into use, or go back to the sample with None."""
    state.keep("forecast", found)
    change(now=None, member=None)


def settings() -> Settings:
    """The settings of this session."""
    found: Settings | None = state.kept("weather")
    return found or Settings()


def change(**fields: object) -> None:
    """Change some settings and keep the others."""
    state.keep("weather", Settings(**{**vars(settings()), **fields}))


def looked_at() -> Forecast | EnsembleForecast:
    """The forecast that is searched: the file's, or the one member of it that is looked at."""
    found = source().forecast
    member = settings().member
    if isinstance(found, EnsembleForecast) and member is not None:
        return found.members[min(member, len(found.members) - 1)]
    return found


def present(forecast: Forecast | EnsembleForecast) -> np.datetime64:
    """The present time: as picked, else the clock's if the forecast covers it, else the forecast's first.

    The clock counts by the minute, so that a search is not made again for every second.

    The sample is of no real days, so the clock does not count there.
    """
    picked = settings().now
    if picked is not None:
        return picked
    clock = np.datetime64("now", "m").astype("datetime64[s]")
    inside = forecast.times[0] <= clock <= forecast.times[-1]
    return clock if inside and not source().sample else np.datetime64(forecast.times[0])


@dataclass(frozen=True)
class Answer:
    """A search for windows, or why there is none."""

    found: WindowResult | EnsembleResult | None
    but_for_swell: WindowResult | None = None
    error: InputError | None = None


def answer() -> Answer:
    """The windows of the plan in the forecast in use."""
    forecast, chosen = looked_at(), settings()
    plan = state.plan()
    if isinstance(forecast, EnsembleForecast):
        return _in_members(plan, forecast, chosen.needed)
    return _in_one(plan, forecast, chosen.heading, chosen.turn_rate, present(forecast))


@lru_cache(maxsize=12)
def _in_one(plan: Plan, forecast: Forecast, heading: str, turn_rate: float, now: np.datetime64) -> Answer:
    """Frozen values in, frozen values out: equal questions share one answer, as on the check page."""
    try:
        found = weather_windows(plan, forecast, now=now, heading=heading, turn_rate=turn_rate)
        swells = tuple(name for name in forecast.system_names if name.startswith("swell"))
        calm = None
        if swells:
            rest = without_systems(forecast, swells)
            calm = weather_windows(plan, rest, now=now, heading=heading, turn_rate=turn_rate)
    except InputError as error:
        return Answer(None, error=error)
    return Answer(found, calm)


@lru_cache(maxsize=6)
def _in_members(plan: Plan, forecast: EnsembleForecast, needed: float) -> Answer:
    try:
        return Answer(ensemble_windows(plan, forecast, needed=needed))
    except InputError as error:
        return Answer(None, error=error)
