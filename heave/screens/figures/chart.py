"""What a Plotly chart is made of: the one template, lines, shapes and words, and how it is sent."""

from __future__ import annotations

import base64
import html
import importlib
import sys
from collections.abc import Iterable, Sequence
from typing import Any, Final

import numpy as np
import plotly.graph_objects as go

from heave.screens.figures.look import FONT, Look
from heave.units import per_cent, with_unit

HOVER: Final = {"displayModeBar": False, "scrollZoom": False}
"""Chart settings of a curve that is read by pointing at it."""

_PACKED: Final = {"float64": "f8", "float32": "f4", "int32": "i4", "int16": "i2", "int8": "i1", "uint8": "u1"}
"""Kinds of array that travel as bytes, with the browser's names for them."""

_DRAWN: Final = ("y", "z")
"""Of a trace, what is drawn to its axis and read off it in a few digits; times along `x` need every digit."""

_SEEN: Final = 1e-5
"""Least part of a range of figures that could be seen, a hundredth of a pixel."""

Parts = dict[str, Any]
"""A trace, a shape, words or an axis as the browser reads it."""


_TOP: Final = {"y": 1, "yref": "container", "yanchor": "top"}
"""Of a legend: at the top of the figure, where it stays when lines of names come or go with the width of the window."""

ON_AXES: Final = {"yref": "paper", "yanchor": "bottom"}
"""Of a legend: its foot at `y`, a share of the height of the axes."""

UNREAD: Final = {"hoverinfo": "skip", "showlegend": False}
"""Of a trace that pointing and the legend pass over."""


class Chart(go.Figure):  # type: ignore[misc]
    """A figure that is sent as it was put together.

    Plotly checks and copies every value of a figure when it is made, and all of them again when it is shown:
    five times what the rest of drawing it takes. So that is left until somebody looks into the figure, as
    tests do, which hold every one of them to Plotly's own rules.
    """

    def __init__(self, traces: Sequence[Parts], layout: Parts, frames: Sequence[Parts] = ()) -> None:
        self.__dict__["_parts"] = {"data": traces, "layout": layout} | ({"frames": frames} if frames else {})

    def __getattr__(self, name: str) -> Any:
        parts = self.__dict__.pop("_parts", None)
        if parts is None:
            raise AttributeError(name)
        # maybe half imported by another thread, and Plotly would use it so: wait for it
        if "pandas" in sys.modules:
            importlib.import_module("pandas")
        super().__init__(parts)
        return getattr(self, name)

    @property
    def parts(self) -> dict[str, Any]:
        """Traces and layout as they were put together, arrays as arrays."""
        return self.__dict__.get("_parts") or dict(super().to_dict())

    def to_dict(self) -> dict[str, Any]:
        """What is sent: the parts as they are, arrays as bytes."""
        parts = self.__dict__.get("_parts")
        if parts is None:
            return dict(super().to_dict())
        return {**parts, "data": [_packed(trace) for trace in parts["data"]]}


def _packed(part: Any) -> Any:
    """A trace with its arrays as bytes: a third of the size of their digits, and quicker to write."""
    if isinstance(part, dict):
        return {key: _packed(_halved(value) if key in _DRAWN else value) for key, value in part.items()}
    if not isinstance(part, np.ndarray):
        return part
    if part.dtype == np.int64 and part.size and abs(part).max() < 2**31:
        part = part.astype(np.int32)
    kind = _PACKED.get(str(part.dtype))
    if kind is None or not part.size:
        return part
    shape = {"shape": ", ".join(map(str, part.shape))} if part.ndim > 1 else {}
    return {"dtype": kind, "bdata": base64.b64encode(part.tobytes()).decode("ascii"), **shape}


def _halved(values: Any) -> Any:
    """Figures in single precision where that moves none by as much as can be seen; anything else as it is."""
    if not isinstance(values, np.ndarray) or values.dtype != np.float64:
        return values
    known = values[np.isfinite(values)]
    with np.errstate(over="ignore"):  # what overflows is infinitely far off
        small = known.astype(np.float32)
    seen = _SEEN * np.ptp(known) if known.size else 0.0
    return values if known.size and abs(small - known).max() > seen else values.astype(np.float32)


