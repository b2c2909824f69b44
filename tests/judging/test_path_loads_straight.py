"""A unit under a moving crown whose lines run straight to the floor carries fast and dead line as well."""

from __future__ import annotations

from dataclasses import replace

import pytest

import heave
from heave.files.rigs import demo_compensators, demo_hoisting
from heave.hoisting import LINES_OF_CROWN
from heave.judging.path_loads import path_loads

G = 9.80665


@pytest.mark.parametrize(("lines", "share"), [(12, 14 / 12), (8, 10 / 8)])
def test_the_unit_carries_all_lines_and_two_over_those_at_the_block(lines: int, share: float) -> None:
    """Still: (lines + 2)/lines of hook, block and lines, without friction of the sheaves, and its own parts."""
    unit = next(one for one in demo_compensators().values() if one.mounting == "crown")
    path = replace(demo_hoisting(), lines=lines, crown_mass=9_000.0, block_mass=12_000.0, body_mass=0.0)
    assert path.line is not None
    below = 12_000.0 + lines * 45.0 * path.line.linear_mass
    for way, ratio in (("straight to the floor", share), ("kept by sheaves on arms", 1.0)):
        assert way in LINES_OF_CROWN
        plan = heave.demo_plan().changed(
            compensator=unit,
            hoisting=replace(path, lines_of_crown=way),
            string=replace(heave.demo_plan().string, drag=5e4),
        )
        found = path_loads(plan)
        assert found is not None
        part = next(one for one in found.chain if one.key == found.unit)
        own = (unit.moving_mass + 9_000.0) * G
        assert part.holding == pytest.approx((plan.still_hookload + below * G) * ratio + own, rel=1e-9)
        assert part.hoisting == pytest.approx((plan.job_hookload + below * G) * ratio + own, rel=1e-9)
