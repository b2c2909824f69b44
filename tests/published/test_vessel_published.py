"""Vessel response against published figures and open data."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from scipy.interpolate import CubicSpline

from heave.sea import OMEGA, WEIGHTS, SeaState, two_parameter
from heave.units import SEA_WATER_DENSITY, STANDARD_GRAVITY
from heave.vessel import (
    ResponseTable,
    Vessel,
    box_hull_response,
    heave_natural_period,
    hoist_spectrum,
    hoist_transfer,
)

# VolturnUS-S, IEA 15 MW reference platform. Heave stiffness and mass: NREL/TP-5000-76773 (mass from memory).
HULL_STIFFNESS = 4.4534e6
HULL_MASS = 20_093e3
HULL_DRAG = 2.30e6  # quadratic heave damping [N/(m/s)²], open hydrodynamic input files of the same platform


@pytest.mark.parametrize(
    ("period", "heading", "heave", "pitch"),
    [
        (14.0, 180.0, 0.43463, 0.01318),
        (20.0, 180.0, 0.84643, 0.00915),
        (10.0, 90.0, 1.45928, 0.0),
        (14.0, 90.0, 1.26262, 0.0),
    ],
)
def test_box_values(period: float, heading: float, heave: float, pitch: float) -> None:
    """Computed from the formulas of Jensen, Mansour and Olsen, Ocean Engineering 31 (2004), for a box of
    200 × 36 × 11 m, g = 9.81; five digits."""
    found = box_hull_response(2 * np.pi / period, heading, 200.0, 36.0, 11.0, gravity=9.81)
    assert abs(found.heave) == pytest.approx(heave, abs=6e-6)
    assert abs(found.pitch) == pytest.approx(pitch, abs=6e-6)
    if pitch:
        turn = np.angle(found.pitch / found.heave, deg=True)
        assert abs(turn) == pytest.approx(90.0, abs=1e-9)


def test_hoist_forward_of_the_reference_adds_as_vectors() -> None:
    """Heave 1 and pitch 0.02 rad/m a quarter period behind, 20 m away: √(1 + 0.4²) = 1.07703, not 1.4."""
    omega = np.array([0.4, 0.6])
    headings = np.arange(0.0, 181.0, 60.0)
    ones = np.ones((4, 2), dtype=complex)
    made = ResponseTable(omega, headings, ones, 0 * ones, 0.02 * np.exp(-0.5j * np.pi) * ones)
    found = hoist_transfer(Vessel("check", made, hoist_x=20.0), np.array([0.5]), 180.0)
    assert abs(found[0, 0]) == pytest.approx(1.07703, abs=5e-6)


def test_semisubmersible_natural_period_oc4() -> None:
    """OC4 semisubmersible, NREL/TP-5000-60601: 0.0589 Hz (16.99 s) in heave with its moorings."""
    found = heave_natural_period(1.3473e7, 14.7e6, 3.836e6 + 1.91e4)
    assert found == pytest.approx(16.99, abs=0.01)
    assert 1 / found == pytest.approx(0.0589, abs=5e-5)


def volturnus(folder: Path) -> tuple[np.ndarray, ...]:
    """Frequency, added mass, damping, complex heave force in head and in beam seas (open data, Apache-2.0)."""
    rows = np.loadtxt(folder / "volturnus_heave.csv", delimiter=",", skiprows=1)
    return rows[:, 1], rows[:, 2], rows[:, 3], rows[:, 4] + 1j * rows[:, 5], rows[:, 6] + 1j * rows[:, 7]


def test_open_data_natural_period_and_null(shared_data: Path) -> None:
    """Boundary-element data of VolturnUS-S: resonance 20.55 s, no force at 19.45 s, both within 0.5 %."""
    omega, added, _, force, _ = volturnus(shared_data)
    period = 20.0
    for _ in range(50):
        period = heave_natural_period(
            HULL_MASS, float(np.interp(2 * np.pi / period, omega, added)), HULL_STIFFNESS
        )
    assert period == pytest.approx(20.55, rel=5e-3)
    fine = np.linspace(0.28, 0.36, 8001)
    headings = np.arange(0.0, 181.0, 60.0)
    scaled = np.tile(force / HULL_STIFFNESS, (4, 1))
    table = ResponseTable(omega, headings, scaled, 0 * scaled, 0 * scaled, source="force over stiffness")
    read = table.transfer(fine, 180.0).heave[0]
    null = 2 * np.pi / fine[np.argmin(np.abs(read))]
    assert null == pytest.approx(19.45, rel=5e-3)
    assert null < period


def test_open_data_damping_follows_from_the_force(shared_data: Path) -> None:
    """Haskind: B = ω³/(4πρg³) ∫|X|² dβ in deep water; the force of the open data gives its own damping.

    Two headings stand for the circle and the data are of 200 m of water, so only waves of 10 to 16 s are
    compared, to 6 %.
    """
    omega, _, damping, head, beam = volturnus(shared_data)
    chosen = (omega > 0.39) & (omega < 0.62)
    around = 2 * np.pi * 0.5 * (np.abs(head) ** 2 + np.abs(beam) ** 2)
    found = omega**3 / (4 * np.pi * SEA_WATER_DENSITY * STANDARD_GRAVITY**3) * around
    np.testing.assert_allclose(found[chosen], damping[chosen], rtol=0.06)


def test_open_data_response_through_our_own_chain(shared_data: Path) -> None:
    """Response table from the open coefficients, linear drag by our rule, spectrum by our kernels.

    The slow way beside it: the drag is iterated on a plain sum over the data's own frequencies.
    """
    omega, added, radiated, force, _ = volturnus(shared_data)
    fine = np.arange(0.1, 2.0, 0.002)

    def spline(values: np.ndarray) -> np.ndarray:
        return np.asarray(CubicSpline(omega, values)(fine))

    mass, resistance, wave = HULL_MASS + spline(added), spline(radiated), spline(force)
    sea = two_parameter(fine, 6.0, 14.0)
    viscous, heave = 1e6, wave
    for _ in range(200):
        heave = wave / (HULL_STIFFNESS - fine**2 * mass + 1j * fine * (resistance + viscous))
        sigma = np.sqrt(np.sum(np.abs(heave * fine) ** 2 * sea) * 0.002)
        viscous = 0.5 * viscous + 0.5 * np.sqrt(8 / np.pi) * HULL_DRAG * sigma
    slow = np.sqrt(np.sum(np.abs(heave) ** 2 * sea) * 0.002)
    rows = np.tile(heave, (4, 1))
    table = ResponseTable(fine, np.arange(0.0, 181.0, 60.0), rows, 0 * rows, 0 * rows)
    state = SeaState.single(6.0, 14.0, shape="two-parameter", spreading="long-crested")
    found = hoist_spectrum(Vessel("open data", table), 0.0, state.batch()).ordinates
    assert np.sqrt(found[0] @ WEIGHTS) == pytest.approx(slow, rel=5e-3)
    assert found.shape == (1, len(OMEGA))
    undamped = np.abs(wave / (HULL_STIFFNESS - fine**2 * mass + 1j * fine * resistance))
    assert 2 * np.pi / fine[np.argmax(undamped)] == pytest.approx(20.55, rel=5e-3)
    assert np.abs(heave).max() < 0.2 * undamped.max()
