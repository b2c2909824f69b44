"""The limiting sea: the wave height at which the governing check reaches 1, and the room left to it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, NamedTuple

import numpy as np

from heave.arrays import BoolArray, FloatArray, Indices
from heave.errors import InputError
from heave.judging.rules import rules_for
from heave.judging.utilisation import utilisations
from heave.planning.plan import Plan
from heave.planning.ranges import CLOSED
from heave.sea import SeaBatch, SeaState

LOWEST_TRIED: Final = 0.05
"""Lowest wave height tried [m]; over a limit there means over it in a calm."""

HIGHEST_TRIED: Final = 20.0
"""Highest wave height tried [m]. Seas are entered up to `MAX_HS`; of a limit above this it is enough to know that."""

LADDER: Final[FloatArray] = np.concatenate(
    ([LOWEST_TRIED, 0.2, 0.4, 0.7, 1.0, 1.4], np.geomspace(1.9, HIGHEST_TRIED, 11))
)
"""Heights tried from below [m], 0.15 to 0.5 m apart and then each 1.27 times the one before: a check that is over
between two of them only is not found."""

CLOSE: Final = 5e-5
"""The utilisation at a limit is from 1 − this to below 1, unless it jumps past 1 there."""

_WHOLE: Final = -1
"""For the place of a system: all of them grow."""

_NARROWEST: Final = 1e-4
_MOST: Final = 24
_REACH: Final = (1 / 2, 1 / 16, 1 / 128)
_FEW: Final = 64


@dataclass(frozen=True)
class LimitingSea:
    """Hs of one wave system, or of the whole sea, at which the governing check reaches 1, all else as planned.

    `hs` is infinite where no check reaches 1 up to `HIGHEST_TRIED`, 0 where one is over already in a calm, and NaN
    where a check that is required could not be made in a lower sea: it is not assessed, and only `at_most` is known.
    `float(limiting)` gives `hs`.
    """

    hs: float
    governing: str | None
    """Name of the check that reaches 1 there; None where none does."""

    tp: float
    heading: float
    at_most: float
    """Hs at which one of the checks that could be made reaches 1: the same where all could be made."""

    @property
    def assessed(self) -> bool:
        """True where every required check could be made in all seas up to it."""
        return not math.isnan(self.hs)

    @property
    def reached(self) -> bool:
        """True when some check reaches 1 within the range tried."""
        return math.isfinite(self.at_most)

    def __float__(self) -> float:
        return self.hs


@dataclass(frozen=True, eq=False)
class LimitMap:
    """Limiting seas over peak period and heading, shapes (periods, headings).

    hs : as `LimitingSea.hs`, NaN where not assessed [m]
    governed_by : index into `names` of the check that reaches 1 there, −1 where none does
    names : names of the checks
    periods, headings : what was asked [s], [deg]
    at_most : as `LimitingSea.at_most` [m]
    keys : keys of the checks
    """

    hs: FloatArray
    governed_by: Indices
    names: tuple[str, ...]
    periods: tuple[float, ...]
    headings: tuple[float, ...]
    at_most: FloatArray
    keys: tuple[str, ...]

    def columns(self, places: Sequence[int]) -> LimitMap:
        """The map of the headings at `places` alone."""
        headings = tuple(self.headings[place] for place in places)
        hs, at_most = (values[:, list(places)] for values in (self.hs, self.at_most))
        governed_by = self.governed_by[:, list(places)]
        return replace(self, hs=hs, governed_by=governed_by, at_most=at_most, headings=headings)

    def at(self, period: int, heading: int) -> LimitingSea:
        """The limiting sea of one cell, at the places `period` and `heading` in `periods` and `headings`."""
        index = int(self.governed_by[period, heading])
        name = None if index < 0 else self.names[index]
        hs, most = float(self.hs[period, heading]), float(self.at_most[period, heading])
        return LimitingSea(hs, name, self.periods[period], self.headings[heading], most)


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
        """What every height is multiplied by at the limit of the checks made; infinite where no check reaches 1."""
        return self.together.at_most / self.now


def room_left(plan: Plan) -> Room:
    """The room of a plan's sea: all its systems together, and each of them alone.

    Parameters
    ----------
    plan : the plan
    """
    batch = plan.sea.batch()
    grown = (None, *range(len(batch.slots)))
    limits = limits_in(plan, [plan.sea] * len(grown), [plan.heading], grown)
    together, *alone = (limits.at(row, 0) for row in range(len(grown)))
    return Room(together, tuple(alone), float(batch.hs[0]))


def limiting_sea(
    plan: Plan,
    tp: float | None = None,
    heading: float | None = None,
    system: int | None = 0,
    worst: bool = False,
) -> LimitingSea:
    """Find the Hs at which the governing check first reaches 1; see `limit_map`.

    Parameters
    ----------
    plan : the plan
    tp : peak period of the first system [s]; None keeps it
    heading : vessel heading [deg]; None keeps it
    system : which wave system grows, the others as planned; None grows all by one factor and gives the whole sea's Hs
    worst : at the worst ends of the plan's ranges, instead of at the planned values

    Returns
    -------
    LimitingSea

    Raises
    ------
    InputError
        If a period or heading is out of range, or a period is given for a measured spectrum.
    """
    periods, headings = (None if value is None else [value] for value in (tp, heading))
    return limit_map(plan, periods, headings, system, worst).at(0, 0)


def limit_map(
    plan: Plan,
    periods: Sequence[float] | None = None,
    headings: Sequence[float] | None = None,
    system: int | None = 0,
    worst: bool = False,
) -> LimitMap:
    """Limiting seas at every peak period of the first system and every heading.

    Other wave systems stay as planned; a measured spectrum is scaled as a whole. See `limits_in`.

    Parameters
    ----------
    plan : the plan
    periods : peak periods of the first system [s]; None keeps it
    headings : vessel headings [deg]; None keeps it
    system : which wave system grows; None grows all by one factor and gives the whole sea's Hs
    worst : at the worst ends of the plan's ranges, instead of at the planned values

    Returns
    -------
    LimitMap

    Raises
    ------
    InputError
        If a period or heading is out of range, or a period is given for a measured spectrum.
    """
    turned = (
        [plan.heading] if headings is None else [plan.changed(heading=float(bow)).heading for bow in headings]
    )
    seas = [plan.sea] if periods is None else [plan.sea.with_primary(tp=float(tp)) for tp in periods]
    if not turned or not seas:
        allowed = "at least one of each"
        raise InputError("periods and headings of a limit map", (len(seas), len(turned)), None, allowed)
    return limits_in(plan, seas, turned, [system] * len(seas), worst)


def limits_in(
    plan: Plan,
    seas: Sequence[SeaState],
    headings: Sequence[float],
    grown: Sequence[int | None],
    worst: bool = False,
) -> LimitMap:
    """The limiting seas that several sea states grow to or fall to, at every heading.

    The checks are evaluated at the heights of `LADDER`, for all seas and headings in one batch, damping that depends on
    the sea being in every evaluation. The first step over 1 and the one before it are a bracket, narrowed about the
    secant of ln(utilisation) over ln(Hs), to half its width at least, until the utilisation is within `CLOSE` below 1.
    Where utilisation falls and rises again with height, the first crossing from below is the limit.
    Where it jumps past 1, the limit is the last height below the jump, to 1 in 10,000.

    Source: regula falsi and the halves of what it leaves, as in any text of numerical analysis.

    Parameters
    ----------
    plan : the plan; its own sea and heading are not used
    seas : sea states of the same systems, spreading and depth
    headings : vessel headings [deg]
    grown : which wave system grows in each sea; None grows all by one factor and gives the whole sea's Hs
    worst : at the worst ends of the plan's ranges, instead of at the planned values

    Returns
    -------
    LimitMap, a row for each sea

    Raises
    ------
    InputError
        If the seas do not share their systems.
    """
    bows = np.asarray(headings, dtype=np.float64)
    if not all(sea.hs > 0 for sea in seas):
        raise InputError("sea to grow", 0.0, "m", "a height above 0\u00a0m, to be scaled")
    systems = np.array([_WHOLE if system is None else system for system in grown], dtype=np.intp)
    search = _Search(plan, SeaBatch.stack([sea.batch() for sea in seas]), bows, systems, worst)
    hs, by, assessed = search.crossings()
    rules = rules_for(plan)
    # over a limit is over it, whatever could not be assessed
    known = np.where(assessed | (hs == 0), hs, math.nan)
    names, keys = tuple(rule.name for rule in rules), tuple(rule.key for rule in rules)
    return LimitMap(known, by, names, tuple(sea.tp for sea in seas), tuple(bows.tolist()), hs, keys)


class _Found(NamedTuple):
    """Highest utilisations, the checks they are of and whether every required one could be made, of one shape."""

    used: FloatArray
    by: Indices
    assessed: BoolArray

    def of(self, places: tuple[Indices, ...]) -> _Found:
        return _Found(self.used[places], self.by[places], self.assessed[places])

    def shaped(self, *shape: int) -> _Found:
        return _Found(self.used.reshape(shape), self.by.reshape(shape), self.assessed.reshape(shape))

    def put(self, places: Indices, other: _Found) -> None:
        self.used[places], self.by[places], self.assessed[places] = other


class _Search:
    """The checks of a plan at any height of one system or the whole of each sea, for every heading."""

    def __init__(
        self, plan: Plan, seas: SeaBatch, headings: FloatArray, systems: Indices, worst: bool
    ) -> None:
        # the limit of the planned values: the ranges need not be worked
        self.plan = plan if worst else plan.changed(ranges=CLOSED)
        self.seas, self.headings, self.systems, self.worst = seas, headings, systems, worst

    def crossings(self) -> tuple[FloatArray, Indices, BoolArray]:
        """The limits, the checks that reach 1 there and whether all below was assessed, (seas, headings)."""
        found = self._ladder()
        over = found.used >= 1
        last = LADDER.size - 1
        first = np.where(over.any(axis=1), np.argmax(over, axis=1), last + 1)
        below = np.arange(LADDER.size)[:, None] < first[:, None]
        assessed = np.all(found.assessed | ~below, axis=1)
        hs = np.where(first == 0, 0.0, math.inf)
        by = np.where(first == 0, found.by[:, 0], -1)
        rows, columns = between = np.nonzero((first > 0) & (first <= last))
        if rows.size:
            top = first[between]
            low, high = (found.of((rows, step, columns)) for step in (top - 1, top))
            limit = self._narrowed(rows, columns, LADDER[top - 1], LADDER[top], low, high)
            hs[between], by[between], whole = limit
            assessed[between] &= whole
        return hs, by, assessed

    def _ladder(self) -> _Found:
        """The checks at every step of the ladder, (seas, heights, headings)."""
        places = np.repeat(np.arange(self.seas.size), LADDER.size)
        bows = np.broadcast_to(self.headings, (places.size, self.headings.size))
        found = self._at(places, np.tile(LADDER, self.seas.size), bows)
        return found.shaped(self.seas.size, LADDER.size, self.headings.size)

    def _narrowed(
        self,
        rows: Indices,
        columns: Indices,
        bottom: FloatArray,
        top: FloatArray,
        low: _Found,
        high: _Found,
    ) -> tuple[FloatArray, Indices, BoolArray]:
        """Brackets in ln Hs narrowed until the low end is close below 1, or the bracket has no width left."""
        left, right = np.log(bottom), np.log(top)
        assessed = np.ones(rows.size, dtype=np.bool_)
        for _ in range(_MOST):
            open_ = np.flatnonzero((low.used < 1 - CLOSE) & (right - left > _NARROWEST))
            if not open_.size:
                break
            tried = _tried(*(values[open_] for values in (left, right, low.used, high.used)))
            places = np.repeat(open_, tried.shape[1])
            found = self._at(rows[places], np.exp(tried.ravel()), self.headings[columns[places]])
            found = found.shaped(*tried.shape)
            over = found.used >= 1
            first = np.where(over.any(axis=1), np.argmax(over, axis=1), tried.shape[1])
            assessed[open_] &= np.all(found.assessed | (np.arange(tried.shape[1]) >= first[:, None]), axis=1)
            for end, values, step, there in (
                (high, right, first, first < tried.shape[1]),
                (low, left, first - 1, first > 0),
            ):
                taken = np.flatnonzero(there), step[there]
                values[open_[there]] = tried[taken]
                end.put(open_[there], found.of(taken))
        close = low.used >= 1 - CLOSE
        return np.exp(left), np.where(close, low.by, high.by), assessed

    def _at(self, places: Indices, heights: FloatArray, bows: FloatArray) -> _Found:
        """The checks in the seas at `places`, grown to these heights, at one heading each or several."""
        seas, systems = self.seas.take(places), self.systems[places]
        shares = np.where(systems == _WHOLE, heights / seas.hs, 1.0)
        slots = [
            slot.times(np.divide(heights, slot.hs, out=shares.copy(), where=systems == place))
            for place, slot in enumerate(seas.slots)
        ]
        found = utilisations(self.plan, replace(seas, slots=tuple(slots)), bows)
        if self.worst:
            return _Found(found.high, found.high_by, found.assessed)
        return _Found(found.governing, found.governed_by, found.assessed)


def _tried(left: FloatArray, right: FloatArray, low: FloatArray, high: FloatArray) -> FloatArray:
    """Places in each bracket to look at, ascending: that where the utilisation comes closest below 1 if it is a power
    of Hs, and halfway from there to both ends.

    In few brackets there are more of them close about it, since a sea more costs next to nothing beside the rules.
    """
    aim = math.log1p(-CLOSE / 2)
    with np.errstate(divide="ignore", invalid="ignore"):
        share = (aim - np.log(low)) / (np.log(high) - np.log(low))
    share = np.where(np.isfinite(share), np.clip(share, 0.01, 0.99), 0.5)[:, None]
    reach = np.array(_REACH if left.size <= _FEW else _REACH[:1])
    shares = np.hstack((share * (1 - reach), share, share + (1 - share) * reach[::-1]))
    return left[:, None] + shares * (right - left)[:, None]
