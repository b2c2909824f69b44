"""The operating limits in words: how far the plan's own sea is from its limit, what governs, what is not known."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Final

from heave.errors import InputError
from heave.judging import NEAR, NOT_ASSESSED, OVER, Assessment, LimitingSea, LimitMap, unjudged_path, wanted
from heave.judging.limit_curves import Growth
from heave.judging.limiting import HIGHEST_TRIED
from heave.planning import OPERATIONS, Plan
from heave.planning.kinds import OperationKey
from heave.screens import every_page
from heave.screens.check.verdict import lowered
from heave.screens.figures.limit_polar import off_words
from heave.screens.figures.utilisation import utilisation_text
from heave.screens.inputs import inside, plain, sentence
from heave.units import show, unit_of

_TENTH: Final = 0.1
"""Least that is told of the way to a limit, in the unit on the screen."""


def answer(
    result: Assessment, limit: LimitingSea, now: float, highest: float, system: str
) -> tuple[str, str]:
    """The state of the plan's sea and the large word: how far it is from the limit.

    Parameters
    ----------
    result : of the plan in the sea in which the waves grow
    limit : the limiting sea at its period and heading
    now : height of what grows, as planned [m]
    highest : highest sea that can be at that period [m]
    system : units on the screen
    """
    if not limit.assessed or result.verdict == NOT_ASSESSED:
        return (OVER, "Over a limit") if result.verdict == OVER else (NOT_ASSESSED, "Not assessed")
    if limit.hs == 0:
        return OVER, "Over a limit at any height"
    if now >= limit.hs:
        if result.verdict == OVER:
            return OVER, f"Hs {show(now - limit.hs, 'length', system, 2)} over the limit"
        return NEAR, "A lower sea is over a limit"
    if result.verdict == OVER:  # above the highest sea tried, or between two of them
        return OVER, "Over a limit"
    return result.verdict, _way(limit, now, highest, system)


def _way(limit: LimitingSea, now: float, highest: float, system: str) -> str:
    """How far a sea that is within limits is from the limit."""
    if math.isinf(limit.hs) and highest > HIGHEST_TRIED:
        return f"No limit up to Hs {show(HIGHEST_TRIED, 'length', system)}"
    if limit.hs > highest:
        return "No limit in any possible sea"
    left, least = limit.hs - now, _TENTH * unit_of("length", system).factor
    if left < least:
        return f"Less than {show(least, 'length', system, 1)} below the limit"
    return f"Hs {lowered(left, system)} below the limit"


def lines(
    result: Assessment,
    limit: LimitingSea,
    worst: LimitingSea,
    growth: Growth,
    now: float,
    highest: float,
    system: str,
) -> str:
    """What the limit is of, in Markdown: the height, its check, the worst ends of the ranges, what is not judged.

    Parameters
    ----------
    result, limit, now, highest, system : as for `answer`
    worst : the limiting sea at the worst ends of the ranges
    growth : what grows
    """
    what, parts = plain(growth.words), []
    if not limit.assessed:
        needs = wanted(result.plan) or ("a required check could not be made, see Compensator check",)
        parts.append(f"**Not assessed: {plain('; '.join(needs))}.** No height is a limit until then.")
        if limit.reached:
            most = _reaches(limit, limit.at_most, now, system)
            parts.append(f"The checks that could be made allow {most} at most.")
    elif math.isinf(limit.hs) or limit.hs > highest:
        reach, up_to = "no check reaches its limit up to", highest
        if limit.reached:
            reach = f"the limit, {_reaches(limit, limit.hs, now, system)}, lies above"
        else:
            up_to = min(highest, HIGHEST_TRIED)
        which = "steepest sea of that period that can be" if up_to == highest else "highest sea tried"
        parts.append(f"Of {what}: {reach} Hs {show(up_to, 'length', system)}, the {which}.")
    elif limit.hs == 0:
        parts.append(f"Of {what}: **{plain(limit.governing or '')}** is over its limit however low that is.")
    else:
        parts.append(f"Limit of {what}, on the checks judged: **{_reaches(limit, limit.hs, now, system)}**.")
    governs = ""
    if result.governing is not None:
        used = f"utilisation **{utilisation_text(result.governing.utilisation)}**"
        governs = f", {inside(plain(result.governing.name))} governs, {used}"
    own = "The plan's sea without its other waves" if growth.parted else "The plan's own sea"
    tone = every_page.TONES[result.verdict]
    parts.append(f"{own} has Hs {show(now, 'length', system)}: :{tone}[{result.verdict}]{governs}.")
    parts.append(_unsure(worst, now, highest, system))
    parts += filter(None, (plain(unjudged_path(result.plan)),))
    return "  \n".join(parts)


def _reaches(limit: LimitingSea, hs: float, now: float, system: str) -> str:
    return f"Hs {lowered(hs, system, now)}, where {inside(plain(limit.governing or 'a check'))} reaches 1"


def _unsure(worst: LimitingSea, now: float, highest: float, system: str) -> str:
    """The limit with all that is not known at its worst."""
    start = "With all that is not known at its worst"
    if not worst.assessed:
        return f"{start}: not assessed."
    if math.isinf(worst.hs) or worst.hs > highest:
        where = "in any possible sea" if highest <= HIGHEST_TRIED or worst.reached else "up to there"
        return f"{start}: no limit {where} either."
    if worst.hs == 0:
        return f"{start}: none, {inside(plain(worst.governing or 'a check'))} is over however low these waves are."
    return f"{start}: {_reaches(worst, worst.hs, now, system)}."


def computed_for(plan: Plan, growth: Growth, tp: float, angle: float, system: str) -> str:
    """What the curves are of, in a line."""
    operation = plan.operation.about
    return "Computed for " + plain(
        f"{inside(operation.label)} · {growth.words} · Tp {show(tp, 'period', system)} · heading "
        f"{show(plan.heading, 'direction', system)}, waves {off_words(angle)} · hookload "
        f"{show(plan.hookload, 'force', system, 4)} · WOB {show(plan.wob_used, 'force', system)} · "
        f"{plan.compensator.name} · {plan.vessel.name} · significant wave height, crest to trough"
    )


def left_out(found: Mapping[OperationKey, LimitMap | InputError], plan: Plan) -> str:
    """Why some operations have no line, in Markdown; empty where all have."""
    parts = []
    for kind, one in found.items():
        name = f"**{OPERATIONS[kind].label}**"
        if isinstance(one, InputError):
            parts.append(f"{name}: {plain(str(one))}")
        elif all(math.isnan(value) for value in one.hs.ravel()):
            needs = wanted(plan.doing(kind)) or ("a required check could not be made",)
            parts.append(f"{name}: not assessed, {plain('; '.join(needs))}")
        elif (one.hs == 0).all():
            check = inside(plain(one.names[one.governed_by[0, 0]]))
            parts.append(f"{name}: over a limit at any height, {check}")
        elif all(math.isinf(value) for value in one.hs.ravel()):
            parts.append(f"{name}: no check reaches its limit")
    return "  \n".join(map(sentence, parts))
