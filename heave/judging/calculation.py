"""The calculation of a plan in reading order: what is given, then every step once, each resting on those above it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from heave.formula import Step, Term
from heave.judging.results import Assessment


@dataclass(frozen=True)
class Given:
    """A number that a step uses and no step above it gives: an input of the plan, or a figure read from a table.

    `origin` says where it is from, in words that a reader can look up.
    """

    symbol: str
    term: Term
    origin: str


@dataclass(frozen=True)
class Chapter:
    """One part of a calculation: what is given first, then its steps; `words` say what they do.

    `check` is the key of the check that the chapter ends in; empty where its results are for later chapters.
    """

    title: str
    given: tuple[Given, ...]
    steps: tuple[Step, ...]
    words: str = ""
    check: str = ""


def calculation(assessment: Assessment) -> tuple[Chapter, ...]:
    """The chapters of the calculation that made the verdict, in the order in which they rest on each other.

    Parameters
    ----------
    assessment : of the plan; its own steps are used, nothing is worked again

    Returns
    -------
    Chapters, no step in two of them
    """
    known: set[tuple[str, float]] = set()
    return tuple(
        _chapter(check.name, check.basis, check.key, check.working, known) for check in assessment.checks
    )


def _chapter(
    title: str, words: str, key: str, steps: Iterable[Step], known: set[tuple[str, float]]
) -> Chapter:
    """The steps that no chapter before this one has, and what they use besides earlier results."""
    given: dict[str, Given] = {}
    own = []
    for step in steps:
        if (step.symbol, step.result.value) in known:
            continue
        own.append(step)
        for symbol, term in step.terms.items():
            if (symbol, term.value) not in known:
                given.setdefault(symbol, Given(symbol, term, term.meaning))
        known.add((step.symbol, step.result.value))
    return Chapter(title, tuple(given.values()), tuple(own), words, key)
