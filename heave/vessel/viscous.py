"""Viscous heave damping of a semisubmersible: the damping at which each sea and its motion agree.

The drag of the pontoons is replaced, sea by sea, by the linear damping of equal energy loss,
B = ½ρC_dA√(8/π) σ_v, and σ_v depends on B. Since σ_v falls as B rises there is exactly one such B.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final, NamedTuple

import numpy as np

from heave.arrays import FloatArray, Floats
from heave.sea.grid import OMEGA, WEIGHTS
from heave.vessel.oscillator import Oscillator

NODES: Final = 57
"""Heave velocities at which the motion is tabulated, evenly spaced in their logarithm."""

SLOWEST: Final = 1e-6
"""Lowest of them [m/s]: slower motion keeps the damping of this one."""

FASTEST: Final = 20.0
"""Highest of them [m/s]: more than any sea gives."""

_NEAR: Final = 0.15
"""Steps within this share of the natural frequency are integrated exactly, within twice of it in part."""


def damped_response(hull: Oscillator, force_spectrum: Floats) -> tuple[FloatArray, FloatArray]:
    """Heave spectra and the viscous damping they settle at.

    The velocity of every sea is read at NODES dampings by one matrix product, and the crossing with
    B = ½ρC_dA√(8/π) σ_v is found on the cubic through the four about it.

    Parameters
    ----------
    hull : the semisubmersible, or what a response table says of one
    force_spectrum : spectra of the wave force in heave on leading points of OMEGA, shape (n, m) [N²·s]

    Returns
    -------
    Heave spectra, shape (n, m) [m²·s]; damping, shape (n,) [N·s/m]; NaN where the force is
    """
    speed, table = _tabulated(hull, force_spectrum.shape[1])
    missing = ~np.isfinite(force_spectrum.sum(axis=1))
    force = np.where(missing[:, None], 0.0, force_spectrum.astype(np.float64))
    curve = 0.5 * np.log(np.maximum(force @ table, 1e-300)) - np.log(speed)
    last = np.clip(np.count_nonzero(curve >= 0.0, axis=1) - 1, 0, NODES - 2)
    first = np.clip(last - 1, 0, NODES - 4)
    around = np.take_along_axis(curve, first[:, None] + np.arange(4), axis=1)
    still = curve[:, 0] < 0.0
    place = np.where(still, 0.0, first + _crossing(around, (last - first).astype(np.float64)))
    damping = hull.viscous_damping(SLOWEST * (speed[1] / speed[0]) ** place)
    spectra = np.maximum(_spectra(hull, force, damping), 0.0)
    spectra[missing] = np.nan
    return spectra, np.where(missing, np.nan, damping)


def _crossing(values: FloatArray, place: FloatArray) -> FloatArray:
    """Where the cubic through four values (n, 4), one apart, is zero, near `place` (n,): Newton's forward differences
    and Newton's rule."""
    first, second, third = (np.diff(values, order, axis=1)[:, 0] for order in (1, 2, 3))
    for _ in range(4):
        height = values[:, 0] + place * (first + (place - 1) / 2 * (second + (place - 2) / 3 * third))
        place = place - height / (first + (place - 0.5) * second + (place * (place - 2) / 2 + 1 / 3) * third)
    return place


