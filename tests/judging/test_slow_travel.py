"""Slow travel beside the sea: the gas it compresses is there all the time, at every phase of the waves."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

import heave
from heave.files.rigs import demo_compensators
from heave.judging import Assessment
from heave.planning import Operation, StaticOffsets
from heave.planning.ranges import CLOSED
from heave.sea import SeaState

FORCE, POSITION = "Demo active-assisted unit, 600 klbf", "Demo unit driven by position, 600 klbf"


@cache
def latched(
    unit: str, loss: float, tide: float = 0.0, ebb: float = 0.0, operation: str = "fixed"
) -> Assessment:
    """A latched string in a lively sea, the loss of the unit as given [N·s²/m²] and the tide still to turn [m]."""
    plan = heave.demo_plan()
    changes: dict[str, Any] = {
        "compensator": replace(demo_compensators()[unit], hydraulic_loss=loss),
        "operation": Operation(kind=operation, residual_motion_limit=2.0, residual_velocity_limit=2.0),  # type: ignore[arg-type]
        "offsets": StaticOffsets(tide_rise=tide, tide_fall=ebb),
        "sea": SeaState.single(4.0, 9.0, direction_from=plan.heading + 120.0, depth=1200.0),
    }
    return heave.assess(plan.changed(ranges=CLOSED, overpull=3e5 if operation == "fixed" else 0.0, **changes))


def gas_over(result: Assessment, travel: float) -> float:
    """How far the gas load is from that at mid-stroke when the unit has travelled so far, at the high index [N]."""
    unit = result.plan.compensator
    found: float = unit.spring(result.setting.load, unit.index_high).load(travel) - result.setting.load
    return abs(found)


@pytest.mark.parametrize("loss", [5e3, 4e4, 2e5])
def test_what_slow_travel_adds_to_a_load_is_the_gas_it_compresses(loss: float) -> None:
    """Forces in balance: the sea's swing of gas and loss is about where slow travel has brought the load, so all of
    that load comes on top; of both together under one root a large loss would leave next to nothing. Gas that has
    expanded is softer, and its swing a little less."""
    still, up, down = latched(FORCE, loss), latched(FORCE, loss, 0.8), latched(FORCE, loss, 0.0, 0.8)
    gain = still.plan.compensator.active_gain
    for key, moved, slow, softer in (
        ("active_force", up, gas_over(up, 0.8), 1.0),
        ("active_force_falling", down, gas_over(down, -0.8), 0.92),
    ):
        added = moved.check(key).demand - still.check(key).demand
        assert added >= 0.99 * softer * gain * slow, (key, added, slow)
    added = up.check("compensated_load").demand - still.check("compensated_load").demand
    assert added >= gas_over(up, 0.8) * 0.99


def test_a_rising_tide_makes_no_load_calmer() -> None:
    rows = [latched(FORCE, 1e6, tide) for tide in (0.0, 0.3, 0.6, 0.9, 1.2)]
    for key in ("active_force", "compensated_load", "tension"):
        used = [row.check(key).utilisation for row in rows]
        assert all(b >= a * (1 - 1e-12) for a, b in itertools.pairwise(used)), (key, used)
    assert math.isfinite(rows[0].check("active_force").utilisation)
