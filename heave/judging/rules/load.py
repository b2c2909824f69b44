"""Load on the compensator, pressure of its gas, and force of its active part."""

from __future__ import annotations

from functools import partial
from typing import Final

from heave.formula import Step, Value
from heave.judging.checks import Outcome, Rule, outcome
from heave.judging.demands import Demands
from heave.judging.formulas import (
    BALANCE,
    FORCE_LEFT,
    GAS_LAW,
    GAS_LOAD,
    GAS_LOW,
    KINEMATICS,
    extreme,
    formula,
)
from heave.judging.rules.when import active_working, gas_working, latched, working

HANGING: Final = formula("W = W_h + m_c × g", BALANCE)
HANGING_LATCHED: Final = formula("W = W_h + m_c × g + O", BALANCE)
COMPRESSION: Final = formula("x_g = min(x_r + X, S / 2)", KINEMATICS)
EXPANSION: Final = formula("x_l = min(x_f + X, S / 2)", KINEMATICS)
WORKING: Final = formula("F_d = F_g + F_f + c_q × v²", GAS_LAW)
HELD: Final = formula(
    "F_m = F_q + k_s × x_d",
    BALANCE,
    F_q=FORCE_LEFT.symbols["F_q"],
    x_d=("length", "slow travel that stretches a latched string, which a driven hook does not follow"),
)
DRIVEN_LOAD: Final = formula("F_d = F_0 + F_m", BALANCE)
SEA_ADDS: Final = formula("ΔT = max(F_d − W, 0)", BALANCE)
LARGEST: Final = formula("F = max(F_d, W)", BALANCE, F=("force", "largest load on the working compensator"))
CARRIED: Final = formula("F_b = W + ΔT", BALANCE, F_b=("force", "load carried by the drawworks"))
ACTIVE: Final = formula(
    "F_a = G × (max(F_g − F_0, 0) + F_f)", BALANCE, F_a=("force", "force the active part must add")
)
ACTIVE_FALLING: Final = formula("F_a = G × (max(F_0 − F_gl, 0) + F_f)", BALANCE, F_a=ACTIVE.symbols["F_a"])
_BOTH: Final = f"{BALANCE}, both at their largest together"
DRIVE: Final = formula("F_a = max(F_g − F_0, 0) + F_f + F_m", _BOTH, F_a=ACTIVE.symbols["F_a"])
DRIVE_FALLING: Final = formula("F_a = max(F_0 − F_gl, 0) + F_f + F_m", _BOTH, F_a=ACTIVE.symbols["F_a"])
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
    """Gas load at a travel towards compression, at the high index."""
    unit, load = d.plan.compensator, d.setting.load + d.gas_force
    spring = unit.spring(load, unit.index_high)
    return GAS_LOAD(F_0=load, A_e=unit.effective_area, x_g=travel, L=spring.length, n_h=unit.index_high)


def extreme_gas(d: Demands) -> tuple[Step, ...]:
    """Gas load with the vessel at its highest, at most at the end of the stroke.

    The end stop ends compression: past it the load is the locked load, which has its own check.
    """
    travel = COMPRESSION(x_r=d.static_sides[0], X=d.travel, S=d.plan.compensator.stroke)
    return travel, gas_load(d, travel)


def least_gas(d: Demands) -> tuple[Step, ...]:
    """Gas load with the vessel at its lowest, at most at the end of the stroke, at the high index."""
    unit, load = d.plan.compensator, d.setting.load + d.gas_force
    travel = EXPANSION(x_f=d.static_sides[1], X=d.travel, S=unit.stroke)
    length = unit.spring(load, unit.index_high).length
    return travel, GAS_LOW(F_0=load, A_e=unit.effective_area, x_l=travel, L=length, n_h=unit.index_high)


def held(d: Demands) -> tuple[Step, Step]:
    """Force on a hook that is driven by position: of the motion left, and of slow travel where the string is latched.

    On bottom slow travel is in the weight on bit; on a drawworks the driller's feed follows it.
    """
    left, slow = extreme(FORCE_LEFT, d.force_left, d.plan), 0.0
    if latched(d.plan) and not d.plan.compensator.is_drawworks:
        slow = max(d.plan.drift_sides)
    return left, HELD(F_q=left, k_s=d.plan.string.stiffness, x_d=slow)


