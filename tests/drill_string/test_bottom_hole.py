"""Neutral point, usable weight on bit and buckling, by hand figures in pounds and inches and by closed forms."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heave.drill_string import (
    HEAVY_WEIGHT_CHOICES,
    PIPE_CHOICES,
    STIFF_WALL,
    DrillString,
    HoleInterval,
    Section,
    Well,
    bottom_hole,
    bottom_hole_assembly,
    buckling,
    collar,
    critical_forces,
    drill_pipe,
    heavy_weight,
    neutral_height,
    vertical,
)
from heave.errors import InputError
from heave.units import STANDARD_GRAVITY, to_si

BF = 1 - 1200 / 7850
PIPE = drill_pipe("5 in", "19.50", "S-135", 2700.0)
HEAVY = heavy_weight("5 in", 100.0)
COLLAR = Section("collars", 100.0, 0.2, 0.07, 220.0, 7e8)
STRING = DrillString((PIPE, HEAVY, COLLAR), 1200.0)
COLLARS, HEAVIES = (section.mass * STANDARD_GRAVITY * BF for section in (COLLAR, HEAVY))


def test_collars_of_the_published_design() -> None:
    """API RP 7G, worked design of a drill stem (from memory): 40,000 lb on bit, factor 1.15, 3°, 10 lb/gal, 90 lb/ft:
    1.15 × 40,000/(0.998 × 0.847 × 90) = 605 ft, which twenty-one collars of 30 ft make 630 ft."""
    three = math.radians(3.0)
    bore, outside, wob = to_si(2.25, "in"), to_si(6.25, "in"), to_si(40_000.0, "lbf")
    pipe = drill_pipe("4-1/2 in", "16.60", "E-75", 3000.0)
    for feet, enough in ((604.0, False), (606.0, True), (630.0, True)):
        collars = replace(collar(outside, bore, to_si(feet, "ft")), linear_mass=to_si(90.0, "lb/ft"))
        string = DrillString((pipe, collars), to_si(10.0, "ppg"), steel_density=to_si(65.5, "ppg"))
        found = bottom_hole(string, wob, Well((HoleInterval(4000.0, three),), design_factor=1.15))
        assert found.usable is not None
        assert (found.usable >= wob) == enough
        assert found.neutral == pytest.approx(to_si(605.0, "ft") / 1.15, rel=2e-3)


def test_neutral_point_in_collars_in_heavy_weight_and_in_pipe() -> None:
    metre = PIPE.linear_mass * STANDARD_GRAVITY * BF
    for wob, want in (
        (0.0, 0.0),
        (COLLARS / 4, 25.0),
        (COLLARS, 100.0),
        (COLLARS + HEAVIES / 2, 150.0),
        (COLLARS + HEAVIES + 30 * metre, 230.0),
        (STRING.buoyed_weight * 1.01, STRING.length),
    ):
        assert neutral_height(STRING, wob) == pytest.approx(want, abs=1e-6)
    assert bottom_hole(STRING, 1e5).available == pytest.approx(COLLARS + HEAVIES)
    assert not bottom_hole(STRING, (COLLARS + HEAVIES) * 0.999).above_assembly
    assert not bottom_hole(STRING, COLLARS + HEAVIES).above_assembly
    assert bottom_hole(STRING, (COLLARS + HEAVIES) * 1.001).above_assembly


@settings(max_examples=80)
@given(st.floats(0.0, math.radians(89.0)), st.floats(0.0, 0.99), st.floats(1.0, 3.0))
def test_in_an_inclined_hole_less_weight_reaches_the_bit(
    inclination: float, share: float, factor: float
) -> None:
    well = Well((HoleInterval(3000.0, inclination, 0.4),), factor)
    upright, inclined = bottom_hole(STRING, 0.0), bottom_hole(STRING, 0.0, well)
    assert inclined.available == pytest.approx(upright.available * math.cos(inclination))
    assert inclined.usable == pytest.approx(inclined.available / factor)
    force = share * STRING.buoyed_weight
    same = neutral_height(STRING, force * math.cos(inclination), well)
    assert same == pytest.approx(neutral_height(STRING, force), rel=1e-9, abs=1e-6)


def test_the_neutral_point_over_a_bend_in_the_assembly() -> None:
    """Collars half in 60° hole and half above in vertical hole: the lower half gives half of its weight."""
    well = Well((HoleInterval(2850.0), HoleInterval(50.0, math.radians(60.0))))
    found = bottom_hole(STRING, 0.25 * COLLARS + 0.25 * COLLARS, well)
    assert found.neutral == pytest.approx(75.0)
    assert found.available == pytest.approx(0.75 * COLLARS + HEAVIES)
    assert found.usable is None


def test_past_level_the_assembly_gives_nothing() -> None:
    """At 100° collars pull away from the bit: nothing is usable, and the neutral point is up in the vertical part."""
    well = Well((HoleInterval(2500.0), HoleInterval(400.0, math.radians(100.0))), 1.2)
    found = bottom_hole(STRING, 50e3, well)
    assert found.available < 0
    assert found.usable == 0.0
    assert found.neutral > 400.0


def test_which_sections_carry_weight_on_bit() -> None:
    assert bottom_hole_assembly(STRING) == (HEAVY, COLLAR)
    assert bottom_hole_assembly(DrillString((PIPE,), 1200.0)) == ()
    inverted = DrillString((HEAVY, PIPE, COLLAR), 1200.0)
    assert bottom_hole_assembly(inverted) == (COLLAR,)
    for size, weight in PIPE_CHOICES:
        pipe = drill_pipe(size, weight, "S-135", 10.0)
        assert bottom_hole_assembly(DrillString((pipe,), 1200.0)) == ()
        assert (pipe.outer_diameter - pipe.inner_diameter) / 2 < 0.9 * STIFF_WALL * pipe.outer_diameter
    for size in HEAVY_WEIGHT_CHOICES:
        assert bottom_hole_assembly(DrillString((heavy_weight(size, 10.0),), 1200.0))


def in_pounds_and_inches(clearance: float, sine: float) -> tuple[float, float]:
    """Both forces [lbf] of 5 in 19.50 pipe of 22.6 lb/ft in 12 lb/gal mud, E 30 million psi, I by hand 14.269 in⁴."""
    stiffness, weight = 30e6 * 14.269, 22.6 * (1 - 12 / 65.5) / 12
    return 1.94 * (stiffness * weight**2) ** (1 / 3), 2 * math.sqrt(stiffness * weight * sine / clearance)


def test_buckling_forces_by_hand() -> None:
    """5 in pipe in 8-1/2 in hole at 45°: some 30 klbf lying and 1.9 klbf standing (formulas by hand)."""
    mud, steel = to_si(12.0, "ppg"), to_si(65.5, "ppg")
    string = DrillString((PIPE,), mud, steel_density=steel)
    well = Well((HoleInterval(3000.0, math.pi / 4, 0.0, to_si(8.5, "in")),))
    upright, lying = critical_forces(string, PIPE, well, 0)
    by_hand = in_pounds_and_inches(1.75, math.sqrt(0.5))
    assert lying is not None
    assert lying / to_si(1.0, "lbf") == pytest.approx(by_hand[1], rel=1e-3)
    assert 28e3 < by_hand[1] < 34e3
    in_vertical, nothing = critical_forces(string, PIPE, vertical(3000.0), 0)
    assert nothing == 0.0
    assert in_vertical / to_si(1.0, "lbf") == pytest.approx(by_hand[0], rel=1e-3)
    assert upright == pytest.approx(in_vertical * 0.5 ** (1 / 3))


def test_compression_above_the_assembly_is_held_against_the_force_of_its_interval() -> None:
    """60 kN more than the assembly's weight along the hole stand on the pipe; without it nothing is compressed."""
    lean = HoleInterval(1400.0, math.radians(45.0), 0.0, to_si(8.5, "in"))
    well = Well((HoleInterval(1500.0), lean))
    assembly = bottom_hole(STRING, 0.0, well).available
    assert assembly == pytest.approx((COLLARS + HEAVIES) * math.sqrt(0.5))
    assert buckling(STRING, assembly * 0.999, well) is None
    assert buckling(STRING, 0.0, well) is None
    found = buckling(STRING, assembly + 60e3, well)
    assert found is not None
    assert found.force == pytest.approx(60e3)
    assert (found.section, found.interval) == (PIPE.name, 1)
    assert found.critical == pytest.approx(max(critical_forces(STRING, PIPE, well, 1)))  # type: ignore[type-var]
    assert found.critical is not None
    assert found.force < found.critical


