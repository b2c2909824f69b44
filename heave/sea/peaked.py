"""The one kernel behind every formula spectrum, and the exact moments of the peaked family.

Every formula spectrum is a sum of exp(a ω⁻⁴ + b ln ω + c), the peaked ones with ln γ · g(ω/ωp) beside it: the
first three are one small matrix product. `ExponentialRows` holds the coefficients of many seas and writes their
densities block by block into memory that stays in the processor's cache.

With t = ω/ωp a spectrum of this family is (Hs²/16) N(γ) t⁻ᵐ exp(−c t⁻⁴) γ^g(t) / ωp, where
g(t) = exp(−½((t − 1)/σ)²), σ = 0.07 up to the peak and 0.09 beyond. JONSWAP has m = 5, c = 5/4;
Torsethaugen has m = 4, c = 1. Since γ^g = Σ (ln γ)ᵏ gᵏ/k!, every moment of the shape is a power series in
ln γ whose coefficients do not depend on the sea; they are integrated once, to about 1e-10.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Final, NamedTuple, Protocol

import numpy as np
import numpy.typing as npt

from heave.arrays import BoolArray, FloatArray, Floats

MAX_GAMMA: Final = 50.0
"""Greatest peak factor the kernel is asked for [-]."""

SIGMA_BELOW: Final = 0.07
"""Width of the peak up to the peak frequency [-]."""

SIGMA_ABOVE: Final = 0.09
"""Width of the peak beyond the peak frequency [-]."""

_TERMS: Final = 34  # (ln 50)^34/34! is below 1e-18
_FLAT: Final = -2000.0  # the logarithm of a sea of no height: its exponential is zero
_UNFELT: Final = 30.0
_WORTH_LEAVING: Final = 8  # columns: a table with fewer left out costs more than whole, row by row
_STEEP: Final = math.sqrt(0.5) / SIGMA_ABOVE

BLOCK: Final = 768
"""Seas worked at a time, so that what is worked on stays in the processor's cache."""


class PeakedForm(NamedTuple):
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
    k = np.arange(1, _TERMS)[:, None]
    nodes, weights = np.polynomial.legendre.leggauss(120)
    near = np.zeros(_TERMS - 1)
    for start, sigma in ((1.0 - 12.0 * SIGMA_BELOW, SIGMA_BELOW), (1.0, SIGMA_ABOVE)):
        half = 6.0 * sigma
        t = start + half * (nodes + 1.0)
        plain_part = half * weights * t ** float(order - form.decay) * np.exp(-form.slope * t**-4.0)
        near += np.sum(plain_part * np.exp(-0.5 * k * ((t - 1.0) / sigma) ** 2), axis=1)
    return np.array([plain, *(term / math.factorial(k) for k, term in enumerate(near, start=1))])


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
    return np.asarray(np.polynomial.polynomial.polyval(logs, series[:terms]))


class Axis:
    """Frequencies with the powers of them that the kernel needs, in one floating-point type.

    omega : ascending, shape (nω,) [rad/s]
    """

    def __init__(self, omega: FloatArray, dtype: npt.DTypeLike = np.float64) -> None:
        self.omega = omega
        self.dtype = np.dtype(dtype)
        self.powers = np.stack((omega**-4.0, np.log(omega), np.ones_like(omega))).astype(self.dtype)
        self.reach = math.sqrt(-2.0 * math.log(0.5 * float(np.finfo(self.dtype).eps)))
        """Standard deviations beyond which a bell adds less than the rounding of 1 [-]."""

        self.least = 20.0 - math.log(float(np.finfo(self.dtype).smallest_subnormal))
        """Exponent below which a density is zero, whatever else is in it [-]."""
        self.line = np.stack((omega, np.ones_like(omega))).astype(self.dtype)

    def memory(self, rows: int) -> Floats:
        """Memory for the densities of at most `rows` seas, twice: a sum and what is added to it, or to work in."""
        return np.empty((2, rows * self.omega.size), dtype=self.dtype)


