"""Cautions: the standing ones, and those that this plan's own figures call for."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from heave.compensator import ActiveAssisted, GasUnit, Setting
from heave.drill_string import neutral_height
from heave.judging.cases import known_range
from heave.judging.checks import Check
from heave.judging.job import job_cautions
from heave.judging.path_loads import LOADED, RATINGS
from heave.judging.results import Responses
from heave.judging.rules import CHECK_NAMES
from heave.judging.rules.chain_speed import speed_known
from heave.judging.rules.when import latched
from heave.planning.operations import LIMIT_FIELDS, Operation
from heave.planning.plan import Plan
from heave.units import significant
from heave.vessel import ResponseTable, damping_caution, response_warnings, table_cautions

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

SHALLOW: Final = 1.5
"""Water depth over draught below which the bottom changes a hull's motions much (the usual bound of shallow water
for ships in harbour approaches, from memory)."""

DEEPEST_DRAUGHT: Final = 25.0
"""Draught that few drilling vessels exceed, taken where none is given [m]: common practice."""


def cautions_for(
    plan: Plan, setting: Setting, responses: Responses, checks: Sequence[Check] = ()
) -> tuple[str, ...]:
    """The cautions of a plan, those its own figures call for first.

    Words and ratios only, so that they read the same in every unit system.
    """
    own = [
        *_input_cautions(plan, responses),
        *plan.sea.warnings(),
        *_table_cautions(plan, responses),
        *response_warnings(plan.vessel, plan.heading, plan.sea),
        *_compensator_cautions(plan, setting, responses),
        *_string_cautions(plan, responses),
        *(_latch_cautions(plan, responses, checks) if latched(plan) else ()),
        *(() if plan.hoisting is None else plan.hoisting.unusual()),
        *job_cautions(plan),
        *_limit_cautions(plan),
        *filter(None, (unjudged_path(plan),)),
    ]
    return (*dict.fromkeys(own), *STANDING)


def _input_cautions(plan: Plan, responses: Responses) -> Iterator[str]:
    """A hookload that is not this string's, so that loads would be of another; water depth; a calibrated heave."""
    if plan.hookload_to_confirm:
        yield (
            f"The hookload entered is {significant(plan.still_hookload / plan.own_hookload, 2)} times that of the "
            "string in this plan. Loads use the hookload, stretch and ringing the string: correct one of them, or "
            "confirm it."
        )
    yield from _depth_cautions(plan, responses)
    if plan.heave_calibration != 1:
        more = significant(100 * plan.calibration_margin, 2)
        margin = f", and {more}\u00a0% more for its length" if plan.calibration_margin else ""
        yield (
            f"Heave is multiplied by a calibration of {significant(plan.heave_calibration)} taken from a measured "
            f"record{margin}: it holds for seas, headings and draughts like those of that record. "
            f"{calibration_doubt(plan)}"
        )


def _depth_cautions(plan: Plan, responses: Responses) -> Iterator[str]:
    depth, draught, clearance = plan.sea.depth, plan.vessel.floats_at, plan.under_keel
    if depth is None:
        return
    if draught is None or clearance is None:
        if depth < SHALLOW * DEEPEST_DRAUGHT:
            yield "The vessel's draught is not given, so it is not checked that it floats in this water depth."
        return
    if responses.heave.level >= clearance:
        yield (
            "The vessel may touch the seabed: heave at the hoist at the accepted risk is more than the water under "
            "the keel, roll and pitch not counted."
        )
    if depth < SHALLOW * draught:
        yield (
            f"The water is only {significant(depth / draught, 2)} times as deep as the draught: water squeezed under "
            "the keel changes the motions, and a response for deep water does not hold."
        )


def _table_cautions(plan: Plan, responses: Responses) -> Iterator[str]:
    table = plan.vessel.response
    if isinstance(table, ResponseTable):
        yield from table_cautions(table, plan.vessel.table_depth)
        if plan.vessel.oscillator is None:  # else each sea has the damping of its own
            yield from damping_caution(table, responses.heave_spectrum, float(responses.velocity.sigma))


def calibration_doubt(plan: Plan) -> str:
    """What is still in doubt of a heave that is calibrated, in a sentence.

    Parameters
    ----------
    plan : with its ranges
    """
    more = known_range(plan).heave
    if more == 0:
        return "No range of the heave is counted beside it."
    share = significant(100 * more, 2)
    return f"The range of the heave, ± {share}\u00a0%, is counted beside it; roll and pitch are as given."


def _compensator_cautions(plan: Plan, setting: Setting, responses: Responses) -> Iterator[str]:
    unit = plan.compensator
    budget = responses.stroke
    if budget is not None and max(budget.rising, budget.falling) > budget.half_stroke:
        yield (
            "The travel asked for goes past the end of the stroke, where the unit is rigid: bit force and motion left "
            "are then worse than the figures here, which leave the ends out of account."
        )
    if isinstance(unit, GasUnit) and unit.gas_volume_shut > 0:
        stiffer = unit.gas_volume / (unit.gas_volume - unit.gas_volume_shut)
        yield f"Bottles are shut: the gas spring is {stiffer:.2g} times as stiff as with all of them open."
    if unit.has_active and not plan.active:
        lost = (
            "the block moves with the whole heave" if unit.is_drawworks else "the unit works as a passive one"
        )
        yield f"The active part is taken as lost: {lost}."
    elif unit.has_active:
        yield "If the active part is lost the motion left below is the passive unit's, or the whole heave."
    yield from _active_cautions(plan, responses)
    free = plan.operation.hangs_free and plan.operation.compensated
    if free and plan.active_in_use and not plan.follows_position:
        yield (
            "The active part is taken to cancel force without watching the hook's place: off bottom seal "
            "friction then lets the hook wander by up to friction over gas stiffness; one that watches it leaves less."
        )
    period = setting.free_period_nominal
    if free:
        if period is not None and WAVE_BAND[0] < period < WAVE_BAND[1]:
            yield (
                f"Off bottom the passive unit's natural period is {period:.1f}\u00a0s, in the swell band: it isolates "
                f"only waves shorter than {period / math.sqrt(2):.1f}\u00a0s."
            )
        stuck = responses.residual is not None and responses.residual.share > 0.9
        if stuck and not plan.active_in_use:
            yield "Off bottom the passive unit hardly works here: friction and gas stiffness carry the hook along."


