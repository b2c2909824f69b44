"""Load on the compensator, pressure of its gas, and force of its active part."""

from __future__ import annotations

from functools import partial
from typing import Final

from heave.compensator import ActiveAssisted, GasUnit
from heave.formula import Step, Symbol, Value
from heave.judging import reversal
from heave.judging.checks import Outcome, Rule, outcome
from heave.judging.demands import Demands
from heave.judging.formulas import (
    BALANCE,
    FORCE_LEFT,
    GAS_LAW,
    GAS_LOAD,
    GAS_LOW,
    KINEMATICS,
    SIMULATED,
    extreme,
    formula,
    once,
    ranged,
)
from heave.judging.rules.when import (
    active_working,
    gas_working,
    latched,
    on_bottom,
    working,
)

HANGING: Final = formula("W = W_h + m_c × g", BALANCE)
HANGING_LATCHED: Final = formula("W = W_h + m_c × g + O", BALANCE)
COMPRESSION: Final = formula("x_g = min(x_r + X_l, S / 2) − x_s", KINEMATICS)
_FULL: Final[dict[str, Symbol]] = {
    "x_full": ("length", "travel from the start position to the end of the stroke, gas compressed"),
    "F_full": ("force", "gas load fully compressed"),
    "L": GAS_LOAD.symbols["L"],
    "n_h": GAS_LOAD.symbols["n_h"],
}
FULL: Final = formula("x_full = S / 2 − x_s", KINEMATICS, **_FULL)
GAS_FULL: Final = formula(
    "F_full = (F_w + p_a × A_e) × (1 − x_full / L)^(−n_h) − p_a × A_e", GAS_LAW, **_FULL
)
AT_REST: Final = formula(
    "F_s = (F_w + p_a × A_e) × (1 − (min(x_r, S / 2) − x_s) / L)^(−n_h) − p_a × A_e",
    GAS_LAW,
    F_s=("force", "gas load with the slow travel alone"),
    L=GAS_LOAD.symbols["L"],
    n_h=GAS_LOAD.symbols["n_h"],
)
SLIDING: Final = formula(
    "F_e = F_f + √((F_g − F_s)² + (c_q × v_d²)²)",
    f"{GAS_LAW}; loss is largest in the middle of the swing, gas and friction at its end",
    F_e=("force", "what gas, friction and loss add to the load of a unit that slides"),
    F_s=AT_REST.symbols["F_s"],
)
_WORKING: Final[dict[str, Symbol]] = {
    "F_e": SLIDING.symbols["F_e"],
    "F_s": AT_REST.symbols["F_s"],
    "f_load": ranged("the load"),
    "λ": reversal.ALONG.symbols["λ"],
}
_AT_MOST: Final = f"{BALANCE}: what the string and its mass pull on a locked unit"
_OR_SEALS: Final = f"{_AT_MOST}, or friction, at whose end slow travel can leave the seals"
WORKING_HELD: Final = formula("F_d = F_s + f_load × max(min(F_e, F_k), F_f)", _OR_SEALS, **_WORKING)
_LOOSE: Final = "min(F_k, F_f) + λ × (1 − √(ψ)) × max(F_k − F_f, 0)"
WORKING: Final = formula(
    f"F_d = F_s + f_load × ({_LOOSE} + √(ψ) × (F_e − F_f))",
    f"{BALANCE}: up to their friction the seals hold, and what breaks loose swings on the gas; {SIMULATED}",
    **_WORKING,
)
WORKING_ACTIVE: Final = formula(
    "F_d = F_s + f_load × F_e",
    f"{BALANCE}: the cylinder carries what the active part takes off the hook",
    **_WORKING,
)
_SLOW: Final = "stretches or slackens a held string, which a driven hook does not follow"
_HELD: Final[dict[str, Symbol]] = {
    "F_q": FORCE_LEFT.symbols["F_q"],
    "x_d": ("length", f"slow travel that {_SLOW}"),
    "x_df": ("length", f"slow travel that, vessel falling, {_SLOW}"),
    "F_mf": ("force", "force on the hook of the motion left, vessel falling, with what slow travel adds"),
}
HELD: Final = formula("F_m = F_q + k_s × x_d", BALANCE, **_HELD)
HELD_FALLING: Final = formula("F_mf = F_q + k_s × x_df", BALANCE, **_HELD)
DRIVEN_LOAD: Final = formula("F_d = F_0 + F_m", BALANCE)
LARGEST: Final = formula("F = max(F_d, W)", BALANCE, F=("force", "largest load on the working compensator"))
CYLINDER: Final = formula(
    "F_c = F_s + F_e",
    f"{BALANCE}: whatever drives the hook, the cylinder beside it carries its gas",
    F_c=("force", "load on the cylinder of a unit whose hook is driven"),
    F_e=SLIDING.symbols["F_e"],
    F_s=AT_REST.symbols["F_s"],
)
LARGEST_DRIVEN: Final = formula(
    "F_un = max(max(F_d, F_c), W)",
    BALANCE,
    F_un=("force", "largest load on a unit whose hook is driven, at the hook or on its cylinder"),
    F_c=CYLINDER.symbols["F_c"],
)
CROWN_PULL: Final = formula(
    "F_cu = F_n × r_c",
    "length of the line and balance of work without friction: fast and dead line pull on the moving crown",
    F_n=("force", "that load, at the hook"),
    r_c=("number", "load under the crown over load at the hook, lines and two over lines"),
    F_cu=("force", "load on the unit under the crown, with the pull of fast and dead line"),
)
SEA_DRIVEN: Final = formula("ΔT = F_m", BALANCE)
SEA_LOCKED: Final = formula("ΔT = F_k", BALANCE)
CARRIED: Final = formula("F_b = W + ΔT", BALANCE, F_b=("force", "load carried by the drawworks"))
ACTIVE: Final = formula(
    "F_a = G × max(F_d − F_0, 0)", BALANCE, F_a=("force", "force the active part must add")
)
EXPANSION: Final = formula("x_l = min(x_f + X_l, S / 2) + x_s", KINEMATICS)
AT_REST_FALLING: Final = formula(
    "F_sf = (F_w + p_a × A_e) × (1 + (min(x_f, S / 2) + x_s) / L)^(−n_h) − p_a × A_e",
    GAS_LAW,
    F_sf=("force", "gas load with the slow travel alone, vessel falling"),
    L=GAS_LOAD.symbols["L"],
    n_h=GAS_LOAD.symbols["n_h"],
)
SLIDING_FALLING: Final = formula(
    "F_ef = F_f + √((F_sf − F_gl)² + (c_q × v_d²)²)",
    SLIDING.source,
    F_ef=("force", "what gas, friction and loss take off the load of a unit that slides, vessel falling"),
    F_sf=AT_REST_FALLING.symbols["F_sf"],
)
_FALLS: Final[dict[str, Symbol]] = {
    "F_ef": SLIDING_FALLING.symbols["F_ef"],
    "F_sf": AT_REST_FALLING.symbols["F_sf"],
    "f_load": _WORKING["f_load"],
    "λ": _WORKING["λ"],
}
LEAST_HELD: Final = formula("F_dl = F_sf − f_load × max(min(F_ef, F_k), F_f)", _OR_SEALS, **_FALLS)
LEAST: Final = formula(f"F_dl = F_sf − f_load × ({_LOOSE} + √(ψ) × (F_ef − F_f))", WORKING.source, **_FALLS)
LEAST_ACTIVE: Final = formula("F_dl = F_sf − f_load × F_ef", WORKING_ACTIVE.source, **_FALLS)
PULLED: Final = formula(
    "F_o = W_h + m_c × g + O", BALANCE, F_o=("force", "load on the locked unit with the overpull on")
)
_FALLING_FORCE: Final = ("force", "force the active part must add, vessel falling")
ACTIVE_FALLING: Final = formula("F_al = G × max(F_0 − F_dl, 0)", BALANCE, F_al=_FALLING_FORCE)
_BOTH: Final = f"{BALANCE}, both at their largest together"
DRIVE: Final = formula(
    "F_a = max(F_s − F_0, 0) + F_e + F_m",
    _BOTH,
    F_a=ACTIVE.symbols["F_a"],
    F_e=SLIDING.symbols["F_e"],
    F_s=AT_REST.symbols["F_s"],
)
DRIVE_FALLING: Final = formula(
    "F_al = max(F_0 − F_sf, 0) + F_ef + F_mf",
    _BOTH,
    F_al=_FALLING_FORCE,
    F_mf=_HELD["F_mf"],
    F_ef=SLIDING_FALLING.symbols["F_ef"],
    F_sf=AT_REST_FALLING.symbols["F_sf"],
)
PRESSURE: Final = formula(
    "P_g = F_full / A_e",
    "gauge pressure on the effective area",
    P_g=("pressure", "gauge pressure fully compressed"),
    F_full=_FULL["F_full"],
)


