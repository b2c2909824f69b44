"""Starts that are lost to some of the waves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from heave.errors import InputError
from heave.weather.evaluation import inside_limits
from heave.weather.forecast import Forecast
from heave.weather.intervals import FloatArray, less
from heave.weather.results import Window, WindowResult, seconds
from heave.weather.windows import search_in, waits_of, without_systems


@dataclass(frozen=True)
class LostStarts:
    """Starts, from first to last, that would work if it were not for `to`; times UTC."""

    start: np.datetime64
    latest_start: np.datetime64
    to: str


def starts_lost_to_systems(
    result: WindowResult, systems: Sequence[str] | None = None
) -> tuple[LostStarts, ...]:
    """Starts that would work, α applied, if the named wave systems were calm, and do not with them.

    The vessel keeps the headings it has with them.

    Parameters
    ----------
    result : what was found
    systems : names of systems of the forecast; None takes every swell

    Raises
    ------
    InputError
        If the forecast has no system of such a name.
    """
    forecast = result.forecast
    swells = [name for name in forecast.system_names if name.startswith("swell")]
    names = tuple(swells if systems is None else systems)
    for name in names:
        if name not in forecast.system_names:
            raise InputError("wave system", name, None, "one of " + ", ".join(forecast.system_names))
    if not names:
        return ()
    rest = without_systems(forecast, names)
    asked = [step.asked for step in result.steps]
    held = inside_limits(result.plan, rest, result.campaign, asked, result.heading)
    calmer = search_in(rest, result.campaign, list(held.inside), waits_of(result.steps))
    return _lost(result, calmer.starts[0], ", ".join(names))


def _intervals(forecast: Forecast, windows: tuple[Window, ...]) -> FloatArray:
    first = forecast.times[0]
    rows = [(seconds(window.start - first), seconds(window.latest_start - first)) for window in windows]
    return np.array(rows, dtype=np.float64).reshape(-1, 2)


def _lost(result: WindowResult, better: FloatArray, to: str) -> tuple[LostStarts, ...]:
    forecast = result.forecast
    rows = less(better, _intervals(forecast, result.windows))
    return tuple(LostStarts(forecast.when(first), forecast.when(last), to) for first, last in rows)
