"""Inputs drawn from what a field says of itself: label, unit, bounds and help come from its description.

Numbers are typed into text boxes and read by one strict parser, so a decimal comma can never turn into
thousands. A value that is shown and not edited is never written back: only a changed text is read.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, Final

import streamlit as st

from heave import fields
from heave.errors import InputError
from heave.screens import state
from heave.screens.state import Path, Refused
from heave.units import UNITS, display_value, significant, stored_value, unit_of

Companions = Callable[[Any, Any], dict[str, Any]]
"""From the object that holds the field and the new value: what else has to change with it."""

SHOWN_DIGITS: Final = 6
"""Significant figures of a number in its box; the stored value keeps all of its own."""

WORDS: Final = {
    "two-parameter": "Two-parameter (PM, ISSC)",
    "jonswap": "JONSWAP",
    "torsethaugen": "Torsethaugen, two peaks",
    "ochi-hubble": "Ochi–Hubble, most probable",
    "gaussian-swell": "Gaussian swell",
    "long-crested": "Long-crested",
    "cos-n": "cosⁿ θ, ±90°",
    "cos-2s": "cos²ˢ θ/2, all round",
    "Tp": "Tp, peak",
    "Tz": "Tz, zero-crossing",
    "T1": "T1, mean",
    "Te": "Te, energy",
}
"""How options are worded on the screen, where it differs from how they are stored."""


def plain(words: str) -> str:
    """Text of unknown origin made safe for Markdown: every mark that could be read as markup is escaped."""
    return re.sub(r"([\\`*_{}\[\]()#+\-.!|<>~$:&^=\"'/@])", r"\\\1", words)


def sentence(words: str) -> str:
    """The words with their first letter large, as labels and headings have it."""
    return words[:1].upper() + words[1:]


def inside(words: str) -> str:
    """A name as it stands inside a sentence: first letter small, but not that of an abbreviation."""
    return words if words[1:2].isupper() else words[:1].lower() + words[1:]


def shown_number(value: float | None, kind: str, system: str) -> str:
    """A stored number as its box shows it: plain digits in display units; empty for None."""
    if value is None:
        return ""
    number = display_value(value, kind, system)
    text = f"{number:.{SHOWN_DIGITS}g}"
    if "e" in text and abs(number) >= 1e-6:
        decimals = max(0, SHOWN_DIGITS - 1 - math.floor(math.log10(abs(number))))
        text = f"{number:.{decimals}f}"
    return "0" if text == "-0" else text


def field(path: Path, *, label: str | None = None, companions: Companions | None = None) -> None:
    """Draw the input of one field of the plan, whatever sort of field it is, with its error below it.

    A short `label` of the caller's own goes without the help mark, for narrow places.
    """
    holder = state.at(state.plan(), path[:-1])
    about = fields.about(holder, str(path[-1]))
    if isinstance(about, fields.Quantity):
        number(path, about, label)
    elif isinstance(about, fields.Choice):
        choice(path, about, label, companions)
    elif isinstance(about, fields.Flag):
        flag(path, about, label)
    else:
        words(path, about, label)


@contextmanager
def folded(label: str, name: str, *, opened: bool = False) -> Iterator[bool]:
    """A disclosure whose content is drawn only while it is open; yields whether it is.

    What is inside is then neither computed nor sent while nobody looks, and since every value lives in
    the plan, nothing is lost by not being drawn. It stays open when its label changes with the figures.
    """
    key = f"heave:open:{name}"
    box = st.expander(
        label,
        key=key,
        expanded=state.is_open(name, opened),
        on_change=lambda: state.keep_open(name, bool(st.session_state[key])),
    )
    with box:
        yield bool(box.open)


def all_fields(path: Path, names: tuple[str, ...], columns: int = 3) -> None:
    """The inputs of several fields of one object, side by side in rows."""
    for first in range(0, len(names), columns):
        row = st.columns(columns, vertical_alignment="bottom")  # long labels wrap, boxes stay level
        for place, name in zip(row, names[first : first + columns], strict=False):
            with place:
                field((*path, name))


def number(path: Path, about: fields.Quantity, label: str | None = None) -> None:
    """A text box for a number, its unit in the label, its error and the value kept right under it."""
    system = state.system()
    value = state.at(state.plan(), path)
    key = _key(path, system)
    shown = shown_number(value, about.kind, system)
    _keep_text(path, key, shown)
    unit = unit_of(about.kind, system).symbol
    st.text_input(
        (label or sentence(about.label)) + (f" ({unit})" if unit else ""),
        key=key,
        help=None if label else _help(about, system),
        placeholder="empty" if about.optional else None,
        on_change=_number_typed,
        args=(path, about, system),
    )
    _error(path, f"{shown} {unit}".strip() if shown else "empty")


def choice(path: Path, about: fields.Choice, label: str | None, companions: Companions | None) -> None:
    """A pick from the options of a field."""
    key = _key(path)
    st.session_state[key] = state.at(state.plan(), path)
    st.selectbox(
        label or sentence(about.label),
        about.options,
        key=key,
        format_func=lambda option: WORDS.get(option, sentence(str(option))),
        help=None if label else about.help or None,
        on_change=_picked,
        args=(path, companions),
    )
    _error(path, "")


def flag(path: Path, about: fields.Flag, label: str | None = None) -> None:
    """A yes-or-no."""
    key = _key(path)
    st.session_state[key] = state.at(state.plan(), path)
    name = label or sentence(about.label)
    st.checkbox(name, key=key, help=about.help or None, on_change=_picked, args=(path, None))
    _error(path, "")


def words(path: Path, about: fields.Text, label: str | None = None) -> None:
    """A short text."""
    key = _key(path)
    _keep_text(path, key, state.at(state.plan(), path))
    st.text_input(
        label or sentence(about.label),
        key=key,
        help=about.help or None,
        on_change=_picked,
        args=(path, None),
    )
    _error(path, "")


def in_units(error: InputError, system: str) -> str:
    """An error in words, its value and the figures in its bounds in the units on the screen."""
    kinds = {"N": "force", "m": "length", "Pa": "pressure", "kg": "mass", "m³": "volume", "m²": "area"}
    kind = kinds.get(error.unit or "")
    if kind is None or not isinstance(error.value, int | float):
        return str(error)
    unit = unit_of(kind, system)

    def convert(found: re.Match[str]) -> str:
        value = float(found[1]) * UNITS[found[2]].factor / unit.factor
        return f"{significant(value, 4)} {unit.symbol}"

    allowed = re.sub(
        rf"([-+]?\d[\d.]*(?:e[-+]?\d+)?) ({re.escape(error.unit or '')})\b", convert, error.allowed
    )
    shown = significant(float(error.value) / unit.factor, 4)
    return f"{error.what}: {shown} {unit.symbol} cannot be used; allowed: {allowed}"


def _key(path: Path, system: str = "") -> str:
    return ":".join(["heave:input", *(str(step) for step in path), system])


def _keep_text(path: Path, key: str, shown: str) -> None:
    """Let the box show the stored value, unless it holds the very text that was refused."""
    entry = state.refused(path)
    if entry is not None and st.session_state.get(key) == entry.typed:
        return
    state.accept(path)
    if st.session_state.get(key) != shown:
        st.session_state[key] = shown


def _help(about: fields.Quantity, system: str) -> str:
    allowed = about.allowed(system)
    return plain(f"{about.help} Allowed: {allowed}." if about.help else f"Allowed: {allowed}.")


def _error(path: Path, kept: str) -> None:
    entry = state.refused(path)
    if entry is not None:
        tail = f". Still used: {kept}." if kept else "."
        st.markdown(f":red[**Not taken.** {plain(entry.why + tail)}]")


def _number_typed(path: Path, about: fields.Quantity, system: str) -> None:
    """Read a changed text; write the value only if the text is not the one the stored value shows."""
    typed: str = st.session_state[_key(path, system)]
    if typed.strip() == shown_number(state.at(state.plan(), path), about.kind, system):
        state.accept(path)
        return
    unit = unit_of(about.kind, system)
    label = sentence(about.label)
    asked = f"{label} as typed"
    try:
        if about.optional and not typed.strip():
            value = None
        else:
            number_ = fields.parse_number(typed, asked, unit.symbol or None)
            value = stored_value(number_, about.kind, system)
        about.check(value)
    except InputError as error:
        # Bounds are told in the units on the screen; what is no number at all, in the parser's own words.
        allowed = about.allowed(system) if error.what == about.label else error.allowed
        given = f"{typed.strip()} {unit.symbol}".strip() if typed.strip() else "an empty box"
        state.refuse(path, Refused(typed, f"{label}: {given} cannot be used; allowed: {allowed}"))
        return
    refusal = state.edit(lambda plan: state.changed(plan, path, value))
    if refusal is None:
        state.accept(path)
    else:
        state.refuse(path, Refused(typed, in_units(refusal, system)))


def _picked(path: Path, companions: Companions | None) -> None:
    value = st.session_state[_key(path)]
    holder = state.at(state.plan(), path[:-1])
    beside = companions(holder, value) if companions else {}
    refusal = state.edit(lambda plan: state.changed(plan, path, value, **beside))
    if refusal is None:
        state.accept(path)
    else:
        state.refuse(path, Refused(str(value), in_units(refusal, state.system())))
