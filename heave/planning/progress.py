"""How far the trainee has come with the lesson, kept with the plan; nothing of it moves a result."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Final

from heave import fields
from heave.errors import InputError

MOST_DONE: Final = 100
"""Most scenes, and most answers, kept."""

_NUMBERS: Final = re.compile(r"[0-9a-f]{16}")


@dataclass(frozen=True)
class Answered:
    """An exercise that was answered rightly, and the numbers it was answered for.

    key : of the exercise; one that this planner does not have is kept and left alone
    numbers : 16 digits of SHA-256 over what was asked and its answer, see `heave.teaching.exercises`
    """

    key: str = fields.text("Exercise answered rightly", longest=60)
    numbers: str = fields.text("For the numbers with the hash", longest=16)

    def __post_init__(self) -> None:
        fields.validate(self)
        if not _NUMBERS.fullmatch(self.numbers):
            raise InputError("For the numbers with the hash", self.numbers, None, "16 digits of SHA-256")


@dataclass(frozen=True)
class Progress:
    """Scenes gone through, by key, and exercises answered rightly, in the order in which they were done."""

    scenes: tuple[str, ...] = ()
    answers: tuple[Answered, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "scenes", tuple(self.scenes))
        fields.hold_tuple(self, "answers", Answered, "answers", "exercises answered rightly")
        about = fields.Text("Scene gone through", longest=60)
        for key in self.scenes:
            about.check(key)
        for what, keys in (("scenes", self.scenes), ("answers", tuple(one.key for one in self.answers))):
            if len(set(keys)) < len(keys) or len(keys) > MOST_DONE:
                raise InputError(what, len(keys), None, f"each once, at most {MOST_DONE}")

    def with_scene(self, key: str) -> Progress:
        """This with the scene of a `key` gone through, once."""
        return self if key in self.scenes else replace(self, scenes=(*self.scenes, key))

    def with_answer(self, key: str, numbers: str) -> Progress:
        """This with the exercise of a `key` answered rightly for these `numbers`, and for no others."""
        if Answered(key, numbers) in self.answers:
            return self
        others = tuple(one for one in self.answers if one.key != key)
        return replace(self, answers=(*others, Answered(key, numbers)))

    def joined(self, other: Progress) -> Progress:
        """This with what an `other` has beside it; the first `MOST_DONE` of each."""
        keys = {one.key for one in self.answers}
        answers = (*self.answers, *(one for one in other.answers if one.key not in keys))
        scenes = dict.fromkeys((*self.scenes, *other.scenes))
        return Progress(tuple(scenes)[:MOST_DONE], answers[:MOST_DONE])

    def numbers_of(self, key: str) -> str:
        """The numbers for which the exercise of a `key` was answered rightly; empty where it was not."""
        return next((one.numbers for one in self.answers if one.key == key), "")


NOTHING_DONE: Final = Progress()
