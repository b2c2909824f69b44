"""What is simulated of a unit: each number of it and of what is set reaches the equations of motion once."""

from __future__ import annotations

import math
from dataclasses import fields
from typing import Any

import pytest

from heave.compensator import Compensator, plan_setting
from heave.compensator.time_domain.case import SimulationCase, simulation_case

SHARED: dict[str, Any] = {
    "load": 1.35e6, "wob": 0.15e6, "start": 0.4, "contact": "one-sided", "locked": False, "loop": "force", "gain": 0.0,
    "delay": 0.0, "bandwidth": math.inf, "centring": math.inf, "rock_stiffness": 70e6,
}  # fmt: skip
GAS: dict[str, Any] = {
    "gas": True, "drawworks": False, "friction": 0.03 * 1.35e6, "hydraulic_loss": 12_660.0, "gas_length": 76.2,
    "index": 1.2, "atmosphere": 10_132.5, "area": 0.1, "half_stroke": 3.81, "active_force_limit": math.inf,
    "active_velocity_limit": math.inf,
}  # fmt: skip
DRAWN: dict[str, Any] = {
    "gas": False, "drawworks": True, "gain": 0.97, "delay": 0.1, "block_speed_limit": 20 / 12,
    "block_acceleration_limit": 15 / 12,
}  # fmt: skip
ACTIVE = {
    "kind": "active-assisted", "active_gain": 0.9, "active_delay": 0.2, "active_force_limit": 3e5,
    "active_velocity_limit": 1.4, "active_bandwidth": 2.0,
}  # fmt: skip
ON: dict[str, Any] = {
    "gain": 0.9, "delay": 0.2, "bandwidth": 2.0, "active_force_limit": 3e5, "active_velocity_limit": 1.4,
}  # fmt: skip


def is_as(case: SimulationCase, **wanted: Any) -> None:
    """The fields named, and all others as they are where nothing is said."""
    plain = SimulationCase(load=1.0)
    rest = {item.name: getattr(plain, item.name) for item in fields(case)}
    made = {item.name: getattr(case, item.name) for item in fields(case)}
    for name, value in (rest | wanted).items():
        assert made[name] == (pytest.approx(value, rel=1e-12) if isinstance(value, float) else value), name


@pytest.mark.parametrize(
    ("condition", "latched", "contact", "locked"),
    [
        ("on bottom", False, "one-sided", False),
        ("on bottom", True, "held", False),
        ("free", False, "none", False),
        ("free", True, "none", False),
        ("locked on bottom", False, "one-sided", True),
        ("locked free", False, "none", True),
    ],
)
def test_a_passive_unit(device: Any, condition: str, latched: bool, contact: str, locked: bool) -> None:
    unit = device(friction_fraction=0.03)
    made = simulation_case(
        unit, plan_setting(unit, 1.5e6, 0.15e6), condition, start=0.4, latched=latched, rock_stiffness=70e6
    )
    is_as(made, **SHARED | GAS | {"contact": contact, "locked": locked})


def test_an_active_part_in_use_and_not() -> None:
    given: dict[str, Any] = {
        "stroke": 7.62,
        "compensated_rating": 2e6,
        "locked_rating": 4e6,
        "effective_area": 0.1,
    }
    given |= {
        "gas_volume": 7.62,
        "pressure_rating": 25e6,
        "index": 1.2,
        "hydraulic_loss": 12_660.0,
        "velocity_rating": 1.5,
    }
    unit = Compensator.of("unit", **given, **ACTIVE, friction_fraction=0.03)
    what = plan_setting(unit, 1.5e6, 0.15e6)
    for active, gain in ((True, 0.9), (False, 0.0)):
        made = simulation_case(unit, what, "on bottom", active=active, start=0.4, rock_stiffness=70e6)
        is_as(made, **SHARED | GAS | ON | {"gain": gain})
    follows = Compensator.of(
        "unit",
        **given,
        **ACTIVE | {"active_loop": "position", "active_centring": 200.0},
        friction_fraction=0.03,
    )
    made = simulation_case(
        follows, plan_setting(follows, 1.5e6, 0.15e6), "on bottom", start=0.4, rock_stiffness=70e6
    )
    is_as(made, **SHARED | GAS | ON | {"loop": "position", "centring": 200.0})


@pytest.mark.parametrize(("power", "speed"), [(6e6, 20 / 12), (2e6, 2e6 / 1.35e6), (3e6, 20 / 12)])
def test_a_drawworks_runs_as_fast_as_line_and_power_let_it(
    drawworks: Any, power: float, speed: float
) -> None:
    """20 m/s of line on twelve lines; 2 MW under 1.35 MN."""
    unit = drawworks(power_limit=power)
    made = simulation_case(
        unit, plan_setting(unit, 1.5e6, 0.15e6), "on bottom", start=0.0, rock_stiffness=70e6
    )
    is_as(made, **SHARED | DRAWN | {"start": 0.0, "loop": made.loop, "block_speed_limit": speed})
