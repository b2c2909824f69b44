"""What was made to happen in a run and what came of it: marks on the traces, and flags for every sample."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from heave.screens.figures.sides import Side
from heave.screens.film.machine import locked_from_the_start
from heave.simulation.feeding import feeding
from heave.simulation.scenario import Scenario
from heave.simulation.simulate import SimulationResult

Parts = dict[str, Any]

OFF_BOTTOM: Final = 1
AT_AN_END: Final = 2
STUCK: Final = 4
LOCKED: Final = 8
ACTIVE: Final = 16
FEEDING: Final = 32

MARK_AHEAD: Final = 5.0
"""How long before the first thing that is made to happen a film opens [s]."""


def flags_of(side: Side) -> npt.NDArray[np.uint8]:
    """For every sample the sum of what holds: bit off bottom 1, against an end 2, held by its seals 4, locked 8,
    active part at work 16, driller feeding off 32; (nt,).

    Parameters
    ----------
    side : the run
    """
    result, variant = side.result, side.variant
    locked = result.time >= _first(result, "compensator locked")
    if locked_from_the_start(variant):
        locked[:] = True
    working = variant.unit == "as planned" and variant.plan.active_in_use
    active = (result.time < _first(result, "active unit lost")) & ~locked & working
    found = np.zeros(len(result.time), dtype=np.uint8)
    for bit, holds in (
        (OFF_BOTTOM, result.lift_off),
        (AT_AN_END, result.stroke_out),
        (STUCK, result.stuck & ~locked),
        (LOCKED, locked),
        (ACTIVE, active),
        (FEEDING, feeding(result)),
    ):
        found |= np.where(holds, bit, 0).astype(np.uint8)
    return found


def marks_of(sides: Sequence[Side], scenario: Scenario) -> list[Parts]:
    """What is marked on the traces, in the order of time; `made` where it was asked for in the scenario.

    Parameters
    ----------
    sides : the runs
    scenario : that they ran in
    """
    made = {(item.kind, item.time) for item in scenario.happenings}
    found = [
        {
            "time": event.time,
            "word": event.kind.capitalize(),
            "kind": event.kind,
            "side": side.letter,
            "made": (event.kind, event.time) in made,
        }
        for side in sides
        for event in side.result.events
    ]
    return sorted(found, key=lambda mark: float(mark["time"]))


def _first(result: SimulationResult, kind: str) -> float:
    """When something of a kind first happens [s]; never is infinity."""
    return min((event.time for event in result.events if event.kind == kind), default=np.inf)
