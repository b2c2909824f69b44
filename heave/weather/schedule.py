"""The steps of a campaign in time: starts, ends, by when the rig must be secured, and the waits between."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from operator import itemgetter

import numpy as np

from heave.arrays import FloatArray, Indices
from heave.judging import Utilisations
from heave.planning import Block, Campaign, Plan
from heave.weather.asked import halted_after
from heave.weather.endings import Ending, Stop, ending_at
from heave.weather.evaluation import StepEvaluation
from heave.weather.forecast import Forecast
from heave.weather.intervals import common, merged
from heave.weather.search import Search
from heave.weather.site_limits import WAITING
from heave.weather.work_now import WorkPlan


@dataclass(frozen=True)
class ScheduledStep:
    """When one step is done if the campaign starts at a window's earliest start; times UTC.

    Parameters
    ----------
    label : the step
    start, planned_end : as planned
    latest_end : with all contingency up to and including this step
    limit : what ends the time in which the step's limits hold
    limit_at : the last sample before that
    secure_by : last moment to begin making safe so that it is done by `limit_at`; None for a step that cannot be
        stopped
    confirm : issue of the oldest forecast that may confirm its start; None where this forecast does
    """

    label: str
    start: np.datetime64
    planned_end: np.datetime64
    latest_end: np.datetime64
    limit: Ending
    limit_at: np.datetime64
    secure_by: np.datetime64 | None
    confirm: np.datetime64 | None


@dataclass(frozen=True)
class ScheduledWait:
    """A wait between two steps, contingency before it used; times UTC.

    Parameters
    ----------
    after : label of the step before it
    start, end : when
    safe : when the rig is made safe; never after `end`
    state : what it waits in; empty where that is not said, and then nothing is judged
    highest : highest utilisation while it waits so, α applied; NaN where it is not judged
    """

    after: str
    start: np.datetime64
    end: np.datetime64
    safe: np.datetime64
    state: str
    highest: float


@dataclass(frozen=True)
class Piece:
    """One piece of work in a way of doing a campaign; times UTC.

    Parameters
    ----------
    step : its place in the campaign
    start, end : from when to when the step is worked on
    lead : from the issue of the forecast to when the piece is gone about, getting back to it counted [s]
    confirm : issue of the oldest forecast that may confirm it; None where this one does
    """

    step: int
    start: np.datetime64
    end: np.datetime64
    lead: float
    confirm: np.datetime64 | None


def pieces_of(plan: Plan, forecast: Forecast, campaign: Campaign, way: WorkPlan) -> tuple[Piece, ...]:
    """The pieces of work of one way, each by itself as a window is: how far ahead it lies, and what must confirm it.

    Of steps that cannot be halted all is decided when the first of them is begun.

    Parameters
    ----------
    plan, forecast, campaign : as asked
    way : the way of doing the campaign
    """
    found: list[Piece] = []
    begun: dict[int, float] = {}
    before = None
    for one in way.stretches:
        block = next(block for block in campaign.blocks if 0 <= one.step - block.first < len(block.steps))
        if one.doing == "work":
            gone = before.start if before is not None and before.doing == "get back" else one.start
            decided = gone if block.can_halt else begun.setdefault(block.first, one.start)
            lead = float((forecast.when(gone) - forecast.counted_from) / np.timedelta64(1, "s"))
            confirm = confirmed_from(plan, forecast, block, decided)
            found.append(Piece(one.step, forecast.when(one.start), forecast.when(one.end), lead, confirm))
        before = one
    return tuple(found)


def schedule_from(
    plan: Plan, forecast: Forecast, steps: tuple[StepEvaluation, ...], searched: Search, start: float
) -> tuple[tuple[ScheduledStep, ...], tuple[ScheduledWait, ...]]:
    """Every step, and every wait, of a campaign that begins at `start`.

    Parameters
    ----------
    plan, forecast : as asked
    steps : utilisations of each step
    searched : the search
    start : a start from which the campaign works [s after the first sample]
    """
    rows: list[ScheduledStep] = []
    begins = searched.begins(start)
    for block, begin in zip(searched.campaign.blocks, begins, strict=True):
        confirm = confirmed_from(plan, forecast, block, begin)
        for place, (early, late) in enumerate(block.spans, block.first):
            rows.append(_step(forecast, steps, searched, place, begin + early, begin + late, confirm))
    waits = [_wait(forecast, steps[one.after], searched, one) for one in _waits(searched, start, start)]
    return tuple(rows), tuple(waits)


@dataclass(frozen=True)
class _Span:
    """A wait: the place of the step before it, from when to when, and when the rig is made safe [s]."""

    after: int
    start: float
    end: float
    safe: float


def _waits(searched: Search, first: float, last: float) -> Iterator[_Span]:
    """The waits between blocks, if the campaign begins from `first` to `last`; of those for one start the longest."""
    begun = np.array([[first, last]])
    for block, starts in zip(searched.campaign.blocks, searched.starts[1:], strict=False):
        ends, kept = begun + block.reference, [common(begun + block.reference, starts)]
        for ended, following in zip([-np.inf, *starts[:-1, 1].tolist()], starts[:, 0].tolist(), strict=True):
            # what ends where a start can be does not wait
            for done in np.maximum(ends[(ends[:, 0] < following) & (ends[:, 1] > ended), 0], ended).tolist():
                safe = min(done + block.steps[-1].secured_in, following)
                yield _Span(block.first + len(block.steps) - 1, done, following, safe)
                kept.append(np.array([[following, following]]))
        begun = merged(np.concatenate(kept))


def _step(
    forecast: Forecast,
    steps: tuple[StepEvaluation, ...],
    searched: Search,
    place: int,
    start: float,
    latest_end: float,
    confirm: np.datetime64 | None,
) -> ScheduledStep:
    step, runs = steps[place].step, searched.runs[place]
    row = int(np.searchsorted(searched.times[runs[:, 0]], start, side="right")) - 1
    held = float(searched.times[runs[row, 1]])
    return ScheduledStep(
        label=step.label,
        start=forecast.when(start),
        planned_end=forecast.when(start + step.planned),
        latest_end=forecast.when(latest_end),
        limit=ending_at(forecast, steps, Stop(place, int(runs[row, 1]))),
        limit_at=forecast.when(held),
        secure_by=forecast.when(held - step.secured_in) if step.interruptible else None,
        confirm=confirm,
    )


def _wait(forecast: Forecast, before: StepEvaluation, searched: Search, span: _Span) -> ScheduledWait:
    step, when = before.step, forecast.when
    state = step.waits_in.about.label if step.waits_in else ""
    highest = _highest_in(searched, before.waiting, span)
    return ScheduledWait(step.label, when(span.start), when(span.end), when(span.safe), state, highest)


def _highest_in(searched: Search, waiting: Utilisations | None, span: _Span) -> float:
    """Highest utilisation of a wait, made safe; NaN where it is not judged."""
    if waiting is None or span.safe >= span.end:
        return float("nan")
    return float(np.max(waiting.governing[_around(searched, span.safe, span.end)]))


def confirmed_from(plan: Plan, forecast: Forecast, block: Block, begin: float) -> np.datetime64 | None:
    """Issue of the oldest forecast that may confirm a block that begins at `begin`; None where this one does.

    What can be halted is planned from one forecast to the next; what cannot, from the issue to its planned end,
    and that must not be more than the longest row of α.

    Parameters
    ----------
    plan, forecast : as asked
    block : the block of steps
    begin : its start [s after the first sample]
    """
    alpha = plan.weather.alpha
    if not alpha.applied:
        return None
    ahead = plan.weather.forecast_interval if block.can_halt else alpha.longest - block.planned
    needed = forecast.when(begin - ahead)
    return needed if needed > forecast.counted_from else None


def firm_until(
    plan: Plan, forecast: Forecast, block: Block, first: float, last: float
) -> np.datetime64 | None:
    """Latest start of a block between two that this forecast decides; None where a later one must confirm every start.

    Parameters
    ----------
    plan, forecast : as asked
    block : the block of steps
    first, last : starts [s after the first sample]
    """
    if confirmed_from(plan, forecast, block, first) is not None:
        return None
    needed = confirmed_from(plan, forecast, block, last)
    late = 0.0 if needed is None else float((needed - forecast.counted_from) / np.timedelta64(1, "s"))
    return forecast.when(last - late)


def row_needed(plan: Plan, block: Block) -> float:
    """Planned period for which a row of α is needed, whatever the forecast [s].

    Parameters
    ----------
    plan : with the time between two forecasts
    block : the block of steps
    """
    return float(min(block.planned, halted_after(plan, block)))


Top = tuple[float, str]
"""A utilisation and the key of its check."""


def highest_begun(
    searched: Search,
    tables: Sequence[Utilisations],
    waiting: Sequence[Utilisations | None],
    first: float,
    last: float,
) -> tuple[Top, Top]:
    """Highest utilisation of all that a start from `first` to `last` comes to, as planned and over the ranges.

    That is of any step while it may be under way, of making safe after it, and of a wait.

    Parameters
    ----------
    searched : the search
    tables : utilisations of each step, α applied
    waiting : the same of what the rig waits in after each step; None where that is not said
    first, last : earliest and latest start, of one interval of starts [s after the first sample]
    """
    found = []
    begun, late_begun = searched.begins(first), searched.begins(last)
    for block, begin, late_begin in zip(searched.campaign.blocks, begun, late_begun, strict=True):
        for table, (early, late) in zip(tables[block.first :], block.spans, strict=False):
            found.append(_tops(table, _around(searched, begin + early, late_begin + late)))
    for span in _waits(searched, first, last):
        found.append(_tops(tables[span.after], _around(searched, span.start, span.safe)))
        state = waiting[span.after]
        if state is not None and span.safe < span.end:
            tops = _tops(state, _around(searched, span.safe, span.end))
            found.append(((tops[0][0], WAITING), (tops[1][0], WAITING)))
    planned, worst = zip(*found, strict=True)
    return max(planned, key=itemgetter(0)), max(worst, key=itemgetter(0))


def _around(searched: Search, begin: float, end: float) -> slice:
    """The samples at or around both ends, and between: between two samples nothing better is known."""
    low = int(np.searchsorted(searched.times, begin, side="right")) - 1
    return slice(low, int(np.searchsorted(searched.times, end, side="left")) + 1)


def _tops(table: Utilisations, part: slice) -> tuple[Top, Top]:
    """The highest of some samples, as planned and over the ranges."""
    return _top(table, table.governing, table.governed_by, part), _top(table, table.high, table.high_by, part)


def _top(table: Utilisations, used: FloatArray, by: Indices, part: slice) -> Top:
    """The highest of some samples that are inside, and the check it is of."""
    inside = np.where(table.inside[part], used[part], -np.inf)
    place = int(np.argmax(inside))
    return float(inside[place]), table.keys[int(by[part][place])]
