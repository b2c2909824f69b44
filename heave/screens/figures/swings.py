"""What moves the result: for each input the highest utilisation at the low end and at the high end of its range."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, Final

from heave.judging.checks import NOT_ASSESSED
from heave.screens.figures.look import Look
from heave.screens.figures.svg import Across, Picture, Pieces, Style, box, clear, percent, tag, text, upright
from heave.screens.figures.utilisation import utilisation_text
from heave.studies.sensitivity import End, Sensitivity, Swing
from heave.units import display_value, show, significant, unit_of, with_unit

ROW: Final = 46
"""Height of one input [px]."""

MORE: Final = 17
"""Height more for each line of words about one at whose ends another check governs than as planned [px]."""

LINE: Final = 44
"""Most letters of such a line, that it fits the narrowest screen."""

_HEAD: Final = 62
_WORDS: Final = (29.0, 47.0)
"""Heights of the words at the planned utilisation and at the limit [px]."""

_NAME, _TRACK = 11.0, 29.0
_GUTTER: Final = 128
"""Room right of the tracks for both figures [px]."""

_HIGHEST: Final = 1.5
"""Utilisations above this, or this many times the planned one, are drawn at it; the figures beside are never cut."""

Scale = tuple[float, float]
"""Utilisations at the left and the right end of every track."""


def swings_figure(found: Sensitivity, rows: Sequence[Swing], look: Look, system: str = "metric") -> Picture:
    """One row an input in the order given, as SVG: a ring at the low end, a disc at the high end, a line between.

    The upright dashed line is the plan as it is, the full one the limit where it is near enough to be drawn; a lozenge
    marks a place inside the range that is worse than both ends.
    """
    scale = _scale(found, rows)
    governing = [governing_words(row, found.planned.governing) for row in rows]
    tops = [_HEAD]
    for words in governing:
        tops.append(tops[-1] + ROW + MORE * len(words))
    parts = _head(found, rows, scale, tops[-1], look)
    for top, row, words in zip(tops, rows, governing, strict=False):
        parts += _row(row, words, top, scale, look, system)
    return Picture(tops[-1] + 4, "What moves the result", swings_words(rows, system), *parts)


def governing_words(row: Swing, planned: str) -> tuple[str, ...]:
    """Which check governs at each end, where at any of them it is not the planned one; in lines."""
    places = (("low", row.low), ("high", row.high), ("worst", row.worst))
    known = [(which, end.governing) for which, end in places if end is not None and end.governing]
    if all(name == planned for _, name in known):
        return ()
    if len({name for _, name in known}) == 1:
        return (f"governed by {known[0][1]}",)
    told = "governed by " + " · ".join(f"{name} ({which})" for which, name in known)
    return (told,) if len(told) <= LINE else tuple(f"{which}: governed by {name}" for which, name in known)


def swings_words(rows: Sequence[Swing], system: str = "metric") -> str:
    """The picture in words, for those who cannot see it."""
    told = []
    for row in rows:
        ends = (("at", row.low), ("at", row.high), ("worst inside at", row.worst))
        known = [
            f"{at} {value_text(row, end, system)} {end_text(end)}" for at, end in ends if end is not None
        ]
        told.append(f"{row.ranged.input.about.label}: {', '.join(known)}")
    return "; ".join(told)


def value_text(row: Swing, end: End, system: str) -> str:
    """A value of an input with its unit."""
    return show(end.value, row.ranged.input.about.kind, system)


def range_text(row: Swing, system: str) -> str:
    """Both ends of a range, the unit once."""
    unit = unit_of(row.ranged.input.about.kind, system)
    ends = (row.ranged.low, row.ranged.high)
    low, high = (significant(display_value(end, row.ranged.input.about.kind, system)) for end in ends)
    return f"{low} to {with_unit(high, unit.symbol)}"


def end_text(end: End) -> str:
    """The utilisation at an end, or that there is none."""
    if end.state != NOT_ASSESSED:
        return utilisation_text(end.utilisation)
    return "no plan" if end.refused else NOT_ASSESSED  # what could be judged of it alone is no answer


def _scale(found: Sensitivity, rows: Sequence[Swing]) -> Scale:
    used = [found.planned.utilisation]
    used += [value for row in rows for value in (row.least, row.most)]
    planned = found.planned.utilisation
    highest = _HIGHEST * planned if 1 < planned < math.inf else _HIGHEST
    known = [min(value, highest) for value in used if not math.isnan(value)] or [0.0, 1.0]
    low, high = min(known), max(known)
    if high < 1 and 1 - high < 2 * (high - low) + 0.1:  # the limit is near enough to be shown
        high = 1.0
    room = max(0.06 * (high - low), 0.005)
    return max(low - room, 0.0), high + room


def _at(utilisation: float, scale: Scale) -> Across:
    """Where a utilisation is across the picture: 8 px are kept at the left, the gutter at the right."""
    share = (min(utilisation, scale[1]) - scale[0]) / (scale[1] - scale[0])
    return Across(share, 8 - (_GUTTER + 8) * share)


def _head(found: Sensitivity, rows: Sequence[Swing], scale: Scale, foot: float, look: Look) -> list[str]:
    """The marks in words, and both upright lines through all rows."""
    key = [
        _ring(Across(0, 8), 11, look, look.text),
        text(Across(0, 20), 11, "low end", look.text, size=12),
        _disc(Across(0, 84), 11, look.text),
        text(Across(0, 96), 11, "high end", look.text, size=12),
    ]
    if any(row.worst is not None for row in rows):
        key.append(_lozenge(Across(0, 164), 11, look, look.text))
        key.append(text(Across(0, 176), 11, "worst inside", look.text, size=12))
    planned = found.planned.utilisation
    above, below = _WORDS
    if not math.isnan(planned):
        place, words = _at(planned, scale), f"as planned {utilisation_text(planned)}"
        key.append(upright(place, above + 8, foot, look.line, 1.2, "3 3"))
        key.append(text(place, above, words, look.muted, size=12, anchor=_anchor(planned, scale)))
    if scale[0] < 1 < scale[1]:
        place, anchor = _at(1.0, scale), _anchor(1.0, scale)
        key.append(upright(place, below + 8, foot, look.text, 1.6))
        key.append(_clear(place, below, "limit 1", look.text, look, size=12, anchor=anchor))
    key += [
        text(Across(1, at - _GUTTER), below, words, look.muted, size=12, anchor="end")
        for at, words in ((52, "low"), (112, "high"))
    ]
    return key


def _clear(across: Across, y: float, words: str | Pieces, colour: str, look: Look, **how: Any) -> str:
    """Words that stand clear of the lines behind them."""
    return text(across, y, words, colour, **how, **clear(look, 4))


def _anchor(utilisation: float, scale: Scale) -> str:
    share = (utilisation - scale[0]) / (scale[1] - scale[0])
    return "start" if share < 0.3 else "end" if share > 0.7 else "middle"


def _row(row: Swing, words: Sequence[str], top: float, scale: Scale, look: Look, system: str) -> list[str]:
    """Name and range over the track; the line between the extremes, the ends on it, their figures beside."""
    y = top + _TRACK
    label = row.ranged.input.about.label
    small: Style = {"font_size": 12, "fill": look.muted}
    title = label[:1].upper() + label[1:]
    name: Pieces = ((title, {"font_weight": 600}), (f"\u2002{range_text(row, system)}", small))
    parts = [
        _clear(Across(0.0), top + _NAME, name, look.text, look),
        box(Across(0.0, 0), Across(1.0, -_GUTTER), y - 1, y + 1, look.track),
    ]
    for above, line in enumerate(words):
        parts.append(_clear(Across(0.0), y + 18 + MORE * above, line, look.muted, look, size=12))
    if not math.isnan(row.least):
        left, right = _at(row.least, scale), _at(row.most, scale)
        parts.append(between(left, right, y, 5, look.line))
    if row.worst is not None:
        parts.append(_lozenge(_at(row.worst.utilisation, scale), y, look, look.words(row.worst.state)))
    for end, mark in ((row.high, "disc"), (row.low, "ring")):
        if end.state == NOT_ASSESSED:
            continue
        place, colour = _at(end.utilisation, scale), look.words(end.state)
        parts.append(_disc(place, y, colour) if mark == "disc" else _ring(place, y, look, colour))
    ends = (("low", row.low), ("high", row.high))
    told = [f"{which} {end_text(end)}" for which, end in ends if end.state == NOT_ASSESSED]
    if told:
        said = told[0] if len(told) == 1 else NOT_ASSESSED
        return [*parts, text(Across(1.0, 12 - _GUTTER), y, said, look.words(NOT_ASSESSED), size=12)]
    for end, at in ((row.low, 52), (row.high, 112)):
        parts.append(text(Across(1.0, at - _GUTTER), y, end_text(end), look.words(end.state), anchor="end"))
    return parts


def between(left: Across, right: Across, y: float, thick: float, colour: str) -> str:
    """A level line between two places, whatever pixels each is pushed by."""
    start = f"calc({percent(left.share)} + {left.pixels:.6g}px)"
    wide = f"calc({percent(right.share - left.share)} + {right.pixels - left.pixels:.6g}px)"
    return tag("rect", x="0", y=y - thick / 2, height=thick, fill=colour, style=f"x:{start};width:{wide}")


def _mark(place: Across, y: float, shape: str) -> str:
    inner = tag("svg", shape, x=percent(place.share), y=round(y, 2), overflow="visible")
    return tag("g", inner, transform=f"translate({place.pixels:.9g},0)")


def _disc(place: Across, y: float, colour: str) -> str:
    return _mark(place, y, tag("circle", r=6, fill=colour))


def _ring(place: Across, y: float, look: Look, colour: str) -> str:
    return _mark(place, y, tag("circle", r=5, fill=look.ground, stroke=colour, stroke_width=2.2))


def _lozenge(place: Across, y: float, look: Look, colour: str) -> str:
    edge = "M 0 -7 L 6 0 L 0 7 L -6 0 Z"
    return _mark(place, y, tag("path", d=edge, fill=look.ground, stroke=colour, stroke_width=2))
