"""What is asked of every sea of a forecast: the task of each step, its row of α by lead time, and the tide."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, TypeVar

import numpy as np

from heave.arrays import FloatArray, Indices, Times
from heave.errors import InputError
from heave.planning import Block, Campaign, Plan
from heave.planning.alpha import AlphaRow, AlphaSeries, AlphaTable
from heave.planning.task import Task
from heave.planning.tide import travel
from heave.weather.forecast import Forecast

TIDE_STEP: Final = 0.25
"""Least step in which the tide's travel is counted, always up to the next [m]."""

TIDE_STEPS: Final = 8
"""Most steps of the tide's travel: with more range each is longer."""


_Row = TypeVar("_Row")


@dataclass(frozen=True)
class TideSeries:
    """How far the tide can have moved at each of n seas since space-out: pairs of rise and fall, and which has which.

    Parameters
    ----------
    pairs : rise and fall [m], counted up to the next step; NaN where the tide is not known
    of : place in `pairs` for each sea, n of them
    """

    pairs: tuple[tuple[float, float], ...]
    of: tuple[int, ...]


@dataclass(frozen=True)
class Asked:
    """A task, with the row of α and the tide it is judged in.

    Parameters
    ----------
    task : what is done
    factor : the rows of α of all seas, one for each or one for all; None takes the sea as forecast
    tide : how far the tide can have moved at each sea; None takes the plan's own rise and fall
    """

    task: Task
    factor: AlphaSeries | AlphaRow | None = None
    tide: TideSeries | None = None

    @property
    def exact(self) -> Asked:
        """The same in the sea as forecast."""
        return replace(self, factor=None)

    def take(self, samples: Indices) -> Asked:
        """The same for some of the seas, by their places.

        Parameters
        ----------
        samples : places, (m,)
        """
        factor = self.factor.take(samples) if isinstance(self.factor, AlphaSeries) else self.factor
        tide = self.tide
        if tide is not None:
            tide = TideSeries(tide.pairs, tuple(tide.of[place] for place in samples.tolist()))
        return Asked(self.task, factor, tide)

    @classmethod
    def end_to_end(cls, parts: Sequence[Asked]) -> Asked:
        """What is asked of the seas of several series one after the other.

        Parameters
        ----------
        parts : of each series the same task, with a factor, or a tide, for every sea or for none

        Raises
        ------
        InputError
            If some have a tide and others none.
        """
        first = parts[0]
        factors = [one.factor for one in parts if isinstance(one.factor, AlphaSeries)]
        tides = [one.tide for one in parts if one.tide is not None]
        factor, tide = first.factor, None
        if factors:
            factor = AlphaSeries(*_numbered([(one.rows, one.of) for one in factors]))
        if tides:
            if len(tides) < len(parts):
                raise InputError("tide", "given for some members only", None, "one for every member, or none")
            tide = TideSeries(*_numbered([(one.pairs, one.of) for one in tides]))
        return Asked(first.task, factor, tide)

    def tiled(self, count: int) -> Asked:
        """The same for the seas `count` times over."""
        factor = self.factor.tiled(count) if isinstance(self.factor, AlphaSeries) else self.factor
        tide = None if self.tide is None else TideSeries(self.tide.pairs, self.tide.of * count)
        return Asked(self.task, factor, tide)


def _numbered(
    parts: list[tuple[tuple[_Row, ...], tuple[int, ...]]],
) -> tuple[tuple[_Row, ...], tuple[int, ...]]:
    """Rows, and which of them each sea has, of several series one after the other; rows that are alike once."""
    places: dict[_Row, int] = {}
    of = [places.setdefault(rows[place], len(places)) for rows, each in parts for place in each]
    return tuple(places), tuple(of)


