"""One look for every figure: colours, template, state marks, and labels that keep their distance."""

from __future__ import annotations

import base64
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

import numpy as np
import plotly.graph_objects as go

from heave.judging.checks import NEAR, NOT_ASSESSED, OVER, WITHIN

FONT: Final = "system-ui, 'DejaVu Sans', 'Liberation Sans', Arial, sans-serif"

STILL: Final = {"staticPlot": True, "displayModeBar": False}
"""Chart settings of a picture: nothing on it moves, so a finger scrolls the page."""

HOVER: Final = {"displayModeBar": False, "scrollZoom": False}
"""Chart settings of a curve that is read by pointing at it."""

FILLS: Final = {WITHIN: "#0072B2", NEAR: "#E69F00", OVER: "#D55E00", NOT_ASSESSED: "#7A8696"}
"""Fill of each state: blue, orange and vermillion of the Okabe–Ito palette, and a grey."""


@dataclass(frozen=True)
class Look:
    """Colours for one background; text shades of the states keep at least 4.5 : 1 on it."""

    name: str
    text: str
    muted: str
    line: str
    track: str
    ground: str
    state_text: dict[str, str] = field(hash=False)
    sea: str
    heave: str
    transfer: str

    def fill(self, state: str) -> str:
        """Fill colour of a state."""
        return FILLS[state]

    def words(self, state: str) -> str:
        """Text colour of a state."""
        return self.state_text[state]


LIGHT: Final = Look(
    name="light",
    text="#16202C",
    muted="#566273",
    line="#9AA5B4",
    track="#E6EAF0",
    ground="#FFFFFF",
    state_text={WITHIN: "#005A8D", NEAR: "#805600", OVER: "#A34700", NOT_ASSESSED: "#566273"},
    sea="#0072B2",
    heave="#D55E00",
    transfer="#566273",
)
DARK: Final = Look(
    name="dark",
    text="#E8EDF3",
    muted="#A9B5C3",
    line="#667587",
    track="#26313D",
    ground="#10161E",
    state_text={WITHIN: "#7CC4EE", NEAR: "#F0B63C", OVER: "#F59563", NOT_ASSESSED: "#A9B5C3"},
    sea="#56B4E9",
    heave="#E8702A",
    transfer="#A9B5C3",
)


def look_for(theme: str | None) -> Look:
    """The look for a theme type, 'light' or 'dark'; light where it is not known."""
    return DARK if theme == "dark" else LIGHT


_PACKED: Final = {"float64": "f8", "float32": "f4", "int32": "i4", "int16": "i2", "int8": "i1", "uint8": "u1"}
"""Kinds of array that travel as bytes, with the browser's names for them."""


class Chart(go.Figure):  # type: ignore[misc]
    """A figure that is sent as it was put together.

    Plotly checks and copies every value of a figure when it is made, and all of them again when it is shown:
    five times what the rest of drawing it takes. So that is left until somebody looks into the figure, as
    tests do, which hold every one of them to Plotly's own rules.
    """

    def __init__(
        self,
        traces: Sequence[Any],
        layout: Mapping[str, Any],
        frames: Sequence[Mapping[str, Any]] = (),
    ) -> None:
        data = [trace if isinstance(trace, dict) else trace.to_plotly_json() for trace in traces]
        self.__dict__["_parts"] = {"data": data, "layout": layout} | ({"frames": frames} if frames else {})

    def __getattr__(self, name: str) -> Any:
        parts = self.__dict__.pop("_parts", None)
        if parts is None:
            raise AttributeError(name)
        super().__init__(parts)
        return getattr(self, name)

    def to_dict(self) -> dict[str, Any]:
        """What is sent: the parts as they are, arrays as bytes."""
        parts = self.__dict__.get("_parts")
        if parts is None:
            return dict(super().to_dict())
        return {**parts, "data": [_packed(trace) for trace in parts["data"]]}


def scatter(**properties: Any) -> dict[str, Any]:
    """A line, points or text in a chart."""
    return {"type": "scatter", **properties}


