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


_LOAD: Final = "what the sea does to the load"
SPREADS: Final = {
    ("compensator speed", "on bottom, active"): Spread("the speed", 0.64, 0.89, 1.00),
    ("load above static", "free, active"): Spread(_LOAD, 0.47, 0.92, 1.02),
    ("load above static", "free, passive"): Spread(_LOAD, 0.40, 0.92, 1.03),
    ("load taken off, falling", "free, passive"): Spread(_LOAD, 0.42, 0.93, 1.03),
    ("active force", "free, active"): Spread("the force", 0.47, 0.92, 1.02),
    ("load left on the hook", "free, active"): Spread(_LOAD, 0.22, 0.77, 0.95),
    ("load left on the hook", "latched, active"): Spread(_LOAD, 0.41, 0.79, 0.98),
    ("load left on the hook", "on bottom, active"): Spread(_LOAD, 0.41, 0.81, 0.96),
    ("swing at the bit", "latched, active"): Spread("the swing", 0.22, 0.62, 1.01),
    ("swing at the bit", "latched, passive"): Spread("the swing", 0.74, 0.89, 0.99),
    ("swing at the bit", "on bottom, active"): Spread("the swing", 0.30, 0.71, 1.04),
    ("swing at the bit", "on bottom, passive"): Spread("the swing", 0.70, 0.90, 1.00),
    ("motion left", "free, active"): Spread("the motion", 0.60, 0.88, 1.01),
    ("speed left", "free, active"): Spread("the speed", 0.75, 0.91, 1.01),
    ("speed left", "free, passive"): Spread("the speed", 0.46, 0.93, 1.02),
}
"""By figure and kind of case, every one that simulation does not bring to 0.85 of its check in four plans of five; of
1,008 random plans. A test holds it to the table of the guide."""


def kind_of_case(plan: Plan) -> str:
    """Where the string ends, and what works on the hook.

    Parameters
    ----------
    plan : the plan
    """
    where = {"fixed at the seabed": "latched"}.get(plan.operation.about.string, plan.operation.about.string)
    if plan.compensator.is_drawworks:
        return f"{where}, {plan.compensator.kind}"
    return f"{where}, {'active' if plan.active_in_use else 'passive'}"


def figure_of(plan: Plan, working: Sequence[Step]) -> str:
    """Which figure of `SPREADS` a check with this working is, for one sea; empty where it is none, or friction does
    nothing to it.

    Parameters
    ----------
    plan : the plan
    working : steps of the check, for one sea
    """
    found = {step.symbol: float(step.result.value) for step in working}
    named = next((figure for symbol, figure in _RESULTS.items() if symbol in found), "")
    figure = named or _load(found, working)
    if not figure or plan.compensator.is_drawworks or plan.follows_position:
        return ""
    free = plan.operation.hangs_free
    turns = plan.active_in_use or (found.get("ψ", 0.0) > 0 if free else "v_r" in found)
    return figure if turns else ""  # else the seals hold, or there are none


_RESULTS: Final = {
    **{"ΔW_less": "swing at the bit", "ΔW_more": "swing at the bit"},
    **{"r": "motion left", "u": "speed left", "v_x": "compensator speed"},
    **{"F_a": "active force", "F_al": "active force"},
}
"""Symbols that only one figure has in its working, whatever the case."""


def _load(found: dict[str, float], working: Sequence[Step]) -> str:
    """Which figure of a load it is, from its steps and their results."""
    if "ΔT_f" in found and "A_bit" in found:
        taken = found["F_hf"] if "F_hf" in found else float(working[-1].terms["F_0"].value) - found["F_dl"]
        if found["ΔT_f"] > taken:
            return "swing at the bit"
    static = found.get("W", 0.0)
    if "F_hf" in found or (found.get("F_dh", 0.0) > static and not {"F_o", "F_l"} & found.keys()):
        return "load left on the hook"
    if "F_dl" in found:
        return "load taken off, falling"
    return "load above static" if found.get("F_d", static) > static else ""


def high_figure(plan: Plan, working: Sequence[Step]) -> str:
    """What a reader of a high figure must know, in two sentences; empty where it is not one.

    Parameters
    ----------
    plan, working : as for `figure_of`
    """
    figure = figure_of(plan, working)
    spread = SPREADS.get((figure, kind_of_case(plan))) if figure else None
    if spread is None:
        return ""
    return (
        f"A high figure: in random plans of this kind simulation gave {spread.what} as {spread.least:g} to "
        f"{spread.most:g} times that of the quick method, in half of them less than {spread.middle:g}. Simulation "
        "decides."
    )
