"""What seal friction does to the extremes: where it turns round, where it holds, and where it lets the hook wander.

At the end of its travel the unit sticks. Until the string has built up 2 F_r the hook goes with the vessel; with the
vessel's acceleration a and the string's stiffness k that takes √(4 F_r/(k a)) and leaves the hook a speed of
√(4 F_r a/k). A sudden step would leave it 2 F_f/Z, Z = √(EA m') the impedance of a rod (any text on waves in rods).
That speed rings the string at its own period T_1 with a force of √(F_r k a) T_1/π; a sudden step would ring it with
2 F_f. What is left of earlier turns adds to either: simulation finds half as much again at most.

Just before it turns, the friction adds F_r to the spring; the ringing it leaves is spread over the cycle that follows,
so the two are added as independent. Where the seals hold more than the sea can pull, nothing slips and the unit is as
good as locked; between there and 2.4 times that, motion grows from one to the other.

All of it stands against simulation (tests/benchmarks/random_plans.py): `MODEL_RANGE` is what the highest of a hundred
plans comes to over the formula.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Final

import numpy as np
import numpy.typing as npt

from heave.compensator import Setting
from heave.drill_string import DrillString, first_on_bottom_period
from heave.formula import Step
from heave.judging.formulas import ROD, SIMULATED, extreme, formula, level, once
from heave.planning.plan import Plan

if TYPE_CHECKING:
    from heave.judging.demands import Demands

FloatArray = npt.NDArray[np.float64]

MODEL_RANGE: Final = {
    ("swing", False): 1.06,
    ("swing", True): 1.15,
    ("load", False): 1.04,
    ("load", True): 1.02,
    ("active force", True): 1.04,
    ("travel", False): 1.05,
    ("travel", True): 1.06,
    ("speed", False): 1.05,
    ("speed", True): 1.03,
    ("end motion", False): 1.03,
    ("end motion", True): 1.06,
    ("end speed", False): 1.05,
    ("end speed", True): 1.06,
}
"""Simulated over formula at the high end, by figure and by whether an active part works; from 1,008 random plans.

The swing of the bit under an active part keeps to no formula: 0.4 to 1.7 of what is checked, where its pulses meet the
string's own period. There simulation decides."""

LEFT: Final = formula("F_r = F_f × max(1 − G, G − 1)", "balance of active and passive force")
LET_GO: Final = formula("ψ = min(max((F_k / F_r − 1) / 1.4, 0), 1)²", SIMULATED)
PULSE: Final = formula(
    "b_p = 12 × G × F_f × √((1 − cos(2π × min(τ / T_1, 0.5))) / 2)",
    SIMULATED,
    τ=("period", "delay of the active part"),
)
RING: Final = formula("b = min(√(F_r × k_s × a_z) × T_1 / π, 3 × F_f)", ROD)
RING_ACTIVE: Final = formula("b = min(√(F_r × k_s × a_z × (T_1 / π)² + b_p²), 3 × F_f)", ROD)
TURN: Final = formula("v_r = min(√(4 × F_r × a_z / k_s), 3 × F_f / Z)", ROD)
TURN_ACTIVE: Final = formula(
    "v_r = min(√(4 × F_r × a_z / k_s + (2π × b_p / (T_1 × k_s))²), 3 × F_f / Z)", ROD
)
_TRAVEL_SPEED: Final = ("speed", "speed between block and hook, single amplitude at the accepted risk")
SPEED_HELD: Final = formula(
    "v_x = f_m × √(v_d² + ψ × (max(2 − 1.5 × T_1 / T, 0.5) × v_r)²)", SIMULATED, v_x=_TRAVEL_SPEED
)
SPEED_FREE: Final = formula("v_x = f_m × √(ψ × (v_d² + (2 × v_r)²))", SIMULATED, v_x=_TRAVEL_SPEED)
WANDER: Final = formula("w = F_f / k_c", "rest within the friction of Coulomb (Den Hartog, 1931)")
WANDER_ACTIVE: Final = formula("w = 1.15 × F_f / (k_c + F_f / z)", SIMULATED)
MOTION: Final = level("r_l", "length", "motion left at the end of the string")
SPEED: Final = level("u_l", "speed", "speed left at the end of the string")
MOTION_LEFT: Final = formula(
    "r = f_m × (r_k + ψ × (√(r_l² + w²) + F_f / k_s − r_k))",
    SIMULATED,
    r=("length", "motion left, with the wander of the hook and the stretch that seal friction adds"),
    r_l=MOTION.symbols["r_l"],
    r_k=("length", "motion of the end if the unit were locked"),
)
SPEED_LEFT: Final = formula(
    "u = f_m × √((u_k + ψ × (u_l − u_k))² + ψ × (2 × v_r)²)",
    SIMULATED,
    u=("speed", "speed left, with what the friction adds where it turns round"),
    u_l=SPEED.symbols["u_l"],
    u_k=("speed", "speed of the end if the unit were locked"),
)


@lru_cache(maxsize=64)
def own_period(string: DrillString, mass: float, stiffness: float) -> float:
    """Longest period of string and hook with the bit held [s]; see `first_on_bottom_period`."""
    return first_on_bottom_period(string, mass, stiffness)


def impedance(string: DrillString) -> float:
    """Z = √(EA m') of the top section [N·s/m]: a sudden force F starts a speed of F/Z (any text on waves in rods)."""
    top = string.sections[0]
    return math.sqrt(top.youngs_modulus * top.area * top.linear_mass)


