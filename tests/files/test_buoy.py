"""Buoy files in each layout, made by hand: what is read and what counts as missing."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from heave.errors import FileError
from heave.files.bands import MAX_FREQUENCY, band_widths
from heave.files.buoy import read_buoy_file, read_buoy_spectra
from heave.files.registry import DENSITY

CENTRES = ("0.080", "0.090", "0.100", "0.110", "0.120")
MAX_DENSITY = DENSITY.high or 0.0
REAL_TIME = """#YY  MM DD hh mm Sep_Freq  < spec_1 (freq_1) spec_2 (freq_2) spec_3 (freq_3) ... >
2026 02 01 01 50 0.225 0.500 (0.080) 4.000 (0.090) 9.000 (0.100) 3.000 (0.110) 1.000 (0.120)
2026 02 01 00 50 9.999 0.400 (0.080) 2.000 (0.090) 6.000 (0.100) 2.000 (0.110) 0.500 (0.120)
"""
YEARLY = """#YY  MM DD hh mm   .0800   .0900   .1000   .1100   .1200
2026 02 01 00 50    0.40    2.00    6.00    2.00    0.50
2026 02 01 01 50    0.50    4.00    9.00    3.00    1.00
"""


def hs(*density: float) -> float:
    return 4 * math.sqrt(sum(density) * 0.01)


def test_real_time_layout() -> None:
    first, second = read_buoy_spectra(REAL_TIME.encode(), direction_from=210.0)
    assert (first.time, second.time) == ("2026-02-01T00:50Z", "2026-02-01T01:50Z")
    assert second.density == (0.5, 4.0, 9.0, 3.0, 1.0)
    assert second.frequency == (0.08, 0.09, 0.1, 0.11, 0.12)
    assert second.bandwidth == (0.01,) * 5
    assert second.hs == pytest.approx(hs(0.5, 4, 9, 3, 1))
    assert first.direction_from == 210.0


def test_both_layouts_give_the_same_spectra(tmp_path: Path) -> None:
    path = tmp_path / "yearly.txt"
    path.write_text(YEARLY, encoding="utf-8")
    assert read_buoy_spectra(path) == read_buoy_spectra(REAL_TIME.encode())


@pytest.mark.parametrize(
    ("header", "time", "expected"),
    [
        ("YY MM DD hh", "97 12 31 23", "1997-12-31T23:00Z"),
        ("YYYY MM DD hh", "2001 02 03 04", "2001-02-03T04:00Z"),
        ("YYYY MM DD hh mm", "2005 06 07 08 09", "2005-06-07T08:09Z"),
        ("#yr mo dy hr mn", "2026 02 28 00 00", "2026-02-28T00:00Z"),
        ("# YY MM DD hh mm", "2024 02 29 00 00", "2024-02-29T00:00Z"),
        ("YY MM DD hh", "70 01 01 00", "1970-01-01T00:00Z"),
    ],
)
def test_old_headers(header: str, time: str, expected: str) -> None:
    text = f"{header} .0300 .0400 .0500 .0600\n{time} 0.1 0.2 0.3 0.4\n"
    (spectrum,) = read_buoy_spectra(text.encode())
    assert spectrum.time == expected
    assert spectrum.hs == pytest.approx(hs(0.1, 0.2, 0.3, 0.4))


def test_real_time_rows_without_a_separation_frequency() -> None:
    text = REAL_TIME.replace("Sep_Freq  ", "").replace(" 0.225 ", " ").replace(" 9.999 ", " ")
    assert read_buoy_spectra(text.encode()) == read_buoy_spectra(REAL_TIME.encode())


@pytest.mark.parametrize("mark", ["999.00", "999", "9999.0", "-999", "-99.0", "MM"])
def test_a_missing_band_makes_the_record_missing(mark: str) -> None:
    found = read_buoy_file(YEARLY.replace("4.00", mark).encode())
    assert found.missing == ("2026-02-01T01:50Z",)
    assert [spectrum.time for spectrum in found.spectra] == ["2026-02-01T00:50Z"]


@pytest.mark.parametrize("mark", ["9.999", "99.0", "99.99", "99.999"])
def test_a_mark_that_could_be_a_density_counts_only_throughout(mark: str) -> None:
    whole = YEARLY.splitlines()[0] + f"\n2026 02 01 02 50 {' '.join([mark] * 5)}\n" + YEARLY.splitlines()[1]
    assert read_buoy_file(whole.encode()).missing == ("2026-02-01T02:50Z",)
    once = read_buoy_file(YEARLY.replace("9.00 ", f"{mark} ").encode())
    assert once.missing == ()
    assert once.spectra[1].density[2] == float(mark)


def test_a_calm_record_is_a_record() -> None:
    text = YEARLY + "2026 02 01 02 50 0.00 0.00 0.00 0.00 0.00\n"
    assert read_buoy_spectra(text.encode())[-1].hs == 0.0


def test_densities_are_believed_to_the_limit_and_not_beyond() -> None:
    def row(value: float) -> bytes:
        return f"YYYY MM DD hh .0500 .0501 .0502\n2026 01 01 00 {value} 0 0\n".encode()

    assert read_buoy_spectra(row(MAX_DENSITY))[0].density[0] == MAX_DENSITY
    with pytest.raises(FileError, match="from 0 to 900") as caught:
        read_buoy_spectra(row(MAX_DENSITY + 0.1))
    assert (caught.value.line, caught.value.column) == (2, ".0500\u00a0Hz")


def test_all_missing_is_refused() -> None:
    with pytest.raises(FileError, match="every record is missing"):
        read_buoy_file(b"YYYY MM DD hh .05 .06 .07\n2026 01 01 00 999 999 999\n")


def test_band_widths_meet() -> None:
    assert band_widths(("0.05", "0.06", "0.07")) == (0.01, 0.01, 0.01)
    changing = (".0200", ".0325", ".0375", ".0425", ".0475")
    assert band_widths(changing) == (0.01, 0.005, 0.005, 0.005, 0.005)
    mixed = ("0.088", "0.093", "0.100", "0.110", "0.120", "0.135", "0.155")
    assert band_widths(mixed) == (0.005, 0.005, 0.01, 0.01, 0.01, 0.02, 0.02)
    assert 0.0855 + sum(band_widths(mixed)) == pytest.approx(0.1655, abs=0.001)
    assert band_widths(tuple(f"{i / 128:.3f}" for i in range(5, 65))) == pytest.approx(
        [1 / 128] * 60, rel=2e-3
    )


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.tuples(st.integers(1, 40), st.integers(3, 12)), min_size=1, max_size=4),
    st.integers(20, 80),
    st.sampled_from((3, 4, 5)),
)
def test_bands_laid_side_by_side_are_found_again(
    runs: list[tuple[int, int]], start: int, digits: int
) -> None:
    """Runs of bands, centres rounded: to a thousandth with widths of 0.005 Hz and its multiples, as NDBC
    prints them, and to more digits with widths of 0.0005 Hz and its multiples."""
    unit = 5e-3 if digits == 3 else 5e-4
    widths = [width * unit for width, count in runs for _ in range(count)]
    edges = np.cumsum([start * 5e-4, *widths])
    centres = (edges[1:] + edges[:-1]) / 2
    assume(centres[-1] <= MAX_FREQUENCY)
    found = band_widths(tuple(f"{centre + 1e-9:.{digits}f}" for centre in centres))
    assert found == pytest.approx(widths, abs=1e-9)


@pytest.mark.parametrize(
    ("centres", "words"),
    [
        (("0.05", "0.06"), "from 3 to 256"),
        (tuple(f"{i / 1e3:.3f}" for i in range(1, 258)), "from 3 to 256"),
        (("0.05", "0.05", "0.06"), "ascending"),
        (("0.07", "0.06", "0.05"), "ascending"),
        (("0.00", "0.01", "0.02"), "above 0"),
        (("0.05", "0.06", "2.01"), "to 2"),
        (("0.050", "0.061", "0.080", "0.150", "0.170"), "side by side"),
        (("0.05", "x", "0.06"), "finite"),
    ],
)
def test_centres_that_make_no_bands_are_refused(centres: tuple[str, ...], words: str) -> None:
    with pytest.raises(FileError, match=words):
        band_widths(centres)