@once
def hanging(d: Demands) -> Step:
    """The largest static load on the compensator."""
    plan = d.plan
    static = {"W_h": plan.hookload, "m_c": plan.moving_mass}
    return HANGING_LATCHED(O=plan.overpull, **static) if latched(plan) else HANGING(**static)


@once
def gas(d: Demands) -> dict[str, float | None]:
    """What every gas load rests on: load, area and length of the gas where it is set, and the high index."""
    unit = d.plan.compensator.of_type(GasUnit)
    spring = unit.spring(d.load, unit.index_high, d.setting.start)
    return {"F_w": d.load, "A_e": unit.effective_area, "L": spring.length, "n_h": unit.index_high}


def gas_load(d: Demands, travel: Value) -> Step:
    """Gas load at a travel from the start position towards compression, at the high index."""
    return GAS_LOAD(x_g=travel, **gas(d))


@once
def extreme_gas(d: Demands) -> tuple[Step, ...]:
    """Gas load with the vessel at its highest, at most at the end of the stroke.

    The end stop ends compression: past it the load is the locked load, which has its own check.
    """
    stroke, start = d.plan.compensator.of_type(GasUnit).stroke, d.setting.start
    moved = None if d.stroke is None else d.stroke.level
    travel = COMPRESSION(x_r=d.static_sides[0], X_l=moved, S=stroke, x_s=start)
    return travel, gas_load(d, travel)


