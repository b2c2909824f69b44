"""The moving drawing beside the traces of a run, one time axis and a cursor that goes with the drawing.

Play, pause and scrubbing happen in the browser: every frame holds new heights for the drawing and a new
place for the cursor, nothing else, so a minute is a few hundred kilobytes and no script runs again.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
import plotly.graph_objects as go

from heave.planning.results import BitBand
from heave.planning.run_report import stretch
from heave.planning.setups import Setup
from heave.planning.simulate import SimulationResult
from heave.screens.figures.look import Look, figure
from heave.screens.figures.moving_rig import (
    Frame,
    Rig,
    body_shape,
    fill_shape,
    frame_at,
    gauge_labels,
    vessel_shape,
)
from heave.units import display_value, unit_of

__all__ = ["FILM", "Side", "film_figure", "side_colour"]

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

PANELS: Final = (
    ("heave", "Heave of the hoist", "length"),
    ("stroke", "Stroke from mid-stroke", "length"),
    ("hook_load", "Hook load, the load cell", "force"),
    ("bit_force", "Weight on bit", "force"),
)
"""Traces from top to bottom: name in a result, title, kind of quantity."""

BARE_ROOM: Final = 4.0
"""Stroke that room is kept for in the drawing where there are no cylinders at all [m]."""

_DRAWING: Final = 0.3
_FOOT: Final = 0.18
_SHARES: Final = (0.17, 0.2, 0.24, 0.39)
_GAP: Final = 0.05


@dataclass(frozen=True)
class Side:
    """One set-up with its run and the band predicted for it; `letter` is A or B."""

    letter: str
    setup: Setup
    result: SimulationResult
    band: BitBand | None


def side_colour(letter: str, look: Look) -> str:
    """Colour of side A or B; B's lines are dashed as well."""
    return look.sea if letter == "A" else look.heave


def film_figure(
    sides: Sequence[Side], start: float, length: float, look: Look, system: str = "metric"
) -> go.Figure:
    """Drawing and traces of one or two runs over `length` seconds from `start`."""
    end = min(start + length, float(sides[0].result.time[-1]))
    times = _frame_times(start, end)
    rigs = _rigs(sides, start, end)
    spans = _spans(sides)
    first = [_instant(side, times[0], spans) for side in sides]
    moving: list[Any] = []
    for side, rig, now in zip(sides, rigs, first, strict=True):
        moving += _drawn(side, rig, now, look)
    traces = _traces(sides, start, end, look, system)
    ranges = [_range(traces, place, sides, system) for place in range(len(PANELS))]
    data = [*moving, *(_cursor(place, start, ends, look) for place, ends in enumerate(ranges)), *traces]
    frames = [_frame(sides, rigs, time, spans) for time in times]
    made = figure(look, [], height=HEIGHT, **_layout(sides, rigs, times, ranges, look, system))
    # Hundreds of frames of plain lists: checking each against the schema would take a second.
    return go.Figure({"data": data, "layout": made.layout, "frames": frames}, _validate=False)


def _frame_times(start: float, end: float) -> list[float]:
    count = min(max(round((end - start) * FRAMES_A_SECOND), 2), MOST_FRAMES)
    return [float(time) for time in np.linspace(start, end, count)]


def _spans(sides: Sequence[Side]) -> tuple[tuple[float, float], tuple[float, float]]:
    """Ends of the gauges: the same reach in force for both, so that their swings compare."""
    hooks = [side.result.hook_load for side in sides]
    bits = [side.result.bit_force for side in sides]
    hook = min(float(v.min()) for v in hooks), max(float(v.max()) for v in hooks)
    bit = min(0.0, *(float(v.min()) for v in bits)), max(float(v.max()) for v in bits)
    reach = max(hook[1] - hook[0], bit[1] - bit[0], 1.0) * 1.05
    middle = (hook[0] + hook[1]) / 2
    return (middle - reach / 2, middle + reach / 2), (bit[0], bit[0] + reach)


