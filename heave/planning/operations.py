"""Operations: what the string is doing, what the compensator is doing, and which checks that calls for."""

from __future__ import annotations

from dataclasses import dataclass
from dataclasses import fields as dataclass_fields
from typing import Final, Literal, get_args

from heave import fields
from heave.errors import InputError

OperationKey = Literal["drilling", "coring", "tripping", "casing", "landing", "wireline", "fixed", "waiting"]
"""The kinds of operation."""

StringState = Literal["on bottom", "free", "fixed at the seabed"]
"""What the lower end of the string does."""

UnitState = Literal["working", "locked"]
"""What the compensator does."""

Condition = Literal["on bottom", "free", "locked on bottom", "locked free"]
"""The mechanical condition a response is computed for."""

HeaveBasis = Literal["significant, double amplitude", "level at the chosen risk, double amplitude"]
"""How a rig's heave limit may be meant; procedures differ, so the plan says which."""


@dataclass(frozen=True)
class OperationKind:
    """What one kind of operation asks of the planner.

    `needs` names the limits without which the operation cannot be judged.
    """

    key: OperationKey
    label: str
    string: StringState
    compensator: UnitState
    needs: tuple[str, ...]
    about: str

    @property
    def condition(self) -> Condition:
        """The mechanical condition the linear response is computed for."""
        if self.compensator == "working":
            return "free" if self.string == "free" else "on bottom"
        return "locked free" if self.string == "free" else "locked on bottom"


OPERATIONS: Final[dict[OperationKey, OperationKind]] = {
    kind.key: kind
    for kind in (
        OperationKind(
            "drilling",
            "Drilling ahead",
            "on bottom",
            "working",
            (),
            "Bit on bottom, compensator working: stroke, load and weight on bit decide.",
        ),
        OperationKind(
            "coring",
            "Coring",
            "on bottom",
            "working",
            ("wob_low", "wob_high"),
            "As drilling, with a narrower weight-on-bit band that the coring programme must give.",
        ),
        OperationKind(
            "tripping",
            "Tripping",
            "free",
            "locked",
            (),
            "String off bottom on a locked compensator: the hook carries the string and its inertia.",
        ),
        OperationKind(
            "casing",
            "Running casing",
            "free",
            "locked",
            (),
            "Heavy string off bottom on a locked compensator: load and string tension decide.",
        ),
        OperationKind(
            "landing",
            "Landing equipment on the seabed",
            "free",
            "working",
            ("residual_motion_limit", "residual_velocity_limit"),
            "Off bottom with the compensator working: what motion is left at the load decides.",
        ),
        OperationKind(
            "wireline",
            "Wireline below the compensator",
            "free",
            "working",
            ("residual_motion_limit",),
            "Tools hung below a working compensator: the motion left at the lower end decides.",
        ),
        OperationKind(
            "fixed",
            "String fixed at the seabed",
            "fixed at the seabed",
            "working",
            (),
            "String latched at the seabed: stroke decides, and the pull if the compensator locks.",
        ),
        OperationKind(
            "waiting",
            "Waiting, string off bottom",
            "free",
            "locked",
            (),
            "Waiting on weather with the string hung from a locked compensator.",
        ),
    )
}
"""The kinds of operation by key."""

HEAVE_BASES: Final[tuple[HeaveBasis, ...]] = get_args(HeaveBasis)


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
        default=None,
        low=0.0,
        high=5e6,
        optional=True,
        help="From the drilling programme. Empty: only lift-off is checked.",
    )
    wob_high: float | None = fields.quantity(
        "Highest WOB allowed",
        "force",
        default=None,
        low=1e3,
        high=5e6,
        optional=True,
        help="From the drilling programme or the bit's rating. Empty: not checked.",
    )
    heave_limit: float | None = fields.quantity(
        "Heave limit of the rig's procedures",
        "length",
        default=None,
        low=0.01,
        high=30.0,
        optional=True,
        help="The rig's own number for this operation; there is no open standard for it.",
    )
    heave_basis: HeaveBasis = fields.choice(
        "Heave limit is meant as",
        HEAVE_BASES,
        default=HEAVE_BASES[0],
        help="Whether the procedure means significant heave or an extreme.",
    )
    residual_motion_limit: float | None = fields.quantity(
        "Residual motion limit",
        "length",
        default=None,
        low=0.001,
        high=20.0,
        optional=True,
        help="Largest motion left below the compensator, single amplitude at the chosen risk.",
    )
    residual_velocity_limit: float | None = fields.quantity(
        "Residual velocity limit",
        "speed",
        default=None,
        low=0.001,
        high=20.0,
        optional=True,
        help="Largest speed left below the compensator (landing speed), at the chosen risk.",
    )
    stroke_out_limit: float | None = fields.quantity(
        "Stroke-out rate limit",
        "rate",
        default=None,
        low=1e-7,
        high=1.0,
        optional=True,
        help="How often the unit may reach either end. Empty: the rate is shown but not judged.",
    )

    def __post_init__(self) -> None:
        fields.validate(self)
        if self.wob_low is not None and self.wob_high is not None and self.wob_low >= self.wob_high:
            raise InputError(
                "Lowest WOB allowed", self.wob_low, "N", f"below the highest, {self.wob_high:g} N"
            )

    @property
    def about(self) -> OperationKind:
        """What this kind of operation asks of the planner."""
        return OPERATIONS[self.kind]

    @property
    def missing(self) -> tuple[str, ...]:
        """Names of the limits this operation needs and the plan does not give."""
        return tuple(name for name in self.about.needs if getattr(self, name) is None)


LIMIT_FIELDS: Final = tuple(
    item.name for item in dataclass_fields(Operation) if item.name not in ("kind", "duration")
)
"""The limits that only a rig's own procedures can give, and what they mean: all but the kind and its time."""
