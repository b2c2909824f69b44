"""Statistics and measured spectra at their edges, by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from heave.errors import InputError
from heave.sea import OMEGA, MeasuredSpectrum
from heave.sea.statistics import (
    level_exceeded,
    mean_period,
    most_probable_maximum,
)
from heave.sea.two_peak import torsethaugen_parts


def test_extremes_over_sigma() -> None:
    """N 1000: most probable 3.7169, exceeded in 10 % of exposures 4.280; σ of 2 doubles them."""
    assert most_probable_maximum(4.0, 1000) == pytest.approx(2 * 3.7169, abs=2e-4)
    assert level_exceeded(4.0, 1000, 0.1) == pytest.approx(2 * 4.280, abs=2e-3)
    assert most_probable_maximum(1.0, 1080) == pytest.approx(3.7376, abs=1e-4)
    assert most_probable_maximum(1.0, 1) == 0.0
    with pytest.raises(InputError):
        most_probable_maximum(1.0, 0.999)


def test_period_of_what_hardly_moves() -> None:
    """2π √(m0/m2) for as little as there is; none where nothing moves."""
    found = mean_period(np.array([1e-8, 4.0, 1.0]), np.array([1e-8, 1.0, 0.0]))
    np.testing.assert_allclose(found, [2 * math.pi, 4 * math.pi, math.nan])


def bands(*centres: float, width: float = 0.01, density: float = 1.0) -> MeasuredSpectrum:
    return MeasuredSpectrum(centres, (width,) * len(centres), (density,) * len(centres))


def test_a_measured_spectrum_keeps_its_height_on_the_grid() -> None:
    measured = bands(0.08, 0.09, 0.10, density=2.0)
    assert measured.hs == pytest.approx(4 * math.sqrt(3 * 2.0 * 0.01))
    assert measured.scaled(3.0).hs == pytest.approx(3.0)
    grid = measured.on_grid()
    outside = (2 * math.pi * 0.07 > OMEGA) | (2 * math.pi * 0.11 < OMEGA)
    assert not grid[outside].any()
    inside = (2 * math.pi * 0.08 < OMEGA) & (2 * math.pi * 0.10 > OMEGA)
    assert grid[inside] == pytest.approx(2.0 / (2 * math.pi))  # S(ω) = S(f) / 2π


def test_bands_must_lie_on_the_grid_and_rise() -> None:
    first, last = OMEGA[0] / (2 * math.pi), OMEGA[-1] / (2 * math.pi)
    assert bands(first + 0.0051, last - 0.0051)
    for centres in ((first + 0.0049, 0.1), (0.1, last - 0.0049), (0.1, 0.1), (0.1, 0.09), (0.1,)):
        with pytest.raises(InputError):
            bands(*centres)
    with pytest.raises(InputError):
        bands(0.1, 0.11, density=1e6)
    with pytest.raises(InputError):
        bands(0.1, 0.11, density=0.0).scaled(1.0)


def test_bands_of_one_direction_are_one_part() -> None:
    """In tens of degrees; energy-weighted mean of 12° and 18° with three to one is 13.5°."""
    measured = MeasuredSpectrum(
        (0.08, 0.1, 0.12), (0.01,) * 3, (3.0, 1.0, 2.0), direction_by_band=(12.0, 18.0, 200.0)
    )
    parts = measured.slots()
    assert [float(part.direction_from[0]) for part in parts] == pytest.approx([13.5, 200.0])
    assert [float(part.hs[0]) for part in parts] == pytest.approx([4 * math.sqrt(0.04), 4 * math.sqrt(0.02)])
    assert len(bands(0.1, 0.11).slots()) == 1


def test_two_peaks_of_a_wind_sea_and_of_a_swell() -> None:
    """Hs 6, Tp 8: 4.7069 m and 3.7209 m at 13.993 s; Hs 3, Tp 14: 2.2730 m, and 1.9579 m at 8.2567 s.

    Simplified form (Torsethaugen and Haver, ISOPE 2004), from its constants and g 9.81, which lowers γ by 3e-4.
    """
    wind, swell = torsethaugen_parts(6.0, 8.0), torsethaugen_parts(3.0, 14.0)
    assert np.ravel(wind) == pytest.approx([4.7069, 8.0, 2.552, 3.7209, 13.993, 1.0], rel=4e-4)
    assert np.ravel(swell) == pytest.approx([2.2730, 14.0, 3.5244, 1.9579, 8.2567, 1.0], rel=4e-4)
    for tp in (5.0, 6.0):  # the model's own factor would be below 1
        assert torsethaugen_parts(0.5, tp)[0][2] == 1.0
    (calm, _, _), (second, period, _) = torsethaugen_parts(0.0, 9.0)
    assert (calm, second, period) == (0.0, 0.0, 9.0)
