"""A vessel: its response to waves and where the hoist stands on it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Final

from heave.errors import InputError
from heave.fields import quantity, text, validate
from heave.vessel.box import HEAVE_ERROR, BoxHull
from heave.vessel.origin import ResponseOrigin
from heave.vessel.oscillator import Oscillator
from heave.vessel.response_table import DRAUGHT, LENGTH, Motion, ResponseTable
from heave.vessel.semisubmersible import Semisubmersible

Response = ResponseTable | BoxHull | Semisubmersible

NEAR_CENTRE: Final = 1.0
"""Arm of the hoist up to which a response without pitch or roll still tells its motion [m]: they turn no more than the
wave's slope does, 0.028 at 12 s and 0.04 at 10 s, so that they add some centimetres for each metre of wave. An
engineering choice of the planner."""


def _required() -> Any:
    """A field without a default that has no single number to describe."""
    return field()


@dataclass(frozen=True)
class Vessel:
    """A vessel by name, its response, and the hoist's place.

    The hoist position is measured from the vessel's origin: for a response table the origin its reference
    point is stated from, for a closed-form hull amidships on the centreline. Vessels compare and hash by
    content.
    """

    name: str = text("Vessel", help="As it stands on every sheet.")
    response: Response = _required()  # noqa: RUF009
    hoist_x: float = quantity(
        "Hoist forward of origin", "length", default=0.0, low=-300.0, high=300.0, help="Negative: aft of it."
    )
    hoist_y: float = quantity(
        "Hoist to port of origin", "length", default=0.0, low=-60.0, high=60.0, help="Negative: to starboard."
    )
    length: float | None = LENGTH.field(optional=True, help="For drawing only.")
    draught: float | None = DRAUGHT.field(
        optional=True, help="For the depth check; a closed-form hull has its own."
    )
    note: str = text("Note", default="", help="Whatever a reader of the plan should know of the vessel.")
    provenance: str = text("Where the response comes from", default="", longest=2000)
    origin: ResponseOrigin | None = None
    """The file its response table was read from; None for any that no file was brought for."""

    def __post_init__(self) -> None:
        validate(self)
        if not self.name.strip():
            raise InputError("Vessel", self.name, None, "a name")
        if not isinstance(self.response, ResponseTable | BoxHull | Semisubmersible):
            allowed = "a response table, a box hull or a semisubmersible"
            raise InputError("Vessel response", type(self.response).__name__, None, allowed)
        if self.origin is not None and not (
            isinstance(self.origin, ResponseOrigin) and isinstance(self.response, ResponseTable)
        ):
            raise InputError(
                "Origin of the response", self.origin, None, "the file of a response table, or none"
            )
        if self.draught is not None and not isinstance(self.response, ResponseTable):
            allowed = f"empty: the hull's own is {self.response.draught:g}\u00a0m"
            raise InputError("Draught", self.draught, "m", allowed)

    @property
    def heave_only(self) -> bool:
        """Whether the response has no roll or pitch to carry to a hoist off centre."""
        return isinstance(self.response, Semisubmersible)

    def knows(self, motion: Motion) -> bool:
        """Whether the response has that `motion`: a table may lack roll or pitch, a heave model has neither."""
        if isinstance(self.response, ResponseTable):
            return self.response.knows(motion)
        return motion == "heave" or not self.heave_only

    @property
    def unknown_at_hoist(self) -> tuple[Motion, ...]:
        """Motions that the response does not have and that move the hoist, which stands over `NEAR_CENTRE` off."""
        turns: tuple[Motion, Motion] = ("pitch", "roll")
        return tuple(
            motion
            for motion, arm in zip(turns, self.arms, strict=True)
            if abs(arm) > NEAR_CENTRE and not self.knows(motion)
        )

    @property
    def oscillator(self) -> Oscillator | None:
        """Heave as an oscillator damped by each sea's own speed: of a semisubmersible in closed form, or of a table
        that states it and whose reference point the hoist stands over; None for others.

        A table off its reference keeps the damping it was made with: on the safe side in rougher seas than that was
        for, low near the resonance in milder ones, by what `damping_caution` says beside the result."""
        if isinstance(self.response, Semisubmersible):
            return self.response
        above = self.arms == (0.0, 0.0)
        return self.response.oscillator if isinstance(self.response, ResponseTable) and above else None

    @property
    def floats_at(self) -> float | None:
        """Draught of the hull in closed form, or as given beside a response table; None where nobody said [m]."""
        return self.draught if isinstance(self.response, ResponseTable) else self.response.draught

    @property
    def table_depth(self) -> float | None:
        """Water depth its response table says it is for; None for deep water, or where it does not say [m]."""
        return None if self.origin is None else self.origin.conventions.depth

    @property
    def heave_error(self) -> float:
        """Share by which heave may be more than the response has it, whatever else is said; 0 for a table."""
        return HEAVE_ERROR if isinstance(self.response, BoxHull) else 0.0

    @property
    def arms(self) -> tuple[float, float]:
        """Where the hoist stands, forward of and to port of the point the response holds for [m].

        Of a table without phases such that no motion is taken from another: |x| aft and |y| to port, so that
        η3 + y η4 − x η5 of amplitudes is |η3| + |y η4| + |x η5|.
        """
        if isinstance(self.response, ResponseTable):
            forward = self.hoist_x - self.response.reference_x
            port = self.hoist_y - self.response.reference_y
            return (forward, port) if self.response.phases else (-abs(forward), abs(port))
        return self.hoist_x, self.hoist_y
