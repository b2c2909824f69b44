"""The moving drawing beside the traces of a run, one time axis and a cursor that goes with the drawing.

Play, pause and scrubbing happen in the browser: every frame holds new heights for the drawing and a new
place for the cursor, nothing else, so a minute is a few hundred kilobytes and no script runs again.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np

from heave.screens.figures.chart import UNREAD, Chart, Parts, figure, line, stroke
from heave.screens.figures.film_layout import film_layout
from heave.screens.figures.look import Look
from heave.screens.figures.moving_rig import Rig, Shape, body_shape, fill_shape, frame_at, vessel_shape
from heave.screens.figures.sides import PANELS, Side, hook_bases
from heave.units import unit_of

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
    count = min(max(round((end - start) * FRAMES_A_SECOND), 2), MOST_FRAMES)
    times = np.linspace(start, end, count).tolist()
    rigs, spans = rigs_of(sides, start, end), _spans(sides)
    traces = _traces(sides, start, end, look, system)
    ranges = [_range(traces, place, sides, system) for place in range(len(PANELS))]
    moving = []
    for side, shapes in zip(sides, _shapes(sides, rigs, times[0], spans), strict=True):
        colour = side.colour(look)
        strokes = (stroke(look.muted, 1.6), stroke(colour, 2), stroke(colour, 1))
        for part, drawn in zip(shapes, strokes, strict=True):
            points = {"x": _plain(part.x), "y": _plain(part.y), "connectgaps": False}
            moving.append({"type": "scatter", "mode": "lines", "line": drawn, **points, **UNREAD})
        moving[-1] |= {"fill": "toself", "fillcolor": colour}
    for place, ends in enumerate(ranges):
        cursor = {
            "type": "scatter",
            "mode": "lines",
            "line": stroke(look.text, 1.6),
            **_axes(place),
            **UNREAD,
        }
        moving.append(cursor | {"x": [start, start], "y": list(ends)})
    frames = []
    for time in times:
        data: list[Parts] = [
            {"y": _plain(part.y)} for shapes in _shapes(sides, rigs, time, spans) for part in shapes
        ]
        data += [{"x": [round(time, 2)] * 2}] * len(PANELS)
        frames.append({"name": f"{time:.2f}", "data": data, "traces": list(range(len(data)))})
    layout = film_layout(sides, rigs, times, ranges, look, system)
    return figure(look, [*moving, *traces], height=HEIGHT, frames=frames, **layout)


def _spans(sides: Sequence[Side]) -> list[Spans]:
    """Ends of each side's gauges: one reach in force for all, so that swings compare, hook loads about their means."""
    hooks = [side.result.hook_load for side in sides]
    bits = [side.result.bit_force for side in sides]
    swing = max(float(np.abs(hook - hook.mean()).max()) for hook in hooks)
    reach = max(2 * swing, *(float(bit.max()) for bit in bits), 1.0) * 1.05
    return [
        ((float(hook.mean()) - reach / 2, float(hook.mean()) + reach / 2), (0.0, reach)) for hook in hooks
    ]


def rigs_of(sides: Sequence[Side], start: float, end: float) -> list[Rig]:
    """One rig a side, all with one height so that they can be compared.

    Parameters
    ----------
    sides : the runs
    start, end : of the stretch that is shown [s]
    """
    travel = fall = 0.2
    for side in sides:
        rows = slice(*np.searchsorted(side.result.time, [start, end]))
        travel = max(travel, float(np.abs(side.result.heave[rows]).max()))
        fall = max(fall, -float(side.result.hook[rows].min()), -float(side.result.block[rows].min()))
    room = max([BARE_ROOM, *(side.variant.plan.compensator.stroke or 0.0 for side in sides)])
    found = []
    for place, side in enumerate(sides):
        unit, kind = side.variant.plan.compensator, side.variant.unit
        stroke_ = None if kind == "no compensator" or unit.is_drawworks else unit.stroke
        start_position = side.variant.plan.offsets.start_position
        crown = unit.mounting == "crown"
        found.append(Rig(float(place), stroke_, room, travel, kind == "locked", start_position, fall, crown))
    return found


def _shapes(
    sides: Sequence[Side], rigs: Sequence[Rig], time: float, spans: Sequence[Spans]
) -> list[list[Shape]]:
    """The three moving parts of every rig at a time, in the order in which a frame changes them."""
    found = []
    for side, rig, span in zip(sides, rigs, spans, strict=True):
        row = min(int(np.searchsorted(side.result.time, time)), len(side.result.time) - 1)
        now = frame_at(side.result, row, span)
        found.append([make(rig, now) for make in (vessel_shape, body_shape, fill_shape)])
    return found


def _plain(values: Sequence[float]) -> list[float | None]:
    """Short decimals, and None where the line breaks."""
    return [None if math.isnan(value) else round(value, 3) for value in values]


def _axes(place: int) -> Parts:
    """The axes of a panel."""
    return {"xaxis": "x2", "yaxis": f"y{place + 2}"}


def _traces(sides: Sequence[Side], start: float, end: float, look: Look, system: str) -> list[Parts]:
    """Four panels; heave is drawn once when both sides have the same."""
    found = []
    same = len(sides) == 2 and np.array_equal(sides[0].result.heave, sides[1].result.heave)
    for place, (name, _, kind) in enumerate(PANELS):
        unit, shared = unit_of(kind, system), name == "heave" and same
        bases = hook_bases(sides) if name == "hook_load" else (0.0,) * len(sides)
        for side, base in list(zip(sides, bases, strict=True))[: 1 if shared else None]:
            time, values = side.result.decimated(name, MOST_POINTS, start, end)
            width = 2 if side.letter == "A" else 1.8
            drawn = ("heave", look.text, 1.8) if shared else (side.name, side.colour(look), width, side.dash)
            trace = line(
                *drawn,
                # plain lists: an animation loses arrays that are sent packed
                x=[round(float(moment), 2) for moment in time],
                y=[float(f"{value:.5g}") for value in (values - base) / unit.factor],
                legendgroup=side.letter,
                showlegend=name == "bit_force",
                hovertemplate=f"%{{y:.4~g}} {unit.symbol}",
            )
            found.append(trace | _axes(place))
    return found


def _range(traces: Sequence[Parts], place: int, sides: Sequence[Side], system: str) -> tuple[float, float]:
    """Ends of a panel: all of its traces, and on the last one the predicted nominal bands, with a little air."""
    values = [v for trace in traces if trace["yaxis"] == f"y{place + 2}" for v in trace["y"]]
    if PANELS[place][0] == "bit_force":
        values += [edge for side in sides for edge in side.nominal(unit_of("force", system).factor)]
    low, high = min(values), max(values)
    air = max(0.06 * (high - low), 1e-3 * max(abs(high), 1.0))
    return low - air, high + air
