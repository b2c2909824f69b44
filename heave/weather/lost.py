"""Starts that are lost to some of the waves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from heave.errors import InputError
from heave.weather.evaluation import inside_limits
from heave.weather.intervals import less
from heave.weather.results import WindowResult, seconds
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
    begin = forecast.times[0]
    kept = [(seconds(one.start - begin), seconds(one.latest_start - begin)) for one in result.windows]
    rows, to = less(calmer.starts[0], np.array(kept, dtype=np.float64).reshape(-1, 2)), ", ".join(names)
    return tuple(LostStarts(forecast.when(first), forecast.when(last), to) for first, last in rows)
