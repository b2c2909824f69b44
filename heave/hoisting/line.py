"""The drilling line: what it is made of, what breaks it and what it weighs, and its design factor."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy.typing as npt

from heave.arrays import FloatArray
from heave.errors import InputError
from heave.fields import Quantity, choice, quantity, text, validate
from heave.hoisting.arguments import held
from heave.units import to_si

_INCHES: Final = (0.875, 1.0, 1.125, 1.25, 1.375, 1.5, 1.625, 1.75, 1.875, 2.0)
_SHORT_TONS: Final = {
    "IPS": (34.6, 44.9, 56.5, 69.4, 83.5, 98.9, 115.0, 133.0, 152.0, 172.0),
    "EIPS": (39.8, 51.7, 65.0, 79.9, 96.0, 114.0, 132.0, 153.0, 174.0, 198.0),
    "EEIPS": (43.8, 56.9, 71.5, 87.9, 106.0, 125.0, 146.0, 169.0, 192.0, 217.0),
}

LINE_STRENGTH: Final[dict[str, dict[float, float]]] = {
    grade: {to_si(size, "in"): to_si(2.0 * tons, "klbf") for size, tons in zip(_INCHES, row, strict=True)}
    for grade, row in _SHORT_TONS.items()
}
"""Nominal strength [N] by grade and diameter [m] of bright 6×19 class line with a steel core.

EIPS, extra improved plow steel: 7/8 to 1-3/8 in are those of API RP 9B; from 1-1/2 in they are from memory, and so
are all of IPS (about EIPS/1.15) and EEIPS (about 1.1 EIPS), as the wire rope handbooks of the trade list them.
"""

GRADES: Final = tuple(LINE_STRENGTH)
TABLED: Final = "6×19 IWRC"
CONSTRUCTIONS: Final = (TABLED, "other")
"""6×19 class with an independent wire rope core, which the table is for, or another with figures of its own."""

SIZE_TOLERANCE: Final = 0.05e-3
"""How far a diameter may be from the size it names [m]: sizes are written in millimetres to one place."""

STRONGEST: Final = 2.0e9
"""Most strength over the circle of the line believed [Pa], a solid bar of its wire; catches wrong units."""

MINIMUM_FACTOR: Final[dict[str, float]] = {
    "hoisting": 3.0,
    "setting casing": 2.0,
    "pulling on stuck pipe": 2.0,
}
"""Least design factor of the line by what it does [-] (API RP 9B)."""

TENSION: Final = Quantity("tension in the line", "force", above=0.0, high=1e7)
DIAMETER: Final = Quantity("line diameter", "diameter", low=0.01, high=0.1)
STRENGTH: Final = Quantity("breaking strength of the line", "force", low=1e4, high=1e7)


@dataclass(frozen=True)
class DrillingLine:
    """A drilling line by diameter and grade, or with a breaking strength and a mass of its own.

    Strength from `LINE_STRENGTH` (API RP 9B and from memory, as said there) unless its certificate gives one.
    """

    diameter: float = DIAMETER.field(help="Nominal.")
    construction: str = choice("construction of the line", CONSTRUCTIONS, default=TABLED)
    grade: str = choice("grade of the line", GRADES, default="EIPS")
    own_strength: float | None = STRENGTH.field(
        optional=True, help="Of the certificate. Empty: nominal strength by size and grade."
    )
    own_mass: float | None = quantity(
        "mass of the line per metre",
        "linear_mass",
        low=0.1,
        high=50.0,
        optional=True,
        help="Empty: that of a 6×19 class line with a steel core.",
    )
    name: str = text("drilling line", default="")

    def __post_init__(self) -> None:
        validate(self)
        if self.construction != TABLED:
            for label, value in (
                (STRENGTH.label, self.own_strength),
                ("mass of the line per metre", self.own_mass),
            ):
                if value is None:
                    raise InputError(label, None, None, f"a value: the tables are for {TABLED} only")
        strongest = STRONGEST * math.pi / 4 * self.diameter**2
        if self.strength > strongest:
            allowed = f"up to {strongest:.3g}\u00a0N for steel of this diameter"
            raise InputError(STRENGTH.label, self.own_strength, "N", allowed)

    @property
    def strength(self) -> float:
        """Its own breaking strength, or the nominal strength of its size and grade (API RP 9B) [N].

        Raises
        ------
        InputError
            If the table has no such size and no strength of its own is given.
        """
        if self.own_strength is not None:
            return self.own_strength
        row = LINE_STRENGTH[self.grade]
        size = min(row, key=lambda size: abs(size - self.diameter))
        if abs(size - self.diameter) > SIZE_TOLERANCE:
            sizes = ", ".join(f"{1e3 * size:.1f}" for size in row)
            allowed = f"one of {sizes}\u00a0mm, or a breaking strength of its own"
            raise InputError("line diameter", 1e3 * self.diameter, "mm", allowed)
        return row[size]

    @property
    def linear_mass(self) -> float:
        """Its own mass per metre, or 1.85 d² lb/ft with d in inches: 6×19 class, steel core, from memory [kg/m]."""
        return (
            to_si(1.85, "lb/ft") * (self.diameter / to_si(1.0, "in")) ** 2
            if self.own_mass is None
            else self.own_mass
        )


def design_factor(strength: float, tension: npt.ArrayLike) -> FloatArray:
    """Design factor of the line, strength over the tension in its fast line. Source: API RP 9B.

    Under heave the tension is the largest dynamic one.

    Parameters
    ----------
    strength : nominal or certified breaking strength [N]
    tension : in the most loaded line, any shape, above 0 [N]

    Returns
    -------
    Design factor, shape of the tension [-]

    Raises
    ------
    InputError
        If the strength or a tension is not above 0.
    """
    STRENGTH.check(strength)
    return strength / held(tension, TENSION)
