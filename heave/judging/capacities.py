"""Which field of the plan the capacity of a check is from."""

from __future__ import annotations

from typing import Final

from heave.judging.origins import origin_of
from heave.judging.path_loads import RATINGS
from heave.planning.plan import Plan

_UNIT: Final = {
    "stroke_rate": "velocity_rating", "compensated_load": "compensated_rating", "gas_pressure": "pressure_rating",
    "overpull": "locked_rating", "locked_load": "locked_rating", "active_force": "active_force_limit",
    "active_force_falling": "active_force_limit", "active_velocity": "active_velocity_limit",
    "active_power": "active_power_limit", "line_speed": "line_speed_limit",
    "line_acceleration": "line_acceleration_limit", "power": "power_limit",
}  # fmt: skip
_OPERATION: Final = {
    "residual_motion": "residual_motion_limit", "residual_velocity": "residual_velocity_limit",
    "heave_limit": "heave_limit", "speed_limit": "speed_limit", "acceleration_limit": "acceleration_limit",
    "roll_limit": "roll_limit", "pitch_limit": "pitch_limit", "stroke_out": "stroke_out_limit",
    "bit_blow": "wob_high", "wob_band": "wob_low",
}  # fmt: skip
_PLAN: Final = {"lift_off": "wob", "latch_tension": "overpull"}


def capacity_origin(key: str, plan: Plan) -> str:
    """Where the capacity of a check is from, in words.

    Parameters
    ----------
    key : of the check
    plan : the plan
    """
    path = {**RATINGS, "brake_power": "brake_power", "lowering_power": "brake_power"}
    for room, owner, names in (
        ("Compensator", plan.compensator, _UNIT),
        ("Operation", plan.operation, _OPERATION),
        ("Plan", plan, _PLAN),
        ("Hoisting path", plan.hoisting, path),
    ):
        if key in names and owner is not None:
            return origin_of(owner, names[key], room)
    if key == "hs_limit":
        return "Operation: lowest of the Hs limits that cover a wave system of this sea"
    if key == "hoisting_pull":
        return "Hoisting path: no pull past the speed of its fastest gear or point"
    if key == "slack_line":
        return "standard gravity, exact (3rd CGPM, 1901)"
    return "given by the rule"
