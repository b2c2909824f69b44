"""Where every step of a campaign is inside its limits: what counting starts needs, and no more."""

from __future__ import annotations

import numpy.typing as npt

from heave.planning import AlphaRow, AlphaTable, Campaign, Operation, Plan
from heave.sea import SeaBatch
from heave.weather.evaluation import (
    BoolArray,
    Cancelled,
    Progress,
    is_inside,
    many_utilisations,
    scaled_for,
)


def inside_limits(
    plan: Plan,
    batch: SeaBatch,
    campaign: Campaign,
    alpha: AlphaTable,
    heading: npt.ArrayLike | None = None,
    *,
    progress: Progress | None = None,
    cancelled: Cancelled | None = None,
) -> tuple[tuple[BoolArray, ...], BoolArray]:
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
    One array of shape (n,) for each step, and one for the first

    Raises
    ------
    CancelledError
        If `cancelled` said so.
    InputError
        If a block is planned longer than the longest row of α, or an operation does not fit the plan.
    """
    asked = [
        (step.operation, alpha.row_for(block.planned)) for block in campaign.blocks for step in block.steps
    ]
    different = list(dict.fromkeys(asked))
    holds: dict[tuple[Operation, AlphaRow | None], tuple[BoolArray, BoolArray]] = {}
    for done, (operation, row) in enumerate(different):
        judged = many_utilisations(
            plan.changed(operation=operation),
            batch if row is None else scaled_for(batch, row),
            heading,
            progress=_part(progress, done, len(different)),
            cancelled=cancelled,
        )
        holds[operation, row] = is_inside(judged), judged.assessed
    return tuple(holds[key][0] for key in asked), holds[asked[0]][1]


def _part(progress: Progress | None, done: int, parts: int) -> Progress | None:
    if progress is None:
        return None
    tell = progress
    return lambda share: tell((done + share) / parts)
