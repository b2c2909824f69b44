"""Charts of a climate: workable share by month with the spread of years, and how long spells last."""

from __future__ import annotations

import numpy as np

from heave.judging.checks import NOT_ASSESSED, OVER, WITHIN
from heave.screens.figures.chart import SHARES, Chart, bar, figure, line, points, told_in_per_cent
from heave.screens.figures.look import Look
from heave.studies.climate import StepClimate
from heave.studies.persistence import Persistence
from heave.weather.hindcast import MONTH_NAMES

MOST_POINTS = 240
"""Most points of a curve of spells."""


def climate_months_figure(step: StepClimate, look: Look) -> Chart:
    """Workable share of each month, what is not assessed on top, and P10 to P90 of the years where there are any."""
    here = [place for place, one in enumerate(step.months) if one is not None]
    names = [MONTH_NAMES[place] for place in here]
    shares = [one for one in step.months if one is not None]
    grey = look.fill(NOT_ASSESSED)
    dotted = {"line": {"color": grey, "width": 1.4}, "pattern": {"shape": ".", "fgcolor": grey}}
    bars = [
        bar("workable", names, [one.workable for one in shares], {"color": look.fill(WITHIN)}),
        bar("not assessed", names, [one.unknown for one in shares], {"color": look.ground, **dotted}),
    ]
    years = [step.month_years[place] for place in here]
    if any(years):
        nan = float("nan")
        low, middle, high = (
            np.array([getattr(one, name) if one else nan for one in years]) for name in ("p10", "p50", "p90")
        )
        mark = {"symbol": "line-ew", "size": 16, "line": {"color": look.text, "width": 2.4}}
        spread = {"type": "data", "symmetric": False, "array": high - middle, "arrayminus": middle - low}
        whisker = {**spread, "color": look.text, "thickness": 1.6, "width": 5}
        drawn = {"x": names, "y": middle, "marker": mark, "error_y": whisker, **told_in_per_cent(middle)}
        bars.append(points("years: P50, and P10 to P90", **drawn))
    axis = {**SHARES, "title": "share of the month"}
    return figure(look, bars, height=320, barmode="stack", yaxis=axis, xaxis={})


def spells_figure(found: Persistence, look: Look) -> Chart:
    """Share of the spells that last at least so long, workable and over a limit."""
    longest = max(float(np.nanmax([found.workable.p90, found.over.p90, 3600.0])) * 2.5, 6 * 3600.0)
    hours = np.linspace(0.0, longest, MOST_POINTS)
    kinds = (
        (found.workable, "workable", look.fill(WITHIN), ""),
        (found.over, "over a limit", look.fill(OVER), "dash"),
    )
    traces = []
    for spells, name, colour, dash in kinds:
        if spells.count:
            share = spells.longer_than(hours)
            drawn = {"x": np.round(hours / 3600, 3), "y": share, **told_in_per_cent(share)}
            traces.append(line(name, colour, 2.2, dash, **drawn))
    along = {"title": "at least so long (h)", "hoverformat": ".3~g", "linecolor": look.line}
    return figure(look, traces, height=300, xaxis=along, yaxis={"title": "share of the spells", **SHARES})
