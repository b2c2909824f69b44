"""Weight on bit of whole runs: the run from end to end, and how its time is shared out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

import numpy as np

from heave.judging.results import BitBand
from heave.screens.figures.look import Chart, Look, figure, scatter
from heave.screens.figures.sides import Side, side_colour
from heave.simulation.reconcile import Reconciliation
from heave.simulation.statistics import RunStatistics
from heave.units import display_value, unit_of

__all__ = ["overview_figure", "record_figure", "seeds_figure", "share_figure"]

MOST_POINTS: Final = 1600
"""Most points of a whole run's trace."""


def share_figure(
    sides: Sequence[Side], reports: Sequence[RunStatistics], look: Look, system: str = "metric"
) -> Chart:
    """Histogram of weight on bit; A filled, B a dashed outline; the nominal band as lines from top to bottom."""
    unit = unit_of("force", system)
    traces: list[Any] = []
    shapes: list[dict[str, Any]] = []
    for side, report in zip(sides, reports, strict=True):
        colour, first = side_colour(side.letter, look), side.letter == "A"
        edges = np.repeat(report.edges / unit.factor, 2)
        heights = np.concatenate([[0.0], np.repeat(100 * report.shares, 2), [0.0]])
        traces.append(
            scatter(
                x=edges,
                y=heights,
                mode="lines",
                name=f"{side.letter} {side.variant.label}",
                line={"color": colour, "width": 2, "dash": "solid" if first else "6px,3px"},
                fill="tozeroy" if first else None,
                fillcolor=_faint(colour),
                hovertemplate="%{y:.2~f} % of the time",
            )
        )
        for level in _band_levels(side, system):
            shapes.append(_upright(level, colour, "dot" if first else "dashdot"))
    if any(report.lowest <= 0 for report in reports):
        shapes.append(_upright(0.0, look.text, "solid"))
    return figure(
        look,
        traces,
        height=300,
        margin={"l": 8, "r": 8, "t": 30, "b": 8},
        xaxis={"title": {"text": f"weight on bit ({unit.symbol})"}, "hoverformat": ".4~g"},
        yaxis={"title": {"text": "share of the time (%)"}, "rangemode": "tozero"},
        shapes=shapes,
    )


def overview_figure(
    sides: Sequence[Side], start: float, end: float, look: Look, system: str = "metric"
) -> Chart:
    """Weight on bit from end to end, the stretch of the film shaded."""
    unit = unit_of("force", system)
    traces = []
    for side in sides:
        time, force = side.result.decimated("bit_force", MOST_POINTS)
        dash = "solid" if side.letter == "A" else "6px,3px"
        traces.append(
            scatter(
                x=np.round(time / 60, 4),
                y=np.asarray(force / unit.factor, dtype=np.float32),
                mode="lines",
                name=f"{side.letter} {side.variant.label}",
                line={"color": side_colour(side.letter, look), "width": 1.2, "dash": dash},
                hovertemplate=f"%{{y:.4~g}} {unit.symbol}",
            )
        )
    shade = {
        "type": "rect",
        "x0": start / 60,
        "x1": end / 60,
        "yref": "paper",
        "y0": 0,
        "y1": 1,
        "fillcolor": look.track,
        "line": {"color": look.line, "width": 1},
        "layer": "below",
    }
    return figure(
        look,
        traces,
        height=300,
        margin={"l": 8, "r": 8, "t": 30, "b": 8},
        xaxis={"title": {"text": "time in the run (min)"}, "hoverformat": ".2f"},
        yaxis={"title": {"text": f"weight on bit ({unit.symbol})"}},
        shapes=[shade],
    )


def seeds_figure(swings: tuple[Any, Any], band: BitBand, look: Look, system: str = "metric") -> Chart:
    """Largest swing up and down of every seed, over the low, nominal and high amplitudes predicted."""
    unit = unit_of("force", system)
    numbers = np.arange(1, len(swings[0]) + 1)
    marks = (("up", swings[0], "triangle-up", look.sea), ("down", swings[1], "triangle-down", look.heave))
    traces = [
        scatter(
            x=numbers,
            y=np.asarray(values) / unit.factor,
            mode="markers",
            name=f"largest swing {word}",
            marker={"symbol": symbol, "size": 10, "color": colour},
            hovertemplate=f"%{{y:.3~g}} {unit.symbol}",
        )
        for word, values, symbol, colour in marks
    ]
    shapes, notes = [], []
    for word, level in (("low", band.low), ("nominal", band.nominal), ("high", band.high)):
        height = level / unit.factor
        dash = "solid" if word == "nominal" else "dot"
        line = {"color": look.muted, "width": 1.4, "dash": dash}
        shapes.append(
            {"type": "line", "xref": "paper", "x0": 0, "x1": 1, "y0": height, "y1": height, "line": line}
        )
        notes.append(
            {"xref": "paper", "x": 1, "y": height, "xanchor": "right", "yanchor": "bottom", "text": word}
            | {"showarrow": False, "font": {"size": 12, "color": look.muted}}
        )
    return figure(
        look,
        traces,
        height=300,
        margin={"l": 8, "r": 8, "t": 30, "b": 8},
        xaxis={"title": {"text": "seed"}, "dtick": max(1, len(numbers) // 12)},
        yaxis={"title": {"text": f"swing of weight on bit ({unit.symbol})"}, "rangemode": "tozero"},
        shapes=shapes,
        annotations=notes,
    )


def record_figure(found: Reconciliation, look: Look, system: str = "metric") -> Chart:
    """Measured spectrum, drawn in steps, over the predicted one."""
    unit = unit_of("spectral_density", system)
    seen = (found.omega > 0) & (found.omega < 2.2)
    near = found.predicted_omega < 2.2
    hover = "%{y:.3~g} " + unit.symbol
    traces = [
        scatter(
            x=found.omega[seen],
            y=found.spectrum[seen] / unit.factor,
            mode="lines",
            name="measured",
            line={"color": look.heave, "width": 2, "shape": "hvh"},
            hovertemplate=hover,
        ),
        scatter(
            x=found.predicted_omega[near],
            y=found.predicted_spectrum[near] / unit.factor,
            mode="lines",
            name="predicted, uncalibrated",
            line={"color": look.sea, "width": 2, "dash": "6px,3px"},
            hovertemplate=hover,
        ),
    ]
    periods = (25, 16, 12, 10, 8, 7, 6, 5, 4, 3)
    return figure(
        look,
        traces,
        height=320,
        margin={"l": 8, "r": 8, "t": 30, "b": 8},
        xaxis={
            "title": {"text": "period (s), even in frequency"},
            "tickvals": [2 * np.pi / period for period in periods],
            "ticktext": [str(period) for period in periods],
            "range": [0.15, 2.2],
        },
        yaxis={"title": {"text": f"heave spectrum ({unit.symbol})"}, "rangemode": "tozero"},
    )


def _band_levels(side: Side, system: str) -> list[float]:
    band = side.band
    if band is None:
        return []
    return [display_value(edge, "force", system) for edge in band.span(band.nominal)]


def _upright(level: float, colour: str, dash: str) -> dict[str, Any]:
    line = {"color": colour, "width": 1.4, "dash": dash}
    return {"type": "line", "x0": level, "x1": level, "yref": "paper", "y0": 0, "y1": 1, "line": line}


def _faint(colour: str) -> str:
    red, green, blue = (int(colour[place : place + 2], 16) for place in (1, 3, 5))
    return f"rgba({red},{green},{blue},0.18)"
