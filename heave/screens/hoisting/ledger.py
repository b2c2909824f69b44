"""The record of the drilling line: work since the cut, what is planned, when the next cut falls, drum and stand."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import partial
from typing import Final

import streamlit as st

from heave.judging import Assessment
from heave.judging.line_record import MINIMUM_WRAPS, LineRecord, line_record
from heave.planning import LineJob, LineWork, Plan
from heave.screens import grid, pieces, state
from heave.screens.check.verdict import floored
from heave.screens.inputs import all_fields, button, folded, plain
from heave.screens.weather import line_tiles, store
from heave.units import counted, fixed, show, significant

GROUPS: Final = (
    ("Slip and cut", ("since_cut", "goal", "cut_length", "slip_length", "on_reel", "on_drum")),
    ("Planned", ("planned", "compensating")),
    ("Drum", ("drum_core", "drum_width", "drum_layers")),
    ("A stand", ("stand", "hook_acceleration", "lowering_speed", "deceleration")),
)
_JOB: Final = {"job": "Job", "to_depth": "To depth", "from_depth": "From depth", "times": "Times"}
"""Fields of a planned job, and how their columns are called."""

_JOBS: Final[state.Path] = ("line_work", "jobs")

_SOURCE: Final = (
    "Work is load times way of the block, both ways, without friction; multiples of round trips by job (API RP 9B, "
    "some of them from memory). Six wraps on the drum: common practice. How many ton-miles a line does "
    "before a cut is the rig's own to say: procedures differ."
)


def draw(result: Assessment, system: str) -> None:
    """The figures of the record, and its fields; a button that starts one where there is none."""
    plan, found = result.plan, line_record(result.plan)
    if found is None or plan.line_work is None:
        st.caption("No record of the drilling line is kept in this plan.")
        button("Start a record of the line", "line_work:start", _start)
        return
    rows = tiles(plan.line_work, found, system, datetime.now(UTC))
    seas = line_tiles.over_forecast(plan, store.looked_at(), store.source().sample, system)
    pieces.tiles([*rows, *seas], "-line-work")
    for words in warnings(found):
        st.markdown(f":red[**{plain(words)}**]")
    folded("Numbers of the record, jobs planned", "line_work", partial(_fields, found, system))
    st.caption(_SOURCE)


def tiles(record: LineWork, found: LineRecord, system: str, now: datetime) -> list[pieces.Tile]:
    """Title, figure and the line under it; what a figure still needs stands in its place.

    Parameters
    ----------
    record, found : what was entered, and what it comes to
    system : units on the screen
    now : from when the next cut is counted
    """
    stand, of = found.stand, (record, found, system)
    rows = [_since(*of), _next(found, now), _planned(*of), _reel(*of), _wraps(found, system)]
    if found.heave is not None:
        work, bends = float(found.heave.work[0]), found.heave.bends[0]
        under = f"in this sea; {significant(bends)} bend cycles an hour where worst"
        rows.append(("Compensating, each hour", show(work, "line_work", system), under))
    raised = "" if stand.raised is None else f"; hoisting it took {show(stand.raised, 'energy', system)}"
    pull = "" if stand.stopping_pull is None else show(stand.stopping_pull, "force", system)
    way = f"from the lowering speed; the fast line pulls {pull}"
    known = (
        ("Hook speed, hoisting", stand.speed, "speed", "by power and gears", "power or gears that pull it"),
        ("Time for a stand", stand.time, "period", "from rest to rest", "stand, acceleration"),
        ("Brake, a stand lowered", stand.energy, "energy", f"the sheaves not helping{raised}", "stand"),
        ("Stopping distance", stand.stopping, "length", way, "speed and deceleration"),
    )
    for title, value, kind, under, needs in known:
        told = ("not known", f"needs: {needs}") if value is None else (show(value, kind, system), under)
        rows.append((title, *told))
    return rows


def warnings(found: LineRecord) -> list[str]:
    """What cannot wait."""
    lines = []
    if found.left is not None and found.left <= 0:
        where = "past" if found.left < 0 else "at"
        lines.append(f"The line is {where} its goal: slip and cut before the next job.")
    if found.wraps is not None and found.wraps < MINIMUM_WRAPS:
        lines.append(
            f"Only {_down(found.wraps)} wraps stay on the drum with the block at its lowest; "
            f"{MINIMUM_WRAPS} or more stay on (common practice)."
        )
    if found.cuts_left == 0:
        lines.append("The supply reel has no line for another slip.")
    return lines


def _since(record: LineWork, found: LineRecord, system: str) -> pieces.Tile:
    title = "Work left before the cut"
    if found.left is None or record.goal is None or record.since_cut is None:
        return title, "not known", "needs: work since the cut, goal, lengths"
    done, goal = (show(value, "line_work", system) for value in (record.since_cut, record.goal))
    return title, show(found.left, "line_work", system), f"{done} of {goal} done"


def _next(found: LineRecord, now: datetime) -> pieces.Tile:
    title = "Next slip and cut"
    if found.time_left is None:
        return title, "not known", "needs: jobs planned and the time they take"
    if found.time_left <= 0:
        return title, "due now", "the goal is reached"
    days = found.time_left / 86400
    if days > 3650:
        return title, "not in ten years", "at the planned rate"
    when = f"{now + timedelta(seconds=found.time_left):%d %b %Y %H:%M} UTC"
    return title, f"in {significant(days, 2)} days", f"{when}, at the planned rate from now"


def _planned(record: LineWork, found: LineRecord, system: str) -> pieces.Tile:
    title = "Work planned"
    if found.planned is None:
        return title, "not known", "needs: jobs, and the length of a stand"
    under = counted(len(record.jobs), "job")
    if record.planned is not None:
        under += f" in {show(record.planned, 'duration', system)}"
    return title, show(found.planned, "line_work", system), under


def _reel(record: LineWork, found: LineRecord, system: str) -> pieces.Tile:
    title = "Cuts left on the reel"
    if found.cuts_left is None or record.on_reel is None or record.cut_length is None:
        return title, "not known", "needs: reel and length of a cut"
    under = f"{show(record.on_reel, 'length', system)} on it"
    if found.after is not None:
        reel, drum = (show(left, "length", system) for left in (found.after.on_reel, found.after.on_drum))
        under += f"; {reel} and {drum} on the drum after the next"
    if found.cut is not None:
        under += f"; a cut of {show(found.cut, 'length', system)} ends half a lap over"
    return title, str(found.cuts_left), under


def _wraps(found: LineRecord, system: str) -> pieces.Tile:
    title = "Wraps left, block lowest"
    if found.wraps is None:
        return title, "not known", "needs: drum, line on it, block heights"
    held = "" if found.capacity is None else f"; the drum holds {show(found.capacity, 'length', system)}"
    return title, _down(found.wraps), f"{MINIMUM_WRAPS} or more stay on{held}"


def _down(wraps: float) -> str:
    """Wraps to one decimal, rounded down: a little less than are to stay on does not read as they."""
    return fixed(floored(wraps, 1), 1)


def _fields(found: LineRecord, system: str) -> None:
    """Every number of the record under its heading, and the jobs one under the other."""
    record = state.plan().line_work
    if record is None:
        return
    for heading, names in GROUPS:
        st.markdown(f"#### {heading}")
        all_fields(("line_work",), names, 3)
        if heading == "Planned":
            _jobs(record, found, system)
    button("Remove the record", "line_work:out", state.put, ("line_work",), None)


def _jobs(record: LineWork, found: LineRecord, system: str) -> None:
    """The jobs planned as a table, what each comes to, and the buttons that add and remove."""
    if record.jobs:
        grid.draw("jobs", record.jobs, _JOB, _with_jobs)
    with st.container(horizontal=True, vertical_alignment="center"):
        button("Add a job", "job:add", _add)
        for place in range(len(record.jobs)):
            button(f"Remove {place + 1}", f"job:cut:{place}", state.cut, _JOBS, place)
    if found.jobs:
        works = (f"{place + 1}: {show(work, 'line_work', system)}" for place, work in enumerate(found.jobs))
        st.caption(f"Total work of each job: {'; '.join(works)}.")


def _with_jobs(plan: Plan, jobs: tuple[LineJob, ...]) -> Plan:
    record = plan.line_work or LineWork()
    return plan.changed(line_work=replace(record, jobs=jobs))


def _start() -> None:
    """An empty record, its numbers open to be filled in."""
    state.opened()["line_work"] = True
    state.put(("line_work",), LineWork())


def _add() -> None:
    """A round trip from the string's own depth, to be changed."""
    jobs = state.at(state.plan(), _JOBS)
    state.put(_JOBS, (*jobs, LineJob(to_depth=state.plan().string.length)))
