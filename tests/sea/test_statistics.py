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
    level_exceeded,
    mean_period,
    moment,
    most_probable_maximum,
    two_parameter,
    upcrossing_rate,
)

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
        assert 1 - math.exp(-float(rate) * duration) == pytest.approx(risk, rel=1e-6)  # Poisson crossings


def test_most_probable_maximum_is_exceeded_in_63_percent_of_exposures() -> None:
    level = most_probable_maximum(2.0, 500.0)
    rate = upcrossing_rate(level, 2.0, 0.5)
    period = mean_period(2.0, 0.5)
    assert float(rate) * 500.0 * float(period) == pytest.approx(1.0)  # once, so in 1 − 1/e of them at all
    assert float(level_exceeded(2.0, 500.0, 1 - math.exp(-1))) == pytest.approx(float(level))


def test_against_simulated_peaks() -> None:
    # Rayleigh-distributed peaks drawn at random (fixed seed): one exposure in ten passes the 10 % level.
    rng = np.random.default_rng(11)
    maxima = rng.rayleigh(1.0, size=(20000, 400)).max(axis=1)
    assert float(np.mean(maxima > float(level_exceeded(1.0, 400, 0.1)))) == pytest.approx(0.1, abs=0.008)


def test_moments_of_a_sea() -> None:
    m0 = moment(two_parameter(OMEGA, np.array([2.0, 4.0]), 9.0), 0)
    assert 4 * np.sqrt(m0) == pytest.approx([2.0, 4.0], rel=1e-3)
    assert float(moment(two_parameter(OMEGA, 2.0, 9.0), 0)) == pytest.approx(float(m0[0]))


def test_highest_third_and_tenth_of_rayleigh_heights() -> None:
    # H1/10 = 1.27 H1/3 (published); mean of the highest third is 2.0 σ of amplitude to 0.2 %.
    probability = (np.arange(2_000_000) + 0.5) / 2_000_000
    amplitudes = np.sqrt(-2.0 * np.log(probability))  # descending
    third, tenth = amplitudes[: amplitudes.size // 3].mean(), amplitudes[: amplitudes.size // 10].mean()
    assert third == pytest.approx(2.0, rel=2e-3)
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
    ):
        assert np.isnan(values[0])
        assert np.isfinite(values[1])


def test_bad_numbers_are_refused() -> None:
    with pytest.raises(InputError, match="variance"):
        most_probable_maximum(-1.0, 100.0)
    with pytest.raises(InputError, match="number of cycles"):
        most_probable_maximum(1.0, 0.99)
    for risk in (0.0, -0.1, 0.64, 1.0, math.inf):
        with pytest.raises(InputError, match="probability of exceeding"):
            level_exceeded(1.0, 100.0, risk)
    with pytest.raises(InputError, match="variance of the rate"):
        mean_period(1.0, -1.0)
    with pytest.raises(InputError, match="level"):
        upcrossing_rate(-1.0, 1.0, 1.0)
