"""Parts of the rig page: vessel, compensator and drill string, each from a library, a file or by hand."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

import streamlit as st

from heave.files.rigs import demo_compensators, demo_strings, demo_vessels
from heave.planning import rig
from heave.screens import grid, pieces, state
from heave.screens.inputs import STAYS, all_fields, bound, button, folded, names_of, plain, typed_number
from heave.screens.rig import data_sheet, uploads
from heave.screens.rig import response as own
from heave.units import show, significant, unit_of

_GROUPS: Final[tuple[tuple[str, tuple[str, ...], int], ...]] = (
    (
        "Stroke and ratings",
        ("stroke", "end_reserve", "velocity_rating", "compensated_rating", "locked_rating", "moving_mass"),
        3,
    ),
    ("Line and power", ("lines", "line_speed_limit", "line_acceleration_limit", "power_limit"), 4),
    ("Gas", ("effective_area", "gas_volume", "gas_volume_shut", "pressure_rating"), 4),
    ("Polytropic index", ("index_low", "index", "index_high"), 3),
    ("Losses", ("friction_fraction", "hydraulic_loss"), 3),
    (
        "Active part",
        (
            *("mounting", "active_loop", "active_gain", "active_delay", "active_bandwidth"),
            *("active_centring", "active_force_limit", "active_velocity_limit", "active_power_limit"),
        ),
        4,
    ),
)
"""Fields of a compensator under their headings, with the boxes in a row; a kind shows those it has."""

_KINDS: Final = {
    "in-line": "in-line, passive",
    "crown-mounted": "crown-mounted, passive",
    "active-assisted": "passive with an active part",
    "drawworks": "compensating drawworks",
}
_SECTION: Final = {
    "name": "Section",
    "length": "Length",
    "outer_diameter": "Outside",
    "inner_diameter": "Inside",
    "linear_mass": "Mass in air",
    "yield_strength": "Yield",
    "tensile_area": "Area in tension",
    "youngs_modulus": "Young's modulus",
}
"""Fields of a section, and how their columns are called."""

_PIPES: Final = {f"{size} {weight} lb/ft": (size, weight) for size, weight in rig.PIPE_CHOICES}
_HEAVY: Final = {f"{size} heavy-weight": size for size in rig.HEAVY_WEIGHT_CHOICES}
"""Pipe of the table and heavy-weight pipe, by what they are called on the screen."""


def vessel() -> None:
    """Vessel: from the library, from a response file, hoist position, and its response as a figure."""
    _library("vessel", {**demo_vessels(), **rig.closed_form_vessels()})
    plan = state.plan()
    response = plan.vessel.response
    hull = hasattr(response, "draught")
    all_fields(("vessel",), ("name", "length", *(() if hull else ("draught",)), "hoist_x", "hoist_y"), 4)
    if hull:
        st.markdown("## Main dimensions")
        all_fields(("vessel", "response"), names_of(response), 4)
    if plan.vessel.provenance:
        st.caption(plain(f"Response: {plan.vessel.provenance}"))
    own.origin(plan.vessel.origin)
    if not own.chart(plan, "response", "Heave at the hoist per metre of wave over period"):
        st.caption(
            "The response of this hull depends on the sea, through its viscous damping: see the check page."
        )
    own.box()


def compensator() -> None:
    """Compensator: from the library, then every field its kind has."""
    _library("compensator", demo_compensators())
    unit = state.plan().compensator
    about = "What both kinds have is kept; the rest starts from the invented unit of the new kind."
    bound(st.selectbox, "Kind", "heave:kind", unit.kind, _other_kind, _KINDS, help=about)
    if unit.note:
        st.caption(plain(unit.note))
    all_fields(("compensator",), ("name", "note"), 2)
    for heading, names, columns in _GROUPS:
        shown = [name for name in names if name in names_of(unit)]
        if shown:
            st.markdown(f"## {heading}")
            all_fields(("compensator",), shown, columns)
    if isinstance(unit, rig.GasUnit):
        st.caption(f"Open gas volume is {significant(unit.volume_ratio)} times the swept volume.")
    data_sheet.draw()


def _other_kind(kind: str) -> None:
    """Make the unit one of the kind picked."""
    pattern = next(unit for unit in demo_compensators().values() if unit.kind == kind)
    words = f"The compensator is now {_KINDS[kind]}; look through its fields."
    state.try_edit(lambda plan: rig.with_kind(plan, kind, pattern), words)


def string() -> None:
    """Drill string: from the library or a file, mud and gear, the sections, and what they add up to."""
    _library("string", demo_strings())
    plan, system = state.plan(), state.system()
    whole = plan.string
    all_fields(("string",), ("mud_density", "inside", "handling_mass", "drag", "steel_density"), 5)
    st.caption(
        f"{show(whole.length, 'length', system, 4)} of pipe, {show(whole.buoyed_weight, 'force', system, 4)} in mud, "
        f"hookload {show(whole.hookload, 'force', system, 4)}, static spring "
        f"{show(whole.stiffness, 'stiffness', system)}, buoyancy factor {significant(whole.buoyancy_factor, 4)}."
    )
    st.markdown("## Sections, top down")
    grid.draw("sections", whole.sections, _SECTION, rig.with_sections)
    with st.container(horizontal=True):
        for place in range(len(whole.sections)):
            if place:
                button(f"Move {place + 1} up", f"up:{place}", _move_up, place)
            if len(whole.sections) > 1:
                button(f"Remove {place + 1}", f"cut:{place}", _remove_section, place)
    folded("Add a section from the pipe table", "pipe", _add_section)
    uploads.string_box()


def _library(name: str, items: Mapping[str, Any]) -> None:
    """Pick one of the invented items and put it in the plan."""
    left, right = st.columns([4, 1], vertical_alignment="bottom")
    key = f"heave:library:{name}"
    left.selectbox("Start from", tuple(items), key=key, help="Invented equipment, to be changed to your own.")
    place = f"library:{name}"
    button("Use it", f"use:{name}", state.acting(place, _use), name, items, at=right, width="stretch")
    pieces.told(place)


def _use(name: str, items: Mapping[str, Any]) -> None:
    chosen = st.session_state[f"heave:library:{name}"]
    words = f"{chosen} is in the plan."
    if name == "compensator":
        state.try_edit(lambda plan: rig.with_unit(plan, items[chosen]), words)
    else:
        state.put((name,), items[chosen], words)


def _move_up(place: int) -> None:
    sections = state.plan().string.sections
    above, moved = sections[place - 1 : place + 1]
    _with_sections((*sections[: place - 1], moved, above, *sections[place + 1 :]))


def _remove_section(place: int) -> None:
    sections = state.plan().string.sections
    _with_sections(state.without(sections, place), "Section removed.")


def _with_sections(sections: tuple[Any, ...], words: str = "") -> None:
    state.try_edit(lambda plan: rig.with_sections(plan, sections), words)


def _add_section() -> None:
    """Pipe by size, weight, grade and class, or heavy-weight by size; added at the bottom of the string."""
    unit = unit_of("length", state.system())
    one, two, three, four = st.columns(4)
    sizes = "Outside diameter and weight of the table; heavy-weight pipe by its diameter."
    one.selectbox("Pipe", (*_PIPES, *_HEAVY), key="heave:pipe:size", help=sizes, **STAYS)
    grades = "Sets the yield; heavy-weight pipe has its own."
    two.selectbox("Grade", tuple(rig.GRADES), key="heave:pipe:grade", help=grades, **STAYS)
    worn = "How far the pipe is worn: area and yield in tension fall with it."
    three.selectbox("Class", tuple(rig.PIPE_CLASSES), key="heave:pipe:class", help=worn, **STAYS)
    length = "Goes to the lower end of the string."
    key = f"heave:pipe:length:{unit.symbol}"  # what was typed in metres is never read as feet
    four.text_input(f"Length to add ({unit.symbol})", key=key, help=length, **STAYS)
    button("Add at the bottom", "pipe:add", _added_section)


def _added_section() -> None:
    box = f"length:{unit_of('length', state.system()).symbol}"
    size, grade, pipe_class, typed = (
        st.session_state[f"heave:pipe:{name}"] for name in ("size", "grade", "class", box)
    )
    with state.noted():
        length = typed_number(typed, "Length to add", "length", state.system())
        if size in _HEAVY:
            new = rig.heavy_weight(_HEAVY[size], length)
        else:
            new = rig.drill_pipe(*_PIPES[size], grade, length, pipe_class=pipe_class)
        _with_sections((*state.plan().string.sections, new), f"Added: {new.name}.")
