"""What keeps a plan from being assessed, in words: a limit of the rig, a response of the vessel, or a confirmation."""

from __future__ import annotations

from heave.judging.roll_pitch import TURNS, limited
from heave.planning.plan import Plan
from heave.units import significant


def lacks_response(plan: Plan) -> tuple[str, ...]:
    """Motions that the vessel's response does not have and `plan` needs: the rig limits them in this operation, or they
    move a hoist that stands off the point of the response."""
    limits = (motion for motion in TURNS if limited(plan, motion) and not plan.vessel.knows(motion))
    return tuple(dict.fromkeys((*plan.vessel.unknown_at_hoist, *limits)))


def withheld(plan: Plan) -> bool:
    """Whether no figure of `plan` below 1 is a pass: a hookload is to be confirmed, or the hoist's motion not known."""
    return plan.hookload_to_confirm or bool(plan.vessel.unknown_at_hoist)


def unconfirmed(plan: Plan) -> str:
    """How far the hookload entered in `plan` is from the string's, to be confirmed; empty where it is not to be."""
    if not plan.hookload_to_confirm:
        return ""
    share = plan.still_hookload / plan.own_hookload - 1
    side = "over" if share > 0 else "under"
    return f"hookload entered is {significant(100 * abs(share), 2)}\u00a0% {side} the string's, confirm it"


def needs(plan: Plan) -> tuple[str, ...]:
    """Limits of the rig and responses of the vessel that `plan` has not been given and its operation needs.

    Returns
    -------
    Phrases such as 'needs the rig's heave limit for running casing'
    """
    limit = plan.operation.wanted
    found = [f"needs {limit}"] if limit else []
    return (*found, *(f"needs the vessel's {motion} response" for motion in lacks_response(plan)))


def wanted(plan: Plan) -> tuple[str, ...]:
    """Everything that keeps `plan` from being assessed in any sea: what it `needs`, and a hookload to confirm."""
    return tuple(filter(None, (*needs(plan), unconfirmed(plan))))
