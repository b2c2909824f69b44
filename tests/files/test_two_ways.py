"""Numbers that can be read in two ways, or are printed in a rarer one: asked about, or read right, by table readers."""

from __future__ import annotations

import pytest
from scatter_text import CELLS, HS, TZ, matrix

from heave.errors import FileError, InputError
from heave.files.bands import band_widths
from heave.files.forecast.reader import read_forecast
from heave.files.record.reader import read_record_file
from heave.files.scatter import read_scatter
from heave.files.string import read_string


def string_of(*lengths: str, mark: str = ";") -> bytes:
    rows = [
        mark.join((f"Pipe {place}", one, "5.0", "4.276", "22.6", "S-135"))
        for place, one in enumerate(lengths)
    ]
    return "\n".join(
        [mark.join(("name", "length_m", "od_in", "id_in", "weight_lb_per_ft", "grade")), *rows]
    ).encode()


def test_a_point_that_may_part_thousands_is_asked_about_in_a_string() -> None:
    """2.500 between semicolons is 2500 m of pipe in one country and 2.5 m in another, and a string may hold both."""
    with pytest.raises(FileError, match=r"line 2, column length_m.*'2\.500'.*2\.5000 or 2500.*two ways"):
        read_string(string_of("2.500", "120"))
    with pytest.raises(FileError, match=r"line 3, column length_m.*'1\.250'"):
        read_string(string_of("900", "1.250"))


@pytest.mark.parametrize(
    ("lengths", "mark", "metres"),
    [
        (("2.500", "120.5"), ";", (2.5, 120.5)),
        (("2.5000", "3.125"), ";", (2.5, 3.125)),
        (("0.500", "1.250"), ";", (0.5, 1.25)),
        (("2.500", "120"), ",", (2.5, 120.0)),
        (("2500", "120"), ";", (2500.0, 120.0)),
    ],
)
def test_a_point_with_one_meaning_is_read(
    lengths: tuple[str, ...], mark: str, metres: tuple[float, ...]
) -> None:
    assert tuple(one.length for one in read_string(string_of(*lengths, mark=mark))) == pytest.approx(metres)


def diagram(cells: tuple[tuple[str, ...], ...]) -> bytes:
    rows = [";".join((str(height), *row)) for height, row in zip(HS, cells, strict=True)]
    return "\n".join([";".join(("Hs_m\\Tz_s", *map(str, TZ))), *rows]).encode()


def test_a_point_that_may_part_thousands_is_asked_about_in_a_diagram() -> None:
    cells = [[str(one) for one in row] for row in CELLS]
    how = {"classes": "middles", "period_kind": "Tz"}
    whole = sum(part.cells.sum() for part in read_scatter(diagram(tuple(map(tuple, cells))), **how).parts)
    assert whole == sum(map(sum, CELLS))
    cells[1][1] = "1.250"
    with pytest.raises(FileError, match=r"line 3.*'1\.250'.*1\.2500 or 1250.*two ways"):
        read_scatter(diagram(tuple(map(tuple, cells))), **how)
    cells[1][2] = "0.5"
    assert read_scatter(diagram(tuple(map(tuple, cells))), **how).parts[0].cells[1][1] == pytest.approx(1.25)


def test_a_point_that_may_part_thousands_is_asked_about_in_a_record() -> None:
    def record(*values: str) -> bytes:
        rows = [f"{0.5 * place:.1f};{one}" for place, one in enumerate(values * 30)]
        return "\n".join(["Time (s);Heave up (mm)", *rows]).encode()

    with pytest.raises(FileError, match=r"'1\.250'.*1\.2500 or 1250.*two ways"):
        read_record_file(record("1.250", "420", "-1.100", "-380"))
    found = read_record_file(record("1250", "420.5", "-1100", "-380"))
    assert max(found.raw) == pytest.approx(1250.0) or max(found.raw) == pytest.approx(1.25)


def test_three_decimals_of_a_sea_between_semicolons_are_decimals() -> None:
    """2500 m of sea there are not, so that 2.500 says one thing."""
    found = read_forecast(b"time_utc;hs_m;tp_s;direction_from_deg\n2026-05-01T00:00Z;2.500;9.125;225\n")
    assert (found.batch.hs[0], found.batch.slots[0].tp[0]) == pytest.approx((2.5, 9.125))
    cut = b"time_utc;Hs (cm);tp_s;direction_from_deg\n2026-05-01T00:00Z;1.250;9.125;225\n"
    with pytest.raises(FileError, match=r"line 2, column .*1\.250"):
        read_forecast(cut)


@pytest.mark.parametrize(
    ("row", "head", "words"),
    [(0, "#REF!", "line 2: row.*spreadsheet"), (0, "#N/A", "line 2: row"), (-1, "9" * 500, "finite")],
)
def test_a_row_whose_height_is_no_number_is_not_lost(row: int, head: str, words: str) -> None:
    """With its # the error of a spreadsheet was taken for a comment, and the row of the smallest seas left out."""
    text = matrix().replace(f"\n{HS[row]},", f"\n{head},", 1)
    assert head in text
    with pytest.raises(InputError, match=words):
        read_scatter(text.encode(), classes="middles", period_kind="Tz")


CENTRES = [f"{0.033 + 0.005 * place:.3f}" for place in range(13)] + [
    f"{0.1 + 0.01 * place:.3f}" for place in range(26)
]
"""Centres as the National Data Buoy Center prints them, but for its highest (from memory)."""


@pytest.mark.parametrize("form", ["{:.2e}", "{:.3e}", "{:.4E}"])
def test_centres_with_exponents_have_the_same_bands(form: str) -> None:
    """3.300e-02 is the same number as 0.033, known to a thousandth."""
    printed = [form.format(float(centre)) for centre in CENTRES]
    assert band_widths(printed) == band_widths(CENTRES)


def test_one_digit_behind_the_point_of_an_exponent_is_enough() -> None:
    found = band_widths([f"{0.05 + 0.01 * place:.1e}" for place in range(20)])
    assert found == pytest.approx([0.01] * 20, abs=1e-9)
