"""Counting over a record, in a thread of its own, with its progress and a button that stops it."""

from __future__ import annotations

from functools import partial

import streamlit as st

from heave.screens import state
from heave.screens.climate import store
from heave.screens.climate.job import Job
from heave.screens.inputs import plain
from heave.studies.climate import Operability
from heave.studies.climate_headings import HeadingRule

_JOB, _ASKED = "climate:job", "climate:job asked"


def running() -> bool:
    """Whether a run is on; it is drawn then."""
    if state.kept(_JOB) is None:
        return False
    _watch()
    return True


def button(label: str, rules: tuple[HeadingRule, ...], name: str) -> None:
    """A button that counts the record in use by some rules of headings."""
    st.button(label, key=f"heave:climate:run:{name}", type="primary", on_click=_begin, args=(rules,))


def results() -> dict[HeadingRule, Operability]:
    """What was counted over the record in use."""
    source = store.record()
    return {} if source is None else store.worked(source)


def _begin(rules: tuple[HeadingRule, ...]) -> None:
    source, plan = store.record(), state.plan()
    if source is None:
        return
    job = Job(source.name, partial(store.over_record, plan, source, rules))
    state.keep(_JOB, job)
    state.keep(_ASKED, (source, plan))
    job.start()


@st.fragment(run_every=0.5)
def _watch() -> None:
    """How far the run is, twice a second; at its end the page is drawn anew."""
    job: Job | None = state.kept(_JOB)
    if job is None:
        return
    if not job.thread.is_alive():
        state.keep(_JOB, None)
        if job.result is not None:
            source, plan = state.kept(_ASKED)
            store.keep(source, plan, job.result)
        else:
            state.note("bad", job.error)
        st.rerun()
    st.progress(min(job.share, 1.0), text=f"{plain(job.name)}: {100 * job.share:.0f} %")
    st.button("Cancel", key="heave:climate:cancel", on_click=job.stop.set)
