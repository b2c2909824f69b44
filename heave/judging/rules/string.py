"""Tension of the string, and a unit that is locked or thought not to be."""

from __future__ import annotations

import math
from functools import partial
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.arrays import FloatArray, Indices
from heave.formula import Value
from heave.judging import reversal
from heave.judging.checks import Outcome, Rule, outcome
from heave.judging.demands import Demands
from heave.judging.formulas import (
    BALANCE,
    GAS_LAW,
    ROD,
    SERIES,
    SERIES_ACTIVE,
    SWING_CHECKED,
    bit_change,
    formula,
)
from heave.judging.rules.hook import ADDED_STEPS, LEFT_FALLING, LEFT_STEPS, assisted, left_falling, sea_adds
from heave.judging.rules.load import CROWN_PULL, LEAST_HELD, LEAST_STEPS, least_load, on_unit
from heave.judging.rules.when import always, hook_driven, latched, locked_or_latched

TENSION: Final = formula(
    "T_top = T_s + ΔT + O",
    BALANCE,
    T_s=("force", "static tension at the top of the most used section"),
    T_top=("force", "tension at the top of the most used section"),
)
ALLOWED: Final = formula(
    "T_max = f × T_y",
    "share of yield: common practice",
    f=("fraction", "share of yield allowed"),
    T_y=("force", "area × yield of that section"),
    T_max=("force", "tension allowed"),
)
_WITH_LOCKED: Final = "the section that is most used with the unit locked"
TENSION_LOCKED: Final = formula(
    "T_k = T_sk + F_k + O",
    BALANCE,
    T_sk=("force", f"static tension at the top of {_WITH_LOCKED}"),
    T_k=("force", f"tension at the top of {_WITH_LOCKED}"),
)
ALLOWED_LOCKED: Final = formula(
    "T_kmax = f × T_yk",
    "share of yield: common practice",
    f=ALLOWED.symbols["f"],
    T_yk=("force", f"area × yield of {_WITH_LOCKED}"),
    T_kmax=("force", "tension allowed in that section"),
)
LOCKED: Final = formula(
    "F_l = W_h + m_c × g + O + F_k", BALANCE, F_l=("force", "largest load on the locked unit")
)

_LOST: Final = ("force", "fall of the tension at the latch, vessel falling")
LATCH: Final = formula(
    "ΔT_f = max(F_0 − F_dl, A_bit + k × x_more)",
    f"{BALANCE}; {ROD}",
    A_bit=SWING_CHECKED.symbols["A_bit"],
    x_more=bit_change("more", "falling").symbols["x_more"],
    ΔT_f=_LOST,
)
LATCH_ASSISTED: Final = formula(
    "ΔT_f = max(F_hf, A_bit + k × x_more)",
    LATCH.source,
    F_hf=LEFT_FALLING.symbols["F_hf"],
    A_bit=LATCH.symbols["A_bit"],
    x_more=LATCH.symbols["x_more"],
    ΔT_f=_LOST,
)
LATCH_DRIVEN: Final = formula("ΔT_f = a + k_s × x_more", ROD, ΔT_f=_LOST, x_more=LATCH.symbols["x_more"])


def most_used(d: Demands, added: npt.ArrayLike) -> Indices:
    """Place of the section that is nearest to its yield with `added` [N] and the overpull on, in each sea."""
    sea = np.asarray(added, dtype=np.float64)
    pull = np.broadcast_to(sea + d.plan.overpull, d.locked.shape)
    shares = np.stack([(row.tension + pull) / row.capacity for row in d.plan.tension_margins()])
    return np.asarray(np.argmax(np.where(np.isnan(shares), -math.inf, shares), axis=0))


def _at_top(d: Demands, added: npt.ArrayLike) -> FloatArray:
    """Static tension and yield of that section."""
    rows = np.array([(row.tension, row.capacity) for row in d.plan.tension_margins()])
    return np.asarray(rows[most_used(d, added)].T)


