"""Figures of an ensemble and of a hindcast: shares of members over time, shares of time by month."""

from __future__ import annotations

import html
from typing import Any

import numpy as np
import numpy.typing as npt
import plotly.graph_objects as go

from heave.judging.checks import WITHIN
from heave.screens.figures.look import Chart, Look, figure
from heave.screens.figures.thin import along, kept_points
from heave.screens.figures.timeline_bars import letter
from heave.screens.weather.clock import Clock
from heave.units import unit_of
from heave.weather import EnsembleResult, HindcastResult

_DASHES = ("dash", "dot", "dashdot", "longdash")


def members_figure(result: EnsembleResult, clock: Clock, look: Look, system: str = "metric") -> Chart:
    """Heights of all members as a band above; below, the share that holds each hour and each start.

    The band is from the lowest to the highest member, and from the 10th to the 90th in a hundred.
    """
    times, factor = result.ensemble.times, unit_of("length", system).factor
    traces = [*_heights(result, look, factor), *_shares(result, look, clock)]
    marks, words = clock.days(times[0], times[-1])
    zone = "UTC" if clock.is_utc else f"local time, {clock.name}"
    bars = [_bar(str(window.start), str(window.latest_start), look) for window in result.windows]
    names = [
        {
            "x": str(window.start),
            "xanchor": "left",
            "xshift": 3,
            "yref": "y2",
            "y": 1.1,
            "yanchor": "middle",
            "showarrow": False,
            "text": f"<b>{letter(place)}</b>",
            "font": {"size": 12.5, "color": "#FFFFFF"},
        }
        for place, window in enumerate(result.windows)
    ]
    needed = {
        "type": "line",
        "xref": "paper",
        "x0": 0,
        "x1": 1,
        "yref": "y2",
        "y0": result.needed,
        "y1": result.needed,
        "line": {"color": look.text, "width": 1.4, "dash": "dot"},
    }
    return figure(
        look,
        traces,
        height=470,
        margin={"l": 4, "r": 6, "t": 30, "b": 46},
        xaxis={
            "type": "date",
            "anchor": "y2",
            "tickvals": [str(mark) for mark in marks],
            "ticktext": words,
            "tickangle": 0,
            "title": {"text": zone, "standoff": 2},
            "range": [str(times[0]), str(times[-1])],
        },
        yaxis={
            "domain": [0.56, 1],
            "rangemode": "tozero",
            "title": {"text": f"Hs of the members, {unit_of('length', system).symbol}"},
        },
        yaxis2={
            "domain": [0, 0.44],
            "range": [-0.02, 1.2],
            "tickvals": [0, 0.25, 0.5, 0.75, 1],
            "tickformat": ".0%",
            "title": {"text": "share of members"},
        },
        shapes=[*bars, needed],
        annotations=names,
    )


def _heights(result: EnsembleResult, look: Look, factor: float) -> list[go.Scatter]:
    heights = np.array([member.batch.hs for member in result.ensemble.members]) / factor
    known = ~np.isnan(heights).all(axis=0)
    times = result.ensemble.times[known]
    low, tenth, middle, ninetieth, high = _percentiles(heights[:, known])
    common: dict[str, Any] = {"mode": "lines", "hovertemplate": "%{y:.2f}"}
    kept = kept_points(middle)
    x = along(times[kept])
    edge = {"width": 0.6, "color": look.line}
    return [
        go.Scatter(**x, y=low[kept], name="lowest", line=edge, showlegend=False, **common),
        go.Scatter(
            **x,
            y=high[kept],
            name="all members",
            line=edge,
            fill="tonexty",
            fillcolor=f"{look.sea}1E",
            **common,
        ),
        go.Scatter(
            **x,
            y=tenth[kept],
            name="P10",
            line={"width": 0, "color": look.sea},
            showlegend=False,
            **common,
        ),
        go.Scatter(
            **x,
            y=ninetieth[kept],
            name="P10 to P90",
            line={"width": 0, "color": look.sea},
            fill="tonexty",
            fillcolor=f"{look.sea}44",
            **common,
        ),
        go.Scatter(**x, y=middle[kept], name="median", line={"color": look.sea, "width": 2.2}, **common),
    ]


