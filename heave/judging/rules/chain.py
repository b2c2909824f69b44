"""The hoisting path from derrick to elevators: what each part carries at the extreme in this sea, or pulled on.

Every part is judged that the rig gives a rating of. The load is the largest of this operation, with overpull where
stuck pipe may be pulled on; weights that move with the vessel are accelerated with it. Sheave friction counts on the
side where it hurts: hoisting for fast line and crown, lowering for the dead line. Under an active part that follows
force the path carries what that leaves on the hook; the cylinder alone bears the rest, and has its own check.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any, Final

from heave.compensator import GasUnit
from heave.formula import Formula, Step, Value
from heave.hoisting import HoistingPath
from heave.judging.checks import Outcome, Rule, outcome
from heave.judging.demands import Demands
from heave.judging.formulas import (
    ACCELERATION,
    BALANCE,
    KINEMATICS,
    bit_change,
    extreme,
    formula,
    once,
)
from heave.judging.rules import load
from heave.judging.rules.hook import ASSISTED_STEPS, LARGEST_ASSISTED, assisted, assisted_load
from heave.judging.rules.string import LOCKED
from heave.judging.rules.when import always, locked_or_latched, on_bottom, working
from heave.planning.plan import Plan

REEVING: Final = "API RP 9B: balance of forces at each sheave"
PATH: Final = f"{BALANCE} from hook to crown"

SYMBOLS: Final[dict[str, Any]] = {
    "F_u": ("force", "largest load at the hook or on its unit, with overpull where stuck pipe is pulled on"),
    "F_o": load.PULLED.symbols["F_o"],
    "F_l": LOCKED.symbols["F_l"],
    "F": load.LARGEST.symbols["F"],
    "P_b": ("force", "load on the lines: all that hangs on the block, and the block"),
    "m_lb": ("mass", "block, body of an in-line unit, and lines"),
    "a_b": (
        "acceleration",
        "acceleration of what hangs with the block, that of the heave where it moves with it",
    ),
    "m_k": ("mass", "crown block and moving parts of the unit, as they weigh at the hook"),
    "m_t": ("mass", "travelling block"),
    "m_v": ("mass", "moving parts between the block and the hook"),
    "W_g": ("force", "top drive and handling gear"),
    "K": ("number", "friction factor of a sheave"),
    "n_l": ("number", "lines strung"),
    "F_fl": ("force", "pull of the fast line, hoisting"),
    "F_dead": ("force", "pull of the dead line, lowering"),
    "F_cr": ("force", "load of the lines on the crown block"),
    "F_p": ("force", "load on this part"),
    "F_br": ("force", "breaking strength of the line"),
    "D_f": ("number", "least design factor of the line"),
    "h_s": ("length", "height of the crown stop"),
    "h_b": ("length", "highest block position"),
    "h_l": ("length", "lowest block position"),
    "h_up": ("length", "room above the block"),
    "h_down": ("length", "room below the load"),
    "c_h": ("length", "clearance kept"),
    "x_up": ("length", "travel up that the unit can give the load, against the vessel"),
    "x_down": ("length", "travel down that the unit can give the load, against the vessel"),
    "F_max": ("force", "pull that the design factor allows"),
    **{
        f"x_{side}": bit_change(side, way).symbols[f"x_{side}"]
        for side, way in (("less", "rising"), ("more", "falling"))
    },
}


def _formula(text: str, source: str, **more: Any) -> Formula:
    return formula(text, source, **(SYMBOLS | more))


WORST: Final = _formula("F_u = max(F, F_o)", BALANCE)
IF_LOCKED: Final = LOCKED
WORST_LATCHED: Final = _formula("F_u = max(F, F_l)", BALANCE)
ON_LINES: Final = _formula("P_b = F_u + m_lb × (g + a_b)", PATH)
UNDER_CROWN: Final = _formula("P_b = F_u − m_k × g", f"{PATH}; the unit carries the crown block")
FAST: Final = _formula("F_fl = P_b × K^n_l × (K − 1) / (K^n_l − 1)", REEVING)
DEAD: Final = _formula("F_dead = F_fl / K", REEVING)
CROWN: Final = _formula("F_cr = P_b + F_fl × (1 + K^(−n_l))", REEVING)
BLOCK: Final = _formula("F_p = P_b − m_t × (g + a_b)", PATH)
HOOK: Final = _formula("F_p = F_u − m_v × g", PATH)
STRING: Final = _formula("F_p = F_u − m_v × g − W_g", PATH)
FACTOR: Final = _formula(
    "F_max = F_br / D_f", "API RP 9B: design factor = strength over pull of the fast line"
)

_LOADS: Final = (
    *(*load.PASSIVE_STEPS, *load.OTHER_STEPS, load.LARGEST, load.CARRIED, IF_LOCKED),
    *(*ASSISTED_STEPS, LARGEST_ASSISTED, WORST_LATCHED),
)
_LARGEST: Final = (*_LOADS, load.PULLED, WORST)
_ON_LINES: Final = (ACCELERATION, ON_LINES, UNDER_CROWN)
_AT_SEA: Final = (*_LOADS, *_ON_LINES)
_LINES: Final = (*_LARGEST, *_ON_LINES)
RUNNING: Final = (IF_LOCKED, *_ON_LINES)
"""Formulas of the load on the lines while the string is run, its unit locked."""


def _given(name: str) -> Callable[[Plan], bool]:
    """True where the hoisting path has the value of that name."""
    return lambda plan: plan.hoisting is not None and getattr(plan.hoisting, name) is not None


def _path(d: Demands) -> HoistingPath:
    assert d.plan.hoisting is not None  # a rule applies only where the path has its rating
    return d.plan.hoisting


def _working(d: Demands) -> tuple[Step, ...]:
    weight = load.hanging(d)
    if d.plan.compensator.is_drawworks:
        steps = load.line_adds(d)
        return (*steps, weight, load.CARRIED(W=weight, ΔT=steps[-1]))
    if assisted(d.plan):
        steps = assisted_load(d)
        return (*steps, weight, LARGEST_ASSISTED(F_dh=steps[-1], W=weight))
    steps = load.working_load(d)
    return (*steps, weight, load.LARGEST(F_d=steps[-1], W=weight))


@once
def _pulled(d: Demands) -> Step:
    """Stuck pipe pulled on with the whole overpull."""
    plan = d.plan
    return load.PULLED(W_h=plan.hookload, m_c=plan.moving_mass, O=plan.overpull)


@once
def at_sea(d: Demands) -> tuple[Step, ...]:
    """Largest load at the hook, with what moves with it, that this sea makes of the operation."""
    plan = d.plan
    if not locked_or_latched(plan):
        return _working(d)
    locked = IF_LOCKED(W_h=plan.hookload, m_c=plan.moving_mass, O=plan.overpull, F_k=d.locked)
    if not working(plan):
        return (locked,)
    steps = _working(d)
    return *steps, locked, WORST_LATCHED(F=steps[-1], F_l=locked)


@once
def largest(d: Demands) -> tuple[Step, ...]:
    """The same, or pulling on stuck pipe if that is more."""
    steps = at_sea(d)
    if not d.plan.on_bottom:
        return steps
    pulled = _pulled(d)
    return *steps, pulled, WORST(F=steps[-1], F_o=pulled)


@once
def shaken(d: Demands) -> tuple[tuple[Step, ...], Value]:
    """Acceleration of the block: that of the vessel; none under a crown that moves, or where a drawworks works."""
    plan = d.plan
    still = plan.compensator.under_crown or (plan.compensator.is_drawworks and plan.active_in_use)
    if still and working(plan):
        return (), 0.0
    moved = extreme(ACCELERATION, d.acceleration, plan)
    return (moved,), moved


def on_lines(d: Demands, steps: tuple[Step, ...]) -> tuple[Step, ...]:
    """Load on the lines to the block, of the load at the hook that the last of the steps is."""
    plan = d.plan
    if plan.compensator.under_crown:  # the load has block and crown in it, and what shakes them
        return *steps, UNDER_CROWN(F_u=steps[-1], m_k=plan.moving_mass - plan.block_mass)
    moved, pace = shaken(d)
    return *steps, *moved, ON_LINES(F_u=steps[-1], m_lb=plan.block_mass, a_b=pace)


def fast(path: HoistingPath, steps: tuple[Step, ...]) -> tuple[Step, ...]:
    """Pull of the fast line, hoisting the load on the lines that the last of the steps is."""
    return *steps, FAST(P_b=steps[-1], K=path.sheave_factor, n_l=path.count)


@once
def on_block(d: Demands) -> tuple[Step, ...]:
    """Load on the lines at the largest load."""
    return on_lines(d, largest(d))


@once
def at_drum(d: Demands) -> tuple[Step, ...]:
    """Pull of the fast line at the largest load."""
    return fast(_path(d), on_block(d))


def _rule(
    key: str,
    name: str,
    formulas: tuple[Formula, ...],
    rating: str,
    source: str = PATH,
    also: Callable[[Plan], bool] = always,
) -> partial[Rule]:
    """A rule of a part that the path gives a rating of, where that is asked `also`."""
    given = _given(rating)
    return partial(Rule, key, name, "force", source, lambda plan: also(plan) and given(plan), formulas)


@_rule("derrick", "Derrick", _LINES, "derrick_rating")
def derrick(d: Demands) -> Outcome:
    """All that hangs on the lines at the largest load, the block accelerated with the vessel, against the static hook
    load of the derrick at the lines strung. Its own weight, wind and roll are the maker's, not judged here."""
    return outcome(*on_block(d), capacity=_path(d).derrick_rating)


