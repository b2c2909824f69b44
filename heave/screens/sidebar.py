"""The sidebar: what changes hour by hour, at hand on every page, and saving and loading the plan."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Any, Final

import streamlit as st

from heave.files.plan import read_plan_file
from heave.files.rigs import demo_plan
from heave.planning import OPERATIONS, HsLimit, Plan
from heave.planning.operations import LIMIT_FIELDS
from heave.screens import memory, opening, pieces, state
from heave.screens.inputs import (
    WORDS,
    bound,
    button,
    field,
    folded,
    inside,
    names_of,
    plain,
    sentence,
    side_by_side,
)
from heave.screens.pages import Group, Screen
from heave.screens.run_queue import RUN_QUEUE
from heave.units import UNIT_SYSTEMS, counted, show

MAX_SYSTEMS: Final = 4
"""Most wave systems a plan has: a wind sea and up to three swells."""

INLINE: Final = 2
"""Wave systems whose main numbers are drawn without opening anything."""

RIG_PAGE: Final = "heave/screens/rig/page.py"

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

_SEAS: Final[state.Path] = ("sea", "systems")
_HS_LIMITS: Final[state.Path] = ("operation", "hs_limits")
_SPEEDS: Final = ("hoisting_speed", "lowering_speed")
"""Fields that stand with the limits and are none."""

_MARGINS: Final = ("overpull", "yield_fraction", "caution_level", "string_loss")


def draw(page: Screen) -> None:
    """What the page uses of the plan, in the order in which it is put in, and the plan's file above it.

    Parameters
    ----------
    page : says which groups it uses; what it does not use is not shown
    """
    plan = state.plan()
    groups: dict[Group, Callable[[Plan], object]] = {
        "sea": _sea,
        "shape": _shape_alone,
        "heading": lambda _: field(("heading",), label="Heading"),
        "operation": _operation,
        "load": _load,
        "exposure": _exposure,
        "rest": partial(_rest, page=page),
    }
    with st.sidebar:
        # drawn always, for a file may be dropped on it at any time
        folded(f"Plan: {plain(plan.name)}", "plan", partial(_files, plan), always=True)
        if page.instead:
            st.caption(page.instead)
        for group in page.asks:
            RUN_QUEUE.pause()
            groups[group](plan)
        st.page_link(
            RIG_PAGE,
            label=f"Rig: {plain(plan.vessel.name)}, {plain(plan.compensator.name)}",
            help="Vessel, compensator, hoisting path and drill string: all equipment is edited there.",
        )
        _units()
        st.caption(memory.words())


def _units() -> None:
    names = {name: sentence(name) for name in UNIT_SYSTEMS}
    key, how = "heave:pick:units", {"required": True, "width": "stretch"}
    about = "Of what is shown and typed. What is stored stays as it is, so nothing is rounded."
    bound(st.segmented_control, "Units", key, state.system(), state.use_system, names, help=about, **how)


def _sea(plan: Plan) -> None:
    measured, system = plan.sea.measured, state.system()
    if measured is None:
        for place, wave in enumerate(plan.sea.systems[:INLINE]):
            st.markdown(f"**{plain(sentence(wave.label))}**")
            _inline(place, wave.period_kind)
        count = counted(len(plan.sea.systems), "system")
        label = f"Shape: {count}, Hs {show(plan.sea.hs, 'length', system, 2)}"
        folded(label, "shape", partial(_all_of_the_sea, plan))
        return
    st.markdown("**Measured sea**")
    st.markdown(f"{plain(measured.label or 'Measured spectrum')}, Hs {show(measured.hs, 'length', system)}")
    if measured.direction_by_band is None:
        field(("sea", "measured", "direction_from"), label="From")
    field(("sea", "measured", "spreading"))
    if measured.spreading != "long-crested":
        field(("sea", "measured", "spreading_exponent"))
    button("Back to wave systems", "systems", _back_to_systems, width="stretch")


def _shape_alone(plan: Plan) -> None:
    """Direction, shape and spreading of the first system, where heights and periods are not the plan's."""
    if plan.sea.measured is not None:
        _sea(plan)
        return
    wave = plan.sea.systems[0]
    field(("sea", "systems", 0, "direction_from"), label="From 1")
    words = f"Shape: {WORDS.get(wave.shape, wave.shape)}, {inside(WORDS.get(wave.spreading, wave.spreading))}"
    folded(plain(words), "shape", partial(_shape, 0, wave))


def _all_of_the_sea(plan: Plan) -> None:
    for place, wave in enumerate(plan.sea.systems):
        if place:
            st.divider()
        st.markdown(f"**Sea {place + 1}: {plain(wave.label)}**")
        if place >= INLINE:
            _inline(place, wave.period_kind)
        field(("sea", "systems", place, "period_kind"), label=f"Period {place + 1} is")
        _shape(place, wave)
    if len(plan.sea.systems) < MAX_SYSTEMS:
        button("Add a wave system", "add", _added, width="stretch")


def _inline(place: int, period_kind: str) -> None:
    """Height, period and direction of one system in a row, named so that no two boxes share a name."""
    path, number = ("sea", "systems", place), place + 1
    names = {"hs": "Hs", "period": period_kind, "direction_from": "From"}
    side_by_side({(*path, name): f"{label} {number}" for name, label in names.items()}, columns=(5, 5, 6))


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
        button(f"Remove sea {number}", f"remove:{place}", state.cut, _SEAS, place)


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
    state.put(_SEAS, (*systems, new))


def _back_to_systems() -> None:
    state.replace_plan(state.plan().changed(sea=state.kept("systems") or demo_plan().sea))


