"""Starts that are lost: to the forecast factor, or to some of the waves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from heave.errors import InputError
from heave.weather.evaluation import batch_for
from heave.weather.forecast import Forecast
from heave.weather.inside import inside_limits
from heave.weather.intervals import less
from heave.weather.results import Window, WindowResult
from heave.weather.windows import search_in, without_systems

FloatArray = npt.NDArray[np.float64]

_SECOND = np.timedelta64(1, "s")


@dataclass(frozen=True)
class LostStarts:
    """Starts, from first to last, that would work if it were not for `to`; times UTC."""

    start: np.datetime64
    latest_start: np.datetime64
    to: str


def starts_lost_to_factor(result: WindowResult) -> tuple[LostStarts, ...]:
    """Starts that would work if the forecast were exact and do not with α applied.

    Parameters
    ----------
    result : what was found
    """
    exact = _intervals(result.forecast, result.without_factor)
    return _lost(result, exact, "forecast factor α")


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
    names = (
        tuple(n for n in forecast.system_names if n.startswith("swell"))
        if systems is None
        else tuple(systems)
    )
    for name in names:
        if name not in forecast.system_names:
            raise InputError("wave system", name, None, "one of " + ", ".join(forecast.system_names))
    if not names:
        return ()
    rest = without_systems(forecast, names)
    plan = result.plan
    inside, _ = inside_limits(plan, batch_for(plan, rest), result.campaign, result.alpha, result.heading)
    calmer = search_in(rest, result.campaign, list(inside))
    return _lost(result, calmer.starts[0], ", ".join(names))


def _intervals(forecast: Forecast, windows: tuple[Window, ...]) -> FloatArray:
    rows = [
        [float((time - forecast.times[0]) / _SECOND) for time in (window.start, window.latest_start)]
        for window in windows
    ]
    return np.array(rows, dtype=np.float64).reshape(-1, 2)


def _lost(result: WindowResult, better: FloatArray, to: str) -> tuple[LostStarts, ...]:
    first = result.forecast.times[0]
    rows = less(better, _intervals(result.forecast, result.windows))
    return tuple(
        LostStarts(np.datetime64(first + round(a) * _SECOND), np.datetime64(first + round(b) * _SECOND), to)
        for a, b in rows
    )
