"""What stands on the bit: neutral point, the weight that collars and heavy-weight pipe can give, buckling above them.

Buoyancy-factor method (API RP 7G): the neutral point is where the weight in mud below it, along the hole, is the
weight on bit. The string turns, so that friction takes nothing of it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, NamedTuple

import numpy as np

from heave.arrays import FloatArray, IntArray
from heave.drill_string.job import WEIGHT_ON_BIT
from heave.drill_string.sections import DrillString, Section
from heave.drill_string.well import Well, vertical
from heave.fields import Quantity

STIFF_WALL: Final = 0.15
"""Wall over outside diameter from which a section carries weight on bit: a rule of this planner. Drill pipe has up to
0.13, heavy-weight pipe from 0.16, collars from 0.25."""

VERTICAL_BUCKLING: Final = 1.94
"""Lubinski, A study of the buckling of rotary drilling strings (API Drilling and Production Practice, 1950): force of
first-order buckling in vertical hole over (E I w²)^(1/3)."""


@dataclass(frozen=True)
class BottomHole:
    """What the bottom-hole assembly is and gives: lengths along the hole [m], forces [N].

    neutral : height of the neutral point above the bit; the whole string where all of it stands on the bit
    assembly_length : of the sections that carry weight on bit, from the bit up; 0 where there are none
    available : their weight in mud along the hole: with more weight on bit the neutral point leaves them
    usable : `available` over the design factor of the well; None where none is given
    """

    neutral: float
    assembly_length: float
    available: float
    usable: float | None

    @property
    def above_assembly(self) -> bool:
        """True while the neutral point stands above the sections that carry weight on bit (by definition)."""
        return self.neutral > self.assembly_length * (1 + 1e-9)


@dataclass(frozen=True)
class Buckling:
    """The piece of pipe over the bottom-hole assembly that is nearest to buckling, or past it.

    section : its name
    interval : place of the interval it is in, from 0 at the rotary
    force : largest compression in it [N]
    critical : force at which it buckles [N]; None where the interval is inclined and its diameter not given
    """

    section: str
    interval: int
    force: float
    critical: float | None


class _Pieces(NamedTuple):
    """Pieces of one section in one interval each, from the bit up, the bit as deep as the string is long."""

    begins: FloatArray
    length: FloatArray
    section: tuple[Section, ...]
    interval: IntArray
    weight: FloatArray
    """Along the hole [N]."""

    below: FloatArray
    """Weight along the hole of all pieces below each [N]."""


@lru_cache(maxsize=32)
def _pieces(string: DrillString, well: Well) -> _Pieces:
    well.check_holds(string)
    upwards, heights = string.sections[::-1], string.heights
    bends = string.length - well.bounds
    inside = bends[(bends > 0) & (bends < string.length)]
    # asked without a count it brings NumPy's masked arrays along, 2 MB
    edges, _ = np.unique(np.concatenate((heights, inside)), return_counts=True)
    middle, length = (edges[1:] + edges[:-1]) / 2, np.diff(edges)
    of = np.clip(np.searchsorted(heights, middle) - 1, 0, len(upwards) - 1)
    interval = np.clip(np.searchsorted(well.bounds, string.length - middle) - 1, 0, len(well.intervals) - 1)
    section = tuple(upwards[place] for place in of)
    weight = np.array([string.weight_in_mud(one) for one in section]) * length * well.cosines[interval]
    return _Pieces(edges[:-1], length, section, interval, weight, np.cumsum(weight) - weight)


def neutral_height(string: DrillString, force: float, well: Well | None = None) -> float:
    """Height above the lower end at which the string's weight in mud below, along the hole, is `force` [m].

    Source: buoyancy-factor method (API RP 7G). The whole length where all of it weighs less.

    Parameters
    ----------
    string : the string, its lower end as deep as it is long
    force : set down at its lower end, from 0 [N]
    well : the hole; None is vertical

    Raises
    ------
    InputError
        If the force is negative or not finite, or string and well do not fit.
    """
    Quantity("force set down", "force", low=0.0).check(force)
    pieces = _pieces(string, well or vertical(string.length))
    carried = np.flatnonzero(pieces.below + pieces.weight >= force)
    if not carried.size:
        return string.length
    first = carried[0]
    left, weight = force - pieces.below[first], pieces.weight[first]
    return float(pieces.begins[first] + (pieces.length[first] * left / weight if left > 0 else 0.0))


def bottom_hole_assembly(string: DrillString) -> tuple[Section, ...]:
    """The sections that carry weight on bit, top down: from the bit up, all before the first with a thin wall.

    A wall of `STIFF_WALL` of the outside diameter or more counts as collar or heavy-weight pipe: common practice,
    put in a number.

    Parameters
    ----------
    string : the string
    """
    kept: list[Section] = []
    for section in reversed(string.sections):
        if section.outer_diameter - section.inner_diameter < 2 * STIFF_WALL * section.outer_diameter:
            break
        kept.insert(0, section)
    return tuple(kept)


def bottom_hole(string: DrillString, wob: float, well: Well | None = None) -> BottomHole:
    """Neutral point at a weight on bit, and the weight on bit that the bottom-hole assembly can give.

    Source: buoyancy-factor method, W L cos θ over a design factor (API RP 7G, drill stem design); which sections
    count, see `bottom_hole_assembly`.

    Parameters
    ----------
    string : the string, its bit as deep as it is long
    wob : weight on bit [N]
    well : the hole; None is vertical, and has no design factor

    Raises
    ------
    InputError
        If the weight on bit is out of bounds, or string and well do not fit.
    """
    WEIGHT_ON_BIT.check(wob)
    hole = well or vertical(string.length)
    length = sum(section.length for section in bottom_hole_assembly(string))
    pieces = _pieces(string, hole)
    available = float(np.sum(pieces.weight[pieces.begins < length * (1 - 1e-12)]))
    factor = hole.design_factor
    usable = None if factor is None else max(available, 0.0) / factor
    return BottomHole(neutral_height(string, wob, well), length, available, usable)


def buckling(string: DrillString, wob: float, well: Well | None = None) -> Buckling | None:
    """The pipe above the bottom-hole assembly nearest to buckling while drilling; None where none is in compression.

    Sources: in an inclined interval a pipe on the low side buckles into a sine at 2 √(E I w sin θ / r) (Dawson and
    Paslay, Drillpipe buckling in inclined holes, Journal of Petroleum Technology, October 1984), r the clearance
    between hole and pipe body. That formula goes to nothing towards vertical, where the first-order force of Lubinski
    (1950), 1.94 (E I w²)^(1/3), with w cos θ along the hole, takes its place: the larger of both is used. Static,
    straight intervals, no torque, the string turning without drag.

    Parameters
    ----------
    string : the string, its bit as deep as it is long
    wob : weight on bit [N]
    well : the hole; None is vertical

    Raises
    ------
    InputError
        If the weight on bit is out of bounds, or string and well do not fit.
    """
    WEIGHT_ON_BIT.check(wob)
    hole = well or vertical(string.length)
    pieces = _pieces(string, hole)
    length = sum(section.length for section in bottom_hole_assembly(string))
    forces = wob - np.minimum(pieces.below, pieces.below + pieces.weight)
    worst: tuple[float, Buckling] | None = None
    for place in np.flatnonzero((pieces.begins >= length * (1 - 1e-12)) & (forces > wob * 1e-9)):
        section, interval, force = pieces.section[place], int(pieces.interval[place]), float(forces[place])
        standing, lying = critical_forces(string, section, hole, interval)
        critical = None if lying is None and force > standing else max(standing, lying or 0.0)
        share = math.inf if critical is None else force / critical
        if worst is None or share > worst[0]:
            worst = share, Buckling(section.name, interval, force, critical)
    return worst[1] if worst else None


def critical_forces(
    string: DrillString, section: Section, well: Well, interval: int
) -> tuple[float, float | None]:
    """Compression at which a section buckles, as in vertical hole and as in inclined hole [N].

    Sources: Lubinski (1950) and Dawson and Paslay (1984), as `buckling` has them. The second is 0 in vertical hole,
    and None where the interval is inclined and its diameter is not given.

    Parameters
    ----------
    string : the string, for its mud
    section : one of its sections
    well : the hole
    interval : place of the interval in it, from 0 at the rotary
    """
    hole, weight = well.intervals[interval], string.weight_in_mud(section)
    stiffness = (
        section.youngs_modulus * math.pi / 64 * (section.outer_diameter**4 - section.inner_diameter**4)
    )
    standing = VERTICAL_BUCKLING * math.cbrt(stiffness * (weight * math.cos(hole.inclination)) ** 2)
    across = weight * math.sin(hole.inclination)
    if across == 0:
        return standing, 0.0
    if hole.diameter is None:
        return standing, None
    clearance = (hole.diameter - section.outer_diameter) / 2
    return standing, 2 * math.sqrt(stiffness * across / clearance)