def _operation(plan: Plan) -> None:
    kinds = {key: kind.label for key, kind in OPERATIONS.items()}
    key, take = "heave:pick:operation", lambda kind: state.try_edit(lambda held: held.doing(kind))
    about = plain(plan.operation.about.about)
    bound(st.selectbox, "Operation", key, plan.operation.kind, take, kinds, help=about)
    _rig_limits(plan)


def _load(plan: Plan) -> None:
    side_by_side({("hookload_entered",): "Hookload", ("wob",): "WOB"})
    lines = []
    if plan.hookload_entered is None:
        lines.append(f"Hookload from the string: {show(plan.hookload, 'force', state.system(), 4)}.")
    if not plan.on_bottom:
        lines.append("Off bottom or latched: WOB is not used.")
    if lines:
        st.caption(" ".join(lines))
    if plan.hookload_to_confirm:
        st.warning("This hookload is not the string's.")
        about = "Say that it is meant, though the string in the plan weighs otherwise."
        button("Confirm the hookload", "confirm", _confirm, width="stretch", help=about)


def _exposure(plan: Plan) -> None:
    side_by_side({("exposure",): "Exposure", ("risk",): "Risk"})
    if plan.compensator.has_active:
        field(("active",))


def _rest(plan: Plan, page: Screen) -> None:
    """What seldom changes, folded; each says what is in it, for all of it is in the verdict."""
    system, offsets, ranges, operation = state.system(), plan.offsets, plan.ranges, plan.operation
    rise, fall = (show(one, "length", system, 2) for one in (offsets.tide_rise, offsets.tide_fall))
    tide = f"± {rise}" if rise == fall else f"+{rise} −{fall}"
    depth = plan.sea.depth
    water = "deep water" if depth is None else f"depth {show(depth, 'length', system)}"
    folded(f"Tide {tide}, {water}", "offsets", _offsets)
    doubts = sum(bool(getattr(ranges, name)) for name in names_of(ranges))
    known = counted(doubts, "range") if doubts else "no range"
    folded(f"What is not known: {known}", "ranges", _ranges)
    given = sum(operation.gives(name) for name in LIMIT_FIELDS if name not in _SPEEDS) + len(
        operation.hs_limits
    )
    margin = f", overpull {show(plan.overpull, 'force', system)}" if plan.overpull else ""
    label, missing = f"Rig's limits: {given or 'none'}{margin}", bool(operation.missing)
    folded(label, "limits", partial(_limits, page.own), opened=missing)


def _rig_limits(plan: Plan) -> None:
    """The limits the operation needs and only the rig can give; of several that serve, the one it states."""
    for name in _asked(plan):
        field(("operation", name))
        if name in _MEASURES:
            key, take = "heave:pick:measure", partial(state.keep, "measure")
            about = "The motion in which the rig's procedures state their limit; one of these is enough."
            bound(st.selectbox, "The rig states its limit as", key, name, take, _MEASURES, help=about)
    if "roll_limit" in _answered(plan):
        side_by_side({("operation", "roll_limit"): "Roll limit", ("operation", "pitch_limit"): "Pitch limit"})


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
    state.put(("hookload_confirmed",), state.plan().hookload_entered)


def _offsets() -> None:
    field(("sea", "depth"), label="Water depth")
    for name in names_of(state.plan().offsets):
        field(("offsets", name))


def _hs_limits(plan: Plan) -> None:
    """The rows of a procedure that states its limit in wave height, each with its periods and relative headings."""
    for place in range(len(plan.operation.hs_limits)):
        path, number = (*_HS_LIMITS, place), place + 1
        for name, label in _ROW.items():
            field((*path, name), label=f"{label} {number}")
        button(f"Remove Hs limit {number}", f"hs:{place}", state.cut, _HS_LIMITS, place)
    button("Add an Hs limit by period and heading", "hs:add", _hs_added, width="stretch")


def _hs_added() -> None:
    rows = state.plan().operation.hs_limits
    state.put(_HS_LIMITS, (*rows, rows[-1] if rows else HsLimit(hs=2.0)))


def _ranges() -> None:
    words = "Either way from the planned value. Every check is worked at the worst of these together as well."
    st.caption(words)
    for name in names_of(state.plan().ranges):
        field(("ranges", name))


def _limits(own: tuple[str, ...]) -> None:
    plan = state.plan()
    shown = {*own, *_asked(plan), *(("roll_limit", "pitch_limit") if "roll_limit" in _answered(plan) else ())}
    for name in (*LIMIT_FIELDS, "heave_basis", "duration", "limits_from"):
        if name not in shown:  # it stands under the operation, or on the page
            field(("operation", name))
    _hs_limits(plan)
    for name in _MARGINS:
        field((name,))


def _files(plan: Plan) -> None:
    """Name, saving, loading and link of the plan, and the ways back to what the planner opened with."""
    field(("name",))
    about = "All of the plan and your own forecast as one file, to load again here or elsewhere."
    # made outside the session, which it then could not ask
    data = partial(memory.file_text, plan, memory.own_forecast())
    pieces.save("Save the plan", data, "plan.json", "heave:save", width="stretch", help=about)
    about = "A saved plan, or a saved calculation sheet. It takes the place of the plan on the screen."
    refused = "was not loaded and nothing was changed"
    pieces.upload("plan", "Load a plan", ["json", "html"], _read, refused=refused, help=about)
    folded("Link to this plan", "link", opening.link_box)
    demo = partial(state.replace_plan, demo_plan(), "This is the demo plan, with invented equipment.")
    about = "Takes the place of the plan on the screen: save that before."
    button("Start again from the demo plan", "demo", demo, width="stretch", help=about)
    opening.steps_button()


def _read(name: str, data: bytes) -> None:
    found = read_plan_file(data)
    memory.take_up(found, f"Plan loaded from {name}.{state.keep_before(found.plan)}")
