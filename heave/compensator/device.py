"""The compensator as a device. Each kind is a type with just the fields that kind has:

    Compensator                     name, ratings, moving mass
        GasUnit                     stroke, area, gas, friction
            InLine, CrownMounted    passive
        ActivePart                  loop, gain, delay, bandwidth of an active part
            ActiveAssisted          a GasUnit too; and limits of the active part
            Drawworks               in `heave.compensator.drawworks`: line and power; no gas

What only some kinds have is asked after `isinstance`, or of `of_type`.

Pressures are gauge. Strokes, velocities and the effective area are at the hook:
A_e = Σ A_piston / (hook travel per piston travel).
"""

from __future__ import annotations

from dataclasses import MISSING, Field, dataclass, fields
from typing import Any, ClassVar, Final, Literal, TypeVar, get_args

from heave.compensator.gas_spring import AREA, INDEX, STROKE, VOLUME_RATIO_MOST, GasSpring
from heave.errors import InputError
from heave.fields import Quantity, choice, quantity, text, validate
from heave.quantities import MACHINE_POWER

Kind = Literal["in-line", "crown-mounted", "active-assisted", "drawworks"]
"""Kinds of compensator: two passive ones, passive with an active part, and a compensating drawworks."""

KINDS: Final[tuple[Kind, ...]] = get_args(Kind)

Loop = Literal["force", "position"]
"""What an active part follows: the passive unit's force, of which it cancels a share, or the measured motion of
the vessel, against which it drives the hook."""

LOOPS: Final[tuple[Loop, ...]] = get_args(Loop)

Mounting = Literal["crown", "block"]
"""Where a unit sits: it carries the crown block, or hangs from the travelling block."""

MOUNTINGS: Final[tuple[Mounting, ...]] = get_args(Mounting)

GAS_VOLUME: Final = Quantity("gas volume, all bottles", "volume", low=0.001, high=500.0)
MOVING_MASS: Final = Quantity("moving mass", "mass", low=0.0, high=200_000.0)
END_RESERVE: Final = Quantity("end reserve, each end", "length", low=0.0, high=5.0)
GAIN: Final = Quantity("active gain", "number", low=0.0, high=1.2)
FRICTION_FRACTION: Final = Quantity("seal friction over load", "fraction", low=0.0, high=0.2)
DELAY: Final = Quantity("active delay", "period", low=0.0, high=2.0)
BANDWIDTH: Final = Quantity(
    "active bandwidth",
    "frequency",
    low=0.05,
    high=100.0,
    optional=True,
    help="First order: at this frequency 0.71 of the drive is left. Empty: no lag beside the delay.",
)
CENTRING: Final = Quantity(
    "period of the loop that holds mid-stroke",
    "period",
    low=30.0,
    high=3600.0,
    optional=True,
    help="Following position only: motion slower than this is left to the hook. Empty: too slow to matter in waves.",
)


_Made = TypeVar("_Made")