@_rule("crown_block", "Crown block", (*_LINES, FAST, CROWN), "crown_rating", REEVING)
def crown(d: Demands) -> Outcome:
    """The lines with fast and dead line, hoisting at the largest load, against the rating of the crown block."""
    path, steps = _path(d), at_drum(d)
    lines = CROWN(P_b=steps[-2], F_fl=steps[-1], K=path.sheave_factor, n_l=path.count)
    return outcome(*steps, lines, capacity=path.crown_rating)


def _line(d: Demands, steps: tuple[Step, ...], factor: float) -> Outcome:
    path = _path(d)
    strength = None if path.line is None else path.line.strength
    pull = fast(path, on_lines(d, steps))
    return outcome(*pull, capacity=FACTOR(F_br=strength, D_f=factor))


@_rule("drilling_line", "Drilling line", (*_AT_SEA, FAST, FACTOR), "line", REEVING)
def line(d: Demands) -> Outcome:
    """Pull of the fast line hoisting the largest load of this sea, against the strength of the line over its least
    design factor; where casing is run, that of setting casing."""
    path, heavy = _path(d), d.plan.operation.about.line_use == "setting casing"
    return _line(d, at_sea(d), path.line_factor_heavy if heavy else path.line_factor)


_STUCK: Final = (load.PULLED, *_ON_LINES, FAST, FACTOR)


