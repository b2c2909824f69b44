"""Viscous heave damping of a semisubmersible: the damping at which each sea and its motion agree.

The drag of the pontoons is replaced, sea by sea, by the linear damping of equal energy loss,
B = ½ρC_dA√(8/π) σ_v, and σ_v depends on B. Since σ_v falls as B rises there is exactly one such B.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np

from heave.sea.grid import OMEGA, WEIGHTS
from heave.vessel.response_table import FloatArray
from heave.vessel.semisubmersible import Semisubmersible

NODES: Final = 57
"""Heave velocities at which the motion is tabulated, evenly spaced in their logarithm."""

SLOWEST: Final = 1e-6
"""Lowest of them [m/s]: slower motion keeps the damping of this one."""

FASTEST: Final = 20.0
"""Highest of them [m/s]: more than any sea gives."""

_NEAR: Final = 0.25
"""Steps within this share of the natural frequency are integrated exactly."""


def damped_response(hull: Semisubmersible, force_spectrum: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Heave spectra and the viscous damping they settle at.

    The velocity of every sea is read at NODES dampings by one matrix product, the crossing with
    B = ½ρC_dA√(8/π) σ_v is found between two of them, and one more step is taken on the exact curve.

    Parameters
    ----------
    hull : the semisubmersible
    force_spectrum : spectra of the wave force in heave on OMEGA, shape (n, nω) [N²·s]

    Returns
    -------
    Heave spectra, shape (n, nω) [m²·s]; damping, shape (n,) [N·s/m]; NaN where the force is
    """
    speed, table = _tabulated(hull)
    missing = ~np.isfinite(force_spectrum.sum(axis=1))
    force = np.where(missing[:, None], 0.0, force_spectrum)
    curve = np.log(np.maximum(np.sqrt(force @ table), 1e-300)) - np.log(speed)
    last = np.clip(np.count_nonzero(curve >= 0.0, axis=1) - 1, 0, NODES - 2)
    row = np.arange(len(force))
    high, low = curve[row, last], curve[row, last + 1]
    spacing = np.log(speed[1] / speed[0])
    slope = (low - high) / spacing
    still = high < 0.0
    guess = np.log(speed[last]) - np.where(still, 0.0, high / slope)
    spectra = force * receptance_squared(hull, hull.viscous_damping(np.exp(guess)))
    error = 0.5 * np.log(np.maximum(spectra @ (OMEGA**2 * WEIGHTS), 1e-300)) - guess
    guess = np.where(still, np.log(SLOWEST), guess - error / slope)
    damping = hull.viscous_damping(np.exp(guess))
    spectra = force * receptance_squared(hull, damping)
    spectra[missing] = np.nan
    return spectra, np.where(missing, np.nan, damping)


def receptance_squared(hull: Semisubmersible, viscous_damping: FloatArray) -> FloatArray:
    """Mean of |receptance|² around each point of OMEGA, weighted so that a sum over the grid is an exact integral.

    |receptance|² = 1/(u² + d²) with u = C33 − ω²(M + A33) and d = ω(B_rad + B_visc). Between two points
    u is close to linear, d close to constant and the force spectrum close to linear, so with Δ for a
    difference between the points and t running from 0 to 1

        ∫ dt/(u² + d²) = Δatan(u/d)/(d Δu),   ∫ t dt/(u² + d²) = [½ Δln(u² + d²) − u₀ Δatan(u/d)/d]/Δu²

    and each point takes its share, however narrow the resonance is against the step: the answer does not
    depend on the grid. A narrow resonance weighs 1/(d |du/dω|), so the shares of the two ends lean by the
    change of ωd across the step. Points far from the resonance, where the curve is flat, take their own value.

    Parameters
    ----------
    hull : the semisubmersible
    viscous_damping : each above 0, shape (n,) [N·s/m]

    Returns
    -------
    Shape (n, nω) [m²/N²]
    """
    spring, radiated, near = _terms(hull)
    total = radiated + viscous_damping[:, None]
    total *= OMEGA
    close = total[:, near]
    between = 0.5 * (close[:, 1:] + close[:, :-1])
    lean = close * OMEGA[near]
    middle = 0.5 * (lean[:, 1:] + lean[:, :-1])
    total *= total
    total += spring**2
    ends, step = spring[near], np.diff(OMEGA[near])
    rise = np.diff(ends)
    angle = np.arctan(ends[1:] / between) - np.arctan(ends[:-1] / between)
    angle /= between
    square = between * between
    late = 0.5 * np.log((ends[1:] ** 2 + square) / (ends[:-1] ** 2 + square))
    late -= ends[:-1] * angle
    late *= step / rise**2
    whole = angle * (step / rise)
    squared: FloatArray = np.divide(1.0, total, out=total)
    shares = (late * lean[:, :-1] / middle)[:, :-1]
    shares += ((whole - late) * lean[:, 1:] / middle)[:, 1:]
    inner = slice(near.start + 1, near.stop - 1)
    np.divide(shares, WEIGHTS[inner], out=squared[:, inner])
    return squared


@lru_cache(maxsize=16)
def _terms(hull: Semisubmersible) -> tuple[FloatArray, FloatArray, slice]:
    """u on the grid (nω,) [N/m], radiation damping (nω,) [N·s/m], and the points near the resonance."""
    resonance = 2 * np.pi / hull.natural_period
    near = np.flatnonzero(np.abs(OMEGA / resonance - 1.0) <= _NEAR)
    spring = hull.stiffness - OMEGA**2 * hull.total_mass
    return spring, hull.radiated_damping(OMEGA), slice(int(near[0]), int(near[-1]) + 1)


@lru_cache(maxsize=16)
def _tabulated(hull: Semisubmersible) -> tuple[FloatArray, FloatArray]:
    """Velocities (NODES,) [m/s], and what turns a force spectrum into velocity variances, (nω, NODES)."""
    speed = np.geomspace(SLOWEST, FASTEST, NODES)
    squared = receptance_squared(hull, hull.viscous_damping(speed))
    return speed, np.ascontiguousarray((squared * (OMEGA**2 * WEIGHTS)).T)
