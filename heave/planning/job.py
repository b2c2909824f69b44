"""The job of a plan: its well, the hookload over all depths of the bit, and what stands on the bit."""

from __future__ import annotations

from functools import lru_cache

from heave.drill_string import (
    MOTIONS,
    STIFF_WALL,
    BottomHole,
    Buckling,
    Extremes,
    HoleInterval,
    JobHookload,
    Motion,
    Well,
    bottom_hole,
    buckling,
    hookload_over_job,
    vertical,
)
from heave.errors import InputError
from heave.planning.plan import Plan
from heave.units import STANDARD_GRAVITY

_over_job = lru_cache(maxsize=16)(hookload_over_job)  # the same for every sea


def job_of(plan: Plan) -> JobHookload:
    """Hookload over bit depth for every motion, with the plan's weight on bit while drilling.

    Parameters
    ----------
    plan : with a well

    Raises
    ------
    InputError
        If the plan has no well.
    """
    if plan.well is None:
        raise InputError("well", None, None, "a well in the plan")
    return _over_job(plan.string, plan.well, plan.wob)


def held_against(plan: Plan) -> dict[str, float]:
    """What a hookload is held against, by name: the hookload judged, and ratings less the unit's own weight [N].

    Parameters
    ----------
    plan : the plan
    """
    unit = plan.compensator
    own = unit.moving_mass * STANDARD_GRAVITY
    return {
        "hookload judged": plan.hookload,
        "rating compensating, less moving parts": unit.compensated_rating - own,
        "rating locked, less moving parts": unit.locked_rating - own,
    }


def bottom_hole_of(plan: Plan) -> BottomHole:
    """Neutral point at the plan's weight on bit, and what its bottom-hole assembly can give; vertical without a well.

    Parameters
    ----------
    plan : the plan
    """
    return bottom_hole(plan.string, plan.wob, plan.well)


def buckling_of(plan: Plan) -> Buckling | None:
    """The pipe above the bottom-hole assembly nearest to buckling at the plan's weight on bit; None: none compressed.

    Parameters
    ----------
    plan : the plan
    """
    return buckling(plan.string, plan.wob, plan.well)


def first_well(plan: Plan) -> Well:
    """A well to begin with: vertical, as long as the string, parted at the seabed where its depth is known.

    Nothing is known of friction and diameters, so none are given.

    Parameters
    ----------
    plan : the plan, for its string and water depth
    """
    water, length = plan.sea.depth, plan.string.length
    if water is None or min(water, length - water) < 0.1:
        return vertical(length)
    return Well((HoleInterval(water), HoleInterval(length - water)))


def with_intervals(plan: Plan, intervals: tuple[HoleInterval, ...]) -> Plan:
    """The plan with other `intervals` in its well, top down; the design factor is kept."""
    factor = None if plan.well is None else plan.well.design_factor
    return plan.changed(well=Well(intervals, factor))
