"""The answer first: whether a window is open, when the next one is, and the figures that go with it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

import numpy as np
import streamlit as st

from heave.errors import InputError
from heave.judging import NEAR, NOT_ASSESSED, OVER, WITHIN, needs, unconfirmed, unjudged_path
from heave.planning import Campaign, Plan
from heave.planning.task import Task, plan_for
from heave.screens import every_page
from heave.screens.figures.timeline_bars import Span
from heave.screens.figures.utilisation import utilisation_text
from heave.screens.inputs import plain
from heave.screens.weather import under_way
from heave.screens.weather.begun import begun, calm_if, calm_start, said
from heave.screens.weather.clock import Clock, hours, span_words
from heave.units import counted, per_cent
from heave.weather import EnsembleForecast, EnsembleResult, Forecast, Window, WindowResult
from heave.weather.endings import at_words
from heave.weather.results import seconds
from heave.weather.schedule import ScheduledStep, Top, pieces_of
from heave.weather.site_limits import NAMES
from heave.weather.under_way import UnderWay
from heave.weather.why import Opening, Shortfall
from heave.weather.work_now import WorkPlan

NO_WINDOW: Final = "No window"
IN_PIECES: Final = "In pieces only"
SAY_ISSUE: Final = "Under Forecast you can say when it was issued."
TOO_LONG: Final = "Too long to be decided by a forecast: see the notes."


@dataclass(frozen=True)
class Headline:
    """The answer in a word or two, its state for colour and mark, and sentences of Markdown."""

    state: str
    title: str
    lines: tuple[str, ...]


def ahead(result: WindowResult) -> tuple[Window, ...]:
    """Windows that can still be started at the present time."""
    return tuple(window for window in result.windows if window.latest_start >= result.outlook.now)


def headline(result: WindowResult, clock: Clock, swell: tuple[Span, ...] = ()) -> Headline:
    """Whether the campaign can start now, when it can, or that it cannot and why; how old the forecast is, with it."""
    return beside(_answer(result, clock, swell), result, result.outlook.now, clock)


def picked(answer: Headline, apart: float) -> Headline:
    """An answer with how far from the clock its present time is picked, from an hour on.

    Parameters
    ----------
    answer : the answer
    apart : present time after the clock's, before it negative [s]
    """
    if abs(apart) < 3600:
        return answer
    words = f"**Now is picked**, {span_words(abs(apart))} {'before' if apart < 0 else 'after'} the clock's."
    return Headline(answer.state, answer.title, (*answer.lines, words))


def unjudged(result: WindowResult | EnsembleResult) -> tuple[str, ...]:
    """What of the hoisting path no step is judged for, in sentences, each said once."""
    every = (unjudged_path(result.plan, step.operation) for step in result.campaign.steps)
    return tuple(dict.fromkeys(filter(None, every)))


def _answer(result: WindowResult, clock: Clock, swell: tuple[Span, ...]) -> Headline:
    outlook, windows = result.outlook, ahead(result)
    if outlook.clock != "in the forecast":
        return _no_forecast_now(result, windows, clock)
    if result.missing_rows:
        return _row_missing(result, clock)
    if result.plan.weather.under_way:
        return _under_way(result, clock)
    if not windows:
        return _none(result, clock, swell)
    first, now = windows[0], outlook.now
    open_ = first.start <= now
    done = f"{begun(bool(open_))} by {clock.both(result.schedule[-1].latest_end)}, contingency used."
    state = WITHIN if outlook.start_calm_for >= 0.0 else NEAR
    if open_:
        firm = first.firm_until is not None and now <= first.firm_until
        title = "Open now" if firm else "To be confirmed"
        state = state if firm else NEAR
        safe = "Safe" if reached(result, first)[1][0] < 1 else "As planned, safe"
        until = first.firm_until if firm and first.firm_until is not None else first.latest_start
        lines = [f"{safe} to start until **{clock.both(until)}**; {done}"]
        if firm and until < first.latest_start:
            lines.append(f"Until {clock.both(first.latest_start)} if a later forecast confirms it.")
        if not firm:
            lines = [f"On this forecast, start until **{clock.both(first.latest_start)}**; {done}"]
            lines.append("For work of this length it is too old: a newer forecast must confirm it.")
    else:
        title, state = f"Opens in {hours(seconds(first.start - now))}", NEAR
        lines = [f"Start from **{clock.both(first.start)}** to **{clock.both(first.latest_start)}**; {done}"]
    lines += _what_ends(result, first, clock)
    if not result.weather_restricted:
        lines.append(TOO_LONG)
    return Headline(state, title, tuple(lines))


def _what_ends(result: WindowResult, first: Window, clock: Clock) -> list[str]:
    """What ends a window, what is near or in doubt, how far ahead it lies, by when to be safe, which way the bow."""
    lines = [f"What ends it: **{plain(ending_words(first))}**, {clock.both(first.ending.time)}."]
    lines += _near(result, first, clock)
    if first.confirm is not None and first.start > result.outlook.now:
        lines.append(
            f"It lies {span_words(first.lead)} ahead of the forecast: one issued {clock.both(first.confirm)} or later "
            "must confirm it."
        )
    later = next((step for step in result.schedule if step.confirm is not None), None)
    if later is not None and later.confirm is not None and result.schedule[0].confirm is None:
        lines.append(
            f"{plain(later.label)}, from {clock.both(later.start)}: a forecast issued {clock.both(later.confirm)} or "
            "later must confirm it."
        )
    secured = next((step for step in result.schedule if step.secure_by is not None), None)
    if secured is not None and secured.secure_by is not None:
        lines.append(f"{plain(secured.label)}: {_safe(secured, secured.secure_by, clock)}")
    turn = next_turn(result)
    if turn is not None:
        lines.append(f"Bow {turn[0]:03.0f}° now, **{turn[1]:03.0f}° from {clock.both(turn[2])}**.")
    return lines


def _near(result: WindowResult, first: Window, clock: Clock) -> list[str]:
    """What a window comes near to, or is in doubt of, and from which start on; what waits for a calmer time."""
    outlook, lines = result.outlook, list[str]()
    calm = None
    if outlook.start_calm_for >= 0.0:
        calm = outlook.now + np.timedelta64(round(outlook.start_calm_for), "s")
    if outlook.put_off_in < math.inf:
        spans = (outlook.put_off_in, outlook.calm_done_in)
        put_off, done = (outlook.now + np.timedelta64(round(span), "s") for span in spans)
        lines.append(calm_if(outlook.now, put_off, done, clock))
    later = calm_start(calm, first.latest_start, clock)
    if later is None:
        return lines
    (used, closest), (worst, doubtful) = reached(result, first)
    if used >= result.plan.caution_level:
        words = (
            f"near a limit: **{plain(NAMES[closest])}** reaches {utilisation_text(used)} in it, "
            f"{per_cent(1.0 - used, 1)} left."
        )
        lines.append(said(later, words))
    if worst >= 1:
        words = (
            f"in doubt: **{plain(NAMES[doubtful])}** could reach {utilisation_text(worst)} in it, with all that is not "
            "known at its worst."
        )
        lines.append(said(later, words))
    return lines


def reached(result: WindowResult, first: Window) -> tuple[Top, Top]:
    """What the first window to come reaches, as planned and over the ranges: of one that is open, from now on."""
    return result.outlook.ahead or ((1.0 - first.margin, first.closest), (first.doubt, first.doubtful))


def _safe(step: ScheduledStep, by: np.datetime64, clock: Clock) -> str:
    """By when to begin making safe: before the step's own end that is one of two ways, the other being to finish it."""
    when, ends = f"begin making safe by **{clock.both(by)}**", clock.both(step.limit_at)
    if by >= step.latest_end:
        return f"unless it is done by then, {when}."
    if by >= step.start:
        return f"{when} or finish it: after that it cannot be made safe before its limits end, {ends}."
    takes = hours(seconds(step.limit_at - by))
    return f"once begun it can only be finished: making safe takes {takes} and its limits end {ends}."


