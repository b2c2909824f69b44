"""The moving drawing beside the traces of a run, one time axis and a cursor that goes with the drawing.

Play, pause and scrubbing happen in the browser: every frame holds new heights for the drawing and a new
place for the cursor, nothing else, so a minute is a few hundred kilobytes and no script runs again.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, Final

import numpy as np

from heave.screens.figures.film_layout import film_layout
from heave.screens.figures.look import Chart, Look, figure
from heave.screens.figures.moving_rig import Frame, Rig, body_shape, fill_shape, frame_at, vessel_shape
from heave.screens.figures.sides import PANELS, Side, hook_bases, side_colour
from heave.simulation.statistics import stretch
from heave.units import display_value, unit_of

__all__ = ["FILM", "film_figure"]

HEIGHT: Final = 760
"""Height of the whole picture [px]."""

MOST_FRAMES: Final = 300
"""Most frames of a film."""

FRAMES_A_SECOND: Final = 6
"""Frames for each second simulated, while there are not more than `MOST_FRAMES`."""

MOST_POINTS: Final = 700
"""Most points of a trace."""

FILM: Final = {"displayModeBar": False, "scrollZoom": False, "doubleClick": False}
"""Chart settings of the film."""

Spans = tuple[tuple[float, float], tuple[float, float]]
"""Least and greatest of the gauges of hook load and of bit force [N]."""

BARE_ROOM: Final = 4.0
"""Stroke that room is kept for in the drawing where there are no cylinders at all [m]."""


def film_figure(
    sides: Sequence[Side], start: float, length: float, look: Look, system: str = "metric"
) -> Chart:
    """Drawing and traces of one or two runs over `length` seconds from `start`."""
    end = min(start + length, float(sides[0].result.time[-1]))
    times = _frame_times(start, end)
    rigs = _rigs(sides, start, end)
    spans = _spans(sides)
    first = [_instant(side, times[0], span) for side, span in zip(sides, spans, strict=True)]
    moving: list[Any] = []
    for side, rig, now in zip(sides, rigs, first, strict=True):
        moving += _drawn(side, rig, now, look)
    traces = _traces(sides, start, end, look, system)
    ranges = [_range(traces, place, sides, system) for place in range(len(PANELS))]
    data = [*moving, *(_cursor(place, start, ends, look) for place, ends in enumerate(ranges)), *traces]
    frames = [_frame(sides, rigs, time, spans) for time in times]
    layout = film_layout(sides, rigs, times, ranges, look, system)
    return figure(look, data, height=HEIGHT, frames=frames, **layout)


def _frame_times(start: float, end: float) -> list[float]:
    count = min(max(round((end - start) * FRAMES_A_SECOND), 2), MOST_FRAMES)
    return [float(time) for time in np.linspace(start, end, count)]


def _spans(sides: Sequence[Side]) -> list[Spans]:
    """Ends of each side's gauges: one reach in force for all, so that swings compare, hook loads about their means."""
    hooks = [side.result.hook_load for side in sides]
    bits = [side.result.bit_force for side in sides]
    swing = max(float(np.abs(hook - hook.mean()).max()) for hook in hooks)
    reach = max(2 * swing, *(float(bit.max()) for bit in bits), 1.0) * 1.05
    return [
        ((float(hook.mean()) - reach / 2, float(hook.mean()) + reach / 2), (0.0, reach)) for hook in hooks
    ]


def _rigs(sides: Sequence[Side], start: float, end: float) -> list[Rig]:
    """One rig a side, all with one height so that they can be compared."""
    travel = fall = 0.2
    for side in sides:
        rows = slice(*np.searchsorted(side.result.time, [start, end]))
        travel = max(travel, float(np.abs(side.result.heave[rows]).max()))
        fall = max(fall, -float(side.result.hook[rows].min()), -float(side.result.block[rows].min()))
    room = max([BARE_ROOM, *(side.variant.plan.compensator.stroke or 0.0 for side in sides)])
    found = []
    for place, side in enumerate(sides):
        unit = side.variant.plan.compensator
        shown = side.variant.unit != "no compensator" and not unit.is_drawworks
        found.append(
            Rig(
                centre=float(place),
                stroke=unit.stroke if shown else None,
                room=room,
                travel=travel,
                locked=side.variant.unit == "locked",
                start=side.variant.plan.offsets.start_position,
                fall=fall,
            )
        )
    return found


def _instant(side: Side, time: float, spans: Spans) -> Frame:
    row = min(int(np.searchsorted(side.result.time, time)), len(side.result.time) - 1)
    return frame_at(side.result, row, spans)


