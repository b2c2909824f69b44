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


@pytest.mark.parametrize("operation", ["fixed", "landing"])
@pytest.mark.parametrize("key", ["active_force", "active_force_falling"])
def test_a_part_that_drives_the_hook_pushes_against_loss_and_friction(operation: str, key: str) -> None:
    """Forces in balance in the middle of the swing, where the gas asks nothing: c_q v² and the seals, all of it.
    The speed is that of the vessel, which travel keeps up with to some per cent."""
    loss = 2e5
    result = latched(POSITION, loss, operation=operation)
    speed = 0.97 * result.responses.velocity.level
    assert result.check(key).demand >= loss * speed**2 + result.setting.friction_force


@pytest.mark.parametrize(("unit", "gain"), [(FORCE, 0.95), (POSITION, 1.0)])
def test_power_of_a_part_counts_all_of_what_slow_travel_has_loaded(unit: str, gain: float) -> None:
    """Power = force × speed; the load that the tide has put on the gas is there when the travel is fastest."""
    still, up, down = (latched(unit, 2e4, *tides, operation="landing") for tides in ((), (0.8,), (0.0, 0.8)))
    for moved, slow in ((up, gas_over(up, 0.8)), (down, gas_over(down, -0.8))):
        added = moved.check("active_power").demand - still.check("active_power").demand
        assert added >= 0.99 * gain * slow * moved.check("active_velocity").demand


def test_the_cylinder_of_a_driven_unit_carries_its_gas() -> None:
    """Whether the part beside it follows force or position: gas, seals and loss are those of the cylinder. Its load is
    at least that of the gas at the extreme, which the hook does not feel."""
    for operation in ("fixed", "landing"):
        driven = latched(POSITION, 2e4, 0.8, operation=operation)
        check, budget = driven.check("compensated_load"), driven.responses.stroke
        assert budget is not None
        gas = gas_over(driven, min(0.8 + 0.9 * budget.extreme, budget.half_stroke))
        assert check.demand >= driven.plan.crown_ratio * (
            driven.setting.load + gas + driven.setting.friction_force
        )