def safe_cell(step: ScheduledStep, clock: Clock) -> str:
    """The same in few words, for a table."""
    if step.secure_by is None:
        return "cannot be stopped"
    if step.secure_by < step.start:
        return "no time for it: finish it"
    return clock.brief(step.secure_by) + ("" if step.secure_by >= step.latest_end else ", or finish it")


def next_turn(result: WindowResult) -> tuple[float, float, np.datetime64] | None:
    """Heading now, the next other heading and from when, of a vessel that may choose; None where it, or the first step,
    keeps its own.
    """
    times, heading = result.forecast.times, result.bow(0)
    here = max(int(np.searchsorted(times, result.outlook.now, side="right")) - 1, 0)
    other = np.flatnonzero(heading[here:] != heading[here])
    if not other.size:
        return None
    place = here + int(other[0])
    return float(heading[here]), float(heading[place]), times[place]


def not_covered(forecast: Forecast, now: np.datetime64, stands: str) -> str:
    """How the present time is not in the forecast, in words; empty where it is."""
    times = forecast.times
    return {
        "in the forecast": "",
        "after it ended": f"This forecast ended {span_words(seconds(now - times[-1]))} ago",
        "before it starts": f"This forecast starts in {span_words(seconds(times[0] - now))}",
        "in a gap": "Now is in a gap of the forecast",
        "sea not known": "The sea is not known now",
    }[stands]


