"""Dispersion and the finite-depth factor: the equation itself, both limits, and what is refused."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heave.errors import InputError
from heave.sea import OMEGA, tma_factor, wave_number


@settings(max_examples=100, deadline=None)
@given(omega=st.floats(0.01, 25.0), depth=st.floats(0.5, 11000.0))
def test_the_equation_holds(omega: float, depth: float) -> None:
    k = float(wave_number(omega, depth))
    assert 9.80665 * k * math.tanh(k * depth) == pytest.approx(omega**2, rel=1e-12)


def test_limits() -> None:
    assert wave_number(OMEGA) == pytest.approx(OMEGA**2 / 9.80665)
    short = OMEGA[OMEGA > 0.05]  # k d above 25 in 100 km of water
    assert wave_number(short, 1e5) == pytest.approx(short**2 / 9.80665, rel=1e-9)
    # Long waves travel at √(g d) whatever their period.
    assert float(wave_number(1e-3, 10.0)) == pytest.approx(1e-3 / math.sqrt(9.80665 * 10.0), rel=1e-5)
    assert wave_number(OMEGA, 30.0).shape == OMEGA.shape
    assert np.ndim(wave_number(0.5, 30.0)) == 0


def test_factor_runs_from_the_shallow_limit_to_one() -> None:
    factor = tma_factor(OMEGA, 40.0)
    assert np.all(np.diff(factor) >= -1e-12)
    assert float(factor[-1]) == 1.0
    # In shallow water φ = ½ ω² d/g (Kitaigorodskii).
    assert float(tma_factor(0.02, 10.0)) == pytest.approx(0.5 * 0.02**2 * 10.0 / 9.80665, rel=1e-3)


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
def test_bad_numbers_are_refused(bad: float) -> None:
    with pytest.raises(InputError, match="angular frequency"):
        wave_number(bad, 10.0)
    with pytest.raises(InputError, match="water depth"):
        wave_number(0.5, bad)
    with pytest.raises(InputError, match="water depth"):
        tma_factor(0.5, bad)
    with pytest.raises(InputError, match="gravity"):
        wave_number(0.5, 10.0, gravity=bad)