def test_the_weakest_piece_is_found_where_the_compression_is_not_largest() -> None:
    """Pipe that lies still at 60° is held by the wall; 100 m above it, in vertical hole, far less buckles it."""
    lean = HoleInterval(300.0, math.radians(60.0), 0.0, 0.2159)
    well = Well((HoleInterval(2600.0), lean))
    available = bottom_hole(STRING, 0.0, well).available
    found = buckling(STRING, available + 60e3, well)
    assert found is not None
    below = 100 * STRING.weight_in_mud(PIPE) * 0.5
    assert found.interval == 0
    assert found.force == pytest.approx(60e3 - below)
    assert found.critical is not None
    assert found.force > found.critical


def test_near_vertical_the_pipe_buckles_as_in_vertical_hole() -> None:
    """At a fifth of a degree the wall holds next to nothing; the force of a vertical hole stays."""
    well = Well((HoleInterval(3000.0, math.radians(0.2), 0.0, 0.3112),))
    standing, lying = critical_forces(STRING, PIPE, well, 0)
    assert lying is not None
    assert lying < standing
    found = buckling(STRING, bottom_hole(STRING, 0.0, well).available + 5e3, well)
    assert found is not None
    assert found.critical == pytest.approx(standing)


def test_past_level_the_pipe_is_pressed_most_at_its_upper_end() -> None:
    """At 100° collars and pipe push back: at the bend 150 kN on the bit are 150 kN and what lies below it."""
    well = Well((HoleInterval(2500.0), HoleInterval(400.0, math.radians(100.0))))
    back = (STRING.buoyed_weight - 2500 * STRING.weight_in_mud(PIPE)) * math.sin(math.radians(10.0))
    found = buckling(STRING, 150e3, well)
    assert found is not None
    assert (found.interval, found.critical) == (1, None)
    assert found.force == pytest.approx(150e3 + back)


