"""Statistics of the hoist's heave, velocity and acceleration over an exposure, from moments of spectra."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.sea.arguments import array, number
from heave.sea.statistics import HIGHEST_RISK, level_of, most_probable_maximum, period_of

SHORTEST_EXPOSURE: Final = 60.0
"""Shortest exposure for which statistics of cycles have a meaning [s]."""


@dataclass(frozen=True, eq=False)
class AmplitudeStatistics:
    """Statistics of one Gaussian quantity over an exposure, each of shape (n,); amplitudes are single.

    Each is worked out when it is first asked for. Definitions are those of `sea.statistics`.

    variance : m0 [unit²]
    rate : m2, the variance of its rate [unit²/s²]
    exposure : duration [s]
    risk : probability with which `level` is exceeded in that time [-]
    """

    variance: FloatArray
    rate: FloatArray
    exposure: float
    risk: float

    @cached_property
    def sigma(self) -> FloatArray:
        """Standard deviation [unit]."""
        return np.sqrt(self.variance)

    @cached_property
    def period(self) -> FloatArray:
        """Mean zero-crossing period [s], NaN where nothing moves."""
        return period_of(self.variance, self.rate)

    @cached_property
    def cycles(self) -> FloatArray:
        """Number of cycles in the exposure [-], 0 where nothing moves."""
        return np.where(self.rate == 0.0, 0.0, self.exposure / self.period)[()]

    @cached_property
    def most_probable_maximum(self) -> FloatArray:
        """Exceeded in 63.2 % of exposures [unit]."""
        return most_probable_maximum(self.variance, np.where(self.rate == 0.0, 1.0, self.cycles))

    @cached_property
    def level(self) -> FloatArray:
        """Exceeded in the stated share (risk) of exposures [unit]."""
        cycles = np.where(self.rate == 0.0, 1.0, self.cycles)
        return level_of(self.variance, array(cycles, "number of cycles", None, low=1.0), self.risk)

    def larger(self) -> AmplitudeStatistics:
        """Of two, shape (2, n), in each place the one with the larger level, the first where they are even."""
        second = self.level[1] > self.level[0]
        both = self.variance, self.rate, self.level
        variance, rate, level = (np.where(second, two[1], two[0]) for two in both)
        found = AmplitudeStatistics(variance, rate, self.exposure, self.risk)
        vars(found)["level"] = level  # as it would be worked out again
        return found


def amplitude_statistics(m0: FloatArray, m2: FloatArray, exposure: float, risk: float) -> AmplitudeStatistics:
    """Statistics of a Gaussian, narrow-banded quantity from the moments of its spectrum.

    Mean period 2π√(m0/m2), N cycles in the exposure, most probable maximum √(2m0 ln N), level exceeded with
    probability p √(2m0 ln(N/−ln(1 − p))); see `sea.statistics`.

    Source: as the functions of `sea.statistics` name it.

    Parameters
    ----------
    m0 : variance, scalar or (n,), from 0 [unit²]
    m2 : variance of its rate, scalar or (n,), from 0 [unit²/s²]
    exposure : duration, from 60 [s]
    risk : probability of exceeding `level`, above 0 to 0.632 [-]

    Returns
    -------
    AmplitudeStatistics of the shape of the moments; where nothing moves the amplitudes are 0, the period NaN

    Raises
    ------
    InputError
        If the exposure or the risk is out of its range; and a level, if fewer than one cycle fits in the exposure.
    """
    number(exposure, "Exposure", "s", low=SHORTEST_EXPOSURE)
    number(risk, "probability of exceeding", None, above=0.0, high=HIGHEST_RISK)
    variance, rate = (array(one, "variance", None, low=0.0) for one in (m0, m2))
    return AmplitudeStatistics(variance, rate, exposure, risk)
