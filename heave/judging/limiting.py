"""The limiting sea: the wave height at which the governing check reaches 1, and the room left to it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, TypeVar

import numpy as np
import numpy.typing as npt

from heave.errors import InputError
from heave.judging.rules import rules_for
from heave.judging.utilisation import Utilisations, utilisations
from heave.planning.plan import Plan
from heave.planning.ranges import CLOSED
from heave.sea import SeaBatch

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]

LOWEST_HS: Final = 0.05
"""Lowest wave height tried [m]; over a limit there means over it in a calm."""

HIGHEST_HS: Final = 20.0
"""Highest wave height tried [m]."""

_STEPS: Final = 24
_INSIDE: Final = 3
_ROUNDS: Final = 2


@dataclass(frozen=True)
class LimitingSea:
    """Hs of one wave system, or of the whole sea, at which the governing check reaches 1, all else as planned.

    `hs` is infinite where no check reaches 1 up to `HIGHEST_HS`, and 0 where one is over already in a
    calm. `float(limiting)` gives `hs`.
    """

    hs: float
    governing: str | None
    """Name of the check that reaches 1 there; None where none does."""

    tp: float
    heading: float

    @property
    def reached(self) -> bool:
        """True when some check reaches 1 within the range tried."""
        return math.isfinite(self.hs)

    def __float__(self) -> float:
        return self.hs


@dataclass(frozen=True, eq=False)
class LimitMap:
    """Limiting seas over peak period and heading, shapes (periods, headings).

    hs : as `LimitingSea.hs` [m]
    governed_by : index into `names` of the check that reaches 1 there, −1 where none does
    names : names of the checks
    periods, headings : what was asked [s], [deg]
    """

    hs: FloatArray
    governed_by: IntArray
    names: tuple[str, ...]
    periods: tuple[float, ...]
    headings: tuple[float, ...]

    def at(self, period: int, heading: int) -> LimitingSea:
        """The limiting sea of one cell, at the places `period` and `heading` in `periods` and `headings`."""
        index = int(self.governed_by[period, heading])
        name = None if index < 0 else self.names[index]
        hs = float(self.hs[period, heading])
        return LimitingSea(hs, name, self.periods[period], self.headings[heading])


@dataclass(frozen=True)
class Room:
    """How far a sea may grow before the governing check reaches 1, or has to fall until none does.

    together : Hs of the whole sea, every system growing by the same factor, see `factor`
    alone : Hs of each system while the others stay as planned; one for a measured spectrum
    now : Hs of the whole sea as planned [m]
    """

    together: LimitingSea
    alone: tuple[LimitingSea, ...]
    now: float

    @property
    def factor(self) -> float:
        """What every height is multiplied by at the limit; infinite where no check reaches 1."""
        return self.together.hs / self.now


def room_left(plan: Plan) -> Room:
    """The room of a plan's sea: all its systems together, and each of them alone.

    Parameters
    ----------
    plan : the plan
    """
    places = range(len(plan.sea.batch().slots))
    return Room(
        limiting_sea(plan, system=None),
        tuple(limiting_sea(plan, system=place) for place in places),
        float(plan.sea.batch().hs[0]),
    )


def limiting_sea(
    plan: Plan, tp: float | None = None, heading: float | None = None, system: int | None = 0
) -> LimitingSea:
    """Find the Hs at which the governing check first reaches 1; see `limit_map`.

    Parameters
    ----------
    plan : the plan
    tp : peak period of the first system [s]; None keeps it
    heading : vessel heading [deg]; None keeps it
    system : which wave system grows, the others as planned; None grows all by one factor and gives the whole sea's Hs

    Returns
    -------
    LimitingSea, Hs to about 0.01 m

    Raises
    ------
    InputError
        If a period or heading is out of range, or a period is given for a measured spectrum.
    """
    periods, headings = (None if value is None else [value] for value in (tp, heading))
    return limit_map(plan, periods, headings, system).at(0, 0)


def limit_map(
    plan: Plan,
    periods: Sequence[float] | None = None,
    headings: Sequence[float] | None = None,
    system: int | None = 0,
) -> LimitMap:
    """Limiting seas at every peak period of the first system and every heading.

    Bracketed and narrowed: the checks are evaluated at a ladder of Hs, for all periods and headings in one batch,
    then twice more at three heights inside each first bracket, and read in between as a power of Hs; damping that
    depends on the sea is thereby in every evaluation. Other wave systems stay as planned; a measured spectrum is
    scaled as a whole.

    Parameters
    ----------
    plan : the plan
    periods : peak periods of the first system [s]; None keeps it
    headings : vessel headings [deg]; None keeps it
    system : which wave system grows; None grows all by one factor and gives the whole sea's Hs

    Returns
    -------
    LimitMap, Hs to about 0.01 m

    Raises
    ------
    InputError
        If a period or heading is out of range, or a period is given for a measured spectrum.
    """
    turned = (
        [plan.changed(heading=float(bow)).heading for bow in headings]
        if headings is not None
        else [plan.heading]
    )
    seas = [plan.sea] if periods is None else [plan.sea.with_primary(tp=float(tp)) for tp in periods]
    if not turned or not seas:
        allowed = "at least one of each"
        raise InputError("periods and headings of a limit map", (len(seas), len(turned)), None, allowed)
    search = _Search(plan, [sea.batch() for sea in seas], np.array(turned), system)
    low, high = search.bracket()
    for _ in range(_ROUNDS):
        low, high = search.narrowed(low, high)
    hs, governed_by = search.crossing(low, high)
    names = tuple(rule.name for rule in rules_for(plan))
    return LimitMap(hs, governed_by, names, tuple(sea.tp for sea in seas), tuple(turned))


@dataclass(frozen=True, eq=False)
class _End:
    """One end of the brackets: heights, highest utilisations and the checks they are of, (periods, headings)."""

    hs: FloatArray
    used: FloatArray
    governed_by: IntArray


class _Search:
    """The checks of a plan at any height of one system or the whole sea, for every period and heading."""

    def __init__(self, plan: Plan, seas: list[SeaBatch], headings: FloatArray, system: int | None) -> None:
        # the limit is that of the planned values: the ranges need not be worked
        self.plan, self.seas = plan.changed(ranges=CLOSED), seas
        self.headings, self.system = headings, system

    def bracket(self) -> tuple[_End, _End]:
        """The first step of the ladder that is over, and the one before; the last where none is."""
        ladder = np.geomspace(LOWEST_HS, HIGHEST_HS, _STEPS)
        heights = np.broadcast_to(ladder, (len(self.seas), ladder.size))
        bows = np.broadcast_to(self.headings, (heights.size, self.headings.size))
        found = self._at(heights, bows)
        shape = (*heights.shape, self.headings.size)
        used = found.governing.reshape(shape).swapaxes(1, 2)
        by = found.governed_by.reshape(shape).swapaxes(1, 2)
        return _around(np.broadcast_to(ladder, used.shape), used, by)

    def narrowed(self, low: _End, high: _End) -> tuple[_End, _End]:
        """Brackets a quarter as wide in ln Hs."""
        shares = np.arange(_INSIDE + 2) / (_INSIDE + 1)
        heights = low.hs[..., None] * (high.hs / low.hs)[..., None] ** shares
        inner = heights[..., 1:-1]
        bows = np.broadcast_to(self.headings[:, None], inner.shape).reshape(-1)
        found = self._at(inner.reshape(len(self.seas), -1), bows)
        used = _between(low.used, found.governing, high.used)
        by = _between(low.governed_by, found.governed_by, high.governed_by)
        return _around(heights, used, by)

    def crossing(self, low: _End, high: _End) -> tuple[FloatArray, IntArray]:
        """Where each bracket crosses 1, the utilisation taken as a power of Hs within it."""
        over = high.used >= 1
        with np.errstate(divide="ignore", invalid="ignore"):
            share = -np.log(low.used) / np.log(high.used / low.used)
        share = np.where(np.isfinite(share), np.clip(share, 0.0, 1.0), 1.0)
        hs = low.hs * (high.hs / low.hs) ** share
        hs = np.where(low.used >= 1, 0.0, np.where(over, hs, math.inf))
        return hs, np.where(over, high.governed_by, -1)

    def _at(self, heights: FloatArray, bows: FloatArray) -> Utilisations:
        """The checks at heights (periods, k), at one heading or several in each of those seas."""
        grown = [self._grown(sea, row) for sea, row in zip(self.seas, heights, strict=True)]
        return utilisations(self.plan, SeaBatch.stack(grown), bows)

    def _grown(self, sea: SeaBatch, heights: FloatArray) -> SeaBatch:
        if self.system is not None:
            return sea.scaled(heights, self.system)
        return sea.repeated(heights.size).times(heights / sea.hs)


Values = TypeVar("Values", FloatArray, IntArray)


def _between(first: Values, inner: Values, last: Values) -> Values:
    """Values at both ends and at all heights between them, heights on the last axis."""
    found = np.concatenate((first[..., None], inner.reshape(*first.shape, -1), last[..., None]), axis=-1)
    return found.astype(first.dtype)


def _around(heights: FloatArray, used: FloatArray, by: IntArray) -> tuple[_End, _End]:
    """The first height over a limit and the one before it, along the last axis; the last one where none is over.

    Over already at the lowest height, that height is both ends.
    """
    over = used >= 1
    first = np.where(over.any(axis=-1), np.argmax(over, axis=-1), used.shape[-1] - 1)
    before = np.maximum(first - 1, 0)

    def end(place: IntArray) -> _End:
        return _End(_pick(heights, place), _pick(used, place), _pick(by, place))

    return end(before), end(first)


def _pick(values: Values, place: IntArray) -> Values:
    return np.take_along_axis(values, place[..., None], axis=-1)[..., 0]
