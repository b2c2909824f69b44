"""The stroke column: the compensator's stroke upright and to scale, with everything that uses it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
import plotly.graph_objects as go

from heave.judging.checks import OVER, WITHIN
from heave.judging.results import StrokeBudget
from heave.screens.figures.look import Look, Words, figure, spread, text_trace
from heave.units import display_value, show, unit_of

HEIGHT: Final = 500
_PADDING: Final = 30.0
_LEFT, _RIGHT = 0.20, 0.42
_LABELS: Final = 0.52
_GAP: Final = 19.0
"""Least distance between two labels [px]."""


@dataclass(frozen=True)
class _Label:
    place: float
    words: str
    value: str
    strong: bool = False
    colour: str = ""


def stroke_figure(
    budget: StrokeBudget,
    look: Look,
    system: str = "metric",
    rising_state: str = WITHIN,
    falling_state: str = WITHIN,
) -> go.Figure:
    """The stroke box with slow travel, significant and extreme travel, and the end reserves.

    Up is towards gas compression, the way the unit travels when the vessel rises. Each side is drawn
    in the colour of its check's state; travel past an end is drawn past the end.
    """
    unit = unit_of("length", system)
    half, reserve = (display_value(v, "length", system) for v in (budget.half_stroke, budget.reserve))
    start, up, down, significant_, extreme = (
        display_value(v, "length", system)
        for v in (
            budget.start,
            budget.static_rising,
            -budget.static_falling,
            budget.significant,
            budget.extreme,
        )
    )
    top = max(half, up + extreme)
    bottom = min(-half, down - extreme)
    per_pixel = (top - bottom) / (HEIGHT - 2 * _PADDING)
    traces = [
        *_hatched((half - reserve, half), look),
        *_hatched((-half, reserve - half), look),
    ]
    shapes: list[dict[str, Any]] = []
    for side, state, slow in ((1, rising_state, up), (-1, falling_state, down)):
        colour = look.fill(state)
        shapes += [
            _band(start, slow + side * extreme, colour, 0.28),
            _band(start, slow + side * significant_, colour, 0.42),
            _band(start, slow, colour, 0.9),
        ]
        if side * (slow + side * extreme) > half:
            shapes.append(_band(side * half, slow + side * extreme, look.fill(OVER), 0.55))
    shapes += _frame(half, start, look)
    labels = _labels(
        half, reserve, start, (up, down), significant_, extreme, look, (rising_state, falling_state)
    )
    words, leaders = _placed(labels, look, (bottom, top), per_pixel)
    words += _ruler(half, look, per_pixel)
    margin = _PADDING * per_pixel
    ends = (bottom - margin, top + margin)
    words += [
        Words(0.0, ends[1], f"{unit.symbol} · vessel rises, gas compressed", look.muted, 12, "bottom right"),
        Words(0.0, ends[0], f"{unit.symbol} · vessel falls, gas expands", look.muted, 12, "top right"),
    ]
    hidden = {"visible": False}
    return figure(
        look,
        [*traces, leaders, text_trace(words)],
        height=HEIGHT,
        margin={"l": 0, "r": 0, "t": 0, "b": 0},
        xaxis={**hidden, "range": [0, 1]},
        yaxis={**hidden, "range": ends, "automargin": False},
        shapes=shapes,
        showlegend=False,
        hovermode=False,
    )


def stroke_words(budget: StrokeBudget, system: str = "metric") -> str:
    """The stroke column in words, for those who cannot see it."""
    reach = [
        show(v, "length", system) for v in (budget.half_stroke, budget.rising, budget.falling, budget.reserve)
    ]
    return (
        f"Stroke column: {reach[0]} to each end; extreme travel {reach[1]} towards the end reached when the vessel "
        f"rises and {reach[2]} towards the other; end reserve {reach[3]}"
    )


def _band(one: float, other: float, colour: str, opacity: float) -> dict[str, Any]:
    return {
        "type": "rect",
        "x0": _LEFT,
        "x1": _RIGHT,
        "y0": one,
        "y1": other,
        "fillcolor": colour,
        "opacity": opacity,
        "line": {"width": 0},
        "layer": "below",
    }


def _hatched(span: tuple[float, float], look: Look) -> list[go.Scatter]:
    """The reserve at one end as a hatched field; nothing where there is no reserve."""
    low, high = span
    if high <= low:
        return []
    return [
        go.Scatter(
            x=np.array([_LEFT, _RIGHT, _RIGHT, _LEFT]),
            y=np.array([low, low, high, high]),
            mode="lines",
            line={"width": 0},
            fill="toself",
            fillpattern={
                "shape": "/",
                "size": 8,
                "solidity": 0.2,
                "fgcolor": look.muted,
                "bgcolor": "rgba(0,0,0,0)",
            },
            hoverinfo="skip",
        )
    ]


def _frame(half: float, start: float, look: Look) -> list[dict[str, Any]]:
    """The box itself, mid-stroke dashed across it and the start position as a bar."""
    return [
        {
            "type": "rect",
            "x0": _LEFT,
            "x1": _RIGHT,
            "y0": -half,
            "y1": half,
            "line": {"color": look.text, "width": 2},
        },
        {
            "type": "line",
            "x0": _LEFT - 0.03,
            "x1": _RIGHT + 0.02,
            "y0": 0,
            "y1": 0,
            "line": {"color": look.muted, "width": 1.5, "dash": "dot"},
        },
        {
            "type": "line",
            "x0": _LEFT - 0.015,
            "x1": _RIGHT + 0.03,
            "y0": start,
            "y1": start,
            "line": {"color": look.text, "width": 3},
        },
    ]


def _labels(
    half: float,
    reserve: float,
    start: float,
    slow: tuple[float, float],
    significant_: float,
    extreme: float,
    look: Look,
    states: tuple[str, str],
) -> list[_Label]:
    labels = [_Label(start, "start position", _signed(start), strong=True)]
    for side, state, still in ((1, states[0], slow[0]), (-1, states[1], slow[1])):
        reach = still + side * extreme
        labels.append(_Label(reach, "extreme", _signed(reach), strong=True, colour=look.words(state)))
        labels.append(
            _Label(still + side * significant_, "significant", _signed(still + side * significant_))
        )
        if abs(still - start) > 0.005 * half:
            labels.append(_Label(still, "slow travel to", _signed(still)))
        spare = half - reserve - side * reach
        if reserve > 0:
            labels.append(_Label(side * (half - reserve / 2), "end reserve", f"{reserve:.2f}"))
        if spare > 0:
            labels.append(_Label(side * (half - reserve - spare / 2), "spare", f"{spare:.2f}"))
        elif side * reach > half:
            words = "past the end by"
            over = side * reach - half
            labels.append(_Label(side * (half + over / 2), words, f"{over:.2f}", True, look.words(OVER)))
    return labels


def _placed(
    labels: list[_Label], look: Look, span: tuple[float, float], per_pixel: float
) -> tuple[list[Words], go.Scatter]:
    """Labels right of the column, spread so that none overlap, each with a leader to its level."""
    margin = (_PADDING - 10) * per_pixel
    places = spread([item.place for item in labels], _GAP * per_pixel, span[0] - margin, span[1] + margin)
    words = []
    x: list[float] = []
    y: list[float] = []
    for item, place in zip(labels, places, strict=True):
        value = f"<b>{item.value}</b>" if item.strong else item.value
        colour = item.colour or (look.text if item.strong else look.muted)
        words.append(Words(_LABELS, place, f"{item.words} {value}", colour))
        x += [_RIGHT + 0.005, _RIGHT + 0.03, _LABELS - 0.01, math.nan]
        y += [item.place, item.place, place, math.nan]
    line = {"color": look.line, "width": 1}
    return words, go.Scatter(x=np.array(x), y=np.array(y), mode="lines", line=line, hoverinfo="skip")


def _ruler(half: float, look: Look, per_pixel: float) -> list[Words]:
    """Figures up the left side every round step, and the two ends."""
    step = next(s for s in (0.5, 1, 2, 5, 10, 20, 50, 100) if s / per_pixel >= 40)
    count = math.floor(half / step + 1e-9)
    levels = [step * k for k in range(-count, count + 1)]
    clear = [level for level in levels if abs(abs(level) - half) / per_pixel >= 16]
    left = _LEFT - 0.045
    words = [Words(left, level, _signed(level, plain=True), look.muted, 12, "middle left") for level in clear]
    words += [
        Words(left, side * half, _signed(side * half), look.text, 13, "middle left") for side in (-1, 1)
    ]
    return words


def _signed(value: float, plain: bool = False) -> str:
    """A position with its sign, two decimals at the most; the middle is just 0."""
    if abs(value) < 5e-4:
        return "0"
    text = f"{value:+g}" if plain else f"{value:+.2f}"
    return text.replace("-", "\u2212")
