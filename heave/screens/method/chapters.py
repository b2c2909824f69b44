"""Text of the method page: the Markdown of this folder with the code's own numbers; the checks speak for themselves."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import partial
from typing import Any, Final

import streamlit as st

from heave.files.plan import PAGE_FILE, SCHEMA_FILE
from heave.formula import Formula
from heave.judging import RULES, Assessment, Check, Rule
from heave.judging import formulas as use
from heave.judging.rules.stroke import END_RATE
from heave.planning import AS_NEW, BASE_CASE, OPERATIONS
from heave.planning.alpha import HEIGHTS
from heave.planning.campaign import RESTRICTED_PLANNED, RESTRICTED_REFERENCE
from heave.screens import pieces
from heave.screens.check.working import working_text
from heave.screens.inputs import folded, plain
from heave.screens.own_files import text_of
from heave.simulation.bands import WAVE_VALIDITY
from heave.simulation.happened import BLOW_VALIDITY
from heave.simulation.statistics import BIT, BLOCK, CELL, FORCE, GAS, TRAVEL
from heave.weather.asked import TIDE_STEP
from heave.weather.headings import HEADING_STEP
from heave.weather.work_now import LEAST_PIECE


def _tex(formula: Formula) -> str:
    return f"${formula.latex()}$"


def unwrapped(text: str) -> str:
    """Markdown with every paragraph and every item of a list on a line of its own, as the page is handed it."""
    return re.sub(r"(?<=\S)\n[ \t]*(?=[^\s#-]|-\S)", " ", text)


def _chapters(name: str, values: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    """Headings and text of a Markdown file of this folder, its {{names}} replaced by what the code has."""
    text = re.sub(r"\{\{(\w+)\}\}", lambda found: values[found[1]], unwrapped(text_of(f"method/{name}.md")))
    return tuple(re.findall(r"^# ([^\n]+)\n\n(.+?)\s*(?=^# |\Z)", text, re.MULTILINE | re.DOTALL))


def _alpha_rows() -> str:
    """The built-in rows of α as a Markdown table."""
    head = ("Planned period up to", *(f"Hs {height:g} m" for height in HEIGHTS))
    rows = (
        (f"{row.period / 3600:g} h", *(f"{factor:.2f}" for factor in row.factors)) for row in BASE_CASE.rows
    )
    return pieces.markdown_table((*head[:-1], f"{head[-1]} and more"), rows)


_FORMULAS: Final = {name: _tex(one) for name, one in vars(use).items() if isinstance(one, Formula)}
CHAPTERS: Final = _chapters("chapters", {**_FORMULAS, "END_RATE": _tex(END_RATE["r"])})
"""Headings and text, in the order in which things are computed; so the two below."""

WINDOWS: Final = _chapters(
    "windows",
    {
        "rows": _alpha_rows(),
        "source": BASE_CASE.source,
        "longest": f"{BASE_CASE.rows[-1].period / 3600:g}",
        "planned": f"{RESTRICTED_PLANNED / 3600:g}",
        "reference": f"{RESTRICTED_REFERENCE / 3600:g}",
        "piece": f"{LEAST_PIECE / 3600:g}",
        "interval": f"{AS_NEW.forecast_interval / 3600:g}",
        "tide_step": f"{TIDE_STEP:g}",
        "heading_step": f"{HEADING_STEP:g}",
        "turn_rate": f"{AS_NEW.turn_rate:g}",
        "needed": f"{100 * AS_NEW.needed:.0f}",
    },
)
"""About weather windows."""

_OF_STATE: Final = {"BLOCK": BLOCK, "TRAVEL": TRAVEL, "GAS": GAS, "FORCE": FORCE, "CELL": CELL, "BIT": BIT}
_VALIDITY: Final = {"WAVE_VALIDITY": WAVE_VALIDITY, "BLOW_VALIDITY": BLOW_VALIDITY}
SIMULATION: Final = _chapters(
    "simulation", {name: one.latex() for name, one in _OF_STATE.items()} | _VALIDITY
)
"""About the simulation: its equations of state, one a line, and how the quick checks fare."""

FILES: Final = unwrapped(text_of("method/files.md")).strip()
"""What files look like."""


def plan_fields() -> None:
    """Every field of the plan file, and the same for a program to take away."""
    how: dict[str, Any] = {"mime": "application/schema+json", "of_the_plan": False}
    pieces.save("Save the JSON Schema", SCHEMA_FILE.read_bytes, SCHEMA_FILE.name, "heave:schema", **how)
    st.markdown(PAGE_FILE.read_text("utf-8").partition("\n")[2].replace("\n## ", "\n### "))


def rules(result: Assessment, system: str) -> None:
    """Every check the planner knows: what it rests on and its source, and its working where the plan has it."""
    worked = {check.key: check for check in result.checks}
    for rule in RULES:
        check = worked.get(rule.key)
        folded(plain(rule.name), f"rule:{rule.key}", partial(_rule, rule, check, system))


def _rule(rule: Rule, check: Check | None, system: str) -> None:
    """Basis and working of a rule, then its formulas: in notation, what each symbol is, and where each is from."""
    if check is not None:
        st.markdown(working_text(check, system))
    else:
        st.markdown(f"{plain(rule.basis)}\n\nSource: {plain(rule.source)}")
        st.caption("Not called for by the operation in the plan.")
    lines = []
    for formula in rule.formulas:
        legend = "; ".join(f"{plain(symbol)}: {plain(meaning)}" for symbol, meaning in formula.legend())
        lines.append(f"- {_tex(formula)}  \n  :small[:gray[{legend}. From: {plain(formula.source)}]]")
    st.markdown("\n".join(lines))


def operations() -> None:
    """Each operation: what string and compensator do in it, which limits it needs, and what is not judged here."""
    lines = []
    for kind in OPERATIONS.values():
        needs = ", ".join(" or ".join(group).replace("_", " ") for group in kind.needs)
        elsewhere = "; ".join(kind.elsewhere)
        lines.append(
            f"- **{plain(kind.label)}**: {plain(kind.about)} String {plain(kind.string)}, compensator "
            f"{plain(kind.compensator)}."
            + (f" Needs from the procedures: {plain(needs)}." if needs else "")
            + (f" Not judged here: {plain(elsewhere)}." if elsewhere else "")
        )
    st.markdown("\n".join(lines))
