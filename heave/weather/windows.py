"""Weather windows: from a forecast and a campaign to the hours that can be worked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache

import numpy as np

from heave.arrays import BoolArray, FloatArray
from heave.errors import InputError
from heave.judging import Utilisations
from heave.planning import AS_NEW, NO_FACTOR, AlphaTable, Campaign, HeadingPolicy, Plan, instant
from heave.sea import SeaState
from heave.weather.endings import endings, stop_of
from heave.weather.evaluation import StepEvaluation, evaluate_forecast
from heave.weather.forecast import Forecast
from heave.weather.headings import best_headings
from heave.weather.intervals import holds_at
from heave.weather.notes import notes_for
from heave.weather.outlook import outlook_at
from heave.weather.results import Outlook, Window, WindowResult, seconds
from heave.weather.schedule import (
    ScheduledStep,
    ScheduledWait,
    firm_until,
    highest_begun,
    schedule_from,
)
from heave.weather.search import Search, search
from heave.weather.work_now import WorkPlan, ways_from


@cache
def _any_sea() -> SeaState:
    return SeaState.single(hs=0.1, tp=10.0)


def weather_windows(
    plan: Plan,
    forecast: Forecast,
    campaign: Campaign | None = None,
    alpha: AlphaTable | None = None,
    now: np.datetime64 | str | None = None,
    heading: HeadingPolicy | None = None,
    turn_rate: float | None = None,
) -> WindowResult:
    """The windows of a campaign in a forecast: every start that works, margins, and what ends them.

    Every sample's own spectrum goes through all checks of each step's operation, in the sea that α asks for.
    A window needs both ends inside; between two samples it holds only if both do; a gap ends it, and a sea
    that is not known or not assessed is never inside. A step's limits must hold from the earliest it can
    begin to the latest it can end, T_R = T_POP + T_C counted step by step.

    What is asked stands in `plan.weather`; an argument given here takes the place of that choice.

    Parameters
    ----------
    plan : vessel, compensator, string, risk, heading and what is asked; its sea is not used
    forecast : seas in time order
    campaign : the steps; where the plan has none either, its operation as one step
    alpha : forecast factor table
    now : the present time, UTC; where the plan has none either, the first time of the forecast
    heading : 'fixed' keeps the plan's, 'best' takes the best at each sample
    turn_rate : largest turn where the vessel may choose, from 0 [deg/h]

    Returns
    -------
    WindowResult

    Raises
    ------
    InputError
        If a step does not fit the plan, or an argument is out of range.
    """
    if not isinstance(forecast, Forecast):
        allowed = "one forecast; see ensemble_windows for members"
        raise InputError("forecast", type(forecast).__name__, None, allowed)
    asked = plan.weather.but(campaign=campaign, alpha=alpha, now=now, heading=heading, turn_rate=turn_rate)
    plan = plan.changed(weather=asked)
    whole, table = plan.campaign, asked.alpha
    headings = np.full(forecast.size, plan.heading)
    if asked.heading == "best":
        held = _present_sample(plan, forecast)
        headings = best_headings(plan, forecast, whole, table, asked.turn_rate, held_to=held)
    steps = evaluate_forecast(plan, forecast, whole, table, headings)
    searched = search_in(forecast, whole, [step.inside for step in steps], waits_of(steps))
    windows = _windows(plan, forecast, steps, headings, searched)
    without_factor = windows
    if table.applied:
        exact = tuple(step.as_forecast(forecast.batch.hs) for step in steps)
        plain = search_in(forecast, whole, [step.inside for step in exact], waits_of(exact))
        factorless = plan.changed(weather=asked.but(alpha=NO_FACTOR))
        without_factor = _windows(factorless, forecast, exact, headings, plain)
    tables = [step.reduced for step in steps], [step.waiting for step in steps]
    outlook = outlook_at(plan, forecast, steps, headings, searched, calm_in(plan, forecast, *tables))
    schedule, waits, work = _from_now(plan, forecast, steps, searched, outlook)
    return WindowResult(
        plan=plan,
        forecast=forecast,
        campaign=whole,
        alpha=table,
        steps=steps,
        heading=headings,
        start_works=holds_at(searched.starts[0], searched.times),
        windows=windows,
        without_factor=without_factor,
        outlook=outlook,
        schedule=schedule,
        waits=waits,
        work=work,
        notes=notes_for(plan, forecast),
    )


def _present_sample(plan: Plan, forecast: Forecast) -> int | None:
    """The last sample that is not after the present time, where the plan has one that the forecast covers."""
    if plan.weather.now is None:
        return None
    place = int(np.searchsorted(forecast.times, instant(plan.weather.now), side="right")) - 1
    covered = place >= 0 and instant(plan.weather.now) <= forecast.times[-1]
    return place if covered else None


def question(plan: Plan) -> Plan:
    """The plan with all that moves no window as it is in any plan: equal questions have equal windows.

    Its sea counts for the depth of water only, and neither the zone of the clock nor what the columns of a file
    mean, what is asked of other seas, what a study varies nor the title block changes what is found.

    Parameters
    ----------
    plan : the plan
    """
    asked = replace(plan.weather, time_zone=AS_NEW.time_zone, forecast_mapping=None, forecast_layouts=())
    sea = replace(_any_sea(), depth=plan.sea.depth)
    return plan.as_judged.changed(weather=asked, sea=sea)


def search_in(
    forecast: Forecast,
    campaign: Campaign,
    inside: list[BoolArray],
    waiting: list[BoolArray | None] | None = None,
) -> Search:
    """`search` on the samples of a forecast.

    Parameters
    ----------
    forecast : the forecast
    campaign : the steps
    inside : for each step, True where it is inside its limits, shape (n,)
    waiting : the same of the state it then waits in; None where that is not said
    """
    return search(campaign, forecast.elapsed, forecast.gap_after, ~forecast.missing, inside, waiting)


def waits_of(steps: tuple[StepEvaluation, ...]) -> list[BoolArray | None]:
    """Where the state each step then waits in holds, for `search_in`; None where that is not said.

    Parameters
    ----------
    steps : utilisations of each step
    """
    return [None if step.waiting is None else step.waiting.inside for step in steps]


def calm_in(
    plan: Plan, forecast: Forecast, steps: Sequence[Utilisations], waits: Sequence[Utilisations | None]
) -> Search:
    """The campaign against what is within limits and near none of them, over all that is known not to be known.

    A start that it finds is calm whatever else there is in the forecast, and a worse sea never makes one of another.

    Parameters
    ----------
    plan, forecast : as asked
    steps : utilisations of each step, α applied
    waits : the same of the state it then waits in; None where that is not said
    """
    level = plan.caution_level
    inside = [table.sure & (table.governing < level) for table in steps]
    waiting = [None if one is None else one.sure & (one.governing < level) for one in waits]
    return search_in(forecast, plan.campaign, inside, waiting)


def _windows(
    plan: Plan,
    forecast: Forecast,
    steps: tuple[StepEvaluation, ...],
    headings: FloatArray,
    searched: Search,
) -> tuple[Window, ...]:
    rows = [(float(first), float(last)) for first, last in searched.starts[0]]
    reasons = endings(plan, forecast, steps, headings, [stop_of(searched, last) for _, last in rows])
    made, whole = [], searched.campaign
    tables, states = [step.reduced for step in steps], [step.waiting for step in steps]
    for (first, last), reason in zip(rows, reasons, strict=True):
        planned, worst = highest_begun(searched, tables, states, first, last)
        schedule, waits = schedule_from(plan, forecast, steps, searched, first)
        made.append(
            Window(
                start=forecast.when(first),
                latest_start=forecast.when(last),
                end=forecast.when(searched.finish(last)),
                margin=1.0 - planned[0],
                closest=planned[1],
                doubt=worst[0],
                doubtful=worst[1],
                ending=reason,
                lead=seconds(forecast.when(first) - forecast.counted_from),
                firm_until=firm_until(plan, forecast, whole.blocks[0], first, last),
                confirm=schedule[0].confirm,
                schedule=schedule,
                waits=waits,
                no_return=tuple(
                    forecast.when(begin + block.no_return)
                    for block, begin in zip(whole.blocks, searched.begins(first), strict=True)
                    if block.no_return is not None
                ),
            )
        )
    return tuple(made)


def _from_now(
    plan: Plan, forecast: Forecast, steps: tuple[StepEvaluation, ...], searched: Search, outlook: Outlook
) -> tuple[tuple[ScheduledStep, ...], tuple[ScheduledWait, ...], tuple[WorkPlan, ...]]:
    """Steps and waits of the campaign from now on, and the ways of doing it; nothing outside the forecast."""
    if outlook.clock in ("before it starts", "after it ended"):
        return (), (), ()
    at = seconds(outlook.now - forecast.times[0])
    work = ways_from(searched, at)
    if outlook.until_start is None:
        return (), (), work
    return *schedule_from(plan, forecast, steps, searched, at + outlook.until_start), work


def without_systems(forecast: Forecast, names: tuple[str, ...]) -> Forecast:
    """The forecast with the named wave systems calm where they are known, to see what they cost.

    Parameters
    ----------
    forecast : the forecast
    names : names of the systems to leave out
    """
    # Zero times NaN stays NaN: what is missing does not become a calm.
    pairs = zip(forecast.system_names, forecast.batch.slots, strict=True)
    slots = tuple(slot.times(0.0) if name in names else slot for name, slot in pairs)
    return replace(forecast, batch=replace(forecast.batch, slots=slots))
