"""A scatter diagram as a picture: every class a vessel of water, filled as far as the operation can be worked in it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from heave.arrays import FloatArray
from heave.judging.checks import NOT_ASSESSED, OVER, WITHIN
from heave.screens.figures import svg
from heave.screens.figures.look import Look
from heave.studies.climate import ClassShares
from heave.units import per_cent, significant, unit_of

_ROW = 25.0
_LEFT = 46.0
_FOOT = 34.0
_HEAD = 24.0
_PALE = 0.0005
_SMALL = 0.005
_TOLD = 0.001
_WIDEST = 3000  # px, of the picture


@dataclass(frozen=True)
class Axes:
    """Limits of the classes of height [m] and period [s], and the kind of the period."""

    hs: FloatArray
    period: FloatArray
    kind: str


def classes_figure(axes: Axes, shares: ClassShares, look: Look, system: str = "metric") -> svg.Picture:
    """The picture: heights upwards, periods across; the number is the share of the time in per cent.

    Blue stands as high as the share of the class that can be worked. Over it is what is over a limit, hatched; what is
    not assessed is left open with a dotted edge. Rare classes are drawn small.
    """
    rows, columns = np.nonzero(shares.weight > 0)
    if not rows.size:
        return svg.Picture(60, "Scatter diagram", "No seas.")
    low, high = int(rows.min()), int(rows.max())
    first, last = int(columns.min()), int(columns.max())
    count = last - first + 1
    bottom = _HEAD + (high - low + 1) * _ROW
    cells, over, words_in = "", "", ""
    for row, column in zip(rows.tolist(), columns.tolist(), strict=True):
        left, right = ((column - first + side) / count for side in (0, 1))
        foot = bottom - (row - low) * _ROW
        filled, striped, told = _cell(shares, row, column, left, right, foot, look)
        cells, over, words_in = cells + filled, over + striped, words_in + told
    parts = [cells, _stripes(over, bottom, look), words_in]
    unit = unit_of("length", system)
    for place in range(low, high + 2):
        height = bottom - (place - low) * _ROW
        parts.append(svg.line(svg.Across(0, _LEFT - 5), height, svg.Across(0, _LEFT), height, look.line))
        parts.append(_label(svg.Across(0, _LEFT - 8), height, axes.hs[place] / unit.factor, "end", look))
    step = 1 if count <= 10 else 2
    for place in range(first, last + 2, step):
        share = (place - first) / count
        anchor = "end" if place == last + 1 else "middle"
        parts.append(_label(_across(share), bottom + 11, axes.period[place], anchor, look))
    parts.append(svg.text(svg.Across(0, 0), 9, f"Hs, {unit.symbol}", look.muted, size=12))
    kind = f"{axes.kind}, s"
    parts.append(svg.text(svg.Across(1.0, -2), bottom + 26, kind, look.muted, size=12, anchor="end"))
    words = classes_words(axes, shares, system)
    return svg.Picture(bottom + _FOOT, "Seas by class, and how far each can be worked", words, *parts)


def _across(share: float) -> svg.Across:
    """A place between the scale of heights and the right edge."""
    return svg.Across(share, _LEFT * (1 - share) - 2 * share)


def _label(place: svg.Across, y: float, value: float, anchor: str, look: Look) -> str:
    words = "open" if np.isinf(value) else f"{round(float(value), 2):g}"
    return svg.text(place, y, words, look.muted, size=11, anchor=anchor)


def _stripes(over: str, height: float, look: Look) -> str:
    """Stripes where boxes are over a limit: of a pattern the browser prints a photograph for each box."""
    far = int(height)
    drawn = "".join(f"M{x} {far}l{far} -{far}" for x in range(-far, _WIDEST, 7))
    clip = svg.tag("defs", svg.tag("clipPath", over, id="over"))
    return clip + svg.tag("path", d=drawn, clip_path="url(#over)", stroke=look.ground, stroke_width=1.1)


def _cell(
    shares: ClassShares, row: int, column: int, left: float, right: float, foot: float, look: Look
) -> tuple[str, str, str]:
    """Of a class its boxes, of those the one over a limit once more, and its words."""
    weight = float(shares.weight[row, column])
    small = 6.5 if weight < _PALE else 3.5 if weight < _SMALL else 1.0
    parts = [float(getattr(shares, name)[row, column]) for name in ("workable", "over", "unknown")]
    height = _ROW - 2 * small
    y = foot - small
    found = over = words = ""
    fills = (look.fill(WITHIN), look.fill(OVER), "none")
    grey = look.fill(NOT_ASSESSED)
    dashed: svg.Style = {"stroke": grey, "stroke_width": 1.2, "stroke_dasharray": "2 2"}
    for share, fill in zip(parts, fills, strict=True):
        if share <= 0:
            continue
        top = y - share * height
        place = _box(left, right, top, y, small)
        found += svg.tag("rect", fill=fill, **place, **(dashed if fill == "none" else {}))
        if fill == look.fill(OVER):
            over = svg.tag("rect", **place)
        y = top
    if weight >= _TOLD:
        middle = _across((left + right) / 2)
        words = svg.text(
            middle,
            foot - _ROW / 2,
            _per_cent(weight),
            "#FFFFFF" if parts[2] < 0.5 else look.text,
            size=9.5,
            anchor="middle",
            font_weight="600",
            paint_order="stroke",
            stroke="#10161E" if parts[2] < 0.5 else look.ground,
            stroke_width=2.2,
        )
    return found, over, words


def _box(left: float, right: float, top: float, foot: float, inset: float) -> svg.Style:
    """Where a box of a class stands; its width is a share of what is beside the scale."""
    one, other = _across(left), _across(right)
    x = f"calc({svg.percent(one.share)} + {one.pixels + inset * 0.6:.4g}px)"
    pixels = other.pixels - one.pixels - 1.2 * inset
    width = f"calc({svg.percent(other.share - one.share)} + {pixels:.4g}px)"
    return {"y": round(top, 2), "height": round(foot - top, 2), "style": f"x:{x};width:{width}"}


def _per_cent(weight: float) -> str:
    return f"{100 * weight:.1f}" if weight < 0.095 else f"{100 * weight:.0f}"


def classes_words(axes: Axes, shares: ClassShares, system: str = "metric") -> str:
    """The picture in words: for each class of height how much of the time it is, and how far it can be worked."""
    unit = unit_of("length", system)
    told = []
    for row in range(axes.hs.size - 1):
        weight = float(shares.weight[row].sum())
        if weight > 0:
            workable = float(np.nansum(shares.workable[row] * shares.weight[row])) / weight
            ends = " to ".join(significant(float(axes.hs[row + side]) / unit.factor) for side in (0, 1))
            told.append(
                f"Hs {ends} {unit.symbol}: {100 * weight:.2g}\u00a0% of the time, {per_cent(workable)} of it workable"
            )
    return "; ".join(told) + "."
