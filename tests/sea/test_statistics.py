"""Moments and extremes: order, limits and agreement with each other."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heave.errors import InputError
from heave.sea import (
    OMEGA,
    exceedance_probability,
    level_exceeded,
    mean_maximum,
    mean_period,
    moment,
    most_probable_maximum,
    significant_double,
    significant_single,
    two_parameter,
    upcrossing_rate,
)
from heave.sea.statistics import EULER_CONSTANT

VARIANCE = st.floats(1e-4, 100.0)
CYCLES = st.floats(1.0, 1e5)
RISK = st.floats(1e-5, 0.63)


@settings(max_examples=80, deadline=None)
@given(m0=VARIANCE, cycles=CYCLES, risk=RISK, more=st.floats(1.001, 3.0))
def test_level_rises_with_exposure_and_variance_and_falls_with_risk(
    m0: float, cycles: float, risk: float, more: float
) -> None:
    level = float(level_exceeded(m0, cycles, risk))
    assert float(level_exceeded(m0, cycles * more, risk)) > level
    assert float(level_exceeded(m0 * more, cycles, risk)) > level
    assert float(level_exceeded(m0, cycles, risk / more)) > level
    assert level >= float(most_probable_maximum(m0, cycles)) - 1e-12 or risk > 0.6321


@settings(max_examples=60, deadline=None)
@given(m0=VARIANCE, m2=VARIANCE, duration=st.floats(600.0, 1e6), risk=RISK)
def test_level_and_crossing_rate_tell_the_same_story(
    m0: float, m2: float, duration: float, risk: float
) -> None:
    cycles = duration / float(mean_period(m0, m2))
    level = level_exceeded(m0, max(cycles, 1.0), risk)
    if cycles >= 1.0:
        rate = upcrossing_rate(level, m0, m2)
        assert float(exceedance_probability(rate, duration)) == pytest.approx(risk, rel=1e-6)


def test_most_probable_maximum_is_exceeded_in_63_percent_of_exposures() -> None:
    level = most_probable_maximum(2.0, 500.0)
    rate = upcrossing_rate(level, 2.0, 0.5)
    period = mean_period(2.0, 0.5)
    assert float(exceedance_probability(rate, 500.0 * period)) == pytest.approx(1 - math.exp(-1))
    assert float(level_exceeded(2.0, 500.0, 1 - math.exp(-1))) == pytest.approx(float(level))


def test_against_simulated_peaks() -> None:
    # Rayleigh-distributed peaks drawn at random (fixed seed): one exposure in ten passes the 10 % level.
    rng = np.random.default_rng(11)
    maxima = rng.rayleigh(1.0, size=(20000, 400)).max(axis=1)
    assert float(np.mean(maxima > float(level_exceeded(1.0, 400, 0.1)))) == pytest.approx(0.1, abs=0.008)
    # The next term of the expansion, −(π²/12 + γ²/2)/(2 ln N)^(3/2), is what the limit leaves out.
    left_out = (math.pi**2 / 12 + EULER_CONSTANT**2 / 2) / (2 * math.log(400)) ** 1.5
    assert float(maxima.mean()) == pytest.approx(float(mean_maximum(1.0, 400)) - left_out, rel=2e-3)


def test_significant_amplitudes_and_moments_of_a_sea() -> None:
    m0 = moment(two_parameter(OMEGA, np.array([2.0, 4.0]), 9.0), 0)
    assert significant_double(m0) == pytest.approx([2.0, 4.0], rel=1e-3)
    assert significant_single(m0) == pytest.approx([1.0, 2.0], rel=1e-3)
    assert float(moment(two_parameter(OMEGA, 2.0, 9.0), 0)) == pytest.approx(float(m0[0]))


def test_highest_third_and_tenth_of_rayleigh_heights() -> None:
    # H1/10 = 1.27 H1/3 (published); mean of the highest third is 2.0 σ of amplitude to 0.2 %.
    probability = (np.arange(2_000_000) + 0.5) / 2_000_000
    amplitudes = np.sqrt(-2.0 * np.log(probability))  # descending
    third, tenth = amplitudes[: amplitudes.size // 3].mean(), amplitudes[: amplitudes.size // 10].mean()
    assert third == pytest.approx(float(significant_single(1.0)), rel=2e-3)
    assert tenth / third == pytest.approx(1.27, abs=5e-3)


def test_nothing_moving_and_missing() -> None:
    assert np.isnan(mean_period(0.0, 0.0))
    assert upcrossing_rate(1.0, np.array([0.0, 1.0]), np.array([0.0, 0.0])).tolist() == [0.0, 0.0]
    assert float(level_exceeded(0.0, 1000, 0.01)) == 0.0
    nan = np.array([np.nan, 1.0])
    for values in (
        mean_period(nan, 1.0),
        upcrossing_rate(1.0, nan, 1.0),
        level_exceeded(nan, 100.0, 0.1),
        most_probable_maximum(nan, 100.0),
        mean_maximum(nan, 100.0),
        exceedance_probability(nan, 10.0),
    ):
        assert np.isnan(values[0])
        assert np.isfinite(values[1])


def test_bad_numbers_are_refused() -> None:
    for call in (significant_single, significant_double):
        with pytest.raises(InputError, match="variance"):
            call(-1.0)
    with pytest.raises(InputError, match="number of cycles"):
        most_probable_maximum(1.0, 0.99)
    with pytest.raises(InputError, match="number of cycles"):
        mean_maximum(1.0, 9.9)
    mean_maximum(1.0, 10.0)
    for risk in (0.0, -0.1, 0.64, 1.0, math.inf):
        with pytest.raises(InputError, match="probability of exceeding"):
            level_exceeded(1.0, 100.0, risk)
    with pytest.raises(InputError, match="variance of the rate"):
        mean_period(1.0, -1.0)
    with pytest.raises(InputError, match="level"):
        upcrossing_rate(-1.0, 1.0, 1.0)
    with pytest.raises(InputError, match="exposure"):
        exceedance_probability(0.1, -1.0)
