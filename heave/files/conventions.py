"""Questions about what a file does not say of its numbers: their meaning is asked for and never assumed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from heave.errors import FileError

RESPONSE_FORMAT: Final = "heave-response-table 1"
"""Name and version of the format read and written, in its first comment."""


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