def figure(
    look: Look,
    traces: Sequence[Parts],
    *,
    height: int = 300,
    frames: Sequence[Parts] = (),
    head: int = 30,
    **layout: Any,
) -> Chart:
    """A figure in the one template: transparent paper, quiet grid, unified hover, no legend frame.

    `head` is the least room over the axes [px]: the legend makes it higher where its names take more lines. The title
    of an axis may be given as its words alone, which then stand as they are.
    """
    axis = {
        "gridcolor": look.track,
        "linecolor": look.line,
        "zeroline": False,
        "ticks": "outside",
        "tickcolor": look.line,
        "ticklen": 4,
        "fixedrange": True,
        "automargin": True,
        "separatethousands": True,
        "exponentformat": "none",
    }
    font = {"family": FONT, "size": 13, "color": look.text}
    base = {
        "height": height,
        "font": font,
        "paper_bgcolor": "rgba(0,0,0,0)",
        "plot_bgcolor": "rgba(0,0,0,0)",
        "margin": {"l": 8, "r": 8, "t": head, "b": 8},
        "hovermode": "x unified",
        "hoverlabel": {"font": {**font, "size": 12}, "bgcolor": look.ground, "align": "left"},
        "dragmode": False,
        "autotypenumbers": "strict",
        "separators": ".\u202f",
    }
    legend = {"orientation": "h", "x": 0, **_TOP, "traceorder": "normal"}
    layout["legend"] = {**legend, "font": {"size": 12}, **layout.get("legend", {})}
    for key in [name for name in layout if name.startswith(("xaxis", "yaxis"))]:
        given = layout[key].get("title", {})
        told = {"text": as_it_stands(given)} if isinstance(given, str) else given
        title = {"standoff": 8, "font": {"size": 12.5, "color": look.muted}, **told}
        layout[key] = {**axis, **layout[key], "title": title}
    return Chart(traces, {**base, **layout}, frames)


def reading(symbol: str, axis: str = "y", decimals: int | None = None) -> str:
    """What pointing at a place of a chart reads off it, written as the numbers of the pages are.

    Parameters
    ----------
    symbol : of the unit; may be empty
    axis : x or y
    decimals : so many places after the point; three figures where none are given
    """
    form = ",.3r" if decimals is None else f",.{decimals}f"
    return with_unit(f"%{{{axis}:{form}}}", symbol)


def told_in_per_cent(shares: Iterable[float]) -> Parts:
    """Of a trace of shares, what pointing at each says."""
    return {"customdata": [per_cent(float(share)) for share in shares], "hovertemplate": "%{customdata}"}


SHARES: Final[Parts] = {
    "range": [0, 1.02],
    "tickvals": [0, 0.25, 0.5, 0.75, 1],
    "ticktext": [per_cent(share) for share in (0, 0.25, 0.5, 0.75, 1)],
}
"""Of an axis of shares."""


def stroke(colour: str, width: float, dash: str = "") -> Parts:
    """How a line is drawn."""
    return {"color": colour, "width": width, **({"dash": dash} if dash else {})}


def line(name: str, colour: str, width: float = 2, dash: str = "", /, **more: Any) -> Parts:
    """A line of a chart; its places and figures are `x` and `y`."""
    drawn = {"name": as_it_stands(name), "line": stroke(colour, width, dash)}
    return {"type": "scatter", "mode": "lines", **drawn, **more}


def bar(name: str, x: Sequence[str], shares: Sequence[float], marker: Parts) -> Parts:
    """Bars of shares over places with names."""
    return {"type": "bar", "name": name, "x": x, "y": shares, "marker": marker, **told_in_per_cent(shares)}


def points(name: str, **more: Any) -> Parts:
    """Points of a chart; their places and figures are `x` and `y`."""
    return {"type": "scatter", "mode": "markers", "name": as_it_stands(name), **more}


def as_it_stands(words: str) -> str:
    """Text of a file or a person in a chart, where the browser reads tags: none comes of it."""
    return html.escape(words, quote=False)


def shape(x: tuple[Any, Any], y: tuple[Any, Any], **style: Any) -> Parts:
    """A rectangle between two corners, or a line where both are at one place or height."""
    kind = "line" if x[0] == x[1] or y[0] == y[1] else "rect"
    return {"type": kind, "x0": x[0], "x1": x[1], "y0": y[0], "y1": y[1], **style}


def upright(x0: Any, x1: Any, **style: Any) -> Parts:
    """A band from foot to top of the figure, or a line where both places are one."""
    return shape((x0, x1), (0, 1), yref="paper", **style)


def across(y0: float, y1: float, **style: Any) -> Parts:
    """A band from end to end of the figure, or a line where both heights are one."""
    return shape((0, 1), (y0, y1), xref="paper", **style)


def note(words: str, x: Any, y: float, colour: str, size: float = 12.5, /, **more: Any) -> Parts:
    """Words on a figure, to the right of and over their place unless told otherwise."""
    held = {"xanchor": "left", "yanchor": "bottom", "showarrow": False}
    return {"text": words, "x": x, "y": y, "font": {"size": size, "color": colour}, **held, **more}


def row_name(words: str, y: float, colour: str, size: float = 12.5, /, **more: Any) -> Parts:
    """The name of a row or panel at its left end, a little inside, clear of a line at the very beginning."""
    return note(words, 0, y, colour, size, xref="paper", xshift=4, **more)


def faint(colour: str, opacity: float) -> str:
    """A colour that lets what is under it through."""
    red, green, blue = (int(colour[place : place + 2], 16) for place in (1, 3, 5))
    return f"rgba({red},{green},{blue},{opacity})"
