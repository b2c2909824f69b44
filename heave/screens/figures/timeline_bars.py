"""Windows as bars on the timeline: safe starts, what is lost, points of no return, the present time."""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from heave.judging.checks import NOT_ASSESSED, WITHIN
from heave.screens.figures.chart import UNREAD, Parts, faint, note, points, row_name, shape, stroke, upright
from heave.screens.figures.look import Look
from heave.screens.figures.strips import columns_of, runs_of
from heave.screens.weather.clock import Clock, hours
from heave.weather import WindowResult
from heave.weather.work_now import WorkPlan

LETTERS: Final = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"

Span = tuple[np.datetime64, np.datetime64]
"""A stretch of time, UTC."""


def letter(place: int) -> str:
    """Name of a window by its place: A to Z, then A2 and so on."""
    turn, rest = divmod(place, len(LETTERS))
    return LETTERS[rest] + (str(turn + 1) if turn else "")


LANE: Final = 0.5
"""Height of one more lane of bars, in rows."""


def lanes_of(result: WindowResult) -> list[int]:
    """A lane for each window, so that those that overlap, a wait in one of them, do not hide each other."""
    ends: list[np.datetime64] = []
    lanes = []
    for window in result.windows:
        free = [lane for lane, end in enumerate(ends) if end <= window.start]
        lane = free[0] if free else len(ends)
        ends[lane : lane + 1] = [window.end]
        lanes.append(lane)
    return lanes


MOST_WAYS: Final = 2
"""Ways of doing the work that are drawn."""


def rows_of(result: WindowResult, lost: int) -> float:
    """Rows the windows, the ways of doing the work and what is lost take together."""
    return 1 + lost + len(ways_of(result)) + LANE * max(lanes_of(result), default=0)


def ways_of(result: WindowResult) -> tuple[WorkPlan, ...]:
    """The ways that are drawn: those of several steps, or of one that is done in pieces."""
    several = len(result.steps) > 1 or any(len(way.stretches) > 2 for way in result.work)
    return result.work[:MOST_WAYS] if several else ()


def window_bars(
    result: WindowResult, lost: tuple[tuple[str, tuple[Span, ...]], ...], span: Span, look: Look
) -> tuple[list[Parts], list[Parts]]:
    """Windows as bars, their safe starts solid; below them what is lost, as empty frames."""
    work = "Can be worked (solid: safe starts)" if result.windows else "Can be worked: no window"
    shapes, notes = [], [_row_name(work, 0, look)]
    whole = float((span[1] - span[0]) / np.timedelta64(1, "s"))
    for place, (window, lane) in enumerate(zip(result.windows, lanes_of(result), strict=True)):
        down = LANE * lane
        start, latest, end = (str(when) for when in (window.start, window.latest_start, window.end))
        heights = (down + 0.46, down + 0.94)
        shapes.append(shape((start, latest), heights, **_solid(look)))
        shapes.append(shape((latest, end), heights, **_half(look)))
        words = f"<b>{letter(place)}</b>"
        if window.length / whole > 0.16:
            words += f" {hours(window.length)}"
        beside = {"xshift": 3, "yanchor": "middle"}
        notes.append(note(words, start, down + 0.7, "#FFFFFF", 13, **beside))
    for place, (name, spans) in enumerate(lost):
        row = rows_of(result, place)
        notes.append(_row_name(name, row, look))
        heights = (row + 0.5, row + 0.9)
        shapes += [shape((str(begin), str(end)), heights, **_empty(look)) for begin, end in spans]
    below = rows_of(result, 0) - len(ways_of(result))
    for place, way in enumerate(ways_of(result)):
        made, named = _way(result, way, below + place, look)
        shapes += made
        notes += named
    return shapes, notes


