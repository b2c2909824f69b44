"""What would help: changes the crew can make, each tried on the plan and computed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from heave.compensator import GasUnit
from heave.errors import InputError
from heave.formula import Term
from heave.judging.checks import Check
from heave.judging.limiting import LimitingSea, limiting_sea
from heave.judging.results import Assessment
from heave.judging.rules import rules_for
from heave.judging.utilisation import utilisations
from heave.planning.plan import Plan
from heave.units import show

HEADING_STEP: Final = 10.0
"""Step of the headings tried [deg]."""

WORTH_SAYING: Final = 0.02
"""Smallest fall of the governing utilisation that is offered."""

LIGHTER: Final = 0.9
"""Share of the hookload tried as a lighter string."""


@dataclass(frozen=True)
class Remedy:
    """One change, with the governing utilisation before and after it.

    `governed_by` names the check that governs afterwards; `plan` is the changed plan, None for waiting.
    """

    label: str
    """What to do; `words` puts the amount in."""

    before: float
    after: float
    governed_by: str
    verdict: str
    side_effect: str
    plan: Plan | None
    amount: Term | None = None

    def words(self, system: str = "metric") -> str:
        """What to do, with its amount in the units of `system`."""
        if self.amount is None:
            return self.label
        return self.label.format(show(self.amount.value, self.amount.kind, system))


def what_would_help(result: Assessment, limiting: LimitingSea | None = None) -> tuple[Remedy, ...]:
    """Changes that lower the governing utilisation, best first.

    Tried: every heading in steps of 10°, opening shut gas bottles, starting at the stroke position that
    shares the static travel evenly, a tenth less hookload, weight on bit at the middle of its band, and
    waiting for the sea to fall to its limit. Each is the changed plan through every check.

    Parameters
    ----------
    result : the assessment to improve on
    limiting : its limiting sea, if already computed

    Returns
    -------
    Remedies that bring the governing utilisation down by at least 0.02, best first
    """
    plan, governing = result.plan, result.governing
    if governing is None:
        return ()
    tried = [
        trial
        for trial in (
            _turn(plan),
            _open_bottles(plan),
            _space_out(result),
            _lighter(plan),
            _centre_wob(plan),
            _active_on(plan),
        )
        if trial is not None
    ]
    found = [_remedy(trial, governing) for trial in tried]
    found = [remedy for remedy in found if remedy.before - remedy.after >= WORTH_SAYING]
    found.sort(key=lambda remedy: remedy.after)
    waiting = _wait(result, limiting)
    return (*found, *((waiting,) if waiting is not None else ()))


@dataclass(frozen=True)
class _Trial:
    """A change to try on the plan."""

    label: str
    plan: Plan
    side_effect: str
    amount: Term | None = None


def _remedy(trial: _Trial, governing: Check) -> Remedy:
    after = utilisations(trial.plan, trial.plan.sea.batch())
    index, used = int(after.governed_by[0]), float(after.governing[0])
    return Remedy(
        label=trial.label,
        before=governing.utilisation,
        after=governing.utilisation if index < 0 else used,
        governed_by="" if index < 0 else rules_for(trial.plan)[index].name,
        verdict=after.verdicts(trial.plan.caution_level)[0],
        side_effect=trial.side_effect,
        plan=trial.plan,
        amount=trial.amount,
    )


def _turn(plan: Plan) -> _Trial | None:
    headings = np.arange(0.0, 360.0, HEADING_STEP)
    found = utilisations(plan, plan.sea.batch(), headings[None])
    if np.all(np.isnan(found.governing)):
        return None
    best = float(headings[int(np.nanargmin(found.governing))])
    if best == plan.heading:
        return None
    return _Trial(
        "Turn to {}",
        plan.changed(heading=best),
        "wind, current and thruster load are not judged here",
        Term(best, "direction", "heading with the lowest governing utilisation"),
    )


def _open_bottles(plan: Plan) -> _Trial | None:
    unit = plan.compensator
    if not isinstance(unit, GasUnit) or unit.gas_volume_shut <= 0:
        return None
    unit = replace(unit, gas_volume_shut=0.0)
    return _Trial(
        "Open the shut gas bottles", plan.changed(compensator=unit), "set the pressure again afterwards"
    )


def _space_out(result: Assessment) -> _Trial | None:
    budget = result.responses.stroke
    if budget is None or abs(budget.best_start - budget.start) < 0.05:
        return None
    try:
        offsets = replace(result.plan.offsets, start_position=budget.best_start)
        changed = result.plan.changed(offsets=offsets)
    except InputError:
        return None  # the even position lies outside the stroke: not a change anyone can make
    amount = Term(round(budget.best_start, 2), "length", "start position, positive towards gas compression")
    return _Trial("Start at {} from mid-stroke", changed, "space out again", amount)


def _lighter(plan: Plan) -> _Trial | None:
    try:
        changed = plan.changed(hookload_entered=LIGHTER * plan.hookload)
    except InputError:
        return None
    return _Trial(
        "A tenth less hookload",
        changed,
        "a shorter or lighter string; drag and buoyancy are in the hookload",
    )


def _centre_wob(plan: Plan) -> _Trial | None:
    low, high = plan.operation.wob_low, plan.operation.wob_high
    if not plan.on_bottom or low is None or high is None or abs((low + high) / 2 - plan.wob) < 1e3:
        return None
    try:
        changed = plan.changed(wob=(low + high) / 2)
    except InputError:
        return None
    return _Trial(
        "Weight on bit at the middle of its band", changed, "drilling rate and bit life change with it"
    )


def _active_on(plan: Plan) -> _Trial | None:
    if not plan.compensator.has_active or plan.active:
        return None
    return _Trial("Bring the active part in", plan.changed(active=True), "its loss must stay acceptable")


def _wait(result: Assessment, limiting: LimitingSea | None) -> Remedy | None:
    governing = result.governing
    if governing is None or governing.utilisation < 1:
        return None
    found = limiting_sea(result.plan) if limiting is None else limiting
    if not found.reached or found.hs <= 0:
        return None
    return Remedy(
        label="Wait until the first system's Hs is below {}",
        before=governing.utilisation,
        after=1.0,
        governed_by=found.governing or "",
        verdict="over a limit until then",
        side_effect="same period, direction and other systems taken",
        plan=None,
        amount=Term(found.hs, "length", "limiting Hs"),
    )
