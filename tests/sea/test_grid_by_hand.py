"""The frequency grid by its definition, and responses with corners integrated on it against dense sums."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt
import pytest

from heave.sea.grid import EDGES, OMEGA, WEIGHTS, quadrature

Array = npt.NDArray[np.float64]
STEP = math.log(32.0) / 200
"""200 steps from 0.1 to 3.2 rad/s."""


def test_points_and_cells() -> None:
    """Even in ln ω from 0.02, no further than 25; a cell as wide as the trapezoidal rule in ln ω weighs its point."""
    count = math.floor(math.log(25.0 / 0.02) / STEP) + 1
    np.testing.assert_allclose(OMEGA, [0.02 * math.exp(place * STEP) for place in range(count)], rtol=1e-12)
    assert OMEGA[-1] <= 25.0 < OMEGA[-1] * math.exp(STEP)
    np.testing.assert_allclose(WEIGHTS[1:-1], OMEGA[1:-1] * STEP, rtol=1e-12)
    assert WEIGHTS.sum() == pytest.approx(OMEGA[-1] - OMEGA[0])
    assert (EDGES[0], EDGES[-1], EDGES.size) == (OMEGA[0], OMEGA[-1], count + 1)
    assert np.all((EDGES[1:-1] > OMEGA[:-1]) & (EDGES[1:-1] < OMEGA[1:]))
    for fixed in (OMEGA, EDGES, WEIGHTS):
        with pytest.raises(ValueError, match="read-only"):
            fixed[0] = 1.0


def integral(order: int, power: float, omega: Array, corner: float) -> float:
    """∫ (ln ω)^order (1 + |ω − corner|)^power dω over the points, on a grid of a hundred thousand steps each side."""
    total = 0.0
    for low, high in ((omega[0], corner), (corner, omega[-1])):
        nodes, weights = np.polynomial.legendre.leggauss(60)
        x = low + (high - low) * (nodes + 1) / 2
        total += (
            float(np.sum(np.log(x) ** order * (1 + np.abs(x - corner)) ** power * weights)) * (high - low) / 2
        )
    return total


@pytest.mark.parametrize("order", [0, 1, 2, 3])
@pytest.mark.parametrize("corner", [0.7317, float(OMEGA[180])])
def test_a_response_with_a_corner_is_integrated_exactly(order: int, corner: float) -> None:
    """A sea that is a cubic in ln ω is its own cubic through four points, to the very ends of the points given."""
    omega = OMEGA[150:260]
    points, weights = quadrature(omega, np.array([corner, 0.01, 99.0, omega[0], omega[-1]]))
    assert weights.shape == (points.size, omega.size)
    assert np.all((points > omega[0]) & (points < omega[-1]))
    response = (1 + np.abs(points - corner)) ** 2.5
    # weights are over the cells of the whole grid from its first point
    found = float((np.log(omega) ** order * WEIGHTS[: omega.size]) @ (response @ weights))
    assert found == pytest.approx(integral(order, 2.5, omega, corner), rel=1e-10)


def test_points_of_a_response_without_corners() -> None:
    """Three of Gauss and Legendre between neighbours: the middle, and √0.6 of half a step to either side."""
    omega = OMEGA[:6]
    points, weights = quadrature(omega, np.array([]))
    middle, half = (omega[1:] + omega[:-1]) / 2, np.diff(omega) / 2
    expected = np.stack(
        [middle - math.sqrt(0.6) * half, middle, middle + math.sqrt(0.6) * half], axis=1
    ).ravel()
    np.testing.assert_allclose(points, expected, rtol=1e-14)
    # all ones are ones again but for what the last cell is short of: their sum is the width of the grid
    assert float(WEIGHTS[:6] @ weights.sum(axis=0)) == pytest.approx(omega[-1] - omega[0], rel=1e-12)
    split, _ = quadrature(omega, np.array([float(middle[2])]))
    assert split.size == points.size + 3