def _rigs(sides: Sequence[Side], start: float, end: float) -> list[Rig]:
    """One rig a side, all with one height so that they can be compared."""
    travel = fall = 0.2
    for side in sides:
        rows = slice(*np.searchsorted(side.result.time, [start, end]))
        travel = max(travel, float(np.abs(side.result.heave[rows]).max()))
        fall = max(fall, -float(side.result.hook[rows].min()), -float(side.result.block[rows].min()))
    room = max([BARE_ROOM, *(side.setup.plan.compensator.stroke or 0.0 for side in sides)])
    found = []
    for place, side in enumerate(sides):
        unit = side.setup.plan.compensator
        shown = side.setup.unit != "no compensator" and not unit.is_drawworks
        found.append(
            Rig(
                centre=float(place),
                stroke=unit.stroke if shown else None,
                room=room,
                travel=travel,
                locked=side.setup.unit == "locked",
                start=side.setup.plan.offsets.start_position,
                fall=fall,
            )
        )
    return found


def _instant(side: Side, time: float, spans: tuple[tuple[float, float], tuple[float, float]]) -> Frame:
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
    spans: tuple[tuple[float, float], tuple[float, float]],
) -> dict[str, Any]:
    data: list[dict[str, Any]] = []
    for side, rig in zip(sides, rigs, strict=True):
        now = _instant(side, time, spans)
        data += [{"y": _plain(make(rig, now).y)} for make in (vessel_shape, body_shape, fill_shape)]
    data += [{"x": [round(time, 2)] * 2}] * len(PANELS)
    return {"name": f"{time:.2f}", "data": data, "traces": list(range(len(data)))}


