"""The built-in pipe table, whole."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from heave.drill_string import (
    GRADES,
    HEAVY_WEIGHT_CHOICES,
    PIPE_CHOICES,
    PIPE_CLASSES,
    collar,
    drill_pipe,
    heavy_weight,
)
from heave.drill_string.pipes import PIPE_TABLE
from heave.drill_string.sections import STEEL_DENSITY
from heave.errors import InputError
from heave.units import to_si

SIZES = ("3-1/2 in", "4 in", "4-1/2 in", "5 in", "5-1/2 in", "5-7/8 in", "6-5/8 in")


def inches(size: str) -> float:
    """The number a size is called by, such as '5-1/2 in'."""
    whole, _, part = size.removesuffix(" in").partition("-")
    top, _, bottom = part.partition("/")
    return float(whole) + (float(top) / float(bottom) if part else 0.0)


@pytest.mark.parametrize("row", PIPE_TABLE, ids=lambda row: f"{row.kind} {row.size} {row.weight}")
def test_every_row_is_named_by_its_outside_diameter_and_holds_together(row) -> None:  # type: ignore[no-untyped-def]
    assert row.outer_diameter == pytest.approx(inches(row.size) * 0.0254, rel=1e-12)
    area = math.pi / 4 * (row.outer_diameter**2 - row.inner_diameter**2)
    # joints and upsets add to the plain tube; on drill pipe by less than a third
    share = row.linear_mass / (area * STEEL_DENSITY)
    assert 1.0 < share < (1.33 if row.kind == "drill pipe" else 1.6)


@pytest.mark.parametrize(("size", "weight"), PIPE_CHOICES)
def test_nominal_weight_lies_between_the_plain_end_and_the_jointed_pipe(size: str, weight: str) -> None:
    """The nominal weight is a name: it once counted threads and a coupling, up to a sixth of the tube."""
    section = drill_pipe(size, weight, "E-75", 10.0)
    plain = section.area * STEEL_DENSITY / to_si(1.0, "lb/ft")
    assert plain < float(weight) < 7 / 6 * plain
    assert section.linear_mass / to_si(1.0, "lb/ft") > float(weight)


@pytest.mark.parametrize(
    ("size", "weight", "plain_end"),
    [("5 in", "19.50", 17.93), ("5-1/2 in", "21.90", 19.81), ("6-5/8 in", "27.70", 24.22)],
)
def test_plain_end_weight(size: str, weight: str, plain_end: float) -> None:
    """API RP 7G, new drill pipe dimensional data, plain end weight [lb/ft], from memory; 0.2 % for steel."""
    section = drill_pipe(size, weight, "E-75", 10.0)
    assert section.area * STEEL_DENSITY / to_si(1.0, "lb/ft") == pytest.approx(plain_end, rel=2e-3)


def test_the_five_inch_weight_with_joints_is_in_the_remembered_range() -> None:
    """20.9 to 22.6 lb/ft with grade and joint (from memory)."""
    mass = drill_pipe("5 in", "19.50", "S-135", 10.0).linear_mass / to_si(1.0, "lb/ft")
    assert 20.9 <= mass <= 22.6 + 1e-9


def test_sizes_are_complete_and_heavier_pipe_is_stronger() -> None:
    assert tuple(dict.fromkeys(size for size, _ in PIPE_CHOICES)) == SIZES
    for (size, light), (other, heavy) in pairwise(PIPE_CHOICES):
        if size == other:
            pair = [drill_pipe(size, weight, "G-105", 10.0) for weight in (light, heavy)]
            assert pair[0].area < pair[1].area
            assert pair[0].linear_mass < pair[1].linear_mass


def test_grades_are_the_api_ones() -> None:
    """API RP 7G: the number is the least yield strength in ksi."""
    assert list(GRADES) == ["E-75", "X-95", "G-105", "S-135"]
    for name, strength in GRADES.items():
        assert strength == pytest.approx(to_si(float(name.split("-")[1]), "ksi"), rel=1e-12)


def test_premium_carries_less_than_new_and_its_own_mass_can_be_given() -> None:
    new, premium = (
        drill_pipe("5 in", "25.60", "G-105", 10.0, pipe_class=name, linear_mass=40.0) for name in PIPE_CLASSES
    )
    assert 0.7 < premium.tensile_capacity / new.tensile_capacity < 0.8
    assert premium.linear_mass == new.linear_mass == 40.0
    assert "premium" in premium.name


@pytest.mark.parametrize("size", HEAVY_WEIGHT_CHOICES)
def test_heavy_weight_is_heavier_than_any_pipe_of_its_size(size: str) -> None:
    heavy = heavy_weight(size, 10.0)
    assert all(
        drill_pipe(other, weight, "E-75", 10.0).linear_mass < heavy.linear_mass
        for other, weight in PIPE_CHOICES
        if other == size
    )


def test_collar_yield_changes_at_seven_inches() -> None:
    """API Spec 7-1, from memory: 110 ksi below 7 in outside diameter, 100 ksi from it."""
    small, large = collar(to_si(6.75, "in"), 0.05, 9.0), collar(to_si(7.0, "in"), 0.05, 9.0)
    assert small.yield_strength == pytest.approx(to_si(110.0, "ksi"))
    assert large.yield_strength == pytest.approx(to_si(100.0, "ksi"))
    assert collar(0.2, 0.07, 9.0, yield_strength=6e8).yield_strength == 6e8
    assert small.name == "6.75 in collar"


def test_what_is_not_in_the_table_is_refused_by_name() -> None:
    with pytest.raises(InputError, match="drill pipe"):
        drill_pipe("5 in", "19.5", "S-135", 10.0)
    with pytest.raises(InputError, match="grade"):
        drill_pipe("5 in", "19.50", "S135", 10.0)
    with pytest.raises(InputError, match="pipe class"):
        drill_pipe("5 in", "19.50", "S-135", 10.0, pipe_class="class 2")
    with pytest.raises(InputError, match="heavy-weight"):
        heavy_weight("7 in", 10.0)
    with pytest.raises(InputError, match="inside diameter"):
        collar(0.2, 0.2, 10.0)
    with pytest.raises(InputError, match="inside diameter"):
        collar(0.2, math.nan, 10.0)
