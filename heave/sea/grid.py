"""The one frequency grid on which every sea spectrum and every response is computed.

Even steps in ln ω from 0.02 to 25 rad/s: a JONSWAP peak is 0.07 to 0.09 wide in ω/ωp whatever its period, and
steps of 0.0173 put four points or more into each of its standard deviations. The trapezoidal rule in ln ω
is then exact to rounding for every sea spectrum with a peak period of 2 to 30 s. Responses, which bend where
their tables do, are brought to the grid by `quadrature`, which integrates them exactly between its points.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from heave.arrays import FloatArray

_FIRST: Final = 0.02
_LAST: Final = 25.0
_POINTS_PER_E: Final = 200 / math.log(32.0)
"""Points over a factor e: 200 steps from 0.1 to 3.2 rad/s."""

_GAUSS: Final = (np.array([-math.sqrt(0.6), 0.0, math.sqrt(0.6)]), np.array([5.0, 8.0, 5.0]) / 9.0)
"""Points and weights of the Gauss–Legendre rule of three points (Abramowitz and Stegun, table 25.4)."""


def quadrature(omega: FloatArray, bends: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Points and weights that average a response H over frequency as the grid's sums will weigh it.

    Between the points of the grid a sea spectrum S is the cubic through its four nearest values, in ln ω. With
    φ_i the cubic that is 1 at point i and 0 at all others, ∫ S|H|² dω = Σ S_i ∫ φ_i |H|² dω, and the second
    integral over the cell's width is the squared response that belongs to point i. It is made with three
    Gauss–Legendre points between neighbours of grid and `bends` taken together, so corners of |H|² cost nothing.
    A response without corners keeps its values at the points.

    Parameters
    ----------
    omega : leading points of OMEGA, shape (m,), at least four [rad/s]
    bends : frequencies at which the response may have corners, any order [rad/s]

    Returns
    -------
    Frequencies, shape (q,) [rad/s], and weights, shape (q, m) [-]: |H|² at the frequencies @ weights is the
    squared response at the points.
    """
    inside = bends[(bends > omega[0]) & (bends < omega[-1])]
    edges = np.sort(np.concatenate((omega, inside)))
    half, nodes = 0.5 * np.diff(edges), _GAUSS[0]
    points = (edges[:-1, None] + half[:, None] * (1.0 + nodes)).ravel()
    shares = (half[:, None] * _GAUSS[1]).ravel()
    place = (np.log(points) - math.log(omega[0])) * _POINTS_PER_E
    first = np.clip(np.floor(place).astype(np.intp), 1, omega.size - 3)
    t = place - first
    basis = (
        -t * (t - 1.0) * (t - 2.0) / 6.0,
        (t + 1.0) * (t - 1.0) * (t - 2.0) / 2.0,
        -(t + 1.0) * t * (t - 2.0) / 2.0,
        (t + 1.0) * t * (t - 1.0) / 6.0,
    )
    weights = np.zeros((points.size, omega.size))
    for offset, values in enumerate(basis):
        weights[np.arange(points.size), first - 1 + offset] = values * shares / WEIGHTS[first - 1 + offset]
    return points, weights


def _frozen(values: FloatArray) -> FloatArray:
    values.setflags(write=False)
    return values


OMEGA: Final[FloatArray] = _frozen(
    _FIRST * np.exp(np.arange(int(math.log(_LAST / _FIRST) * _POINTS_PER_E) + 1) / _POINTS_PER_E)
)
"""Angular frequencies of the grid, ascending, read-only, shape (nω,) [rad/s]."""


_HALF: Final = 0.5 / _POINTS_PER_E

EDGES: Final[FloatArray] = _frozen(
    np.concatenate((OMEGA[:1], OMEGA[:-1] * math.exp(_HALF) * _HALF / math.sinh(_HALF), OMEGA[-1:]))
)
"""Edges of the cells of the grid, read-only, shape (nω + 1,) [rad/s].

Cells are as wide as ω times the step in ln ω, so that sums over them are the trapezoidal rule in ln ω.
"""

WEIGHTS: Final[FloatArray] = _frozen(np.diff(EDGES))
"""Cell widths of the grid, read-only, shape (nω,) [rad/s]: ∫ S dω = Σ S·WEIGHTS."""
