"""The sidebar: what changes hour by hour, at hand on every page, and saving and loading the plan."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import Any, Final

import streamlit as st

from heave.files.plan import read_plan_file
from heave.files.rigs import demo_plan
from heave.planning import OPERATIONS, HsLimit, Plan
from heave.planning.operations import LIMIT_FIELDS
from heave.screens import memory, opening, pieces, state
from heave.screens.inputs import bound, field, folded, names_of, plain, sentence, two_columns
from heave.units import UNIT_SYSTEMS, show

MAX_SYSTEMS: Final = 4
"""Most wave systems a plan has: a wind sea and up to three swells."""

INLINE: Final = 2
"""Wave systems whose main numbers are drawn without opening anything."""


_ROW: Final = {
    "hs": "Hs limit",
    "period_from": "Tp from",
    "period_to": "Tp to",
    "heading_from": "Relative heading from",
    "heading_to": "Relative heading to",
}
_MEASURES: Final = {
    "heave_limit": "Heave",
    "speed_limit": "Vertical speed",
    "acceleration_limit": "Vertical acceleration",
}
"""Ways a procedure may limit the motion at the rotary in one number, of which one is asked for."""

_MARGINS: Final = ("overpull", "yield_fraction", "caution_level", "string_loss")


def draw(*, forecast: bool = False) -> None:
    """The whole sidebar.

    Parameters
    ----------
    forecast : True on the page that judges the seas of a forecast, where the sea of the plan is not asked
    """
    with st.sidebar:
        plan = state.plan()
        st.markdown(f"**{plain(plan.name)}**")
        _units()
        if forecast:
            st.caption("This sea is the Compensator check's: the windows take the seas of the forecast.")
        _sea(plan)
        st.markdown("## Vessel")
        field(("heading",), label="Heading")
        st.markdown("## Operation")
        _operation(plan)
        _files()


def _units() -> None:
    names = {name: sentence(name) for name in UNIT_SYSTEMS}
    key, how = "heave:pick:units", {"required": True, "width": "stretch"}
    bound(st.segmented_control, "Units", key, state.system(), state.use_system, names, **how)


def _sea(plan: Plan) -> None:
    measured = plan.sea.measured
    if measured is None:
        for place, wave in enumerate(plan.sea.systems[:INLINE]):
            st.markdown(f"## {plain(sentence(wave.label))}")
            _inline(place, wave.period_kind)
        folded("Shape, spreading, more systems", "shape", partial(_all_of_the_sea, plan))
        return
    st.markdown("## Measured sea")
    st.markdown(
        f"{plain(measured.label or 'Measured spectrum')}, Hs {show(measured.hs, 'length', state.system())}"
    )
    if measured.direction_by_band is None:
        field(("sea", "measured", "direction_from"), label="From")
    field(("sea", "measured", "spreading"))
    if measured.spreading != "long-crested":
        field(("sea", "measured", "spreading_exponent"))
    st.button("Back to wave systems", key="heave:systems", on_click=_back_to_systems, width="stretch")


def _all_of_the_sea(plan: Plan) -> None:
    for place, wave in enumerate(plan.sea.systems):
        if place:
            st.divider()
        st.markdown(f"**Sea {place + 1}: {plain(wave.label)}**")
        if place >= INLINE:
            _inline(place, wave.period_kind)
        _shape(place, wave)
    if len(plan.sea.systems) < MAX_SYSTEMS:
        st.button("Add a wave system", key="heave:add", on_click=_added, width="stretch")


def _inline(place: int, period_kind: str) -> None:
    """Height and direction, period and its kind of one system, named so that no two boxes share a name."""
    path, number = ("sea", "systems", place), place + 1
    two_columns(
        {
            (*path, "hs"): f"Hs {number}",
            (*path, "period"): f"{period_kind} {number}",
            (*path, "direction_from"): f"From {number}",
            (*path, "period_kind"): f"Period {number} is",
        }
    )


def _shape(place: int, wave: Any) -> None:
    path, number = ("sea", "systems", place), place + 1
    field((*path, "label"), label=f"Name of sea {number}")
    field((*path, "shape"), label=f"Spectrum {number}", companions=_fit_shape)
    if wave.shape == "jonswap":
        field((*path, "gamma"), label=f"Peak factor γ {number}")
    if wave.shape == "gaussian-swell":
        field((*path, "width"), label=f"Swell width {number}, Hz")
    field((*path, "spreading"), label=f"Spreading {number}")
    if wave.spreading != "long-crested":
        field((*path, "spreading_exponent"), label=f"Exponent {number}")
    if len(state.plan().sea.systems) > 1:
        st.button(f"Remove sea {number}", key=f"heave:remove:{place}", on_click=_remove, args=(place,))


def _fit_shape(wave: Any, shape: str) -> dict[str, Any]:
    """What has to go with another spectral shape: no γ but for JONSWAP, no period for Ochi–Hubble."""
    beside: dict[str, Any] = {"gamma": wave.gamma if shape == "jonswap" else None}
    if shape == "ochi-hubble":
        return {**beside, "period": None, "period_kind": "Tp"}
    return {**beside, "period": wave.tp, "period_kind": "Tp"} if wave.period is None else beside


def _added() -> None:
    """One more system: a copy of the last, a metre of long swell that the user then makes his own."""
    systems = state.plan().sea.systems
    new = replace(
        systems[-1],
        hs=1.0,
        period=14.0,
        period_kind="Tp",
        shape="jonswap",
        gamma=None,
        spreading_exponent=max(systems[-1].spreading_exponent, 6.0),
        label=f"swell {len(systems) + 1}",
    )
    _with_systems((*systems, new))


def _remove(place: int) -> None:
    systems = state.plan().sea.systems
    _with_systems((*systems[:place], *systems[place + 1 :]))


def _with_systems(systems: tuple[Any, ...]) -> None:
    state.try_edit(lambda plan: plan.changed(sea=replace(plan.sea, systems=systems)))


def _back_to_systems() -> None:
    state.replace_plan(state.plan().changed(sea=state.kept("systems") or demo_plan().sea))


def _operation(plan: Plan) -> None:
    kinds = {key: kind.label for key, kind in OPERATIONS.items()}
    how = {"help": plan.operation.about.about, "label_visibility": "collapsed"}
    bound(
        st.selectbox,
        "Operation",
        "heave:pick:operation",
        plan.operation.kind,
        lambda kind: state.try_edit(lambda held: held.doing(kind)),
        kinds,
        **how,
    )
    _rig_limits(plan)
    two_columns({("hookload_entered",): "Hookload", ("wob",): "WOB"})
    if plan.hookload_entered is None:
        st.caption(f"Hookload from the string: {show(plan.hookload, 'force', state.system(), 4)}")
    if plan.hookload_to_confirm:
        st.warning("This hookload is not the string's.")
        st.button("Confirm the hookload", key="heave:confirm", on_click=_confirm, width="stretch")
    if not plan.on_bottom:
        st.caption("Off bottom or latched: WOB is not used.")
    two_columns({("exposure",): "Exposure", ("risk",): "Risk"})
    if plan.compensator.has_active:
        field(("active",))
    folded("Water depth, tide, space-out", "offsets", _offsets)
    folded("What is not known", "ranges", _ranges)
    folded("Limits from the rig's procedures", "limits", _limits, opened=bool(plan.operation.missing))


def _rig_limits(plan: Plan) -> None:
    """The limits the operation needs and only the rig can give; of several that serve, the one it states."""
    for name in _asked(plan):
        field(("operation", name))
        if name in _MEASURES:
            offered = {other: label for other, label in _MEASURES.items()}
            key, take = "heave:pick:measure", partial(state.keep, "measure")
            bound(st.selectbox, "The rig states its limit as", key, name, take, offered)
    if "roll_limit" in _answered(plan):
        two_columns({("operation", "roll_limit"): "Roll limit", ("operation", "pitch_limit"): "Pitch limit"})


def _answered(plan: Plan) -> set[str]:
    """Keys of the checks that answer a question of the operation."""
    return {key for answer in plan.operation.about.answers.values() for key in answer.checks}


def _asked(plan: Plan) -> tuple[str, ...]:
    """Of each group of limits needed, the one asked for: as picked, or the first that is given, or the first."""
    chosen, picked = [], state.kept("measure")
    for group in plan.operation.about.needs:
        given = next((name for name in group if name in _MEASURES and plan.operation.gives(name)), group[0])
        chosen.append(picked if picked in group else given)
    return tuple(chosen)


def _confirm() -> None:
    """Keep that the hookload entered is meant, though the string weighs otherwise."""
    state.try_edit(lambda plan: plan.changed(hookload_confirmed=plan.hookload_entered))


def _offsets() -> None:
    field(("sea", "depth"), label="Water depth")
    for name in names_of(state.plan().offsets):
        field(("offsets", name))


def _hs_limits(plan: Plan) -> None:
    """The rows of a procedure that states its limit in wave height, each with its periods and relative headings."""
    for place in range(len(plan.operation.hs_limits)):
        path, number = ("operation", "hs_limits", place), place + 1
        for name, label in _ROW.items():
            field((*path, name), label=f"{label} {number}")
        st.button(f"Remove Hs limit {number}", key=f"heave:hs:{place}", on_click=_hs_removed, args=(place,))
    st.button(
        "Add an Hs limit by period and heading", key="heave:hs:add", on_click=_hs_added, width="stretch"
    )


def _with_hs_limits(rows: tuple[HsLimit, ...]) -> None:
    state.try_edit(lambda plan: plan.changed(operation=replace(plan.operation, hs_limits=rows)))


def _hs_added() -> None:
    rows = state.plan().operation.hs_limits
    _with_hs_limits((*rows, rows[-1] if rows else HsLimit(hs=2.0)))


def _hs_removed(place: int) -> None:
    rows = state.plan().operation.hs_limits
    _with_hs_limits((*rows[:place], *rows[place + 1 :]))


def _ranges() -> None:
    st.caption(
        "Either way from the planned value. Every check is worked at the worst of these together as well."
    )
    for name in names_of(state.plan().ranges):
        field(("ranges", name))


def _limits() -> None:
    plan = state.plan()
    shown = {*_asked(plan), *(("roll_limit", "pitch_limit") if "roll_limit" in _answered(plan) else ())}
    for name in (*LIMIT_FIELDS, "heave_basis", "duration", "limits_from"):
        if name not in shown:  # it stands under the operation
            field(("operation", name))
    _hs_limits(plan)
    for name in _MARGINS:
        field((name,))


def _files() -> None:
    st.markdown("## Plan file")
    field(("name",))
    pieces.save(
        "Save the plan",
        # made outside the session, which it then could not ask
        partial(memory.file_text, state.plan(), memory.own_forecast()),
        "plan.json",
        "heave:save",
        "application/json",
        width="stretch",
    )
    pieces.upload(
        "plan", "Load a plan", ["json", "html"], _load, refused="was not loaded and nothing was changed"
    )
    folded("Link to this plan", "link", opening.link_box)
    demo = partial(state.replace_plan, demo_plan(), "This is the demo plan, with invented equipment.")
    st.button("Start again from the demo plan", key="heave:demo", on_click=demo, width="stretch")
    st.caption(memory.words())


def _load(name: str, data: bytes) -> None:
    memory.take_up(read_plan_file(data), f"Plan loaded from {name}.")
