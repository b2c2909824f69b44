"""Acceleration integrated twice against a known motion: the stated band, gravity, noise, and what is refused."""

from __future__ import annotations

import math

import numpy as np
import pytest
from known_records import SENSE, file_of, kinds, words
from record_layouts import acceleration, heave

from heave.errors import FileError
from heave.files.heave_record import read_heave_record
from heave.files.record import integrate
from heave.units import STANDARD_GRAVITY


@pytest.mark.parametrize("step", [0.05, 0.1, 0.25, 0.5])
@pytest.mark.parametrize("seed", [1, 2])
def test_acceleration_gives_back_a_known_motion(step: float, seed: int) -> None:
    """Waves of 4 to 20 s, whose second derivative is known: within 2 % of the deviation away from the ends."""
    time = np.arange(0.0, 900.0, step)
    a = acceleration(time, seed, least=4.0, most=20.0)
    found = read_heave_record(file_of(a, time, "heave acceleration (m/s2)", 6), answers={SENSE: "up"})
    edge = math.ceil(integrate.EDGE / step - 1e-9)
    truth = heave(time, seed, least=4.0, most=20.0)[edge:-edge]
    assert len(found.heave) == len(truth)
    assert np.sqrt(np.mean((found.heave - truth) ** 2)) < 0.02 * truth.std()
    assert np.abs(found.heave - truth).max() < 0.08 * truth.std()
    assert "integrated" in kinds(found)


@pytest.mark.parametrize(
    ("period", "gain"), [(2.0, 1.0), (10.0, 1.0), (25.0, 1.0), (40.0, 0.0), (60.0, 0.0), (1.4, 0.0)]
)
def test_the_band_is_what_is_stated(period: float, gain: float) -> None:
    time = np.arange(0.0, 1800.0, 0.1)
    wave = np.cos(2 * math.pi * time / period)
    found = integrate._filtered(wave, 0.1, twice=False)[integrate.valid_zone(len(time), 0.1)]
    assert found.std() * math.sqrt(2) == pytest.approx(gain, abs=0.03)
    twice = integrate._filtered(-((2 * math.pi / period) ** 2) * wave, 0.1, twice=True)
    assert twice[integrate.valid_zone(len(time), 0.1)].std() * math.sqrt(2) == pytest.approx(gain, abs=0.03)


def test_gravity_is_found_and_a_mean_that_is_neither_is_refused() -> None:
    time = np.arange(0.0, 600.0, 0.25)
    a = acceleration(time)
    plain, heavy, hanging = (
        read_heave_record(file_of(a + mean, time, "heave acceleration (m/s2)", 6), answers={SENSE: "up"})
        for mean in (0.0, STANDARD_GRAVITY, -STANDARD_GRAVITY)
    )
    assert plain.heave == pytest.approx(heavy.heave, abs=1e-4)
    assert plain.heave == pytest.approx(hanging.heave, abs=1e-4)
    assert "gravity is in it" in words(heavy, "integrated")
    for mean in (3.0, -5.0, 12.0):
        with pytest.raises(FileError, match="mean of the acceleration"):
            read_heave_record(file_of(a + mean, time, "heave acceleration (m/s2)", 6), answers={SENSE: "up"})


def test_noise_that_the_sensor_cannot_carry_is_refused_and_its_share_is_stated() -> None:
    """White noise of density S makes heave of variance S/(3 (2π)⁴ f³) over f: told to a factor of two, refused."""
    step, time = 0.1, np.arange(0.0, 1800.0, 0.1)
    a = acceleration(time)
    rng = np.random.default_rng(8)
    for deviation, refused in ((0.01, False), (0.5, True)):
        noisy = file_of(a + rng.normal(0, deviation, len(time)), time, "heave acceleration (m/s2)", 6)
        expected = math.sqrt(2 * step * deviation**2 / (3 * (2 * math.pi) ** 4 * 0.04**3))
        if refused:
            with pytest.raises(FileError, match="noise in the integrated heave") as caught:
                read_heave_record(noisy, answers={SENSE: "up"})
            assert 0.5 * expected < float(caught.value.value) < 2 * expected
        else:
            found = read_heave_record(noisy, answers={SENSE: "up"})
            truth = heave(time)[600:-600]
            assert np.std(found.heave - truth) < 2 * expected + 0.02 * truth.std()


def test_acceleration_too_coarse_or_too_short_is_refused() -> None:
    for step, length, said in ((1.0, 1200.0, "time between"), (0.25, 200.0, "length of the acceleration")):
        time = np.arange(0.0, length, step)
        with pytest.raises(FileError, match=said):
            read_heave_record(
                file_of(acceleration(time), time, "heave acceleration (m/s2)"), answers={SENSE: "up"}
            )
