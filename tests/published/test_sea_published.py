"""The sea against published figures and against figures computed from the published formulas.

Tolerances are the rounding of the printed figure, or the 0.03 % by which g = 9.81 differs from the standard
acceleration where the source used 9.81; the reason stands beside each.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from heave.sea import (
    OMEGA,
    WEIGHTS,
    SeaState,
    cosine_2s,
    cosine_n,
    gamma_by_rule,
    jonswap,
    level_exceeded,
    moment,
    most_probable_maximum,
    ochi_hubble,
    period_ratio,
    steepness_cap,
    tma_factor,
    torsethaugen,
    two_parameter,
    wave_number,
)
from heave.sea.two_peak import ochi_hubble_parts, torsethaugen_parts


def test_pierson_moskowitz_ordinate_of_the_ocean_statistics_pages() -> None:
    # DNV Research, ocean statistics pages: Hs 12 m, Tz 10 s gives ωp 0.44634 rad/s, Tp 14.077 s,
    # S(0.5 rad/s) 25.84 m²s, 162.36 m²/Hz. Tolerance: their rounding.
    sea = SeaState.single(12.0, 10.0, period_kind="Tz", shape="two-parameter")
    tp = sea.systems[0].tp
    assert 2 * math.pi / tp == pytest.approx(0.44634, abs=5e-6)
    assert tp == pytest.approx(14.077, abs=5e-4)
    density = float(two_parameter(np.array([0.5]), 12.0, tp)[0])
    assert density == pytest.approx(25.84, abs=5e-3)
    assert 2 * math.pi * density == pytest.approx(162.36, abs=2e-2)


def test_deep_water_wave_of_ten_seconds() -> None:
    # DNV Research, ocean statistics pages, g = 9.81: k 0.040243 1/m, L 156.13 m.
    k = float(wave_number(2 * math.pi / 10.0, gravity=9.81))
    assert k == pytest.approx(0.040243, abs=5e-7)
    assert 2 * math.pi / k == pytest.approx(156.13, abs=5e-3)


@pytest.mark.parametrize(
    ("gamma", "tz", "t1", "te"),
    [
        (1.0, 0.71037, 0.77177, 0.85722),
        (2.0, 0.74644, 0.80630, 0.88354),
        (3.3, 0.77740, 0.83433, 0.90330),
        (5.0, 0.80529, 0.85834, 0.91919),
        (7.0, 0.82850, 0.87747, 0.93123),
    ],
)
def test_period_ratios(gamma: float, tz: float, t1: float, te: float) -> None:
    # Computed from the JONSWAP formula of DNV-RP-C205, 3.5.5; tolerance 1e-4.
    assert float(period_ratio("Tz", gamma)) == pytest.approx(tz, abs=1e-4)
    assert float(period_ratio("T1", gamma)) == pytest.approx(t1, abs=1e-4)
    assert float(period_ratio("Te", gamma)) == pytest.approx(te, abs=1e-4)


@pytest.mark.parametrize("gamma", [1.0, 1.5, 2.0, 3.3, 5.0, 6.0, 7.0])
def test_period_ratio_polynomials_of_the_recommended_practice(gamma: float) -> None:
    # DNV-RP-C205, 3.5.5, polynomials in γ, from memory: they agree with the exact ratios within 0.25 %.
    tz = 0.6673 + 0.05037 * gamma - 0.006230 * gamma**2 + 0.0003341 * gamma**3
    t1 = 0.7303 + 0.04936 * gamma - 0.006556 * gamma**2 + 0.0003610 * gamma**3
    assert float(period_ratio("Tz", gamma)) == pytest.approx(tz, rel=2.5e-3)
    assert float(period_ratio("T1", gamma)) == pytest.approx(t1, rel=2.5e-3)


def test_exact_ratios_of_the_two_parameter_spectrum() -> None:
    # Closed forms of the moments of S ∝ ω⁻⁵ exp(−5/4 (ω/ωp)⁻⁴).
    assert float(period_ratio("Tz")) == pytest.approx((1.25 * math.pi) ** -0.25, rel=1e-12)
    assert float(period_ratio("T1")) == pytest.approx(1 / (1.25**0.25 * math.gamma(0.75)), rel=1e-12)
    assert float(period_ratio("Te")) == pytest.approx(math.gamma(1.25) / 1.25**0.25, rel=1e-12)
    assert float(period_ratio("Tz")) == pytest.approx(0.710371, abs=5e-7)


@pytest.mark.parametrize(("multiple", "ratio"), [(3.0, 0.7599), (5.0, 0.7283), (10.0, 0.7148)])
def test_zero_crossing_period_depends_on_the_cut_off(multiple: float, ratio: float) -> None:
    # Computed from the two-parameter formula cut off at 3, 5 and 10 ωp; tolerance: four figures.
    peak = 0.5
    omega = np.linspace(0.1 * peak, multiple * peak, 40001)
    weights = np.full(omega.size, omega[1] - omega[0])
    weights[[0, -1]] /= 2
    spectrum = two_parameter(omega, 4.0, 2 * math.pi / peak)
    m0, m2 = moment(spectrum, 0, omega, weights), moment(spectrum, 2, omega, weights)
    assert float(np.sqrt(m0 / m2)) * peak == pytest.approx(ratio, abs=5e-5)


@pytest.mark.parametrize(
    ("ratio", "gamma"), [(3.0, 5.0), (3.6, 5.0), (4.0, 3.1582), (4.5, 1.7771), (5.0, 1.0)]
)
def test_peak_factor_by_rule(ratio: float, gamma: float) -> None:
    # DNV-RP-C205, 3.5.5: γ = exp(5.75 − 1.15 Tp/√Hs) between 3.6 and 5. At 3.6 exactly the formula says 5.003.
    hs = 4.0
    assert float(gamma_by_rule(hs, ratio * math.sqrt(hs))) == pytest.approx(gamma, abs=5e-5)


@pytest.mark.parametrize("gamma", [1.0, 2.0, 3.3, 5.0, 7.0])
def test_closed_normalising_factor_misses_the_height_as_known(gamma: float) -> None:
    # A = 1 − 0.287 ln γ (DNV-RP-C205, 3.5.5) misses Hs by 0.17 % at most to γ = 5 and by −0.9 % at 7 (computed).
    shape = two_parameter(OMEGA, 4.0, 10.0)
    exact = jonswap(OMEGA, 4.0, 10.0, gamma)
    t = OMEGA * 10.0 / (2 * math.pi)
    sigma = np.where(t <= 1.0, 0.07, 0.09)
    closed = shape * (1 - 0.287 * math.log(gamma)) * gamma ** np.exp(-0.5 * ((t - 1) / sigma) ** 2)
    error = math.sqrt(float((closed @ WEIGHTS) / (exact @ WEIGHTS))) - 1
    known = {1.0: 0.0, 2.0: -0.0011, 3.3: 0.0012, 5.0: 0.0, 7.0: -0.0088}
    assert error == pytest.approx(known[gamma], abs=5e-5)


def test_torsethaugen_parts_of_two_seas() -> None:
    # Torsethaugen and Haver, ISOPE 2004, simplified form, from memory; figures computed with g = 9.81, which moves
    # γ by (9.81/9.80665)^0.857 = 1.00029 and nothing else.
    (h1, t1, gamma), (h2, t2, plain) = torsethaugen_parts(np.array([6.0, 3.0]), np.array([8.0, 14.0]))
    assert 6.6 * np.cbrt([6.0, 3.0]) == pytest.approx([11.993, 9.5188], abs=5e-4)
    assert h1 == pytest.approx([4.7069, 2.2730], abs=1e-4)
    assert h1 / [6.0, 3.0] == pytest.approx([0.7845, 0.7577], abs=5e-5)
    assert t1 == pytest.approx([8.0, 14.0])
    assert gamma == pytest.approx([2.552, 3.5244], rel=5e-4)
    assert h2 == pytest.approx([3.7209, 1.9579], abs=1e-4)
    assert t2 == pytest.approx([13.993, 8.2567], abs=5e-4)
    assert plain == pytest.approx([1.0, 1.0])


def test_torsethaugen_follows_its_formula_over_frequency() -> None:
    # S(f) = Σ (H²T/16) 3.26 A f_n⁻⁴ exp(−f_n⁻⁴) γ^exp(...), A = (1 + 1.1 (ln γ)^1.19)/γ, renormalised to Hs.
    # Tolerance: the grid's own error in the sum used to renormalise.
    total = np.zeros(OMEGA.size)
    for height, period, gamma in torsethaugen_parts(6.0, 8.0):
        fn = OMEGA / (2 * math.pi) * float(period)
        sigma = np.where(fn < 1, 0.07, 0.09)
        a = (1 + 1.1 * math.log(float(gamma)) ** 1.19) / float(gamma)
        peak = float(gamma) ** np.exp(-((fn - 1) ** 2) / (2 * sigma**2))
        total += float(height**2 * period) / 16 * 3.26 * a * fn**-4 * np.exp(-(fn**-4)) * peak / (2 * math.pi)
    total *= 6.0**2 / 16 / (total @ WEIGHTS)
    assert torsethaugen(OMEGA, 6.0, 8.0) == pytest.approx(total, rel=1e-3, abs=1e-12)


def test_ochi_hubble_parts_and_formula() -> None:
    # Ochi and Hubble 1976, most probable member, from memory: H1 = 0.84 Hs, H2 = 0.54 Hs (H1² + H2² is 0.9972 Hs²,
    # made whole here), ω1 = 0.70 e^(−0.046 Hs), ω2 = 1.15 e^(−0.039 Hs), λ1 = 3.00, λ2 = 1.54 e^(−0.062 Hs).
    hs = 5.0
    (h1, w1, l1), (h2, w2, l2) = ochi_hubble_parts(hs)
    assert float(h1) == pytest.approx(0.84 * hs, rel=1.5e-3)
    assert float(h2) == pytest.approx(0.54 * hs, rel=1.5e-3)
    assert [float(w1), float(l1)] == pytest.approx([0.70 * math.exp(-0.046 * hs), 3.0])
    assert [float(w2), float(l2)] == pytest.approx(
        [1.15 * math.exp(-0.039 * hs), 1.54 * math.exp(-0.062 * hs)]
    )
    total = np.zeros(OMEGA.size)
    for h, wm, lam in ((h1, w1, l1), (h2, w2, l2)):
        q = (4 * lam + 1) / 4
        total += (
            (q * wm**4) ** lam
            / math.gamma(lam)
            * h**2
            * OMEGA ** -(4 * lam + 1)
            * np.exp(-q * (wm / OMEGA) ** 4)
            / 4
        )
    assert ochi_hubble(OMEGA, hs) == pytest.approx(total, rel=1e-9, abs=1e-30)


@pytest.mark.parametrize(
    ("over_deep_length", "over_length"), [(0.05, 0.09415), (0.10, 0.14098), (0.20, 0.22512), (0.50, 0.50183)]
)
def test_dispersion_table(over_deep_length: float, over_length: float) -> None:
    # Shore Protection Manual, appendix C, table of d/L0 and d/L (computed from the equation); five figures.
    depth, period = 30.0, 2 * math.pi
    g = depth / over_deep_length * 2 * math.pi / period**2
    k = float(wave_number(2 * math.pi / period, depth, gravity=g))
    assert k * depth / (2 * math.pi) == pytest.approx(over_length, abs=5e-6)


@pytest.mark.parametrize(("kd", "factor"), [(1.0, 0.37386), (2.0, 0.81054)])
def test_tma_factor(kd: float, factor: float) -> None:
    # Bouws et al. 1985, φ = tanh²kd/(1 + 2kd/sinh 2kd) (computed); five figures.
    depth = 20.0
    omega = math.sqrt(9.80665 * kd / depth * math.tanh(kd))
    assert float(tma_factor(omega, depth)) == pytest.approx(factor, abs=5e-6)


@pytest.mark.parametrize(("n", "constant"), [(2.0, 0.636620), (4.0, 0.848826), (10.0, 1.293450)])
def test_cosine_n_constant(n: float, constant: float) -> None:
    # DNV-RP-C205, 3.5.8, constant Γ(1 + n/2)/(√π Γ(½ + n/2)) (computed); six figures.
    assert float(cosine_n(0.0, n)) == pytest.approx(constant, abs=5e-7)


@pytest.mark.parametrize(("s", "constant"), [(1.0, 0.318310), (10.0, 0.903278)])
def test_cosine_2s_constant(s: float, constant: float) -> None:
    # DNV-RP-C205, 3.5.8, constant Γ(s + 1)/(2√π Γ(s + ½)) (computed); six figures.
    assert float(cosine_2s(0.0, s)) == pytest.approx(constant, abs=5e-7)


def test_steepness_cap() -> None:
    # DNV-RP-C205, 3.5.4, from memory: 1/15 to 8 s, 1/25 from 15 s, linear between.
    assert [steepness_cap(t) for t in (4.0, 8.0, 15.0, 20.0)] == pytest.approx(
        [1 / 15, 1 / 15, 1 / 25, 1 / 25]
    )
    assert steepness_cap(11.5) == pytest.approx((1 / 15 + 1 / 25) / 2)


def test_extremes_of_a_thousand_cycles() -> None:
    # Rayleigh peaks of unit variance, N = 1000 (computed): four figures.
    assert float(most_probable_maximum(1.0, 1000)) == pytest.approx(3.7169, abs=5e-5)
    assert float(level_exceeded(1.0, 1000, 0.1)) == pytest.approx(4.280, abs=5e-4)
    # Three hours of 10 s cycles.
    assert float(most_probable_maximum(1.0, 3 * 3600 / 10)) == pytest.approx(3.7376, abs=5e-5)


def test_greatest_wave_is_1_86_significant_heights() -> None:
    # Published rule of thumb: Hmax/Hs = 1.86 for N = 1000; Hs is 4σ and a wave twice its amplitude.
    assert 2 * float(most_probable_maximum(1.0, 1000)) / 4 == pytest.approx(1.86, abs=5e-3)
