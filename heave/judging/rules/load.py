"""Load on the compensator, pressure of its gas, and force of its active part."""

from __future__ import annotations

from functools import partial
from typing import Final

from heave.formula import Step, Value
from heave.judging.checks import Outcome, Rule, outcome
from heave.judging.demands import Demands
from heave.judging.formulas import BALANCE, GAS_LAW, GAS_LOAD, KINEMATICS, formula
from heave.judging.rules.when import active_working, gas_working, latched, working

HANGING: Final = formula("W = W_h + m_c × g", BALANCE)
HANGING_LATCHED: Final = formula("W = W_h + m_c × g + O", BALANCE)
COMPRESSION: Final = formula("x_g = min(x_r + X, S / 2) − x_s", KINEMATICS)
FULL: Final = formula("x_g = S / 2 − x_s", KINEMATICS)
WORKING: Final = formula("F_d = F_g + F_f + c_q × v²", GAS_LAW)
SEA_ADDS: Final = formula("ΔT = max(F_d − W, 0)", BALANCE)
LARGEST: Final = formula("F = max(F_d, W)", BALANCE, F=("force", "largest load on the working compensator"))
CARRIED: Final = formula("F_b = W + ΔT", BALANCE, F_b=("force", "load carried by the drawworks"))
ACTIVE: Final = formula(
    "F_a = G × (max(F_g − F_0, 0) + F_f)", BALANCE, F_a=("force", "force the active part must add")
)
PRESSURE: Final = formula(
    "P_g = F_g / A_e",
    "gauge pressure on the effective area",
    P_g=("pressure", "gauge pressure fully compressed"),
)


def hanging(d: Demands) -> Step:
    """The largest static load on the compensator."""
    plan = d.plan
    static = {"W_h": plan.hookload, "m_c": plan.compensator.moving_mass}
    return HANGING_LATCHED(O=plan.overpull, **static) if latched(plan) else HANGING(**static)


def gas_load(d: Demands, travel: Value) -> Step:
    """Gas load at a travel from the start position towards compression, at the high index."""
    unit, load = d.plan.compensator, d.setting.load + d.gas_force
    spring = unit.spring(load, unit.index_high, d.setting.start)
    return GAS_LOAD(F_0=load, A_e=unit.effective_area, x_g=travel, L=spring.length, n_h=unit.index_high)


def extreme_gas(d: Demands) -> tuple[Step, ...]:
    """Gas load with the vessel at its highest, at most at the end of the stroke.

    The end stop ends compression: past it the load is the locked load, which has its own check.
    """
    stroke, start = d.plan.compensator.stroke, d.setting.start
    travel = COMPRESSION(x_r=d.static_sides[0], X=d.travel, S=stroke, x_s=start)
    return travel, gas_load(d, travel)


def working_load(d: Demands) -> tuple[Step, ...]:
    """Gas load at the extreme plus friction and hydraulic loss: what the working unit can put on the hook."""
    steps, unit = extreme_gas(d), d.plan.compensator
    friction = d.setting.friction_force
    return *steps, WORKING(F_g=steps[-1], F_f=friction, c_q=unit.hydraulic_loss, v=d.travel_velocity)


def sea_adds(d: Demands) -> tuple[tuple[Step, ...], Value]:
    """Tension above the hookload that the string sees, whatever carries it, with its working."""
    if working(d.plan) and not d.plan.compensator.is_drawworks:
        steps = (*working_load(d), hanging(d))
        added = SEA_ADDS(F_d=steps[-2], W=steps[-1])
        return (*steps, added), added
    # A drawworks that has lost its compensation holds the block to the vessel, as a locked unit does.
    follows = working(d.plan) and d.plan.active_in_use
    return (), 0.0 if follows else d.locked


_LOADS: Final = (COMPRESSION, GAS_LOAD, WORKING, HANGING, HANGING_LATCHED, LARGEST, CARRIED)


@partial(Rule, "compensated_load", "Compensated load", "force", GAS_LAW, working, _LOADS)
def compensated(d: Demands) -> Outcome:
    """Gas load at the extreme with friction and hydraulic loss, or the static load off bottom if larger,
    against the rating while compensating."""
    rating, weight = d.plan.compensator.compensated_rating, hanging(d)
    if d.plan.compensator.is_drawworks:
        return outcome(weight, CARRIED(W=weight, ΔT=sea_adds(d)[1]), capacity=rating)
    steps = working_load(d)
    return outcome(*steps, weight, LARGEST(F_d=steps[-1], W=weight), capacity=rating)


@partial(Rule, "gas_pressure", "Gas pressure", "pressure", GAS_LAW, gas_working, (FULL, GAS_LOAD, PRESSURE))
def pressure(d: Demands) -> Outcome:
    """Gauge pressure fully compressed at the high polytropic index, against the pressure rating.
    A stroke-out reaches it in any sea."""
    unit = d.plan.compensator
    travel = FULL(S=unit.stroke, x_s=d.setting.start)
    gas = gas_load(d, travel)
    return outcome(travel, gas, PRESSURE(F_g=gas, A_e=unit.effective_area), capacity=unit.pressure_rating)


@partial(
    Rule, "active_force", "Active force", "force", GAS_LAW, active_working, (COMPRESSION, GAS_LOAD, ACTIVE)
)
def active_force(d: Demands) -> Outcome:
    """Gain times the passive unit's variation and friction at the extreme, against the active part's limit."""
    unit, setting, steps = d.plan.compensator, d.setting, extreme_gas(d)
    force = ACTIVE(G=unit.active_gain, F_g=steps[-1], F_0=setting.load, F_f=setting.friction_force)
    return outcome(*steps, force, capacity=unit.active_force_limit)
