"""Every check as a bar, most used first, with its figures, its state in words and its mark."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, Final

import numpy as np
import plotly.graph_objects as go

from heave.planning.checks import NOT_ASSESSED, Check
from heave.screens.figures.look import Look, figure, mark_shapes
from heave.units import significant

ROW: Final = 46
"""Height of one check [px]."""

_HEAD: Final = 26
_GUTTER: Final = 160
_LONGEST: Final = 1.5
"""Bars longer than this are drawn to it with an open end; the figure beside them is never cut."""


def utilisation_figure(
    checks: Sequence[Check], caution_level: float, look: Look, system: str = "metric"
) -> go.Figure:
    """One row a check in the order given: name and demand of capacity above a bar to scale."""
    rows = np.arange(len(checks), dtype=float)
    drawn = np.array([_drawn(check.utilisation) for check in checks], dtype=float)
    reach = float(max(1.08, np.max(drawn, initial=0.0) * 1.02))
    bars = go.Bar(
        x=drawn,
        y=rows,
        orientation="h",
        width=0.3,
        marker={"color": [look.fill(check.state) for check in checks], "line": {"width": 0}},
        hoverinfo="skip",
    )
    track = go.Bar(
        x=np.full(len(checks), 1.0),
        y=rows,
        orientation="h",
        width=0.3,
        marker={"color": look.track},
        hoverinfo="skip",
    )
    shapes = _limits(caution_level, len(checks), look)
    notes = _heads(caution_level, look)
    for row, check in enumerate(checks):
        shapes += mark_shapes(check.state, look, 1.0, float(row), shift=16)
        notes += _texts(row, check, look, system)
    return figure(
        look,
        [track, bars],
        height=_HEAD + ROW * max(len(checks), 1) + 4,
        margin={"l": 2, "r": _GUTTER, "t": _HEAD, "b": 4},
        barmode="overlay",
        xaxis={"visible": False, "range": [0, reach]},
        yaxis={"visible": False, "range": [len(checks) - 0.55, -0.72], "automargin": False},
        shapes=shapes,
        annotations=notes,
        showlegend=False,
        hovermode=False,
    )


def _drawn(utilisation: float) -> float:
    if math.isnan(utilisation):
        return 0.0
    return min(max(utilisation, 0.0), _LONGEST)


def _limits(caution_level: float, count: int, look: Look) -> list[dict[str, Any]]:
    """Across every bar: dotted at the caution level, solid at 1."""
    lines = []
    for row in range(count):
        ends = {"type": "line", "y0": row - 0.2, "y1": row + 0.2, "layer": "above"}
        near = {"color": look.text, "width": 1.2, "dash": "dot"}
        lines.append({**ends, "x0": caution_level, "x1": caution_level, "line": near})
        lines.append({**ends, "x0": 1, "x1": 1, "line": {"color": look.text, "width": 2}})
    return lines


def _heads(caution_level: float, look: Look) -> list[dict[str, Any]]:
    base = {"y": -0.62, "yanchor": "bottom", "showarrow": False, "font": {"size": 12, "color": look.muted}}
    return [
        {**base, "x": caution_level, "xanchor": "right", "text": f"near from {caution_level:.2f}"},
        {**base, "x": 1, "xanchor": "left", "text": " limit 1"},
    ]


def _texts(row: int, check: Check, look: Look, system: str) -> list[dict[str, Any]]:
    """Name and demand of capacity over the bar; mark, figure and state at its right."""
    common: dict[str, Any] = {"showarrow": False, "align": "left", "xanchor": "left"}
    above = {"y": row - 0.2, "yanchor": "bottom"}
    right = {"xref": "paper", "x": 1.0}
    assessed = check.state != NOT_ASSESSED
    figure_ = f"<b>{_shown(check.utilisation)}</b> {check.state}" if assessed else check.state
    demand = f'<span style="font-size:12px;color:{look.muted}">   {check.headline(system)}</span>'
    return [
        {
            **common,
            **above,
            "xref": "paper",
            "x": 0.0,
            "text": check.name + (demand if assessed else ""),
            "font": {"size": 13, "color": look.text},
        },
        {
            **common,
            **right,
            "y": row,
            "yanchor": "middle",
            "xshift": 30,
            "text": figure_,
            "font": {"size": 13, "color": look.words(check.state)},
        },
    ]


def _shown(utilisation: float) -> str:
    """Two decimals, three figures when large, words where there is no room at all."""
    if math.isinf(utilisation):
        return "no room"
    return f"{utilisation:.2f}" if utilisation < 100 else significant(utilisation)
