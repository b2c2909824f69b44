"""What is given as a list is kept as a tuple: equal to the same given as one, and to be hashed, as caches do."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

import heave
from heave.drill_string import DrillString, HoleInterval, Section, Well
from heave.hoisting import PullCurve
from heave.planning import (
    AlphaTable,
    Answered,
    Campaign,
    ColumnMeaning,
    ForecastMapping,
    HsLimit,
    LineJob,
    LineWork,
    Operation,
    OperationStep,
    Progress,
    StudiedInput,
    Study,
    Tide,
    TideWater,
    WeatherChoices,
)
from heave.planning.study import STUDIED
from heave.sea import MeasuredSpectrum, SeaState, WaveSystem
from heave.vessel import ResponseConventions

ROD = Section("rod", 1000.0, 0.127, 0.1086, 33.6, 9.3e8)
STEPS = (OperationStep(heave.demo_plan().doing("tripping").operation),)
ROWS = WeatherChoices().alpha.rows
HEARD = Answered("first", "0123456789abcdef")
WATERS = (TideWater("2026-01-01T00:00:00", 1.0), TideWater("2026-01-01T06:00:00", -1.0))
DRILLING = heave.demo_plan().operation

MAKERS: dict[str, tuple[Callable[[Any], object], tuple[Any, ...]]] = {
    "sections": (lambda one: DrillString(one, 1200.0), (ROD, replace(ROD, length=50.0))),
    "intervals": (Well, (HoleInterval(500.0), HoleInterval(700.0, 0.3))),
    "pull": (PullCurve, ((4.0, 4e5), (8.0, 2e5))),
    "scenes": (lambda one: Progress(scenes=one), ("sea", "hook")),
    "answers": (lambda one: Progress(answers=one), (HEARD,)),
    "layouts": (lambda one: WeatherChoices(forecast_layouts=one), (ForecastMapping((ColumnMeaning("Hs"),)),)),
    "studied": (lambda one: Study(inputs=one), (StudiedInput(next(iter(STUDIED)), 0.1, 0.2),)),
    "hs limits": (lambda one: replace(DRILLING, hs_limits=one), (HsLimit(3.0),)),
    "steps": (Campaign, STEPS),
    "procedures": (lambda one: heave.demo_plan().changed(procedures=one), (DRILLING,)),
    "columns": (ForecastMapping, (ColumnMeaning("Hs"), ColumnMeaning("Tp"))),
    "jobs": (lambda one: LineWork(jobs=one), (LineJob(to_depth=1000.0),)),
    "waters": (Tide, WATERS),
    "rows": (lambda one: AlphaTable(one, "a table"), ROWS),
    "unknown": (lambda one: ForecastMapping((ColumnMeaning("Hs"),), one), ("-", "n/a")),
    "bands": (lambda one: MeasuredSpectrum(one, one, one), (0.1, 0.2)),
    "conventions": (lambda one: ResponseConventions(against=one), ("heave", "roll")),
    "systems": (SeaState, (WaveSystem(2.0, 9.0), WaveSystem(1.0, 14.0))),
}


@pytest.mark.parametrize("name", MAKERS)
def test_a_list_makes_what_a_tuple_makes(name: str) -> None:
    make, parts = MAKERS[name]
    made, same = make(list(parts)), make(parts)
    assert made == same
    assert hash(made) == hash(same)


def test_a_heave_limit_is_significant_and_double_amplitude_where_nothing_is_said() -> None:
    assert Operation(heave_limit=3.0).heave_basis == "significant, double amplitude"
