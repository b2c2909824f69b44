"""Moments of a Gaussian swell over frequency: closed forms where the bell stays above zero, and what Te leaves out."""

from __future__ import annotations

import math

import numpy as np
import pytest

from heave.sea.periods import _gaussian_share

TURN = 2 * math.pi


@pytest.mark.parametrize("tp", [8.0, 16.0, 20.0])
def test_moments_of_a_bell(tp: float) -> None:
    """Of mean μ and deviation σ: μ, μ² + σ², μ³ + 3μσ², μ⁴ + 6μ²σ² + 3σ⁴, times 2π to the order."""
    sigma, mean = 0.005, 1 / tp
    exact = {
        0: 1.0,
        1: mean,
        2: mean**2 + sigma**2,
        3: mean**3 + 3 * mean * sigma**2,
        4: mean**4 + 6 * mean**2 * sigma**2 + 3 * sigma**4,
    }
    for order, value in exact.items():
        found = _gaussian_share(order, np.array([tp, 9.0]), sigma)
        assert found.shape == (2,)
        assert found[0] == pytest.approx(TURN**order * value, rel=1e-6), order
    assert _gaussian_share(2, np.asarray(tp), sigma).shape == ()


def test_what_lies_below_zero_is_no_sea_and_te_begins_at_a_fifth_of_the_peak() -> None:
    """A third of the frequency wide, three deviations of it lie above zero; dense sums over what counts."""
    tp, sigma = 12.0, 1 / 36
    f = np.linspace(1e-9, 0.5, 2_000_001)
    bell = np.exp(-0.5 * ((f - 1 / tp) / sigma) ** 2)
    for order, low in ((2, 0.0), (4, 0.0), (-1, 0.2 / tp)):
        kept = f > low
        exact = float((bell[kept] * (TURN * f[kept]) ** order).sum() / bell[kept].sum())
        assert float(_gaussian_share(order, np.asarray(tp), sigma)) == pytest.approx(exact, rel=2e-3), order
