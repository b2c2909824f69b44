"""Checks of load: compensator, gas pressure, weight on bit, string, locked unit, drawworks and active part."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from heave.judging.demands import Demands, carried_load, drift_per_metre, static_load
from heave.judging.outcome import FloatArray, Outcome, known, level_step, outcome, worst_of
from heave.judging.working import Step, Term
from heave.vessel import AmplitudeStatistics

RINGING: Final = 3
"""Times the seal friction counts in the checks of weight on bit, a string that rings undamped. With twice, the
nominal band, simulation goes up to 1.23 times past it; with three times it never did (0.95 in 504 cases)."""


def _extreme_gas(d: Demands) -> tuple[FloatArray, Step]:
    """Gas load with the vessel at its highest, at most at the end of the stroke, at the high index."""
    unit, setting = d.plan.compensator, d.setting
    half = known(unit.stroke) / 2
    # The end stop ends compression: past it the load is the locked load, which has its own check.
    travel = np.minimum(d.plan.static_sides[0] + d.travel, half)
    spring = unit.spring(setting.load, unit.index_high)
    safe = np.where(np.isnan(travel), 0.0, travel)
    gas = np.where(np.isnan(travel), math.nan, spring.load(safe))
    step = Step(
        "F_g",
        "({F₀} + p_a·A) × (1 − {x} / {ℓ})^(−{n}) − p_a·A",
        {
            "F₀": Term(setting.load, "force", "load at mid-stroke: hookload and moving parts less WOB"),
            "x": Term(travel, "length", "travel towards compression, at most half the stroke"),
            "ℓ": Term(spring.length, "length", "open gas volume over effective area"),
            "n": Term(unit.index_high, "number", "high polytropic index"),
        },
        Term(gas, "force", "gas load with the vessel at its highest"),
    )
    return gas, step


def _largest_working_load(d: Demands) -> tuple[FloatArray, tuple[Step, ...]]:
    """Gas load at the extreme plus friction and hydraulic loss: what the working unit can put on the hook."""
    gas, gas_step = _extreme_gas(d)
    speed, friction = d.travel_velocity, d.setting.friction_force
    coefficient = d.plan.compensator.hydraulic_loss
    load = gas + friction + coefficient * speed**2
    step = Step(
        "F_d",
        "{F_g} + {F_f} + {c} × {v}²",
        {
            "F_g": Term(gas, "force", "gas load with the vessel at its highest"),
            "F_f": Term(friction, "force", "seal friction"),
            "c": Term(coefficient, "quadratic_damping", "hydraulic loss coefficient"),
            "v": Term(speed, "speed", "speed of the travel, at the accepted risk"),
        },
        Term(load, "force", "load on the hook at the extreme, all three at their largest together"),
    )
    return load, (gas_step, step)


def compensated_load(d: Demands) -> Outcome:
    """Largest load on the working compensator against its rating while compensating."""
    static = static_load(d.plan)
    capacity = known(d.plan.compensator.compensated_rating)
    weight = Term(static, "force", "largest static load: hookload, moving parts and any latched overpull")
    if d.plan.compensator.is_drawworks:
        swing = _dynamic_tension(d)
        demand = static + swing
        what = "what the sea adds: nothing while heave is compensated, all of it once that is lost"
        terms = {"W": weight, "ΔF": Term(swing, "force", what)}
        return outcome(
            demand, capacity, Step("F", "{W} + {ΔF}", terms, Term(demand, "force", "load carried"))
        )
    working, steps = _largest_working_load(d)
    demand = np.maximum(working, static)
    terms = {"F_d": Term(working, "force", "load at the extreme"), "W": weight}
    largest = Term(demand, "force", "largest load on the working compensator")
    return outcome(demand, capacity, *steps, Step("F", "max({F_d}, {W})", terms, largest))


def gas_pressure(d: Demands) -> Outcome:
    """Gas pressure fully compressed against the rating; it needs no sea, a stroke-out reaches it."""
    top = known(d.setting.pressure_max)
    return outcome(
        np.full_like(d.heave.level, top),
        known(d.plan.compensator.pressure_rating),
        Step(
            "P",
            "F_gas({F₀}, S/2, {n}) / {A}",
            {
                "F₀": Term(d.setting.load, "force", "load at mid-stroke"),
                "n": Term(d.plan.compensator.index_high, "number", "high polytropic index"),
                "A": Term(known(d.plan.compensator.effective_area), "area", "effective area"),
            },
            Term(top, "pressure", "gauge pressure fully compressed"),
        ),
    )


def _bit_change(d: Demands, share: int, falling: bool) -> tuple[FloatArray, tuple[Step, ...]]:
    """Change of weight on bit towards less (`falling`) or more: swing in the sea and drift with slow travel."""
    swing = d.bit
    if swing is None:
        return np.full_like(d.heave.level, math.nan), ()
    per_metre, travel = drift_per_metre(d.plan), d.plan.drift_sides[0 if falling else 1]
    total = swing.elastic + share * swing.friction + per_metre * travel
    way = "rising" if falling else "falling"
    step = Step(
        "ΔW",
        f"{{a}} + {share} × {{F_f}} + {{k}} × {{x_s}}",
        {
            "a": Term(
                swing.elastic,
                "force",
                "elastic swing at the bit: gas stiffness and hydraulic loss through the string",
            ),
            "F_f": Term(swing.friction, "force", "seal friction, which rings the string"),
            "k": Term(
                per_metre, "stiffness", "gas spring and string in series, less what an active part takes"
            ),
            "x_s": Term(
                travel, "length", f"slow travel from the start position towards the vessel-{way} end"
            ),
        },
        Term(total, "force", f"change of weight on bit towards {'less' if falling else 'more'}"),
    )
    return total, (step,)


def wob_band(d: Demands) -> Outcome:
    """High change of weight on bit against the edge of the programme's band that it uses more of."""
    operation, wob = d.plan.operation, d.plan.wob
    sides = []
    for limit, falling in ((operation.wob_low, True), (operation.wob_high, False)):
        if limit is not None:
            demand, steps = _bit_change(d, RINGING, falling)
            sides.append(outcome(demand, wob - limit if falling else limit - wob, *steps))
    if not sides:
        demand, steps = _bit_change(d, RINGING, falling=True)
        return outcome(demand, math.nan, *steps)
    return worst_of(sides)


