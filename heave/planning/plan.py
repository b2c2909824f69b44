"""The plan: everything the user decides, as one frozen value."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any, Final

from heave import fields
from heave.compensator import MOVING_MASS, ActivePart, Compensator, Drawworks, GasUnit
from heave.drill_string import HOOKLOAD, LOSS_FACTOR, DrillString, SectionTension, Well
from heave.drill_string.job import WEIGHT_ON_BIT, hookload_at_depth
from heave.errors import InputError
from heave.hoisting import LINES_OF_CROWN, HoistingPath, crown_ratio
from heave.planning.campaign import Campaign
from heave.planning.kinds import OperationKey
from heave.planning.line_work import LineWork
from heave.planning.offsets import StaticOffsets
from heave.planning.operations import EXPOSURE, Operation
from heave.planning.other_seas import AS_USUAL, OtherSeas
from heave.planning.progress import NOTHING_DONE, Progress
from heave.planning.ranges import USUAL, Ranges
from heave.planning.record import UNTITLED, Record
from heave.planning.study import AS_STATED, Study
from heave.planning.weather import AS_NEW, WeatherChoices
from heave.quantities import DIRECTION
from heave.sea import SeaState
from heave.vessel import Vessel

MODEL_VERSION: Final = "2026.11.12"
"""Version of the computation; raised whenever a change moves a result."""

MODEL_DATE: Final = "2026-11-27"
"""Date of `MODEL_VERSION`."""

CALIBRATION_RANGE: Final = (0.5, 1.5)
"""Bounds of the heave calibration: a record further off than this says that something is wrong, not how much."""

LARGEST_MARGIN: Final = 0.5
"""Largest margin of the heave calibration: a record known no better says nothing."""

LEAST_HANGING: Final = 1000.0
"""Least part of the hookload that a weight on bit leaves on the hook [N]."""

HOOKLOAD_AGREES: Final = 0.15
"""Share by which an entered hookload may differ from the string's own before it has to be confirmed."""

OVERPULL: Final = fields.Quantity("Overpull margin", "force", low=0.0, high=1e7)

_PARTS: Final[dict[str, type]] = {
    **{"sea": SeaState, "vessel": Vessel, "compensator": Compensator, "string": DrillString},
    **{"operation": Operation, "offsets": StaticOffsets, "ranges": Ranges, "progress": Progress},
    **{"weather": WeatherChoices, "other_seas": OtherSeas, "study": Study, "record": Record},
}
"""What the parts of a plan that are always there have to be."""

_MAY: Final[dict[str, type]] = {"hoisting": HoistingPath, "line_work": LineWork, "well": Well}
"""What those that may be absent have to be."""


