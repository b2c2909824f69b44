"""How the energy of a sea spreads over direction, as densities and as weights of discrete directions."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.arrays import FloatArray
from heave.errors import InputError
from heave.fields import Choice, Quantity
from heave.sea.arguments import array, number

SPREADING_KINDS: Final = ("long-crested", "cos-n", "cos-2s")
"""Names of the spreading functions."""

SPREADING: Final = Choice("spreading", SPREADING_KINDS)
"""Which spreading function."""

SPREADING_EXPONENT: Final = Quantity("spreading exponent", "number", low=1.0, high=100.0)
"""Exponent n or s of a spreading function."""

WIDEST_STEP: Final = 15.0
"""Widest step between directions [degrees]."""

NARROW_STEP: Final = 5.0
"""Widest step for narrow spreading, from `NARROW_FROM` [degrees]."""

NARROW_FROM: Final = 6.0
"""cos-n exponent from which spreading is narrow [-]; a cos-2s exponent s counts as n = s/2 or so."""


@dataclass(frozen=True)
class SpreadingWeights:
    """Directions relative to the mean and the share of the energy in each."""

    offsets: tuple[float, ...]
    """Direction less mean direction, ascending [degrees]."""
    weights: tuple[float, ...]
    """Share of the energy [-]; they add up to 1."""


def cosine_n(angle: npt.ArrayLike, exponent: float) -> FloatArray:
    """Density cosⁿθ Γ(1 + n/2)/(√π Γ(½ + n/2)) within ±90°, zero beyond. Source: DNV-RP-C205, 3.5.8.

    Parameters
    ----------
    angle : direction less mean direction θ, any shape [rad]
    exponent : n, 1 to 100 [-]; 2 to 4 is typical of wind sea, 6 and more of swell (from memory)

    Returns
    -------
    Density, shape of `angle` [1/rad].

    Raises
    ------
    InputError
        If the exponent is outside its range or an angle is not finite.
    """
    theta, n = _checked(angle, exponent), exponent
    folded = np.cos(theta)
    constant = math.exp(math.lgamma(1.0 + n / 2.0) - math.lgamma(0.5 + n / 2.0)) / math.sqrt(math.pi)
    return np.asarray(np.where(folded > 0.0, constant * np.where(folded > 0.0, folded, 1.0) ** n, 0.0))


def cosine_2s(angle: npt.ArrayLike, exponent: float) -> FloatArray:
    """Density cos²ˢ(θ/2) Γ(s + 1)/(2 √π Γ(s + ½)) over ±180°. Source: DNV-RP-C205, 3.5.8.

    Parameters
    ----------
    angle : direction less mean direction θ, any shape [rad]
    exponent : s, 1 to 100 [-]

    Returns
    -------
    Density, shape of `angle` [1/rad].

    Raises
    ------
    InputError
        If the exponent is outside its range or an angle is not finite.
    """
    theta, s = _checked(angle, exponent), exponent
    constant = math.exp(math.lgamma(s + 1.0) - math.lgamma(s + 0.5)) / (2.0 * math.sqrt(math.pi))
    return np.asarray(constant * (np.cos(0.5 * theta) ** 2) ** s)


@lru_cache(maxsize=256)
def spreading_weights(kind: str, exponent: float = 4.0, step: float = 5.0) -> SpreadingWeights:
    """Discrete directions and their shares of the energy, renormalised to add up to 1.

    Directions lie `step` apart and include the mean. A long-crested sea has one direction.

    Parameters
    ----------
    kind : 'long-crested', 'cos-n' or 'cos-2s'
    exponent : n or s, 1 to 100 [-]
    step : whole divisor of 90, at most 15, at most 5 for n ≥ 6 or s ≥ 12 [degrees]

    Returns
    -------
    SpreadingWeights; directions with no energy are left out.

    Raises
    ------
    InputError
        If the kind is unknown or a number is outside its range.
    """
    SPREADING.check(kind)
    if kind == "long-crested":
        return SpreadingWeights((0.0,), (1.0,))
    SPREADING_EXPONENT.check(exponent)
    narrow = exponent >= (NARROW_FROM if kind == "cos-n" else 2.0 * NARROW_FROM)
    width = number(step, "spreading step", "°", above=0.0, high=NARROW_STEP if narrow else WIDEST_STEP)
    count = 90.0 / width
    if abs(count - round(count)) > 1e-9:
        raise InputError("spreading step", step, "°", "a whole divisor of 90°")
    span = 90.0 if kind == "cos-n" else 180.0
    offsets = width * np.arange(-round(span / width) + 1, round(span / width))
    density = (cosine_n if kind == "cos-n" else cosine_2s)(np.radians(offsets), exponent)
    weights = density / density.sum()
    return SpreadingWeights(tuple(offsets.tolist()), tuple(weights.tolist()))


def _checked(angle: npt.ArrayLike, exponent: float) -> FloatArray:
    SPREADING_EXPONENT.check(exponent)
    return array(angle, "spreading angle", "rad", missing=False)
