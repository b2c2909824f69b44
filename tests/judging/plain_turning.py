"""Friction that turns round, for the worked plans: by plain arithmetic of its own."""

from __future__ import annotations

import cmath
import math
from dataclasses import replace
from typing import Any, NamedTuple

import numpy as np
from plain_path import moving
from plain_string import free, lifted, stiffness

from heave.judging.demands import Demands
from heave.planning import Plan

AIR = 101_325.0


def drives(plan: Plan) -> bool:
    """Whether the hook is driven against the measured motion: by a drawworks, or by an active part that follows it."""
    return plan.active and getattr(plan.compensator, "active_loop", None) == "position"


def own_period(plan: Plan, soft: float) -> float:
    """Longest period of string and hook on the gas, bit held: the first at which stiffness and inertia balance."""
    held = plan.changed(operation=replace(plan.operation, kind="drilling"))
    mass = moving(plan) + 20e3

    def left(omega: Any) -> Any:
        u, pull = lifted(held, omega)
        return np.real(pull + (soft - omega**2 * mass) * u)

    low, high = 1e-3, 1e-3
    while left(np.array(high)) > 0:
        low, high = high, high + 0.01
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if left(np.array(middle)) > 0 else (low, middle)
    return 2 * math.pi / low


class Turning(NamedTuple):
    """Friction that turns round: what an active part leaves, swing it rings, speed of the hook, share let go, how much
    of the ringing a quarter of a cycle leaves, and the force that the string has built up."""

    friction: float
    left: float
    ring: float
    speed: float
    share: float
    kept: float
    built: float = 0.0


def turning(d: Demands, load: float) -> Turning:
    plan, unit = d.plan, d.plan.compensator
    if unit.is_drawworks:
        return Turning(0.0, 0.0, 0.0, 0.0, 1.0, math.nan)
    string, hook = plan.string, moving(plan) + 20e3
    weight = sum(one.linear_mass * one.length for one in string.sections)
    damping = unit.hydraulic_loss * float(d.stroke.level[0]) / (hook + weight / 3)
    kept = math.exp(-damping)
    friction, gain = unit.friction_fraction * load, unit.active_gain if plan.active_in_use else None
    if drives(plan) or friction == 0:
        return Turning(friction, 0.0, 0.0, 0.0, 1.0, kept)
    lag = 0.0  # time constant of a lag of first order beside the delay
    if gain is not None and unit.active_bandwidth is not None:
        lag = 1 / (2 * math.pi * unit.active_bandwidth)
    left = friction if gain is None else friction * abs(1 - gain)
    stiff, acceleration = stiffness(plan), float(d.acceleration.level[0])
    pace = stiff * acceleration  # force in the string is pace × time² / 2 until the unit slips
    time = math.sqrt(4 * friction / pace)
    if gain is not None:  # the echo comes late: cube root of both cubes
        time = min(
            time,
            math.cbrt((4 * left / pace) ** 1.5 + 12 * gain * friction * (unit.active_delay + lag) / pace),
        )
    built, turned = pace * time**2 / 2, acceleration * time
    own = own_period(plan, soft_gas(plan, load))
    if gain is not None:
        pace = 2 * math.pi / own
        drive = gain * cmath.exp(-1j * pace * unit.active_delay) / (1 + 1j * pace * lag)
        kept = math.exp(-damping * min(max(1 - drive.real, 0.0), 1.0))
    ring = stiff * turned * own / (2 * math.pi) * kept
    if gain is None:
        off_step = (own / float(d.heave.period[0]) - 0.29) / 0.06
        ring *= 1 + math.exp(-(off_step**2)) / 5
    else:
        ring += built - 2 * left
    share = math.exp(-left / float(d.locked[0]))
    if free(plan) and left > 0:
        share = min(max(float(d.locked[0]) / left - 1, 0.0) / 1.4, 1.0) ** 2
    return Turning(friction, left, ring, turned, share, kept, built)


def soft_gas(plan: Plan, load: float) -> float:
    """Slope of the gas where the piston is set."""
    return 1.3 * (load + AIR * 0.1) / (65.0 - plan.offsets.start_position)


RANGE = {
    ("swing", False): (1.08, 1.08), ("load", False): (1.02, 1.01), ("load", True): (1.04, 1.07),
    ("hook", False): (1.0, 1.05), ("hook", True): (1.0, 1.05), ("travel", True): (1.05, 1.08),
    ("speed", False): (1.0, 1.02), ("speed", True): (1.02, 1.0),
    ("end motion", True): (1.06, 1.11), ("end speed", True): (1.08, 1.04),
}  # fmt: skip
"""How far simulation goes over the figure, of a string held below or free, without and with an active part."""


def range_of(plan: Plan, figure: str) -> float:
    return 1.0 if drives(plan) else RANGE[figure, free(plan)][plan.active_in_use]