class Rows(Protocol):
    """Densities of one wave system in each of n seas, that can be written block by block."""

    @property
    def size(self) -> int:
        """Number of seas."""
        ...

    @property
    def felt_from(self) -> float:
        """Frequency below which no sea has a density of e⁻³⁰ of its greatest [rad/s]; infinite where none is known."""
        ...

    def write(self, axis: Axis, rows: slice, out: Floats, scratch: Floats) -> None:
        """Write the densities of some seas.

        Parameters
        ----------
        axis : the frequencies
        rows : which seas
        out : to be filled, shape (rows, nω), in the type of `axis` [m²·s]
        scratch : memory to work in
        """


@dataclass(frozen=True, eq=False)
class ExponentialRows:
    """Densities exp(a ω⁻⁴ + b ln ω + c + ln γ · g(ω/ωp)) of n seas, by their coefficients.

    Parameters
    ----------
    coefficients : a, b and c, shape (n, 3); NaN marks a missing sea
    peak : ωp, shape (n,) [rad/s]
    start : ln ln γ, shape (n,), −∞ where γ is 1; None where no γ is above 1
    """

    coefficients: FloatArray
    peak: FloatArray
    start: FloatArray | None = None

    @property
    def size(self) -> int:
        """Number of seas."""
        return self.peak.size

    @property
    def felt_from(self) -> float:
        """As `Rows.felt_from`."""
        # Below the peak, t = ω/ωp, the exponent is lower than there by q t⁻⁴ − q − m ln(1/t), where ln(1/t) < 1.
        decay = -self.coefficients[:, 1]
        lowest = self.peak * np.sqrt(np.sqrt(self.slopes / (_UNFELT + self.slopes + decay)))
        return float(np.min(lowest, initial=math.inf, where=np.isfinite(lowest)))

    def write(self, axis: Axis, rows: slice, out: Floats, scratch: Floats) -> None:
        """As `Rows.write`."""
        size, columns = out.shape
        low = self._silent(axis, rows)
        exponent = view(scratch[0], size, columns - low)
        np.matmul(self.coefficients[rows].astype(axis.dtype), axis.powers[:, low:], out=exponent)
        self._add_peaks(axis, rows, low, exponent, (scratch[1], out.reshape(-1)))
        np.exp(exponent, out=out[:, low:])
        out[:, :low] = 0.0
        if self.missing is not None:
            out[self.missing[rows]] = np.nan

    def _silent(self, axis: Axis, rows: slice) -> int:
        """Columns below which every density of some seas is zero, where there are enough of them to be worth it."""
        lowest = float(np.fmin.reduce(self.peak[rows]))
        mark = min((self.gentlest / axis.least) ** 0.25, 1.0) * lowest
        low = 0 if math.isnan(mark) else int(np.searchsorted(axis.omega, mark))
        return low if low >= _WORTH_LEAVING else 0

    def _add_peaks(
        self, axis: Axis, rows: slice, low: int, exponent: Floats, spaces: tuple[Floats, Floats]
    ) -> None:
        """Add ln γ · g(ω/ωp) to the exponents of some seas, from column `low`, where γ is above 1 and g is felt."""
        start = np.empty(0) if self.start is None else self.start[rows]
        peaked = np.flatnonzero(start > -math.inf)
        if not peaked.size:
            return
        peak = self.peak[rows][peaked]
        marks = peak.min() * (1.0 - axis.reach * SIGMA_BELOW), peak.max() * (1.0 + axis.reach * SIGMA_ABOVE)
        left, right = (max(int(column), low) for column in np.searchsorted(axis.omega, marks))
        term, other = (view(space, peak.size, right - left) for space in spaces)
        np.matmul(self.offsets[rows][peaked].astype(axis.dtype), axis.line[:, left:right], out=term)
        # Of (t − 1)/σ with either width, the lesser is the right one on both sides of the peak.
        np.multiply(term, SIGMA_ABOVE / SIGMA_BELOW, out=other)
        np.minimum(term, other, out=term)
        np.square(term, out=term)
        np.subtract(start[peaked].astype(axis.dtype)[:, None], term, out=term)
        np.exp(term, out=term)
        window = exponent[:, left - low : right - low]
        if peak.size == start.size:
            np.add(window, term, out=window)
        else:
            window[peaked] += term

    @cached_property
    def missing(self) -> BoolArray | None:
        """Which seas are missing, shape (n,); None where none is."""
        found: BoolArray = np.isnan(self.coefficients[:, 2] + self.peak)
        return found if found.any() else None

    @cached_property
    def slopes(self) -> FloatArray:
        """−a/ωp⁴, shape (n,) [-]: how steeply a density rises below its peak."""
        return np.asarray(-self.coefficients[:, 0] / np.square(np.square(self.peak)))

    @cached_property
    def gentlest(self) -> float:
        """The least slope of any sea [-]."""
        return float(np.fmin.reduce(self.slopes, initial=math.inf))

    @cached_property
    def offsets(self) -> FloatArray:
        """What turns ω and 1 into √½ (t − 1)/0.09, shape (n, 2)."""
        return np.stack((_STEEP / self.peak, np.full(self.peak.size, -_STEEP)), axis=1)


