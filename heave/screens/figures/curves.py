"""Curves of the equipment: the compensator's load over its stroke, the vessel's response over period."""

from __future__ import annotations

from typing import Final

import numpy as np

from heave.judging.checks import NOT_ASSESSED, OVER, WITHIN
from heave.judging.results import StrokeBudget
from heave.planning.rig import LoadCurve, ResponseCurves
from heave.screens.figures import chart
from heave.screens.figures.chart import Chart, Parts
from heave.screens.figures.look import FILLS, Look
from heave.units import significant, unit_of

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
    x, rising, falling = curve.x / length.factor, curve.rising / force.factor, curve.falling / force.factor
    common = {"x": x, "hovertemplate": chart.reading(force.symbol)}
    between = {"fill": "tonexty", "fillcolor": chart.faint(FILLS[NOT_ASSESSED], 0.18)}
    traces = [
        chart.line("vessel rising", look.sea, y=rising, **common),
        chart.line("vessel falling", look.heave, 2, "dash", y=falling, **between, **common),
    ]
    low = float(np.min(falling))
    top = high = float(np.max(rising))
    shapes, notes = [], []
    if budget is not None:
        left = max(-budget.falling / length.factor, float(x[0]))
        right = min(budget.rising / length.factor, float(x[-1]))
        shade = {
            "fillcolor": chart.faint(look.fill(WITHIN), 0.14),
            "line": chart.stroke(look.words(WITHIN), 2),
        }
        shapes.append(chart.upright(left, right, **shade, layer="below"))
        foot = {"yref": "paper", "xanchor": "center"}
        notes.append(chart.note("travel at the chosen risk", (left + right) / 2, 0.0, look.muted, 12, **foot))
    if rating is not None and rating / force.factor <= _NEAR_RATING * high:
        level = rating / force.factor
        words = f"rating compensating {significant(level)} {force.symbol}"
        shapes.append(chart.across(level, level, line=chart.stroke(look.fill(OVER), 1.6)))
        held = {"xref": "paper", "bgcolor": look.ground, "borderpad": 0, "yshift": 2}
        notes.append(chart.note(words, 0.0, level, look.words(OVER), 12, **held))
        top = max(high, level)
    # from a little below the loop to a little above it, or above the rating when that is drawn
    ends = [low - 0.18 * (top - low), top + 0.12 * (top - low)]
    along = {"title": f"stroke, {length.symbol} (+ gas compressed)"}
    up = {"title": f"load, {force.symbol}", "range": ends}
    layout: Parts = {"xaxis": along, "yaxis": up, "shapes": shapes, "annotations": notes}
    return chart.figure(look, traces, height=LOAD_HEIGHT, head=34, **layout)


_HEADINGS: Final = {180.0: "head sea", 135.0: "bow quarter", 90.0: "beam", 0.0: "following"}
_DASHES: Final = ("solid", "dash", "dot", "dashdot")


def response_figure(curves: ResponseCurves, look: Look) -> Chart:
    """Heave at the hoist per metre of wave over period, a line for each relative heading."""
    colours, traces = (look.sea, look.heave, look.text, look.muted), []
    for place, (heading, row) in enumerate(zip(curves.headings, curves.heave, strict=True)):
        name, drawn = f"{_HEADINGS.get(heading, 'sea')} {heading:.0f}°", {"x": curves.period, "y": row}
        style = (colours[place % 4], 2, _DASHES[place % 4])
        traces.append(chart.line(name, *style, **drawn, hovertemplate=chart.reading("m/m")))
    up = {"title": "heave per wave, m/m", "rangemode": "tozero"}
    return chart.figure(
        look, traces, head=34, xaxis={"title": "wave period, s", "hoverformat": ".1f"}, yaxis=up
    )
