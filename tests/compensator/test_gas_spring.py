"""Gas spring: energy, limits, and what is refused."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heave.compensator import GasSpring, stick_amplitude, volume_ratio_for_variation
from heave.compensator.gas_spring import ATMOSPHERE, INDEX
from heave.errors import InputError

forces = st.floats(1e4, 1e7)
ratios = st.floats(1.5, 50.0)
indices = st.floats(INDEX.low, INDEX.high)
areas = st.one_of(st.none(), st.floats(0.01, 0.5))


@given(forces, ratios, indices, areas, st.floats(-0.6, 0.6))
def test_energy_is_the_area_under_the_load(
    force: float, ratio: float, index: float, area: float | None, share: float
) -> None:
    spring = GasSpring(force, 7.0, ratio, index, area)
    x = share * spring.stroke
    points, weights = np.polynomial.legendre.leggauss(60)
    work = x / 2 * float(weights @ spring.load(x / 2 * (1 + points)))
    assert float(spring.energy(x)) == pytest.approx(work, rel=1e-8, abs=1e-6 * force)


@given(forces, ratios, indices, areas)
def test_stiffness_is_the_slope_at_the_set_point(
    force: float, ratio: float, index: float, area: float | None
) -> None:
    spring = GasSpring(force, 7.0, ratio, index, area)
    step = 1e-4
    slope = (float(spring.load(step)) - float(spring.load(-step))) / (2 * step)
    assert spring.stiffness == pytest.approx(slope, rel=1e-6)
    assert float(spring.load(0.0)) == pytest.approx(force, rel=1e-12)
    assert float(spring.energy(0.0)) == 0.0


@given(forces, ratios, indices, areas)
def test_load_grows_with_compression(force: float, ratio: float, index: float, area: float | None) -> None:
    load = GasSpring(force, 7.0, ratio, index, area).load(np.linspace(-3.5, 3.5, 41))
    assert np.all(np.diff(load) > 0)


def test_constant_temperature_is_the_limit_of_the_index() -> None:
    at, near = (GasSpring(1e6, 7.0, 8.0, n).energy([-3.0, 3.0]) for n in (1.0, 1.0 + 1e-9))
    assert near == pytest.approx(at, rel=1e-7)


def test_gas_law_on_absolute_pressure_by_hand() -> None:
    """P V¹·⁴ constant: 10 MPa gauge, 2 m³ less 0.3 m³ swept on 0.1 m²."""
    spring = GasSpring.from_pressure(10e6, 0.1, 6.0, 2.0, 1.4)
    absolute = (10e6 + ATMOSPHERE) * (2.0 / 1.7) ** 1.4
    assert float(spring.load(3.0)) == pytest.approx((absolute - ATMOSPHERE) * 0.1, rel=1e-12)


def test_travel_up_to_one_stroke_and_no_further() -> None:
    spring = GasSpring(1e6, 7.0, 8.0, 1.2)
    assert spring.load([-7.0, 7.0]).shape == (2,)
    for x in (7.0001, -7.0001, math.nan, math.inf):
        for ask in (spring.load, spring.energy):
            with pytest.raises(InputError, match="travel"):
                ask(x)


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


def test_from_a_pressure_without_an_area_is_refused() -> None:
    with pytest.raises(InputError):
        GasSpring.from_pressure(10e6, 0.0, 6.0, 2.0, 1.4)


@given(st.floats(0.001, 1.0), indices)
def test_volume_ratio_gives_back_its_variation(delta: float, index: float) -> None:
    ratio = volume_ratio_for_variation(delta, index)
    assert (1 - 0.5 / ratio) ** -index - 1 == pytest.approx(delta, rel=1e-9)


@pytest.mark.parametrize(
    ("delta", "index"), [(0.0, 1.2), (1.01, 1.2), (math.nan, 1.2), (0.1, 0.9), (0.1, 2.3)]
)
def test_volume_ratio_refuses(delta: float, index: float) -> None:
    with pytest.raises(InputError):
        volume_ratio_for_variation(delta, index)


@pytest.mark.parametrize(("fraction", "period"), [(-0.01, 8.0), (1.1, 8.0), (0.02, 0.0), (0.02, math.nan)])
def test_stick_amplitude_refuses(fraction: float, period: float) -> None:
    with pytest.raises(InputError):
        stick_amplitude(fraction, period)