def receptance_squared(hull: Oscillator, viscous_damping: FloatArray, points: int = OMEGA.size) -> FloatArray:
    """Mean of |receptance|² around each point of OMEGA, weighted so that a sum over the grid is an exact integral.

    |receptance|² = 1/((C − vm)² + vB²) with v = ω², C = C33, m = M + A33 and B = B_rad + B_visc, which is
    1/(u² + d²) with u = C − B²/2m − vm and d² = CB²/m − B⁴/4m². Over v, u is linear and d constant, and the integral
    of a force spectrum F is that of f = F/2ω. Between two points f is close to linear, and B_rad is taken at the
    resonance or else in the middle of the step. So with Δ for a difference between the points and t running from 0 to 1

        ∫ dt/(u² + d²) = Δatan(u/d)/(d Δu),   ∫ t dt/(u² + d²) = [½ Δln(u² + d²) − u₀ Δatan(u/d)/d]/Δu²

    and each point takes its share, however narrow the resonance is against the step: the answer does not
    depend on the grid. Points far from the resonance, where the curve is flat, take their own value, and so do all
    where B² is over 2Cm and the curve has no peak.

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

    Between points a force with second divided difference D over v is L(t) − t(1 − t) Δv² D, L linear. With the two
    integrals above and u = u₀ + tΔu, ∫ t² dt/(u² + d²) = [1 − (u₀² + d²) ∫ dt/(u² + d²) − 2u₀Δu ∫ t dt/(u² + d²)]/Δu².
    """
    spring, radiated, near_radiated, near, taken = _terms(hull, points)
    total = radiated + viscous_damping[:, None]
    total *= OMEGA[:points]
    total *= total
    total += spring**2
    squared: FloatArray = np.divide(1.0, total, out=total)
    spread = (near_radiated + viscous_damping[:, None]) ** 2 / hull.total_mass
    flat = np.any(spread > 2.0 * hull.stiffness, axis=1)[:, None]
    spread = np.where(flat, hull.stiffness, spread)
    ends, step = spring[near], np.diff(OMEGA[near] ** 2)
    start, end = ends[:-1] - 0.5 * spread, ends[1:] - 0.5 * spread
    rise, square = np.diff(ends), spread * (hull.stiffness - 0.25 * spread)
    d = np.sqrt(square)
    angle = (np.arctan(end / d) - np.arctan(start / d)) / d
    late = 0.5 * np.log((end**2 + square) / (start**2 + square))
    late -= start * angle
    late *= step / rise**2
    whole = angle * (step / rise)
    later = (step - (start**2 + square) * whole - 2.0 * start * rise * late) / rise**2
    inner = slice(near.start + 1, near.stop - 1)
    shares = (late[:, :-1] + (whole - late)[:, 1:]) / (2.0 * OMEGA[inner] * WEIGHTS[inner])
    squared[:, inner] += np.where(flat, 0.0, taken[1:-1] * (shares - squared[:, inner]))
    return _Shares(squared, late / whole, np.where(flat, 0.0, late - later))


def _spectra(hull: Oscillator, force: FloatArray, damping: FloatArray) -> FloatArray:
    """Heave spectra at these dampings, in proportion to the force; what it bends between points is taken off at both.

    At the foot of a sea, which grows many times over within a step, that would be more than there is: below zero.
    """
    points = force.shape[1]
    found = _shares(hull, damping, points)
    spectra = force * found.squared
    *_, near, taken = _terms(hull, points)
    wide = slice(near.start - 1, near.stop + 1)
    around, square = force[:, wide] / (2.0 * OMEGA[wide]), OMEGA[wide] ** 2
    around[:, 1:-1] *= taken
    around[:, [0, -1]] = 0.0
    bent = np.diff(np.diff(around) / np.diff(square)) / (square[2:] - square[:-2])
    energy = -0.5 * (bent[:, 1:] + bent[:, :-1]) * np.diff(square)[1:-1] ** 2 * found.bend
    # a force that falls has more of a step's energy early than its two ends have
    early = np.diff(around[:, 1:-1]) * found.bend
    part = spectra[:, near]
    part[:, 1:] += (energy * found.late - early) / WEIGHTS[near][1:]
    part[:, :-1] += (energy * (1.0 - found.late) + early) / WEIGHTS[near][:-1]
    return spectra


@lru_cache(maxsize=16)
def _terms(hull: Oscillator, points: int) -> tuple[FloatArray, FloatArray, FloatArray, slice, FloatArray]:
    """C − ω²m on the grid [N/m], radiation damping there and in the steps near the resonance (k,) [N·s/m], the points
    near it, and how much of each is integrated exactly, from 1 to 0 without a corner: a sum that ends at one is out."""
    omega, resonance = OMEGA[:points], 2 * np.pi / hull.natural_period
    away = np.abs(omega / resonance - 1.0)
    found = np.flatnonzero(away[1:-1] <= 2.0 * _NEAR) + 1  # each between two others
    near = slice(int(found[0]), int(found[-1]) + 1)
    taken = np.cos(0.5 * np.pi * np.clip(away[near] / _NEAR - 1.0, 0.0, 1.0)) ** 2
    start, end = omega[near][:-1], omega[near][1:]
    closest = np.where((start < resonance) & (resonance <= end), resonance, 0.5 * (start + end))
    spring = hull.stiffness - omega**2 * hull.total_mass
    return spring, hull.radiated_damping(omega), hull.radiated_damping(closest), near, taken


@lru_cache(maxsize=16)
def _tabulated(hull: Oscillator, points: int) -> tuple[FloatArray, FloatArray]:
    """Velocities (NODES,) [m/s], and what turns a force spectrum into velocity variances, (m, NODES)."""
    speed = np.geomspace(SLOWEST, FASTEST, NODES)
    squares, one_each = OMEGA[:points] ** 2 * WEIGHTS[:points], np.eye(points)
    table = [
        _spectra(hull, one_each, np.array([damping])) @ squares for damping in hull.viscous_damping(speed)
    ]
    return speed, np.stack(table, axis=1)
