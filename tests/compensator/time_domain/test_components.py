"""A crest put into a Gaussian sea: exactly there, of the autocorrelation's shape on the mean, nothing far from it."""

from __future__ import annotations

import math

import numpy as np
import pytest

from heave.arrays import FloatArray
from heave.compensator.time_domain import Components, components, irregular_heave
from heave.errors import InputError

CREST, MOMENT = 1.7, 123.4


@pytest.fixture(scope="module")
def narrow() -> tuple[FloatArray, FloatArray]:
    """Frequencies and spectrum of a heave with σ 0.5 m about 0.6 rad/s."""
    omega = np.linspace(0.05, 2.0, 400)
    shape = np.exp(-(((omega - 0.6) / 0.1) ** 2) / 2)
    return omega, 0.25 * shape / np.trapezoid(shape, omega)


@pytest.fixture(scope="module")
def waves(narrow: tuple[FloatArray, FloatArray]) -> Components:
    return components(*narrow, 300.0, range(400))


def test_the_crest_is_exactly_there(waves: Components) -> None:
    moved = waves.conditioned(CREST, MOMENT).motion()
    row = round((MOMENT + moved.lead) / moved.step)
    assert moved.position[row] == pytest.approx(np.full(moved.cases, CREST), abs=1e-9)
    assert moved.velocity[row] == pytest.approx(np.zeros(moved.cases), abs=1e-9)


def test_the_mean_of_many_is_the_autocorrelation(
    waves: Components, narrow: tuple[FloatArray, FloatArray]
) -> None:
    """h R(τ)/R(0) (Lindgren 1970), R integrated from the spectrum here; the mean of 400 is off by σ/20."""
    omega, spectrum = narrow
    moved = waves.conditioned(CREST, MOMENT).motion()
    time = np.arange(len(moved.position)) * moved.step - moved.lead
    near = np.abs(time - MOMENT) < 40
    lag = time[near, None] - MOMENT
    shape = np.trapezoid(spectrum * np.cos(omega * lag), omega, axis=1) / np.trapezoid(spectrum, omega)
    error = moved.position[near].mean(axis=1) - CREST * shape
    assert np.abs(error).max() < 4 * 0.5 / 20
    assert np.sqrt((error**2).mean()) < 1.5 * 0.5 / 20


def test_the_spread_about_it_is_the_one_that_is_left(
    waves: Components, narrow: tuple[FloatArray, FloatArray]
) -> None:
    """Variance left m0 − R²/m0 − R'²/m2 (Lindgren 1970): nothing at the crest, all of it far away."""
    omega, spectrum = narrow
    moved = waves.conditioned(CREST, MOMENT).motion()
    m0, m2 = (float(np.trapezoid(spectrum * omega**n, omega)) for n in (0, 2))
    for away in (0.0, 1.5, 3.0, 6.0, 60.0):
        row = round((MOMENT + away + moved.lead) / moved.step)
        cosine = float(np.trapezoid(spectrum * np.cos(omega * away), omega))
        sine = float(np.trapezoid(spectrum * omega * np.sin(omega * away), omega))
        left = max(m0 - cosine**2 / m0 - sine**2 / m2, 0.0)
        assert moved.position[row].std() == pytest.approx(math.sqrt(left), rel=0.12, abs=1e-9), away


def test_far_from_the_crest_the_sea_is_as_it_was(waves: Components) -> None:
    before, after = waves.motion(), waves.conditioned(CREST, MOMENT).motion()
    time = np.arange(len(before.position)) * before.step - before.lead
    far = (np.abs(time - MOMENT) > 60) & (time < 290)
    assert np.abs(after.position[far] - before.position[far]).max() < 0.02
    assert np.abs(after.position[~far] - before.position[~far]).max() > 1.0
    assert after.position[far & (time > 0)].std() == pytest.approx(0.5, rel=0.03)


def test_components_add_up_to_the_irregular_heave(narrow: tuple[FloatArray, FloatArray]) -> None:
    one, other = irregular_heave(*narrow, 60.0, [3]), components(*narrow, 60.0, [3]).motion()
    assert np.array_equal(one.position, other.position)
    assert components(*narrow, 60.0, [3]).sigma == pytest.approx(0.5)


@pytest.mark.parametrize(
    ("crest", "moment", "words"),
    [
        (0.0, 10.0, "crest"),
        (-1.0, 10.0, "crest"),
        (3.01, 10.0, "crest"),
        (math.nan, 10.0, "crest"),
        (1.0, -1.0, "time"),
        (1.0, 300.1, "time"),
    ],
)
def test_what_no_sea_does_is_refused(waves: Components, crest: float, moment: float, words: str) -> None:
    with pytest.raises(InputError, match=f"{words} of the wave group"):
        waves.conditioned(crest, moment)
    assert waves.conditioned(2.99, 300.0).motion().cases == 400


def test_a_calm_has_no_crest() -> None:
    with pytest.raises(InputError, match="crest"):
        components([0.1, 1.0], [0.0, 0.0], 60.0, [1]).conditioned(0.1, 10.0)
