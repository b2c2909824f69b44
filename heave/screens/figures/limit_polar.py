"""Limiting wave height around the vessel, bow up: how much sea it takes from each side."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, Final

import numpy as np

from heave.judging import NEAR, WITHIN
from heave.screens.figures.bow import bow_words
from heave.screens.figures.chart import ON_AXES, UNREAD, Chart, Parts, faint, figure, line
from heave.screens.figures.limit_lines import Curve, check_marks, own_sea, told
from heave.screens.figures.look import FILLS, Look
from heave.screens.figures.svg import round_step
from heave.units import round_number, show, unit_of, with_unit

_HOLE: Final = 0.3
"""Radius of the ring of no height, as a share of the highest height drawn: the vessel lies in it."""

_SIDES: Final = ("ahead", "45 S", "90 S", "135 S", "astern", "135 P", "90 P", "45 P")
"""Marks around the vessel, every 45° to starboard."""

_HULL: Final = ((0.0, 1.0), (0.2, 0.62), (0.26, 0.2), (0.26, -0.8), (0.18, -0.95), (0.0, -0.95))
"""Half of a vessel seen from above, starboard and forward, as shares of half its length."""


def polar_figure(
    curve: Curve, letters: Mapping[str, str], look: Look, system: str, at: tuple[float, float]
) -> Chart:
    """Limits around the vessel, its bow up: the angle is where the waves come from, off the bow.

    Parameters
    ----------
    curve : over angles off the bow, to starboard, from 0 in even steps all round [deg]
    letters : of the checks
    look, system : colours and units
    at : the plan's own angle off the bow [deg] and height [m]
    """
    unit = unit_of("length", system)
    reach = curve.hs[np.isfinite(curve.hs)]
    top = 1.1 * max(float(reach.max(initial=1.0)), at[1]) / unit.factor
    if np.isfinite(curve.highest).any():
        top = min(top, max(1.1 * float(curve.highest.min()), 1.1 * at[1]) / unit.factor)
    closed = np.append(curve.x, curve.x[0])

    def ring(hs: np.ndarray) -> np.ndarray:
        known = np.minimum(np.where(np.isnan(hs), 0.0, hs) / unit.factor, top)
        return np.append(known, known[0])

    drawn, sure = ring(curve.hs), ring(np.fmin(curve.worst, curve.hs))
    words = [f"{off_words(angle)}: {told(curve, i, system)}" for i, angle in enumerate(curve.x)]
    highest = np.minimum(curve.highest / unit.factor, top)
    finite = np.where(np.isfinite(curve.hs) & (curve.hs <= curve.highest), curve.hs / unit.factor, np.nan)
    traces = [
        _around("", closed, drawn, look.text, 0, fill=faint(FILLS[NEAR], 0.22)),
        _around("", closed, sure, look.text, 0, fill=faint(FILLS[WITHIN], 0.26)),
        _around("limit, planned values", closed, drawn, look.text, 2.2),
        _around("limit, worst ends of the ranges", closed, sure, look.words(NEAR), 1.5, "dash"),
        *_polar(check_marks(curve, letters, look, theta=curve.x, r=finite)),
        {
            **_around("", closed[:-1], drawn[:-1], look.text, 0),
            "mode": "markers",
            "marker": {"size": 14, "opacity": 0},
            "customdata": words,
            "hovertemplate": "%{customdata}<extra></extra>",
            "hoverinfo": "all",
        },
        *_vessel(top, look),
        *_polar([own_sea(look, {"theta": [at[0]], "r": [at[1] / unit.factor]})]),
    ]
    if np.isfinite(curve.highest).all() and float(highest.min()) < top:
        steep = np.append(highest, highest[0])
        traces.insert(2, _around("as steep as seas can be", closed, steep, look.muted, 1, "dot"))
    ticks = np.arange(0.0, top, round_step(top / 4))
    axis = {"gridcolor": look.track, "linecolor": look.line, "color": look.muted}
    sides = {"tickvals": list(range(0, 360, 45)), "ticktext": list(_SIDES)}
    return figure(
        look,
        traces,
        height=440,
        margin={"l": 46, "r": 46, "t": 112, "b": 30},
        hovermode="closest",
        legend={"y": 1.1, **ON_AXES},
        polar={
            "bgcolor": "rgba(0,0,0,0)",
            "angularaxis": {**axis, "rotation": 90, "direction": "clockwise", **sides},
            "radialaxis": {
                **axis,
                "range": [-_HOLE * top, top],
                "tickvals": ticks.tolist(),
                "ticktext": [with_unit(round_number(tick), unit.symbol) if tick else "" for tick in ticks],
                "angle": 67.5,
                "tickangle": 0,
            },
        },
    )


def off_words(angle: float) -> str:
    """Where waves come from, of 30 'from 30° to starboard of the bow'; angle to starboard, 0 to 360 [deg]."""
    return f"from {bow_words((angle + 180.0) % 360.0 - 180.0)}"


def polar_words(curve: Curve, at: tuple[float, float], system: str) -> str:
    """What the figure shows, in words: the most and the least, and the plan's own place."""
    finite = np.where(np.isfinite(curve.hs), curve.hs, np.nan)
    own = f"the plan's waves come {off_words(at[0])}, Hs {show(at[1], 'length', system)}"
    if np.isnan(finite).all():
        return f"Limits around the vessel: none found; {own}"
    least, most = int(np.nanargmin(finite)), int(np.nanargmax(finite))
    ends = (
        f"{name} Hs {show(float(finite[i]), 'length', system)} {off_words(float(curve.x[i]))}"
        for name, i in (("least", least), ("most", most))
    )
    return f"Limiting wave height around the vessel, bow up: {'; '.join(ends)}; {own}"


def _around(name: str, theta: np.ndarray, r: np.ndarray, *how: Any, fill: str = "") -> Parts:
    """A line around, drawn `how` a line is, or the area in it."""
    shown = {"hoverinfo": "skip", **({} if name else UNREAD)}
    filled = {"fill": "toself", "fillcolor": fill} if fill else {}
    return line(name, *how, theta=theta, r=r, **shown, **filled) | {"type": "scatterpolar"}


def _polar(traces: list[Parts]) -> list[Parts]:
    return [trace | {"type": "scatterpolar"} for trace in traces]


def _vessel(top: float, look: Look) -> list[Parts]:
    """The vessel from above inside the ring of no height, and that ring."""
    half = 0.82 * _HOLE * top
    outline = [*_HULL, *((-x, y) for x, y in reversed(_HULL))]
    theta = np.array([math.degrees(math.atan2(x, y)) for x, y in outline])
    r = np.array([half * math.hypot(x, y) for x, y in outline]) - _HOLE * top
    round_ = np.arange(0.0, 361.0, 5.0)
    return [
        _around("", round_, np.zeros(round_.size), look.line, 1, fill=faint(look.ground, 1.0)),
        _around("", theta, r, look.muted, 1.4, fill=faint(look.muted, 0.35)),
    ]
