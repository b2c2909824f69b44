"""Exercises for the driller: questions about the user's own plan, with computed answers and explanations.

Every answer is computed from the plan when it is asked.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Final

from heave.errors import InputError
from heave.formula import Step, Value
from heave.judging.assessment import assess
from heave.planning.plan import Plan
from heave.simulation.comparisons import for_the_bit
from heave.teaching.numbers import numbers_of
from heave.teaching.questions import EXTRA_KINDS, QUESTIONS, Question
from heave.teaching.staging import shorter
from heave.units import show


@dataclass(frozen=True)
class Exercise:
    """One question.

    key : its name in a program; title : a few words
    question : with the plan's numbers in it, in the unit system asked for
    answer : SI; kind : of quantity, so that it can be asked in any unit
    tolerance : share of the answer by which a reply may be off
    steps : the working of the answer; explanation : what to take away
    """

    key: str
    title: str
    question: str
    answer: float
    kind: str
    tolerance: float
    steps: tuple[Step, ...]
    explanation: str


@dataclass(frozen=True)
class Grade:
    """How a reply did: right or not, and how far off as a share of the answer."""

    right: bool
    off: float


def grade(exercise: Exercise, reply: float) -> Grade:
    """Grade a reply: right when it is within the exercise's tolerance of the answer.

    Parameters
    ----------
    exercise : the question
    reply : [SI]

    Raises
    ------
    InputError
        If the reply is not a finite number.
    """
    if isinstance(reply, bool) or not math.isfinite(reply):
        raise InputError("answer", reply, None, "one number")
    off = (reply - exercise.answer) / abs(exercise.answer)
    return Grade(abs(off) <= exercise.tolerance * (1 + 1e-12), off)


RISES: Final = {"metric": 1.0, "oilfield": 3 * 0.3048}
"""Rise of the vessel in the questions, a round number in either system [m]."""


def exercises_for(plan: Plan, system: str = "metric") -> tuple[Exercise, ...]:
    """The exercises for a plan, in the order they are best done.

    A plan off bottom is asked about as if it were drilling; a compensating drawworks, which has no gas,
    is asked about with a reference gas spring, and the questions say so.

    Parameters
    ----------
    plan : the plan
    system : unit system of the numbers in the questions, "metric" or "oilfield"

    Returns
    -------
    At least ten exercises, the last about hook load and bit load
    """
    on_bottom, _ = for_the_bit(plan)
    numbers = numbers_of(on_bottom, assess(on_bottom)) | {"h": RISES[system]}
    drawworks = plan.compensator.is_drawworks
    unit = "Your plan has a drawworks; a gas compensator in its place" if drawworks else "Your compensator"
    return tuple(_exercise(question, numbers, unit, system) for question in QUESTIONS)


def _exercise(question: Question, numbers: dict[str, float], unit: str, system: str) -> Exercise:
    known: dict[str, Value] = dict(numbers)
    steps = []
    for formula in question.formulas:
        step = formula(**{name: known[name] for name in formula.terms if name in known}).at(0)
        known[step.symbol] = step
        steps.append(step)
    kinds = {
        name: symbol[0] for formula in question.formulas for name, symbol in formula.symbols.items()
    } | EXTRA_KINDS
    named = set(re.findall(r"{(\w+)}", question.asked)) - {"unit"}
    told = {name: shorter(show(numbers[name], kinds[name], system, 4)) for name in named}
    last = steps[-1].result
    return Exercise(
        question.key,
        question.title,
        question.asked.format(unit=unit, **told),
        last.value,
        last.kind,
        question.tolerance,
        tuple(steps),
        question.explanation,
    )
