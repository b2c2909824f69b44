"""The table of windows, and the same table as CSV."""

from __future__ import annotations

import csv
import io
import math
from typing import Final

import streamlit as st

from heave.files.tables import neutral
from heave.judging import CHECK_NAMES
from heave.screens.figures.timeline_bars import letter
from heave.screens.inputs import plain
from heave.screens.weather.clock import Clock, hours
from heave.screens.weather.summary import ending_words
from heave.weather import EnsembleResult, HindcastResult, WindowResult

_SHEET: Final = (
    ".st-key-weather-inputs [data-testid=stHorizontalBlock]{flex-wrap:wrap}"
    ".st-key-weather-inputs [data-testid=stColumn]{min-width:min(24rem,100%)}"
    ".st-key-weather-inputs [data-testid=stColumn] [data-testid=stColumn]{min-width:4.2rem}"
    "[class*=st-key-table-] td:nth-child(-n+7) p{white-space:nowrap;max-width:none}"
    "[class*=st-key-table-] table{width:max-content;min-width:100%}"
    "[class*=st-key-table-] td p{max-width:17rem}"
    "[class*=st-key-table-] [data-testid=stTable]{overflow-x:auto}"
)

Rows = list[dict[str, str]]
"""Rows of a table, every cell a text."""


def windows_table(result: WindowResult, clock: Clock) -> Rows:
    """One row for each window: when, how long, with what margin, what ends it."""
    rows = []
    for place, window in enumerate(result.windows):
        row = {"Window": letter(place)}
        times = (
            ("Earliest start", window.start),
            ("Latest safe start", window.latest_start),
            ("End", window.end),
        )
        for name, when in times:
            row |= _when(name, when, clock)
        row["Length, h"] = f"{window.length / 3600:.4g}"
        row["Start can wait, h"] = f"{window.slack / 3600:.4g}"
        row["Margin, %"] = f"{100 * window.margin:.1f}"
        row["What ends it"] = ending_words(window)
        row["Closest check"] = CHECK_NAMES[window.closest]
        row["In step"] = window.ending.step
        row["No return"] = ", ".join(clock.full(when) for when in window.no_return) or "none"
        rows.append(row)
    return rows


def schedule_table(result: WindowResult, clock: Clock) -> Rows:
    """One row for each step of each window, if begun at the window's earliest start."""
    rows = []
    for place, window in enumerate(result.windows):
        for step in window.schedule:
            row = {"Window": letter(place), "Step": step.label}
            row |= _when("Start", step.start, clock)
            row |= _when("Planned end", step.planned_end, clock)
            row |= _when("Latest end", step.latest_end, clock)
            rows.append(row)
    return rows


def ensemble_table(result: EnsembleResult, clock: Clock) -> Rows:
    """One row for each run of starts that work in enough members."""
    rows = []
    for place, window in enumerate(result.windows):
        row = {"Window": letter(place)}
        row |= _when("Earliest start", window.start, clock)
        row |= _when("Latest safe start", window.latest_start, clock)
        row |= _when("End", window.end, clock)
        row["Lowest share of a start"] = f"{100 * window.lowest:.0f} %"
        row["All of it holds in"] = f"{100 * window.probability:.0f} %"
        rows.append(row)
    return rows


def months_table(result: HindcastResult) -> Rows:
    """One row for each calendar month, and one for the whole record."""
    rows = []
    for month in (*result.months, result.overall):
        rows.append(
            {
                "Month": month.name,
                "Samples": str(month.samples),
                "Missing": share_words(month.missing),
                "Available": share_words(month.availability),
                "Can start": share_words(month.starts),
                "Windows a month": f"{month.windows:.1f}",
                "Mean length, h": _number(month.mean_length),
                "Longest, h": _number(month.longest),
                "Wait P50, h": _number(month.waiting_p50),
                "Wait P90, h": _number(month.waiting_p90),
            }
        )
    return rows


def _when(name: str, when: object, clock: Clock) -> dict[str, str]:
    """A time in UTC, and in local time before it where that is another."""
    utc = {f"{name}, UTC": Clock().full(when)}  # type: ignore[arg-type]
    if clock.is_utc:
        return utc
    return {f"{name}, local": clock.full(when), **utc}  # type: ignore[arg-type]


def share_words(value: float) -> str:
    """A share in per cent, or that it is not known."""
    return "not known" if math.isnan(value) else f"{100 * value:.1f} %"


def _number(value: float) -> str:
    if math.isnan(value):
        return "none"
    return hours(value) if math.isinf(value) else f"{value / 3600:.4g}"


def csv_text(rows: Rows) -> str:
    """The table as CSV; a text that a spreadsheet would take for a formula is made harmless."""
    if not rows:
        return ""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow([neutral(name) for name in rows[0]])
    writer.writerows([[neutral(cell) for cell in row.values()] for row in rows])
    return stream.getvalue()


def style() -> None:
    """Inputs beside each other where there is room; times on one line; wide tables that scroll by themselves."""
    st.html(f"<style>{_SHEET}</style>")


def draw(rows: Rows, key: str, file_name: str, label: str) -> None:
    """The table, each cell as text, and a button that saves it."""
    if not rows:
        return
    with st.container(key=f"table-{key}"):
        st.table(
            [{plain(name): plain(cell) for name, cell in row.items()} for row in rows],
            border="horizontal",
            hide_index=True,
        )
    st.download_button(
        label,
        data=lambda: csv_text(rows).encode("utf-8"),
        file_name=file_name,
        mime="text/csv",
        key=f"heave:save:{key}",
        on_click="ignore",
    )
