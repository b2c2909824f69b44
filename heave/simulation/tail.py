"""Extremes of simulated motion: from the largest values of short blocks to the level of a long exposure.

The largest of n peaks of a Gaussian motion over its σ is R, P(R < r) = exp(−n exp(−r²/2)) (Rayleigh peaks;
Longuet-Higgins, 1952). Friction, gas law and stick bend what follows from it, and the tail is what is left of the
bend once it moves: a straight line a + b R. So the line is fitted to the upper block maxima only, by their mean
excess over a threshold (Coles, An Introduction to Statistical Modeling of Extreme Values, 2001, ch. 4), and R goes
from block to exposure as block maxima do: P_T = P_B^(T/B), blocks being independent (Gumbel, Statistics of
Extremes, 1958; Coles, ch. 3).

Against direct counts over 220 h of the demonstration units (levels of 1 h with chance 0.1): travel 0.99 to 1.01,
speeds 1.01 to 1.02, bit force 1.00, motion left 0.99, load 1.00; of a unit held by its seals 97 % of the time
0.65 for travel, which is why `heave.simulation.proof` gives none there.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.errors import InputError

CONFIDENCE: Final = 0.9
"""Chance that the interval of a level covers it."""

DRAWS: Final = 600
"""Resamplings of the lanes behind the interval."""

UPPER: Final = 0.25
"""Share of the block maxima that the tail is fitted to: in the others a unit may have stuck."""


def reduced_level(cycles: float, chance: float) -> float:
    """Level over σ that the largest of Gaussian peaks exceeds with a given chance, √(2 ln(n/−ln(1 − p))).

    Source: Longuet-Higgins, J. Marine Research 11 (1952), crossings counted as Poisson events.

    Parameters
    ----------
    cycles : n, from 1 [-]
    chance : p, above 0, below 1 [-]

    Returns
    -------
    Reduced level r [-]

    Raises
    ------
    InputError
        If the chance is so high that every exposure exceeds the mean itself.
    """
    often = cycles / -math.log1p(-chance) if 0 < chance < 1 else 0.0
    if not often >= 1:
        raise InputError("cycles and chance", f"{cycles:g} and {chance:g}", None, "n at least −ln(1 − p)")
    return math.sqrt(2 * math.log(often))


def levels(maxima: FloatArray, block_cycles: float, reduced: float, known: FloatArray) -> FloatArray:
    """Level of each figure at an exposure and risk, with its interval, from the maxima of blocks of many lanes.

    level = u + (e/e_R)(r − r_u), with u the threshold that `UPPER` of the block maxima pass, e their mean excess over
    it, r_u and e_R those of R at the same ranks.
    The interval comes of resampling whole lanes (Efron and Tibshirani, An Introduction to the Bootstrap, 1993).
    The first figures are controls whose true level is known: each figure is moved by what they are off, times the
    slopes of the least squares over the resamplings (control variates; Hammersley and Handscomb, Monte Carlo Methods,
    1964), which takes out the chance that it shares with them.

    Parameters
    ----------
    maxima : largest value in each block of each lane, controls first, (k, blocks, lanes)
    block_cycles : cycles of the driving motion in a block, n, from 1 [-]
    reduced : reduced level r of exposure and risk, from `reduced_level` [-]
    known : true levels of the controls, (c,), c from 0 to k

    Returns
    -------
    Level, lower and upper end of its 90 % interval, (k, 3)

    Raises
    ------
    InputError
        If there are fewer than eight lanes, or a value is not finite.
    """
    _, blocks, lanes = maxima.shape
    if lanes < 8 or not np.all(np.isfinite(maxima)):
        raise InputError("block maxima", f"{lanes} lanes", None, "finite values of eight lanes or more")
    chosen = np.random.default_rng(0).multinomial(lanes, np.full(lanes, 1 / lanes), DRAWS)
    weights = np.vstack([np.ones(lanes), chosen]) / (blocks * lanes)
    found = np.stack(
        [_fitted(figure.ravel(), np.tile(weights, blocks), block_cycles, reduced) for figure in maxima],
        axis=1,
    )
    off = found[:, : len(known)] - known
    drawn = found[1:] - found[1:].mean(axis=0)
    slopes = np.linalg.lstsq(drawn[:, : len(known)], drawn, rcond=None)[0]
    moved = found - off @ slopes
    half = 50 * (1 - CONFIDENCE)
    low, high = np.percentile(moved[1:], (half, 100 - half), axis=0)
    # with a control as its own figure nothing is left to chance, and rounding must not turn the ends about
    return np.stack([moved[0], np.minimum(low, moved[0]), np.maximum(high, moved[0])], axis=1)


def _fitted(maxima: FloatArray, weights: FloatArray, cycles: float, reduced: float) -> FloatArray:
    """Level by a line through the upper block maxima (n,) over those of R, for each row of weights (k, n).

    Left of the threshold lies `1 - UPPER` of the weight; the line goes through it, as steep as the mean excess of
    the maxima over that of R.
    """
    order = np.argsort(maxima)
    values, heavy = maxima[order], weights[:, order]
    reached = np.cumsum(heavy, axis=1)
    # what was not drawn at either end has no weight, and no reduced value to be kept from
    place = np.clip(reached - heavy / 2, (1 - UPPER) / 2, 1 - 0.1 / len(values))
    of_r = np.sqrt(2 * np.log(cycles / -np.log(place)))
    first = np.argmax(reached > 1 - UPPER, axis=1)[:, None]
    threshold, start = values[first], np.take_along_axis(of_r, first, axis=1)
    above = heavy * (np.arange(len(values)) > first)
    steep = np.sum(above * (values - threshold), axis=1) / np.sum(above * (of_r - start), axis=1)
    return np.asarray(threshold[:, 0] + steep * (reduced - start[:, 0]))
