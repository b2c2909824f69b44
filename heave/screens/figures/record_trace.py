"""A heave record as its file has it and as it is used, with its faults where they are."""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from heave.files.record.reader import RecordFile
from heave.judging.checks import OVER
from heave.screens.figures.chart import Chart, faint, figure, line, note, points, reading, stroke, upright
from heave.screens.figures.look import Look
from heave.screens.figures.thin import kept_points
from heave.units import unit_of

STRETCHES: Final = ("stuck",)
"""Faults that last: their times are where each begins and ends."""

_MOST: Final = 700
"""Most pieces a trace is cut into."""


def trace_figure(file: RecordFile, look: Look, system: str = "metric") -> Chart:
    """The values of the file, thin, under the heave that is used; faults marked, what is given up shaded.

    An acceleration has a panel of its own over the heave.
    """
    apart = file.quantity == "acceleration"
    length = unit_of("length", system)
    unit = unit_of(file.quantity if apart else "length", system)
    record = file.record
    time = file.time[0] + record.given_up[0] + np.arange(len(record.heave)) * record.step
    raw = _trace("as in the file", look.muted, 1.2, file.time, file.raw / unit.factor, unit.symbol, "1px,2px")
    used = _trace("as used", look.heave, 1.8, time, record.heave / length.factor, length.symbol)
    shapes, notes = [], list[Any]()
    last = float(file.time[-1])
    for side, low, high in (("left", 0.0, record.given_up[0]), ("right", last - record.given_up[1], last)):
        if high - low > record.step:
            shapes.append(upright(low, high, fillcolor=look.track, line=stroke(look.line, 1), layer="below"))
            where = {"yref": "paper", "xanchor": side, "yanchor": "top"}
            notes.append(note("not used", low if side == "left" else high, 1, look.muted, 12, **where))
    marks = [time for fault in record.faults if fault.kind not in STRETCHES for time in fault.times]
    for fault in record.faults:
        if fault.kind in STRETCHES:
            shade = {"fillcolor": faint(look.fill(OVER), 0.25), "line": stroke(look.fill(OVER), 1)}
            shapes.append(upright(fault.times[0], fault.times[-1], **shade, layer="below"))
            where = {"yref": "paper", "xanchor": "left", "yanchor": "bottom"}
            notes.append(note(fault.kind, fault.times[0], 0, look.text, 12, **where))
    traces = [raw | ({"yaxis": "y2"} if apart else {}), used]
    if marks:
        traces.append(_marked(file, np.array(marks), unit.factor, look) | ({"yaxis": "y2"} if apart else {}))
    axes: dict[str, Any] = {"yaxis": {"title": f"heave, up ({length.symbol})", "zeroline": False}}
    if apart:
        axes["yaxis"]["domain"] = [0.0, 0.46]
        axes["yaxis2"] = {"title": f"acceleration, up ({unit.symbol})", "domain": [0.54, 1.0]}
    along = {"title": "time from the first value (s)", "hoverformat": ".1f", "anchor": "y"}
    drawn = {"xaxis": along, "shapes": shapes, "annotations": notes, **axes}
    return figure(look, traces, height=400 if apart else 320, **drawn)


def _trace(
    name: str, colour: str, width: float, time: Any, values: Any, symbol: str, dash: str = ""
) -> dict[str, Any]:
    kept = kept_points(values, _MOST)
    shown = {"x": np.round(time[kept], 2), "y": np.asarray(values[kept], dtype=np.float32)}
    return line(name, colour, width, dash, **shown, hovertemplate=reading(symbol))


def _marked(file: RecordFile, times: Any, factor: float, look: Look) -> dict[str, Any]:
    """The values of the file that were replaced, merged or held, as crosses."""
    places = np.clip(np.searchsorted(file.time, times - 1e-9), 0, len(file.time) - 1)
    drawn = {"x": np.round(file.time[places], 2), "y": file.raw[places] / factor}
    mark = {"symbol": "x-thin", "size": 11, "line": {"color": look.fill(OVER), "width": 2}}
    return points("spike or other fault", **drawn, marker=mark, hovertemplate=reading(""))