class _Unit:
    """What is true of a unit whose kind has no field for it."""

    mounting: Mounting | None = None
    """None where crown and block both hang in the lines as ever."""

    friction_fraction: float = 0.0
    hydraulic_loss: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Compensator(_Unit):
    """A heave compensator of any kind: what all have. `Compensator.of` makes one of a kind named in words."""

    kind: ClassVar[Kind]
    kinds: ClassVar[dict[str, type[Compensator]]] = {}
    """The types by kind; a file names the kind, and the kind picks the type."""

    name: str = text("compensator", help="As the rig calls the unit; it stands on every sheet.")
    compensated_rating: float = quantity(
        "rating compensating",
        "force",
        low=1e3,
        high=2e7,
        help="Largest load the maker allows while it strokes.",
    )
    locked_rating: float = quantity(
        "rating locked", "force", low=1e3, high=5e7, help="Largest load the maker allows while it is locked."
    )
    moving_mass: float = MOVING_MASS.field(
        default=0.0,
        help="Parts of the unit that stand still with the hook; under the crown with block and crown block, unless the "
        "hoisting path has those.",
    )
    note: str = text(
        "note", default="", longest=1000, help="Whatever a reader of the plan should know of the unit."
    )

    def __init_subclass__(cls) -> None:
        if "kind" in vars(cls):
            Compensator.kinds[cls.kind] = cls

    def __post_init__(self) -> None:
        if not hasattr(self, "kind"):
            raise InputError("kind of compensator", None, None, "one of " + ", ".join(KINDS))
        validate(self)
        compensated, locked = self.compensated_rating, self.locked_rating
        if locked < compensated:
            raise InputError(
                "rating locked", locked, "N", f"from the rating compensating, {compensated:g}\u00a0N"
            )

    @classmethod
    def of(cls, name: str, kind: str, **values: Any) -> Compensator:
        """A unit of the kind named in words.

        A field of another kind may be given if it says nothing: None, or what it is when nobody touches it.

        Parameters
        ----------
        name : of the unit
        kind : one of `KINDS`
        values : its fields

        Raises
        ------
        InputError
            For an unknown kind, a field the kind needs and does not get, a field it does not have, or a
            value out of range.
        """
        if not isinstance(kind, str) or kind not in cls.kinds:
            raise InputError("kind of compensator", kind, None, "one of " + ", ".join(KINDS))
        made = cls.kinds[kind]
        own, foreign = _stored(made), {k: f for c in cls.kinds.values() for k, f in _stored(c).items()}
        for key, item in own.items():
            if item.default is MISSING and key != "name" and values.get(key) is None:
                allowed = f"a value: a compensator of kind {kind!r} needs it"
                raise InputError(_label(item), None, None, allowed)
        for key, item in foreign.items():
            if key not in own and values.pop(key, None) not in (None, item.default):
                raise InputError(_label(item), None, None, f"empty for a compensator of kind {kind!r}")
        return made(name=name, **values)

    def as_kind(self, kind: str, **values: Any) -> Compensator:
        """This unit as another kind: what both kinds have is kept.

        Parameters
        ----------
        kind : one of `KINDS`
        values : what the other kind needs and this one has not

        Raises
        ------
        InputError
            As `of`.
        """
        kept = _stored(type(self)).keys() & _stored(self.kinds.get(kind, type(self))).keys()
        return self.of(kind=kind, **{key: getattr(self, key) for key in kept} | values)

    def of_type(self, made: type[_Made]) -> _Made:
        """This unit as one of a type, such as `GasUnit`, by its definition: for what only such a unit is asked.

        Parameters
        ----------
        made : a type of unit

        Raises
        ------
        InputError
            For a unit of another.
        """
        if isinstance(self, made):
            return self
        kinds = [kind for kind, one in self.kinds.items() if issubclass(one, made)]
        raise InputError("kind of compensator", self.kind, None, "one of " + ", ".join(kinds))

    @property
    def is_drawworks(self) -> bool:
        """Whether the drawworks does the compensating and there is no gas spring."""
        return not isinstance(self, GasUnit)

    @property
    def has_active(self) -> bool:
        """Whether there is an active part that can be lost."""
        return isinstance(self, ActivePart)

    @property
    def follows_position(self) -> bool:
        """Whether an active part drives the hook against the vessel's measured motion: definition."""
        return isinstance(self, ActivePart) and self.active_loop == "position"

    @property
    def under_crown(self) -> bool:
        """Whether it moves the crown block, by definition."""
        return self.mounting == "crown"

    @property
    def under_block(self) -> bool:
        """Whether it hangs under the travelling block, by definition."""
        return self.mounting == "block"


class ActivePart(Compensator):
    """A unit with an active part, beside a gas spring or the whole of it: what every such kind has as fields."""

    active_loop: Loop
    active_gain: float
    active_delay: float
    active_bandwidth: float | None
    active_centring: float | None


