"""The weather window as one picture on one time axis: windows, sea, heave, and every check hour by hour."""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from heave.arrays import FloatArray, IntArray
from heave.judging.checks import NOT_ASSESSED, OVER
from heave.screens.figures import bow
from heave.screens.figures import timeline_bars as bars
from heave.screens.figures.chart import ON_AXES, UNREAD, Chart, Parts, figure, line, points, row_name
from heave.screens.figures.look import FILLS, Look
from heave.screens.figures.strips import ROW, colours, columns_of, strips
from heave.screens.figures.thin import along, kept_points, place_of_highest
from heave.screens.figures.timeline_words import readings
from heave.screens.weather.clock import Clock, hours
from heave.units import unit_of
from heave.weather import Forecast, WindowResult

SEA: Final = 150
HEAVE: Final = 104
BAR_ROW: Final = 44
GAP: Final = 38
"""Heights of the sea panel, the heave panel, a row of windows and the room between panels [px]."""

FOOT: Final = 66
_HEAD: Final = 22
_DASHES: Final = {"swell": "dash", "swell 1": "dash", "swell 2": "dot", "swell 3": "dashdot"}


def timeline_figure(
    result: WindowResult,
    step: int,
    clock: Clock,
    look: Look,
    system: str = "metric",
    lost: tuple[tuple[str, tuple[bars.Span, ...]], ...] = (),
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
    forecast, (checks, names, count) = result.forecast, strips(result, step, look)
    bar_rows = bars.rows_of(result, len(lost))
    room = [bow.HEIGHT] if bow.has_bow(result) else []
    panels, height = _stacked(round(BAR_ROW * bar_rows), SEA, HEAVE, *room, ROW * count)
    windows, sea, heave, *turned, strip = panels
    bow_traces, bow_layout, bow_notes = _bow(result, step, turned, look)
    starts, left, right = columns_of(forecast)
    span = (left[0], right[-1])
    shapes, notes = bars.window_bars(result, lost, span, look)
    sea_top = sea["domain"][1]
    spikes = {"showspikes": True, "spikemode": "across", "spikesnap": "hovered data", "spikedash": "solid"}
    spikes |= {"spikethickness": 1, "spikecolor": FILLS[NOT_ASSESSED]}
    days = bars.time_axis(clock, forecast.times[0], forecast.times[-1], span, anchor="y4")
    still = {"itemclick": False, "itemdoubleclick": False, "itemwidth": 30}
    return figure(
        look,
        [
            *_sea(result, look, system),
            *_heave(result, step, look, system),
            *bow_traces,
            *checks,
            bars.no_return(result, look),
            _hours(result, step, starts, clock, system),
        ],
        height=height,
        margin={"l": 4, "r": 6, "t": _HEAD, "b": FOOT},
        hovermode="closest",
        hoverdistance=-1,
        spikedistance=-1,
        clickmode="event+select",
        xaxis={**days, "ticklabelposition": "outside right", **spikes},
        yaxis={**windows, "range": [bar_rows, 0], "visible": False},
        yaxis2={**sea, "rangemode": "tozero", "nticks": 5},
        yaxis3={**heave, "rangemode": "tozero", "nticks": 4},
        yaxis4={**strip, "range": [count, 0], "visible": False},
        coloraxis=colours(look),
        **bow_layout,
        yaxis5={"domain": [0, 1], "range": [-1, 1], "visible": False, "automargin": False},
        legend={"xanchor": "left", "y": sea_top, **ON_AXES, **still},
        shapes=shapes + bars.shades(result, sea_top, look) + bars.present(result, look),
        annotations=[*notes, *names, *bow_notes, _heave_title(result, heave["domain"][1], look, system)],
    )


def _bow(
    result: WindowResult, step: int, axis: list[Parts], look: Look
) -> tuple[list[Parts], dict[str, Any], list[Parts]]:
    """Traces, axis and title of the panel of the bow; nothing where it has no place."""
    if not axis:
        return [], {}, []
    traces, told, title = bow.bow_panel(result, step, axis[0], look)
    return traces, {"yaxis6": told}, [title]


def timeline_words(result: WindowResult, clock: Clock) -> str:
    """The picture in words, for those who cannot see it."""
    if not result.windows:
        return "Timeline of sea, heave and checks: no window"
    spans = "; ".join(
        f"window {bars.letter(place)} from {clock.both(window.start)}, {hours(window.length)}"
        for place, window in enumerate(result.windows)
    )
    return f"Timeline of sea, heave and checks: {spans}"


def _stacked(*tall: int) -> tuple[list[Parts], int]:
    """Axes of panels of these heights from the top down, and the height of the figure with its margins [px]."""
    inner = sum(tall) + GAP * (len(tall) - 1)
    found, top = [], inner
    for height in tall:
        found.append({"domain": [max((top - height) / inner, 0.0), top / inner], "anchor": "x"})
        top -= height + GAP
    return found, inner + _HEAD + FOOT


def _line(forecast: Forecast, y: FloatArray) -> Parts:
    """A line of at most 2,000 points that keeps its extremes and breaks where the series has a gap."""
    kept = kept_points(y)
    times, values = forecast.times[kept], y[kept]
    breaks = np.flatnonzero(forecast.gap_after)
    places = np.searchsorted(kept, breaks, side="right")
    places = places[(places > 0) & (places < kept.size)]
    middle = times[places - 1] + (times[places] - times[places - 1]) // 2
    return {**along(np.insert(times, places, middle)), "y": np.insert(values, places, np.nan)}


def _sea(result: WindowResult, look: Look, system: str) -> list[Parts]:
    forecast, unit = result.forecast, unit_of("length", system)
    filled = {"fill": "tozeroy", "fillcolor": f"{look.sea}22"}
    drawn = _line(forecast, forecast.batch.hs / unit.factor)
    traces = [line(f"Hs in all, {unit.symbol}", look.sea, 2.4, **filled, **drawn)]
    if len(forecast.system_names) > 1:
        for name, slot in zip(forecast.system_names, forecast.batch.slots, strict=True):
            colour = look.text if name == "wind sea" else look.muted
            heights = _line(forecast, slot.hs / unit.factor)
            traces.append(line(name, colour, 1.5, _DASHES.get(name, ""), **heights))
    return [trace | {"yaxis": "y2", "hoverinfo": "skip"} for trace in traces]


def _heave(result: WindowResult, step: int, look: Look, system: str) -> list[Parts]:
    """Significant heave, double amplitude, in the forecast and in the sea α asks for, and the rig's limit."""
    forecast, found = result.forecast, result.steps[step]
    four = 4 / unit_of("length", system).factor
    heave = found.plain.heave_sigma * four
    series = [("heave", look.heave, 2.2, "", heave)]
    if found.asked.factor is not None:
        series.append(("heave, α applied", look.heave, 1.5, "dot", found.reduced.heave_sigma * four))
    limit = found.plain.by_check.get("heave_limit")
    if limit is not None and not np.isnan(limit).all():
        # Demand over utilisation: right for a limit on significant heave and for one on an extreme.
        with np.errstate(divide="ignore", invalid="ignore"):
            level = heave / np.where(limit > 0, limit, np.nan)
        series.append(("limit", look.fill(OVER), 1.8, "dash", level))
    return [
        line(name, colour, width, dash, **_line(forecast, values), yaxis="y3", **UNREAD)
        for name, colour, width, dash, values in series
    ]


def _heave_title(result: WindowResult, top: float, look: Look, system: str) -> Parts:
    """What the heave panel shows, above it; the legend says it of the sea, and every strip has its own name."""
    words = f"Heave crest to trough (4σ), {unit_of('length', system).symbol}"
    if any(step.asked.factor is not None for step in result.steps):
        words += " · dotted: α"
    if any(step.step.operation.heave_limit is not None for step in result.steps):
        words += " · dashed: limit"
    return row_name(words, top, look.text, yref="paper")


def _hours(result: WindowResult, step: int, starts: IntArray, clock: Clock, system: str) -> Parts:
    """What pointing and clicking find: one invisible point for each sample, or the highest of each piece."""
    places = place_of_highest(result.steps[step].reduced.governing, starts)
    told = readings(result, step, places, clock, system)
    lines, columns = told.sent()
    unseen = {"marker": {"opacity": 0}}
    return points(
        "hours",
        **along(result.forecast.times[places]),
        y=np.zeros(places.size, dtype=np.int8),
        yaxis="y5",
        marker={"size": 14, "opacity": 0},
        selected=unseen,
        unselected=unseen,
        customdata=np.array(columns, dtype=object).T,
        hovertemplate="<br>".join(lines) + "<extra></extra>",
        showlegend=False,
    )
