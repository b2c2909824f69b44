"""The integrals over a resonance against dense sums, and the damping at which a sea and its motion agree."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import numpy.typing as npt
import pytest

from heave.sea.grid import OMEGA, WEIGHTS
from heave.vessel.oscillator import TableOscillator
from heave.vessel.viscous import (
    FASTEST,
    NODES,
    SLOWEST,
    _shares,
    _spectra,
    _tabulated,
    _terms,
    damped_response,
    receptance_squared,
)

Array = npt.NDArray[np.float64]
PERIOD, STIFFNESS, RADIATED = 21.0, 9.0e6, 6e4
HULL = TableOscillator(PERIOD, STIFFNESS, viscous=2e6, speed=0.4, radiated=RADIATED)
RESONANCE = 2 * math.pi / PERIOD
MASS = STIFFNESS / RESONANCE**2
POINTS = 300


def steps() -> tuple[int, int]:
    """First and last place of the grid within three tenths of the resonance."""
    near = [place for place, omega in enumerate(OMEGA[:POINTS]) if abs(omega / RESONANCE - 1) <= 0.3]
    return near[0], near[-1]


def taken(place: int) -> float:
    """How much of a place is integrated: all to 0.15 from the resonance, then less without a corner, none at 0.3."""
    away = abs(float(OMEGA[place]) / RESONANCE - 1)
    return (1 + math.cos(math.pi * min(max(away / 0.15 - 1, 0), 1))) / 2


def dense(place: int, damping: float, share: int) -> float:
    """∫ g(t)/((C − vm)² + vB²) dv over the step from a point to the next: g 1, t or t(1 − t)."""
    low, high = OMEGA[place], OMEGA[place + 1]
    t = np.linspace(0.0, 1.0, 40_001)
    v = low**2 + t * (high**2 - low**2)
    inside = (np.ones_like(t), t, t * (1 - t))[share]
    values = inside / ((STIFFNESS - v * MASS) ** 2 + v * (RADIATED + damping) ** 2)
    return float(np.trapezoid(values, v))


@pytest.mark.parametrize("damping", [2e5, 1e6, 8e6])
def test_each_point_takes_its_share_of_the_steps_beside_it(damping: float) -> None:
    first, last = steps()
    squared = receptance_squared(HULL, np.array([damping, 3e6]), POINTS)
    assert squared.shape == (2, POINTS)
    for place in range(first + 1, last):
        expected = dense(place - 1, damping, 1) + dense(place, damping, 0) - dense(place, damping, 1)
        omega = OMEGA[place]
        own = (
            2
            * omega
            * WEIGHTS[place]
            / ((STIFFNESS - omega**2 * MASS) ** 2 + (omega * (RADIATED + damping)) ** 2)
        )
        found = squared[0, place] * 2 * omega * WEIGHTS[place]
        assert found == pytest.approx(own + taken(place) * (expected - own), rel=1e-6), place
    for place in (0, 40, first - 1, first, last, last + 1, POINTS - 1):
        omega = OMEGA[place]
        own = (STIFFNESS - omega**2 * MASS) ** 2 + (omega * (RADIATED + damping)) ** 2
        assert squared[0, place] == pytest.approx(1 / own, rel=1e-12)


def test_what_a_step_keeps_for_its_late_end_and_takes_for_a_bend() -> None:
    first, last = steps()
    found = _shares(HULL, np.array([1e6]), POINTS)
    assert found.late.shape == found.bend.shape == (1, last - first)
    for step in range(last - first):
        whole, late, bend = (dense(first + step, 1e6, share) for share in range(3))
        assert found.late[0, step] == pytest.approx(late / whole, rel=1e-5)
        assert found.bend[0, step] == pytest.approx(bend, rel=1e-4)


@pytest.mark.parametrize("fall", [-40.0, 0.0, 25.0])
@pytest.mark.parametrize("damping", [2e5, 6e5, 3e6])
def test_energy_and_its_frequencies_where_the_force_is_steep(damping: float, fall: float) -> None:
    """F = 2ω e^(fall v) within a bell, up to a fifth more or less at the next point: moments against dense sums."""
    omega = np.linspace(OMEGA[0], OMEGA[POINTS - 1], 400_001)

    def wave(at: Array) -> Array:
        return np.asarray(2 * at * np.exp(fall * at**2 - (((at - RESONANCE) / 0.08) ** 2)))

    heave = wave(omega) / ((STIFFNESS - omega**2 * MASS) ** 2 + (omega * (RADIATED + damping)) ** 2)
    found = _spectra(HULL, wave(OMEGA[:POINTS])[None], np.array([damping]))[0]
    for order in (0, 2, 4):
        exact = float(np.trapezoid(heave * omega**order, omega))
        assert found @ (OMEGA[:POINTS] ** order * WEIGHTS[:POINTS]) == pytest.approx(exact, rel=4e-4), order


def test_a_resonance_damped_away_is_summed_at_the_points() -> None:
    """From B² = 2Cm on the curve has no peak: on both sides of it the sums are those of dense ones."""
    edge = math.sqrt(2 * STIFFNESS * MASS) - RADIATED
    omega = np.linspace(OMEGA[0], OMEGA[POINTS - 1], 400_001)
    for damping in (0.99 * edge, 1.01 * edge, 4 * edge, 1e10):
        squared = receptance_squared(HULL, np.array([damping]), POINTS)[0]
        point = 1 / (
            (STIFFNESS - OMEGA[:POINTS] ** 2 * MASS) ** 2 + (OMEGA[:POINTS] * (RADIATED + damping)) ** 2
        )
        assert (np.abs(squared / point - 1).max() < 1e-12) == (damping > edge)
        assert not _shares(HULL, np.array([damping]), POINTS).bend.any() or damping < edge
        bell = np.exp(-(((omega - RESONANCE) / 0.08) ** 2))
        exact = np.trapezoid(
            bell / ((STIFFNESS - omega**2 * MASS) ** 2 + (omega * (RADIATED + damping)) ** 2), omega
        )
        found = _spectra(
            HULL, np.exp(-(((OMEGA[:POINTS] - RESONANCE) / 0.08) ** 2))[None], np.array([damping])
        )[0]
        assert found @ WEIGHTS[:POINTS] == pytest.approx(float(exact), rel=1e-4)


def test_points_near_the_resonance() -> None:
    spring, radiated, there, near, share = _terms(HULL, POINTS)
    first, last = steps()
    assert (near.start, near.stop) == (first, last + 1)
    np.testing.assert_allclose(spring, STIFFNESS - OMEGA[:POINTS] ** 2 * MASS)
    assert set(radiated) == set(there) == {RADIATED}
    assert there.shape == (last - first,)
    np.testing.assert_allclose(share, [taken(place) for place in range(first, last + 1)], atol=1e-12)
    assert share.max() == 1.0
    assert share.min() < 0.1


def test_a_resonance_past_the_end_of_the_spectra_keeps_inside_them() -> None:
    for points in range(30, 60):
        hull = replace(HULL, natural_period=2 * math.pi / float(OMEGA[points - 3]))
        near = _terms(hull, points)[3]
        assert near.start >= 1
        assert near.stop <= points - 1
        assert np.isfinite(damped_response(hull, np.ones((1, points)))[0]).all()


def test_speeds_tried_and_what_they_turn_a_force_into() -> None:
    speed, table = _tabulated(HULL, POINTS)
    assert (speed[0], speed[-1], speed.size) == (pytest.approx(SLOWEST), pytest.approx(FASTEST), NODES)
    assert table.shape == (POINTS, NODES)
    squared = receptance_squared(HULL, np.array([2e6 * speed[30] / 0.4]), POINTS)[0]
    first, last = steps()
    away = np.r_[: first - 1, last + 2 : POINTS]  # where nothing is integrated nor bends what is
    np.testing.assert_allclose(
        table[away, 30], (squared * OMEGA[:POINTS] ** 2 * WEIGHTS[:POINTS])[away], rtol=1e-9
    )


@pytest.mark.parametrize("period", [16.0, 21.0])
def test_the_table_has_the_speed_of_a_resonance_to_a_dense_sum(period: float) -> None:
    speed, table = _tabulated(HULL, POINTS)
    omega = np.linspace(OMEGA[0], OMEGA[POINTS - 1], 400_001)
    bell = np.exp(-(((omega - 2 * math.pi / period) / 0.06) ** 2) / 2)
    for node in (38, 44, 50):
        damping = RADIATED + 2e6 * speed[node] / 0.4
        heave = bell / ((STIFFNESS - omega**2 * MASS) ** 2 + (omega * damping) ** 2)
        sampled = np.exp(-(((OMEGA[:POINTS] - 2 * math.pi / period) / 0.06) ** 2) / 2)
        assert sampled @ table[:, node] == pytest.approx(
            float(np.trapezoid(heave * omega**2, omega)), rel=4e-4
        )


def force(height: float, period: float) -> Array:
    """A force spectrum with a bend: a narrow bell of sea times a force that rises with the square of frequency."""
    omega = OMEGA[:POINTS]
    bell = np.exp(-(((omega - 2 * math.pi / period) / 0.06) ** 2) / 2) / (0.06 * math.sqrt(2 * math.pi))
    return np.asarray(bell * (height * 4e6 * (1 + omega**2)) ** 2)


def agreed(height: float, period: float) -> tuple[float, float, float]:
    """Damping by halving on a dense grid of frequency, and σ of heave and of its speed there."""
    omega = np.linspace(OMEGA[0], OMEGA[POINTS - 1], 40_001)
    bell = np.exp(-(((omega - 2 * math.pi / period) / 0.06) ** 2) / 2) / (0.06 * math.sqrt(2 * math.pi))
    wave = bell * (height * 4e6 * (1 + omega**2)) ** 2

    def moved(damping: float) -> Array:
        return np.asarray(wave / ((STIFFNESS - omega**2 * MASS) ** 2 + (omega * (RADIATED + damping)) ** 2))

    low, high = 1e2, 1e9
    for _ in range(45):
        middle = math.sqrt(low * high)
        speed = math.sqrt(float(np.trapezoid(moved(middle) * omega**2, omega)))
        low, high = (middle, high) if 2e6 * speed / 0.4 > middle else (low, middle)
    heave = moved(low)
    return low, *(math.sqrt(float(np.trapezoid(heave * omega**order, omega))) for order in (0, 2))


@pytest.mark.parametrize(
    ("height", "period"), [(0.02, 21.0), (0.3, 21.0), (1.0, 16.0), (3.0, 25.0), (0.5, 10.0)]
)
def test_the_damping_is_that_at_which_the_speed_asks_for_it(height: float, period: float) -> None:
    damping, heave, speed = agreed(height, period)
    spectra, found = damped_response(HULL, force(height, period)[None])
    assert found[0] == pytest.approx(damping, rel=5e-4)
    width = WEIGHTS[:POINTS]
    assert math.sqrt(spectra[0] @ width) == pytest.approx(heave, rel=5e-4)
    assert math.sqrt(spectra[0] @ (OMEGA[:POINTS] ** 2 * width)) == pytest.approx(speed, rel=5e-4)


def test_a_flat_sea_a_missing_one_and_others_beside_them() -> None:
    missing = force(1.0, 16.0)
    missing[40] = np.nan
    rows = np.stack([force(0.3, 21.0), np.zeros(POINTS), missing, force(1.0, 16.0)])
    spectra, found = damped_response(HULL, rows)
    assert np.isnan(found).tolist() == [False, False, True, False]
    assert np.isnan(spectra[2]).all()
    assert not spectra[1].any()
    assert found[1] == pytest.approx(2e6 * SLOWEST / 0.4)
    for row in (0, 3):
        alone, own = damped_response(HULL, rows[row : row + 1])
        np.testing.assert_allclose(spectra[row], alone[0], rtol=1e-12)
        assert found[row] == pytest.approx(own[0], rel=1e-12)
    assert np.all(spectra[[0, 3]] >= 0.0)
