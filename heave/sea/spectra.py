"""Wave spectra: density of the sea surface's variance over angular frequency, one-sided [m²·s].

Every function takes frequencies of shape (nω,) and parameters that are scalars or arrays of shape (n,),
and gives (nω,) or (n, nω). The integral over all frequencies is Hs²/16 exactly. A sea of no height has no
spectrum; a missing parameter (NaN) gives a missing spectrum.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.errors import InputError
from heave.sea.arguments import array, frequencies, number
from heave.sea.grid import FloatArray
from heave.sea.peaked import JONSWAP_FORM, MAX_GAMMA, TORSETHAUGEN_FORM, PeakedRows, peaked_spectrum
from heave.units import STANDARD_GRAVITY

MAX_HS: Final = 25.0
"""Greatest significant wave height the spectra are asked for [m]."""

GAMMA_RULE_RANGE: Final = (3.6, 5.0)
"""Range of Tp/√Hs within which the peak factor's rule was fitted [s/√m]; outside it the rule is held."""

GAUSSIAN_SWELL_SHORTEST: Final = 4.0
"""Shortest peak period for which a Gaussian swell is offered [s]: shorter waves are wind sea."""

GAUSSIAN_WIDTH_RANGE: Final = (0.005, 0.03)
"""Allowed standard deviation of a Gaussian swell over frequency [Hz]; 0.005 to 0.015 Hz is typical."""

GAUSSIAN_WIDEST: Final = 1.0 / 3.0
"""Greatest width × Tp of a Gaussian swell: zero frequency stays three standard deviations away."""

TORSETHAUGEN_LONGEST: Final = 25.0
"""Period at which the Torsethaugen swell factor is anchored [s]; the peak period must not exceed it."""


def two_parameter(omega: npt.ArrayLike, hs: npt.ArrayLike, tp: npt.ArrayLike) -> FloatArray:
    """Two-parameter spectrum (Pierson–Moskowitz shape; also called ISSC, ITTC or Bretschneider).

    S(ω) = 5/16 Hs² ωp⁴ ω⁻⁵ exp(−5/4 (ω/ωp)⁻⁴), ωp = 2π/Tp. Source: DNV-RP-C205, 3.5.5.

    Parameters
    ----------
    omega : angular frequencies, shape (nω,) [rad/s]
    hs : significant wave height, scalar or (n,), 0 to 25 [m]
    tp : peak period, scalar or (n,), above 0 [s]

    Returns
    -------
    Density, shape (nω,) or (n, nω) [m²·s].

    Raises
    ------
    InputError
        If a height is negative, a period is not above zero, or anything is infinite or no number.
    """
    return jonswap(omega, hs, tp, 1.0)


def jonswap(
    omega: npt.ArrayLike,
    hs: npt.ArrayLike,
    tp: npt.ArrayLike,
    gamma: npt.ArrayLike | None = None,
    *,
    out: FloatArray | None = None,
) -> FloatArray:
    """JONSWAP spectrum of a growing wind sea, or of swell with a high peak factor.

    S(ω) = A(γ) · S_PM(ω) · γ^exp(−½((ω − ωp)/(σ ωp))²), σ = 0.07 for ω ≤ ωp and 0.09 above.
    Source: DNV-RP-C205, 3.5.5. A(γ) is the exact constant that keeps the integral at Hs²/16 (the closed
    form 1 − 0.287 ln γ is off by up to 0.9 % of Hs at γ = 7).

    Parameters
    ----------
    omega : angular frequencies, shape (nω,) [rad/s]
    hs : significant wave height, scalar or (n,), 0 to 25 [m]
    tp : peak period, scalar or (n,), above 0 [s]
    gamma : peak factor, scalar or (n,), 1 to 50 [-]; None takes `gamma_by_rule`
    out : array to fill, shape (n, nω), ordinates of rows [m²·s]; None makes a new one

    Returns
    -------
    Density, shape (nω,) or (n, nω) [m²·s].

    Raises
    ------
    InputError
        If a height is negative, a period is not above zero, a peak factor is outside 1 to 50, or anything
        is infinite or no number.
    """
    grid = frequencies(omega)
    height, period = _height(hs), _period(tp)
    factor = (
        gamma_by_rule(height, period)
        if gamma is None
        else array(gamma, "peak factor", None, low=1.0, high=MAX_GAMMA)
    )
    height, period, factor = _together(height, period, factor)
    sea = PeakedRows(np.atleast_1d(height), np.atleast_1d(period), np.atleast_1d(factor))
    ordinates = peaked_spectrum(grid, sea, JONSWAP_FORM, out)
    return ordinates if height.ndim else ordinates[0]


