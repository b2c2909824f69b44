"""Gas spring: stiffness, limits, and what is refused."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heave.compensator import GasSpring
from heave.compensator.gas_spring import ATMOSPHERE, INDEX
from heave.errors import InputError

forces = st.floats(1e4, 1e7)
ratios = st.floats(1.5, 50.0)
indices = st.floats(INDEX.low, INDEX.high)
areas = st.one_of(st.none(), st.floats(0.01, 0.5))


@given(forces, ratios, indices, areas)
def test_stiffness_is_the_slope_at_the_set_point(
    force: float, ratio: float, index: float, area: float | None
) -> None:
    spring = GasSpring(force, 7.0, ratio, index, area)
    step = 1e-4
    slope = (float(spring.load(step)) - float(spring.load(-step))) / (2 * step)
    assert spring.stiffness == pytest.approx(slope, rel=1e-6)
    assert float(spring.load(0.0)) == pytest.approx(force, rel=1e-12)


@given(forces, ratios, indices, areas)
def test_load_grows_with_compression(force: float, ratio: float, index: float, area: float | None) -> None:
    load = GasSpring(force, 7.0, ratio, index, area).load(np.linspace(-3.5, 3.5, 41))
    assert np.all(np.diff(load) > 0)


def test_gas_law_on_absolute_pressure_by_hand() -> None:
    """P V¹·⁴ constant: 10 MPa gauge, 2 m³ less 0.3 m³ swept on 0.1 m²."""
    spring = GasSpring(10e6 * 0.1, 6.0, 2.0 / (0.1 * 6.0), 1.4, 0.1)
    absolute = (10e6 + ATMOSPHERE) * (2.0 / 1.7) ** 1.4
    assert float(spring.load(3.0)) == pytest.approx((absolute - ATMOSPHERE) * 0.1, rel=1e-12)


def test_travel_up_to_one_stroke_and_no_further() -> None:
    spring = GasSpring(1e6, 7.0, 8.0, 1.2)
    assert spring.load([-7.0, 7.0]).shape == (2,)
    for x in (7.0001, -7.0001, math.nan, math.inf):
        with pytest.raises(InputError, match="travel"):
            spring.load(x)


@pytest.mark.parametrize(
    "wrong",
    [
        (0.0, 7.0, 8.0, 1.2),
        (math.nan, 7.0, 8.0, 1.2),
        (1e6, -7.0, 8.0, 1.2),
        (1e6, 7.0, 1.0, 1.2),
        (1e6, 7.0, 8.0, 0.99),
        (1e6, 7.0, 8.0, 2.21),
        (1e6, 7.0, 8.0, 1.2, 0.0),
    ],
)
def test_a_wrong_spring_cannot_be_built(wrong: tuple[float, ...]) -> None:
    with pytest.raises(InputError):
        GasSpring(*wrong)
