"""A plan that is opened: what has to be said of it, and the link that carries one.

A link is read once, when a session begins. Where the browser has work of its own that work stays, and the link's
plan waits until somebody says that it may take its place. The link stands in the address as long as the plan is the
link's, so that a reload or a bookmark is that plan; the first change takes it out, and a reload then finds the work
that the browser keeps.
"""

from __future__ import annotations

from functools import lru_cache, partial
from typing import Final

import streamlit as st

from heave.errors import InputError
from heave.files.codec import Defaulted
from heave.files.link import plan_to_link, read_link
from heave.files.plan import PlanFile, plan_to_json
from heave.planning import Plan
from heave.screens import pieces, state, taken
from heave.screens.inputs import button, folded, plain
from heave.units import counted

PARAMETER = "plan"
"""What a link's plan is called in the address."""

FEW = 8
"""Most absent fields that are listed without being asked for."""

STEPS: Final = (
    "**First time here?** **1** Put in the sea, in the panel at the left (»). **2** Then operation, load, WOB. "
    "**3** Read what governs."
)
NOT_AGAIN: Final = "Not shown again in this browser; *Plan* in the panel at the left brings it back."

_STEPS: Final = "first steps"
_BEGUN, _HELD, _WAITING = "link begun", "link", "link waiting"
_REFUSED, _SAID = "link refused", "opened"


def first_steps() -> None:
    """What to do first, in three steps, until somebody says that it is done; the browser remembers that.

    It is drawn always and shown by the style sheet once the browser has said that it is not done, so that nobody who
    comes back sees it come and go.
    """
    if state.kept(_STEPS) == "done":
        return
    with st.container(key="start", horizontal=True, vertical_alignment="center", gap="small"):
        st.markdown(STEPS, width="stretch")
        st.page_link(
            "heave/screens/weather/page.py",
            label="Take my forecast",
            help="Bring the file or the table of your forecast: windows instead of one hour.",
        )
        button("Done", "start:done", state.keep, _STEPS, "done", help=NOT_AGAIN)


def steps_button() -> None:
    """The way back to the three steps."""
    about = "Three steps for somebody who is here for the first time, on the Compensator check."
    button("Show the first steps", "start:show", state.keep, _STEPS, "show", width="stretch", help=about)


def steps_wanted() -> str | None:
    """What this session said of the three steps, for the browser to remember: 'done', 'show', or nothing."""
    said: str | None = state.kept(_STEPS)
    return said


def begin() -> None:
    """Read the link in the address when a session begins; later, take it out once the plan is no longer the link's."""
    held: PlanFile | None = state.kept(_HELD)
    if state.kept(_BEGUN):
        if held is not None and state.kept(_WAITING) is None and state.plan() != held.plan:
            _out_of_the_address()
        return
    state.keep(_BEGUN, True)
    text = st.query_params.get(PARAMETER)
    if text is None:
        return
    try:
        found = read_link(text)
    except InputError as error:
        _out_of_the_address()
        state.keep(_REFUSED, f"The plan of the link could not be opened and nothing was changed. {error}")
        return
    state.keep(_HELD, found)
    state.replace_plan(found.plan)
    tell(found)


def by_link() -> bool:
    """Whether the plan came by a link, which a reload may no longer have."""
    return state.kept(_HELD) is not None


def own_work_found() -> None:
    """Work that the browser kept has taken the place of the link's plan: keep that until it is asked for."""
    held: PlanFile | None = state.kept(_HELD)
    if held is not None and state.plan() != held.plan:
        state.keep(_WAITING, held)


def tell(found: PlanFile) -> None:
    """Keep for the screen what has to be said of a plan that was opened, until it is put away.

    Parameters
    ----------
    found : as read
    """
    says = bool(found.another_model or found.defaulted)
    state.keep(_SAID, (found.plan.name, found.another_model, found.defaulted) if says else None)


def draw() -> None:
    """What has to be said or asked about a plan that was opened; above the page."""
    refused, waiting, said = state.kept(_REFUSED), state.kept(_WAITING), state.kept(_SAID)
    if refused is None and waiting is None and said is None:
        return
    with st.container(key="opening"):
        if refused is not None:
            st.error(plain(refused))
            button("Close", "link:refused", state.keep, _REFUSED, None)
        if waiting is not None:
            _ask(waiting)
        if said is not None:
            _say(*said)


def _ask(waiting: PlanFile) -> None:
    st.warning(
        f"**The link carries another plan: {plain(waiting.plan.name)}.** What you see is your own work, as this "
        f"browser kept it. The link's plan would take its place. {plain(waiting.another_model)}"
    )
    with st.container(horizontal=True):
        button("Open the plan of the link", "link:open", _open, waiting, type="primary")
        button("Keep my work", "link:keep", _keep)
        own = partial(plan_to_json, state.plan())
        pieces.save("Save my work first", own, "plan.json", "heave:link:save")


def _open(waiting: PlanFile) -> None:
    state.keep(_WAITING, None)
    words = "The plan of the link is open. Undo the change taken, on the Compensator check, brings your work back."
    state.take(waiting.plan, words)
    tell(waiting)


def _keep() -> None:
    state.keep(_WAITING, None)
    _out_of_the_address()


def _out_of_the_address() -> None:
    state.keep(_HELD, None)
    if PARAMETER in st.query_params:
        del st.query_params[PARAMETER]


def _say(name: str, another_model: str, defaulted: tuple[Defaulted, ...]) -> None:
    """That another model wrote the plan, and which fields it does not have."""
    count = len(defaulted)
    fields = f"It does not say {counted(count, 'thing')} that a plan has." if count else ""
    st.warning(f"**{plain(name)}** was opened. {plain(another_model)} {fields}".rstrip())
    if count:
        label = "What was taken where the file does not say"
        folded(label, "defaulted", partial(_defaulted, defaulted), opened=count <= FEW)
    button("Close", "opened:close", state.keep, _SAID, None)


def _defaulted(defaulted: tuple[Defaulted, ...]) -> None:
    rows = taken.rows(defaulted, state.system())
    pieces.wide_table("defaulted", ("Field", "Taken as", "In the file"), rows)


_link = lru_cache(maxsize=4)(plan_to_link)
"""The link of a plan, made once."""


def link_box() -> None:
    """The link to the plan on the screen, to copy or to put into the address."""
    plan = state.plan()
    try:
        text = _link(plan)
    except InputError:
        st.caption(
            "This plan is too large for a link, as most response tables of your own make it: proxies and browsers cut "
            "long ones. Save the plan and send the file."
        )
        return
    st.code(f"{st.context.url or ''}?{PARAMETER}={text}", language=None)
    st.caption(
        "All of the plan is in it, but no forecast of your own: send it to those who may read the plan. It stays in "
        "the history of a browser that opens it, and is checked like a file."
    )
    about = "For a bookmark, or a reload without the browser's memory. The first change takes it out again."
    put = partial(_into_the_address, plan, text)
    button("Put it into the address", "link:address", put, help=about, width="stretch")


def _into_the_address(plan: Plan, text: str) -> None:
    state.keep(_HELD, PlanFile(plan))
    st.query_params[PARAMETER] = text
