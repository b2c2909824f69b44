"""The conventions a response table must state before its numbers mean anything, and the asking for them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from heave.errors import FileError
from heave.files.columns import parse_number

RESPONSE_FORMAT: Final = "heave-response-table"
"""Name of the format in its first comment."""

RESPONSE_VERSION: Final = 1
"""Version of the format read and written."""

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


class ConventionNeeded(FileError):
    """The numbers can be read but not understood: `questions` lists what must be answered first."""

    def __init__(self, questions: tuple[Question, ...]) -> None:
        self.questions = questions
        asked = "; ".join(question.words for question in questions)
        super().__init__("conventions of the response table", "not stated", None, f"an answer to: {asked}")


_QUESTIONS: Final = {
    "phase": Question("phase", "is a phase a lead or a lag against the wave crest?", PHASES),
    "symmetric": Question(
        "symmetric", "are both sides of the vessel alike, so that 0 to 180 is enough?", ("yes", "no")
    ),
    "heading_convention": Question(
        "heading_convention",
        "is a heading the way waves travel (180 head) or where they come from (0 head)?",
        HEADING_CONVENTIONS,
    ),
    "reference_x_m": Question(
        "reference_x_m", "how far forward of the origin is the reference point, in m?", ()
    ),
    "reference_y_m": Question(
        "reference_y_m", "how far to port of the origin is the reference point, in m?", ()
    ),
}


def check_format(stated: Mapping[str, tuple[int, str]]) -> None:
    """Refuse a file that states another format or version; one that states none is read by its columns.

    Raises
    ------
    FileError
        Naming the line and the version this planner reads.
    """
    if "format" in stated:
        line, value = stated["format"]
        if value != f"{RESPONSE_FORMAT} {RESPONSE_VERSION}":
            allowed = f"{RESPONSE_FORMAT} {RESPONSE_VERSION}, the version this planner reads"
            raise FileError("format", value, None, allowed, line=line)


def conventions(stated: Mapping[str, tuple[int, str]], given: Mapping[str, str | None]) -> dict[str, str]:
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
    answers: dict[str, str] = {}
    for key, answer in given.items():
        options = _QUESTIONS[key].options
        words = " or ".join(options) if options else "a number of metres within 500"
        line, value = stated.get(key, (None, None))
        if value is not None and options:
            value = value.split("(")[0].strip()
        for found, place in ((value, line), (answer, None)):
            if found is None:
                continue
            if options and found not in options:
                raise FileError(key, found, None, words, line=place)
            if not options and not abs(parse_number(found, key, line=place)) <= 500:
                raise FileError(key, found, "m", words, line=place)
            same = found == answers.get(key, found) or (not options and float(found) == float(answers[key]))
            if not same:
                raise FileError(key, found, None, f"{answers[key]}, as line {line} of the file says")
            answers[key] = found
    missing = tuple(question for key, question in _QUESTIONS.items() if key not in answers)
    if missing:
        raise ConventionNeeded(missing)
    return answers
