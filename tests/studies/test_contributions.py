"""First-order indices against functions whose indices are known on paper."""

from __future__ import annotations

import math

import numpy as np
import pytest

from heave.studies.contributions import between_classes, classes_for, first_order


def test_ishigami() -> None:
    """y = sin x₁ + 7 sin² x₂ + 0.1 x₃⁴ sin x₁, x uniform ±π: 0.3139, 0.4424 and 0 (Saltelli et al., Global Sensitivity
    Analysis: The Primer, 2008, from memory; here from the closed form)."""
    x = np.random.default_rng(3).uniform(-math.pi, math.pi, (3, 10_000))
    y = np.sin(x[0]) + 7 * np.sin(x[1]) ** 2 + 0.1 * x[2] ** 4 * np.sin(x[0])
    whole = 0.1 * math.pi**4 / 5 + 0.01 * math.pi**8 / 18 + 49 / 8 + 0.5
    exact = 0.5 * (1 + 0.1 * math.pi**4 / 5) ** 2 / (whole + 0.0), 49 / 8 / whole, 0.0
    assert exact[:2] == pytest.approx((0.3139, 0.4424), abs=1e-4)
    for column, index in zip(x, exact, strict=True):
        found = first_order(column, y)
        assert found.share == pytest.approx(index, abs=0.02)
        assert abs(found.share - index) < 4 * found.error + 0.002


def test_a_sum_has_the_shares_of_its_variances() -> None:
    rng = np.random.default_rng(8)
    weights = np.array([3.0, 2.0, 1.0, 0.0])
    x = rng.normal(size=(4, 20_000))
    exact = weights**2 / np.sum(weights**2)
    found = [first_order(column, weights @ x).share for column in x]
    assert found == pytest.approx(exact, abs=0.01)


def test_draws_that_are_shared_count_once() -> None:
    """2a + b + c with a and c shared by ten samples each: 4/6, 1/6, 1/6; c must not look like many."""
    rng = np.random.default_rng(2)
    draws = np.arange(20_000) // 10
    a, c, unused = (rng.normal(size=2000)[draws] for _ in range(3))
    b = rng.normal(size=20_000)
    y = 2 * a + b + c
    found = [first_order(a, y, draws), first_order(b, y), first_order(c, y, draws)]
    assert [one.share for one in found] == pytest.approx([4 / 6, 1 / 6, 1 / 6], abs=0.03)
    nothing = first_order(unused, y, draws)
    assert abs(nothing.share) < 4 * nothing.error
    assert nothing.error > 2 * found[1].error * 0.1


def test_noise_alone_is_near_zero_on_average() -> None:
    """What the correction is for: without it the mean would be (M − 1)/(n − 1), 0.1 here."""
    rng = np.random.default_rng(4)
    found = [between_classes(rng.random(100), rng.normal(size=100)) for _ in range(2000)]
    assert np.mean(found) == pytest.approx(0.0, abs=0.01)
    assert classes_for(100) == 10


def test_a_result_that_does_not_vary_has_no_shares() -> None:
    found = first_order(np.arange(100.0), np.ones(100))
    assert math.isnan(found.share)
