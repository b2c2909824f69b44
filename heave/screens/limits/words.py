"""The operating limits in words: how far the plan's own sea is from its limit, what governs, what is not known."""

from __future__ import annotations

import math
from collections.abc import Mapping

from heave.errors import InputError
from heave.judging import NEAR, NOT_ASSESSED, OVER, Assessment, LimitingSea, LimitMap, unjudged_path, wanted
from heave.judging.limit_curves import Growth
from heave.planning import OPERATIONS, Plan
from heave.planning.kinds import OperationKey
from heave.screens import every_page
from heave.screens.check.verdict import lowered
from heave.screens.figures.limit_polar import off_words
from heave.screens.figures.utilisation import utilisation_text
from heave.screens.inputs import inside, plain, sentence
from heave.units import show


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
    if limit.hs > highest:
        return result.verdict, "No limit in any possible sea"
    return result.verdict, f"Hs {lowered(limit.hs - now, system)} below the limit"


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
            most = _reaches(limit, limit.at_most, system)
            parts.append(f"The checks that could be made allow {most} at most.")
    elif limit.hs > highest:
        reach = "no check reaches its limit up to"
        if limit.reached:
            reach = f"the limit, {_reaches(limit, limit.hs, system)}, lies above"
        steepest = f"Hs {show(highest, 'length', system)}, the steepest sea of that period that can be."
        parts.append(f"Of {what}: {reach} {steepest}")
    elif limit.hs == 0:
        parts.append(f"Of {what}: **{plain(limit.governing or '')}** is over its limit however low that is.")
    else:
        parts.append(f"Limit of {what}, on the checks judged: **{_reaches(limit, limit.hs, system)}**.")
    governs = ""
    if result.governing is not None:
        used = f"utilisation **{utilisation_text(result.governing.utilisation)}**"
        governs = f", {inside(plain(result.governing.name))} governs, {used}"
    own = "The plan's sea without its other waves" if growth.parted else "The plan's own sea"
    tone = every_page.TONES[result.verdict]
    parts.append(f"{own} has Hs {show(now, 'length', system)}: :{tone}[{result.verdict}]{governs}.")
    parts.append(_unsure(worst, highest, system))
    parts += filter(None, (plain(unjudged_path(result.plan)),))
    return "  \n".join(parts)


def _reaches(limit: LimitingSea, hs: float, system: str) -> str:
    return f"Hs {lowered(hs, system)}, where {inside(plain(limit.governing or 'a check'))} reaches 1"


def _unsure(worst: LimitingSea, highest: float, system: str) -> str:
    """The limit with all that is not known at its worst."""
    start = "With all that is not known at its worst"
    if not worst.assessed:
        return f"{start}: not assessed."
    if worst.hs > highest:
        return f"{start}: no limit in any possible sea either."
    if worst.hs == 0:
        return f"{start}: none, {inside(plain(worst.governing or 'a check'))} is over however low these waves are."
    return f"{start}: {_reaches(worst, worst.hs, system)}."


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
