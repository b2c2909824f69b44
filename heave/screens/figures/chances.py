"""Figures of an ensemble and of a hindcast: shares of members over time, shares of time by month."""

from __future__ import annotations

import numpy as np

from heave.arrays import FloatArray, Times
from heave.judging.checks import WITHIN
from heave.screens.figures import chart
from heave.screens.figures.chart import SHARES, Chart, Parts
from heave.screens.figures.look import Look
from heave.screens.figures.thin import along, kept_points
from heave.screens.figures.timeline_bars import letter, time_axis
from heave.screens.weather.clock import Clock
from heave.units import unit_of
from heave.weather import EnsembleResult, HindcastResult

_DASHES = ("dash", "dot", "dashdot", "longdash")


def members_figure(result: EnsembleResult, clock: Clock, look: Look, system: str = "metric") -> Chart:
    """Heights of all members as a band above; below, the share that holds each hour and each start.

    The band is from the lowest to the highest member, and from the 10th to the 90th in a hundred.
    """
    times, unit = result.ensemble.times, unit_of("length", system)
    blue = look.fill(WITHIN)
    solid = {"yref": "y2", "fillcolor": blue, "line": chart.stroke(blue, 2)}
    bars = [
        chart.shape((str(window.start), str(window.latest_start)), (1.04, 1.16), **solid)
        for window in result.windows
    ]
    beside = {"yref": "y2", "xshift": 3, "yanchor": "middle"}
    names = [
        chart.note(f"<b>{letter(place)}</b>", str(window.start), 1.1, "#FFFFFF", **beside)
        for place, window in enumerate(result.windows)
    ]
    needed = chart.across(result.needed, result.needed, yref="y2", line=chart.stroke(look.text, 1.4, "dot"))
    return chart.figure(
        look,
        [*_heights(result, look, unit.factor), *_shares(result, look)],
        height=470,
        margin={"l": 4, "r": 6, "t": 30, "b": 46},
        xaxis=time_axis(clock, times[0], times[-1], (times[0], times[-1]), anchor="y2"),
        yaxis={"domain": [0.56, 1], "rangemode": "tozero", "title": f"Hs of the members, {unit.symbol}"},
        yaxis2={
            "domain": [0, 0.44],
            "range": [-0.02, 1.2],
            **{name: SHARES[name] for name in ("tickvals", "ticktext")},
            "title": "share of members",
        },
        shapes=[*bars, needed],
        annotations=names,
    )


def _heights(result: EnsembleResult, look: Look, factor: float) -> list[Parts]:
    heights = np.array([member.batch.hs for member in result.ensemble.members]) / factor
    known = ~np.isnan(heights).all(axis=0)
    times = result.ensemble.times[known]
    levels = np.nanpercentile(heights[:, known], [0, 10, 50, 90, 100], axis=0).astype(np.float32)
    kept = kept_points(levels[2])
    low, tenth, middle, ninetieth, high = levels[:, kept]
    hidden = {"showlegend": False}
    series: tuple[tuple[str, FloatArray, str, float, Parts], ...] = (
        ("lowest", low, look.muted, 1.0, hidden),
        ("all members", high, look.muted, 1.0, {"fill": "tonexty", "fillcolor": f"{look.sea}1E"}),
        ("P10", tenth, look.sea, 1.2, hidden),
        ("P10 to P90", ninetieth, look.sea, 1.2, {"fill": "tonexty", "fillcolor": f"{look.sea}44"}),
        ("median", middle, look.sea, 2.2, {}),
    )
    return [
        chart.line(
            name,
            colour,
            width,
            y=values,
            hovertemplate=chart.reading("", decimals=2),
            **along(times[kept]),
            **more,
        )
        for name, values, colour, width, more in series
    ]


def _shares(result: EnsembleResult, look: Look) -> list[Parts]:
    """Share of the members that can start at each sample, and that hold each step there."""
    times, steps = result.ensemble.times, result.campaign.steps
    traces = [_share("can start here", look.text, 2.4, "", times, result.start_probability)]
    traces[0]["line"]["shape"] = "hv"
    for place, (step, share) in enumerate(zip(steps, result.hour_probability, strict=True)):
        number = f"{place + 1} " if len(steps) > 1 else ""
        name = f"hour holds: {number}{step.label}"
        traces.append(_share(name, look.heave, 1.6, _DASHES[place % 4], times, share))
    return traces


def _share(name: str, colour: str, width: float, dash: str, times: Times, share: FloatArray) -> Parts:
    kept = kept_points(share)
    drawn = {**along(times[kept]), "y": share[kept].astype(np.float32), "yaxis": "y2"}
    return chart.line(name, colour, width, dash, **chart.told_in_per_cent(drawn["y"]), **drawn)


def months_figure(result: HindcastResult, look: Look) -> Chart:
    """Availability and share of possible starts by calendar month, and the wait not exceeded in 50 and 90 %."""
    months, blue = result.months, look.fill(WITHIN)
    names = [month.name for month in months]
    wait = np.array([[month.waiting_p50, month.waiting_p90] for month in months]) / 3600.0
    wait[np.isinf(wait)] = np.nan
    stripes = {"shape": "/", "fgcolor": blue, "size": 6, "solidity": 0.3}
    open_bar = {"color": look.ground, "line": {"color": blue, "width": 1.5}, "pattern": stripes}
    bars = (
        ("inside the limits", [month.availability for month in months], {"color": blue}),
        ("can start", [month.starts for month in months], open_bar),
    )
    lines = (
        ("wait P50", look.text, "", {"symbol": "circle", "size": 8}),
        ("wait P90", look.heave, "dash", {"symbol": "diamond", "size": 9}),
    )
    hours = {"hovertemplate": chart.reading("h"), "yaxis": "y2"}
    traces = [chart.bar(name, names, y, marker) for name, y, marker in bars]
    traces += [
        chart.line(name, colour, 2, dash, x=names, y=y, marker=marker, **hours) | {"mode": "lines+markers"}
        for (name, colour, dash, marker), y in zip(lines, wait.T, strict=True)
    ]
    return chart.figure(
        look,
        traces,
        height=460,
        margin={"l": 4, "r": 6, "t": 34, "b": 8},
        barmode="group",
        xaxis={"anchor": "y2"},
        yaxis={"domain": [0.54, 1], **SHARES, "title": "share of time"},
        yaxis2={"domain": [0, 0.44], "rangemode": "tozero", "title": "wait, h"},
    )
