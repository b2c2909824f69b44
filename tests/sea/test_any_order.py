"""Frequencies may be a scalar, a list in any order or the grid: the numbers are the same."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

import heave
from heave.sea import gaussian_swell, jonswap, ochi_hubble, torsethaugen, two_parameter, wave_number

FORMS: list[tuple[Callable[..., Any], tuple[float, ...]]] = [
    (two_parameter, (4.0, 11.0)),
    (jonswap, (4.0, 11.0, 3.3)),
    (torsethaugen, (6.0, 8.0)),
    (torsethaugen, (3.0, 14.0)),
    (ochi_hubble, (4.0,)),
    (gaussian_swell, (2.0, 14.0)),
    (wave_number, (80.0,)),
]


@pytest.mark.parametrize(("form", "parameters"), FORMS)
def test_order_and_shape_of_the_frequencies_do_not_matter(
    form: Callable[..., Any], parameters: tuple[float, ...]
) -> None:
    omega = np.linspace(0.2, 2.0, 37)
    straight = form(omega, *parameters)
    np.testing.assert_allclose(form(omega[::-1], *parameters), straight[::-1], rtol=1e-12)
    shuffled = np.random.default_rng(3).permutation(omega.size)
    np.testing.assert_allclose(form(list(omega[shuffled]), *parameters), straight[shuffled], rtol=1e-12)
    one = form(float(omega[9]), *parameters)
    assert np.shape(one) == ()
    assert float(one) == pytest.approx(straight[9], rel=1e-12)


def test_a_scalar_frequency_and_many_seas_give_one_number_each() -> None:
    heights = np.array([1.0, 2.0, 3.0])
    assert jonswap(0.6, heights, 11.0, 3.3).shape == (3,)
    assert heave.sea.ochi_hubble(0.6, heights).shape == (3,)