def _packed(part: Any) -> Any:
    """A trace with its arrays as bytes: a third of the size of their digits, and quicker to write."""
    if isinstance(part, dict):
        return {key: _packed(value) for key, value in part.items()}
    if not isinstance(part, np.ndarray):
        return part
    if part.dtype.kind == "i" and part.size and abs(part).max() < 2**31:
        part = part.astype(np.int32)
    kind = _PACKED.get(str(part.dtype))
    if kind is None or not part.size:
        return part
    shape = {"shape": ", ".join(map(str, part.shape))} if part.ndim > 1 else {}
    return {"dtype": kind, "bdata": base64.b64encode(part.tobytes()).decode("ascii"), **shape}


def figure(
    look: Look,
    traces: Sequence[Any],
    *,
    height: int,
    frames: Sequence[Mapping[str, Any]] = (),
    **layout: Any,
) -> Chart:
    """A figure in the one template: transparent paper, quiet grid, unified hover, no legend frame."""
    axis: dict[str, Any] = {
        "gridcolor": look.track,
        "linecolor": look.line,
        "zeroline": False,
        "ticks": "outside",
        "tickcolor": look.line,
        "ticklen": 4,
        "title": {"standoff": 8, "font": {"size": 12.5, "color": look.muted}},
        "fixedrange": True,
        "automargin": True,
    }
    base: dict[str, Any] = {
        "height": height,
        "font": {"family": FONT, "size": 13, "color": look.text},
        "paper_bgcolor": "rgba(0,0,0,0)",
        "plot_bgcolor": "rgba(0,0,0,0)",
        "margin": {"l": 8, "r": 8, "t": 8, "b": 8},
        "hovermode": "x unified",
        "hoverlabel": {
            "font": {"family": FONT, "size": 12, "color": look.text},
            "bgcolor": look.ground,
            "align": "left",
        },
        "legend": {
            "orientation": "h",
            "x": 0,
            "y": 1.02,
            "yanchor": "bottom",
            "traceorder": "normal",
            "font": {"size": 12},
        },
        "dragmode": False,
        "autotypenumbers": "strict",
    }
    for key in [name for name in layout if name.startswith(("xaxis", "yaxis"))]:
        title = {**axis["title"], **layout[key].get("title", {})}
        layout[key] = {**axis, **layout[key], "title": title}
    return Chart(traces, {**base, **layout}, frames)


_TOPS: Final = {WITHIN: -1, NEAR: 5, OVER: 11, NOT_ASSESSED: -7}
_LEVELS: Final = {WITHIN: 6, NEAR: 6, OVER: 3, NOT_ASSESSED: 6}


def _mark(state: str) -> tuple[str, str]:
    level, top = _LEVELS[state], _TOPS[state]
    whole = f"M -11 {level} L 11 {level}"
    broken = f"M -11 {level} L -7 {level} M -2 {level} L 2 {level} M 7 {level} L 11 {level}"
    swell = f"M -11 -10 L -11 -7 C -6 -7 -5 {top} 0 {top} C 5 {top} 6 -7 11 -7 L 11 -10 Z"
    return (broken if state == NOT_ASSESSED else whole, swell)


_MARKS: Final = {state: _mark(state) for state in _TOPS}
"""Our mark: a level line, the limit, and a swell well below it, up to it, or through it; y is up."""


def mark_paths(state: str) -> tuple[str, str]:
    """The two strokes of a state's mark, limit line and swell, about its centre in px, y up."""
    return _MARKS[state]


def mark_parts(state: str, look: Look) -> str:
    """A state's mark as SVG about its centre, y up."""
    limit, swell = _MARKS[state]
    colour = look.words(state)
    fill = "none" if state == NOT_ASSESSED else colour  # empty where there is no answer
    return (
        f'<g stroke="{colour}" stroke-linejoin="round"><path d="{swell}" fill="{fill}" stroke-width="1"/>'
        f'<path d="{limit}" fill="none" stroke-width="1.8"/></g>'
    )


def mark_svg(state: str, look: Look, size: int = 44) -> str:
    """A state's mark as a small SVG picture."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{size}" height="{size}" viewBox="-12 -12 24 24">'
        f'<g transform="scale(1,-1)">{mark_parts(state, look)}</g></svg>'
    )


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
    found = [0.0] * count
    for rank, item in enumerate(order):
        found[item] = float(flat[rank]) + rank * gap
    return found
