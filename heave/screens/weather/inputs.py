"""What the windows are asked for: steps of the campaign, the forecast factor, heading, present time, zone."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from functools import partial
from typing import Final

import streamlit as st

from heave.planning import BASE_CASE, NO_FACTOR, OPERATIONS, OperationStep, zone_names
from heave.planning.alpha import HEIGHTS
from heave.planning.campaign import MAX_STEPS
from heave.planning.kinds import OperationKey
from heave.planning.operations import LIMIT_FIELDS
from heave.screens import state
from heave.screens.inputs import bound, button, field, folded, plain, side_by_side
from heave.screens.state import Path
from heave.screens.weather import factor_row, own, store, tide
from heave.screens.weather.clock import hours
from heave.weather import EnsembleForecast

REFERENCE: Final = (
    "T\\_R is the reference period: planned time and contingency, so how long the weather has to hold once "
    "the work has begun."
)
FACTOR: Final = (
    "A forecast can be wrong, and the more so the longer the work: the limit in wave height is multiplied by the "
    "forecast factor α. At α 0.80 a limit of Hs 3.0\u00a0m is judged as 2.4\u00a0m."
)

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
    st.caption(REFERENCE)
    if campaign is None:
        st.markdown(
            f"The plan's operation, **{plain(plan.operation.about.label)}**, as one step; contingency not assessed, so "
            "as long as the planned time."
        )
        field(("operation", "duration"), label="Planned")
        own = (("weather", "campaign"), plan.campaign)
        button("Set contingency, add steps", "steps:own", state.put, *own, width="stretch")
        return
    for place, step in enumerate(campaign.steps):
        _step(place, step, len(campaign.steps))
    if any(step.interruptible for step in campaign.steps):
        field(("weather", "campaign", "longest_wait"))
    field(("weather", "under_way"))
    with st.container(horizontal=True):
        if len(campaign.steps) < MAX_STEPS:
            button("Add a step", "steps:add", _add_step)
        said = "The windows are for the plan's operation again."
        button("Back to the plan's operation", "steps:back", state.put, ("weather", "campaign"), None, said)


def _step(place: int, step: OperationStep, count: int) -> None:
    path = (*_STEPS, place)
    number = place + 1
    st.markdown(f"**Step {number}: {plain(step.label)}**, T\\_R {hours(step.reference)}")
    key, kinds = f"heave:step:{place}:kind", {kind.key: kind.label for kind in OPERATIONS.values()}
    pick = partial(_kind_picked, path)
    label, about = f"Operation of step {number}", plain(step.operation.about.about)
    how = {"label_visibility": "collapsed", "help": about}
    bound(st.selectbox, label, key, step.operation.kind, pick, kinds, **how)
    duration, contingency = (*path, "operation", "duration"), (*path, "contingency")
    side_by_side({duration: f"Planned {number}", contingency: f"Contingency {number}"})
    field((*path, "interruptible"), label=f"Step {number} can be interrupted")
    label, opened = f"Load, limits and making safe, step {number}", bool(step.operation.missing)
    folded(label, f"weather:step:{place}", partial(_name_and_limits, path, number), opened=opened)
    if count > 1:
        button(f"Remove step {number}", f"step:{place}:remove", _remove_step, place)
    st.divider()


def _name_and_limits(path: Path, number: int) -> None:
    field((*path, "name"), label=f"Name of step {number}")
    for name in (*LIMIT_FIELDS, "heave_basis"):
        field((*path, "operation", name))
    own.draw(path, number)


def _add_step() -> None:
    current = state.plan().campaign.steps
    state.put(_STEPS, (*current, replace(current[-1], name="")))


def _remove_step(place: int) -> None:
    state.cut(_STEPS, place)
    state.keep("step", 0)


def _kind_picked(path: Path, kind: OperationKey) -> None:
    """Another operation brings the rig's own limits for it, and leaves those of the one before."""
    state.try_edit(lambda plan: state.changed(plan, (*path, "operation"), plan.doing(kind).operation))


def alpha_label() -> str:
    """The forecast factor in a line."""
    table = store.choices().alpha
    rows = "base case" if table == BASE_CASE else "own rows"
    return f"Forecast factor α: {f'on, {rows}' if table.applied else 'off'}"


