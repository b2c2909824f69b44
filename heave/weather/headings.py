"""The best heading at each step of a forecast, for a vessel that can choose but not turn at will."""

from __future__ import annotations

from typing import Final

import numpy as np
import numpy.typing as npt

from heave.errors import InputError
from heave.judging import in_sector
from heave.planning.alpha import AlphaTable
from heave.planning.campaign import Campaign
from heave.planning.plan import Plan
from heave.planning.ranges import CLOSED
from heave.weather.asked import asked_for
from heave.weather.evaluation import batch_for, judged
from heave.weather.forecast import Forecast
from heave.weather.intervals import FloatArray

HEADING_STEP: Final = 10.0
"""Step between the headings tried [deg]."""

OUTSIDE: Final = 1e6
"""Cost of a sample outside a limit: no saving elsewhere is worth one."""

ASTERN: Final = 1e9
"""Cost of a sample with the bow outside its sector: no limit elsewhere is worth one."""

TURNED: Final = 1e12
"""Cost of another heading than the vessel's own until now: it is where it is."""

MOST_OUTSIDE: Final = 100.0
"""Utilisation from which one sample outside is as bad as another."""


def heading_costs(
    plan: Plan, forecast: Forecast, campaign: Campaign, alpha: AlphaTable, headings: FloatArray
) -> FloatArray:
    """Highest utilisation over all steps at every sample and heading, with `OUTSIDE` added where it is not inside.

    A sea that is not known costs nothing at any heading: it has no heading to prefer.

    Parameters
    ----------
    plan, forecast, campaign, alpha : as `evaluate_forecast` takes them
    headings : headings to try, shape (m,) [deg]

    Returns
    -------
    Shape (n, m)
    """
    batch = batch_for(plan, forecast)
    cost = np.zeros((batch.size, headings.size))
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


def best_path(cost: FloatArray, turns: FloatArray, heading_step: float) -> npt.NDArray[np.intp]:
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
    size, count = cost.shape
    total = cost[0].copy()
    came_from = np.empty((size, count), dtype=np.intp)
    here = np.arange(count)
    for sample in range(1, size):
        reach = int(min(np.floor(turns[sample - 1] / heading_step + 1e-9), count // 2))
        offsets = sorted(range(-reach, reach + 1), key=abs)
        places = (here[None, :] + np.array(offsets)[:, None]) % count
        pick = np.argmin(total[places], axis=0)
        came_from[sample] = places[pick, here]
        total = total[came_from[sample]] + cost[sample]
    path = np.empty(size, dtype=np.intp)
    path[-1] = int(np.argmin(total))
    for sample in range(size - 1, 0, -1):
        path[sample - 1] = came_from[sample, path[sample]]
    return path


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
    cost = heading_costs(plan, forecast, campaign, alpha, headings)
    cost += np.where(in_sector(plan, forecast.batch, headings), 0.0, ASTERN)
    cost[forecast.missing] = 0.0
    if held_to is not None:
        cost[: held_to + 1] += np.where(np.isclose(headings, plan.heading), 0.0, TURNED)
    hours = np.diff(forecast.times).astype(np.float64) / 3600.0
    return headings[best_path(cost, turn_rate * hours, heading_step)]
