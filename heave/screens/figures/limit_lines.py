"""Limiting wave height as lines: over period or over another system's height, and of every operation on one axis."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final

import numpy as np

from heave.arrays import FloatArray
from heave.judging import NEAR, NOT_ASSESSED, OVER, WITHIN, LimitMap
from heave.screens.figures import chart
from heave.screens.figures.chart import UNREAD, Chart, Parts
from heave.screens.figures.look import FILLS, Look
from heave.units import show, unit_of

SYMBOLS: Final = (
    *("circle", "square", "diamond", "triangle-up", "cross"),
    *("triangle-down", "x", "star-square", "hexagram", "pentagon"),
)
"""Marks of the governing checks, in the order of their letters."""

NO_LIMIT: Final = "no limit up to the highest sea tried"


@dataclass(frozen=True, eq=False)
class Curve:
    """Limiting heights along something: maps of one column, or of one row.

    x : periods [s], heights of another system [m], or angles off the bow [deg]
    planned, at_worst : limits of the planned values, and at the worst ends of the ranges
    highest : highest sea that can be at each [m]
    """

    x: FloatArray
    planned: LimitMap
    at_worst: LimitMap
    highest: FloatArray

    @property
    def hs(self) -> FloatArray:
        """Limits of the planned values; NaN where not assessed [m]."""
        return self.planned.hs.ravel()

    @property
    def worst(self) -> FloatArray:
        """The same at the worst ends of the ranges."""
        return self.at_worst.hs.ravel()

    @cached_property
    def keys(self) -> tuple[str, ...]:
        """Key of the check that reaches 1 at each; empty where none does."""
        places = self.planned.governed_by.ravel()
        return tuple("" if place < 0 else self.planned.keys[place] for place in places)

    @cached_property
    def names(self) -> Mapping[str, str]:
        """Names of the checks by key."""
        return dict(zip(self.planned.keys, self.planned.names, strict=True))

    @property
    def top(self) -> float:
        """A height that shows what there is to see: a little over the highest limit that a sea can reach [m]."""
        reached = np.minimum(np.where(np.isfinite(self.hs), self.hs, 0.0), self.highest)
        return 1.15 * float(max(reached.max(initial=0.0), 1.0))


def told(curve: Curve, place: int, system: str) -> str:
    """What pointing at a place of a curve says: the limit, its check, the limit at the worst ends."""
    hs, worst = float(curve.hs[place]), float(curve.worst[place])
    if math.isnan(hs):
        return "not assessed"
    if math.isinf(hs):
        return NO_LIMIT
    words = "over at any height" if hs == 0 else show(hs, "length", system)
    unsure = "not assessed" if math.isnan(worst) else "none" if worst == 0 else show(worst, "length", system)
    return f"{words}, {curve.names[curve.keys[place]]}<br>at the worst ends of the ranges {unsure}"


def runs(keys: Sequence[str]) -> list[tuple[str, int, int]]:
    """Stretches of one check along a curve: its key, first place and the one after its last."""
    found: list[tuple[str, int, int]] = []
    for place, key in enumerate(keys):
        if found and found[-1][0] == key and found[-1][2] == place:
            found[-1] = (key, found[-1][1], place + 1)
        else:
            found.append((key, place, place + 1))
    return [one for one in found if one[0]]


def check_marks(curve: Curve, letters: Mapping[str, str], look: Look, **where: FloatArray) -> list[Parts]:
    """Marks of the governing checks along a curve, a trace and a symbol for each; `where` has their places."""
    order = list(letters)
    traces = []
    for key in order:
        there = np.array([one == key for one in curve.keys])
        there &= np.all([np.isfinite(values) for values in where.values()], axis=0)
        if not there.any():
            continue
        symbol, rim = SYMBOLS[order.index(key) % len(SYMBOLS)], {"width": 1.5, "color": look.text}
        mark = {"symbol": symbol, "size": 8, "color": look.ground, "line": rim}
        spots = {name: values[there] for name, values in where.items()}
        name = f"{letters[key]} {curve.names[key]}"
        traces.append(chart.points(name, **spots, marker=mark, hoverinfo="skip"))
    return traces


def limit_figure(
    curve: Curve,
    letters: Mapping[str, str],
    look: Look,
    system: str,
    *,
    across: str,
    up: str,
    at: tuple[float, float],
    x_kind: str = "period",
) -> Chart:
    """Limiting height over `curve.x`: the limit with its checks, what the ranges leave of it, seas that cannot be.

    Parameters
    ----------
    curve : what is drawn
    letters : of the checks
    look, system : colours and units
    across, up : titles of the axes, units left out
    at : the plan's own place, x and height [m]
    x_kind : 'period', or 'length' where x is a height
    """
    length, unit = unit_of("length", system), unit_of(x_kind, system)
    x, factor = curve.x / unit.factor, length.factor
    top = max(curve.top, 1.15 * at[1]) / factor
    capped = np.minimum(curve.highest / factor, top)
    drawn = np.minimum(np.where(np.isnan(curve.hs), 0.0, curve.hs) / factor, capped)
    sure = np.minimum(np.where(np.isnan(curve.worst), 0.0, curve.worst) / factor, drawn)
    inside = np.isfinite(curve.hs) & (curve.hs <= curve.highest)
    limit = np.where(inside, curve.hs / factor, np.nan)
    worst = np.where(np.isfinite(curve.worst) & (curve.worst <= curve.highest), curve.worst / factor, np.nan)
    words = [told(curve, place, system) for place in range(len(curve.keys))]

    def area(y: FloatArray, fill: str, colour: str, opacity: float) -> Parts:
        return chart.line(
            "", colour, 0, x=x, y=y, fill=fill, fillcolor=chart.faint(colour, opacity), mode="none", **UNREAD
        )

    traces = [
        area(sure, "tozeroy", FILLS[WITHIN], 0.16),
        area(drawn, "tonexty", FILLS[NEAR], 0.2),
        chart.line("limit, planned values", look.text, 2.4, x=x, y=limit, hoverinfo="skip"),
        chart.line(
            "limit, worst ends of the ranges", look.words(NEAR), 1.6, "dash", x=x, y=worst, hoverinfo="skip"
        ),
        *check_marks(curve, letters, look, x=x, y=limit),
        chart.line(
            up, look.text, 0, x=x, y=drawn, customdata=words, hovertemplate="%{customdata}<extra></extra>"
        )
        | {"showlegend": False},
    ]
    cannot = np.isfinite(curve.highest) & (curve.highest / factor < top)
    if cannot.any():
        traces += _breaking(x, curve.highest / factor, top, look)
    mine = at[0] / unit.factor, at[1] / factor
    traces.append(own_sea(look, {"x": [mine[0]], "y": [mine[1]]}, cliponaxis=False))
    return chart.figure(
        look,
        traces,
        height=440,
        xaxis={"title": f"{across}, {unit.symbol}", "range": [float(x[0]), float(x[-1])]},
        yaxis={"title": f"{up}, {length.symbol}", "range": [0, top]},
        annotations=_letters(curve, x, limit, letters, look),
        shapes=[
            chart.shape((mine[0], mine[0]), (0, top), line=chart.stroke(look.line, 1, "dot"), layer="below")
        ],
        hovermode="x",
    )


def own_sea(look: Look, where: Parts, **more: Any) -> Parts:
    """The mark of the plan's own sea; `where` has its place."""
    colour = look.words(OVER)
    mark = {"symbol": "circle-x-open", "size": 15, "color": colour, "line": {"width": 2.4, "color": colour}}
    return chart.points("the plan's own sea", **where, marker=mark, **more, hoverinfo="skip")


