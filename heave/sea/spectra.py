"""Wave spectra: density of the sea surface's variance over angular frequency, one-sided [m²·s].

Every function takes frequencies of shape (nω,) and parameters that are scalars or arrays of shape (n,),
and gives (nω,) or (n, nω). The integral over all frequencies is Hs²/16 exactly. A sea of no height has no
spectrum; a missing parameter (NaN) gives a missing spectrum.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.arrays import FloatArray, Floats
from heave.errors import InputError
from heave.sea.arguments import array, as_asked, height_of, number, peak_of, together
from heave.sea.peaked import JONSWAP_FORM, MAX_GAMMA, Axis, ExponentialRows, peaked_rows

GAMMA_RULE_RANGE: Final = (3.6, 5.0)
"""Range of Tp/√Hs within which the peak factor's rule was fitted [s/√m]; outside it the rule is held."""

GAUSSIAN_SWELL_SHORTEST: Final = 4.0
"""Shortest peak period for which a Gaussian swell is offered [s]: shorter waves are wind sea."""

GAUSSIAN_WIDTH_RANGE: Final = (0.005, 0.03)
"""Allowed standard deviation of a Gaussian swell over frequency [Hz]; 0.005 to 0.015 Hz is typical."""

GAUSSIAN_WIDEST: Final = 1.0 / 3.0
"""Greatest width × Tp of a Gaussian swell: zero frequency stays three standard deviations away."""


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

    Returns
    -------
    Density, shape (nω,) or (n, nω) [m²·s].

    Raises
    ------
    InputError
        If a height is negative, a period is not above zero, a peak factor is outside 1 to 50, or anything
        is infinite or no number.
    """
    height, period = height_of(hs), peak_of(tp)
    factor = (
        gamma_by_rule(height, period)
        if gamma is None
        else array(gamma, "peak factor", None, low=1.0, high=MAX_GAMMA)
    )
    height, period, factor = together(height, period, factor)
    return as_asked([jonswap_rows(height, period, factor)], omega, height)


def jonswap_rows(hs: FloatArray, tp: FloatArray, gamma: FloatArray) -> ExponentialRows:
    """Seas of one JONSWAP system each, to be written block by block; arguments as of `jonswap`, one shape."""
    return peaked_rows(JONSWAP_FORM, hs, tp, gamma)


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
    height, period = together(height_of(hs), peak_of(tp))
    # A flat sea has no ratio; it is given the end of the rule where γ is 1.
    root = np.sqrt(height)
    ratio = period / np.where(root == 0.0, period / GAMMA_RULE_RANGE[1], root)
    gamma = np.exp(5.75 - 1.15 * ratio)
    gamma = np.where(ratio <= GAMMA_RULE_RANGE[0], 5.0, gamma)
    return np.asarray(np.where(ratio >= GAMMA_RULE_RANGE[1], 1.0, gamma))


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
    height, period = together(height_of(hs), array(tp, "peak period", "s", low=GAUSSIAN_SWELL_SHORTEST))
    return as_asked([gaussian_rows(height, period, width)], omega, height)


def gaussian_rows(hs: FloatArray, tp: FloatArray, width: float) -> GaussianRows:
    """Seas of one Gaussian swell each, to be written block by block; arguments and errors as of `gaussian_swell`."""
    period = np.atleast_1d(array(tp, "peak period", "s", low=GAUSSIAN_SWELL_SHORTEST))
    low, high = GAUSSIAN_WIDTH_RANGE
    sigma = number(width, "swell width", "Hz", low=low, high=high)
    if np.any(sigma * period > GAUSSIAN_WIDEST * (1.0 + 1e-9)):
        widest = GAUSSIAN_WIDEST / float(np.nanmax(period))
        allowed = f"at most one third of the peak frequency, {widest:.4f}\u00a0Hz"
        raise InputError("swell width", sigma, "Hz", allowed)
    height, mean = np.atleast_1d(hs), 1.0 / period
    above_zero = np.interp(mean / sigma, _DEVIATIONS, _SHARES)
    scale = height**2 / 16.0 / (math.sqrt(2.0 * math.pi) * sigma * above_zero) / (2.0 * math.pi)
    return GaussianRows(2.0 * math.pi * mean, 2.0 * math.pi * sigma, scale)


@dataclass(frozen=True, eq=False)
class GaussianRows:
    """Densities scale · exp(−½((ω − mean)/σ)²) of n seas.

    Parameters
    ----------
    mean : centre of the bell, shape (n,) [rad/s]
    sigma : its standard deviation σ [rad/s]
    scale : its height, shape (n,) [m²·s]
    """

    mean: FloatArray
    sigma: float
    scale: FloatArray

    @property
    def size(self) -> int:
        """Number of seas."""
        return self.mean.size

    @property
    def felt_from(self) -> float:
        """Frequency below which no sea has a density of e⁻³⁰ of its greatest [rad/s]; infinite where none is known."""
        lowest = np.min(self.mean, initial=math.inf, where=np.isfinite(self.mean))
        return max(float(lowest) - math.sqrt(60.0) * self.sigma, 0.0)

    def write(self, axis: Axis, rows: slice, out: Floats, scratch: Floats) -> None:
        """Write the densities of some seas, as `heave.sea.peaked.Rows.write`.

        Parameters
        ----------
        axis : the frequencies
        rows : which seas
        out : to be filled, shape (rows, nω) [m²·s]
        scratch : not needed
        """
        mean, kind = self.mean[rows], axis.dtype
        reach = math.sqrt(2.0 * axis.least) * self.sigma
        known = mean[np.isfinite(mean)]
        ends = (float(known.min()) - reach, float(known.max()) + reach) if known.size else (0.0, math.inf)
        low, high = np.searchsorted(axis.omega, ends)
        out[:, :low] = 0.0
        out[:, high:] = 0.0
        felt = out[:, low:high]
        stretch = math.sqrt(0.5) / self.sigma
        np.subtract(axis.line[0, low:high] * stretch, (mean * stretch).astype(kind)[:, None], out=felt)
        np.square(felt, out=felt)
        np.negative(felt, out=felt)
        np.exp(felt, out=felt)
        felt *= self.scale[rows].astype(kind)[:, None]
        out[np.isnan(mean + self.scale[rows])] = np.nan


_DEVIATIONS: Final = np.linspace(3.0, 9.0, 4001)
_SHARES: Final = np.array([0.5 * (1.0 + math.erf(z / math.sqrt(2.0))) for z in _DEVIATIONS])
"""Share of a Gaussian above zero, its mean 3 to 9 standard deviations up: right to 5e-9 between the points."""
