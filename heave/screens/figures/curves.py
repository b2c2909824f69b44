"""Curves of the equipment: the compensator's load over its stroke, the vessel's response over period."""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from heave.judging.checks import OVER, WITHIN
from heave.judging.results import FloatArray, StrokeBudget
from heave.planning.rig import LoadCurve, ResponseCurves
from heave.screens.figures.look import Chart, Look, figure, scatter
from heave.units import display_value, significant, unit_of

LOAD_HEIGHT: Final = 320
_NEAR_RATING: Final = 1.4
"""The rating is drawn when it is at most this many times the highest load: a far line flattens the loop."""


def load_figure(
    curve: LoadCurve,
    look: Look,
    system: str = "metric",
    budget: StrokeBudget | None = None,
    rating: float | None = None,
) -> Chart:
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
        scatter(y=rising, name="vessel rising", line=up, **common),
        scatter(y=falling, name="vessel falling", line=down, **between, **common),
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


_HEADINGS: Final = {180.0: "head sea", 135.0: "bow quarter", 90.0: "beam", 0.0: "following"}
_DASHES: Final = ("solid", "dash", "dot", "dashdot")


def response_figure(curves: ResponseCurves, look: Look) -> Chart:
    """Heave at the hoist per metre of wave over period, a line for each relative heading."""
    colours = (look.sea, look.heave, look.text, look.muted)
    traces = [
        scatter(
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
