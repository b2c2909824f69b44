"""What seal friction does to the extremes: where it turns round, where it holds, and where it lets the hook wander.

At the end of its travel the unit sticks, and the hook goes with the vessel until the string has built up N_s = 2 F_f;
with the vessel's acceleration a and the string's stiffness k that takes t = √(2 N_s/(k a)) and leaves the hook a speed
of a t = √(2 N_s a/k). That speed rings the string at its own period T_1 with a force of k v_r T_1/2π.
An active part turns the friction round before a wave has come back from the bit; a string as long as that takes N_s
with a speed of N_s/Z, Z its wave impedance, and the hook goes no faster.

A force-following active part with gain G and delay τ adds −G F(t − τ) to the friction F, so the string builds up
N(t) = F(t) − G F(t − τ) = k a t²/2. With no delay F grows as N/(1 − G), and N_s = 2 (1 − G) F_f; at G = 1 as the
cube of the time, k a t³/6τ, and t³ = 12 F_f τ/(k a). With t³ the sum of both cubes, and no more than without an
active part, the time is 0.98 to 1.16 of that which the sum of all echoes gives. A lag of first order, of bandwidth f_b,
comes later by 1/2πf_b on average, and at G = 1 gives the same cube: so much is added to τ, and the time is 0.98 to 1.28
of that with the lag stepped through. When the echo of the friction has come, N_s − 2 F_r of the force goes, and rings
the string as well.

The loss of the travel damps the ringing: about a speed ẋ it is a damping of 2 c_q |ẋ|, which over a quarter of a cycle
takes exp(−∫c_q|ẋ|dt/m) = exp(−c_q X/m) off, m the mass that rings (small oscillations about a motion; any text on
vibration). A force-following part takes its share of that force too, and what it takes in step with the speed does not
damp; how much that is hangs on its delay against T_1. It is never counted as damping of its own. So much is left where
the speed, and then the travel, is largest. Where the string's own period is three tenths of the heave's, one turn meets
the ringing of the last in step: the third harmonic of the friction.

Just before it turns, the friction adds F_r to the spring; the ringing it leaves is spread over the cycle that follows,
so the two are added as independent. Where the seals hold more than the sea can pull, nothing slips and the unit is as
good as locked; free of the bottom, motion grows from none to all of it between there and 2.4 times that. Between, the
seals hold F_f and what breaks loose swings on the gas, but in waves slower than the load's own period on it the hook
goes along with the vessel, slipped or not, and bears what a locked one does.

All of it stands against simulation (tests/benchmarks/random_plans.py): `MODEL_RANGE` is what the highest of a hundred
plans comes to over the formula.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from heave.arrays import FloatArray
from heave.compensator import ActivePart, GasUnit, Setting
from heave.drill_string import DrillString, first_on_bottom_period
from heave.formula import Formula, Step
from heave.judging.formulas import (
    BALANCE,
    ROD,
    SERIES,
    SERIES_ACTIVE,
    SIMULATED,
    SWING_CHECKED,
    extreme,
    formula,
    level,
    once,
    ranged,
)
from heave.planning.plan import Plan

if TYPE_CHECKING:
    from heave.judging.demands import Demands


MODEL_RANGE: Final = {
    ("swing", "held", "passive"): 1.08,
    ("swing", "held", "active"): 1.08,
    ("load", "held", "passive"): 1.02,
    ("load", "held", "active"): 1.01,
    ("load", "free", "passive"): 1.04,
    ("load", "free", "active"): 1.07,
    ("hook", "held", "active"): 1.05,
    ("hook", "free", "active"): 1.05,
    ("travel", "free", "passive"): 1.05,
    ("travel", "free", "active"): 1.08,
    ("speed", "held", "passive"): 1.0,
    ("speed", "held", "active"): 1.02,
    ("speed", "free", "passive"): 1.02,
    ("speed", "free", "active"): 1.0,
    ("end motion", "free", "passive"): 1.06,
    ("end motion", "free", "active"): 1.11,
    ("end speed", "free", "passive"): 1.08,
    ("end speed", "free", "active"): 1.04,
}
"""Simulated over formula at the high end, by figure, by whether the string is held below, and by whether an
active part works; from 1,008 random plans.