def alpha() -> None:
    """α on or off, its rows by planned period, and where they come from."""
    table = store.choices().alpha
    switch = "Apply α to the wave limit"
    bound(st.toggle, switch, "heave:alpha:on", table.applied, _alpha_switched, help=FACTOR)
    st.caption(FACTOR)
    if not table.applied:
        st.caption("The forecast is taken to be exact.")
        return
    st.caption(
        "A row holds for operations planned to take up to its hours; the shortest that covers the planned time is "
        f"used. α by design Hs of {', '.join(f'{height:g}' for height in HEIGHTS)} m or more; between them linear."
    )
    names = {"period": "Up to", **{f"at_{height:g}m": f"{height:g} m" for height in HEIGHTS}}
    for place in range(len(table.rows)):
        for column, name in zip(st.columns([4, 3, 3, 3, 3], gap="small"), names, strict=True):
            with column:
                field(("weather", "alpha", "rows", place, name), label=f"{names[name]}, {place + 1}")
    field(("weather", "alpha", "source"))
    with st.container(horizontal=True):
        if len(table.rows) > 1:
            shorter = replace(table, rows=table.rows[:-1])
            button("Remove the last", "alpha:less", state.put, ("weather", "alpha"), shorter)
        if table != BASE_CASE:
            button("Base case", "alpha:base", state.put, ("weather", "alpha"), BASE_CASE)
    side_by_side({("weather", "forecast_interval"): "Between forecasts", ("weather", "oldest"): "Old from"})
    factor_row.draw()


def _alpha_switched(on: bool) -> None:
    asked = store.choices()
    if on:
        store.choose(alpha=asked.alpha_off or BASE_CASE, alpha_off=None)
    else:
        store.choose(alpha=NO_FACTOR, alpha_off=asked.alpha)


def heading_label() -> str:
    """Heading, zone and present time in a line."""
    asked = store.choices()
    own = any(step.heading is not None for step in state.plan().campaign.steps)
    fixed = f"Heading {state.plan().heading:g}°" + ("" if own else " throughout")
    bow = "Best heading" if asked.heading == "best" else fixed
    return f"{bow}{', but for steps with their own' if own else ''}; times in {asked.time_zone}"


def heading_and_time() -> None:
    """Fixed or best heading, the largest turn, the zone of the clock and the present time."""
    asked = store.choices()
    if isinstance(store.looked_at(), EnsembleForecast):
        st.caption("Members are searched on the plan's heading.")
    else:
        key, take = "heave:weather:heading", partial(state.put, ("weather", "heading"))
        ways = {"fixed": "Fixed, the plan's", "best": "Best over time"}
        about = "Best over time: at each hour the best heading that the vessel can have turned to."
        how = {"required": True, "help": about}
        bound(st.segmented_control, "Vessel heading", key, asked.heading, take, ways, **how)
        if asked.heading == "best":
            turn = {
                "turn_rate": "Largest turn",
                "sector": "Bow within, either side",
                "sector_middle": "Of heading",
            }
            side_by_side({("weather", name): label for name, label in turn.items()})
            st.caption("Without a heading: of where the highest-energy waves come from.")
    known, key, take = zone_names(), "heave:weather:zone", partial(state.put, ("weather", "time_zone"))
    zones = known if asked.time_zone in known else (asked.time_zone, *known)
    about = "Of the clock on board; every time is shown in it and in UTC."
    bound(st.selectbox, "Local time zone", key, asked.time_zone, take, zones, help=about)
    _now(asked.now)
    tide.draw()


def _now(picked: str | None) -> None:
    clock, times = store.clock(), store.looked_at().times
    present = store.present(store.looked_at())
    here, first, last = (clock.local(when).replace(tzinfo=None) for when in (present, times[0], times[-1]))
    key = f"heave:weather:now:{clock.name}:{picked}:{times[0]}"
    st.datetime_input(
        f"Now, {clock.name}",
        value=min(max(here, first), last),
        min_value=first,
        max_value=last,
        key=key,
        format="YYYY-MM-DD",
        on_change=_now_picked,
        args=(key,),
        help="The present time: windows before it are past. Of an hour that a clock change repeats, the first.",
    )
    outside = ", outside this forecast: the box above shows the nearest time that is in it"
    st.caption(f"Now is {clock.both(present)}" + ("" if times[0] <= present <= times[-1] else outside))
    if picked is not None:
        button("By the clock again", "weather:clock", state.put, ("weather", "now"), None)


def _now_picked(key: str) -> None:
    picked: datetime | None = st.session_state[key]
    state.put(("weather", "now"), None if picked is None else str(store.clock().utc(picked)))
