"""Where a quick figure is a high one, and how far below it simulation came: a sentence beside the figure.

Some figures hang on what no quick formula follows: the damping of a string that rings, the phase from one turn of the
friction to the next, a wave group that ends before the hook has built up its swing. They are kept on the safe side, and
may be well above the truth; `tests/benchmarks/random_plans.py` says by how much, in plans of each kind.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, NamedTuple

from heave.formula import Step
from heave.planning.plan import Plan


class Spread(NamedTuple):
    """Simulated over checked in random plans of a kind: the least, that which half of them stay below, and the most.

    `what` is the part of the figure that it is of.
    """

    what: str
    least: float
    middle: float
    most: float


SPREADS: Final = {
    "swing": Spread("the swing", 0.30, 0.72, 1.04),
    "hook": Spread("what the sea does to the load", 0.22, 0.79, 0.98),
    "load": Spread("what the sea does to the load", 0.40, 0.92, 1.03),
    "motion": Spread("the motion", 0.60, 0.88, 1.01),
}
"""Swing at the bit and load left on the hook under an active part that follows force, load on the gas of a free hook
near its resonance, motion left to a free end under such a part; of 1,008 random plans."""

NEAR: Final = (0.6, 1.5)
"""Own period of a free hook over that of the heave, within which it is near its resonance."""


def kind_of_figure(plan: Plan, working: Sequence[Step]) -> str:
    """The key of `SPREADS` of a check with this working, for one sea; empty where its figure is not a high one.

    Parameters
    ----------
    plan : the plan
    working : steps of the check, for one sea
    """
    if plan.compensator.is_drawworks or plan.follows_position:
        return ""
    found = {step.symbol: float(step.result.value) for step in working}
    static = found.get("W", 0.0)
    if plan.active_in_use:
        if "r" in found:
            return "motion"
        adds = found.get("F_dh", 0.0) > static and not {"F_o", "F_l"} & found.keys()
        if adds or "F_hf" in found:
            return "hook"
        return "swing" if {"ΔW_less", "ΔW_more"} & found.keys() else ""
    if not found.get("ψ", 0.0) > 0 or "λ" not in found or found.get("F_d", static) < static:
        return ""
    (pace,) = (step.terms["T"].value for step in working if step.symbol == "λ")
    return "load" if NEAR[0] < found["T_h"] / float(pace) < NEAR[1] else ""


def high_figure(plan: Plan, working: Sequence[Step]) -> str:
    """What a reader of a high figure must know, in two sentences; empty where it is not one.

    Parameters
    ----------
    plan, working : as for `kind_of_figure`
    """
    kind = kind_of_figure(plan, working)
    if not kind:
        return ""
    spread = SPREADS[kind]
    return (
        f"A high figure: in random plans of this kind simulation gave {spread.what} as {spread.least:g} to "
        f"{spread.most:g} times that of the quick method, in half of them less than {spread.middle:g}. Simulation "
        "decides."
    )
