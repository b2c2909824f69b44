"""Working of the checks behind disclosures: symbols, numbers, result, legend, source."""

from __future__ import annotations

import streamlit as st

from heave.judging import NOT_ASSESSED, Check
from heave.screens import figures
from heave.screens.inputs import folded, plain


def draw(check: Check, system: str) -> None:
    """The working of one check behind a disclosure: symbols, numbers, result, legend, source."""
    label = f"{check.name}: {check.headline(system)}, {figures.utilisation_text(check.utilisation)}"
    if check.state == NOT_ASSESSED:
        label = f"{check.name}: not assessed"
    with folded(plain(label), f"working:{check.key}") as opened:
        if opened:
            st.markdown(working_text(check, system))


def working_text(check: Check, system: str) -> str:
    """The working of a check as Markdown."""
    lines = [plain(check.basis), ""]
    for step in check.working:
        lines.append(f"- {_code(step.symbols())}  ")
        lines.append(f"  {_code(step.numbers(system))}  ")
        legend = "; ".join(f"{symbol}: {meaning}" for symbol, meaning in step.legend())
        lines.append(f"  :small[:gray[{plain(legend)}]]")
    lines += ["", f"Source: {plain(check.source)}"]
    return "\n".join(lines)


def _code(words: str) -> str:
    return "`" + words.replace("`", "'") + "`"
