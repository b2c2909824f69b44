"""Drill string against API RP 7G, handbook arithmetic and a published trial."""

from __future__ import annotations

import math

import pytest

from heave.drill_string import (
    DrillString,
    Section,
    collar,
    drill_pipe,
    first_free_fixed_period,
    first_on_bottom_period,
    heavy_weight,
    rod_dynamics,
)
from heave.units import to_si

WATER = 1030.0
FIVE_INCH_SPEED = 4575.0
"""Wave speed of 5 in 19.50 lb/ft pipe with its tool joints [m/s]."""


def five_inch(length: float) -> DrillString:
    """5 in 19.50 pipe whose mass per metre gives the stated wave speed, m' = E A/c²."""
    bare = drill_pipe("5 in", "19.50", "S-135", length)
    mass = bare.youngs_modulus * bare.area / FIVE_INCH_SPEED**2
    return DrillString((drill_pipe("5 in", "19.50", "S-135", length, linear_mass=mass),), WATER)


@pytest.mark.parametrize(
    ("mud_ppg", "factor"), [(8.34, 0.8727), (10.0, 0.8473), (12.0, 0.8168), (16.0, 0.7557)]
)
def test_buoyancy_factor(mud_ppg: float, factor: float) -> None:
    """API RP 7G: 1 − MW/65.5 with the mud weight in lb/gal; printed to four places."""
    string = DrillString(five_inch(100.0).sections, to_si(mud_ppg, "ppg"), steel_density=to_si(65.5, "ppg"))
    assert string.buoyancy_factor == pytest.approx(factor, abs=5e-5)


def test_buoyancy_factor_with_the_default_steel_agrees_with_the_api_form() -> None:
    """7850 kg/m³ is 65.51 lb/gal: the two forms differ by less than 1 part in 5000."""
    string = DrillString(five_inch(100.0).sections, to_si(12.0, "ppg"))
    assert string.buoyancy_factor == pytest.approx(1 - 12 / 65.5, rel=2e-4)


def test_collar_weight() -> None:
    """489.5 lb/ft³ × area: 8 × 2-13/16 in weighs 149.7 lb/ft (computed from the formula)."""
    section = collar(to_si(8.0, "in"), to_si(2.8125, "in"), 9.4)
    assert section.linear_mass / to_si(1.0, "lb/ft") == pytest.approx(149.7, abs=0.051)


@pytest.mark.parametrize(
    ("size", "weight", "grade", "area_in2", "pull_lbf"),
    [
        ("5 in", "19.50", "E-75", 5.2746, 395_595),
        ("5 in", "19.50", "G-105", 5.2746, 553_833),
        ("5 in", "19.50", "S-135", 5.2746, 712_070),
        ("5-1/2 in", "21.90", "S-135", 5.8282, 786_809),
        ("6-5/8 in", "27.70", "S-135", 7.1226, 961_556),
        ("3-1/2 in", "15.50", "G-105", 4.3037, 451_885),
        ("4-1/2 in", "16.60", "X-95", 4.4074, 418_707),
    ],
)
def test_tensile_capacity_of_new_pipe(
    size: str, weight: str, grade: str, area_in2: float, pull_lbf: float
) -> None:
    """API RP 7G, table of new drill pipe, tensile data: area × yield, printed to 1 lbf."""
    section = drill_pipe(size, weight, grade, 1000.0)
    assert section.area / to_si(1.0, "in²") == pytest.approx(area_in2, abs=6e-5)
    assert section.tensile_capacity / to_si(1.0, "lbf") == pytest.approx(pull_lbf, abs=2.0)


def test_tensile_capacity_of_premium_pipe() -> None:
    """API RP 7G, table of premium drill pipe: 5 in 19.50 S-135, 560,764 lbf, 80 % of the wall."""
    section = drill_pipe("5 in", "19.50", "S-135", 1000.0, pipe_class="premium")
    assert section.tensile_capacity / to_si(1.0, "lbf") == pytest.approx(560_764, abs=2.0)
    assert section.area == drill_pipe("5 in", "19.50", "S-135", 1000.0).area


