"""From a plan to its assessment."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from heave.errors import InputError
from heave.formula import Step
from heave.judging.cases import cases, cases_alone, label_of
from heave.judging.cautions import cautions_for
from heave.judging.checks import Check, Verdict, check_of, governing_of, utilisation_state
from heave.judging.demands import Demands, demands_of
from heave.judging.missing import withheld
from heave.judging.results import Assessment, Doubt, Lost, responses_of
from heave.judging.rules import rules_for
from heave.planning.plan import Plan

MOVES: Final = 0.005
"""Least change of a utilisation that one unknown alone is said to make."""


def assess(plan: Plan) -> Assessment:
    """Assess one plan: motions, checks, verdict and what to set.

    Parameters
    ----------
    plan : the plan, SI

    Returns
    -------
    Assessment

    Raises
    ------
    InputError
        If the plan's parts do not fit together, for example a weight on bit above the hookload.
    """
    if not isinstance(plan, Plan):
        raise InputError("plan", plan, None, "a Plan, such as heave.demo_plan() or heave.read_plan(path)")
    own = cases(plan)
    works = plan.active_in_use and plan.operation.compensated
    without = plan.changed(active=False) if works else None
    every = own if without is None else (*own, *cases(without))
    found = demands_of(every, plan.sea.batch(), np.asarray(plan.heading), keep_spectrum=True)
    checks, governing, verdict = _judged(plan, found[: len(own)])
    responses = responses_of(found[0])
    return Assessment(
        plan=plan,
        checks=checks,
        governing=governing,
        verdict=verdict,
        setting=found[0].setting,
        responses=responses,
        cautions=cautions_for(plan, found[0].setting, responses, checks),
        lost=None if without is None else Lost(*_judged(without, found[len(own) :])),
    )


def _judged(plan: Plan, found: Sequence[Demands]) -> tuple[tuple[Check, ...], Check | None, Verdict]:
    """Checks, the governing one and the verdict of a plan from the demands of its cases."""
    shown: dict[int, tuple[Step, Step]] = {}
    checks = tuple(check_of(rule, found, shown) for rule in rules_for(plan))
    table, high = np.array([[[c.utilisation] for c in checks], [[c.high] for c in checks]])
    required, known = [c.required for c in checks], ~np.isnan(found[0].heave.sigma)
    used, first, assessed = governing_of(table, required, known)
    most, _, whole = governing_of(high, required, known)
    complete = bool(assessed[0] and whole[0]) and not withheld(plan)
    verdict = utilisation_state(float(used[0]), plan.caution_level, complete, float(most[0]))
    return checks, None if first[0] < 0 else checks[first[0]], verdict


def largest_doubt(result: Assessment) -> Doubt | None:
    """The check that what is not known brings highest, and the unknown that alone moves it most.

    Every unknown that has a range is put at each of its ends, all else as planned. Where no unknown alone moves that
    check, such as a blow that only several together bring about, the next that one does move is named beside it.

    Parameters
    ----------
    result : from `assess`

    Returns
    -------
    Doubt, or None where no range moves a check
    """
    plan, alone = result.plan, cases_alone(result.plan)
    every = [case for ends in alone.values() for case in ends]
    found = demands_of(every, plan.sea.batch(), np.asarray(plan.heading)) if every else []
    rules = {rule.key: rule for rule in rules_for(plan)}
    moved = sorted(
        (check for check in result.checks if check.high > check.utilisation + MOVES),
        key=lambda one: -one.high,
    )
    for check in moved:
        used = iter(float(np.max(rules[check.key].work(one).utilisation)) for one in found)
        highest = {name: max(next(used) for _ in ends) for name, ends in alone.items()}
        unknown = max(highest, key=lambda name: highest[name])
        if highest[unknown] > check.utilisation + MOVES:
            return Doubt(moved[0], check, unknown, label_of(unknown), highest[unknown])
    return Doubt(moved[0]) if moved else None
