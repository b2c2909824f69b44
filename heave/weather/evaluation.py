"""A forecast through the checks of an operation: utilisation hour by hour, with and without α."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.judging.assessment import Utilisations, utilisations
from heave.planning.alpha import AlphaRow, AlphaTable
from heave.planning.campaign import Campaign, OperationStep
from heave.planning.plan import Plan
from heave.sea import SeaBatch, SystemSlot
from heave.sea.arguments import MAX_HS
from heave.threads import side_by_side
from heave.weather.forecast import Forecast

FloatArray = npt.NDArray[np.float64]
BoolArray = npt.NDArray[np.bool_]

PIECE: Final = 4096
"""Seas given to one thread at a time."""

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
        return is_inside(self.reduced)

    @property
    def inside_plain(self) -> BoolArray:
        """Samples inside every limit in the sea as forecast."""
        return is_inside(self.plain)


def is_inside(found: Utilisations) -> BoolArray:
    """True where every required check could be made and the highest utilisation is below 1.

    Parameters
    ----------
    found : utilisations of n seas
    """
    # A comparison with NaN is false, so what is not known is never inside.
    return np.asarray(found.assessed & (found.governing < 1.0), dtype=np.bool_)


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
    batch = batch_for(plan, forecast)
    known: dict[tuple[object, AlphaRow | None], tuple[Utilisations, FloatArray]] = {}

    def of(step: OperationStep, row: AlphaRow | None) -> tuple[Utilisations, FloatArray]:
        if (step.operation, row) not in known:
            sea = batch if row is None else scaled_for(batch, row)
            work = plan.changed(operation=step.operation)
            known[step.operation, row] = (many_utilisations(work, sea, heading), sea.hs)
        return known[step.operation, row]

    found = []
    for block in campaign.blocks:
        row = alpha.row_for(block.planned)
        for step in block.steps:
            plain = of(step, None)[0]
            reduced, design_hs = of(step, row)
            found.append(StepEvaluation(step, row, plain, _over_already(plain, reduced), design_hs))
    return tuple(found)


def _over_already(plain: Utilisations, reduced: Utilisations) -> Utilisations:
    """`reduced`, with the sea as forecast where the design height is beyond the planner and that sea is over.

    A sea that is over a limit as it stands is over it when raised; anything else stays not assessed.
    """
    rows = np.isnan(reduced.governing) & (plain.governing >= 1.0)
    if not rows.any():
        return reduced
    return Utilisations(
        keys=reduced.keys,
        by_check={key: np.where(rows, plain.by_check[key], reduced.by_check[key]) for key in reduced.keys},
        governing=np.where(rows, plain.governing, reduced.governing),
        governed_by=np.where(rows, plain.governed_by, reduced.governed_by),
        assessed=np.where(rows, plain.assessed, reduced.assessed),
        heave_sigma=np.where(rows, plain.heave_sigma, reduced.heave_sigma),
    )


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
    slots = tuple(
        replace(slot, hs=slot.hs * factor)
        if isinstance(slot, SystemSlot)
        else replace(slot, measured=slot.measured * factor[:, None] ** 2)
        for slot in batch.slots
    )
    return replace(batch, slots=slots)


def many_utilisations(
    plan: Plan,
    batch: SeaBatch,
    heading: npt.ArrayLike | None = None,
    *,
    progress: Progress | None = None,
    cancelled: Cancelled | None = None,
) -> Utilisations:
    """`planning.utilisations` by pieces on several threads: the same figures, sooner.

    Parameters
    ----------
    plan : the plan; its own sea is not used
    batch : n sea states
    heading : vessel heading [deg], scalar or (n,); None takes the plan's
    progress : called with the share done, 0 to 1
    cancelled : asked between pieces; True stops the work

    Raises
    ------
    CancelledError
        If `cancelled` said so.
    """
    headings = np.broadcast_to(np.asarray(plan.heading if heading is None else heading, float), (batch.size,))
    pieces = [slice(start, min(start + PIECE, batch.size)) for start in range(0, batch.size, PIECE)]

    def work(rows: slice) -> Utilisations:
        if cancelled is not None and cancelled():
            raise CancelledError
        return utilisations(plan, batch.take(rows), headings[rows])

    results = []
    for rows, result in zip(pieces, side_by_side(work, pieces), strict=True):
        results.append(result)
        if progress is not None:
            progress(rows.stop / batch.size)
    return _joined(results)


def _joined(parts: list[Utilisations]) -> Utilisations:
    keys = parts[0].keys
    return Utilisations(
        keys=keys,
        by_check={key: np.concatenate([part.by_check[key] for part in parts]) for key in keys},
        governing=np.concatenate([part.governing for part in parts]),
        governed_by=np.concatenate([part.governed_by for part in parts]),
        assessed=np.concatenate([part.assessed for part in parts]),
        heave_sigma=np.concatenate([part.heave_sigma for part in parts]),
    )
