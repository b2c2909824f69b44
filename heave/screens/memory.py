"""Work that outlives a reload: the browser keeps the plan file of the session and hands it to the next one.

A reload, a second tab and a connection that was away too long are new sessions, which know nothing of the old
one; nothing is written on the server. So the browser is given the plan file whenever it changed, forecast and
all, and keeps it in its own storage. A new session that finds one there takes it up, read as strictly as a file.
A response table of the library, nine tenths of a plan, is only named, as in a link; where the library has another one
under that name today, that one is taken and the page says so.
"""

from __future__ import annotations

import base64
import zlib
from functools import lru_cache
from typing import Any, Final

import streamlit as st

from heave.errors import FileError, InputError
from heave.files.json_text import json_text, read_document
from heave.files.link import named, of_another_library, whole
from heave.files.plan import (
    MAX_PLAN_BYTES,
    PLAN_FORMAT,
    PLAN_VERSION,
    KeptForecast,
    PlanFile,
    pack_forecast,
    plan_document,
    plan_file_of,
    plan_to_json,
)
from heave.planning import Plan, Progress
from heave.screens import inputs, opening, state
from heave.screens.own_files import own_component
from heave.units import UNIT_SYSTEMS

_CSS: Final = "p{margin:0;font-size:.85rem;color:var(--st-text-color);opacity:.85}"
_REFUSED: Final = "work not kept"
_FOUND: Final = "work found"


def draw() -> None:
    """Hand the session's work to the browser, which says at the foot of the sidebar that it keeps it.

    On the first run of a session take up what the browser has.
    """
    own = own_forecast()
    data = {
        "session": state.session(),
        "text": packed(state.plan(), own),
        "units": state.system(),
        "refused": bool(state.kept(_REFUSED)),
        "keep": opening.by_link(),
        "start": opening.steps_wanted(),
    }
    with st.sidebar:
        keeper = own_component("heave_work", "memory.js", html='<p role="status"></p>', css=_CSS)
        keeper(key="heave:work", data=data, on_found_change=_found, on_refused_change=_refused)


def words() -> str:
    """What happens to the work when the page is left, for the foot of the sidebar; Markdown."""
    if state.kept(_REFUSED):
        return (
            ":red[**This browser keeps nothing.** A reload starts from the demo plan: save the plan before.]"
        )
    own = own_forecast()
    if own is not None and _fitting(own) is None:
        return ":red[**The forecast is too large to be kept.** After a reload it has to be brought again.]"
    return (
        "This browser keeps the plan and your forecast: a reload or a second tab takes them up as they are. What else "
        "was brought (heave record, hindcast, scatter diagram, plans beside this one) has to be brought again."
    )


def own_forecast() -> KeptForecast | None:
    """The file of the user's own forecast in use; None for the sample."""
    mine = state.kept("forecast")
    return None if mine is None else KeptForecast(mine.name, mine.data, mine.issued)


def file_text(plan: Plan, own: KeptForecast | None) -> str:
    """The plan file of the session's work; without the forecast where that is too large for it.

    Parameters
    ----------
    plan : the plan
    own : the user's own forecast in use; None for the sample
    """
    return plan_to_json(plan, _fitting(own))


def take_up(found: PlanFile, words_: str) -> None:
    """Take what a plan file holds into the session, plan first, then the forecast in it."""
    state.replace_plan(found.plan, words_)
    opening.tell(found)
    if found.forecast is not None:
        # most sessions need no reader of forecasts on their first page
        from heave.screens.weather import dialogue

        kept = found.forecast
        dialogue.take("forecast", kept.name, kept.data, kept.issued)


def packed(plan: Plan, own: KeptForecast | None) -> str:
    """The plan file for the browser's storage, in few letters.

    Parameters
    ----------
    plan, own : as for `file_text`
    """
    # plans that differ in what of the lesson was done are equal, so that is asked for by itself
    return _packed(plan, plan.progress, own)


@lru_cache(maxsize=4)
def _packed(plan: Plan, progress: Progress, own: KeptForecast | None) -> str:
    document = named(plan_document(plan.changed(progress=progress), _fitting(own)))
    return base64.b64encode(zlib.compress(json_text(document, compact=True).encode(), 1)).decode("ascii")


def unpacked(text: str) -> PlanFile:
    """What `packed` made a text of, or this planner before it named the tables of the library.

    Parameters
    ----------
    text : from the browser, so it may be anything

    Raises
    ------
    FileError
        If it is not such a text, longer than a plan file may be, or no plan file.
    """
    return plan_file_of(whole(_document(text), as_now=True))


def changed_since(text: str) -> str:
    """That the library has another response table than the one a kept text names; empty where it has that one.

    Parameters
    ----------
    text : that `unpacked` reads
    """
    name = of_another_library(_document(text))
    return name and (
        f"The response table of {name} has changed since this plan was kept: it is computed with the one of today, "
        "and results can differ."
    )


def _document(text: str) -> dict[str, Any]:
    """The JSON object of the plan file in a kept text."""
    unpacker = zlib.decompressobj()
    try:
        data = unpacker.decompress(base64.b64decode(text, validate=True), MAX_PLAN_BYTES)
    except (ValueError, zlib.error) as problem:
        raise FileError("work kept by the browser", text[:20], None, "a packed plan file") from problem
    return read_document(data, PLAN_FORMAT, PLAN_VERSION, MAX_PLAN_BYTES, oldest=1)


@lru_cache(maxsize=4)
def _fitting(own: KeptForecast | None) -> KeptForecast | None:
    """The forecast, where there is one and it is small enough for the plan file."""
    try:
        return None if own is None or not pack_forecast(own) else own
    except InputError:
        return None


def _found() -> None:
    """Keep what the browser had until all that boxes of the page before still say has been heard: it comes last."""
    found = st.session_state["heave:work"].found
    if isinstance(found, dict):
        state.keep(_FOUND, found)


def take_found() -> None:
    """Take up what the browser had, at the beginning of a run; `cut` where the page was on the screen all along and
    its session was lost meanwhile."""
    found = state.kept(_FOUND)
    if found is None:
        return
    state.keep(_FOUND, None)
    inputs.forget_boxes()
    said = "Taken up where this browser left it. The demo plan is under Plan in the sidebar."
    if found.get("cut"):
        said = "The connection was lost for long. Taken up where this browser left it: make your last entry again."
    lost = f"This is the demo plan; your plan of {found.get('at')} could not be taken up. "
    with state.noted(lost):
        text = str(found.get("text"))
        take_up(unpacked(text), said)
        if changed := changed_since(text):
            state.note("bad", changed)
        opening.own_work_found()
        if found.get("units") in UNIT_SYSTEMS:
            state.use_system(found["units"])


def _refused() -> None:
    state.keep(_REFUSED, True)
