"""How much one year differs from another: the workable share of each year of a record, and of each month of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from heave.arrays import FloatArray, IntArray
from heave.weather.forecast import Forecast
from heave.weather.line_use import YEAR

LEAST_KNOWN: Final = 0.9
"""Share of a year, or of a month of it, that must be known to count; common practice."""

LEAST_YEARS: Final = 3
"""Fewest years of which a spread is told."""

_MONTH: Final = 28 * 86400.0


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


def spreads(record: Forecast, state: IntArray) -> tuple[Spread | None, tuple[Spread | None, ...]]:
    """Spread over the calendar years of a record, and over those of each month, January first.

    A year, or a month of one, counts where nine tenths of it are known; of fewer than three there is no spread.

    Parameters
    ----------
    record : n samples
    state : 1 workable, 0 over a limit, −1 not known (n,)
    """
    month = record.times.astype("datetime64[M]").astype(np.int64)
    first = int(month[0]) // 12
    size = (int(month[-1]) // 12 - first + 1) * 12
    known, workable = (
        np.bincount(month - 12 * first, rows, minlength=size).astype(np.float64).reshape(-1, 12)
        for rows in (state >= 0, state == 1)
    )
    months = (_spread(record, known[:, one], workable[:, one], first, _MONTH) for one in range(12))
    return _spread(record, known.sum(axis=1), workable.sum(axis=1), first, YEAR), tuple(months)


def _spread(
    record: Forecast, known: FloatArray, workable: FloatArray, first: int, whole: float
) -> Spread | None:
    counts = np.flatnonzero(known * record.step >= LEAST_KNOWN * whole)
    if counts.size < LEAST_YEARS:
        return None
    shares = workable[counts] / known[counts]
    p10, p50, p90 = (float(one) for one in np.quantile(shares, [0.1, 0.5, 0.9]))
    return Spread(p10, p50, p90, tuple((counts + first + 1970).tolist()), tuple(shares.tolist()))
