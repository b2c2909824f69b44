"""Load on the compensator, pressure of its gas, and force of its active part."""

from __future__ import annotations

from functools import partial
from typing import Final

from heave.formula import Step, Value
from heave.judging import reversal
from heave.judging.checks import Outcome, Rule, outcome
from heave.judging.demands import Demands
from heave.judging.formulas import BALANCE, GAS_LAW, GAS_LOAD, GAS_LOW, KINEMATICS, formula
from heave.judging.rules.when import active_working, always, gas_working, latched, on_bottom, working

HANGING: Final = formula("W = W_h + m_c × g", BALANCE)
HANGING_LATCHED: Final = formula("W = W_h + m_c × g + O", BALANCE)
COMPRESSION: Final = formula("x_g = min(x_r + X, S / 2) − x_s", KINEMATICS)
FULL: Final = formula("x_g = S / 2 − x_s", KINEMATICS)
AT_REST: Final = formula(
    "F_s = (F_0 + p_a × A_e) × (1 − (min(x_r, S / 2) − x_s) / L)^(−n_h) − p_a × A_e",
    GAS_LAW,
    F_s=("force", "gas load with the slow travel alone"),
    L=GAS_LOAD.symbols["L"],
    n_h=GAS_LOAD.symbols["n_h"],
)
WORKING: Final = formula(
    "F_d = F_s + f_m × (F_k + √(ψ) × (F_0 + F_f + √((F_g − F_0)² + (c_q × v²)²) − F_s − F_k))",
    f"{GAS_LAW}; loss is largest in the middle of the travel, gas and friction at its end",
    F_s=AT_REST.symbols["F_s"],
)
SEA_ADDS: Final = formula("ΔT = max(F_d − W, 0)", BALANCE)
LARGEST: Final = formula("F = max(F_d, W)", BALANCE, F=("force", "largest load on the working compensator"))
CARRIED: Final = formula("F_b = W + ΔT", BALANCE, F_b=("force", "load carried by the drawworks"))
ACTIVE: Final = formula(
    "F_a = f_m × G × (max(F_g − F_0, 0) + F_f)", BALANCE, F_a=("force", "force the active part must add")
)
ACTIVE_FALLING: Final = formula("F_a = G × (max(F_0 − F_gl, 0) + F_f)", BALANCE, F_a=ACTIVE.symbols["F_a"])
EXPANSION: Final = formula("x_l = min(x_f + X, S / 2) + x_s", KINEMATICS)
LEAST: Final = formula("F_dl = F_gl − F_f − c_q × v²", GAS_LAW)
_TAKEN_OFF: Final = ("force", "what the sea, friction and drag take off the load, vessel falling")
TAKEN_OFF: Final = formula("ΔF = max(F_0 − F_dl, 0)", BALANCE, ΔF=_TAKEN_OFF)
TAKEN_OFF_LOCKED: Final = formula(
    "ΔF = ΔT + 2 × D",
    BALANCE,
    ΔF=_TAKEN_OFF,
    D=("force", "drag allowance in the hookload, which acts the other way as the string goes down"),
)
ON_HOOK: Final = formula("F_h = F_0 − m_c × g", BALANCE, F_h=("force", "load on the hook at mid-stroke"))
PULLED: Final = formula(
    "F_o = W_h + m_c × g + O", BALANCE, F_o=("force", "load on the locked unit with the overpull on")
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
    unit, load = d.plan.compensator, d.load
    spring = unit.spring(load, unit.index_high, d.setting.start)
    return GAS_LOAD(F_0=load, A_e=unit.effective_area, x_g=travel, L=spring.length, n_h=unit.index_high)


def extreme_gas(d: Demands) -> tuple[Step, ...]:
    """Gas load with the vessel at its highest, at most at the end of the stroke.

    The end stop ends compression: past it the load is the locked load, which has its own check.
    """
    stroke, start = d.plan.compensator.stroke, d.setting.start
    travel = COMPRESSION(x_r=d.static_sides[0], X=d.travel, S=stroke, x_s=start)
    return travel, gas_load(d, travel)


def least_gas(d: Demands) -> tuple[Step, ...]:
    """Gas load with the vessel at its lowest, at most at the end of the stroke, at the high index."""
    unit, load = d.plan.compensator, d.load
    start = d.setting.start
    travel = EXPANSION(x_f=d.static_sides[1], X=d.travel, S=unit.stroke, x_s=start)
    length = unit.spring(load, unit.index_high, start).length
    return travel, GAS_LOW(F_0=load, A_e=unit.effective_area, x_l=travel, L=length, n_h=unit.index_high)


def least_load(d: Demands) -> tuple[Step, ...]:
    """Gas load at the falling extreme less friction and hydraulic loss: what the working unit still holds."""
    steps, unit = least_gas(d), d.plan.compensator
    friction = d.setting.friction_force
    return *steps, LEAST(F_gl=steps[-1], F_f=friction, c_q=unit.hydraulic_loss, v=d.travel_velocity)


def working_load(d: Demands) -> tuple[Step, ...]:
    """Load on the hook: gas at the extreme with friction and hydraulic loss, or what holds a unit that sticks."""
    steps, unit, load = extreme_gas(d), d.plan.compensator, d.load
    spring = unit.spring(load, unit.index_high, d.setting.start)
    rest = AT_REST(
        x_s=d.setting.start,
        F_0=load, A_e=unit.effective_area, x_r=d.static_sides[0], S=unit.stroke, L=spring.length,
        n_h=unit.index_high,
    )  # fmt: skip
    slips, _, share = reversal.let_go(d)
    if d.plan.active_in_use:  # the cylinder carries what the active part takes off the hook as well
        slips, share = (), 1.0
    friction, loss = d.setting.friction_force, unit.hydraulic_loss
    found = WORKING(
        f_m=reversal.model_range(d, "load"),
        F_s=rest,
        F_k=d.locked,
        ψ=share,
        F_0=load,
        F_f=friction,
        F_g=steps[-1],
        c_q=loss,
        v=d.travel_velocity,
    )
    return *steps, *slips, rest, found


def sea_adds(d: Demands) -> tuple[tuple[Step, ...], Value]:
    """Tension above the hookload that the string sees, whatever carries it, with its working."""
    if working(d.plan) and not d.plan.compensator.is_drawworks:
        steps = (*working_load(d), hanging(d))
        added = SEA_ADDS(F_d=steps[-2], W=steps[-1])
        return (*steps, added), added
    # A drawworks that has lost its compensation holds the block to the vessel, as a locked unit does.
    follows = working(d.plan) and d.plan.active_in_use
    return (), 0.0 if follows else d.locked


WORKING_STEPS: Final = (COMPRESSION, GAS_LOAD, AT_REST, reversal.LET_GO, WORKING)
_LOADS: Final = (*WORKING_STEPS, HANGING, HANGING_LATCHED, LARGEST, CARRIED)


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
    share = reversal.model_range(d, "active force")
    force = ACTIVE(f_m=share, G=unit.active_gain, F_g=steps[-1], F_0=setting.load, F_f=setting.friction_force)
    return outcome(*steps, force, capacity=unit.active_force_limit)


@partial(
    Rule,
    "active_force_falling",
    "Active force, vessel falling",
    "force",
    GAS_LAW,
    active_working,
    (EXPANSION, GAS_LOW, ACTIVE_FALLING),
)
def active_force_falling(d: Demands) -> Outcome:
    """Gain times what the gas has lost with the vessel at its lowest, and friction, against the active part's limit."""
    unit, setting, steps = d.plan.compensator, d.setting, least_gas(d)
    force = ACTIVE_FALLING(G=unit.active_gain, F_gl=steps[-1], F_0=setting.load, F_f=setting.friction_force)
    return outcome(*steps, force, capacity=unit.active_force_limit)


_SLACK: Final = (EXPANSION, GAS_LOW, LEAST, TAKEN_OFF, TAKEN_OFF_LOCKED, ON_HOOK, HANGING)


@partial(Rule, "hook_slack", "Hook stays loaded", "force", BALANCE, always, _SLACK)
def hook_slack(d: Demands) -> Outcome:
    """What the falling vessel takes off the load, against the load itself: at 1 the hook goes slack. Working, the gas
    expanded by static travel and the extreme, less friction and loss; locked, stiffness and inertia of the string
    and the drag that turns round on the way down."""
    plan, unit = d.plan, d.plan.compensator
    if working(plan) and not unit.is_drawworks:
        steps = least_load(d)
        taken = TAKEN_OFF(F_0=d.setting.load, F_dl=steps[-1])
        return outcome(*steps, taken, capacity=ON_HOOK(F_0=d.setting.load, m_c=unit.moving_mass))
    taken = TAKEN_OFF_LOCKED(ΔT=sea_adds(d)[1], D=plan.string.drag)
    if working(plan):
        return outcome(taken, capacity=ON_HOOK(F_0=d.setting.load, m_c=unit.moving_mass))
    return outcome(taken, capacity=hanging(d))


@partial(Rule, "overpull", "Overpull on the locked unit", "force", BALANCE, on_bottom, (PULLED,))
def overpull(d: Demands) -> Outcome:
    """Stuck pipe is pulled on a locked unit: hookload, moving parts and the whole overpull, against the locked
    rating. The sea adds to it while the unit is locked; what a locked unit feels then is not counted here."""
    plan, unit = d.plan, d.plan.compensator
    pulled = PULLED(W_h=plan.hookload, m_c=unit.moving_mass, O=plan.overpull)
    return outcome(pulled, capacity=unit.locked_rating)
