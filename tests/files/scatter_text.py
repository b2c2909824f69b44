"""A small scatter diagram of a hundred seas, written out as files have it."""

from __future__ import annotations

from typing import Any

HS = (0.5, 1.5, 2.5)
TZ = (4.5, 5.5, 6.5, 7.5)
CELLS = ((3, 20, 11, 2), (0, 9, 25, 7), (0, 1, 12, 10))
"""A hundred seas: sums of rows 36, 41, 23; of columns 3, 30, 48, 19."""


def matrix(
    corner: str = r"Hs_m\Tz_s",
    *,
    mark: str = ",",
    hs: tuple[object, ...] = HS,
    tz: tuple[object, ...] = TZ,
    cells: tuple[tuple[object, ...], ...] = CELLS,
    row_sums: tuple[object, ...] = (),
    column_sums: tuple[object, ...] = (),
    total: str = "Total",
) -> str:
    head = [corner, *tz, *([total] if row_sums else [])]
    rows = [
        [height, *row, *row_sums[place : place + 1]]
        for place, (height, row) in enumerate(zip(hs, cells, strict=True))
    ]
    last = [[total, *column_sums]] if column_sums else []
    return "\n".join(mark.join(map(str, row)) for row in [head, *rows, *last]) + "\n"


RANGES: dict[str, Any] = {"hs": ("0-1", "1-2", "2-3"), "tz": ("4-5", "5-6", "6-7", "7-8")}
SUMS: dict[str, Any] = {"row_sums": (36, 41, 23), "column_sums": (3, 30, 48, 19, 100)}
PER_CENT = tuple(tuple(f"{cell:.1f}" for cell in row) for row in CELLS)
