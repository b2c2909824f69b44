"""How much one year differs from another: the workable share of each year of a record, and of each month of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.weather.forecast import Forecast

LEAST_KNOWN: Final = 0.9
"""Share of a year, or of a month of it, that must be known to count; common practice."""

LEAST_YEARS: Final = 3
"""Fewest years of which a spread is told."""


@dataclass(frozen=True)
class Spread:
    """Workable share of the known time over years: quantiles, linear between the years in order.

    Parameters
    ----------
    p10, p50, p90 : one year in ten is below p10, half below p50, nine in ten below p90 [-]
    years : the years that count
    shares : the share of each
    """

    p10: float
    p50: float
    p90: float
    years: tuple[int, ...]
    shares: tuple[float, ...]


def spread_of_years(record: Forecast, state: npt.NDArray[np.int64]) -> Spread | None:
    """Spread over the calendar years of a record that are known for nine tenths; None of fewer than three.

    Parameters
    ----------
    record : n samples
    state : 1 workable, 0 over a limit, −1 not known (n,)
    """
    return _spread(record, state, np.ones(record.size, dtype=np.bool_), 365.2425 * 86400.0)


def spread_of_months(record: Forecast, state: npt.NDArray[np.int64]) -> tuple[Spread | None, ...]:
    """The same of each calendar month over the years, January first.

    Parameters
    ----------
    record, state : as for `spread_of_years`
    """
    month = record.times.astype("datetime64[M]").astype(np.int64) % 12
    return tuple(_spread(record, state, month == number, 28 * 86400.0) for number in range(12))


def _spread(
    record: Forecast, state: npt.NDArray[np.int64], rows: npt.NDArray[np.bool_], whole: float
) -> Spread | None:
    year = record.times.astype("datetime64[Y]").astype(np.int64)[rows] + 1970
    if not year.size:
        return None
    first = int(year[0])
    known = np.bincount(year - first, state[rows] >= 0)
    workable = np.bincount(year - first, state[rows] == 1)
    counts = np.flatnonzero(known * record.step >= LEAST_KNOWN * whole)
    if counts.size < LEAST_YEARS:
        return None
    shares = workable[counts] / known[counts]
    p10, p50, p90 = (float(one) for one in np.quantile(shares, [0.1, 0.5, 0.9]))
    return Spread(p10, p50, p90, tuple((counts + first).tolist()), tuple(shares.tolist()))
