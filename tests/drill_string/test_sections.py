"""Sections and strings: weights, stiffness, margins, and what is refused."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heave.drill_string import DrillString, Section, collar, drill_pipe, heavy_weight
from heave.drill_string.sections import LARGEST_TUBE, LIGHTEST_TUBE, MAX_SECTIONS
from heave.errors import InputError
from heave.units import STANDARD_GRAVITY, from_si, to_si

PIPE = Section("pipe", 1000.0, 0.127, 0.1086, 33.0, 9.3e8)
STRING = DrillString((PIPE, Section("collars", 100.0, 0.2, 0.07, 220.0, 7e8)), 1200.0, handling_mass=20e3)


def test_weights_add_up() -> None:
    in_air = 1000 * 33.0 + 100 * 220.0
    assert STRING.mass == pytest.approx(in_air)
    assert STRING.length == 1100.0
    assert STRING.buoyed_weight == pytest.approx(in_air * STANDARD_GRAVITY * (1 - 1200 / 7850))
    dragging = replace(STRING, drag=50e3)
    assert dragging.hookload == pytest.approx(STRING.buoyed_weight + 20e3 * STANDARD_GRAVITY + 50e3)


def test_the_top_section_does_not_carry_the_top_drive() -> None:
    top, collars = STRING.tension_margins()
    assert top.tension == pytest.approx(STRING.buoyed_weight)
    assert collars.tension == pytest.approx(100 * 220.0 * STANDARD_GRAVITY * STRING.buoyancy_factor)
    assert top.utilisation == pytest.approx(top.tension / PIPE.tensile_capacity)
    assert (top.name, collars.name) == ("pipe", "collars")


def test_overpull_reaches_every_section_and_weight_on_bit_takes_away() -> None:
    more = STRING.tension_margins(STRING.hookload + 3e5)
    for still, pulled in zip(STRING.tension_margins(), more, strict=True):
        assert pulled.tension - still.tension == pytest.approx(3e5)
    on_bottom = STRING.tension_margins(STRING.hookload - 1.9e5)
    assert on_bottom[0].tension == pytest.approx(STRING.buoyed_weight - 1.9e5)
    assert on_bottom[1].utilisation < 0  # collars give the weight: their top is in compression


@given(st.lists(st.floats(1.0, 5000.0), min_size=1, max_size=6))
def test_springs_in_series(lengths: list[float]) -> None:
    string = DrillString(tuple(replace(PIPE, length=length) for length in lengths), 1000.0)
    whole = DrillString((replace(PIPE, length=min(sum(lengths), 15_000.0)),), 1000.0)
    if sum(lengths) <= 15_000.0:
        assert string.stiffness == pytest.approx(whole.stiffness, rel=1e-12)
    assert string.stiffness <= min(1 / section.flexibility for section in string.sections) * (1 + 1e-12)


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("length", 0.0),
        ("length", math.nan),
        ("length", 15_000.1),
        ("outer_diameter", 0.0199),
        ("inner_diameter", 0.127),
        ("inner_diameter", -0.01),
        ("linear_mass", 0.9),
        ("yield_strength", math.inf),
        ("tensile_area", 0.0),
        ("tensile_area", 0.004),
        ("youngs_modulus", 2.6e11),
        ("name", "a\nb"),
    ],
)
def test_a_wrong_section_cannot_be_built(field: str, value: float | str) -> None:
    with pytest.raises(InputError):
        replace(PIPE, **{field: value})  # type: ignore[arg-type]


def test_the_largest_section_is_a_conductor_of_36_inches() -> None:
    """36 in with a 1-1/2 in wall is 553 lb/ft of plain steel (π/4 (36² − 33²) in² × 490 lb/ft³ ÷ 144)."""
    wall = to_si(1.5, "in")
    for size in (to_si(36.0, "in"), 914.4 * 1e-3, LARGEST_TUBE):
        steel = 7850 * math.pi / 4 * (size**2 - (size - 2 * wall) ** 2)
        conductor = Section("conductor", 100.0, size, size - 2 * wall, steel, 3.6e8)
        assert DrillString((conductor,), 1030.0).buoyed_weight > 0
        assert from_si(steel, "lb/ft") == pytest.approx(553 * size / 0.9144, rel=8e-3)
    with pytest.raises(InputError, match=r"outside diameter.*to 0\.920\u00a0m"):
        replace(conductor, outer_diameter=LARGEST_TUBE * (1 + 1e-9))
    with pytest.raises(InputError, match=r"inside diameter.*to 0\.920\u00a0m"):
        replace(conductor, inner_diameter=LARGEST_TUBE * (1 + 1e-9))


CASING = Section("casing", 800.0, 0.3397, 0.3153, 7850 * math.pi / 4 * (0.3397**2 - 0.3153**2), 5.5e8)
"""13-3/8 in with a 12.2 mm wall, plain steel."""


def test_a_closed_float_lets_the_mud_carry_the_whole_outside() -> None:
    """Archimedes by volumes: the empty string lacks just the mud that would be inside."""
    landing = Section("landing string", 1200.0, 0.1397, 0.1214, 37.4, 9.3e8)
    filled = DrillString((landing, CASING), 1030.0, handling_mass=20e3)
    empty = replace(filled, inside="empty, float closed")
    outside = math.pi / 4 * (800 * 0.3397**2 + 1200 * 0.1397**2)
    in_air = (1200 * 37.4 + CASING.mass) * STANDARD_GRAVITY
    assert empty.buoyed_weight == pytest.approx(in_air - 1030 * STANDARD_GRAVITY * outside, rel=1e-12)
    assert empty.buoyancy_factor == pytest.approx(empty.buoyed_weight / in_air)
    bore = math.pi / 4 * 0.3153**2 * 1030 * STANDARD_GRAVITY
    assert filled.weight_in_mud(CASING) - empty.weight_in_mud(CASING) == pytest.approx(bore, rel=1e-12)
    assert filled.hookload - empty.hookload == pytest.approx(filled.buoyed_weight - empty.buoyed_weight)
    top, below = empty.tension_margins()
    assert top.tension == pytest.approx(empty.buoyed_weight)
    assert below.tension == pytest.approx(800 * empty.weight_in_mud(CASING))
    assert empty.cut_to(900.0).inside == empty.inside
    assert empty.cut_to(800.0).buoyed_weight == pytest.approx(800 * empty.weight_in_mud(CASING))


def test_a_string_that_floats_when_empty_is_refused_by_name() -> None:
    """The heaviest mud it sinks in is its mass per metre over its outside; at that and above, it floats."""
    sinks_below = CASING.linear_mass / (math.pi / 4 * CASING.outer_diameter**2)
    just = DrillString((PIPE, CASING), sinks_below * (1 - 1e-6), inside="empty, float closed")
    assert 0 < just.weight_in_mud(CASING) < 0.01
    for density in (sinks_below * (1 + 1e-6), 1500.0):
        assert replace(just, inside="filled", mud_density=density).buoyed_weight > 0
        with pytest.raises(InputError, match=r"inside of the string.*filled: casing.*floats"):
            replace(just, mud_density=density)
    with pytest.raises(InputError, match="one of filled, empty, float closed"):
        replace(just, inside="half")  # type: ignore[arg-type]


def test_mass_in_the_wrong_unit_is_refused_and_aluminium_is_not() -> None:
    lightest = LIGHTEST_TUBE * PIPE.area
    assert replace(PIPE, linear_mass=lightest * 1.001).linear_mass > 0
    with pytest.raises(InputError, match="mass per metre"):
        replace(PIPE, linear_mass=lightest * 0.999)


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("mud_density", -1.0),
        ("mud_density", 3001.0),
        ("steel_density", 1200.0),
        ("handling_mass", -1.0),
        ("drag", math.nan),
        ("sections", ()),
        ("sections", (PIPE,) * (MAX_SECTIONS + 1)),
        ("sections", ("pipe",)),
    ],
)
def test_a_wrong_string_cannot_be_built(field: str, value: object) -> None:
    with pytest.raises(InputError):
        replace(STRING, **{field: value})  # type: ignore[arg-type]


def test_mud_as_heavy_as_the_pipe_is_refused() -> None:
    light = replace(STRING, steel_density=2700.0, mud_density=2690.0)
    assert light.buoyancy_factor > 0
    with pytest.raises(InputError, match="mud density"):
        replace(light, mud_density=2700.0)


@pytest.mark.parametrize("hookload", [-1.0, math.nan, math.inf])
def test_wrong_loads_are_refused(hookload: float) -> None:
    with pytest.raises(InputError):
        STRING.tension_margins(hookload)


def test_strings_compare_and_hash_by_value() -> None:
    again = DrillString(list(STRING.sections), 1200.0, handling_mass=20e3)  # type: ignore[arg-type]
    assert again == STRING
    assert hash(again) == hash(STRING)


def test_a_demo_like_string_is_plausible() -> None:
    string = DrillString(
        (
            drill_pipe("5-1/2 in", "21.90", "S-135", 3500.0),
            heavy_weight("5-1/2 in", 120.0),
            collar(0.2096, 0.0714, 150.0),
        ),
        1300.0,
    )
    assert 1.2e6 < string.hookload < 1.9e6
    assert all(row.utilisation < 0.6 for row in string.tension_margins())
