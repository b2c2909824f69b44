"""Intervals and wells: what they hold and what is refused."""

from __future__ import annotations

import math
from dataclasses import fields, replace
from typing import Any

import numpy as np
import pytest

from heave.drill_string import DrillString, HoleInterval, Section, Well, vertical
from heave.drill_string.well import MAX_INTERVALS
from heave.errors import InputError
from heave.fields import Quantity
from heave.quantities import LONGEST_HOLE

RISER = HoleInterval(1200.0)
LEANING = HoleInterval(800.0, math.radians(60.0), 0.25, 0.2159)
WELL = Well((RISER, LEANING))
PIPE = Section("pipe", 1500.0, 0.127, 0.1086, 33.0, 9.3e8)
COLLAR = Section("collars", 100.0, 0.2, 0.07, 220.0, 7e8)


def test_a_well_adds_up() -> None:
    assert WELL.length == 2000.0
    assert list(WELL.bounds) == [0.0, 1200.0, 2000.0]
    assert WELL.cosines == pytest.approx([1.0, 0.5])
    assert WELL.drags == pytest.approx([0.0, 0.25 * math.sqrt(3) / 2])
    assert WELL.has_friction
    assert not Well((RISER, replace(LEANING, friction=0.0))).has_friction
    assert Well((replace(RISER, friction=0.2),)).has_friction, "given, though nothing leans on the wall"


def test_wells_compare_and_hash_by_value() -> None:
    again = Well([RISER, replace(LEANING)])  # type: ignore[arg-type]
    assert again == WELL
    assert hash(again) == hash(WELL)


@pytest.mark.parametrize(
    ("owner", "name"),
    [(LEANING, item.name) for item in fields(HoleInterval)] + [(WELL, "design_factor")],
    ids=lambda value: value if isinstance(value, str) else type(value).__name__,
)
def test_every_bound_is_kept_on_both_sides(owner: Any, name: str) -> None:
    about: Quantity = next(item.metadata["about"] for item in fields(owner) if item.name == name)
    assert about.low is not None
    assert about.high is not None
    for inside in (about.low, about.high):
        assert getattr(replace(owner, **{name: inside}), name) == inside
    outside = math.nextafter(about.low, -math.inf), math.nextafter(about.high, math.inf)
    for wrong in (*outside, math.nan, math.inf, "1", True, *(() if about.optional else (None,))):
        with pytest.raises(InputError, match=about.label):
            replace(owner, **{name: wrong})


@pytest.mark.parametrize(
    ("intervals", "words"),
    [
        ((), "intervals: 0.*from 1 to 60"),
        ((RISER,) * (MAX_INTERVALS + 1), "intervals: 61.*to 60"),
        (RISER, "a list of intervals"),
        (3, "a list of intervals"),
        (("riser",), "intervals: 'riser'.*a list of intervals"),
    ],
)
def test_a_wrong_well_cannot_be_built(intervals: Any, words: str) -> None:
    with pytest.raises(InputError, match=words):
        Well(intervals)


def test_a_string_longer_than_its_well_is_refused() -> None:
    string = DrillString((PIPE, COLLAR), 1200.0)
    WELL.check_holds(string)
    WELL.check_holds(replace(string, sections=(replace(PIPE, length=1900.0), COLLAR)))
    with pytest.raises(
        InputError, match=r"Length of the string: 2001\.0\u00a0m.*up to 2000\u00a0m, the whole well"
    ):
        WELL.check_holds(replace(string, sections=(replace(PIPE, length=1901.0), COLLAR)))


def test_every_section_passes_the_intervals_above_it() -> None:
    """Collars go through all of the hole; pipe never comes into the interval that only collars reach."""
    string = DrillString((PIPE, COLLAR), 1200.0)
    lower = HoleInterval(100.0, 0.0, 0.0, 0.21)
    WELL.check_holds(string)
    for diameter, at in ((0.2, 1), (0.19, 1)):
        with pytest.raises(
            InputError, match=rf"Hole diameter: {diameter}\u00a0m.*0\.2\u00a0m.*interval {at + 1}"
        ):
            Well((RISER, replace(LEANING, diameter=diameter))).check_holds(string)
    narrow = replace(COLLAR, outer_diameter=0.1, inner_diameter=0.05, linear_mass=60.0)
    tapered = replace(string, sections=(PIPE, narrow))
    hole = Well((HoleInterval(1500.0, diameter=0.13), replace(lower, diameter=0.11)))
    hole.check_holds(tapered)
    with pytest.raises(InputError, match="interval 1"):
        Well((HoleInterval(1500.0, diameter=0.127), lower)).check_holds(tapered)
    with pytest.raises(InputError, match="interval 2"):
        Well((HoleInterval(1499.0, diameter=0.13), replace(lower, length=101.0, diameter=0.11))).check_holds(
            tapered
        )
    deeper = Well((*hole.intervals, HoleInterval(50.0, diameter=0.06)))
    deeper.check_holds(tapered)


@pytest.mark.parametrize(
    "length", [0.1, 3000.0, LONGEST_HOLE, LONGEST_HOLE + 1.0, LONGEST_HOLE * MAX_INTERVALS]
)
def test_a_vertical_well_is_as_long_as_it_is_asked_for(length: float) -> None:
    found = vertical(length)
    assert found.length == pytest.approx(length, rel=1e-12)
    assert np.all(found.cosines == 1.0)
    assert not found.has_friction


@pytest.mark.parametrize("length", [0.0, -1.0, LONGEST_HOLE * MAX_INTERVALS * 1.01])
def test_no_well_without_a_length(length: float) -> None:
    with pytest.raises(InputError):
        vertical(length)
