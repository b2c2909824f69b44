"""The answer for a first step that is under way, of one forecast or of the members of an ensemble, in words."""

from __future__ import annotations

import numpy as np

from heave.judging import NEAR, WITHIN
from heave.planning import Plan
from heave.screens.inputs import plain
from heave.screens.weather.clock import Clock, hours
from heave.weather.under_way import UnderWay, state_of


def told(
    plan: Plan,
    stands: UnderWay,
    now: np.datetime64,
    clock: Clock,
    missing: tuple[str, ...] = (),
    members: int | None = None,
) -> tuple[str, str, tuple[str, ...]]:
    """State, title and sentences: by when to begin making safe.

    Parameters
    ----------
    plan : with the step
    stands : how it stands
    now : the present time, UTC
    clock : zone of local times
    missing : what keeps it from being assessed, in sentences
    members : how many there are of an ensemble; None for one forecast
    """
    step = plan.campaign.steps[0]
    label, state = plain(step.label), state_of(plan, step, stands)

    def among(count: int) -> str:
        return "" if members is None else f" in **{count} of {members}** members"

    if stands.inside is None:
        known = "is not known" if members is None else f"is known{among(stands.holds_now)} only"
        words = f"{label} is under way; whether it is within its limits now {known}."
        return state, "Not assessed", (words, *(missing or ("The notes say what is missing.",)))
    if not stands.inside:
        words = f"{label} is under way and over a limit{among(stands.over_now)}: make safe."
        return state, "Over a limit now", (words,)
    held = _later(now, stands.held_for)
    lines = [
        f"{label} holds until **{clock.both(held)}**{among(stands.holds_in)}; then {plain(stands.ends)}."
    ]
    if members is not None and stands.holds_now < members:
        over = f"; it is over a limit{among(stands.over_now)}" if stands.over_now else ""
        lines.append(f"It holds now{among(stands.holds_now)}{over}.")
    if not step.interruptible:
        return state, "Must be finished", (*lines, "It cannot be stopped and left safe.")
    by = _later(now, stands.held_for - step.secured_in)
    lines.append(f"Making safe takes {hours(step.secured_in)}.")
    if state not in (NEAR, WITHIN):
        return state, "Start making safe now", tuple(lines)
    if 0.0 <= stands.calm_for < stands.held_for:
        near = "near one" if members is None else "near one, or over it, in a member"
        lines.append(f"Within limits until {clock.both(_later(now, stands.calm_for))}, then {near}.")
    return state, f"Start making safe by {clock.both(by)}", tuple(lines)


def _later(now: np.datetime64, span: float) -> np.datetime64:
    return np.datetime64(now + np.timedelta64(round(span), "s"))
