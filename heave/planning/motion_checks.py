"""Checks of motion: stroke, its speed and its ends, heave limits and what motion is left."""

from __future__ import annotations

import math

import numpy as np

from heave.planning.demands import Demands
from heave.planning.outcome import Outcome, known, level_step, outcome
from heave.planning.working import Step, Term
from heave.vessel import AmplitudeStatistics


def _travel_step(d: Demands) -> Step:
    motion = d.heave
    if d.stroke is not None and np.all(d.stroke.level >= d.heave.level):
        motion = d.stroke
    what = "travel between block and hook" if motion is d.stroke else "heave at the hoist"
    return level_step("X", motion, d.plan, "length", what)


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
        _travel_step(d),
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
    return outcome(
        d.travel_velocity,
        known(d.plan.compensator.velocity_rating),
        level_step("v", d.velocity, d.plan, "speed", "speed of the travel"),
    )


def _motion_limit(
    d: Demands, motion: AmplitudeStatistics | None, limit: float | None, kind: str, what: str
) -> Outcome:
    if motion is None:
        return outcome(np.full_like(d.heave.level, math.nan), known(limit))
    return outcome(motion.level, known(limit), level_step("r", motion, d.plan, kind, what))


def residual_motion(d: Demands) -> Outcome:
    """Motion left at the load against the limit of the procedure."""
    what = "motion left at the end of the string"
    return _motion_limit(d, d.residual, d.plan.operation.residual_motion_limit, "length", what)


def residual_velocity(d: Demands) -> Outcome:
    """Speed left at the load against the limit of the procedure."""
    what = "speed left at the end of the string"
    return _motion_limit(d, d.residual_velocity, d.plan.operation.residual_velocity_limit, "speed", what)


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
    return outcome(
        d.travel_velocity,
        known(d.plan.compensator.active_velocity_limit),
        level_step("v", d.velocity, d.plan, "speed", "speed of the travel"),
    )
