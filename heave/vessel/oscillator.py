"""Heave as an oscillator whose viscous damping depends on the sea: what a hull or a table has to say for that."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from heave.arrays import ComplexArray, FloatArray


class Oscillator(Protocol):
    """A mass on the stiffness of its waterplane, with radiation damping and drag; hashable."""

    def __hash__(self) -> int: ...

    @property
    def stiffness(self) -> float:
        """Of the waterplane [N/m]."""

    @property
    def total_mass(self) -> float:
        """With added mass [kg]."""

    @property
    def natural_period(self) -> float:
        """Undamped [s]."""

    def radiated_damping(self, omega: FloatArray) -> FloatArray:
        """Radiation damping at angular frequencies `omega` [rad/s], their shape [N·s/m]."""

    def viscous_damping(self, sigma_velocity: FloatArray) -> FloatArray:
        """Linear damping with the energy loss of the drag at a standard deviation of heave speed [N·s/m]."""


@dataclass(frozen=True)
class TableOscillator:
    """The oscillator that a response table states beside its numbers, near its resonance in heave.

    natural_period : undamped [s]
    stiffness : of the waterplane [N/m]
    viscous : damping the table was made with for drag [N·s/m]
    speed : standard deviation of the heave speed that it was made linear at [m/s]
    radiated : radiation damping near the resonance [N·s/m]

    Source: one degree of freedom, by definition; drag after Borgman (1967), from memory.
    """

    natural_period: float
    stiffness: float
    viscous: float
    speed: float
    radiated: float

    @property
    def total_mass(self) -> float:
        """With added mass, C/ω_n² [kg]."""
        return self.stiffness * (self.natural_period / (2 * math.pi)) ** 2

    def radiated_damping(self, omega: FloatArray) -> FloatArray:
        """The one stated, at every frequency of `omega` [rad/s], its shape [N·s/m]."""
        return np.full(np.shape(omega), self.radiated)

    def viscous_damping(self, sigma_velocity: FloatArray) -> FloatArray:
        """The table's, in proportion to the heave speed: B = B_t σ_v/σ_t.

        Stochastic linearisation of drag, b₂√(8/π) σ_v (Borgman 1967; from memory).

        Parameters
        ----------
        sigma_velocity : standard deviation of the heave speed, any shape [m/s]
        """
        return np.asarray(self.viscous * sigma_velocity / self.speed, dtype=np.float64)

    def impedance(self, omega: FloatArray, viscous_damping: float | None = None) -> ComplexArray:
        """Force per heave, C − ω²M + iω(B_rad + B), one degree of freedom, by definition.

        Parameters
        ----------
        omega : angular frequencies, shape (nω,) [rad/s]
        viscous_damping : B; None takes the table's own [N·s/m]
        """
        viscous = self.viscous if viscous_damping is None else viscous_damping
        spring = self.stiffness - omega**2 * self.total_mass
        return np.asarray(spring + 1j * omega * (self.radiated + viscous), dtype=np.complex128)
