"""Curves for paper: axes with round steps, lines told apart by their dashes, as SVG that is scaled as a whole."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.judging.results import Responses
from heave.planning.rig import LoadCurve
from heave.screens.figures.look import LIGHT
from heave.screens.figures.svg import Style, round_step, scaled, tag
from heave.units import round_number, unit_of

WIDTH, HEIGHT = 660.0, 190.0
_LEFT, _RIGHT, _TOP, _FOOT = 58.0, 14.0, 24.0, 38.0
_DASHES: Final = ("none", "7 3", "2 3")
_MARKS: Final = 6
"""Most steps on an axis that chooses its own."""

_PERIODS: Final = (25.0, 16.0, 12.0, 10.0, 8.0, 7.0, 6.0, 5.0, 4.0, 3.5)
_QUIET: Final = 2e-3
"""Share of the highest density below which the ends of a spectrum are left away."""


@dataclass(frozen=True)
class Drawn:
    """A curve: its name, and its points in the units on the paper, shape (n,)."""

    name: str
    x: FloatArray
    y: FloatArray


def spectra_printed(responses: Responses, system: str = "metric") -> str:
    """Sea and heave spectra over frequency, the marks of the axis being periods.

    Parameters
    ----------
    responses : of an assessment
    system : units on the paper
    """
    unit, omega = unit_of("spectral_density", system), responses.omega
    shown = (responses.sea_spectrum, responses.heave_spectrum)
    level = np.maximum(*(one / max(float(one.max()), 1e-300) for one in shown))
    busy = np.flatnonzero(level > _QUIET)
    keep = slice(int(busy[0]), int(busy[-1]) + 1)
    curves = [
        Drawn(name, omega[keep], one[keep] / unit.factor)
        for name, one in zip(("sea", "heave at the hoist"), shown, strict=True)
    ]
    marks = [(2 * math.pi / period, f"{period:g}") for period in _PERIODS]
    along = "period, s (even in frequency)"
    return curves_printed("Sea and heave at the hoist", curves, along, unit.symbol, marks)


def load_printed(curve: LoadCurve, system: str = "metric") -> str:
    """Load on the compensator over its stroke, vessel rising and falling; between the lines is seal friction.

    Parameters
    ----------
    curve : of the plan's setting
    system : units on the paper
    """
    force, length = unit_of("force", system), unit_of("length", system)
    curves = [
        Drawn(f"vessel {way}", curve.x / length.factor, load / force.factor)
        for way, load in (("rising", curve.rising), ("falling", curve.falling))
    ]
    title = f"position on the stroke, {length.symbol}; gas compressed to the right"
    return curves_printed("Load over the stroke", curves, title, force.symbol)


def curves_printed(
    title: str,
    curves: Sequence[Drawn],
    x_title: str,
    y_title: str,
    x_marks: Sequence[tuple[float, str]] | None = None,
) -> str:
    """Curves on one pair of axes; that of heights begins at 0 unless the curves are far above it.

    Parameters
    ----------
    title : what they are, for who cannot see them
    curves : at most three
    x_title, y_title : names and units of the axes
    x_marks : places and words of the marks across; None chooses round steps
    """
    left, right = (float(end(np.concatenate([one.x for one in curves]))) for end in (np.min, np.max))
    low, high = (float(end(np.concatenate([one.y for one in curves]))) for end in (np.min, np.max))
    high = high if high > low else low + 1.0
    low = low - 0.1 * (high - low) if low > 0.4 * high else min(low, 0.0)
    levels = _round_steps(low, high)
    low, high = min(low, levels[0]), max(high, levels[-1])
    marks = [(one, round_number(one)) for one in _round_steps(left, right)] if x_marks is None else x_marks

    def across(x: float) -> float:
        return _LEFT + (WIDTH - _LEFT - _RIGHT) * (x - left) / (right - left)

    def up(y: float) -> float:
        return HEIGHT - _FOOT - (HEIGHT - _FOOT - _TOP) * (y - low) / (high - low)

    parts = []
    for level in levels:
        parts.append(_line(_LEFT, up(level), WIDTH - _RIGHT, up(level), LIGHT.track, 1.0))
        parts.append(_text(_LEFT - 6, up(level) + 4, round_number(level), "end"))
    for place, words in marks:
        if left <= place <= right:
            x, foot = across(place), HEIGHT - _FOOT
            parts.append(_line(x, foot, x, foot + 4, LIGHT.text, 1.0))
            parts.append(_text(x, foot + 16, words, "middle"))
    for one, dash in zip(curves, _DASHES, strict=False):
        points = " ".join(f"{across(x):.1f},{up(y):.1f}" for x, y in zip(one.x, one.y, strict=True))
        style: Style = {"fill": "none", "stroke": LIGHT.text, "stroke_width": 1.5}
        parts.append(tag("polyline", points=points, stroke_dasharray=dash, **style))
    parts += _legend(curves)
    parts.append(_line(_LEFT, HEIGHT - _FOOT, WIDTH - _RIGHT, HEIGHT - _FOOT, LIGHT.text, 1.0))
    parts.append(_text(WIDTH - _RIGHT, HEIGHT - 5, x_title, "end"))
    parts.append(_text(0, 11, y_title, "start"))
    content, box = tag("title", escape(title)) + "".join(parts), f"0 0 {WIDTH:g} {HEIGHT:g}"
    return scaled(content, box, 11.5, xmlns="http://www.w3.org/2000/svg")


def _legend(curves: Sequence[Drawn]) -> list[str]:
    """Names of the curves in a row over the picture, each behind a piece of its line."""
    parts, x = [], WIDTH - _RIGHT
    for one, dash in reversed(list(zip(curves, _DASHES, strict=False))):
        x -= 6.4 * len(one.name) + 46
        parts.append(_line(x, 8, x + 30, 8, LIGHT.text, 1.5, dash))
        parts.append(_text(x + 36, 12, one.name, "start"))
    return parts


def _round_steps(low: float, high: float) -> list[float]:
    """Round places from `low` to the first at or past `high`, at most some six."""
    step = round_step((high - low) / _MARKS)
    first, last = math.ceil(low / step - 1e-9), math.ceil(high / step - 1e-9)
    return [step * place for place in range(first, last + 1)]


def _line(x1: float, y1: float, x2: float, y2: float, colour: str, width: float, dash: str = "none") -> str:
    ends = {name: f"{value:.1f}" for name, value in (("x1", x1), ("y1", y1), ("x2", x2), ("y2", y2))}
    return tag("line", **ends, stroke=colour, stroke_width=width, stroke_dasharray=dash)


def _text(x: float, y: float, words: str, anchor: str) -> str:
    return tag("text", escape(words), x=f"{x:.1f}", y=f"{y:.1f}", text_anchor=anchor, fill=LIGHT.text)