def lift_off(d: Demands) -> Outcome:
    """High change of weight on bit against the weight itself: at 1 the bit leaves bottom."""
    demand, steps = _bit_change(d, RINGING, falling=True)
    return outcome(demand, d.plan.wob, *steps)


def _dynamic_tension(d: Demands) -> FloatArray:
    """Tension above the hookload that the string sees, whatever carries it."""
    if d.plan.operation.about.compensator == "locked":
        return d.locked
    if d.plan.compensator.is_drawworks:
        # A drawworks that has lost its compensation holds the block to the vessel, as a locked unit does.
        return np.zeros_like(d.heave.level) if d.plan.active_in_use else d.locked
    working, _ = _largest_working_load(d)
    return np.maximum(working - static_load(d.plan), 0.0)


def tension(d: Demands) -> Outcome:
    """Tension in the most used section with the sea and the overpull on, against the share of yield allowed."""
    return _tension(d, _dynamic_tension(d))


def tension_if_locked(d: Demands) -> Outcome:
    """The same with the unit locked on a string that cannot follow the vessel."""
    return _tension(d, d.locked)


def _tension(d: Demands, dynamic: FloatArray) -> Outcome:
    plan = d.plan
    pull = dynamic + plan.overpull
    rows = plan.string.tension_margins(plan.hookload)
    shares = np.stack([(row.tension + pull) / (plan.yield_fraction * row.capacity) for row in rows])
    worst = np.argmax(np.where(np.isnan(shares), -math.inf, shares), axis=0)
    static = np.array([row.tension for row in rows])[worst]
    capacity = plan.yield_fraction * np.array([row.capacity for row in rows])[worst]
    demand = static + pull
    return outcome(
        demand,
        capacity,
        Step(
            "T",
            "{T_s} + {ΔT} + {O}",
            {
                "T_s": Term(static, "force", "static tension at the top of the most used section"),
                "ΔT": Term(dynamic, "force", "tension the sea adds at the top of the string"),
                "O": Term(plan.overpull, "force", "overpull margin"),
            },
            Term(demand, "force", "tension at the top of the most used section"),
        ),
        Step(
            "c",
            "{f} × {T_y}",
            {
                "f": Term(plan.yield_fraction, "fraction", "share of yield allowed"),
                "T_y": Term(capacity / plan.yield_fraction, "force", "area × yield of that section"),
            },
            Term(capacity, "force", "tension allowed"),
        ),
    )


