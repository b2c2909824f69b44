"""The highest sea and hardly any friction: what a unit strokes is a number in every operation."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from heave.files.rigs import demo_compensators, demo_plan
from heave.judging import assess
from heave.planning import OPERATIONS
from heave.sea import SeaState, WaveSystem

HIGHEST = SeaState((WaveSystem(25.0, 15.0, "Tp", 200.0),), demo_plan().sea.depth)


@pytest.mark.parametrize("friction", [0.0, 1e-12, 1e-4])
@pytest.mark.parametrize("kind", OPERATIONS)
def test_no_demand_is_lost_where_seals_hardly_rub(kind: str, friction: float) -> None:
    """The seals' share of the load divides in the linearisation: at nearly none it came out as no number."""
    for unit in demo_compensators().values():
        rubbing = unit if unit.is_drawworks else replace(unit, friction_fraction=friction)
        plan = (
            demo_plan().changed(hookload_entered=None).doing(kind).changed(sea=HIGHEST, compensator=rubbing)
        )
        lost = [check.key for check in assess(plan).checks if math.isnan(check.demand)]
        assert not lost, (unit.name, lost)
