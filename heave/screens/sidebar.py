"""The sidebar: what changes hour by hour, at hand on every page, and saving and loading the plan."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Final

import streamlit as st

from heave.errors import InputError
from heave.files.plan import plan_to_json, read_plan
from heave.files.rigs import demo_plan
from heave.planning import OPERATIONS, Plan
from heave.screens import state
from heave.screens.inputs import field, folded, plain, sentence
from heave.units import UNIT_SYSTEMS, show

MAX_SYSTEMS: Final = 4
"""Most wave systems a plan has: a wind sea and up to three swells."""

INLINE: Final = 2
"""Wave systems whose main numbers are drawn without opening anything."""


_LIMITS: Final = (
    "wob_low",
    "wob_high",
    "heave_limit",
    "heave_basis",
    "residual_motion_limit",
    "residual_velocity_limit",
    "stroke_out_limit",
    "duration",
)
_MARGINS: Final = ("overpull", "yield_fraction", "caution_level", "string_loss")
_OFFSETS: Final = (
    "start_position",
    "tide_rise",
    "tide_fall",
    "draught_change",
    "vessel_offset",
    "space_out_error",
    "penetration_rate",
    "feed_interval",
)


def draw() -> None:
    """The whole sidebar."""
    with st.sidebar:
        plan = state.plan()
        st.markdown(f"**{plain(plan.name)}**")
        _units()
        if plan.sea.measured is not None:
            _measured(plan)
        else:
            _systems(plan)
        st.markdown("##### Vessel")
        field(("heading",), label="Heading")
        st.markdown("##### Operation")
        _operation(plan)
        _files(plan)


def _units() -> None:
    st.session_state["heave:pick:units"] = state.system()
    st.segmented_control(
        "Units",
        UNIT_SYSTEMS,
        key="heave:pick:units",
        format_func=sentence,
        required=True,
        on_change=lambda: state.use_system(st.session_state["heave:pick:units"]),
        width="stretch",
    )


def _systems(plan: Plan) -> None:
    systems = plan.sea.systems
    for place, wave in enumerate(systems[:INLINE]):
        st.markdown(f"##### {plain(sentence(wave.label))}")
        _inline(place, wave.period_kind)
    with folded("Shape, spreading, more systems", "shape") as opened:
        if opened:
            _all_of_the_sea(plan)


def _all_of_the_sea(plan: Plan) -> None:
    for place, wave in enumerate(plan.sea.systems):
        if place:
            st.divider()
        st.markdown(f"**Sea {place + 1}: {plain(wave.label)}**")
        if place >= INLINE:
            _inline(place, wave.period_kind)
        _shape(place, wave)
    _add(plan)


def _inline(place: int, period_kind: str) -> None:
    """Height and direction, period and its kind of one system, named so that no two boxes share a name."""
    number = place + 1
    path = ("sea", "systems", place)
    left, right = st.columns(2, gap="small")
    with left:
        field((*path, "hs"), label=f"Hs {number}")
    with right:
        field((*path, "period"), label=f"{period_kind} {number}")
    with left:
        field((*path, "direction_from"), label=f"From {number}")
    with right:
        field((*path, "period_kind"), label=f"Period {number} is")


def _shape(place: int, wave: Any) -> None:
    path = ("sea", "systems", place)
    field((*path, "label"), label=f"Name of sea {place + 1}")
    field((*path, "shape"), label=f"Spectrum {place + 1}", companions=_fit_shape)
    if wave.shape == "jonswap":
        field((*path, "gamma"), label=f"Peak factor γ {place + 1}")
    if wave.shape == "gaussian-swell":
        field((*path, "width"), label=f"Swell width {place + 1}, Hz")
    field((*path, "spreading"), label=f"Spreading {place + 1}")
    if wave.spreading != "long-crested":
        field((*path, "spreading_exponent"), label=f"Exponent {place + 1}")
    if len(state.plan().sea.systems) > 1:
        st.button(f"Remove sea {place + 1}", key=f"heave:remove:{place}", on_click=_remove, args=(place,))


def _fit_shape(wave: Any, shape: str) -> dict[str, Any]:
    """What has to go with another spectral shape: no γ but for JONSWAP, no period for Ochi–Hubble."""
    beside: dict[str, Any] = {"gamma": wave.gamma if shape == "jonswap" else None}
    if shape == "ochi-hubble":
        return {**beside, "period": None, "period_kind": "Tp"}
    return {**beside, "period": wave.tp, "period_kind": "Tp"} if wave.period is None else beside


def _add(plan: Plan) -> None:
    if len(plan.sea.systems) < MAX_SYSTEMS:
        st.button("Add a wave system", key="heave:add", on_click=_added, width="stretch")


def _added() -> None:
    """One more system: a copy of the last, a metre of long swell that the user then makes his own."""
    last = state.plan().sea.systems[-1]
    new = replace(
        last,
        hs=1.0,
        period=14.0,
        period_kind="Tp",
        shape="jonswap",
        gamma=None,
        spreading_exponent=max(last.spreading_exponent, 6.0),
        label=f"swell {len(state.plan().sea.systems) + 1}",
    )
    state.try_edit(lambda plan: plan.changed(sea=replace(plan.sea, systems=(*plan.sea.systems, new))))


def _remove(place: int) -> None:
    def without(plan: Plan) -> Plan:
        systems = plan.sea.systems
        return plan.changed(sea=replace(plan.sea, systems=(*systems[:place], *systems[place + 1 :])))

    state.try_edit(without)


def _measured(plan: Plan) -> None:
    st.markdown("##### Measured sea")
    measured = plan.sea.measured
    if measured is None:
        return
    st.markdown(
        f"{plain(measured.label or 'Measured spectrum')}, Hs {show(measured.hs, 'length', state.system())}"
    )
    if measured.direction_by_band is None:
        field(("sea", "measured", "direction_from"), label="From")
    field(("sea", "measured", "spreading"))
    if measured.spreading != "long-crested":
        field(("sea", "measured", "spreading_exponent"))
    st.button("Back to wave systems", key="heave:systems", on_click=_back_to_systems, width="stretch")


def _back_to_systems() -> None:
    earlier = state.kept("systems")
    state.replace_plan(state.plan().changed(sea=earlier if earlier is not None else demo_plan().sea))


def _operation(plan: Plan) -> None:
    st.session_state["heave:pick:operation"] = plan.operation.kind
    st.selectbox(
        "Operation",
        tuple(OPERATIONS),
        key="heave:pick:operation",
        format_func=lambda key: OPERATIONS[key].label,
        help=plan.operation.about.about,
        label_visibility="collapsed",
        on_change=_operation_picked,
    )
    left, right = st.columns(2, gap="small")
    with left:
        field(("hookload_entered",), label="Hookload")
    with right:
        field(("wob",), label="WOB")
    if plan.hookload_entered is None:
        st.caption(f"Hookload from the string: {show(plan.hookload, 'force', state.system(), 4)}")
    if plan.hookload_to_confirm:
        st.warning("This hookload is not the string's.")
        st.button("Confirm the hookload", key="heave:confirm", on_click=_confirm, width="stretch")
    if not plan.on_bottom:
        st.caption("Off bottom or latched: WOB is not used.")
    left, right = st.columns(2, gap="small")
    with left:
        field(("exposure",), label="Exposure")
    with right:
        field(("risk",), label="Risk")
    if plan.compensator.has_active:
        field(("active",))
    with folded("Water depth, tide, space-out", "offsets") as opened:
        if opened:
            field(("sea", "depth"), label="Water depth")
            for name in _OFFSETS:
                field(("offsets", name))
    with folded("Limits from the rig's procedures", "limits", opened=bool(plan.operation.missing)) as opened:
        if opened:
            for name in _LIMITS:
                field(("operation", name))
            for name in _MARGINS:
                field((name,))


def _confirm() -> None:
    """Keep that the hookload entered is meant, though the string weighs otherwise."""
    state.try_edit(lambda plan: plan.changed(hookload_confirmed=plan.hookload_entered))


def _operation_picked() -> None:
    kind = st.session_state["heave:pick:operation"]
    state.try_edit(lambda plan: plan.changed(operation=replace(plan.operation, kind=kind)))


def _files(plan: Plan) -> None:
    st.markdown("##### Plan file")
    field(("name",))
    st.download_button(
        "Save the plan",
        data=lambda: plan_to_json(plan),
        file_name="heave_plan.json",
        mime="application/json",
        key="heave:save",
        on_click="ignore",
        width="stretch",
    )
    key = state.upload_key("plan")
    st.file_uploader("Load a plan", type=["json"], key=key, on_change=_load, args=(key,))
    st.button("Start again from the demo plan", key="heave:demo", on_click=_demo, width="stretch")


def _load(key: str) -> None:
    """Read an uploaded plan at once; a broken file says what is wrong and changes nothing."""
    upload = st.session_state.get(key)
    if upload is None:
        return
    try:
        state.replace_plan(read_plan(upload.getvalue()), f"Plan loaded from {upload.name}.")
    except InputError as error:
        state.note("bad", f"{upload.name} was not loaded and nothing was changed. {error}")
    state.empty_upload("plan")


def _demo() -> None:
    state.replace_plan(demo_plan(), "This is the demo plan, with invented equipment.")
