"""What a trainee types: either unit system, decimal commas, and clear words for what is missing or not of the kind."""

from __future__ import annotations

import pytest

from heave.errors import InputError
from heave.files.rigs import demo_plan
from heave.teaching import exercises_for, reply_of
from heave.teaching.replies import SPELT, units_of
from heave.units import UNITS


@pytest.mark.parametrize(
    ("text", "kind", "system", "expected"),
    [
        ("12 t", "force", "metric", 12e3 * 9.80665),
        ("12t", "force", "oilfield", 12e3 * 9.80665),
        ("27 klbf", "force", "metric", 27e3 * 4.4482216152605),
        ("27 KLBF", "force", "metric", 27e3 * 4.4482216152605),
        ("27", "force", "oilfield", 27e3 * 4.4482216152605),
        ("12,5", "force", "metric", 12.5e3),
        ("12.5 kN", "force", "oilfield", 12.5e3),
        ("1 290 kN", "force", "metric", 1290e3),
        ("1.2e3", "force", "metric", 1.2e6),
        ("\u22125 kN", "force", "metric", -5e3),
        ("3 ft", "length", "metric", 0.9144),
        ("0,914 m", "length", "oilfield", 0.914),
        ("30 cm", "length", "metric", 0.3),
        ("1775 psi", "pressure", "metric", 1775 * 6894.757293168361),
        ("122", "pressure", "metric", 122e5),
        ("2 klbf/ft", "stiffness", "metric", 2 * 14593.902937206365),
        ("11 %", "fraction", "metric", 0.11),
        ("11", "fraction", "oilfield", 0.11),
        ("10 min", "duration", "metric", 600.0),
        ("0.5", "duration", "metric", 1800.0),
        ("1005 t·km", "line_work", "oilfield", 1005e6 * 9.80665),
        ("690 ton-miles", "line_work", "metric", 690 * 2000 * 4.4482216152605 * 1609.344),
        ("9,4", "number", "metric", 9.4),
    ],
)
def test_a_reply_is_read_in_its_unit(text: str, kind: str, system: str, expected: float) -> None:
    assert reply_of(text, "what is asked", kind, system) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(
    ("text", "kind", "message"),
    [
        ("", "force", "what is missing, the weight in mud: a number, in kN or with its unit: N, kN"),
        ("   ", "number", "what is missing, the weight in mud: a number, without a unit"),
        ("kN", "force", "one number, in kN"),
        ("12 bar", "force", "unit of the answer: 'bar'.*klbf"),
        ("12 m", "number", "a plain number"),
        ("12 13", "force", "answer"),
        ("1,290", "force", "two ways"),
        ("about 12", "force", "one number"),
        ("12 kN or so", "force", "unit of the answer"),
    ],
)
def test_what_is_no_reply_says_what_is_missing(text: str, kind: str, message: str) -> None:
    with pytest.raises(InputError, match=message):
        reply_of(text, "weight in mud", kind, "metric")


def test_every_exercise_can_be_answered_in_every_unit_that_is_offered() -> None:
    for exercise in exercises_for(demo_plan()):
        assert exercise.kind in SPELT
        for name in units_of(exercise.kind):
            unit = UNITS["tf" if name == "t" else name]
            text = f"{exercise.answer / unit.factor:.9g} {name}"
            assert reply_of(text, exercise.asked_for, exercise.kind, "metric") == pytest.approx(
                exercise.answer, rel=1e-7
            )
