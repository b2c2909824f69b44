"""Levels fitted to block maxima against the exact law of Gaussian peaks, their interval, and what controls do."""

from __future__ import annotations

import math

import numpy as np
import pytest

from heave.arrays import FloatArray
from heave.compensator.time_domain import irregular_heave
from heave.errors import InputError
from heave.sea import OMEGA, jonswap, mean_period, moment
from heave.simulation.tail import levels, reduced_level

BLOCK = 12.0
"""Cycles in a block."""


def rayleigh_maxima(seed: int, lanes: int, figures: int = 1, cycles: float = BLOCK) -> FloatArray:
    """Largest of `cycles` Rayleigh peaks of σ 1, drawn from P(R < r) = exp(−n exp(−r²/2)) itself: two blocks a lane."""
    chance = np.random.default_rng(seed).uniform(size=(figures, 2, lanes))
    return np.sqrt(2 * np.log(np.maximum(cycles / -np.log(chance), 1.0)))


@pytest.mark.parametrize(("cycles", "chance"), [(1000.0, 0.01), (1000.0, 0.5), (10800.0, 0.1)])
def test_reduced_level_is_that_of_independent_rayleigh_peaks(cycles: float, chance: float) -> None:
    # n independent Rayleigh peaks stay below r with (1 − exp(−r²/2))ⁿ (Longuet-Higgins, 1952)
    r = reduced_level(cycles, chance)
    assert (1 - math.exp(-(r**2) / 2)) ** cycles == pytest.approx(1 - chance, abs=2e-3 * chance + 1e-5)


def test_level_and_interval_of_an_exact_law() -> None:
    # offset and slope as friction makes them: a + b R; the level is known exactly
    reduced = reduced_level(2700.0, 0.01)
    a, b = 0.6, 1.4
    exact = a + b * reduced
    found = np.array(
        [levels(a + b * rayleigh_maxima(seed, 144), BLOCK, reduced, np.zeros(0))[0] for seed in range(60)]
    )
    error = found[:, 0] / exact - 1
    assert abs(error.mean()) < 3 * error.std() / math.sqrt(60) + 0.005
    covered = np.mean((found[:, 1] <= exact) & (exact <= found[:, 2]))
    # 60 trials at 0.9: three standard errors are 0.12
    assert 0.78 <= covered <= 1.0
    assert np.all(found[:, 1] <= found[:, 0])
    assert np.all(found[:, 0] <= found[:, 2])


@pytest.mark.parametrize("gamma", [1.0, 3.3, 7.0])
def test_level_of_a_gaussian_sea(gamma: float) -> None:
    # the level for Gaussian peaks, σ √(2 ln(N/−ln(1 − p))): DNV-RP-C205, 3.5
    spectrum = jonswap(OMEGA, 4.0, 11.0, gamma) * (OMEGA < 1.5)
    m0 = float(moment(spectrum, 0))
    period = float(mean_period(m0, moment(spectrum, 2)))
    rows = round(BLOCK * period / 0.1)
    reduced = reduced_level(3 * 3600 / period, 0.1)
    found = []
    for first in range(0, 128, 16):
        heave = irregular_heave(OMEGA, spectrum, 18 * rows * 0.1, range(first, first + 16), lead=0.0)
        blocks = heave.position[: 18 * rows].reshape(9, 2, rows, 16).max(axis=2)
        maxima = np.moveaxis(blocks, 1, 0).reshape(1, 2, -1)
        found.append(levels(maxima, BLOCK, reduced, np.zeros(0))[0, 0] / math.sqrt(m0) / reduced)
    # successive waves of a narrow sea stand in for each other, which costs it a per cent or two
    assert np.mean(found) == pytest.approx(1.0, abs=0.03)
    assert np.std(found) < 0.06


def test_a_control_takes_out_the_chance_that_is_shared() -> None:
    reduced = reduced_level(2700.0, 0.01)
    alone, controlled = [], []
    for seed in range(40):
        own, shared = rayleigh_maxima(seed, 144), rayleigh_maxima(1000 + seed, 144)
        figure = 2.0 * shared + 0.1 * own
        both = np.concatenate([shared, figure])
        alone.append(levels(both, BLOCK, reduced, np.zeros(0))[1])
        controlled.append(levels(both, BLOCK, reduced, np.array([reduced]))[1])
    plain, better = np.array(alone), np.array(controlled)
    assert better[:, 0].std() < 0.5 * plain[:, 0].std()
    assert np.median(better[:, 2] - better[:, 1]) < 0.5 * np.median(plain[:, 2] - plain[:, 1])
    assert better[:, 0].mean() == pytest.approx(plain[:, 0].mean(), rel=0.02)


def test_a_control_comes_out_as_known() -> None:
    reduced = reduced_level(2700.0, 0.01)
    found = levels(rayleigh_maxima(3, 144), BLOCK, reduced, np.array([reduced]))
    assert found[0] == pytest.approx([reduced] * 3)


def test_what_never_moves_has_no_level() -> None:
    found = levels(np.zeros((1, 2, 16)), BLOCK, 4.0, np.zeros(0))
    assert found[0] == pytest.approx([0.0, 0.0, 0.0])


def test_what_cannot_be_fitted_is_refused() -> None:
    with pytest.raises(InputError, match="block maxima"):
        levels(np.ones((1, 2, 7)), BLOCK, 4.0, np.zeros(0))
    with pytest.raises(InputError, match="block maxima"):
        levels(np.full((1, 2, 8), math.nan), BLOCK, 4.0, np.zeros(0))
    with pytest.raises(InputError, match="cycles and chance"):
        reduced_level(1.0, 0.7)
