"""Every check as a bar, most used first, with its figures, its state in words and its mark."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Final

from heave.judging.checks import NOT_ASSESSED, Check
from heave.screens.figures.look import Look, mark_parts
from heave.screens.figures.svg import Across, Picture, Pieces, box, line, percent, tag, text, upright
from heave.simulation.proof import Simulated
from heave.units import fixed, significant

ROW: Final = 52
"""Height of one check [px]."""

_HEAD: Final = 26
_GUTTER: Final = 164
"""Room right of the bars for the mark and the state [px]."""

_NAME, _TOP, _BAR, _UNDER = 11.0, 22.0, 14.0, 42.5
"""Within a row: middle of the name, top of the bar, height of the bar, middle of what is simulated [px]."""

_NONE: Final[Mapping[str, Simulated]] = MappingProxyType({})

_SHOWS: Final = 0.005
"""Least length of a whisker that can be seen."""

_LONGEST: Final = 1.5
"""Bars longer than this are drawn to it with an open end; the figure beside them is never cut."""


def utilisation_figure(
    checks: Sequence[Check],
    caution_level: float,
    look: Look,
    system: str = "metric",
    simulated: Mapping[str, Simulated] = _NONE,
) -> Picture:
    """One row a check in the order given, as SVG: name and demand of capacity above a bar to scale.

    What simulation gives, by key of the check, is an open diamond under the bar with its interval.
    """
    ends = [_drawn(value) for check in checks for value in (check.utilisation, check.high)]
    ends += [_drawn(figure.interval[1]) for figure in simulated.values()]
    reach = max(1.08, 1.02 * max(ends, default=0.0))
    near, limit = _at(caution_level, reach), _at(1.0, reach)
    heads = [
        text(near, 11, f"near from {caution_level:.2f}", look.muted, size=12, anchor="end"),
        text(limit, 11, "limit 1", look.muted, size=12),
    ]
    if simulated:
        heads += [_shape(Across(1.0, 17 - _GUTTER), 11, look), _beside("simulated", 11, look)]
    rows: list[str] = []
    for place, check in enumerate(checks):
        used, high = (_at(_drawn(value), reach) for value in (check.utilisation, check.high))
        rows += _row(check, _HEAD + ROW * place, near, limit, (used, high), look, system)
        if check.key in simulated:
            rows += _diamond(simulated[check.key], _HEAD + ROW * place + _UNDER, reach, look)
    marks = "".join(
        tag("g", mark_parts(state, look), id=_mark_name(state), transform="scale(1,-1)")
        for state in sorted({check.state for check in checks})
    )
    height, words = _HEAD + ROW * max(len(checks), 1) + 4, utilisation_words(checks, simulated)
    return Picture(height, "Every check, most used first", words, tag("defs", marks), *heads, *rows)


def utilisation_words(checks: Sequence[Check], simulated: Mapping[str, Simulated] = _NONE) -> str:
    """The bars in words, for those who cannot see them."""
    rows = [f"{c.name} {utilisation_text(c.utilisation)}{_up_to(c)}, {c.state}" for c in checks]
    for place, check in enumerate(checks):
        if check.key in simulated:
            rows[place] += f", simulated {simulated_text(simulated[check.key])}"
    return "; ".join(rows)


def simulated_text(figure: Simulated) -> str:
    """A simulated utilisation with the interval it lies in."""
    low, high = (utilisation_text(end) for end in figure.interval)
    return f"{utilisation_text(figure.utilisation)} ({low} to {high})"


def _diamond(figure: Simulated, y: float, reach: float, look: Look) -> list[str]:
    """The simulated figure under its bar, with the interval as a line through it, and in words beside it."""
    low, high = (_at(_drawn(end), reach) for end in figure.interval)
    place = _at(_drawn(figure.utilisation), reach)
    span = line(low, y, high, y, look.text, stroke_width=2)
    return [span, _shape(place, y, look), _beside(simulated_text(figure), y, look)]


def _beside(words: str, y: float, look: Look) -> str:
    """Words of simulation in the gutter."""
    return text(Across(1.0, 34 - _GUTTER), y, words, look.muted, size=12)


def _shape(place: Across, y: float, look: Look) -> str:
    """An open diamond about a place."""
    edge = "M 0 -5 L 5 0 L 0 5 L -5 0 Z"
    shape = tag("path", d=edge, fill=look.ground, stroke=look.text, stroke_width=1.6)
    inner = tag("svg", shape, x=percent(place.share), y=round(y, 2), overflow="visible")
    return tag("g", inner, transform=f"translate({place.pixels:.9g},0)")


def _up_to(check: Check) -> str:
    """The end of the range, where it shows."""
    return f" (to {utilisation_text(check.high)} in doubt)" if check.high > check.utilisation + _SHOWS else ""


def _drawn(utilisation: float) -> float:
    return 0.0 if math.isnan(utilisation) else min(max(utilisation, 0.0), _LONGEST)


def _at(utilisation: float, reach: float) -> Across:
    """Where a utilisation is across the picture: the bars leave the gutter free."""
    share = utilisation / reach
    return Across(share, -_GUTTER * share)


def _row(
    check: Check,
    top: float,
    near: Across,
    limit: Across,
    ends: tuple[Across, Across],
    look: Look,
    system: str,
) -> list[str]:
    """Name over the bar, the bar on its track, both limits across it, mark and state beside it.

    A bar is as wide as its share of the whole picture, its excess pushed out of sight at the left. A thin line with
    a foot goes on to the highest over the ranges of what is not known.
    """
    used, high_end = ends
    low, high = top + _TOP, top + _TOP + _BAR
    middle = (low + high) / 2
    headline = figure = ""
    if check.state != NOT_ASSESSED:
        headline, figure = f"\u2003{check.headline(system)}", f"{utilisation_text(check.utilisation)}"
    name: Pieces = ((check.name, {}), (headline, {"font_size": 12, "fill": look.muted}))
    state: Pieces = ((figure, {"font_weight": 700}), (f" {check.state}" if figure else check.state, {}))
    beside = f"translate({17 - _GUTTER},0)"
    whisker = []
    if check.high > check.utilisation + _SHOWS:  # from the left, behind the bar
        whisker.append(line(Across(0.0), middle, high_end, middle, look.text, stroke_width=1.5))
        whisker.append(upright(high_end, middle - 4, middle + 4, look.text, 1.5))
    parts = [
        text(Across(0.0), top + _NAME, name, look.text),
        box(Across(0.0), limit, low, high, look.track),
        *whisker,
        box(Across(0.0), used, low, high, look.fill(check.state), stroke=look.words(check.state)),
        upright(near, low - 3, high + 3, look.text, 1.2, "2 3"),
        upright(limit, low - 3, high + 3, look.text, 2),
        tag("use", href=f"#{_mark_name(check.state)}", x="100%", y=middle, transform=beside),
        text(Across(1.0, 34 - _GUTTER), middle, state, look.words(check.state)),
    ]
    if check.utilisation > _LONGEST:
        parts.append(text(used, middle, "»", look.ground, anchor="end", font_weight=700))
    return parts


def _mark_name(state: str) -> str:
    return state.replace(" ", "-")


def utilisation_text(utilisation: float) -> str:
    """Two decimals, more where they would round a value below 1 to 1.00; words where there is no figure."""
    if math.isnan(utilisation):
        return "not assessed"
    if math.isinf(utilisation):
        return "no room"
    if 0.995 <= utilisation < 1:
        return f"{math.floor(utilisation * 1000) / 1000:.3f}"
    return fixed(utilisation, 2) if utilisation < 100 else significant(utilisation)
