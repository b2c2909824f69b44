"""The line table whole, lines with figures of their own, and what is refused."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from heave.errors import InputError
from heave.hoisting import LINE_STRENGTH, DrillingLine, design_factor
from heave.hoisting.line import GRADES, STRONGEST

SIZES = tuple(LINE_STRENGTH["EIPS"])


def test_the_table_has_every_size_in_every_grade() -> None:
    assert GRADES == ("IPS", "EIPS", "EEIPS")
    for row in LINE_STRENGTH.values():
        assert tuple(row) == SIZES
    assert np.diff(SIZES) == pytest.approx(0.0254 / 8, rel=1e-9)


def test_strength_rises_with_size_and_grade() -> None:
    for row in LINE_STRENGTH.values():
        assert all(small < large for small, large in pairwise(row.values()))
    for size in SIZES:
        assert LINE_STRENGTH["IPS"][size] < LINE_STRENGTH["EIPS"][size] < LINE_STRENGTH["EEIPS"][size]


@pytest.mark.parametrize("size", SIZES)
def test_grades_keep_their_distance(size: float) -> None:
    """The grades were made a sixth and a tenth apart: EIPS 1.15 times IPS, EEIPS 1.10 times EIPS (from memory)."""
    weak, middle, strong = (LINE_STRENGTH[grade][size] for grade in GRADES)
    assert middle / weak == pytest.approx(1.15, abs=0.006)
    assert strong / middle == pytest.approx(1.10, abs=0.007)


@pytest.mark.parametrize("grade", GRADES)
def test_strength_over_the_square_of_the_diameter_falls_slowly(grade: str) -> None:
    """Thicker wires are drawn less hard: less than 6 % from the thinnest line to the thickest; no odd one out."""
    over_square = np.array([strength / size**2 for size, strength in LINE_STRENGTH[grade].items()])
    assert np.all(np.diff(over_square) < 2e-3 * over_square[0])
    assert 0.94 < over_square[-1] / over_square[0] < 0.96


@pytest.mark.parametrize("grade", GRADES)
def test_wires_are_as_strong_as_rope_wire_is(grade: str) -> None:
    """Steel fills some 0.46 d² of the line (from its weight); rope wire has 1300 to 2200 N/mm² (from memory)."""
    for size, strength in LINE_STRENGTH[grade].items():
        steel = DrillingLine(size).linear_mass / 7850 / 1.02  # lay and grease
        assert 1.1e9 < strength / steel < 1.9e9


def test_sizes_are_found_as_people_write_them_and_no_other() -> None:
    assert DrillingLine(34.9e-3).strength == DrillingLine(1.375 * 25.4e-3).strength
    assert DrillingLine(34.96e-3).strength == DrillingLine(34.9e-3).strength
    for other in (34.99, 34.86, 35.5, 21.0, 60.0):
        with pytest.raises(InputError, match=r"allowed: one of 22\.2, 25\.4") as refused:
            DrillingLine(other / 1e3)
        assert (refused.value.what, refused.value.unit) == ("line diameter", "mm")
        assert refused.value.value == pytest.approx(other)


def test_own_figures_come_first() -> None:
    line = DrillingLine(0.06, own_strength=2.5e6, own_mass=16.0)
    assert (line.strength, line.linear_mass) == (2.5e6, 16.0)
    known = DrillingLine(0.0254, own_strength=480e3)
    assert known.strength == 480e3
    assert known.linear_mass == DrillingLine(0.0254, grade="IPS").linear_mass


def test_another_construction_needs_its_own_figures() -> None:
    line = DrillingLine(0.0254, "other", own_strength=500e3, own_mass=3.0)
    assert (line.strength, line.linear_mass) == (500e3, 3.0)
    with pytest.raises(InputError, match="breaking strength of the line"):
        DrillingLine(0.0254, "other", own_mass=3.0)
    with pytest.raises(InputError, match="mass of the line per metre"):
        DrillingLine(0.0254, "other", own_strength=500e3)


def test_a_line_stronger_than_steel_is_refused() -> None:
    bar = STRONGEST * math.pi / 4 * 0.0254**2
    assert DrillingLine(0.0254, own_strength=0.999 * bar).strength == pytest.approx(bar, rel=2e-3)
    with pytest.raises(InputError, match="for steel of this diameter"):
        DrillingLine(0.0254, own_strength=1.001 * bar)


@pytest.mark.parametrize(
    ("values", "named"),
    [
        ({"diameter": 0.0}, "line diameter"),
        ({"diameter": math.nan}, "line diameter"),
        ({"diameter": 0.0254, "grade": "XIPS"}, "grade of the line"),
        ({"diameter": 0.0254, "construction": "8×19"}, "construction of the line"),
        ({"diameter": 0.0254, "own_strength": -1.0}, "breaking strength of the line"),
        ({"diameter": 0.0254, "own_mass": 0.0}, "mass of the line per metre"),
    ],
)
def test_bad_lines_are_refused_by_name(values: dict[str, object], named: str) -> None:
    with pytest.raises(InputError, match=named):
        DrillingLine(**values)  # type: ignore[arg-type]


def test_design_factor_of_many_tensions() -> None:
    tension = np.array([[1e5, 2e5], [math.nan, 4e5]])
    factor = design_factor(8e5, tension)
    assert factor.shape == (2, 2)
    assert factor[[0, 0, 1], [0, 1, 1]] == pytest.approx([8.0, 4.0, 2.0])
    assert math.isnan(factor[1, 0])


@pytest.mark.parametrize("tension", [0.0, -1.0, math.inf, [1e5, 0.0], "1e5", None, True, [[1.0], [1.0, 2.0]]])
def test_a_tension_that_is_none_is_refused(tension: object) -> None:
    with pytest.raises(InputError, match="tension in the line"):
        design_factor(8e5, tension)  # type: ignore[arg-type]


def test_a_strength_of_nothing_is_refused() -> None:
    with pytest.raises(InputError, match="breaking strength"):
        design_factor(0.0, 1e5)
