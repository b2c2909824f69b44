"""An operation of a plan: its kind, how long it takes and the limits that the rig's own procedures set."""

from __future__ import annotations

import math
from dataclasses import dataclass
from dataclasses import fields as dataclass_fields
from typing import Final, Literal, get_args

from heave import fields
from heave.errors import InputError
from heave.planning.kinds import OPERATIONS, OperationKey, OperationKind
from heave.sea.arguments import MAX_HS
from heave.sea.slots import PEAK_PERIOD, PERIOD_RANGE
from heave.units import with_unit

HeaveBasis = Literal[
    "significant, double amplitude",
    "level at the chosen risk, double amplitude",
    "significant, single amplitude",
    "level at the chosen risk, single amplitude",
]
"""How a rig's heave limit may be meant; procedures differ, so the plan says which."""


HEAVE_BASES: Final[tuple[HeaveBasis, ...]] = get_args(HeaveBasis)


@dataclass(frozen=True)
class HsLimit:
    """One row of a procedure that states its limit in wave height, by period and heading.

    Headings are the planner's relative ones, both sides alike: 180° a head sea, 90° on the beam, 0° a following
    sea. Rows may overlap; the lowest that covers a wave system counts.
    """

    hs: float = fields.quantity(
        "Hs limit",
        "length",
        low=0.05,
        high=MAX_HS,
        help="Highest significant wave height the procedure allows there.",
    )
    period_from: float = PEAK_PERIOD.field(
        label="Peak period from", default=PERIOD_RANGE[0], help="From this period on the row holds."
    )
    period_to: float = PEAK_PERIOD.field(
        label="Peak period to", default=PERIOD_RANGE[1], help="Up to this period the row holds."
    )
    heading_from: float = fields.quantity(
        "Relative heading from", "direction", default=0.0, low=0.0, high=180.0, help="180° is a head sea."
    )
    heading_to: float = fields.quantity(
        "Relative heading to", "direction", default=180.0, low=0.0, high=180.0, help="180° is a head sea."
    )

    def __post_init__(self) -> None:
        fields.validate(self)
        for what, low, high, unit in (
            ("Peak period to", self.period_from, self.period_to, "s"),
            ("Relative heading to", self.heading_from, self.heading_to, "°"),
        ):
            if high < low:
                raise InputError(
                    what, high, unit, f"from {with_unit(f'{low:g}', unit)}, where the row begins"
                )


EXPOSURE: Final = fields.Quantity("Exposure", "duration", low=600.0, high=30 * 86400.0)
"""Of a plan, and of a step that has its own."""

PLANNED_SPEED: Final = fields.Quantity("Planned speed", "speed", low=0.01, high=5.0)
"""Of the hook. Not that of `LineWork`, which a brake may have to stop: that may be next to 0, and that of a lift."""

_LEAST_TURN, _MOST_TURN = math.radians(0.1), math.radians(45.0)

MAX_HS_LIMITS: Final = 60
"""Most rows of Hs limits one operation may have."""


_LIMIT_WORDS: Final = {
    "heave_limit": "the rig's heave limit",
    "wob_low": "the programme's lowest WOB",
    "wob_high": "the programme's highest WOB",
    "residual_motion_limit": "the limit of motion left at the load",
    "residual_velocity_limit": "the limit of speed left at the load",
}


