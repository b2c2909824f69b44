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

MOST_MARKS: Final = 60
"""Most marks of a film."""


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
    working = variant.as_planned and variant.plan.active_in_use
    lost = min(_first(result, kind) for kind in ("active unit lost", "power lost"))
    active = (result.time < lost) & ~locked & working
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


def marks_of(sides: Sequence[Side], scenario: Scenario, system: str) -> list[Parts]:
    """What is marked on the traces, in the order of time; `made` where it was asked for in the scenario.

    Of more than `MOST_MARKS` those stay that were asked for, then stroke-outs and what the driller does, then the
    hardest landings and last what lifted.

    Parameters
    ----------
    sides : the runs
    scenario : that they ran in
    system : unit system of the words
    """
    made = {(item.kind, item.time) for item in scenario.happenings}
    found = [(mark, side.letter) for side in sides for mark in side.result.happened]
    found.sort(
        key=lambda one: (_rank(one[0].kind, (one[0].kind, one[0].time) in made), -(one[0].force or 0.0))
    )
    drawn = [
        {
            "time": round(mark.time, 3),
            "word": mark.told(system),
            "kind": mark.kind,
            "side": letter,
            "made": (mark.kind, mark.time) in made,
        }
        for mark, letter in found[:MOST_MARKS]
    ]
    return sorted(drawn, key=lambda mark: float(str(mark["time"])))


def _rank(kind: str, made: bool) -> int:
    return 0 if made else {"lift-off": 3, "landing": 2}.get(kind, 1)


def _first(result: SimulationResult, kind: str) -> float:
    """When something of a kind first happens [s]; never is infinity."""
    return min((event.time for event in result.events if event.kind == kind), default=np.inf)
