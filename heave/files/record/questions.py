"""What a heave record leaves open: the questions, in the order they are put, and whether an answer may be given.

Answers are kept by the key of their question, followed by the column where it is about one, as in `unit:heave`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.errors import FileError
from heave.files.columns import parse_number
from heave.files.conventions import ConventionNeeded, Question
from heave.files.record.words import ACCELERATION, MOTIONS, TIME, Quantity
from heave.units import significant

Answers = Mapping[str, str]
"""What was answered, by key of the question."""

SENSES: Final = ("up", "down")
NO_COLUMN: Final = "none of them"
COUNTS: Final = "no time: they count the values"
RATES: Final = (0.5, 100.0)
"""Fewest and most values a second [Hz]."""

TYPED: Final = ("rate",)
"""Questions that are answered with a number."""


class RecordQuestions(ConventionNeeded):
    """The record can be read but not understood: `questions` must be answered first, the first of them next."""

    about = "meaning of the heave record"


def given(answers: Answers, question: Question) -> str | None:
    """The answer to a question, one of its options or a rate; None where there is none yet.

    Raises
    ------
    FileError
        For an answer that is not allowed.
    """
    said = answers.get(question.key)
    if said is None or said in question.options:
        return said
    if question.key in TYPED:
        typed = said.strip().replace(",", ".")
        if RATES[0] <= parse_number(typed, "values a second") <= RATES[1]:
            return typed
        raise FileError("values a second", said, "Hz", f"from {RATES[0]:g} to {RATES[1]:g}")
    raise FileError(question.words, said, None, "one of " + ", ".join(question.options)[:300])


def asked(answers: Answers, question: Question) -> str:
    """The answer to a question.

    Raises
    ------
    RecordQuestions
        If there is none.
    FileError
        As `given`.
    """
    said = given(answers, question)
    if said is None:
        raise RecordQuestions((question,))
    return said


def ask_signal(names: Sequence[str], firsts: Sequence[str], several: bool) -> Question:
    """Which column holds the motion of the hoist.

    Parameters
    ----------
    names, firsts : of the columns it may be, and how each begins
    several : whether more than one is named for it
    """
    words = "which column is the heave of the hoist? the file has more than one"
    if not several:
        words = "which column holds the heave, or the vertical acceleration? no name says so"
    said = tuple(f"{name}: begins with {first}" for name, first in zip(names, firsts, strict=True))
    return Question("column:heave", words, tuple(names), said)


def ask_time(names: Sequence[str], firsts: Sequence[str], several: bool) -> Question:
    """Which column holds the time; none of them is an answer where no name says so."""
    why = "the file has more than one" if several else "no name says so"
    said = (f"{name}: begins with {first}" for name, first in zip(names, firsts, strict=True))
    words = f"which column holds the time of a value? {why}"
    return Question("column:time", words, (*names, NO_COLUMN), (*said, NO_COLUMN))


def ask_kind(name: str) -> Question:
    """Whether a column is a place or an acceleration."""
    said = ("heave: how far the hoist has risen or fallen", "acceleration: it is integrated twice")
    return Question(f"kind:{name}", f"what is in column {name}?", tuple(MOTIONS), said)


def ask_unit(name: str, motion: Quantity, numbers: FloatArray) -> Question:
    """In which unit a column is, with the reach of its numbers in each."""
    said = []
    for unit in motion.units.values():
        ends = (float(end) * unit.factor for end in (np.nanmin(numbers), np.nanmax(numbers)))
        said.append(f"{unit.words}: from {' to '.join(map(significant, ends))} {motion.si}")
    return Question(f"unit:{name}", f"in which unit is column {name}?", tuple(motion.units), tuple(said))


def ask_sense(name: str, motion: Quantity, mean: float) -> Question:
    """Which way a column counts; the mean of an acceleration may hint at it.

    Parameters
    ----------
    name, motion : of the column, and what it holds
    mean : of its values [m or m/s²]
    """
    said = (f"up: numbers grow {motion.grows}", f"down: numbers fall {motion.grows}")
    words = f"does column {name} count upwards or downwards?"
    if motion is ACCELERATION and abs(mean) > 5.0:
        words = f"does column {name}, which reads {significant(mean)}\u00a0m/s² at rest, count upwards or downwards?"
    return Question(f"sense:{name}", words, SENSES, said)


def ask_time_unit(name: str, options: Mapping[str, float]) -> Question:
    """In which unit a column of time is.

    Parameters
    ----------
    name : of the column
    options : the time between two values that each unit would mean [s]; 0 for a running number
    """
    said = tuple(
        f"{TIME.units[unit].words}: a value each {significant(step)}\u00a0s" if step else COUNTS
        for unit, step in options.items()
    )
    return Question(f"time_unit:{name}", f"what are the numbers in column {name}?", tuple(options), said)


def ask_rate(guess: float | None, why: str) -> Question:
    """How many values there are a second.

    Parameters
    ----------
    guess : what the file makes likely [Hz]; None for nothing
    why : why it is asked
    """
    options = () if guess is None else (f"{guess:.6g}",)
    said = tuple(f"{option} values a second" for option in options)
    return Question("rate", f"how many values are there a second (Hz)? {why}", options, said)
