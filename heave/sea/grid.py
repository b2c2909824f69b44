"""The one frequency grid on which every sea spectrum and every response is computed.

Steps of 0.005 rad/s from 0.1 to 0.6 rad/s resolve a lightly damped semisubmersible (natural frequency
about 0.3 rad/s, damping 5 % of critical: one fifth of the half-power width 2ζω is 0.006 rad/s); steps of
0.01 rad/s follow to 1.5 rad/s, where ships and compensators respond; the tail then stretches by 8 % a step
to 25 rad/s, so that a sea of 2 s peak period keeps its height to 0.1 %. A few points below 0.1 rad/s catch
the foot of the longest swell.
"""

from __future__ import annotations

from typing import Final

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]

_FOOT_STEP: Final = 0.02
_FINE_STEP: Final = 0.005
_MIDDLE_STEP: Final = 0.01
_FINE_FROM: Final = 0.1
_FINE_TO: Final = 0.6
_MIDDLE_TO: Final = 1.5
_STRETCH: Final = 1.08
_LAST: Final = 25.0


def cell_widths(omega: FloatArray) -> FloatArray:
    """Width of the cell of each point, so that ∫ S dω ≈ Σ S·width (the trapezoidal rule).

    Parameters
    ----------
    omega : ascending angular frequencies, shape (nω,), at least two [rad/s]

    Returns
    -------
    Widths, shape (nω,) [rad/s]; interior cells reach half way to both neighbours, end cells half way to one.
    """
    edges = cell_edges(omega)
    return np.diff(edges)


def cell_edges(omega: FloatArray) -> FloatArray:
    """Edges of the cells of `cell_widths(omega)`, shape (nω + 1,) [rad/s]."""
    middles = 0.5 * (omega[1:] + omega[:-1])
    return np.concatenate((omega[:1], middles, omega[-1:]))


def _build() -> FloatArray:
    foot = np.arange(round(_FINE_FROM / _FOOT_STEP) - 1) * _FOOT_STEP + _FOOT_STEP
    fine = _FINE_FROM + _FINE_STEP * np.arange(round((_FINE_TO - _FINE_FROM) / _FINE_STEP))
    middle = _FINE_TO + _MIDDLE_STEP * np.arange(round((_MIDDLE_TO - _FINE_TO) / _MIDDLE_STEP) + 1)
    tail = []
    step, last = _MIDDLE_STEP, _MIDDLE_TO
    while last < _LAST:
        step *= _STRETCH
        last += step
        tail.append(last)
    tail[-1] = _LAST
    return np.concatenate((foot, fine, middle, np.array(tail)))


def _frozen(values: FloatArray) -> FloatArray:
    values.setflags(write=False)
    return values


OMEGA: Final[FloatArray] = _frozen(_build())
"""Angular frequencies of the grid, ascending, read-only, shape (nω,) [rad/s]."""

WEIGHTS: Final[FloatArray] = _frozen(cell_widths(OMEGA))
"""Cell widths of the grid, read-only, shape (nω,) [rad/s]: ∫ S dω = Σ S·WEIGHTS."""
