"""From a plan to its assessment."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from heave.errors import InputError
from heave.judging.cautions import cautions_for
from heave.judging.checks import Check, governing_check, utilisation_state, verdict_of
from heave.judging.demands import demands
from heave.judging.outcome import Outcome
from heave.judging.responses import responses_of
from heave.judging.results import Assessment
from heave.judging.rules import Rule, rules_for
from heave.judging.utilisation import is_required
from heave.planning.plan import Plan

FloatArray = npt.NDArray[np.float64]


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
    found = demands(plan, plan.sea.batch(), keep_spectrum=True)
    checks = tuple(_check(plan, rule, rule.work(found)) for rule in rules_for(plan))
    responses = responses_of(found)
    return Assessment(
        plan=plan,
        checks=checks,
        governing=governing_check(checks),
        verdict=verdict_of(checks),
        setting=found.setting,
        responses=responses,
        cautions=cautions_for(plan, found.setting, responses),
    )


def _check(plan: Plan, rule: Rule, outcome: Outcome) -> Check:
    utilisation = float(np.atleast_1d(outcome.utilisation)[0])
    return Check(
        key=rule.key,
        name=rule.name,
        demand=float(np.atleast_1d(outcome.demand)[0]),
        capacity=float(np.atleast_1d(outcome.capacity)[0]),
        kind=rule.kind,
        utilisation=utilisation,
        state=utilisation_state(utilisation, plan.caution_level),
        basis=rule.basis,
        source=rule.source,
        working=tuple(step.at(0) for step in outcome.steps),
        required=is_required(plan, rule),
    )
