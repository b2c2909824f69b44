"""Why there is no window: the step and check that fall short, and which single change would open one."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from heave import fields
from heave.arrays import FloatArray
from heave.planning import Campaign, Operation, OperationStep, Plan, WeatherChoices
from heave.units import show
from heave.weather.endings import Stop, at_words, ending_at
from heave.weather.intervals import sample_runs
from heave.weather.results import WindowResult, seconds
from heave.weather.site_limits import NAMES, SITE_LIMITS
from heave.weather.windows import weather_windows


@dataclass(frozen=True)
class Shortfall:
    """What falls shortest in the time that is left of a forecast.

    Parameters
    ----------
    step : place of the step
    label : the step
    needed : how long its limits must hold [s]
    longest : longest time they do hold [s]; 0 for a single hour, None where they never do
    hour : its best hour, or where its longest time begins
    check : key of the check that is over there, or that ends that time; None where no limit does
    reaches : utilisation of it; NaN where there is none
    cause : what is over or ends it, in words
    """

    step: int
    label: str
    needed: float
    longest: float | None
    hour: np.datetime64
    check: str | None
    reaches: float
    cause: str


@dataclass(frozen=True)
class Opening:
    """A single change that would open a window, in words, and the first start it would give."""

    change: str
    start: np.datetime64


def shortfall(result: WindowResult) -> Shortfall | None:
    """The step whose limits hold for the least share of the time it needs, from now on; None where none is assessed.

    Parameters
    ----------
    result : what was found
    """
    forecast, now = result.forecast, result.outlook.now
    left = forecast.times >= now
    spans = [span for block in result.campaign.blocks for span in block.spans]
    found: list[tuple[float, Shortfall]] = []
    for place, ((early, late), step) in enumerate(zip(spans, result.steps, strict=True)):
        used, needed = np.where(left, step.reduced.governing, np.nan), late - early
        if np.isnan(used).all():
            continue
        runs = sample_runs(step.inside & left, forecast.gap_after)
        if not len(runs):
            hour = int(np.nanargmin(used))
            key, over = step.reduced.keys[int(step.reduced.governed_by[hour])], float(used[hour])
            why = key, over, at_words(NAMES[key], over)
            found.append((-1.0, Shortfall(place, step.step.label, needed, None, forecast.times[hour], *why)))
            continue
        lengths = forecast.elapsed[runs[:, 1]] - forecast.elapsed[runs[:, 0]]
        first, last = runs[int(np.argmax(lengths))]
        end = ending_at(forecast, result.steps, Stop(place, int(last)))
        longest, ends = float(lengths.max()), (end.check, end.utilisation, end.words)
        short = Shortfall(place, step.step.label, needed, longest, forecast.times[first], *ends)
        found.append((longest / needed, short))
    return min(found, key=lambda pair: pair[0])[1] if found else None


def openings(result: WindowResult, system: str = "metric") -> tuple[Opening, ...]:
    """Single changes of the plan that would open a window, each found by searching again with it.

    Tried are: the best heading over time, a wait as long as the forecast, contingency of half the planned time where
    it was not assessed, each step that cannot be stopped being one that can, and the rig's own limit that falls
    shortest being as high as its best hours need. Whether a change can be made is for the rig to say.

    Parameters
    ----------
    result : what was found
    system : unit system of the words
    """
    found = []
    for words, plan in _changes(result, system):
        searched = weather_windows(plan, result.forecast)
        ahead = [window for window in searched.windows if window.latest_start >= result.outlook.now]
        if ahead:
            found.append(Opening(words, max(ahead[0].start, result.outlook.now)))
    return tuple(found)


def _changes(result: WindowResult, system: str) -> list[tuple[str, Plan]]:
    plan, campaign, asked = result.plan, result.campaign, result.plan.weather
    changes: list[tuple[str, WeatherChoices]] = []
    if asked.heading == "fixed":
        changes.append(("the best heading over time", replace(asked, campaign=campaign, heading="best")))
    span = seconds(result.forecast.times[-1] - result.forecast.times[0])
    if len(campaign.blocks) > 1 and span > campaign.longest_wait:
        waits = replace(asked, campaign=replace(campaign, longest_wait=span))
        changes.append((f"waits of up to {span / 3600:.0f}\u00a0h", waits))
    for place, step in enumerate(campaign.steps):
        if step.contingency is None:
            half = _with(asked, campaign, place, replace(step, contingency=step.planned / 2))
            changes.append((f"contingency of half the planned time for {step.label}", half))
        if not step.interruptible and len(campaign.steps) > 1:
            stopped = _with(asked, campaign, place, replace(step, interruptible=True))
            changes.append((f"{step.label} being a step that can be stopped", stopped))
    short = shortfall(result)
    if short is not None and (raised := _raised(result, short, system)) is not None:
        changes.append((raised[0], _with(asked, campaign, short.step, raised[1])))
    return [(words, plan.changed(weather=choices)) for words, choices in changes]


def _with(asked: WeatherChoices, campaign: Campaign, place: int, step: OperationStep) -> WeatherChoices:
    """The same question with another step in one place."""
    steps = (*campaign.steps[:place], step, *campaign.steps[place + 1 :])
    return replace(asked, campaign=replace(campaign, steps=steps))


def _raised(result: WindowResult, short: Shortfall, system: str) -> tuple[str, OperationStep] | None:
    """The step with its own limit that falls shortest as high as its best hours need; None where no such limit is."""
    judged = result.steps[short.step]
    step, limit = judged.step, {one.key: one.limit for one in SITE_LIMITS}.get(short.check or "")
    heave = short.check == "heave_limit"
    given = step.operation.heave_limit if heave else getattr(step, limit) if limit else None
    if given is None or short.check is None:
        return None
    needed = _lowest_over(judged.reduced.by_check[short.check], result, short.needed)
    if not np.isfinite(needed):
        return None
    high = round(given * needed * 1.001 + 0.005, 2)
    about = fields.about(OperationStep, limit) if limit else fields.about(Operation, "heave_limit")
    assert isinstance(about, fields.Quantity)
    # four figures round by less than what is tried is above what is needed
    new, old = (show(value, about.kind, system, 4) for value in (high, given))
    words = f"{NAMES[short.check]} of {new} in place of {old}, for {step.label}"
    raised: Any = {limit: high} if limit else {"operation": replace(step.operation, heave_limit=high)}
    return words, replace(step, **raised)


def _lowest_over(used: FloatArray, result: WindowResult, span: float) -> float:
    """The lowest, over all starts from now on, of the highest utilisation within `span`; endless where none fits."""
    times = result.forecast.elapsed
    first = seconds(result.outlook.now - result.forecast.times[0])
    found = [
        float(np.max(used[(times >= start) & (times <= start + span)], initial=0.0))
        for start in times
        if start >= first and start + span <= times[-1]
    ]
    return min((value for value in found if not np.isnan(value)), default=np.inf)
