"""Where every step of a campaign is inside its limits: what counting starts needs, and no more."""

from __future__ import annotations

import numpy.typing as npt

from heave.planning import AlphaTable, Campaign, Plan
from heave.sea import SeaBatch
from heave.weather.evaluation import BoolArray, Cancelled, CancelledError, Progress, judged


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

    def tell(share: float) -> None:
        if cancelled is not None and cancelled():
            raise CancelledError
        if progress is not None:
            progress(share)

    found = judged(plan, batch, asked, heading, progress=tell)
    return tuple(found[key].inside for key in asked), found[asked[0]].assessed
