"""The stroke column: the compensator's stroke upright and to scale, with everything that uses it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from heave.judging.checks import OVER, WITHIN
from heave.judging.results import StrokeBudget
from heave.screens.figures.look import Look, spread
from heave.screens.figures.svg import HATCH, Across, Style, percent, picture, spans, tag, text
from heave.units import display_value, show, unit_of

HEIGHT: Final = 500
_PADDING: Final = 30.0
_LEFT, _RIGHT = 0.20, 0.42
_LABELS: Final = 0.52
_GAP: Final = 19.0
"""Least distance between two labels [px]."""


@dataclass(frozen=True)
class _Label:
    place: float
    words: str
    value: str
    strong: bool = False
    colour: str = ""


@dataclass(frozen=True)
class _Scale:
    """From a place on the stroke, in the units on the screen, to a height in the picture [px]."""

    middle: float
    per_unit: float

    def __call__(self, place: float) -> float:
        return self.middle - self.per_unit * place


def stroke_figure(
    budget: StrokeBudget,
    look: Look,
    system: str = "metric",
    rising_state: str = WITHIN,
    falling_state: str = WITHIN,
) -> str:
    """The stroke box with slow travel, significant and extreme travel, and the end reserves, as SVG.

    Up is towards gas compression, the way the unit travels when the vessel rises. Each side is drawn
    in the colour of its check's state; travel past an end is drawn past the end.
    """
    half, reserve, start, up, down, significant_, extreme = (
        display_value(v, "length", system)
        for v in (
            budget.half_stroke,
            budget.reserve,
            budget.start,
            budget.static_rising,
            -budget.static_falling,
            budget.significant,
            budget.extreme,
        )
    )
    top = max(half, up + extreme)
    bottom = min(-half, down - extreme)
    per_unit = (HEIGHT - 2 * _PADDING) / (top - bottom)
    scale = _Scale(_PADDING + per_unit * top, per_unit)
    bars: list[str] = []
    for side, state, slow in ((1, rising_state, up), (-1, falling_state, down)):
        colour = look.fill(state)
        bars += [
            _band(start, slow + side * extreme, colour, 0.28),
            _band(start, slow + side * significant_, colour, 0.42),
            _band(start, slow, colour, 0.9),
        ]
        if side * (slow + side * extreme) > half:
            bars.append(_band(side * half, slow + side * extreme, look.fill(OVER), 0.55))
    labels = _labels(
        half, reserve, start, (up, down), significant_, extreme, look, (rising_state, falling_state)
    )
    unit = unit_of("length", system).symbol
    return picture(
        HEIGHT,
        "Stroke column, to scale",
        stroke_words(budget, system),
        look,
        *(
            _hatched(scale, end, end - side * reserve)
            for side, end in ((1, half), (-1, -half))
            if reserve > 0
        ),
        # the bars are written in the units on the screen and set to scale once, all together
        tag("g", "".join(bars + _frame(half, start, look)), transform=_set_to(scale)),
        *_placed(labels, look, scale),
        *_ruler(half, look, scale),
        text(Across(0.0), 8, f"{unit} · vessel rises, gas compressed", look.muted, size=12),
        text(Across(0.0), HEIGHT - 8, f"{unit} · vessel falls, gas expands", look.muted, size=12),
    )


def stroke_words(budget: StrokeBudget, system: str = "metric") -> str:
    """The stroke column in words, for those who cannot see it."""
    reach = [
        show(v, "length", system) for v in (budget.half_stroke, budget.rising, budget.falling, budget.reserve)
    ]
    return (
        f"Stroke column: {reach[0]} to each end; extreme travel {reach[1]} towards the end reached when the vessel "
        f"rises and {reach[2]} towards the other; end reserve {reach[3]}"
    )


def _set_to(scale: _Scale) -> str:
    return f"translate(0,{scale.middle:.9g}) scale(1,{-scale.per_unit:.9g})"


def _band(one: float, other: float, colour: str, opacity: float) -> str:
    return _box(one, other, fill=colour, opacity=opacity)


def _box(one: float, other: float, **style: str | float) -> str:
    return tag(
        "rect",
        x=percent(_LEFT),
        width=percent(_RIGHT - _LEFT),
        y=min(one, other),
        height=abs(one - other),
        **style,
    )


def _hatched(scale: _Scale, one: float, other: float) -> str:
    """The reserve at one end as a hatched field."""
    return _box(scale(one), scale(other), fill=f"url(#{HATCH})")


def _frame(half: float, start: float, look: Look) -> list[str]:
    """The box itself, mid-stroke dotted across it and the start position as a bar."""
    crisp: Style = {"vector_effect": "non-scaling-stroke"}
    return [
        _box(-half, half, fill="none", stroke=look.text, stroke_width=2, **crisp),
        _across(-0.03, 0.02, 0.0, stroke=look.muted, stroke_width=1.5, stroke_dasharray="2 3", **crisp),
        _across(-0.015, 0.03, start, stroke=look.text, stroke_width=3, **crisp),
    ]


def _across(left: float, right: float, level: float, **style: str | float) -> str:
    return tag("line", x1=percent(_LEFT + left), x2=percent(_RIGHT + right), y1=level, y2=level, **style)


def _labels(
    half: float,
    reserve: float,
    start: float,
    slow: tuple[float, float],
    significant_: float,
    extreme: float,
    look: Look,
    states: tuple[str, str],
) -> list[_Label]:
    labels = [_Label(start, "start position", _signed(start), strong=True)]
    for side, state, still in ((1, states[0], slow[0]), (-1, states[1], slow[1])):
        reach = still + side * extreme
        labels.append(_Label(reach, "extreme", _signed(reach), strong=True, colour=look.words(state)))
        labels.append(
            _Label(still + side * significant_, "significant", _signed(still + side * significant_))
        )
        if abs(still - start) > 0.005 * half:
            labels.append(_Label(still, "slow travel to", _signed(still)))
        spare = half - reserve - side * reach
        if reserve > 0:
            labels.append(_Label(side * (half - reserve / 2), "end reserve", f"{reserve:.2f}"))
        if spare > 0:
            labels.append(_Label(side * (half - reserve - spare / 2), "spare", f"{spare:.2f}"))
        elif side * reach > half:
            words = "past the end by"
            over = side * reach - half
            labels.append(_Label(side * (half + over / 2), words, f"{over:.2f}", True, look.words(OVER)))
    return labels


def _placed(labels: list[_Label], look: Look, scale: _Scale) -> list[str]:
    """Labels right of the column, spread so that none overlap, each with a leader to its level."""
    levels = [scale(item.place) for item in labels]
    places = spread(levels, _GAP, 20, HEIGHT - 20)
    found = []
    for item, level, place in zip(labels, levels, places, strict=True):
        found += _leader(level, place, look.line)
        strong: Style = {"font_weight": 700} if item.strong else {}
        colour = item.colour or (look.text if item.strong else look.muted)
        found.append(spans(Across(_LABELS), place, ((f"{item.words} ", {}), (item.value, strong)), colour))
    return found


def _leader(level: float, place: float, colour: str) -> list[str]:
    """A short level line at the column, then slanting to the label."""
    ends = ((_RIGHT + 0.005, level), (_RIGHT + 0.03, level), (_LABELS - 0.01, place))
    return [
        tag("line", x1=percent(x1), y1=round(y1, 2), x2=percent(x2), y2=round(y2, 2), stroke=colour)
        for (x1, y1), (x2, y2) in pairwise(ends)
    ]


def _ruler(half: float, look: Look, scale: _Scale) -> list[str]:
    """Figures up the left side every round step, and the two ends."""
    step = next(s for s in (0.5, 1, 2, 5, 10, 20, 50, 100) if s * scale.per_unit >= 40)
    count = math.floor(half / step + 1e-9)
    levels = [step * k for k in range(-count, count + 1)]
    clear = [level for level in levels if abs(abs(level) - half) * scale.per_unit >= 16]
    left = Across(_LEFT - 0.045)
    words = [
        text(left, scale(level), _signed(level, plain=True), look.muted, size=12, anchor="end")
        for level in clear
    ]
    words += [
        text(left, scale(side * half), _signed(side * half), look.text, anchor="end") for side in (-1, 1)
    ]
    return words


def _signed(value: float, plain: bool = False) -> str:
    """A position with its sign, two decimals at the most; the middle is just 0."""
    if abs(value) < 5e-4:
        return "0"
    text_ = f"{value:+g}" if plain else f"{value:+.2f}"
    return text_.replace("-", "\u2212")
