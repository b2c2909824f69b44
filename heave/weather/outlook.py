"""How things stand now: inside or not, and for how long."""

from __future__ import annotations

import numpy as np

from heave.planning import Plan, instant
from heave.weather.endings import Stop, endings
from heave.weather.evaluation import StepEvaluation
from heave.weather.forecast import Forecast
from heave.weather.intervals import FloatArray, next_start, sample_runs
from heave.weather.results import Outlook, seconds
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
    at = seconds(present - forecast.times[0])
    if not 0.0 <= at <= searched.times[-1]:
        return Outlook(present, None, None, None, None, None)
    bounds = searched.times[searched.runs[0]]
    back = float(next_start(bounds, np.array([at]))[0])
    start = float(next_start(searched.starts[0], np.array([at]))[0])
    until_start = start - at if np.isfinite(start) else None
    until_back = back - at if np.isfinite(back) else None
    if until_back == 0.0:
        row = int(np.searchsorted(bounds[:, 0], at, side="right")) - 1
        stop = Stop(0, int(searched.runs[0][row, 1]))
        (limit,) = endings(plan, forecast, steps, headings, [stop])
        return Outlook(present, True, float(bounds[row, 1]) - at, limit, 0.0, until_start)
    known = searched.times[sample_runs(~forecast.missing, forecast.gap_after)]
    is_known = float(next_start(known, np.array([at]))[0]) == at
    return Outlook(
        present, False if is_known else None, 0.0 if is_known else None, None, until_back, until_start
    )
