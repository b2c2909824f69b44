"""Weight on bit: whether the bit stays on bottom, and the programme's band."""

from __future__ import annotations

from functools import partial
from typing import Final

from heave.formula import Step
from heave.judging.checks import Outcome, Rule, outcome, worst_of
from heave.judging.demands import Demands
from heave.judging.formulas import BALANCE, DRIVEN, ROD, SERIES, SERIES_ACTIVE, bit_change, formula
from heave.judging.rules.when import on_bottom

SIDES: Final = ("less", "more")
CHANGE: Final = {"less": bit_change("less", "rising"), "more": bit_change("more", "falling")}
ROOM: Final = {
    side: formula(
        f"c_{side} = {text}",
        BALANCE,
        **{f"W_{side}": ("force", f"{edge} weight on bit of the programme")},
        **{f"c_{side}": ("force", f"room towards {side}")},
    )
    for side, text, edge in (("less", "WOB − W_less", "lowest"), ("more", "W_more − WOB", "highest"))
}


def _change(d: Demands, side: str) -> tuple[Step, ...]:
    """Change of weight on bit towards less or more: swing in the sea, friction, and drift with slow travel."""
    swing, springs = d.bit, {"k_c": d.setting.stiffness_nominal, "k_s": d.plan.string.stiffness}
    series: tuple[Step, ...] = ()  # on a drawworks the driller's feed follows slow travel
    gas_force = d.gas_force
    if springs["k_c"] is not None and d.plan.follows_position:
        series, gas_force = (DRIVEN(k_s=springs["k_s"]),), 0.0  # what the gas gains the active part takes
    elif springs["k_c"] is not None:
        gain = d.plan.compensator.active_gain
        series = (SERIES_ACTIVE(G=gain, **springs) if d.plan.active_in_use else SERIES(**springs),)
    elastic, friction = (None, None) if swing is None else (swing.elastic, swing.friction)
    slow = {
        f"x_{side}": d.plan.drift_sides[SIDES.index(side)],
        f"F_{side}": max(gas_force if side == "less" else -gas_force, 0.0),
    }
    return *series, CHANGE[side](a=elastic, F_f=friction, k=series[0] if series else 0.0, **slow)


_LIFT: Final = (SERIES, SERIES_ACTIVE, DRIVEN, CHANGE["less"])
_BAND: Final = (SERIES, SERIES_ACTIVE, DRIVEN, *CHANGE.values(), *ROOM.values())
_PRACTICE: Final = f"{ROD}; friction share is common practice"
_PROGRAMME: Final = f"{ROD}; band from the drilling programme"


@partial(Rule, "lift_off", "Bit stays on bottom", "force", _PRACTICE, on_bottom, _LIFT)
def lift_off(d: Demands) -> Outcome:
    """Elastic swing of the weight on bit, three times the seal friction (an undamped string) and what slow travel
    towards the vessel-rising end takes off, against the weight on bit. At 1 the bit lifts off."""
    return outcome(*_change(d, "less"), capacity=d.plan.wob)


@partial(Rule, "wob_band", "WOB band", "force", _PROGRAMME, on_bottom, _BAND, limit="wob_low")
def band(d: Demands) -> Outcome:
    """Elastic swing of the weight on bit, three times the seal friction and what slow travel takes off or puts on,
    against the edge of the drilling programme's band that it uses more of."""
    operation, sides = d.plan.operation, list[Outcome]()
    for side, limit in zip(SIDES, (operation.wob_low, operation.wob_high), strict=True):
        if limit is not None:
            steps = _change(d, side)[-1 if sides else 0 :]  # both springs in series are shown once
            sides.append(outcome(*steps, capacity=ROOM[side](WOB=d.plan.wob, **{f"W_{side}": limit})))
    return worst_of(*sides) if sides else outcome(*_change(d, "less"), capacity=None)
