"""The string as masses and springs, reduced to its slow modes and stepped exactly through time.

Uniform rods become elements of equal travel time with half of each element's mass at either end
(Rao, Mechanical Vibrations, lumped-mass models of bars). With the bit held, the modes below a chosen
number are kept; the movement of the bit itself is one more coordinate that carries the string along
as a rigid body (Craig and Bampton, AIAA Journal 6, 1968). All is measured from the static position,
so weight drops out:

    hook = Σ φ_top q + u_bit,       M s̈ + C ṡ + K s = shape_hook F_hook + shape_bit F_bit,

with the stack s = (q, u_bit), and forces upward and above their static values. Each kept mode has the
structural loss factor η of the string as a damping ratio η/2, so losses agree with E(1 + iη) at every
resonance of the string on bottom.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.drill_string import LOSS_FACTOR, DrillString
from heave.drill_string.rod import MOVED_MASS
from heave.fields import Quantity

ELEMENTS: Final = 60
"""Elements of the string before it is reduced: its first mode is then right to 0.003 %."""

MODES: Final = 20
"""Modes kept with the bit held; the step and element study of the developers' guide shows what that costs."""


@dataclass(frozen=True, eq=False)
class StringModel:
    """String and hook as a few coordinates: kept modes with the bit held, then the bit's own movement.

    mass, damping, stiffness : matrices (m, m); hook_shape (m,): hook movement per coordinate.
    frequencies : of the modes kept, bit held [rad/s]
    """

    mass: FloatArray
    damping: FloatArray
    stiffness: FloatArray
    hook_shape: FloatArray
    frequencies: FloatArray

    @property
    def size(self) -> int:
        """Number of coordinates m."""
        return len(self.hook_shape)


def string_model(
    string: DrillString,
    hook_mass: float,
    *,
    elements: int = ELEMENTS,
    modes: int | None = MODES,
    loss_factor: float = 0.0,
) -> StringModel:
    """Lumped string below a hook of given mass, reduced to its slow modes.

    Source: Craig and Bampton (AIAA Journal 6, 1968), from memory.

    Parameters
    ----------
    string : the string; the mass of its sections includes tool joints
    hook_mass : mass that moves with the hook, handling gear included [kg]
    elements : of the whole string, shared among sections by travel time, at least one each
    modes : kept with the bit held; None keeps all, the plain lumped string
    loss_factor : structural loss η of the string

    Returns
    -------
    StringModel

    Raises
    ------
    InputError
        If the mass is negative, or elements, modes or loss are out of range.
    """
    MOVED_MASS.check(hook_mass)
    Quantity("elements of the string", "number", low=2, high=400).check(elements)
    Quantity("modes of the string", "number", low=1, optional=True).check(modes)
    LOSS_FACTOR.check(loss_factor)
    masses, springs = _lumps(string, hook_mass, elements)
    frequencies, shapes = _held_modes(masses, springs, len(springs) if modes is None else modes)
    kept = len(frequencies)
    carried = masses[:-1] @ shapes
    mass = np.eye(kept + 1)
    mass[:kept, kept] = mass[kept, :kept] = carried
    mass[kept, kept] = masses.sum()
    return StringModel(
        mass=mass,
        damping=np.diag(np.append(loss_factor * frequencies, 0.0)),
        stiffness=np.diag(np.append(frequencies**2, 0.0)),
        hook_shape=np.append(shapes[0], 1.0),
        frequencies=frequencies,
    )


def _lumps(string: DrillString, hook_mass: float, elements: int) -> tuple[FloatArray, FloatArray]:
    """Masses at the nodes, top first, and the springs between them."""
    travel = [section.length / section.wave_speed for section in string.sections]
    share = elements / sum(travel)
    springs: list[float] = []
    lumps: list[float] = []
    for section, time in zip(string.sections, travel, strict=True):
        count = max(1, round(time * share))
        springs += [count / section.flexibility] * count
        lumps += [section.mass / count] * count
    masses = np.zeros(len(springs) + 1)
    masses[:-1] += np.array(lumps) / 2
    masses[1:] += np.array(lumps) / 2
    masses[0] += hook_mass
    return masses, np.array(springs)


def _held_modes(masses: FloatArray, springs: FloatArray, most: int) -> tuple[FloatArray, FloatArray]:
    """The `most` lowest frequencies [rad/s] and mass-normalised shapes of all nodes but the held bit."""
    from scipy.linalg import eigh_tridiagonal

    root = np.sqrt(masses[:-1])
    stiffness = springs.copy()
    stiffness[1:] += springs[:-1]
    squares, vectors = eigh_tridiagonal(
        stiffness / root**2,
        -springs[:-1] / (root[:-1] * root[1:]),
        select="i",
        select_range=(0, min(most, len(springs)) - 1),
    )
    return np.sqrt(squares), vectors / root[:, None]
