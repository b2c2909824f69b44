"""Thinning long series for a figure without losing an extreme."""

from __future__ import annotations

from itertools import pairwise
from typing import Final

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]

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
    bounds = np.append(starts, size)
    kept: list[int] = []
    for low, high in pairwise(bounds.tolist()):
        piece = values[low:high]
        if np.isnan(piece).all():
            kept.append(int(low))
            continue
        kept += sorted({int(low + np.nanargmin(piece)), int(low + np.nanargmax(piece))})
    return np.array(kept, dtype=np.int64)


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
