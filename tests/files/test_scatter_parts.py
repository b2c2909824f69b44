"""Scatter diagrams of several matrices: sectors and months, by titles, comments or a column."""

from __future__ import annotations

import pytest
from scatter_text import CELLS, PER_CENT, RANGES, matrix

from heave.errors import FileError
from heave.files.scatter import read_scatter


def _doubled(factor: int) -> tuple[tuple[object, ...], ...]:
    return tuple(tuple(cell * factor for cell in row) for row in CELLS)


GROUPED: dict[str, str] = {
    "titles": "Direction from 350-10\n"
    + matrix(**RANGES)
    + "Direction from 80-100\n"
    + matrix(cells=_doubled(2), **RANGES),
    "comments": "# sector: 0\n" + matrix(**RANGES) + "# sector: 90\n" + matrix(cells=_doubled(2), **RANGES),
    "points of the compass": "Sector N\n"
    + matrix(**RANGES)
    + "Sector E\n"
    + matrix(cells=_doubled(2), **RANGES),
    "all directions beside": (
        "All directions\n"
        + matrix(cells=_doubled(3), **RANGES)
        + "Dir 0\n"
        + matrix(**RANGES)
        + "Dir 90\n"
        + matrix(cells=_doubled(2), **RANGES)
    ),
    "a column": "Direction,Hs (m)/Tz,4-5,5-6,6-7,7-8\n"
    + "".join(
        f"{direction},{label},{','.join(str(cell * factor) for cell in row)}\n"
        for direction, factor in ((0, 1), (90, 2))
        for label, row in zip(RANGES["hs"], CELLS, strict=True)
    ),
}


@pytest.mark.parametrize("name", GROUPED)
def test_sectors_as_matrices_or_a_column(name: str) -> None:
    found = read_scatter(GROUPED[name].encode(), sense="from")
    assert [part.direction_from for part in found.parts] == [0.0, 90.0]
    assert [part.cells.sum() for part in found.parts] == [100, 200]
    assert found.total == 300


def test_sectors_that_waves_go_to_are_turned() -> None:
    found = read_scatter(GROUPED["points of the compass"].encode(), sense="to")
    assert [part.direction_from for part in found.parts] == [180.0, 270.0]


@pytest.mark.parametrize(
    "names", [("January", "March"), ("Month: 1", "Month: 3"), ("Month Jan", "Month Mar")]
)
def test_months_by_name_and_number(names: tuple[str, str]) -> None:
    text = "".join(f"{name}\n{matrix(**RANGES)}" for name in names)
    assert [part.month for part in read_scatter(text.encode()).parts] == [1, 3]


def test_sectors_within_months() -> None:
    text = "".join(
        f"{month}\n" + "".join(f"Sector {sector}\n{matrix(**RANGES)}" for sector in (0, 90))
        for month in ("May", "June")
    )
    found = read_scatter(text.encode(), sense="from")
    assert [(part.month, part.direction_from) for part in found.parts] == [(5, 0), (5, 90), (6, 0), (6, 90)]


def test_the_matrix_of_all_must_be_the_sum_of_the_others() -> None:
    text = GROUPED["all directions beside"].replace(
        "All directions\nHs_m\\Tz_s,4-5,5-6,6-7,7-8\n0-1,9",
        "All directions\nHs_m\\Tz_s,4-5,5-6,6-7,7-8\n0-1,99",
    )
    with pytest.raises(FileError, match="sum of the other matrices"):
        read_scatter(text.encode(), sense="from")


def test_months_in_per_cent_of_themselves_weigh_alike_and_sectors_cannot() -> None:
    """Twelve months of 100 % each are a year; sectors of 100 % each do not say how often each is."""
    months = "per cent\n" + "".join(f"Month {one}\n{matrix(cells=PER_CENT, **RANGES)}" for one in (1, 2))
    found = read_scatter(months.encode())
    assert found.measure == "per cent"
    assert any("each month" in note for note in found.notes)
    sectors = "per cent\n" + "".join(f"Sector {one}\n{matrix(cells=PER_CENT, **RANGES)}" for one in (0, 90))
    with pytest.raises(FileError, match="how often each sector"):
        read_scatter(sectors.encode(), sense="from")
