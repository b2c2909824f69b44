"""What the seas of a forecast or hindcast do to the line of a compensating drawworks: ton-miles and bends."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from heave.arrays import BoolArray, FloatArray
from heave.judging.line_record import HOUR, WorkThrough, heave_work
from heave.planning import Plan
from heave.sea import SeaBatch
from heave.weather.evaluation import batch_for
from heave.weather.forecast import EnsembleForecast, Forecast

YEAR: Final = 365.2425 * 86400.0
"""Mean length of a year of the calendar [s]."""


@dataclass(frozen=True, eq=False)
class LineUse:
    """Work and bends of the line through a forecast, by its members; a single forecast is one member.

    Parameters
    ----------
    members : through each, in the order of the members
    span : time that every member covers, missing seas included [s]
    """

    members: tuple[WorkThrough, ...]
    span: float

    @cached_property
    def known(self) -> tuple[WorkThrough, ...]:
        """The members of which any sea is known."""
        return tuple(one for one in self.members if one.time > 0)

    @property
    def missing(self) -> float:
        """Time of missing seas in the member that has most of them [s]."""
        return self.span - min(one.time for one in self.members)

    def work(self, share: float) -> float:
        """Least work that `share` of the members do not exceed [J]; NaN where no member is known."""
        return not_exceeded(np.array([one.work for one in self.known]), share)

    def bends(self, share: float) -> float:
        """Fewest bend cycles that `share` of the members do not exceed [-]; NaN where no member is known."""
        return not_exceeded(np.array([one.bends for one in self.known]), share)


def line_use(plan: Plan, forecast: Forecast | EnsembleForecast) -> LineUse | None:
    """Work and bends of the line through a forecast at the plan's heading; None unless a drawworks compensates.

    Parameters
    ----------
    plan : the plan, in its own operation
    forecast : one series, or an ensemble
    """
    members = forecast.members if isinstance(forecast, EnsembleForecast) else (forecast,)
    hour = heave_work(plan, SeaBatch.stack([batch_for(plan, member) for member in members]))
    if hour is None:
        return None
    step = members[0].step
    rows = (np.reshape(one, (len(members), -1)) for one in (hour.work, hour.bends))
    through = tuple(WorkThrough.of(work, bends, step) for work, bends in zip(*rows, strict=True))
    return LineUse(through, members[0].size * step)


def mean_use(hourly: FloatArray, known: BoolArray, inside: BoolArray, span: float) -> float:
    """Mean use of the line in a `span`: that of the hours inside, nothing in those outside; NaN where none is known.

    The mean over known seas of hourly × (inside or not), times the hours of the span: by definition. What is missing
    counts as the known do.

    Parameters
    ----------
    hourly : use in an hour of each sea (n,)
    known : seas that could be assessed (n,)
    inside : seas inside every limit, in which the work is done (n,)
    span : length of a month or year [s]
    """
    if not known.any():
        return float("nan")
    return float(hourly[known & inside].sum() / known.sum() * span / HOUR)


def not_exceeded(values: FloatArray, share: float) -> float:
    """Smallest of the values that is not exceeded in the given share of them; infinite ones are the largest.

    Parameters
    ----------
    values : any order, (n,); NaN comes back where there is none
    share : above 0 to 1
    """
    if not values.size:
        return float("nan")
    ordered = np.sort(values)
    # The allowance keeps 0.9 of 10 cases at nine, whatever the rounding of the product.
    return float(ordered[int(np.ceil(share * ordered.size - 1e-9)) - 1])
