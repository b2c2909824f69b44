"""Working of the checks behind disclosures: symbols, numbers, result, legend, source."""

from __future__ import annotations

from collections.abc import Iterable

import streamlit as st

from heave.judging import NOT_ASSESSED, Check, Step
from heave.screens import figures
from heave.screens.inputs import folded, plain


def draw(check: Check, system: str) -> None:
    """The working of one check behind a disclosure: symbols, numbers, result, legend, source."""
    used = f"{check.headline(system)}, {figures.utilisation_text(check.utilisation)}"
    label = f"{check.name}: {'not assessed' if check.state == NOT_ASSESSED else used}"
    folded(plain(label), f"working:{check.key}", lambda: st.markdown(working_text(check, system)))


def working_text(check: Check, system: str) -> str:
    """The working of a check as Markdown."""
    return f"{plain(check.basis)}\n\n{steps_text(check.working, system)}\n\nSource: {plain(check.source)}"


def steps_text(steps: Iterable[Step], system: str) -> str:
    """Working as Markdown: symbols, numbers, legend; a sum of a negative number reads as a difference."""
    lines = []
    for step in steps:
        numbers = step.numbers(system).replace("+ \u2212", "\u2212 ").replace("\u2212 \u2212", "+ ")
        legend = "; ".join(f"{symbol}: {meaning}" for symbol, meaning in step.legend())
        symbols, numbers = (words.replace("`", "'") for words in (step.symbols(), numbers))
        lines.append(f"- `{symbols}`  \n  `{numbers}`  \n  :small[:gray[{plain(legend)}]]")
    return "\n".join(lines)
