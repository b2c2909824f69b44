"""The method page tells the simulation as it is programmed."""

from __future__ import annotations

from heave.compensator.time_domain import TIME_STEP
from heave.compensator.time_domain.string_model import ELEMENTS, MODES
from heave.screens.method import chapters
from heave.simulation.bands import WAVE_VALIDITY
from heave.simulation.happened import BLOW_VALIDITY
from heave.simulation.statistics import BIT, BLOCK, CELL, FORCE, GAS, TRAVEL


def test_the_numbers_told_are_those_of_the_code() -> None:
    text = chapters.SIMULATION[0][1]
    assert f"Steps of {TIME_STEP:g} s" in text
    assert f"{ELEMENTS} elements reduced to {MODES} modes" in text


def test_one_equation_a_line() -> None:
    lines = [line for line in chapters.SIMULATION[0][1].splitlines() if line.startswith("- ")]
    assert len(lines) == 11
    assert all(line.count("$") in (2, 4) for line in lines)


def test_the_comparison_takes_two_sentences() -> None:
    text = chapters.SIMULATION[1][1]
    assert text.count(". ") + 1 == 2


def test_equations_that_are_worked_in_a_run_are_written_from_what_works_them() -> None:
    text = chapters.SIMULATION[0][1]
    for formula in (BLOCK, TRAVEL, GAS, FORCE, CELL, BIT):
        assert f"${formula.latex()}$" in text


def test_what_a_run_is_trusted_for_is_told() -> None:
    title, text = chapters.SIMULATION[2]
    assert title == "How far a run is to be trusted"
    assert WAVE_VALIDITY in text
    assert BLOW_VALIDITY in text