@_rule("drilling_line_pulled", "Drilling line, stuck pipe", _STUCK, "line", REEVING, also=on_bottom)
def line_pulled(d: Demands) -> Outcome:
    """Pull of the fast line with the whole overpull on, against the strength of the line over its least design factor
    for pulling on stuck pipe."""
    return _line(d, (_pulled(d),), _path(d).line_factor_heavy)


@_rule("dead_line", "Dead-line anchor", (*_LINES, FAST, DEAD), "anchor_rating", REEVING)
def anchor(d: Demands) -> Outcome:
    """Pull of the dead line while lowering, when it is largest, against the rating of its anchor."""
    path, steps = _path(d), at_drum(d)
    return outcome(*steps, DEAD(F_fl=steps[-1], K=path.sheave_factor), capacity=path.anchor_rating)


@_rule("travelling_block", "Travelling block", (*_LINES, BLOCK), "block_rating")
def block(d: Demands) -> Outcome:
    """What hangs below the travelling block at the largest load, against its rating."""
    path, steps = _path(d), on_block(d)
    moved = 0.0 if d.plan.compensator.under_crown else shaken(d)[1]
    own = path.block_mass + path.line_mass
    return outcome(*steps, BLOCK(P_b=steps[-1], m_t=own, a_b=moved), capacity=path.block_rating)


@once
def _hook(d: Demands) -> tuple[Step, ...]:
    steps = largest(d)
    return *steps, HOOK(F_u=steps[-1], m_v=d.plan.moving_mass)


