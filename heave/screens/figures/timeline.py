"""The weather window as one picture on one time axis: windows, sea, heave, and every check hour by hour."""

from __future__ import annotations

from typing import Any, Final

import numpy as np
import numpy.typing as npt
import plotly.graph_objects as go

from heave.judging.checks import OVER
from heave.screens.figures.look import Chart, Look, figure
from heave.screens.figures.strips import ROW, colours, columns_of, strips
from heave.screens.figures.thin import along, kept_points, place_of_highest
from heave.screens.figures.timeline_bars import (
    Panel,
    Span,
    letter,
    no_return,
    present,
    rows_of,
    shades,
    window_bars,
)
from heave.screens.figures.timeline_words import readings
from heave.screens.weather.clock import Clock, hours
from heave.units import unit_of
from heave.weather import Forecast, WindowResult

FloatArray = npt.NDArray[np.float64]
Times = npt.NDArray[np.datetime64]

SEA: Final = 150
HEAVE: Final = 104
BAR_ROW: Final = 44
GAP: Final = 38
"""Heights of the sea panel, the heave panel, a row of windows and the room between panels [px]."""

FOOT: Final = 66
_HEAD: Final = 22
_DASHES: Final = {
    "wind sea": "solid",
    "swell": "dash",
    "swell 1": "dash",
    "swell 2": "dot",
    "swell 3": "dashdot",
}


def timeline_figure(
    result: WindowResult,
    step: int,
    clock: Clock,
    look: Look,
    system: str = "metric",
    lost: tuple[tuple[str, tuple[Span, ...]], ...] = (),
) -> Chart:
    """Windows, sea, heave at the hoist and the utilisation of every check of one step, over time.

    One invisible trace over the whole picture answers to pointing and clicking: its custom data is the
    sample, the highest of its piece where the series is thinned.

    Parameters
    ----------
    result : what the search found
    step : place of the step whose checks are drawn
    clock : zone of the time axis
    look : colours
    system : unit system
    lost : rows of spans that cannot be worked, with why: ('Lost to α', spans)
    """
    rows = strips(result, step, look)
    bar_rows = rows_of(result, len(lost))
    tall = {"windows": round(BAR_ROW * bar_rows), "sea": SEA, "heave": HEAVE, "checks": ROW * rows.count}
    panels, height = _stacked(tall)
    starts, left, right = columns_of(result.forecast)
    span = (left[0], right[-1])
    shapes, notes = window_bars(result, lost, span, panels["windows"], look)
    traces = [
        *_sea(result, look, system),
        *_heave(result, step, look, system),
        *rows.traces,
        no_return(result, look),
        _hours(result, step, starts, clock, system),
    ]
    shapes += shades(result, panels, look) + present(result, look)
    notes += [*rows.notes, _heave_title(result, panels["heave"], look, system)]
    marks, words = clock.days(result.forecast.times[0], result.forecast.times[-1])
    return figure(
        look,
        traces,
        height=height,
        margin={"l": 4, "r": 6, "t": _HEAD, "b": FOOT},
        hovermode="closest",
        hoverdistance=-1,
        spikedistance=-1,
        clickmode="event+select",
        xaxis=_time_axis(span, marks, words, clock, panels["checks"].axis),
        yaxis=_y_axis(panels["windows"], range=[bar_rows, 0], visible=False),
        yaxis2=_y_axis(panels["sea"], rangemode="tozero", nticks=5),
        yaxis3=_y_axis(panels["heave"], rangemode="tozero", nticks=4),
        yaxis4=_y_axis(panels["checks"], range=[rows.count, 0], visible=False),
        coloraxis=colours(result.plan.caution_level, look),
        yaxis5={"domain": [0, 1], "range": [0, 1], "visible": False, "automargin": False},
        legend={
            "orientation": "h",
            "x": 0,
            "xanchor": "left",
            "y": panels["sea"].high,
            "yanchor": "bottom",
            "font": {"size": 12},
            "itemclick": False,
            "itemdoubleclick": False,
            "itemwidth": 30,
        },
        shapes=shapes,
        annotations=notes,
    )


def timeline_words(result: WindowResult, clock: Clock) -> str:
    """The picture in words, for those who cannot see it."""
    if not result.windows:
        return "Timeline of sea, heave and checks: no window"
    spans = "; ".join(
        f"window {letter(place)} from {clock.both(window.start)}, {hours(window.length)}"
        for place, window in enumerate(result.windows)
    )
    return f"Timeline of sea, heave and checks: {spans}"


def _stacked(tall: dict[str, int]) -> tuple[dict[str, Panel], int]:
    """Panels from the top down, and the height of the whole figure with its margins [px]."""
    inner = sum(tall.values()) + GAP * (len(tall) - 1)
    found, top = {}, inner
    for place, (name, height) in enumerate(tall.items()):
        axis = "y" if place == 0 else f"y{place + 1}"
        found[name] = Panel(axis, (top - height) / inner, top / inner)
        top -= height + GAP
    return found, inner + _HEAD + FOOT


def _y_axis(panel: Panel, **more: Any) -> dict[str, Any]:
    return {"domain": [max(panel.low, 0.0), panel.high], "anchor": "x", "automargin": True, **more}


