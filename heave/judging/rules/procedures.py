"""Limits of the rig's procedures: heave, vertical speed and acceleration at the rotary, roll, pitch, wave height."""

from __future__ import annotations

from functools import partial
from typing import Final

from heave.formula import Formula
from heave.judging.checks import Outcome, Rule, outcome
from heave.judging.demands import Demands
from heave.judging.formulas import ACCELERATION, GAUSSIAN, HEAVE, HEAVE_SPEED, extreme, formula, level
from heave.judging.rules import when
from heave.judging.waves import limits_of

_AS_MEANT: Final = ("length", "heave as the procedure means it")
DOUBLE: Final = formula("H = 2 × z", GAUSSIAN, H=_AS_MEANT)
SINGLE: Final = formula("H = z", GAUSSIAN, H=_AS_MEANT)
SIGNIFICANT: Final = formula("H = 4 × σ_z", GAUSSIAN, H=_AS_MEANT)
SIGNIFICANT_SINGLE: Final = formula("H = 2 × σ_z", GAUSSIAN, H=_AS_MEANT)
ROLL: Final = level("Φ", "angle", "roll of the vessel")
PITCH: Final = level("Θ", "angle", "pitch of the vessel")
TOTAL_HS: Final = formula(
    "H_s = √(H_1² + H_2²)",
    "energies of wave systems add",
    H_s=("length", "significant wave height of the whole sea"),
    H_1=("length", "significant wave height of the highest system"),
    H_2=("length", "significant wave height of all others together"),
)


def _held_to(
    limit: str, name: str, kind: str, *formulas: Formula, key: str = "", always: bool = False
) -> partial[Rule]:
    """A rule that holds to a number of the rig's own; its key is the name of the limit unless it has another."""
    applies = when.always if always else when.limited_in(limit)
    return partial(Rule, key or limit, name, kind, "The rig's procedures", applies, formulas, limits=(limit,))


@_held_to(
    "heave_limit",
    "Heave limit of the rig",
    "length",
    HEAVE,
    DOUBLE,
    SINGLE,
    SIGNIFICANT,
    SIGNIFICANT_SINGLE,
    always=True,
)
def heave_limit(d: Demands) -> Outcome:
    """Heave at the hoist, which is the vertical motion at the rotary, as the procedure means it, against the rig's own
    number. No open standard gives one."""
    limit, basis = d.plan.operation.heave_limit, d.plan.operation.heave_basis
    single = basis.endswith("single amplitude")
    if basis.startswith("significant"):
        meant = SIGNIFICANT_SINGLE if single else SIGNIFICANT
        return outcome(meant(σ_z=d.heave.sigma), capacity=limit)
    heave = extreme(HEAVE, d.heave, d.plan)
    return outcome(heave, (SINGLE if single else DOUBLE)(z=heave), capacity=limit)


@_held_to("speed_limit", "Vertical speed limit of the rig", "speed", HEAVE_SPEED)
def speed_limit(d: Demands) -> Outcome:
    """Vertical speed at the rotary at the accepted risk, against the rig's own number."""
    return outcome(extreme(HEAVE_SPEED, d.velocity, d.plan), capacity=d.plan.operation.speed_limit)


@_held_to("acceleration_limit", "Vertical acceleration limit of the rig", "acceleration", ACCELERATION)
def acceleration_limit(d: Demands) -> Outcome:
    """Vertical acceleration at the rotary at the accepted risk, against the rig's own number."""
    return outcome(
        extreme(ACCELERATION, d.acceleration, d.plan), capacity=d.plan.operation.acceleration_limit
    )


@_held_to("roll_limit", "Roll limit of the rig", "angle", ROLL)
def roll_limit(d: Demands) -> Outcome:
    """Roll at the accepted risk, single amplitude, against the rig's own number. Not assessed where the vessel's
    response has no roll. A calibration of heave is not put on it."""
    return outcome(extreme(ROLL, d.turns.roll, d.plan), capacity=d.plan.operation.roll_limit)


@_held_to("pitch_limit", "Pitch limit of the rig", "angle", PITCH)
def pitch_limit(d: Demands) -> Outcome:
    """Pitch at the accepted risk, single amplitude, against the rig's own number. Not assessed where the vessel's
    response has no pitch. A calibration of heave is not put on it."""
    return outcome(extreme(PITCH, d.turns.pitch, d.plan), capacity=d.plan.operation.pitch_limit)


@_held_to("hs_limits", "Hs limit of the rig", "length", TOTAL_HS, key="hs_limit")
def hs_limit(d: Demands) -> Outcome:
    """Significant wave height of the whole sea, against the lowest limit of the rig whose periods and headings
    cover any of its wave systems. A system that no row covers has no limit to meet, and is not assessed."""
    if d.waves is None:
        return outcome(TOTAL_HS(H_1=None, H_2=None), capacity=None)
    return outcome(
        TOTAL_HS(H_1=d.waves.largest, H_2=d.waves.others), capacity=limits_of(d.plan.operation, d.waves)
    )