@once
def _string(d: Demands) -> tuple[Step, ...]:
    steps = largest(d)
    return *steps, STRING(F_u=steps[-1], m_v=d.plan.moving_mass, W_g=d.plan.string.handling_weight)


@_rule("hook", "Hook", (*_LARGEST, HOOK), "hook_rating")
def hook(d: Demands) -> Outcome:
    """Top drive, gear and string at the largest load, against the rating of the hook."""
    return outcome(*_hook(d), capacity=_path(d).hook_rating)


_BELOW: Final = (*_LARGEST, STRING)


@_rule("top_drive", "Top drive", _BELOW, "top_drive_rating")
def top_drive(d: Demands) -> Outcome:
    """The string at the largest load, against the hoisting rating of the top drive."""
    return outcome(*_string(d), capacity=_path(d).top_drive_rating)


@_rule("links", "Links", _BELOW, "links_rating")
def links(d: Demands) -> Outcome:
    """The string at the largest load, against the rating of both links."""
    return outcome(*_string(d), capacity=_path(d).links_rating)


@_rule("elevators", "Elevators", _BELOW, "elevators_rating")
def elevators(d: Demands) -> Outcome:
    """The string at the largest load, against the rating of the elevators."""
    return outcome(*_string(d), capacity=_path(d).elevators_rating)


@_rule("drawworks_pull", "Drawworks pull", (*_LINES, FAST), "drawworks_pull", REEVING)
def pull(d: Demands) -> Outcome:
    """Pull of the fast line at the largest load, hoisting, against that of the drawworks."""
    return outcome(*at_drum(d), capacity=_path(d).drawworks_pull)


ABOVE: Final = _formula("h_up = h_s − h_b − c_h", KINEMATICS)
BELOW: Final = _formula("h_down = h_l − c_h", KINEMATICS)
ENDS: Final = (_formula("x_up = S / 2 + x_s", KINEMATICS), _formula("x_down = S / 2 − x_s", KINEMATICS))
DRIVEN: Final = (_formula("x_up = x_more + X", KINEMATICS), _formula("x_down = x_less + X", KINEMATICS))


def _reach(d: Demands, side: int) -> Step:
    """How far the unit can take the load up (side 0) or down (1): to the end of its stroke, or with the vessel."""
    plan, unit = d.plan, d.plan.compensator
    if not isinstance(unit, GasUnit):
        return DRIVEN[side](X=d.travel, **{("x_more", "x_less")[side]: plan.drift_sides[1 - side]})
    return ENDS[side](S=unit.stroke, x_s=d.setting.start)


def _block_moves(plan: Plan) -> bool:
    """A unit under the block, and any that is locked, leaves the block where it is."""
    heights = _given("highest_block")(plan) and _given("crown_stop")(plan)
    return heights and working(plan) and not plan.compensator.under_block


def _load_moves(plan: Plan) -> bool:
    return _given("lowest_block")(plan) and working(plan)


def _clear(key: str, name: str, applies: Callable[[Plan], bool], side: int, room: Formula) -> partial[Rule]:
    return partial(Rule, key, name, "length", KINEMATICS, applies, (ENDS[side], DRIVEN[side], room))


@_clear("crown_clearance", "Crown clearance", _block_moves, 0, ABOVE)
def crown_clearance(d: Demands) -> Outcome:
    """Travel up that the vessel's fall may ask of the block, to the end of the stroke, or all of it on a drawworks.
    Against the crown stop less highest position and clearance kept."""
    path = _path(d)
    room = ABOVE(h_s=path.crown_stop, h_b=path.highest_block, c_h=path.clearance)
    return outcome(_reach(d, 0), capacity=room)


@_clear("floor_clearance", "Floor clearance", _load_moves, 1, BELOW)
def floor_clearance(d: Demands) -> Outcome:
    """Travel down that the vessel's rise may ask of the load, to the end of the stroke, or all of it on a drawworks,
    against the height of the lowest position less the clearance kept."""
    path = _path(d)
    return outcome(_reach(d, 1), capacity=BELOW(h_l=path.lowest_block, c_h=path.clearance))
