"""In the working of one check a symbol is one number, and figures beside the checks are of the same case."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from plain_plans import found

import heave
from heave.files.rigs import demo_compensators
from heave.judging import assess
from heave.judging.demands import demands, drift_per_metre
from heave.judging.results import stroke_budget
from heave.judging.rules import rules_for, stroke
from heave.planning import Plan, StaticOffsets
from heave.sea import SeaState


def test_a_symbol_is_one_number_in_the_working_of_a_check() -> None:
    """Warm gas and cold among them: what the gas holds is then no longer what was set."""
    warmed = [d for d in found() if d.gas_force]
    assert {math.copysign(1, d.gas_force) for d in warmed} == {1, -1}
    for d in found():
        for rule in rules_for(d.plan):
            known: dict[str, float] = {}
            for step in rule.work(d).steps:
                values = {name: term.value for name, term in step.terms.items()}
                for name, value in (values | {step.symbol: step.result.value}).items():
                    number = float(np.ravel(value)[0])
                    once = known.setdefault(name, number)
                    assert number == pytest.approx(once, rel=1e-12, nan_ok=True), (
                        rule.key,
                        name,
                        d.plan.name,
                    )


def test_stroke_outs_count_how_far_warm_gas_has_moved_a_free_hook() -> None:
    plan = heave.demo_plan().doing("landing")
    d = demands(plan, plan.sea.with_primary(hs=6.0).batch())
    moved = replace(d, gas_shift=0.4)
    rates = []
    for one in (d, moved):
        assert one.stroke is not None
        sigma, pace, half = (
            one.stroke.sigma[0],
            2 * math.pi / one.stroke.period[0],
            plan.compensator.stroke / 2,
        )
        each = [
            math.exp(-((half - side) ** 2) / (2 * sigma**2)) * pace / (2 * math.pi)
            for side in one.static_sides
        ]
        budget = stroke_budget(one)
        assert budget is not None
        assert [budget.rate_rising[0], budget.rate_falling[0]] == pytest.approx(each)
        np.testing.assert_allclose(stroke.stroke_out.work(one).demand[0], sum(each), rtol=1e-12)
        rates.append(each[0])
    assert rates[1] > 1.2 * rates[0]


@pytest.mark.parametrize("start", [-3.0, 0.0, 3.0])
def test_a_falling_tide_slackens_a_latch_from_where_the_pull_was_set(start: float) -> None:
    """Gas and string in series, wherever along the stroke the pull was set; the same whatever the sea.

    Seals that turn round ring the string: its swing takes more off than the gas does.
    """
    unit = next(unit for unit in demo_compensators().values() if unit.kind == "crown-mounted")
    plan = (
        heave.demo_plan()
        .doing("fixed")
        .changed(compensator=replace(unit, friction_fraction=0.02), overpull=400e3)
    )
    for hs in (2.0, 3.0):
        sea = SeaState.single(hs=hs, tp=9.0, direction_from=225.0, depth=1200.0)
        lost = []
        for tide, deeper in ((0.0, 0.0), (0.4, 0.0), (0.4, 0.2), (0.0, 0.6)):
            offsets = StaticOffsets(start_position=start, tide_fall=tide, draught_change=deeper)
            check = assess(plan.changed(sea=sea, offsets=offsets)).check("latch_tension")
            gas = next(step for step in check.working if step.symbol == "F_dl").result.value
            assert check.demand > plan_load(plan) - gas, "the swing governs"
            lost.append(check.demand)
        slope = drift_per_metre(plan.changed(offsets=StaticOffsets(start_position=start)))
        expected = [0, 0.4 * slope, 0.6 * slope, 0.6 * slope]
        assert np.subtract(lost, lost[0]).tolist() == pytest.approx(expected, rel=1e-6)


def plan_load(plan: Plan) -> float:
    """What the compensator of a latched string carries: hookload, moving parts and overpull."""
    return plan.hookload + plan.compensator.moving_mass * 9.80665 + plan.overpull
