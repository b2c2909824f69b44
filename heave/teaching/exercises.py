"""Exercises for the driller: questions about the user's own plan, with computed answers and explanations.

Every answer is computed from the plan when it is asked.
"""

from __future__ import annotations

import hashlib
import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np

from heave.errors import InputError
from heave.formula import Step, Value
from heave.judging.assessment import assess
from heave.planning.plan import Plan
from heave.simulation.comparisons import Variant, for_the_bit
from heave.simulation.scenario import Scenario
from heave.teaching.explanations import EXPLANATIONS, Known
from heave.teaching.numbers import numbers_of
from heave.teaching.questions import EXTRA_KINDS, NOTHING_LEFT, QUESTIONS, STANDS_IN, Question
from heave.teaching.scenes import SCENES
from heave.teaching.staging import LEAST, Film, Runs, shorter
from heave.units import show


@dataclass(frozen=True)
class Exercise:
    """One question.

    key : its name in a program; title : a few words
    question : with the plan's numbers in it, in the unit system asked for
    asked_for : what is asked for, in words
    answer : SI; kind : of quantity, so that it can be asked in any unit
    tolerance : share of the answer by which a reply may be off
    steps : the working of the answer; explanation : what to take away
    film : scene of the lesson and instant of it that show it, see `film_of`
    numbers : 16 digits of SHA-256 over the plan's numbers in the answer, the same in every unit system
    """

    key: str
    title: str
    question: str
    asked_for: str
    answer: float
    kind: str
    tolerance: float
    steps: tuple[Step, ...]
    explanation: str
    film: tuple[str, str]
    numbers: str


@dataclass(frozen=True)
class Grade:
    """How a reply did: right or not, and how far off as a share of the answer."""

    right: bool
    off: float


NOTHING: Final = {**LEAST, "fraction": 5e-4}
"""What a reply may be off of an answer that is none, by kind [SI]; a share of nothing would be nothing."""


def grade(exercise: Exercise, reply: float) -> Grade:
    """Grade a reply: right when it is within the exercise's tolerance of the answer, or as good as none where that is.

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
    least = NOTHING.get(exercise.kind, 0.0)
    if abs(exercise.answer) <= least:
        right = abs(reply) <= least
        return Grade(right, 0.0 if right else math.copysign(math.inf, reply))
    off = (reply - exercise.answer) / abs(exercise.answer)
    return Grade(abs(off) <= exercise.tolerance * (1 + 1e-12), off)


RISES: Final = {"metric": 1.0, "oilfield": 3 * 0.3048}
"""Rise of the vessel in the questions, a round number in either system [m]."""

SEA_LENGTH: Final = 300.0
"""How long the plan's own sea is shown [s]."""


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
    return tuple(_exercise(question, numbers, drawworks, system) for question in QUESTIONS)


def _exercise(question: Question, numbers: dict[str, float], drawworks: bool, system: str) -> Exercise:
    known: dict[str, Value] = dict(numbers)
    steps = []
    for formula in question.formulas:
        step = formula(**{name: known[name] for name in formula.terms if name in known}).at(0)
        known[step.symbol] = step
        steps.append(step)
    kinds = {
        name: symbol[0] for formula in question.formulas for name, symbol in formula.symbols.items()
    } | EXTRA_KINDS
    over = question.key == "hole eats stroke" and numbers["x_over"] > 0
    asked = NOTHING_LEFT if over else question.asked
    if drawworks and question.of_gas:
        asked = f"{STANDS_IN} {asked}"
    named = set(re.findall(r"{(\w+)}", asked))
    told = {name: shorter(show(numbers[name], kinds[name], system, 4)) for name in named}
    last = steps[-1].result
    used = {name for formula in question.formulas for name in formula.terms if name in numbers} - {"h"}
    return Exercise(
        question.key,
        question.title,
        asked.format(**told),
        question.formulas[-1].symbols[steps[-1].symbol][1],
        last.value,
        last.kind,
        question.tolerance,
        tuple(steps),
        EXPLANATIONS[question.key](Known(numbers | {"answer": last.value}, system)),
        question.film,
        _hash(question.key, {name: numbers[name] for name in used}),
    )


def _hash(key: str, numbers: dict[str, float]) -> str:
    """What an answer was given for: the numbers to six digits, so that rounding elsewhere is no other plan."""
    text = f"{key}|" + "|".join(f"{name}={numbers[name]:.6g}" for name in sorted(numbers))
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def film_of(
    exercise: Exercise, plan: Plan, system: str = "metric"
) -> tuple[tuple[Film, ...], Callable[[Runs], float], str]:
    """The film that shows an exercise: what is simulated, when it opens once that is run, and what is not as planned.

    Parameters
    ----------
    exercise : the question
    plan : it is asked of
    system : unit system of what is said

    Returns
    -------
    Films to run, the first of which is shown; from all their runs in turn the instant at which it opens [s]; words
    """
    name, moment = exercise.film
    if name == "sea":
        still, words = for_the_bit(plan.without_progress)
        film = Film((Variant("as planned", still),), Scenario("sea", duration=SEA_LENGTH, hole=False))
        return (film,), lambda runs: _largest(runs, moment), words
    scene = SCENES[name]
    staged, stage = scene.staged(plan, system)
    count = len(staged.play.variants)

    def opens(runs: Runs) -> float:
        return scene.tell(staged, runs[:count], runs[count:], stage).moments[moment]

    return (staged.play, staged.tried), opens, " ".join(staged.said)


def _largest(runs: Runs, name: str) -> float:
    """When heave, or the bit force, is furthest from its mean in a run [s]."""
    values = runs[0].heave if name == "heave" else runs[0].bit_force
    return float(runs[0].time[int(np.argmax(np.abs(values - values.mean())))])
