"""What the windows are asked for: steps of the campaign, the forecast factor, heading, present time, zone."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import Final

import numpy as np
import streamlit as st

from heave.errors import InputError
from heave.fields import parse_number
from heave.planning import OPERATIONS, Plan
from heave.planning.alpha import BASE_CASE, HEIGHTS, NO_FACTOR, AlphaTable
from heave.planning.campaign import MAX_STEPS, Campaign, OperationStep
from heave.planning.operations import LIMIT_FIELDS
from heave.screens import state
from heave.screens.inputs import field, folded, plain
from heave.screens.weather import factor_row, store
from heave.screens.weather.clock import hours, zone_names
from heave.units import significant
from heave.weather import HEADINGS, EnsembleForecast, campaign_of

_ROW: Final = ("at_1m", "at_2m", "at_4m", "at_6m")


def steps_label() -> str:
    """The steps in a line: how many, and their reference period."""
    campaign = campaign_of(state.plan())
    names = campaign.steps[0].label if len(campaign.steps) == 1 else f"{len(campaign.steps)} steps"
    return f"Operation: {plain(names)}, T\\_R {hours(campaign.reference)}"


def steps() -> None:
    """The campaign: the plan's own operation, or steps of their own."""
    plan = state.plan()
    if plan.campaign is None:
        st.markdown(
            f"The plan's operation, **{plain(plan.operation.about.label)}**, as one step; contingency not assessed, so "
            "as long as the planned time."
        )
        field(("operation", "duration"), label="Planned")
        st.button("Set contingency, add steps", key="heave:steps:own", on_click=_own_steps, width="stretch")
        return
    for place, step in enumerate(plan.campaign.steps):
        _step(place, step, len(plan.campaign.steps))
    if any(step.interruptible for step in plan.campaign.steps):
        field(("campaign", "longest_wait"))
    with st.container(horizontal=True):
        if len(plan.campaign.steps) < MAX_STEPS:
            st.button("Add a step", key="heave:steps:add", on_click=_add_step)
        st.button("Back to the plan's operation", key="heave:steps:back", on_click=_no_steps)


def _step(place: int, step: OperationStep, count: int) -> None:
    path = ("campaign", "steps", place)
    number = place + 1
    st.markdown(f"**Step {number}: {plain(step.label)}**, T\\_R {hours(step.reference)}")
    key = f"heave:step:{place}:kind"
    st.session_state[key] = step.operation.kind
    st.selectbox(
        f"Operation of step {number}",
        tuple(OPERATIONS),
        key=key,
        format_func=lambda kind: OPERATIONS[kind].label,
        on_change=_kind_picked,
        args=(place, key),
        label_visibility="collapsed",
    )
    left, right = st.columns(2, gap="small")
    with left:
        field((*path, "operation", "duration"), label=f"Planned {number}")
    with right:
        field((*path, "contingency"), label=f"Contingency {number}")
    field((*path, "interruptible"), label=f"Step {number} can be interrupted")
    label = f"Name and limits of step {number}"
    with folded(label, f"weather:step:{place}", opened=bool(step.operation.missing)) as opened:
        if opened:
            field((*path, "name"), label=f"Name of step {number}")
            for name in (*LIMIT_FIELDS, "heave_basis"):
                field((*path, "operation", name))
    if count > 1:
        st.button(
            f"Remove step {number}", key=f"heave:step:{place}:remove", on_click=_remove_step, args=(place,)
        )
    st.divider()


def _own_steps() -> None:
    state.try_edit(lambda plan: plan.changed(campaign=campaign_of(plan)))


def _no_steps() -> None:
    state.try_edit(
        lambda plan: plan.changed(campaign=None), "The windows are for the plan's operation again."
    )


def _with_steps(plan: Plan, steps_: tuple[OperationStep, ...]) -> Plan:
    campaign = plan.campaign or Campaign.of(plan.operation)
    return plan.changed(campaign=replace(campaign, steps=steps_))


def _add_step() -> None:
    def added(plan: Plan) -> Plan:
        current = campaign_of(plan).steps
        return _with_steps(plan, (*current, replace(current[-1], name="")))

    state.try_edit(added)


def _remove_step(place: int) -> None:
    def without(plan: Plan) -> Plan:
        current = campaign_of(plan).steps
        return _with_steps(plan, (*current[:place], *current[place + 1 :]))

    state.try_edit(without)
    store.change(step=0)


def _kind_picked(place: int, key: str) -> None:
    path = ("campaign", "steps", place, "operation", "kind")
    kind = st.session_state[key]
    state.try_edit(lambda plan: state.changed(plan, path, kind))


def alpha_label() -> str:
    """The forecast factor in a line."""
    table = state.plan().alpha
    if not table.applied:
        return "Forecast factor α: off"
    return "Forecast factor α: on, base case" if table == BASE_CASE else "Forecast factor α: on, own rows"


