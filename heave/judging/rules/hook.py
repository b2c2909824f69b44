"""What the sea adds to the load on the hook and takes off it: tension at the top of the string, and a hook that goes
slack.

An active part that follows force takes its share of what gas, friction and loss of the cylinder do, and leaves q of it.
Where the friction turns round, its echo comes a delay late: until then the hook bears what the string has built up and
the pull of what moves with the hook, which then goes with the vessel.
"""

from __future__ import annotations

from functools import partial
from typing import Final

import numpy as np

from heave.compensator import ActivePart
from heave.compensator.transfer import active_residual
from heave.formula import Step, Symbol, Value
from heave.judging import reversal
from heave.judging.checks import Outcome, Rule, outcome
from heave.judging.demands import Demands
from heave.judging.formulas import (
    ACTIVE_LEFT,
    BALANCE,
    FORCE_LEFT,
    GAS_LOAD,
    GAS_LOW,
    SIMULATED,
    SWING_CHECKED,
    formula,
    once,
    ranged,
)
from heave.judging.rules import load
from heave.judging.rules.when import active_working, always, hook_driven, working
from heave.planning.plan import Plan

AT_TURN: Final = formula(
    "N_h = min(√(N_s² + (m_h × a_z)² + (F_f / 2)²), 2 × F_f)",
    f"{BALANCE}; {SIMULATED}",
    N_h=("force", "force on the hook where friction turns round, until the active part takes its share"),
    m_h=("mass", "mass that moves with the hook"),
)
_LEFT: Final[dict[str, Symbol]] = {
    "N_h": AT_TURN.symbols["N_h"],
    "q": ACTIVE_LEFT.symbols["q"],
    "f_hook": ranged("the load left on the hook"),
}
_SHARE: Final = f"{BALANCE}, a sine less its delayed share; {SIMULATED}"
LEFT: Final = formula(
    "F_hr = f_hook × max(F_r + q × √((F_g − F_0)² + (c_q × v_d²)²), N_h − F_r)",
    _SHARE,
    F_hr=("force", "what the active part leaves of the swing of the load on the hook, vessel rising"),
    **_LEFT,
)
LEFT_FALLING: Final = formula(
    "F_hf = f_hook × max(F_r + q × √((F_0 − F_gl)² + (c_q × v_d²)²), N_h − F_r)",
    _SHARE,
    F_hf=("force", "what the active part leaves of the swing of the load on the hook, vessel falling"),
    **_LEFT,
)
_ASSISTED: Final = ("force", "load on the hook at the extreme, with what the active part leaves")
ASSISTED: Final = formula("F_dh = F_0 + F_hr", BALANCE, F_dh=_ASSISTED, F_hr=LEFT.symbols["F_hr"])
ASSISTED_HELD: Final = formula(
    "F_dh = F_0 + max(F_hr, A_bit + max(1 − G, G − 1) × (F_s − F_0))",
    f"{BALANCE}: a string that is held below swings as much at the bit, or more",
    F_dh=_ASSISTED,
    F_hr=LEFT.symbols["F_hr"],
    A_bit=SWING_CHECKED.symbols["A_bit"],
    F_s=load.AT_REST.symbols["F_s"],
)

LARGEST_ASSISTED: Final = formula(
    "F_ha = max(F_dh, W)",
    f"{BALANCE}: active part and cylinder act between block and hook, on both alike",
    F_ha=("force", "largest load that block and hook feel, with what the active part leaves"),
    F_dh=_ASSISTED,
)
SEA_ADDS: Final = formula("ΔT = max(F_d − W, 0)", BALANCE)
SEA_ADDS_ASSISTED: Final = formula("ΔT = max(F_dh − W, 0)", BALANCE, F_dh=_ASSISTED)
_TAKEN_OFF: Final = ("force", "what the sea, friction and drag take off the load, vessel falling")
TAKEN_OFF: Final = formula("ΔF = max(F_0 − F_dl, 0)", BALANCE, ΔF=_TAKEN_OFF)
TAKEN_OFF_ASSISTED: Final = formula("ΔF = F_hf", BALANCE, ΔF=_TAKEN_OFF, F_hf=LEFT_FALLING.symbols["F_hf"])
_DRAG: Final = ("force", "drag in the hookload, which acts the other way as the string goes down")
TAKEN_OFF_LOCKED: Final = formula("ΔF = F_k + 2 × D", BALANCE, ΔF=_TAKEN_OFF, D=_DRAG)
TAKEN_OFF_DRIVEN: Final = formula(
    "ΔF = F_mf + 2 × D", BALANCE, ΔF=_TAKEN_OFF, D=_DRAG, F_mf=load.HELD_FALLING.symbols["F_mf"]
)
ON_HOOK: Final = formula("F_h = F_0 − m_c × g", BALANCE, F_h=("force", "load on the hook at mid-stroke"))


def assisted(plan: Plan) -> bool:
    """Whether an active part that follows force works beside the gas."""
    return active_working(plan) and not plan.follows_position


