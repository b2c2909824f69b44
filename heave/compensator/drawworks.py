"""A compensating drawworks: the kind of compensator that has no gas, but a line."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from heave.compensator.device import BANDWIDTH, CENTRING, DELAY, GAIN, ActivePart, Kind
from heave.errors import InputError
from heave.fields import quantity
from heave.quantities import LINES, MACHINE_POWER


@dataclass(frozen=True, kw_only=True)
class Drawworks(ActivePart):
    """A drawworks that moves the block against the heave: no gas, but a line with limits. It follows position."""

    kind: ClassVar[Kind] = "drawworks"
    active_loop = "position"
    active_gain: float = GAIN.field()
    active_delay: float = DELAY.field()
    active_bandwidth: float | None = BANDWIDTH.field()
    active_centring: float | None = CENTRING.field()
    lines: float = LINES.field(help="Lines to the travelling block: the line moves this many times as fast.")
    line_speed_limit: float = quantity(
        "line speed limit",
        "speed",
        low=0.1,
        high=100.0,
        help="Fastest line speed at the drum while compensating.",
    )
    line_acceleration_limit: float = quantity(
        "line acceleration limit",
        "acceleration",
        low=0.1,
        high=200.0,
        help="Largest line acceleration at the drum while compensating.",
    )
    power_limit: float = MACHINE_POWER.field(
        label="power limit", help="Most that motors or their supply give while compensating."
    )

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.lines != int(self.lines):
            raise InputError(
                "lines strung", self.lines, None, f"a whole number from {LINES.low} to {LINES.high}"
            )
