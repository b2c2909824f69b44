"""One input at a time over its range, all else as planned: what that does to every check."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.judging import CHECK_NAMES
from heave.judging.assessment import MOVES
from heave.judging.checks import NOT_ASSESSED, Verdict, utilisation_state
from heave.planning import Plan
from heave.studies.inputs import Input, Ranged, held, ranged
from heave.studies.points import Judged, judge

INSIDE: Final = {True: 23, False: 3}
"""Places inside a range that are judged besides its ends: of an input of the sea, which may meet a resonance, and of
any other."""


@dataclass(frozen=True, eq=False)
class End:
    """The plan with one input at one value.

    value : of the input [SI]
    utilisation : the highest of any check, NaN where none is assessed
    governing : what that check is called, empty where there is none
    state : verdict word, of the planned values alone
    by_check : utilisation of every check by key
    refused : why there can be no such plan; empty where there can
    """

    value: float
    utilisation: float
    governing: str
    state: Verdict
    by_check: Mapping[str, float]
    refused: str = ""


@dataclass(frozen=True, eq=False)
class Swing:
    """What one input does over its range.

    low, high : at its ends
    worst : the highest utilisation found inside the range, where that is above both ends
    least : the lowest utilisation found, ends and planned value among them; NaN where none is assessed
    most : the highest, likewise
    moved : the check that this input moves most, whether it governs or not, with its lowest and its highest utilisation
    assessed : whether the plan itself, as planned, is
    """

    ranged: Ranged
    low: End
    high: End
    worst: End | None
    least: float
    most: float
    moved: tuple[str, float, float]
    assessed: bool

    @property
    def size(self) -> float:
        """How far the highest utilisation moves over the range; infinite where it becomes endless, or an end of a plan
        that is assessed is not."""
        lost = any(end.state == NOT_ASSESSED for end in (self.low, self.high))
        if math.isinf(self.most) or math.isnan(self.most) or (lost and self.assessed):
            return math.inf
        return self.most - self.least

    @property
    def rank(self) -> tuple[float, float]:
        """What inputs are sorted by: how far the governing utilisation moves, then the check it moves most."""
        _, low, high = self.moved
        return self.size, high - low if math.isfinite(high - low) else 0.0


@dataclass(frozen=True, eq=False)
class Sensitivity:
    """Every input of a plan by itself.

    planned : the plan as it is, its ranges closed
    swings : of the inputs that were varied, the largest first
    held : inputs that were not
    """

    plan: Plan
    planned: End
    swings: tuple[Swing, ...]
    held: tuple[Input, ...]


def sensitivity(plan: Plan) -> Sensitivity:
    """The effect of each input on every check over its range, one at a time.

    All else is as planned, and the plan's own ranges of what is not known are closed: they are among what is varied.
    Besides the ends, places inside are judged, for a utilisation may be highest there (a wave period that meets a
    resonance). Source: one-factor-at-a-time variation, common practice; it does not see what inputs do together.

    Parameters
    ----------
    plan : with its study

    Returns
    -------
    Sensitivity
    """
    every = ranged(plan)
    places = {one.input.name: _places(one) for one in every}
    starts = dict(zip(places, np.cumsum([1, *map(len, places.values())]).tolist(), strict=False))
    n = 1 + sum(map(len, places.values()))
    columns = {one.input.name: np.full(n, one.planned) for one in every}
    for name, values in places.items():
        columns[name][starts[name] : starts[name] + len(values)] = values
    found = judge(plan, columns)
    planned = _end(plan, found, 0, math.nan)
    swings = []
    for one in every:
        at = enumerate(places[one.input.name].tolist(), starts[one.input.name])
        swings.append(_swing(one, planned, [_end(plan, found, place, value) for place, value in at]))
    swings.sort(key=lambda one: one.rank, reverse=True)
    return Sensitivity(plan, planned, tuple(swings), held(plan))


def _places(one: Ranged) -> FloatArray:
    return np.linspace(one.low, one.high, INSIDE[one.input.of_sea] + 2)


def _swing(one: Ranged, planned: End, ends: list[End]) -> Swing:
    low, high = ends[0], ends[-1]
    used, known = (
        [end.utilisation for end in some if not math.isnan(end.utilisation)]
        for some in ((planned, *ends), (low, high))
    )
    top = max(ends, key=lambda end: -math.inf if math.isnan(end.utilisation) else end.utilisation)
    above = bool(known) and top.utilisation > max(known) + MOVES
    least, most = (min(used), max(used)) if used else (math.nan, math.nan)
    whole = planned.state != NOT_ASSESSED
    return Swing(one, low, high, top if above else None, least, most, _moved([planned, *ends]), whole)


def _moved(ends: list[End]) -> tuple[str, float, float]:
    """The check that moves most between these places, of those that have a figure at each of them."""
    table = np.array([[end.by_check[key] for key in ends[0].by_check] for end in ends])
    low, high = table.min(axis=0), table.max(axis=0)
    size = np.where(np.isfinite(low) & np.isfinite(high), high - np.where(np.isfinite(low), low, 0.0), -1.0)
    place = int(np.argmax(size))
    return CHECK_NAMES[list(ends[0].by_check)[place]], float(low[place]), float(high[place])


def _end(plan: Plan, found: Judged, place: int, value: float) -> End:
    used, by = float(found.governing[place]), int(found.governed_by[place])
    return End(
        value=value,
        utilisation=used,
        governing="" if by < 0 else CHECK_NAMES[found.keys[by]],
        state=utilisation_state(used, plan.caution_level, bool(found.assessed[place])),
        by_check=dict(zip(found.keys, found.used[:, place].tolist(), strict=True)),
        refused=found.refused.get(place, ""),
    )
