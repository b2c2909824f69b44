"""The files of sea_states: what the README says of them is so."""

from __future__ import annotations

import csv
import importlib.util
import math
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

from heave.files.buoy import read_buoy_file

ROOT = Path(__file__).resolve().parents[2]
SEA_STATES = ROOT / "sea_states"


def maker() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_sea_states", ROOT / "tests/files/make_sea_states.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_every_file_has_its_provenance_in_the_readme() -> None:
    readme = (SEA_STATES / "README.md").read_text(encoding="utf-8")
    for path in SEA_STATES.iterdir():
        assert path.name == "README.md" or f"`{path.name}`" in readme, path.name


def test_the_invented_files_are_what_the_script_makes() -> None:
    """To one unit of the last digit, as another machine may round a density the other way."""
    for name, make in maker().FILES.items():
        kept = (SEA_STATES / name).read_text(encoding="utf-8").splitlines()
        made = make().splitlines()
        assert kept[0] == made[0]
        unit = 0.001 if name.endswith("data_spec") else 0.01
        for one, other in zip(kept[1:], made[1:], strict=True):
            numbers = [np.array([float(word.strip("()")) for word in line.split()]) for line in (one, other)]
            assert np.abs(numbers[0] - numbers[1]).max() <= 1.001 * unit


def test_the_storm_in_both_layouts() -> None:
    """The layouts round to 0.001 and 0.01 m²/Hz: over 0.465 Hz at most 0.465 × 0.0055 = 0.0026 m² of m0, and
    dHs = 8 dm0/Hs.
    """
    real_time = read_buoy_file(SEA_STATES / "invented_storm.data_spec")
    yearly = read_buoy_file(SEA_STATES / "invented_storm_yearly.txt")
    assert yearly.missing == ("2026-02-01T17:50Z",)
    assert real_time.missing == ()
    assert [s.time for s in real_time.spectra] == [s.time for s in yearly.spectra]
    assert len(yearly.spectra) == 23
    for one, other in zip(real_time.spectra, yearly.spectra, strict=True):
        assert one.bandwidth == other.bandwidth
        assert one.hs == pytest.approx(other.hs, abs=8 * 0.0026 / one.hs)


def test_the_storm_has_the_heights_it_was_made_with() -> None:
    """The bands end at 0.495 Hz and are wide against the swell peak, so 3 % of the height is allowed for."""
    spectra = read_buoy_file(SEA_STATES / "invented_storm.data_spec").spectra
    peak = max(spectra, key=lambda spectrum: spectrum.hs)
    assert peak.time == "2026-02-01T13:50Z"
    assert peak.hs == pytest.approx(math.hypot(5.4, 0.8 + 1.1 * 13 / 23), rel=0.03)


def test_scatter_diagram_sums_are_the_printed_ones() -> None:
    """IACS Recommendation No. 34 Rev. 1: 17 row sums and 18 column sums, printed to whole observations.

    The cells are set down from memory, to one decimal; that every sum agrees is what vouches for them.
    """
    with (SEA_STATES / "iacs_rec34_rev1.csv").open(encoding="utf-8", newline="") as stream:
        rows = list(csv.reader(stream))
    cells = np.array([[float(cell) for cell in row[1:-1]] for row in rows[1:-1]])
    row_sums = np.array([float(row[-1]) for row in rows[1:-1]])
    column_sums = np.array([float(cell) for cell in rows[-1][1:-1]])
    assert cells.shape == (17, 18)
    assert (cells >= 0).all()
    assert np.abs(cells.sum(axis=1) - row_sums).max() <= 0.5 + 1e-9
    assert np.abs(cells.sum(axis=0) - column_sums).max() <= 0.5 + 1e-9
    assert row_sums.sum() == float(rows[-1][-1]) == 100_000
    heights = np.array([float(row[0]) for row in rows[1:-1]])
    assert np.diff(heights) == pytest.approx(1.0)
    assert heights @ cells.sum(axis=1) / cells.sum() == pytest.approx(3.4067, abs=5e-5)
    assert cells[heights < 4].sum() / cells.sum() == pytest.approx(0.68564, abs=5e-6)