def locked_load(d: Demands) -> Outcome:
    """Weight, overpull in hand and what the sea puts on a unit that cannot move, against the locked rating."""
    weight = carried_load(d.plan)
    demand = weight + d.plan.overpull + d.locked
    return outcome(
        demand,
        known(d.plan.compensator.locked_rating),
        Step(
            "F",
            "{W} + {O} + {ΔF}",
            {
                "W": Term(weight, "force", "hookload and moving parts"),
                "O": Term(d.plan.overpull, "force", "overpull margin"),
                "ΔF": Term(d.locked, "force", "string stiffness and inertia × heave, at the accepted risk"),
            },
            Term(demand, "force", "largest load on the locked unit"),
        ),
    )


def _line(d: Demands, motion: AmplitudeStatistics, limit: float | None, kind: str, what: str) -> Outcome:
    lines = known(d.plan.compensator.lines)
    demand = lines * motion.level
    step = Step(
        "v",
        "{N} × {v_h}",
        {
            "N": Term(lines, "number", "lines strung"),
            "v_h": Term(motion.level, kind, f"{what} at the hoist, at the accepted risk"),
        },
        Term(demand, kind, f"{what} of the line"),
    )
    return outcome(demand, known(limit), level_step("v_h", motion, d.plan, kind, what), step)


def line_speed(d: Demands) -> Outcome:
    """Line speed of a compensating drawworks against its limit."""
    return _line(d, d.velocity, d.plan.compensator.line_speed_limit, "speed", "speed")


def line_acceleration(d: Demands) -> Outcome:
    """Line acceleration of a compensating drawworks against its limit."""
    limit = d.plan.compensator.line_acceleration_limit
    return _line(d, d.acceleration, limit, "acceleration", "acceleration")


def power(d: Demands) -> Outcome:
    """Peak power a compensating drawworks needs against its limit."""
    demand = d.setting.load * d.velocity.level
    step = Step(
        "P",
        "{F} × {v}",
        {
            "F": Term(d.setting.load, "force", "load on the hook"),
            "v": Term(d.velocity.level, "speed", "speed at the hoist, at the accepted risk"),
        },
        Term(demand, "power", "peak power, losses not counted"),
    )
    return outcome(demand, known(d.plan.compensator.power_limit), step)


def active_force(d: Demands) -> Outcome:
    """Force the active part must add to cancel the passive unit's variation, against its limit."""
    gas, gas_step = _extreme_gas(d)
    gain = known(d.plan.compensator.active_gain)
    demand = gain * (np.maximum(gas - d.setting.load, 0.0) + d.setting.friction_force)
    step = Step(
        "F_a",
        "{G} × ({F_g} − {F₀} + {F_f})",
        {
            "G": Term(gain, "number", "active gain"),
            "F_g": Term(gas, "force", "gas load with the vessel at its highest"),
            "F₀": Term(d.setting.load, "force", "load at mid-stroke"),
            "F_f": Term(d.setting.friction_force, "force", "seal friction"),
        },
        Term(demand, "force", "force the active part must add"),
    )
    return outcome(demand, known(d.plan.compensator.active_force_limit), gas_step, step)
