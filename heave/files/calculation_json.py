"""The calculation of a plan for machines: verdict, inputs, every step, checks and the plan itself, as JSON in SI."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any, Final

from heave.files.codec import encode
from heave.files.json_text import json_text
from heave.files.listing import inputs_of
from heave.files.plan import plan_to_json
from heave.files.seals import ROLES, outdated, stale
from heave.files.sheet_plan import CALCULATION_FORMAT, CALCULATION_VERSION, kept_plan
from heave.formula import Step, Term
from heave.judging import Assessment, Check, unjudged_path, wanted
from heave.judging.calculation import Chapter, calculation
from heave.planning import MODEL_DATE, MODEL_VERSION
from heave.units import unit_of

WIND: Final = "wind, gusts, current and the riser's own limits of that hour: the weather window judges them"
"""What is not judged in an hour of a forecast, and who judges it."""


def calculation_to_json(assessment: Assessment) -> str:
    """The calculation that made a verdict, as text of JSON in SI; `read_plan` takes the plan out of it again.

    A number that is not known is null, one without a limit the word 'infinite'.

    Parameters
    ----------
    assessment : of the plan
    """
    plan, lost = assessment.plan, assessment.lost
    return json_text(
        {
            "format": CALCULATION_FORMAT,
            "version": CALCULATION_VERSION,
            "model": {"version": MODEL_VERSION, "date": MODEL_DATE},
            "title": {"plan": plan.name, "vessel": plan.vessel.name, "compensator": plan.compensator.name}
            | encode(plan.record)
            | {f"{role}_outdated": outdated(plan, role) for role in ROLES},
            "verdict": _verdict(assessment.verdict, assessment.governing),
            "changed_since": list(stale(plan)),
            "not_assessed": list(wanted(plan)),
            "not_judged": [
                *filter(None, (unjudged_path(plan),)),
                *((WIND,) if plan.record.hour.words else ()),
                *plan.operation.about.elsewhere,
            ],
            "checks": _checks(assessment.checks),
            "active_part_lost": None
            if lost is None
            else _verdict(lost.verdict, lost.governing) | {"checks": _checks(lost.checks)},
            "inputs": [
                {
                    "group": group.title,
                    "path": one.path,
                    "label": one.label,
                    "value": one.value,
                    "unit": unit_of(one.kind).symbol if one.kind else None,
                }
                for group in inputs_of(plan)
                for one in group.inputs
            ],
            "chapters": [_chapter(chapter) for chapter in calculation(assessment)],
            "cautions": list(assessment.cautions),
            "plan": kept_plan(plan_to_json(plan.without_progress)),
        }
    )


def _verdict(word: str, governing: Check | None) -> dict[str, Any]:
    return {"word": word, "governing": None if governing is None else governing.key}


def _checks(checks: Iterable[Check]) -> list[dict[str, Any]]:
    return [
        {
            "key": check.key,
            "name": check.name,
            "state": check.state,
            "required": check.required,
            "demand": _number(check.demand),
            "capacity": _number(check.capacity),
            "unit": unit_of(check.kind).symbol,
            "utilisation": _number(check.utilisation),
            "highest_over_ranges": _number(check.high),
            "basis": check.basis,
            "source": check.source,
        }
        for check in checks
    ]


def _chapter(chapter: Chapter) -> dict[str, Any]:
    return {
        "title": chapter.title,
        "words": chapter.words,
        "check": chapter.check or None,
        "given": [{"symbol": one.symbol, **_term(one.term), "origin": one.origin} for one in chapter.given],
        "steps": [_step(step) for step in chapter.steps],
    }


def _step(step: Step) -> dict[str, Any]:
    return {
        "symbol": step.symbol,
        "formula": step.symbols().partition(" = ")[2],
        "terms": {symbol: _term(term) for symbol, term in step.terms.items()},
        "result": _term(step.result),
        "stated": step.stated,
        "source": step.source,
    }


def _term(term: Term) -> dict[str, Any]:
    return {"value": _number(term.value), "unit": unit_of(term.kind).symbol, "meaning": term.meaning}


def _number(value: float) -> float | str | None:
    if math.isnan(value):
        return None
    return float(value) if math.isfinite(value) else "infinite"
