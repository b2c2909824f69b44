"""The words of the planner: one for each thing, what it means, and what it is never called."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from typing import Final

from heave.screens.own_files import text_of


@dataclass(frozen=True)
class Term:
    """A word as the trade uses it; `never` are other words for it that stand nowhere, in screens, files and guide."""

    word: str
    meaning: str
    never: tuple[str, ...] = ()


def _read() -> tuple[Term, ...]:
    """The terms of `glossary.csv`; others for a word stand in one cell, semicolons between them."""
    rows = csv.DictReader(text_of("method/glossary.csv").splitlines())
    return tuple(
        Term(row["word"], row["meaning"], tuple(filter(None, row["never"].split("; ")))) for row in rows
    )


GLOSSARY: Final = _read()
"""In the order of the alphabet."""
