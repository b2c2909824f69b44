"""Axial waves in the drill string: what the top feels and what reaches the bit.

A tapered string is a chain of uniform rods. From the bit upwards, displacement u (+ up) and tension
N of a rod with area A, modulus E, mass m' and wave number κ = ω√(m'/(E A)) go from end to end as

    u_top = u cos κL + N sin κL /(E A κ),      N_top = −u E A κ sin κL + N cos κL,

the exact solution of E A u'' = m' ü (any text on structural dynamics, for example Clough and
Penzien, Dynamics of Structures, distributed-parameter systems). The product over the sections gives
[u_top, N_top] = [[a, b], [c, d]] [u_bit, N_bit].
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.arrays import ComplexArray, FloatArray
from heave.drill_string.sections import DrillString
from heave.errors import InputError
from heave.fields import Quantity

MOVED_MASS: Final = Quantity("mass moved with the hook", "mass", low=0.0)
"""Not the unit's own alone: with it whatever else moves, so no upper bound."""

LOSS_FACTOR: Final = Quantity("String damping, loss factor", "fraction", low=0.0, high=0.3)
"""Structural loss factor η of a string; E becomes E(1 + iη)."""

_SCAN_STEPS: Final = 1000
"""Steps of the search for a first resonance: κL grows by π/250 in each, finer than roots lie apart."""

_NARROWING: Final = 64
"""Parts the bracket round a resonance is cut into, again and again, until it is narrow enough."""

_PRECISION: Final = 1e-11
"""Width of the last bracket round a resonance over its frequency."""


@dataclass(frozen=True)
class RodDynamics:
    """Transfer matrix of the string over `omega` [rad/s], (nω,): u_top = a u + b N, N_top = c u + d N.

    Source: exact solution of the wave equation of uniform rods in series (Clough and Penzien, Dynamics of
    Structures, distributed-parameter systems); see the head of the module. The quotients below have poles
    at the string's resonances; a and b, the quantities they divide
    by, do not, and serve where a pole would be hit.
    """

    omega: FloatArray
    a: ComplexArray
    b: ComplexArray
    c: ComplexArray
    d: ComplexArray

    @property
    def top_stiffness_fixed(self) -> ComplexArray:
        """Pull at the top per top displacement, bit held: d/b; uniform rod EAκ cot κL [N/m]."""
        return np.asarray(self.d / self.b)

    @property
    def bit_force_per_top(self) -> ComplexArray:
        """Tension at the bit per top displacement, bit held: 1/b; uniform rod EAκ/sin κL [N/m].

        Goes to the static stiffness at ω → 0.
        """
        return np.asarray(1.0 / self.b)

    @property
    def top_stiffness_free(self) -> ComplexArray:
        """Pull at the top per top displacement, bit free: c/a; uniform rod −EAκ tan κL [N/m].

        Goes to −ω² × mass at ω → 0.
        """
        return np.asarray(self.c / self.a)

    @property
    def bit_motion_per_top_free(self) -> ComplexArray:
        """Bit displacement per top displacement, bit free: 1/a; uniform rod 1/cos κL."""
        return np.asarray(1.0 / self.a)


def rod_dynamics(string: DrillString, omega: npt.ArrayLike, loss_factor: float = 0.0) -> RodDynamics:
    """Transfer matrix of the string over frequency, exact for tapered strings and at ω = 0.

    Source: the wave equation of uniform rods in series (Clough and Penzien, Dynamics of Structures,
    distributed-parameter systems); E(1 + iη) is the usual structural damping.

    Parameters
    ----------
    string : the string; its sections' masses include tool joints, fluid is not counted
    omega : angular frequency, zero or above [rad/s], shape (nω,) or scalar
    loss_factor : structural loss η, E(1 + iη)

    Returns
    -------
    RodDynamics, arrays of shape (nω,)

    Raises
    ------
    InputError
        If a frequency is negative or not finite, or the loss factor is outside 0–0.3.
    """
    frequency = np.atleast_1d(np.asarray(omega, dtype=np.float64))
    if not (np.all(np.isfinite(frequency)) and np.all(frequency >= 0)):
        raise InputError("angular frequency", omega, "rad/s", "zero or above")
    LOSS_FACTOR.check(loss_factor)
    ones = np.ones(frequency.shape, dtype=np.complex128)
    a, b, c, d = ones, 0 * ones, 0 * ones, ones
    for section in reversed(string.sections):
        modulus_area = section.youngs_modulus * section.area * (1 + 1j * loss_factor)
        wave_number = frequency * np.sqrt(section.linear_mass / modulus_area)
        phase = wave_number * section.length
        cosine, sine = np.cos(phase), np.sin(phase)
        # sin(κL)/(EAκ) as L/EA · sin(κL)/(κL), whose limit at ω = 0 is the static flexibility
        ratio = np.divide(sine, phase, out=ones.copy(), where=phase != 0)
        give = section.length / modulus_area * ratio
        pull = -modulus_area * wave_number * sine
        a, b, c, d = (
            cosine * a + give * c,
            cosine * b + give * d,
            pull * a + cosine * c,
            pull * b + cosine * d,
        )
    return RodDynamics(frequency, a, b, c, d)


def first_free_fixed_period(string: DrillString) -> float:
    """Longest natural period of the string held at the top with the bit free; uniform 4L/c [s].

    Source: rod fixed at one end and free at the other (Rao, Mechanical Vibrations, longitudinal vibration
    of bars), in the tapered form a = 0 of `RodDynamics`.

    Parameters
    ----------
    string : the string
    """
    return _first_period(string, lambda rod: rod.a.real)


def first_on_bottom_period(string: DrillString, moving_mass: float, spring_stiffness: float) -> float:
    """Longest natural period with the bit held and the hook on the compensator spring [s].

    Solves EAκ cot κL = ω² m_h − k_c in the tapered form d/b = ω² m_h − k_c. Source: rod with a mass and a
    spring at its end (Rao, Mechanical Vibrations, longitudinal vibration of bars).

    Parameters
    ----------
    string : the string
    moving_mass : hook, top drive and moving parts of the compensator, m_h [kg]
    spring_stiffness : of the gas spring, k_c [N/m]

    Raises
    ------
    InputError
        If mass or stiffness is negative or not finite.
    """
    MOVED_MASS.check(moving_mass)
    Quantity("spring stiffness", "stiffness", low=0.0).check(spring_stiffness)

    def balance(rod: RodDynamics) -> FloatArray:
        return (spring_stiffness - rod.omega**2 * moving_mass) * rod.b.real + rod.d.real

    return _first_period(string, balance)


def _first_period(string: DrillString, function: Callable[[RodDynamics], FloatArray]) -> float:
    """Period of the first zero over ω of a function that is positive at ω = 0, by a scan made ever finer."""
    travel = sum(section.length / section.wave_speed for section in string.sections)
    # the first zero of a uniform string lies below κL = π; four times that leaves room for any taper
    low, high, steps = 0.0, 4 * math.pi / travel, _SCAN_STEPS
    while high - low > _PRECISION * high:
        scan = np.linspace(low, high, steps + 1)
        below = np.flatnonzero(function(rod_dynamics(string, scan)) <= 0)
        low, high, steps = float(scan[below[0] - 1]), float(scan[below[0]]), _NARROWING
    return 2 * math.pi / high