@once
def least_gas(d: Demands) -> tuple[Step, ...]:
    """Gas load with the vessel at its lowest, at most at the end of the stroke, at the high index."""
    stroke, start = d.plan.compensator.of_type(GasUnit).stroke, d.setting.start
    moved = None if d.stroke is None else d.stroke.level
    travel = EXPANSION(x_f=d.static_sides[1], X_l=moved, S=stroke, x_s=start)
    return travel, GAS_LOW(x_l=travel, **gas(d))


@once
def held(d: Demands, *, falling: bool = False) -> tuple[Step, Step]:
    """Force on a hook that is driven: of the motion left, and of slow travel in a string that is held below.

    Slow travel that stretches a string on bottom comes off the weight on bit, which has its own checks; what slackens
    it comes off the hook. On a drawworks the driller's feed follows slow travel.
    """
    plan, slow = d.plan, 0.0
    if latched(plan) and not plan.compensator.is_drawworks:
        slow = max(plan.drift_sides)
    elif plan.on_bottom and falling and not plan.compensator.is_drawworks:
        slow = plan.drift_sides[1]
    left = extreme(FORCE_LEFT, d.force_left, plan)
    if falling:
        return left, HELD_FALLING(F_q=left, k_s=plan.string.stiffness, x_df=slow)
    return left, HELD(F_q=left, k_s=plan.string.stiffness, x_d=slow)


@once
def sliding_falling(d: Demands) -> tuple[Step, ...]:
    """Gas with the vessel at its lowest and with slow travel alone, and what a unit that slides takes off that."""
    steps, rest = least_gas(d), at_rest_falling(d)
    return *steps, rest, SLIDING_FALLING(F_gl=steps[-1], F_sf=rest, **_slides(d))


@once
def least_load(d: Demands) -> tuple[Step, ...]:
    """Least load of the cylinder, vessel falling: gas expanded, less friction and loss, as `working_load` rising."""
    *steps, rest, slides = sliding_falling(d)
    about: dict[str, Value] = {"F_sf": rest, "f_load": reversal.model_range(d, "load"), "F_ef": slides}
    if d.plan.active_in_use:
        return *steps, rest, slides, LEAST_ACTIVE(**about)
    about |= {"F_k": d.locked, "F_f": d.setting.friction_force}
    if not d.plan.operation.hangs_free:
        return *steps, rest, slides, LEAST_HELD(**about)
    (slips, _, share), taken = reversal.let_go(d), reversal.along(d)
    return *steps, *slips, *taken, rest, slides, LEAST(ψ=share, λ=taken[-1], **about)


