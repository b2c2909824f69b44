"""The limit card: limiting seas by period and by where the waves come from, as a rig hangs them up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from heave.arrays import FloatArray, Indices
from heave.judging.limit_curves import Growth, allowed_periods, highest_sea, limits_of
from heave.judging.limiting import LimitMap
from heave.planning.plan import Plan

CARD_PERIODS: Final = tuple(np.arange(4.0, 20.5, 1.0).tolist())
"""Peak periods of a card [s]."""

_STEP: Final = 15
_ALIKE: Final = 0.002


@dataclass(frozen=True, eq=False)
class LimitCard:
    """Limiting seas of a plan, shapes (periods, angles).

    periods : peak periods of what grows, one of them its own where it can have no other [s]
    angles : where the waves that grow come from, off the bow, to starboard [deg]
    both_sides : whether an angle stands for either side of the bow: the limits to port and starboard agree within
        0.2 %, and the lower is given
    planned, worst : limits of the planned values and at the worst ends of the ranges
    highest : highest sea that does not break, (periods,) [m]
    """

    plan: Plan
    growth: Growth
    periods: tuple[float, ...]
    angles: tuple[float, ...]
    both_sides: bool
    planned: LimitMap
    worst: LimitMap
    highest: FloatArray


def bow_headings(plan: Plan, growth: Growth, angles: Sequence[float]) -> list[float]:
    """Headings at which the waves that grow come from angles off the bow: direction − angle.

    Parameters
    ----------
    plan, growth : the plan and what grows; where all does, the angle is to the first system
    angles : to starboard [deg]
    """
    turned: list[float] = np.mod(waves_from(plan, growth) - np.asarray(angles), 360.0).tolist()
    return turned


def waves_from(plan: Plan, growth: Growth) -> float:
    """Where the waves that grow come from, compass [deg]: of several the first, of a measured sea its highest part."""
    slots = growth.sea(plan.sea).batch().slots
    first = slots[0] if plan.sea.measured is None else max(slots, key=lambda slot: float(slot.hs[0]))
    return float(first.direction_from[0])


def limit_card(plan: Plan, growth: Growth, periods: tuple[float, ...] = CARD_PERIODS) -> LimitCard:
    """The limits of a card: every 15° of either side where both sides agree, else every 30° all round.

    Parameters
    ----------
    plan, growth : the plan and what grows
    periods : peak periods asked for; those its shape cannot have are left out [s]
    """
    rows = allowed_periods(plan, growth, periods)
    angles = np.arange(0.0, 360.0, _STEP)
    turned = bow_headings(plan, growth, angles.tolist())
    planned, worst = (limits_of(plan, growth, rows or None, turned, end) for end in (False, True))
    alike = all(_same_sides(one) for one in (planned, worst))
    chosen = np.arange(180 // _STEP + 1) if alike else np.arange(0, angles.size, 2)
    if alike:
        planned, worst = _lower_side(planned), _lower_side(worst)
    shown = planned.periods
    highest = highest_sea(plan, growth, shown)
    planned, worst = (one.columns(chosen.tolist()) for one in (planned, worst))
    return LimitCard(plan, growth, shown, tuple(angles[chosen].tolist()), alike, planned, worst, highest)


def _other_side(values: npt.NDArray[Any]) -> Indices:
    """The columns of the angles on the other side of the bow."""
    return -np.arange(values.shape[1])


def _mirror(values: FloatArray) -> FloatArray:
    return values[:, _other_side(values)]


def _same_sides(one: LimitMap) -> bool:
    port = _mirror(one.at_most)
    same = np.isclose(one.at_most, port, rtol=_ALIKE, atol=0.0)
    return bool(np.all(same & (np.isnan(one.hs) == np.isnan(_mirror(one.hs)))))


def _lower_side(one: LimitMap) -> LimitMap:
    """Each angle with the lower of the limits on both sides and the check of that."""
    port = _mirror(one.at_most) < one.at_most
    return replace(
        one,
        hs=np.where(port, _mirror(one.hs), one.hs),
        governed_by=np.where(port, one.governed_by[:, _other_side(one.governed_by)], one.governed_by),
        at_most=np.where(port, _mirror(one.at_most), one.at_most),
    )