@dataclass(frozen=True, kw_only=True)
class GasUnit(Compensator):
    """A cylinder on bottles of gas: what every kind with a gas spring has."""

    stroke: float = STROKE.field(help="Hook travel, end to end.")
    end_reserve: float = END_RESERVE.field(default=0.0, help="Stroke kept free at each end.")
    velocity_rating: float = quantity(
        "velocity rating",
        "speed",
        low=0.01,
        high=10.0,
        help="Fastest travel of the piston that the maker allows.",
    )
    effective_area: float = AREA.field(help="Piston areas, each divided by hook travel per piston travel.")
    gas_volume: float = GAS_VOLUME.field(help="At mid-stroke, every bottle open.")
    gas_volume_shut: float = quantity(
        "gas volume shut off",
        "volume",
        default=0.0,
        low=0.0,
        high=GAS_VOLUME.high,
        help="Bottles closed to the cylinder: the spring stiffens in proportion.",
    )
    pressure_rating: float = quantity("pressure rating", "pressure", low=1e5, high=1e8, help="Gauge.")
    index_low: float = INDEX.field(
        label="polytropic index, low", default=1.1, help="Slow change: tide and temperature."
    )
    index: float = INDEX.field(default=1.3)
    index_high: float = INDEX.field(
        label="polytropic index, high",
        default=1.6,
        help="Waves with real nitrogen: about 1.6 at 10\u00a0MPa and more above it. Used for the pressure check.",
    )
    friction_fraction: float = FRICTION_FRACTION.field(
        default=0.02, help="1 to 3\u00a0% is common practice, no source."
    )
    hydraulic_loss: float = quantity(
        "hydraulic loss coefficient",
        "quadratic_damping",
        default=0.0,
        low=0.0,
        high=1e7,
        help="Force at the hook is this times velocity squared.",
    )

    def __post_init__(self) -> None:
        super().__post_init__()
        if 2 * self.end_reserve >= self.stroke:
            allowed = f"below half of {self.stroke:g}\u00a0m"
            raise InputError("end reserve, each end", self.end_reserve, "m", allowed)
        if not self.index_low <= self.index <= self.index_high:
            allowed = f"between {self.index_low:g} and {self.index_high:g}"
            raise InputError("polytropic index", self.index, None, allowed)
        swept, most = self.effective_area * self.stroke, VOLUME_RATIO_MOST
        if not 1 < self.volume_ratio <= most:
            raise InputError(
                "gas volume open to the cylinder",
                self.gas_volume - self.gas_volume_shut,
                "m³",
                f"above the swept volume, {swept:.4g}\u00a0m³, to {most:g} times it, {most * swept:.4g}\u00a0m³",
            )

    @property
    def volume_ratio(self) -> float:
        """Gas open to the cylinder over swept volume, φ = (V − V_shut)/(A_e S): definition."""
        return (self.gas_volume - self.gas_volume_shut) / (self.effective_area * self.stroke)

    def spring(self, load: float, index: float | None = None, set_at: float = 0.0) -> GasSpring:
        """The gas spring that carries `load` [N] at `set_at` from mid-stroke [m], at `index` or the unit's own.

        See `GasSpring`.

        Raises
        ------
        InputError
            If the load, the index or the place is out of range.
        """
        given = self.index if index is None else index
        return GasSpring(load, self.stroke, self.volume_ratio, given, self.effective_area, set_at)


@dataclass(frozen=True, kw_only=True)
class InLine(GasUnit):
    """A passive unit between travelling block and hook."""

    kind: ClassVar[Kind] = "in-line"
    mounting = "block"


@dataclass(frozen=True, kw_only=True)
class CrownMounted(GasUnit):
    """A passive unit that carries the crown block."""

    kind: ClassVar[Kind] = "crown-mounted"
    mounting = "crown"


@dataclass(frozen=True, kw_only=True)
class ActiveAssisted(ActivePart, GasUnit):
    """A passive unit with an active cylinder beside it."""

    kind: ClassVar[Kind] = "active-assisted"
    mounting: Mounting = choice(
        "the unit carries",
        MOUNTINGS,
        default="crown",
        help="Crown: the crown block, and with it lines and block. Block: it hangs under the travelling block.",
    )
    active_loop: Loop = choice(
        "active part follows",
        LOOPS,
        default="force",
        help="Force: cancels its share of the passive unit's force. Position: drives the hook against the measured "
        "motion of the vessel. The data sheet says which.",
    )
    active_gain: float = GAIN.field()
    active_delay: float = DELAY.field()
    active_bandwidth: float | None = BANDWIDTH.field()
    active_centring: float | None = CENTRING.field()
    active_force_limit: float | None = quantity(
        "active force limit",
        "force",
        low=1e3,
        high=1e7,
        optional=True,
        help="Most that the active part can push or pull.",
    )
    active_velocity_limit: float | None = quantity(
        "active velocity limit",
        "speed",
        low=0.01,
        high=10.0,
        optional=True,
        help="Fastest that the active part can drive.",
    )
    active_power_limit: float | None = MACHINE_POWER.field(
        label="active power limit", optional=True, help="Most that its power supply gives."
    )


def _stored(cls: type[Compensator]) -> dict[str, Field[Any]]:
    return {item.name: item for item in fields(cls)}


def _label(item: Field[Any]) -> str:
    return str(item.metadata["about"].label)
