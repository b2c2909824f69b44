"""The hoisting path by hand, top to bottom: from the derrick to the elevators, and the room at both ends."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import streamlit as st

from heave.fields import parse_number
from heave.files.rigs import demo_hoisting
from heave.planning import Plan, rig
from heave.planning.rig import DrillingLine, HoistingPath
from heave.screens import state
from heave.screens.inputs import STAYS, all_fields, button, names_of, plain
from heave.screens.state import Path

NOT_GIVEN: Final = (
    "No hoisting path is in the plan: nothing from derrick to elevators is judged but the compensator itself."
)

_REMOVED: Final = "The hoisting path is removed: it is not judged any more."

_HUNG: Final = {
    "crown": "It carries the crown block, and with it lines and travelling block.",
    "block": "It hangs between travelling block and hook: block and lines carry it and its load.",
    None: "The drawworks moves the block through the line: nothing hangs between block and hook.",
}

_LINE: Final[Path] = ("hoisting", "line")

Group = tuple[str, Path, tuple[str, ...]]
"""A heading, the object of the plan and its fields."""


def groups(plan: Plan) -> Iterator[Group]:
    """The fields of the chain under their headings, in the one order of the chain."""
    path: Path = ("hoisting",)
    crown = ("lines_of_crown",) if plan.compensator.under_crown else ()
    unit = ("mounting",) if "mounting" in names_of(plan.compensator) else ()
    body = ("body_mass",) if plan.compensator.under_block else ()
    own: tuple[Group, ...] = (
        ("Compensator", ("compensator",), (*unit, "compensated_rating", "locked_rating", "moving_mass")),
        ("", path, body),
    )
    block = ("derrick_rating", "crown_rating", "crown_mass", "crown_sheaves", *crown)
    yield "Derrick and crown block", path, block
    yield from own if plan.compensator.under_crown else ()
    yield "Lines and sheaves", path, ("lines", "bearing", "drop")
    yield "Drilling line", (*path, "line"), names_of(plan.hoisting.line) if plan.hoisting else ()
    yield "", path, ("line_factor", "line_factor_heavy")
    yield "Dead line", path, ("anchor_rating",)
    yield "Drawworks", path, ("drawworks_pull", "drawworks_power", "brake_power", "rotating_mass")
    gears = tuple(f"{gear}_gear_{what}" for gear in ("low", "middle", "high") for what in ("pull", "speed"))
    yield "", path, gears
    yield from own if plan.compensator.is_drawworks else ()
    yield "Travelling block", path, ("block_mass", "block_rating")
    yield from own if plan.compensator.under_block else ()
    below = ("hook_rating", "top_drive_rating", "links_rating", "elevators_rating")
    yield "Hook, top drive, links, elevators", path, below
    yield "Clearances", path, ("highest_block", "lowest_block", "crown_stop", "clearance")


def draw() -> None:
    """Every field of the chain, and buttons that take the invented path or take the path out."""
    plan = state.plan()
    if plan.hoisting is None:
        st.info(NOT_GIVEN)
        begin()
        return
    st.caption("A rating that is left empty is not judged. Ratings are static, as API 8C and 4F have them.")
    shown = [group for group in groups(plan) if group[2] or group[0] == "Drilling line"]
    for heading, path, names in shown:
        if heading:
            st.markdown(f"## {heading}")
        if heading == "Compensator":
            st.caption(plain(f"{plan.compensator.name}. {_HUNG[plan.compensator.mounting]}"))
        all_fields(path, names, 4)
        if heading == "Drilling line":
            _line(plan.hoisting.line)
    with st.container(horizontal=True):
        _take_demo()
        button("Remove the path", "path:out", _with_path, None, _REMOVED)


def begin() -> None:
    """How a path comes into a plan that has none: empty but for the lines strung, or the invented one."""
    unit = state.plan().compensator
    shown = f"{unit.lines:g}" if isinstance(unit, rig.Drawworks) else ""
    about = "Falls between crown and travelling block, an even number."
    with st.container(horizontal=True, vertical_alignment="bottom"):
        st.text_input(
            "Lines strung to the block", shown, key="heave:path:lines", help=about, width=220, **STAYS
        )
        button("Start with these, everything else empty", "path:new", _new)
        _take_demo()


def _new() -> None:
    words = "A hoisting path is in the plan: put in its ratings, what is left empty is not judged."
    with state.noted():
        lines = parse_number(st.session_state["heave:path:lines"], "lines strung")
        _with_path(HoistingPath(lines=lines), words)


def _take_demo() -> None:
    """A button that puts the invented hoisting path in the plan."""
    words = "The invented hoisting path is in the plan: put in your own numbers."
    button("Use the invented demo path", "path:demo", _with_path, demo_hoisting(), words)


def _with_path(path: HoistingPath | None, words: str) -> None:
    state.try_edit(lambda plan: rig.with_path(plan, path), words)


def _line(line: DrillingLine | None) -> None:
    """A button that puts a line in or takes it out."""
    if line is None:
        st.caption("No drilling line is given: it is not judged, and neither is its weight counted.")
        button("Put in a line from the table", "line:in", state.put, _LINE, demo_hoisting().line)
    else:
        button("Remove the line", "line:out", state.put, _LINE, None)
