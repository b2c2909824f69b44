"""Weight on bit with its low, nominal and high band, against lift-off and the programme's limits."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise
from typing import Final

from heave.judging.checks import OVER, WITHIN
from heave.judging.results import BitBand
from heave.screens.figures.look import Look
from heave.screens.figures.svg import Across, Picture, Style, box, clear, line, round_step, text, upright
from heave.units import round_number, show, unit_of

HEIGHT: Final = 246
_HEAD, _ROW, _BAR = 40.0, 50.0, 18.0
"""Height of the words over the levels, of one band with its figures, of its bar [px]."""

_FOOT: Final = HEIGHT - 46.0
"""Where the axis is [px]."""

_MARKS: Final = 7
"""Most steps on the axis."""


def bit_figure(
    band: BitBand,
    look: Look,
    system: str = "metric",
    low_limit: float | None = None,
    high_limit: float | None = None,
) -> Picture:
    """The three bands as bars on one axis of weight on bit, lift-off and limits as lines across, as SVG."""
    unit = unit_of("force", system)
    levels = [(0.0, "lift-off", look.words(OVER))]
    levels += [
        (limit / unit.factor, "limit", look.text) for limit in (low_limit, high_limit) if limit is not None
    ]
    reach = [edge / unit.factor for edge in band.span(band.high)] + [level for level, *_ in levels]
    room = 0.07 * (max(reach) - min(reach))
    low, high = min(reach) - room, max(reach) + room
    levels.append((band.wob / unit.factor, "set", look.muted))

    def at(level: float) -> Across:
        return Across((level - low) / (high - low))

    place, anchor = _widest_gap([0.0, *sorted(at(level).share for level, *_ in levels), 1.0])
    rim = clear(look, 5)
    bars, words = [], []
    least = max(0.0, low_limit or 0.0)
    most = math.inf if high_limit is None else high_limit
    for row, (name, swing, opacity) in enumerate(_bands(band)):
        top, span = _HEAD + _ROW * row, band.span(swing)
        left, right = (at(edge / unit.factor) for edge in span)
        state = WITHIN if span[0] > 0 and least <= span[0] and span[1] <= most else OVER
        edge: Style = {"stroke": look.words(state), "stroke_width": 2.5 if opacity == 1 else 1}
        bars.append(
            box(left, right, top + 24, top + 24 + _BAR, look.fill(state), fill_opacity=opacity, **edge)
        )
        told = f"{name}: {_span(span, system)}"
        words.append(text(place, top + 12, told, look.text, size=12.5, anchor=anchor, **rim))
    lines = []
    for level, name, colour in levels:
        top = 23.0 if name == "limit" else 9.0  # a row lower, for limits may stand close to lift-off
        lines.append(upright(at(level), top + 9, _FOOT, colour, 1.6, "2 3" if name == "set" else "none"))
        lines.append(text(at(level), top, name, colour, size=12, anchor="middle"))
    parts = [*_axis(low, high, at, look, unit.symbol), *bars, *lines, *words]
    return Picture(HEIGHT, "Weight on bit between its limits", bit_words(band, system), *parts)


def bit_words(band: BitBand, system: str = "metric") -> str:
    """The bands in words, for those who cannot see them."""
    told = "; ".join(_span(band.span(swing), system) for _, swing, _ in _bands(band))
    return f"Weight on bit with its low, nominal and high band: {told}"


def _bands(band: BitBand) -> tuple[tuple[str, float, float], ...]:
    """Name, swing and opacity of each band, from the top down; the high one is what is checked, and the strongest."""
    return ("low", band.low, 0.2), ("nominal", band.nominal, 0.45), ("high, checked", band.high, 1.0)


def _span(span: tuple[float, float], system: str) -> str:
    return " to ".join(show(edge, "force", system) for edge in span)


def _widest_gap(shares: list[float]) -> tuple[Across, str]:
    """Where words stand clear of all lines as far as their width allows, and by which end they are held."""
    left, right = max(pairwise(shares), key=lambda gap: gap[1] - gap[0])
    return (Across(1.0, -4), "end") if right == 1.0 else (Across((left + right) / 2), "middle")


def _axis(low: float, high: float, at: Callable[[float], Across], look: Look, unit: str) -> list[str]:
    """Round figures under a line, fine lines up from them, the unit below."""
    step = round_step((high - low) / _MARKS)
    parts = []
    for count in range(math.ceil(low / step), math.floor(high / step) + 1):
        place, words = at(count * step), round_number(count * step)
        parts.append(upright(place, _HEAD - 6, _FOOT + 4, look.track, 1))
        parts.append(text(place, _FOOT + 14, words, look.text, anchor="middle"))
    parts.append(line(Across(0.0), _FOOT, Across(1.0), _FOOT, look.line))
    title = f"weight on bit, {unit}"
    return [*parts, text(Across(0.5), HEIGHT - 9, title, look.muted, size=12.5, anchor="middle")]
