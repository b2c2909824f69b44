"""The compensator as a device: kind, stroke, ratings, gas, friction and active part."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from heave.compensator.gas_spring import INDEX_RANGE, GasSpring
from heave.errors import InputError
from heave.fields import about, choice, quantity, text, validate

KINDS: Final = ("in-line", "crown-mounted", "active-assisted", "drawworks")
"""Kinds of compensator: two passive ones, passive with an active part, and a compensating drawworks."""

_CYLINDER_FIELDS: Final = (
    "stroke",
    "compensated_rating",
    "locked_rating",
    "velocity_rating",
    "effective_area",
    "gas_volume",
    "pressure_rating",
)
_LINE_FIELDS: Final = (
    "compensated_rating",
    "locked_rating",
    "line_speed_limit",
    "line_acceleration_limit",
    "power_limit",
    "lines",
)
_ACTIVE_FIELDS: Final = ("active_gain", "active_delay")
_ONLY_CYLINDER: Final = ("effective_area", "gas_volume", "pressure_rating")
_ONLY_LINE: Final = ("line_speed_limit", "line_acceleration_limit", "power_limit", "lines")
_ONLY_ACTIVE: Final = ("active_force_limit", "active_velocity_limit")


@dataclass(frozen=True)
class Compensator:
    """A heave compensator; which fields must be given depends on its kind.

    In-line, crown-mounted and active-assisted units need stroke, ratings, area and gas; an
    active-assisted unit and a compensating drawworks need gain and delay; a drawworks needs its line
    and power limits and has no gas. Pressures are gauge. Strokes, velocities and the effective area
    are at the hook: A_e = Σ A_piston / (hook travel per piston travel).
    """

    name: str = text("compensator")
    kind: str = choice("kind of compensator", KINDS)
    stroke: float | None = quantity(
        "stroke",
        "length",
        default=None,
        low=0.5,
        high=30.0,
        optional=True,
        help="Hook travel, end to end. For a drawworks the block travel set aside for it, if any.",
    )
    compensated_rating: float | None = quantity(
        "rating compensating", "force", default=None, above=0.0, high=2e7, optional=True
    )
    locked_rating: float | None = quantity(
        "rating locked", "force", default=None, above=0.0, high=5e7, optional=True
    )
    velocity_rating: float | None = quantity(
        "velocity rating", "speed", default=None, above=0.0, high=10.0, optional=True
    )
    effective_area: float | None = quantity(
        "effective area",
        "area",
        default=None,
        low=0.001,
        high=5.0,
        optional=True,
        help="Piston areas, each divided by hook travel per piston travel.",
    )
    gas_volume: float | None = quantity(
        "gas volume, all bottles",
        "volume",
        default=None,
        above=0.0,
        high=500.0,
        optional=True,
        help="At mid-stroke, every bottle open.",
    )
    gas_volume_shut: float = quantity(
        "gas volume shut off",
        "volume",
        default=0.0,
        low=0.0,
        high=500.0,
        help="Bottles closed to the cylinder: the spring stiffens in proportion.",
    )
    pressure_rating: float | None = quantity(
        "pressure rating", "pressure", default=None, above=0.0, high=1e8, optional=True, help="Gauge."
    )
    index_low: float = quantity(
        "polytropic index, low",
        "number",
        default=1.1,
        low=INDEX_RANGE[0],
        high=INDEX_RANGE[1],
        help="Slow change: tide and temperature.",
    )
    index: float = quantity(
        "polytropic index", "number", default=1.3, low=INDEX_RANGE[0], high=INDEX_RANGE[1]
    )
    index_high: float = quantity(
        "polytropic index, high",
        "number",
        default=1.6,
        low=INDEX_RANGE[0],
        high=INDEX_RANGE[1],
        help="Waves with real nitrogen: about 1.6 at 10 MPa and more above it. Used for the pressure check.",
    )
    friction_fraction: float = quantity(
        "seal friction over load",
        "fraction",
        default=0.02,
        low=0.0,
        high=0.2,
        help="1 to 3 % is common practice, no source.",
    )
    hydraulic_loss: float = quantity(
        "hydraulic loss coefficient",
        "quadratic_damping",
        default=0.0,
        low=0.0,
        high=1e7,
        help="Force at the hook is this times velocity squared.",
    )
    moving_mass: float = quantity(
        "moving mass",
        "mass",
        default=0.0,
        low=0.0,
        high=200_000.0,
        help="Parts of the unit that stand still with the hook.",
    )
    end_reserve: float = quantity(
        "end reserve, each end",
        "length",
        default=0.0,
        low=0.0,
        high=5.0,
        help="Stroke kept free at each end.",
    )
    active_gain: float | None = quantity(
        "active gain", "number", default=None, low=0.0, high=1.2, optional=True
    )
    active_delay: float | None = quantity(
        "active delay", "period", default=None, low=0.0, high=2.0, optional=True
    )
    active_force_limit: float | None = quantity(
        "active force limit", "force", default=None, above=0.0, high=1e7, optional=True
    )
    active_velocity_limit: float | None = quantity(
        "active velocity limit", "speed", default=None, above=0.0, high=10.0, optional=True
    )
    line_speed_limit: float | None = quantity(
        "line speed limit", "speed", default=None, above=0.0, high=100.0, optional=True
    )
    line_acceleration_limit: float | None = quantity(
        "line acceleration limit", "acceleration", default=None, above=0.0, high=200.0, optional=True
    )
    power_limit: float | None = quantity(
        "power limit", "power", default=None, above=0.0, high=5e7, optional=True
    )
    lines: float | None = quantity(
        "lines strung",
        "number",
        default=None,
        low=2,
        high=20,
        optional=True,
        help="Lines to the travelling block: the line moves this many times as fast.",
    )
    note: str = text("note", default="", longest=1000)

    def __post_init__(self) -> None:
        validate(self)
        self._require(_LINE_FIELDS if self.is_drawworks else _CYLINDER_FIELDS)
        if self.has_active:
            self._require(_ACTIVE_FIELDS)
        self._refuse(_ONLY_CYLINDER if self.is_drawworks else _ONLY_LINE)
        if self.kind != "active-assisted":
            self._refuse(_ONLY_ACTIVE)
        if not self.has_active:
            self._refuse(_ACTIVE_FIELDS)
        if self.lines is not None and float(self.lines) != int(self.lines):
            raise InputError("lines strung", self.lines, None, "a whole number from 2 to 20")
        if self.is_drawworks and self.gas_volume_shut > 0:
            raise InputError("gas volume shut off", self.gas_volume_shut, "m³", "0: a drawworks has no gas")
        self._check_ratings()
        if not self.is_drawworks:
            self._check_gas()

    @property
    def is_drawworks(self) -> bool:
        """Whether the drawworks does the compensating and there is no gas spring."""
        return self.kind == "drawworks"

    @property
    def has_active(self) -> bool:
        """Whether there is an active part that can be lost."""
        return self.kind in ("active-assisted", "drawworks")

    @property
    def volume_ratio(self) -> float:
        """Gas open to the cylinder over swept volume, φ = (V − V_shut)/(A_e S).

        Raises
        ------
        InputError
            For a drawworks, which has no gas.
        """
        stroke, area, volume = self._gas()
        return (volume - self.gas_volume_shut) / (area * stroke)

    def spring(self, load: float, index: float | None = None) -> GasSpring:
        """The gas spring at mid-stroke carrying `load` [N], at `index` or the unit's own.

        Raises
        ------
        InputError
            For a drawworks, or a load or index out of range.
        """
        stroke, area, _ = self._gas()
        return GasSpring(load, stroke, self.volume_ratio, self.index if index is None else index, area)

    def _gas(self) -> tuple[float, float, float]:
        if self.stroke is None or self.effective_area is None or self.gas_volume is None:
            raise InputError("kind of compensator", self.kind, None, "a kind with a gas spring")
        return self.stroke, self.effective_area, self.gas_volume

    def _require(self, names: tuple[str, ...]) -> None:
        for name in names:
            if getattr(self, name) is None:
                label = about(self, name).label
                raise InputError(label, None, None, f"a value: a compensator of kind {self.kind!r} needs it")

    def _refuse(self, names: tuple[str, ...]) -> None:
        for name in names:
            value = getattr(self, name)
            if value is not None:
                label = about(self, name).label
                raise InputError(label, value, None, f"empty for a compensator of kind {self.kind!r}")

    def _check_ratings(self) -> None:
        compensated, locked = self.compensated_rating, self.locked_rating
        if compensated is not None and locked is not None and locked < compensated:
            raise InputError("rating locked", locked, "N", f"from the rating compensating, {compensated:g} N")
        if self.stroke is not None and 2 * self.end_reserve >= self.stroke:
            raise InputError(
                "end reserve, each end", self.end_reserve, "m", f"below half of {self.stroke:g} m"
            )

    def _check_gas(self) -> None:
        if not self.index_low <= self.index <= self.index_high:
            raise InputError(
                "polytropic index", self.index, None, f"between {self.index_low:g} and {self.index_high:g}"
            )
        stroke, area, volume = self._gas()
        if volume - self.gas_volume_shut <= area * stroke:
            raise InputError(
                "gas volume open to the cylinder",
                volume - self.gas_volume_shut,
                "m³",
                f"above the swept volume, {area * stroke:.4g} m³",
            )
