"""The four wave periods and the exact ways from each to the peak period, through the spectrum's shape.

Tp is the period of the peak; Tz = 2π √(m0/m2) the mean zero-crossing period (Tm02); T1 = 2π m0/m1 the mean
period (Tm01); Te = 2π m₋₁/m0 the energy period (T(−1,0)). Moments here run to infinite frequency.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.arrays import FloatArray
from heave.errors import InputError
from heave.fields import Choice
from heave.sea.arguments import MAX_HS, array, number
from heave.sea.peaked import JONSWAP_FORM, MAX_GAMMA, TORSETHAUGEN_FORM, PeakedForm, shape_moment
from heave.sea.spectra import GAMMA_RULE_RANGE, GAUSSIAN_SWELL_SHORTEST, GAUSSIAN_WIDEST, gamma_by_rule
from heave.sea.two_peak import TORSETHAUGEN_LONGEST, ochi_hubble_parts, torsethaugen_energies

_ORDERS: Final = {"Tz": 2, "T1": 1, "Te": -1}
"""n of each mean period 2π (m0/m_n)^(1/n)."""

PERIOD_KINDS: Final = ("Tp", *_ORDERS)
"""Names of the periods."""

_KIND: Final = Choice("kind of period", PERIOD_KINDS)
_log_gamma: Final = np.vectorize(math.lgamma, otypes=[np.float64])
_SHORTEST: Final = 2.0
_NODES: Final = 1001
_LOWEST_OF_ENERGY: Final = 0.2
_SCAN: Final = 601


def period_ratio(kind: str, gamma: npt.ArrayLike = 1.0) -> FloatArray:
    """Ratio of a period to the peak period of a JONSWAP spectrum; γ = 1 is the two-parameter spectrum.

    From the exact moments of the shape. For γ = 1: Tz/Tp = (1.25π)^(−¼), T1/Tp = 1/(1.25^¼ Γ(¾)),
    Te/Tp = Γ(5/4)/1.25^¼.

    Source: the definitions of the periods (DNV-RP-C205, 3.5) put to that shape.

    Parameters
    ----------
    kind : 'Tp', 'Tz', 'T1' or 'Te'
    gamma : peak factor, scalar or (n,), 1 to 50 [-]

    Returns
    -------
    Ratio, shape of `gamma` [-].

    Raises
    ------
    InputError
        If the kind is unknown or a peak factor is outside its range.
    """
    factor = array(gamma, "peak factor", None, low=1.0, high=MAX_GAMMA)
    _KIND.check(kind)
    if kind == "Tp":
        return np.where(np.isnan(factor), np.nan, 1.0)
    return _share(JONSWAP_FORM, _ORDERS[kind], factor) ** (-1.0 / _ORDERS[kind])


def mean_periods(
    kind: str, shape: str, hs: npt.ArrayLike, tp: npt.ArrayLike, width: float = 0.01
) -> FloatArray:
    """Period of a JONSWAP by rule, Torsethaugen, Ochi–Hubble or Gaussian-swell spectrum of given Hs and Tp.

    Source: the definitions of the periods (DNV-RP-C205, 3.5) put to each shape.

    Parameters
    ----------
    kind : 'Tp', 'Tz', 'T1' or 'Te'
    shape : 'jonswap' (peak factor by rule), 'torsethaugen', 'ochi-hubble' or 'gaussian-swell'
    hs : significant wave height, scalar or (n,) [m]
    tp : peak period, scalar or (n,) [s]; not used for 'ochi-hubble'
    width : standard deviation of a Gaussian swell [Hz]

    Returns
    -------
    Period, broadcast shape [s].

    Raises
    ------
    InputError
        If the kind or shape is unknown or a number is outside its range.
    """
    _KIND.check(kind)
    period = array(tp, "peak period", "s", above=0.0)
    height = array(hs, "significant wave height", "m", above=0.0, high=MAX_HS)
    if kind == "Tp":
        if shape == "ochi-hubble":
            return 2.0 * math.pi / ochi_hubble_parts(height)[0][1]
        return np.broadcast_arrays(period, height)[0].copy()
    parts = _parts(shape, _ORDERS[kind], height, period, width)
    energy, moment = sum(h**2 for h, _ in parts), sum(h**2 * share for h, share in parts)
    return np.asarray(2.0 * math.pi * (energy / moment) ** (1.0 / _ORDERS[kind]))


def peak_period(
    value: float,
    kind: str,
    shape: str = "jonswap",
    hs: float | None = None,
    gamma: float | None = None,
    width: float = 0.01,
) -> float:
    """Peak period of the spectrum that has a given period of a given kind: `peak_periods` of one sea.

    A Torsethaugen spectrum is taken here as well, its equation solved by Brent's method once it is known to have
    one solution: its Tz first rises with Tp and then falls, so that some values belong to two peak periods and
    are refused.

    Source: `mean_periods`, solved for the peak period.

    Parameters
    ----------
    value : the given period [s]
    kind : 'Tp', 'Tz', 'T1' or 'Te'
    shape : 'two-parameter', 'jonswap', 'torsethaugen' or 'gaussian-swell'
    hs : significant wave height, needed for 'torsethaugen' and for the peak factor by rule [m]
    gamma : JONSWAP peak factor; None takes the rule [-]
    width : standard deviation of a Gaussian swell [Hz]

    Returns
    -------
    Peak period [s].

    Raises
    ------
    InputError
        If the kind or shape is unknown, a number is outside its range, or no such spectrum has the period.
    """
    given = number(value, f"wave period {kind}", "s", above=0.0)
    if hs is None and kind in _ORDERS and shape in ("jonswap", "torsethaugen") and gamma is None:
        raise InputError("significant wave height", hs, "m", f"a height, to convert {kind} of this spectrum")
    height = 1.0 if hs is None else hs
    if shape == "torsethaugen" and kind in _ORDERS:
        return _torsethaugen_peak(given, kind, height)
    found = float(peak_periods([given], kind, shape, [height], width, gamma)[0])
    if math.isnan(found):
        raise InputError(f"wave period {kind}", given, "s", f"a period that some peak period gives ({shape})")
    return found


def peak_periods(
    values: npt.ArrayLike,
    kind: str,
    shape: str,
    hs: npt.ArrayLike,
    width: float = 0.01,
    gamma: float | None = None,
) -> FloatArray:
    """Peak period of each spectrum that has a given period of a given kind.

    JONSWAP by rule: the peak factor depends on r = Tp/√Hs only, so T/√Hs = r·ratio(γ(r)) is one rising
    curve, tabulated between r 3.6 and 5 and exactly proportional outside. Gaussian swell: one curve of Tp,
    tabulated. A peak factor given, or two-parameter: one ratio. A Torsethaugen spectrum is taken with Tp only:
    two of them may share another period.

    Source: `mean_periods`, solved for the peak period.

    Parameters
    ----------
    values : given periods, shape (n,) [s]; NaN gives NaN
    kind : 'Tp', 'Tz', 'T1' or 'Te'
    shape : 'two-parameter', 'jonswap', 'torsethaugen' or 'gaussian-swell'
    hs : significant wave heights, shape (n,) [m]; 0 and NaN take the longest-swell end of the rule
    width : standard deviation of a Gaussian swell [Hz]
    gamma : JONSWAP peak factor; None takes the rule [-]

    Returns
    -------
    Peak periods, shape (n,) [s]; NaN where no spectrum of the shape has the period.

    Raises
    ------
    InputError
        If the kind or shape is unknown or a number is outside its range.
    """
    _KIND.check(kind)
    given = np.atleast_1d(array(values, f"wave period {kind}", "s", low=0.0))
    height = np.broadcast_to(array(hs, "significant wave height", "m", low=0.0, high=MAX_HS), given.shape)
    if kind == "Tp":
        return given.copy()
    factor = 1.0 if shape == "two-parameter" else gamma
    if shape in ("two-parameter", "jonswap") and factor is not None:
        return np.asarray(given / float(period_ratio(kind, factor)))
    if shape == "jonswap":
        return _by_rule(given, kind, height)
    if shape == "gaussian-swell":
        nodes, periods = _gaussian_curve(kind, width)
        return np.interp(given, periods, nodes, left=np.nan, right=np.nan)
    if shape == "torsethaugen":
        raise InputError("kind of period", kind, None, "Tp, for a Torsethaugen spectrum")
    raise InputError("spectral shape", shape, None, "two-parameter, jonswap, torsethaugen or gaussian-swell")


def _by_rule(given: FloatArray, kind: str, height: FloatArray) -> FloatArray:
    """JONSWAP by rule, T/√Hs against r: proportional below 3.6 and above 5, tabulated between."""
    low, high = GAMMA_RULE_RANGE
    curve = _rule_curve(kind)
    root = np.sqrt(height)
    scaled: FloatArray = np.divide(given, root, out=np.full(given.shape, math.inf), where=root > 0.0)
    inside = np.interp(scaled, curve, np.linspace(low, high, _NODES)) * root
    below = given * (low / curve[0])
    above = given * (high / curve[-1])
    return np.where(scaled <= curve[0], below, np.where(scaled >= curve[-1], above, inside))


@lru_cache(maxsize=8)
def _rule_curve(kind: str) -> FloatArray:
    ratio = np.linspace(*GAMMA_RULE_RANGE, _NODES)
    curve: FloatArray = ratio * period_ratio(kind, gamma_by_rule(np.ones(_NODES), ratio))
    return curve


@lru_cache(maxsize=16)
def _gaussian_curve(kind: str, width: float) -> tuple[FloatArray, FloatArray]:
    """Peak periods and the other kind of period of a Gaussian swell at each."""
    nodes = np.linspace(GAUSSIAN_SWELL_SHORTEST, GAUSSIAN_WIDEST / width, _NODES)
    periods = mean_periods(kind, "gaussian-swell", np.ones(_NODES), nodes, width)
    return nodes, np.maximum.accumulate(periods)  # steps of the quadrature, 0.05 s at 30 s, must not turn it


def _torsethaugen_peak(given: float, kind: str, hs: float) -> float:
    """The one peak period of a Torsethaugen spectrum that has the period."""
    from scipy.optimize import brentq

    def miss(tp: float) -> float:
        return float(mean_periods(kind, "torsethaugen", hs, tp)) - given

    scan = np.linspace(_SHORTEST, TORSETHAUGEN_LONGEST, _SCAN)
    reached = mean_periods(kind, "torsethaugen", np.full(_SCAN, hs), scan)
    crossings = np.flatnonzero((reached[:-1] <= given) != (reached[1:] <= given))
    if crossings.size != 1:
        problem = "that some peak period gives" if crossings.size == 0 else "that only one peak period gives"
        span = f"{reached.min():.2f} to {reached.max():.2f}\u00a0s"
        raise InputError(
            f"wave period {kind}", given, "s", f"a period {problem} (torsethaugen: {span}); or give Tp itself"
        )
    return float(brentq(miss, scan[crossings[0]], scan[crossings[0] + 1], xtol=1e-12))


def _share(form: PeakedForm, order: int, gamma: npt.ArrayLike) -> FloatArray:
    """m_n/m0 of a peaked spectrum whose peak lies at 1 rad/s."""
    return shape_moment(form, order, gamma) / shape_moment(form, 0, gamma)


def _parts(
    shape: str, order: int, hs: FloatArray, tp: FloatArray, width: float
) -> list[tuple[FloatArray, FloatArray]]:
    """The systems that a spectrum is the sum of: height [m] and m_n/m0 [radⁿ/sⁿ] of each.

    Ochi–Hubble: m_n/m0 = ω_mⁿ q^(n/4) Γ(λ − n/4)/Γ(λ), q = λ + ¼.
    """
    if shape == "jonswap":
        share = _share(JONSWAP_FORM, order, gamma_by_rule(hs, tp))
        return [(np.ones(share.shape), share * (2.0 * math.pi / tp) ** order)]
    if shape == "torsethaugen":
        return [
            (height, _share(TORSETHAUGEN_FORM, order, gamma) * (2.0 * math.pi / period) ** order)
            for height, period, gamma in torsethaugen_energies(hs, tp)
        ]
    if shape == "gaussian-swell":
        return [(np.ones(tp.shape), _gaussian_share(order, tp, width))]
    if shape != "ochi-hubble":
        allowed = "jonswap, torsethaugen, ochi-hubble or gaussian-swell"
        raise InputError("spectral shape", shape, None, allowed)
    found = []
    for height, modal, steepness in ochi_hubble_parts(hs):
        if np.any(steepness <= order / 4.0):
            raise InputError("significant wave height", float(hs.max()), "m", "less: m2 is infinite")
        gammas = _log_gamma(steepness - order / 4.0) - _log_gamma(steepness)
        found.append((height, modal**order * (steepness + 0.25) ** (order / 4.0) * np.exp(gammas)))
    return found


def _gaussian_share(order: int, tp: FloatArray, width: float) -> FloatArray:
    """m_n/m0 of a Gaussian about 1/Tp over positive frequency, by quadrature in standard deviations.

    The moment of order −1 has no finite value at zero frequency: for Te only what lies above a fifth of the peak
    frequency is counted, all but 1e-4 of a swell whose width is a fifth of that frequency.
    """
    z = np.linspace(-1.0, 1.0, 801) * 8.0
    peak = np.atleast_1d(1.0 / tp)[:, None]
    f = peak + width * z
    counted = f > (_LOWEST_OF_ENERGY * peak if order < 0 else 0.0)
    bell = np.where(counted, np.exp(-0.5 * z**2), 0.0)
    power = np.where(counted, 2.0 * math.pi * f, 1.0) ** order
    share: FloatArray = (bell * power).sum(axis=1) / bell.sum(axis=1)
    return share.reshape(tp.shape)
