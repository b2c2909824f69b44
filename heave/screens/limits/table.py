"""The limits as tables: over period at the plan's heading, and the whole map as CSV."""

from __future__ import annotations

import math
from collections.abc import Mapping

from heave.judging import LimitingSea
from heave.judging.limit_curves import Growth, highest_sea
from heave.planning import Plan
from heave.screens.check.verdict import lowered
from heave.screens.figures.limit_lines import Curve
from heave.screens.inputs import plain
from heave.screens.limits import kept_limits
from heave.screens.pieces import csv_of
from heave.units import show

HEAD = (
    *("tp_s", "heading_deg", "state", "hs_limit_m", "governing"),
    *("hs_limit_worst_m", "governing_worst", "steepest_hs_m"),
)
"""Columns of the CSV."""


def rows(
    curve: Curve, letters: Mapping[str, str], system: str
) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    """Head and rows of the table over period, in Markdown."""
    head = ("Tp", "Limit, planned", "Governed by", "Worst ends", "Governed by", "Steepest sea")
    lines: list[tuple[str, ...]] = []
    for place, tp in enumerate(curve.planned.periods):
        planned, worst = curve.planned.at(place, 0), curve.at_worst.at(place, 0)
        highest = float(curve.highest[place])
        key = curve.keys[place]
        lines.append(
            (
                show(tp, "period", system),
                height(planned, highest, system),
                f"{letters.get(key, '')} {plain(governing_of(planned))}".strip() or "\u2013",
                height(worst, highest, system),
                plain(governing_of(worst)) or "\u2013",
                lowered(highest, system),
            )
        )
    return head, lines


def height(limit: LimitingSea, highest: float, system: str) -> str:
    """A limit in a cell: rounded down, or why there is none."""
    state = state_of(limit)
    if state != "limit":
        return state
    return f"{lowered(limit.hs, system)}{', steeper than can be' if limit.hs > highest else ''}"


def state_of(limit: LimitingSea) -> str:
    """Whether there is a limit: 'limit', 'no limit', 'none, over at any height', 'not assessed'."""
    if not limit.assessed:
        return "not assessed"
    if math.isinf(limit.hs):
        return "no limit"
    return "limit" if limit.hs > 0 else "none, over at any height"


def governing_of(limit: LimitingSea) -> str:
    """The check that sets the limit; nothing where there is none, or one that could not be made may be lower."""
    return (limit.governing or "") if limit.assessed else ""


def map_csv(plan: Plan, growth: Growth) -> str:
    """The whole map as CSV, SI: a row for each period and heading, planned and at the worst ends of the ranges."""
    planned, worst = kept_limits.whole(plan, growth), kept_limits.whole(plan, growth, worst=True)
    highest = highest_sea(plan, growth, planned.periods)
    lines: list[tuple[str, ...]] = [HEAD]
    for i, tp in enumerate(planned.periods):
        for j, heading in enumerate(planned.headings):
            one, other = planned.at(i, j), worst.at(i, j)
            planned_cells = (state_of(one), _metres(one.hs), governing_of(one))
            worst_cells = (_metres(other.hs), governing_of(other), _metres(float(highest[i])))
            lines.append((f"{tp:.4g}", f"{heading:.4g}", *planned_cells, *worst_cells))
    return csv_of(lines)


def _metres(value: float) -> str:
    """Metres rounded down to a centimetre; empty where there is no number."""
    return f"{math.floor(100 * value + 1e-9) / 100:.2f}" if math.isfinite(value) else ""
