"""Closed-form hulls: limits, symmetries, what they refuse."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from heave.errors import InputError
from heave.units import SEA_WATER_DENSITY, STANDARD_GRAVITY
from heave.vessel import BoxHull, Semisubmersible, Vessel, box_hull_response, heave_natural_period
from heave.vessel.box import SHORT_WAVE_FADE, SHORTEST_PERIOD
from heave.vessel.response_table import long_wave_limit
from heave.vessel.semisubmersible import MASS_AGREEMENT

SIZE = (200.0, 36.0, 11.0)
SHIP = BoxHull(*SIZE)
RIG = Semisubmersible(
    columns=4,
    column_diameter=16.4,
    column_spacing=60.0,
    pontoon_length=110.0,
    pontoon_breadth=15.0,
    pontoon_height=9.0,
    pontoon_spacing=60.0,
    draught=19.0,
    added_mass=5.0e7,
)


@pytest.mark.parametrize("beta", [0.0, 30.0, 90.0, 135.0, 180.0, 270.0, 300.0])
def test_box_follows_long_waves(beta: float) -> None:
    omega = np.array([0.02, 0.05])
    found = box_hull_response(omega, beta, *SIZE)
    limit = long_wave_limit(omega, np.array([beta]))
    np.testing.assert_allclose(found.heave, limit.heave[0], rtol=5e-3)
    slope = omega**2 / STANDARD_GRAVITY
    np.testing.assert_allclose(found.roll / slope, limit.roll[0] / slope, atol=5e-3)
    np.testing.assert_allclose(found.pitch / slope, limit.pitch[0] / slope, atol=5e-3)


def test_box_stands_at_zero_frequency() -> None:
    still = box_hull_response(0.0, 180.0, *SIZE)
    assert still.heave == pytest.approx(1.0)
    assert still.pitch == 0.0
    assert still.roll == 0.0


@given(omega=st.floats(0.0, 3.0), beta=st.floats(0.0, 360.0))
def test_box_is_the_same_on_both_sides_and_ends(omega: float, beta: float) -> None:
    here = box_hull_response(omega, beta, *SIZE)
    other_side = box_hull_response(omega, 360.0 - beta, *SIZE)
    other_end = box_hull_response(omega, 180.0 - beta, *SIZE)
    assert other_side.heave == pytest.approx(here.heave, abs=1e-9)
    assert other_side.roll == pytest.approx(-here.roll, abs=1e-9)
    assert other_side.pitch == pytest.approx(here.pitch, abs=1e-9)
    assert other_end.heave == pytest.approx(here.heave, abs=1e-9)
    assert other_end.pitch == pytest.approx(-here.pitch, abs=1e-9)


def test_box_scalar_vector_and_grid_agree() -> None:
    omega, beta = np.linspace(0.2, 1.2, 7), np.array([0.0, 90.0, 160.0])
    grid = box_hull_response(omega, beta, *SIZE, block_coefficient=0.8)
    assert grid.heave.shape == (3, 7)
    for i, heading in enumerate(beta):
        row = box_hull_response(omega, heading, *SIZE, block_coefficient=0.8)
        np.testing.assert_array_equal(grid.pitch[i], row.pitch)
        for j, frequency in enumerate(omega):
            point = box_hull_response(frequency, heading, *SIZE, block_coefficient=0.8)
            assert point.heave == grid.heave[i, j]
            assert point.roll == grid.roll[i, j]


def test_box_pitch_series_meets_the_formula() -> None:
    """(sin x − x cos x)/x² switches to its series below x = 0.01: both sides give the same pitch."""
    at = np.sqrt(2 * 0.01 / SIZE[0] * STANDARD_GRAVITY)
    below, above = box_hull_response(np.array([at * (1 - 1e-9), at * (1 + 1e-9)]), 180.0, *SIZE).pitch
    assert below == pytest.approx(above, rel=1e-7)


def test_roll_resonates_at_its_period_by_the_damping() -> None:
    """At ω_n the amplification of one degree of freedom is 1/(2ζ), a quarter period late."""
    roll = (14.0, 0.07)
    omega = 2 * np.pi / 14.0
    with_model = box_hull_response(omega, 90.0, *SIZE, roll=roll).roll
    slope = box_hull_response(omega, 90.0, *SIZE).roll
    assert with_model / slope == pytest.approx(1 / (2j * 0.07), rel=1e-9)


def test_box_hull_is_the_closed_form_down_to_its_shortest_period_and_fades_below() -> None:
    edge = 2 * np.pi / SHORTEST_PERIOD
    omega = np.array([0.3, edge, edge * (1 + SHORT_WAVE_FADE) / 2, edge * SHORT_WAVE_FADE, 9.0])
    beta = np.array([90.0, 180.0])
    plain = box_hull_response(omega, beta, *SIZE, 0.85, (SHIP.roll_period, SHIP.roll_damping))
    faded = SHIP.transfer(omega, beta)
    for whole, part in zip(plain, faded, strict=True):
        np.testing.assert_allclose(part, whole * np.array([1.0, 1.0, 0.5, 0.0, 0.0]), atol=1e-12)


@pytest.mark.parametrize(
    "arguments",
    [
        {"omega": -0.1},
        {"omega": np.nan},
        {"heading": np.inf},
        {"length": 0.0},
        {"beam": -36.0},
        {"draught": np.nan},
        {"block_coefficient": 1.01},
        {"block_coefficient": 0.0},
        {"gravity": 0.0},
    ],
)
def test_box_refuses(arguments: dict[str, float]) -> None:
    good = {"omega": 0.5, "heading": 180.0, "length": 200.0, "beam": 36.0, "draught": 11.0}
    with pytest.raises(InputError):
        box_hull_response(**{**good, **arguments})


@pytest.mark.parametrize(
    ("changes", "what"),
    [
        ({"length": 10.0}, "length"),
        ({"draught": 37.0}, "Draught"),
        ({"roll_damping": 0.0}, "Roll damping"),
        ({"block_coefficient": np.nan}, "Block"),
    ],
)
def test_box_hull_refuses(changes: dict[str, float], what: str) -> None:
    with pytest.raises(InputError) as caught:
        replace(SHIP, **changes)
    assert what in caught.value.what


def test_semisubmersible_hydrostatics_by_hand() -> None:
    area = 4 * np.pi / 4 * 16.4**2
    assert RIG.waterplane_area == pytest.approx(area)
    assert RIG.displaced_mass == pytest.approx(1025 * (area * 10 + 2 * 110 * 15 * 9))
    period = 2 * np.pi * np.sqrt((RIG.displaced_mass + 5.0e7) / (1025 * 9.80665 * area))
    assert RIG.natural_period == pytest.approx(period)
    assert 19.0 < period < 21.0


def test_force_of_long_waves_is_buoyancy() -> None:
    found = RIG.excitation(np.array([1e-4]), np.array([0.0, 77.0, 180.0]))
    np.testing.assert_allclose(found, RIG.stiffness, rtol=1e-6)


def test_force_is_nothing_at_the_null_and_the_null_is_shorter_than_the_natural_period() -> None:
    """Of one column and its pontoon, without array factors; columns rule long waves, pontoons those of 2 s."""

    def difference(omega: float) -> float:
        above, below = RIG._force_parts(np.array([omega]))
        return float(above[0] - below[0])

    null = 2 * np.pi / brentq(difference, 1e-6, np.pi)
    column, pontoon = RIG._force_parts(np.array([2 * np.pi / null]))
    assert column == pytest.approx(pontoon, rel=1e-9)
    assert null < RIG.natural_period
    by_hand = 2 * np.pi / null
    number = by_hand**2 / STANDARD_GRAVITY
    inertia = SEA_WATER_DENSITY * RIG.pontoon_volume + RIG.added_mass
    assert RIG.stiffness * np.exp(-number * 10.0) == pytest.approx(
        by_hand**2 * inertia * np.exp(-number * 14.5), rel=1e-9
    )


def test_array_factor_by_a_slow_sum_over_columns_and_slices_of_pontoon() -> None:
    omega, beta = 0.9, 35.0
    number, way = omega**2 / STANDARD_GRAVITY, np.radians(beta)

    def phase(x: float, y: float) -> complex:
        return complex(np.exp(-1j * number * (x * np.cos(way) + y * np.sin(way))))

    column = RIG.stiffness * np.exp(-number * 10.0)
    total = column * np.mean([phase(x, y) for x in (-30, 30) for y in (-30, 30)])
    inertia = SEA_WATER_DENSITY * RIG.pontoon_volume + RIG.added_mass
    pontoon = omega**2 * inertia * np.exp(-number * 14.5)
    middles = (np.arange(4000) + 0.5) / 4000 * 110 - 55
    total -= pontoon * np.mean([phase(x, y) for y in (-30, 30) for x in middles])
    assert RIG.excitation(np.array([omega]), beta)[0, 0] == pytest.approx(total, rel=1e-6)


def test_an_undamped_answer_is_refused() -> None:
    omega = np.array([0.3])
    for damping in (None, 0.0, -1e6, np.nan, np.inf):
        with pytest.raises(InputError, match="Viscous heave damping"):
            RIG.transfer(omega, 180.0, damping)
    with pytest.raises(InputError, match="Viscous heave damping"):
        RIG.receptance(omega, np.array([1e6, 0.0]))
    assert RIG.transfer(omega, 180.0, 1e6).heave.shape == (1, 1)


def test_at_resonance_only_the_damping_holds_the_rig() -> None:
    omega = np.array([2 * np.pi / RIG.natural_period])
    rig = replace(RIG, radiation_damping=2e5)
    heave = rig.transfer(omega, 180.0, 1.5e6).heave[0, 0]
    force = rig.excitation(omega, 180.0)[0, 0]
    assert heave == pytest.approx(force / (1j * omega[0] * 1.7e6), rel=1e-6)


def test_drag_loses_the_same_energy_as_its_linear_damping_in_a_gaussian_motion() -> None:
    """E[½ρC_dA |v|³] = B σ², with B = ½ρC_dA √(8/π) σ, by numerical expectation; A two pontoons of 110 × 15 m."""
    sigma = 0.3
    v = np.linspace(-8 * sigma, 8 * sigma, 20001)
    density = np.exp(-((v / sigma) ** 2) / 2) / (sigma * np.sqrt(2 * np.pi))
    drag = 0.5 * SEA_WATER_DENSITY * RIG.drag_coefficient * 3300.0
    loss = np.sum(drag * np.abs(v) ** 3 * density) * (v[1] - v[0])
    assert RIG.viscous_damping(np.array(sigma)) * sigma**2 == pytest.approx(loss, rel=1e-6)


@pytest.mark.parametrize(
    ("changes", "what"),
    [
        ({"columns": 5}, "columns"),
        ({"columns": 4.5}, "columns"),
        ({"draught": 9.0}, "Draught"),
        ({"pontoon_spacing": 15.0}, "Pontoon spacing"),
        ({"added_mass": np.nan}, "added mass"),
        ({"drag_coefficient": 0.0}, "Drag"),
        ({"mass": RIG.displaced_mass * (1 + MASS_AGREEMENT + 0.001)}, "Mass"),
        ({"mass": RIG.displaced_mass * (1 - MASS_AGREEMENT - 0.001)}, "Mass"),
    ],
)
def test_semisubmersible_refuses(changes: dict[str, float], what: str) -> None:
    with pytest.raises(InputError) as caught:
        replace(RIG, **changes)
    assert what in caught.value.what


def test_mass_within_agreement_is_taken() -> None:
    heavier = replace(RIG, mass=RIG.displaced_mass * (1 + MASS_AGREEMENT - 0.001))
    assert heavier.natural_period > RIG.natural_period


@pytest.mark.parametrize(("mass", "added", "stiffness"), [(0, 1, 1), (1, -1, 1), (1, 1, 0), (np.nan, 1, 1)])
def test_natural_period_refuses(mass: float, added: float, stiffness: float) -> None:
    with pytest.raises(InputError):
        heave_natural_period(mass, added, stiffness)


def test_vessels_compare_and_hash_by_content() -> None:
    one, same = Vessel("A", SHIP, hoist_x=5.0), Vessel("A", BoxHull(*SIZE), hoist_x=5.0)
    assert one == same
    assert hash(one) == hash(same)
    assert one != replace(one, hoist_x=6.0)
    assert not one.heave_only
    assert Vessel("B", RIG).heave_only


@pytest.mark.parametrize(
    "changes",
    [
        {"name": " "},
        {"response": None},
        {"hoist_x": np.nan},
        {"hoist_y": 61.0},
        {"length": 10.0},
        {"name": "a\nb"},
    ],
)
def test_vessel_refuses(changes: dict[str, object]) -> None:
    with pytest.raises(InputError):
        Vessel(**{"name": "A", "response": SHIP, **changes})  # type: ignore[arg-type]
