"""Plans that the lesson and the exercises are tried on: the demonstration plan, and drawn ones of every unit."""

from __future__ import annotations

from random_calculations import plans

from heave.files.rigs import demo_plan
from heave.planning import Plan

EVERY = 10
"""Of the plans drawn, unit by unit in turn, each of these is taken: the next one has the next unit."""


def drawn(count: int, seed: int = 11) -> list[Plan]:
    """The demonstration plan and so many drawn ones, of other units and operations each time."""
    return [demo_plan(), *list(plans(EVERY * count, seed))[EVERY - 1 :: EVERY]]
