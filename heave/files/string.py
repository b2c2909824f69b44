"""Drill-string sections as a CSV table: one row a section, top down, units in the header."""

from __future__ import annotations

import math
from typing import Any, Final

from heave.drill_string.pipes import GRADES
from heave.drill_string.sections import MAX_SECTIONS, Section
from heave.errors import FileError
from heave.files.columns import Columns, take
from heave.files.registry import STRING
from heave.files.tables import Source, csv_text, on_line, read_table

MAX_STRING_BYTES: Final = 200_000
"""Largest string file read [bytes]."""


def read_string(source: Source) -> tuple[Section, ...]:
    """Sections of a drill string, top down, from a table such as

        name,length_m,od_in,id_in,weight_lb_per_ft,grade
        Drill pipe,2500,5,4.276,22.6,S-135

    Columns: `name`; `length_m` or `_ft`; `od_mm` or `_in`; `id_mm` or `_in`; `mass_kg_per_m` or
    `weight_lb_per_ft`, in air, tool joints included; `yield_mpa`, `yield_ksi` or `grade`; and, where the
    whole new tube does not carry the tension, `tension_area_cm2` or `_in2` (an empty cell is the new tube);
    `modulus_gpa` or `_mpsi` for other than steel.

    Parameters
    ----------
    source : a path, or bytes

    Returns
    -------
    One Section a row

    Raises
    ------
    FileError
        With line and column for anything that cannot be read in one way or is out of range.
    """
    table = read_table(source, MAX_STRING_BYTES)
    columns = take(table, STRING)
    if len(table.rows) > MAX_SECTIONS:
        allowed = f"from 1 to {MAX_SECTIONS}"
        raise FileError("number of sections", len(table.rows), None, allowed, line=columns.line(MAX_SECTIONS))
    columns.only("yield strength", "yield", "grade")
    return tuple(_section(columns, place) for place in range(len(table.rows)))


def string_text(sections: tuple[Section, ...]) -> str:
    """The table `read_string` reads, of `sections` from the top down: metric units, numbers written in full."""
    written = [column for column in STRING if column.name != "grade"]
    columns = [(column.goes, *next(iter(column.headers.items()))) for column in written]
    rows = [[_cell(getattr(section, field), factor) for field, _, factor in columns] for section in sections]
    return csv_text([[header for _, header, _ in columns], *rows])


def _cell(value: str | float | None, factor: float | None) -> str:
    """Text as it is; of a number 15 significant figures, enough to give it back to one part in 10¹⁴."""
    if isinstance(value, str):
        return value
    return "" if value is None else f"{value / (factor or 1.0):.15g}"


def _section(columns: Columns, place: int) -> Section:
    given: dict[str, Any] = {"name": columns.texts["name"][place]}
    for column in STRING:
        if column.name in columns.numbers:
            value = float(columns.numbers[column.name][place])
            given[column.goes] = None if math.isnan(value) else value
    if "grade" in columns:
        given["yield_strength"] = _grade(columns, place)
    with on_line(columns.line(place)):
        return Section(**given)


def _grade(columns: Columns, place: int) -> float:
    grade = columns.texts["grade"][place]
    if grade not in GRADES:
        allowed = "one of " + ", ".join(GRADES)
        raise FileError("grade", grade, None, allowed, line=columns.line(place), column="grade")
    return float(GRADES[grade])
