"""The table of windows, and the same table as CSV."""

from __future__ import annotations

import math
from functools import partial

import numpy as np
import streamlit as st

from heave.screens import pieces
from heave.screens.figures.strips import ranked_checks
from heave.screens.figures.timeline_bars import letter
from heave.screens.figures.utilisation import utilisation_text
from heave.screens.inputs import plain
from heave.screens.weather.clock import Clock, hours
from heave.screens.weather.summary import ending_words, safe_cell, way_words
from heave.units import per_cent, significant, unit_of
from heave.weather import EnsembleResult, HindcastResult, ProbableWindow, Window, WindowResult
from heave.weather.hindcast import MonthStatistics
from heave.weather.schedule import ScheduledWait, pieces_of
from heave.weather.site_limits import NAMES

Rows = list[dict[str, str]]
"""Rows of a table, every cell a text."""


def windows_table(result: WindowResult, clock: Clock) -> Rows:
    """One row for each window: when, how long, with what margin, what ends it."""
    return [
        {
            **_times(place, window, clock),
            "Length, h": f"{window.length / 3600:.4g}",
            "Start can wait, h": f"{window.slack / 3600:.4g}",
            "Margin, %": f"{100 * window.margin:.1f}",
            "What ends it": ending_words(window),
            "Closest check": NAMES[window.closest],
            "In step": window.ending.step,
            "Ahead, h": f"{window.lead / 3600:.4g}",
            "Confirmed by": _confirmed(window.confirm, window.start, clock),
            "Point of no return": ", ".join(clock.full(when) for when in window.no_return) or "none",
        }
        for place, window in enumerate(result.windows)
    ]


def hours_table(result: WindowResult, step: int, clock: Clock, system: str) -> Rows:
    """One row for each sample, as the picture draws it: sea, heave, what α asks for, and every check of a step."""
    judged, metre = result.steps[step], unit_of("length", system)
    numbers = {
        f"Hs, {metre.symbol}": result.forecast.batch.hs / metre.factor,
        f"Heave crest to trough (4σ), {metre.symbol}": 4 * judged.plain.heave_sigma / metre.factor,
        f"Judged in Hs, {metre.symbol}": judged.design_hs / metre.factor,
    }
    checks = {NAMES[key]: judged.reduced.by_check[key] for key in ranked_checks(judged.reduced)}
    return [
        {
            "Time": clock.both(when),
            **{name: _known(float(column[place])) for name, column in numbers.items()},
            **{name: utilisation_text(float(column[place])) for name, column in checks.items()},
            "Start": "yes" if result.start_works[place] else "no",
        }
        for place, when in enumerate(list(result.forecast.times))
    ]


def _known(value: float) -> str:
    return "not known" if math.isnan(value) else f"{value:.2f}"


def schedule_table(result: WindowResult, clock: Clock) -> Rows:
    """One row for each step of each window, if begun at the window's earliest start."""
    return [
        {
            "Window": letter(place),
            "Step": step.label,
            **_when("Start", step.start, clock),
            **_when("Planned end", step.planned_end, clock),
            **_when("Latest end", step.latest_end, clock),
        }
        for place, window in enumerate(result.windows)
        for step in window.schedule
    ]


_PLAN = ("Step", "Start", "Planned end", "Begin making safe by", "What ends it", "Confirmed by")


def plan_table(result: WindowResult, clock: Clock) -> Rows:
    """Steps and waits from now on, in order of time: by when to begin making safe, what ends each, what confirms it."""
    rows: list[tuple[np.datetime64, tuple[str, ...]]] = []
    for step in result.schedule:
        ends = f"{step.limit.words}, {clock.brief(step.limit.time)}"
        confirmed = _confirmed(step.confirm, step.start, clock)
        times = (clock.stamp(step.start), clock.brief(step.planned_end))
        rows.append((step.start, (step.label, *times, safe_cell(step, clock), ends, confirmed)))
    for wait in result.waits:
        safe = f"safe by {clock.brief(wait.safe)}"
        cells = ("Wait", clock.stamp(wait.start), clock.brief(wait.end), safe, wait_words(wait), "")
        rows.append((wait.start, cells))
    return [dict(zip(_PLAN, cells, strict=True)) for _, cells in sorted(rows, key=lambda pair: pair[0])]


def _confirmed(issue: np.datetime64 | None, start: np.datetime64, clock: Clock) -> str:
    """Which forecast decides a start: this one, one issued from a time on, or none for want of a row of α."""
    if issue is None:
        return "this forecast"
    return "none: no row of α" if issue > start else f"issue of {clock.brief(issue)} on"


def wait_words(wait: ScheduledWait) -> str:
    """What the rig waits in, and how far inside it is, or that nothing is judged."""
    if not wait.state:
        return "not judged: the step does not say what it waits in"
    if math.isnan(wait.highest):
        return f"{wait.state}; as it stands, no time to make safe"
    return f"{wait.state}, at most {utilisation_text(wait.highest)}"