def _no_forecast_now(result: WindowResult, windows: tuple[Window, ...], clock: Clock) -> Headline:
    now, times = result.outlook.now, result.forecast.times
    ended = "It does not cover now or later: take a newer forecast."
    lines = [
        f"It covers {clock.both(times[0], now)} to {clock.both(times[-1], now)}; now is {clock.both(now)}.",
        ended if result.outlook.clock == "after it ended" else "Whether work can start now is not known.",
    ]
    if windows:
        lines.append(f"In it, the next window opens **{clock.both(max(windows[0].start, times[0]))}**.")
    return Headline(NOT_ASSESSED, not_covered(result.forecast, now, result.outlook.clock), tuple(lines))


def _row_missing(result: WindowResult, clock: Clock) -> Headline:
    """What is missing, and both answers that are not to be relied on."""
    longest = hours(result.alpha.longest)
    lines = [
        f"No forecast factor α for **{hours(period)}** ({plain(label)}): the longest row is {longest}."
        for label, period in result.missing_rows
    ]
    now = result.outlook.now
    for words, windows in (
        (f"With the row for {longest}", result.windows),
        ("Without any factor", result.without_factor),
    ):
        first, found = next((window for window in windows if window.latest_start >= now), None), "no window"
        if first is not None:
            found = f"start {clock.both(max(first.start, now))} to {clock.both(first.latest_start)}"
        lines.append(f"{words}: {found}; **not to be relied on**.")
    lines.append(
        "Type in the rig's own row, or say that the step can be stopped and how long making safe takes."
    )
    return Headline(NOT_ASSESSED, "Not assessed", tuple(lines))


def _under_way(result: WindowResult, clock: Clock) -> Headline:
    """By when to begin making safe, for a first step that is being done."""
    outlook, plan = result.outlook, result.plan
    ends, held = outlook.limit.words if outlook.limit else "", outlook.until_limit or 0.0
    stands = UnderWay(outlook.inside, held, outlook.calm_for, ends)
    return Headline(*under_way.told(plan, stands, outlook.now, clock, wants(plan, result.campaign)))


def beside(
    answer: Headline, result: WindowResult | EnsembleResult, now: np.datetime64, clock: Clock
) -> Headline:
    """An answer with the age of its forecast, where that is one to warn of, and what nobody judged; never "within
    limits" of a forecast that is old, or may be, or work that a forecast does not decide.
    """
    forecast = result.ensemble if isinstance(result, EnsembleResult) else result.forecast
    lines = [] if now > forecast.times[-1] else _age(forecast, result.plan.weather.oldest, now, clock)
    undecided = not all(block.weather_restricted for block in result.campaign.blocks)
    state = NEAR if answer.state == WITHIN and (lines or undecided) else answer.state
    return Headline(state, answer.title, (*answer.lines, *lines, *map(plain, unjudged(result))))


def _age(forecast: Forecast | EnsembleForecast, oldest: float, now: np.datetime64, clock: Clock) -> list[str]:
    """That a forecast is old, or that its age is not known; nothing of one that is neither."""
    if forecast.issued is None:
        begins, since = clock.both(forecast.times[0], now), seconds(now - forecast.times[0])
        ago = f", {span_words(since)} ago" if since > 0 else ""
        unsaid = f"the forecast does not say when it was issued; it begins {begins}{ago}"
        return [f"**Age not known**: {unsaid}. {SAY_ISSUE}"]
    age, when = seconds(now - forecast.issued), clock.both(forecast.issued, now)
    old = f"**Old forecast**: issued {when}, {span_words(age)} ago. Take a newer one."
    return [old] if age > oldest else []


def _none(result: WindowResult, clock: Clock, swell: tuple[Span, ...]) -> Headline:
    known = ~result.forecast.missing
    unknown = [
        step.step.label for step in result.steps if known.any() and not step.reduced.assessed[known].any()
    ]
    if unknown:
        return nothing_assessed(result.plan, result.campaign, unknown)
    need = hours(result.reference_period)
    lines = [f"The reference period T\\_R, {need}, fits nowhere from now to the end of the forecast."]
    if result.lost_to_factor:
        lost = counted(len(result.lost_to_factor), "window")
        lines.append(f"{lost} more if the forecast were exact: lost to the forecast factor α.")
    if swell:
        lines.append("Swell alone takes some starts: see the timeline.")
    if result.work:
        way = result.work[0]
        done = "" if way.done is None else f"; done by **{clock.both(result.forecast.when(way.done))}**"
        lines.insert(0, f"**{plain(way_words(way, result.campaign, result.forecast, clock))}**{done}.")
        lines[1:1] = to_confirm(result.plan, result.forecast, way, clock)
        return Headline(NEAR, IN_PIECES, tuple(lines))
    return Headline(OVER, NO_WINDOW, tuple(lines))


