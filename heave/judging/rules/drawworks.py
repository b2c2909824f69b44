"""Line and power of a compensating drawworks."""

from __future__ import annotations

import math
from functools import partial
from typing import Final

import numpy as np

from heave.compensator import Drawworks
from heave.formula import Step, Value
from heave.judging.checks import Outcome, Rule, outcome
from heave.judging.demands import Demands
from heave.judging.formulas import ACCELERATION, GAUSSIAN, HEAVE_SPEED, KINEMATICS, extreme, formula, once
from heave.judging.rules import chain
from heave.judging.rules.when import braking, drawworks_working, line_working
from heave.units import STANDARD_GRAVITY

_LINES: Final = ("number", "lines strung")
LINE_SPEED: Final = formula("v_l = n_l × v_z", KINEMATICS, n_l=_LINES, v_l=("speed", "speed of the line"))
LINE_ACCELERATION: Final = formula(
    "a_l = n_l × a_z",
    KINEMATICS,
    n_l=_LINES,
    a_z=ACCELERATION.symbols["a_z"],
    a_l=("acceleration", "acceleration of the line"),
)
POWER: Final = formula(
    "P_l = F_0 × v_z", "power = force × speed", P_l=("power", "peak power, losses not counted")
)
_ACCELERATION: Final = (ACCELERATION, LINE_ACCELERATION)
_POWERS: Final = {
    **chain.SYMBOLS,
    "v_l": LINE_SPEED.symbols["v_l"],
    "a_l": LINE_ACCELERATION.symbols["a_l"],
    "m_w": ("mass", "rotating parts of the drawworks, as a mass at the line"),
    "P_h": ("power", "peak power hoisting, with friction of the sheaves and inertia of the drawworks"),
    "P_r": ("power", "peak power taken in lowering, friction of the sheaves helping"),
}
MEAN_LOAD: Final = formula("P_b = F_0 + m_lb × g", chain.PATH, **_POWERS)
_PEAK: Final = (
    "power = pull × speed, and of rotating parts half the product of both largest, as in a regular motion"
)
HOISTING: Final = formula("P_h = v_l × (F_fl + m_w × a_l / 2)", _PEAK, **_POWERS)
LOWERING: Final = formula("P_r = v_l × (F_fl / K^(n_l + 1) + m_w × a_l / 2)", _PEAK, **_POWERS)
_LINE: Final = f"Block and line kinematics; {GAUSSIAN}"


@partial(Rule, "line_speed", "Line speed", "speed", _LINE, line_working, (HEAVE_SPEED, LINE_SPEED))
def line_speed(d: Demands) -> Outcome:
    """Heave speed times the lines strung, against the drawworks' limit."""
    heave, unit = extreme(HEAVE_SPEED, d.velocity, d.plan), d.plan.compensator.of_type(Drawworks)
    return outcome(heave, LINE_SPEED(n_l=unit.lines, v_z=heave), capacity=unit.line_speed_limit)


@partial(Rule, "line_acceleration", "Line acceleration", "acceleration", _LINE, line_working, _ACCELERATION)
def line_acceleration(d: Demands) -> Outcome:
    """Heave acceleration times the lines strung, against the drawworks' limit."""
    heave, unit = extreme(ACCELERATION, d.acceleration, d.plan), d.plan.compensator.of_type(Drawworks)
    return outcome(heave, LINE_ACCELERATION(n_l=unit.lines, a_z=heave), capacity=unit.line_acceleration_limit)


@once
def _line_moves(d: Demands) -> tuple[tuple[Step, ...], dict[str, Value]]:
    """Pull of the fast line at the mean load, speed and acceleration of the line, and inertia of the drawworks."""
    plan, path = d.plan, d.plan.hoisting
    assert path is not None  # asked for only where there is one
    mean = MEAN_LOAD(F_0=d.setting.load, m_lb=plan.block_mass)
    pull = chain.fast(path, (mean,))
    speed, pace = extreme(HEAVE_SPEED, d.velocity, plan), extreme(ACCELERATION, d.acceleration, plan)
    line_speed = LINE_SPEED(n_l=path.count, v_z=speed)
    line_pace = LINE_ACCELERATION(n_l=path.count, a_z=pace)
    given: dict[str, Value] = {
        "F_fl": pull[-1],
        "v_l": line_speed,
        "a_l": line_pace,
        "m_w": path.rotating_mass,
    }
    return (*pull, speed, line_speed, pace, line_pace), given


_MOVES: Final = (MEAN_LOAD, chain.FAST, HEAVE_SPEED, LINE_SPEED, *_ACCELERATION)


@partial(Rule, "power", "Drawworks power", "power", _PEAK, line_working, (POWER, *_MOVES, HOISTING))
def power(d: Demands) -> Outcome:
    """Load on the hook times heave speed, losses not counted; where the hoisting path is given, pull of the fast line
    with friction of the sheaves and inertia of the drawworks, times the speed of the line. Against the power limit."""
    limit = d.plan.compensator.of_type(Drawworks).power_limit
    if d.plan.hoisting is None:
        return outcome(POWER(F_0=d.setting.load, v_z=d.velocity.level), capacity=limit)
    steps, given = _line_moves(d)
    return outcome(*steps, HOISTING(**given), capacity=limit)


@partial(Rule, "brake_power", "Power lowering", "power", _PEAK, braking, (*_MOVES, LOWERING))
def brake_power(d: Demands) -> Outcome:
    """Power that the lowered load gives back at the extreme speed, friction of the sheaves taking its share, against
    what brake or motors take in."""
    path, (steps, given) = d.plan.hoisting, _line_moves(d)
    assert path is not None
    lowering = LOWERING(K=path.sheave_factor, n_l=path.count, **given)
    return outcome(*steps, lowering, capacity=path.brake_power)


_TIGHT: Final = (f"free fall of an empty block, no other source; {GAUSSIAN}", drawworks_working)
FALL: Final = formula(
    "v_g = g × T / 4",
    "uniformly accelerated fall from rest over a quarter of a cycle; common practice, no other source",
    v_g=(
        "speed",
        "speed of free fall from rest in the quarter of a cycle in which the line comes up to speed",
    ),
)


@partial(Rule, "slack_line", "Line stays tight", "acceleration", *_TIGHT, (ACCELERATION,))
def slack_line(d: Demands) -> Outcome:
    """With the load set down only its own weight pulls the block after the line: it can follow the vessel's heave no
    faster than it falls. Downward acceleration asked of the block, that of heave at the hoist, against free fall.
    Inertia of sheaves and line is not counted."""
    return outcome(extreme(ACCELERATION, d.acceleration, d.plan), capacity=STANDARD_GRAVITY)


@partial(Rule, "slack_line_speed", "Line stays tight, speed", "speed", *_TIGHT, (HEAVE_SPEED, FALL))
def slack_line_speed(d: Demands) -> Outcome:
    """As for its acceleration: while the line pays out, the empty block has a quarter of a cycle from rest to the
    largest speed. Downward speed asked of the block, that of heave at the hoist, against what free fall reaches in
    that time. In a regular sea acceleration comes to its limit first. Friction of sheaves, which a slack line does not
    feel, and drag of the air are not counted."""
    period = np.where(d.heave.sigma == 0, math.inf, d.heave.period)  # in a calm there is all the time to fall
    return outcome(extreme(HEAVE_SPEED, d.velocity, d.plan), capacity=FALL(T=period))
