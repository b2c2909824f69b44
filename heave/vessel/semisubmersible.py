"""A semisubmersible without a response table: heave of columns on pontoons, viscous damping by sea."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from heave.arrays import ComplexArray, FloatArray
from heave.errors import InputError
from heave.fields import quantity, validate
from heave.sea.arguments import array, number
from heave.units import SEA_WATER_DENSITY, STANDARD_GRAVITY, per_cent
from heave.vessel.response_table import DRAUGHT, RADIATION_DAMPING, MotionTransfer

MASS_AGREEMENT: Final = 0.10
"""How far a stated mass may differ from the water its columns and pontoons displace (bracing, caisson)."""

_RADIATED_HEADINGS: Final = 5.0
_VISCOUS: Final = "Viscous heave damping"


def heave_natural_period(mass: float, added_mass: float, stiffness: float) -> float:
    """Undamped natural heave period 2π√((M + A33)/C33).

    Source: one degree of freedom without damping, by definition.

    Parameters
    ----------
    mass : mass of the vessel, above 0 [kg]
    added_mass : heave added mass near the natural period, zero or above [kg]
    stiffness : waterplane stiffness ρgA_w, with that of moorings if any, above 0 [N/m]

    Returns
    -------
    Period [s]

    Raises
    ------
    InputError
        If a value is out of its range or not finite.
    """
    number(mass, "Mass", "kg", above=0.0)
    number(stiffness, "Heave stiffness", "N/m", above=0.0)
    number(added_mass, "Heave added mass", "kg", low=0.0)
    return float(2 * np.pi * np.sqrt((mass + added_mass) / stiffness))


@dataclass(frozen=True)
class Semisubmersible:
    """Columns on two pontoons, moving in heave alone; roll and pitch are not modelled.

    Columns stand in two rows on the pontoons, evenly spaced along them. The mass is that of the
    displaced water unless given, and the radiation damping follows from the excitation unless given.

    Source: slender members with Froude–Krylov and added-mass force, drag by Morison's equation; from memory.
    """

    columns: int = quantity(
        "Number of columns, both rows", "number", low=4, high=12, help="Even: half of them on each pontoon."
    )
    column_diameter: float = quantity(
        "Column diameter", "length", low=2.0, high=40.0, help="For square columns the circle of equal area."
    )
    column_spacing: float = quantity(
        "Column spacing along a pontoon", "length", low=5.0, high=120.0, help="Centre to centre."
    )
    pontoon_length: float = quantity(
        "Pontoon length", "length", low=20.0, high=200.0, help="Of one of the two."
    )
    pontoon_breadth: float = quantity(
        "Pontoon breadth", "length", low=3.0, high=40.0, help="Of one of the two."
    )
    pontoon_height: float = quantity(
        "Pontoon height", "length", low=2.0, high=25.0, help="Of one of the two."
    )
    pontoon_spacing: float = quantity("Pontoon spacing, centre to centre", "length", low=10.0, high=150.0)
    draught: float = DRAUGHT.field(help="Worked at; heave changes with it.")
    added_mass: float = quantity(
        "Heave added mass",
        "mass",
        low=1e5,
        high=1e9,
        help="Water that moves with the hull in heave.",
    )
    mass: float | None = quantity(
        "Mass", "mass", low=1e5, high=1e9, optional=True, help="Displaced at that draught. Empty: computed."
    )
    radiation_damping: float | None = RADIATION_DAMPING.field(
        optional=True, help="Empty: from the excitation by the Haskind relation."
    )
    drag_coefficient: float = quantity(
        "Drag coefficient of pontoons in heave",
        "number",
        default=2.0,
        low=0.2,
        high=10.0,
        help="Of the flow about a pontoon; about 2 for a box.",
    )

    def __post_init__(self) -> None:
        validate(self)
        if int(self.columns) != self.columns or self.columns % 2:
            allowed = "an even whole number, 4 to 12"
            raise InputError("Number of columns, both rows", self.columns, None, allowed)
        if self.draught <= self.pontoon_height:
            allowed = f"more than the pontoon height, {self.pontoon_height:g}\u00a0m"
            raise InputError("Draught", self.draught, "m", allowed)
        if self.pontoon_spacing <= self.pontoon_breadth:
            allowed = f"more than the pontoon breadth, {self.pontoon_breadth:g}\u00a0m"
            raise InputError("Pontoon spacing, centre to centre", self.pontoon_spacing, "m", allowed)
        water = self.displaced_mass
        if self.mass is not None and abs(self.mass - water) > MASS_AGREEMENT * water:
            allowed = f"within {per_cent(MASS_AGREEMENT)} of the displaced water, {water:.4g}\u00a0kg"
            raise InputError("Mass", self.mass, "kg", allowed)

    @property
    def waterplane_area(self) -> float:
        """Area of the columns at the waterline [m²]."""
        return float(self.columns * np.pi / 4 * self.column_diameter**2)

    @property
    def pontoon_volume(self) -> float:
        """Volume of both pontoons [m³]."""
        return 2 * self.pontoon_length * self.pontoon_breadth * self.pontoon_height

    @property
    def displaced_mass(self) -> float:
        """Mass of the water displaced by columns and pontoons [kg]."""
        column = self.waterplane_area * (self.draught - self.pontoon_height)
        return SEA_WATER_DENSITY * (column + self.pontoon_volume)

    @property
    def total_mass(self) -> float:
        """Mass and heave added mass [kg]."""
        return (self.displaced_mass if self.mass is None else self.mass) + self.added_mass

    @property
    def stiffness(self) -> float:
        """Waterplane stiffness ρgA_w [N/m]."""
        return SEA_WATER_DENSITY * STANDARD_GRAVITY * self.waterplane_area

    @property
    def drag_area(self) -> float:
        """Plan area of both pontoons [m²]."""
        return 2 * self.pontoon_length * self.pontoon_breadth

    @property
    def natural_period(self) -> float:
        """Natural heave period [s], see `heave_natural_period`."""
        return heave_natural_period(self.total_mass - self.added_mass, self.added_mass, self.stiffness)

    def excitation(self, omega: FloatArray, beta: FloatArray | float) -> ComplexArray:
        """Heave force per wave amplitude for Re{F ζ e^(+iωt)}, about the middle of the vessel.

        F3/ζ = ρgA_w e^(−k d_t) × columns − ω²(ρV_p + A33) e^(−k d_p) × pontoons, with d_t the depth of the
        pontoon top, d_p that of its centroid and k = ω²/g. The array factors are the mean of
        e^(−ik(x cosβ + y sinβ)) over the columns and over both pontoons' length, real by symmetry. Common
        long-wave (Morison-type) treatment; columns are slender, diameter below a fifth of the wave length.

        Parameters
        ----------
        omega : angular frequencies, shape (nω,) [rad/s]
        beta : direction of wave travel from the bow, shape (nβ,) or scalar [deg]

        Returns
        -------
        Complex force, shape (nβ, nω) [N/m]
        """
        frequency, angle = np.atleast_1d(omega, np.radians(beta))
        angle = angle[:, None]
        wave_number = frequency**2 / STANDARD_GRAVITY
        along, across = wave_number * np.cos(angle), wave_number * np.sin(angle)
        side = np.cos(across * self.pontoon_spacing / 2)
        row = int(self.columns) // 2
        places = (np.arange(row) - (row - 1) / 2) * self.column_spacing
        columns = np.mean(np.cos(along[..., None] * places), axis=-1) * side
        pontoons = np.sinc(along * self.pontoon_length / (2 * np.pi)) * side
        column, pontoon = self._force_parts(frequency)
        return np.asarray(column * columns - pontoon * pontoons, dtype=np.complex128)

    def radiated_damping(self, omega: FloatArray) -> FloatArray:
        """Radiation damping: as given, or B = ω³/(4πρg³) ∫|F3/ζ|² dβ in deep water (Haskind relation).

        Newman, "Marine Hydrodynamics" (1977), section 6.18 (from memory).

        Parameters
        ----------
        omega : angular frequencies, shape (nω,) [rad/s]

        Returns
        -------
        Damping, shape (nω,) [N·s/m]
        """
        frequency = np.atleast_1d(omega)
        if self.radiation_damping is not None:
            return np.full(frequency.shape, float(self.radiation_damping))
        force = self.excitation(frequency, np.arange(0.0, 360.0, _RADIATED_HEADINGS))
        around = 2 * np.pi * np.mean(np.abs(force) ** 2, axis=0)
        scale = frequency**3 / (4 * np.pi * SEA_WATER_DENSITY * STANDARD_GRAVITY**3)
        return np.asarray(scale * around, dtype=np.float64)

    def receptance(self, omega: FloatArray, viscous_damping: FloatArray | float) -> ComplexArray:
        """Heave per unit force, 1/(C33 − ω²(M + A33) + iω(B_rad + B_visc)).

        Parameters
        ----------
        omega : angular frequencies, shape (nω,) [rad/s]
        viscous_damping : linear viscous damping, each above 0, shape (n,) or scalar [N·s/m]

        Returns
        -------
        Complex receptance, shape (n, nω) [m/N]

        Raises
        ------
        InputError
            If a viscous damping is not above 0.
        """
        frequency = np.atleast_1d(omega)
        viscous = np.atleast_1d(array(viscous_damping, _VISCOUS, "N·s/m", above=0.0, missing=False))
        spring = self.stiffness - frequency**2 * self.total_mass
        resistance = frequency * (self.radiated_damping(frequency) + viscous[:, None])
        return np.asarray(1.0 / (spring + 1j * resistance), dtype=np.complex128)

    def transfer(
        self, omega: FloatArray, beta: FloatArray | float, viscous_damping: float | None = None
    ) -> MotionTransfer:
        """Heave per wave amplitude at a stated viscous damping; roll and pitch are zero (not modelled).

        Without viscous damping a sea with energy at the natural period gives an answer that depends on
        the frequency grid, so that is refused; `motion.hoist_spectrum` finds the damping of each sea.

        Parameters
        ----------
        omega : angular frequencies, shape (nω,) [rad/s]
        beta : direction of wave travel from the bow, shape (nβ,) or scalar [deg]
        viscous_damping : linear viscous damping, above 0 [N·s/m]

        Returns
        -------
        MotionTransfer of shape (nβ, nω)

        Raises
        ------
        InputError
            If the viscous damping is missing or not above 0.
        """
        if viscous_damping is None:
            raise InputError(_VISCOUS, viscous_damping, "N·s/m", "a number above 0")
        heave = self.excitation(omega, beta) * self.receptance(omega, viscous_damping)
        return MotionTransfer(heave, np.zeros_like(heave), np.zeros_like(heave))

    def viscous_damping(self, sigma_velocity: FloatArray) -> FloatArray:
        """Linear damping with the energy loss of the drag in a Gaussian sea, B = ½ρC_dA√(8/π) σ_v.

        Stochastic linearisation of ½ρC_dA v|v| (Borgman 1967; from memory).

        Parameters
        ----------
        sigma_velocity : standard deviation of the heave velocity, any shape [m/s]

        Returns
        -------
        Damping of the same shape [N·s/m]
        """
        scale = 0.5 * SEA_WATER_DENSITY * self.drag_coefficient * self.drag_area * np.sqrt(8 / np.pi)
        return np.asarray(scale * sigma_velocity, dtype=np.float64)

    def _force_parts(self, omega: FloatArray) -> tuple[FloatArray, FloatArray]:
        wave_number = omega**2 / STANDARD_GRAVITY
        top = self.draught - self.pontoon_height
        centre = self.draught - self.pontoon_height / 2
        column = self.stiffness * np.exp(-wave_number * top)
        inertia = SEA_WATER_DENSITY * self.pontoon_volume + self.added_mass
        return column, omega**2 * inertia * np.exp(-wave_number * centre)
