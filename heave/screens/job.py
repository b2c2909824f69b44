"""Work in a thread of its own that the page looks at and may stop."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any

import streamlit as st

from heave.errors import InputError
from heave.screens import state
from heave.screens.inputs import button, plain
from heave.units import per_cent
from heave.weather import CancelledError
from heave.weather.evaluation import Progress


class Job:
    """A piece of work, how far it is, and what came of it."""

    def __init__(self, name: str, work: Callable[[Progress], Any]) -> None:
        self.name = name
        self.share = 0.0
        self.stop = threading.Event()
        self.result: Any = None
        self.error = "The run ended without a result."
        self.thread = threading.Thread(target=self._run, args=(work,), name=name, daemon=True)
        self.start = self.thread.start

    def _run(self, work: Callable[[Progress], Any]) -> None:
        try:
            self.result = work(self._tell)
        except CancelledError:
            self.error = "Stopped before the end; nothing was kept."
        except InputError as error:
            self.error = str(error)

    def _tell(self, share: float) -> None:
        self.share = share
        if self.stop.is_set():
            raise CancelledError


def place_of(page: str) -> str:
    """Under what a page's job is kept."""
    return f"{page}:job"


def begin(page: str, name: str, work: Callable[[Progress], Any]) -> None:
    """Start a page's work and keep the job."""
    job = Job(name, work)
    state.keep(place_of(page), job)
    job.start()


def running(page: str, of: str, keep: Callable[[str, Any], None]) -> bool:
    """Whether a page's job is on; it is drawn then.

    Parameters
    ----------
    page : whose job it is
    of : what the per cent are of, such as "of the seas"
    keep : takes name and result of a job that came to its end
    """
    if state.kept(place_of(page)) is None:
        return False
    _watch(page, of, keep)
    return True


@st.fragment(run_every=0.5)
def _watch(page: str, of: str, keep: Callable[[str, Any], None]) -> None:
    """How far the job is, twice a second, with a button that stops it; at its end the page is drawn anew."""
    job: Job | None = state.kept(place_of(page))
    if job is None:
        return
    if not job.thread.is_alive():
        state.keep(place_of(page), None)
        if job.result is not None:
            keep(job.name, job.result)
        else:
            state.note("bad", job.error)
        st.rerun()
    st.progress(min(job.share, 1.0), text=f"{plain(job.name)}: {per_cent(job.share)}{of}")
    button("Cancel", f"{page}:cancel", job.stop.set)
