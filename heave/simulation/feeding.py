"""When the driller of a run lowers the block."""

from __future__ import annotations

import numpy as np

from heave.arrays import BoolArray
from heave.compensator.time_domain import FEED_SPEED
from heave.simulation.simulate import SimulationResult


def feeding(result: SimulationResult) -> BoolArray:
    """The samples at which the block is lowered, by what was drilled since the last feed or by the amount given.

    Each feed goes on from its own time at `FEED_SPEED` until it is done, or power is lost.

    Parameters
    ----------
    result : of `simulate`

    Returns
    -------
    (nt,)
    """
    rate = result.plan.offsets.penetration_rate if result.plan.on_bottom else 0.0
    found, fed = np.zeros(len(result.time), dtype=np.bool_), 0.0
    feeds = [event for event in result.events if event.kind == "driller feeds off"]
    for event in sorted(feeds, key=lambda item: item.time):
        amount = max(rate * event.time - fed, 0.0) if event.amount is None else event.amount
        fed += amount
        found |= (result.time > event.time) & (result.time <= event.time + amount / FEED_SPEED)
    dark = min((event.time for event in result.events if event.kind == "power lost"), default=np.inf)
    return found & (result.time <= dark)
