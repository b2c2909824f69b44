"""Power and energy of an active part."""

from __future__ import annotations

import math
from functools import partial
from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.compensator import ActiveAssisted, ActivePart
from heave.formula import Step, Value
from heave.judging.checks import Outcome, Rule, outcome
from heave.judging.demands import Demands
from heave.judging.formulas import FORCE_LEFT, GAS_LOAD, formula
from heave.judging.rules.load import COMPRESSION, HELD, extreme_gas, held
from heave.judging.rules.stroke import SPEEDS_ACTIVE, largest_speed
from heave.judging.rules.when import active_power_known

_HALF: Final = (
    "power = force × speed; a spring pulls most a quarter of a cycle from the speed: half of it at most"
)
_PEAK: Final = ("power", "peak power of the active part, its own losses not counted")
PEAK: Final = formula("P_a = G × (max(F_g − F_0, 0) / 2 + F_f + c_q × v²) × v", _HALF, P_a=_PEAK)
PEAK_DRIVEN: Final = formula("P_a = (max(F_g − F_0, 0) / 2 + F_f + c_q × v² + F_m) × v", _HALF, P_a=_PEAK)
_STEPS: Final = (*SPEEDS_ACTIVE, COMPRESSION, GAS_LOAD, FORCE_LEFT, HELD, PEAK, PEAK_DRIVEN)


@partial(Rule, "active_power", "Active power", "power", _HALF, active_power_known, _STEPS)
def power(d: Demands) -> Outcome:
    """Force of the active part times speed, with half of the gas's share, against the active part's limit."""
    return outcome(*peak_power(d), capacity=d.plan.compensator.of_type(ActiveAssisted).active_power_limit)


def peak_power(d: Demands) -> tuple[Step, ...]:
    """Peak power of the active part, with its working."""
    unit, gas, speed = d.plan.compensator.of_type(ActivePart), extreme_gas(d), largest_speed(d)
    about: dict[str, Value] = {"F_g": gas[-1], "F_0": d.setting.load, "F_f": d.setting.friction_force}
    about |= {"c_q": unit.hydraulic_loss, "v": speed[-1]}
    if d.plan.follows_position:
        steps = held(d)
        return *speed, *gas, *steps, PEAK_DRIVEN(F_m=steps[-1], **about)
    return *speed, *gas, PEAK(G=unit.active_gain, **about)


def mean_power(d: Demands) -> FloatArray:
    """Mean power that the active part puts out while it drives, nothing of what it takes up recovered, (n,) [W].

    (k_c σ_x + σ_q) σ_v/π + √(2/π) F_f σ_v + √(8/π) c_q σ_v³, times the gain where it follows force: the mean of the
    positive half of a product of two independent Gaussian processes, and the power of friction and loss in one
    (Roberts and Spanos, ch. 5).
    """
    unit, travel, driven = d.plan.compensator, d.stroke, d.plan.follows_position
    if travel is None or not isinstance(unit, ActivePart):
        return np.zeros_like(d.heave.sigma)
    speed = np.where(travel.sigma > 0, 2 * math.pi * travel.sigma / travel.period, 0.0)
    left = d.force_left.sigma if driven and d.force_left is not None else 0.0
    spring = ((d.setting.stiffness_nominal or 0.0) * travel.sigma + left) * speed / math.pi
    friction = math.sqrt(2 / math.pi) * d.setting.friction_force * speed
    loss = math.sqrt(8 / math.pi) * unit.hydraulic_loss * speed**3
    return np.asarray((1.0 if driven else unit.active_gain) * (spring + friction + loss))
