"""The checks as rules: what each is called, rests on and needs, and when it applies."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from heave.judging import load_checks as load
from heave.judging import motion_checks as motion
from heave.judging.demands import Demands
from heave.judging.outcome import GAS_LAW, GAUSSIAN, Outcome
from heave.planning.plan import Plan


@dataclass(frozen=True)
class Rule:
    """One check: what it is called, what it rests on, when it applies and how it is worked out."""

    key: str
    name: str
    kind: str
    basis: str
    source: str
    applies: Callable[[Plan], bool]
    work: Callable[[Demands], Outcome]
    limit: str | None = None
    """Field of the operation that holds the limit, where only the rig's procedures can give it."""


def rules_for(plan: Plan) -> tuple[Rule, ...]:
    """The rules that apply to the plan's operation and compensator, in reading order."""
    return tuple(rule for rule in RULES if rule.applies(plan))


def _gas_works(plan: Plan) -> bool:
    return plan.operation.about.compensator == "working" and not plan.compensator.is_drawworks


def _line_works(plan: Plan) -> bool:
    return _working(plan) and plan.compensator.is_drawworks and plan.active


def _active_works(plan: Plan) -> bool:
    return _gas_works(plan) and plan.compensator.has_active and plan.active


def _free_working(plan: Plan) -> bool:
    return plan.operation.about.compensator == "working" and plan.operation.about.string == "free"


def _latched(plan: Plan) -> bool:
    return plan.operation.about.string == "fixed at the seabed"


def _working(plan: Plan) -> bool:
    return plan.operation.about.compensator == "working"


RULES: Final[tuple[Rule, ...]] = (
    Rule(
        "stroke_rising",
        "Stroke, vessel rising",
        "length",
        "Static travel plus the extreme at the accepted risk, against half the stroke less the end reserve. "
        "The extreme is the travel between block and hook, and never less than the heave itself.",
        GAUSSIAN,
        _gas_works,
        motion.stroke_rising,
    ),
    Rule(
        "stroke_falling",
        "Stroke, vessel falling",
        "length",
        "As the rising side, towards the end where the gas is fully expanded.",
        GAUSSIAN,
        _gas_works,
        motion.stroke_falling,
    ),
    Rule(
        "stroke_rate",
        "Compensator speed",
        "speed",
        "Speed of the travel at the accepted risk, against the unit's velocity rating.",
        GAUSSIAN,
        _gas_works,
        motion.stroke_rate,
    ),
    Rule(
        "compensated_load",
        "Compensated load",
        "force",
        "Gas load at the extreme with friction and hydraulic loss, or the static load off bottom if larger, "
        "against the rating while compensating.",
        GAS_LAW,
        _working,
        load.compensated_load,
    ),
    Rule(
        "gas_pressure",
        "Gas pressure",
        "pressure",
        "Gauge pressure fully compressed at the high polytropic index, against the pressure rating. "
        "A stroke-out reaches it in any sea.",
        GAS_LAW,
        _gas_works,
        load.gas_pressure,
    ),
    Rule(
        "lift_off",
        "Bit stays on bottom",
        "force",
        "Elastic swing of the weight on bit, three times the seal friction (an undamped string) and what slow travel "
        "towards the vessel-rising end takes off, against the weight on bit. At 1 the bit lifts off.",
        "Axial rod dynamics of the string (wave equation); friction share is common practice",
        lambda plan: plan.on_bottom,
        load.lift_off,
    ),
    Rule(
        "wob_band",
        "WOB band",
        "force",
        "Elastic swing of the weight on bit, three times the seal friction and what slow travel takes off or puts on, "
        "against the edge of the drilling programme's band that it uses more of.",
        "Axial rod dynamics of the string (wave equation); band from the drilling programme",
        lambda plan: plan.on_bottom,
        load.wob_band,
        "wob_low",
    ),
    Rule(
        "residual_motion",
        "Motion left at the load",
        "length",
        "Motion of the string's lower end at the accepted risk, with the wander and stretch that seal friction adds "
        "(fitted to simulation), against the limit of the procedure.",
        GAUSSIAN,
        _free_working,
        motion.residual_motion,
        "residual_motion_limit",
    ),
    Rule(
        "residual_velocity",
        "Speed left at the load",
        "speed",
        "Speed of the string's lower end at the accepted risk, against the limit of the procedure.",
        GAUSSIAN,
        _free_working,
        motion.residual_velocity,
        "residual_velocity_limit",
    ),
    Rule(
        "tension",
        "String tension",
        "force",
        "Static tension, what the sea adds and the overpull margin, at the most used section, against the share "
        "of yield allowed.",
        "Area × minimum yield (API RP 7G); share of yield is common practice",
        lambda plan: True,
        load.tension,
    ),
    Rule(
        "locked_load",
        "Locked load",
        "force",
        "Static load plus string stiffness and inertia times heave, against the rating of the locked unit.",
        "Axial rod dynamics of the string (wave equation)",
        lambda plan: plan.operation.about.compensator == "locked" or _latched(plan),
        load.locked_load,
    ),
    Rule(
        "tension_if_locked",
        "String tension if the unit locks",
        "force",
        "A unit thought to be working can be locked: the string, fixed at the seabed, then stretches with every "
        "wave. Against the share of yield allowed.",
        "Axial rod dynamics of the string; area × minimum yield (API RP 7G)",
        _latched,
        load.tension_if_locked,
    ),
    Rule(
        "line_speed",
        "Line speed",
        "speed",
        "Heave speed times the lines strung, against the drawworks' limit.",
        "Block and line kinematics; " + GAUSSIAN,
        _line_works,
        load.line_speed,
    ),
    Rule(
        "line_acceleration",
        "Line acceleration",
        "acceleration",
        "Heave acceleration times the lines strung, against the drawworks' limit.",
        "Block and line kinematics; " + GAUSSIAN,
        _line_works,
        load.line_acceleration,
    ),
    Rule(
        "power",
        "Drawworks power",
        "power",
        "Load on the hook times heave speed, losses not counted, against the power limit.",
        "Power = force × speed",
        _line_works,
        load.power,
    ),
    Rule(
        "active_force",
        "Active force",
        "force",
        "Gain times the passive unit's variation and friction at the extreme, against the active part's limit.",
        GAS_LAW,
        _active_works,
        load.active_force,
    ),
    Rule(
        "active_velocity",
        "Active speed",
        "speed",
        "Speed of the travel at the accepted risk, against the active part's limit.",
        GAUSSIAN,
        _active_works,
        motion.active_velocity,
    ),
    Rule(
        "heave_limit",
        "Heave limit of the rig",
        "length",
        "Heave at the hoist, as the procedure means it, against the rig's own number. No open standard gives one.",
        "The rig's procedures",
        lambda plan: True,
        motion.heave_limit,
        "heave_limit",
    ),
    Rule(
        "stroke_out",
        "Stroke-out rate",
        "rate",
        "Expected number of times either end is reached, against the rate the rig accepts.",
        "Up-crossing rate of a Gaussian process (Rice, 1944)",
        _gas_works,
        motion.stroke_out,
        "stroke_out_limit",
    ),
)
"""Every check the planner knows, in reading order."""
