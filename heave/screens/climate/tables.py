"""Tables of the climate page, every cell a text, as they are drawn and saved."""

from __future__ import annotations

import math
from collections.abc import Mapping

from heave.arrays import FloatArray
from heave.planning import Plan
from heave.planning.other_seas import HeadingRule
from heave.screens.weather.clock import hours
from heave.screens.weather.table import Rows, share_words
from heave.studies.climate import ClassShares, Operability, StepClimate, TimeShares
from heave.studies.climate_headings import rule_words
from heave.studies.persistence import Persistence, Spells
from heave.studies.waiting import WaitingTimes, Waits
from heave.weather.hindcast import MONTH_NAMES


def operations_table(found: Operability) -> Rows:
    """One row for each step, and one for all of them at once."""
    rows = [
        {"Operation": step.step.label, **_shares(step.shares), "In doubt": _doubt(step)}
        for step in found.steps
    ]
    if len(rows) > 1:
        rows.append({"Operation": "All of them at one time", **_shares(found.all_steps), "In doubt": ""})
    return rows


def _shares(shares: TimeShares) -> dict[str, str]:
    return {
        "Workable": share_words(shares.workable),
        "Over a limit": share_words(shares.over),
        "Not assessed": share_words(shares.unknown),
    }


def _doubt(step: StepClimate) -> str:
    if math.isnan(step.doubtful):
        return "nothing workable"
    return f"{share_words(step.doubtful)} of the workable"


def checks_table(step: StepClimate) -> Rows:
    """One row for each check that is over in some sea."""
    return [
        {
            "Check": cost.name,
            "Governs": share_words(cost.governs),
            "Over": share_words(cost.over),
            "Alone over": share_words(cost.alone),
        }
        for cost in step.checks
        if cost.over > 0
    ]


def months_table(step: StepClimate) -> Rows:
    """One row for each month there is."""
    rows = []
    for name, shares, years in zip(MONTH_NAMES, step.months, step.month_years, strict=True):
        if shares is None:
            continue
        row = {"Month": name, **_shares(shares)}
        if any(step.month_years):
            spread = {"P10": years.p10, "P50": years.p50, "P90": years.p90} if years else {}
            row |= {
                f"Years {word}": share_words(spread.get(word, math.nan)) for word in ("P10", "P50", "P90")
            }
        rows.append(row)
    return rows


def headings_table(plan: Plan, found: Mapping[HeadingRule, Operability]) -> Rows:
    """One row for each rule of headings, a column for each operation."""
    return [
        {
            "Heading": rule_words(plan, rule),
            **{
                f"{n}: {one.step.label}": share_words(one.shares.workable)
                for n, one in enumerate(result.steps, 1)
            },
            "Not assessed": share_words(max(one.shares.unknown for one in result.steps)),
        }
        for rule, result in found.items()
    ]


def waits_table(found: WaitingTimes) -> Rows:
    """One row for each month of the start date, and one for all."""
    return [
        {
            "Start in": one.name,
            "Start dates": str(one.starts),
            "Wait P50": hours(one.p50),
            "Wait P90": hours(one.p90),
            "Mean wait": "none ends" if math.isnan(one.mean) else hours(one.mean),
            "Done after P50": hours(one.done_p50),
            "Done after P90": hours(one.done_p90),
            **_by_block(found, one),
            "Not finished": share_words(one.unfinished),
        }
        for one in (*found.months, found.overall)
    ]


def _by_block(found: WaitingTimes, one: Waits) -> dict[str, str]:
    if len(found.blocks) < 2:
        return {}
    pairs = zip(found.blocks, one.steps_p50, one.steps_p90, strict=True)
    return {
        f"Before {place}: {name}": f"{hours(p50)} / {hours(p90)}"
        for place, (name, p50, p90) in enumerate(pairs, 1)
    }


def spells_table(found: Persistence) -> Rows:
    """Workable spells and those over a limit."""
    kinds = (("Workable", found.workable), ("Over a limit", found.over))
    return [{"Spells": name, **_spells(spells)} for name, spells in kinds]


def _spells(spells: Spells) -> dict[str, str]:
    lengths = (("Mean", spells.mean), ("P90", spells.p90), ("Longest", spells.longest))
    return {
        "Count": str(spells.count),
        **{name: "none" if math.isnan(value) else hours(value) for name, value in lengths},
        "Cut short": str(int(spells.cut.sum())),
    }


def classes_table(hs: FloatArray, period: FloatArray, kind: str, shares: ClassShares) -> Rows:
    """One row for each class that was seen, for saving: limits in m and s, its share of the time, shares of that."""
    rows, limits = [], ("hs_from_m", "hs_to_m", f"{kind.lower()}_from_s", f"{kind.lower()}_to_s")
    figures = {"share_weight": "weight"} | {name: name for name in ("workable", "over", "unknown", "middle")}
    for row in range(hs.size - 1):
        for column in range(period.size - 1):
            if shares.weight[row, column] > 0:
                ends = (*hs[row : row + 2], *period[column : column + 2])
                cells = {name: f"{value:g}" for name, value in zip(limits, ends, strict=True)}
                for title, name in figures.items():
                    cells[title] = f"{getattr(shares, name)[row, column]:.6g}"
                rows.append(cells)
    return rows
