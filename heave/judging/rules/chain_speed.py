"""Whether the drawworks has the pull at the speed that the string is hoisted with, and its brake the power lowering."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any, Final

from heave.formula import Formula, Step
from heave.hoisting import HoistingPath
from heave.judging.checks import Outcome, Rule, outcome
from heave.judging.demands import Demands
from heave.judging.formulas import formula
from heave.judging.rules import chain
from heave.planning.plan import Plan

_SYMBOLS: Final[dict[str, Any]] = {
    "v_o": ("speed", "planned hoisting speed of the hook"),
    "n_l": chain.SYMBOLS["n_l"],
    "P_w": ("power", "power of the drawworks, hoisting"),
    "v_1": ("speed", "line speed of the slower of the two gears or points on either side"),
    "F_1": ("force", "pull of the fast line there"),
    "v_2": ("speed", "line speed of the faster of them"),
    "F_2": ("force", "pull of the fast line there"),
    "v_w": ("speed", "planned lowering speed of the hook"),
    "K": chain.SYMBOLS["K"],
    "F_fl": chain.SYMBOLS["F_fl"],
    "P_lw": ("power", "power taken in lowering at the planned speed, friction of the sheaves helping"),
    "F_pw": ("force", "pull that the power gives at the planned speed"),
    "F_gr": ("force", "pull that gears or motors give at the planned speed"),
    "F_av": ("force", "pull there is at the planned speed"),
}
POWERED: Final = formula("F_pw = P_w / (n_l × v_o)", "power = pull × speed of the line", **_SYMBOLS)
GEARED: Final = formula(
    "F_gr = F_1 × (max(n_l × v_o, v_1) / v_1)^(ln(F_2 / F_1) / ln(v_2 / v_1))",
    "points of the data sheet, joined by a power of the speed: common practice for motors held at their power",
    **_SYMBOLS,
)
LEAST: Final = formula("F_av = min(F_pw, F_gr)", "the lesser of both holds", **_SYMBOLS)
LOWERED: Final = formula(
    "P_lw = n_l × v_w × F_fl / K^(n_l + 1)", f"power = pull × speed of the line; {chain.REEVING}", **_SYMBOLS
)


def speed_known(path: HoistingPath) -> bool:
    """Whether power or gears of the drawworks are given."""
    return path.drawworks_power is not None or path.pull_curve is not None


def runs_at_speed(plan: Plan) -> bool:
    """True where the string is run at a planned speed, and the drawworks' power or gears are given."""
    path, operation = plan.hoisting, plan.operation
    planned = operation.about.runs_string and operation.hoisting_speed is not None
    return planned and path is not None and speed_known(path)


def _rule(
    key: str, name: str, kind: str, applies: Callable[[Plan], bool], speed: str, *formulas: Formula
) -> partial[Rule]:
    """A rule of a string that is run at a planned `speed` of the operation."""
    every = (*chain.RUNNING, chain.FAST, *formulas)
    return partial(Rule, key, name, kind, chain.REEVING, applies, every, limits=(speed,))


_PULLS: Final = (POWERED, GEARED, LEAST)


@_rule("hoisting_pull", "Pull at hoisting speed", "force", runs_at_speed, "hoisting_speed", *_PULLS)
def hoisting_pull(d: Demands) -> Outcome:
    """Pull of the fast line hoisting the largest load, sea and overpull in it, against what power and gears or motors
    of the drawworks give at the planned speed of the hook. Below the slowest gear no more than its pull is counted,
    and past the fastest there is none."""
    path, speed = d.plan.hoisting, d.plan.operation.hoisting_speed
    assert path is not None
    assert speed is not None  # the rule applies only where both are given
    found: list[Step] = []
    if path.drawworks_power is not None:
        found.append(POWERED(P_w=path.drawworks_power, n_l=path.count, v_o=speed))
    if path.pull_curve is not None:
        points, asked = path.pull_curve.points, path.count * speed
        if asked > points[-1][0]:
            return outcome(*chain.at_drum(d), capacity=0.0)
        place = next(i for i in range(1, len(points)) if asked <= points[i][0])
        (slow, strong), (fast, weak) = points[place - 1 : place + 1]
        found.append(GEARED(n_l=path.count, v_o=speed, v_1=slow, F_1=strong, v_2=fast, F_2=weak))
    if len(found) == 1:
        return outcome(*chain.at_drum(d), capacity=found[0])
    return outcome(*found, *chain.at_drum(d), capacity=LEAST(F_pw=found[0], F_gr=found[1]))


def lowers_at_speed(plan: Plan) -> bool:
    """True where the string is run at a planned speed, and the power lowering is given."""
    path, operation = plan.hoisting, plan.operation
    planned = operation.about.runs_string and operation.lowering_speed is not None
    return planned and path is not None and path.brake_power is not None


@_rule("lowering_power", "Power lowering at speed", "power", lowers_at_speed, "lowering_speed", LOWERED)
def lowering_power(d: Demands) -> Outcome:
    """Power that the largest load, sea and overpull in it, gives back at the planned lowering speed of the hook,
    friction of the sheaves taking its share, against what brake or motors take in without pause."""
    path = d.plan.hoisting
    assert path is not None  # the rule applies only where it is given
    steps, speed = chain.at_drum(d), d.plan.operation.lowering_speed
    taken = LOWERED(n_l=path.count, v_w=speed, F_fl=steps[-1], K=path.sheave_factor)
    return outcome(*steps, taken, capacity=path.brake_power)