_SHARE: Final = "Area × minimum yield (API RP 7G); share of yield is common practice"
_ROD_AND_YIELD: Final = "Axial rod dynamics of the string; area × minimum yield (API RP 7G)"
_IF_LOCKED: Final = (_ROD_AND_YIELD, latched, (TENSION_LOCKED, ALLOWED_LOCKED))


@partial(Rule, "tension", "String tension", "force", _SHARE, always, (*ADDED_STEPS, TENSION, ALLOWED))
def tension(d: Demands) -> Outcome:
    """Static tension, what the sea adds and the overpull margin, at the most used section, against the share
    of yield allowed."""
    plan, steps = d.plan, sea_adds(d)
    static, yields = _at_top(d, steps[-1].result.value)
    whole = TENSION(T_s=static, ΔT=steps[-1], O=plan.overpull)
    return outcome(*steps, whole, capacity=ALLOWED(f=plan.yield_fraction, T_y=yields))


@partial(Rule, "locked_load", "Locked load", "force", ROD, locked_or_latched, (LOCKED, CROWN_PULL))
def locked(d: Demands) -> Outcome:
    """Static load plus string stiffness and inertia times heave, against the rating of the locked unit."""
    plan, unit = d.plan, d.plan.compensator
    load = LOCKED(W_h=plan.hookload, m_c=plan.moving_mass, O=plan.overpull, F_k=d.locked)
    return outcome(*on_unit(d, load), capacity=unit.locked_rating)


@partial(Rule, "tension_if_locked", "String tension if the unit locks", "force", *_IF_LOCKED)
def tension_if_locked(d: Demands) -> Outcome:
    """A unit thought to be working can be locked: the string, fixed at the seabed, then stretches with every
    wave. Against the share of yield allowed."""
    static, yields = _at_top(d, d.locked)
    whole = TENSION_LOCKED(T_sk=static, F_k=d.locked, O=d.plan.overpull)
    return outcome(whole, capacity=ALLOWED_LOCKED(f=d.plan.yield_fraction, T_yk=yields))


LATCH_FED: Final = formula("ΔT_f = a", ROD, ΔT_f=_LOST)

_LATCHED: Final = (
    *(*LEAST_STEPS, LEAST_HELD, *LEFT_STEPS, SERIES, SERIES_ACTIVE),
    *(*reversal.RINGING, SWING_CHECKED, LATCH, LATCH_ASSISTED, LATCH_DRIVEN, LATCH_FED),
)


@partial(Rule, "latch_tension", "Tension left at the latch", "force", f"{GAS_LAW}; {ROD}", latched, _LATCHED)
def latch(d: Demands) -> Outcome:
    """What the falling vessel takes off the tension at the latch, against the overpull, which is all the tension
    there is at the lowest point of a string that carries its own weight above it: at 1 the latch goes slack, past it
    the string stands on it in compression. The larger of the gas expanded, less friction and loss, and the swing
    that the string's own dynamics make of friction and gas, with what slow travel takes off. Of a hook that is driven,
    what the motion left to it swings and what slow travel slackens."""
    plan, unit = d.plan, d.plan.compensator
    if unit.is_drawworks:  # the driller feeds
        return outcome(LATCH_FED(a=d.elastic), capacity=plan.overpull)
    if hook_driven(plan):
        driven = LATCH_DRIVEN(a=d.elastic, k_s=plan.string.stiffness, x_more=plan.drift_sides[1])
        return outcome(driven, capacity=plan.overpull)
    swung, series = reversal.swing(d), reversal.in_series(plan, d.setting)
    about: dict[str, Value] = {"A_bit": swung[-1], "x_more": plan.drift_sides[1]}
    if assisted(plan):
        held = left_falling(d)
        taken = LATCH_ASSISTED(F_hf=held[-1], k=series, **about)
    else:
        held = least_load(d)
        taken = LATCH(F_0=d.setting.load, F_dl=held[-1], k=series, **about)
    return outcome(*held, *swung, series, taken, capacity=plan.overpull)
