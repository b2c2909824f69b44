"""The compensator's load over its stroke, and the weight on bit between its limits."""

from __future__ import annotations

from typing import Any, Final

import numpy as np
import plotly.graph_objects as go

from heave.judging.checks import OVER, WITHIN
from heave.judging.results import BitBand, FloatArray, StrokeBudget
from heave.planning.equipment import LoadCurve, ResponseCurves
from heave.screens.figures.look import Look, figure
from heave.units import display_value, show, significant, unit_of

LOAD_HEIGHT: Final = 320
BIT_HEIGHT: Final = 260
_NEAR_RATING: Final = 1.4
"""The rating is drawn when it is at most this many times the highest load: a far line flattens the loop."""


def load_figure(
    curve: LoadCurve,
    look: Look,
    system: str = "metric",
    budget: StrokeBudget | None = None,
    rating: float | None = None,
) -> go.Figure:
    """Load on the hook over the stroke: rising and falling lines enclose what friction takes.

    The travel at the chosen risk is shaded, and the compensating rating drawn where it is near.
    """
    force, length = unit_of("force", system), unit_of("length", system)
    x = curve.x / length.factor
    rising, falling = curve.rising / force.factor, curve.falling / force.factor
    common = {"x": x, "hovertemplate": "%{y:.4~g} " + force.symbol}
    up = {"color": look.sea, "width": 2}
    down = {"color": look.heave, "width": 2, "dash": "dash"}
    between = {"fill": "tonexty", "fillcolor": "rgba(122,134,150,0.18)"}
    traces = [
        go.Scatter(y=rising, name="vessel rising", line=up, **common),
        go.Scatter(y=falling, name="vessel falling", line=down, **between, **common),
    ]
    high = float(np.max(rising))
    level = None if rating is None else display_value(rating, "force", system)
    if level is not None and level > _NEAR_RATING * high:
        level = None
    shapes: list[dict[str, Any]] = []
    notes: list[dict[str, Any]] = []
    if budget is not None:
        ends = (-budget.falling / length.factor, budget.rising / length.factor)
        travel = (max(ends[0], float(x[0])), min(ends[1], float(x[-1])))
        shapes.append(_travel(travel, look))
        notes.append(_note(sum(travel) / 2, "travel at the chosen risk", look))
    if level is not None:
        shape, note = _rating(level, f"rating compensating {significant(level)} {force.symbol}", look)
        shapes.append(shape)
        notes.append(note)
    return figure(
        look,
        traces,
        height=LOAD_HEIGHT,
        margin={"l": 8, "r": 8, "t": 34, "b": 8},
        xaxis={"title": {"text": f"stroke, {length.symbol} (+ gas compressed)"}},
        yaxis={"title": {"text": f"load, {force.symbol}"}, "range": _load_range(falling, rising, level)},
        shapes=shapes,
        annotations=notes,
    )


def _load_range(falling: FloatArray, rising: FloatArray, level: float | None) -> list[float]:
    """From a little below the loop to a little above it, or above the rating when that is drawn."""
    low, high = float(np.min(falling)), float(np.max(rising))
    top = high if level is None else max(high, level)
    return [low - 0.18 * (top - low), top + 0.12 * (top - low)]


def _travel(span: tuple[float, float], look: Look) -> dict[str, Any]:
    """The part of the stroke that is travelled, shaded from top to bottom."""
    return {
        "type": "rect",
        "yref": "paper",
        "y0": 0,
        "y1": 1,
        "x0": span[0],
        "x1": span[1],
        "fillcolor": look.fill(WITHIN),
        "opacity": 0.09,
        "line": {"width": 0},
        "layer": "below",
    }


def _rating(level: float, words: str, look: Look) -> tuple[dict[str, Any], dict[str, Any]]:
    """The rating as a line across, with its words on it."""
    line = {"color": look.fill(OVER), "width": 1.6}
    shape = {"type": "line", "xref": "paper", "x0": 0, "x1": 1, "y0": level, "y1": level, "line": line}
    note = {
        "xref": "paper",
        "x": 0.0,
        "xanchor": "left",
        "y": level,
        "yanchor": "bottom",
        "text": words,
        "showarrow": False,
        "font": {"size": 12, "color": look.words(OVER)},
    }
    return shape, note


def _note(x: float, text: str, look: Look) -> dict[str, Any]:
    """Quiet words at the foot of the figure."""
    return {
        "x": x,
        "y": 0.0,
        "yref": "paper",
        "yanchor": "bottom",
        "text": text,
        "showarrow": False,
        "font": {"size": 12, "color": look.muted},
    }


