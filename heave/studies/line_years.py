"""Work of the drilling line in a year of compensating by drawworks, over the seas in which an operation is worked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from heave.judging.line_record import HOUR, heave_work_over
from heave.planning.plan import Plan
from heave.planning.task import plan_for
from heave.studies.climate import StepClimate
from heave.studies.climate_seas import ClimateSeas
from heave.weather.line_use import YEAR

LINE_SEAS: Final = 12_000
"""Most workable seas that are worked; of more, every so-manieth is."""

_TURN: Final = 1.0
"""Headings nearer to each other than this are worked as one [deg]."""


@dataclass(frozen=True)
class LineYear:
    """What a compensating drawworks asks of its line in a year, if the operation were worked whenever it can be.

    Parameters
    ----------
    hourly : mean work of an hour of working [J]
    hours : hours of a year in which the operation can be worked [h]
    """

    hourly: float
    hours: float

    @property
    def yearly(self) -> float:
        """Work of a year [J]."""
        return self.hourly * self.hours


def line_year(plan: Plan, seas: ClimateSeas, step: StepClimate) -> LineYear | None:
    """Line work of a year over the seas in which a step can be worked, each for its share of the time.

    Work of an hour in each sea by `heave.judging.line_record.heave_work_over`, on the heading that was taken, to 1°.
    None unless a drawworks compensates in the step, or where it can never be worked. Of many seas a sample is worked.

    Parameters
    ----------
    plan : the plan
    seas : the climate
    step : one step of its operability
    """
    rows = np.flatnonzero(step.workable)
    own = plan_for(plan, step.asked.task)
    if not rows.size or heave_work_over(own, seas.batch.take(rows[:1]), HOUR) is None:
        return None
    rows = rows[:: -(-rows.size // LINE_SEAS)]
    heading = np.round(step.heading[rows] / _TURN) * _TURN % 360.0
    work = time = 0.0
    keys = np.stack([heading, seas.weight[rows]], axis=1)
    alike, which = np.unique(keys, axis=0, return_inverse=True)
    for place, (bow, weight) in enumerate(alike.tolist()):
        some = seas.batch.take(rows[which.reshape(-1) == place])
        found = heave_work_over(own.changed(heading=bow), some, HOUR)
        assert found is not None
        work, time = work + weight * found[0], time + weight * found[1]
    return LineYear(work / time * HOUR, step.shares.workable * YEAR / HOUR)
