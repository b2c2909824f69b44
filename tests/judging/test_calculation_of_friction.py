"""Whether the calculation works the share that friction lets go out, or says that there is nothing left to let go."""

from __future__ import annotations

from dataclasses import replace

import pytest
from plain_plans import plans_of
from test_calculation import problems
from test_small_parts import plan_of
from test_worked_without import CASES, bare

from heave.judging import assess
from heave.judging.calculation import calculation


@pytest.mark.parametrize("kind", ["drilling", "landing"])
@pytest.mark.parametrize(("unit", "changes", "words"), [
    ("passive", {}, ""),
    ("active", {"active_gain": 0.9}, ""),
    ("active", {"active_gain": 1.0}, "the active part takes all of the friction"),
    ("active", {"friction_fraction": 0.0, "hydraulic_loss": 1e5}, "the hook feels no seal friction"),
    ("passive", {"friction_fraction": 0.0, "hydraulic_loss": 1e5}, "the hook feels no seal friction"),
])  # fmt: skip
def test_what_is_let_go(kind: str, unit: str, changes: dict[str, float], words: str) -> None:
    plan = plan_of(kind, unit)
    chapters = calculation(assess(plan.changed(compensator=replace(plan.compensator, **changes))))
    given = [(one.term.value, one.origin) for each in chapters for one in each.given if one.symbol == "ψ"]
    steps = [one for each in chapters for one in each.steps if one.symbol == "ψ"]
    assert given == ([(1.0, words)] if words else [])
    assert len(steps) == (0 if words else 1)


@pytest.mark.parametrize(("kind", "unit", "what"), CASES)
def test_the_calculation_closes_where_a_number_of_the_unit_is_nought(kind: str, unit: str, what: str) -> None:
    plan = bare(next(plan for plan in plans_of(kind, unit) if plan.name == "moderate"), what)
    assert list(problems(calculation(assess(plan)), "metric")) == []
