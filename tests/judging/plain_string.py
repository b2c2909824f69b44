"""A string of rods by plain arithmetic, for the worked plans."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from heave.drill_string import Section
from heave.planning import OPERATIONS, Plan


def free(plan: Plan) -> bool:
    return OPERATIONS[plan.operation.kind].string == "free"


def stretch_of(one: Section) -> float:
    """Modulus times area [N]."""
    return 206.8e9 * math.pi / 4 * (one.outer_diameter**2 - one.inner_diameter**2)


def stiffness(plan: Plan) -> float:
    """Of the string at rest [N/m]."""
    return 1 / sum(one.length / stretch_of(one) for one in plan.string.sections)


def impedance(one: Section) -> float:
    return math.sqrt(stretch_of(one) * one.linear_mass)


def lifted(plan: Plan, omega: Any, loss: float = 0.0) -> tuple[Any, Any]:
    """Displacement and pull at the top of the string per pull at the held end, or per metre of a free one: rods one
    on another, u'' = −κ² u."""
    u, pull = (np.ones_like(omega), 0.0 * omega) if free(plan) else (0.0 * omega, np.ones_like(omega))
    for one in reversed(plan.string.sections):
        stretch = stretch_of(one) * (1 + 1j * loss)
        number = omega * np.sqrt(one.linear_mass / stretch)
        c, s, ea = np.cos(number * one.length), np.sin(number * one.length), stretch * number
        u, pull = u * c + pull * s / ea, pull * c - u * ea * s
    return u, pull
