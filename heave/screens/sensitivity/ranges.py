"""The ranges of the study: a grid that is edited in place, each cell held to the field it goes to."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

import streamlit as st

from heave.errors import InputError
from heave.planning import Plan, StudiedInput
from heave.planning.study import SHAPES
from heave.screens import paper, state
from heave.screens.inputs import all_fields, button, plain, sentence, shown_number, typed_number
from heave.studies.inputs import Input, inputs_of
from heave.units import unit_of, with_unit

LOW, HIGH, SPREAD, VARY = "Low end", "High end", "Spread", "Vary"
"""Columns that can be edited."""

NO_RANGE: Final = "none: planned is 0, give one"

_TURN, _REFUSED = "study:grid", "study:refused"


def draw() -> None:
    """The grid, what it means, and how many plans are drawn."""
    plan, system = state.plan(), state.system()
    turn = state.kept(_TURN) or 0
    key = f"heave:study:{turn}"
    st.caption(
        "Type an end, pick a spread, or clear *Vary* to leave an input as planned; an emptied end brings the usual "
        "range back. Normal and lognormal: one in twenty lies beyond each end. The ranges are kept in the plan."
    )
    refused: str | None = state.kept(_REFUSED)
    if refused:
        st.markdown(f":red[**Not taken.** {plain(refused)}.]")
    locked = ("Input", "Unit", "As planned", "Range from")
    rows = grid(plan, system)
    st.data_editor(
        rows,
        key=key,
        hide_index=True,
        height="content",  # all of it: a grid drawn anew would scroll back to its top
        width="stretch",
        disabled=locked,
        column_order=("Input", "As planned", LOW, HIGH, "Unit", SPREAD, VARY, "Range from"),
        column_config={
            "Input": st.column_config.TextColumn(pinned=True),
            SPREAD: st.column_config.SelectboxColumn(options=SHAPES, required=True),
            VARY: st.column_config.CheckboxColumn(width="small"),
            "Unit": st.column_config.TextColumn(width="small"),
        },
        on_change=_edited,
        args=(key, turn),
    )
    paper.twin("ranges", rows)
    if plan.study.inputs:
        button("Usual ranges for all", "study:usual", all_usual)
    all_fields(("study",), ("samples", "seed", "seas_per_draw", "period_correlation"), 4)


def grid(plan: Plan, system: str) -> list[dict[str, Any]]:
    """A row for each input that the plan has, as text in the units on the screen.

    Parameters
    ----------
    plan : with its study
    system : units on the screen
    """
    return [_row(plan, one, system) for one in inputs_of(plan)]


def _row(plan: Plan, one: Input, system: str) -> dict[str, Any]:
    kind = one.about.kind
    given, source = current(plan, one)
    low, high = ("", "") if given is None else (shown_number(end, kind, system) for end in given[:2])
    return {
        "Input": sentence(one.about.label),
        "As planned": shown_number(one.planned(plan), kind, system),
        LOW: low,
        HIGH: high,
        "Unit": unit_of(kind, system).symbol,
        SPREAD: SHAPES[0] if given is None else given[2],
        VARY: given is not None and given[3],
        "Range from": source,
    }


def current(plan: Plan, one: Input) -> tuple[tuple[float, float, str, bool] | None, str]:
    """Low end, high end, spread and whether it is varied, and where the range is from; None where there is none.

    Parameters
    ----------
    plan : with its study
    one : an input that it has
    """
    own, usual = plan.study.of(one.name), one.usual_range(plan)
    if own is not None:
        return (own.low, own.high, own.shape, own.varied), "you"
    if usual is None:
        return None, NO_RANGE
    return (*usual[0], SHAPES[0], True), usual[1]


def with_edits(plan: Plan, edits: Mapping[int, Mapping[str, Any]], system: str) -> Plan:
    """The plan with edits of its grid put in.

    Parameters
    ----------
    plan : with its study
    edits : new values of cells, by place of the row and name of the column
    system : units in which they were typed

    Raises
    ------
    InputError
        If a cell holds no number, or a range that the input cannot have.
    """
    study, every = plan.study, inputs_of(plan)
    for place, cells in edits.items():
        one = every[place]
        if any(name in cells and not (cells[name] or "").strip() for name in (LOW, HIGH)):
            study = study.without(one.name)
        else:
            study = study.stating(_stated(plan, one, cells, system))
    return plan.changed(study=study)


def _stated(plan: Plan, one: Input, cells: Mapping[str, Any], system: str) -> StudiedInput:
    """The range of one input with its edited cells; an end that there was none of is the planned value."""
    planned = one.planned(plan)
    assert planned is not None
    given, _ = current(plan, one)
    if given is None and not {LOW, HIGH} & set(cells):
        allowed = "a low and a high end before it can be varied"
        raise InputError(sentence(one.about.label), None, None, allowed)
    low, high, shape, varied = given or (planned, planned, SHAPES[0], True)
    ends = []
    for name, kept in ((LOW, low), (HIGH, high)):
        label = f"{name} of {one.about.label}"
        value = typed_number(cells[name], label, one.about.kind, system) if name in cells else kept
        if name in cells:
            one.check(plan, value)
        ends.append(value)
    if ends[0] >= ends[1]:
        unit = unit_of(one.about.kind, system).symbol
        low_, high_ = (with_unit(shown_number(end, one.about.kind, system), unit) for end in ends)
        raise InputError(f"Low end of {one.about.label}", low_, None, f"below the high end, {high_}")
    return StudiedInput(one.name, ends[0], ends[1], cells.get(SPREAD, shape), cells.get(VARY, varied))


def _edited(key: str, turn: int) -> None:
    """Put what was edited in the plan, or say why not; the grid is then drawn anew from the plan."""
    edits, system = st.session_state[key]["edited_rows"], state.system()
    state.keep(_TURN, turn + 1)
    state.keep(_REFUSED, None)
    try:
        state.edit(lambda plan: with_edits(plan, edits, system))
    except InputError as error:
        state.keep(_REFUSED, str(error))


def all_usual() -> None:
    """Every input over its usual range again."""
    state.keep(_TURN, (state.kept(_TURN) or 0) + 1)
    state.keep(_REFUSED, None)
    state.put(("study", "inputs"), (), "Usual ranges again.")