def test_without_a_diameter_only_what_stands_upright_is_known() -> None:
    lean = HoleInterval(3000.0, math.radians(45.0))
    well = Well((lean,))
    assembly = bottom_hole(STRING, 0.0, well).available
    standing, lying = critical_forces(STRING, PIPE, well, 0)
    assert lying is None
    little = buckling(STRING, assembly + 0.9 * standing, well)
    much = buckling(STRING, assembly + 1.1 * standing, well)
    assert little is not None
    assert much is not None
    assert little.critical == pytest.approx(standing)
    assert much.critical is None


def test_a_string_without_collars_stands_on_its_pipe() -> None:
    bare = DrillString((PIPE,), 1200.0)
    found = bottom_hole(bare, 10e3)
    assert (found.assembly_length, found.available) == (0.0, 0.0)
    assert found.above_assembly
    assert not bottom_hole(bare, 0.0).above_assembly
    pressed = buckling(bare, 10e3)
    assert pressed is not None
    assert pressed.force == pytest.approx(10e3)


@pytest.mark.parametrize("lengths", tuple(permutations((9.3, 18.7, 28.1))))
def test_the_pipe_begins_where_the_collars_end_however_their_lengths_add_up(
    lengths: tuple[float, ...],
) -> None:
    """9.3 + 18.7 + 28.1 is not 28.1 + 18.7 + 9.3 to the last digit; the pipe stands on them either way."""
    collars = tuple(replace(COLLAR, length=length) for length in lengths)
    string = DrillString((PIPE, *collars), 1200.0)
    weight = 56.1 * COLLAR.linear_mass * STANDARD_GRAVITY * BF
    found = buckling(string, weight + 10e3)
    assert found is not None
    assert (found.section, found.force) == (PIPE.name, pytest.approx(10e3, rel=1e-9))
    assert not bottom_hole(string, weight).above_assembly


@pytest.mark.parametrize("force", [-1.0, math.nan, math.inf])
def test_wrong_forces_are_refused(force: float) -> None:
    for function in (neutral_height, bottom_hole, buckling):
        with pytest.raises(InputError, match=r"[Ww]eight on bit|force set down"):
            function(STRING, force)


def test_a_well_that_does_not_hold_the_string_is_refused() -> None:
    for function in (neutral_height, bottom_hole, buckling):
        with pytest.raises(InputError, match="Length of the string"):
            function(STRING, 1e4, vertical(2000.0))
