"""Tide as a curve: high and low waters with a cosine between, and how far it moves while a step lasts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from heave import fields
from heave.arrays import FloatArray, Times
from heave.errors import InputError
from heave.planning.instants import instant

MAX_WATERS: Final = 400


@dataclass(frozen=True)
class TideWater:
    """One high or low water: `when` is UTC, to the second, as ISO text."""

    when: str
    height: float = fields.quantity(
        "Height of the tide", "length", low=-20.0, high=20.0, help="Above any datum, the same for all."
    )

    def __post_init__(self) -> None:
        fields.validate(self)
        object.__setattr__(self, "when", str(instant(self.when)))


@dataclass(frozen=True)
class Tide:
    """High and low waters in time order; between two the tide goes as half a cosine, outside them it is not known.

    The cosine between high and low water is the rule of tide tables (common practice).
    """

    waters: tuple[TideWater, ...]

    def __post_init__(self) -> None:
        allowed = f"from 2 to {MAX_WATERS} high and low waters"
        fields.hold_tuple(self, "waters", TideWater, "tide", allowed, low=2, most=MAX_WATERS)
        if any(later.when <= earlier.when for earlier, later in pairwise(self.waters)):
            raise InputError("times of the tide", "not in order", None, "each later than the one before")

    @property
    def times(self) -> Times:
        """Times of the waters, UTC."""
        return np.array([one.when for one in self.waters], dtype="datetime64[s]")

    def level(self, times: Times) -> FloatArray:
        """Height at any times, h₁ + (h₂ − h₁)(1 − cos πx)/2 with x the share of the time from water to water [m].

        Parameters
        ----------
        times : UTC, any shape

        Returns
        -------
        The same shape; NaN before the first water and after the last
        """
        known = self.times.astype(np.float64)
        at = np.asarray(times, dtype="datetime64[s]").astype(np.float64)
        heights = np.array([one.height for one in self.waters])
        row = np.clip(np.searchsorted(known, at, side="right") - 1, 0, known.size - 2)
        share = (at - known[row]) / (known[row + 1] - known[row])
        level = heights[row] + (heights[row + 1] - heights[row]) * (1 - np.cos(np.pi * share)) / 2
        return np.where((at >= known[0]) & (at <= known[-1]), level, np.nan)


def travel(
    level: Callable[[Times], FloatArray], turns: Times, times: Times, span: float
) -> tuple[FloatArray, FloatArray]:
    """How far the tide can have risen and fallen at each sample since a step of length `span` was spaced out [m].

    A step that is under way at a sample began within `span` before it, and not before the first sample. The
    lowest and the highest water since then bound what the tide has moved, whenever it began.

    Parameters
    ----------
    level : gives the tide at any times [m]; NaN where not known
    turns : times at which the curve may turn, UTC, (k,)
    times : of the samples, UTC, (n,)
    span : longest time between space-out and the sample [s]

    Returns
    -------
    Rise and fall, each (n,), from 0; NaN where the tide of any of that time is not known
    """
    first = np.maximum(times - np.timedelta64(round(span), "s"), times[0])
    now, then, turned = level(times), level(first), level(turns)
    low, high = np.minimum(now, then), np.maximum(now, then)
    after, before = np.searchsorted(turns, first), np.searchsorted(turns, times, side="right")
    for place in np.flatnonzero(before > after):
        between = turned[after[place] : before[place]]
        low[place] = np.minimum(low[place], between.min())
        high[place] = np.maximum(high[place], between.max())
    return now - low, high - now
