"""Stroke on either side, how often it runs out, and the speed of the travel."""

from __future__ import annotations

import math
from functools import partial
from typing import Final

import numpy as np

from heave.compensator import ActiveAssisted, GasUnit
from heave.formula import Step
from heave.judging import reversal
from heave.judging.checks import Outcome, Rule, outcome
from heave.judging.demands import Demands
from heave.judging.formulas import (
    GAUSSIAN,
    HEAVE,
    HEAVE_SPEED,
    KINEMATICS,
    TRAVEL,
    extreme,
    formula,
    once,
    ranged,
)
from heave.judging.rules.when import active_working, gas_working

LARGEST: Final = formula("X = max(X_l, z)", KINEMATICS)
LARGEST_FREE: Final = formula(
    "X = max(f_travel × √(ψ × (X_l² + w²)), z)", KINEMATICS, f_travel=ranged("the travel")
)
USED: Final = {
    f"x_{side}": formula(
        f"U_{side} = x_{side} + X",
        KINEMATICS,
        **{f"U_{side}": ("length", f"stroke used from mid-stroke, vessel {way}")},
    )
    for side, way in (("r", "rising"), ("f", "falling"))
}
AVAILABLE: Final = formula(
    "c = S / 2 − R", KINEMATICS, R=("length", "end reserve"), c=("length", "stroke available on this side")
)
SPEED: Final = formula(
    "v = max(v_z, v_x)",
    KINEMATICS,
    v_x=("speed", "speed between block and hook, single amplitude at the accepted risk"),
)
RICE: Final = (
    "Up-crossing rate of a Gaussian process (Rice, Bell System Technical Journal 23 and 24, 1944 and 1945)"
)
END_RATE: Final = {
    side: formula(
        f"ν_{side} = exp(−(S / 2 − x_{side})² / (2 × σ_x²)) / T_x",
        RICE,
        T_x=("period", "mean period of travel between block and hook, without end where nothing moves"),
        **{
            f"ν_{side}": (
                "rate",
                f"how often the vessel-{end} end is reached, without end where it always is",
            )
        },
    )
    for side, end in (("r", "rising"), ("f", "falling"))
}
BOTH_ENDS: Final = formula(
    "ν = ν_r + ν_f",
    RICE,
    ν=("rate", "stroke-outs, both ends"),
    **{f"ν_{side}": made.symbols[f"ν_{side}"] for side, made in END_RATE.items()},
)


def _side(d: Demands, side: str, static: float) -> Outcome:
    heave, travel = extreme(HEAVE, d.heave, d.plan), extreme(TRAVEL, d.stroke, d.plan)
    largest, steps = LARGEST(X_l=travel, z=heave), tuple[Step, ...]()
    # Off bottom nothing holds the place of a hook that is not driven, and friction lets it wander.
    if d.plan.operation.hangs_free and not d.plan.follows_position:
        steps, _, share = reversal.let_go(d)
        steps = (*steps, wander := reversal.wander(d))
        largest = LARGEST_FREE(
            X_l=travel, z=heave, w=wander, ψ=share, f_travel=reversal.model_range(d, "travel")
        )
    unit = d.plan.compensator.of_type(GasUnit)
    available = AVAILABLE(S=unit.stroke, R=unit.end_reserve)
    return outcome(
        heave, travel, *steps, largest, USED[side](X=largest, **{side: static}), capacity=available
    )


@once
def largest_speed(d: Demands) -> tuple[Step, ...]:
    """Speed between block and hook, never less than of the heave itself, with its working."""
    heave, steps = extreme(HEAVE_SPEED, d.velocity, d.plan), reversal.travel_speed(d)
    return heave, *steps, SPEED(v_z=heave, v_x=steps[-1])


_GAS: Final = (GAUSSIAN, gas_working)
_SHARE: Final = (reversal.LEFT, reversal.LET_GO)
_STROKE: Final = (*(HEAVE, TRAVEL, *_SHARE, reversal.WANDER, LARGEST, LARGEST_FREE, AVAILABLE),)
_SPEEDS: Final = (
    *(reversal.LOOSE, *reversal.TURNING, *reversal.RUNG_STEPS),
    *(reversal.SPEED_HELD, reversal.SPEED_HELD_ACTIVE, reversal.SPEED_FREE),
)
SPEEDS: Final = (HEAVE_SPEED, *_SHARE, *_SPEEDS, SPEED)
SPEEDS_ACTIVE: Final = tuple(one for one in SPEEDS if one is not reversal.SLIP)


@partial(Rule, "stroke_rising", "Stroke, vessel rising", "length", *_GAS, (*_STROKE, USED["x_r"]))
def rising(d: Demands) -> Outcome:
    """Static travel plus the extreme at the accepted risk, against half the stroke less the end reserve.
    The extreme is the travel between block and hook, and never less than the heave itself. The risk is for
    this end: of passing one end or the other it is up to twice that. Below zero the piston does not come to this side
    of mid-stroke at all."""
    return _side(d, "x_r", d.static_sides[0])


@partial(Rule, "stroke_falling", "Stroke, vessel falling", "length", *_GAS, (*_STROKE, USED["x_f"]))
def falling(d: Demands) -> Outcome:
    """As the rising side, towards the end where the gas is fully expanded; below zero the piston does not come to this
    side of mid-stroke at all."""
    return _side(d, "x_f", d.static_sides[1])


@partial(Rule, "stroke_rate", "Compensator speed", "speed", *_GAS, SPEEDS)
def speed(d: Demands) -> Outcome:
    """Speed of the travel at the accepted risk, with what seal friction adds where it turns round, against the unit's
    velocity rating."""
    return outcome(*largest_speed(d), capacity=d.plan.compensator.of_type(GasUnit).velocity_rating)


@partial(Rule, "active_velocity", "Active speed", "speed", GAUSSIAN, active_working, SPEEDS_ACTIVE)
def active_speed(d: Demands) -> Outcome:
    """Speed of the travel at the accepted risk, against the active part's limit, past which more motion is left."""
    return outcome(
        *largest_speed(d), capacity=d.plan.compensator.of_type(ActiveAssisted).active_velocity_limit
    )


@once
def end_rates(d: Demands) -> dict[str, Step | float | None]:
    """How often the vessel-rising and the vessel-falling end are reached [1/s], with the working; None without a stroke
    at work, and without end where slow travel alone reaches it: the unit is against it all the time."""
    unit, travel = d.plan.compensator, d.stroke
    rates: dict[str, Step | float | None] = {"ν_r": None, "ν_f": None}
    if not isinstance(unit, GasUnit):
        return rates
    for side, static in zip(END_RATE, d.static_sides, strict=True):
        rates[f"ν_{side}"] = math.inf
        if travel is not None and static < unit.stroke / 2:
            period = np.where(travel.sigma == 0, math.inf, travel.period)
            about = {f"x_{side}": static}
            rates[f"ν_{side}"] = END_RATE[side](S=unit.stroke, σ_x=travel.sigma, T_x=period, **about)
    return rates


_OUT: Final = (RICE, gas_working, (*END_RATE.values(), BOTH_ENDS))


@partial(Rule, "stroke_out", "Stroke-out rate", "rate", *_OUT, limits=("stroke_out_limit",))
def stroke_out(d: Demands) -> Outcome:
    """Expected number of times either end is reached, against the rate the rig accepts."""
    rates = end_rates(d)
    steps = [rate for rate in rates.values() if isinstance(rate, Step)]
    return outcome(*steps, BOTH_ENDS(**rates), capacity=d.plan.operation.stroke_out_limit)
