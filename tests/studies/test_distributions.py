"""Spreads against their textbook quantiles, and what is cut off."""

from __future__ import annotations

import math

import numpy as np
import pytest

from heave.errors import InputError
from heave.studies.distributions import (
    Lognormal,
    Normal,
    Triangular,
    Truncated,
    Uniform,
    spread_over,
)

SPREADS = (Uniform(2.0, 6.0), Triangular(2.0, 3.0, 6.0), Normal(4.0, 1.0), Lognormal(4.0, 0.3))


@pytest.mark.parametrize("spread", SPREADS)
def test_quantile_and_cumulative_undo_each_other(spread) -> None:
    u = np.linspace(0.01, 0.99, 99)
    assert spread.cumulative(spread.quantile(u)) == pytest.approx(u, abs=1e-12)
    assert np.all(np.diff(spread.quantile(u)) > 0)


def test_means_and_deviations() -> None:
    """Uniform (b−a)/√12; triangular √((a²+b²+c²−ab−ac−bc)/18) about (a+b+c)/3; lognormal mean m e^(s²/2)."""
    u = (np.arange(200_000) + 0.5) / 200_000
    for spread, mean, deviation in (
        (SPREADS[0], 4.0, 4 / math.sqrt(12)),
        (SPREADS[1], 11 / 3, math.sqrt((4 + 9 + 36 - 6 - 12 - 18) / 18)),
        (SPREADS[2], 4.0, 1.0),
        (SPREADS[3], 4 * math.exp(0.045), 4 * math.exp(0.045) * math.sqrt(math.exp(0.09) - 1)),
    ):
        values = spread.quantile(u)
        assert np.mean(values) == pytest.approx(mean, rel=1e-4)
        assert np.std(values) == pytest.approx(deviation, rel=1e-3)


def test_a_range_leaves_one_in_twenty_beyond_each_end() -> None:
    for shape in ("normal", "lognormal"):
        spread = spread_over(shape, 2.0, 8.0, 5.0)
        assert spread.cumulative((2.0, 8.0)) == pytest.approx((0.05, 0.95), abs=1e-9)
    assert spread_over("normal", 2.0, 8.0, 5.0).quantile(0.5) == pytest.approx(5.0)
    assert spread_over("lognormal", 2.0, 8.0, 5.0).quantile(0.5) == pytest.approx(4.0)
    for shape in ("uniform", "triangular"):
        assert spread_over(shape, 2.0, 8.0, 5.0).cumulative((2.0, 8.0)) == pytest.approx((0.0, 1.0))


def test_a_corner_triangle() -> None:
    for mode in (2.0, 6.0):
        spread = Triangular(2.0, mode, 6.0)
        u = np.linspace(0, 1, 11)
        assert spread.cumulative(spread.quantile(u)) == pytest.approx(u)


def test_what_is_cut_off() -> None:
    spread = Truncated(Normal(0.0, 1.0), 0.0, math.inf)
    assert spread.kept == pytest.approx(0.5)
    assert spread.quantile(0.5) == pytest.approx(0.6745, abs=1e-4)  # median of a half-normal
    assert Truncated(Uniform(0.0, 2.0), 0.5, 1.5).quantile((0.0, 0.5, 1.0)) == pytest.approx((0.5, 1.0, 1.5))


@pytest.mark.parametrize(
    "bad",
    [
        lambda: Uniform(1.0, 1.0),
        lambda: Triangular(1.0, 3.0, 2.0),
        lambda: Normal(0.0, 0.0),
        lambda: Lognormal(-1.0, 0.2),
        lambda: spread_over("lognormal", 0.0, 1.0, 0.5),
        lambda: spread_over("triangular", 0.0, 1.0, 2.0),
        lambda: spread_over("round", 0.0, 1.0, 0.5),
        lambda: Truncated(Uniform(0.0, 1.0), 2.0, 3.0),
    ],
)
def test_a_spread_that_cannot_be_is_refused(bad) -> None:
    with pytest.raises(InputError):
        bad()