def test_static_stiffness() -> None:
    """k = 1/Σ(L/EA), E 206.8 GPa (computed): 234.6 kN/m for 3000 m, 1.90 MN/m for 500 m of 6-5/8.

    The tapered figure, 254.5, was worked from the rounded ones; 0.05 % covers that.
    """
    assert five_inch(3000.0).stiffness == pytest.approx(234.6e3, rel=2e-4)
    tapered = DrillString(
        (
            drill_pipe("5 in", "19.50", "S-135", 2700.0),
            heavy_weight("5 in", 100.0),
            collar(to_si(8.0, "in"), to_si(2.8125, "in"), 200.0),
        ),
        WATER,
    )
    assert tapered.stiffness == pytest.approx(254.5e3, rel=5e-4)
    landing = DrillString((drill_pipe("6-5/8 in", "27.70", "S-135", 500.0),), WATER)
    assert landing.stiffness == pytest.approx(1.90e6, abs=0.005e6)


def test_a_metre_of_heave_is_53_klbf() -> None:
    """3000 m of 5 in pipe: about 235 kN, 53 klbf, a metre (computed)."""
    assert five_inch(3000.0).stiffness / to_si(1.0, "klbf") == pytest.approx(53, abs=0.5)


def test_wave_speed() -> None:
    """√(EA/m'): plain steel 5133 m/s; the table's 5 in pipe with tool joints 4575 m/s (computed)."""
    area = math.pi / 4 * (0.127**2 - 0.1086**2)
    plain = Section("tube", 1000.0, 0.127, 0.1086, 7850.0 * area, 9e8)
    assert plain.wave_speed == pytest.approx(5133, abs=0.6)
    assert drill_pipe("5 in", "19.50", "S-135", 1000.0).wave_speed == pytest.approx(4575, abs=2)


@pytest.mark.parametrize(("length", "period", "factor"), [(3000.0, 8.0, 1.046), (6000.0, 6.0, 1.401)])
def test_amplification_of_the_bit_force(length: float, period: float, factor: float) -> None:
    """κL/sin κL at c = 4575 m/s (computed, three places)."""
    string = five_inch(length)
    rod = rod_dynamics(string, 2 * math.pi / period)
    assert abs(rod.bit_force_per_top[0]) / string.stiffness == pytest.approx(factor, abs=6e-4)


def test_a_static_spring_is_within_two_percent_below_0_35() -> None:
    """κL < 0.35: κL/sin κL is under 1.021; above, the difference grows past it."""
    string = five_inch(3000.0)
    near, far = (
        abs(rod_dynamics(string, phase * FIVE_INCH_SPEED / 3000.0).bit_force_per_top[0]) / string.stiffness
        for phase in (0.34, 0.40)
    )
    assert near < 1.02
    assert far > 1.02


@pytest.mark.parametrize(("length", "period"), [(3000.0, 2.62), (6000.0, 5.25)])
def test_free_fixed_period(length: float, period: float) -> None:
    """4L/c (computed, two places)."""
    assert first_free_fixed_period(five_inch(length)) == pytest.approx(period, abs=0.005)


def test_navy_trial_of_1961() -> None:
    """US Navy report AD0286091: some 13,500 ft of pipe, natural period calculated as 3½ s.

    Pipe and joints are not given, so the figure must lie between heavy joints (4575 m/s) and none.
    """
    length = to_si(13_500.0, "ft")
    jointed = first_free_fixed_period(five_inch(length))
    area = five_inch(length).sections[0].area
    plain = Section("tube", length, 0.127, 0.108610, 7850.0 * area, 9e8)
    bare = first_free_fixed_period(DrillString((plain,), WATER))
    assert bare < 3.5 < jointed < 3.75


@pytest.mark.parametrize(("length", "period"), [(3000.0, 3.22), (6000.0, 5.55), (9000.0, 7.72)])
def test_first_period_on_bottom(length: float, period: float) -> None:
    """EAκ cot κL = ω² m_h − k_c with m_h 30 t, k_c 23.622 kN/m (computed, two places)."""
    assert first_on_bottom_period(five_inch(length), 30e3, 23.622e3) == pytest.approx(period, abs=0.005)


def test_stretch_by_hand() -> None:
    """Stretch of 1000 ft of 5 in 19.50 pipe under 100 klbf: P L/(E A) at 30 million psi (hand figure)."""
    section = drill_pipe("5 in", "19.50", "E-75", to_si(1000.0, "ft"))
    by_hand_inches = 100_000 * 12_000 / (30e6 * 5.2746)
    stretch = to_si(100.0, "klbf") * section.flexibility
    # 206.8 GPa is 29.994 million psi
    assert stretch / to_si(1.0, "in") == pytest.approx(by_hand_inches, rel=5e-4)
