"""Drill-string sections as a CSV table: one row a section, top down, units in the header."""

from __future__ import annotations

import csv
import io
import math
import os
from typing import Final

from heave.drill_string.pipes import GRADES
from heave.drill_string.sections import MAX_SECTIONS, STEEL_MODULUS, Section
from heave.errors import FileError, InputError
from heave.files.columns import Columns, take
from heave.files.registry import STRING
from heave.files.tables import Source, neutral, read_table, write_text

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
        raise FileError(
            "number of sections", len(table.rows), None, allowed, line=columns.line(MAX_SECTIONS)
        )
    if ("yield" in columns) == ("grade" in columns):
        found = "both yield and grade" if "yield" in columns else "neither yield nor grade"
        raise FileError(
            "yield strength", found, None, "a column yield_mpa, yield_ksi or grade", line=table.header_line
        )
    return tuple(_section(columns, place) for place in range(len(table.rows)))


def string_text(sections: tuple[Section, ...]) -> str:
    """The table `read_string` reads, of `sections` from the top down: metric units, numbers written in full."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(
        (
            *("name", "length_m", "od_mm", "id_mm", "mass_kg_per_m", "yield_mpa"),
            *("tension_area_cm2", "modulus_gpa"),
        )
    )
    for section in sections:
        area = section.tensile_area
        numbers = (
            section.length,
            section.outer_diameter * 1e3,
            section.inner_diameter * 1e3,
            section.linear_mass,
            section.yield_strength / 1e6,
        )
        tail = ("" if area is None else _plain(area * 1e4), _plain(section.youngs_modulus / 1e9))
        writer.writerow((neutral(section.name), *(_plain(number) for number in numbers), *tail))
    return stream.getvalue()


def write_string(sections: tuple[Section, ...], path: str | os.PathLike[str]) -> None:
    """Write `sections` to `path` as the table `read_string` reads.

    Raises
    ------
    FileError
        If the place cannot be written.
    """
    write_text(path, string_text(sections))


def _plain(number: float) -> str:
    """15 significant figures: enough to give the number back to one part in 10¹⁴."""
    return f"{number:.15g}"


def _section(columns: Columns, place: int) -> Section:
    def number(name: str) -> float:
        return float(columns.numbers[name][place])

    line = columns.line(place)
    area = number("tension_area") if "tension_area" in columns else math.nan
    try:
        return Section(
            name=columns.texts["name"][place],
            length=number("length"),
            outer_diameter=number("od"),
            inner_diameter=number("id"),
            linear_mass=number("mass"),
            yield_strength=number("yield") if "yield" in columns else _grade(columns, place),
            tensile_area=None if math.isnan(area) else area,
            youngs_modulus=number("modulus") if "modulus" in columns else STEEL_MODULUS,
        )
    except FileError:
        raise
    except InputError as problem:
        raise FileError(problem.what, problem.value, problem.unit, problem.allowed, line=line) from problem


def _grade(columns: Columns, place: int) -> float:
    grade = columns.texts["grade"][place]
    if grade not in GRADES:
        allowed = "one of " + ", ".join(GRADES)
        raise FileError("grade", grade, None, allowed, line=columns.line(place), column="grade")
    return float(GRADES[grade])