def gamma_by_rule(hs: npt.ArrayLike, tp: npt.ArrayLike) -> FloatArray:
    """JONSWAP peak factor from height and period, with r = Tp/√Hs [s/√m].

    γ = 5 for r ≤ 3.6; exp(5.75 − 1.15 r) between; 1 for r ≥ 5. Source: DNV-RP-C205, 3.5.5.

    Parameters
    ----------
    hs : significant wave height, scalar or (n,) [m]
    tp : peak period, scalar or (n,) [s]

    Returns
    -------
    Peak factor, broadcast shape [-]; 1 for a sea of no height; NaN where an input is NaN.

    Raises
    ------
    InputError
        As for `jonswap`.
    """
    height, period = _together(_height(hs), _period(tp))
    # A flat sea has no ratio; it is given the end of the rule where γ is 1.
    root = np.sqrt(height)
    ratio = period / np.where(
        root > 0.0, root, np.where(np.isnan(root), np.nan, period / GAMMA_RULE_RANGE[1])
    )
    gamma = np.exp(5.75 - 1.15 * ratio)
    gamma = np.where(ratio <= GAMMA_RULE_RANGE[0], 5.0, gamma)
    return np.asarray(np.where(ratio >= GAMMA_RULE_RANGE[1], 1.0, gamma))


def torsethaugen_parts(
    hs: npt.ArrayLike, tp: npt.ArrayLike
) -> tuple[tuple[FloatArray, FloatArray, FloatArray], tuple[FloatArray, FloatArray, FloatArray]]:
    """Primary and secondary system of the simplified Torsethaugen spectrum: (height, period, γ) of each.

    Tf = 6.6 Hs^⅓ parts wind sea (Tp ≤ Tf) from swell.
    Wind sea: r = 0.7 + 0.3 exp[−(2(Tf − Tp)/(Tf − 2√Hs))²],
    H1 = r Hs, T1 = Tp, γ = 35 (2πH1/(g Tp²))^0.857; H2 = √(1 − r²) Hs, T2 = Tf + 2.
    Swell: r = 0.6 + 0.4 exp[−((Tp − Tf)/(0.3(25 − Tf)))²], H1 = r Hs, T1 = Tp,
    γ = 35 (2πHs/(g Tf²))^0.857 (1 + 6(Tp − Tf)/(25 − Tf)); H2 = √(1 − r²) Hs, T2 = 6.6 H2^⅓. Secondary γ = 1.
    Source: Torsethaugen and Haver, ISOPE 2004, and DNV-RP-C205 appendix A, from memory. A peak factor below
    1 is taken as 1, because the model's constant A(γ) exists only from 1 upwards.

    Parameters
    ----------
    hs : significant wave height, scalar or (n,), 0 to 25 [m]
    tp : peak period, scalar or (n,), above 0 to 25 [s]

    Returns
    -------
    Two triples of arrays of the broadcast shape: height [m], peak period [s], peak factor [-]. A part of no
    height is given the primary's period.

    Raises
    ------
    InputError
        If a height is negative, a period is not above 0 or is beyond 25 s, or anything is infinite.
    """
    height, period = _together(
        _height(hs), array(tp, "peak period", "s", above=0.0, high=TORSETHAUGEN_LONGEST)
    )
    boundary = 6.6 * np.cbrt(height)
    wind = period <= boundary
    calm = height == 0.0
    safe_height, safe_boundary = np.where(calm, 1.0, height), np.where(calm, 6.6, boundary)
    past = (period - safe_boundary) / (TORSETHAUGEN_LONGEST - safe_boundary)
    short = 2.0 * (safe_boundary - period) / (safe_boundary - 2.0 * np.sqrt(safe_height))
    share = np.where(wind, 0.7 + 0.3 * np.exp(-(short**2)), 0.6 + 0.4 * np.exp(-((past / 0.3) ** 2)))
    primary, secondary = share * height, np.sqrt(1.0 - share**2) * height
    steepness = (
        2.0
        * np.pi
        / STANDARD_GRAVITY
        * np.where(wind, share * safe_height / period**2, safe_height / safe_boundary**2)
    )
    gamma = 35.0 * steepness**0.857 * np.where(wind, 1.0, 1.0 + 6.0 * past)
    gamma = np.where(gamma < 1.0, 1.0, gamma)
    swell_period = np.where(secondary == 0.0, period, 6.6 * np.cbrt(secondary))
    second_period = np.where(wind, boundary + 2.0, swell_period)
    ones = np.where(np.isnan(gamma), np.nan, 1.0)
    return (primary, period, gamma), (secondary, second_period, ones)


