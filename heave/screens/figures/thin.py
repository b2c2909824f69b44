"""Long series in few bytes: thinned without losing an extreme, even times told by their step."""

from __future__ import annotations

from itertools import pairwise
from typing import Any, Final

import numpy as np

from heave.arrays import FloatArray, IntArray, Times

MOST_BUCKETS: Final = 1000
"""Most pieces a series is cut into; a line keeps two points of each, so 2,000 in all."""


def bucket_starts(size: int, most: int = MOST_BUCKETS) -> IntArray:
    """Where each of at most `most` even pieces of a series of `size` samples begins; every sample is in one."""
    count = min(size, most)
    return (np.arange(count, dtype=np.int64) * size) // count


def kept_points(values: FloatArray, most: int = MOST_BUCKETS) -> IntArray:
    """Places of the samples a line keeps: all of a short series, else lowest and highest of every piece.

    Missing values never win over a number; a piece without any keeps its first, so the line breaks there.
    """
    size = values.size
    if size <= 2 * most:
        return np.arange(size, dtype=np.int64)
    starts = bucket_starts(size, most)
    return np.unique(np.append(place_of_highest(values, starts), place_of_highest(-values, starts)))


def highest_in(values: FloatArray, starts: IntArray) -> FloatArray:
    """Highest value of every piece; NaN only where a piece has no number."""
    filled = np.where(np.isnan(values), -np.inf, values)
    top = np.maximum.reduceat(filled, starts)
    return np.where(np.isneginf(top), np.nan, top)


def place_of_highest(values: FloatArray, starts: IntArray) -> IntArray:
    """Place in the whole series of the highest value of every piece; the first of a piece without numbers."""
    bounds = np.append(starts, values.size)
    filled = np.where(np.isnan(values), -np.inf, values)
    pairs = pairwise(bounds.tolist())
    return np.array([low + int(np.argmax(filled[low:high])) for low, high in pairs], dtype=np.int64)


def along(times: Times) -> dict[str, Any]:
    """Where points stand on a time axis: even steps as the first and the step, any other one by one."""
    steps = np.diff(times)
    if steps.size and (steps == steps[0]).all():
        return {"x0": str(times[0]), "dx": milliseconds(steps[0])}
    return {"x": times}


def milliseconds(span: np.timedelta64) -> float:
    """A span of time as a date axis counts it [ms]."""
    return float(span / np.timedelta64(1, "ms"))
