"""A scatter diagram: how often the sea had a height and a period, in classes, for sectors and months where known."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from heave.arrays import FloatArray
from heave.errors import InputError
from heave.fields import Choice
from heave.sea import PERIOD_KINDS, PERIOD_RANGE, SeaBatch, SystemSlot, peak_periods
from heave.sea.arguments import MAX_HS

Measure = Literal["counts", "per cent", "probabilities"]
MEASURES: Final[tuple[Measure, ...]] = ("counts", "per cent", "probabilities")
"""What the cells of a diagram are; shares of the time come out alike."""

MOST_SEEN: Final = 1e12
"""Most that one cell may hold, in any measure."""

SCATTER_SHAPES: Final = ("jonswap", "two-parameter")
"""Spectral shapes that a cell of a diagram can be given: those in which every kind of period has one peak period."""

_KIND: Final = Choice("kind of period", PERIOD_KINDS)
_MEASURE: Final = Choice("what the cells are", MEASURES)


@dataclass(frozen=True, eq=False)
class ScatterPart:
    """One matrix of a diagram: of all seas, of one direction sector, of one month, or of both.

    Parameters
    ----------
    cells : how often each class was seen, shape (heights, periods), from 0, in the measure of the diagram
    direction_from : middle of the sector the waves come from [degrees]; None is any direction
    month : calendar month, 1 to 12; None is the whole year
    """

    cells: FloatArray
    direction_from: float | None = None
    month: int | None = None

    def __post_init__(self) -> None:
        cells = np.array(self.cells, dtype=np.float64)
        if cells.ndim != 2 or not ((cells >= 0) & (cells <= MOST_SEEN)).all():
            allowed = f"a matrix of numbers from 0 to {MOST_SEEN:g}"
            raise InputError("cells of a scatter diagram", "not so", None, allowed)
        cells.setflags(write=False)
        object.__setattr__(self, "cells", cells)
        if self.direction_from is not None and not 0.0 <= self.direction_from < 360.0:
            raise InputError("middle of a sector", self.direction_from, "°", "from 0 to below 360 °")
        if self.month is not None and self.month not in range(1, 13):
            raise InputError("month", self.month, None, "from 1 to 12")


@dataclass(frozen=True, eq=False)
class Scatter:
    """A scatter diagram of significant wave height against one kind of period.

    The last limit of an axis may be infinite: a class without an upper end, whose seas are not known.

    Parameters
    ----------
    period_kind : 'Tp', 'Tz', 'T1' or 'Te'
    hs_limits : limits of the classes of height, rising from 0 or more, (heights + 1,) [m]
    period_limits : limits of the classes of period, likewise, (periods + 1,) [s]
    parts : matrices that add up to all that was seen
    measure : what the cells are
    name : what to call it
    notes : what the reader did, in words
    """

    period_kind: str
    hs_limits: FloatArray
    period_limits: FloatArray
    parts: tuple[ScatterPart, ...]
    measure: Measure = "counts"
    name: str = "scatter diagram"
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        _KIND.check(self.period_kind)
        _MEASURE.check(self.measure)
        for name, unit in (("hs_limits", "m"), ("period_limits", "s")):
            limits = np.array(getattr(self, name), dtype=np.float64)
            inner, what = limits[:-1], name.replace("_", " ")
            if limits.ndim != 1 or limits.size < 2 or not np.isfinite(inner).all() or np.isnan(limits[-1]):
                allowed = "at least two numbers, only the last infinite"
                raise InputError(what, limits.tolist(), unit, allowed)
            if limits[0] < 0 or np.any(np.diff(limits) <= 0):
                raise InputError(what, limits.tolist(), unit, "rising numbers from 0")
            limits.setflags(write=False)
            object.__setattr__(self, name, limits)
        shape = (self.hs_limits.size - 1, self.period_limits.size - 1)
        object.__setattr__(self, "parts", tuple(self.parts))
        if not self.parts or any(part.cells.shape != shape for part in self.parts):
            shapes = [part.cells.shape for part in self.parts]
            raise InputError("matrices of a scatter diagram", shapes, None, f"one or more of shape {shape}")
        for name in ("direction_from", "month"):
            if len({getattr(part, name) is None for part in self.parts}) > 1:
                allowed = "all of them or none"
                raise InputError(name.replace("_", " "), "given for some matrices only", None, allowed)
        keys = [(part.direction_from, part.month) for part in self.parts]
        if len(set(keys)) != len(keys):
            allowed = "one of each"
            raise InputError("matrices of a scatter diagram", "two of one sector and month", None, allowed)
        if not self.total > 0:
            raise InputError("sum of a scatter diagram", self.total, None, "above 0")

    @property
    def cells(self) -> FloatArray:
        """All that was seen in each class, shape (heights, periods), in the measure of the diagram."""
        return np.asarray(np.sum([part.cells for part in self.parts], axis=0))

    @property
    def total(self) -> float:
        """Sum of all cells, in the measure of the diagram."""
        return float(sum(part.cells.sum() for part in self.parts))

    @property
    def hs_middles(self) -> FloatArray:
        """Middles of the classes of height (heights,) [m]; infinite of one without an upper end."""
        return np.asarray((self.hs_limits[1:] + self.hs_limits[:-1]) / 2)

    @property
    def period_middles(self) -> FloatArray:
        """Middles of the classes of period (periods,) [s]; infinite of one without an upper end."""
        return np.asarray((self.period_limits[1:] + self.period_limits[:-1]) / 2)

    @property
    def mean_hs(self) -> float:
        """Mean significant wave height at the middles of the classes [m]; infinite with seas in an open class."""
        heights = self.cells.sum(axis=1)
        seen = heights > 0
        return float(heights[seen] @ self.hs_middles[seen] / self.total)

    @property
    def directional(self) -> bool:
        """Whether it tells where the waves come from."""
        return self.parts[0].direction_from is not None


@dataclass(frozen=True)
class CellSeas:
    """What sea stands for a height and a period of a diagram: one system of a shape, spread about its direction.

    Parameters
    ----------
    shape : one of SCATTER_SHAPES
    gamma : JONSWAP peak factor; None takes the rule [-]
    spreading, spreading_exponent : as a wave system has them
    """

    shape: str = "jonswap"
    gamma: float | None = None
    spreading: str = "cos-n"
    spreading_exponent: float = 4.0

    def __post_init__(self) -> None:
        Choice("spectral shape of a scatter diagram", SCATTER_SHAPES).check(self.shape)

    def peak_periods(self, hs: FloatArray, period: FloatArray, kind: str) -> FloatArray:
        """Peak periods of seas of a height and a period of any kind, by `heave.sea.periods.peak_periods`; NaN outside
        the peak periods that the planner takes, 2 to 30 s.

        Parameters
        ----------
        hs : significant wave heights (n,) [m]
        period : periods (n,) [s]
        kind : 'Tp', 'Tz', 'T1' or 'Te'
        """
        known = np.isfinite(hs) & np.isfinite(period) & (hs <= MAX_HS)
        hs, period = (np.where(known, one, np.nan) for one in (hs, period))
        tp = peak_periods(period, kind, self.shape, hs, gamma=self.gamma)
        low, high = PERIOD_RANGE
        return np.where((tp >= low) & (tp <= high), tp, np.nan)

    def batch(
        self, hs: FloatArray, tp: FloatArray, direction_from: FloatArray, depth: float | None
    ) -> SeaBatch:
        """Seas of these heights and peak periods; one of which anything is not known is missing as a whole.

        Parameters
        ----------
        hs, tp, direction_from : (n,) [m], [s], [degrees]
        depth : water depth [m]; None is deep water
        """
        known = np.isfinite(tp) & np.isfinite(hs) & (hs <= MAX_HS)
        slot = SystemSlot(
            np.where(known, hs, np.nan),
            np.where(known, tp, 10.0),
            direction_from,
            self.shape,
            self.gamma,
            spreading=self.spreading,
            spreading_exponent=self.spreading_exponent,
        )
        return SeaBatch((slot,), depth)


def points_of(limits: FloatArray, split: int) -> FloatArray:
    """Middles of `split` equal parts of every class, shape (classes, split); those of an open class are infinite.

    Parameters
    ----------
    limits : limits of the classes (classes + 1,)
    split : parts of each, an odd number, so that the middle one has the middle of the class
    """
    share = (np.arange(split) + 0.5) / split
    return np.asarray(limits[:-1, None] + np.diff(limits)[:, None] * share)
