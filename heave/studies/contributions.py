"""How much of the spread of a result each input brings by itself: first-order Sobol' indices from given samples."""

from __future__ import annotations

import math
from typing import Final, NamedTuple

import numpy as np

from heave.arrays import FloatArray, Indices

ESTIMATOR: Final = (
    "First-order Sobol' indices, estimated from the samples themselves as the correlation ratio over classes of equal "
    "count (Plischke, Borgonovo and Smith 2013) with Kelley's (1935) correction for the number of classes; standard "
    "error by leaving out a tenth at a time. From memory."
)
"""What is estimated and how, in words."""

GROUPS: Final = 10
"""Parts of the samples that are left out in turn for the standard error."""


class Contribution(NamedTuple):
    """Share of the variance of a result that one input brings by itself, and the standard error of that."""

    share: float
    error: float


def classes_for(count: int) -> int:
    """Classes into which `count` samples are parted: √n, common practice, at least 2."""
    return max(2, round(math.sqrt(count)))


def between_classes(x: FloatArray, y: FloatArray) -> float:
    """Variance of the mean of y given x, Var(E[y | x]), over classes of x of equal count, the noise of their means out.

    Kelley's ε² times the variance: 1 − (1 − η²)(n − 1)/(n − M), with η² the sum of squares between M classes over the
    whole. Noise can bring it below zero.

    Parameters
    ----------
    x, y : samples of the input and of the result, (n,)
    """
    n = y.size
    count = classes_for(n)
    if n <= count:
        return np.nan
    ordered = y[np.argsort(x, kind="stable")]
    edges = np.linspace(0, n, count + 1).astype(np.intp)
    sizes = np.diff(edges)
    means = np.add.reduceat(ordered, edges[:-1]) / sizes
    variance = float(np.var(ordered))
    within = variance - float(np.sum(sizes * (means - ordered.mean()) ** 2)) / n
    return variance - within * (n - 1) / (n - count)


def first_order(x: FloatArray, y: FloatArray, draws: Indices | None = None) -> Contribution:
    """First-order Sobol' index of an input, Var(E[y | x])/Var(y), with its standard error.

    Holds for inputs that are correlated too: the share is then what knowing x alone would take away.

    Parameters
    ----------
    x, y : samples of the input and of the result, (n,)
    draws : which draw of the input each sample belongs to, counted from 0, where several share one; their means stand
        for them then, so that what else they share is not counted as noise of many

    Returns
    -------
    Contribution; NaN where the result does not vary
    """
    whole = _index(x, y, draws)
    unit = np.arange(y.size) if draws is None else draws
    left_out = unit * GROUPS // (int(unit.max(initial=0)) + 1)
    parts = []
    for group in range(GROUPS):
        stay = left_out != group
        kept = None if draws is None else np.unique(draws[stay], return_inverse=True)[1]
        parts.append(_index(x[stay], y[stay], kept))
    spread = float(np.sqrt((GROUPS - 1) / GROUPS * np.sum((np.array(parts) - np.mean(parts)) ** 2)))
    return Contribution(whole, spread)


def _index(x: FloatArray, y: FloatArray, draws: Indices | None) -> float:
    variance = float(np.var(y)) if y.size else 0.0
    if not variance > 0:
        return np.nan
    if draws is None:
        return between_classes(x, y) / variance
    counts = np.bincount(draws)
    means = np.bincount(draws, y) / counts
    first = np.unique(draws, return_index=True)[1]
    return between_classes(x[first], means) / variance
