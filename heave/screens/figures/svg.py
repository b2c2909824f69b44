"""Still pictures as text: what a picture is made of, at places that follow the width it is shown at.

A place across is a share of the width and so many pixels beside it. Heights and letters are in pixels, so
that the same picture is as readable on a telephone as on a wide screen, where a drawing that is scaled as a
whole would have letters of half the size.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import Any

import numpy as np

from heave.judging.checks import NEAR
from heave.screens.figures.look import FONT, Look

Style = dict[str, str | float]
"""Attributes of an element by name."""

Pieces = Sequence[tuple[str, Style]]
"""Words in several pieces, each with attributes of its own."""


@dataclass(frozen=True)
class Across:
    """A place across the picture: a share of its width, and pixels to the right of that."""

    share: float
    pixels: float = 0.0


def tag(name: str, content: str = "", /, **attributes: str | float) -> str:
    """One element; names of attributes are written with underscores, numbers to nine digits."""
    words = ""
    for key, value in attributes.items():
        told = escape(value) if isinstance(value, str) else f"{value:.9g}"
        words += f' {key.replace("_", "-")}="{told}"'
    return f"<{name}{words}>{content}</{name}>" if content else f"<{name}{words}/>"


def percent(share: float) -> str:
    """A share of the width."""
    return f"{100 * share:.9g}%"


def text(
    across: Across,
    y: float,
    words: str | Pieces,
    colour: str,
    *,
    size: float = 13,
    anchor: str = "start",
    **more: str | float,
) -> str:
    """A line of text, or of pieces of it, whose middle is at height `y`; what is in `words` is escaped."""
    if isinstance(words, str):
        inner = escape(words)
    else:
        inner = "".join(tag("tspan", escape(piece), **style) for piece, style in words if piece)
    place: Style = {"x": percent(across.share), "y": round(y, 2)}
    shift: Style = {"dx": across.pixels, "dy": round(0.36 * size, 2)}
    return tag("text", inner, **place, **shift, fill=colour, font_size=size, text_anchor=anchor, **more)


def line(start: Across, y1: float, end: Across, y2: float, colour: str, **style: str | float) -> str:
    """A line between two places, both pushed by the pixels of the second."""
    x1, x2 = percent(start.share), percent(end.share)
    ends: Style = {"x1": x1, "y1": round(y1, 2), "x2": x2, "y2": round(y2, 2)}
    return tag("line", **ends, stroke=colour, transform=f"translate({end.pixels:.9g},0)", **style)


def upright(across: Across, low: float, high: float, colour: str, width: float, dash: str = "none") -> str:
    """An upright line between two heights."""
    return line(across, low, across, high, colour, stroke_width=width, stroke_dasharray=dash)


def box(left: Across, right: Across, one: float, other: float, fill: str, **style: str | float) -> str:
    """A rectangle between two places and two heights, pushed by the pixels of the second place."""
    across = {"x": percent(left.share), "width": percent(right.share - left.share)}
    sides = {"y": min(one, other), "height": abs(one - other)}
    return tag("rect", **across, **sides, fill=fill, transform=f"translate({right.pixels:.9g},0)", **style)


def grain(state: str, look: Look) -> str:
    """What tells a state apart where there is no colour: dots near a limit, stripes over one; within is plain."""
    if state == NEAR:
        ink, size = tag("circle", cx=3, cy=3, r=1.3, fill=look.ink), 6
    else:
        ink, size = tag("path", d="M-2 -2L10 10M-2 6L2 10M6 -2L10 2", stroke=look.ink, stroke_width=1.6), 8
    return tag("pattern", ink, id=grain_name(state), width=size, height=size, patternUnits="userSpaceOnUse")


def grain_name(state: str) -> str:
    """The name of the pattern of a state in its picture."""
    return state.replace(" ", "-") + "-grain"


class Picture(str):
    """The whole picture: as wide as where it is shown, `height` px high, named and told in `words`, which it holds."""

    words: str

    def __new__(cls, height: float, title: str, words: str, *parts: str) -> Picture:
        named = tag("title", escape(title), id="title") + tag("desc", escape(words), id="desc")
        size: Style = {"xmlns": "http://www.w3.org/2000/svg", "width": "100%", "height": round(height, 1)}
        told: Style = {"role": "img", "aria_labelledby": "title desc", "font_family": FONT}
        made = super().__new__(cls, tag("svg", named + "".join(parts), **size, **told))
        made.words = words
        return made


def scaled(content: str, view: str, size: float, **more: str) -> str:
    """A picture for paper, in a `view` that is scaled as a whole, letters of a `size` in it."""
    how: Style = {"width": "100%", "role": "img", "font_family": FONT, "font_size": size}
    return tag("svg", content, viewBox=view, **how, **more)


def round_step(least: float) -> float:
    """The smallest of 1, 2, 5, 10 … that is at least `least`."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(factor * power for factor in (1, 2, 5, 10) if factor * power >= least * (1 - 1e-9))


def clear(look: Look, width: float) -> dict[str, Any]:
    """Of words that stand clear of the lines behind them: a rim of the ground."""
    return {"stroke": look.ground, "stroke_width": width, "stroke_linejoin": "round", "paint_order": "stroke"}


def spread(places: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Places for labels, as near to `places` as can be, at least `gap` apart and inside [low, high].

    Least-squares answer by pooling neighbours that push each other (isotonic regression on the
    places less their share of the gaps). Where the gaps do not fit they shrink alike.
    """
    count = len(places)
    if count == 0:
        return []
    if count > 1:
        gap = min(gap, (high - low) / (count - 1))
    order = sorted(range(count), key=lambda item: places[item])
    pools: list[tuple[float, int]] = []
    for rank, item in enumerate(order):
        pools.append((places[item] - rank * gap, 1))
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            (first, few), (second, more) = pools[-2], pools[-1]
            pools[-2:] = [((first * few + second * more) / (few + more), few + more)]
    flat = np.repeat([mean for mean, _ in pools], [size for _, size in pools])
    flat = np.clip(flat, low, high - (count - 1) * gap)
    found = np.empty(count)
    found[order] = flat + gap * np.arange(count)
    places_found: list[float] = found.tolist()
    return places_found
