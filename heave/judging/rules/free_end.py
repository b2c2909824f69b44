"""What motion is left at the end of a string that hangs free."""

from __future__ import annotations

from functools import partial
from typing import Final

from heave.compensator.extremes import WANDER_SHARE, WANDER_SHARE_ACTIVE
from heave.judging.checks import Outcome, Rule, outcome
from heave.judging.demands import Demands
from heave.judging.formulas import FITTED, GAUSSIAN, TRAVEL, extreme, formula, level
from heave.judging.rules.stroke import WANDER
from heave.judging.rules.when import free_working

MOTION: Final = level("r_l", "length", "motion left at the end of the string")
SPEED: Final = level("u", "speed", "speed left at the end of the string")
WITH_FRICTION: Final = formula(
    "r = √(r_l² + w²) + min(F_f / k_s, X_l)",
    FITTED,
    r=("length", "motion left, with the wander of the hook and the stretch that seal friction adds"),
    r_l=MOTION.symbols["r_l"],
)
_FREE: Final = (GAUSSIAN, free_working)
_LIMIT, _SPEED_LIMIT = "residual_motion_limit", "residual_velocity_limit"
_MOTION: Final = (MOTION, TRAVEL, WANDER, WITH_FRICTION)


@partial(Rule, "residual_motion", "Motion left at the load", "length", *_FREE, _MOTION, limit=_LIMIT)
def motion(d: Demands) -> Outcome:
    """Motion of the string's lower end at the accepted risk, with the wander and stretch that seal friction adds
    (fitted to simulation), against the limit of the procedure."""
    limit, setting = d.plan.operation.residual_motion_limit, d.setting
    linear = extreme(MOTION, d.residual, d.plan)
    if setting.stiffness_nominal is None or d.plan.follows_position:  # no seals, or none that the hook feels
        return outcome(linear, capacity=limit)
    share = WANDER_SHARE_ACTIVE if d.plan.active_in_use else WANDER_SHARE
    travel, friction = extreme(TRAVEL, d.stroke, d.plan), setting.friction_force
    wander = WANDER(b=share, F_f=friction, k_c=setting.stiffness_nominal, X_l=travel)
    whole = WITH_FRICTION(r_l=linear, w=wander, F_f=friction, k_s=d.plan.string.stiffness, X_l=travel)
    return outcome(linear, travel, wander, whole, capacity=limit)


@partial(Rule, "residual_velocity", "Speed left at the load", "speed", *_FREE, (SPEED,), limit=_SPEED_LIMIT)
def speed(d: Demands) -> Outcome:
    """Speed of the string's lower end at the accepted risk, against the limit of the procedure."""
    left = extreme(SPEED, d.residual_velocity, d.plan)
    return outcome(left, capacity=d.plan.operation.residual_velocity_limit)
