"""When a rule applies: what compensator and string of a plan are doing."""

from __future__ import annotations

from collections.abc import Callable

from heave.compensator import ActiveAssisted
from heave.planning.plan import Plan


def always(plan: Plan) -> bool:
    return True


def working(plan: Plan) -> bool:
    return plan.operation.compensated


def gas_working(plan: Plan) -> bool:
    return working(plan) and not plan.compensator.is_drawworks


def active_working(plan: Plan) -> bool:
    return gas_working(plan) and plan.active_in_use


def active_power_known(plan: Plan) -> bool:
    unit = plan.compensator
    return active_working(plan) and isinstance(unit, ActiveAssisted) and unit.active_power_limit is not None


def overdone(plan: Plan) -> bool:
    """True where an active part that follows force gives back more of it than there is."""
    part = plan.active_part
    return active_working(plan) and not plan.follows_position and part is not None and part.active_gain > 1


def hook_driven(plan: Plan) -> bool:
    """True where the place of the hook is driven, whatever the forces: by a drawworks, or by position."""
    return working(plan) and (plan.compensator.is_drawworks or plan.follows_position)


def drawworks_working(plan: Plan) -> bool:
    return working(plan) and plan.compensator.is_drawworks


def line_working(plan: Plan) -> bool:
    return drawworks_working(plan) and plan.active


def braking(plan: Plan) -> bool:
    return line_working(plan) and plan.hoisting is not None and plan.hoisting.brake_power is not None


def free_working(plan: Plan) -> bool:
    return working(plan) and plan.operation.hangs_free


def on_bottom(plan: Plan) -> bool:
    return plan.on_bottom


def latched(plan: Plan) -> bool:
    return plan.operation.latched


def limited_in(limit: str) -> Callable[[Plan], bool]:
    """True where the rig gives the limit of that name."""
    return lambda plan: plan.operation.gives(limit)


def locked_or_latched(plan: Plan) -> bool:
    return latched(plan) or not working(plan)