The swing of the bit under an active part goes no further, and may be half of it: how much of the ringing is left hangs
on the damping of the string, and on the phase between one turn and the next. There simulation decides."""

LEFT: Final = formula("F_r = F_f × max(1 − G, G − 1)", "balance of active and passive force")
LET_GO: Final = formula("ψ = min(max((F_k / F_r − 1) / 1.4, 0), 1)²", SIMULATED)
LOOSE: Final = formula("ψ = exp(−F_r / F_k)", SIMULATED)
OWN: Final = formula(
    "T_h = 2π × √(F_0 / (g × k_c))",
    "mass on a spring (any text on vibration)",
    T_h=("period", "own period of the load on its gas"),
)
ALONG: Final = formula(
    "λ = min(max((1 − T_h / T) / 0.3, 0), 1)",
    f"in waves slower than that the gas takes the load along with the vessel; {SIMULATED}",
    T_h=OWN.symbols["T_h"],
    λ=(
        "fraction",
        "share of a locked unit's pull past the friction that the hook bears where it has not slipped",
    ),
)
SLIP: Final = formula("N_s = 2 × F_f", BALANCE)
SLIP_ACTIVE: Final = formula(
    "N_s = min(((2 × F_r)^1.5 + √(18) × G × F_f × τ × √(k_s × a_z))^(2 / 3), 2 × F_f)",
    f"{BALANCE}, with the echo of the friction a delay later",
    τ=("period", "delay of the active part"),
)
SLIP_LAGGING: Final = formula(
    "N_s = min(((2 × F_r)^1.5 + √(18) × G × F_f × (τ + 1 / (2π × f_b)) × √(k_s × a_z))^(2 / 3), 2 × F_f)",
    f"{BALANCE}, with the echo of the friction a delay and a lag of first order later",
    τ=SLIP_ACTIVE.symbols["τ"],
    f_b=("frequency", "bandwidth of the active part"),
)
TURN: Final = formula("v_r = √(2 × N_s × a_z / k_s)", ROD)
RUNG: Final = formula("δ = exp(−c_q × X_l / m_r)", "small oscillation about the travel, damped by its loss")
DAMPS: Final = formula(
    "ρ_1 = 1 − G × cos(2π × τ / T_1)",
    f"{BALANCE}: of a force in step with the speed, the part in step with it of what is left",
    ρ_1=("number", "share of the loss that the active part leaves to damp the ringing"),
    τ=SLIP_ACTIVE.symbols["τ"],
)
DAMPS_LAGGING: Final = formula(
    "ρ_1 = 1 − G × (cos(2π × τ / T_1) − sin(2π × τ / T_1) / (f_b × T_1)) / (1 + 1 / (f_b × T_1)²)",
    f"{DAMPS.source}, behind a lag of first order",
    ρ_1=DAMPS.symbols["ρ_1"],
    τ=SLIP_ACTIVE.symbols["τ"],
    f_b=SLIP_LAGGING.symbols["f_b"],
)
RUNG_ACTIVE: Final = formula(
    "δ = exp(−c_q × min(max(ρ_1, 0), 1) × X_l / m_r)", RUNG.source, ρ_1=DAMPS.symbols["ρ_1"]
)
RING: Final = formula(
    "b = k_s × v_r × T_1 / (2π) × δ × (1 + 0.2 × exp(−((T_1 / T − 0.29) / 0.06)²))", f"{ROD}; {SIMULATED}"
)
RING_ACTIVE: Final = formula("b = k_s × v_r × T_1 / (2π) × δ + N_s − 2 × F_r", ROD)
_TRAVEL_SPEED: Final = ("speed", "speed between block and hook, single amplitude at the accepted risk")
_OF_SPEED: Final = ranged("the speed of the travel")
SPEED_HELD: Final = formula(
    "v_x = f_speed × (v_d + ψ × δ × v_r)", f"{ROD}; {SIMULATED}", v_x=_TRAVEL_SPEED, f_speed=_OF_SPEED
)
SPEED_HELD_ACTIVE: Final = formula(
    "v_x = f_speed × (v_d + ψ × δ × min(v_r, N_s / Z_w))",
    f"{ROD}; a step of force on a long rod starts a step of speed; {SIMULATED}",
    v_x=_TRAVEL_SPEED,
    f_speed=_OF_SPEED,
    Z_w=("damping", "wave impedance of the top section: force per speed"),
)
SPEED_FREE: Final = formula(
    "v_x = f_speed × √(ψ) × (v_d + v_r / 4)", SIMULATED, v_x=_TRAVEL_SPEED, f_speed=_OF_SPEED
)
WANDER: Final = formula(
    "w = 1 / (k_c / F_f + 1 / z)",
    f"rest within the friction of Coulomb (Den Hartog, Trans. ASME 53, 1931); {SIMULATED}",
)
MOTION: Final = level("r_l", "length", "motion left at the end of the string")
SPEED: Final = level("u_l", "speed", "speed left at the end of the string")
MOTION_LEFT: Final = formula(
    "r = f_end × (r_k + ψ × (√(r_l² + w²) + F_r / k_s − r_k))",
    SIMULATED,
    r=("length", "motion left, with the wander of the hook and the stretch that seal friction adds"),
    r_l=MOTION.symbols["r_l"],
    r_k=("length", "motion of the end if the unit were locked"),
    f_end=ranged("the motion left"),
)
SPEED_LEFT: Final = formula(
    "u = f_slow × (u_k + ψ × (u_l − u_k) + √(ψ) × v_r / 4)",
    SIMULATED,
    u=("speed", "speed left, with what the friction adds where it turns round"),
    u_l=SPEED.symbols["u_l"],
    u_k=("speed", "speed of the end if the unit were locked"),
    f_slow=ranged("the speed left"),
)

LETTING_GO: Final = (LET_GO, OWN, ALONG)
SLIPS_ACTIVE: Final = (SLIP_ACTIVE, SLIP_LAGGING)
DAMPS_ACTIVE: Final = (DAMPS, DAMPS_LAGGING)
RUNG_STEPS: Final = (RUNG, *DAMPS_ACTIVE, RUNG_ACTIVE)
TURNING: Final = (SLIP, *SLIPS_ACTIVE, TURN)
RINGING: Final = (LEFT, *TURNING, *RUNG_STEPS, RING, RING_ACTIVE)
RINGING_ACTIVE: Final = (LEFT, *SLIPS_ACTIVE, TURN, *DAMPS_ACTIVE, RUNG_ACTIVE, RING_ACTIVE)
"""The formulas of how a free hook is let go, of the force and the damping that an active part leaves, without and
with a lag beside its delay, of `rung`, of `turn`, of `ring`, and of `ring` under an active part."""


@lru_cache(maxsize=64)
def own_period(string: DrillString, mass: float, stiffness: float) -> float:
    """Longest period of string and hook with the bit held [s]; see `first_on_bottom_period`."""
    return first_on_bottom_period(string, mass, stiffness)


def in_series(plan: Plan, setting: Setting) -> Step:
    """Gas and string of the `plan` as one spring end to end, where it is set; an active part takes its gain off."""
    springs = {"k_c": setting.stiffness_nominal, "k_s": plan.string.stiffness}
    if (part := plan.active_part) is not None:
        return SERIES_ACTIVE(G=part.active_gain, **springs)
    return SERIES(**springs)


def stiffening(plan: Plan, setting: Setting, travel: FloatArray) -> FloatArray:
    """What the gas adds when it is compressed by `travel` (n,) [m], over its stiffness where it is set times that.

    Polytropic gas law (`GasSpring`); no further than the end of the stroke, and 1 where the gas does not move the hook.
    """
    unit = plan.compensator
    if not isinstance(unit, GasUnit) or setting.stiffness_nominal is None or plan.follows_position:
        return np.ones_like(travel)
    spring, known = unit.spring(setting.load, None, setting.start), ~np.isnan(travel)
    most = max(unit.stroke / 2 - setting.start, 1e-3)
    reached = np.clip(np.where(known, travel, 0.0), 1e-3, most)  # at rest it is 1 to a thousandth
    more = (spring.load(setting.start + reached) - setting.load) / (spring.stiffness * reached)
    return np.where(known, more, np.nan)


def felt(d: Demands) -> float:
    """Seal friction that the hook of the demands `d` feels [N]: none where it is driven; there the active part does."""
    return 0.0 if d.plan.follows_position else d.setting.friction_force


def model_range(d: Demands, figure: str) -> float:
    """High end of simulated over formula for a `figure` of the demands `d`; 1 where the hook feels no seals: on a
    drawworks, or driven by position."""
    if d.setting.stiffness_nominal is None or d.plan.follows_position:
        return 1.0
    where, how = (
        "free" if d.plan.operation.hangs_free else "held",
        "active" if d.plan.active_in_use else "passive",
    )
    return MODEL_RANGE[figure, where, how]


@once
def left(d: Demands) -> tuple[tuple[Step, ...], Step | float]:
    """Friction left to turn round, with its step where an active part takes some of it."""
    friction, part = felt(d), d.plan.active_part
    if part is None or friction == 0:
        return (), friction
    found = LEFT(F_f=friction, G=part.active_gain)
    return (found,), found


@once
def let_go(d: Demands) -> tuple[tuple[Step, ...], Step | float, Step | float]:
    """Steps, friction left to turn round, and share of the motion that it lets go: 1 where there is none."""
    steps, turning = left(d)
    if (turning.result.value if isinstance(turning, Step) else turning) == 0:
        return steps, turning, 1.0
    share = (LET_GO if d.plan.operation.hangs_free else LOOSE)(F_k=d.locked, F_r=turning)
    return (*steps, share), turning, share


@once
def along(d: Demands) -> tuple[Step, Step]:
    """Own period of the load on its gas, and how far waves are slow enough for a hook off bottom to go along."""
    own = OWN(F_0=d.setting.load, k_c=d.setting.stiffness_nominal)
    return own, ALONG(T_h=own, T=np.where(d.heave.sigma == 0, np.inf, d.heave.period))


def _late(part: ActivePart, formulas: tuple[Formula, Formula]) -> tuple[Formula, dict[str, float]]:
    """Of the two, the formula for a `part` without or with a lag beside its delay, and what it takes of the part."""
    about = {"G": part.active_gain, "τ": part.active_delay}
    if part.active_bandwidth is None:
        return formulas[0], about
    return formulas[1], about | {"f_b": part.active_bandwidth}


@once
def turn(d: Demands) -> tuple[Step, ...]:
    """Force that the string has built up where friction has turned round, and speed of the hook; none without it."""
    if felt(d) == 0:
        return ()
    part, string = d.plan.active_part, d.plan.string
    slip = SLIP(F_f=felt(d))
    if part is not None:
        slips, late = _late(part, SLIPS_ACTIVE)
        slip = slips(F_f=felt(d), F_r=left(d)[1], a_z=d.acceleration.level, k_s=string.stiffness, **late)
    return slip, TURN(N_s=slip, a_z=d.acceleration.level, k_s=string.stiffness)


@once
def rung(d: Demands) -> tuple[Step, ...]:
    """Steps, the last of them the share of the ringing that the loss leaves a quarter of a cycle on; a third of the
    string rings with the hook, and an active part that follows force takes its share of the loss too."""
    string, part = d.plan.string, d.plan.active_part
    mass = string.handling_mass + d.plan.moving_mass + string.mass / 3
    travel = None if d.stroke is None else d.stroke.level
    about: dict[str, Any] = {"c_q": d.plan.compensator.hydraulic_loss, "X_l": travel, "m_r": mass}
    if part is None or felt(d) == 0:
        return (RUNG(**about),)
    damps, late = _late(part, DAMPS_ACTIVE)
    damped = damps(T_1=_rings_at(d), **late)
    return damped, RUNG_ACTIVE(ρ_1=damped, **about)


def _rings_at(d: Demands) -> float:
    """Longest period of string and hook of the demands `d` with the bit held [s]."""
    string = d.plan.string
    return own_period(string, string.handling_mass + d.plan.moving_mass, d.setting.stiffness_nominal or 0.0)


@once
def ring(d: Demands) -> tuple[tuple[Step, ...], Step | float, Step | float]:
    """Steps, friction left to turn round, and the force with which the string then rings at the bit."""
    friction, string = felt(d), d.plan.string
    if friction == 0:
        return (), 0.0, 0.0
    steps, turning = left(d)
    (slip, speed), kept = turn(d), rung(d)
    about: dict[str, Any] = {"v_r": speed, "δ": kept[-1], "k_s": string.stiffness, "T_1": _rings_at(d)}
    if d.plan.active_in_use:
        found = RING_ACTIVE(N_s=slip, F_r=turning, **about)
    else:
        found = RING(T=np.where(d.heave.sigma == 0, np.inf, d.heave.period), **about)
    return (*steps, slip, speed, *kept, found), turning, found


@once
def swing(d: Demands) -> tuple[Step, ...]:
    """Swing of the bit force of a string that is not driven, with its working."""
    steps, friction, ringing = ring(d)
    about: dict[str, Any] = {"a": d.elastic, "F_r": friction, "b": ringing, "A_k": d.locked_end.level}
    return *steps, SWING_CHECKED(f_swing=model_range(d, "swing"), **about)


@once
def travel_speed(d: Demands) -> tuple[Step, ...]:
    """Speed between block and hook, with its working."""
    (slips, _, share), turned = let_go(d), turn(d)
    about: dict[str, Any] = {"f_speed": model_range(d, "speed"), "v_d": d.linear_speed, "ψ": share}
    about["v_r"] = turned[-1] if turned else 0.0
    if d.plan.operation.hangs_free:
        return *slips, *turned, SPEED_FREE(**about)
    kept = rung(d)
    if turned and d.plan.active_in_use:
        impedance = d.plan.string.sections[0].impedance
        return *slips, *turned, *kept, SPEED_HELD_ACTIVE(δ=kept[-1], N_s=turned[0], Z_w=impedance, **about)
    return *slips, *turned, *kept, SPEED_HELD(δ=kept[-1], **about)


@once
def wander(d: Demands) -> Step:
    """Travel that friction adds off bottom, where nothing holds the hook's place."""
    return WANDER(F_f=felt(d), k_c=d.setting.stiffness_nominal, z=d.heave.level)