def _active_cautions(plan: Plan, responses: Responses) -> Iterator[str]:
    """What an active part does that may surprise: motion made worse, and slow travel that a driven hook ignores."""
    left, bit = responses.residual, responses.bit
    if not plan.active_in_use:
        return
    unit, asked = plan.compensator, responses.active
    if (
        isinstance(unit, ActiveAssisted)
        and asked is not None
        and (
            max(asked.rising, asked.falling) > (unit.active_force_limit or math.inf)
            or asked.speed > (unit.active_velocity_limit or math.inf)
        )
    ):
        yield (
            "The active part is asked for more than its limits: it then leaves more motion and force than the figures "
            "here, which leave its limits out of account."
        )
    worse = 0.0
    if left is not None:
        worse = left.share / left.share_locked
    elif bit is not None and bit.locked > 0:
        worse = bit.elastic / bit.locked
    if worse > 1:
        what = "motion left" if bit is None else "swing of the weight on bit"
        yield (
            f"Worse than locked: the {what} is {significant(worse, 2)} times that of a unit locked to the rig. Gain, "
            "delay or bandwidth of the active part do not suit these waves."
        )
    if plan.follows_position and not plan.compensator.is_drawworks and not plan.operation.hangs_free:
        yield (
            "The active part drives the hook by measured motion and holds its place in the stroke: tide, offset and "
            "hole made stretch or slacken the string as if the unit were locked, unless the driller feeds all the time."
        )


def _string_cautions(plan: Plan, responses: Responses) -> Iterator[str]:
    if responses.string_period > WAVE_BAND[0]:
        yield (
            f"The string's own period is {responses.string_period:.1f}\u00a0s, inside the wave band: "
            "bit force is amplified."
        )
    if responses.bit is not None and responses.bit.locked > 0:
        times = responses.bit.locked / responses.bit.wob if responses.bit.wob > 0 else math.inf
        yield (
            f"If the unit locked on bottom, the string would swing the bit force by {significant(times, 2)} times the "
            "weight on bit in this sea."
        )


def _latch_cautions(plan: Plan, responses: Responses, checks: Sequence[Check]) -> Iterator[str]:
    """What a latched string does that loses its tension, with the unit working and with it locked."""
    lost = next((check.demand for check in checks if check.key == "latch_tension"), math.nan)
    if lost > plan.overpull:
        share = neutral_height(plan.string, lost - plan.overpull) / plan.string.length
        yield (
            "With the vessel falling the latch loses its tension: the lowest "
            f"{significant(100 * share, 2)}\u00a0% of the string stands on it in compression and may buckle, and the "
            "pull snatches as it comes back."
        )
    if responses.locked > plan.overpull:
        yield (
            "If the unit locks, the string goes slack at the latch as the vessel falls: it stands on the seabed in "
            "compression, buckles where it has room, and is snatched tight as the vessel rises."
        )


def unjudged_path(plan: Plan, operation: Operation | None = None) -> str:
    """What of the hoisting path nobody judged, for want of a rating or a height, in a sentence; empty where all was.

    Parameters
    ----------
    plan : the plan
    operation : what it does; None takes its own
    """
    path = plan.hoisting
    if path is None:
        return "Nothing of the hoisting path is judged: the plan has none, from derrick to elevators."
    fields = RATINGS | {"drilling_line": "line"}
    wanted: dict[str, tuple[str, ...]] = {key: (fields[key],) for key in LOADED}
    about = (operation or plan.operation).about
    if about.compensator == "working":  # else nothing moves block or load against the vessel
        wanted["floor_clearance"] = ("lowest_block",)
        if not plan.compensator.under_block:
            wanted["crown_clearance"] = ("highest_block", "crown_stop")
    if plan.compensator.is_drawworks:
        wanted["brake_power"] = ("brake_power",)
    missing = [
        CHECK_NAMES[key].lower()
        for key, names in wanted.items()
        if any(getattr(path, name) is None for name in names)
    ]
    said = [f"Not judged in the hoisting path, no rating or height given: {', '.join(missing)}."] * bool(
        missing
    )
    if about.runs_string:
        asked = operation or plan.operation
        powers = {
            "hoisting": (asked.hoisting_speed, speed_known(path), "power and gears"),
            "lowering": (asked.lowering_speed, path.brake_power is not None, "power"),
        }
        for way, (speed, known, what) in powers.items():
            lacks = [f"planned {way} speed"] * (speed is None) + [f"{what} {way}"] * (not known)
            if lacks:
                said.append(f"Drawworks {way} at speed is not judged, not given: {', '.join(lacks)}.")
    return " ".join(said)


def _limit_cautions(plan: Plan) -> Iterator[str]:
    """Where the operation's limits are from, and what is not judged here."""
    operation, elsewhere = plan.operation, plan.operation.about.elsewhere
    if operation.limits_from and any(map(operation.gives, (*LIMIT_FIELDS, "hs_limits"))):
        yield f"Limits of the operation: {operation.limits_from}."
    if elsewhere:
        yield f"Not judged here, and who judges it: {'; '.join(elsewhere)}."
