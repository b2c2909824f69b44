"""A first step that is being done: until when it holds, in one forecast or in enough members, and what that means."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from heave.judging.checks import NEAR, NOT_ASSESSED, OVER, WITHIN, Verdict
from heave.planning import OperationStep, Plan


@dataclass(frozen=True)
class UnderWay:
    """How a first step under way stands now.

    Parameters
    ----------
    inside : whether it is inside its limits; None where that is not known or not assessed
    held_for : how long it is known to hold [s]; minus infinity where it does not hold now
    calm_for : how long it is within limits, near none of them [s]; minus infinity where it is not so now
    ends : what ends the time that it holds, in words
    holds_in : members in which it holds as long
    holds_now, over_now : members in which it holds now, and in which it is over a limit
    """

    inside: bool | None
    held_for: float
    calm_for: float
    ends: str
    holds_in: int = 1
    holds_now: int = 1
    over_now: int = 0


def state_of(plan: Plan, step: OperationStep, stands: UnderWay) -> Verdict:
    """The verdict on a step under way: over a limit once it is time to make safe, within limits where it is so until
    the next forecast and for as long as making safe takes after it.

    Parameters
    ----------
    plan : with the time between two forecasts
    step : the step
    stands : how it stands
    """
    if not stands.inside:
        return NOT_ASSESSED if stands.inside is None else OVER
    if not step.interruptible:
        return NEAR
    if stands.held_for <= step.secured_in:
        return OVER
    needed = plan.weather.forecast_interval + step.secured_in
    return WITHIN if stands.calm_for >= needed else NEAR


def in_enough(members: Sequence[UnderWay], needed: int) -> UnderWay:
    """How a step stands in at least `needed` of the members; within limits only as long as in all of them.

    Parameters
    ----------
    members : of each how it stands
    needed : number of members
    """
    held = sorted((one.held_for for one in members), reverse=True)[needed - 1]
    now = sum(one.inside is True for one in members)
    over = sum(one.inside is False for one in members)
    ends = Counter(one.ends for one in members if one.inside)
    return UnderWay(
        inside=True if now >= needed else (False if over else None),
        held_for=held,
        calm_for=min(one.calm_for for one in members),
        ends=ends.most_common(1)[0][0] if ends else "",
        holds_in=sum(one.held_for >= held > -np.inf for one in members),
        holds_now=now,
        over_now=over,
    )
