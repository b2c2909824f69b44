"""Every check as a bar, most used first, with its figures, its state in words and its mark."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, Final

import numpy as np
import plotly.graph_objects as go

from heave.judging.checks import NOT_ASSESSED, Check
from heave.screens.figures.look import Look, Words, figure, mark_shape, text_trace
from heave.units import significant

ROW: Final = 46
"""Height of one check [px]."""

_HEAD: Final = 26
_GUTTER: Final = 164
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
    words = _heads(caution_level, look)
    words += [_name(row, check, look, system) for row, check in enumerate(checks)]
    longer = [row for row, check in enumerate(checks) if check.utilisation > _LONGEST]
    words += [Words(_LONGEST, float(row), "<b>»</b>", look.ground, 13, "middle left") for row in longer]
    return figure(
        look,
        [track, bars, *_limits(caution_level, rows, look), text_trace(words)],
        height=_HEAD + ROW * max(len(checks), 1) + 4,
        margin={"l": 2, "r": _GUTTER, "t": _HEAD, "b": 4},
        barmode="overlay",
        xaxis={"visible": False, "range": [0, reach]},
        yaxis={
            "range": [len(checks) - 0.55, -0.72],
            "automargin": False,
            "side": "right",
            "tickvals": rows,
            "ticktext": [_state(check, look) for check in checks],
            "ticks": "",
            "ticklabelstandoff": 32,
            "tickfont": {"size": 13},
            "showgrid": False,
            "showline": False,
        },
        shapes=[mark_shape(check.state, look, 1.0, float(row), 16) for row, check in enumerate(checks)],
        showlegend=False,
        hovermode=False,
    )


def _drawn(utilisation: float) -> float:
    if math.isnan(utilisation):
        return 0.0
    return min(max(utilisation, 0.0), _LONGEST)


def _limits(caution_level: float, rows: np.ndarray[Any, Any], look: Look) -> list[go.Scatter]:
    """Across every bar: dotted at the caution level, solid at 1."""
    gap = np.full(rows.size, np.nan)
    y = np.column_stack((rows - 0.2, rows + 0.2, gap)).ravel()
    lines = ((caution_level, 1.2, "dot"), (1.0, 2.0, "solid"))
    return [
        go.Scatter(
            x=np.full(y.size, level),
            y=y,
            mode="lines",
            line={"color": look.text, "width": width, "dash": dash},
            hoverinfo="skip",
        )
        for level, width, dash in lines
    ]


def _heads(caution_level: float, look: Look) -> list[Words]:
    near = f"near from {caution_level:.2f}"
    return [
        Words(caution_level, -0.62, near, look.muted, 12, "top left"),
        Words(1.0, -0.62, "limit 1", look.muted, 12, "top right"),
    ]


def _name(row: int, check: Check, look: Look, system: str) -> Words:
    """Name of a check and its demand of its capacity, over the bar."""
    text = check.name
    if check.state != NOT_ASSESSED:
        small = f"font-size:12px;fill:{look.muted};color:{look.muted}"
        text += f'<span style="{small}">   {check.headline(system)}</span>'
    return Words(0.0, row - 0.34, text, look.text)


def _state(check: Check, look: Look) -> str:
    """The utilisation and the state in words, in the state's colour."""
    words = check.state
    if check.state != NOT_ASSESSED:
        words = f"<b>{utilisation_text(check.utilisation)}</b> {check.state}"
    return f'<span style="color:{look.words(check.state)}">{words}</span>'


def utilisation_text(utilisation: float) -> str:
    """Two decimals, more where they would round a value below 1 to 1.00; words where there is no figure."""
    if math.isnan(utilisation):
        return "not assessed"
    if math.isinf(utilisation):
        return "no room"
    if 0.995 <= utilisation < 1:
        return f"{math.floor(utilisation * 1000) / 1000:.3f}"
    return f"{utilisation:.2f}" if utilisation < 100 else significant(utilisation)
