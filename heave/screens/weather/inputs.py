"""What the windows are asked for: steps of the campaign, the forecast factor, heading, present time, zone."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import Any, Final

import streamlit as st

from heave.planning import BASE_CASE, HEADINGS, NO_FACTOR, OPERATIONS, AlphaTable, OperationStep, zone_names
from heave.planning.alpha import HEIGHTS
from heave.planning.campaign import MAX_STEPS
from heave.planning.operations import LIMIT_FIELDS
from heave.screens import state
from heave.screens.inputs import field, folded, plain
from heave.screens.weather import factor_row, store
from heave.screens.weather.clock import hours
from heave.weather import EnsembleForecast

_ROW: Final = ("at_1m", "at_2m", "at_4m", "at_6m")
_STEPS: Final = ("weather", "campaign", "steps")


def steps_label() -> str:
    """The steps in a line: how many, and their reference period."""
    campaign = state.plan().campaign
    names = campaign.steps[0].label if len(campaign.steps) == 1 else f"{len(campaign.steps)} steps"
    return f"Operation: {plain(names)}, T\\_R {hours(campaign.reference)}"


def steps() -> None:
    """The campaign: the plan's own operation, or steps of their own."""
    plan = state.plan()
    campaign = plan.weather.campaign
    if campaign is None:
        st.markdown(
            f"The plan's operation, **{plain(plan.operation.about.label)}**, as one step; contingency not assessed, so "
            "as long as the planned time."
        )
        field(("operation", "duration"), label="Planned")
        st.button("Set contingency, add steps", key="heave:steps:own", on_click=_own_steps, width="stretch")
        return
    for place, step in enumerate(campaign.steps):
        _step(place, step, len(campaign.steps))
    if any(step.interruptible for step in campaign.steps):
        field(("weather", "campaign", "longest_wait"))
    with st.container(horizontal=True):
        if len(campaign.steps) < MAX_STEPS:
            st.button("Add a step", key="heave:steps:add", on_click=_add_step)
        st.button("Back to the plan's operation", key="heave:steps:back", on_click=_no_steps)


def _step(place: int, step: OperationStep, count: int) -> None:
    path = (*_STEPS, place)
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
    store.choose(campaign=state.plan().campaign)


def _no_steps() -> None:
    store.choose(campaign=None)
    state.note("good", "The windows are for the plan's operation again.")


def _with_steps(steps_: tuple[OperationStep, ...]) -> None:
    store.choose(campaign=replace(state.plan().campaign, steps=steps_))


def _add_step() -> None:
    current = state.plan().campaign.steps
    _with_steps((*current, replace(current[-1], name="")))


def _remove_step(place: int) -> None:
    current = state.plan().campaign.steps
    _with_steps((*current[:place], *current[place + 1 :]))
    store.view(step=0)


def _kind_picked(place: int, key: str) -> None:
    path = (*_STEPS, place, "operation")
    kind = st.session_state[key]
    state.try_edit(lambda plan: state.changed(plan, path, plan.doing(kind).operation))


def alpha_label() -> str:
    """The forecast factor in a line."""
    table = store.choices().alpha
    if not table.applied:
        return "Forecast factor α: off"
    return "Forecast factor α: on, base case" if table == BASE_CASE else "Forecast factor α: on, own rows"


def alpha() -> None:
    """α on or off, its rows by planned period, and where they come from."""
    table = store.choices().alpha
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
            field(("weather", "alpha", "rows", place, "period"), label=f"Up to, {place + 1}")
        for column, name, height in zip(factors, _ROW, HEIGHTS, strict=True):
            with column:
                field(("weather", "alpha", "rows", place, name), label=f"{height:g} m, {place + 1}")
    field(("weather", "alpha", "source"))
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
        state.keep("alpha", store.choices().alpha)
        _set_alpha(NO_FACTOR)


def _set_alpha(table: AlphaTable) -> None:
    store.choose(alpha=table)


def _less_rows() -> None:
    table = store.choices().alpha
    _set_alpha(replace(table, rows=table.rows[:-1]))


def heading_label() -> str:
    """Heading, zone and present time in a line."""
    asked = store.choices()
    bow = "Best heading" if asked.heading == "best" else f"Heading {state.plan().heading:g}° throughout"
    return f"{bow}; times in {asked.time_zone}"


def heading_and_time() -> None:
    """Fixed or best heading, the largest turn, the zone of the clock and the present time."""
    asked = store.choices()
    if isinstance(store.looked_at(), EnsembleForecast):
        st.caption("Members are searched on the plan's heading.")
    else:
        key = "heave:weather:heading"
        st.session_state[key] = asked.heading
        st.segmented_control(
            "Vessel heading",
            HEADINGS,
            key=key,
            format_func=lambda kind: "Fixed, the plan's" if kind == "fixed" else "Best over time",
            required=True,
            on_change=_picked,
            args=("heading", key),
        )
        if asked.heading == "best":
            field(("weather", "turn_rate"))
    names, key = zone_names(), "heave:weather:zone"
    if asked.time_zone not in names:
        names = (asked.time_zone, *names)
    st.session_state[key] = asked.time_zone
    st.selectbox("Local time zone", names, key=key, on_change=_picked, args=("time_zone", key))
    _now(asked.now)


def _picked(name: str, key: str) -> None:
    choice: dict[str, Any] = {name: st.session_state[key]}
    store.choose(**choice)


def _now(picked: str | None) -> None:
    clock, times = store.clock(), store.looked_at().times
    present = store.present(store.looked_at())
    here = clock.local(present).replace(tzinfo=None)
    ends = [clock.local(when).replace(tzinfo=None) for when in (times[0], times[-1])]
    key = f"heave:weather:now:{clock.name}:{picked}:{times[0]}"
    st.datetime_input(
        f"Now, {clock.name}",
        value=min(max(here, ends[0]), ends[1]),
        min_value=ends[0],
        max_value=ends[1],
        key=key,
        format="YYYY-MM-DD",
        on_change=_now_picked,
        args=(key,),
        help="The present time: windows before it are past. Of an hour that a clock change repeats, the first.",
    )
    st.caption(f"Now is {clock.both(present)}" + ("" if times[0] <= present <= times[-1] else _OUTSIDE))
    if picked is not None:
        st.button(
            "By the clock again", key="heave:weather:clock", on_click=store.choose, kwargs={"now": None}
        )


_OUTSIDE: Final = ", outside this forecast: the box above shows the nearest time that is in it"


def _now_picked(key: str) -> None:
    picked: datetime | None = st.session_state[key]
    store.choose(now=None if picked is None else str(store.clock().utc(picked)))
