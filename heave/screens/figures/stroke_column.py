"""The stroke column: the compensator's stroke upright and to scale, with everything that uses it."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from heave.judging.checks import NEAR, OVER, WITHIN
from heave.judging.results import StrokeBudget
from heave.screens.figures import svg
from heave.screens.figures.look import Look
from heave.screens.figures.svg import Across, Pieces, Style
from heave.units import fixed, round_number, show, unit_of

HEIGHT: Final = 500
_PADDING: Final = 30.0
_LEFT, _RIGHT = 0.20, 0.42
_LABELS: Final = 0.52
_GAP: Final = 19.0
"""Least distance between two labels [px]."""

Level = Callable[[float], float]
"""From a place on the stroke, in the units on the screen, to a height in the picture [px]."""

Label = tuple[float, str, str, str]
"""Place on the stroke, words, figure, and the colour that makes it strong; a quiet label has none."""


@dataclass(frozen=True)
class _Side:
    """Places travelled to on one side of the stroke, in the units on the screen; `sign` is 1 for gas compressed."""

    sign: int
    state: str
    slow: float
    significant: float
    extreme: float


def stroke_figure(
    budget: StrokeBudget,
    look: Look,
    system: str = "metric",
    rising_state: str = WITHIN,
    falling_state: str = WITHIN,
) -> svg.Picture:
    """The stroke box with slow travel, significant and extreme travel, and the end reserves, as SVG.

    Up is towards gas compression, the way the unit travels when the vessel rises. Each side is drawn
    in the colour of its check's state; travel past an end is drawn past the end.
    """
    unit = unit_of("length", system)
    half, reserve, start, significant, extreme = (
        value / unit.factor
        for value in (budget.half_stroke, budget.reserve, budget.start, budget.significant, budget.extreme)
    )
    sides = [
        _Side(sign, state, slow, slow + sign * significant, slow + sign * extreme)
        for sign, state, slow in (
            (1, rising_state, budget.static_rising / unit.factor),
            (-1, falling_state, -budget.static_falling / unit.factor),
        )
    ]
    top, foot = max(half, sides[0].extreme), min(-half, sides[1].extreme)
    per_unit = (HEIGHT - 2 * _PADDING) / (top - foot)
    middle = _PADDING + per_unit * top

    def level(place: float) -> float:
        return middle - per_unit * place

    reserves = [
        _box(level(side.sign * half), level(side.sign * (half - reserve)), "url(#hatch)")
        for side in sides
        if reserve > 0
    ]
    stripes = svg.tag("path", d="M-2 2 2 -2M0 8 8 0M6 10 10 6", stroke=look.text, stroke_width=1.3)
    hatch = svg.tag("pattern", stripes, id="hatch", width=8, height=8, patternUnits="userSpaceOnUse")
    # the bars are written in the units on the screen and set to scale once, all together
    to_scale = f"translate(0,{middle:.9g}) scale(1,{-per_unit:.9g})"
    return svg.Picture(
        HEIGHT,
        "Stroke column, to scale",
        stroke_words(budget, system),
        svg.tag("defs", hatch + svg.grain(NEAR, look) + svg.grain(OVER, look)),
        svg.tag("g", "".join(_bars(half, start, sides, look)), transform=to_scale),
        *(
            _box(level(start), level(side.extreme), f"url(#{svg.grain_name(side.state)})")
            for side in sides
            if side.state in (NEAR, OVER)
        ),
        *reserves,
        *_placed(_labels(half, reserve, start, sides, look), look, level),
        *_ruler(half, look, level),
        svg.text(Across(0.0), 8, f"{unit.symbol} · vessel rises, gas compressed", look.muted, size=12),
        svg.text(Across(0.0), HEIGHT - 8, f"{unit.symbol} · vessel falls, gas expands", look.muted, size=12),
    )


def stroke_words(budget: StrokeBudget, system: str = "metric") -> str:
    """The stroke column in words, for those who cannot see it."""
    lengths = (budget.half_stroke, budget.rising, budget.falling, budget.reserve)
    half, rising, falling, reserve = (show(length, "length", system) for length in lengths)
    return (
        f"Stroke column: {half} to each end; extreme travel {rising} towards the end reached when the vessel "
        f"rises and {falling} towards the other; end reserve {reserve}"
    )


def _box(one: float, other: float, fill: str, inset: float = 0.0, /, **style: str | float) -> str:
    """A box over the width of the column, or over what `inset`, a share of that width, leaves of it."""
    less = inset * (_RIGHT - _LEFT)
    return svg.box(Across(_LEFT + less), Across(_RIGHT - less), one, other, fill, **style)


def _bars(half: float, start: float, sides: Sequence[_Side], look: Look) -> list[str]:
    """Travel on both sides, the box itself, mid-stroke dotted across it and the start position as a bar.

    Extreme travel is what is checked: it is drawn strongest, full and edged; significant travel is a paler strip in
    it, slow travel a dark one in that.
    """
    crisp: Style = {"vector_effect": "non-scaling-stroke"}
    parts = []
    for side in sides:
        parts.append(_box(start, side.extreme, look.fill(side.state)))
        parts.append(_box(start, side.significant, look.ground, 0.25, opacity=0.6))
        parts.append(_box(start, side.slow, look.text, 0.42))
        edge: Style = {"stroke": look.words(side.state), "stroke_width": 2.5, **crisp}
        parts.append(_box(start, side.extreme, "none", **edge))
    parts.append(_box(-half, half, "none", stroke=look.text, stroke_width=2, **crisp))
    ends = Across(_LEFT - 0.03), Across(_RIGHT + 0.02)
    parts.append(
        svg.line(ends[0], 0, ends[1], 0, look.muted, stroke_width=1.5, stroke_dasharray="2 3", **crisp)
    )
    ends = Across(_LEFT - 0.015), Across(_RIGHT + 0.03)
    return [*parts, svg.line(ends[0], start, ends[1], start, look.text, stroke_width=3, **crisp)]


def _labels(half: float, reserve: float, start: float, sides: Sequence[_Side], look: Look) -> list[Label]:
    labels = [(start, "start position", _signed(start), look.text)]
    for side in sides:
        labels.append((side.extreme, "extreme", _signed(side.extreme), look.words(side.state)))
        labels.append((side.significant, "significant", _signed(side.significant), ""))
        if abs(side.slow - start) > 0.005 * half:
            labels.append((side.slow, "slow travel to", _signed(side.slow), ""))
        if reserve > 0:
            labels.append((side.sign * (half - reserve / 2), "end reserve", fixed(reserve, 2), ""))
        past = side.sign * side.extreme - half
        spare = -past - reserve
        if spare > 0:
            labels.append((side.sign * (half - reserve - spare / 2), "spare", fixed(spare, 2), ""))
        elif past > 0:
            place = side.sign * (half + past / 2)
            labels.append((place, "past the end by", fixed(past, 2), look.words(OVER)))
    return labels


def _placed(labels: Sequence[Label], look: Look, level: Level) -> list[str]:
    """Labels right of the column, spread so that none overlap, each with a leader to its level.

    A leader is a short level line at the column, then slants to the label.
    """
    levels = [level(place) for place, *_ in labels]
    places = svg.spread(levels, _GAP, 20, HEIGHT - 20)
    found = []
    for (_, words, figure, colour), at, place in zip(labels, levels, places, strict=True):
        corners = ((_RIGHT + 0.005, at), (_RIGHT + 0.03, at), (_LABELS - 0.01, place))
        found += [
            svg.line(Across(x1), y1, Across(x2), y2, look.line) for (x1, y1), (x2, y2) in pairwise(corners)
        ]
        strong: Style = {"font_weight": 700} if colour else {}
        pieces: Pieces = ((f"{words} ", {}), (figure, strong))
        found.append(svg.text(Across(_LABELS), place, pieces, colour or look.muted))
    return found


def _ruler(half: float, look: Look, level: Level) -> list[str]:
    """Figures up the left side every round step, and the two ends."""
    per_unit = level(0) - level(1)
    step = next(s for s in (0.5, 1, 2, 5, 10, 20, 50, 100) if s * per_unit >= 40)
    count = math.floor(half / step + 1e-9)
    steps = [step * k for k in range(-count, count + 1) if abs(abs(step * k) - half) * per_unit >= 16]
    words: list[tuple[float, int | None, int, str]] = [(place, None, 12, look.muted) for place in steps]
    words += [(end, 2, 13, look.text) for end in (-half, half)]
    left = Across(_LEFT - 0.045)
    return [
        svg.text(left, level(place), _signed(place, decimals), colour, size=size, anchor="end")
        for place, decimals, size, colour in words
    ]


def _signed(place: float, decimals: int | None = 2) -> str:
    """A position with its sign; the middle is just 0."""
    if abs(place) < 5e-4:
        return "0"
    return ("+" if place > 0 else "") + (round_number(place) if decimals is None else fixed(place, decimals))
