"""Spreading: densities integrate to one, weights add up to one, narrow seas need narrow steps."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heave.errors import InputError
from heave.sea import cosine_2s, cosine_n, spreading_weights


@settings(max_examples=40, deadline=None)
@given(exponent=st.floats(1.0, 100.0))
def test_densities_integrate_to_one(exponent: float) -> None:
    theta = np.linspace(-math.pi, math.pi, 20001)
    for density in (cosine_n, cosine_2s):
        assert float(np.trapezoid(density(theta, exponent), theta)) == pytest.approx(1.0, abs=1e-6)


def test_no_energy_against_the_wind() -> None:
    assert cosine_n(np.radians([90.1, 180.0, -135.0]), 2.0).tolist() == [0.0, 0.0, 0.0]
    assert float(cosine_2s(math.pi, 3.0)) == pytest.approx(0.0, abs=1e-30)


@pytest.mark.parametrize(
    ("kind", "exponent", "step"), [("cos-n", 2.0, 15.0), ("cos-n", 4.0, 5.0), ("cos-2s", 15.0, 5.0)]
)
def test_weights_are_symmetric_shares(kind: str, exponent: float, step: float) -> None:
    found = spreading_weights(kind, exponent, step)
    weights, offsets = np.array(found.weights), np.array(found.offsets)
    assert weights.sum() == pytest.approx(1.0, abs=1e-12)
    assert weights == pytest.approx(weights[::-1])
    assert offsets == pytest.approx(-offsets[::-1])
    assert offsets[np.argmax(weights)] == 0.0
    assert np.diff(offsets) == pytest.approx(np.full(offsets.size - 1, step))


def test_discrete_weights_follow_the_density() -> None:
    # Mean of cos² about the main direction for cosⁿ is (n + 1)/(n + 2).
    for n in (2.0, 4.0, 10.0):
        found = spreading_weights("cos-n", n, 5.0)
        share = np.dot(found.weights, np.cos(np.radians(found.offsets)) ** 2)
        assert float(share) == pytest.approx((n + 1) / (n + 2), rel=1e-6)


def test_long_crested_is_one_direction() -> None:
    found = spreading_weights("long-crested")
    assert (found.offsets, found.weights) == ((0.0,), (1.0,))


def test_bad_spreading_is_refused() -> None:
    with pytest.raises(InputError, match="spreading"):
        spreading_weights("cosine", 2.0)
    for exponent in (0.9, 100.1, math.nan):
        with pytest.raises(InputError, match="spreading exponent"):
            spreading_weights("cos-n", exponent)
    spreading_weights("cos-n", 5.9, 15.0)
    for kind, exponent, step in (
        ("cos-n", 2.0, 18.0),
        ("cos-n", 6.0, 10.0),
        ("cos-2s", 12.0, 10.0),
        ("cos-n", 2.0, 7.0),
    ):
        with pytest.raises(InputError, match="spreading step"):
            spreading_weights(kind, exponent, step)
    with pytest.raises(InputError, match="spreading angle"):
        cosine_n(math.nan, 2.0)
