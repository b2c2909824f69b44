"""Cautions: the standing ones, and those that this plan's own figures call for."""

from __future__ import annotations

import math
from typing import Final

from heave.compensator import Setting
from heave.judging.results import Responses
from heave.planning.plan import Plan
from heave.units import significant
from heave.vessel import response_warnings

STANDING: Final = (
    "A planning aid: not real-time control, not a certificate. The rig's procedures, the maker's manual and the "
    "decision of the master or offshore installation manager come first; where a procedure is stricter, it holds.",
    "Hook load is not bit load: the load cell does not see what friction and the string do to the bit.",
    "A stroke-out makes the unit rigid for the rest of that wave; released overpull or a parted string recoils.",
    "Gas temperature, tide, draught and vessel offset move mid-stroke and set load: check them as they change.",
    "Hang-off belongs to well control and disconnection to the riser's limits; neither is judged here.",
)
"""Always shown."""

WAVE_BAND: Final = (4.0, 25.0)
"""Periods in which waves carry energy that a response can pick up [s]."""


def cautions_for(plan: Plan, setting: Setting, responses: Responses) -> tuple[str, ...]:
    """The cautions of a plan, those its own figures call for first.

    Words and ratios only, so that they read the same in every unit system.
    """
    own = [
        *_calibration_caution(plan),
        *plan.sea.warnings(),
        *response_warnings(plan.vessel, plan.heading, plan.sea),
        *_compensator_cautions(plan, setting, responses),
        *_string_cautions(plan, responses),
    ]
    return (*dict.fromkeys(own), *STANDING)


def _calibration_caution(plan: Plan) -> list[str]:
    if plan.heave_calibration == 1:
        return []
    return [
        f"Heave is multiplied by a calibration of {significant(plan.heave_calibration)} taken from a measured "
        "record: it holds for seas, headings and draughts like those of that record."
    ]


def _compensator_cautions(plan: Plan, setting: Setting, responses: Responses) -> list[str]:
    unit, found = plan.compensator, []
    budget = responses.stroke
    if budget is not None and max(budget.rising, budget.falling) > budget.half_stroke:
        found.append(
            "The travel asked for goes past the end of the stroke, where the unit is rigid: bit force and motion left "
            "are then worse than the figures here, which know no ends."
        )
    if unit.gas_volume_shut > 0 and unit.gas_volume is not None:
        stiffer = unit.gas_volume / (unit.gas_volume - unit.gas_volume_shut)
        found.append(
            f"Bottles are shut: the gas spring is {stiffer:.2g} times as stiff as with all of them open."
        )
    if unit.has_active and not plan.active:
        lost = (
            "the block moves with the whole heave" if unit.is_drawworks else "the unit works as a passive one"
        )
        found.append(f"The active part is taken as lost: {lost}.")
    elif unit.has_active:
        found.append(
            "If the active part is lost the motion left below is the passive unit's, or the whole heave."
        )
    found += _active_cautions(plan, responses)
    if unit.active_loop == "force" and plan.active and plan.operation.about.condition == "free":
        found.append(
            "The active part is taken to cancel force without watching the hook's place: off bottom seal "
            "friction then lets the hook wander by up to friction over gas stiffness; one that watches it leaves less."
        )
    period = setting.free_period_nominal
    if plan.operation.about.string == "free" and plan.operation.about.compensator == "working":
        if period is not None and WAVE_BAND[0] < period < WAVE_BAND[1]:
            found.append(
                f"Off bottom the passive unit's natural period is {period:.1f} s, in the swell band: it isolates only "
                f"waves shorter than {period / math.sqrt(2):.1f} s."
            )
        stuck = responses.residual is not None and responses.residual.share > 0.9
        if stuck and not plan.active_in_use:
            found.append(
                "Off bottom the passive unit hardly works here: friction and gas stiffness carry the hook along."
            )
    return found


def _active_cautions(plan: Plan, responses: Responses) -> list[str]:
    """What an active part does that may surprise: motion made worse, and slow travel that a driven hook ignores."""
    found, left, bit = list[str](), responses.residual, responses.bit
    if not plan.active_in_use:
        return found
    unit, asked = plan.compensator, responses.active
    if asked is not None and (
        max(asked.rising, asked.falling) > (unit.active_force_limit or math.inf)
        or asked.speed > (unit.active_velocity_limit or math.inf)
    ):
        found.append(
            "The active part is asked for more than its limits: it then leaves more motion and force than the figures "
            "here, which know no limits."
        )
    worse = 0.0
    if left is not None and responses.heave.level > 0:
        worse = left.motion / responses.heave.level
    elif bit is not None and bit.locked > 0:
        worse = bit.elastic / bit.locked
    if worse > 1:
        what = "motion left" if bit is None else "swing of the weight on bit"
        found.append(
            f"Worse than locked: the {what} is {significant(worse, 2)} times that of a unit locked to the rig. Gain, "
            "delay or bandwidth of the active part do not suit these waves."
        )
    if plan.follows_position and not plan.compensator.is_drawworks and plan.operation.about.string != "free":
        found.append(
            "The active part drives the hook by measured motion and holds its place in the stroke: tide, offset and "
            "hole made stretch or slacken the string as if the unit were locked, unless the driller feeds all the time."
        )
    return found


def _string_cautions(plan: Plan, responses: Responses) -> list[str]:
    found = []
    if responses.string_period > WAVE_BAND[0]:
        found.append(
            f"The string's own period is {responses.string_period:.1f} s, inside the wave band: bit force is amplified."
        )
    if responses.bit is not None and responses.bit.locked > 0:
        times = responses.bit.locked / responses.bit.wob if responses.bit.wob > 0 else math.inf
        found.append(
            f"If the unit locked on bottom, the string would swing the bit force by {significant(times, 2)} times the "
            "weight on bit in this sea."
        )
    return found