def bit_figure(
    band: BitBand,
    look: Look,
    system: str = "metric",
    low_limit: float | None = None,
    high_limit: float | None = None,
) -> go.Figure:
    """Weight on bit with its low, nominal and high band, against lift-off and the programme's limits."""
    wob = display_value(band.wob, "force", system)
    limits = [(0.0, "lift-off", look.words(OVER))]
    for limit in (low_limit, high_limit):
        if limit is not None:
            limits.append((display_value(limit, "force", system), "limit", look.text))
    shapes: list[dict[str, Any]] = []
    notes: list[dict[str, Any]] = []
    for row, (name, amplitude, opacity) in enumerate(
        (("high", band.high, 0.30), ("nominal", band.nominal, 0.55), ("low", band.low, 0.9))
    ):
        shape, note = _swing(row, name, band.span(amplitude), opacity, look, system)
        shapes.append(shape)
        notes.append(note)
    for level, words, colour in [*limits, (wob, "set", look.muted)]:
        shape, note = _level(level, words, colour)
        shapes.append(shape)
        notes.append(note)
    widest = [display_value(edge, "force", system) for edge in band.span(band.high)]
    reach = [*widest, *(level for level, _, _ in limits)]
    room = 0.06 * (max(reach) - min(reach))
    ends = [min(reach) - room, max(reach) + room]
    blank = go.Scatter(x=np.array([wob]), y=np.array([1.0]), mode="markers", marker={"opacity": 0})
    return figure(
        look,
        [blank],
        height=BIT_HEIGHT,
        showlegend=False,
        hovermode=False,
        xaxis={"title": {"text": f"weight on bit, {unit_of('force', system).symbol}"}, "range": ends},
        yaxis={"visible": False, "range": [-0.5, 3.3]},
        shapes=shapes,
        annotations=notes,
    )


def _swing(
    row: int, name: str, span: tuple[float, float], opacity: float, look: Look, system: str
) -> tuple[dict[str, Any], dict[str, Any]]:
    """One bar from the lowest to the highest weight on bit, and its figures over it."""
    low, high = span
    shape = {
        "type": "rect",
        "x0": display_value(low, "force", system),
        "x1": display_value(high, "force", system),
        "y0": row - 0.19,
        "y1": row + 0.19,
        "fillcolor": look.fill(WITHIN if low > 0 else OVER),
        "opacity": opacity,
        "line": {"width": 0},
        "layer": "below",
    }
    note = {
        "x": 0.0,
        "xref": "paper",
        "xanchor": "left",
        "y": row + 0.26,
        "yanchor": "bottom",
        "text": f"{name}: {show(low, 'force', system)} to {show(high, 'force', system)}",
        "showarrow": False,
        "bgcolor": look.ground,
        "borderpad": 0,
        "font": {"size": 12.5, "color": look.text},
    }
    return shape, note


def _level(level: float, words: str, colour: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """An upright line at a level of weight on bit with its name on top."""
    line = {"color": colour, "width": 1.6, "dash": "dot" if words == "set" else "solid"}
    shape = {"type": "line", "x0": level, "x1": level, "y0": -0.4, "y1": 2.9, "line": line}
    note = {
        "x": level,
        "y": 2.92,
        "yanchor": "bottom",
        "text": words,
        "showarrow": False,
        "font": {"size": 12, "color": colour},
    }
    return shape, note


_HEADINGS: Final = {180.0: "head sea", 135.0: "bow quarter", 90.0: "beam", 0.0: "following"}
_DASHES: Final = ("solid", "dash", "dot", "dashdot")


def response_figure(curves: ResponseCurves, look: Look) -> go.Figure:
    """Heave at the hoist per metre of wave over period, a line for each relative heading."""
    colours = (look.sea, look.heave, look.text, look.muted)
    traces = [
        go.Scatter(
            x=curves.period,
            y=row,
            name=f"{_HEADINGS.get(heading, 'sea')} {heading:.0f}°",
            line={"color": colours[place % 4], "width": 2, "dash": _DASHES[place % 4]},
            hovertemplate="%{y:.3f} m/m",
        )
        for place, (heading, row) in enumerate(zip(curves.headings, curves.heave, strict=True))
    ]
    return figure(
        look,
        traces,
        height=300,
        margin={"l": 8, "r": 8, "t": 34, "b": 8},
        xaxis={"title": {"text": "wave period, s"}, "hoverformat": ".1f"},
        yaxis={"title": {"text": "heave per wave, m/m"}, "rangemode": "tozero"},
    )
