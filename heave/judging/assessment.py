"""From a plan to its assessment, and the same checks for many seas at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from heave.errors import InputError
from heave.judging.cautions import cautions_for
from heave.judging.checks import check_of, governing_of, utilisation_state
from heave.judging.demands import demands
from heave.judging.results import Assessment, responses_of
from heave.judging.rules import rules_for
from heave.planning.plan import Plan
from heave.sea import SeaBatch
from heave.threads import one_thread_each

FloatArray = npt.NDArray[np.float64]

CHUNK: int = 1024
"""Sea states computed at once: spectra of one chunk stay in the processor's cache."""


@dataclass(frozen=True)
class Utilisations:
    """Utilisation of every check for n sea states.

    `by_check` maps each check's key to (n,); `governing` is the highest assessed one, NaN where none
    is; `governed_by` its index into `keys`, −1 where none is.
    """

    keys: tuple[str, ...]
    by_check: Mapping[str, FloatArray]
    governing: FloatArray
    governed_by: npt.NDArray[np.intp]
    assessed: npt.NDArray[np.bool_]
    """True where every required check could be made."""

    heave_sigma: FloatArray


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
    found = demands(plan, plan.sea.batch())
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
        cautions=cautions_for(plan, found.setting, responses),
    )


def utilisations(plan: Plan, batch: SeaBatch, heading: npt.ArrayLike | None = None) -> Utilisations:
    """Utilisation of every check of the plan's operation for every sea state of a batch.

    The same rules as `assess`, by chunks of seas so that memory stays bounded.

    Parameters
    ----------
    plan : the plan; its own sea is not used
    batch : n sea states
    heading : vessel heading [deg], scalar or (n,); None takes the plan's

    Returns
    -------
    Utilisations, arrays of shape (n,)
    """
    rules = rules_for(plan)
    headings = np.broadcast_to(np.asarray(plan.heading if heading is None else heading, float), (batch.size,))
    table = np.empty((len(rules), batch.size))
    sigma = np.empty(batch.size)
    with one_thread_each():
        for start in range(0, batch.size, CHUNK):
            rows = slice(start, min(start + CHUNK, batch.size))
            found = demands(plan, batch.take(rows), headings[rows])
            sigma[rows] = found.heave.sigma
            for index, rule in enumerate(rules):
                table[index, rows] = rule.work(found).utilisation
    required = [rule.required(plan) for rule in rules]
    governing, governed_by, assessed = governing_of(table, required, ~np.isnan(sigma))
    return Utilisations(
        keys=tuple(rule.key for rule in rules),
        by_check={rule.key: table[index] for index, rule in enumerate(rules)},
        governing=governing,
        governed_by=governed_by,
        assessed=assessed,
        heave_sigma=sigma,
    )