def _drawn(side: Side, rig: Rig, now: Frame, look: Look) -> list[dict[str, Any]]:
    """The three moving traces of a rig, in the order in which a frame changes them."""
    colour = side_colour(side.letter, look)
    common = {"type": "scatter", "mode": "lines", "hoverinfo": "skip", "showlegend": False}
    vessel, body, fill = vessel_shape(rig, now), body_shape(rig, now), fill_shape(rig, now)
    return [
        {**common, **_points(vessel), "line": {"color": look.muted, "width": 1.6}},
        {**common, **_points(body), "line": {"color": colour, "width": 2}},
        {
            **common,
            **_points(fill),
            "line": {"color": colour, "width": 1},
            "fill": "toself",
            "fillcolor": colour,
        },
    ]


def _points(shape: Any) -> dict[str, Any]:
    return {"x": _plain(shape.x), "y": _plain(shape.y), "connectgaps": False}


def _plain(values: Sequence[float]) -> list[float | None]:
    """Short decimals, and None where the line breaks."""
    return [None if math.isnan(value) else round(value, 3) for value in values]


def _frame(
    sides: Sequence[Side],
    rigs: Sequence[Rig],
    time: float,
    spans: Sequence[Spans],
) -> dict[str, Any]:
    data: list[dict[str, Any]] = []
    for side, rig, span in zip(sides, rigs, spans, strict=True):
        now = _instant(side, time, span)
        data += [{"y": _plain(make(rig, now).y)} for make in (vessel_shape, body_shape, fill_shape)]
    data += [{"x": [round(time, 2)] * 2}] * len(PANELS)
    return {"name": f"{time:.2f}", "data": data, "traces": list(range(len(data)))}


def _traces(sides: Sequence[Side], start: float, end: float, look: Look, system: str) -> list[dict[str, Any]]:
    """Four panels; heave is drawn once when both sides have the same."""
    found = []
    same = len(sides) == 2 and np.array_equal(sides[0].result.heave, sides[1].result.heave)
    for place, (name, _, kind) in enumerate(PANELS):
        unit = unit_of(kind, system)
        bases = hook_bases(sides) if name == "hook_load" else (0.0,) * len(sides)
        for side, base in list(zip(sides, bases, strict=True))[: 1 if name == "heave" and same else None]:
            time, values = stretch(side.result, name, start, end, MOST_POINTS)
            shared = name == "heave" and same
            label = "heave" if shared else f"{side.letter} {side.variant.label}"
            found.append(
                {
                    "type": "scatter",
                    "mode": "lines",
                    # plain lists: an animation loses arrays that are sent packed
                    "x": [round(float(moment), 2) for moment in time],
                    "y": [float(f"{value:.5g}") for value in (values - base) / unit.factor],
                    "xaxis": "x2",
                    "yaxis": f"y{place + 2}",
                    "name": label,
                    "legendgroup": side.letter,
                    "showlegend": name == "bit_force",
                    "line": _line(side.letter, look) if not shared else {"color": look.text, "width": 1.8},
                    "hovertemplate": f"%{{y:.4~g}} {unit.symbol}",
                }
            )
    return found


def _range(
    traces: Sequence[dict[str, Any]], place: int, sides: Sequence[Side], system: str
) -> tuple[float, float]:
    """Ends of a panel: all of its traces, and on the last one the predicted nominal bands, with a little air."""
    values = [v for trace in traces if trace["yaxis"] == f"y{place + 2}" for v in trace["y"]]
    if PANELS[place][0] == "bit_force":
        bands = [side.band for side in sides if side.band is not None]
        values += [display_value(edge, "force", system) for band in bands for edge in band.span(band.nominal)]
    low, high = min(values), max(values)
    air = max(0.06 * (high - low), 1e-3 * max(abs(high), 1.0))
    return low - air, high + air


def _cursor(place: int, time: float, ends: tuple[float, float], look: Look) -> dict[str, Any]:
    return {
        "type": "scatter",
        "x": [time, time],
        "y": list(ends),
        "xaxis": "x2",
        "yaxis": f"y{place + 2}",
        "mode": "lines",
        "line": {"color": look.text, "width": 1.6},
        "hoverinfo": "skip",
        "showlegend": False,
    }


def _line(letter: str, look: Look) -> dict[str, Any]:
    return {
        "color": side_colour(letter, look),
        "width": 2 if letter == "A" else 1.8,
        "dash": "solid" if letter == "A" else "6px,3px",
    }
