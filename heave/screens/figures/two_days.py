"""The coming hours as one small picture for paper: height of the sea and heave above, the state of each step below."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.judging import NEAR, NOT_ASSESSED, OVER, WITHIN
from heave.screens.figures.look import LIGHT
from heave.screens.figures.svg import scaled, tag

WIDTH: Final = 700
_LEFT, _RIGHT, _TOP, _CURVES, _BAND, _FOOT = 96, 44, 11, 58, 12, 12

# Told apart without colour: plain, dotted, hatched, and empty.
_PATTERNS: Final = (
    '<pattern id="dots" width="4" height="4" patternUnits="userSpaceOnUse"><circle cx="2" cy="2" r=".8"/></pattern>'
    '<pattern id="bars" width="4" height="4" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
    '<path d="M1 0V4" stroke="#000" stroke-width="1.3"/></pattern>'
)
_ARROW: Final = "M0 4.5V-4.5M-2.5 -1L0 -4.5L2.5 -1"
_OVERLAY: Final = {WITHIN: "none", NEAR: "url(#dots)", OVER: "url(#bars)", NOT_ASSESSED: "none"}


def two_days_figure(
    hours: FloatArray,
    ends: FloatArray,
    curves: Sequence[tuple[str, FloatArray, str]],
    bands: Sequence[tuple[str, Sequence[str]]],
    spans: Sequence[tuple[float, float]],
    ticks: Sequence[tuple[float, str]],
    reach: float,
    words: str,
    arrows: Sequence[tuple[float, float]] = (),
) -> str:
    """The picture as SVG, scaled as a whole.

    Parameters
    ----------
    hours, ends : begin and end of the time each sample stands for, after the present time, shape (n,) [h]
    curves : name, values at each sample and unit of each curve; NaN leaves a gap
    bands : name and state at each sample of each band
    spans : first and last start of each window [h]
    ticks : places and words of the time axis [h]
    reach : end of the time axis [h]
    words : what the picture shows, for who cannot see it
    arrows : place [h] and angle off the bow [deg] of each arrow of the wind; the bow is up
    """
    base = _TOP + _CURVES
    height = base + _BAND * (len(bands) + 1 + bool(arrows)) + _FOOT
    top = max((float(np.nanmax(v)) for _, v, _ in curves if not np.isnan(v).all()), default=1.0) or 1.0
    parts = [f"<defs>{_PATTERNS}</defs>"]
    for at, label in ticks:
        x = _across(at, reach)
        parts.append(_line(x, _TOP, x, height - _FOOT, LIGHT.track, 1))
        parts.append(_text(x, height - 4, label, "middle"))
    for (name, values, unit), dash in zip(curves, ("none", "4 2"), strict=False):
        parts += _curve(name, values, unit, dash, (hours + ends) / 2, top, reach)
    for row, (name, states) in enumerate(bands):
        parts += _band(name, states, base + 3 + _BAND * row, hours, ends, reach)
    y = base + 3 + _BAND * len(bands) + 4
    parts.append(_text(_LEFT - 6, y + 3, "can start", "end"))
    for first, last in spans:
        left, right = _across(first, reach), _across(last, reach)
        parts.append(_line(left, y, max(right, left + 2), y, LIGHT.text, 4))
    if arrows:
        parts.append(_text(_LEFT - 6, y + _BAND + 3, "wind, bow up", "end"))
    for hour, angle in arrows:
        place = f"translate({_across(hour, reach):.1f} {y + _BAND - 1:.1f}) rotate({(angle + 180) % 360:.0f})"
        parts.append(tag("path", d=_ARROW, transform=place, fill="none", stroke=LIGHT.text, stroke_width=1.2))
    return scaled(tag("desc", escape(words)) + "".join(parts), f"0 0 {WIDTH} {height}", 9)


def _across(hour: float, reach: float) -> float:
    share = min(max(hour / reach, 0.0), 1.0)
    return _LEFT + share * (WIDTH - _LEFT - _RIGHT)


def _line(x1: float, y1: float, x2: float, y2: float, colour: str, width: float) -> str:
    return tag("line", x1=x1, y1=y1, x2=x2, y2=y2, stroke=colour, stroke_width=width)


def _text(x: float, y: float, words: str, anchor: str) -> str:
    return tag("text", escape(words), x=x, y=y, text_anchor=anchor, fill=LIGHT.text)


def _curve(
    name: str, values: FloatArray, unit: str, dash: str, middle: FloatArray, top: float, reach: float
) -> list[str]:
    """A curve broken where it is not known, its name at its left end and its highest value where that is."""
    known = ~np.isnan(values)
    if not known.any():
        return []
    heights = _TOP + _CURVES * (1 - np.nan_to_num(values) / top)
    pieces = np.split(np.arange(values.size), np.flatnonzero(np.diff(known.astype(int))) + 1)
    path = "".join(
        "M" + "L".join(f"{_across(float(middle[at]), reach):.1f} {heights[at]:.1f}" for at in piece)
        for piece in pieces
        if known[piece[0]]
    )
    first, peak = int(np.argmax(known)), int(np.nanargmax(values))
    above = max(float(heights[peak]) - 3, 8.0)
    place = _across(float(middle[peak]), reach)
    return [
        tag("path", d=path, fill="none", stroke=LIGHT.text, stroke_width=1.4, stroke_dasharray=dash),
        _text(_LEFT - 6, float(heights[first]) + 3, name, "end"),
        _text(place, above, f"{values[peak]:.1f} {unit}", "start" if place < _LEFT + 20 else "middle"),
    ]


def _band(
    name: str, states: Sequence[str], y: float, hours: FloatArray, ends: FloatArray, reach: float
) -> list[str]:
    """A strip of the state of one step; neighbours of one state are one box."""
    parts = [_text(_LEFT - 6, y + 8, name if len(name) <= 20 else f"{name[:19]}…", "end")]
    begin = 0
    for place in range(1, len(states) + 1):
        if place < len(states) and states[place] == states[begin] and hours[place] <= ends[place - 1] + 1e-9:
            continue
        left = _across(float(hours[begin]), reach)
        wide = _across(float(ends[place - 1]), reach) - left
        state = states[begin]
        fill = "#fff" if state == NOT_ASSESSED else LIGHT.fill(state)
        place_and_size = {"x": left, "y": y, "width": max(wide, 0.0), "height": _BAND - 3}
        parts.append(tag("rect", **place_and_size, fill=fill, stroke=LIGHT.text, stroke_width=0.8))
        parts.append(tag("rect", **place_and_size, fill=_OVERLAY[state]))
        begin = place
    return parts