def stiffening(plan: Plan, setting: Setting, travel: FloatArray) -> FloatArray:
    """What the gas adds when it is compressed by `travel` (n,) [m], over its stiffness where it is set times that.

    Polytropic gas law (`GasSpring`); no further than the end of the stroke, and 1 where the gas does not move the hook.
    """
    unit = plan.compensator
    if unit.stroke is None or setting.stiffness_nominal is None or plan.follows_position:
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
    return MODEL_RANGE[figure, d.plan.active_in_use]


@once
def let_go(d: Demands) -> tuple[tuple[Step, ...], Step | float, Step | float]:
    """Steps, friction left to turn round, and share of the motion that it lets go: 1 where there is none."""
    gain, friction = d.plan.compensator.active_gain, felt(d)
    left: tuple[Step, ...] = ()
    turning: Step | float = friction
    if d.plan.active_in_use and friction > 0:
        turning = LEFT(F_f=friction, G=gain)
        left = (turning,)
    if (turning.result.value if isinstance(turning, Step) else turning) == 0:
        return left, turning, 1.0
    share = LET_GO(F_k=d.locked, F_r=turning)
    return (*left, share), turning, share


def _own(d: Demands) -> float:
    stiffness = d.setting.stiffness_nominal or 0.0
    return own_period(d.plan.string, d.plan.string.handling_mass + d.plan.compensator.moving_mass, stiffness)


def _pulse(d: Demands) -> Step:
    unit = d.plan.compensator
    return PULSE(G=unit.active_gain, F_f=d.setting.friction_force, τ=unit.active_delay, T_1=_own(d))


@once
def ring(d: Demands) -> tuple[tuple[Step, ...], Step | float, Step | float]:
    """Steps, friction left to turn round, and the force with which the string then rings at the bit."""
    friction = felt(d)
    if friction == 0:
        return (), 0.0, 0.0
    about: dict[str, Any] = {
        "k_s": d.plan.string.stiffness,
        "a_z": d.acceleration.level,
        "T_1": _own(d),
        "F_f": friction,
    }
    if not d.plan.active_in_use:
        found = RING(F_r=friction, **about)
        return (found,), friction, found
    left, pulse = LEFT(F_f=friction, G=d.plan.compensator.active_gain), _pulse(d)
    found = RING_ACTIVE(F_r=left, b_p=pulse, **about)
    return (left, pulse, found), left, found


@once
def turn_speed(d: Demands) -> tuple[tuple[Step, ...], Step | float, Step | float]:
    """Steps, share that friction lets go, and the speed of the hook where friction turns round."""
    steps, turning, share = let_go(d)
    friction = felt(d)
    if friction == 0:
        return steps, share, 0.0
    about: dict[str, Any] = {
        "F_r": turning, "a_z": d.acceleration.level, "k_s": d.plan.string.stiffness, "F_f": friction,
        "Z": impedance(d.plan.string),
    }  # fmt: skip
    if not d.plan.active_in_use or d.plan.operation.about.string == "free":
        found = TURN(**about)
        return (*steps, found), share, found
    pulse = _pulse(d)
    found = TURN_ACTIVE(b_p=pulse, T_1=_own(d), **about)
    return (*steps, pulse, found), share, found


@once
def travel_speed(d: Demands) -> tuple[Step, ...]:
    """Speed between block and hook, with its working."""
    steps, share, turn = turn_speed(d)
    given = {"f_m": model_range(d, "speed"), "v_d": d.linear_speed, "ψ": share, "v_r": turn}
    if d.plan.operation.about.string == "free":
        return *steps, SPEED_FREE(**given)
    period = np.where(d.heave.sigma == 0, math.inf, d.heave.period)
    return *steps, SPEED_HELD(T_1=_own(d), T=period, **given)


@once
def wander(d: Demands) -> Step:
    """Travel that friction adds off bottom, where nothing holds the hook's place."""
    friction, stiffness = felt(d), d.setting.stiffness_nominal
    if d.plan.active_in_use and friction > 0:
        return WANDER_ACTIVE(F_f=friction, k_c=stiffness, z=d.heave.level)
    return WANDER(F_f=friction, k_c=stiffness)


@once
def motion_left(d: Demands) -> tuple[Step, ...]:
    """Motion of the free end of the string, with its working."""
    linear = extreme(MOTION, d.residual, d.plan)
    if (
        d.setting.stiffness_nominal is None or d.plan.follows_position
    ):  # no seals, or none that the hook feels
        return (linear,)
    steps, _, share = let_go(d)
    added, friction = wander(d), d.setting.friction_force
    whole = MOTION_LEFT(
        f_m=model_range(d, "end motion"), r_k=d.locked_end.level, ψ=share, r_l=linear, w=added,
        F_f=friction, k_s=d.plan.string.stiffness,
    )  # fmt: skip
    return linear, *steps, added, whole


@once
def speed_left(d: Demands) -> tuple[Step, ...]:
    """Speed of the free end of the string, with its working."""
    linear = extreme(SPEED, d.residual_speed, d.plan)
    if d.setting.stiffness_nominal is None or d.plan.follows_position:
        return (linear,)
    steps, share, turn = turn_speed(d)
    whole = SPEED_LEFT(
        f_m=model_range(d, "end speed"), u_k=d.locked_end_speed.level, ψ=share, u_l=linear, v_r=turn
    )
    return linear, *steps, whole
