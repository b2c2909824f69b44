"""Weight on bit of whole runs: the run from end to end, and how its time is shared out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

import numpy as np

from heave.judging.results import BitBand
from heave.screens.figures import chart
from heave.screens.figures.chart import Chart
from heave.screens.figures.look import Look
from heave.screens.figures.sides import Side
from heave.simulation.reconcile import Reconciliation
from heave.simulation.statistics import RunStatistics
from heave.units import unit_of

MOST_POINTS: Final = 1600
"""Most points of a whole run's trace."""


def share_figure(
    sides: Sequence[Side], reports: Sequence[RunStatistics], look: Look, system: str = "metric"
) -> Chart:
    """Histogram of weight on bit; A filled, B a dashed outline.

    The band that is checked stands as strong lines from top to bottom, the nominal one as fine dots.
    """
    unit = unit_of("force", system)
    traces, shapes = [], []
    for side, report in zip(sides, reports, strict=True):
        colour, told = side.colour(look), chart.reading("%", decimals=2) + " of the time"
        steps = np.concatenate([[0.0], np.repeat(100 * report.shares, 2), [0.0]])
        drawn = {"x": np.repeat(report.edges / unit.factor, 2), "y": steps}
        filled = {"fill": "tozeroy" if side.letter == "A" else None, "fillcolor": chart.faint(colour, 0.18)}
        traces.append(chart.line(side.name, colour, 2, side.dash, **drawn, **filled, hovertemplate=told))
        for edges, width, dash in ((side.nominal, 1.4, side.dots), (side.checked, 2.4, side.dash)):
            shapes += [
                chart.upright(edge, edge, line=chart.stroke(colour, width, dash))
                for edge in edges(unit.factor)
            ]
    if any(report.lowest <= 0 for report in reports):
        shapes.append(chart.upright(0.0, 0.0, line=chart.stroke(look.text, 1.4)))
    along = {"title": f"weight on bit ({unit.symbol})", "hoverformat": ".4~g"}
    up = {"title": "share of the time (%)", "rangemode": "tozero"}
    return chart.figure(look, traces, xaxis=along, yaxis=up, shapes=shapes)


def overview_figure(sides: Sequence[Side], look: Look, system: str = "metric") -> Chart:
    """Weight on bit from end to end."""
    unit = unit_of("force", system)
    traces = []
    for side in sides:
        time, force = side.result.decimated("bit_force", MOST_POINTS)
        run = {"x": np.round(time / 60, 4), "y": np.asarray(force / unit.factor, dtype=np.float32)}
        hover = chart.reading(unit.symbol)
        traces.append(chart.line(side.name, side.colour(look), 1.2, side.dash, **run, hovertemplate=hover))
    along = {"title": "time in the run (min)", "hoverformat": ".2f"}
    return chart.figure(look, traces, xaxis=along, yaxis={"title": f"weight on bit ({unit.symbol})"})


def seeds_figure(swings: tuple[Any, Any], band: BitBand, look: Look, system: str = "metric") -> Chart:
    """Largest swing up and down of every seed, over the low, nominal and high amplitudes predicted."""
    unit = unit_of("force", system)
    numbers, hover, traces = np.arange(1, len(swings[0]) + 1), chart.reading(unit.symbol), []
    for word, values, colour in zip(("up", "down"), swings, (look.sea, look.heave), strict=True):
        mark = {"symbol": f"triangle-{word}", "size": 10, "color": colour}
        drawn = {"x": numbers, "y": np.asarray(values) / unit.factor, "marker": mark}
        traces.append(chart.points(f"largest swing {word}", **drawn, hovertemplate=hover))
    shapes, notes = [], []
    for word, level, dash in (
        ("low", band.low, "dot"),
        ("nominal", band.nominal, "dash"),
        ("high, what is checked", band.high, ""),
    ):
        height, strong = level / unit.factor, not dash
        shapes.append(
            chart.across(height, height, line=chart.stroke(look.text, 2.4 if strong else 1.4, dash))
        )
        notes.append(chart.note(word, 1, height, look.text, 12, xref="paper", xanchor="right"))
    along = {"title": "seed", "dtick": max(1, len(numbers) // 12)}
    up = {"title": f"swing of weight on bit ({unit.symbol})", "rangemode": "tozero"}
    return chart.figure(look, traces, xaxis=along, yaxis=up, shapes=shapes, annotations=notes)


def record_figure(found: Reconciliation, look: Look, system: str = "metric") -> Chart:
    """Measured spectrum, drawn in steps, over the predicted one."""
    unit = unit_of("spectral_density", system)
    seen = (found.omega > 0) & (found.omega < 2.2)
    near = found.predicted_omega < 2.2
    measured = chart.line("measured", look.heave, x=found.omega[seen], y=found.spectrum[seen] / unit.factor)
    measured["line"]["shape"] = "hvh"
    drawn = {"x": found.predicted_omega[near], "y": found.predicted_spectrum[near] / unit.factor}
    predicted = chart.line("predicted, uncalibrated", look.sea, 2, "6px,3px", **drawn)
    periods = (25, 16, 12, 10, 8, 7, 6, 5, 4, 3)
    traces = [trace | {"hovertemplate": chart.reading(unit.symbol)} for trace in (measured, predicted)]
    places, marks = [2 * np.pi / period for period in periods], [str(period) for period in periods]
    along = {"title": "period (s), even in frequency", "tickvals": places, "ticktext": marks}
    up = {"title": f"heave spectrum ({unit.symbol})", "rangemode": "tozero"}
    return chart.figure(look, traces, height=320, xaxis={**along, "range": [0.15, 2.2]}, yaxis=up)
