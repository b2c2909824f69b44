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
from heave.planning import ForecastMapping, Plan, WeatherChoices, instant
from heave.planning.weather import MOST_LAYOUTS
from heave.screens import state
from heave.screens.figures.timeline_bars import Span
from heave.screens.weather.clock import Clock, hours
from heave.screens.weather.lost import lost_to_swell
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
from heave.weather.evaluation import Progress
from heave.weather.results import seconds
from heave.weather.why import Opening, Shortfall, openings, shortfall
from heave.weather.worst import Reading, worst_reading

SAMPLE: Final = Path(__file__).resolve().parents[3] / "sea_states" / "sample_forecast.csv"


@dataclass(frozen=True, eq=False)
class Source:
    """A forecast in use: the file's name, what was read, and its bytes for reading it another way.

    `readings` has one for each kind its periods may be of, where nobody knows which; the worst for the plan is used.
    """

    name: str
    forecast: Reading
    data: bytes = b""
    sample: bool = False
    readings: tuple[Reading, ...] = ()
    mapping: ForecastMapping | None = None
    issued: str | None = None


@lru_cache(maxsize=1)
def sample() -> Source:
    """The invented sample forecast, read once a process."""
    return Source("sample_forecast.csv", read_forecast(SAMPLE), b"", True)


def source() -> Source:
    """The forecast in use: the user's own, or the sample."""
    own: Source | None = state.kept("forecast")
    if own is not None and own.readings:
        return _worst(own, question(state.plan().changed(weather=replace(choices(), now=None))))
    return own or sample()


@lru_cache(maxsize=4)
def _worst(own: Source, plan: Plan) -> Source:
    """A forecast whose periods are of an unknown kind, by the kind that is worst for the plan in each hour."""
    return replace(own, forecast=worst_reading(plan, own.readings))


def seas_of(record: Source, plan: Plan, progress: Progress | None) -> Forecast:
    """The seas of a record; of one whose periods are of an unknown kind, the worst for the plan on its own heading.

    Parameters
    ----------
    record : without members
    plan : the plan
    progress : told how far it is
    """
    seas = record.forecast
    if record.readings:
        held = plan.changed(weather=plan.weather.but(heading="fixed"))
        seas = worst_reading(held, record.readings, progress)
    assert isinstance(seas, Forecast)
    return seas


def about(forecast: Reading) -> str:
    """A forecast in a line: samples, span, step, members."""
    members = f", {len(forecast.members)} members" if isinstance(forecast, EnsembleForecast) else ""
    one = forecast.members[0] if isinstance(forecast, EnsembleForecast) else forecast
    first, last = (Clock().full(when) for when in (forecast.times[0], forecast.times[-1]))
    return f"{forecast.size} times from {first} to {last} UTC, every {hours(one.step)}{members}"


def remembered(header: tuple[str, ...]) -> ForecastMapping | None:
    """What was said of a file with these very columns, in the plan or, under another plan, in this session."""
    layouts: dict[frozenset[str], ForecastMapping] = state.kept("layouts") or {}
    return choices().mapping_for(header) or layouts.get(frozenset(header))


def remember(mapping: ForecastMapping) -> None:
    """Keep what was said of a file, for the next with the same columns; what is no longer kept is said."""
    state.keep("layouts", {**(state.kept("layouts") or {}), mapping.layout: mapping})
    known, dropped = choices().knowing(mapping)
    choose(forecast_mapping=known.forecast_mapping, forecast_layouts=known.forecast_layouts)
    for one in dropped:
        columns = ", ".join(meaning.column for meaning in one.columns[:4])
        kept = f"The plan keeps {MOST_LAYOUTS + 1} layouts of files"
        state.note("good", f"{kept}: what was said of that with {columns} … is dropped.")


def forget(header: tuple[str, ...]) -> None:
    """Forget what was said of files with these columns."""
    gone, asked = frozenset(header), choices()
    layouts: dict[frozenset[str], ForecastMapping] = state.kept("layouts") or {}
    state.keep("layouts", {key: one for key, one in layouts.items() if key != gone})
    if asked.mapping_for(header) is not None:
        known = asked.forecast_mapping
        choose(
            forecast_mapping=None if known is not None and known.layout == gone else known,
            forecast_layouts=tuple(one for one in asked.forecast_layouts if one.layout != gone),
        )


def use(taken: Source | None) -> None:
    """Take another forecast into use, or go back to the sample with None.

    A present time that was picked stays only where the forecast has it. The one in use until now is kept, to tell
    what changed.
    """
    replaced: Source | None = state.kept("forecast")
    if taken is not None and replaced is not None:
        state.keep("forecast before", replaced)
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


def apart() -> float:
    """How far the present time that was picked is after the clock's, before it negative [s]; 0 by the clock.

    The sample is of no real days, so there nothing is picked apart from a clock.
    """
    picked = choices().now
    return 0.0 if picked is None or source().sample else seconds(instant(picked) - np.datetime64("now", "s"))


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
    return answer_for(looked_at())


def answer_before() -> WindowResult | None:
    """The same question put to the forecast that was used before this one, at the same present time."""
    replaced: Source | None = state.kept("forecast before")
    if replaced is None or isinstance(replaced.forecast, EnsembleForecast):
        return None
    found = answer_for(replaced.forecast)
    return found if isinstance(found, WindowResult) else None


def answer_for(forecast: Forecast | EnsembleForecast) -> WindowResult | EnsembleResult | InputError:
    """The windows of the plan in any forecast, now as it is for the one in use, or why there is no answer.

    Parameters
    ----------
    forecast : the one in use, one before it, or one member
    """
    if isinstance(forecast, EnsembleForecast):
        return _searched(ensemble_windows, question(state.plan()), forecast)
    asked = replace(choices(), now=str(present(looked_at())))
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
def short_of(result: WindowResult, system: str = "metric") -> tuple[Shortfall | None, tuple[Opening, ...]]:
    """What falls short where there is no window, and what would open one, in the units of `system`."""
    return shortfall(result), openings(result, system)


@lru_cache(maxsize=12)
def swell(result: WindowResult) -> tuple[Span, ...]:
    """Stretches in which swell alone takes the starts."""
    return lost_to_swell(result, starts_lost_to_systems(result))