def nothing_assessed(plan: Plan, campaign: Campaign, steps: Iterable[str]) -> Headline:
    """The answer where some steps, by their labels, cannot be assessed in any sea: what they need."""
    words = f"For want of a limit or of a column of the forecast: {plain(', '.join(steps))}."
    missing = wants(plan, campaign) or (words, "The notes say what is missing.")
    return Headline(NOT_ASSESSED, "Not assessed", missing)


def to_confirm(plan: Plan, forecast: Forecast, way: WorkPlan, clock: Clock) -> list[str]:
    """From which piece on a later forecast must confirm the work; nothing where this one decides all of it."""
    pieces = pieces_of(plan, forecast, plan.campaign, way)
    return [
        f"The work from {clock.both(piece.start)} lies {span_words(piece.lead)} ahead of the forecast: one "
        f"issued {clock.both(piece.confirm)} or later must confirm it."
        for piece in pieces
        if piece.confirm is not None
    ][:1]


def wants(plan: Plan, campaign: Campaign) -> tuple[str, ...]:
    """What keeps a campaign from being assessed in any sea, in Markdown; nothing where it can be."""
    lines = []
    for step in campaign.steps:
        own = plan_for(plan, Task.of(step, plan))
        asked, missing = unconfirmed(own), needs(own)
        if asked:
            lines.append(f"Not assessed: {plain(asked)}.")
        if missing:
            lines.append(f"Not assessed: {plain(step.label)} {plain(' and '.join(missing))}.")
    return tuple(dict.fromkeys(lines))


def why(short: Shortfall | None, found: tuple[Opening, ...], clock: Clock) -> tuple[str, ...]:
    """Where there is no window: step, check, best hour, what is short there, and what would open one."""
    lines = []
    if short is not None and short.longest is None:
        over = "" if math.isinf(short.reaches) else f", {per_cent(short.reaches - 1)} over"
        best = f"best at {clock.both(short.hour)}, {plain(short.cause)}"
        lines.append(f"**{plain(short.label)}** is never within limits: {best}{over}.")
    elif short is not None and short.longest is not None:
        lines.append(
            f"**{plain(short.label)}** needs {hours(short.needed)} and holds {hours(short.longest)} at most, from "
            f"{clock.both(short.hour)}; then {plain(short.cause)}."
        )
    lines += [f"Would open one: {plain(one.change)}, from **{clock.both(one.start)}**." for one in found]
    return (*lines, *(() if found else ("No single change that was tried would open one.",)))


def way_words(way: WorkPlan, campaign: Campaign, forecast: Forecast, clock: Clock) -> str:
    """A way of doing the work in words: 'Drilling ahead 31 h, make safe 2 h, wait 48 h, ...'."""
    pieces = []
    for one in way.stretches:
        span = hours(one.end - one.start)
        if one.doing == "work":
            pieces.append(f"{campaign.steps[one.step].label} {span}")
        elif one.doing == "wait" and not pieces:
            pieces.append(f"start {clock.both(forecast.when(one.end))}")
        else:
            pieces.append(f"{one.doing} {span}")
    left = "" if way.done is not None else "; after that no work fits into this forecast"
    return ", ".join(pieces) + left


def ending_words(window: Window) -> str:
    """What ends a window, in words: the cause, or the check, its figure and the waves behind it."""
    ending = window.ending
    if ending.check_name is None:
        return ending.cause
    words = at_words(ending.check_name, ending.utilisation, "reaches")
    if ending.system is not None:
        words += f" in {ending.system}" + (" (within limits without it)" if ending.system_alone else "")
    return words


def draw_headline(answer: Headline, under: str = "") -> None:
    """The answer as a large word with its mark; its frame is that of the check page's verdict."""
    with st.container(key=f"verdict-{every_page.SLUGS[answer.state]}"):
        left, right = st.columns([5, 8], vertical_alignment="center", gap="medium")
        with left, st.container(horizontal=True, vertical_alignment="center", gap="small", wrap=False):
            every_page.answer(answer.state, answer.title, width="content")
        right.markdown("  \n".join(answer.lines))
        if under:
            st.caption(under)


def not_assessed(error: InputError) -> Headline:
    """The answer when the search was refused: why, and nothing that looks like a pass."""
    return Headline(NOT_ASSESSED, "Not assessed", (plain(str(error)),))
