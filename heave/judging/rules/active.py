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
from heave.judging.formulas import BALANCE, FORCE_LEFT, GAS_LOAD, formula
from heave.judging.rules.load import (
    AT_REST,
    AT_REST_FALLING,
    COMPRESSION,
    HELD,
    at_rest,
    at_rest_falling,
    extreme_gas,
    held,
)
from heave.judging.rules.stroke import SPEEDS_ACTIVE, largest_speed
from heave.judging.rules.when import active_power_known, overdone

_HALF: Final = (
    "power = force × speed; a spring pulls most a quarter of a cycle from the speed: half of it at most; what slow "
    "travel has loaded it with pulls all the time"
)
_PEAK: Final = ("power", "peak power of the active part, its own losses not counted")
_GAS: Final = "max(F_s − F_0, F_0 − F_sf) + (F_g − F_s) / 2 + F_f + c_q × v²"
_RESTS: Final = {"F_s": AT_REST.symbols["F_s"], "F_sf": AT_REST_FALLING.symbols["F_sf"]}
PEAK: Final = formula(f"P_a = G × ({_GAS}) × v", _HALF, P_a=_PEAK, **_RESTS)
PEAK_DRIVEN: Final = formula(f"P_a = ({_GAS} + F_m) × v", _HALF, P_a=_PEAK, **_RESTS)
_SLOW: Final = (AT_REST, AT_REST_FALLING)
_STEPS: Final = (*SPEEDS_ACTIVE, COMPRESSION, GAS_LOAD, *_SLOW, FORCE_LEFT, HELD, PEAK, PEAK_DRIVEN)


@partial(Rule, "active_power", "Active power", "power", _HALF, active_power_known, _STEPS)
def power(d: Demands) -> Outcome:
    """Force of the active part times speed, with half of what the sea does to the gas and all of what slow travel
    does, towards the side where that is more, against the active part's limit."""
    return outcome(*peak_power(d), capacity=d.plan.compensator.of_type(ActiveAssisted).active_power_limit)


TAKEN: Final = formula(
    "k_a = G × k_c",
    BALANCE,
    k_a=("stiffness", "stiffness of the gas that the active part takes off the hook"),
)
ALL_OF_IT: Final = formula(
    "k_g = k_c", BALANCE, k_g=("stiffness", "stiffness of the gas, all that can be taken off")
)


@partial(Rule, "runaway", "Active part holds still", "stiffness", BALANCE, overdone, (TAKEN, ALL_OF_IT))
def runaway(d: Demands) -> Outcome:
    """A part that follows force and gives back more than there is leaves a spring that pushes, and friction and loss
    that drive: a free hook runs away from rest without any sea, and a string that is held is shaken by its own
    friction. No level of the other checks holds then. Called for only where the gain is above 1."""
    unit, gas = d.plan.compensator.of_type(ActivePart), d.setting.stiffness_nominal
    taken = TAKEN(G=unit.active_gain, k_c=np.broadcast_to(gas or math.nan, d.heave.sigma.shape))
    return outcome(taken, capacity=ALL_OF_IT(k_c=gas))


def peak_power(d: Demands) -> tuple[Step, ...]:
    """Peak power of the active part, with its working."""
    unit, speed = d.plan.compensator.of_type(ActivePart), largest_speed(d)
    gas = (*extreme_gas(d), at_rest(d), at_rest_falling(d))
    about: dict[str, Value] = {"F_0": d.setting.load, "F_f": d.setting.friction_force}
    about |= dict(zip(("F_g", "F_s", "F_sf"), gas[-3:], strict=True))
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
