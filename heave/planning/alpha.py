"""Forecast uncertainty: the factor α that lowers the wave limit of a weather-restricted operation.

A forecast can be wrong, the more so the longer the operation and the lower the sea. The wave height an
operation can stand is therefore multiplied by α before it is compared with the forecast (DNV-OS-H101 and
DNV-ST-N001, from memory). Only the base case for 12 h and 24 h is built in; other rows, with their source,
are for whoever holds the standard.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
import numpy.typing as npt

from heave import fields
from heave.arrays import FloatArray, Indices
from heave.errors import InputError

HEIGHTS: Final = (1.0, 2.0, 4.0, 6.0)
"""Significant wave heights at which a row gives its factor [m]; constant below the first and above the last."""

MAX_ROWS: Final = 40


def _factor(height: float) -> float:
    label = f"α at Hs {height:g}\u00a0m" + (" and more" if height == HEIGHTS[-1] else "")
    found: float = fields.quantity(
        label, "number", above=0.0, high=1.0, help="Forecast limit over design limit, waves."
    )
    return found


@dataclass(frozen=True)
class AlphaRow:
    """Factors for operations planned to take up to `period`, at design heights of 1, 2, 4 and 6 m or more."""

    period: float = fields.quantity(
        "Planned period up to",
        "duration",
        above=0.0,
        high=96 * 3600.0,
        help="Longest planned period of the row.",
    )
    at_1m: float = _factor(1.0)
    at_2m: float = _factor(2.0)
    at_4m: float = _factor(4.0)
    at_6m: float = _factor(6.0)

    def __post_init__(self) -> None:
        fields.validate(self)
        heights, factors = np.array(HEIGHTS), np.array(self.factors)
        slope = np.diff(factors) / np.diff(heights)
        # The forecast limit α(H)·H must rise with H, or one forecast would answer to two design heights.
        rising = (factors[:-1] + slope * heights[:-1] > 0) & (factors[1:] + slope * heights[1:] > 0)
        if not np.all(rising):
            raise InputError("α", self.factors, None, "factors for which α × height rises with height")

    @property
    def factors(self) -> tuple[float, float, float, float]:
        """The four factors, in the order of `HEIGHTS`."""
        return self.at_1m, self.at_2m, self.at_4m, self.at_6m

    def factor(self, hs: npt.ArrayLike) -> FloatArray:
        """α at a design wave height: linear between `HEIGHTS`, constant outside them.

        Parameters
        ----------
        hs : design significant wave height, any shape, from 0 [m]; NaN gives NaN

        Raises
        ------
        InputError
            If a height is negative or infinite.
        """
        return np.asarray(np.interp(_heights(hs), HEIGHTS, self.factors), dtype=np.float64)

    def design_height(self, hs: npt.ArrayLike) -> FloatArray:
        """Design height H for which a forecast is just allowed: the H with α(H)·H = forecast [m].

        Between two heights of the table α = a + bH, so bH² + aH = h and, in the form that also holds for b = 0,
        H = 2h/(a + √(a² + 4bh)). An operation is inside its reduced limit exactly where it is inside its own
        limit at this height, since α(H)·H rises with H.

        Parameters
        ----------
        hs : forecast significant wave height, any shape [m]
        """
        forecast = _heights(hs)
        knots = np.array(HEIGHTS)
        factors = np.array(self.factors)
        piece = np.searchsorted(knots * factors, forecast, side="right")
        slopes = np.concatenate(([0.0], np.diff(factors) / np.diff(knots), [0.0]))
        starts = np.concatenate(([factors[0]], factors[:-1] - slopes[1:-1] * knots[:-1], [factors[-1]]))
        a, b = starts[piece], slopes[piece]
        return np.asarray(2 * forecast / (a + np.sqrt(a**2 + 4 * b * forecast)), dtype=np.float64)


@dataclass(frozen=True)
class AlphaSeries:
    """The row of α at each of n seas in order, as lead time has it.

    Parameters
    ----------
    rows : the rows that occur
    of : place in `rows` of the row of each sea, n of them
    """

    rows: tuple[AlphaRow, ...]
    of: tuple[int, ...]

    def design_height(self, hs: FloatArray) -> FloatArray:
        """Design height of each sea by its own row, see `AlphaRow.design_height`.

        Parameters
        ----------
        hs : forecast significant wave height, (n,) [m]
        """
        places = np.array(self.of)
        found = np.empty(len(self.of))
        for place, row in enumerate(self.rows):
            found[places == place] = row.design_height(hs[places == place])
        return found

    def take(self, samples: Indices) -> AlphaSeries:
        """The rows of some of the seas, by their places.

        Parameters
        ----------
        samples : places, (m,)
        """
        return AlphaSeries(self.rows, tuple(self.of[place] for place in samples.tolist()))

    def tiled(self, count: int) -> AlphaSeries:
        """The rows of the same seas `count` times over."""
        return AlphaSeries(self.rows, self.of * count)


@dataclass(frozen=True)
class AlphaTable:
    """Rows of α by planned period, with where they come from; no rows means that no factor is applied."""

    rows: tuple[AlphaRow, ...] = ()
    source: str = fields.text(
        "Source of the factors",
        default="no factor applied",
        help="Standard, edition and table, or whose numbers.",
    )

    def __post_init__(self) -> None:
        fields.validate(self)
        allowed = f"at most {MAX_ROWS} rows of factors"
        fields.hold_tuple(self, "rows", AlphaRow, "rows of α", allowed, most=MAX_ROWS)
        periods = [row.period for row in self.rows]
        if any(later <= earlier for earlier, later in pairwise(periods)):
            hours = ", ".join(f"{period / 3600:g}" for period in periods)
            raise InputError("planned periods of α", hours, "h", "each longer than the one before")
        if self.rows and not self.source.strip():
            raise InputError("Source of the factors", self.source, None, "where the factors come from")

    @property
    def applied(self) -> bool:
        """False where the table is empty and forecasts are taken as they stand."""
        return bool(self.rows)

    def row_for(self, planned: float) -> AlphaRow | None:
        """The row of an operation: the shortest period not below the planned one; None from an empty table.

        Parameters
        ----------
        planned : planned period, without contingency [s]

        Raises
        ------
        InputError
            If the table has no row that long: no factor is guessed.
        """
        for row in self.rows:
            if planned <= row.period:
                return row
        if not self.rows:
            return None
        raise InputError(
            "Planned period",
            planned / 3600,
            "h",
            f"at most {self.rows[-1].period / 3600:g}\u00a0h, the longest row of the α table ({self.source}); "
            "a longer operation is not assessed until its row is entered",
        )

    @property
    def longest(self) -> float:
        """Longest lead time or planned period for which there is a row [s]; endless where no factor is applied."""
        return self.rows[-1].period if self.rows else np.inf

    def by_lead(self, lead: FloatArray) -> AlphaSeries | None:
        """The row of each sea by its lead time; beyond the longest row that row, which its user has to say.

        Parameters
        ----------
        lead : time from the issue of the forecast to each sea, (n,) [s]; below 0 is as 0

        Returns
        -------
        The rows, or None from an empty table
        """
        if not self.rows:
            return None
        row = np.searchsorted([one.period for one in self.rows], lead, side="left")
        return AlphaSeries(self.rows, tuple(np.minimum(row, len(self.rows) - 1).tolist()))

    def factor(self, planned: float, hs: npt.ArrayLike) -> FloatArray:
        """α for an operation of `planned` seconds at design height `hs` [m]; 1 from an empty table.

        Parameters
        ----------
        planned : planned period, without contingency [s]
        hs : design significant wave height, any shape [m]

        Raises
        ------
        InputError
            If the table has no row that long, or a height is negative or infinite.
        """
        row = self.row_for(planned)
        if row is None:
            return np.where(np.isnan(_heights(hs)), np.nan, 1.0)
        return row.factor(hs)


BASE_CASE: Final = AlphaTable(
    (
        AlphaRow(12 * 3600.0, 0.65, 0.76, 0.79, 0.80),
        AlphaRow(24 * 3600.0, 0.63, 0.73, 0.76, 0.78),
    ),
    "North Sea, base case, waves (DNV-OS-H101 / DNV-ST-N001, from memory: check against the standard)",
)
"""What a new plan starts with: planned periods up to 12 h and 24 h only."""

NO_FACTOR: Final = AlphaTable()
"""The forecast is taken as it stands."""


def _heights(hs: npt.ArrayLike) -> FloatArray:
    found = np.asarray(hs, dtype=np.float64)
    if bool(np.any((found < 0) | np.isinf(found))):
        raise InputError("significant wave height", hs, "m", "from 0, finite")
    return found
