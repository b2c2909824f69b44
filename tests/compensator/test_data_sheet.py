"""A maker's data sheet gives the area and gas volume of the model, and numbers that do not fit each other are named."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from heave.compensator import Compensator, DataSheet, remarks
from heave.errors import InputError
from heave.files.rigs import demo_compensators

SHEET = DataSheet(
    cylinders=2,
    bore=0.5,
    rod=0.2,
    side="rod side",
    reeving=2.0,
    bottles=12,
    bottle_volume=0.8,
    other_volume=0.4,
    pre_charge=150e5,
)
LOAD = 1.5e6


def unit(**changes: Any) -> Compensator:
    """An invented unit whose numbers fit."""
    values = {
        "stroke": 7.62,
        "velocity_rating": 1.5,
        "compensated_rating": 2.2e6,
        "locked_rating": 4.4e6,
        "effective_area": 0.12,
        "gas_volume": 10.0,
        "pressure_rating": 210e5,
    }
    return Compensator.of(name="own", kind="crown-mounted", **(values | changes))


def doubts(one: Compensator, load: float = LOAD) -> list[str]:
    return [remark.words for remark in remarks(one, load, "metric") if remark.doubtful]


def test_area_and_volume_follow_from_the_sheet_as_by_hand() -> None:
    """π/4 (0.5² − 0.2²) = 0.164934 m² a piston; two of them at half the travel of the hook are one at the hook."""
    assert SHEET.piston_area == pytest.approx(0.1649336)
    assert SHEET.effective_area == pytest.approx(0.1649336)
    assert SHEET.gas_volume == pytest.approx(10.0)
    assert replace(SHEET, side="bore side").piston_area == pytest.approx(math.pi / 16)
    assert replace(SHEET, reeving=1.0).effective_area == pytest.approx(0.3298672)


def test_the_work_of_the_gas_is_the_work_at_the_hook() -> None:
    """Pressure × area × travel of all pistons is force × travel of the hook."""
    pressure, piston_travel = 150e5, 0.3
    pistons = SHEET.cylinders * SHEET.piston_area * pressure * piston_travel
    assert pressure * SHEET.effective_area * (piston_travel * SHEET.reeving) == pytest.approx(pistons)


def test_the_working_shows_every_step_with_its_numbers() -> None:
    lines = SHEET.working("metric")
    assert lines[0] == "Area of a piston: π/4 × ((500.0\u00a0mm)² − (200.0\u00a0mm)²) = 1\u202f649.3\u00a0cm²"
    assert lines[1].endswith("2 × 1\u202f649.3\u00a0cm² / 2 = 1\u202f649.3\u00a0cm²")
    assert lines[2].endswith("12 × 0.8000\u00a0m³ + 0.4000\u00a0m³ = 10.00\u00a0m³")
    assert lines[3].endswith("= 2\u202f474\u00a0kN")
    assert len(replace(SHEET, pre_charge=None).working("oilfield")) == 3


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"rod": 0.5}, "below the bore"),
        ({"cylinders": 1.5}, "whole number"),
        ({"bottles": 2.5}, "whole number"),
        ({"side": "both"}, "one of"),
        ({"bore": 1.6}, "to 1.5"),
    ],
)
def test_a_sheet_that_cannot_be_is_refused(change: dict[str, Any], words: str) -> None:
    with pytest.raises(InputError, match=words):
        replace(SHEET, **change)


def test_numbers_that_fit_leave_no_doubt() -> None:
    assert doubts(unit()) == []
    assert len(remarks(unit(), LOAD)) == 9


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"effective_area": 0.09, "compensated_rating": 2.2e6}, "the gas cannot carry the rating"),
        ({"effective_area": 0.35, "gas_volume": 30.0}, "more than twice the rating"),
        ({"locked_rating": 7e6}, "3.18 times that compensating"),
        ({"gas_volume": 1.5}, "look at volume, area and stroke"),
        ({"gas_volume": 80.0}, "87.5 times the swept volume"),
        ({"stroke": 2.5, "gas_volume": 5.0}, "The stroke, 2.50\u00a0m, is not within the usual"),
        ({"velocity_rating": 0.3}, "velocity rating, 0.300\u00a0m/s, is not within"),
        ({"pressure_rating": 400e5, "effective_area": 0.06}, "pressure rating, 400\u00a0bar, is not within"),
    ],
)
def test_each_number_that_does_not_fit_is_named(changes: dict[str, Any], words: str) -> None:
    assert any(words in doubt for doubt in doubts(unit(**changes)))


def test_a_load_above_the_ratings_is_said() -> None:
    found = doubts(unit(), 2.6e6)
    assert any("is above the rating compensating" in one for one in found)
    assert any("needs 217\u00a0bar, against a rating of 210\u00a0bar" in one for one in found)
    assert any("above the pressure rating" in one for one in found)


@pytest.mark.parametrize("edge", [3.5, 9.0])
def test_what_is_usual_has_its_bounds(edge: float) -> None:
    inside = unit(stroke=edge, gas_volume=12.0)
    outside = unit(stroke=edge * (0.99 if edge < 5 else 1.01), gas_volume=12.0)
    assert not any("The stroke" in one for one in doubts(inside))
    assert any("The stroke" in one for one in doubts(outside))


def test_demo_units_carry_the_load_they_are_for_without_doubt_of_their_numbers() -> None:
    for name, one in demo_compensators().items():
        assert doubts(one, 0.5 * one.compensated_rating) == [], name
