"""The one kernel behind the JONSWAP, two-parameter and Torsethaugen spectra, and its exact moments.

With t = ω/ωp a spectrum of this family is (Hs²/16) N(γ) t⁻ᵐ exp(−c t⁻⁴) γ^g(t) / ωp, where
g(t) = exp(−½((t − 1)/σ)²), σ = 0.07 up to the peak and 0.09 beyond. JONSWAP has m = 5, c = 5/4 and Torsethaugen
m = 4, c = 1. Since γ^g = Σ (ln γ)ᵏ gᵏ/k!, every moment of the shape is a power series in ln γ whose
coefficients do not depend on the sea; they are integrated once, to about 1e-10.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final

import numpy as np

from heave.sea.grid import FloatArray

MAX_GAMMA: Final = 50.0
"""Greatest peak factor the kernel is asked for [-]."""

SIGMA_BELOW: Final = 0.07
"""Width of the peak up to the peak frequency [-]."""

SIGMA_ABOVE: Final = 0.09
"""Width of the peak beyond the peak frequency [-]."""

_TERMS: Final = 34  # (ln 50)^34/34! is below 1e-18
_NOTHING: Final = -2000.0  # stands for ln 0: its exponential is exactly zero, and it is finite


@dataclass(frozen=True)
class PeakedForm:
    """Powers that tell one member of the family from another: t⁻ᵐ exp(−c t⁻⁴)."""

    decay: int
    slope: float


JONSWAP_FORM: Final = PeakedForm(5, 1.25)
"""JONSWAP, and with γ = 1 the two-parameter spectrum."""

TORSETHAUGEN_FORM: Final = PeakedForm(4, 1.0)
"""Torsethaugen, whose tail falls with the fourth power."""


@lru_cache(maxsize=32)
def _series(form: PeakedForm, order: int) -> FloatArray:
    """Coefficients M_k/k! of ∫ tⁿ t⁻ᵐ exp(−c t⁻⁴) γ^g(t) dt = Σ (ln γ)ᵏ M_k/k!, shape (terms,)."""
    # ∫ tⁿ⁻ᵐ exp(−c t⁻⁴) dt is a gamma function; the terms with gᵏ vanish away from the peak.
    power = (form.decay - order - 1) / 4.0
    plain = math.gamma(power) / (4.0 * form.slope**power)
    coefficients = [plain]
    sides = [_gauss(1.0 - 12.0 * SIGMA_BELOW, 1.0), _gauss(1.0, 1.0 + 12.0 * SIGMA_ABOVE)]
    for k in range(1, _TERMS):
        total = 0.0
        for (t, weight), sigma in zip(sides, (SIGMA_BELOW, SIGMA_ABOVE), strict=True):
            bell = np.exp(-0.5 * k * ((t - 1.0) / sigma) ** 2)
            total += float(
                np.sum(weight * t ** float(order - form.decay) * np.exp(-form.slope * t**-4.0) * bell)
            )
        coefficients.append(total / math.factorial(k))
    return np.array(coefficients)


def _gauss(start: float, end: float) -> tuple[FloatArray, FloatArray]:
    nodes, weights = np.polynomial.legendre.leggauss(120)
    half = 0.5 * (end - start)
    return start + half * (nodes + 1.0), half * weights


def shape_moment(form: PeakedForm, order: int, gamma: Any) -> FloatArray:
    """Moment of the unit shape over all t: ∫ tⁿ t⁻ᵐ exp(−c t⁻⁴) γ^g(t) dt, shape of `gamma` [-].

    Defined for order < m − 1; JONSWAP's fourth moment diverges.
    """
    logs = np.log(np.asarray(gamma, dtype=np.float64))
    series = _series(form, order)
    total = np.full(logs.shape, series[-1])
    for coefficient in series[-2::-1]:
        total = total * logs + coefficient
    return np.where(np.isnan(logs), np.nan, total)


def peaked_spectrum(
    omega: FloatArray,
    hs: FloatArray,
    tp: FloatArray,
    gamma: FloatArray,
    form: PeakedForm,
    precision: type[np.floating] = np.float64,
) -> FloatArray:
    """Spectra of one form for rows of height, peak period and peak factor, shape (n, nω) [m²·s].

    Written as one exponential of a sum: ln(scale) − m ln ω − c (ωp/ω)⁴ + ln γ · g(ω/ωp), where the first three
    terms are one small matrix product and g is a second exponential, worked only over the columns where
    some row has g above the rounding of a double.

    Parameters
    ----------
    omega : angular frequencies, ascending, shape (nω,) [rad/s]
    hs, tp, gamma : height [m], peak period [s] and peak factor [-], each shape (n,), already checked
    form : which member of the family
    precision : number type for g: float64, or float32 where speed counts and 2e-6 of an ordinate does not

    Returns
    -------
    Density, shape (n, nω) [m²·s]; rows with a NaN are NaN, rows of no height zero.
    """
    peak = 2.0 * math.pi / tp
    flat = hs == 0.0
    scale = hs**2 / 16.0 / shape_moment(form, 0, gamma)
    constant = np.where(flat, _NOTHING, np.log(np.where(flat, 1.0, scale)) + (form.decay - 1) * np.log(peak))
    rows = np.stack((-form.slope * peak**4, np.ones_like(peak), constant), axis=1)
    columns = np.stack((omega**-4.0, -form.decay * np.log(omega), np.ones_like(omega)))
    exponent = rows @ columns
    sharp = gamma > 1.0
    if np.any(sharp):
        _add_peak(exponent, omega, peak, gamma, precision)
    result: FloatArray = np.exp(exponent, out=exponent)
    return result


def _add_peak(
    exponent: FloatArray, omega: FloatArray, peak: FloatArray, gamma: FloatArray, precision: type[np.floating]
) -> None:
    """Add ln γ · exp(−½((ω/ωp − 1)/σ)²) to rows of exponents, in place."""
    reach = math.sqrt(2.0 * 40.0)  # exp(−40) = 4e-18
    known = peak[np.isfinite(peak)]
    first, last = np.searchsorted(
        omega, (known.min() * (1.0 - reach * SIGMA_BELOW), known.max() * (1.0 + reach * SIGMA_ABOVE))
    )
    logs = np.log(gamma)
    start = np.where(
        logs > 0.0, np.log(np.where(logs > 0.0, logs, 1.0)), np.where(logs == 0.0, _NOTHING, logs)
    )
    # Of (t − 1)/σ with either width the lesser is the right one on both sides of the peak.
    offset = np.multiply.outer((1.0 / peak).astype(precision), omega[first:last].astype(precision))
    offset -= precision(1.0)
    offset *= precision(math.sqrt(0.5) / SIGMA_ABOVE)
    np.minimum(offset, offset * precision(SIGMA_ABOVE / SIGMA_BELOW), out=offset)
    np.square(offset, out=offset)
    np.subtract(start.astype(precision)[:, None], offset, out=offset)
    np.exp(offset, out=offset)
    exponent[:, first:last] += offset
