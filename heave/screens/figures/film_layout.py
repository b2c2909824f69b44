"""Layout of the film: panels on one time axis, predicted bands, ground, labels, and the player's buttons."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from heave.screens.figures.look import Look
from heave.screens.figures.moving_rig import Rig, gauge_labels
from heave.screens.figures.sides import PANELS, Side, hook_bases, side_colour
from heave.units import display_value, significant, unit_of

_DRAWING: Final = 0.3
_FOOT: Final = 0.18
_SHARES: Final = (0.17, 0.2, 0.24, 0.39)
_GAP: Final = 0.05


def film_layout(
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
            "domain": [0.0, _DRAWING - 0.02],
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
            # on the right, where the labels make their own room beside any width of drawing
            "side": "right",
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
    for (name, title, kind), domain in zip(PANELS, panels, strict=True):
        unit = unit_of(kind, system)
        words = f"{title} ({unit.symbol})"
        bases = hook_bases(sides)
        if name == "hook_load" and any(bases):
            means = ", ".join(
                f"{side.letter} {significant(base / unit.factor)}"
                for side, base in zip(sides, bases, strict=True)
            )
            words = f"Hook load from its mean: {means} ({unit.symbol})"
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
            span = [display_value(edge, "force", system) for edge in band.span(band.nominal)]
            found.append(
                _across(span[0], span[1], {"fillcolor": colour, "opacity": 0.13, "line": {"width": 0}})
            )
        swings = {band.low, band.high} if side.letter == "A" else {band.nominal}
        for swing in sorted(swings):
            for edge in band.span(swing):
                level = display_value(edge, "force", system)
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
