"""Limit curves of several plans on one axis."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, Final

import numpy as np

from heave.judging import LimitingSea
from heave.screens.figures.chart import Chart, figure, line, points, reading
from heave.screens.figures.look import Look
from heave.studies.compare import Side
from heave.units import show, unit_of

COLOURS: Final = {
    "light": ("#16202C", "#00795A", "#A83C86", "#0072B2", "#7A5C00", "#B84A00"),
    "dark": ("#E8EDF3", "#2FBF97", "#E08CC0", "#56B4E9", "#D8C24A", "#F08A50"),
}
_DASHES: Final = ("solid", "dash", "longdash", "dashdot", "longdashdot", "solid")
_LOST: Final = "dot"
_LEGEND: Final = 21
"""Height of one line of the legend [px]; on a telephone each name takes one."""


Curves = Sequence[tuple[Side, Sequence[LimitingSea]]]
"""The limiting seas of each column, over peak period."""


def limit_figure(curves: Curves, look: Look, system: str = "metric") -> Chart:
    """Largest Hs against peak period, a line a column: one colour a plan, dotted where its active part is lost."""
    length = unit_of("length", system)
    traces = [_trace(side, curve, look, system) for side, curve in curves]
    heights = [one.hs for _, curve in curves for one in curve if math.isfinite(one.hs)]
    planned = _planned(curves)
    mark = {"size": 9, "color": look.text, "symbol": "circle-open", "line": {"width": 2}}
    drawn = {"x": [tp for tp, _ in planned], "y": [hs / length.factor for _, hs in planned], "marker": mark}
    traces.append(points("sea as planned", **drawn, hovertemplate=reading(length.symbol)))
    # a line that ends in the picture has no limit there
    top = 1.1 * max([*heights, *(hs for _, hs in planned), 1.0])
    along = {"title": "peak period of the first wave system, s", "hoverformat": ".1f"}
    up = {"title": f"largest Hs of it, {length.symbol}", "range": [0.0, top / length.factor]}
    return figure(look, traces, height=340 + _LEGEND * len(traces), xaxis=along, yaxis=up)


def limit_words(curves: Curves, system: str = "metric") -> str:
    """The curves in words, for those who cannot see them: each at every fifth second."""
    lines = []
    for side, curve in curves:
        told = [f"Tp {one.tp:.0f} s {show(one.hs, 'length', system)}" for one in curve if one.tp % 5 == 0]
        lines.append(f"{side.name}: {', '.join(told)}")
    return "Largest Hs over peak period. " + "; ".join(lines)


def _trace(side: Side, curve: Sequence[LimitingSea], look: Look, system: str) -> dict[str, Any]:
    length = unit_of("length", system)
    colour = COLOURS[look.name][side.place % len(COLOURS[look.name])]
    tp, hs = np.array([(one.tp, one.hs) for one in curve]).T
    dash, width = (_LOST, 1.8) if side.lost else (_DASHES[side.place % len(_DASHES)], 2.4)
    drawn = {"x": tp, "y": np.where(np.isfinite(hs), hs, np.nan) / length.factor}
    checks, told = (
        [one.governing or "nothing" for one in curve],
        reading(length.symbol) + ", %{customdata}",
    )
    return line(side.name, colour, width, dash, **drawn, customdata=checks, hovertemplate=told)


def _planned(curves: Curves) -> list[tuple[float, float]]:
    """Peak period and Hs of the first wave system of every plan, each sea once."""
    found = [(side.plan.sea.systems[0].tp, side.plan.sea.systems[0].hs) for side, _ in curves]
    return list(dict.fromkeys(found))
