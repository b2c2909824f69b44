"""Sections from the built-in pipe table: drill pipe by size, weight and grade; heavy-weight; collars."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Final, NamedTuple

from heave.drill_string.sections import Section, ring_area
from heave.errors import InputError
from heave.fields import Choice
from heave.units import from_si, to_si

GRADES: Final[dict[str, float]] = {
    name: to_si(ksi, "ksi") for name, ksi in (("E-75", 75), ("X-95", 95), ("G-105", 105), ("S-135", 135))
}
"""Least yield strength of the drill pipe grades [Pa] (API RP 7G)."""

PIPE_CLASSES: Final[dict[str, float]] = {"new": 1.0, "premium": 0.8}
"""Wall left on the same inside diameter (API RP 7G, classes of used drill pipe: premium 80 %)."""

HEAVY_WEIGHT_YIELD: Final = to_si(55.0, "ksi")
"""Yield strength of the tube of heavy-weight pipe [Pa]: from memory; makers' figures differ."""

COLLAR_STEEL: Final = to_si(489.5, "lb") / to_si(1.0, "ft") ** 3
"""Density in the collar weight formula [kg/m³], 489.5 lb/ft³ (API RP 7G)."""

COLLAR_YIELD: Final = (to_si(110.0, "ksi"), to_si(100.0, "ksi"))
"""Yield strength of collars below and from 7 in outside diameter [Pa] (API Spec 7-1, from memory)."""


class PipeRow(NamedTuple):
    """One row of the pipe table, in SI."""

    kind: str
    size: str
    weight: str
    outer_diameter: float
    inner_diameter: float
    linear_mass: float


def _read_table() -> tuple[PipeRow, ...]:
    text = Path(__file__).with_name("pipe_table.csv").read_text(encoding="utf-8")
    lines = (line for line in text.splitlines() if not line.startswith("#"))
    return tuple(
        PipeRow(
            row["kind"],
            row["size"],
            row["weight_lb_per_ft"],
            to_si(float(row["od_in"]), "in"),
            to_si(float(row["id_in"]), "in"),
            to_si(float(row["assembled_lb_per_ft"]), "lb/ft"),
        )
        for row in csv.DictReader(lines)
    )


PIPE_TABLE: Final = _read_table()
"""Every row of the built-in table."""

PIPE_CHOICES: Final = tuple((row.size, row.weight) for row in PIPE_TABLE if row.kind == "drill pipe")
"""Sizes and nominal weights [lb/ft] that `drill_pipe` knows."""

HEAVY_WEIGHT_CHOICES: Final = tuple(row.size for row in PIPE_TABLE if row.kind == "heavy-weight")
"""Sizes that `heavy_weight` knows."""


def drill_pipe(
    size: str,
    weight: str,
    grade: str,
    length: float,
    *,
    pipe_class: str = "new",
    linear_mass: float | None = None,
) -> Section:
    """A section of drill pipe from the table, for example 5 in, 19.50 lb/ft, S-135.

    Tension is carried by the new tube, or for premium class by a tube with 80 % of the wall on the
    same inside diameter (API RP 7G). Stiffness uses the new tube.

    Parameters
    ----------
    size, weight : as listed in `PIPE_CHOICES`, such as "5 in" and "19.50" [lb/ft]
    grade : a key of `GRADES`
    length : [m]
    pipe_class : "new" or "premium"
    linear_mass : mass in air with tool joints; None takes the table's approximate figure [kg/m]

    Raises
    ------
    InputError
        If the pipe, grade or class is not known, or a number is out of range.
    """
    if (size, weight) not in PIPE_CHOICES:
        known = ", ".join(f"{s} {w}" for s, w in PIPE_CHOICES)
        raise InputError("drill pipe", f"{size} {weight}", None, f"one of {known}")
    Choice("grade", tuple(GRADES)).check(grade)
    Choice("pipe class", tuple(PIPE_CLASSES)).check(pipe_class)
    row = next(r for r in PIPE_TABLE if r[:3] == ("drill pipe", size, weight))
    outside, inside = row.outer_diameter, row.inner_diameter
    worn_area = ring_area(inside + PIPE_CLASSES[pipe_class] * (outside - inside), inside)
    return Section(
        name=f"{size} {weight} lb/ft {grade}" + (" premium" if pipe_class == "premium" else ""),  # a name
        length=length,
        outer_diameter=outside,
        inner_diameter=inside,
        linear_mass=row.linear_mass if linear_mass is None else linear_mass,
        yield_strength=GRADES[grade],
        tensile_area=None if pipe_class == "new" else worn_area,
    )


def heavy_weight(size: str, length: float) -> Section:
    """A section of heavy-weight pipe from the table; sizes in `HEAVY_WEIGHT_CHOICES`.

    Sizes and weights as API RP 7G lists them; the yield strength is from memory.

    Parameters
    ----------
    size : such as "5 in"
    length : [m]

    Raises
    ------
    InputError
        If the size is not known or a number is out of range.
    """
    Choice("heavy-weight pipe", HEAVY_WEIGHT_CHOICES).check(size)
    row = next(r for r in PIPE_TABLE if r[:2] == ("heavy-weight", size))
    size_and_mass = row.outer_diameter, row.inner_diameter, row.linear_mass
    return Section(f"{size} heavy-weight", length, *size_and_mass, HEAVY_WEIGHT_YIELD)


def collar(
    outer_diameter: float, inner_diameter: float, length: float, yield_strength: float | None = None
) -> Section:
    """A section of plain drill collar; mass 489.5 lb/ft³ × area (API RP 7G).

    Parameters
    ----------
    outer_diameter, inner_diameter, length : [m]
    yield_strength : None takes 110 ksi below 7 in, 100 ksi from 7 in [Pa]

    Raises
    ------
    InputError
        If a number is out of range or the bore is not below the outside.
    """
    if not 0 <= inner_diameter < outer_diameter:
        raise InputError("inside diameter", inner_diameter, "m", f"from 0, below {outer_diameter:g}\u00a0m")
    mass = COLLAR_STEEL * ring_area(outer_diameter, inner_diameter)
    if yield_strength is None:
        yield_strength = COLLAR_YIELD[outer_diameter >= to_si(7.0, "in")]
    name = f"{from_si(outer_diameter, 'in'):.4g} in collar"
    return Section(name, length, outer_diameter, inner_diameter, mass, yield_strength)