def _percentiles(heights: npt.NDArray[np.float64]) -> npt.NDArray[np.float32]:
    return np.nanpercentile(heights, [0, 10, 50, 90, 100], axis=0).astype(np.float32)


def _shares(result: EnsembleResult, look: Look, clock: Clock) -> list[go.Scatter]:
    times = result.ensemble.times
    common: dict[str, Any] = {"yaxis": "y2", "mode": "lines", "hovertemplate": "%{y:.0%}"}
    kept = kept_points(result.start_probability)
    several = len(result.campaign.steps) > 1

    def number(place: int) -> str:
        return f"{place + 1} " if several else ""

    traces = [
        go.Scatter(
            **along(times[kept]),
            y=result.start_probability[kept].astype(np.float32),
            name="can start here",
            line={"color": look.text, "width": 2.4, "shape": "hv"},
            **common,
        )
    ]
    for place, (step, share) in enumerate(zip(result.campaign.steps, result.hour_probability, strict=True)):
        kept = kept_points(share)
        traces.append(
            go.Scatter(
                **along(times[kept]),
                y=share[kept].astype(np.float32),
                name=f"hour holds: {number(place)}{html.escape(step.label)}",
                line={"color": look.heave, "width": 1.6, "dash": _DASHES[place % 4]},
                **common,
            )
        )
    return traces


def _bar(start: str, end: str, look: Look) -> dict[str, Any]:
    return {
        "type": "rect",
        "yref": "y2",
        "y0": 1.04,
        "y1": 1.16,
        "x0": start,
        "x1": end,
        "fillcolor": look.fill(WITHIN),
        "line": {"color": look.fill(WITHIN), "width": 2},
    }


def months_figure(result: HindcastResult, look: Look) -> Chart:
    """Availability and share of possible starts by calendar month, and the wait not exceeded in 50 and 90 %."""
    months = result.months
    names = [month.name for month in months]
    wait = np.array([[month.waiting_p50, month.waiting_p90] for month in months]) / 3600.0
    wait[np.isinf(wait)] = np.nan
    share = {"hovertemplate": "%{y:.0%}"}
    hours_ = {"hovertemplate": "%{y:.3~g} h", "yaxis": "y2", "mode": "lines+markers"}
    traces = [
        go.Bar(
            x=names,
            y=[month.availability for month in months],
            name="inside the limits",
            marker={"color": look.fill(WITHIN)},
            **share,
        ),
        go.Bar(
            x=names,
            y=[month.starts for month in months],
            name="can start",
            **share,
            marker={
                "color": look.ground,
                "line": {"color": look.fill(WITHIN), "width": 1.5},
                "pattern": {"shape": "/", "fgcolor": look.fill(WITHIN), "size": 6, "solidity": 0.3},
            },
        ),
        go.Scatter(
            x=names,
            y=wait[:, 0],
            name="wait P50",
            line={"color": look.text, "width": 2},
            marker={"symbol": "circle", "size": 8},
            **hours_,
        ),
        go.Scatter(
            x=names,
            y=wait[:, 1],
            name="wait P90",
            line={"color": look.heave, "width": 2, "dash": "dash"},
            marker={"symbol": "diamond", "size": 9},
            **hours_,
        ),
    ]
    return figure(
        look,
        traces,
        height=460,
        margin={"l": 4, "r": 6, "t": 34, "b": 8},
        barmode="group",
        xaxis={"anchor": "y2"},
        yaxis={
            "domain": [0.54, 1],
            "tickformat": ".0%",
            "rangemode": "tozero",
            "title": {"text": "share of time"},
        },
        yaxis2={"domain": [0, 0.44], "rangemode": "tozero", "title": {"text": "wait, h"}},
    )
