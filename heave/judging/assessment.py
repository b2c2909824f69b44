"""From a plan to its assessment."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from heave.errors import InputError
from heave.judging.cautions import cautions_for
from heave.judging.checks import check_of, governing_of, utilisation_state
from heave.judging.demands import demands
from heave.judging.results import Assessment, responses_of
from heave.judging.rules import rules_for
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
    checks = tuple(check_of(rule, found) for rule in rules_for(plan))
    table, required = np.array([[c.utilisation] for c in checks]), [c.required for c in checks]
    used, first, assessed = governing_of(table, required, ~np.isnan(found.heave.sigma))
    responses = responses_of(found)
    return Assessment(
        plan=plan,
        checks=checks,
        governing=None if first[0] < 0 else checks[first[0]],
        verdict=utilisation_state(float(used[0]), plan.caution_level, bool(assessed[0])),
        setting=found.setting,
        responses=responses,
        cautions=cautions_for(plan, found.setting, responses, checks),
    )
