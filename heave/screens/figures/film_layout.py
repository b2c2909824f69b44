"""Layout of the film: panels on one time axis, predicted bands, ground, labels, and the player's buttons."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from heave.screens.figures.chart import Parts, note, shape, stroke
from heave.screens.figures.look import Look
from heave.screens.figures.moving_rig import Rig, gauge_labels
from heave.screens.figures.sides import PANELS, Side, hook_bases
from heave.units import significant, unit_of

_DRAWING: Final = 0.3
_FOOT: Final = 0.18
_SHARES: Final = (0.17, 0.2, 0.24, 0.39)
_GAP: Final = 0.05

_STILL: Final = {
    "mode": "immediate",
    "frame": {"duration": 0, "redraw": False},
    "transition": {"duration": 0},
}
"""Show one frame, or stop."""


def film_layout(
    sides: Sequence[Side],
    rigs: Sequence[Rig],
    times: Sequence[float],
    ranges: Sequence[tuple[float, float]],
    look: Look,
    system: str,
) -> Parts:
    """All of the film but its traces and frames.

    Parameters
    ----------
    sides, rigs : the runs, and the drawing of each
    times : of the frames [s]
    ranges : ends of every panel in the units on the screen
    look : colours
    system : unit system
    """
    panels = _panel_domains()
    high = max(rig.top + rig.travel for rig in rigs) + 2.0
    low = min(rig.rock for rig in rigs) - 2.2
    drawn, across = [0.0, _DRAWING - 0.02], [-0.52, len(sides) - 0.48]
    time = {"anchor": "y5", "title": "time in the run (s)", "hoverformat": ".1f"}
    still = {"itemclick": False, "itemdoubleclick": False}
    layout: Parts = {
        "margin": {"l": 4, "r": 4, "t": 42, "b": 4},
        "xaxis": {"domain": drawn, "range": across, "visible": False, "anchor": "y"},
        "yaxis": {"domain": [_FOOT, 1.0], "range": [low, high], "visible": False, "anchor": "x"},
        "xaxis2": {"domain": [_DRAWING, 1.0], "range": [times[0], times[-1]], **time},
        "annotations": [*_titles(sides, panels, look, system), *_labels(sides, rigs, look)],
        "shapes": [*_ground(rigs, low, look), *_bands(sides, look, system), *_events(sides, look)],
        "updatemenus": [_buttons(times, look)],
        "sliders": [_slider(times, look)],
        "legend": {"x": _DRAWING, "y": 1.0, "font": {"size": 12.5}, "traceorder": "grouped", **still},
        "hoversubplots": "axis",
    }
    for place, (domain, ends) in enumerate(zip(panels, ranges, strict=True)):
        axis = {"domain": domain, "anchor": "x2", "range": ends, "nticks": 5 if place < 3 else 7}
        # on the right, where the labels make their own room beside any width of drawing
        layout[f"yaxis{place + 2}"] = {**axis, "side": "right", "tickfont": {"size": 11.5}}
    return layout


def _panel_domains() -> list[list[float]]:
    """Top to bottom, with room for a title over each."""
    free = 1.0 - _FOOT - _GAP * len(_SHARES)
    top, found = 1.0 - _GAP, []
    for share in _SHARES:
        found.append([round(top - share * free, 4), round(top, 4)])
        top -= share * free + _GAP
    return found


def _titles(sides: Sequence[Side], panels: list[list[float]], look: Look, system: str) -> list[Parts]:
    """What each panel shows, over it."""
    notes, bases = [], hook_bases(sides)
    for (name, title, kind), (_, top) in zip(PANELS, panels, strict=True):
        unit, words = unit_of(kind, system), title
        if name == "hook_load" and any(bases):
            pairs = zip(sides, bases, strict=True)
            means = ", ".join(f"{side.letter} {significant(base / unit.factor)}" for side, base in pairs)
            words = f"Hook load from its mean: {means}"
        notes.append(note(f"{words} ({unit.symbol})", _DRAWING, top, look.text, xref="paper", yref="paper"))
    return notes


def _labels(sides: Sequence[Side], rigs: Sequence[Rig], look: Look) -> list[Parts]:
    """The letter over each drawing, where there are two, and the words over its gauges."""
    notes = []
    for side, rig in zip(sides, rigs, strict=True):
        if len(sides) > 1:
            top, letter = rig.top + rig.travel + 0.3, f"<b>{side.letter}</b>"
            notes.append(note(letter, rig.centre, top, side.colour(look), 15, xanchor="center"))
        for place, level, word in gauge_labels(rig):
            notes.append(note(word, place, level, look.muted, 11, xanchor="center"))
    return notes


def _ground(rigs: Sequence[Rig], low: float, look: Look) -> list[Parts]:
    """A dotted line at the floor's height at rest, and the rock."""
    found = []
    for rig in rigs:
        ends = (rig.centre - 0.48, rig.centre + 0.48)
        found.append(shape(ends, (rig.floor, rig.floor), line=stroke(look.line, 1, "dot")))
        found.append(shape(ends, (low, rig.rock), fillcolor=look.track, line=stroke(look.muted, 1.5)))
    return found