def _traces(sides: Sequence[Side], start: float, end: float, look: Look, system: str) -> list[dict[str, Any]]:
    """Four panels; heave is drawn once when both sides have the same."""
    found = []
    same = len(sides) == 2 and np.array_equal(sides[0].result.heave, sides[1].result.heave)
    for place, (name, _, kind) in enumerate(PANELS):
        unit = unit_of(kind, system)
        for side in sides[: 1 if name == "heave" and same else None]:
            time, values = stretch(side.result, name, start, end, MOST_POINTS)
            shared = name == "heave" and same
            label = "heave" if shared else f"{side.letter} {side.setup.label}"
            found.append(
                {
                    "type": "scatter",
                    "mode": "lines",
                    # plain lists: an animation loses arrays that are sent packed
                    "x": [round(float(moment), 2) for moment in time],
                    "y": [float(f"{value:.5g}") for value in values / unit.factor],
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
        bands = [(side.band.wob, side.band.nominal) for side in sides if side.band is not None]
        values += [display_value(wob + s * swing, "force", system) for wob, swing in bands for s in (-1, 1)]
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


def _layout(
    sides: Sequence[Side],
    rigs: Sequence[Rig],
    times: Sequence[float],
    ranges: Sequence[tuple[float, float]],
    look: Look,
    system: str,
) -> dict[str, Any]:
    panels = _panel_domains()
    high = max(rig.crown + rig.travel for rig in rigs) + 2.0
    low = min(rig.rock for rig in rigs) - 2.2
    layout: dict[str, Any] = {
        "margin": {"l": 4, "r": 4, "t": 42, "b": 4},
        "xaxis": {
            "domain": [0.0, _DRAWING - 0.03],
            "range": [-0.52, len(sides) - 0.48],
            "visible": False,
            "anchor": "y",
        },
        "yaxis": {"domain": [_FOOT, 1.0], "range": [low, high], "visible": False, "anchor": "x"},
        "xaxis2": {
            "domain": [_DRAWING, 1.0],
            "range": [times[0], times[-1]],
            "anchor": "y5",
            "title": {"text": "time in the run (s)"},
            "hoverformat": ".1f",
        },
        "annotations": _words(sides, rigs, panels, look, system),
        "shapes": [
            *_ground(rigs, low, look),
            *_band_shapes(sides, look, system),
            *_event_shapes(sides, look),
        ],
        "updatemenus": [_buttons(times, look)],
        "sliders": [_slider(times, look)],
        "legend": {
            "orientation": "h",
            "x": _DRAWING,
            "y": 1.0,
            "yanchor": "bottom",
            "font": {"size": 12.5},
            "itemclick": False,
            "itemdoubleclick": False,
        },
        "hovermode": "x unified",
        "hoversubplots": "axis",
    }
    for place, domain in enumerate(panels):
        layout[f"yaxis{place + 2}"] = {
            "domain": domain,
            "anchor": "x2",
            "range": ranges[place],
            "nticks": 5 if place < 3 else 7,
            "tickfont": {"size": 11.5},
        }
    return layout


def _panel_domains() -> list[list[float]]:
    """Top to bottom, with room for a title over each."""
    free = 1.0 - _FOOT - _GAP * len(_SHARES)
    top, found = 1.0 - _GAP, []
    for share in _SHARES:
        found.append([round(top - share * free, 4), round(top, 4)])
        top -= share * free + _GAP
    return found


def _words(
    sides: Sequence[Side], rigs: Sequence[Rig], panels: list[list[float]], look: Look, system: str
) -> list[dict[str, Any]]:
    plain = {"showarrow": False, "font": {"size": 12, "color": look.muted}}
    notes = []
    for (_, title, kind), domain in zip(PANELS, panels, strict=True):
        words = f"{title} ({unit_of(kind, system).symbol})"
        font = {"size": 12.5, "color": look.text}
        notes.append(
            {**plain, "xref": "paper", "yref": "paper", "x": _DRAWING, "y": domain[1], "text": words}
            | {"xanchor": "left", "yanchor": "bottom", "font": font}
        )
    for side, rig in zip(sides, rigs, strict=True):
        letter = f"<b>{side.letter}</b>" if len(sides) > 1 else ""
        font = {"size": 15, "color": side_colour(side.letter, look)}
        top = rig.crown + rig.travel + 0.3
        notes.append({**plain, "x": rig.centre, "y": top, "yanchor": "bottom", "text": letter, "font": font})
        for place, level, word in gauge_labels(rig):
            size = {"size": 11, "color": look.muted}
            notes.append({**plain, "x": place, "y": level, "yanchor": "bottom", "text": word, "font": size})
    return notes


def _ground(rigs: Sequence[Rig], low: float, look: Look) -> list[dict[str, Any]]:
    """Still water, a dotted line at the floor's height at rest, and the rock."""
    found: list[dict[str, Any]] = []
    for rig in rigs:
        left, right = rig.centre - 0.48, rig.centre + 0.48
        found.append(
            {
                "type": "line",
                "x0": left,
                "x1": right,
                "y0": rig.floor,
                "y1": rig.floor,
                "line": {"color": look.line, "width": 1, "dash": "dot"},
            }
        )
        found.append(
            {
                "type": "rect",
                "x0": left,
                "x1": right,
                "y0": low,
                "y1": rig.rock,
                "fillcolor": look.track,
                "line": {"color": look.muted, "width": 1.5},
            }
        )
    return found


def _band_shapes(sides: Sequence[Side], look: Look, system: str) -> list[dict[str, Any]]:
    """Predicted band on the weight-on-bit panel: nominal filled, low and high as lines; B in dashes, unfilled."""
    found: list[dict[str, Any]] = []
    for side in sides:
        band = side.band
        if band is None:
            continue
        colour = side_colour(side.letter, look)
        dash = "dot" if side.letter == "A" else "dashdot"
        if side.letter == "A":
            span = [display_value(band.wob + s * band.nominal, "force", system) for s in (-1, 1)]
            found.append(
                _across(span[0], span[1], {"fillcolor": colour, "opacity": 0.13, "line": {"width": 0}})
            )
        swings = {band.low, band.high} if side.letter == "A" else {band.nominal}
        for swing in sorted(swings):
            for sign in (-1, 1):
                level = display_value(band.wob + sign * swing, "force", system)
                found.append(_across(level, level, {"line": {"color": colour, "width": 1.3, "dash": dash}}))
    zero = {"line": {"color": look.text, "width": 1.2}}
    if any(float(side.result.bit_force.min()) <= 0 for side in sides):
        found.append(_across(0.0, 0.0, zero))
    return found


def _across(low: float, high: float, style: dict[str, Any]) -> dict[str, Any]:
    return {
        "type": "rect" if low != high else "line",
        "xref": "x2 domain",
        "x0": 0,
        "x1": 1,
        "yref": "y5",
        "y0": low,
        "y1": high,
        "layer": "below",
        **style,
    }


def _event_shapes(sides: Sequence[Side], look: Look) -> list[dict[str, Any]]:
    """A dotted line through all panels at everything that happens, but for the plan's own feeds."""
    times = {
        event.time for side in sides for event in side.result.events if event.kind != "driller feeds off"
    }
    return [
        {
            "type": "line",
            "xref": "x2",
            "yref": "paper",
            "x0": time,
            "x1": time,
            "y0": _FOOT,
            "y1": 1.0 - _GAP,
            "line": {"color": look.muted, "width": 1.3, "dash": "dot"},
        }
        for time in sorted(times)
    ]


def _buttons(times: Sequence[float], look: Look) -> dict[str, Any]:
    """Play as it happens, play four times as fast, pause; in colours that stay readable under the pointer."""
    pace = 1000 * (times[-1] - times[0]) / (len(times) - 1)
    ink = "#16202C"

    def play(label: str, frame: float) -> dict[str, Any]:
        go_on = {
            "mode": "immediate",
            "fromcurrent": True,
            "frame": {"duration": round(frame), "redraw": False},
            "transition": {"duration": 0},
        }
        return {"label": label, "method": "animate", "args": [None, go_on]}

    stop = {"mode": "immediate", "frame": {"duration": 0, "redraw": False}, "transition": {"duration": 0}}
    return {
        "type": "buttons",
        "direction": "right",
        "x": 0.0,
        "y": 0.0,
        "xanchor": "left",
        "yanchor": "bottom",
        "pad": {"t": 0, "r": 0, "b": 0, "l": 0},
        "showactive": False,
        "bgcolor": "#E6EAF0" if look.name == "light" else "#A9B5C3",
        "bordercolor": look.line,
        "font": {"size": 13, "color": ink},
        "buttons": [
            play("▶ Play", pace),
            play("▶▶ ×4", pace / 4),
            {"label": "❚❚ Pause", "method": "animate", "args": [[None], stop]},
        ],
    }


def _slider(times: Sequence[float], look: Look) -> dict[str, Any]:
    """Scrub through the stretch."""
    still = {"mode": "immediate", "frame": {"duration": 0, "redraw": False}, "transition": {"duration": 0}}
    return {
        "active": 0,
        "x": 0.0,
        "len": 1.0,
        "y": 0.115,
        "yanchor": "top",
        "pad": {"t": 0, "b": 0, "l": 4, "r": 4},
        "currentvalue": {
            "prefix": "at ",
            "suffix": " s",
            "xanchor": "right",
            "font": {"size": 13, "color": look.text},
        },
        "transition": {"duration": 0},
        "ticklen": 0,
        "tickwidth": 0,
        "minorticklen": 0,
        "bgcolor": look.track,
        "bordercolor": look.line,
        "activebgcolor": look.sea,
        "font": {"size": 1, "color": "rgba(0,0,0,0)"},
        "steps": [
            {"label": f"{time:.1f}", "method": "animate", "args": [[f"{time:.2f}"], still]} for time in times
        ],
    }
