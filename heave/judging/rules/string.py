"""Tension of the string, and a unit that is locked or thought not to be."""

from __future__ import annotations

import math
from functools import partial
from typing import Final

import numpy as np

from heave.formula import Step, Value
from heave.judging.checks import Outcome, Rule, outcome
from heave.judging.demands import Demands
from heave.judging.formulas import BALANCE, FORCE_LEFT, GAS_LOAD, ROD, formula
from heave.judging.rules.load import (
    COMPRESSION,
    DRIVEN_LOAD,
    HANGING,
    HANGING_LATCHED,
    HELD,
    SEA_ADDS,
    WORKING,
    sea_adds,
)
from heave.judging.rules.when import always, latched, locked_or_latched

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
LOCKED: Final = formula(
    "F_l = W_h + m_c × g + O + ΔT", BALANCE, F_l=("force", "largest load on the locked unit")
)


def _tension(d: Demands, steps: tuple[Step, ...], added: Value) -> Outcome:
    """Tension in the most used section with what the sea adds and the overpull on, against the yield allowed."""
    plan = d.plan
    sea = np.asarray(added.result.value if isinstance(added, Step) else added, dtype=np.float64)
    pull = np.broadcast_to(sea + plan.overpull, d.locked.shape)
    rows = plan.string.tension_margins(plan.hookload)
    shares = np.stack([(row.tension + pull) / row.capacity for row in rows])
    worst = np.argmax(np.where(np.isnan(shares), -math.inf, shares), axis=0)
    static, yields = np.array([(row.tension, row.capacity) for row in rows])[worst].T
    whole = TENSION(T_s=static, ΔT=added, O=plan.overpull)
    return outcome(*steps, whole, capacity=ALLOWED(f=plan.yield_fraction, T_y=yields))


_ADDED: Final = (
    COMPRESSION,
    GAS_LOAD,
    WORKING,
    FORCE_LEFT,
    HELD,
    DRIVEN_LOAD,
    HANGING,
    HANGING_LATCHED,
    SEA_ADDS,
)
_SHARE: Final = "Area × minimum yield (API RP 7G); share of yield is common practice"
_IF_LOCKED: Final = "String tension if the unit locks"
_ROD_AND_YIELD: Final = "Axial rod dynamics of the string; area × minimum yield (API RP 7G)"


@partial(Rule, "tension", "String tension", "force", _SHARE, always, (*_ADDED, TENSION, ALLOWED))
def tension(d: Demands) -> Outcome:
    """Static tension, what the sea adds and the overpull margin, at the most used section, against the share
    of yield allowed."""
    return _tension(d, *sea_adds(d))


@partial(Rule, "locked_load", "Locked load", "force", ROD, locked_or_latched, (LOCKED,))
def locked(d: Demands) -> Outcome:
    """Static load plus string stiffness and inertia times heave, against the rating of the locked unit."""
    plan, unit = d.plan, d.plan.compensator
    load = LOCKED(W_h=plan.hookload, m_c=unit.moving_mass, O=plan.overpull, ΔT=d.locked)
    return outcome(load, capacity=unit.locked_rating)


@partial(Rule, "tension_if_locked", _IF_LOCKED, "force", _ROD_AND_YIELD, latched, (TENSION, ALLOWED))
def tension_if_locked(d: Demands) -> Outcome:
    """A unit thought to be working can be locked: the string, fixed at the seabed, then stretches with every
    wave. Against the share of yield allowed."""
    return _tension(d, (), d.locked)
