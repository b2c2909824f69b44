"""Curves of limiting seas: which waves grow and what the others do, one wave system against another, and what can be.

Every point is a limiting sea of `heave.judging.limiting`, worked on the checks themselves.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.arrays import FloatArray
from heave.errors import InputError
from heave.judging.limiting import LimitMap, limit_map, limits_in
from heave.planning.kinds import OPERATIONS, OperationKey
from heave.planning.other_seas import SYSTEM_PLACES, GrowthRule, OtherSeas
from heave.planning.plan import Plan
from heave.sea import SeaState, steepness_cap
from heave.units import STANDARD_GRAVITY

PERIODS: Final = tuple(np.arange(4.0, 23.75, 0.5).tolist())
"""Peak periods of a curve [s], forty of them."""

HEADINGS: Final = tuple(np.arange(0.0, 360.0, 10.0).tolist())
"""Angles of a polar [deg], thirty-six of them."""

NAMED: Final = 2
"""Other wave systems that are called by their names; more are counted."""

HEIGHTS: Final = (0.1, *np.arange(0.25, 8.1, 0.25).tolist())
"""Heights of the waves that another system has to share the sea with [m]."""


@dataclass(frozen=True)
class Growth:
    """Which waves grow to the limit, and what the others do meanwhile.

    system : place of the wave system that grows; None is all of them, by one factor
    alone : True where there are no others: of the plan's sea, this system is all that is left
    words : what grows and what the others do, as it stands in a sentence
    """

    system: int | None
    alone: bool
    words: str
    others: bool = True
    """Whether the plan's sea has other waves."""

    def sea(self, sea: SeaState) -> SeaState:
        """The sea in which it grows, of a plan's `sea`: the system that grows first, the others behind it, or gone."""
        if self.system is None or sea.measured is not None:
            return sea
        grows, place = sea.systems[self.system], self.system
        others = () if self.alone else (*sea.systems[:place], *sea.systems[place + 1 :])
        return replace(sea, systems=(grows, *others))

    @property
    def parted(self) -> bool:
        """Whether waves of the plan's sea are left out."""
        return self.alone and self.others

    @property
    def place(self) -> int | None:
        """Which system of `sea` grows, for `limit_map`."""
        return None if self.system is None else 0


def growths(plan: Plan) -> tuple[Growth, ...]:
    """What can grow in the plan's sea: each system beside the others as planned, each alone, and all of them together.

    Parameters
    ----------
    plan : the plan

    Returns
    -------
    The whole sea alone where it is one system or a measured spectrum
    """
    sea = plan.sea
    if sea.measured is not None:
        return (Growth(None, False, "the measured sea"),)
    if len(sea.systems) == 1:
        return (Growth(0, True, f"the {sea.systems[0].label}, all there is", others=False),)
    names = _names(sea)
    beside, alone = [], []
    for place, name in enumerate(names):
        others = [other for other in names if other != name]
        few = len(others) <= NAMED
        rest = " and ".join(others) if few else f"the other {len(others)} systems"
        beside.append(Growth(place, False, f"{name}, {rest} as planned"))
        alone.append(Growth(place, True, f"{name} alone, no {rest if few else 'other system'}"))
    return (*beside, *alone, Growth(None, False, "all waves together, by one factor"))


def growth_asked(plan: Plan) -> Growth:
    """Which of the `growths` the plan asks for; the first where its sea has no longer that one.

    Parameters
    ----------
    plan : the plan
    """
    asked, ways = plan.other_seas, growths(plan)
    place = None if asked.growth == "all together" else SYSTEM_PLACES.index(asked.growing_system)
    wanted = place, asked.growth == "one alone"
    return next((way for way in ways if (way.system, way.alone) == wanted), ways[0])


def asking_for(growth: Growth, asked: OtherSeas) -> OtherSeas:
    """What is asked of other seas, with another growth.

    Parameters
    ----------
    growth : one of the `growths` of a plan
    asked : as it was
    """
    if growth.system is None:
        return replace(asked, growth="all together", growing_system=SYSTEM_PLACES[0])
    rule: GrowthRule = "one alone" if growth.alone else "one beside the others"
    return replace(asked, growth=rule, growing_system=SYSTEM_PLACES[growth.system])


def _names(sea: SeaState) -> list[str]:
    """Labels of the systems, with their places where two are called the same."""
    labels = [wave.label for wave in sea.systems]
    return [
        f"{label} {place + 1}" if labels.count(label) > 1 else label for place, label in enumerate(labels)
    ]


def allowed_periods(plan: Plan, growth: Growth, periods: Sequence[float] = PERIODS) -> tuple[float, ...]:
    """Those of `periods` that what grows can have: its shape may have none, or not the longest.

    Parameters
    ----------
    plan, growth : the plan and what grows
    periods : peak periods asked for [s]
    """
    sea, found = growth.sea(plan.sea), []
    for tp in periods:
        try:
            sea.with_primary(tp=tp)
        except InputError:
            continue
        found.append(tp)
    return tuple(found)


