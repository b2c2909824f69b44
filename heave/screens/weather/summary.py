"""The answer first: whether a window is open, when the next one is, and the figures that go with it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import streamlit as st

from heave.errors import InputError
from heave.judging import NEAR, NOT_ASSESSED, OVER, WITHIN
from heave.screens import every_page
from heave.screens.figures.timeline_bars import Span
from heave.screens.figures.utilisation import utilisation_text
from heave.screens.inputs import inside, plain
from heave.screens.pieces import Tile
from heave.screens.weather.clock import Clock, hours
from heave.units import significant
from heave.weather import LostStarts, Window, WindowResult
from heave.weather.results import seconds
from heave.weather.site_limits import NAMES


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
    """Whether the campaign can start now, when it can, or that it cannot and why."""
    windows = ahead(result)
    if not windows:
        return Headline(OVER, "No window", _none(result, swell))
    first, now = windows[0], result.outlook.now
    done = f"done by {clock.both(first.end)}, contingency used."
    if first.start <= now:
        title, word = "Open now", WITHIN if first.doubt < 1 else NEAR
        safe = "Safe" if first.doubt < 1 else "As planned, safe"
        lines = [f"{safe} to start until **{clock.both(first.latest_start)}**; {done}"]
    else:
        title, word = f"Opens in {hours(seconds(first.start - now))}", NEAR
        lines = [f"Start from **{clock.both(first.start)}** to **{clock.both(first.latest_start)}**; {done}"]
    lines.append(f"What ends it: **{plain(ending_words(first))}**, {clock.both(first.ending.time)}.")
    if first.doubt >= 1:
        lines.append(
            f"In doubt: **{plain(NAMES[first.doubtful])}** could reach {utilisation_text(first.doubt)} in it, "
            "with all that is not known at its worst."
        )
    if not result.weather_restricted:
        lines.append("Too long to be decided by a forecast: see the notes.")
    return Headline(word, title, tuple(lines))


def _none(result: WindowResult, swell: tuple[Span, ...]) -> tuple[str, ...]:
    need = hours(result.reference_period)
    lines = [f"T\\_R of {need} fits nowhere from now to the end of the forecast."]
    if result.lost_to_factor:
        lines.append(f"{len(result.lost_to_factor)} would be there if the forecast were exact: lost to α.")
    if swell:
        lines.append("Swell alone takes some starts: see the timeline.")
    unknown = [step.step.label for step in result.steps if not step.reduced.assessed.any()]
    if unknown:
        lines.append(f"Not assessed for want of a limit: {plain(', '.join(unknown))}.")
    return tuple(lines)


def lost_to_factor(result: WindowResult) -> tuple[Span, ...]:
    """Whole windows that would be there if the forecast were exact."""
    return tuple((lost.start, lost.end) for lost in result.lost_to_factor)


def lost_to_swell(result: WindowResult, lost: tuple[LostStarts, ...]) -> tuple[Span, ...]:
    """Stretches of samples in which the campaign could start but for the swell; what α alone takes is not counted."""
    times = result.forecast.times

    def within(spans: Iterable[Window | LostStarts]) -> npt.NDArray[np.bool_]:
        covered = np.zeros(times.size, dtype=np.bool_)
        for span in spans:
            covered |= (times >= span.start) & (times <= span.latest_start)
        return covered

    gone = within(lost) & ~result.start_works & ~within(result.without_factor)
    change = np.diff(np.concatenate(([False], gone, [False])).astype(np.int8))
    runs = zip(np.flatnonzero(change == 1), np.flatnonzero(change == -1) - 1, strict=True)
    return tuple((times[first], times[last]) for first, last in runs if last > first)


def ending_words(window: Window) -> str:
    """What ends a window, in words: the cause, or the check, its figure and the waves behind it."""
    ending = window.ending
    if ending.check_name is None:
        return ending.cause
    words = f"{ending.check_name} reaches {significant(ending.utilisation)}"
    if ending.system is not None:
        words += f" in {ending.system}" + (" (inside without it)" if ending.system_alone else "")
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


def tiles(result: WindowResult, clock: Clock) -> list[Tile]:
    """Figures of the next window and of how things stand now."""
    windows, now = ahead(result), result.outlook.now
    rows: list[Tile] = []
    if windows:
        first, longest = windows[0], max(windows, key=lambda window: window.length)
        begin, latest = max(first.start, now), first.latest_start
        closest = f"closest: {inside(NAMES[first.closest])}"
        rows.append(("Earliest start", clock.brief(begin), _month(clock, begin)))
        rows.append(("Latest safe start", clock.brief(latest), _month(clock, latest)))
        rows.append(("Longest window", hours(longest.length), f"from {clock.stamp(longest.start)}"))
        rows.append(("Margin inside", f"{100 * first.margin:.1f}\u00a0%", closest))
    rows += _now(result)
    whole, planned = result.reference_period, sum(step.planned for step in result.campaign.steps)
    kind = "weather-restricted" if result.weather_restricted else "not weather-restricted"
    under = f"{hours(planned)} planned + {hours(whole - planned)} contingency; {kind}"
    rows.append(("Reference period T_R", hours(whole), under))
    if windows:
        free = "every step can be interrupted"
        under = "after the start: then it must be finished" if windows[0].no_return else free
        rows.append(("No return", _no_return(windows[0]), under))
    return rows


def _month(clock: Clock, when: np.datetime64) -> str:
    return clock.month(when) if clock.is_utc else f"{clock.month(when)}; {Clock().stamp(when)} UTC"


def _now(result: WindowResult) -> list[Tile]:
    """Hours to the first limit and hours until back inside, from the present time, for the first step."""
    outlook, limit = result.outlook, result.outlook.limit
    if outlook.until_limit is None:
        first = ("First limit", "not known", "the forecast has no sea at the present time")
    elif not outlook.inside:
        first = ("First limit", "over it now", "the first step is outside a limit")
    elif limit is not None and limit.check_name is None:
        first = ("No limit for", hours(outlook.until_limit), f"then {limit.cause}")
    else:
        name = (limit.check_name if limit is not None else None) or ""
        first = ("First limit in", hours(outlook.until_limit), inside(name))
    if outlook.until_back is None:
        back = ("Back inside", "not in this forecast", "the first step")
    elif outlook.until_back == 0:
        back = ("Back inside", "inside now", "the first step, α applied" if result.alpha.applied else "")
    else:
        back = ("Back inside in", hours(outlook.until_back), "the first step, however short")
    return [first, back]


def _no_return(window: Window) -> str:
    if not window.no_return:
        return "none"
    after = [seconds(when - window.start) for when in window.no_return]
    return ", ".join("at the start" if span == 0 else hours(span) for span in after[:3])


def computed_for(result: WindowResult, name: str, clock: Clock) -> str:
    """One line that echoes what the windows were computed for."""
    times = result.forecast.times
    heading = f"heading {result.plan.heading:g}°" if np.ptp(result.heading) == 0 else "best heading"
    steps = "; ".join(
        f"{step.label} {hours(step.planned)} + {hours(step.contingency_used)}"
        for step in result.campaign.steps
    )
    parts = (
        name,
        f"{clock.stamp(times[0])} to {clock.both(times[-1])}",
        f"a value every {hours(result.forecast.step)}",
        steps,
        heading,
        "α applied" if result.alpha.applied else "no α",
        f"now {clock.both(result.outlook.now)}",
        result.plan.name,
        result.plan.vessel.name,
    )
    return "Computed for " + plain(" · ".join(parts))
