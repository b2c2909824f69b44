"""A forecast through the checks of its operations: utilisation hour by hour, with and without α."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from heave.judging.utilisation import Utilisations, utilisations_of
from heave.planning.alpha import AlphaRow, AlphaTable
from heave.planning.campaign import Campaign, OperationStep
from heave.planning.operations import Operation
from heave.planning.plan import Plan
from heave.sea import SeaBatch
from heave.sea.arguments import MAX_HS
from heave.weather.forecast import Forecast
from heave.weather.intervals import BoolArray, FloatArray

Progress = Callable[[float], None]
Cancelled = Callable[[], bool]


class CancelledError(Exception):
    """The user asked to stop before the end."""


@dataclass(frozen=True, eq=False)
class StepEvaluation:
    """One step of a campaign over all samples of a forecast, arrays of shape (n,).

    Parameters
    ----------
    step : the step
    row : the row of α that was applied; None where none was
    plain : utilisations in the sea as forecast
    reduced : utilisations in the sea the forecast must be taken for, α applied; the same where none is
    design_hs : total height of that sea [m]
    """

    step: OperationStep
    row: AlphaRow | None
    plain: Utilisations
    reduced: Utilisations
    design_hs: FloatArray

    @property
    def inside(self) -> BoolArray:
        """Samples inside every limit, α applied; a sea not known or not assessed is not inside."""
        return self.reduced.inside

    def as_forecast(self, hs: FloatArray) -> StepEvaluation:
        """The step in the sea as forecast, of total height `hs` [m], with no α applied."""
        return replace(self, row=None, reduced=self.plain, design_hs=hs)


def evaluate_forecast(
    plan: Plan,
    forecast: Forecast,
    campaign: Campaign,
    alpha: AlphaTable,
    heading: npt.ArrayLike | None = None,
) -> tuple[StepEvaluation, ...]:
    """Utilisation of every check of every step at every sample, with and without α.

    Each sample's own spectrum, all systems in, goes through the checks of the step's operation. α lowers the
    wave limit, not the utilisation: the checks are made again in the sea scaled, all systems together and
    periods held, to the design height H with α(H)·H equal to the forecast height. A step takes the row of α
    of the block of steps it belongs to (see `Campaign.blocks`).

    Parameters
    ----------
    plan : the plan; its own sea and operation are not used, its water depth is where the forecast has none
    forecast : seas in time order
    campaign : the steps
    alpha : table of α
    heading : vessel heading [deg], scalar or (n,); None takes the plan's

    Returns
    -------
    One StepEvaluation for each step

    Raises
    ------
    InputError
        If a block is planned longer than the longest row of α, or an operation does not fit the plan.
    """
    asked, batch = asked_of(campaign, alpha), batch_for(plan, forecast)
    plain = judged(plan, batch, [(operation, None) for operation, _ in asked], heading)
    reduced = judged(plan, batch, asked, heading, plain)
    found = []
    for step, (operation, row) in zip(campaign.steps, asked, strict=True):
        exact, raised = plain[operation, None], reduced[operation, row]
        design_hs = batch.hs if row is None else scaled_for(batch, row).hs
        found.append(StepEvaluation(step, row, exact, _over_already(exact, raised), design_hs))
    return tuple(found)


Asked = tuple[Operation, AlphaRow | None]
"""An operation, and the row of α it is judged with; None takes the sea as forecast."""


def asked_of(campaign: Campaign, alpha: AlphaTable) -> list[Asked]:
    """The operation of each step with the row of α for the block it is in.

    Parameters
    ----------
    campaign : the steps
    alpha : table of α
    """
    return [(s.operation, alpha.row_for(block.planned)) for block in campaign.blocks for s in block.steps]


def judged(
    plan: Plan,
    batch: SeaBatch,
    asked: Sequence[Asked],
    heading: npt.ArrayLike | None = None,
    known: Mapping[Asked, Utilisations] | None = None,
    progress: Progress | None = None,
) -> dict[Asked, Utilisations]:
    """Utilisations of operations in a sea as forecast or raised by α; the seas of one row are worked once.

    Parameters
    ----------
    plan : the plan; its own sea and operation are not used
    batch : n seas as forecast
    asked : operations, each with its row of α
    heading : as for `judging.utilisations`
    known : what has been worked already
    progress : called now and then with the share done, 0 to 1; what it raises ends the work
    """
    found = dict(known or {})
    rows = list(dict.fromkeys(row for operation, row in asked if (operation, row) not in found))
    for done, row in enumerate(rows):
        operations = list(dict.fromkeys(op for op, other in asked if other == row and (op, row) not in found))
        results = utilisations_of(
            [plan.changed(operation=operation) for operation in operations],
            batch if row is None else scaled_for(batch, row),
            heading,
            _part(progress, done, len(rows)),
        )
        found |= {(operation, row): result for operation, result in zip(operations, results, strict=True)}
    return found


class Held(NamedTuple):
    """Where steps hold with α applied, over n sea states.

    inside : for each step, True where it is inside every limit as planned, (n,)
    sure : the same at the worst of the ranges of what is not known as well
    known : True where the first step could be assessed, (n,)
    """

    inside: tuple[BoolArray, ...]
    sure: tuple[BoolArray, ...]
    known: BoolArray


def inside_limits(
    plan: Plan,
    batch: SeaBatch,
    campaign: Campaign,
    alpha: AlphaTable,
    heading: npt.ArrayLike | None = None,
    *,
    progress: Progress | None = None,
    cancelled: Cancelled | None = None,
) -> Held:
    """Where each step holds with α applied, and where the first could be assessed; each different step is worked once.

    Parameters
    ----------
    plan : the plan; its own sea and operation are not used
    batch : n sea states
    campaign : the steps
    alpha : table of α
    heading : vessel heading [deg], scalar or (n,); None takes the plan's
    progress : called with the share done, 0 to 1
    cancelled : asked between pieces; True stops the work

    Returns
    -------
    Held

    Raises
    ------
    CancelledError
        If `cancelled` said so.
    InputError
        If a block is planned longer than the longest row of α, or an operation does not fit the plan.
    """
    asked = asked_of(campaign, alpha)

    def tell(share: float) -> None:
        if cancelled is not None and cancelled():
            raise CancelledError
        if progress is not None:
            progress(share)

    found = judged(plan, batch, asked, heading, progress=tell)
    inside = tuple(found[key].inside for key in asked)
    sure = tuple(holds & (found[key].high < 1.0) for key, holds in zip(asked, inside, strict=True))
    return Held(inside, sure, found[asked[0]].assessed)


def _part(progress: Progress | None, done: int, parts: int) -> Progress | None:
    if progress is None:
        return None
    tell = progress
    return lambda share: tell((done + share) / parts)


def _over_already(plain: Utilisations, reduced: Utilisations) -> Utilisations:
    """`reduced`, with the sea as forecast where the design height is beyond the planner and that sea is over.

    A sea that is over a limit as it stands is over it when raised; anything else stays not assessed.
    """
    rows = np.isnan(reduced.governing) & (plain.governing >= 1.0)
    if not rows.any():
        return reduced
    columns = ("governing", "governed_by", "assessed", "heave_sigma", "high", "high_by")
    mixed = {name: np.where(rows, getattr(plain, name), getattr(reduced, name)) for name in columns}
    by_check = {key: np.where(rows, plain.by_check[key], used) for key, used in reduced.by_check.items()}
    return replace(reduced, by_check=by_check, **mixed)


def batch_for(plan: Plan, forecast: Forecast) -> SeaBatch:
    """The seas of a forecast in the plan's depth of water, where the forecast has none of its own.

    Parameters
    ----------
    plan : the plan
    forecast : the forecast
    """
    if forecast.batch.depth is not None or plan.sea.depth is None:
        return forecast.batch
    return replace(forecast.batch, depth=plan.sea.depth)


def scaled_for(batch: SeaBatch, row: AlphaRow) -> SeaBatch:
    """The seas raised to the design height that α asks for, all systems by one factor, periods held.

    A system that would pass the highest sea the planner takes makes its sea unknown, never a lower one.

    Parameters
    ----------
    batch : seas as forecast
    row : the row of α
    """
    total = batch.hs
    calm = total == 0.0
    factor = np.where(calm, 1.0, row.design_height(total) / np.where(calm, 1.0, total))
    for slot in batch.slots:
        factor = np.where(slot.hs * factor > MAX_HS, np.nan, factor)
    return batch.times(factor)
