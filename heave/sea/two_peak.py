"""Empirical spectra of wind sea and swell together: Torsethaugen and Ochi–Hubble.

Shapes and conventions are those of `heave.sea.spectra`.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.arrays import FloatArray
from heave.sea.arguments import array, as_asked, height_of, together
from heave.sea.peaked import TORSETHAUGEN_FORM, ExponentialRows, logarithm, peaked_rows, shape_moment
from heave.units import STANDARD_GRAVITY

Part = tuple[FloatArray, FloatArray, FloatArray]
Parts = tuple[Part, Part]

TORSETHAUGEN_LONGEST: Final = 25.0
"""Period at which the Torsethaugen swell factor is anchored [s]; the peak period must not exceed it."""


def torsethaugen_parts(hs: npt.ArrayLike, tp: npt.ArrayLike) -> Parts:
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
    height, period = together(
        height_of(hs), array(tp, "peak period", "s", above=0.0, high=TORSETHAUGEN_LONGEST)
    )
    boundary = 6.6 * np.cbrt(height)
    wind = period <= boundary
    calm = height == 0.0
    safe_height, safe_boundary = np.where(calm, 1.0, height), np.where(calm, 6.6, boundary)
    past = (period - safe_boundary) / (TORSETHAUGEN_LONGEST - safe_boundary)
    short = 2.0 * (safe_boundary - period) / (safe_boundary - 2.0 * np.sqrt(safe_height))
    share = np.where(wind, 0.7 + 0.3 * np.exp(-(short**2)), 0.6 + 0.4 * np.exp(-((past / 0.3) ** 2)))
    primary, secondary = share * height, np.sqrt(1.0 - share**2) * height
    height_over_square = np.where(wind, share * safe_height / period**2, safe_height / safe_boundary**2)
    steepness = 2.0 * np.pi / STANDARD_GRAVITY * height_over_square
    gamma = 35.0 * steepness**0.857 * np.where(wind, 1.0, 1.0 + 6.0 * past)
    gamma = np.where(gamma < 1.0, 1.0, gamma)
    swell_period = np.where(secondary == 0.0, period, 6.6 * np.cbrt(secondary))
    second_period = np.where(wind, boundary + 2.0, swell_period)
    ones = np.where(np.isnan(gamma), np.nan, 1.0)
    return (primary, period, gamma), (secondary, second_period, ones)


def torsethaugen_energies(hs: npt.ArrayLike, tp: npt.ArrayLike) -> Parts:
    """The parts of `torsethaugen_parts` with the heights they really have in the spectrum.

    With A_1 = (1 + 1.1 (ln γ)^1.19)/γ and A_2 = 1 a part of nominal height H_j holds the energy
    (H_j²/16) 3.26 A_j ∫ f_n⁻⁴ exp(−f_n⁻⁴) γ^g df_n; both are scaled by one factor to Hs²/16 together.

    Parameters, returns and errors are those of `torsethaugen_parts`.
    """
    (first, tp_1, gamma), (second, tp_2, ones) = torsethaugen_parts(hs, tp)
    factor = (1.0 + 1.1 * np.log(gamma) ** 1.19) / gamma
    peaked, plain = (shape_moment(TORSETHAUGEN_FORM, 0, value) for value in (gamma, ones))
    raw_1, raw_2 = first * np.sqrt(factor * peaked), second * np.sqrt(plain)
    total = np.hypot(raw_1, raw_2)
    scale = np.asarray(hs, dtype=np.float64) / np.where(total == 0.0, 1.0, total)
    return (scale * raw_1, tp_1, gamma), (scale * raw_2, tp_2, ones)


def torsethaugen(omega: npt.ArrayLike, hs: npt.ArrayLike, tp: npt.ArrayLike) -> FloatArray:
    """Simplified Torsethaugen two-peak spectrum of the North Sea and Norwegian Sea.

    S(f) = Σ (H_j² T_j/16) 3.26 A_j f_n⁻⁴ exp(−f_n⁻⁴) γ_j^exp(−(f_n − 1)²/2σ²), f_n = f T_j, with the parts of
    `torsethaugen_parts`, A_1 = (1 + 1.1 (ln γ)^1.19)/γ and A_2 = 1; S(ω) = S(f)/2π. The published constants
    miss the energy by up to 4 %, so the sum is brought back to Hs²/16, exactly.
    Source: Torsethaugen and Haver, ISOPE 2004, from memory.

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
    return as_asked(torsethaugen_rows(hs, tp), omega, np.broadcast_arrays(hs, tp)[0])


def torsethaugen_rows(hs: npt.ArrayLike, tp: npt.ArrayLike) -> tuple[ExponentialRows, ...]:
    """Both parts of `torsethaugen` for n seas, to be written block by block; arguments and errors as there."""
    return tuple(peaked_rows(TORSETHAUGEN_FORM, *part) for part in torsethaugen_energies(hs, tp))


def ochi_hubble_parts(hs: npt.ArrayLike) -> Parts:
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
    height = height_of(hs)
    exact = 1.0 / math.hypot(0.84, 0.54)
    return (
        (0.84 * exact * height, 0.70 * np.exp(-0.046 * height), np.where(np.isnan(height), np.nan, 3.00)),
        (0.54 * exact * height, 1.15 * np.exp(-0.039 * height), 1.54 * np.exp(-0.062 * height)),
    )


def ochi_hubble(omega: npt.ArrayLike, hs: npt.ArrayLike) -> FloatArray:
    """Most probable Ochi–Hubble six-parameter spectrum of a given height: wind sea and swell together.

    S(ω) = ¼ Σ [((4λ+1)/4) ω_m⁴]^λ / Γ(λ) · H_j² ω^−(4λ+1) exp[−((4λ+1)/4)(ω_m/ω)⁴], with the parts of
    `ochi_hubble_parts`; λ = 1 is the two-parameter shape.

    Source: Ochi and Hubble, Coastal Engineering 1976, from memory.

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
    return as_asked(ochi_hubble_rows(hs), omega, hs)


def ochi_hubble_rows(hs: npt.ArrayLike) -> tuple[ExponentialRows, ...]:
    """Both parts of `ochi_hubble` for n seas, to be written block by block; arguments and errors as there."""
    return tuple(_gamma_rows(*np.atleast_1d(*part)) for part in ochi_hubble_parts(hs))


def _gamma_rows(hs: FloatArray, modal: FloatArray, shape: FloatArray) -> ExponentialRows:
    """The formula of `ochi_hubble`, one part: its logarithm is a ω⁻⁴ − (4λ + 1) ln ω + c."""
    q = (4.0 * shape + 1.0) / 4.0
    known = np.where(np.isnan(shape), 1.0, shape)
    constant = shape * np.log(q) + 4.0 * shape * np.log(modal) - np.array([math.lgamma(x) for x in known])
    coefficients = np.stack((-q * modal**4, -4.0 * q, constant + logarithm(0.25 * hs**2)), axis=1)
    return ExponentialRows(coefficients, modal)
