"""Weather windows: from a forecast and a campaign to the hours that can be worked."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from operator import itemgetter

import numpy as np
import numpy.typing as npt

from heave.errors import InputError
from heave.judging import Utilisations
from heave.planning import AS_NEW, AlphaTable, Campaign, HeadingPolicy, Plan
from heave.sea import SeaState
from heave.weather.endings import endings, stop_of
from heave.weather.evaluation import StepEvaluation, evaluate_forecast
from heave.weather.forecast import Forecast
from heave.weather.headings import best_headings
from heave.weather.intervals import BoolArray, FloatArray, holds_at
from heave.weather.notes import notes_for
from heave.weather.outlook import outlook_at
from heave.weather.results import ScheduledStep, Window, WindowResult
from heave.weather.search import Search, search


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
        If a block of steps is planned longer than the longest row of α, or an argument is out of range.
    """
    if not isinstance(forecast, Forecast):
        raise InputError(
            "forecast", type(forecast).__name__, None, "one forecast; see ensemble_windows for members"
        )
    asked = plan.weather.but(campaign=campaign, alpha=alpha, now=now, heading=heading, turn_rate=turn_rate)
    plan = plan.changed(weather=asked)
    whole, table = plan.campaign, asked.alpha
    headings = np.full(forecast.size, plan.heading)
    if asked.heading == "best":
        headings = best_headings(plan, forecast, whole, table, asked.turn_rate)
    steps = evaluate_forecast(plan, forecast, whole, table, headings)
    searched = search_in(forecast, whole, [step.inside for step in steps])
    windows = _windows(plan, forecast, steps, headings, searched)
    without_factor = windows
    if table.applied:
        exact = tuple(step.as_forecast(forecast.batch.hs) for step in steps)
        plain = search_in(forecast, whole, [step.inside for step in exact])
        without_factor = _windows(plan, forecast, exact, headings, plain)
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
        outlook=outlook_at(plan, forecast, steps, headings, searched),
        notes=notes_for(plan, forecast),
    )


def question(plan: Plan) -> Plan:
    """The plan with all that moves no window as it is in any plan: equal questions have equal windows.

    Its sea counts for the depth of water only, and neither the zone of the clock nor what the columns of a file
    mean changes what is found.

    Parameters
    ----------
    plan : the plan
    """
    asked = replace(plan.weather, time_zone=AS_NEW.time_zone, forecast_mapping=None)
    return plan.changed(weather=asked, sea=replace(_any_sea(), depth=plan.sea.depth))


def search_in(forecast: Forecast, campaign: Campaign, inside: list[BoolArray]) -> Search:
    """`search` on the samples of a forecast.

    Parameters
    ----------
    forecast : the forecast
    campaign : the steps
    inside : for each step, True where it is inside its limits, shape (n,)
    """
    return search(campaign, forecast.elapsed, forecast.gap_after, ~forecast.missing, inside)


def _windows(
    plan: Plan,
    forecast: Forecast,
    steps: tuple[StepEvaluation, ...],
    headings: FloatArray,
    searched: Search,
) -> tuple[Window, ...]:
    rows = [(float(first), float(last)) for first, last in searched.starts[0]]
    reasons = endings(plan, forecast, steps, headings, [stop_of(searched, last) for _, last in rows])
    made = []
    for (first, last), reason in zip(rows, reasons, strict=True):
        planned, worst = _highest(searched, steps, first, last)
        schedule, no_return = _schedule(forecast, searched, first)
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
                schedule=schedule,
                no_return=no_return,
            )
        )
    return tuple(made)


def _highest(
    searched: Search, steps: tuple[StepEvaluation, ...], first: float, last: float
) -> tuple[tuple[float, str], tuple[float, str]]:
    """Highest utilisation of any step while it may be under way and its check: as planned, and over the ranges."""
    planned, worst = (-np.inf, ""), (-np.inf, "")
    begun, late_begun = searched.begins(first), searched.begins(last)
    for place, block in enumerate(searched.campaign.blocks):
        for offset, (early, late) in enumerate(block.spans):
            table = steps[block.first + offset].reduced
            # The samples at or around both ends count: between two samples nothing better is known.
            low = int(np.searchsorted(searched.times, begun[place] + early, side="right")) - 1
            high = int(np.searchsorted(searched.times, late_begun[place] + late, side="left")) + 1
            part = slice(low, high)
            planned = max(planned, _top(table, table.governing, table.governed_by, part), key=itemgetter(0))
            worst = max(worst, _top(table, table.high, table.high_by, part), key=itemgetter(0))
    return planned, worst


def _top(table: Utilisations, used: FloatArray, by: npt.NDArray[np.intp], part: slice) -> tuple[float, str]:
    """The highest of some samples that are inside, and the check it is of."""
    inside = np.where(table.inside[part], used[part], -np.inf)
    place = int(np.argmax(inside))
    return float(inside[place]), table.keys[int(by[part][place])]


def _schedule(
    forecast: Forecast, searched: Search, first: float
) -> tuple[tuple[ScheduledStep, ...], tuple[np.datetime64, ...]]:
    rows, no_return = [], []
    for block, begin in zip(searched.campaign.blocks, searched.begins(first), strict=True):
        if block.no_return is not None:
            no_return.append(forecast.when(begin + block.no_return))
        for step, (early, late) in zip(block.steps, block.spans, strict=True):
            start = begin + early
            rows.append(
                ScheduledStep(
                    step.label,
                    forecast.when(start),
                    forecast.when(start + step.planned),
                    forecast.when(begin + late),
                )
            )
    return tuple(rows), tuple(no_return)


def without_systems(forecast: Forecast, names: tuple[str, ...]) -> Forecast:
    """The forecast with the named wave systems calm where they are known, to see what they cost.

    Parameters
    ----------
    forecast : the forecast
    names : names of the systems to leave out
    """
    # Zero times NaN stays NaN: what is missing does not become a calm.
    slots = tuple(
        slot.times(0.0) if name in names else slot
        for name, slot in zip(forecast.system_names, forecast.batch.slots, strict=True)
    )
    return replace(forecast, batch=replace(forecast.batch, slots=slots))
