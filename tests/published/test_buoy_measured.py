"""Measured spectra against the wave heights printed beside them.

Source: US National Data Buoy Center, station 41010 (Canaveral East), real-time files `41010.data_spec`
(spectral wave density) and `41010.spec` (wave summary), June 2020, public domain. The reader has only the
band centres and its rule for their widths; the centre printed the heights from its own bands.

The summary rounds heights to 0.1 m (± 0.05 m) and densities to four figures. Time rule: the two files stamp
one record 10 minutes apart, so records are paired when both stamps fall within the same hour, UTC.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from heave.files.bands import band_widths
from heave.files.buoy import read_buoy_file, read_buoy_spectra
from heave.sea.grid import OMEGA, WEIGHTS
from heave.sea.measured import MeasuredSpectrum

DATA = Path(__file__).resolve().parents[2].parent / "shared" / "data"
SPECTRA, SUMMARY = DATA / "ndbc_41010.data_spec", DATA / "ndbc_41010.spec"

needs_data = pytest.mark.skipif(
    not (SPECTRA.is_file() and SUMMARY.is_file()), reason="the open buoy data are not beside this checkout"
)

NDBC_CENTRES = tuple(
    f"{centre / 1e4 + 1e-9:.3f}"
    for centre in (*range(325, 926, 50), *range(1000, 3501, 100), *range(3650, 4851, 200))
)


def printed() -> dict[str, float]:
    """Hour (`2020-06-08T03`) to the printed WVHT [m]; MM and 99 are missing."""
    found = {}
    for line in SUMMARY.read_text(encoding="utf-8").splitlines():
        words = line.split()
        if words and not words[0].startswith("#") and words[5] not in ("MM", "99.0"):
            found["{}-{}-{}T{}".format(*words[:4])] = float(words[5])
    return found


def pairs() -> list[tuple[MeasuredSpectrum, float]]:
    heights = printed()
    paired = [(spectrum, str(spectrum.time)[:13]) for spectrum in read_buoy_spectra(SPECTRA)]
    return [(spectrum, heights[hour]) for spectrum, hour in paired if hour in heights]


@needs_data
def test_height_of_every_common_hour_is_the_printed_one() -> None:
    common = pairs()
    assert len(common) >= 140
    differences = []
    for spectrum, height in common:
        density, width = np.array(spectrum.density), np.array(spectrum.bandwidth)
        differences.append(4 * math.sqrt(float(np.sum(density * width))) - height)
    assert max(abs(difference) for difference in differences) <= 0.12
    assert abs(sum(differences) / len(differences)) <= 0.03


@needs_data
def test_every_record_is_whole_in_time_order_and_once() -> None:
    found = read_buoy_file(SPECTRA)
    lines = [
        line for line in SPECTRA.read_text(encoding="utf-8").splitlines() if line and not line.startswith("#")
    ]
    assert len(found.spectra) == len(lines)
    assert found.missing == ()
    times = [str(spectrum.time) for spectrum in found.spectra]
    assert times == sorted(set(times))
    assert times[-1] == "2020-06-08T03:50Z"


@needs_data
def test_naive_differences_of_centres_would_not_give_the_bands() -> None:
    """The rule matters: gradient-of-centres widths are wrong at both changes of width."""
    spectrum = read_buoy_spectra(SPECTRA)[0]
    naive = np.gradient(spectrum.frequency)
    wrong = np.flatnonzero(np.abs(naive - np.array(spectrum.bandwidth)) > 4e-4)
    assert [spectrum.frequency[band] for band in wrong] == [0.093, 0.1, 0.35, 0.365]


@needs_data
def test_energy_survives_the_move_to_the_grid() -> None:
    for spectrum in read_buoy_spectra(SPECTRA)[::10]:
        assert 4 * math.sqrt(float(spectrum.on_grid() @ WEIGHTS)) == pytest.approx(spectrum.hs, rel=1e-9)
        assert OMEGA.shape == spectrum.on_grid().shape


def test_band_widths_of_the_standard_46_bands() -> None:
    """NDBC's non-directional bands: 0.005 Hz to 0.0925, 0.010 to 0.350, 0.020 to 0.485 (from memory).

    They tile 0.030 to 0.495 Hz without gap or overlap, which fixes the widths.
    """
    widths = band_widths(NDBC_CENTRES)
    assert NDBC_CENTRES[12:14] == ("0.093", "0.100")
    assert widths == (0.005,) * 13 + (0.01,) * 26 + (0.02,) * 7
    assert sum(widths) == pytest.approx(0.495 - 0.030, abs=1e-12)