def torsethaugen(omega: npt.ArrayLike, hs: npt.ArrayLike, tp: npt.ArrayLike) -> FloatArray:
    """Simplified Torsethaugen two-peak spectrum of the North Sea and Norwegian Sea.

    S(f) = Σ (H_j² T_j/16) 3.26 A_j f_n⁻⁴ exp(−f_n⁻⁴) γ_j^exp(−(f_n − 1)²/2σ²), f_n = f T_j, with the parts of
    `torsethaugen_parts`; S(ω) = S(f)/2π. The published constants 3.26 and A_j are replaced by the exact ones,
    so that the integral is Hs²/16. Source: Torsethaugen and Haver, ISOPE 2004, from memory.

    Parameters
    ----------
    omega : angular frequencies, shape (nω,) [rad/s]
    hs : total significant wave height, scalar or (n,), 0 to 25 [m]
    tp : peak period of the primary system, scalar or (n,), above 0 to 25 [s]

    Returns
    -------
    Density, shape (nω,) or (n, nω) [m²·s].

    Raises
    ------
    InputError
        As for `torsethaugen_parts`.
    """
    grid = frequencies(omega)
    parts = torsethaugen_parts(hs, tp)
    total = sum(
        peaked_spectrum(grid, PeakedRows(*(np.atleast_1d(value) for value in part)), TORSETHAUGEN_FORM)
        for part in parts
    )
    ordinates: FloatArray = np.asarray(total)
    return ordinates if parts[0][0].ndim else ordinates[0]


def ochi_hubble_parts(
    hs: npt.ArrayLike,
) -> tuple[tuple[FloatArray, FloatArray, FloatArray], tuple[FloatArray, FloatArray, FloatArray]]:
    """Two parts of the most probable Ochi–Hubble spectrum: (height, modal frequency, shape λ) of each.

    H1 = 0.84 Hs, ω1 = 0.70 e^(−0.046 Hs), λ1 = 3.00; H2 = 0.54 Hs, ω2 = 1.15 e^(−0.039 Hs),
    λ2 = 1.54 e^(−0.062 Hs), Hs in metres. Source: Ochi and Hubble, Coastal Engineering 1976, from memory.
    The two heights are scaled by 1.0014 so that H1² + H2² = Hs² (the printed ones are rounded).

    Parameters
    ----------
    hs : significant wave height, scalar or (n,), 0 to 25 [m]

    Returns
    -------
    Two triples of arrays of the shape of `hs`: height [m], modal frequency [rad/s], shape [-].

    Raises
    ------
    InputError
        If a height is negative, infinite or no number.
    """
    height = _height(hs)
    exact = 1.0 / math.hypot(0.84, 0.54)
    return (
        (0.84 * exact * height, 0.70 * np.exp(-0.046 * height), np.where(np.isnan(height), np.nan, 3.00)),
        (0.54 * exact * height, 1.15 * np.exp(-0.039 * height), 1.54 * np.exp(-0.062 * height)),
    )