def limits_of(
    plan: Plan,
    growth: Growth,
    periods: Sequence[float] | None = None,
    headings: Sequence[float] | None = None,
    worst: bool = False,
) -> LimitMap:
    """The limiting seas of what grows, see `limit_map`.

    Parameters
    ----------
    plan, growth : the plan and what grows
    periods : peak periods of what grows, of the first system where all do [s]; None keeps it
    headings : vessel headings [deg]; None keeps it
    worst : at the worst ends of the plan's ranges
    """
    sea = growth.sea(plan.sea)
    return limit_map(plan.changed(sea=sea), periods, headings, growth.place, worst)


@dataclass(frozen=True, eq=False)
class Beside:
    """Limiting height of one wave system beside another of some height or period.

    name, other : labels of the system that grows and of the other
    x : heights [m] or peak periods [s] of the other
    limits : a row for each of them, one heading
    """

    name: str
    other: str
    x: tuple[float, ...]
    limits: LimitMap


def limits_beside(
    plan: Plan,
    system: int = 0,
    other: int = 1,
    heights: Sequence[float] | None = HEIGHTS,
    periods: Sequence[float] | None = None,
    worst: bool = False,
) -> Beside:
    """Limiting height of one system for each height, or each peak period, of another; all else as planned.

    Parameters
    ----------
    plan : with two wave systems or more
    system : place of the one that grows
    other : place of the one it stands beside
    heights : of the other, above 0 [m]
    periods : peak periods of the other at its planned height, in place of `heights` [s]
    worst : at the worst ends of the plan's ranges

    Returns
    -------
    Beside

    Raises
    ------
    InputError
        If the plan has not both systems, or a height or period is out of range.
    """
    sea = plan.sea
    if max(system, other) >= len(sea.systems) or system == other:
        allowed = "two different wave systems of the plan"
        raise InputError("wave systems of the curve", (system, other), None, allowed)
    names, tuned = _names(sea), []
    values = tuple(float(value) for value in (periods or heights or ()))
    for value in values:
        systems = list(sea.systems)
        turned = SeaState((systems[other],), sea.depth)
        turned = turned.with_primary(tp=value) if periods else turned.with_primary(hs=value)
        systems[other] = turned.systems[0]
        tuned.append(replace(sea, systems=tuple(systems)))
    limits = limits_in(plan, tuned, [plan.heading], [system] * len(tuned), worst)
    return Beside(names[system], names[other], values, limits)


def limits_by_operation(
    plan: Plan, growth: Growth, periods: Sequence[float] | None = None
) -> dict[OperationKey, LimitMap | InputError]:
    """The limiting seas of every operation the plan can be set to, at the plan's heading, by its key.

    Parameters
    ----------
    plan, growth : the plan and what grows
    periods : as for `limits_of` [s]

    Returns
    -------
    A map of each operation, or why the plan cannot be set to it; not assessed where the rig's limits for it are missing
    """
    found: dict[OperationKey, LimitMap | InputError] = {}
    for kind in OPERATIONS:
        try:
            found[kind] = limits_of(plan.doing(kind), growth, periods)
        except InputError as error:
            found[kind] = error
    return found


def steepest(tp: npt.ArrayLike) -> FloatArray:
    """Highest sea of a peak period that does not break, Hs = Sp g Tp²/2π, Sp from `steepness_cap`.

    Source: DNV-RP-C205, 3.5.4, from memory.

    Parameters
    ----------
    tp : peak periods [s]

    Returns
    -------
    Significant wave heights [m]
    """
    periods = np.asarray(tp, dtype=np.float64)
    caps = np.array([steepness_cap(float(value)) for value in periods.ravel()]).reshape(periods.shape)
    return np.asarray(caps * STANDARD_GRAVITY * periods**2 / (2 * math.pi))


def highest_sea(plan: Plan, growth: Growth, periods: Sequence[float]) -> FloatArray:
    """Highest sea of what grows that does not break, by `steepest`; of a whole sea, by its first system.

    A measured sea has no one period, and no such bound here.

    Parameters
    ----------
    plan, growth : the plan and what grows
    periods : peak periods of what grows, of the first system where all do [s]

    Returns
    -------
    Shape (periods,) [m]; infinite for a measured sea
    """
    sea = plan.sea
    if sea.measured is not None:
        return np.full(len(periods), math.inf)
    share = sea.systems[0].hs / sea.hs if growth.place is None else 1.0
    return np.asarray(steepest(periods) / share)


def letters_of(*maps: LimitMap) -> dict[str, str]:
    """A letter for each check that governs anywhere in some maps, by its key: A, B, C and on.

    Parameters
    ----------
    maps : those of the first have the first letters, its most frequent check A
    """
    found: dict[str, str] = {}
    for one in maps:
        places, counts = np.unique(one.governed_by[one.governed_by >= 0], return_counts=True)
        for place in places[np.argsort(-counts, kind="stable")]:
            found.setdefault(one.keys[place], _letter(len(found)))
    return found


def _letter(place: int) -> str:
    alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    return alphabet[place] if place < len(alphabet) else alphabet[place // 26 - 1] + alphabet[place % 26]