def _breaking(x: FloatArray, highest: FloatArray, top: float, look: Look) -> list[Parts]:
    """The seas that cannot be, hatched."""
    edge = np.minimum(highest, top)
    ground = chart.faint(look.track, 0.75)
    pattern = {"shape": "/", "fgcolor": look.muted, "bgcolor": ground, "size": 7, "solidity": 0.12}
    return [
        chart.line("", look.muted, 1, x=x, y=edge, **UNREAD),
        chart.line("steeper than seas can be", look.muted, 0, x=x, y=np.full(x.size, top), hoverinfo="skip")
        | {"fill": "tonexty", "fillpattern": pattern, "fillcolor": ground},
    ]


def _letters(
    curve: Curve, x: FloatArray, y: FloatArray, letters: Mapping[str, str], look: Look
) -> list[Parts]:
    """The letter of each stretch of one check, over its middle."""
    found = []
    for key, first, end in runs(curve.keys):
        there = [place for place in range(first, end) if np.isfinite(y[place])]
        if there:
            middle = there[len(there) // 2]
            held = {"xanchor": "center", "yshift": 7}
            found.append(chart.note(letters[key], float(x[middle]), float(y[middle]), look.text, 14, **held))
    return found


def limit_words(curve: Curve, at: tuple[float, float], system: str, x_kind: str = "period") -> str:
    """What the figure of a curve shows, in words.

    Parameters
    ----------
    curve, at, system, x_kind : as for `limit_figure`
    """
    parts = []
    for key, first, end in runs(curve.keys):
        ends = sorted((float(curve.hs[first]), float(curve.hs[end - 1])))
        span = " to ".join(dict.fromkeys(show(one, "length", system) for one in ends if math.isfinite(one)))
        reach = " to ".join(dict.fromkeys(show(float(curve.x[i]), x_kind, system) for i in (first, end - 1)))
        parts.append(f"{curve.names[key]} from {reach}, Hs {span or 'not assessed'}")
    where = f"the plan at {show(at[0], x_kind, system)}, Hs {show(at[1], 'length', system)}"
    return f"Limiting wave height: {'; '.join(parts) or 'no check reaches its limit'}; {where}"


_DASHES: Final = ("solid", "dash", "dot", "dashdot", "longdash", "longdashdot", "solid", "dash")


def operations_figure(
    periods: Sequence[float],
    limits: Mapping[str, FloatArray],
    own: str,
    highest: FloatArray,
    look: Look,
    system: str,
) -> Chart:
    """Limits of several operations over period on one axis; that of the plan is drawn thick.

    Parameters
    ----------
    periods : [s]
    limits : planned limits by the name of the operation, NaN where not assessed [m]
    own : name of the plan's operation
    highest : highest sea that can be at each period [m]
    look, system : colours and units
    """
    length, x = unit_of("length", system), np.asarray(periods, dtype=np.float64)
    reached = [
        np.where(np.isfinite(hs) & (hs <= highest), hs, np.nan) / length.factor for hs in limits.values()
    ]
    most = max((float(np.nanmax(hs)) for hs in reached if np.isfinite(hs).any()), default=1.0)
    top = 1.15 * max(most, 1.0)
    colours = (look.sea, look.heave, look.text, look.muted)
    traces = []
    for place, (name, hs) in enumerate(zip(limits, reached, strict=True)):
        mark = {"symbol": SYMBOLS[place % len(SYMBOLS)], "size": 7}
        colour, width = colours[place % 4], 3.2 if name == own else 1.6
        drawn = chart.line(name, colour, width, _DASHES[place % len(_DASHES)], x=x, y=hs, marker=mark)
        traces.append(drawn | {"mode": "lines+markers", "hovertemplate": chart.reading(length.symbol)})
    if (highest / length.factor < top).any():
        traces += _breaking(x, highest / length.factor, top, look)
    along = {"title": "peak period, s", "range": [float(x[0]), float(x[-1])]}
    up = {"title": f"limiting Hs, {length.symbol}", "range": [0, top]}
    return chart.figure(look, traces, height=420, xaxis=along, yaxis=up)


def operations_words(limits: Mapping[str, FloatArray], system: str) -> str:
    """What the figure of the operations shows, in words."""
    parts = []
    for name, hs in limits.items():
        finite = hs[np.isfinite(hs)]
        if np.isnan(hs).all():
            parts.append(f"{name} {NOT_ASSESSED}")
        elif finite.size:
            ends = (show(float(one), "length", system) for one in (finite.min(), finite.max()))
            parts.append(f"{name} Hs {' to '.join(ends)}")
        else:
            parts.append(f"{name} without a limit")
    return "Limiting wave height of each operation over period: " + "; ".join(parts)
