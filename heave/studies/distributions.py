"""How an input may be spread: uniform, triangular, normal and lognormal, each cut off where no such plan can be."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.arrays import FloatArray
from heave.errors import InputError
from heave.planning.study import SHAPES

NINETEEN_OF_TWENTY: Final = 1.6448536269514722
"""Standard normal quantile at 0.95: of a normal range one in twenty lies beyond each end."""


@dataclass(frozen=True)
class Uniform:
    """Anything between `low` and `high` alike."""

    low: float
    high: float

    def __post_init__(self) -> None:
        _ordered(self.low, self.high)

    def cumulative(self, x: npt.ArrayLike) -> FloatArray:
        """Share below `x`, any shape: (x − low)/(high − low), by definition."""
        return np.clip((np.asarray(x, dtype=np.float64) - self.low) / (self.high - self.low), 0.0, 1.0)

    def quantile(self, share: npt.ArrayLike) -> FloatArray:
        """The value with a `share` below it, any shape, 0 to 1."""
        return self.low + np.asarray(share, dtype=np.float64) * (self.high - self.low)


@dataclass(frozen=True)
class Triangular:
    """Between `low` and `high`, most likely at `mode` and linear from there."""

    low: float
    mode: float
    high: float

    def __post_init__(self) -> None:
        _ordered(self.low, self.high)
        if not self.low <= self.mode <= self.high:
            allowed = f"from the low end, {self.low:g}, to the high end, {self.high:g}"
            raise InputError("most likely value of a triangular spread", self.mode, None, allowed)

    def cumulative(self, x: npt.ArrayLike) -> FloatArray:
        """Share below `x`, any shape: (x − low)²/((high − low)(mode − low)) up to the mode, by definition."""
        at, width = np.clip(np.asarray(x, dtype=np.float64), self.low, self.high), self.high - self.low
        rising = (at - self.low) ** 2 / (width * max(self.mode - self.low, 1e-300))
        falling = 1 - (self.high - at) ** 2 / (width * max(self.high - self.mode, 1e-300))
        return np.where(at < self.mode, rising, falling)

    def quantile(self, share: npt.ArrayLike) -> FloatArray:
        """The value with a `share` below it, any shape, 0 to 1."""
        u, width = np.asarray(share, dtype=np.float64), self.high - self.low
        rising = self.low + np.sqrt(u * width * (self.mode - self.low))
        falling = self.high - np.sqrt((1 - u) * width * (self.high - self.mode))
        return np.where(u * width < self.mode - self.low, rising, falling)


@dataclass(frozen=True)
class Normal:
    """About a `mean` with a standard `deviation`."""

    mean: float
    deviation: float

    def __post_init__(self) -> None:
        _above_zero("standard deviation", self.deviation)

    def cumulative(self, x: npt.ArrayLike) -> FloatArray:
        """Share below `x`, any shape: Φ((x − mean)/deviation), by definition."""
        from scipy.special import ndtr

        return np.asarray(ndtr((np.asarray(x, dtype=np.float64) - self.mean) / self.deviation))

    def quantile(self, share: npt.ArrayLike) -> FloatArray:
        """The value with a `share` below it, any shape, between 0 and 1."""
        from scipy.special import ndtri

        return np.asarray(self.mean + self.deviation * ndtri(np.asarray(share, dtype=np.float64)))


@dataclass(frozen=True)
class Lognormal:
    """About a `median`, its natural logarithm normal with a standard `deviation`."""

    median: float
    deviation: float

    def __post_init__(self) -> None:
        _above_zero("median of a lognormal spread", self.median)
        _above_zero("standard deviation of the logarithm", self.deviation)

    @property
    def logarithm(self) -> Normal:
        """The spread of ln x."""
        return Normal(math.log(self.median), self.deviation)

    def cumulative(self, x: npt.ArrayLike) -> FloatArray:
        """Share below `x`, any shape: Φ(ln(x/median)/deviation), by definition; none below zero."""
        at = np.asarray(x, dtype=np.float64)
        inside = at > 0
        return np.where(inside, self.logarithm.cumulative(np.log(np.where(inside, at, 1.0))), 0.0)

    def quantile(self, share: npt.ArrayLike) -> FloatArray:
        """The value with a `share` below it, any shape, between 0 and 1."""
        return np.exp(self.logarithm.quantile(share))


Spread = Uniform | Triangular | Normal | Lognormal


@dataclass(frozen=True)
class Truncated:
    """The spread `of` an input, given that it lies from `low` to `high`; what lies outside is shared out inside.

    F(x | inside) = (F(x) − F(low))/(F(high) − F(low)), by definition of a conditional distribution.
    """

    of: Spread
    low: float
    high: float

    def __post_init__(self) -> None:
        if self.kept <= 0:
            allowed = f"a spread that reaches into {self.low:g} to {self.high:g}"
            raise InputError("spread", str(self.of), None, allowed)

    @property
    def kept(self) -> float:
        """Share of the spread that lies inside."""
        first, last = self.of.cumulative((self.low, self.high))
        return float(last - first)

    def quantile(self, share: npt.ArrayLike) -> FloatArray:
        """The value with a `share` of what is inside below it, any shape, between 0 and 1."""
        first, last = self.of.cumulative((self.low, self.high))
        found = self.of.quantile(first + np.asarray(share, dtype=np.float64) * (last - first))
        return np.clip(found, self.low, self.high)  # the rounding of the last digit, nothing else


def spread_over(shape: str, low: float, high: float, planned: float) -> Spread:
    """The spread of an input over a stated range.

    Uniform and triangular lie wholly inside it, triangular most likely as planned. Normal and lognormal leave 5 %
    beyond each end: mean (low + high)/2 and deviation (high − low)/2 over 1.645, of ln x for lognormal.

    Parameters
    ----------
    shape : of `heave.planning.study.SHAPES`
    low, high : ends of the range
    planned : value in the plan

    Raises
    ------
    InputError
        If a lognormal range begins at or below zero, or the planned value of a triangular one is outside of it.
    """
    if shape == "uniform":
        return Uniform(low, high)
    if shape == "triangular":
        return Triangular(low, planned, high)
    if shape == "normal":
        return Normal((low + high) / 2, (high - low) / 2 / NINETEEN_OF_TWENTY)
    if shape == "lognormal":
        _above_zero("low end of a lognormal spread", low)
        return Lognormal(math.sqrt(low * high), math.log(high / low) / 2 / NINETEEN_OF_TWENTY)
    raise InputError("spread", shape, None, f"one of {', '.join(SHAPES)}")


def correlated(share: FloatArray, other: FloatArray, rank_correlation: float) -> FloatArray:
    """Shares that have a rank correlation (Spearman's ρ_S) with `share`, made of independent `other` ones.

    z' = ρ z + √(1 − ρ²) z₂ with ρ = 2 sin(π ρ_S/6) (Pearson 1907), z the standard normal scores: the normal (Gaussian)
    copula, as Nataf (1962) and Der Kiureghian and Liu (1986) use it; all from memory. Ranks are kept by
    whatever spread the shares are then given.

    Parameters
    ----------
    share, other : independent, uniform between 0 and 1, (n,)
    rank_correlation : −1 to 1

    Returns
    -------
    Uniform between 0 and 1, (n,)
    """
    from scipy.special import ndtr, ndtri

    held = 2 * math.sin(math.pi * rank_correlation / 6)
    return np.asarray(ndtr(held * ndtri(share) + math.sqrt(1 - held**2) * ndtri(other)))


def _ordered(low: float, high: float) -> None:
    if not low < high:
        raise InputError("low end of a spread", low, None, f"below the high end, {high:g}")


def _above_zero(what: str, value: float) -> None:
    if not value > 0:
        raise InputError(what, value, None, "above 0")
