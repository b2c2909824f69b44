"""Panels of the rig page: vessel, compensator and drill string, each from a library, a file or by hand."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import fields as dataclass_fields
from typing import Any, Final

import streamlit as st

from heave import fields
from heave.errors import InputError
from heave.files.rigs import demo_compensators, demo_strings, demo_vessels
from heave.planning import Plan, rig
from heave.screens import every_page, figures, state
from heave.screens.inputs import all_fields, folded, plain
from heave.screens.rig import uploads
from heave.units import show, significant, unit_of

_GROUPS: Final[tuple[tuple[str, tuple[str, ...], int], ...]] = (
    (
        "Stroke and ratings",
        (
            *("stroke", "end_reserve", "velocity_rating"),
            *("compensated_rating", "locked_rating", "moving_mass"),
        ),
        3,
    ),
    ("Line and power", ("lines", "line_speed_limit", "line_acceleration_limit", "power_limit"), 4),
    ("Gas", ("effective_area", "gas_volume", "gas_volume_shut", "pressure_rating"), 4),
    ("Polytropic index", ("index_low", "index", "index_high"), 3),
    ("Losses", ("friction_fraction", "hydraulic_loss"), 3),
    (
        "Active part",
        (
            *("active_loop", "active_gain", "active_delay", "active_bandwidth"),
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
_KIND: Final = "heave:kind"
_SECTION: Final = (
    "name",
    "length",
    "outer_diameter",
    "inner_diameter",
    "linear_mass",
    "yield_strength",
    "tensile_area",
    "youngs_modulus",
)


def vessel() -> None:
    """Vessel: from the library, from a response file, hoist position, and its response as a figure."""
    library = {**demo_vessels(), **rig.closed_form_vessels()}
    _library("vessel", library, rig.with_vessel)
    plan = state.plan()
    all_fields(("vessel",), ("name", "length", "hoist_x", "hoist_y"), 4)
    response = plan.vessel.response
    described = [item.name for item in dataclass_fields(response) if "about" in item.metadata]
    if described and hasattr(response, "draught"):
        st.markdown("##### Main dimensions")
        all_fields(("vessel", "response"), tuple(described), 4)
    if plan.vessel.provenance:
        st.caption(plain(f"Response: {plan.vessel.provenance}"))
    curves = rig.response_curves(plan.vessel)
    if curves is None:
        st.caption(
            "The response of this hull depends on the sea, through its viscous damping: see the check page."
        )
    else:
        st.plotly_chart(
            figures.response_figure(curves, every_page.look()),
            key="response",
            config=figures.HOVER,
            theme=None,
            alt="Heave at the hoist per metre of wave over period, by relative heading",
        )
    uploads.response_box()


def compensator() -> None:
    """Compensator: from the library, then every field its kind has."""
    _library("compensator", demo_compensators(), rig.with_compensator)
    unit = state.plan().compensator
    path = ("compensator",)
    st.session_state[_KIND] = unit.kind
    st.selectbox(
        "Kind",
        tuple(_KINDS),
        key=_KIND,
        format_func=lambda kind: _KINDS[kind],
        on_change=_other_kind,
        help="What both kinds have is kept; the rest starts from the invented unit of the new kind.",
    )
    if unit.note:
        st.caption(plain(unit.note))
    all_fields(path, ("name", "note"), 2)
    own = {item.name for item in dataclass_fields(unit)}
    for heading, names, columns in _GROUPS:
        shown = tuple(name for name in names if name in own)
        if shown:
            st.markdown(f"##### {heading}")
            all_fields(path, shown, columns)
    if not unit.is_drawworks:
        st.caption(f"Open gas volume is {significant(unit.volume_ratio)} times the swept volume.")


def _other_kind() -> None:
    """Make the unit one of the kind picked."""
    kind = st.session_state[_KIND]
    pattern = next(unit for unit in demo_compensators().values() if unit.kind == kind)
    state.try_edit(
        lambda plan: rig.with_kind(plan, kind, pattern),
        f"The compensator is now {_KINDS[kind]}; look through its fields.",
    )


def string() -> None:
    """Drill string: from the library or a file, mud and gear, the sections, and what they add up to."""
    _library("string", demo_strings(), rig.with_string)
    plan, system = state.plan(), state.system()
    whole = plan.string
    all_fields(("string",), ("mud_density", "handling_mass", "drag", "steel_density"), 4)
    st.caption(
        f"{show(whole.length, 'length', system, 4)} of pipe, {show(whole.buoyed_weight, 'force', system, 4)} in mud, "
        f"hookload {show(whole.hookload, 'force', system, 4)}, static spring "
        f"{show(whole.stiffness, 'stiffness', system)}, buoyancy factor {significant(whole.buoyancy_factor, 4)}."
    )
    st.markdown("##### Sections, top down")
    for place, section in enumerate(whole.sections):
        words = f"{place + 1}. {section.name}, {show(section.length, 'length', system, 4)}"
        with folded(plain(words), f"section:{place}") as opened:
            if opened:
                _section(place, len(whole.sections))
    with folded("Add a section from the pipe table", "pipe") as opened:
        if opened:
            _add_section(system)
    uploads.string_box()


def _section(place: int, count: int) -> None:
    """The fields of one section, and the buttons that move it or take it out."""
    all_fields(("string", "sections", place), _SECTION, 4)
    with st.container(horizontal=True):
        if place:
            st.button("Move up", key=f"heave:up:{place}", on_click=_move_up, args=(place,))
        if count > 1:
            st.button("Remove", key=f"heave:cut:{place}", on_click=_remove_section, args=(place,))


def _library(name: str, items: Mapping[str, Any], put: Callable[[Plan, Any], Plan]) -> None:
    """Pick one of the invented items and put it in the plan."""
    left, right = st.columns([4, 1], vertical_alignment="bottom")
    key = f"heave:library:{name}"
    left.selectbox("Start from", tuple(items), key=key, help="Invented equipment, to be changed to your own.")
    right.button("Use it", key=f"heave:use:{name}", on_click=_use, args=(key, items, put), width="stretch")


def _use(key: str, items: Mapping[str, Any], put: Callable[[Plan, Any], Plan]) -> None:
    chosen = st.session_state[key]
    state.try_edit(lambda plan: put(plan, items[chosen]), f"{chosen} is in the plan.")


def _move_up(place: int) -> None:
    def moved(plan: Plan) -> Plan:
        found = list(plan.string.sections)
        found[place - 1], found[place] = found[place], found[place - 1]
        return rig.with_sections(plan, tuple(found))

    state.try_edit(moved)


def _remove_section(place: int) -> None:
    def without(plan: Plan) -> Plan:
        found = plan.string.sections
        return rig.with_sections(plan, (*found[:place], *found[place + 1 :]))

    state.try_edit(without, "Section removed.")


def _add_section(system: str) -> None:
    """Pipe by size, weight, grade and class, or heavy-weight by size; added at the bottom of the string."""
    pipes = [f"{size} {weight} lb/ft" for size, weight in rig.PIPE_CHOICES]
    heavy = [f"{size} heavy-weight" for size in rig.HEAVY_WEIGHT_CHOICES]
    one, two, three, four = st.columns(4)
    one.selectbox("Pipe", pipes + heavy, key="heave:pipe:size", persist_state="session")
    two.selectbox("Grade", tuple(rig.GRADES), key="heave:pipe:grade", persist_state="session")
    three.selectbox("Class", tuple(rig.PIPE_CLASSES), key="heave:pipe:class", persist_state="session")
    unit = unit_of("length", system)
    four.text_input(f"Length to add ({unit.symbol})", key="heave:pipe:length", persist_state="session")
    st.button("Add at the bottom", key="heave:pipe:add", on_click=_added_section, args=(pipes, system))


def _added_section(pipes: list[str], system: str) -> None:
    kept = st.session_state
    unit = unit_of("length", system)
    try:
        length = fields.parse_number(kept["heave:pipe:length"], "Length to add", unit.symbol) * unit.factor
        chosen = kept["heave:pipe:size"]
        if chosen in pipes:
            size, weight = rig.PIPE_CHOICES[pipes.index(chosen)]
            new = rig.drill_pipe(
                size, weight, kept["heave:pipe:grade"], length, pipe_class=kept["heave:pipe:class"]
            )
        else:
            new = rig.heavy_weight(chosen.removesuffix(" heavy-weight"), length)
    except InputError as error:
        state.note("bad", str(error))
        return
    state.try_edit(lambda plan: rig.with_sections(plan, (*plan.string.sections, new)), f"Added: {new.name}.")
