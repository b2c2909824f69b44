"""A single forecast on the page: the answer, the timeline, hours to open, and the table of windows."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np
import streamlit as st

from heave.errors import InputError
from heave.screens import every_page, state
from heave.screens.figures import HOVER, Chart, Look
from heave.screens.figures.timeline import timeline_figure, timeline_words
from heave.screens.figures.timeline_bars import Span
from heave.screens.figures.timeline_words import hour_lines
from heave.screens.inputs import folded, plain
from heave.screens.weather import store, summary, table
from heave.screens.weather.clock import Clock
from heave.units import show, significant
from heave.weather import WindowResult

CHECK_PAGE = "heave/screens/check/page.py"


def answer(result: WindowResult, swell: tuple[Span, ...]) -> None:
    """The verdict on the weather and its figures."""
    clock = store.clock()
    headline = summary.headline(result, clock, swell)
    summary.draw_headline(
        headline, every_page.look(), summary.computed_for(result, store.source().name, clock)
    )
    summary.draw_tiles(summary.tiles(result, clock))


def timeline(result: WindowResult, swell: tuple[Span, ...]) -> None:
    """The picture; a click on it opens that hour on the check page."""
    clock = store.clock()
    step = _step(result)
    picked = st.plotly_chart(
        _picture(result, swell, step, clock, every_page.look(), state.system()),
        key="timeline",
        config=HOVER,
        theme=None,
        on_select="rerun",
        selection_mode="points",
        alt=timeline_words(result, clock),
    )
    st.caption(
        "Checks are judged with α applied. Hatched: over a limit. Bar under a strip: this check governs. "
        "Diamond: point of no return. Point at an hour to read it; click it to open its sea on the Compensator check."
    )
    points = picked["selection"]["points"] if picked else []
    if points and points[0].get("customdata"):
        _open(result, step, int(points[0]["customdata"][0]))
    _pick_hour(result, step)


@lru_cache(maxsize=8)
def _picture(
    result: WindowResult,
    swell: tuple[Span, ...],
    step: int,
    clock: Clock,
    look: Look,
    system: str,
) -> Chart:
    """The figure, drawn once for what it shows: equal questions share one result, and a result is told by itself."""
    lost = (
        ("Windows lost to α (would be there were it exact)", summary.lost_to_factor(result)),
        ("Starts lost to swell alone", swell),
    )
    return timeline_figure(result, step, clock, look, system, tuple(row for row in lost if row[1]))


def _step(result: WindowResult) -> int:
    """Which step's checks are drawn; asked only where there are several."""
    chosen = min(store.looked().step, len(result.steps) - 1)
    if len(result.steps) == 1:
        return 0
    key = "heave:weather:step"
    st.session_state[key] = chosen
    st.selectbox(
        "Checks of step",
        range(len(result.steps)),
        key=key,
        format_func=lambda place: f"{place + 1}: {result.steps[place].step.label}",
        on_change=_step_picked,
        args=(key,),
    )
    return chosen


def _step_picked(key: str) -> None:
    store.view(step=st.session_state[key])


def _open(result: WindowResult, step: int, place: int) -> None:
    """Go to the check page with one sample's sea, or say at once why that cannot be."""
    error = open_hour(result, step, place)
    if error is None:
        st.switch_page(CHECK_PAGE)
    st.error(plain(str(error)))


def open_hour(result: WindowResult, step: int, place: int) -> InputError | None:
    """Put the sea, the heading and the operation of one sample in the plan; the error where it cannot be.

    The plan as it was is kept, so the check page offers to undo the change.
    """
    clock = store.clock()
    try:
        sea = result.forecast.sea_state(place)
    except InputError as error:
        return error
    before = state.plan()
    if sea.depth is None:
        sea = replace(sea, depth=before.sea.depth)
    operation = result.steps[step].step.operation
    heading = float(result.heading[place])
    refused = state.edit(lambda plan: plan.changed(sea=sea, heading=heading, operation=operation))
    if refused is not None:
        return refused
    state.keep("taken", (before, state.plan()))
    words = f"The sea of {clock.both(result.forecast.times[place])} is in the plan now, as forecast."
    judged = result.steps[step]
    if judged.row is not None:
        height = show(float(judged.design_hs[place]), "length", state.system())
        words += (
            f" The weather window judges it with α, in Hs {height}: utilisation "
            f"{significant(float(judged.reduced.governing[place]))} there, "
            f"{significant(float(judged.plain.governing[place]))} as forecast."
        )
    state.note("good", words)
    return None


def _pick_hour(result: WindowResult, step: int) -> None:
    """The same without a mouse: an hour from a list, everything about it, and a button that opens it."""
    clock, system = store.clock(), state.system()
    times: list[np.datetime64] = list(result.forecast.times)
    with folded("Read or open an hour from a list", "weather:hour") as opened:
        if not opened:
            return
        key = "heave:weather:hour"
        st.session_state[key] = min(state.kept("hour") or 0, len(times) - 1)
        place = st.selectbox(
            "Hour",
            range(len(times)),
            key=key,
            format_func=lambda row: clock.both(times[row]),
            on_change=lambda: state.keep("hour", st.session_state[key]),
        )
        lines = hour_lines(result, step, place, clock, system)
        st.markdown("  \n".join(_line(line) for line in lines))
        if st.button("Open on the Compensator check", key="heave:weather:open", type="primary"):
            _open(result, step, place)


def _line(line: str) -> str:
    """A line of the pointing box as Markdown: its bold kept, everything else plain text."""
    if line.startswith("<b>"):
        return f"**{plain(line.removeprefix('<b>').removesuffix('</b>'))}**"
    return plain(line)


def windows(result: WindowResult) -> None:
    """Every window in a table, its steps where there are several, and the rules that were used."""
    clock = store.clock()
    st.subheader("Windows")
    rows = table.windows_table(result, clock)
    if rows:
        table.draw(rows, "windows", "weather_windows.csv", "Save the table (CSV)")
    else:
        st.markdown("None.")
    if len(result.campaign.steps) > 1 and rows:
        st.subheader("Steps, if begun at the earliest start")
        table.draw(
            table.schedule_table(result, clock),
            "schedule",
            "weather_window_steps.csv",
            "Save the steps (CSV)",
        )
    gone = len(result.lost_to_factor)
    if gone:
        names = "; ".join(
            f"{clock.stamp(lost.start)} to {clock.stamp(lost.end)}" for lost in result.lost_to_factor
        )
        st.markdown(f"Lost to α: {plain(names)}.")
    st.subheader("Notes")
    every_page.cautions((*result.notes, *(f"Forecast: {note}" for note in result.forecast.notes)))
