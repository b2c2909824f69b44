"""Headings over a climate: the plan's, bow to the waves, the best near the waves, the best of all."""

from __future__ import annotations

from typing import Final

import numpy as np

from heave.arrays import FloatArray, IntArray
from heave.errors import InputError
from heave.judging.remedies import wave_origin
from heave.judging.utilisation import Utilisations
from heave.planning.other_seas import HEADING_RULES, HeadingRule
from heave.planning.plan import Plan
from heave.sea import SeaBatch
from heave.weather.asked import Asked
from heave.weather.evaluation import COLUMNS, Progress, by_column, judged
from heave.weather.headings import HEADING_STEP

_ROWS: Final = 4096
"""Seas that are tried on all their headings at once."""

_UNKNOWN: Final = 1e6
_OVER: Final = 1e7
_MOST: Final = 100.0


def rule_words(plan: Plan, rule: HeadingRule) -> str:
    """What a rule of headings is called.

    Parameters
    ----------
    plan : with its heading and its sector
    rule : the rule
    """
    asked = plan.weather
    about = "the waves" if asked.sector_middle is None else f"{asked.sector_middle:g}°"
    return {
        "fixed": f"Plan's heading, {plan.heading:g}°",
        "head": "Bow to the waves",
        "sector": f"Best within {asked.sector:g}° of {about}",
        "best": "Best of all headings",
    }[rule]


def first_heading(plan: Plan, batch: SeaBatch, rule: HeadingRule) -> FloatArray:
    """The heading at each sea that is tried first, (n,) [deg].

    The plan's for 'fixed', else into the waves of highest energy; of a sector about a compass heading, the heading
    nearest to that which the sector has.

    Parameters
    ----------
    plan : with its heading and sector
    batch : n seas
    rule : the rule
    """
    if rule not in HEADING_RULES:
        raise InputError("headings over a climate", rule, None, "one of " + ", ".join(HEADING_RULES))
    if rule == "fixed":
        return np.full(batch.size, plan.heading)
    origin, middle = wave_origin(batch), plan.weather.sector_middle
    if rule == "head" or middle is None:
        return origin % 360.0
    off = (origin - middle + 180.0) % 360.0 - 180.0
    return np.asarray((middle + np.clip(off, -plan.weather.sector, plan.weather.sector)) % 360.0)


def turned(
    plan: Plan,
    batch: SeaBatch,
    one: Asked,
    rule: HeadingRule,
    table: Utilisations,
    bow: FloatArray,
    tell: Progress | None,
) -> tuple[Utilisations, FloatArray]:
    """The same with the seas that were not inside on their first heading on the best that the rule allows them.

    Of the headings of every 10° the one with the lowest governing utilisation that is inside; where none is, one on
    which the sea is not assessed, and only then one on which it is over. What is inside at first stays as it is.
    'best' tries the sector first, then all round with the plan's own heading, so it is never worse than any other rule.

    Parameters
    ----------
    plan : the plan, ranges closed
    batch : n seas
    one : what is asked
    rule : 'sector' or 'best'
    table : utilisations on the first heading
    bow : that heading (n,) [deg]
    tell : progress
    """
    reach = plan.weather.sector
    offsets = np.arange(HEADING_STEP, reach + 1e-9, HEADING_STEP)
    near = np.unique(np.concatenate(([0.0, reach], offsets)))
    near = np.unique(np.concatenate((-near, near)))
    known = ~np.isnan(batch.hs)
    table, bow = by_column(np.copy, table), bow.copy()
    stages = [near] if rule == "sector" else [near, None]
    for stage, steps in enumerate(stages):
        rows = np.flatnonzero(known & ~table.inside)
        for start in range(0, rows.size, _ROWS):
            some = rows[start : start + _ROWS]
            headings = _candidates(plan, bow[some], steps)
            (found,) = judged(plan, batch.take(some), [one.take(some)], headings).values()
            place = _least(found, headings.shape)
            at = np.arange(some.size) * headings.shape[1] + place
            _put(table, some, found, at)
            bow[some] = headings[np.arange(some.size), place]
            if tell is not None:
                tell((stage + (start + some.size) / rows.size) / len(stages))
    return table, bow


def _candidates(plan: Plan, bow: FloatArray, steps: FloatArray | None) -> FloatArray:
    """Headings to try at each sea (n, m): about a first heading within the sector, or all round and the plan's."""
    if steps is None:
        every = np.append(np.arange(0.0, 360.0, HEADING_STEP), plan.heading)
        return np.broadcast_to(every, (bow.size, every.size))
    middle = plan.weather.sector_middle
    around = bow if middle is None else np.full_like(bow, middle)
    return np.asarray((around[:, None] + steps) % 360.0)


def _least(found: Utilisations, shape: tuple[int, ...]) -> IntArray:
    """Place of the heading to take at each sea."""
    over = found.governing >= 1.0
    cost = np.where(found.inside, np.nan_to_num(found.governing), _UNKNOWN)
    cost = np.where(over, _OVER + np.minimum(np.nan_to_num(found.governing, posinf=_MOST), _MOST), cost)
    return np.asarray(cost.reshape(shape).argmin(axis=1), dtype=np.int64)


def _put(table: Utilisations, rows: IntArray, found: Utilisations, at: IntArray) -> None:
    """Write some rows of a table, taken from places in another."""
    for name in COLUMNS:
        getattr(table, name)[rows] = getattr(found, name)[at]
    for key, used in table.by_check.items():
        np.asarray(used)[rows] = found.by_check[key][at]
