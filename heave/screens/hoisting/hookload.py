"""Hookload over the job: the hole edited in place, the curves over bit depth, and what stands on the bit."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import Final

import streamlit as st

from heave.judging.job import job_cautions
from heave.planning import Plan
from heave.planning.job import (
    STIFF_WALL,
    BottomHole,
    HoleInterval,
    JobHookload,
    Well,
    bottom_hole_of,
    first_well,
    held_against,
    job_of,
    with_intervals,
)
from heave.screens import every_page, grid, pieces, state
from heave.screens.figures.hookload import hookload_figure, hookload_words, shown_motions
from heave.screens.inputs import button, field, sentence
from heave.units import show, significant

_COLUMNS: Final = {name: sentence(name) for name in ("length", "inclination", "friction", "diameter")}
"""Fields of an interval, and how their columns are called."""

_ADDED: Final = 100.0
"""Length of an interval that is added [m]; the rest is as in the one above it."""


def panel() -> None:
    """The well, hookload against bit depth for every motion, its extremes, and the neutral point."""
    plan = state.plan()
    if plan.well is None:
        st.caption("No hole is described, so the string is taken to hang free and vertical.")
        button("Describe the hole", "well:new", _begin)
    else:
        _intervals(plan.well)
        _curves(plan, job_of(plan))
    _standing(plan, bottom_hole_of(plan))
    lines = tuple(job_cautions(plan))
    if lines:
        every_page.cautions(lines)


def _intervals(well: Well) -> None:
    """The intervals as a table, top down, and the buttons that add and remove."""
    st.markdown("#### The hole, from the rotary down")
    st.caption(
        "Straight intervals along the hole; the riser is one at 0°. A friction coefficient of 0.15 to 0.25 in casing "
        "and 0.2 to 0.4 in open hole is common, from memory; 0 says that none is given."
    )
    grid.draw("well", well.intervals, _COLUMNS, with_intervals)
    added = (*well.intervals, replace(well.intervals[-1], length=_ADDED))
    with st.container(horizontal=True):
        button(f"Add {show(_ADDED, 'length', state.system())} below", "well:add", _intervals_are, added)
        for place in range(len(well.intervals) if len(well.intervals) > 1 else 0):
            cut = partial(_intervals_are, state.without(well.intervals, place))
            button(f"Remove {place + 1}", f"well:cut:{place}", cut)
        button("No hole", "well:none", state.put, ("well",), None, "The hole is removed from the plan.")
    left, right = st.columns(2)
    with left:
        field(("well", "design_factor"))
    with right:
        field(("string", "inside"))


def _begin() -> None:
    words = "A vertical hole, as long as the string."
    state.try_edit(lambda plan: plan.changed(well=first_well(plan)), words)


def _intervals_are(intervals: tuple[HoleInterval, ...]) -> None:
    state.try_edit(lambda plan: with_intervals(plan, intervals))


def _curves(plan: Plan, job: JobHookload) -> None:
    """The figure, and highest and lowest of every motion as a table."""
    system, against = state.system(), held_against(plan)
    st.markdown("#### Hookload over bit depth")
    drawn = hookload_figure(job, against, every_page.look(), system)
    pieces.chart(drawn, "hookload", hookload_words(job, system), name="Hookload over bit depth")
    head = ("Motion", "Highest", "with the bit at", "Lowest", "with the bit at", "Whole string")
    rows = []
    for motion in shown_motions(job):
        found = job.extremes(motion)
        values = (found.highest, found.highest_at, found.lowest, found.lowest_at, found.at_end)
        cells = zip(values, ("force", "length", "force", "length", "force"), strict=True)
        rows.append((sentence(motion), *(show(value, kind, system, 4) for value, kind in cells)))
    pieces.wide_table("hookload", head, rows)
    pull = show(plan.job_hookload + plan.overpull, "force", system, 4)
    st.caption(
        f"Pulling out counts beside weight: {job.drag_from}. From the plan's depth with the overpull margin: {pull}. "
        "Drilling is rotating less the weight on bit, from where the string weighs as much. Soft string on straight "
        "intervals (Johancsik, Friesen and Dawson, 1984) without its term of curvature: bends, a stiff string, a tight "
        "hole and cuttings add drag that is not here. Buoyancy as API RP 7G; the gear above the string is counted."
    )


def _standing(plan: Plan, found: BottomHole) -> None:
    """Neutral point at the plan's weight on bit, and what the bottom-hole assembly can give."""
    system = state.system()
    wob, available = (show(force, "force", system) for force in (plan.wob, found.available))
    neutral, length = (show(one, "length", system) for one in (found.neutral, found.assembly_length))
    st.markdown("#### What stands on the bit")
    factor = plan.well.design_factor if plan.well else None
    if factor is None or found.usable is None:
        usable = "Usable weight on bit: give the hole a design factor."
    else:
        usable = f"Usable with a design factor of {significant(factor)}: **{show(found.usable, 'force', system)}**."
    nothing = (
        "" if plan.on_bottom else "In this operation nothing stands on the bit; on bottom it would be so: "
    )
    st.markdown(
        f"{nothing}At {wob} on the bit the neutral point is **{neutral}** above it. The bottom-hole assembly is the "
        f"lowest {length} and weighs {available} in mud along the hole: with more on the bit the neutral point leaves "
        f"it. {usable}"
    )
    st.caption(
        f"Buoyancy-factor method (API RP 7G). To the assembly belongs, from the bit up, what has a wall of "
        f"{100 * STIFF_WALL:g}\u00a0% of its outside diameter or more: collars and heavy-weight pipe."
    )