def ochi_hubble(omega: npt.ArrayLike, hs: npt.ArrayLike) -> FloatArray:
    """Most probable Ochi–Hubble six-parameter spectrum of a given height: wind sea and swell together.

    S(ω) = ¼ Σ [((4λ+1)/4) ω_m⁴]^λ / Γ(λ) · H_j² ω^−(4λ+1) exp[−((4λ+1)/4)(ω_m/ω)⁴], with the parts of
    `ochi_hubble_parts`; λ = 1 is the two-parameter shape.

    Parameters
    ----------
    omega : angular frequencies, shape (nω,) [rad/s]
    hs : total significant wave height, scalar or (n,), 0 to 25 [m]

    Returns
    -------
    Density, shape (nω,) or (n, nω) [m²·s].

    Raises
    ------
    InputError
        If a height is negative, infinite or no number.
    """
    grid = frequencies(omega)
    parts = ochi_hubble_parts(hs)
    total: FloatArray = np.zeros((np.atleast_1d(parts[0][0]).size, grid.size))
    for part in parts:
        height, modal, shape = (np.atleast_1d(value)[:, None] for value in part)
        q = (4.0 * shape + 1.0) / 4.0
        gammas = np.array([math.nan if math.isnan(x) else math.gamma(x) for x in shape.ravel()])[:, None]
        tails = (q**shape / gammas) * (modal / grid) ** (4.0 * shape) / grid
        total += 0.25 * height**2 * tails * np.exp(-q * (modal / grid) ** 4)
    return total if np.ndim(parts[0][0]) else total[0]


def gaussian_swell(
    omega: npt.ArrayLike, hs: npt.ArrayLike, tp: npt.ArrayLike, width: float = 0.01
) -> FloatArray:
    """Swell as a Gaussian over frequency about 1/Tp.

    S(f) = (Hs²/16) exp(−½((f − 1/Tp)/σ_f)²) / (√(2π) σ_f Φ(1/(Tp σ_f))), S(ω) = S(f)/2π; the last
    factor keeps the integral over positive frequencies at Hs²/16. Common practice; widths of
    0.005 to 0.015 Hz are typical (from memory).

    Parameters
    ----------
    omega : angular frequencies, shape (nω,) [rad/s]
    hs : significant wave height, scalar or (n,), 0 to 25 [m]
    tp : peak period, scalar or (n,), from 4 [s]
    width : standard deviation σ_f over frequency, 0.005 to 0.03 and at most 1/(3 Tp) [Hz]

    Returns
    -------
    Density, shape (nω,) or (n, nω) [m²·s].

    Raises
    ------
    InputError
        If a parameter is outside its range, infinite or no number.
    """
    grid = frequencies(omega)
    period = array(tp, "peak period", "s", low=GAUSSIAN_SWELL_SHORTEST)
    sigma = number(width, "swell width", "Hz", low=GAUSSIAN_WIDTH_RANGE[0], high=GAUSSIAN_WIDTH_RANGE[1])
    if np.any(sigma * period > GAUSSIAN_WIDEST * (1.0 + 1e-9)):
        allowed = (
            f"at most one third of the peak frequency, {GAUSSIAN_WIDEST / float(np.nanmax(period)):.4f} Hz"
        )
        raise InputError("swell width", sigma, "Hz", allowed)
    height, period = _together(_height(hs), period)
    rows, mean = np.atleast_1d(height)[:, None], 1.0 / np.atleast_1d(period)[:, None]
    above_zero = np.array([0.5 * (1.0 + math.erf(x / math.sqrt(2.0))) for x in (mean / sigma).ravel()])[
        :, None
    ]
    scale = rows**2 / 16.0 / (math.sqrt(2.0 * math.pi) * sigma * above_zero) / (2.0 * math.pi)
    ordinates: FloatArray = scale * np.exp(-0.5 * ((grid / (2.0 * math.pi) - mean) / sigma) ** 2)
    return ordinates if height.ndim else ordinates[0]


def _height(hs: npt.ArrayLike) -> FloatArray:
    return array(hs, "significant wave height", "m", low=0.0, high=MAX_HS)


def _period(tp: npt.ArrayLike) -> FloatArray:
    return array(tp, "peak period", "s", above=0.0)


def _together(*values: FloatArray) -> tuple[FloatArray, ...]:
    try:
        return tuple(np.asarray(value) for value in np.broadcast_arrays(*values))
    except ValueError as error:
        shapes = ", ".join(str(value.shape) for value in values)
        raise InputError("sea parameters", f"shapes {shapes}", None, "arrays of one length") from error