@once
def at_rest(d: Demands) -> Step:
    """Gas load with the slow travel alone, vessel rising."""
    return AT_REST(
        x_s=d.setting.start, x_r=d.static_sides[0], S=d.plan.compensator.of_type(GasUnit).stroke, **gas(d)
    )


@once
def at_rest_falling(d: Demands) -> Step:
    """The same, vessel falling."""
    stroke = d.plan.compensator.of_type(GasUnit).stroke
    return AT_REST_FALLING(x_s=d.setting.start, x_f=d.static_sides[1], S=stroke, **gas(d))


@once
def sliding(d: Demands) -> tuple[Step, ...]:
    """Gas with the vessel at its highest and with slow travel alone, and what a unit that slides adds to that."""
    steps, rest = extreme_gas(d), at_rest(d)
    return *steps, rest, SLIDING(F_g=steps[-1], F_s=rest, **_slides(d))


@once
def working_load(d: Demands) -> tuple[Step, ...]:
    """Load on the hook: gas at the extreme with friction and hydraulic loss, or what holds a unit that sticks.

    Where the hook is driven by position the active part takes all of that, and the hook feels the motion left.
    """
    if d.plan.follows_position:
        left, force = held(d)
        return left, force, DRIVEN_LOAD(F_0=d.setting.load, F_m=force)
    *steps, rest, slides = sliding(d)
    about: dict[str, Value] = {"F_s": rest, "f_load": reversal.model_range(d, "load"), "F_e": slides}
    if d.plan.active_in_use:
        return *steps, rest, slides, WORKING_ACTIVE(**about)
    about |= {"F_k": d.locked, "F_f": d.setting.friction_force}
    if not d.plan.operation.hangs_free:
        return *steps, rest, slides, WORKING_HELD(**about)
    (slips, _, share), taken = reversal.let_go(d), reversal.along(d)
    return *steps, *slips, *taken, rest, slides, WORKING(ψ=share, λ=taken[-1], **about)


def _slides(d: Demands) -> dict[str, Value]:
    """Friction and loss of a unit that slides either way."""
    loss = d.plan.compensator.hydraulic_loss
    return {"F_f": d.setting.friction_force, "c_q": loss, "v_d": d.linear_speed}


@once
def line_adds(d: Demands) -> tuple[Step, ...]:
    """What the sea adds on a unit that is locked, or a drawworks."""
    if working(d.plan) and d.plan.active_in_use:
        left, force = held(d)
        return left, force, SEA_DRIVEN(F_m=force)
    # A drawworks that has lost its compensation holds the block to the vessel, as a locked unit does.
    return (SEA_LOCKED(F_k=d.locked),)


def on_unit(d: Demands, *steps: Step) -> tuple[Step, ...]:
    """The steps, and what the last of them is on a unit under a crown whose lines run straight to the floor."""
    ratio = d.plan.crown_ratio
    return steps if ratio == 1 else (*steps, CROWN_PULL(F_n=steps[-1], r_c=ratio))


PASSIVE_STEPS: Final = (
    *(COMPRESSION, GAS_LOAD, AT_REST, *reversal.LETTING_GO, SLIDING),
    *(WORKING_HELD, WORKING),
)
OTHER_STEPS: Final = (FORCE_LEFT, HELD, SEA_DRIVEN, SEA_LOCKED, DRIVEN_LOAD, HANGING, HANGING_LATCHED)
"""What else a load can be of: a hook that is driven, a unit that is locked, what hangs still."""
_DRIVEN: Final = (CYLINDER, LARGEST_DRIVEN)
_LOADS: Final = (*PASSIVE_STEPS, WORKING_ACTIVE, *OTHER_STEPS, LARGEST, *_DRIVEN, CARRIED, CROWN_PULL)