def asked_for(
    plan: Plan, forecast: Forecast, campaign: Campaign, alpha: AlphaTable, by_lead: bool = True
) -> list[Asked]:
    """What each step asks of the seas of a forecast.

    Lead time runs from the issue of the forecast to each sea. For an operation that can be stopped it is capped
    at the time between two forecasts plus the time to make safe, for a newer forecast has then come
    (DNV-ST-N001 2.6.9 and 2.6.10, from secondary sources, not read in the standard). Contingency counts by its
    own lead time, which is never the easier.

    Parameters
    ----------
    plan, forecast, campaign, alpha : as asked
    by_lead : False takes one row for all seas by the planned period, as for years of seas that have no issue

    Raises
    ------
    InputError
        If `by_lead` is False and a block is planned longer than the longest row of α.
    """
    found = []
    for block in campaign.blocks:
        factor = _rows(plan, forecast, block, alpha, by_lead)
        for step, (early, late) in zip(block.steps, block.spans, strict=True):
            found.append(_asked(plan, forecast, Task.of(step, plan), factor, late - early))
    return found


def waits_for(
    plan: Plan, forecast: Forecast, campaign: Campaign, alpha: AlphaTable, by_lead: bool = True
) -> list[Asked | None]:
    """What the wait after each step asks of the seas of a forecast; None where it is not said or cannot be.

    A wait can be ended by disconnecting or leaving only as its own rules say, so it takes the row of the step.

    Parameters
    ----------
    plan, forecast, campaign, alpha, by_lead : as for `asked_for`
    """
    found: list[Asked | None] = []
    for block in campaign.blocks:
        factor, wait = _rows(plan, forecast, block, alpha, by_lead), campaign.longest_wait
        tasks = map(Task.waiting, block.steps)
        found += [None if task is None else _asked(plan, forecast, task, factor, wait) for task in tasks]
    return found


def _rows(
    plan: Plan, forecast: Forecast, block: Block, alpha: AlphaTable, by_lead: bool
) -> AlphaSeries | AlphaRow | None:
    return alpha.by_lead(lead_of(plan, forecast, block)) if by_lead else alpha.row_for(block.planned)


def _asked(
    plan: Plan, forecast: Forecast, task: Task, factor: AlphaSeries | AlphaRow | None, span: float
) -> Asked:
    # a locked unit does not travel with the tide
    locked = not task.operation.compensated
    return Asked(task, factor, None if locked else tide_of(plan, forecast, span))


def lead_of(plan: Plan, forecast: Forecast, block: Block) -> FloatArray:
    """Lead time of each sea for a block of steps, capped where the block can be halted, (n,) [s].

    Parameters
    ----------
    plan, forecast : as asked
    block : the block
    """
    lead = (forecast.times - forecast.counted_from).astype(np.float64)
    return np.asarray(np.minimum(lead, halted_after(plan, block)))


def halted_after(plan: Plan, block: Block) -> float:
    """Longest that a block which can be halted rests on one forecast; endless for one that cannot [s].

    Parameters
    ----------
    plan : with the time between two forecasts
    block : the block
    """
    return plan.weather.forecast_interval + block.steps[0].make_safe if block.can_halt else np.inf


def tide_of(plan: Plan, forecast: Forecast, span: float) -> TideSeries | None:
    """How far the tide can have moved at each sea within a step that may have begun `span` before; None for no curve.

    The table of the plan goes before the column of the forecast, which is linear between samples.

    Parameters
    ----------
    plan, forecast : as asked
    span : longest time since space-out [s]
    """
    table, column = plan.weather.tide, forecast.tide
    if table is not None:
        moved = travel(table.level, table.times, forecast.times, span)
    elif column is not None:
        known = forecast.times.astype(np.float64)

        def level(times: Times) -> FloatArray:
            return np.asarray(np.interp(times.astype(np.float64), known, column))

        moved = travel(level, forecast.times, forecast.times, span)
    else:
        return None
    gone = np.stack(moved, axis=1)
    largest = float(np.max(gone, initial=0.0, where=~np.isnan(gone)))
    step = max(TIDE_STEP, largest / TIDE_STEPS)
    steps = np.ceil(gone / step - 1e-9) * step
    # rows with NaN are alike to each other
    pairs, of = np.unique(np.nan_to_num(steps, nan=-1.0).clip(min=-1.0), axis=0, return_inverse=True)
    rows = ((rise, fall) if rise >= 0 <= fall else (np.nan, np.nan) for rise, fall in pairs.tolist())
    return TideSeries(tuple(rows), tuple(of.reshape(-1).tolist()))
