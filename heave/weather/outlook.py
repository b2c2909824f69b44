"""How things stand now: inside or not, and for how long."""

from __future__ import annotations

from typing import Any

import numpy as np

from heave.arrays import BoolArray, FloatArray
from heave.planning import Plan, instant
from heave.weather.endings import Stop, endings
from heave.weather.evaluation import StepEvaluation
from heave.weather.forecast import Forecast
from heave.weather.intervals import common, holds_at, next_start, sample_runs, turns
from heave.weather.results import Clock, Outlook, seconds
from heave.weather.schedule import highest_begun
from heave.weather.search import Search


def outlook_at(
    plan: Plan,
    forecast: Forecast,
    steps: tuple[StepEvaluation, ...],
    headings: FloatArray,
    searched: Search,
    calm: Search,
) -> Outlook:
    """How things stand for the first step of a campaign at the plan's present time.

    Parameters
    ----------
    plan, forecast : as asked
    steps : utilisations of each step
    headings : vessel heading, shape (n,) [deg]
    searched : the search, α applied
    calm : the same against what is within limits, near none of them
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
    tables, states = [step.reduced for step in steps], [step.waiting for step in steps]
    margin = 1.0 - highest_begun(searched, tables, states, at, at)[0][0] if until_start == 0.0 else None
    ahead = None
    if until_start is not None:
        last = start + left_of(searched.starts[0], start)
        ahead = highest_begun(searched, tables, states, start, last)
    common: dict[str, Any] = {
        **{"until_start": until_start, "clock": clock, "age": age, "margin": margin, "ahead": ahead},
        **{"start_calm_for": left_of(calm.starts[0], at), "calm_done_in": finish_of(calm, at) - at},
        "calm_for": held_for(calm, at),
        "put_off_in": put_off_from(searched, calm, at) - at,
    }
    inside, row = first_step_at(forecast, searched, steps[0].reduced.governing >= 1.0, at)
    if inside:
        stop = Stop(0, int(searched.runs[0][row, 1]))
        (limit,) = endings(plan, forecast, steps, headings, [stop])
        return Outlook(present, True, held_for(searched, at), limit, 0.0, **common)
    return Outlook(present, inside, None if inside is None else 0.0, None, until_back, **common)


def first_step_at(
    forecast: Forecast, searched: Search, over: BoolArray, at: float
) -> tuple[bool | None, int]:
    """Whether the first step is inside its limits at a time, and the row of the run that it then is in.

    Over a limit is what is so in a sea at or around the time; a sea that is not assessed does not say it, and then, or
    where the forecast does not have the time, nothing is known.

    Parameters
    ----------
    forecast : the forecast
    searched : the search
    over : True where the first step is over a limit, (n,)
    at : the time [s after the first sample]
    """
    bounds = searched.times[searched.runs[0]]
    if bool(holds_at(bounds, np.array([at]))[0]):
        return True, int(np.searchsorted(bounds[:, 0], at, side="right")) - 1
    first = max(int(np.searchsorted(forecast.elapsed, at, side="right")) - 1, 0)
    last = int(np.searchsorted(forecast.elapsed, at, side="left"))
    beyond = clock_of(forecast, at) == "in the forecast" and bool(over[first : last + 1].any())
    return (False if beyond else None), -1


def held_for(searched: Search, at: float) -> float:
    """How long the first step holds from a time on [s]; minus infinity where it does not hold then.

    Parameters
    ----------
    searched : the search
    at : the time [s after the first sample]
    """
    return left_of(searched.times[searched.runs[0]], at)


def finish_of(searched: Search, start: float) -> float:
    """When the campaign ends if begun at a time, contingency used [s]; infinite where that start does not work.

    Parameters
    ----------
    searched : the search
    start : the time [s after the first sample]
    """
    return searched.finish(start) if left_of(searched.starts[0], start) >= 0.0 else np.inf


def put_off_from(searched: Search, calm: Search, at: float) -> float:
    """From when on a start keeps to what is calm only where a later step is put off [s]; infinite where none has to be.

    Parameters
    ----------
    searched : the search
    calm : the same against less: each of its starts works in the other
    at : the first start looked at; those of its calm interval from it on are [s after the first sample]
    """
    last = at + left_of(calm.starts[0], at)
    if last < at:
        return np.inf
    # until its first wait a block moves with the start, so what it does changes at ends of intervals alone
    before = np.cumsum([0.0, *(block.reference for block in calm.campaign.blocks[:-1])])
    bounds = np.array([[at, last]])
    ends = [
        common(starts - span, bounds)
        for one in (searched, calm)
        for starts, span in zip(one.starts, before.tolist(), strict=True)
    ]
    tried = turns([bounds, *ends])
    other = np.abs(searched.begins_of(tried) - calm.begins_of(tried)).max(axis=0) > 1e-3
    first = int(np.argmax(other))
    return float(tried[max(first - 1, 0)]) if other[first] else np.inf


def left_of(intervals: FloatArray, at: float) -> float:
    """How much is left, from a time on, of the interval that it lies in [s]; minus infinity where it lies in none.

    Parameters
    ----------
    intervals : intervals, (m, 2) [s]
    at : the time [s]
    """
    row = int(np.searchsorted(intervals[:, 0], at, side="right")) - 1
    return float(intervals[row, 1]) - at if row >= 0 and at <= intervals[row, 1] else -np.inf


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