@once
def motion_left(d: Demands) -> tuple[Step, ...]:
    """Motion of the free end of the string, with its working."""
    linear = extreme(MOTION, d.residual, d.plan)
    if (
        d.setting.stiffness_nominal is None or d.plan.follows_position
    ):  # no seals, or none that the hook feels
        return (linear,)
    steps, turning, share = let_go(d)
    added = wander(d)
    whole = MOTION_LEFT(
        f_end=model_range(d, "end motion"), r_k=d.locked_end.level, ψ=share, r_l=linear, w=added,
        F_r=turning, k_s=d.plan.string.stiffness,
    )  # fmt: skip
    return linear, *steps, added, whole


@once
def speed_left(d: Demands) -> tuple[Step, ...]:
    """Speed of the free end of the string, with its working."""
    linear = extreme(SPEED, d.residual_speed, d.plan)
    if d.setting.stiffness_nominal is None or d.plan.follows_position:
        return (linear,)
    steps, _, share = let_go(d)
    turned = turn(d)
    whole = SPEED_LEFT(
        f_slow=model_range(d, "end speed"),
        u_k=d.locked_end_speed.level,
        u_l=linear,
        ψ=share,
        v_r=turned[-1] if turned else 0.0,
    )
    return linear, *steps, *turned, whole
