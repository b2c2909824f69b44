"""Sections of a drill string and the string they make: area, weight in mud, hookload, stiffness."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final, Literal, get_args

import numpy as np

from heave.arrays import FloatArray
from heave.errors import InputError
from heave.fields import Quantity, choice, hold_tuple, quantity, text, validate
from heave.quantities import PART_LENGTH
from heave.units import STANDARD_GRAVITY

STEEL_DENSITY: Final = 7850.0
"""Density of drill-string steel [kg/m³]; API RP 7G works with 65.5 lb/gal, 7849 kg/m³."""

STEEL_MODULUS: Final = 206.8e9
"""Young's modulus of drill-string steel [Pa], 30 million psi (API RP 7G)."""

LIGHTEST_TUBE: Final = 2600.0
"""Least density of pipe metal believed [kg/m³], a little under aluminium; catches mass in wrong units."""

HOOKLOAD: Final = Quantity("Hookload off bottom", "force", low=1e3, high=2e7)
"""What a hook may carry, entered or computed from the string."""

MAX_SECTIONS: Final = 60
"""Most sections one string may have."""

LARGEST_TUBE: Final = 0.92
"""Largest diameter of a section [m]: 36 in conductor (0.9144 m) and the rounding of whoever writes it."""

Inside = Literal["filled", "empty, float closed"]
"""What a string holds: the mud around it, or air above a closed float, as casing run dry."""


def ring_area(outer_diameter: float, inner_diameter: float) -> float:
    """Cross-section of a tube, π/4 (OD² − ID²) [m²], from its diameters [m]; by definition."""
    return math.pi / 4 * (outer_diameter**2 - inner_diameter**2)


@dataclass(frozen=True)
class Section:
    """One length of equal pipe: what it measures, weighs and can carry.

    `linear_mass` is the mass in air with tool joints [kg/m]. `tensile_area` is the area that carries
    tension [m²] when it is less than the area of the new tube, as for worn pipe; None means the whole
    tube. Stiffness always uses the whole tube. What follows from these is Hooke's law or a definition;
    areas and capacities are those of API RP 7G.
    """

    name: str = text("section", help="As the tally has it.")
    length: float = PART_LENGTH.field(label="section length", help="Of all its joints together.")
    outer_diameter: float = quantity(
        "outside diameter", "diameter", low=0.02, high=LARGEST_TUBE, help="Of the pipe body."
    )
    inner_diameter: float = quantity(
        "inside diameter", "diameter", low=0.0, high=LARGEST_TUBE, help="Of the pipe body."
    )
    linear_mass: float = quantity(
        "mass per metre in air", "linear_mass", low=1.0, high=2000.0, help="Tool joints included."
    )
    yield_strength: float = quantity(
        "yield strength", "stress", low=1e8, high=2e9, help="Minimum of the grade."
    )
    tensile_area: float | None = quantity(
        "area in tension",
        "area",
        low=1e-5,
        high=0.3,
        optional=True,
        help="Left empty, the new tube. Give the worn area for used pipe.",
    )
    youngs_modulus: float = quantity(
        "Young's modulus",
        "modulus",
        default=STEEL_MODULUS,
        low=5e10,
        high=2.5e11,
        help="About 207\u00a0GPa for steel.",
    )

    def __post_init__(self) -> None:
        validate(self)
        if self.inner_diameter >= self.outer_diameter:
            allowed = f"below the outside, {self.outer_diameter:g}\u00a0m"
            raise InputError("inside diameter", self.inner_diameter, "m", allowed)
        if self.tensile_area is not None and self.tensile_area > self.area * (1 + 1e-9):
            allowed = f"up to the area of the tube, {self.area:.4e}\u00a0m²"
            raise InputError("area in tension", self.tensile_area, "m²", allowed)
        lightest = LIGHTEST_TUBE * self.area
        if self.linear_mass < lightest:
            allowed = f"at least {lightest:.3g}\u00a0kg/m for a tube of this size, even in aluminium"
            raise InputError("mass per metre in air", self.linear_mass, "kg/m", allowed)

    @property
    def area(self) -> float:
        """Cross-section of the new tube, π/4 (OD² − ID²) [m²]."""
        return ring_area(self.outer_diameter, self.inner_diameter)

    @property
    def tensile_capacity(self) -> float:
        """Tension at yield, area in tension × yield strength [N] (API RP 7G, drill pipe tables)."""
        return (self.area if self.tensile_area is None else self.tensile_area) * self.yield_strength

    @property
    def mass(self) -> float:
        """Mass in air [kg]."""
        return self.length * self.linear_mass

    @property
    def flexibility(self) -> float:
        """Stretch per unit of pull, L/(E A) [m/N]."""
        return self.length / (self.youngs_modulus * self.area)

    @property
    def wave_speed(self) -> float:
        """Speed of axial waves √(E A / m'), slowed by the mass of the tool joints [m/s]."""
        return math.sqrt(self.youngs_modulus * self.area / self.linear_mass)

    @property
    def impedance(self) -> float:
        """Wave impedance E A/c with the wave speed c, force per speed [N·s/m] (rod, wave equation)."""
        return self.youngs_modulus * self.area / self.wave_speed