@dataclass(frozen=True)
class Operation:
    """An operation in the plan: its kind, how long it takes and the limits the rig's procedures set."""

    kind: OperationKey = fields.choice("Operation", tuple(OPERATIONS), default="drilling")
    duration: float = fields.quantity(
        "Planned duration",
        "duration",
        default=6 * 3600.0,
        low=60.0,
        high=60 * 86400.0,
        help="Planned time for the operation, without contingency.",
    )
    wob_low: float | None = fields.quantity(
        "Lowest WOB allowed",
        "force",
        low=0.0,
        high=5e6,
        optional=True,
        help="From the drilling programme. Empty: only lift-off is checked.",
    )
    wob_high: float | None = fields.quantity(
        "Highest WOB allowed",
        "force",
        low=1e3,
        high=5e6,
        optional=True,
        help="From the drilling programme or the bit's rating. Empty: not checked.",
    )
    heave_limit: float | None = fields.quantity(
        "Heave limit of the rig's procedures",
        "length",
        low=0.01,
        high=30.0,
        optional=True,
        help="At the rotary. The rig's own number for this operation; there is no open standard for it.",
    )
    heave_basis: HeaveBasis = fields.choice(
        "Heave limit is meant as",
        HEAVE_BASES,
        default=HEAVE_BASES[0],
        help="Whether the procedure means significant heave or an extreme, from the mean or crest to trough.",
    )
    speed_limit: float | None = fields.quantity(
        "Limit of vertical speed at the rotary",
        "speed",
        low=0.01,
        high=20.0,
        optional=True,
        help="Largest speed of the heave at the rotary, single amplitude at the chosen risk.",
    )
    acceleration_limit: float | None = fields.quantity(
        "Limit of vertical acceleration at the rotary",
        "acceleration",
        low=0.01,
        high=20.0,
        optional=True,
        help="Largest acceleration of the heave at the rotary, single amplitude at the chosen risk.",
    )
    roll_limit: float | None = fields.quantity(
        "Roll limit",
        "angle",
        low=_LEAST_TURN,
        high=_MOST_TURN,
        optional=True,
        help="Largest roll, single amplitude at the chosen risk. Needs the vessel's response in roll.",
    )
    pitch_limit: float | None = fields.quantity(
        "Pitch limit",
        "angle",
        low=_LEAST_TURN,
        high=_MOST_TURN,
        optional=True,
        help="Largest pitch, single amplitude at the chosen risk. Needs the vessel's response in pitch.",
    )
    residual_motion_limit: float | None = fields.quantity(
        "Residual motion limit",
        "length",
        low=0.001,
        high=20.0,
        optional=True,
        help="Largest motion left below the compensator, single amplitude at the chosen risk.",
    )
    residual_velocity_limit: float | None = fields.quantity(
        "Residual velocity limit",
        "speed",
        low=0.001,
        high=20.0,
        optional=True,
        help="Largest speed left below the compensator (landing speed), at the chosen risk.",
    )
    stroke_out_limit: float | None = fields.quantity(
        "Stroke-out rate limit",
        "rate",
        low=1e-7,
        high=1.0,
        optional=True,
        help="How often the unit may reach either end. Empty: the rate is shown but not judged.",
    )
    hoisting_speed: float | None = PLANNED_SPEED.field(
        label="Planned hoisting speed",
        optional=True,
        help="Of the hook, where the string is run: against power and gears of the drawworks. Empty: not judged.",
    )
    lowering_speed: float | None = PLANNED_SPEED.field(
        label="Planned lowering speed",
        optional=True,
        help="Of the hook, where the string is run: against the power of brake or motors. Empty: not judged.",
    )
    hs_limits: tuple[HsLimit, ...] = ()
    """Limits in wave height by period and heading, as procedures have them."""

    limits_from: str = fields.text(
        "Where these limits are from",
        default="",
        help="The procedure and its revision, for whoever reads the plan.",
    )

    def __post_init__(self) -> None:
        fields.validate(self)
        allowed = f"at most {MAX_HS_LIMITS} rows of Hs by period and heading"
        fields.hold_tuple(self, "hs_limits", HsLimit, "Hs limits", allowed, most=MAX_HS_LIMITS)
        if self.wob_low is not None and self.wob_high is not None and self.wob_low >= self.wob_high:
            allowed = f"below the highest, {self.wob_high:g}\u00a0N"
            raise InputError("Lowest WOB allowed", self.wob_low, "N", allowed)

    @property
    def about(self) -> OperationKind:
        """What this kind of operation asks of the planner."""
        return OPERATIONS[self.kind]

    @property
    def hangs_free(self) -> bool:
        """Whether nothing holds the string below."""
        return self.about.string == "free"

    @property
    def latched(self) -> bool:
        """Whether the string is fixed at the seabed."""
        return self.about.string == "fixed at the seabed"

    @property
    def compensated(self) -> bool:
        """Whether the compensator works; else it is locked."""
        return self.about.compensator == "working"

    def gives(self, limit: str) -> bool:
        """Whether the plan gives the limit of that name."""
        value = getattr(self, limit)
        return bool(value) if isinstance(value, tuple) else value is not None

    @property
    def missing(self) -> tuple[str, ...]:
        """Names of the limits to be asked for: of each group needed and not given, the first."""
        return tuple(group[0] for group in self.about.needs if not any(map(self.gives, group)))

    @property
    def wanted(self) -> str:
        """What is missing, in words: 'the rig's heave limit for running casing'; empty where nothing is."""
        label = self.about.label
        words = [_LIMIT_WORDS[name] for name in self.missing]
        return f"{' and '.join(words)} for {label[:1].lower()}{label[1:]}" if words else ""


LIMIT_FIELDS: Final = tuple(
    item.name
    for item in dataclass_fields(Operation)
    if getattr(item.metadata.get("about"), "optional", False)
)
"""The limits that only a rig's own procedures can give as one number; empty until someone fills them in."""
