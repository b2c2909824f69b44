"""Windows as bars on the timeline: safe starts, what is lost, points of no return, the present time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
import plotly.graph_objects as go

from heave.judging.checks import NOT_ASSESSED, WITHIN
from heave.screens.figures.look import Look
from heave.screens.figures.strips import columns_of, runs_of
from heave.screens.weather.clock import hours
from heave.weather import WindowResult

LETTERS: Final = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"

Span = tuple[np.datetime64, np.datetime64]
"""A stretch of time, UTC."""


@dataclass(frozen=True)
class Panel:
    """One part of the picture: its axis and the share of the height it takes, from the foot up."""

    axis: str
    low: float
    high: float


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


def rows_of(result: WindowResult, lost: int) -> float:
    """Rows the windows and what is lost take together."""
    return 1 + lost + LANE * max(lanes_of(result), default=0)


def window_bars(
    result: WindowResult,
    lost: tuple[tuple[str, tuple[Span, ...]], ...],
    span: tuple[np.datetime64, np.datetime64],
    panel: Panel,
    look: Look,
) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """Windows as bars, their safe starts solid; below them what is lost, as empty frames."""
    shapes: list[dict[str, Any]] = []
    notes = [
        _row_name(
            "Can be worked (solid: safe starts)" if result.windows else "Can be worked: no window", 0, look
        )
    ]
    whole = float((span[1] - span[0]) / np.timedelta64(1, "s"))
    lanes = lanes_of(result)
    for place, (window, lane) in enumerate(zip(result.windows, lanes, strict=True)):
        down = LANE * lane
        bar = {"type": "rect", "yref": panel.axis, "y0": down + 0.46, "y1": down + 0.94, "line": {"width": 0}}
        colour = look.fill(WITHIN)
        shapes.append({**bar, "x0": str(window.start), "x1": str(window.latest_start), "fillcolor": colour})
        shapes.append(
            {
                **bar,
                "x0": str(window.latest_start),
                "x1": str(window.end),
                "fillcolor": colour,
                "opacity": 0.5,
            }
        )
        wide = window.length / whole > 0.16
        notes.append(
            {
                "x": str(window.start),
                "xanchor": "left",
                "xshift": 3,
                "yref": panel.axis,
                "y": down + 0.7,
                "yanchor": "middle",
                "showarrow": False,
                "font": {"size": 13, "color": "#FFFFFF"},
                "text": f"<b>{letter(place)}</b>" + (f" {hours(window.length)}" if wide else ""),
            }
        )
    for place, (name, spans) in enumerate(lost):
        row = rows_of(result, place)
        notes.append(_row_name(name, row, look))
        for begin, end in spans:
            shapes.append(
                {
                    "type": "rect",
                    "yref": panel.axis,
                    "y0": row + 0.5,
                    "y1": row + 0.9,
                    "x0": str(begin),
                    "x1": str(end),
                    "line": {"color": look.muted, "width": 1.5, "dash": "dash"},
                    "fillcolor": look.track,
                }
            )
    return shapes, notes


def _row_name(text: str, row: float, look: Look) -> dict[str, Any]:
    return {
        "x": 0,
        "xref": "paper",
        "xanchor": "left",
        "y": row + 0.42,
        "yref": "y",
        "yanchor": "bottom",
        "showarrow": False,
        "text": text,
        "font": {"size": 12.5, "color": look.text},
    }


def shades(result: WindowResult, panels: dict[str, Panel], look: Look) -> list[dict[str, Any]]:
    """Every window shaded down through sea, heave and checks, and what is not known in grey."""
    bar = {"type": "rect", "yref": "paper", "y0": 0, "line": {"width": 0}, "layer": "below"}
    blue = {"fillcolor": look.fill(WITHIN), "opacity": 0.08, "y1": panels["sea"].high}
    grey = {"fillcolor": look.fill(NOT_ASSESSED), "opacity": 0.35, "y1": panels["sea"].high}
    spans = [(window.start, window.end, blue) for window in result.windows]
    spans += [(begin, end, grey) for begin, end in unknown(result)]
    return [{**bar, **colour, "x0": str(begin), "x1": str(end)} for begin, end, colour in spans]


def unknown(result: WindowResult) -> list[Span]:
    """Stretches without a sea: gaps of the series, and columns in which every sample is missing."""
    starts, left, right = columns_of(result.forecast)
    missing = np.minimum.reduceat(result.forecast.missing, starts)
    found = [(left[first], right[last]) for first, last in runs_of(missing, left, right)]
    return found + [(right[place], left[place + 1]) for place in np.flatnonzero(left[1:] > right[:-1])]


def present(result: WindowResult, look: Look) -> list[dict[str, Any]]:
    now = result.outlook.now
    if not result.forecast.times[0] <= now <= result.forecast.times[-1]:
        return []
    line = {"color": look.text, "width": 1.4, "dash": "dot"}
    ends = {"type": "line", "yref": "paper", "y0": 0, "y1": 1, "x0": str(now), "x1": str(now)}
    label = {
        "text": "now",
        "textposition": "end",
        "xanchor": "left",
        "textangle": 0,
        "font": {"size": 12, "color": look.text},
        "padding": 1,
    }
    return [{**ends, "line": line, "label": label}]


def no_return(result: WindowResult, look: Look) -> go.Scatter:
    """A diamond at every point of no return, for a campaign begun at the earliest start of its window."""
    pairs = [
        (str(when), 0.97 + LANE * lane)
        for window, lane in zip(result.windows, lanes_of(result), strict=True)
        for when in window.no_return
    ]
    marker = {
        "symbol": "diamond-tall",
        "size": 11,
        "color": look.ground,
        "line": {"color": look.text, "width": 1.5},
    }
    return go.Scatter(
        x=[when for when, _ in pairs],
        y=[level for _, level in pairs],
        mode="markers",
        marker=marker,
        name="no return",
        hoverinfo="skip",
        showlegend=False,
        cliponaxis=False,
    )
