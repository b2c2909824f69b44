"""Plans side by side as CSV, for a spreadsheet."""

from __future__ import annotations

from collections.abc import Sequence

from heave.files.tables import csv_text
from heave.planning import MODEL_VERSION
from heave.studies.compare import Side, comparison_rows


def comparison_text(sides: Sequence[Side], system: str = "metric") -> str:
    """The comparison as CSV: a row each for verdict, inputs that differ and checks, a column a plan.

    Parameters
    ----------
    sides : from `heave.studies.compare.sides`
    system : units
    """
    model = ("model", "", *(MODEL_VERSION for _ in sides))
    return csv_text([*comparison_rows(sides, system), model], "\r\n")
