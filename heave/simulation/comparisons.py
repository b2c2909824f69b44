"""Set-ups to simulate and to set side by side: the plan as it is, and one thing changed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from heave.compensator import ActiveAssisted, GasUnit
from heave.drill_string import DrillString
from heave.errors import InputError
from heave.fields import Choice
from heave.judging.results import Assessment, BitBand
from heave.planning.offsets import StaticOffsets
from heave.planning.plan import LEAST_HANGING, Plan

COMPARISONS: Final = {
    "alone": "The plan alone",
    "active": "Passive against active",
    "depth": "3000\u00a0m against 8000\u00a0m of string",
    "bottles": "All bottles open against 60\u00a0% shut",
    "none": "As planned against no compensator",
    "locked": "As planned against locked",
}
"""What may be set side by side, by key."""

LENGTHS: Final = (3000.0, 8000.0)
"""Lengths of string compared [m]."""

SHUT: Final = 0.6
"""Share of the gas shut off in the comparison of bottles."""

ADDED_GAIN: Final = 0.9
"""Gain of the active part added to a passive unit for the comparison: invented."""

ADDED_DELAY: Final = 0.1
"""Its delay [s]: invented."""

ADDED_FORCE: Final = 0.15
"""Its force limit as a share of the compensating rating: invented."""

ADDED_SPEED: Final = 2.0
"""Its velocity limit [m/s]: invented."""

LIGHT_BIT: Final = 0.1
"""Weight on bit put on a plan that has none, as a share of its hookload."""


@dataclass(frozen=True)
class Variant:
    """One thing to simulate: what it is called, the plan, and "as planned", "locked" or "no compensator"."""

    label: str
    plan: Plan
    unit: str = "as planned"

    @property
    def as_planned(self) -> bool:
        """Whether the unit is the plan's, not locked and not gone."""
        return self.unit == "as planned"


def for_the_bit(plan: Plan) -> tuple[Plan, str]:
    """The plan with its bit on bottom, and in words what had to be changed for that, if anything.

    Parameters
    ----------
    plan : any plan; one off bottom or latched is drilling ahead in the answer
    """
    if plan.on_bottom and plan.wob > 0:
        return plan, ""
    # off bottom a plan keeps its weight on bit, and may keep one that is more than hangs
    hangs = 0 < plan.wob <= plan.still_hookload - LEAST_HANGING
    wob = plan.wob if hangs else LIGHT_BIT * plan.still_hookload
    changed = plan.changed(operation=replace(plan.operation, kind="drilling"), wob=wob)
    said = [] if plan.on_bottom else ["the bit is put on bottom, drilling ahead"]
    if not hangs:
        instead = "" if plan.wob == 0 else ", for the weight on bit of the plan is more than hangs"
        said.append(f"a tenth of the hookload is set on it{instead}")
    return changed, f"Only on this page, {', and '.join(said)}: the plan itself keeps its operation."


def without_drilling(plan: Plan) -> Plan:
    """The plan with no hole made during the run, so nothing eats stroke and no feed is needed.

    Parameters
    ----------
    plan : the plan
    """
    still: StaticOffsets = replace(plan.offsets, penetration_rate=0.0, feed_interval=0.0)
    return plan.changed(offsets=still)


def why_not(plan: Plan, comparison: str) -> str:
    """Why this comparison cannot be made with this plan, or nothing.

    Parameters
    ----------
    plan : the plan
    comparison : a key of `COMPARISONS`
    """
    Choice("comparison", tuple(COMPARISONS)).check(comparison)
    unit = plan.compensator
    if comparison == "bottles":
        if not isinstance(unit, GasUnit):
            return "A compensating drawworks has no bottles to shut."
        try:
            _shut(unit, SHUT)
        except InputError:
            return "With 60\u00a0% of the bottles shut there is less gas than the cylinder sweeps."
    return ""


def variants(plan: Plan, comparison: str) -> tuple[Variant, ...]:
    """The variants of one comparison: one, or two to show side by side.

    Parameters
    ----------
    plan : the plan, bit on bottom
    comparison : a key of `COMPARISONS`

    Raises
    ------
    InputError
        If the comparison is unknown, or cannot be made with this plan.
    """
    reason = why_not(plan, comparison)
    if reason:
        raise InputError("comparison", COMPARISONS[comparison], None, f"another: {reason}")
    planned = Variant("as planned", plan)
    if comparison == "active":
        return _active(plan)
    if comparison == "depth":
        return tuple(Variant(f"{length:.0f}\u00a0m of string", _long(plan, length)) for length in LENGTHS)
    unit = plan.compensator
    if comparison == "bottles" and isinstance(unit, GasUnit):
        return (
            Variant("all bottles open", plan.changed(compensator=_shut(unit, 0.0))),
            Variant("60\u00a0% shut", plan.changed(compensator=_shut(unit, SHUT))),
        )
    if comparison == "none":
        return planned, Variant("no compensator", plan, "no compensator")
    if comparison == "locked":
        return planned, Variant("locked", plan, "locked")
    return (planned,)


def band_of(variant: Variant, assessment: Assessment) -> BitBand | None:
    """The predicted band of weight on bit of a variant.

    Locked, or with no compensator, the hook moves with the vessel and the bit force swings by the
    locked amplitude; seal friction then plays no part, so low, nominal and high are one. No gas spring
    follows slow travel, and the driller's feed is counted on for it: no drift.

    Parameters
    ----------
    variant : what is simulated
    assessment : of the variant's plan
    """
    band = assessment.responses.bit
    return band if band is None or variant.as_planned else stiff(band)


def stiff(band: BitBand) -> BitBand:
    """The band of a hook that moves with the vessel: every swing the locked one, no drift.

    Parameters
    ----------
    band : of the working unit
    """
    locked = band.locked
    return replace(
        band,
        elastic=locked,
        friction=0.0,
        ringing=0.0,
        low=locked,
        nominal=locked,
        high=locked,
        drift_less=0.0,
        drift_more=0.0,
    )


def _shut(unit: GasUnit, share: float) -> GasUnit:
    """The unit with a share of its gas shut off."""
    return replace(unit, gas_volume_shut=share * unit.gas_volume)


def _active(plan: Plan) -> tuple[Variant, ...]:
    unit = plan.compensator
    if unit.has_active:
        lost = "active part lost" if unit.is_drawworks else "passive, active part lost"
        return Variant(lost, plan.changed(active=False)), Variant("active", plan.changed(active=True))
    added = unit.as_kind(
        ActiveAssisted.kind,
        active_gain=ADDED_GAIN,
        active_delay=ADDED_DELAY,
        active_force_limit=ADDED_FORCE * unit.compensated_rating,
        active_velocity_limit=ADDED_SPEED,
    )
    return (
        Variant("passive", plan),
        Variant("with an active part (invented)", plan.changed(compensator=added, active=True)),
    )


def _long(plan: Plan, length: float) -> Plan:
    """The plan with its longest section stretched or shortened to a string of `length`."""
    sections = plan.string.sections
    place = max(range(len(sections)), key=lambda n: sections[n].length)
    rest = sum(section.length for n, section in enumerate(sections) if n != place)
    if rest >= length:
        raise InputError(
            "length of the string", length, "m", f"above the rest of the string, {rest:g}\u00a0m"
        )
    stretched = replace(sections[place], length=length - rest)
    string: DrillString = replace(
        plan.string, sections=(*sections[:place], stretched, *sections[place + 1 :])
    )
    return plan.changed(string=string, hookload_entered=None)
