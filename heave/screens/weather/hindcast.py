"""Years of seas on the page: availability, windows by month and waiting time, worked out beside the page."""

from __future__ import annotations

import threading
from dataclasses import dataclass, field

import streamlit as st

from heave.errors import InputError
from heave.planning import Plan
from heave.screens import every_page, state
from heave.screens.figures import HOVER
from heave.screens.figures.chances import months_figure
from heave.screens.inputs import plain
from heave.screens.weather import source, store, table
from heave.screens.weather.clock import hours
from heave.screens.weather.summary import draw_tiles
from heave.weather import (
    CancelledError,
    EnsembleForecast,
    Forecast,
    HindcastResult,
    hindcast_windows,
)

MOST_MEGABYTES = 40
"""Largest record taken, as the reader has it."""

_JOB, _DONE = "hindcast:job", "hindcast:result"


@dataclass(eq=False)
class Job:
    """A run in a thread of its own; the page looks at how far it is and may ask it to stop."""

    plan: Plan
    record: Forecast
    name: str
    share: float = 0.0
    stop: threading.Event = field(default_factory=threading.Event)
    result: HindcastResult | None = None
    error: str = ""
    thread: threading.Thread | None = None

    def start(self) -> None:
        """Begin."""
        self.thread = threading.Thread(target=self._run, name="hindcast", daemon=True)
        self.thread.start()

    @property
    def running(self) -> bool:
        """True until the run has ended, one way or another."""
        return self.thread is not None and self.thread.is_alive()

    def _run(self) -> None:
        try:
            self.result = hindcast_windows(
                self.plan, self.record, progress=self._progress, cancelled=self.stop.is_set
            )
        except CancelledError:
            self.error = "Stopped before the end; nothing was kept."
        except InputError as error:
            self.error = str(error)

    def _progress(self, share: float) -> None:
        self.share = share


def draw() -> None:
    """The record, the run with its progress, and what came of it."""
    st.caption(
        "Years of hourly seas for planning ahead: how often the operation can be done, and how long a rig waits. "
        "No α is applied: a hindcast is not a forecast. The vessel keeps "
        "the plan's heading."
    )
    source.box("hindcast", "Hindcast or long record (CSV or text)", MOST_MEGABYTES)
    source.mapping_form("hindcast")
    _member_of_ensemble()
    job: Job | None = state.kept(_JOB)
    if job is not None:
        _watch()
        return
    record: store.Source | None = state.kept("hindcast")
    current = record or store.source()
    if isinstance(current.forecast, EnsembleForecast):
        st.info("An ensemble is no long record: bring a file without members.")
        return
    st.markdown(f"Record: **{plain(current.name)}**, {plain(source.about(current.forecast))}.")
    if record is None:
        st.caption("This is the forecast in use; bring a record of years for figures that mean something.")
    campaign = state.plan().campaign
    st.markdown(
        f"Campaign: {plain(', then '.join(step.label for step in campaign.steps))}, "
        f"T\\_R {hours(campaign.reference)}."
    )
    st.button(
        "Count windows in the record",
        key="heave:hindcast:run",
        type="primary",
        on_click=_begin,
        args=(current.name, current.forecast),
    )
    done: tuple[str, HindcastResult] | None = state.kept(_DONE)
    if done is not None:
        _show(*done)


def _member_of_ensemble() -> None:
    record: store.Source | None = state.kept("hindcast")
    if record is not None and isinstance(record.forecast, EnsembleForecast):
        state.keep("hindcast", None)
        st.error(f"{plain(record.name)} has members: a long record has one series.")


def _begin(name: str, record: Forecast) -> None:
    job = Job(state.plan(), record, name)
    job.start()
    state.keep(_JOB, job)
    state.keep(_DONE, None)


@st.fragment(run_every=0.5)
def _watch() -> None:
    """How far the run is, twice a second, with a button that stops it; at its end the page is drawn anew."""
    job: Job | None = state.kept(_JOB)
    if job is None:
        return
    if not job.running:
        state.keep(_JOB, None)
        if job.result is not None:
            state.keep(_DONE, (job.name, job.result))
        else:
            state.note("bad", job.error or "The run ended without a result.")
        st.rerun()
    st.progress(min(job.share, 1.0), text=f"{plain(job.name)}: {100 * job.share:.0f} % of the seas")
    st.button("Cancel", key="heave:hindcast:cancel", on_click=job.stop.set)


def _show(name: str, result: HindcastResult) -> None:
    whole = result.overall
    current = state.plan()
    same = result.plan.changed(sea=current.sea, weather=current.weather) == current
    if not same or result.campaign != current.campaign:
        st.warning("The plan has changed since: count again for the plan as it is now.")
    wait = [hours(value) for value in (whole.waiting_p50, whole.waiting_p90)]
    draw_tiles(
        [
            ("Available", table.share_words(whole.availability), "of the known seas, first step"),
            ("Can start", table.share_words(whole.starts), "of all times, whole campaign"),
            ("Windows a month", f"{whole.windows:.1f}", "that begin in it, on average"),
            ("Wait P50", wait[0], "not exceeded in half of the cases"),
            ("Wait P90", wait[1], "not exceeded in nine of ten"),
        ]
    )
    st.plotly_chart(
        months_figure(result, every_page.look()),
        key="months",
        config=HOVER,
        theme=None,
        alt="Availability, share of possible starts and waiting time by calendar month",
    )
    st.subheader("By month")
    table.draw(table.months_table(result), "months", "windows_by_month.csv", "Save the months (CSV)")
    st.subheader("Notes")
    every_page.cautions((f"Counted in {name}.", *result.notes))
