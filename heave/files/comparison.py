"""Plans side by side as CSV, for a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from heave.files.tables import neutral
from heave.planning import MODEL_VERSION
from heave.studies.compare import Side, comparison_rows


def comparison_text(sides: Sequence[Side], system: str = "metric") -> str:
    """The comparison as CSV: a row each for verdict, inputs that differ and checks, a column a plan.

    Parameters
    ----------
    sides : from `heave.studies.compare.sides`
    system : units
    """
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerows([neutral(cell) for cell in row] for row in _rows(sides, system))
    return stream.getvalue()


def _rows(sides: Sequence[Side], system: str) -> list[tuple[str, ...]]:
    return [*comparison_rows(sides, system), ("model", "", *(MODEL_VERSION for _ in sides))]