def _bands(sides: Sequence[Side], look: Look, system: str) -> list[Parts]:
    """Predicted band on the weight-on-bit panel: nominal filled, low and high as lines; B in dashes, unfilled."""
    factor = unit_of("force", system).factor
    found = []
    for side in sides:
        band, colour = side.band, side.colour(look)
        if band is None:
            continue
        levels = side.nominal(factor)
        if side.letter == "A":
            found.append(_across(*levels, fillcolor=colour, opacity=0.13, line={"width": 0}))
            swings = sorted({band.low, band.high})
            levels = [edge / factor for swing in swings for edge in band.span(swing)]
        found += [_across(level, level, line=stroke(colour, 1.3, side.dots)) for level in levels]
    if any(float(side.result.bit_force.min()) <= 0 for side in sides):
        found.append(_across(0.0, 0.0, line=stroke(look.text, 1.2)))
    return found


def _across(low: float, high: float, **style: Any) -> Parts:
    return shape((0, 1), (low, high), xref="x2 domain", yref="y5", layer="below", **style)


def _events(sides: Sequence[Side], look: Look) -> list[Parts]:
    """A dotted line through all panels at everything that happens, but for the plan's own feeds."""
    events = [event for side in sides for event in side.result.events if event.kind != "driller feeds off"]
    drawn = {"xref": "x2", "yref": "paper", "line": stroke(look.muted, 1.3, "dot")}
    return [shape((time, time), (_FOOT, 1.0 - _GAP), **drawn) for time in sorted({e.time for e in events})]


def _buttons(times: Sequence[float], look: Look) -> Parts:
    """Play as it happens, play four times as fast, pause; in colours that stay readable under the pointer."""
    pace = 1000 * (times[-1] - times[0]) / (len(times) - 1)

    def play(label: str, frame: float) -> Parts:
        go_on = _STILL | {"fromcurrent": True, "frame": {"duration": round(frame), "redraw": False}}
        return {"label": label, "method": "animate", "args": [None, go_on]}

    return {
        "type": "buttons",
        "direction": "right",
        "x": 0.0,
        "y": 0.0,
        "xanchor": "left",
        "yanchor": "bottom",
        "showactive": False,
        "bgcolor": "#E6EAF0" if look.name == "light" else "#A9B5C3",
        "bordercolor": look.line,
        "font": {"size": 13, "color": "#16202C"},
        "buttons": [
            play("▶ Play", pace),
            play("▶▶ ×4", pace / 4),
            {"label": "❚❚ Pause", "method": "animate", "args": [[None], _STILL]},
        ],
    }


def _slider(times: Sequence[float], look: Look) -> Parts:
    """Scrub through the stretch."""
    font = {"size": 13, "color": look.text}
    return {
        "y": 0.115,
        "pad": {"t": 0, "l": 4, "r": 4},
        "currentvalue": {"prefix": "at ", "suffix": " s", "xanchor": "right", "font": font},
        "transition": {"duration": 0},
        "ticklen": 0,
        "tickwidth": 0,
        "minorticklen": 0,
        "bgcolor": look.track,
        "bordercolor": look.line,
        "activebgcolor": look.sea,
        "font": {"size": 1, "color": "rgba(0,0,0,0)"},
        "steps": [
            {"label": f"{time:.1f}", "method": "animate", "args": [[f"{time:.2f}"], _STILL]} for time in times
        ],
    }
