"""Weight on bit with its low, nominal and high band, against lift-off and the programme's limits."""

from __future__ import annotations

import math
from typing import Final

from heave.judging.checks import OVER, WITHIN
from heave.judging.results import BitBand
from heave.screens.figures.look import Look
from heave.screens.figures.svg import Across, percent, picture, tag, text, upright
from heave.units import display_value, show, unit_of

HEIGHT: Final = 246
_HEAD, _ROW, _BAR = 40.0, 50.0, 18.0
"""Height of the words over the levels, of one band with its figures, of its bar [px]."""

_FOOT: Final = HEIGHT - 46.0
"""Where the axis is [px]."""

_MARKS: Final = 7
"""Most steps on the axis."""

Level = tuple[float, str, str]
"""Weight on bit in the units on the screen, what stands there, its colour."""


def bit_figure(
    band: BitBand,
    look: Look,
    system: str = "metric",
    low_limit: float | None = None,
    high_limit: float | None = None,
) -> str:
    """The three bands as bars on one axis of weight on bit, lift-off and limits as lines across, as SVG."""
    levels: list[Level] = [(0.0, "lift-off", look.words(OVER))]
    for limit in (low_limit, high_limit):
        if limit is not None:
            levels.append((display_value(limit, "force", system), "limit", look.text))
    widest = [display_value(edge, "force", system) for edge in band.span(band.high)]
    reach = [*widest, *(level for level, _, _ in levels)]
    room = 0.07 * (max(reach) - min(reach))
    ends = (min(reach) - room, max(reach) + room)
    levels.append((display_value(band.wob, "force", system), "set", look.muted))
    bands = (("low", band.low, 0.9), ("nominal", band.nominal, 0.55), ("high", band.high, 0.30))
    bars, words = [], []
    for row, (name, swing, opacity) in enumerate(bands):
        top, span = _HEAD + _ROW * row, band.span(swing)
        bars.append(_bar(top, span, opacity, ends, look, system))
        words.append(_over(top + 12, f"{name}: {_span(span, system)}", look))
    parts = [*_axis(ends, look, unit_of("force", system).symbol), *bars, *_levels(levels, ends), *words]
    return picture(HEIGHT, "Weight on bit between its limits", bit_words(band, system), look, *parts)


def bit_words(band: BitBand, system: str = "metric") -> str:
    """The bands in words, for those who cannot see them."""
    low, nominal, high = (_span(band.span(swing), system) for swing in (band.low, band.nominal, band.high))
    return f"Weight on bit with its low, nominal and high band: {low}; {nominal}; {high}"


def _span(span: tuple[float, float], system: str) -> str:
    low, high = (show(edge, "force", system) for edge in span)
    return f"{low} to {high}"


def _at(level: float, ends: tuple[float, float]) -> Across:
    return Across((level - ends[0]) / (ends[1] - ends[0]))


def _bar(
    top: float,
    span: tuple[float, float],
    opacity: float,
    ends: tuple[float, float],
    look: Look,
    system: str,
) -> str:
    """One bar from the lowest to the highest weight on bit."""
    low, high = (_at(display_value(edge, "force", system), ends).share for edge in span)
    return tag(
        "rect",
        x=percent(low),
        width=percent(high - low),
        y=top + 24,
        height=_BAR,
        fill=look.fill(WITHIN if span[0] > 0 else OVER),
        opacity=opacity,
    )


def _levels(levels: list[Level], ends: tuple[float, float]) -> list[str]:
    """An upright line at each level with its name on top, limits a row lower, for they may stand close to lift-off."""
    parts = []
    for level, words, colour in levels:
        place, top = _at(level, ends), 23.0 if words == "limit" else 9.0
        parts.append(upright(place, top + 9, _FOOT, colour, 1.6, "2 3" if words == "set" else ""))
        parts.append(text(place, top, words, colour, size=12, anchor="middle"))
    return parts


def _over(y: float, words: str, look: Look) -> str:
    """Words that stay readable over a line: with a rim in the colour of the ground."""
    rim = {"stroke": look.ground, "stroke_width": "5", "stroke_linejoin": "round", "paint_order": "stroke"}
    return text(Across(0.0, 4), y, words, look.text, size=12.5, **rim)


def _axis(ends: tuple[float, float], look: Look, unit: str) -> list[str]:
    """Round figures under a line, fine lines up from them, the unit below."""
    step = round_step((ends[1] - ends[0]) / _MARKS)
    first = math.ceil(ends[0] / step)
    parts = []
    for count in range(first, math.floor(ends[1] / step) + 1):
        place = _at(count * step, ends)
        parts.append(upright(place, _HEAD - 6, _FOOT + 4, look.track, 1))
        words = f"{count * step:g}".replace("-", "\u2212")
        parts.append(text(place, _FOOT + 14, words, look.text, anchor="middle"))
    parts.append(tag("line", x1=0, x2="100%", y1=_FOOT, y2=_FOOT, stroke=look.line))
    title = f"weight on bit, {unit}"
    return [*parts, text(Across(0.5), HEIGHT - 9, title, look.muted, size=12.5, anchor="middle")]


def round_step(least: float) -> float:
    """The smallest of 1, 2, 5, 10 … that is at least `least`."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(factor * power for factor in (1, 2, 5, 10) if factor * power >= least * (1 - 1e-9))
