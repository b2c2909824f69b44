"""What the page of operating limits has computed, kept by plan: a plan that has not changed is not worked again.

What grows is decided in the plan; limits are kept by it and by the rest of the plan that they rest on.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

import numpy as np

from heave.errors import InputError
from heave.judging import LimitingSea, LimitMap
from heave.judging.limit_card import bow_headings, limit_card, waves_from
from heave.judging.limit_curves import (
    HEADINGS,
    HEIGHTS,
    Growth,
    allowed_periods,
    asking_for,
    growths,
    highest_sea,
    limits_beside,
    limits_by_operation,
    limits_of,
)
from heave.planning import AS_NEW, Plan
from heave.planning.kinds import OperationKey
from heave.screens import state
from heave.screens.figures.limit_lines import Curve


def resting_on(plan: Plan) -> Plan:
    """What limits rest on of a plan, by which they are kept: not its title block, its study, or what it asks of a
    forecast and of other seas; what grows is told beside it.

    Parameters
    ----------
    plan : the plan
    """
    return plan.as_judged.changed(weather=AS_NEW)


def choose(words: str) -> None:
    """Put what was picked to grow into the plan."""
    plan = state.plan()
    picked = next(way for way in growths(plan) if way.words == words)
    state.put(("other_seas",), asking_for(picked, plan.other_seas))


@lru_cache(maxsize=16)
def over_period(plan: Plan, growth: Growth) -> Curve | None:
    """Limits at the plan's heading over period, its own period among them; None where the sea has no period to vary."""
    periods = allowed_periods(plan, growth)
    if not periods:
        return None
    own = growth.sea(plan.sea).tp
    rows = sorted({*periods, own} if periods[0] <= own <= periods[-1] else periods)
    planned, worst = (limits_of(plan, growth, rows, worst=end) for end in (False, True))
    return Curve(np.array(rows), planned, worst, highest_sea(plan, growth, rows))


@lru_cache(maxsize=16)
def around(plan: Plan, growth: Growth) -> Curve:
    """Limits at the plan's period around the vessel, by where the waves come from off the bow."""
    headings = bow_headings(plan, growth, HEADINGS)
    planned, worst = (limits_of(plan, growth, None, headings, end) for end in (False, True))
    highest = np.repeat(highest_sea(plan, growth, [growth.sea(plan.sea).tp]), len(HEADINGS))
    return Curve(np.array(HEADINGS), planned, worst, highest)


@lru_cache(maxsize=16)
def beside(plan: Plan, by_period: bool) -> tuple[Curve, str, str] | None:
    """Limits of the first wave system over the height or the period of the second; None where there is none.

    With it come the names of both.
    """
    sea = plan.sea
    if len(sea.systems) < 2:
        return None
    other = Growth(1, True, "")
    values = allowed_periods(plan, other) if by_period else HEIGHTS
    if not values:
        return None
    periods = values if by_period else None
    planned, worst = (
        limits_beside(plan, heights=values, periods=periods, worst=end) for end in (False, True)
    )
    highest = np.repeat(highest_sea(plan, Growth(0, False, ""), [sea.systems[0].tp]), len(values))
    return Curve(np.array(values), planned.limits, worst.limits, highest), planned.name, planned.other


@lru_cache(maxsize=8)
def by_operation(plan: Plan, growth: Growth) -> Mapping[OperationKey, LimitMap | InputError]:
    """Limits of every operation over period."""
    return limits_by_operation(plan, growth, allowed_periods(plan, growth) or None)


@lru_cache(maxsize=8)
def whole(plan: Plan, growth: Growth, worst: bool = False) -> LimitMap:
    """The whole map, periods by headings all round."""
    periods = allowed_periods(plan, growth) or None
    return limits_of(plan, growth, periods, bow_headings(plan, growth, HEADINGS), worst)


card = lru_cache(maxsize=8)(limit_card)
"""What stands on the limit card of a plan for what grows."""


@lru_cache(maxsize=16)
def at_plan(plan: Plan, growth: Growth) -> tuple[LimitingSea, LimitingSea, float]:
    """The limiting seas at the plan's own period and heading, planned and worst, and the highest sea that can be."""
    planned, worst = (limits_of(plan, growth, worst=end).at(0, 0) for end in (False, True))
    return planned, worst, float(highest_sea(plan, growth, [planned.tp])[0])


def own_place(plan: Plan, growth: Growth) -> tuple[float, float]:
    """Peak period and height of what grows as the plan has it [s], [m]."""
    sea = growth.sea(plan.sea)
    return sea.tp, sea.hs if growth.place is None else sea.systems[0].hs


def own_angle(plan: Plan, growth: Growth) -> float:
    """Where what grows comes from, off the bow to starboard [deg]."""
    return float((waves_from(plan, growth) - plan.heading) % 360.0)
