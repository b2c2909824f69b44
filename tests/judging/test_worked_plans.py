"""Every check worked again by a short implementation of its own, and every fault tried in a formula noticed."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import lru_cache

import numpy as np
import pytest
from plain_plans import PAIRS, found, found_of, plans
from plain_working import heave_levels, held_levels, locked_levels, slow_travel, worked

from heave.formula import Formula
from heave.judging import RULES, reversal
from heave.judging.demands import Demands
from heave.judging.rules import rules_for

TOLERANCE = 1e-3
"""Of what rests on the planner's frequency grid, which holds σ within 5e-4."""

EXACT = {
    "lift_off",
    "wob_band",
    "residual_motion",
    "residual_velocity",
    "stroke_out",
    "gas_pressure",
    "overpull",
    "hs_limit",
}
"""Checks that do not rest on it, but on the linear model's figures alone or on no sea."""


def differs(key: str, one: float, other: float) -> bool:
    return not math.isclose(one, other, rel_tol=1e-9 if key in EXACT else TOLERANCE, abs_tol=1e-9)


def differences(keys: set[str] | None = None, kept_of: Iterable[Demands] | None = None) -> Iterator[str]:
    """Every check of every plan, or of those given, whose demand or capacity is not what was worked out here."""
    pairs = zip(found(), answers(), strict=True) if kept_of is None else ((d, worked(d)) for d in kept_of)
    for kept, expected in pairs:
        d = replace(kept)  # without what an earlier fault may have left in its cached figures
        for rule in rules_for(d.plan):
            if keys is None or rule.key in keys:
                made = rule.work(d)
                pair = (float(np.ravel(made.demand)[0]), float(np.ravel(made.capacity)[0]))
                if any(differs(rule.key, *both) for both in zip(pair, expected[rule.key], strict=True)):
                    unit, kind = d.plan.compensator.name, d.plan.operation.kind
                    yield f"{rule.key}, {kind}, {unit}: {pair} and not {expected[rule.key]}"


@lru_cache(maxsize=1)
def answers() -> tuple[dict[str, tuple[float, float]], ...]:
    return tuple(worked(d) for d in found())


@pytest.mark.parametrize(("kind", "unit"), PAIRS)
def test_levels_that_the_working_rests_on_are_those_of_closed_forms(kind: str, unit: str) -> None:
    """Acceleration of the heave, force on a locked unit, and what that does to the end of the string."""
    for d in found_of(kind, unit):
        held = (float(level.level[0]) for level in (d.locked_end, d.locked_end_speed))
        expected = (heave_levels(d.plan)[3], *locked_levels(d.plan))
        made = (float(d.acceleration.level[0]), float(d.locked[0]), *held)
        assert made == pytest.approx(expected, rel=TOLERANCE), (d.plan.name, d.plan.operation.kind)


def test_what_a_driven_hook_feels_is_what_the_drive_leaves() -> None:
    """Share left of the force on a locked unit, and of what that does at the end of the string."""
    driven = [d for d in found() if d.force_left is not None]
    assert {d.plan.compensator.name for d in driven} == {"driven", "line"}
    for d in driven:
        end = d.elastic if d.residual is None else d.residual.level
        made = (float(d.force_left.level[0]), float(end[0]))
        assert made == pytest.approx(held_levels(d.plan), rel=TOLERANCE), (d.plan.name, d.plan.operation.kind)


@pytest.mark.parametrize(("kind", "unit"), PAIRS)
def test_every_check_of_every_operation_comes_to_the_numbers_worked_here(kind: str, unit: str) -> None:
    assert list(differences(kept_of=found_of(kind, unit))) == []


def test_every_check_is_worked_in_every_operation_that_uses_it() -> None:
    used = {rule.key for plan in plans() for rule in rules_for(plan)}
    assert used == {rule.key for rule in RULES}
    for plan, expected in zip(plans(), answers(), strict=True):
        for rule in rules_for(plan):
            demand, capacity = expected[rule.key]
            endless = rule.key == "stroke_out" and max(slow_travel(plan)) > 3.5
            assert math.isinf(demand) == endless, (rule.key, plan.operation.kind)
            assert math.isfinite(capacity), (rule.key, plan.operation.kind)
            assert not math.isnan(demand), (rule.key, plan.operation.kind)


def faults(formula: Formula) -> Iterator[str]:
    """The formula with one symbol, number or power changed, a sign turned, a root left out, or min and max exchanged.

    Symbols and decimals grow by a tenth, counts by one; a floor of 0 is moved far to either side.
    """
    head, expression = formula.text.split(" = ")
    for name in formula.terms:
        for match in re.finditer(rf"(?<![\w.]){re.escape(name)}(?!\w)", expression):
            yield f"{head} = {expression[: match.start()]}(1.1 × {name}){expression[match.end() :]}"
    for match in re.finditer(r"(?<![\w.π²^])[\d.]+(?=[ ,)])", expression):
        number = float(match[0])
        if number == 0:
            others = ["1000000", "−1000000"]
        else:
            others = [f"{number * 1.1:.4f}" if "." in match[0] else f"{number + 1:.0f}"]
        for other in others:
            yield f"{head} = {expression[: match.start()]}{other}{expression[match.end() :]}"
    for sign, other in (("+", "−"), ("−", "+")):
        for match in re.finditer(rf" {re.escape(sign)} ", expression):
            yield f"{head} = {expression[: match.start()]} {other} {expression[match.end() :]}"
    exchanges = (("max(", "min("), ("min(", "max("), ("√(", "("), ("²", "^1.9"), ("2π", "(2.2 × π)"))
    for word, other in exchanges:
        for match in re.finditer(re.escape(word), expression):
            yield f"{head} = {expression[: match.start()]}{other}{expression[match.end() :]}"


FORMULAS = list({formula.text: formula for rule in RULES for formula in rule.formulas}.values())


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda formula: formula.text)
def test_a_changed_formula_is_noticed(formula: Formula) -> None:
    keys = {rule.key for rule in RULES if formula in rule.formulas}
    kept, cached = formula.text, dict(vars(formula))
    missed = []
    try:
        for text in faults(formula):
            vars(formula).clear()
            vars(formula).update({"text": text, "symbols": cached["symbols"], "source": cached["source"]})
            with np.errstate(all="ignore"):
                if next(differences(keys), None) is None:
                    missed.append(text)
    finally:
        vars(formula).clear()
        vars(formula).update(cached)
    assert formula.text == kept
    assert missed == []


@pytest.mark.parametrize("key", reversal.MODEL_RANGE, ids=", ".join)
def test_a_changed_range_of_the_model_is_noticed(
    key: tuple[str, str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    range_ = reversal.MODEL_RANGE[key]
    for other in (range_ - 0.01, range_ + 0.01):
        monkeypatch.setitem(reversal.MODEL_RANGE, key, other)
        assert next(differences(), None) is not None
