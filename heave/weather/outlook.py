"""How things stand now: inside or not, and for how long."""

from __future__ import annotations

from typing import Any

import numpy as np

from heave.arrays import FloatArray
from heave.planning import Plan, instant
from heave.weather.endings import Stop, endings
from heave.weather.evaluation import StepEvaluation
from heave.weather.forecast import Forecast
from heave.weather.intervals import next_start, sample_runs
from heave.weather.results import Clock, Outlook, seconds
from heave.weather.schedule import highest_between
from heave.weather.search import Search


def outlook_at(
    plan: Plan,
    forecast: Forecast,
    steps: tuple[StepEvaluation, ...],
    headings: FloatArray,
    searched: Search,
) -> Outlook:
    """How things stand for the first step of a campaign at the plan's present time.

    Parameters
    ----------
    plan, forecast : as asked
    steps : utilisations of each step
    headings : vessel heading, shape (n,) [deg]
    searched : the search, α applied
    """
    now = plan.weather.now
    present = instant(forecast.times[0] if now is None else now)
    age = None if forecast.issued is None else seconds(present - forecast.issued)
    at = seconds(present - forecast.times[0])
    clock = clock_of(forecast, at)
    if clock in ("before it starts", "after it ended"):
        return Outlook(present, None, None, None, None, None, clock, age)
    bounds = searched.times[searched.runs[0]]
    back = float(next_start(bounds, np.array([at]))[0])
    start = float(next_start(searched.starts[0], np.array([at]))[0])
    until_start = start - at if np.isfinite(start) else None
    until_back = back - at if np.isfinite(back) else None
    tables = [step.reduced for step in steps]
    margin = 1.0 - highest_between(searched, tables, at, at)[0][0] if until_start == 0.0 else None
    common: dict[str, Any] = {"until_start": until_start, "clock": clock, "age": age, "margin": margin}
    if until_back == 0.0:
        row = int(np.searchsorted(bounds[:, 0], at, side="right")) - 1
        stop = Stop(0, int(searched.runs[0][row, 1]))
        (limit,) = endings(plan, forecast, steps, headings, [stop])
        return Outlook(present, True, float(bounds[row, 1]) - at, limit, 0.0, **common)
    over = clock == "in the forecast" and _over(forecast, steps[0], at)
    return Outlook(present, False if over else None, 0.0 if over else None, None, until_back, **common)


def _over(forecast: Forecast, step: StepEvaluation, at: float) -> bool:
    """True where a step is over a limit in a sea at or around a time; a sea that is not assessed does not say it."""
    first = int(np.searchsorted(forecast.elapsed, at, side="right")) - 1
    last = int(np.searchsorted(forecast.elapsed, at, side="left"))
    return bool(np.any(step.reduced.governing[first : last + 1] >= 1.0))


def clock_of(forecast: Forecast, at: float) -> Clock:
    """Where a time stands to a forecast.

    Parameters
    ----------
    forecast : the forecast
    at : the time [s after the first sample]
    """
    times = forecast.elapsed
    if at < 0.0:
        return "before it starts"
    if at > times[-1]:
        return "after it ended"
    known = times[sample_runs(~forecast.missing, forecast.gap_after)]
    if float(next_start(known, np.array([at]))[0]) == at:
        return "in the forecast"
    before = int(np.searchsorted(times, at, side="right")) - 1
    in_gap = before < times.size - 1 and forecast.gap_after[before] and at > times[before]
    return "in a gap" if in_gap else "sea not known"