def _way(result: WindowResult, way: WorkPlan, row: float, look: Look) -> tuple[list[Parts], list[Parts]]:
    """One way of doing the work: steps solid and numbered, making safe and getting back half, waits as empty frames."""
    pieces = sum(one.doing == "work" for one in way.stretches) > len(result.steps)
    name = "Worked in pieces" if pieces else "Begun once, run through"
    shapes, notes = [], [_row_name(f"{name} (number: step; frame: wait)", row, look)]
    style = {"make safe": _half(look), "get back": _half(look), "wait": _empty(look)}
    for one in way.stretches:
        begin, end = str(result.forecast.when(one.start)), str(result.forecast.when(one.end))
        shapes.append(shape((begin, end), (row + 0.5, row + 0.9), **style.get(one.doing, _solid(look))))
        if one.doing == "work":
            number = f"<b>{one.step + 1}</b>"
            notes.append(note(number, begin, row + 0.7, "#FFFFFF", 12, xshift=3, yanchor="middle"))
    return shapes, notes


def _solid(look: Look) -> Parts:
    return {"line": {"width": 0}, "fillcolor": look.fill(WITHIN)}


def _empty(look: Look) -> Parts:
    return {"line": stroke(look.muted, 1.5, "dash"), "fillcolor": look.track}


def _half(look: Look) -> Parts:
    """Of a bar what is no start and no work of its own: paler, edged so that it stands out as well."""
    return {"line": stroke(look.words(WITHIN), 1.5), "fillcolor": faint(look.fill(WITHIN), 0.4)}


def _row_name(words: str, row: float, look: Look) -> Parts:
    return row_name(words, row + 0.42, look.text)


def shades(result: WindowResult, top: float, look: Look) -> list[Parts]:
    """Every window shaded down through sea, heave and checks, from `top`, and what is not known in grey."""
    blue = {"fillcolor": look.fill(WITHIN), "opacity": 0.08}
    grey = {"fillcolor": look.fill(NOT_ASSESSED), "opacity": 0.35}
    spans = [(window.start, window.end, blue) for window in result.windows]
    spans += [(begin, end, grey) for begin, end in unknown(result)]
    under = {"y1": top, "line": {"width": 0}, "layer": "below"}
    return [upright(str(begin), str(end)) | under | colour for begin, end, colour in spans]


def unknown(result: WindowResult) -> list[Span]:
    """Stretches without a sea: gaps of the series, and columns in which every sample is missing."""
    starts, left, right = columns_of(result.forecast)
    missing = np.minimum.reduceat(result.forecast.missing, starts)
    found = [(left[first], right[last]) for first, last in runs_of(missing, left, right)]
    return found + [(right[place], left[place + 1]) for place in np.flatnonzero(left[1:] > right[:-1])]


def present(result: WindowResult, look: Look) -> list[Parts]:
    """The present time as a line, where the forecast covers it."""
    now = result.outlook.now
    if not result.forecast.times[0] <= now <= result.forecast.times[-1]:
        return []
    held = {"text": "now", "textposition": "end", "xanchor": "left", "textangle": 0}
    label = {**held, "font": {"size": 12, "color": look.text}, "padding": 1}
    return [upright(str(now), str(now), line=stroke(look.text, 1.4, "dot"), label=label)]


def no_return(result: WindowResult, look: Look) -> Parts:
    """A diamond at every point of no return, for a campaign begun at the earliest start of its window."""
    pairs = [
        (str(when), 0.97 + LANE * lane)
        for window, lane in zip(result.windows, lanes_of(result), strict=True)
        for when in window.no_return
    ]
    rim = {"color": look.ground, "line": stroke(look.text, 1.5)}
    places = {"x": [when for when, _ in pairs], "y": [level for _, level in pairs]}
    mark = {"symbol": "diamond-tall", "size": 11, **rim}
    return points("no return", **places, marker=mark, cliponaxis=False, **UNREAD)


def time_axis(clock: Clock, first: np.datetime64, last: np.datetime64, span: Span, **more: Any) -> Parts:
    """The axis of time over `span`, marked with the days from `first` to `last` of the clock's zone."""
    marks, words = clock.days(first, last)
    zone = "UTC" if clock.is_utc else f"local time, {clock.name}"
    days = {"tickvals": [str(mark) for mark in marks], "ticktext": words, "tickangle": 0}
    title = {"text": zone, "standoff": 2}
    return {"type": "date", "range": [str(end) for end in span], **days, "title": title, **more}
