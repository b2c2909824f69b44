"""Waves in water of finite depth: dispersion, and what the depth takes out of a spectrum."""

from __future__ import annotations

from typing import Final

import numpy as np
import numpy.typing as npt

from heave.arrays import FloatArray
from heave.fields import Quantity
from heave.sea.arguments import frequencies, number
from heave.units import STANDARD_GRAVITY

SHALLOWEST: Final = 5.0
"""Least water depth [m]: nearer the shore the seas are no longer those of this model."""

DEEPEST: Final = 12_000.0
"""Largest water depth [m]: no sea is deeper than about 10.9 km (common knowledge)."""

WATER_DEPTH: Final = Quantity("Water depth", "length", low=SHALLOWEST, high=DEEPEST)

_DEEP: Final = 20.0  # beyond k0·d = 20 tanh is 1 to the last digit of a double
_ITERATIONS: Final = 8


def wave_number(
    omega: npt.ArrayLike, depth: float | None = None, gravity: float = STANDARD_GRAVITY
) -> FloatArray:
    """Wave number k from the dispersion relation ω² = g k tanh(k d); deep water k = ω²/g.

    Newton's method from an explicit first guess; converged to the rounding of a double.
    Source: linear wave theory, DNV-RP-C205, 3.2.2.

    Parameters
    ----------
    omega : angular frequencies, scalar or (nω,), above 0 [rad/s]
    depth : water depth d, above 0 [m]; None is deep water
    gravity : g [m/s²]

    Returns
    -------
    Wave number, shape (nω,), or a scalar array for a scalar frequency [1/m].

    Raises
    ------
    InputError
        If a frequency, the depth or gravity is not above zero and finite.
    """
    grid = frequencies(omega)
    g = number(gravity, "gravity", "m/s²", above=0.0)
    deep = grid**2 / g
    if depth is None:
        waves = deep
    else:
        d = number(depth, "water depth", "m", above=0.0)
        waves = _newton(deep * d) / d
    return waves if np.ndim(omega) else np.asarray(waves[0])


def _newton(deep: FloatArray) -> FloatArray:
    """Solve x tanh x = `deep` for x = k d, shape (nω,) [-]."""
    # sqrt(a)·sqrt(coth(sqrt a))-like guess: exact at both ends, within 1 % between.
    x = deep / np.sqrt(np.tanh(deep))
    for _ in range(_ITERATIONS):
        t = np.tanh(x)
        x = x - (x * t - deep) / (t + x * (1.0 - t * t))
    return np.asarray(np.where(deep > _DEEP, deep, x))


def tma_factor(omega: npt.ArrayLike, depth: float, gravity: float = STANDARD_GRAVITY) -> FloatArray:
    """Factor by which finite depth lowers a wind-sea spectrum, φ = tanh²(k d)/(1 + 2 k d/sinh 2 k d).

    Source: Bouws, Günther, Rosenthal and Vincent 1985 (TMA spectrum).

    Parameters
    ----------
    omega : angular frequencies, scalar or (nω,), above 0 [rad/s]
    depth : water depth d, above 0 [m]
    gravity : g [m/s²]

    Returns
    -------
    Factor, shape (nω,), or a scalar array for a scalar frequency, 0 to 1 [-].

    Raises
    ------
    InputError
        If a frequency, the depth or gravity is not above zero and finite.
    """
    kd = wave_number(omega, depth, gravity) * depth
    # 2kd/sinh 2kd with decaying exponentials only, so that deep water does not overflow.
    ratio = 4.0 * kd * np.exp(-2.0 * kd) / -np.expm1(-4.0 * kd)
    return np.asarray(np.tanh(kd) ** 2 / (1.0 + ratio))