@dataclass(frozen=True)
class Plan:
    """Sea, vessel, compensator, string and operation, with the risk the user accepts."""

    sea: SeaState
    vessel: Vessel
    compensator: Compensator
    string: DrillString
    operation: Operation
    name: str = fields.text("Plan name", help="Stands on every sheet and in the names of files.")
    heading: float = DIRECTION.field(label="Vessel heading", help="Compass, degrees true.")
    wob: float = WEIGHT_ON_BIT.field(help="Set by the driller; 0 when off bottom.")
    offsets: StaticOffsets = StaticOffsets()
    hookload_entered: float | None = HOOKLOAD.field(
        optional=True,
        help="String in mud plus the gear below the compensator. Empty: computed from the string.",
    )
    hookload_confirmed: float | None = HOOKLOAD.field(
        label="Hookload confirmed",
        optional=True,
        help="The hookload entered, once it is confirmed that it differs from the string's; another asks again.",
    )
    overpull: float = OVERPULL.field(default=0.0, help="Pull kept in hand on the string.")
    exposure: float = EXPOSURE.field(default=3 * 3600.0, help="Time over which the extreme is taken.")
    risk: float = fields.quantity(
        "Accepted risk",
        "fraction",
        default=0.01,
        low=1e-6,
        high=0.632,
        help="Chance that the extreme is exceeded in the exposure, at each end of the stroke; at either, up to twice.",
    )
    caution_level: float = fields.quantity(
        "Near a limit from",
        "fraction",
        default=0.85,
        low=0.3,
        below=1.0,
        help="Utilisation from which the verdict says near a limit.",
    )
    yield_fraction: float = fields.quantity(
        "String tension allowed, share of yield",
        "fraction",
        default=0.9,
        low=0.3,
        high=1.0,
        help="Common practice keeps a margin below yield; the rig's own design factor goes here.",
    )
    string_loss: float = LOSS_FACTOR.field(
        default=0.04,
        help="Axial damping of the string in mud; from memory, a few per cent.",
    )
    heave_calibration: float = fields.quantity(
        "Heave calibration",
        "number",
        default=1.0,
        low=CALIBRATION_RANGE[0],
        high=CALIBRATION_RANGE[1],
        help="Measured over predicted heave: multiplies the heave at the hoist. 1 is the response as given.",
    )
    calibration_margin: float = fields.quantity(
        "Margin of the calibration",
        "fraction",
        default=0.0,
        low=0.0,
        high=LARGEST_MARGIN,
        help="For the length of the record: the checks use heave larger by this share.",
    )
    active: bool = fields.flag(
        "Active part in use", default=True, help="Off: the unit works as if it were lost."
    )
    ranges: Ranges = USUAL
    """How far what is not known may be from its planned value."""

    weather: WeatherChoices = AS_NEW
    """What is asked of a forecast."""

    other_seas: OtherSeas = AS_USUAL
    """What is asked of a climate and of limiting seas; see `without_other_seas`."""

    study: Study = AS_STATED
    """What a study of the plan varies; nothing of it moves the assessment."""

    hoisting: HoistingPath | None = None
    """Reeving and ratings from derrick to elevators; None is not known, and nothing of it is judged."""

    line_work: LineWork | None = None
    """The rig's record of the drilling line; None where none is kept."""

    procedures: tuple[Operation, ...] = ()
    """The rig's limits for other kinds of operation, one of each kind at most; see `doing`."""

    well: Well | None = None
    """The hole, from the rotary down; None where it is not described: the string then hangs free and vertical."""

    record: Record = UNTITLED
    """The title block of the calculation; nothing of it moves a result."""

    progress: Progress = field(default=NOTHING_DONE, compare=False)
    """What of the lesson was done; no input: plans that differ in nothing else are equal."""

    def __post_init__(self) -> None:
        fields.validate(self)
        fields.check_parts(self, _PARTS | _MAY, _MAY)
        fields.hold_tuple(self, "procedures", Operation, "procedures", "Operations")
        fields.check_once("procedures", [one.kind for one in self.procedures], "each kind of operation once")
        self._check_combinations()

    def _check_combinations(self) -> None:
        """Refuse what each part allows and the parts together do not."""
        if self.well is not None:
            self.well.check_holds(self.string)
        replace(HOOKLOAD, label="Hookload of the string").check(self.hookload)
        gear = self.string.handling_weight
        if self.hookload < gear:
            allowed = f"from {gear:g}\u00a0N, what the top drive and handling gear alone weigh"
            raise InputError("Hookload off bottom", self.hookload, "N", allowed)
        if self.on_bottom and self.hookload - self.wob < LEAST_HANGING:
            allowed = f"less than the hookload, {self.hookload:g}\u00a0N, by {LEAST_HANGING:g}\u00a0N or more"
            raise InputError("Weight on bit", self.wob, "N", allowed)
        unit = self.compensator
        loose = isinstance(unit, GasUnit) and unit.friction_fraction == 0 and unit.hydraulic_loss == 0
        if loose and self.operation.compensated and self.operation.hangs_free:
            allowed = (
                f"above 0, or a hydraulic loss above 0\u00a0N·s²/m², for {self.operation.about.label}: "
                "undamped, a unit off bottom has no largest motion"
            )
            raise InputError("seal friction over load", 0.0, None, allowed)
        if self.hoisting is not None and isinstance(unit, Drawworks) and self.hoisting.lines != unit.lines:
            allowed = f"{unit.lines:g}, the lines strung on the compensating drawworks"
            raise InputError("lines strung", self.hoisting.lines, None, allowed)
        if self.line_work is not None and self.hoisting is not None:
            self.line_work.check_reaches(self.hoisting)
        replace(MOVING_MASS, label="Block, crown block and moving parts").check(self.moving_mass)
        self.offsets.set_down(self.sea.depth)
        depth, clearance = self.sea.depth, self.under_keel
        if depth is not None and clearance is not None and clearance <= 0:
            allowed = (
                f"above {depth - clearance:g}\u00a0m, the vessel's draught of {self.vessel.floats_at:g}\u00a0m "
                "with what it may still deepen and the tide may still fall"
            )
            raise InputError("Water depth", depth, "m", allowed)
        if isinstance(unit, GasUnit) and abs(self.offsets.start_position) > unit.stroke / 2:
            allowed = f"within ± half the stroke, {unit.stroke / 2:g}\u00a0m"
            raise InputError("Start position from mid-stroke", self.offsets.start_position, "m", allowed)

    def doing(self, kind: OperationKey) -> Plan:
        """This plan in another `kind` of operation, with the limits the rig has for that; the present ones are kept.

        Limits belong to an operation: where the rig has none for that kind, there are none.
        """
        kept = {one.kind: one for one in (*self.procedures, self.operation)}
        operation = kept.get(kind, Operation(kind=kind, duration=self.operation.duration))
        return self.changed(operation=operation, procedures=tuple(kept.values()))

    @property
    def without_progress(self) -> Plan:
        """This plan as it is sent to others and stands under a calculation: nothing of the lesson done."""
        return self.changed(progress=NOTHING_DONE)

    @property
    def without_other_seas(self) -> Plan:
        """This plan with the usual asked of other seas, all else as it is."""
        return self if self.other_seas == AS_USUAL else self.changed(other_seas=AS_USUAL)

    @property
    def as_judged(self) -> Plan:
        """This plan with all that moves nothing of its assessment as in any plan: other seas, study and title block."""
        bare = (self.other_seas, self.study, self.record) == (AS_USUAL, AS_STATED, UNTITLED)
        return self if bare else self.changed(other_seas=AS_USUAL, study=AS_STATED, record=UNTITLED)

    @property
    def as_studied(self) -> Plan:
        """The same with its study, which results of a study rest on."""
        return self.as_judged.changed(study=self.study)

    @property
    def under_keel(self) -> float | None:
        """Water under the keel of the still vessel at its deepest and the tide's lowest [m]; None if not known."""
        depth, draught = self.sea.depth, self.vessel.floats_at
        if depth is None or draught is None:
            return None
        return depth - self.offsets.tide_fall - draught - max(self.offsets.draught_change, 0.0)

    @property
    def heave_factor(self) -> float:
        """What heave at the hoist is multiplied by: the calibration at the safe end of what its record can tell."""
        return self.heave_calibration * (1 + self.calibration_margin)

    @property
    def hookload_to_confirm(self) -> bool:
        """True while a hookload entered further than `HOOKLOAD_AGREES` from the string's has not been confirmed."""
        entered, own = self.hookload_entered, self.own_hookload
        if entered is None or entered == self.hookload_confirmed:
            return False
        return abs(entered - own) > HOOKLOAD_AGREES * own

    @property
    def on_bottom(self) -> bool:
        """True when the operation keeps the bit on bottom."""
        return self.operation.about.string == "on bottom"

    @property
    def campaign(self) -> Campaign:
        """The steps a forecast is asked about: as chosen, or this operation as one step."""
        return self.weather.campaign or Campaign.of(self.operation)

    @property
    def static_sides(self) -> tuple[float, float]:
        """Static travel from mid-stroke towards the vessel-rising and the vessel-falling end [m]."""
        return self.offsets.sides(self.sea.depth, self.on_bottom)

    @property
    def drift_sides(self) -> tuple[float, float]:
        """Slow travel from the start position towards the vessel-rising and the vessel-falling end [m].

        Weight on bit is set at the start position, so what happens after it moves the weight.
        """
        rising, falling = self.static_sides
        start = self.offsets.start_position
        return rising - start, falling + start

    @property
    def set_at(self) -> float:
        """Where the piston is when pressure and weight on bit are set, from mid-stroke [m]; 0 without a stroke."""
        return self.offsets.start_position if isinstance(self.compensator, GasUnit) else 0.0

    @property
    def own_hookload(self) -> float:
        """Hookload of the plan's string off bottom and still [N]: hanging free, or as it hangs in the well. The drag
        allowance is in it where no friction of the well takes its place."""
        if self.well is None:
            return self.string.hookload
        _, still, _ = hookload_at_depth(self.string, self.well)
        return still + (0.0 if self.well.has_friction else self.string.drag)

    @property
    def still_hookload(self) -> float:
        """Hookload off bottom, the string still [N]: as entered, or from the string."""
        return self.own_hookload if self.hookload_entered is None else self.hookload_entered

    @property
    def hookload(self) -> float:
        """Hookload off bottom that is judged [N]: still, or pulled out where the operation runs the string."""
        return self.job_hookload if self.operation.about.runs_string else self.still_hookload

    @property
    def crown_ratio(self) -> float:
        """Load on a unit under the crown over load at the hook: `heave.hoisting.crown_ratio`, 1 for any other."""
        path = self.hoisting
        if path is None or not self.compensator.under_crown:
            return 1.0
        return crown_ratio(path.count, path.lines_of_crown == LINES_OF_CROWN[0])

    @property
    def block_mass(self) -> float:
        """What hangs on the lines besides the load at the hook [kg]: block, lines, and the body of a unit under it."""
        path = self.hoisting
        if path is None:
            return 0.0
        body = path.body_mass if self.compensator.under_block else 0.0
        return path.block_mass + path.line_mass + body

    @property
    def moving_mass(self) -> float:
        """What stands still with the hook above the handling gear [kg]: the unit's moving parts; of a unit under the
        crown, where the hoisting path is given, crown block, lines and block too, as they weigh on the hook."""
        own, path = self.compensator.moving_mass, self.hoisting
        if path is None or not self.compensator.under_crown:
            return own
        return (own + path.crown_mass) / self.crown_ratio + self.block_mass

    @property
    def hung_unit(self) -> Compensator:
        """The compensator with all that stands still with the hook as its moving mass."""
        mass = self.moving_mass
        return self.compensator if self.hoisting is None else replace(self.compensator, moving_mass=mass)

    @property
    def job_hookload(self) -> float:
        """Highest hookload when pulling out from the plan's depth [N]: where the well gives friction, what the soft
        string of `heave.drill_string.well` makes of it, on top of a hookload that was entered; else that of the string
        still, its drag allowance in it."""
        return self._moved_hookload(0)

    @property
    def running_hookload(self) -> float:
        """Lowest hookload when running in at the plan's depth [N], as `job_hookload`."""
        return self._moved_hookload(2)

    def _moved_hookload(self, way: int) -> float:
        """Still, and what the friction of the well adds pulling out (0) or takes off running in (2)."""
        if self.well is None or not self.well.has_friction:
            return self.still_hookload
        at_depth = hookload_at_depth(self.string, self.well)
        return self.still_hookload + at_depth[way] - at_depth[1]

    @property
    def drag(self) -> float:
        """Half of what the hookload loses from pulling out to running in [N]: the string's allowance, or of a string
        that is run in a well with friction, from that."""
        if self.well is None or not self.well.has_friction or not self.operation.about.runs_string:
            return self.string.drag
        return (self.job_hookload - self.running_hookload) / 2

    def tension_margins(self) -> tuple[SectionTension, ...]:
        """`DrillString.tension_margins` for the hookload judged; a string that the well carries in part is taken to
        hang free, which is the safe side for its lower sections, unless a hookload entered is confirmed."""
        confirmed = self.hookload_entered is not None and self.hookload_entered == self.hookload_confirmed
        if self.well is None or confirmed:
            return self.string.tension_margins(self.hookload)
        free = self.string.hookload + self.still_hookload - self.own_hookload
        return self.string.tension_margins(max(self.hookload, free))

    @property
    def wob_used(self) -> float:
        """Weight on bit in this operation [N]: the plan's on bottom, none otherwise."""
        return self.wob if self.on_bottom else 0.0

    @property
    def active_in_use(self) -> bool:
        """True when the compensator has an active part and the plan counts on it."""
        return self.active_part is not None

    @property
    def active_part(self) -> ActivePart | None:
        """The unit as one with an active part at work; None where it has none, or it is lost."""
        return self.compensator if self.active and isinstance(self.compensator, ActivePart) else None

    @property
    def follows_position(self) -> bool:
        """True when the active part is at work and drives the hook against the measured motion of the vessel."""
        return self.active_in_use and self.compensator.follows_position

    def changed(self, **fields_to_change: Any) -> Plan:
        """A copy with `fields_to_change` replaced, validated like any plan."""
        return replace(self, **fields_to_change)