def working_load(d: Demands) -> tuple[Step, ...]:
    """Gas load at the extreme plus friction and hydraulic loss: what the working unit can put on the hook.

    Where the hook is driven by position the active part takes all of that, and the hook feels the motion left.
    """
    if d.plan.follows_position:
        left, force = held(d)
        return left, force, DRIVEN_LOAD(F_0=d.setting.load, F_m=force)
    steps, unit = extreme_gas(d), d.plan.compensator
    friction = d.setting.friction_force
    return *steps, WORKING(F_g=steps[-1], F_f=friction, c_q=unit.hydraulic_loss, v=d.travel_velocity)


def sea_adds(d: Demands) -> tuple[tuple[Step, ...], Value]:
    """Tension above the hookload that the string sees, whatever carries it, with its working."""
    if working(d.plan) and not d.plan.compensator.is_drawworks:
        steps = (*working_load(d), hanging(d))
        added = SEA_ADDS(F_d=steps[-2], W=steps[-1])
        return (*steps, added), added
    if working(d.plan) and d.plan.active_in_use:
        steps = held(d)
        return steps, steps[-1]
    # A drawworks that has lost its compensation holds the block to the vessel, as a locked unit does.
    return (), d.locked


_LOADS: Final = (
    COMPRESSION,
    GAS_LOAD,
    WORKING,
    FORCE_LEFT,
    HELD,
    DRIVEN_LOAD,
    HANGING,
    HANGING_LATCHED,
    LARGEST,
    CARRIED,
)


@partial(Rule, "compensated_load", "Compensated load", "force", GAS_LAW, working, _LOADS)
def compensated(d: Demands) -> Outcome:
    """Gas load at the extreme with friction and hydraulic loss, or the static load off bottom if larger,
    against the rating while compensating."""
    rating, weight = d.plan.compensator.compensated_rating, hanging(d)
    if d.plan.compensator.is_drawworks:
        steps, added = sea_adds(d)
        return outcome(weight, *steps, CARRIED(W=weight, ΔT=added), capacity=rating)
    steps = working_load(d)
    return outcome(*steps, weight, LARGEST(F_d=steps[-1], W=weight), capacity=rating)


@partial(Rule, "gas_pressure", "Gas pressure", "pressure", GAS_LAW, gas_working, (GAS_LOAD, PRESSURE))
def pressure(d: Demands) -> Outcome:
    """Gauge pressure fully compressed at the high polytropic index, against the pressure rating.
    A stroke-out reaches it in any sea."""
    unit = d.plan.compensator
    gas = gas_load(d, unit.spring(d.setting.load).stroke / 2)
    return outcome(gas, PRESSURE(F_g=gas, A_e=unit.effective_area), capacity=unit.pressure_rating)


_PUSH: Final = (COMPRESSION, GAS_LOAD, FORCE_LEFT, HELD, ACTIVE, DRIVE)
_FALLING: Final = (EXPANSION, GAS_LOW, FORCE_LEFT, HELD, ACTIVE_FALLING, DRIVE_FALLING)


@partial(Rule, "active_force", "Active force", "force", GAS_LAW, active_working, _PUSH)
def active_force(d: Demands) -> Outcome:
    """Following force: gain times the passive unit's variation and friction at the extreme. Following position: all of
    both, and the force of the motion left. Against the active part's limit, past which more motion is left."""
    unit, gas = d.plan.compensator, extreme_gas(d)
    about: dict[str, Value] = {"F_g": gas[-1], "F_0": d.setting.load, "F_f": d.setting.friction_force}
    if d.plan.follows_position:
        steps = held(d)
        return outcome(*gas, *steps, DRIVE(F_m=steps[-1], **about), capacity=unit.active_force_limit)
    return outcome(*gas, ACTIVE(G=unit.active_gain, **about), capacity=unit.active_force_limit)


@partial(
    Rule, "active_force_falling", "Active force, vessel falling", "force", GAS_LAW, active_working, _FALLING
)
def active_force_falling(d: Demands) -> Outcome:
    """As with the vessel rising, with what the gas has lost with the vessel at its lowest."""
    unit, gas = d.plan.compensator, least_gas(d)
    about: dict[str, Value] = {"F_gl": gas[-1], "F_0": d.setting.load, "F_f": d.setting.friction_force}
    if d.plan.follows_position:
        steps = held(d)
        return outcome(*gas, *steps, DRIVE_FALLING(F_m=steps[-1], **about), capacity=unit.active_force_limit)
    return outcome(*gas, ACTIVE_FALLING(G=unit.active_gain, **about), capacity=unit.active_force_limit)
