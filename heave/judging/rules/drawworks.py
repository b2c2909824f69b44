"""Line and power of a compensating drawworks."""

from __future__ import annotations

import math
from functools import partial
from typing import Final

import numpy as np

from heave.judging.checks import Outcome, Rule, outcome
from heave.judging.demands import Demands
from heave.judging.formulas import ACCELERATION, GAUSSIAN, HEAVE_SPEED, KINEMATICS, extreme, formula
from heave.judging.rules.when import drawworks_working, line_working
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
_LINE: Final = f"Block and line kinematics; {GAUSSIAN}"


@partial(Rule, "line_speed", "Line speed", "speed", _LINE, line_working, (HEAVE_SPEED, LINE_SPEED))
def line_speed(d: Demands) -> Outcome:
    """Heave speed times the lines strung, against the drawworks' limit."""
    heave, unit = extreme(HEAVE_SPEED, d.velocity, d.plan), d.plan.compensator
    return outcome(heave, LINE_SPEED(n_l=unit.lines, v_z=heave), capacity=unit.line_speed_limit)


@partial(Rule, "line_acceleration", "Line acceleration", "acceleration", _LINE, line_working, _ACCELERATION)
def line_acceleration(d: Demands) -> Outcome:
    """Heave acceleration times the lines strung, against the drawworks' limit."""
    heave, unit = extreme(ACCELERATION, d.acceleration, d.plan), d.plan.compensator
    return outcome(heave, LINE_ACCELERATION(n_l=unit.lines, a_z=heave), capacity=unit.line_acceleration_limit)


@partial(Rule, "power", "Drawworks power", "power", "Power = force × speed", line_working, (POWER,))
def power(d: Demands) -> Outcome:
    """Load on the hook times heave speed, losses not counted, against the power limit."""
    return outcome(POWER(F_0=d.setting.load, v_z=d.velocity.level), capacity=d.plan.compensator.power_limit)


_FREE_FALL: Final = f"free fall of an empty block, no other source; {GAUSSIAN}"
FALL: Final = formula(
    "v_g = g × T / 4",
    "uniformly accelerated fall from rest over a quarter of a cycle; common practice, no other source",
    v_g=(
        "speed",
        "speed of free fall from rest in the quarter of a cycle in which the line comes up to speed",
    ),
)


@partial(
    Rule, "slack_line", "Line stays tight", "acceleration", _FREE_FALL, drawworks_working, (ACCELERATION,)
)
def slack_line(d: Demands) -> Outcome:
    """With the load set down only its own weight pulls the block after the line: it can follow the vessel's heave no
    faster than it falls. Downward acceleration asked of the block, that of heave at the hoist, against free fall.
    Inertia of sheaves and line is not counted."""
    return outcome(extreme(ACCELERATION, d.acceleration, d.plan), capacity=STANDARD_GRAVITY)


@partial(
    Rule,
    "slack_line_speed",
    "Line stays tight, speed",
    "speed",
    _FREE_FALL,
    drawworks_working,
    (HEAVE_SPEED, FALL),
)
def slack_line_speed(d: Demands) -> Outcome:
    """As for its acceleration: while the line pays out, the empty block has a quarter of a cycle from rest to the
    largest speed. Downward speed asked of the block, that of heave at the hoist, against what free fall reaches in
    that time. In a regular sea acceleration comes to its limit first. Friction of sheaves, which a slack line does not
    feel, and drag of the air are not counted."""
    period = np.where(d.heave.sigma == 0, math.inf, d.heave.period)  # in a calm there is all the time to fall
    return outcome(extreme(HEAVE_SPEED, d.velocity, d.plan), capacity=FALL(T=period))
