"""What a step has of its own on the page: making safe and waiting, load, time at risk, heading, limits of the rig."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import Final, Literal

import streamlit as st

from heave.errors import InputError
from heave.fields import parse_number
from heave.files.string import read_string
from heave.planning import OPERATIONS, OperationStep, trip_time
from heave.planning.kinds import OperationKey
from heave.screens import pieces, state
from heave.screens.inputs import bound, button, field, plain, side_by_side
from heave.screens.state import Path
from heave.screens.weather.clock import hours
from heave.units import show

NOT_SAID: Final = ""
"""Picked where a step does not say what it waits in."""

_TRIP: Final = {"Depth to trip, m": "3000", "Stand, m": "28", "Stands an hour": "20"}


def draw(path: Path, number: int) -> None:
    """Boxes of one step, with the trip-time calculator where it can be stopped.

    Parameters
    ----------
    path : where the step sits in the plan
    number : its number, from 1
    """
    step: OperationStep = state.at(state.plan(), path)
    if step.interruptible:
        field((*path, "make_safe"), label=f"Time to make safe, {number}")
        _trip(path, number)
        offered = {NOT_SAID: "not said: waits are not judged"}
        offered |= {kind.key: kind.label for kind in OPERATIONS.values()}
        key, chosen = f"heave:step:{path[-1]}:waits", step.waits_in.kind if step.waits_in else NOT_SAID
        about = "What the rig does after the step is made safe; it is judged with the limits of that."
        bound(st.selectbox, f"Waits in, {number}", key, chosen, partial(_waits_in, path), offered, help=about)
        if step.waits_in is not None:
            field((*path, "waits_in", "heave_limit"), label=f"Heave limit while it waits, {number}")
    own = {
        "bit_depth": "Bit depth",
        "hookload": "Hookload",
        "exposure": "Time at risk",
        "heading": "Own heading",
        "wind_limit": "Wind limit",
        "gust_limit": "Gust limit",
        "current_limit": "Current limit",
        "riser_hs_limit": "Riser Hs limit",
        "riser_offset_limit": "Riser offset limit",
    }
    side_by_side({(*path, name): f"{label}, {number}" for name, label in own.items()})
    _string(path, number, step)


def _string(path: Path, number: int, step: OperationStep) -> None:
    """The string of the step: the plan's, or one from a file."""
    if step.string is not None:
        weight = show(step.string.hookload, "force", state.system(), 4)
        top = plain(step.string.sections[0].name)
        st.caption(f"Its own string, {top} at the top, hookload {weight}.")
        words = f"Back to the plan's string, {number}"
        button(words, f"step:{path[-1]}:plan", state.put, (*path, "string"), None)
    take = partial(_string_taken, path)
    pieces.upload(f"string:{path[-1]}", f"Its own string (CSV), {number}", ["csv", "txt"], take)


def _string_taken(path: Path, name: str, data: bytes) -> None:
    """A string from a file, with all but its sections as in the plan's."""
    sections = read_string(data)
    state.edit(lambda plan: state.changed(plan, (*path, "string"), replace(plan.string, sections=sections)))
    state.note("good", f"The step runs the string of {name}.")


def _waits_in(path: Path, kind: OperationKey | Literal[""]) -> None:
    """What the rig waits in, with the limits its procedures have for that."""
    state.try_edit(
        lambda plan: state.changed(plan, (*path, "waits_in"), plan.doing(kind).operation if kind else None)
    )


def _trip(path: Path, number: int) -> None:
    """Time of a trip from depth, stand and stands an hour, and a button that takes it as the time to make safe."""
    columns = st.columns(3, gap="small")
    texts = [
        column.text_input(f"{label}, {number}", value=value, key=f"heave:trip:{path[-1]}:{label}")
        for column, (label, value) in zip(columns, _TRIP.items(), strict=True)
    ]
    try:
        time = trip_time(*(parse_number(text, label) for text, label in zip(texts, _TRIP, strict=True)))
    except InputError as error:
        st.caption(str(error))
        return
    words = f"Take {hours(time)}, connections included, to make step {number} safe"
    button(words, f"trip:{path[-1]}:take", state.put, (*path, "make_safe"), time)
