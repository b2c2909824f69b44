"""Working of the checks behind disclosures: symbols, numbers, result, legend, source."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import TYPE_CHECKING

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from heave.judging import NOT_ASSESSED, Check, Step
from heave.planning import Plan
from heave.screens import state
from heave.screens.figures.utilisation import simulated_text, utilisation_text
from heave.screens.inputs import folded, plain
from heave.simulation.proof import Simulated
from heave.units import show, show_apart

if TYPE_CHECKING:
    from heave.judging.calculation import Chapter, Given


def draw(check: Check, system: str, figure: Simulated | None) -> DeltaGenerator | None:
    """The working of one check behind a disclosure; returns its place where that is open.

    What is simulated may come later: the place is then written again.
    """
    place: list[DeltaGenerator] = []
    used = f"{check.headline(system)}, {utilisation_text(check.utilisation)}"
    label = f"{check.name}: {'not assessed' if check.state == NOT_ASSESSED else used}"

    def opened() -> None:
        # most sessions open no working on their first page
        from heave.judging.calculation import resting_on

        place.append(st.markdown(working_text(check, system, figure)))
        chapters = _chapters(state.plan().as_judged)
        st.markdown(chain_text(resting_on(chapters, check.key), system))

    folded(plain(label), f"working:{check.key}", opened)
    return place[0] if place else None


@lru_cache(maxsize=4)
def _chapters(plan: Plan) -> tuple[Chapter, ...]:
    from heave.judging.calculation import calculation

    return calculation(state.assessed(plan))


def chain_text(chapters: Iterable[Chapter], system: str) -> str:
    """All that a check rests on as Markdown, from what is given down: each number with where it is from.

    Parameters
    ----------
    chapters : from `resting_on`
    system : unit system
    """
    parts = ["**Down to it, from what is given.** Every number is printed as it can be worked again with."]
    for chapter in chapters:
        parts.append(f"*{plain(chapter.title)}*")
        lines = [_given_text(one, system) for one in chapter.given]
        lines += [_step_text(step, system) for step in chapter.steps]
        parts.append("\n".join(lines) or f"- {chapter.demand} and {chapter.capacity}, above")
    return "\n\n".join(parts)


def _given_text(one: Given, system: str) -> str:
    told = plain(f"{one.term.meaning}. {one.origin}")
    return f"- `{one.symbol} = {one.term.shown(system)}` :small[:gray[{told}]]"


def _step_text(step: Step, system: str) -> str:
    symbols, numbers = (words.replace("`", "'") for words in (step.symbols(), step.numbers(system)))
    told = plain(f"{step.result.meaning}. {step.source}")
    return f"- `{symbols}`  \n  `{numbers}`  \n  :small[:gray[{told}]]"


def working_text(check: Check, system: str, figure: Simulated | None = None) -> str:
    """The working of a check as Markdown: what is compared, symbols, numbers, legend, source, what is simulated."""
    steps = steps_text(check.working, system, check.source)
    words = f"{plain(check.basis)}\n\n{steps}\n\nSource: {plain(check.source)}"
    if figure is None:
        return words
    demand, capacity = show_apart(figure.demand, figure.capacity, figure.kind, system)
    low, high = (show(value, figure.kind, system) for value in (figure.low, figure.high))
    told = f"{demand} ({low} to {high}) of {capacity}, {simulated_text(figure)}"
    return f"{words}\n\nSimulated: {plain(told)}"


def steps_text(steps: Iterable[Step], system: str, source: str | None = None) -> str:
    """Working as Markdown: symbols, numbers, legend; a sum of a negative number reads as a difference.

    Where the `source` of all of them is given, a step that has another says so.
    """
    lines = []
    for step in steps:
        numbers = step.numbers(system).replace("+ \u2212", "\u2212 ").replace("\u2212 \u2212", "+ ")
        legend = "; ".join(f"{symbol}: {meaning}" for symbol, meaning in step.legend())
        legend += "" if source is None or step.source in ("", source) else f". {step.source}"
        symbols, numbers = (words.replace("`", "'") for words in (step.symbols(), numbers))
        lines.append(f"- `{symbols}`  \n  `{numbers}`  \n  :small[:gray[{plain(legend)}]]")
    return "\n".join(lines)
