"""Motion at the hoist as the plain sum over systems and directions, of a vessel that answers all periods alike."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt
import pytest

from heave.errors import InputError
from heave.sea import OMEGA, WEIGHTS, SeaState, WaveSystem
from heave.vessel import ResponseTable, Vessel, hoist_moments, hoist_spectrum
from heave.vessel.motion import Motion, hoist_blocks

Array = npt.NDArray[np.float64]
FLAT = np.ones(60, dtype=complex)
HEADINGS = np.arange(0.0, 181.0, 30.0)
HEAVES, PITCHES, ROLLS = (
    0.5 + 0.05 * np.arange(7),
    0.01 * np.arange(-3, 4),
    0.02 * np.sin(np.radians(HEADINGS)),
)
X, Y = 12.0, -5.0
IN = (OMEGA > 0.3) & (OMEGA < 2.0)


def vessel(x: float = X, y: float = Y) -> Vessel:
    table = ResponseTable(
        np.linspace(0.05, 3.0, 60), HEADINGS, *(one[:, None] * FLAT for one in (HEAVES, ROLLS, PITCHES))
    )
    return Vessel("plain", table, hoist_x=x, hoist_y=y)


def at(values: Array, beta: float, odd: bool = False) -> float:
    """Straight between the headings of the table; roll to starboard is roll to port the other way round."""
    folded = beta % 360.0
    side = -1.0 if odd and folded > 180 else 1.0
    return side * float(np.interp(min(folded, 360 - folded), HEADINGS, values))


def square(beta: float, motion: Motion) -> float:
    heave, roll, pitch = at(HEAVES, beta), at(ROLLS, beta, odd=True), at(PITCHES, beta)
    return {"heave": heave + Y * roll - X * pitch, "roll": roll, "pitch": pitch}[motion] ** 2


def between(beta: float, motion: Motion) -> float:
    """Straight between whole degrees."""
    low = math.floor(beta)
    return square(low, motion) * (1 - beta + low) + square(low + 1, motion) * (beta - low)


SEA = SeaState(
    (
        WaveSystem(2.0, 9.0, direction_from=200.0, shape="two-parameter", spreading="long-crested"),
        WaveSystem(
            1.0, 13.0, direction_from=310.5, shape="two-parameter", spreading="cos-n", spreading_exponent=4.0
        ),
    ),
    depth=None,
)


def waves(hs: float, tp: float) -> Array:
    peak = 2 * math.pi / tp
    return np.asarray(5 / 16 * hs**2 * peak**4 * OMEGA**-5.0 * np.exp(-1.25 * (peak / OMEGA) ** 4))


def expected(bow: float, motion: Motion = "heave", share: float = 1.0) -> Array:
    """Waves from 200° along one line; those from 310.5° spread as cos⁴ in steps that divide 90°."""
    first = waves(2.0 * share, 9.0) * between((bow - 200.0 + 180.0) % 360.0, motion)
    from heave.vessel.kernels import SPREADING_STEP

    offsets = np.arange(-90.0 + SPREADING_STEP, 90.0, SPREADING_STEP)
    weights = np.cos(np.radians(offsets)) ** 4
    mean = (bow - 310.5 + 180.0) % 360.0
    spread = sum(
        w * between((mean + o) % 360.0, motion) for o, w in zip(offsets, weights / weights.sum(), strict=True)
    )
    return np.asarray(first + waves(1.0 * share, 13.0) * spread)


@pytest.mark.parametrize("bow", [0.0, 75.25, 200.0, 350.0])
@pytest.mark.parametrize("motion", ["heave", "roll", "pitch"])
def test_systems_and_directions_add_up(bow: float, motion: Motion) -> None:
    (block,) = hoist_blocks(vessel(), bow, SEA.batch(), motion)
    assert block.damping is None
    found = np.zeros(OMEGA.size)
    found[block.points] = block.ordinates[0]
    np.testing.assert_allclose(found[IN], expected(bow, motion)[IN], rtol=2e-4)
    assert not found[OMEGA < 0.1].any()


def test_seas_and_headings_stand_row_by_row() -> None:
    """Three seas by two headings, a missing one among them; one pair of headings for all is the same for each."""
    batch = SEA.batch().repeated(3).times(np.array([1.0, np.nan, 0.5]))
    bows = np.array([[10.0, 75.0], [20.0, 30.0], [200.0, 300.0]])
    found = [np.array(block.ordinates) for block in hoist_blocks(vessel(), bows, batch)]
    rows = np.concatenate(found)
    (points,) = {(block.points.start, block.points.stop) for block in hoist_blocks(vessel(), bows, batch)}
    inside = IN[slice(*points)]
    assert rows.shape == (6, points[1] - points[0])
    assert np.isnan(rows[2:4, inside]).all()
    for row, (bow, share) in {0: (10.0, 1.0), 1: (75.0, 1.0), 4: (200.0, 0.5), 5: (300.0, 0.5)}.items():
        wanted = expected(bow, share=share)[slice(*points)][inside]
        np.testing.assert_allclose(rows[row, inside], wanted, rtol=2e-4)
    alike = hoist_moments(vessel(), np.array([[10.0, 75.0]]), batch)
    each = hoist_moments(vessel(), np.array([[10.0, 75.0]] * 3), batch)
    np.testing.assert_array_equal(alike, each)
    for wrong in (np.zeros(2), np.zeros((2, 2))):
        with pytest.raises(InputError, match="Heading"):
            list(hoist_blocks(vessel(), wrong, batch))


def test_many_seas_are_each_as_alone() -> None:
    """More than are worked at a time, of one heading and of several."""
    shares = np.linspace(0.2, 2.0, 700)
    batch = SEA.batch().repeated(700).times(shares)
    one = hoist_moments(vessel(), 75.0, SEA.batch())[0]
    np.testing.assert_allclose(hoist_moments(vessel(), 75.0, batch), shares[:, None] ** 2 * one, rtol=1e-4)
    pair = hoist_moments(vessel(), np.array([[75.0, 10.0, 75.0]]), batch)
    np.testing.assert_allclose(pair[0::3], shares[:, None] ** 2 * one, rtol=1e-4)
    np.testing.assert_allclose(pair[2::3], pair[0::3], rtol=1e-6)


def test_moments_are_sums_over_the_grid() -> None:
    """Of the spectrum itself; of a motion that the response does not have nothing is known."""
    spectrum = hoist_spectrum(vessel(), 75.25, SEA.batch()).ordinates[0]
    found = hoist_moments(vessel(), 75.25, SEA.batch())[0]
    for place, order in enumerate((0, 2, 4, 6)):
        assert found[place] == pytest.approx(float(spectrum @ (OMEGA**order * WEIGHTS)), rel=1e-5)
    unknown = 0 * HEAVES[:, None] * FLAT
    table = ResponseTable(np.linspace(0.05, 3.0, 60), HEADINGS, HEAVES[:, None] * FLAT, unknown, unknown)
    alone = Vessel("heave alone", table)
    assert np.isnan(hoist_moments(alone, 0.0, SEA.batch(), "roll")).all()
    assert hoist_moments(alone, np.zeros((1, 2)), SEA.batch(), "roll").shape == (2, 4)
