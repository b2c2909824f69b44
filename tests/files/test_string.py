"""Drill-string files: units, grades and round trips."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heave.drill_string.sections import STEEL_MODULUS, Section
from heave.errors import FileError
from heave.files.string import read_string, string_text

OILFIELD = """# an invented string
name,length_ft,od_in,id_in,weight_lb_per_ft,grade
Drill pipe,8000,5,4.276,22.6,S-135
"Heavy weight, upper",300,5,3,50.1,E-75
"""


def test_oilfield_units_and_grades() -> None:
    pipe, heavy = read_string(OILFIELD.encode())
    assert pipe.length == pytest.approx(2438.4, rel=1e-14)
    assert pipe.outer_diameter == pytest.approx(0.127, rel=1e-14)
    assert pipe.inner_diameter == pytest.approx(4.276 * 0.0254, rel=1e-14)
    assert pipe.linear_mass == pytest.approx(22.6 * 0.45359237 / 0.3048, rel=1e-14)
    assert pipe.yield_strength == pytest.approx(135_000 * 6894.757293168, rel=1e-9)
    assert pipe.youngs_modulus == STEEL_MODULUS
    assert pipe.tensile_area is None
    assert heavy.name == "Heavy weight, upper"


def test_metric_units_give_the_same_string() -> None:
    metric = (
        "name;length_m;od_mm;id_mm;mass_kg_per_m;yield_mpa\n"
        f"Drill pipe;2438,4;127,0;108,6104;{22.6 * 0.45359237 / 0.3048:.12f}".replace(".", ",")
        + f";{135 * 6.894757293168:.9f}\n".replace(".", ",")
    )
    (pipe,) = read_string(metric.encode())
    expected = read_string(OILFIELD.encode())[0]
    for name in ("length", "outer_diameter", "inner_diameter", "linear_mass", "yield_strength"):
        assert getattr(pipe, name) == pytest.approx(getattr(expected, name), rel=1e-9)


def test_worn_area_may_be_given_for_some_sections() -> None:
    header = "name,length_m,od_mm,id_mm,mass_kg_per_m,yield_ksi,tension_area_cm2\n"
    text = header + "a,100,127,108.6,33,135,27\nb,9,127,108.6,33,135,\n"
    worn, new = read_string(text.encode())
    assert worn.tensile_area == pytest.approx(27e-4)
    assert new.tensile_area is None


@st.composite
def sections(draw: st.DrawFn) -> Section:
    outer = draw(st.floats(0.05, 0.5))
    inner = outer * draw(st.floats(0.1, 0.95))
    tube = math.pi / 4 * (outer**2 - inner**2)
    return Section(
        name=draw(st.text(st.characters(categories=("L", "N", "P", "S")), max_size=20)),
        length=draw(st.floats(0.1, 15_000)),
        outer_diameter=outer,
        inner_diameter=inner,
        linear_mass=max(7850 * tube, 1.0),
        yield_strength=draw(st.floats(2e8, 1.5e9)),
        tensile_area=draw(st.none() | st.floats(0.3 * tube, tube)),
    )


@settings(max_examples=60, deadline=None)
@given(sections())
def test_any_section_comes_back(section: Section) -> None:
    (again,) = read_string(string_text((section,)).encode())
    assert again.name == section.name
    for name in ("length", "outer_diameter", "inner_diameter", "linear_mass", "yield_strength"):
        assert getattr(again, name) == pytest.approx(getattr(section, name), rel=1e-13)
    assert again.youngs_modulus == pytest.approx(section.youngs_modulus, rel=1e-13)
    assert (again.tensile_area is None) == (section.tensile_area is None)
    assert (again.tensile_area or 0.0) == pytest.approx(section.tensile_area or 0.0, rel=1e-13)


def test_names_that_would_start_a_formula_are_made_safe_in_the_file(tmp_path: Path) -> None:
    (pipe, _) = read_string(OILFIELD.encode())
    risky = Section("=1+1", *(getattr(pipe, name) for name in list(pipe.__dataclass_fields__)[1:]))
    path = tmp_path / "string.csv"
    path.write_text(string_text((risky,)), "utf-8")
    assert "\n'=1+1," in path.read_text()
    assert read_string(path)[0].name == "=1+1"


def test_no_more_sections_than_a_string_may_have() -> None:
    lines = OILFIELD.splitlines()
    assert len(read_string("\n".join([*lines[:2], *[lines[2]] * 60]).encode())) == 60
    with pytest.raises(FileError, match="from 1 to 60") as caught:
        read_string("\n".join([*lines[:2], *[lines[2]] * 61]).encode())
    assert caught.value.line == 63
