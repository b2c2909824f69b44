"""What motion is left at the end of a string that hangs free."""

from __future__ import annotations

from functools import partial
from typing import Final

from heave.judging import reversal
from heave.judging.checks import Outcome, Rule, outcome
from heave.judging.demands import Demands
from heave.judging.formulas import GAUSSIAN
from heave.judging.rules.when import free_working

_SHARE: Final = (reversal.LEFT, reversal.LET_GO)
_FREE: Final = (GAUSSIAN, free_working)
_LIMIT, _SPEED_LIMIT = "residual_motion_limit", "residual_velocity_limit"
_MOTION: Final = (reversal.MOTION, *_SHARE, reversal.WANDER, reversal.MOTION_LEFT)
_SPEED: Final = (reversal.SPEED, *_SHARE, *reversal.TURNING, reversal.SPEED_LEFT)


@partial(Rule, "residual_motion", "Motion left at the load", "length", *_FREE, _MOTION, limits=(_LIMIT,))
def motion(d: Demands) -> Outcome:
    """Motion of the string's lower end at the accepted risk, with the wander and stretch that seal friction adds,
    and that of a locked unit where the seals hold it, against the limit of the procedure."""
    return outcome(*reversal.motion_left(d), capacity=d.plan.operation.residual_motion_limit)


@partial(Rule, "residual_velocity", "Speed left at the load", "speed", *_FREE, _SPEED, limits=(_SPEED_LIMIT,))
def speed(d: Demands) -> Outcome:
    """Speed of the string's lower end at the accepted risk, with what seal friction adds where it turns round,
    against the limit of the procedure."""
    return outcome(*reversal.speed_left(d), capacity=d.plan.operation.residual_velocity_limit)
