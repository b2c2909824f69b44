"""Moments of a spectrum and the statistics of the peaks of a Gaussian, narrow-banded process.

A *single amplitude* is measured from the mean; a *double amplitude* from crest to trough.
"""

from __future__ import annotations

from typing import Final

import numpy as np
import numpy.typing as npt

from heave.arrays import FloatArray
from heave.sea.arguments import array
from heave.sea.grid import OMEGA, WEIGHTS

HIGHEST_RISK: Final = 0.6321205588285577
"""Greatest probability for `level_exceeded`, 1 − 1/e [-]: there it meets the most probable maximum."""


def moment(
    spectrum: npt.ArrayLike, order: int, omega: FloatArray = OMEGA, weights: FloatArray = WEIGHTS
) -> FloatArray:
    """Spectral moment m_n = ∫ ωⁿ S dω up to the last frequency given.

    Source: the definition (DNV-RP-C205, 3.5).

    Parameters
    ----------
    spectrum : density, shape (nω,) or (n, nω) [unit²·s]
    order : n, also negative [-]
    omega : angular frequencies, shape (nω,) [rad/s]
    weights : cell widths, shape (nω,) [rad/s]

    Returns
    -------
    Moment, scalar or shape (n,) [unit²/sⁿ]. The fourth moment of a sea spectrum grows with the last
    frequency: state it.
    """
    return np.asarray(np.asarray(spectrum, dtype=np.float64) @ (omega ** float(order) * weights))


def mean_period(m0: npt.ArrayLike, m2: npt.ArrayLike) -> FloatArray:
    """Mean zero-crossing period T_z = 2π √(m0/m2). Source: DNV-RP-C205, 3.5.

    Parameters
    ----------
    m0 : variance, scalar or (n,), from 0 [unit²]
    m2 : variance of the rate, scalar or (n,), from 0 [unit²/s²]

    Returns
    -------
    Period, broadcast shape [s]; NaN where nothing moves (m2 = 0).

    Raises
    ------
    InputError
        If a moment is negative or infinite.
    """
    return period_of(*_moments(m0, m2))


def period_of(m0: FloatArray, m2: FloatArray) -> FloatArray:
    """`mean_period` of moments that are known to be good."""
    with np.errstate(divide="ignore", invalid="ignore"):  # where nothing moves it is not looked at
        period = 2.0 * np.pi * np.sqrt(m0 / m2)
    return np.where(m2 > 0.0, period, np.nan)[()]


def most_probable_maximum(m0: npt.ArrayLike, cycles: npt.ArrayLike) -> FloatArray:
    """Most probable greatest single amplitude in N cycles, √(2 m0 ln N).

    It is exceeded in 63.2 % of exposures of that length, so it is not "the maximum".
    Source: DNV-RP-C205, 3.5 (Rayleigh-distributed peaks).

    Parameters
    ----------
    m0 : variance, scalar or (n,), from 0 [unit²]
    cycles : number of cycles N, scalar or (n,), from 1 [-]

    Returns
    -------
    Single amplitude, broadcast shape [unit].

    Raises
    ------
    InputError
        If a variance is negative, a number of cycles is below 1, or anything is infinite.
    """
    return np.sqrt(2.0 * array(m0, "variance", None, low=0.0) * np.log(_cycles(cycles)))


def level_exceeded(m0: npt.ArrayLike, cycles: npt.ArrayLike, probability: npt.ArrayLike) -> FloatArray:
    """Single amplitude exceeded in N cycles with a given probability p, √(2 m0 ln(N/−ln(1 − p))).

    From P = 1 − exp(−N exp(−x²/2m0)), crossings taken as independent (Poisson). With p = 0.632 it is the
    most probable maximum.

    Source: DNV-RP-C205, 3.5 (Rayleigh-distributed peaks), with crossings counted as Poisson events.

    Parameters
    ----------
    m0 : variance, scalar or (n,), from 0 [unit²]
    cycles : number of cycles N, scalar or (n,), from 1 [-]
    probability : p, above 0 to 0.632 [-]

    Returns
    -------
    Single amplitude, broadcast shape [unit].

    Raises
    ------
    InputError
        If a variance is negative, a number of cycles is below 1, a probability is outside its range, or
        anything is infinite.
    """
    risk = array(probability, "probability of exceeding", None, above=0.0, high=HIGHEST_RISK)
    return level_of(array(m0, "variance", None, low=0.0), _cycles(cycles), risk)


def level_of(m0: FloatArray, cycles: FloatArray, risk: FloatArray | float) -> FloatArray:
    """`level_exceeded` of values that are known to be good."""
    return np.sqrt(2.0 * m0 * np.log(cycles / -np.log1p(-risk)))


def upcrossing_rate(level: npt.ArrayLike, m0: npt.ArrayLike, m2: npt.ArrayLike) -> FloatArray:
    """Mean rate of up-crossings of a level, ν = (1/T_z) exp(−x²/2m0). Source: Rice 1944.

    Parameters
    ----------
    level : x, single amplitude, scalar or (n,), from 0 [unit]
    m0 : variance, scalar or (n,), from 0 [unit²]
    m2 : variance of the rate, scalar or (n,), from 0 [unit²/s²]

    Returns
    -------
    Rate, broadcast shape [1/s]; zero where nothing moves.

    Raises
    ------
    InputError
        If a level or a moment is negative or infinite.
    """
    height = array(level, "level", None, low=0.0)
    zeroth, second = _moments(m0, m2)
    moving = (zeroth > 0.0) & (second > 0.0)
    safe = np.where(moving, zeroth, 1.0)
    rate = np.sqrt(second / safe) / (2.0 * np.pi) * np.exp(-(height**2) / (2.0 * safe))
    missing = np.isnan(zeroth + second + height)
    return np.asarray(np.where(missing, np.nan, np.where(moving, rate, 0.0)))


def _moments(m0: npt.ArrayLike, m2: npt.ArrayLike) -> tuple[FloatArray, FloatArray]:
    return array(m0, "variance", None, low=0.0), array(m2, "variance of the rate", None, low=0.0)


def _cycles(cycles: npt.ArrayLike) -> FloatArray:
    return array(cycles, "number of cycles", None, low=1.0)
