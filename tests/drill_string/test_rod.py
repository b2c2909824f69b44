"""Rod dynamics against the uniform closed form and an independent chain of masses and springs."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given
from hypothesis import strategies as st

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
from heave.drill_string.rod import LOSS_FACTOR
from heave.errors import InputError

UNIFORM = DrillString((drill_pipe("5 in", "19.50", "S-135", 4000.0),), 1100.0)
TAPERED = DrillString(
    (
        drill_pipe("6-5/8 in", "27.70", "S-135", 1500.0),
        drill_pipe("5 in", "19.50", "S-135", 1800.0),
        heavy_weight("5 in", 150.0),
        collar(0.2032, 0.0714, 200.0),
    ),
    1100.0,
)


def chain(string: DrillString, omega: float, free: bool, per_section: int = 400) -> tuple[float, float]:
    """(top force, bit force or bit motion) per unit top motion, by finite elements with lumped masses.

    Independent of the transfer matrices: a tridiagonal dynamic stiffness K − ω² M, solved once.
    """
    springs: list[float] = []
    masses = [0.0]
    for section in string.sections:
        piece = section.length / per_section
        for _ in range(per_section):
            springs.append(section.youngs_modulus * section.area / piece)
            masses[-1] += section.linear_mass * piece / 2
            masses.append(section.linear_mass * piece / 2)
    size = len(masses)
    matrix = np.zeros((size, size))
    for place, spring in enumerate(springs):
        matrix[place : place + 2, place : place + 2] += spring * np.array([[1, -1], [-1, 1]])
    matrix -= np.diag(omega**2 * np.array(masses))
    last = size if free else size - 1
    inner = np.linalg.solve(matrix[1:last, 1:last], -matrix[1:last, 0])
    top = matrix[0, 0] + matrix[0, 1:last] @ inner
    return float(top), float(inner[-1] if free else -(matrix[-1, 1:last] @ inner))


@pytest.mark.parametrize("period", [3.1, 6.0, 11.0])
def test_tapered_string_against_a_chain(period: float) -> None:
    omega = 2 * math.pi / period
    rod = rod_dynamics(TAPERED, omega)
    held = (rod.top_stiffness_fixed[0].real, rod.bit_force_per_top[0].real)
    hanging = (rod.top_stiffness_free[0].real, rod.bit_motion_per_top_free[0].real)
    assert held == pytest.approx(chain(TAPERED, omega, free=False, per_section=200), rel=1e-3)
    assert hanging == pytest.approx(chain(TAPERED, omega, free=True, per_section=200), rel=1e-3)


@given(st.floats(0.05, 6.0))
def test_uniform_closed_form(omega: float) -> None:
    section = UNIFORM.sections[0]
    phase = omega / section.wave_speed * section.length
    impedance = section.youngs_modulus * section.area * omega / section.wave_speed
    rod = rod_dynamics(UNIFORM, omega)
    # a and b rather than the quotients, whose poles would need a tolerance of their own
    assert rod.a[0].real == pytest.approx(math.cos(phase), abs=1e-12)
    assert rod.d[0].real == pytest.approx(math.cos(phase), abs=1e-12)
    assert rod.b[0].real * impedance == pytest.approx(math.sin(phase), abs=1e-12)
    assert rod.c[0].real / impedance == pytest.approx(-math.sin(phase), abs=1e-12)


@pytest.mark.parametrize("string", [UNIFORM, TAPERED])
def test_slow_limits(string: DrillString) -> None:
    still, slow = rod_dynamics(string, [0.0, 1e-3]), 1e-3
    assert still.bit_force_per_top[0] == pytest.approx(string.stiffness, rel=1e-12)
    assert still.top_stiffness_fixed[0] == pytest.approx(string.stiffness, rel=1e-12)
    assert still.bit_motion_per_top_free[0] == 1.0
    assert still.top_stiffness_free[0] == 0.0
    assert still.top_stiffness_free[1].real == pytest.approx(-(slow**2) * string.mass, rel=1e-4)


def test_quotients_are_uniform_rod_formulas() -> None:
    section, omega = UNIFORM.sections[0], 0.9
    phase = omega / section.wave_speed * section.length
    impedance = section.youngs_modulus * section.area * omega / section.wave_speed
    rod = rod_dynamics(UNIFORM, omega)
    assert rod.top_stiffness_fixed[0].real == pytest.approx(impedance / math.tan(phase), rel=1e-12)
    assert rod.bit_force_per_top[0].real == pytest.approx(impedance / math.sin(phase), rel=1e-12)
    assert rod.top_stiffness_free[0].real == pytest.approx(-impedance * math.tan(phase), rel=1e-12)
    assert rod.bit_motion_per_top_free[0].real == pytest.approx(1 / math.cos(phase), rel=1e-12)


@given(st.lists(st.floats(20.0, 2000.0), min_size=1, max_size=5), st.floats(0.1, 8.0), st.floats(0.0, 0.3))
def test_reciprocity(lengths: list[float], omega: float, loss: float) -> None:
    """The determinant a d − b c of a passive chain is one, with loss or without."""
    pieces = [TAPERED.sections[i % 4] for i in range(len(lengths))]
    string = DrillString(
        tuple(replace(piece, length=length) for piece, length in zip(pieces, lengths, strict=True)), 1000.0
    )
    rod = rod_dynamics(string, omega, loss)
    size = abs(rod.a * rod.d)[0] + abs(rod.b * rod.c)[0]
    assert abs((rod.a * rod.d - rod.b * rod.c)[0] - 1) < 1e-11 * max(size, 1.0)


def test_splitting_a_section_changes_nothing() -> None:
    section = UNIFORM.sections[0]
    halves = DrillString((replace(section, length=1500.0), replace(section, length=2500.0)), 1100.0)
    omega = np.linspace(0.1, 5.0, 40)
    one, two = rod_dynamics(UNIFORM, omega, 0.02), rod_dynamics(halves, omega, 0.02)
    for name in ("a", "b", "c", "d"):
        left: npt.NDArray[np.complex128] = getattr(one, name)
        assert getattr(two, name) == pytest.approx(left, rel=1e-10, abs=1e-10 * float(np.abs(left).max()))


def test_loss_takes_power_out() -> None:
    """With loss the top force leads the motion: positive imaginary stiffness, so work is put in."""
    rod = rod_dynamics(TAPERED, np.linspace(0.2, 4.0, 30), 0.02)
    assert np.all(rod.top_stiffness_fixed.imag > 0)
    assert np.all(rod.top_stiffness_free.imag > 0)


def test_scalar_and_array_agree() -> None:
    omega = np.array([0.3, 0.7, 1.9])
    whole = rod_dynamics(TAPERED, omega).b
    assert [rod_dynamics(TAPERED, value).b[0] for value in omega] == pytest.approx(list(whole), rel=1e-13)


def test_first_periods_are_zeros_and_the_longest() -> None:
    period = first_free_fixed_period(TAPERED)
    slower = 2 * math.pi / np.linspace(period * 1.001, 60.0, 500)
    assert abs(rod_dynamics(TAPERED, 2 * math.pi / period).a[0]) < 1e-9
    assert np.all(rod_dynamics(TAPERED, slower).a.real > 0)
    on_bottom = first_on_bottom_period(TAPERED, 40e3, 25e3)
    omega = 2 * math.pi / on_bottom
    assert rod_dynamics(TAPERED, omega).top_stiffness_fixed[0].real == pytest.approx(
        omega**2 * 40e3 - 25e3, rel=1e-6
    )


def test_on_bottom_period_without_mass_or_spring_is_the_free_fixed_one() -> None:
    assert first_on_bottom_period(UNIFORM, 0.0, 0.0) == pytest.approx(
        first_free_fixed_period(UNIFORM), rel=1e-9
    )
    assert first_on_bottom_period(UNIFORM, 30e3, 0.0) > first_on_bottom_period(UNIFORM, 0.0, 0.0)
    assert first_on_bottom_period(UNIFORM, 30e3, 50e3) < first_on_bottom_period(UNIFORM, 30e3, 0.0)


def test_short_and_stiff_strings_have_a_period_too() -> None:
    short = DrillString((Section("landing string", 30.0, 0.2, 0.1, 200.0, 8e8),), 1030.0)
    assert first_free_fixed_period(short) == pytest.approx(4 * 30.0 / short.sections[0].wave_speed, rel=1e-9)


@given(st.lists(st.tuples(st.floats(5.0, 3000.0), st.floats(0.05, 0.55)), min_size=1, max_size=8))
def test_any_taper_has_first_periods(pieces: list[tuple[float, float]]) -> None:
    """However wild the taper, a slowest mode is found and nothing slower changes sign."""
    sections = tuple(
        Section("piece", length, size, 0.0, 7850 * math.pi / 4 * size**2, 5e8) for length, size in pieces
    )
    string = DrillString(sections, 1000.0)
    period = first_free_fixed_period(string)
    slower = np.linspace(0.0, 2 * math.pi / period * 0.999, 200)
    assert np.all(rod_dynamics(string, slower).a.real > 0)
    assert first_on_bottom_period(string, 50e3, 20e3) > 0


@pytest.mark.parametrize("omega", [-0.1, math.nan, math.inf])
def test_wrong_frequencies_are_refused(omega: float) -> None:
    with pytest.raises(InputError, match="angular frequency"):
        rod_dynamics(UNIFORM, omega)


def test_loss_factor_range() -> None:
    low, high = LOSS_FACTOR.low, LOSS_FACTOR.high
    for inside in (low, high):
        assert rod_dynamics(UNIFORM, 1.0, inside).a.shape == (1,)
    for outside in (low - 1e-9, high + 1e-9, math.nan):
        with pytest.raises(InputError, match="loss factor"):
            rod_dynamics(UNIFORM, 1.0, outside)


@pytest.mark.parametrize(("mass", "stiffness"), [(-1.0, 0.0), (0.0, -1.0), (math.nan, 0.0), (0.0, math.inf)])
def test_wrong_mass_and_stiffness_are_refused(mass: float, stiffness: float) -> None:
    with pytest.raises(InputError):
        first_on_bottom_period(UNIFORM, mass, stiffness)


def test_a_conductor_below_a_landing_string_has_its_periods() -> None:
    """36 in pipe, thirty times the wall of its landing string: the taper is exact, the mass of a light tail is right.

    A heavy stub below a long light rod swings as mass on a spring, 2π √((M + m/3)/k) (Rayleigh; Rao, Mechanical
    Vibrations): within 2 % while the stub is much heavier than the rod.
    """
    size, bore = 0.9144, 0.8382
    stub = Section("conductor", 80.0, size, bore, 7850 * math.pi / 4 * (size**2 - bore**2), 3.6e8)
    landing = Section(
        "landing string", 1200.0, 0.1397, 0.1087, 7850 * math.pi / 4 * (0.1397**2 - 0.1087**2), 9e8
    )
    string = DrillString((landing, stub), 1030.0)
    spring = 1 / landing.flexibility
    rayleigh = 2 * math.pi * math.sqrt((stub.mass + landing.mass / 3) / spring)
    assert first_free_fixed_period(string) == pytest.approx(rayleigh, rel=0.02)
    assert np.all(np.isfinite(rod_dynamics(string, np.linspace(0.0, 3.0, 50), 0.04).bit_force_per_top))
