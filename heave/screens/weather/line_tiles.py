"""Ton-miles and bends of a compensating drawworks through a forecast or a hindcast, as tiles; none for other units."""

from __future__ import annotations

import math
from functools import lru_cache

from heave.planning import Plan
from heave.screens.pieces import Tile
from heave.units import show, significant
from heave.weather import EnsembleForecast, Forecast
from heave.weather.hindcast import MonthStatistics
from heave.weather.line_use import line_use

_of = lru_cache(maxsize=8)(line_use)
"""Line use of a forecast, worked once for what it is of."""


def over_forecast(plan: Plan, forecast: Forecast | EnsembleForecast, sample: bool, system: str) -> list[Tile]:
    """Line work through a forecast at the plan's heading: all of it, or of an ensemble the median and P90 of members.

    Parameters
    ----------
    plan, forecast : the plan and the forecast in use
    sample : whether that is the invented sample
    system : units on the screen
    """
    found = _of(plan, forecast)
    if found is None:
        return []
    many = isinstance(forecast, EnsembleForecast)
    whole = found.span if many else found.members[0].time
    under = f"{show(whole, 'duration', system)} of {'the invented sample' if sample else 'the forecast'}"
    under += ", plan's heading"
    if found.missing:
        most = " in one member" if many else ""
        under += f"; {show(found.missing, 'duration', system)} missing{most}, not counted"
    work, most_work = (show(found.work(share), "line_work", system) for share in (0.5, 0.9))
    bends, most_bends = (significant(found.bends(share)) for share in (0.5, 0.9))
    if not many:
        return [("Compensating all of it", work, f"{under}; {bends} bend cycles where worst")]
    nine = "not exceeded in nine of ten members"
    return [
        ("Compensating all of it, median", work, f"{under}; P90 {most_work}, {nine}"),
        ("Bend cycles where worst, median", bends, f"P90 {most_bends}, {nine}"),
    ]


def over_years(whole: MonthStatistics, system: str) -> list[Tile]:
    """Line work of a mean month and year of a record.

    Parameters
    ----------
    whole : of the whole record
    system : units on the screen
    """
    if math.isnan(whole.line_work):
        return []
    month, year = (show(times * whole.line_work, "line_work", system) for times in (1, 12))
    bends = [significant(times * whole.bends) for times in (1, 12)]
    inside = "compensating in the first step, only while it is inside its limits"
    return [
        ("Line work a month", month, f"{inside}; {bends[0]} bend cycles where worst"),
        ("Line work a year", year, f"twelve such months; {bends[1]} bend cycles where worst"),
    ]
