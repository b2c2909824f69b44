"""Every check as a bar, most used first, with its figures, its state in words and its mark."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from heave.judging.checks import NOT_ASSESSED, Check
from heave.screens.figures.look import Look, mark_parts
from heave.screens.figures.svg import Across, Style, percent, picture, spans, tag, text, upright
from heave.units import significant

ROW: Final = 46
"""Height of one check [px]."""

_HEAD: Final = 26
_GUTTER: Final = 164
"""Room right of the bars for the mark and the state [px]."""

_NAME, _TOP, _BAR = 11.0, 22.0, 14.0
"""Within a row: middle of the name, top of the bar, height of the bar [px]."""

_LONGEST: Final = 1.5
"""Bars longer than this are drawn to it with an open end; the figure beside them is never cut."""


def utilisation_figure(
    checks: Sequence[Check], caution_level: float, look: Look, system: str = "metric"
) -> str:
    """One row a check in the order given, as SVG: name and demand of capacity above a bar to scale."""
    reach = max(1.08, 1.02 * max((_drawn(check.utilisation) for check in checks), default=0.0))
    parts = _heads(caution_level, reach, look)
    for row, check in enumerate(checks):
        parts += _row(check, _HEAD + ROW * row, caution_level, reach, look, system)
    states = sorted({check.state for check in checks})
    marks = [
        tag("g", mark_parts(state, look), id=_mark_name(state), transform="scale(1,-1)") for state in states
    ]
    return picture(
        _HEAD + ROW * max(len(checks), 1) + 4,
        "Every check, most used first",
        utilisation_words(checks),
        look,
        tag("defs", "".join(marks)) if marks else "",
        *parts,
    )


def utilisation_words(checks: Sequence[Check]) -> str:
    """The bars in words, for those who cannot see them."""
    return "; ".join(f"{c.name} {utilisation_text(c.utilisation)}, {c.state}" for c in checks)


def _at(utilisation: float, reach: float) -> Across:
    """Where a utilisation is across the picture: the bars leave the gutter free."""
    share = utilisation / reach
    return Across(share, -_GUTTER * share)


def _row(check: Check, top: float, caution_level: float, reach: float, look: Look, system: str) -> list[str]:
    """Name over the bar, the bar on its track, both limits across it, mark and state beside it."""
    low, high = top + _TOP, top + _TOP + _BAR
    middle = (low + high) / 2
    headline = "" if check.state == NOT_ASSESSED else f"\u2003{check.headline(system)}"
    parts = [
        spans(
            Across(0.0),
            top + _NAME,
            ((check.name, {}), (headline, {"font_size": 12, "fill": look.muted})),
            look.text,
        ),
        _bar(1.0, low, reach, look.track),
        _bar(_drawn(check.utilisation), low, reach, look.fill(check.state)),
        upright(_at(caution_level, reach), low - 3, high + 3, look.text, 1.2, "2 3"),
        upright(_at(1.0, reach), low - 3, high + 3, look.text, 2),
        tag(
            "use",
            href=f"#{_mark_name(check.state)}",
            x="100%",
            y=middle,
            transform=f"translate({17 - _GUTTER},0)",
        ),
        _state(check, middle, look),
    ]
    if check.utilisation > _LONGEST:
        end = _at(_LONGEST, reach)
        parts.append(text(end, middle, "»", look.ground, anchor="end", font_weight="700"))
    return parts


def _bar(utilisation: float, low: float, reach: float, colour: str) -> str:
    """A bar from the left edge: as wide as its share of the whole picture, its excess pushed out of sight."""
    place = _at(utilisation, reach)
    return tag(
        "rect",
        x=0,
        y=low,
        width=percent(place.share),
        height=_BAR,
        fill=colour,
        transform=f"translate({place.pixels:.9g},0)",
    )


def _drawn(utilisation: float) -> float:
    if math.isnan(utilisation):
        return 0.0
    return min(max(utilisation, 0.0), _LONGEST)


def _heads(caution_level: float, reach: float, look: Look) -> list[str]:
    near, limit = _at(caution_level, reach), _at(1.0, reach)
    return [
        text(near, 11, f"near from {caution_level:.2f}", look.muted, size=12, anchor="end"),
        text(limit, 11, "limit 1", look.muted, size=12),
    ]


def _mark_name(state: str) -> str:
    return state.replace(" ", "-")


def _state(check: Check, y: float, look: Look) -> str:
    """The utilisation and the state in words, in the state's colour."""
    figure = "" if check.state == NOT_ASSESSED else utilisation_text(check.utilisation)
    parts: list[tuple[str, Style]] = [
        (figure, {"font_weight": 700}),
        (f" {check.state}" if figure else check.state, {}),
    ]
    return spans(Across(1.0, 34 - _GUTTER), y, parts, look.words(check.state))


def utilisation_text(utilisation: float) -> str:
    """Two decimals, more where they would round a value below 1 to 1.00; words where there is no figure."""
    if math.isnan(utilisation):
        return "not assessed"
    if math.isinf(utilisation):
        return "no room"
    if 0.995 <= utilisation < 1:
        return f"{math.floor(utilisation * 1000) / 1000:.3f}"
    return f"{utilisation:.2f}" if utilisation < 100 else significant(utilisation)
