"""Strings at the edges of what is allowed, and their sections by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from heave.drill_string import DrillString, Section
from heave.drill_string.bottom_hole import bottom_hole, bottom_hole_assembly, critical_forces
from heave.drill_string.well import HoleInterval, Well
from heave.errors import InputError

G = 9.80665
PIPE = Section("pipe", 2000.0, 0.127, 0.1086, 33.6, 9.3e8)
HEAVY = Section("heavy", 100.0, 0.127, 0.0762, 74.0, 3.8e8)
COLLAR = Section("collar", 150.0, 0.2, 0.07, 220.0, 7.6e8)
STRING = DrillString((PIPE, HEAVY, COLLAR), mud_density=1200.0, handling_mass=20e3, drag=30e3)
SHARE = 1 - 1200.0 / 7850.0


def test_weights_from_the_top_down() -> None:
    """Weight in air times 1 − ρ_mud/ρ_steel; hookload with gear and drag; tension less what hangs above."""
    weights = [one.length * one.linear_mass * G * SHARE for one in STRING.sections]
    assert STRING.buoyed_weight == pytest.approx(sum(weights))
    assert STRING.hookload == pytest.approx(sum(weights) + 20e3 * G + 30e3)
    assert STRING.heights.tolist() == [0.0, 150.0, 250.0, 2250.0]
    rows = STRING.tension_margins(STRING.hookload + 100e3)
    assert [row.tension for row in rows] == pytest.approx(
        [sum(weights[place:]) + 30e3 + 100e3 for place in range(3)]
    )
    assert [row.utilisation for row in rows] == pytest.approx([row.tension / row.capacity for row in rows])
    area = math.pi / 4 * (0.127**2 - 0.1086**2)
    assert rows[0].capacity == pytest.approx(area * 9.3e8)
    assert PIPE.wave_speed == pytest.approx(math.sqrt(206.8e9 * area / 33.6))
    assert STRING.tension_margins(1e6)[0].tension == pytest.approx(1e6 - 20e3 * G)


def test_an_empty_string_floats_from_the_mud_it_displaces() -> None:
    """A pipe of 0.2 m and 37 kg/m displaces π/4 × 0.04 × ρ: it just sinks in 1,177 kg/m³ and floats in 1,178."""
    light = Section("light", 100.0, 0.2, 0.19, 37.0, 5e8)
    sinking = 37.0 / (math.pi / 4 * 0.2**2)
    made = DrillString((light,), mud_density=sinking - 0.5, inside="empty, float closed")
    assert made.weight_in_mud(light) == pytest.approx(0.5 * math.pi / 4 * 0.04 * G)
    assert 0 < made.weight_in_mud(light) < 1.0
    with pytest.raises(InputError, match="floats"):
        DrillString((light,), mud_density=sinking + 0.5, inside="empty, float closed")
    assert DrillString((light,), mud_density=sinking + 0.5).weight_in_mud(light) > 0
    with pytest.raises(InputError, match="mud density"):
        DrillString((light,), mud_density=1900.0, steel_density=1900.0)


def test_a_string_cut_to_any_depth_keeps_its_lower_end() -> None:
    whole = STRING.length
    assert STRING.cut_to(whole * (1 + 5e-10)).length == whole
    assert STRING.cut_to(whole).sections == STRING.sections
    assert [one.length for one in STRING.cut_to(1000.0).sections] == [750.0, 100.0, 150.0]
    assert STRING.cut_to(250.0).sections == (HEAVY, COLLAR)
    assert STRING.cut_to(250.00001).sections[0].length == 0.1
    assert STRING.cut_to(250.0 + 1e-7).sections == (HEAVY, COLLAR)
    assert [one.length for one in STRING.cut_to(60.0).sections] == [60.0]
    for depth in (0.0, -1.0, whole * (1 + 2e-9)):
        with pytest.raises(InputError, match="Bit depth"):
            STRING.cut_to(depth)


def test_collars_and_heavy_pipe_carry_the_weight_on_bit() -> None:
    """What they weigh in mud over the design factor; on a slope of 60° half of it."""
    assert bottom_hole_assembly(STRING) == (HEAVY, COLLAR)
    assert bottom_hole_assembly(DrillString((COLLAR, PIPE, HEAVY), mud_density=1200.0)) == (HEAVY,)
    weight = (100 * 74.0 + 150 * 220.0) * G * SHARE
    found = bottom_hole(STRING, 100e3)
    assert (found.available, found.usable) == (pytest.approx(weight), None)
    assert found.neutral == pytest.approx(100e3 / (220.0 * G * SHARE))
    steep = Well((HoleInterval(1000.0), HoleInterval(1250.0, math.radians(60.0))), 1.25)
    sloping = bottom_hole(STRING, 100e3, steep)
    assert sloping.available == pytest.approx(weight / 2)
    assert sloping.usable == pytest.approx(weight / 2 / 1.25)


def test_compression_at_which_a_pipe_buckles() -> None:
    """1.94 (E I w²)^(1/3) upright (Lubinski 1950), 2 √(E I w sin θ / r) lying (Dawson and Paslay 1984)."""
    angle = math.radians(50.0)
    well = Well((HoleInterval(1000.0), HoleInterval(1250.0, angle, 0.2, 0.216)))
    weight, bending = 33.6 * G * SHARE, 206.8e9 * math.pi / 64 * (0.127**4 - 0.1086**4)
    upright, none = critical_forces(STRING, PIPE, well, 0)
    assert (upright, none) == (pytest.approx(1.94 * (bending * weight**2) ** (1 / 3)), 0.0)
    standing, lying = critical_forces(STRING, PIPE, well, 1)
    assert standing == pytest.approx(1.94 * (bending * (weight * math.cos(angle)) ** 2) ** (1 / 3))
    assert lying == pytest.approx(2 * math.sqrt(bending * weight * math.sin(angle) / ((0.216 - 0.127) / 2)))
    unknown = Well((well.intervals[0], replace(well.intervals[1], diameter=None)))
    assert critical_forces(STRING, PIPE, unknown, 1)[1] is None
