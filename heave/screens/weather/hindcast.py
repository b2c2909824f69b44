"""Years of seas on the page: availability, windows by month and waiting time, worked out beside the page."""

from __future__ import annotations

from functools import partial

import streamlit as st

from heave.planning import Plan
from heave.screens import every_page, job, pieces, state
from heave.screens.figures.chances import months_figure
from heave.screens.inputs import button, plain
from heave.screens.weather import line_tiles, source, store, table
from heave.screens.weather.clock import hours
from heave.weather import EnsembleForecast, HindcastResult, hindcast_windows
from heave.weather.evaluation import Progress, part_of
from heave.weather.hindcast import MonthStatistics

MOST_MEGABYTES = 40
"""Largest record taken, as the reader has it."""

_LABEL = "Hindcast or long record (CSV, text or .xlsx)"
_RECORD, _PAGE, _DONE, _OF = "hindcast", "hindcast", "hindcast:result", "hindcast:result of"


def counted(plan: Plan, record: store.Source, progress: Progress) -> HindcastResult:
    """Windows over a record; each reading of periods nobody knows is judged once, then the worst of them is searched.

    Parameters
    ----------
    plan : the plan
    record : long record, with its readings
    progress : told how far it is
    """
    parts = 1 + len(record.readings)
    seas = store.seas_of(record, plan, lambda share: progress(share * (parts - 1) / parts))
    return hindcast_windows(plan, seas, progress=part_of(progress, parts - 1, parts))


def brought() -> bool:
    """The box of the record; False while its file is asked about or was refused."""
    if source.asked(_RECORD, _LABEL, max_upload_size=MOST_MEGABYTES):
        return False
    source.upload(_RECORD, _LABEL, max_upload_size=MOST_MEGABYTES)
    return True


def in_use() -> store.Source | None:
    """The record in a line: what was brought, else the forecast in use; None, and why, of an ensemble."""
    record: store.Source | None = state.kept(_RECORD)
    current = record or store.source()
    if isinstance(current.forecast, EnsembleForecast):
        st.info("An ensemble is no long record: bring a file without members.")
        return None
    st.markdown(f"Record: **{plain(current.name)}**, {plain(store.about(current.forecast))}.")
    if record is None:
        st.caption("This is the forecast in use; bring a record of years for figures that mean something.")
    return current


def draw() -> None:
    """The record, the run with its progress, and what came of it."""
    st.caption(
        "Years of hourly seas for planning ahead: how often the operation can be done, and how long a rig waits. "
        "No α is applied: a hindcast is not a forecast. The vessel keeps the plan's heading."
    )
    if not brought():
        return
    record: store.Source | None = state.kept(_RECORD)
    if record is not None and isinstance(record.forecast, EnsembleForecast):
        st.error(f"{plain(record.name)} has members: a long record has one series.")
        state.keep(_RECORD, None)
    if job.running(_PAGE, " of the seas", _keep):
        return
    current = in_use()
    if current is None:
        return
    campaign = state.plan().campaign
    st.markdown(
        f"Campaign: {plain(', then '.join(step.label for step in campaign.steps))}, "
        f"T\\_R {hours(campaign.reference)}."
    )
    button("Count windows in the record", "hindcast:run", _begin, current, type="primary")
    done: tuple[str, HindcastResult] | None = state.kept(_DONE)
    if done is not None:
        _show(*done)


def _as_brought() -> store.Source:
    """The record that would be counted, as it was brought: the same for as long as no other is."""
    found: store.Source = state.kept(_RECORD) or state.kept("forecast") or store.sample()
    return found


def _begin(record: store.Source) -> None:
    state.keep(_DONE, None)
    state.keep(_OF, _as_brought())
    job.begin(_PAGE, record.name, partial(counted, state.plan(), record))


def _keep(name: str, found: HindcastResult) -> None:
    state.keep(_DONE, (name, found))


def _in_doubt(whole: MonthStatistics) -> str:
    """What the availability is of, and how much of it the worst of the ranges would close."""
    under = "of the known seas, first step"
    return f"{under}; {table.share_words(whole.doubtful)} of it in doubt" if whole.doubtful > 0 else under


def _show(name: str, result: HindcastResult) -> None:
    whole = result.overall
    current = state.plan()
    same = result.plan.as_judged.changed(sea=current.sea, weather=current.weather)
    if same != current.as_judged or result.campaign != current.campaign:
        st.warning("The plan has changed since: count again for the plan as it is now.")
    if state.kept(_OF) is not _as_brought():
        st.warning(f"Counted in {plain(name)}, which is not the record above: count again for that.")
    pieces.tiles(
        [
            ("Available", table.share_words(whole.availability), _in_doubt(whole)),
            ("Can start", table.share_words(whole.starts), "of all times, whole campaign"),
            ("Windows a month", f"{whole.windows:.1f}", "that begin in it, on average"),
            ("Wait P50", hours(whole.waiting_p50), "not exceeded in half of the cases"),
            ("Wait P90", hours(whole.waiting_p90), "not exceeded in nine of ten"),
            *line_tiles.over_years(whole, state.system()),
        ]
    )
    alt = "Availability, share of possible starts and waiting time by calendar month"
    figure = months_figure(result, every_page.look())
    pieces.chart(figure, "months", alt, name="Availability and waiting by month")
    st.subheader("By month")
    rows = table.months_table(result, state.system())
    table.draw(rows, "months", "windows_by_month.csv", "Save the months (CSV)")
    st.subheader("Notes")
    of_record = [f"Record: {note}" for note in result.forecast.notes]
    every_page.cautions((f"Counted in {name}.", *result.notes, *of_record))
