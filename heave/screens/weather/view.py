"""A single forecast on the page: the answer, the timeline, hours to open, and the table of windows."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache, partial

import streamlit as st

from heave.errors import InputError
from heave.files.seals import in_hour
from heave.planning import Plan
from heave.screens import every_page, pieces, state
from heave.screens.calculation.hours import hour_words
from heave.screens.figures.chart import Chart
from heave.screens.figures.look import Look
from heave.screens.figures.tables import Table, of_texts
from heave.screens.figures.timeline import timeline_figure, timeline_words
from heave.screens.figures.timeline_words import hour_lines
from heave.screens.figures.utilisation import utilisation_text
from heave.screens.inputs import folded, listed, numbered, plain
from heave.screens.weather import line_tiles, lost, store, summary, table, tiles
from heave.screens.weather.clock import Clock
from heave.units import show
from heave.weather import WindowResult
from heave.weather.in_hour import plan_in_hour

NOT_JUDGED = (
    "Not judged here: the riser beyond the rig's own limits (the riser analysis), station keeping and disconnecting "
    "(the master and the positioning officer), cranes and helicopters (their own limits, the master). Whether to "
    "start, stop or leave is for the master, the offshore installation manager and the driller."
)
"""What the page leaves to others, and to whom."""

CHECK_PAGE = "heave/screens/check/page.py"


def answer(result: WindowResult) -> None:
    """The verdict on the weather, and what it was computed for."""
    clock = store.clock()
    headline = summary.headline(result, clock, store.swell(result))
    if headline.title == summary.NO_WINDOW:
        why = summary.why(*store.short_of(result, state.system()), clock)
        headline = replace(headline, lines=(*headline.lines, *why))
    if store.source().sample:
        now = ", and now is its first hour" if store.choices().now is None else ""
        headline = replace(headline, lines=(*headline.lines, f"The sample forecast is invented{now}."))
    summary.draw_headline(
        summary.picked(headline, store.apart()), tiles.computed_for(result, store.source().name, clock)
    )


def figures(result: WindowResult) -> None:
    """The figures of the answer, a tile each."""
    use = line_tiles.over_forecast(result.plan, result.forecast, store.source().sample, state.system())
    pieces.tiles([*tiles.tiles(result, store.clock()), *use])


def plan(result: WindowResult) -> None:
    """Steps and waits from now on, the ways of doing them, and what this page does not judge."""
    clock = store.clock()
    if len(result.steps) > 1 or any(judged.step.interruptible for judged in result.steps):
        rows = table.plan_table(result, clock)
        if rows:
            st.subheader("The plan from now on")
            table.draw(rows, "plan", "well_plan.csv", "Save the plan from now on (CSV)")
        ways = table.ways_table(result, clock)
        if len(ways) > 1:
            st.subheader("Ways of doing it")
            table.draw(ways, "ways", "ways.csv", "Save the ways (CSV)")
            st.caption(
                "Contingency counts as used; getting back takes as long as making safe. What lies beyond the next "
                "forecast is for that one to confirm. The driller picks."
            )
        pieces_ = table.pieces_table(result, clock)
        if len(pieces_) > len(result.steps):
            st.subheader("Pieces of the work, ways as above")
            table.draw(pieces_, "pieces", "pieces.csv", "Save the pieces (CSV)")
    st.caption(plain(NOT_JUDGED))


def timeline(result: WindowResult) -> None:
    """The picture; a click on it opens that hour on the check page."""
    clock, step = store.clock(), _step(result)
    picked = pieces.chart(
        _picture(result, step, clock, every_page.look(), state.system()),
        "timeline",
        timeline_words(result, clock),
        name="The forecast, hour by hour",
        made=partial(_hours, result, step, clock, state.system()),
        on_select="rerun",
        selection_mode="points",
    )
    st.caption(
        "Checks are judged with α applied; over each strip its highest utilisation. Hatched: over a limit. "
        "Bar under a strip: this check governs. "
        "Diamond: point of no return. Point at an hour to read it; click it to open its sea on the Compensator check."
    )
    points = picked["selection"]["points"] if picked else []
    if points and points[0].get("customdata"):
        _open(result, step, int(points[0]["customdata"][0]))
    folded("Read or open an hour from a list", "weather:hour", partial(_pick_hour, result, step))


def _hours(result: WindowResult, step: int, clock: Clock, system: str) -> list[Table]:
    return of_texts(table.hours_table(result, step, clock, system))


@lru_cache(maxsize=8)
def _picture(result: WindowResult, step: int, clock: Clock, look: Look, system: str) -> Chart:
    """The figure, drawn once for what it shows: equal questions share one result, and a result is told by itself."""
    spans = (
        ("Lost to α (open if the forecast is exact)", lost.lost_to_factor(result)),
        ("Starts lost to swell alone", store.swell(result)),
    )
    return timeline_figure(result, step, clock, look, system, tuple(row for row in spans if row[1]))


def _step(result: WindowResult) -> int:
    """Which step's checks are drawn; asked only where there are several."""
    names = numbered(judged.step.label for judged in result.steps)
    about = "The step whose checks are drawn hour by hour."
    return listed("Checks of step", "heave:weather:step", "step", names, about) if len(names) > 1 else 0


def _open(result: WindowResult, step: int, place: int) -> None:
    """Go to the check page with the sea, heading and operation of one sample, or say at once why that cannot be."""
    judged = result.steps[step]
    try:
        new = plan_at(result, step, place)
    except InputError as error:
        st.error(plain(str(error)))
        return
    words = f"The sea of {store.clock().both(result.forecast.times[place])} is in the plan now, as forecast."
    if judged.asked.factor is not None:
        height = show(float(judged.design_hs[place]), "length", state.system())
        words += (
            f" The weather window judges it with α, in Hs {height}: utilisation "
            f"{utilisation_text(float(judged.reduced.governing[place]))} there, "
            f"{utilisation_text(float(judged.plain.governing[place]))} as forecast."
        )
    state.take(new, words)
    st.switch_page(CHECK_PAGE)


def plan_at(result: WindowResult, step: int, place: int) -> Plan:
    """The session's plan in the sea as forecast and on the heading of one sample, doing what the step does with its
    load and in its tide; its title block says which hour that is.

    Raises
    ------
    InputError
        If the sample has no sea or no tide that can be judged.
    """
    new = plan_in_hour(state.plan(), result, step, place, raised=False)
    return in_hour(new, hour_words(result, step, place, new, False, store.source().sample))


def _pick_hour(result: WindowResult, step: int) -> None:
    """The same without a mouse: an hour from a list, everything about it, and a button that opens it."""
    clock = store.clock()
    times = {row: clock.both(when) for row, when in enumerate(list(result.forecast.times))}
    about = "The same as pointing at the timeline, without a mouse."
    place = listed("Hour", "heave:weather:hour", "hour", times, about)
    lines = hour_lines(result, step, place, clock, state.system())
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
    table.draw(rows, "windows", "weather_windows.csv", "Save the table (CSV)")
    if not rows:
        st.markdown("None.")
    if len(result.campaign.steps) > 1 and rows:
        st.subheader("Steps, if begun at the earliest start")
        steps = table.schedule_table(result, clock)
        table.draw(steps, "schedule", "weather_window_steps.csv", "Save the steps (CSV)")
    gone = [f"{clock.stamp(window.start)} to {clock.stamp(window.end)}" for window in result.lost_to_factor]
    if gone:
        st.markdown(f"Lost to α: {plain('; '.join(gone))}.")
    st.subheader("Notes")
    every_page.cautions((*result.notes, *(f"Forecast: {note}" for note in result.forecast.notes)))
