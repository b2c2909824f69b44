"""The plan in one hour of a forecast, as the windows judge it: sea, heading, task, tide, and the forecast factor."""

from __future__ import annotations

import math
from dataclasses import replace

from heave.errors import InputError
from heave.planning.plan import Plan
from heave.planning.task import plan_for, with_tide
from heave.weather.evaluation import batch_for, scaled_for
from heave.weather.results import WindowResult


def plan_in_hour(plan: Plan, result: WindowResult, step: int, place: int, *, raised: bool = True) -> Plan:
    """The plan doing a step in the sea and on the heading of one sample, with the tide that can have moved by then.

    Assessed, it gives the utilisations that the windows were found by; wind, current and the riser's own limits
    stand beside those and are not in it.

    Parameters
    ----------
    plan : the plan that was asked, for what no window depends on
    result : what the search found
    step : place of the step
    place : of the sample
    raised : the sea raised to the height that the forecast factor asks for; False takes it as forecast

    Raises
    ------
    InputError
        If the sample has no sea that can be judged, its raised sea is beyond the planner, or its tide is not known.
    """
    asked, forecast = result.steps[step].asked, result.forecast
    batch = batch_for(plan, forecast)
    if raised and asked.factor is not None:
        batch = scaled_for(batch, asked.factor)
    sea = replace(forecast, batch=batch).sea_state(place)
    made = plan_for(plan, asked.task).changed(sea=sea, heading=float(result.bow(step)[place]))
    if asked.tide is None:
        return made
    rise, fall = asked.tide.pairs[asked.tide.of[place]]
    if math.isnan(rise):
        allowed = "an hour whose tide is known"
        raise InputError("tide", f"not known at {forecast.times[place]}Z", None, allowed)
    return with_tide(made, rise, fall)
