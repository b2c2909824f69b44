"""What a response file leaves open: the questions, in the order they are put, and what an answer changes."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Final

from heave.errors import FileError
from heave.fields import Choice, about
from heave.files.columns import parse_number
from heave.files.conventions import ConventionNeeded, Question
from heave.vessel import ResponseColumn, ResponseConventions
from heave.vessel.origin import HOLDS

DEEP: Final = "deep water"
HEADING_CONVENTIONS: Final = ("travel_from_bow", "from_bow_clockwise")
"""travel_from_bow: way the waves travel, 0 following, 180 head, 90 towards port;
from_bow_clockwise: bearing the waves come from, 0 head, 90 from starboard."""

TYPED: Final = ("reference_x", "reference_y", "waves")
"""Questions that are answered with a number, or may be."""

WORDS: Final[dict[str, str]] = {
    "frequency": "are the periods or frequencies in s, rad/s or Hz?",
    "phase_unit": "are the phases in degrees or radians?",
    "per": "are the motions per wave amplitude or per wave height?",
    "rotation": "in which unit are roll and pitch?",
    "waves": "for which water depth is the wave slope: deep water, or how many metres?",
    "without_phases": "the file has not all phases, and the motion at a hoist off the reference point needs them: "
    "how is it to be read?",
    "head_sea": "which heading is a head sea, waves from ahead?",
    "side": "from which side do waves at heading 90 come?",
    "phase": "is a phase a lead or a lag?",
    "phase_zero": "which phase of the wave at the reference point is a phase of nil?",
    "heave": "is heave positive up or down?",
    "pitch": "is pitch positive bow down or bow up?",
    "roll": "is roll positive starboard down or port down?",
    "symmetric": "are both sides of the vessel alike, so that 0 to 180 is enough?",
    "reference_x": "how far forward of the vessel's origin is the point the motions are for, in m?",
    "reference_y": "how far to port of the vessel's origin is that point, in m?",
    "heading_convention": "is a heading the way waves travel (180 head) or where they come from (0 head)?",
}
"""The question about each convention."""

MEANT: Final[dict[str, str]] = {
    "wave amplitude": "per metre of wave amplitude",
    "wave height": "per metre of wave height, crest to trough: half of that per amplitude",
    "deg/m": "degrees per metre",
    "rad/m": "radians per metre",
    "deg/ft": "degrees per foot",
    "rad/ft": "radians per foot",
    "wave slope": "per wave slope kζ: degrees per degree, or radians per radian",
    "heave only": "heave alone: roll and pitch are left out",
    "upper bound": "an upper bound: |heave| + |x·pitch| + |y·roll|, all at their largest together",
    "180": "180°: a heading is the way the waves travel",
    "0": "0°: a heading is where the waves come from",
    "lead": "a lead: motion goes as cos(ωt + phase), e^(+iωt)",
    "lag": "a lag: motion goes as cos(ωt − phase), e^(−iωt)",
    "crest": "the wave's crest passes",
    "trough": "the wave's trough passes",
    "rise": "the wave rises through still water (zero up-crossing)",
    "fall": "the wave falls through still water (zero down-crossing)",
    "travel_from_bow": "the way waves travel, 180° head sea, 90° from starboard",
    "from_bow_clockwise": "where waves come from, 0° head sea, clockwise, 90° from starboard",
}
"""What an answer means, where it does not say so itself."""


class ResponseQuestions(ConventionNeeded):
    """The file can be read but not understood: `questions` are to be answered, and `conventions` is what is known."""

    def __init__(self, questions: tuple[Question, ...], conventions: ResponseConventions) -> None:
        super().__init__(questions)
        self.conventions = conventions


def question_about(key: str) -> Question:
    """The question about a convention.

    Parameters
    ----------
    key : a field of `ResponseConventions`, or 'heading_convention'
    """
    options: tuple[str, ...] = ()
    if key == "heading_convention":
        options = HEADING_CONVENTIONS
    elif key == "waves":
        options = (DEEP,)
    elif key not in TYPED:
        described = about(ResponseConventions, key)
        options = described.options if isinstance(described, Choice) else ()
    said = [MEANT.get(option, option) for option in options]
    return Question(key, WORDS[key], tuple(options), tuple(said))


def question_of_column(name: str, first: str) -> Question:
    """The question about a column whose name does not tell what it holds."""
    return Question(f"column:{name}", f"what is in column {name}, which begins with {first}?", HOLDS)


def answer(given: ResponseConventions, question: Question, said: str) -> ResponseConventions:
    """What is known of a file, with the answer to one question.

    Parameters
    ----------
    given : what is known so far
    question : as it was put
    said : one of its options, or a number of metres where it may be one

    Raises
    ------
    FileError
        For an answer that is not allowed.
    """
    key, _, column = question.key.partition(":")
    if key in TYPED and said not in question.options:
        metres = parse_number(said.strip().replace(",", "."), question.words)
        change: dict[str, Any] = {key: metres}
        if key == "waves":
            change = {"waves": "finite depth", "depth": metres}
        return replace(given, **change)
    if said not in question.options:
        raise FileError(question.words, said, None, "one of " + ", ".join(question.options))
    if key == "column":
        return replace(given, columns=(*given.columns, ResponseColumn(column, said)))
    if key == "heading_convention":
        head = "180" if said == "travel_from_bow" else "0"
        return replace(given, head_sea=head, side="starboard")
    return replace(given, **{key: said})  # type: ignore[arg-type]


def held_against(given: ResponseConventions, key: str, value: str) -> ResponseConventions:
    """The conventions with one of them read differently, whatever the file says of it.

    Parameters
    ----------
    given : that the file was read with
    key : field of the convention
    value : the other reading, as `Repair` has it
    """
    against = tuple(dict.fromkeys((*given.against, key)))
    if key == "depth":
        against = tuple(dict.fromkeys((*against, "waves")))
        return replace(given, waves="finite depth", depth=float(value), against=against)
    change: dict[str, Any] = {key: value}
    if value == "wave slope" and given.waves is None:
        change["waves"] = "deep water"
    return replace(given, **change, against=against)
