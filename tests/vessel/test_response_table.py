"""The response table: what it refuses, how it is read between points, and what it does beyond its range."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heave.errors import InputError
from heave.units import STANDARD_GRAVITY
from heave.vessel import ResponseTable
from heave.vessel.response_table import MAX_HEADING_GAP, MAX_HEAVE, MAX_ROTATION, TAPER_END, long_wave_limit

OMEGA = np.array([0.3, 0.5, 0.8, 1.2])
HEADING = np.array([0.0, 45.0, 90.0, 135.0, 180.0])


def table(**changes: object) -> ResponseTable:
    """A made-up ship that follows long waves, its phases turning with frequency."""
    turn = np.exp(1j * OMEGA) / (1 + OMEGA**2)
    angle = np.radians(HEADING)[:, None]
    values: dict[str, object] = {
        "omega": OMEGA,
        "heading": HEADING,
        "heave": turn * (1 + 0.2 * np.cos(angle)),
        "roll": -0.05j * turn * np.where(np.abs(np.sin(angle)) < 1e-9, 0.0, np.sin(angle)),
        "pitch": 0.03j * turn * np.cos(angle),
    }
    return ResponseTable(**{**values, **changes})  # type: ignore[arg-type]


def test_reads_its_own_points_back() -> None:
    made = table()
    read = made.transfer(OMEGA, HEADING)
    for found, given_ in zip(read, (made.heave, made.roll, made.pitch), strict=True):
        np.testing.assert_allclose(found, given_, atol=1e-15)


def test_mid_points_are_means_of_real_and_imaginary_parts() -> None:
    made = table()
    read = made.transfer(np.array([0.4]), 67.5)
    corners = made.heave[1:3, 0:2]
    assert read.heave[0, 0] == pytest.approx(corners.mean(), abs=1e-15)
    # the mean of the amplitudes would be larger, since phases differ
    assert abs(read.heave[0, 0]) < np.abs(corners).mean() * 0.9999


@given(beta=st.floats(0.0, 360.0), omega=st.floats(0.05, 2.0))
def test_mirrored_headings(beta: float, omega: float) -> None:
    made = table()
    here, there = made.transfer(np.array([omega]), beta), made.transfer(np.array([omega]), -beta)
    np.testing.assert_allclose(here.heave, there.heave, atol=1e-12)
    np.testing.assert_allclose(here.roll, -there.roll, atol=1e-12)
    np.testing.assert_allclose(here.pitch, there.pitch, atol=1e-12)


@given(beta=st.floats(-720.0, 720.0), turns=st.integers(-3, 3))
def test_a_full_turn_changes_nothing(beta: float, turns: int) -> None:
    made = table()
    once, again = made.transfer(OMEGA, beta), made.transfer(OMEGA, beta + 360.0 * turns)
    np.testing.assert_allclose(once.heave, again.heave, atol=1e-9)


def test_heading_is_continuous_across_the_bow_of_an_unsymmetric_table() -> None:
    heading = np.arange(20.0, 360.0, 40.0)
    motion = np.ones((len(heading), 1)) * np.exp(1j * OMEGA)
    motion = motion * np.cos(np.radians(heading))[:, None] * 0.1
    made = ResponseTable(OMEGA, heading, motion, motion, motion, symmetric=False)
    at_bow = made.transfer(OMEGA, np.array([359.9999999, 0.0, 0.0000001]))
    np.testing.assert_allclose(at_bow.roll[0], at_bow.roll[2], atol=1e-9)
    np.testing.assert_allclose(at_bow.roll[1], 0.5 * (made.roll[0] + made.roll[-1]), atol=1e-12)


def test_long_waves_carry_the_hull_along() -> None:
    """Elevation cos(ωt − k(x cosβ + y sinβ)): heave follows it, roll and pitch follow its slopes."""
    omega = np.array([1e-3])
    beta = np.array([0.0, 90.0, 180.0, 270.0, 37.0])
    read = table().transfer(omega, beta)
    number = omega**2 / STANDARD_GRAVITY
    np.testing.assert_allclose(read.heave[:, 0], 1.0, atol=2e-5)
    np.testing.assert_allclose(read.roll[:, 0], -1j * number * np.sin(np.radians(beta)), atol=3e-6)
    np.testing.assert_allclose(read.pitch[:, 0], 1j * number * np.cos(np.radians(beta)), atol=3e-6)


def test_slopes_of_a_drawn_wave() -> None:
    """The same limits from a wave drawn in space and time: a bow-on sea lifts the bow a quarter period early."""
    omega, step = 0.2, 1e-3
    number = omega**2 / STANDARD_GRAVITY
    for beta in (0.0, 60.0, 90.0, 180.0, 250.0):
        way = np.radians(beta)

        def elevation(x: float, y: float, t: float, way: float = way) -> float:
            return float(np.cos(omega * t - number * (x * np.cos(way) + y * np.sin(way))))

        found = long_wave_limit(np.array([omega]), np.array([beta]))
        for t in (0.0, 3.0, 11.0):
            turn = np.exp(1j * omega * t)
            port_up = (elevation(0, step, t) - elevation(0, -step, t)) / (2 * step)
            bow_up = (elevation(step, 0, t) - elevation(-step, 0, t)) / (2 * step)
            assert (found.roll[0, 0] * turn).real == pytest.approx(port_up, abs=1e-9)
            assert (found.pitch[0, 0] * turn).real == pytest.approx(-bow_up, abs=1e-9)


def test_continuous_at_both_ends_and_nothing_beyond_the_taper() -> None:
    made = table()
    for edge in made.covers():
        near = made.transfer(np.array([edge * (1 - 1e-9), edge * (1 + 1e-9)]), HEADING)
        for part in near:
            np.testing.assert_allclose(part[:, 0], part[:, 1], atol=1e-7)
    beyond = made.transfer(np.array([OMEGA[-1] * TAPER_END, 5.0]), HEADING)
    assert all(np.all(part == 0) for part in beyond)
    half = made.transfer(np.array([OMEGA[-1] * (1 + TAPER_END) / 2]), HEADING)
    np.testing.assert_allclose(half.heave[:, 0], made.heave[:, -1] / 2, atol=1e-12)
    held = made.held(np.array([5.0]), HEADING)
    np.testing.assert_allclose(held.heave[:, 0], made.heave[:, -1], atol=1e-15)


def test_equal_by_content_and_usable_as_a_key() -> None:
    one, same, other = table(), table(), table(heave=table().heave * 1.000001)
    assert one == same
    assert hash(one) == hash(same)
    assert one != other
    assert one != "a table"
    assert len({one, same, other}) == 2
    assert replace(one, reference_x=1.0) != one


def test_content_is_a_read_only_copy() -> None:
    omega = OMEGA.copy()
    made = table(omega=omega)
    omega[0] = 0.2
    assert made.omega[0] == 0.3
    with pytest.raises(ValueError, match="read-only"):
        made.heave[0, 0] = 2.0


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"omega": OMEGA[::-1]}, "frequency"),
        ({"omega": np.array([0.0, 0.5, 0.8, 1.2])}, "frequency"),
        ({"omega": np.array([0.3, np.nan, 0.8, 1.2])}, "frequency"),
        ({"omega": OMEGA[:1]}, "frequency"),
        ({"heading": HEADING + 1.0}, "heading"),
        ({"heading": HEADING[::-1]}, "heading"),
        ({"heading": np.array([0.0, 45.0, 90.0, 135.0, np.inf])}, "heading"),
        ({"heading": np.array([0.0, 10.0, 20.0, 30.0, 180.0])}, "headings"),
        ({"heave": np.ones((4, 4))}, "heave"),
        ({"heave": np.full((5, 4), np.nan)}, "heave"),
        ({"pitch": np.full((5, 4), 1j * np.inf)}, "pitch"),
        ({"roll": np.full((5, 4), 0.03)}, "roll"),
        ({"symmetric": False}, "headings"),
        ({"reference_x": np.nan}, "Reference point forward"),
        ({"source": "a\x00b"}, "Source"),
    ],
)
def test_refuses(changes: dict[str, object], words: str) -> None:
    with pytest.raises(InputError) as caught:
        table(**changes)
    assert words in caught.value.what


def test_limits_of_belief_hold_on_both_sides() -> None:
    shape = (len(HEADING), len(OMEGA))
    assert np.abs(table(heave=np.full(shape, MAX_HEAVE)).heave).max() == MAX_HEAVE
    assert np.abs(table(pitch=np.full(shape, MAX_ROTATION)).pitch).max() == MAX_ROTATION
    for name, limit in (("heave", MAX_HEAVE), ("pitch", MAX_ROTATION)):
        with pytest.raises(InputError, match="at most"):
            table(**{name: np.full(shape, limit * 1.001)})
    gap = MAX_HEADING_GAP
    heading = np.array([0.0, gap, 2 * gap, 180.0])
    rows = np.zeros((4, 4))
    assert len(ResponseTable(OMEGA, heading, rows + 1, rows, rows).heading) == 4
    with pytest.raises(InputError, match="apart"):
        ResponseTable(OMEGA, np.array([0.0, gap + 0.1, 2 * gap, 180.0]), rows + 1, rows, rows)


@pytest.mark.parametrize(("omega", "beta"), [([-0.1], 0.0), ([np.nan], 0.0), ([0.5], np.nan)])
def test_refuses_to_read_at(omega: list[float], beta: float) -> None:
    with pytest.raises(InputError):
        table().transfer(np.array(omega), beta)
