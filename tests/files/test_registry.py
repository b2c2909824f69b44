"""The registry of columns: a unit or a name more is one line, and what is read by it goes where it should."""

from __future__ import annotations

import dataclasses
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from heave.drill_string.sections import Section
from heave.files.columns import Column
from heave.files.registry import GENERAL, HEAVE_RECORD, NDBC, RESPONSE, STRING, forecast_column
from heave.planning.columns import COLUMN_UNITS, QUANTITIES, UNITS_OF, ColumnMeaning
from heave.units import UNITS, unit_written

PACKAGE = Path(__file__).resolve().parents[2] / "heave"

LINES = (
    ("planning/columns.py", '"height": ("m", "ft", "cm"),', '"height": ("m", "ft", "cm", "mm"),'),
    ("files/registry.py", '"total", "m", "swh htsgw")', '"total", "m", "swh htsgw hsig")'),
    (
        "files/registry.py",
        'number_column("heave", "m ft", req',
        'number_column("heave", "m ft fathom", req',
    ),
    ("units.py", '*(_unit("km/h", 1 / 3.6),),', '*(_unit("km/h", 1 / 3.6), _unit("fathom", 1.8288)),'),
)
"""Lines changed, each once: the file, what stands in it and what is put instead."""

READ = """
from heave.files.forecast.reader import read_forecast
from heave.files.heave_record import read_heave_record
for head in ("hs_mm", "hsig", "hsig (ft)"):
    data = f"time_utc,{head},tp_s,direction_from_deg\\n2026-02-01T00:00Z,2.5,9,200\\n"
    print(round(float(read_forecast(data.encode()).batch.hs[0]), 9))
rows = "".join(f"{place},{place % 3}\\n" for place in range(20))
print(round(float(read_heave_record(f"time_s,heave_fathom\\n{rows}".encode()).heave.max()), 9))
"""


def test_a_unit_or_a_name_more_is_one_line(tmp_path: Path) -> None:
    """A copy of the package with four lines changed reads three columns it did not know and a unit of its own."""
    copy = tmp_path / "heave"
    shutil.copytree(PACKAGE, copy, ignore=shutil.ignore_patterns("screens", "__pycache__"))
    for name, old, new in LINES:
        text = (copy / name).read_text("utf-8")
        assert text.count(old) == 1, old
        (copy / name).write_text(text.replace(old, new), "utf-8")
    command = [sys.executable, "-c", READ]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, timeout=300, check=True)
    assert [float(line) for line in done.stdout.split()] == pytest.approx(
        [0.0025, 2.5, 2.5 * 0.3048, 2 * 1.8288]
    )


def test_every_column_of_a_string_goes_to_a_field_of_a_section() -> None:
    fields = {field.name for field in dataclasses.fields(Section)}
    assert {column.goes for column in STRING if column.name != "grade"} == fields


@pytest.mark.parametrize("column", [*STRING, *HEAVE_RECORD, *RESPONSE], ids=lambda column: column.name)
def test_every_header_is_lower_case_and_stands_for_one_column(column: Column) -> None:
    assert all(header == header.lower() for header in column.headers)
    for table in (STRING, HEAVE_RECORD, RESPONSE):
        headers = [header for one in table for header in one.headers]
        assert len(headers) == len(set(headers))


def test_every_quantity_of_a_forecast_has_units_and_a_way_to_read_it() -> None:
    assert set(UNITS_OF) < set(QUANTITIES)
    for quantity, units in UNITS_OF.items():
        for unit in units:
            assert unit_written(unit) is not None
            assert unit in COLUMN_UNITS
            assert forecast_column(ColumnMeaning("x", quantity, unit=unit)).high is not None
    for meaning in (*GENERAL.values(), *NDBC.values()):
        assert meaning.quantity in QUANTITIES


@pytest.mark.parametrize(
    ("word", "symbol"),
    [("m", "m"), ("metres", "m"), ("feet", "ft"), ("kn", "kn"), ("knots", "kn"), ("m s-1", "m/s"),
     ("m s**-1", "m/s"), ("m_per_s", "m/s"), ("degt", "°"), ("km_per_h", "km/h"), ("kN", "kN")],
)  # fmt: skip
def test_units_as_files_write_them(word: str, symbol: str) -> None:
    found = unit_written(word)
    assert found is not None
    assert found.symbol == symbol
    assert unit_written("fathoms") is None
    assert UNITS["km/h"].factor == 1 / 3.6