def ways_table(result: WindowResult, clock: Clock) -> Rows:
    """The ways of doing the work from now on, first the one whose last step is finished first."""
    rows = []
    for way in result.work:
        done = "not in this forecast" if way.done is None else clock.stamp(result.forecast.when(way.done))
        waited = hours(sum(one.end - one.start for one in way.stretches if one.doing == "wait"))
        row = {"Way": way_words(way, result.campaign, result.forecast, clock), "Last step done": done}
        rows.append({**row, "Worked": hours(way.worked), "Waited": waited})
    return rows


def pieces_table(result: WindowResult, clock: Clock) -> Rows:
    """Every piece of work of every way from now on: when, how far ahead it lies, which forecast must confirm it."""
    return [
        {
            "Way": str(number),
            "Work": result.steps[piece.step].step.label,
            "From": clock.stamp(piece.start),
            "To": clock.brief(piece.end),
            "Ahead, h": f"{piece.lead / 3600:.4g}",
            "Confirmed by": _confirmed(piece.confirm, piece.start, clock),
        }
        for number, way in enumerate(result.work, 1)
        for piece in pieces_of(result.plan, result.forecast, result.campaign, way)
    ]


def ensemble_table(result: EnsembleResult, clock: Clock) -> Rows:
    """One row for each run of starts that work in enough members."""
    return [
        {
            **_times(place, window, clock),
            "Lowest share of a start": per_cent(window.lowest),
            "All of it holds in": per_cent(window.probability),
            "In doubt": f"{window.doubtful} of {len(result.ensemble.members)}",
        }
        for place, window in enumerate(result.windows)
    ]


def _times(place: int, window: Window | ProbableWindow, clock: Clock) -> dict[str, str]:
    return {
        "Window": letter(place),
        **_when("Earliest start", window.start, clock),
        **_when("Latest safe start", window.latest_start, clock),
        **_when("End", window.end, clock),
    }


def months_table(result: HindcastResult, system: str = "metric") -> Rows:
    """One row for each calendar month, and one for the whole record; `system` has the unit of line work."""
    return [
        {
            "Month": month.name,
            "Samples": str(month.samples),
            "Missing": share_words(month.missing),
            "Available": share_words(month.availability),
            "Of it in doubt": "none" if math.isnan(month.doubtful) else share_words(month.doubtful),
            "Can start": share_words(month.starts),
            "Windows a month": f"{month.windows:.1f}",
            "Mean length, h": _number(month.mean_length),
            "Longest, h": _number(month.longest),
            "Wait P50, h": _number(month.waiting_p50),
            "Wait P90, h": _number(month.waiting_p90),
            **({} if math.isnan(result.overall.line_work) else _line_work(month, system)),
        }
        for month in (*result.months, result.overall)
    ]


def _when(name: str, when: np.datetime64, clock: Clock) -> dict[str, str]:
    """A time in UTC, and in local time before it where that is another."""
    local = {} if clock.is_utc else {f"{name}, local": clock.full(when)}
    return {**local, f"{name}, UTC": Clock().full(when)}


def share_words(value: float) -> str:
    """A share in per cent, or that it is not known; one that is not all or nothing is never shown as if it were."""
    if 0.9995 <= value < 1.0 - 1e-12:  # closer to all is the rounding of a sum
        return "over 99.9\u00a0%"
    if 0.0 < value < 0.0005:
        return "under 0.1\u00a0%"
    return "not known" if math.isnan(value) else per_cent(value, 1)


def _line_work(month: MonthStatistics, system: str) -> dict[str, str]:
    """Of a month, where something compensates with the line."""
    unit = unit_of("line_work", system)
    work = {f"Line work a month, {unit.symbol}": month.line_work / unit.factor}
    figures = {**work, "Bend cycles a month, where worst": month.bends}
    return {name: "not known" if math.isnan(one) else significant(one) for name, one in figures.items()}


def _number(value: float) -> str:
    if math.isnan(value):
        return "none"
    return hours(value) if math.isinf(value) else f"{value / 3600:.4g}"


def csv_text(rows: Rows) -> str:
    """The table as CSV, its numbers as a spreadsheet takes them; what it would take for a formula is made harmless."""
    # a spreadsheet takes a number with the thin spaces of the screen for a text
    spaces = str.maketrans({"\u202f": "", "\u00a0": " "})
    lines = (rows[0], *(row.values() for row in rows))
    return pieces.csv_of((cell.translate(spaces) for cell in line) for line in lines)


def draw(rows: Rows, key: str, file_name: str, label: str) -> None:
    """The table, each cell as text, and a button that saves it; nothing where it has no rows."""
    if not rows:
        return
    shown = [{plain(name): plain(cell) for name, cell in row.items()} for row in rows]
    with st.container(key=f"table-{key}"):
        st.table(shown, border="horizontal", hide_index=True)
    save(rows, key, file_name, label)


def save(rows: Rows, key: str, file_name: str, label: str) -> None:
    """The button that saves a table."""
    pieces.save(label, partial(csv_text, rows), file_name, f"heave:save:{key}")