def peaked_rows(form: PeakedForm, hs: FloatArray, tp: FloatArray, gamma: FloatArray) -> ExponentialRows:
    """Seas of one peaked system each: (Hs²/16) t⁻ᵐ exp(−c t⁻⁴) γ^g(t) / (ωp M_0(γ)), t = ω/ωp.

    Parameters
    ----------
    form : which member of the family
    hs : significant wave heights, scalar or shape (n,) [m]
    tp : peak periods, scalar or shape (n,) [s]
    gamma : peak factors, scalar or shape (n,) [-]
    """
    hs, tp, gamma = np.atleast_1d(hs, tp, gamma)
    peak = 2.0 * math.pi / tp
    fourth = np.square(np.square(peak))
    scale = np.square(hs) / 16.0 / shape_moment(form, 0, gamma)
    constant = logarithm(scale) + (form.decay - 1) * np.log(peak)
    coefficients = np.stack((-form.slope * fourth, np.full_like(peak, -form.decay), constant), axis=1)
    logs = np.log(gamma)
    # ln γ goes into the exponent of g.
    start = np.log(logs, out=np.full_like(logs, -math.inf), where=logs > 0.0) if np.any(logs > 0.0) else None
    return ExponentialRows(coefficients, peak, start)


def densities(parts: Sequence[Rows], omega: FloatArray) -> FloatArray:
    """Densities of all seas at any frequencies, in double precision, shape (n, nω) [m²·s].

    Parameters
    ----------
    parts : systems that add up in each of n seas
    omega : angular frequencies in any order, shape (nω,) [rad/s]
    """
    order = np.argsort(omega, kind="stable")
    axis, size = Axis(omega[order]), parts[0].size
    result = np.empty((size, omega.size))
    found, scratch = axis.memory(min(size, BLOCK)), axis.memory(min(size, BLOCK))
    for first in range(0, size, BLOCK):
        rows = slice(first, min(first + BLOCK, size))
        result[rows, order] = add_up(parts, axis, rows, found, scratch)
    return result


def add_up(parts: Sequence[Rows], axis: Axis, rows: slice, memory: Floats, scratch: Floats) -> Floats:
    """Densities of some seas, all parts together, shape (rows, nω) [m²·s].

    Parameters
    ----------
    parts : systems that add up in each sea
    axis : the frequencies
    rows : which seas
    memory, scratch : from `Axis.memory`; the answer lies in `memory`
    """
    shape = (rows.stop - rows.start, axis.omega.size)
    total, more = (view(space, *shape) for space in memory)
    for place, part in enumerate(parts):
        part.write(axis, rows, more if place else total, scratch)
        if place:
            np.add(total, more, out=total)
    return total


def logarithm(scale: FloatArray) -> FloatArray:
    """ln of an energy, from 0, any shape [m²]; for a sea of no height so low that its exponential is zero."""
    return np.asarray(np.where(scale == 0.0, _FLAT, np.log(np.where(scale == 0.0, 1.0, scale))))


def view(space: Floats, rows: int, columns: int) -> Floats:
    """The first of a piece of memory as a table."""
    return space[: rows * columns].reshape(rows, columns)
