"""Peak periods of many seas at once from another kind of period.

The equation `peak_period` solves for one sea, through tables where the shape allows one.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.errors import InputError
from heave.sea.arguments import MAX_HS, array
from heave.sea.grid import FloatArray
from heave.sea.periods import PERIOD_KINDS, mean_periods, period_ratio
from heave.sea.spectra import GAUSSIAN_SWELL_SHORTEST, GAUSSIAN_WIDEST, gamma_by_rule

_NODES: Final = 1001
_RULE_RANGE: Final = (3.6, 5.0)
"""Tp/√Hs between which the rule for the JONSWAP peak factor varies it (DNV-RP-C205, 3.5.5)."""


def peak_periods(
    values: npt.ArrayLike, kind: str, shape: str, hs: npt.ArrayLike, width: float = 0.01
) -> FloatArray:
    """Peak period of each spectrum that has a given period of a given kind.

    JONSWAP by rule: the peak factor depends on r = Tp/√Hs only, so T/√Hs = r·ratio(γ(r)) is one rising
    curve, tabulated between r 3.6 and 5 and exactly proportional outside. Gaussian swell: one curve of Tp,
    tabulated. Two-parameter: one ratio. A Torsethaugen spectrum is taken with Tp only: two of them may share
    another period.

    Parameters
    ----------
    values : given periods, shape (n,) [s]; NaN gives NaN
    kind : 'Tp', 'Tz', 'T1' or 'Te'
    shape : 'two-parameter', 'jonswap' (peak factor by rule), 'torsethaugen' or 'gaussian-swell'
    hs : significant wave heights, shape (n,) [m]; 0 and NaN take the longest-swell end of the rule
    width : standard deviation of a Gaussian swell [Hz]

    Returns
    -------
    Peak periods, shape (n,) [s]; NaN where no spectrum of the shape has the period.

    Raises
    ------
    InputError
        If the kind or shape is unknown or a number is outside its range.
    """
    if kind not in PERIOD_KINDS:
        raise InputError("kind of period", kind, None, "one of " + ", ".join(PERIOD_KINDS))
    given = np.atleast_1d(array(values, f"wave period {kind}", "s", low=0.0))
    height = np.broadcast_to(array(hs, "significant wave height", "m", low=0.0, high=MAX_HS), given.shape)
    if kind == "Tp":
        return given.copy()
    if shape == "two-parameter":
        return np.asarray(given / float(period_ratio(kind, 1.0)))
    if shape == "jonswap":
        return _jonswap(given, kind, height)
    if shape == "gaussian-swell":
        nodes, periods = _gaussian_curve(kind, width)
        return np.interp(given, periods, nodes, left=np.nan, right=np.nan)
    if shape == "torsethaugen":
        raise InputError("kind of period", kind, None, "Tp, for a Torsethaugen spectrum")
    raise InputError("spectral shape", shape, None, "two-parameter, jonswap, torsethaugen or gaussian-swell")


def _jonswap(given: FloatArray, kind: str, height: FloatArray) -> FloatArray:
    """T/√Hs against r: proportional below 3.6 and above 5, tabulated between."""
    low, high = _RULE_RANGE
    curve = _rule_curve(kind)
    root = np.sqrt(height)
    with np.errstate(divide="ignore", invalid="ignore"):
        scaled = np.where(root > 0.0, given / np.where(root > 0.0, root, 1.0), math.inf)
    inside = np.interp(scaled, curve, np.linspace(low, high, _NODES)) * root
    below = given * (low / curve[0])
    above = given * (high / curve[-1])
    return np.where(scaled <= curve[0], below, np.where(scaled >= curve[-1], above, inside))


@lru_cache(maxsize=8)
def _rule_curve(kind: str) -> FloatArray:
    ratio = np.linspace(*_RULE_RANGE, _NODES)
    curve: FloatArray = ratio * period_ratio(kind, gamma_by_rule(np.ones(_NODES), ratio))
    return curve


@lru_cache(maxsize=16)
def _gaussian_curve(kind: str, width: float) -> tuple[FloatArray, FloatArray]:
    """Peak periods and the other kind of period of a Gaussian swell at each."""
    nodes = np.linspace(GAUSSIAN_SWELL_SHORTEST, GAUSSIAN_WIDEST / width, _NODES)
    periods = mean_periods(kind, "gaussian-swell", np.ones(_NODES), nodes, width)
    return nodes, np.maximum.accumulate(periods)  # steps of the quadrature, 0.05 s at 30 s, must not turn it
