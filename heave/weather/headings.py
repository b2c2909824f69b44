"""The best heading at each step of a forecast, for a vessel that can choose but not turn at will."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.arrays import BoolArray, FloatArray, Indices
from heave.errors import InputError
from heave.judging import in_sector
from heave.planning import CLOSED, AlphaTable, Campaign, Plan
from heave.weather.asked import asked_for
from heave.weather.evaluation import batch_for, judged
from heave.weather.forecast import Forecast

HEADING_STEP: Final = 10.0
"""Step between the headings tried [deg]."""

OUTSIDE: Final = 1e6
"""Cost of a sample outside a limit: no saving elsewhere is worth one."""

ASTERN: Final = 1e9
"""Cost of a sample with the bow outside its sector: no limit elsewhere is worth one."""

MOST_OUTSIDE: Final = 100.0
"""Utilisation from which one sample outside is as bad as another."""


def off_bow(direction_from: npt.ArrayLike, heading: npt.ArrayLike) -> FloatArray:
    """Angle at which wind or waves meet the bow: to starboard positive, to port negative, from -180 to below 180 [deg].

    Parameters
    ----------
    direction_from : compass direction they come from, any shape [deg]
    heading : compass direction of the bow, of a shape that goes with it [deg]
    """
    return np.asarray((np.asarray(direction_from) - np.asarray(heading) + 180.0) % 360.0 - 180.0)


def heading_costs(
    plan: Plan, forecast: Forecast, campaign: Campaign, alpha: AlphaTable, headings: FloatArray
) -> FloatArray:
    """Highest utilisation over all steps at every sample and heading, with `OUTSIDE` added where it is not inside.

    A sea that is not known costs nothing at any heading: it has no heading to prefer.

    Parameters
    ----------
    plan, forecast, campaign, alpha : as `evaluate_forecast` takes them
    headings : headings to try, the same at every sample (m,), or of their own (n, m) [deg]

    Returns
    -------
    Shape (n, m)
    """
    batch = batch_for(plan, forecast)
    cost = np.zeros((batch.size, headings.shape[-1]))
    tried = np.broadcast_to(headings, cost.shape)
    planned = plan.changed(ranges=CLOSED)  # ranges do not choose a heading
    # a step with its own heading has no choice
    asked = [one for one in asked_for(plan, forecast, campaign, alpha) if one.task.heading is None]
    for found in judged(planned, batch, asked, tried).values():
        used = np.where(np.isnan(found.governing), MOST_OUTSIDE, np.minimum(found.governing, MOST_OUTSIDE))
        used += np.where(found.inside, 0.0, OUTSIDE)
        cost = np.maximum(cost, used.reshape(cost.shape))
    cost[forecast.missing] = 0.0
    return cost


@lru_cache(maxsize=64)
def _sources(count: int, turn: float, heading_step: float) -> Indices:
    """Headings from which each can be reached by a turn, the smaller turns first, shape (k, m)."""
    reach = int(min(np.floor(turn / heading_step + 1e-9), count // 2))
    offsets = np.array(sorted(range(-reach, reach + 1), key=abs))
    return np.asarray((np.arange(count) + offsets[:, None]) % count)


def _least(cost: FloatArray, turns: FloatArray, heading_step: float) -> FloatArray:
    """Least cost of the samples up to each, ending on each heading, shape (n, m)."""
    total = cost.copy()
    for sample, turn in enumerate(turns, start=1):
        total[sample] += total[sample - 1][_sources(cost.shape[1], turn, heading_step)].min(axis=0)
    return total


def best_path(cost: FloatArray, turns: FloatArray, heading_step: float) -> Indices:
    """Cheapest sequence of headings in which no turn is larger than allowed, by dynamic programming.

    The cost of reaching a heading is its own plus the least cost among the headings it can be reached from;
    walking back from the cheapest end gives the path. Of equal ones the smaller turn is taken.

    Parameters
    ----------
    cost : cost of each heading at each sample, shape (n, m), m headings around the compass
    turns : largest turn between each sample and the next, shape (n−1,), from 0 [deg]
    heading_step : step between the headings, 360/m [deg]

    Returns
    -------
    Index of the heading at each sample, shape (n,)
    """
    total = _least(cost, turns, heading_step)
    path = np.empty(len(cost), dtype=np.intp)
    path[-1] = np.argmin(total[-1])
    for sample in range(len(turns) - 1, -1, -1):
        places = _sources(cost.shape[1], turns[sample], heading_step)[:, path[sample + 1]]
        path[sample] = places[np.argmin(total[sample, places])]
    return path


def on_cheapest(cost: FloatArray, turns: FloatArray, heading_step: float) -> BoolArray:
    """Whether each heading at each sample is on any of the cheapest paths, shape (n, m); see `best_path`.

    Parameters
    ----------
    cost, turns, heading_step : as for `best_path`; costs are whole numbers
    """
    before = _least(cost, turns, heading_step)
    after = _least(cost[::-1], turns[::-1], heading_step)[::-1]
    return np.asarray(before + after - cost == before[-1].min())


def best_headings(
    plan: Plan,
    forecast: Forecast,
    campaign: Campaign,
    alpha: AlphaTable,
    turn_rate: float,
    heading_step: float = HEADING_STEP,
    held_to: int | None = None,
) -> FloatArray:
    """Heading at each sample that leaves the fewest samples outside, then the lowest utilisations, on the whole.

    The bow stays within `plan.weather.sector` of the highest-energy waves wherever the turn rate lets it.

    Parameters
    ----------
    plan, forecast, campaign, alpha : as `evaluate_forecast` takes them
    turn_rate : largest turn, from 0 [deg/h]
    heading_step : step between the headings tried, a divisor of 360 from 1 to 90 [deg]
    held_to : the sample up to which the vessel keeps the plan's heading, and turns from it; None leaves it free

    Returns
    -------
    Headings, shape (n,) [deg]

    Raises
    ------
    InputError
        If the turn rate or the step is out of range.
    """
    if not 0.0 <= turn_rate <= 3600.0:
        raise InputError("Largest turn", turn_rate, "°/h", "from 0 to 3600 °/h")
    count = round(360.0 / heading_step) if 1.0 <= heading_step <= 90.0 else 0
    if count == 0 or abs(count * heading_step - 360.0) > 1e-9:
        raise InputError("step between headings", heading_step, "°", "a divisor of 360 from 1 to 90")
    # held to the plan's heading, that is one of those tried
    first = 0.0 if held_to is None else plan.heading % heading_step
    headings = np.array([first + index * heading_step for index in range(count)], dtype=np.float64)
    turns = turn_rate * np.diff(forecast.times).astype(np.float64) / 3600.0
    astern = np.where(in_sector(plan, forecast.batch, headings), 0.0, 1.0)
    astern[forecast.missing] = 0.0
    # No limit is worth a sample astern: only headings on paths with the fewest of those need their checks.
    held = astern.copy()
    if held_to is not None:  # and no sample astern is worth a turn before the present time
        held[: held_to + 1] += np.where(np.isclose(headings, plan.heading), 0.0, forecast.size + 1.0)
    worth = on_cheapest(held, turns, heading_step)
    most = worth[~forecast.missing].sum(axis=1).max(initial=1)
    tried = np.argsort(~worth, axis=1, kind="stable")[:, :most]
    cost = np.full(astern.shape, math.inf)
    np.put_along_axis(cost, tried, heading_costs(plan, forecast, campaign, alpha, headings[tried]), axis=1)
    cost[forecast.missing] = 0.0
    cost += ASTERN * astern
    return headings[best_path(np.where(worth, cost, math.inf), turns, heading_step)]