def alpha() -> None:
    """α on or off, its rows by planned period, and where they come from."""
    table = state.plan().alpha
    key = "heave:alpha:on"
    st.session_state[key] = table.applied
    st.toggle("Apply α to the wave limit", key=key, on_change=_alpha_switched, args=(key,))
    if not table.applied:
        st.caption("The forecast is taken to be exact.")
        return
    st.caption(
        "A row holds for operations planned to take up to its hours; the shortest that covers the planned time is "
        f"used. α by design Hs of {', '.join(f'{height:g}' for height in HEIGHTS)} m or more; between them linear."
    )
    for place in range(len(table.rows)):
        period, *factors = st.columns([4, 3, 3, 3, 3], gap="small")
        with period:
            field(("alpha", "rows", place, "period"), label=f"Up to, {place + 1}")
        for column, name, height in zip(factors, _ROW, HEIGHTS, strict=True):
            with column:
                field(("alpha", "rows", place, name), label=f"{height:g} m, {place + 1}")
    field(("alpha", "source"))
    with st.container(horizontal=True):
        if len(table.rows) > 1:
            st.button("Remove the last", key="heave:alpha:less", on_click=_less_rows)
        if table != BASE_CASE:
            st.button("Base case", key="heave:alpha:base", on_click=_set_alpha, args=(BASE_CASE,))
    factor_row.draw()


def _alpha_switched(key: str) -> None:
    if st.session_state[key]:
        _set_alpha(state.kept("alpha") or BASE_CASE)
    else:
        state.keep("alpha", state.plan().alpha)
        _set_alpha(NO_FACTOR)


def _set_alpha(table: AlphaTable) -> None:
    state.try_edit(lambda plan: plan.changed(alpha=table))


def _less_rows() -> None:
    state.try_edit(lambda plan: plan.changed(alpha=replace(plan.alpha, rows=plan.alpha.rows[:-1])))


def heading_label() -> str:
    """Heading, zone and present time in a line."""
    chosen = store.settings()
    bow = "Best heading" if chosen.heading == "best" else f"Heading {state.plan().heading:g}° throughout"
    return f"{bow}; times in {chosen.zone}"


def heading_and_time() -> None:
    """Fixed or best heading, the largest turn, the zone of the clock and the present time."""
    chosen, forecast = store.settings(), store.looked_at()
    if isinstance(forecast, EnsembleForecast):
        st.caption("Members are searched on the plan's heading.")
    else:
        key = "heave:weather:heading"
        st.session_state[key] = chosen.heading
        st.segmented_control(
            "Vessel heading",
            HEADINGS,
            key=key,
            format_func=lambda kind: "Fixed, the plan's" if kind == "fixed" else "Best over time",
            required=True,
            on_change=_heading_picked,
            args=(key,),
        )
        if chosen.heading == "best":
            _turn(chosen)
    names = zone_names()
    key = "heave:weather:zone"
    st.session_state[key] = chosen.zone
    st.selectbox("Local time zone", names, key=key, on_change=_zone_picked, args=(key,))
    _now(chosen)


def _heading_picked(key: str) -> None:
    store.change(heading=st.session_state[key])


def _zone_picked(key: str) -> None:
    store.change(zone=st.session_state[key])


def _turn(chosen: store.Settings) -> None:
    key = "heave:weather:turn"
    st.session_state.setdefault(key, significant(chosen.turn_rate))
    st.text_input(
        "Largest turn (°/h)",
        key=key,
        on_change=_turn_typed,
        args=(key,),
        help="From 0 to 3600 °/h; invented default, for the rig to replace.",
    )
    st.caption(f"Used: {significant(chosen.turn_rate)} °/h")


def _turn_typed(key: str) -> None:
    try:
        value = parse_number(st.session_state[key], "Largest turn", "°/h")
        if not 0.0 <= value <= 3600.0:
            raise InputError("Largest turn", value, "°/h", "from 0 to 3600 °/h")
    except InputError as error:
        state.note("bad", f"{error} Still used: {significant(store.settings().turn_rate)} °/h.")
        return
    store.change(turn_rate=value)


def _now(chosen: store.Settings) -> None:
    clock, times = chosen.clock, store.looked_at().times
    here = clock.local(store.present(store.looked_at())).replace(tzinfo=None)
    ends = [clock.local(when).replace(tzinfo=None) for when in (times[0], times[-1])]
    key = f"heave:weather:now:{chosen.zone}:{chosen.now}:{times[0]}"
    st.datetime_input(
        f"Now, {chosen.zone}",
        value=min(max(here, ends[0]), ends[1]),
        min_value=ends[0],
        max_value=ends[1],
        key=key,
        format="YYYY-MM-DD",
        on_change=_now_picked,
        args=(key,),
        help="The present time: windows before it are past. Of an hour that a clock change repeats, the first.",
    )
    st.caption(f"Now is {clock.both(store.present(store.looked_at()))}")
    if chosen.now is not None:
        st.button("By the clock again", key="heave:weather:clock", on_click=lambda: store.change(now=None))


def _now_picked(key: str) -> None:
    picked: datetime | None = st.session_state[key]
    now: np.datetime64 | None = None if picked is None else store.settings().clock.utc(picked)
    store.change(now=now)
