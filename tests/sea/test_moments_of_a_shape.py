"""Moments of a peaked shape against plain integration, for all peak factors allowed and orders that converge."""

from __future__ import annotations

import math

import numpy as np
import pytest

from heave.sea.peaked import JONSWAP_FORM, TORSETHAUGEN_FORM, PeakedForm, shape_moment

GAMMAS = np.array([1.0, 1.7, 3.3, 7.0, 20.0, 50.0])


def plain(form: PeakedForm, order: int, gamma: float) -> float:
    """∫ tⁿ t⁻ᵐ exp(−c t⁻⁴) γ^exp(−½((t − 1)/σ)²) dt, σ 0.07 below and 0.09 above the peak; the tail by its power."""
    total = 0.0
    nodes, weights = np.polynomial.legendre.leggauss(300)
    for low, high, sigma in (
        (0.2, 0.7, 0.07),
        (0.7, 1.0, 0.07),
        (1.0, 1.5, 0.09),
        (1.5, 6.0, 0.09),
        (6.0, 60.0, 0.09),
    ):
        t = low + (high - low) * (nodes + 1) / 2
        shape = t ** float(order - form.decay) * np.exp(-form.slope * t**-4.0)
        shape *= gamma ** np.exp(-0.5 * ((t - 1) / sigma) ** 2)
        total += float(shape @ weights) * (high - low) / 2
    power = form.decay - order - 1  # past 60 the exponential is 1 − c t⁻⁴
    return total + 60.0**-power / power - form.slope * 60.0 ** (-power - 4) / (power + 4)


@pytest.mark.parametrize(
    ("form", "order"),
    [(JONSWAP_FORM, order) for order in (-1, 0, 1, 2, 3)]
    + [(TORSETHAUGEN_FORM, order) for order in (-1, 0, 1, 2)],
)
def test_a_series_in_the_logarithm_of_the_peak_factor(form: PeakedForm, order: int) -> None:
    exact = [plain(form, order, gamma) for gamma in GAMMAS]
    np.testing.assert_allclose(shape_moment(form, order, GAMMAS), exact, rtol=1e-8)
    for gamma, value in zip(GAMMAS, exact, strict=True):  # few terms for a low factor, all for a high one
        assert float(shape_moment(form, order, gamma)) == pytest.approx(value, rel=1e-8)


def test_without_a_peak_it_is_a_gamma_function() -> None:
    """Γ(1)/(4 × 1.25) of JONSWAP's own energy, Γ(¾)/4 of Torsethaugen's."""
    assert float(shape_moment(JONSWAP_FORM, 0, 1.0)) == pytest.approx(0.2, rel=1e-12)
    assert float(shape_moment(TORSETHAUGEN_FORM, 0, 1.0)) == pytest.approx(math.gamma(0.75) / 4, rel=1e-12)
    found = shape_moment(JONSWAP_FORM, 0, np.array([math.nan, 3.3]))
    assert np.isnan(found).tolist() == [True, False]
    assert float(found[1]) == pytest.approx(float(shape_moment(JONSWAP_FORM, 0, 3.3)), rel=1e-12)
