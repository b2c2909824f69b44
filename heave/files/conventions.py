"""The conventions a response table must state before its numbers mean anything, and the asking for them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from heave.errors import FileError
from heave.files.columns import parse_number

RESPONSE_FORMAT: Final = "heave-response-table 1"
"""Name and version of the format read and written, in its first comment."""

PHASES: Final = ("lead", "lag")
"""lead: motion Re{A e^(i(ωt + phase))} for a crest at t = 0; lag: Re{A e^(i(ωt − phase))}."""

HEADING_CONVENTIONS: Final = ("travel_from_bow", "from_bow_clockwise")
"""travel_from_bow: way the waves travel, 0 following, 180 head, 90 towards port;
from_bow_clockwise: bearing the waves come from, 0 head, 90 from starboard."""


@dataclass(frozen=True)
class Question:
    """A convention the file does not state: the argument that answers it, and what may be answered."""

    key: str
    words: str
    options: tuple[str, ...]
    previews: tuple[str, ...] = ()
    """What each option would mean for this file; empty, or one for each."""

    more: tuple[str, ...] = ()
    """Answers beside the options: that nobody is sure, that there is no more."""


class ConventionNeeded(FileError):
    """The numbers can be read but not understood: `questions` lists what must be answered first."""

    about = "conventions of the response table"

    def __init__(self, questions: tuple[Question, ...]) -> None:
        self.questions = questions
        asked = "; ".join(question.words for question in questions)
        super().__init__(self.about, "not stated", None, f"an answer to: {asked}")


_QUESTIONS: Final = (
    Question("phase", "is a phase a lead or a lag against the wave crest?", PHASES),
    Question("symmetric", "are both sides of the vessel alike, so that 0 to 180 is enough?", ("yes", "no")),
    Question(
        "heading_convention",
        "is a heading the way waves travel (180 head) or where they come from (0 head)?",
        HEADING_CONVENTIONS,
    ),
    Question("reference_x_m", "how far forward of the origin is the reference point, in m?", ()),
    Question("reference_y_m", "how far to port of the origin is the reference point, in m?", ()),
)


def conventions(
    stated: Mapping[str, tuple[int, str]], given: Mapping[str, str | None]
) -> dict[str, str | float]:
    """Every convention of the table, from the file or from the person who brings it.

    Parameters
    ----------
    stated : key to (line, value), from the comments of the file
    given : key to answer, None where there is none

    Raises
    ------
    ConventionNeeded
        With a question for each convention that neither states.
    FileError
        For an answer that is not allowed or contradicts the file.
    """
    answers: dict[str, str | float] = {}
    for question in _QUESTIONS:
        key = question.key
        line, value = stated.get(key, (None, None))
        for text, place in ((value, line), (given[key], None)):
            if text is None:
                continue
            answer = _answer(question, text, place)
            if answer != answers.setdefault(key, answer):
                raise FileError(key, text, None, f"{answers[key]}, as line {line} of the file says")
    missing = tuple(question for question in _QUESTIONS if question.key not in answers)
    if missing:
        raise ConventionNeeded(missing)
    return answers


def _answer(question: Question, text: str, line: int | None) -> str | float:
    """One of the options, behind which a note may stand in brackets; a number of metres where there are none."""
    if question.options:
        answer = text.partition("(")[0].strip()
        if answer not in question.options:
            raise FileError(question.key, answer, None, " or ".join(question.options), line=line)
        return answer
    metres = parse_number(text, question.key, line=line)
    if abs(metres) > 500:
        raise FileError(question.key, text, "m", "a number of metres within 500", line=line)
    return metres
