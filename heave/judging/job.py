"""Cautions of the whole job: pulling out, running in, and what stands on the bit. Words and ratios only."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from heave.planning.job import Buckling, JobHookload, bottom_hole_of, buckling_of, job_of
from heave.planning.plan import Plan
from heave.units import STANDARD_GRAVITY, significant

BUCKLING_SOURCE: Final = (
    "Dawson and Paslay 1984 in inclined hole, Lubinski 1950, first order, in vertical hole"
)

WORTH_SAYING: Final = 1.001
"""Times a load from which another is said to be more than it."""


def job_cautions(plan: Plan) -> Iterator[str]:
    """What the well and the bottom-hole assembly of a plan call for.

    Parameters
    ----------
    plan : the plan
    """
    if plan.well is not None:
        job = job_of(plan)
        yield from _pulling_cautions(plan, job)
        yield from _running_cautions(plan, job)
    if plan.on_bottom and plan.wob > 0:
        yield from _standing_cautions(plan)


def _pulling_cautions(plan: Plan, job: JobHookload) -> Iterator[str]:
    """Pulls above the hookload that is judged, and above the ratings of the unit."""
    more = plan.job_hookload / plan.hookload
    if more > WORTH_SAYING:
        beside = " The drag allowance is in that hookload and not counted beside friction." * (
            plan.string.drag > 0
        )
        yield (
            f"Pulling out from the plan's depth takes {significant(more)} times the hookload judged here, by the "
            f"friction of the well: tripping and running casing are judged with that.{beside} Bends, a stiff string "
            "and cuttings add to it and are not counted."
        )
    way = job.extremes("pulling out")
    if way.highest > WORTH_SAYING * max(way.at_end, plan.hookload):
        yield (
            "On the way out the pull is highest with the bit at "
            f"{significant(100 * way.highest_at / job.depth[-1])}\u00a0% of its depth: "
            f"{significant(way.highest / plan.hookload)} times the hookload judged here."
        )
    unit = plan.compensator
    highest = max(way.highest, plan.job_hookload) + plan.moving_mass * STANDARD_GRAVITY
    if highest + plan.overpull > unit.locked_rating:
        over = (highest + plan.overpull) / unit.locked_rating
        yield (
            "The highest pull of the job with the unit's moving parts and the overpull margin is "
            f"{significant(over)} times the rating of the locked unit, before the sea adds to it."
        )
    elif highest > unit.compensated_rating:
        yield (
            "The highest pull of the job with the unit's moving parts is "
            f"{significant(highest / unit.compensated_rating)} times the rating of the working unit: only a locked one "
            "may carry it."
        )


def _running_cautions(plan: Plan, job: JobHookload) -> Iterator[str]:
    """A string that friction holds up."""
    held = np.flatnonzero(job.running_in < plan.string.handling_weight * (1 - 1e-9))
    if not held.size:
        return
    share = significant(100 * float(job.depth[held[0]] / job.depth[-1]))
    how = "by itself, nor with the gear on top of it" if np.any(job.running_in < 0) else "by its own weight"
    yield (
        f"Running in, the string does not go down {how}: friction of the well is more than that at a bit depth of "
        f"{share}\u00a0% of the string's length or deeper."
    )


def _standing_cautions(plan: Plan) -> Iterator[str]:
    """A neutral point above the bottom-hole assembly or near its end, and pipe that buckles over it."""
    found = bottom_hole_of(plan)
    if not found.above_assembly:
        if found.usable is not None and plan.wob > found.usable:
            yield (
                f"The bottom-hole assembly weighs only {significant(found.available / plan.wob)} times the weight on "
                "bit along the hole, less than its design factor asks for."
            )
        return
    if found.assembly_length == 0:
        yield (
            "The string has no collars or heavy-weight pipe at its lower end: all the weight on bit stands on drill "
            "pipe in compression."
        )
    elif found.available <= 0:
        yield (
            "The bottom-hole assembly lies where it gives no weight along the hole: drill pipe above it pushes it."
        )
    else:
        yield (
            "The neutral point is above the bottom-hole assembly: the weight on bit is "
            f"{significant(plan.wob / found.available)} times what collars and heavy-weight pipe weigh along the hole, "
            "and the rest stands on drill pipe in compression."
        )
    pressed = buckling_of(plan)
    if pressed is not None:
        yield _buckling_caution(plan, pressed)


def _buckling_caution(plan: Plan, pressed: Buckling) -> str:
    where = f"{pressed.section}" + (f" in interval {pressed.interval + 1} of the well" if plan.well else "")
    if pressed.critical is None:
        return (
            f"Whether it buckles is not known: for {where} the hole diameter is missing. Upright it would buckle "
            f"under this force ({BUCKLING_SOURCE})."
        )
    share = pressed.force / pressed.critical
    if share > 1:
        return (
            f"That pipe buckles: the compression of {where} is {significant(share)} times what it stands "
            f"({BUCKLING_SOURCE})."
        )
    return (
        f"That pipe does not buckle yet: the compression of {where} is {significant(100 * share)}\u00a0% of what it "
        f"stands ({BUCKLING_SOURCE})."
    )
