"""A table edited in place: a row for each of several equal parts of the plan, its columns as the fields declare them.

Cells hold text and are read by the one strict parser, as boxes are. Edits are taken together or not at all: while one
cell is refused all stay in the table, each refusal is named by row and column, and the plan is as it was.
"""

from __future__ import annotations

import zlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import Any, Final

import streamlit as st

from heave import fields
from heave.errors import InputError
from heave.planning import Plan
from heave.screens import paper, state
from heave.screens.inputs import in_units, number_of, plain, sentence, shown_number
from heave.units import unit_of

_ROW: Final = "Row"

With = Callable[[Plan, tuple[Any, ...]], Plan]
"""The plan with other parts in their place."""


def draw(name: str, rows: Sequence[Any], columns: Mapping[str, str], taken: With) -> None:
    """The table, and under it what of its edits was refused and why.

    Parameters
    ----------
    name : of the table, one of its own on every page
    rows : the parts of the plan, equal dataclasses
    columns : their fields that are edited, each with how its column is called without the unit
    taken : puts edited parts in the plan
    """
    system = state.system()
    labels = {field: _label(rows[0], field, label, system) for field, label in columns.items()}
    shown = {_ROW: [str(place + 1) for place in range(len(rows))]}
    shown |= {label: [_shown(row, field, system) for row in rows] for field, label in labels.items()}
    # edits are of these very rows: where something else changes them, the table begins anew
    key = f"heave:grid:{name}:{zlib.crc32(repr(shown).encode()):x}:{state.kept(f'grid:{name}') or 0}"
    read, before = partial(_read, rows=rows, labels=labels, system=system), state.plan()
    refused = _take(name, key, read, taken)
    if state.plan() != before:
        st.rerun()

    def changed() -> None:
        _take(name, key, read, taken)

    config: dict[str, Any] = {_ROW: st.column_config.TextColumn(width=40)}
    for field, label in labels.items():
        about = fields.about(rows[0], field)
        if isinstance(about, fields.Choice):
            options = [sentence(option) for option in about.options]
            config[label] = st.column_config.SelectboxColumn(options=options, required=True, help=about.help)
        else:
            config[label] = st.column_config.TextColumn(help=_help(about, system))
    st.data_editor(
        shown,
        key=key,
        hide_index=True,
        disabled=[_ROW],
        column_config=config,
        on_change=changed,
        width="stretch",
    )
    lines = zip(*shown.values(), strict=True)
    paper.twin(name, [dict(zip(shown, line, strict=True)) for line in lines])
    for why in refused:
        st.markdown(
            f":red[**Not taken.** {plain(why)}. The table keeps what was typed; the plan is as it was.]"
        )


def _take(
    name: str, key: str, read: Callable[[Mapping[int, Mapping[str, Any]]], Any], taken: With
) -> list[str]:
    """Put the edits of the table in the plan and begin it anew, or say what is refused in them."""
    edited = (st.session_state.get(key) or {}).get("edited_rows") or {}
    if not edited:
        return []
    rows, refused = read(edited)
    if refused:
        return list(refused)
    before = state.plan()
    try:
        state.edit(lambda plan: taken(plan, rows))
    except InputError as error:
        return [in_units(error, state.system())]
    if state.plan() != before:
        state.keep(f"grid:{name}", (state.kept(f"grid:{name}") or 0) + 1)
    return []


def _read(
    edited: Mapping[int, Mapping[str, Any]], rows: Sequence[Any], labels: Mapping[str, str], system: str
) -> tuple[tuple[Any, ...], list[str]]:
    """The rows with what was typed into them, and every refusal."""
    made, refused = list(rows), []
    names = {label: field for field, label in labels.items()}
    for place, cells in sorted(edited.items()):
        changes: dict[str, Any] = {}
        for label, typed in cells.items():
            about = fields.about(rows[place], names[label])
            if str(typed or "").strip() == _shown(rows[place], names[label], system):
                continue
            value, why = _value(typed, about, system)
            if why:
                refused.append(f"Row {place + 1}, {label}: {why}")
            changes[names[label]] = value
        if not refused:
            try:
                made[place] = replace(rows[place], **changes)
            except InputError as error:
                refused.append(f"Row {place + 1}: {in_units(error, system)}")
    return tuple(made), refused


def _value(typed: Any, about: fields.Described, system: str) -> tuple[Any, str]:
    """What a cell stands for, and why it is refused where it is."""
    text = str(typed or "")
    if isinstance(about, fields.Quantity):
        return number_of(text, about, system)
    value: Any = text
    if isinstance(about, fields.Choice):
        value = next((option for option in about.options if sentence(option) == text), text)
    try:
        about.check(value)
    except InputError as error:
        return None, str(error)
    return value, ""


def _shown(row: Any, field: str, system: str) -> str:
    about, value = fields.about(row, field), getattr(row, field)
    if isinstance(about, fields.Quantity):
        return shown_number(value, about.kind, system)
    return sentence(value) if isinstance(about, fields.Choice) else str(value)


def _label(row: Any, field: str, label: str, system: str) -> str:
    about = fields.about(row, field)
    unit = unit_of(about.kind, system).symbol if isinstance(about, fields.Quantity) else ""
    return f"{label} ({unit})" if unit else label


def _help(about: fields.Described, system: str) -> str:
    allowed = f" Allowed: {about.allowed(system)}." if isinstance(about, fields.Quantity) else ""
    return plain(f"{about.help}{allowed}".strip())
