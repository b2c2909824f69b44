"""Checks of motion: stroke, its speed and its ends, heave limits and what motion is left."""

from __future__ import annotations

import math

import numpy as np

from heave.judging.demands import Demands
from heave.judging.outcome import Outcome, known, level_step, outcome
from heave.judging.working import Step, Term


def _travel_steps(d: Demands) -> tuple[Step, ...]:
    """The extreme travel: the heave itself, the travel between block and hook, and the larger of them."""
    heave = level_step("z", d.heave, d.plan, "length", "heave at the hoist")
    if d.stroke is None:
        return (heave,)
    travel = level_step("X_l", d.stroke, d.plan, "length", "travel between block and hook")
    terms = {"X_l": travel.result, "z": heave.result}
    formula = "max({X_l}, {z})"
    if d.wander is not None:
        wander = "travel that seal friction adds off bottom, where nothing holds the hook's place"
        terms |= {"w": Term(d.wander, "length", wander)}
        formula = "max(√({X_l}² + {w}²), {z})"
    largest = Term(d.travel, "length", "extreme travel, never less than the heave itself")
    return heave, travel, Step("X", formula, terms, largest)


def stroke_rising(d: Demands) -> Outcome:
    """Stroke used as the vessel rises: static travel + extreme against half the stroke less the reserve."""
    return _side(d, rising=True)


def stroke_falling(d: Demands) -> Outcome:
    """Stroke used as the vessel falls: static travel + extreme against half the stroke less the reserve."""
    return _side(d, rising=False)


def _side(d: Demands, rising: bool) -> Outcome:
    plan = d.plan
    static = plan.static_sides[0 if rising else 1]
    half, reserve = known(plan.compensator.stroke) / 2, plan.compensator.end_reserve
    side = "rising" if rising else "falling"
    demand = static + d.travel
    return outcome(
        demand,
        half - reserve,
        *_travel_steps(d),
        Step(
            "x",
            "{x_s} + {X}",
            {
                "x_s": Term(static, "length", f"static travel towards the vessel-{side} end"),
                "X": Term(d.travel, "length", "extreme travel, never less than the heave itself"),
            },
            Term(demand, "length", "stroke used from mid-stroke"),
        ),
        Step(
            "c",
            "{S} / 2 − {R}",
            {
                "S": Term(known(plan.compensator.stroke), "length", "stroke, end to end"),
                "R": Term(reserve, "length", "end reserve"),
            },
            Term(half - reserve, "length", "stroke available on this side"),
        ),
    )


def stroke_rate(d: Demands) -> Outcome:
    """Speed of the travel against the velocity rating."""
    return outcome(d.travel_velocity, known(d.plan.compensator.velocity_rating), *_speed_steps(d))


def _speed_steps(d: Demands) -> tuple[Step, ...]:
    heave = level_step("v_z", d.velocity, d.plan, "speed", "speed of heave at the hoist")
    if d.stroke_velocity is None:
        return (heave,)
    terms = {
        "v_z": heave.result,
        "v_x": Term(d.stroke_velocity, "speed", "speed between block and hook, at the accepted risk"),
    }
    largest = Term(d.travel_velocity, "speed", "speed of the travel, never less than of the heave itself")
    return heave, Step("v", "max({v_z}, {v_x})", terms, largest)


def residual_motion(d: Demands) -> Outcome:
    """Motion left at the load against the limit of the procedure."""
    limit = known(d.plan.operation.residual_motion_limit)
    if d.residual is None or d.residual_motion is None:
        return outcome(np.full_like(d.heave.level, math.nan), limit)
    linear = level_step("r_l", d.residual, d.plan, "length", "motion left at the end of the string")
    added = Term(
        d.residual_motion - d.residual.level, "length", "what seal friction adds: wander and stretch"
    )
    whole = Term(d.residual_motion, "length", "motion left with friction")
    return outcome(
        d.residual_motion,
        limit,
        linear,
        Step("r", "{r_l} + {r_f}", {"r_l": linear.result, "r_f": added}, whole),
    )


def residual_velocity(d: Demands) -> Outcome:
    """Speed left at the load against the limit of the procedure."""
    limit = known(d.plan.operation.residual_velocity_limit)
    if d.residual_velocity is None:
        return outcome(np.full_like(d.heave.level, math.nan), limit)
    what = "speed left at the end of the string"
    step = level_step("r", d.residual_velocity, d.plan, "speed", what)
    return outcome(d.residual_velocity.level, limit, step)


def heave_limit(d: Demands) -> Outcome:
    """Heave at the hoist against the rig's own limit, as the procedure means it."""
    significant = d.plan.operation.heave_basis.startswith("significant")
    demand = 4 * d.heave.sigma if significant else 2 * d.heave.level
    term = (
        ("σ", d.heave.sigma, "standard deviation of heave")
        if significant
        else ("z", d.heave.level, "heave at the accepted risk, single amplitude")
    )
    step = Step(
        "H",
        f"{'4' if significant else '2'} × {{{term[0]}}}",
        {term[0]: Term(term[1], "length", term[2])},
        Term(demand, "length", d.plan.operation.heave_basis),
    )
    return outcome(demand, known(d.plan.operation.heave_limit), step)


def stroke_out(d: Demands) -> Outcome:
    """How often either end is reached, against the rate the rig accepts."""
    if d.rate_rising is None or d.rate_falling is None:
        return outcome(np.full_like(d.heave.level, math.nan), math.nan)
    demand = d.rate_rising + d.rate_falling
    step = Step(
        "ν",
        "{ν_r} + {ν_f}",
        {
            "ν_r": Term(d.rate_rising, "rate", "at the vessel-rising end, (1/Tz) exp(−(S/2 − x_s)² / 2σ²)"),
            "ν_f": Term(d.rate_falling, "rate", "at the vessel-falling end"),
        },
        Term(demand, "rate", "stroke-outs, both ends"),
    )
    return outcome(demand, known(d.plan.operation.stroke_out_limit), step)


def active_velocity(d: Demands) -> Outcome:
    """Speed of the travel against the active part's limit."""
    return outcome(d.travel_velocity, known(d.plan.compensator.active_velocity_limit), *_speed_steps(d))
