"""Still pictures as text: what a picture is made of, at places that follow the width it is shown at.

A place across is a share of the width and so many pixels beside it. Heights and letters are in pixels, so
that the same picture is as readable on a telephone as on a wide screen, where a drawing that is scaled as a
whole would have letters of half the size.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import Final

from heave.screens.figures.look import FONT, Look

HATCH: Final = "hatch"
"""Name of the hatched fill a picture may ask for."""


Style = dict[str, str | float]
"""Attributes of an element by name."""


@dataclass(frozen=True)
class Across:
    """A place across the picture: a share of its width, and pixels to the right of that."""

    share: float
    pixels: float = 0.0


def tag(name: str, content: str = "", /, **attributes: str | float) -> str:
    """One element; names of attributes are written with underscores, numbers to nine digits."""
    words = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{escape(_number(value))}"'
        for key, value in attributes.items()
    )
    return f"<{name}{words}>{content}</{name}>" if content else f"<{name}{words}/>"


def _number(value: str | float) -> str:
    return value if isinstance(value, str) else f"{value:.9g}"


def percent(share: float) -> str:
    """A share of the width."""
    return f"{100 * share:.9g}%"


def text(
    across: Across, y: float, words: str, colour: str, *, size: float = 13, anchor: str = "start", **more: str
) -> str:
    """A line of text whose middle is at height `y`; what is in `words` is escaped."""
    return _text(across, y, escape(words), colour, size, anchor, more)


def spans(
    across: Across,
    y: float,
    parts: Sequence[tuple[str, Style]],
    colour: str,
    *,
    size: float = 13,
    anchor: str = "start",
) -> str:
    """A line of several pieces, each with attributes of its own."""
    inner = "".join(tag("tspan", escape(words), **look) if words else "" for words, look in parts)
    return _text(across, y, inner, colour, size, anchor, {})


def _text(
    across: Across, y: float, inner: str, colour: str, size: float, anchor: str, more: dict[str, str]
) -> str:
    return tag(
        "text",
        inner,
        x=percent(across.share),
        y=round(y, 2),
        dx=across.pixels,
        dy=round(0.36 * size, 2),
        fill=colour,
        font_size=size,
        text_anchor=anchor,
        **more,
    )


def upright(across: Across, low: float, high: float, colour: str, width: float, dash: str = "") -> str:
    """An upright line between two heights."""
    dashes: Style = {"stroke_dasharray": dash} if dash else {}
    x = percent(across.share)
    return tag(
        "line",
        x1=x,
        x2=x,
        y1=round(low, 2),
        y2=round(high, 2),
        stroke=colour,
        stroke_width=width,
        transform=f"translate({across.pixels:.9g},0)",
        **dashes,
    )


def picture(height: float, title: str, words: str, look: Look, *parts: str) -> str:
    """The whole picture: as wide as where it is shown, `height` px high, named and told in words."""
    stripes = tag("path", d="M-2 2 2 -2M0 8 8 0M6 10 10 6", stroke=look.muted, stroke_width=1.3)
    hatch = tag("pattern", stripes, id=HATCH, width=8, height=8, patternUnits="userSpaceOnUse")
    inner = tag("title", escape(title), id="title") + tag("desc", escape(words), id="desc")
    return tag(
        "svg",
        inner
        + (tag("defs", hatch) if any(f"url(#{HATCH})" in part for part in parts) else "")
        + "".join(parts),
        xmlns="http://www.w3.org/2000/svg",
        width="100%",
        height=round(height, 1),
        role="img",
        aria_labelledby="title desc",
        font_family=FONT,
    )
