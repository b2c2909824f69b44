"""The one kernel behind the JONSWAP, two-parameter and Torsethaugen spectra, and its exact moments.

With t = ω/ωp a spectrum of this family is (Hs²/16) N(γ) t⁻ᵐ exp(−c t⁻⁴) γ^g(t) / ωp, where
g(t) = exp(−½((t − 1)/σ)²), σ = 0.07 up to the peak and 0.09 beyond. JONSWAP has m = 5, c = 5/4;
Torsethaugen has m = 4, c = 1. Since γ^g = Σ (ln γ)ᵏ gᵏ/k!, every moment of the shape is a power series in
ln γ whose coefficients do not depend on the sea; they are integrated once, to about 1e-10.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, NamedTuple

import numpy as np
import numpy.typing as npt

from heave.sea.grid import FloatArray

MAX_GAMMA: Final = 50.0
"""Greatest peak factor the kernel is asked for [-]."""

SIGMA_BELOW: Final = 0.07
"""Width of the peak up to the peak frequency [-]."""

SIGMA_ABOVE: Final = 0.09
"""Width of the peak beyond the peak frequency [-]."""

_TERMS: Final = 34  # (ln 50)^34/34! is below 1e-18
_NOTHING: Final = 1e-19
_UNDERFLOW: Final = 800.0  # exp(−800) is zero, and the rest of the sum cannot bring it back above −746
_REACH: Final = math.sqrt(2.0 * 37.0)  # exp(−37) is below half the rounding of 1
_BLOCK: Final = 256  # rows of a block: its three arrays stay in cache, its products on one thread
_STEEP: Final = math.sqrt(0.5) / SIGMA_ABOVE


@dataclass(frozen=True)
class PeakedForm:
    """Powers that tell one member of the family from another: t⁻ᵐ exp(−c t⁻⁴)."""

    decay: int
    slope: float


JONSWAP_FORM: Final = PeakedForm(5, 1.25)
"""JONSWAP, and with γ = 1 the two-parameter spectrum."""

TORSETHAUGEN_FORM: Final = PeakedForm(4, 1.0)
"""Torsethaugen, whose tail falls with the fourth power."""


class PeakedRows(NamedTuple):
    """Seas of one peaked system each."""

    hs: FloatArray
    """Significant wave heights, shape (n,) [m]."""
    tp: FloatArray
    """Peak periods, shape (n,) [s]."""
    gamma: FloatArray
    """Peak factors, shape (n,) [-]."""


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


def shape_moment(form: PeakedForm, order: int, gamma: npt.ArrayLike) -> FloatArray:
    """Moment of the unit shape over all t, ∫ tⁿ t⁻ᵐ exp(−c t⁻⁴) γ^g(t) dt.

    Parameters
    ----------
    form : which member of the family
    order : n, below m − 1 (JONSWAP's fourth moment diverges) [-]
    gamma : peak factor, scalar or (n,), 1 to 50 [-]

    Returns
    -------
    Moment, shape of `gamma` [-].
    """
    logs = np.log(np.asarray(gamma, dtype=np.float64))
    series = _series(form, order)
    greatest = float(np.max(logs, initial=0.0, where=np.isfinite(logs)))
    terms = next(k for k in range(4, _TERMS + 1) if k == _TERMS or greatest**k < 1e-18 * math.factorial(k))
    total = np.full(logs.shape, series[terms - 1])
    for coefficient in series[terms - 2 :: -1]:
        total *= logs
        total += coefficient
    return total


def peaked_spectrum(
    omega: FloatArray, sea: PeakedRows, form: PeakedForm, out: FloatArray | None = None
) -> FloatArray:
    """Spectra of one form for rows of height, peak period and peak factor.

    Written as one exponential of a sum, ln(scale) − m ln ω − c (ωp/ω)⁴ + ln γ · g(ω/ωp): the first three
    terms are one small matrix product, and g is a second exponential. Seas are worked in the order of their
    peaks, in blocks that stay in the processor's cache: a block has its peaks in few columns, and only there
    is g computed.

    Parameters
    ----------
    omega : angular frequencies, shape (nω,), worked in ascending order [rad/s]
    sea : heights, peak periods and peak factors, already checked
    form : which member of the family
    out : array to fill, shape (n, nω) [m²·s]; None makes a new one

    Returns
    -------
    Density, shape (n, nω) [m²·s]; rows with a NaN are NaN, rows of no height zero.
    """
    if np.any(np.diff(omega) < 0.0):
        ascending = np.argsort(omega)
        ordered = peaked_spectrum(omega[ascending], sea, form)
        result = np.empty_like(ordered) if out is None else out
        result[:, ascending] = ordered
        return result
    order = np.argsort(sea.tp)[::-1]
    hs, gamma, peak = sea.hs[order], sea.gamma[order], 2.0 * math.pi / sea.tp[order]
    flat = hs == 0.0
    scale = np.where(flat, 1.0, hs**2 / 16.0) / shape_moment(form, 0, gamma)
    squared = np.square(peak)
    constant = np.log(scale) + (form.decay - 1) * np.log(peak)
    rows = np.stack((-form.slope * squared * squared, np.ones_like(peak), constant), axis=1)
    columns = np.stack((omega**-4.0, -form.decay * np.log(omega), np.ones_like(omega)))
    logs = np.log(gamma)
    # ln γ goes into the exponent of g; where γ is 1 it is 1e-19 instead of 0, which adds nothing to a double.
    start = np.log(np.where(logs < _NOTHING, _NOTHING, logs))[:, None]
    offsets = np.stack((_STEEP / peak, np.full(peak.size, -_STEEP)), axis=1)
    lines = np.stack((omega, np.ones_like(omega)))
    result = np.empty((peak.size, omega.size)) if out is None else out
    space = np.empty((3, min(_BLOCK, peak.size) * omega.size))
    for first in range(0, peak.size, _BLOCK):
        part = slice(first, first + _BLOCK)
        low, left, right = _reaches(omega, peak[part], form)
        exponent = _view(space[0], peak[part].size, omega.size - low)
        np.matmul(rows[part], columns[:, low:], out=exponent)
        if left < right and np.any(logs[part] > 0.0):
            term = _view(space[1], peak[part].size, right - left)
            np.matmul(offsets[part], lines[:, left:right], out=term)
            window = exponent[:, left - low : right - low]
            other = _view(space[2], peak[part].size, right - left)
            np.add(window, _peak_term(term, other, start[part]), out=window)
        np.exp(exponent, out=exponent)
        target = order[part]
        result[target, :low] = 0.0
        result[target, low:] = exponent
    if np.any(flat):
        result[order[flat]] = 0.0
    missing = np.isnan(hs + peak + gamma)
    if np.any(missing):
        result[order[missing]] = np.nan
    return result


def _view(space: FloatArray, rows: int, columns: int) -> FloatArray:
    return space[: rows * columns].reshape(rows, columns)


def _reaches(omega: FloatArray, peak: FloatArray, form: PeakedForm) -> tuple[int, int, int]:
    """Column below which every density of a block is zero, and the columns between which a peak is felt."""
    known = peak[np.isfinite(peak)]
    if not known.size:
        return 0, 0, 0
    lowest, highest = float(known.min()), float(known.max())
    marks = (
        (form.slope / _UNDERFLOW) ** 0.25 * lowest,
        lowest * (1.0 - _REACH * SIGMA_BELOW),
        highest * (1.0 + _REACH * SIGMA_ABOVE),
    )
    low, left, right = np.searchsorted(omega, marks)
    return int(low), int(max(low, left)), int(right)


def _peak_term(offset: FloatArray, other: FloatArray, start: FloatArray) -> FloatArray:
    """ln γ · g from √½ (t − 1)/0.09, worked in place and in `other`, and ln ln γ of each row [-]."""
    # Of (t − 1)/σ with either width, the lesser is the right one on both sides of the peak.
    np.multiply(offset, SIGMA_ABOVE / SIGMA_BELOW, out=other)
    np.minimum(offset, other, out=offset)
    np.square(offset, out=offset)
    np.subtract(start, offset, out=offset)
    return np.exp(offset, out=offset)
