"""Plans that the lesson and the exercises are tried on: the demonstration plan, and drawn ones of every unit."""

from __future__ import annotations

from heave.files.rigs import demo_plan
from heave.planning import Plan
from random_calculations import plans

EVERY = 9
"""Of the plans drawn, kind by kind and unit by unit, each of these is taken."""


def drawn(count: int, seed: int = 11) -> list[Plan]:
    """The demonstration plan and so many drawn ones, of other units and operations each time."""
    return [demo_plan(), *list(plans(EVERY * count, seed))[EVERY - 1 :: EVERY]]
