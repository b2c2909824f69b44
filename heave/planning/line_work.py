"""What the rig's record of the drilling line holds: work since the last cut, what is planned, the drum and a stand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from heave import fields
from heave.errors import InputError
from heave.hoisting import JOBS, Drum, HoistingPath, Ledger, Tripping
from heave.hoisting.braking import ACCELERATION, DECELERATION, TOP_SPEED
from heave.quantities import DEPTH

MAX_JOBS: Final = 20


def _optional(cls: Any, name: str, **changes: Any) -> Any:
    """A field as another class declares it, that may be left empty here."""
    about = fields.about(cls, name)
    assert isinstance(about, fields.Quantity)
    return about.field(optional=True, **changes)


@dataclass(frozen=True)
class LineJob:
    """One job planned for the line, between two depths of the bit, once or several times."""

    job: str = fields.choice("job", tuple(JOBS), default="round trip")
    to_depth: float = DEPTH.field(
        label="to depth", default=0.0, help="The deeper end: of a trip, the bottom."
    )
    from_depth: float = DEPTH.field(
        label="from depth",
        default=0.0,
        help="The shallower end; 0 for a whole trip or casing from the floor.",
    )
    times: float = fields.quantity("times", "number", default=1.0, low=0.0, high=100.0)

    def __post_init__(self) -> None:
        fields.validate(self)
        if self.from_depth > self.to_depth:
            allowed = f"up to the depth the job goes to, {self.to_depth:g}\u00a0m"
            raise InputError("from depth", self.from_depth, "m", allowed)


@dataclass(frozen=True, kw_only=True)
class LineWork:
    """The rig's record of the drilling line; what is left empty is not known, and what rests on it is not told."""

    since_cut: float | None = _optional(Ledger, "since_cut")
    goal: float | None = _optional(Ledger, "goal")
    cut_length: float | None = _optional(Ledger, "cut_length")
    slip_length: float | None = _optional(Ledger, "slip_length")
    on_reel: float | None = _optional(Ledger, "on_reel")
    on_drum: float | None = _optional(Ledger, "on_drum")
    drum_core: float | None = _optional(Drum, "core_diameter")
    drum_width: float | None = _optional(Drum, "width")
    drum_layers: float | None = _optional(Drum, "layers")
    jobs: tuple[LineJob, ...] = ()
    planned: float | None = fields.quantity(
        "time the planned work takes", "duration", above=0.0, high=90 * 86400.0, optional=True
    )
    compensating: float = fields.quantity(
        "of it the drawworks compensates",
        "duration",
        default=0.0,
        low=0.0,
        high=90 * 86400.0,
        help="Compensating drawworks only.",
    )
    stand: float | None = _optional(Tripping, "stand")
    hook_acceleration: float | None = ACCELERATION.field(optional=True, help="Of a stand, up and down again.")
    lowering_speed: float | None = TOP_SPEED.field(label="lowering speed of the hook", optional=True)
    deceleration: float | None = DECELERATION.field(optional=True, help="With which the brake stops it.")

    def __post_init__(self) -> None:
        fields.validate(self)
        allowed = f"at most {MAX_JOBS} LineJobs"
        fields.hold_tuple(self, "jobs", LineJob, "jobs of the line", allowed, most=MAX_JOBS)
        if self.planned is not None and self.compensating > self.planned:
            allowed = f"up to the time the planned work takes, {self.planned:g}\u00a0s"
            raise InputError("of it the drawworks compensates", self.compensating, "s", allowed)
        if self.deceleration == 0:
            raise InputError(DECELERATION.label, 0.0, "m/s²", "above 0\u00a0m/s², or empty")

    @property
    def ledger(self) -> Ledger | None:
        """The slip-and-cut ledger; None while any of its numbers is empty."""
        needed = (self.since_cut, self.goal, self.cut_length, self.on_reel, self.on_drum)
        if any(value is None for value in needed):
            return None
        return Ledger(*needed, self.slip_length)  # type: ignore[arg-type]

    def check_reaches(self, path: HoistingPath) -> None:
        """Refuse a drum that is too small for the line, or has not the line that the block needs.

        Parameters
        ----------
        path : whose line and block it is

        Raises
        ------
        InputError
            If the drum is too small, or too few wraps are left with the block at its lowest.
        """
        drum = None if path.line is None else self.drum(path.line.diameter)
        if drum is None or self.on_drum is None or path.highest_block is None or path.lowest_block is None:
            return
        drum.wraps_left(self.on_drum, path.highest_block - path.lowest_block, path.count)

    def drum(self, line_diameter: float) -> Drum | None:
        """The drum for a line; None while its size is not known.

        Parameters
        ----------
        line_diameter : [m]

        Raises
        ------
        InputError
            If the drum is too small for the line, or does not hold what is said to be on it.
        """
        if self.drum_core is None or self.drum_width is None or self.drum_layers is None:
            return None
        drum = Drum(self.drum_core, self.drum_width, line_diameter, self.drum_layers)
        if self.on_drum is not None:
            drum.spooled(self.on_drum)
        return drum
