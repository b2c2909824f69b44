"""Weight on bit: whether the bit stays on bottom, and the programme's band."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import partial
from typing import Final

import numpy as np

from heave.formula import Step
from heave.judging import reversal
from heave.judging.checks import Outcome, Rule, outcome, worst_of
from heave.judging.demands import Demands
from heave.judging.formulas import (
    BALANCE,
    HEAVE_SPEED,
    ROD,
    SERIES,
    SERIES_ACTIVE,
    bit_change,
    driven_change,
    extreme,
    fed_change,
    formula,
    once,
)
from heave.judging.rules.when import hook_driven, on_bottom

SIDES: Final = ("less", "more")
CHANGE: Final = {"less": bit_change("less", "rising"), "more": bit_change("more", "falling")}
CHANGE_DRIVEN: Final = {"less": driven_change("less", "rising"), "more": driven_change("more", "falling")}
CHANGE_FED: Final = {"less": fed_change("less", "rising"), "more": fed_change("more", "falling")}
ROOM: Final = {
    side: formula(
        f"c_{side} = {text}",
        BALANCE,
        **{f"W_{side}": ("force", f"{edge} weight on bit of the programme")},
        **{f"c_{side}": ("force", f"room towards {side}")},
    )
    for side, text, edge in (("less", "WOB − W_less", "lowest"), ("more", "W_more − WOB", "highest"))
}

RETURN: Final = formula(
    "v_b = 2 × v_z × √(max(1 − 1 / u_b², 0))",
    "a wave's speed where it brings the weight back; a free end moves twice as fast as what reaches it",
    u_b=("number", "change of weight on bit towards less, over weight on bit: above 1 the bit lifts"),
    v_b=("speed", "speed of the bit as it comes back"),
)
IMPEDANCE: Final = formula(
    "Z_b = √(E_b × A_b × m_b)",
    ROD,
    E_b=("modulus", "Young's modulus of the lowest section"),
    A_b=("area", "cross-section of the lowest section"),
    m_b=("linear_mass", "mass per metre of the lowest section"),
    Z_b=("damping", "wave impedance of the lowest section: force per speed"),
)
BLOW: Final = formula(
    "B = Z_b × v_b",
    "rod that strikes a rigid wall (wave equation)",
    v_b=RETURN.symbols["v_b"],
    Z_b=IMPEDANCE.symbols["Z_b"],
    B=("force", "blow at the bit"),
)


@once
def _change(d: Demands, side: str) -> tuple[Step, ...]:
    """Change of weight on bit towards less or more: swing in the sea, friction, and drift with slow travel."""
    slow = d.plan.drift_sides[SIDES.index(side)]
    if d.plan.compensator.is_drawworks:  # the driller feeds
        return (CHANGE_FED[side](a=d.elastic),)
    if hook_driven(d.plan):  # what the gas gains the active part takes
        return (CHANGE_DRIVEN[side](a=d.elastic, k_s=d.plan.string.stiffness, **{f"x_{side}": slow}),)
    series = reversal.in_series(d.plan, d.setting)
    steps, friction, ringing = reversal.ring(d)
    swing = {"a": d.elastic, "F_r": friction, "b": ringing, "A_k": d.locked_end.level, "k": series}
    warmed = {f"x_{side}": slow, f"F_{side}": max(d.gas_force if side == "less" else -d.gas_force, 0.0)}
    return series, *steps, CHANGE[side](f_swing=reversal.model_range(d, "swing"), **swing, **warmed)


_SWING: Final = (SERIES, SERIES_ACTIVE, *reversal.RINGING)
_LIFT: Final = (*_SWING, CHANGE["less"], CHANGE_DRIVEN["less"], CHANGE_FED["less"])
_BAND: Final = (*_SWING, *CHANGE.values(), *CHANGE_DRIVEN.values(), *CHANGE_FED.values(), *ROOM.values())
_BLOWS: Final = (*_LIFT, HEAVE_SPEED, RETURN, IMPEDANCE, BLOW)
_PRACTICE: Final = f"{ROD}; seal friction as a share of the load is common practice"
_BLOW: Final = (f"{ROD}; limit from the drilling programme", on_bottom, _BLOWS)
_PROGRAMME: Final = f"{ROD}; band from the drilling programme"


@partial(Rule, "lift_off", "Bit stays on bottom", "force", _PRACTICE, on_bottom, _LIFT)
def lift_off(d: Demands) -> Outcome:
    """Swing of the weight on bit, elastic, with the seal friction and the ringing of the string where that turns
    round, at the high end of simulation, and what slow travel towards the vessel-rising end takes off, against the
    weight on bit. At 1 the bit lifts off."""
    return outcome(*_change(d, "less"), capacity=d.plan.wob)


@partial(Rule, "wob_band", "WOB band", "force", _PROGRAMME, on_bottom, _BAND, limits=("wob_low", "wob_high"))
def band(d: Demands) -> Outcome:
    """Swing of the weight on bit as for lift-off and what slow travel takes off or puts on, against the edge of the
    drilling programme's band that it uses more of."""
    operation, sides = d.plan.operation, list[Outcome]()
    for side, limit in zip(SIDES, (operation.wob_low, operation.wob_high), strict=True):
        if limit is not None:
            steps = _change(d, side)[-1 if sides else 0 :]  # what both sides share is shown once
            sides.append(outcome(*steps, capacity=ROOM[side](WOB=d.plan.wob, **{f"W_{side}": limit})))
    if not sides:
        return outcome(*_change(d, "less"), capacity=None)
    worst = worst_of(*sides)
    if operation.missing:  # one end given of a band that needs two: past it is over, short of it is no pass
        return replace(worst, capacity=np.where(worst.utilisation >= 1, worst.capacity, math.nan))
    return worst


@partial(Rule, "bit_blow", "Blow of the bit coming back", "force", *_BLOW, limits=("wob_high",))
def blow(d: Demands) -> Outcome:
    """A bit that has lifted comes back with the speed the vessel falls at where its wave brings the weight back, twice
    that at the free end of the string; rigid rock stops it, and the lowest section's impedance makes the blow. Against
    the highest weight on bit allowed. Nothing where the bit stays on bottom. A band, not a figure: where the bit did
    lift, simulation came to 0.2 to 1.2 of it."""
    lifted, lowest = lift_off.work(d), d.plan.string.sections[-1]
    heave = extreme(HEAVE_SPEED, d.velocity, d.plan)
    back = RETURN(v_z=heave, u_b=lifted.utilisation)
    impedance = IMPEDANCE(E_b=lowest.youngs_modulus, A_b=lowest.area, m_b=lowest.linear_mass)
    steps = (*lifted.steps, heave, back, impedance, BLOW(Z_b=impedance, v_b=back))
    return outcome(*steps, capacity=d.plan.operation.wob_high)