@once
def _leaves(d: Demands) -> tuple[tuple[Step, ...], dict[str, Value]]:
    """What both ways have in common: steps, and terms."""
    unit, friction = d.plan.compensator.of_type(ActivePart), reversal.felt(d)
    steps, turning = reversal.left(d)
    turned = reversal.turn(d)
    mass = d.plan.string.handling_mass + d.plan.moving_mass
    built = turned[0] if turned else 0.0
    at_turn = AT_TURN(N_s=built, m_h=mass, a_z=d.acceleration.level, F_f=friction)
    pace = 2 * np.pi / np.where(d.heave.sigma == 0, np.inf, d.heave.period)
    share = active_residual(pace, unit.active_gain, unit.active_delay, unit.active_bandwidth)
    about: dict[str, Value] = {"f_hook": reversal.model_range(d, "hook"), "F_r": turning, "N_h": at_turn}
    about |= {"q": np.abs(share), "F_0": d.setting.load, "c_q": unit.hydraulic_loss, "v_d": d.linear_speed}
    return (*steps, *turned[:1], at_turn), about


@once
def left_falling(d: Demands) -> tuple[Step, ...]:
    """What an active part that follows force leaves of the swing of the load, vessel falling, with its working."""
    gas, (steps, about) = load.least_gas(d), _leaves(d)
    return *gas, *steps, LEFT_FALLING(F_gl=gas[-1], **about)


@once
def assisted_load(d: Demands) -> tuple[Step, ...]:
    """Load on the hook, and on what holds it up, under an active part that follows force, with its working.

    Between block and hook the active force acts one way on the one and the other way on the other, beside the cylinder:
    the block feels what the hook feels, and the cylinder alone carries what the active part takes off both.
    """
    gas, (shared, about) = load.extreme_gas(d), _leaves(d)
    left = LEFT(F_g=gas[-1], **about)
    if d.plan.operation.hangs_free:
        return *gas, *shared, left, ASSISTED(F_0=d.setting.load, F_hr=left)
    rest, swung = load.at_rest(d), reversal.swing(d)
    loaded = ASSISTED_HELD(
        F_0=d.setting.load,
        F_hr=left,
        A_bit=swung[-1],
        G=d.plan.compensator.of_type(ActivePart).active_gain,
        F_s=rest,
    )
    return *gas, *shared, left, *swung, rest, loaded


@once
def sea_adds(d: Demands) -> tuple[Step, ...]:
    """Tension above the hookload that the string sees, whatever carries it, with its working."""
    if not working(d.plan) or d.plan.compensator.is_drawworks:
        return load.line_adds(d)
    weight = load.hanging(d)
    if assisted(d.plan):
        steps = assisted_load(d)
        return *steps, weight, SEA_ADDS_ASSISTED(F_dh=steps[-1], W=weight)
    steps = load.working_load(d)
    return *steps, weight, SEA_ADDS(F_d=steps[-1], W=weight)


LEFT_STEPS: Final = (
    *(load.EXPANSION, GAS_LOW, reversal.LEFT, *reversal.SLIPS_ACTIVE, AT_TURN, LEFT_FALLING),
)
ASSISTED_STEPS: Final = (
    *(load.COMPRESSION, GAS_LOAD, load.AT_REST, *reversal.RINGING_ACTIVE, AT_TURN, LEFT, SWING_CHECKED),
    *(ASSISTED, ASSISTED_HELD),
)
ADDED_STEPS: Final = (
    *(*load.PASSIVE_STEPS, *load.OTHER_STEPS, SEA_ADDS),
    *(*ASSISTED_STEPS, SEA_ADDS_ASSISTED),
)
"""The formulas of `left_falling`, of `assisted_load`, and of `sea_adds`."""

_SLACK: Final = (
    *(*load.LEAST_STEPS, *reversal.LETTING_GO, load.LEAST_HELD, load.LEAST, TAKEN_OFF, *LEFT_STEPS),
    *(TAKEN_OFF_ASSISTED, FORCE_LEFT, load.HELD_FALLING, TAKEN_OFF_DRIVEN),
    *(TAKEN_OFF_LOCKED, ON_HOOK, load.HANGING),
)


@partial(Rule, "hook_slack", "Hook stays loaded", "force", BALANCE, always, _SLACK)
def hook_slack(d: Demands) -> Outcome:
    """What the falling vessel takes off the load, against the load itself: at 1 the hook goes slack. On the gas, its
    expansion by static travel and the extreme, less friction and loss, and what an active part leaves of that; on a
    hook that is driven or locked, stiffness and inertia of the string times the motion left to it, and the drag that
    turns round on the way down."""
    plan = d.plan
    room = ON_HOOK(F_0=d.setting.load, m_c=plan.moving_mass) if working(plan) else load.hanging(d)
    if assisted(plan):
        steps = left_falling(d)
        return outcome(*steps, TAKEN_OFF_ASSISTED(F_hf=steps[-1]), capacity=room)
    if working(plan) and not hook_driven(plan):
        steps = load.least_load(d)
        return outcome(*steps, TAKEN_OFF(F_0=d.setting.load, F_dl=steps[-1]), capacity=room)
    if working(plan) and plan.follows_position:
        steps = load.held(d, falling=True)
        return outcome(*steps, TAKEN_OFF_DRIVEN(F_mf=steps[-1], D=plan.drag), capacity=room)
    return outcome(TAKEN_OFF_LOCKED(F_k=d.locked, D=plan.drag), capacity=room)
