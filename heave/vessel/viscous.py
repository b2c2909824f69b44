"""Viscous heave damping of a semisubmersible: the damping at which each sea and its motion agree.

The drag of the pontoons is replaced, sea by sea, by the linear damping of equal energy loss,
B = ½ρC_dA√(8/π) σ_v, and σ_v depends on B. Since σ_v falls as B rises there is exactly one such B.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final, NamedTuple

import numpy as np

from heave.sea.grid import OMEGA, WEIGHTS
from heave.sea.peaked import Floats
from heave.vessel.oscillator import FloatArray, Oscillator

NODES: Final = 57
"""Heave velocities at which the motion is tabulated, evenly spaced in their logarithm."""

SLOWEST: Final = 1e-6
"""Lowest of them [m/s]: slower motion keeps the damping of this one."""

FASTEST: Final = 20.0
"""Highest of them [m/s]: more than any sea gives."""

_NEAR: Final = 0.25
"""Steps within this share of the natural frequency are integrated exactly."""


def damped_response(hull: Oscillator, force_spectrum: Floats) -> tuple[FloatArray, FloatArray]:
    """Heave spectra and the viscous damping they settle at.

    The velocity of every sea is read at NODES dampings by one matrix product, the crossing with
    B = ½ρC_dA√(8/π) σ_v is found between two of them, and one more step is taken on the exact curve.

    Parameters
    ----------
    hull : the semisubmersible, or what a response table says of one
    force_spectrum : spectra of the wave force in heave on leading points of OMEGA, shape (n, m) [N²·s]

    Returns
    -------
    Heave spectra, shape (n, m) [m²·s]; damping, shape (n,) [N·s/m]; NaN where the force is
    """
    points = force_spectrum.shape[1]
    omega, width = OMEGA[:points], WEIGHTS[:points]
    speed, table = _tabulated(hull, points)
    missing = ~np.isfinite(force_spectrum.sum(axis=1))
    force = np.where(missing[:, None], 0.0, force_spectrum.astype(np.float64))
    curve = np.log(np.maximum(np.sqrt(force @ table), 1e-300)) - np.log(speed)
    last = np.clip(np.count_nonzero(curve >= 0.0, axis=1) - 1, 0, NODES - 2)
    row = np.arange(len(force))
    high, low = curve[row, last], curve[row, last + 1]
    spacing = np.log(speed[1] / speed[0])
    slope = (low - high) / spacing
    still = high < 0.0
    guess = np.log(speed[last]) - np.where(still, 0.0, high / slope)
    spectra = _spectra(hull, force, hull.viscous_damping(np.exp(guess)))
    error = 0.5 * np.log(np.maximum(spectra @ (omega**2 * width), 1e-300)) - guess
    guess = np.where(still, np.log(SLOWEST), guess - error / slope)
    damping = hull.viscous_damping(np.exp(guess))
    spectra = _spectra(hull, force, damping)
    spectra[missing] = np.nan
    return spectra, np.where(missing, np.nan, damping)


def receptance_squared(hull: Oscillator, viscous_damping: FloatArray, points: int = OMEGA.size) -> FloatArray:
    """Mean of |receptance|² around each point of OMEGA, weighted so that a sum over the grid is an exact integral.

    |receptance|² = 1/(u² + d²) with u = C33 − v(M + A33), v = ω², and d = ω(B_rad + B_visc). Over v, u is linear
    and the integral of a force spectrum F is that of f = F/2ω. Between two points f is close to linear, and d is
    taken at the resonance or else in the middle of the step. So with Δ for a difference between the points and t
    running from 0 to 1

        ∫ dt/(u² + d²) = Δatan(u/d)/(d Δu),   ∫ t dt/(u² + d²) = [½ Δln(u² + d²) − u₀ Δatan(u/d)/d]/Δu²

    and each point takes its share, however narrow the resonance is against the step: the answer does not
    depend on the grid. Points far from the resonance, where the curve is flat, take their own value.

    Parameters
    ----------
    hull : the semisubmersible, or what a response table says of one
    viscous_damping : each above 0, shape (n,) [N·s/m]
    points : how many leading points of the grid

    Returns
    -------
    Shape (n, points) [m²/N²]
    """
    return _shares(hull, viscous_damping, points).squared


class _Shares(NamedTuple):
    """Near the resonance: what a step keeps for its late end (n, k), and what a bent force takes from it (n, k)."""

    squared: FloatArray
    late: FloatArray
    bend: FloatArray


def _shares(hull: Oscillator, viscous_damping: FloatArray, points: int) -> _Shares:
    """`receptance_squared`, and ∫ t(1 − t) dt/(u² + d²) over each step near the resonance.

    Between points a force with second difference D is L(t) − ½ t(1 − t) D, L linear. With the two integrals
    above and u = u₀ + tΔu, ∫ t² dt/(u² + d²) = [1 − (u₀² + d²) ∫ dt/(u² + d²) − 2u₀Δu ∫ t dt/(u² + d²)]/Δu².
    """
    spring, radiated, closest, near = _terms(hull, points)
    total = radiated + viscous_damping[:, None]
    total *= OMEGA[:points]
    total *= total
    total += spring**2
    squared: FloatArray = np.divide(1.0, total, out=total)
    d = closest[0] * (closest[1] + viscous_damping[:, None])
    ends, step = spring[near], np.diff(OMEGA[near] ** 2)
    rise, square = np.diff(ends), d * d
    angle = (np.arctan(ends[1:] / d) - np.arctan(ends[:-1] / d)) / d
    late = 0.5 * np.log((ends[1:] ** 2 + square) / (ends[:-1] ** 2 + square))
    late -= ends[:-1] * angle
    late *= step / rise**2
    whole = angle * (step / rise)
    later = (step - (ends[:-1] ** 2 + square) * whole - 2.0 * ends[:-1] * rise * late) / rise**2
    inner = slice(near.start + 1, near.stop - 1)
    shares = late[:, :-1] + (whole - late)[:, 1:]
    np.divide(shares, 2.0 * OMEGA[inner] * WEIGHTS[inner], out=squared[:, inner])
    return _Shares(squared, late / whole, late - later)


def _spectra(hull: Oscillator, force: FloatArray, damping: FloatArray) -> FloatArray:
    """Heave spectra at these dampings; what the force bends between points is taken off at both of them."""
    points = force.shape[1]
    found = _shares(hull, damping, points)
    spectra = force * found.squared
    near = _terms(hull, points)[3]
    wide = slice(near.start - 1, near.stop + 1)
    around = force[:, wide] / (2.0 * OMEGA[wide])
    bent = around[:, 2:] - 2.0 * around[:, 1:-1] + around[:, :-2]
    energy = -0.25 * (bent[:, 1:] + bent[:, :-1]) * found.bend
    part = spectra[:, near]
    part[:, 1:] += energy * found.late / WEIGHTS[near][1:]
    part[:, :-1] += energy * (1.0 - found.late) / WEIGHTS[near][:-1]
    # at the foot of a sea, which grows many times over within a step, the bend would take more than there is
    return np.maximum(spectra, 0.0)


@lru_cache(maxsize=16)
def _terms(hull: Oscillator, points: int) -> tuple[FloatArray, FloatArray, FloatArray, slice]:
    """u on the grid [N/m], radiation damping there [N·s/m], for each step near the resonance the resonance
    if it holds it, else its middle, and the radiation damping there (2, k), and the points near the resonance."""
    omega, resonance = OMEGA[:points], 2 * np.pi / hull.natural_period
    found = np.flatnonzero(np.abs(omega / resonance - 1.0) <= _NEAR)
    near = slice(int(found[0]), int(found[-1]) + 1)
    start, end = omega[near][:-1], omega[near][1:]
    closest = np.where((start < resonance) & (resonance <= end), resonance, 0.5 * (start + end))
    spring = hull.stiffness - omega**2 * hull.total_mass
    around = np.stack((closest, hull.radiated_damping(closest)))
    return spring, hull.radiated_damping(omega), around, near


@lru_cache(maxsize=16)
def _tabulated(hull: Oscillator, points: int) -> tuple[FloatArray, FloatArray]:
    """Velocities (NODES,) [m/s], and what turns a force spectrum into velocity variances, (m, NODES)."""
    speed = np.geomspace(SLOWEST, FASTEST, NODES)
    squared = receptance_squared(hull, hull.viscous_damping(speed), points)
    return speed, np.ascontiguousarray((squared * (OMEGA[:points] ** 2 * WEIGHTS[:points])).T)