def _time_axis(
    span: tuple[np.datetime64, np.datetime64],
    marks: list[np.datetime64],
    words: list[str],
    clock: Clock,
    anchor: str,
) -> dict[str, Any]:
    zone = "UTC" if clock.is_utc else f"local time, {clock.name}"
    return {
        "type": "date",
        "range": [str(span[0]), str(span[1])],
        "anchor": anchor,
        "tickvals": [str(mark) for mark in marks],
        "ticktext": words,
        "tickangle": 0,
        "ticklabelposition": "outside right",
        "title": {"text": zone, "standoff": 2},
        "showspikes": True,
        "spikemode": "across",
        "spikesnap": "hovered data",
        "spikedash": "solid",
        "spikethickness": 1,
        "spikecolor": "#7A8696",
    }


def _line(forecast: Forecast, y: FloatArray) -> dict[str, Any]:
    """A line of at most 2,000 points that keeps its extremes and breaks where the series has a gap."""
    kept = kept_points(y)
    times, values = forecast.times[kept], y[kept]
    breaks = np.flatnonzero(forecast.gap_after)
    places = np.searchsorted(kept, breaks, side="right")
    places = places[(places > 0) & (places < kept.size)]
    middle = times[places - 1] + (times[places] - times[places - 1]) // 2
    return {**along(np.insert(times, places, middle)), "y": np.insert(values, places, np.nan)}


def _sea(result: WindowResult, look: Look, system: str) -> list[go.Scatter]:
    forecast = result.forecast
    factor = unit_of("length", system).factor
    common = {"yaxis": "y2", "hoverinfo": "skip", "mode": "lines"}
    traces = [
        go.Scatter(
            **_line(forecast, forecast.batch.hs / factor),
            name=f"Hs in all, {unit_of('length', system).symbol}",
            fill="tozeroy",
            fillcolor=f"{look.sea}22",
            line={"color": look.sea, "width": 2.4},
            **common,
        )
    ]
    if len(forecast.system_names) == 1:
        return traces
    for name, slot in zip(forecast.system_names, forecast.batch.slots, strict=True):
        line = {
            "color": look.text if name == "wind sea" else look.muted,
            "width": 1.5,
            "dash": _DASHES.get(name, "solid"),
        }
        traces.append(go.Scatter(**_line(forecast, slot.hs / factor), name=name, line=line, **common))
    return traces


def _heave(result: WindowResult, step: int, look: Look, system: str) -> list[go.Scatter]:
    """Significant heave, double amplitude, in the forecast and in the sea α asks for, and the rig's limit."""
    forecast, found = result.forecast, result.steps[step]
    factor = unit_of("length", system).factor
    common = {"yaxis": "y3", "hoverinfo": "skip", "mode": "lines", "showlegend": False}
    series = [("heave", found.plain.heave_sigma * 4 / factor, {"color": look.heave, "width": 2.2})]
    if found.row is not None:
        dotted = {"color": look.heave, "width": 1.5, "dash": "dot"}
        series.append(("heave, α applied", found.reduced.heave_sigma * 4 / factor, dotted))
    limit = found.plain.by_check.get("heave_limit")
    if limit is not None and not np.isnan(limit).all():
        # Demand over utilisation: right for a limit on significant heave and for one on an extreme.
        with np.errstate(divide="ignore", invalid="ignore"):
            level = found.plain.heave_sigma * 4 / factor / np.where(limit > 0, limit, np.nan)
        series.append(("limit", level, {"color": look.fill(OVER), "width": 1.8, "dash": "dash"}))
    return [
        go.Scatter(**_line(forecast, values), name=name, line=line, **common) for name, values, line in series
    ]


def _heave_title(result: WindowResult, panel: Panel, look: Look, system: str) -> dict[str, Any]:
    """What the heave panel shows, above it; the legend says it of the sea, and every strip has its own name."""
    text = f"Heave crest to trough (4σ), {unit_of('length', system).symbol}"
    if any(step.row is not None for step in result.steps):
        text += " · dotted: α"
    if any(step.step.operation.heave_limit is not None for step in result.steps):
        text += " · dashed: limit"
    return {
        "x": 0,
        "xref": "paper",
        "xanchor": "left",
        "y": panel.high,
        "yref": "paper",
        "yanchor": "bottom",
        "showarrow": False,
        "text": text,
        "font": {"size": 12.5, "color": look.text},
    }


def _hours(result: WindowResult, step: int, starts: Any, clock: Clock, system: str) -> go.Scatter:
    """What pointing and clicking find: one invisible point for each sample, or the highest of each piece."""
    places = place_of_highest(result.steps[step].reduced.governing, starts)
    told = readings(result, step, places, clock, system)
    return go.Scatter(
        **along(result.forecast.times[places]),
        y=np.full(places.size, 0.5, dtype=np.float32),
        yaxis="y5",
        mode="markers",
        marker={"size": 14, "opacity": 0},
        selected={"marker": {"opacity": 0}},
        unselected={"marker": {"opacity": 0}},
        customdata=np.array(told.columns, dtype=object).T,
        hovertemplate="<br>".join(told.filled(lambda column: f"%{{customdata[{column}]}}"))
        + "<extra></extra>",
        showlegend=False,
        name="hours",
    )
