"""Limits of the rig that stand beside the checks: wind, gust, current, and the riser's own numbers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.judging import CHECK_NAMES, Utilisations
from heave.judging.checks import governing_of
from heave.planning import OperationStep, Plan
from heave.weather.forecast import Forecast


@dataclass(frozen=True)
class SiteLimit:
    """One limit that a step may give.

    key : as a check has one
    name : in words
    limit : field of the step that holds it
    column : field of the forecast it is held to; empty for the height of the sea or the vessel's offset
    """

    key: str
    name: str
    limit: str
    column: str = ""


SITE_LIMITS: Final = (
    SiteLimit("wind", "Wind", "wind_limit", "wind_speed"),
    SiteLimit("gust", "Gusts", "gust_limit", "gust_speed"),
    SiteLimit("current", "Current", "current_limit", "current_speed"),
    SiteLimit("riser_hs", "Riser, the rig's Hs limit", "riser_hs_limit"),
    SiteLimit("riser_offset", "Riser, the rig's offset limit", "riser_offset_limit"),
)
"""Every limit there is beside the checks. No factor for uncertainty is applied to wind and current."""


WAITING: Final = "waiting"
"""Key of a utilisation that is of a state the rig waits in between two steps."""


class _Names(Mapping[str, str]):
    """Names of checks, of what stands beside them, and of a wait."""

    def __init__(self) -> None:
        self.own = {one.key: one.name for one in SITE_LIMITS} | {WAITING: "Waiting between steps"}

    def __getitem__(self, key: str) -> str:
        return self.own[key] if key in self.own else CHECK_NAMES[key]

    def __iter__(self) -> Iterator[str]:
        return iter([*CHECK_NAMES, *self.own])

    def __len__(self) -> int:
        return len(CHECK_NAMES) + len(self.own)


NAMES: Final = _Names()
"""Name of everything a window is held to, by its key."""


def beside(
    plan: Plan, step: OperationStep, forecasts: Sequence[Forecast], table: Utilisations, hs: FloatArray
) -> Utilisations:
    """A table of utilisations with the step's limits of wind, current and riser in it, as forecast over limit.

    A limit that is given and whose figure is not known is not assessed, and nothing is inside there.

    Parameters
    ----------
    plan : with the vessel's offset
    step : with its limits
    forecasts : with what they have of wind and current; several stand end to end, and of none nothing is known
    table : utilisations of the checks, (n,)
    hs : height the riser's limit is held to, α applied where it is, (n,) [m]
    """
    added = {}
    for one in SITE_LIMITS:
        limit = getattr(step, one.limit)
        if limit is not None:
            added[one.key] = _figure(plan, forecasts, one, hs) / limit
    if not added:
        return table
    rows = np.stack([table.governing, *added.values()])
    highs = np.stack([table.high, *added.values()])
    known = ~np.isnan(table.heave_sigma)
    most, place, whole = governing_of(rows, [False, *[True] * len(added)], known)
    high, high_place, _ = governing_of(highs, False, known)
    first = len(table.keys) - 1
    return replace(
        table,
        keys=(*table.keys, *added),
        by_check={**table.by_check, **added},
        governing=most,
        governed_by=np.where(place == 0, table.governed_by, first + place),
        assessed=table.assessed & whole,
        high=high,
        high_by=np.where(high_place == 0, table.high_by, first + high_place),
    )


def _figure(plan: Plan, forecasts: Sequence[Forecast], one: SiteLimit, hs: FloatArray) -> FloatArray:
    if not one.column:
        return hs if one.key == "riser_hs" else np.full(hs.size, plan.offsets.vessel_offset)
    if not forecasts:
        return np.full(hs.size, np.nan)
    columns = [getattr(forecast, one.column) for forecast in forecasts]
    known = [
        np.full(forecast.size, np.nan) if column is None else column
        for forecast, column in zip(forecasts, columns, strict=True)
    ]
    return np.concatenate(known)
