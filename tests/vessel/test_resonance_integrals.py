"""The integrals over a resonance against dense sums, and the damping at which a sea and its motion agree."""

from __future__ import annotations

import math

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
    """First and last place of the grid within a quarter of the resonance."""
    near = [place for place, omega in enumerate(OMEGA[:POINTS]) if abs(omega / RESONANCE - 1) <= 0.25]
    return near[0], near[-1]


def dense(place: int, damping: float, share: int) -> float:
    """∫ g(t)/(u² + d²) dv over the step from a point to the next: g 1, t or t(1 − t)."""
    low, high = OMEGA[place], OMEGA[place + 1]
    at = RESONANCE if low < RESONANCE <= high else (low + high) / 2
    t = np.linspace(0.0, 1.0, 40_001)
    v = low**2 + t * (high**2 - low**2)
    inside = (np.ones_like(t), t, t * (1 - t))[share]
    values = inside / ((STIFFNESS - v * MASS) ** 2 + (at * (RADIATED + damping)) ** 2)
    return float(np.trapezoid(values, v))


@pytest.mark.parametrize("damping", [2e5, 1e6, 8e6])
def test_each_point_takes_its_share_of_the_steps_beside_it(damping: float) -> None:
    first, last = steps()
    squared = receptance_squared(HULL, np.array([damping, 3e6]), POINTS)
    assert squared.shape == (2, POINTS)
    for place in range(first + 1, last):
        expected = dense(place - 1, damping, 1) + dense(place, damping, 0) - dense(place, damping, 1)
        found = squared[0, place] * 2 * OMEGA[place] * WEIGHTS[place]
        assert found == pytest.approx(expected, rel=1e-6), place
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


@pytest.mark.parametrize("bend", [0.02, -0.01])
def test_what_a_bend_takes_is_taken_at_both_ends_of_its_step_by_the_share_of_each(bend: float) -> None:
    """F/2ω with second difference D from point to point is L − ½ t(1 − t) D between two: ½ D ∫ t(1 − t)/(u² + d²)."""
    first, last = steps()
    place = np.arange(POINTS) - first
    straight = 20.0 + 0.01 * place
    force = 2 * OMEGA[:POINTS] * (straight + bend / 2 * place**2 * (np.abs(place) < 40))
    damping = np.array([1e6])
    found = _spectra(HULL, force[None], damping)[0]
    taken = found - force * receptance_squared(HULL, damping, POINTS)[0]
    expected = np.zeros(POINTS)
    for step in range(first, last):
        whole, late, bent = (dense(step, 1e6, share) for share in range(3))
        for at, share in ((step, 1 - late / whole), (step + 1, late / whole)):
            expected[at] -= bend / 2 * bent * share / WEIGHTS[at]
    np.testing.assert_allclose(taken, expected, atol=1e-3 * np.abs(expected).max())


def test_points_near_the_resonance() -> None:
    spring, radiated, (closest, there), near = _terms(HULL, POINTS)
    first, last = steps()
    assert (near.start, near.stop) == (first, last + 1)
    np.testing.assert_allclose(spring, STIFFNESS - OMEGA[:POINTS] ** 2 * MASS)
    assert set(radiated) == set(there) == {RADIATED}
    holds = [
        low < RESONANCE <= high
        for low, high in zip(OMEGA[first:last], OMEGA[first + 1 : last + 1], strict=True)
    ]
    assert holds.count(True) == 1
    middles = (OMEGA[first:last] + OMEGA[first + 1 : last + 1]) / 2
    np.testing.assert_allclose(closest, np.where(holds, RESONANCE, middles), rtol=1e-12)


def test_speeds_tried_and_what_they_turn_a_force_into() -> None:
    speed, table = _tabulated(HULL, POINTS)
    assert (speed[0], speed[-1], speed.size) == (pytest.approx(SLOWEST), pytest.approx(FASTEST), NODES)
    assert table.shape == (POINTS, NODES)
    squared = receptance_squared(HULL, np.array([2e6 * speed[30] / 0.4]), POINTS)[0]
    np.testing.assert_allclose(table[:, 30], squared * OMEGA[:POINTS] ** 2 * WEIGHTS[:POINTS], rtol=1e-9)


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
    assert found[0] == pytest.approx(damping, rel=1.5e-3)
    width = WEIGHTS[:POINTS]
    assert math.sqrt(spectra[0] @ width) == pytest.approx(heave, rel=2e-3)
    assert math.sqrt(spectra[0] @ (OMEGA[:POINTS] ** 2 * width)) == pytest.approx(speed, rel=2e-3)


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
