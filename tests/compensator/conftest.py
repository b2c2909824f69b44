"""A reference unit, a drawworks and a string for the compensator tests; all invented."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from heave.compensator import Compensator
from heave.drill_string import DrillString, drill_pipe

Device = Callable[..., Compensator]
String = Callable[..., DrillString]


@pytest.fixture
def device() -> Device:
    """Makes a unit; keywords replace fields of an in-line unit of 1500 kN and 7.62 m."""

    def make(**changes: object) -> Compensator:
        given: dict[str, object] = {
            "name": "test unit",
            "kind": "in-line",
            "stroke": 7.62,
            "compensated_rating": 2.0e6,
            "locked_rating": 4.0e6,
            "velocity_rating": 1.5,
            "effective_area": 0.1,
            "gas_volume": 7.62,
            "pressure_rating": 25e6,
            "index": 1.2,
            "hydraulic_loss": 12_660.0,
            "moving_mass": 30e3,
        }
        return Compensator.of(**(given | changes))  # type: ignore[arg-type]

    return make


@pytest.fixture
def drawworks() -> Device:
    """Makes a compensating drawworks; keywords replace fields."""

    def make(**changes: object) -> Compensator:
        given: dict[str, object] = {
            "name": "test drawworks",
            "kind": "drawworks",
            "compensated_rating": 4e6,
            "locked_rating": 5e6,
            "active_gain": 0.97,
            "active_delay": 0.1,
            "line_speed_limit": 20.0,
            "line_acceleration_limit": 15.0,
            "power_limit": 6e6,
            "lines": 12,
        }
        return Compensator.of(**(given | changes))  # type: ignore[arg-type]

    return make


@pytest.fixture
def string() -> String:
    """Makes a string of one size of pipe of a length."""

    def make(length: float = 3000.0) -> DrillString:
        return DrillString((drill_pipe("5 in", "19.50", "S-135", length),), 1200.0)

    return make
