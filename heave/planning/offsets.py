"""What moves the compensator slowly away from mid-stroke."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from heave import fields
from heave.errors import InputError

LARGEST_OFFSET: Final = 0.2
"""Largest vessel offset over water depth for which the small-angle path length holds (1 % of it at 0.2)."""


def _travel(label: str, *, low: float = 0.0, high: float, help: str) -> Any:
    return fields.quantity(label, "length", default=0.0, low=low, high=high, help=help)


@dataclass(frozen=True)
class StaticOffsets:
    """What moves the compensator slowly away from mid-stroke.

    Stroke position is positive towards gas compression, the way the unit travels when the vessel
    rises. Tide, vessel offset and drilled depth therefore use the rising side; a deeper draught and
    a falling tide use the falling side. A space-out error may fall on either side.
    """

    start_position: float = _travel(
        "Start position from mid-stroke",
        low=-10.0,
        high=10.0,
        help="Where the driller spaces out; positive towards gas compression (vessel-rising side).",
    )
    tide_rise: float = _travel("Tide still to rise", high=15.0, help="During the operation.")
    tide_fall: float = _travel("Tide still to fall", high=15.0, help="During the operation.")
    draught_change: float = _travel(
        "Draught change", low=-15.0, high=15.0, help="Positive when the vessel will float deeper."
    )
    vessel_offset: float = _travel(
        "Horizontal vessel offset",
        high=1000.0,
        help="Excursion from the well; it lengthens the path to the seabed by offset²/(2 × water depth).",
    )
    space_out_error: float = _travel("Space-out error", high=5.0, help="Taken on either side.")
    penetration_rate: float = fields.quantity(
        "Rate of penetration",
        "penetration",
        default=0.0,
        low=0.0,
        high=200 / 3600.0,
        help="Hole drilled between feeds eats stroke on the rising side.",
    )
    feed_interval: float = fields.quantity(
        "Time between feeds",
        "duration",
        default=0.0,
        low=0.0,
        high=86400.0,
        help="Time drilled before the driller feeds off to the start position again.",
    )

    def __post_init__(self) -> None:
        fields.validate(self)

    def set_down(self, depth: float | None) -> float:
        """Longer path to the seabed from the vessel offset in water of `depth` [m]: Δ²/(2L), small angles [m].

        Raises
        ------
        InputError
            If there is an offset and no depth, or the offset is over 20 % of the depth.
        """
        if self.vessel_offset == 0:
            return 0.0
        if depth is None:
            raise InputError("Water depth", None, "m", "a depth when a vessel offset is given")
        if self.vessel_offset > LARGEST_OFFSET * depth:
            allowed = f"at most 20\u00a0% of the water depth, {depth:g}\u00a0m"
            raise InputError("Horizontal vessel offset", self.vessel_offset, "m", allowed)
        return self.vessel_offset**2 / (2 * depth)

    @property
    def drilled(self) -> float:
        """Hole made between feeds: rate of penetration × time between feeds [m]."""
        return self.penetration_rate * self.feed_interval

    def sides(self, depth: float | None, drilling: bool) -> tuple[float, float]:
        """Static travel from mid-stroke towards the rising and the falling end [m].

        Parameters
        ----------
        depth : water depth [m], needed with a vessel offset
        drilling : True counts the hole made between feeds
        """
        deeper, shallower = max(self.draught_change, 0.0), max(-self.draught_change, 0.0)
        rising = self.tide_rise + shallower + self.set_down(depth) + self.space_out_error
        rising += self.drilled if drilling else 0.0
        falling = self.tide_fall + deeper + self.space_out_error
        return self.start_position + rising, falling - self.start_position