@dataclass(frozen=True)
class SectionTension:
    """Tension at the top of the section called `name` against what its pipe carries at yield [N].

    `utilisation` is tension/capacity; below zero the top of the section is in compression.
    """

    name: str
    tension: float
    capacity: float
    utilisation: float


@dataclass(frozen=True)
class DrillString:
    """A drill string, sections listed from the top down, hanging in mud.

    `handling_mass` is the top drive and other gear between compensator and string, in air [kg].
    `drag` is the allowance added to the hookload when pulling [N]. Buoyancy and tension as in API RP 7G;
    sums over the sections are definitions. A string that is empty over a closed float displaces mud with
    its whole outside instead of its steel alone; what couplings stick out is not counted then.
    """

    sections: tuple[Section, ...]
    mud_density: float = quantity(
        "mud density", "density", low=0.0, high=3000.0, help="Of the mud in the hole; it sets buoyancy."
    )
    steel_density: float = quantity(
        "steel density",
        "density",
        default=STEEL_DENSITY,
        low=1500.0,
        high=9000.0,
        help="Of the pipe; with that of the mud it sets buoyancy.",
    )
    handling_mass: float = quantity(
        "top drive and handling gear",
        "mass",
        default=0.0,
        low=0.0,
        high=300_000.0,
        help="What hangs between the compensator and the pipe, weighed in air.",
    )
    drag: float = quantity(
        "drag allowance",
        "force",
        default=0.0,
        low=0.0,
        high=5e6,
        help="Pull that friction of the well adds going up and takes off going down.",
    )
    inside: Inside = choice(
        "inside of the string",
        get_args(Inside),
        default="filled",
        help="Empty: run on a closed float and not filled, so that mud carries it by its whole outside.",
    )

    def __post_init__(self) -> None:
        allowed = f"a list of sections, top down, from 1 to {MAX_SECTIONS}"
        hold_tuple(self, "sections", Section, "sections", allowed, low=1, most=MAX_SECTIONS)
        validate(self)
        if self.mud_density >= self.steel_density:
            allowed = f"below the steel's {self.steel_density:g}\u00a0kg/m³"
            raise InputError("mud density", self.mud_density, "kg/m³", allowed)
        for section in self.sections:
            if self.weight_in_mud(section) <= 0:
                displaced = section.linear_mass - self.weight_in_mud(section) / STANDARD_GRAVITY
                allowed = (
                    f"filled: {section.name} weighs {section.linear_mass:.4g}\u00a0kg/m and, empty, displaces "
                    f"{displaced:.4g}\u00a0kg/m of this mud, so it floats"
                )
                raise InputError("inside of the string", self.inside, None, allowed)

    def weight_in_mud(self, section: Section) -> float:
        """Weight in mud of a metre of a `section` of this string [N/m].

        Filled, weight in air × (1 − ρ_mud/ρ_steel) (API RP 7G). Empty over a closed float, weight in air −
        ρ_mud g π/4 OD² (Archimedes; by definition).

        Parameters
        ----------
        section : one of the string's
        """
        if self.inside == "filled":
            share = 1.0 - self.mud_density / self.steel_density
            return share * section.linear_mass * STANDARD_GRAVITY
        outside = ring_area(section.outer_diameter, 0.0)
        return (section.linear_mass - self.mud_density * outside) * STANDARD_GRAVITY

    @property
    def length(self) -> float:
        """Length of all sections [m]."""
        return sum(section.length for section in self.sections)

    @property
    def heights(self) -> FloatArray:
        """Where sections begin and end, from the lower end of the string up, from 0 [m]; (sections + 1,)."""
        return np.cumsum([0.0, *(section.length for section in reversed(self.sections))])

    @property
    def mass(self) -> float:
        """Mass of the pipe in air, handling gear not counted [kg]."""
        return sum(section.mass for section in self.sections)

    @property
    def buoyancy_factor(self) -> float:
        """Weight in mud over weight in air; 1 − ρ_mud/ρ_steel of a string that is filled (API RP 7G)."""
        return self.buoyed_weight / (self.mass * STANDARD_GRAVITY)

    @property
    def buoyed_weight(self) -> float:
        """Weight of the pipe in mud, Σ L w with the weight of each section in mud [N]."""
        return sum(section.length * self.weight_in_mud(section) for section in self.sections)

    @property
    def handling_weight(self) -> float:
        """Weight of the gear between compensator and pipe [N]."""
        return self.handling_mass * STANDARD_GRAVITY

    @property
    def hookload(self) -> float:
        """Load below the compensator, bit off bottom: buoyed weight + handling gear + drag [N]."""
        return self.buoyed_weight + self.handling_weight + self.drag

    @property
    def stiffness(self) -> float:
        """Static axial spring of the whole string, 1/Σ(L/EA) [N/m]."""
        return 1.0 / sum(section.flexibility for section in self.sections)

    def cut_to(self, depth: float) -> DrillString:
        """The string with its lower end at `depth`: what is longer than that comes off at the top.

        Parameters
        ----------
        depth : from the top of the string to its lower end, above 0 [m]

        Raises
        ------
        InputError
            If the string is shorter than `depth`.
        """
        if not 0.0 < depth <= self.length * (1 + 1e-9):
            raise InputError("Bit depth", depth, "m", f"above 0 to {self.length:g}\u00a0m, the whole string")
        kept: list[Section] = []
        left = depth
        for section in reversed(self.sections):
            if left < section.length:
                # the shortest section there is stands for a rest that is shorter still
                kept += [replace(section, length=max(left, 0.1))] if left > 1e-6 else []
                break
            kept.append(section)
            left -= section.length
        return replace(self, sections=tuple(reversed(kept)))

    def tension_margins(self, hookload: float | None = None) -> tuple[SectionTension, ...]:
        """Tension at the top of each section, top down, against the pipe's capacity at yield.

        Tension = hookload − handling gear − buoyed weight of the sections above. The drag in the
        hookload is taken to act below every section, and so is any pull on top, which is the safe side.

        Parameters
        ----------
        hookload : load below the compensator; None takes the string's own, bit off bottom [N]

        Returns
        -------
        One SectionTension for each section

        Raises
        ------
        InputError
            If the hookload is not finite, or is negative.
        """
        load = self.hookload if hookload is None else hookload
        Quantity("hookload", "force", low=0.0).check(load)
        tension = load - self.handling_weight
        rows = []
        for section in self.sections:
            capacity = section.tensile_capacity
            rows.append(SectionTension(section.name, tension, capacity, tension / capacity))
            tension -= section.length * self.weight_in_mud(section)
        return tuple(rows)
