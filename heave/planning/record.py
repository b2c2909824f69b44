"""What stands in the title block of a calculation beside the plan: who made it, who stands by it, and for what."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from heave import fields
from heave.errors import InputError

LONGEST_NOTE: Final = 2000
"""Longest note of the author [characters]."""

_SEAL: Final = re.compile(r"[0-9a-f]{64}|")


@dataclass(frozen=True)
class Signed:
    """A name entered under a calculation, and what it was entered for.

    by : whose name; empty where nobody's is
    seal : SHA-256 of the plan as it was then, see `heave.files.seals`; empty without a name
    model : version of the computation then; empty without a name
    """

    by: str = fields.text("Name", default="", longest=80, help="Of whoever answers for it.")
    seal: str = fields.text("Entered for the plan with the seal", default="")
    model: str = fields.text("Entered under the model", default="", longest=40)

    def __post_init__(self) -> None:
        fields.validate(self)
        _check_seal(self.by, self.seal)
        if bool(self.by) != bool(self.model):
            raise InputError("Entered under the model", self.model, None, "a version where there is a name")


@dataclass(frozen=True)
class Hour:
    """The hour of a forecast whose sea and heading the plan has.

    words : which hour of which forecast, for which step, and whether the sea is raised by the forecast factor
    seal : SHA-256 of the sea and the heading then; empty without words
    """

    words: str = fields.text("Hour of a forecast", default="", longest=600)
    seal: str = fields.text("Sea and heading with the seal", default="")

    def __post_init__(self) -> None:
        fields.validate(self)
        _check_seal(self.words, self.seal)


def _check_seal(words: str, seal: str) -> None:
    if not _SEAL.fullmatch(seal) or bool(words) != bool(seal):
        raise InputError(
            "seal", seal, None, "64 digits of SHA-256 where there is a name, none where there is not"
        )


NOBODY: Final = Signed()


@dataclass(frozen=True)
class Record:
    """The title block: nothing of it moves a result.

    A check covers the plan with its title block and note; an approval covers the check as well.
    """

    well: str = fields.text("Well", default="", help="As it is to stand on sheet and card.")
    rig: str = fields.text("Rig", default="", help="Empty: the name of the vessel.")
    revision: str = fields.text(
        "Revision", default="", longest=40, help="Of this plan, as your office numbers it."
    )
    date: str = fields.text("Date", default="", longest=40, help="Of this revision, as 2026-11-26.")
    prepared_by: str = fields.text(
        "Prepared by", default="", longest=80, help="Whose name stands on sheet and card."
    )
    note: str = fields.text(
        "Note of the author",
        default="",
        longest=LONGEST_NOTE,
        lines=True,
        help="What a reader has to know that no number says. It stands on the sheet and in the plan.",
    )
    checked: Signed = NOBODY
    approved: Signed = NOBODY
    hour: Hour = Hour()

    def __post_init__(self) -> None:
        fields.validate(self)
        fields.check_parts(self, {"checked": Signed, "approved": Signed, "hour": Hour})


UNTITLED: Final = Record()
