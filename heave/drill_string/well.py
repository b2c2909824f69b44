"""The hole a string hangs in: straight intervals from the rotary down, and the pull of what lies in them.

Soft string of Johancsik, Friesen and Dawson (Journal of Petroleum Technology, June 1984) on straight intervals: a
metre of string with weight in mud w pulls w (cos θ + μ sin θ) when it is drawn up, w (cos θ − μ sin θ) when it is let
down and w cos θ when it turns, for friction then acts around it. The term of that paper in which tension presses the
string into a bend is left out, so what bends add to the drag is not in it: it holds for straight intervals, and for
bends so gentle that tension over radius is small beside w sin θ. A stiff string, a tight hole, cuttings and the drag of
stabilisers are not in it either.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.drill_string.sections import DrillString
from heave.errors import InputError
from heave.fields import hold_tuple, quantity, validate
from heave.quantities import LONGEST_HOLE, PART_LENGTH

MAX_INTERVALS: Final = 60
"""Most intervals one hole may have."""

ROUNDING: Final = 1e-9
"""Share by which a string may be longer than its well before it is."""


@dataclass(frozen=True)
class HoleInterval:
    """A straight length of riser, casing or open hole.

    Up to 100°: a hole may rise a little beyond level. Friction 0 says that none is given.
    """

    length: float = PART_LENGTH.field(
        label="Length along the hole", help="Along the hole, from the end of the interval above."
    )
    inclination: float = quantity(
        "Inclination",
        "angle",
        default=0.0,
        low=0.0,
        high=math.radians(100.0),
        help="From the vertical; of a bend, the mean.",
    )
    friction: float = quantity(
        "Friction coefficient",
        "number",
        default=0.0,
        low=0.0,
        high=1.0,
        help="0.15 to 0.25 in casing and 0.2 to 0.4 in open hole are common, from memory. 0: none given.",
    )
    diameter: float | None = quantity(
        "Hole diameter",
        "diameter",
        low=0.05,
        high=1.5,
        optional=True,
        help="Inside of riser or casing, or of the hole. Empty: buckling in inclined hole is not judged.",
    )

    def __post_init__(self) -> None:
        validate(self)


@dataclass(frozen=True)
class Well:
    """The hole as intervals, listed from the rotary down; a riser is an interval at 0°.

    Friction over weight as Johancsik, Friesen and Dawson (1984) have it; lengths and places are definitions.
    """

    intervals: tuple[HoleInterval, ...]
    design_factor: float | None = quantity(
        "Design factor of the bottom-hole assembly",
        "number",
        low=1.0,
        high=3.0,
        optional=True,
        help="Weight of collars and heavy-weight pipe over the weight on bit: 1.15 to 1.25 is common practice. "
        "Empty: no usable weight is given.",
    )

    def __post_init__(self) -> None:
        allowed = f"a list of intervals, top down, from 1 to {MAX_INTERVALS}"
        hold_tuple(self, "intervals", HoleInterval, "intervals", allowed, low=1, most=MAX_INTERVALS)
        validate(self)

    @property
    def length(self) -> float:
        """Length of all intervals, along the hole [m]."""
        return sum(interval.length for interval in self.intervals)

    @property
    def bounds(self) -> FloatArray:
        """Where the intervals begin and end, along the hole from the rotary; from 0 [m], (intervals + 1,)."""
        return np.cumsum([0.0, *(interval.length for interval in self.intervals)])

    @property
    def cosines(self) -> FloatArray:
        """Share of a weight that pulls along the hole, cos θ, of every interval; by definition."""
        return np.cos([interval.inclination for interval in self.intervals])

    @property
    def drags(self) -> FloatArray:
        """Friction over weight, μ sin θ, of every interval (source: head of the module)."""
        return np.array([interval.friction * math.sin(interval.inclination) for interval in self.intervals])

    @property
    def has_friction(self) -> bool:
        """True where a friction coefficient is given for any interval, even one in which nothing leans on the wall."""
        return any(interval.friction > 0 for interval in self.intervals)

    def check_holds(self, string: DrillString) -> None:
        """Hold a string against this hole.

        Parameters
        ----------
        string : with its bit as deep as it is long

        Raises
        ------
        InputError
            If it is longer than the well, or a section does not pass an interval whose diameter is given.
        """
        if string.length > self.length * (1 + ROUNDING):
            allowed = f"up to {self.length:g}\u00a0m, the whole well"
            raise InputError("Length of the string", string.length, "m", allowed)
        reached = string.length - string.heights[:-1]
        passed = self.bounds[:-1, None] < reached * (1 - ROUNDING)
        widths = [section.outer_diameter for section in reversed(string.sections)]
        widest = np.where(passed, widths, 0.0).max(axis=1)
        for place, (interval, width) in enumerate(zip(self.intervals, widest, strict=True)):
            if interval.diameter is not None and interval.diameter <= width:
                allowed = f"above {width:g}\u00a0m, the widest section that goes through interval {place + 1}"
                raise InputError("Hole diameter", interval.diameter, "m", allowed)


def vertical(length: float) -> Well:
    """A vertical well without friction, what a string without a well is taken to hang in (by definition).

    Parameters
    ----------
    length : along the hole [m]

    Raises
    ------
    InputError
        If the length is not above 0, or more than 60 intervals can make.
    """
    count = max(math.ceil(length / LONGEST_HOLE), 1)
    return Well((HoleInterval(length / count),) * count)