@partial(Rule, "compensated_load", "Compensated load", "force", GAS_LAW, working, _LOADS)
def compensated(d: Demands) -> Outcome:
    """Gas load at the extreme with friction and hydraulic loss, or the static load off bottom if larger, against the
    rating while compensating. Of a hook that is driven by position, what it feels if that is more."""
    rating, weight = d.plan.compensator.compensated_rating, hanging(d)
    if d.plan.compensator.is_drawworks:
        steps = line_adds(d)
        return outcome(weight, *steps, CARRIED(W=weight, ΔT=steps[-1]), capacity=rating)
    steps = working_load(d)
    if d.plan.follows_position:
        *slides, rest, sea = sliding(d)
        cylinder = CYLINDER(F_s=rest, F_e=sea)
        most = LARGEST_DRIVEN(F_d=steps[-1], F_c=cylinder, W=weight)
        return outcome(*on_unit(d, *slides, rest, sea, cylinder, *steps, weight, most), capacity=rating)
    return outcome(*on_unit(d, *steps, weight, LARGEST(F_d=steps[-1], W=weight)), capacity=rating)


@partial(Rule, "gas_pressure", "Gas pressure", "pressure", GAS_LAW, gas_working, (FULL, GAS_FULL, PRESSURE))
def pressure(d: Demands) -> Outcome:
    """Gauge pressure fully compressed at the high polytropic index, against the pressure rating.
    A stroke-out reaches it in any sea."""
    unit = d.plan.compensator.of_type(GasUnit)
    travel = FULL(S=unit.stroke, x_s=d.setting.start)
    full = GAS_FULL(x_full=travel, **gas(d))
    return outcome(
        travel, full, PRESSURE(F_full=full, A_e=unit.effective_area), capacity=unit.pressure_rating
    )


_PUSH: Final = (COMPRESSION, GAS_LOAD, AT_REST, SLIDING, WORKING_ACTIVE, FORCE_LEFT, HELD, ACTIVE, DRIVE)
LEAST_STEPS: Final = (EXPANSION, GAS_LOW, AT_REST_FALLING, SLIDING_FALLING)
_FALLING: Final = (*LEAST_STEPS, LEAST_ACTIVE, FORCE_LEFT, HELD_FALLING, ACTIVE_FALLING, DRIVE_FALLING)
_ACTIVE_FALLING: Final = (GAS_LAW, active_working, _FALLING)


@partial(Rule, "active_force", "Active force", "force", GAS_LAW, active_working, _PUSH)
def active_force(d: Demands) -> Outcome:
    """Following force: gain times what gas, friction and loss of the cylinder do at the extreme. Following position:
    all of gas, friction and loss, and the force of the motion left. Against the active part's limit, past which more
    motion is left."""
    unit, load = d.plan.compensator.of_type(ActiveAssisted), d.setting.load
    if d.plan.follows_position:
        steps, slides = held(d), sliding(d)
        driven = DRIVE(F_s=slides[-2], F_0=load, F_e=slides[-1], F_m=steps[-1])
        return outcome(*slides, *steps, driven, capacity=unit.active_force_limit)
    cylinder = working_load(d)
    added = ACTIVE(G=unit.active_gain, F_0=load, F_d=cylinder[-1])
    return outcome(*cylinder, added, capacity=unit.active_force_limit)


@partial(Rule, "active_force_falling", "Active force, vessel falling", "force", *_ACTIVE_FALLING)
def active_force_falling(d: Demands) -> Outcome:
    """As with the vessel rising, of what the cylinder has lost with the vessel at its lowest, loss included."""
    unit, load = d.plan.compensator.of_type(ActiveAssisted), d.setting.load
    if d.plan.follows_position:
        steps, slides = held(d, falling=True), sliding_falling(d)
        driven = DRIVE_FALLING(F_sf=slides[-2], F_0=load, F_ef=slides[-1], F_mf=steps[-1])
        return outcome(*slides, *steps, driven, capacity=unit.active_force_limit)
    least = least_load(d)
    added = ACTIVE_FALLING(G=unit.active_gain, F_0=load, F_dl=least[-1])
    return outcome(*least, added, capacity=unit.active_force_limit)


@partial(Rule, "overpull", "Overpull on the locked unit", "force", BALANCE, on_bottom, (PULLED, CROWN_PULL))
def overpull(d: Demands) -> Outcome:
    """Stuck pipe is pulled on a locked unit: hookload, moving parts and the whole overpull, against the locked
    rating. The sea adds to it while the unit is locked; what a locked unit feels then is not counted here."""
    plan, unit = d.plan, d.plan.compensator
    pulled = PULLED(W_h=plan.hookload, m_c=plan.moving_mass, O=plan.overpull)
    return outcome(*on_unit(d, pulled), capacity=unit.locked_rating)
