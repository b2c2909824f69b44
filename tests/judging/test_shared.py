"""What cases and rules share is worked once, and comes to what each gives by itself."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

import heave
from heave.files.rigs import demo_compensators, demo_vessels
from heave.judging.cases import Case
from heave.judging.demands import Demands, demands, demands_of
from heave.judging.formulas import once
from heave.judging.rules import rules_for
from heave.judging.utilisation import utilisations, utilisations_of
from heave.planning import OPERATIONS, Operation, Plan
from heave.sea import SeaBatch, SystemSlot


def seas() -> SeaBatch:
    """Forty seas of two systems, one of them missing and one calm."""
    rng = np.random.default_rng(8)
    wind, swell = (
        SystemSlot(rng.uniform(0.0, 6.0, 40), rng.uniform(4.0, 18.0, 40), rng.uniform(0.0, 360.0, 40))
        for _ in range(2)
    )
    wind.hs[0], wind.hs[1], swell.hs[1] = np.nan, 0.0, 0.0
    return SeaBatch((wind, swell), 1200.0)


def operation(kind: str, duration: float = 7200.0) -> Operation:
    given = {"residual_motion_limit": 1.0, "residual_velocity_limit": 0.5, "heave_limit": 4.0}
    return Operation(kind=kind, duration=duration, wob_low=5e4, wob_high=3e5, **given)


@pytest.mark.parametrize("unit", sorted(demo_compensators()))
@pytest.mark.parametrize("vessel", sorted(demo_vessels()))
def test_operations_judged_together_come_to_what_each_does_alone(vessel: str, unit: str) -> None:
    plan = heave.demo_plan().changed(vessel=demo_vessels()[vessel], compensator=demo_compensators()[unit])
    plans = [plan.changed(operation=operation(kind)) for kind in OPERATIONS]
    for one, together in zip(plans, utilisations_of(plans, seas()), strict=True):
        alone = utilisations(one, seas())
        assert together.keys == alone.keys
        for key in alone.keys:
            np.testing.assert_array_equal(together.by_check[key], alone.by_check[key])
        np.testing.assert_array_equal(together.high, alone.high)
        np.testing.assert_array_equal(together.assessed, alone.assessed)


def variants(plan: Plan) -> list[Plan]:
    """The plan, and with one thing changed that a figure of the sea's may rest on."""
    unit = plan.compensator
    units = [replace(unit, moving_mass=1.5 * unit.moving_mass)]
    if not unit.is_drawworks:
        units += [replace(unit, friction_fraction=0.03), replace(unit, hydraulic_loss=5e4)]
    return [
        plan,
        *(plan.changed(compensator=other) for other in units),
        plan.changed(active=not plan.active),
        plan.changed(string_loss=2 * plan.string_loss),
        plan.changed(string=replace(plan.string, handling_mass=2 * plan.string.handling_mass)),
        plan.changed(hookload_entered=1.1 * plan.hookload),
        plan.changed(heave_calibration=1.1 * plan.heave_calibration),
        plan.changed(exposure=2 * plan.exposure),
        plan.changed(risk=0.5 * plan.risk),
    ]


@pytest.mark.parametrize("kind", ["drilling", "landing", "waiting"])
@pytest.mark.parametrize("unit", sorted(demo_compensators()))
def test_cases_worked_together_come_to_what_each_does_alone(unit: str, kind: str) -> None:
    plan = heave.demo_plan().changed(compensator=demo_compensators()[unit], operation=operation(kind))
    plans = variants(plan)
    together = demands_of([Case(one) for one in plans], seas(), np.asarray(plan.heading))
    for one, found in zip(plans, together, strict=True):
        alone = demands(one, seas())
        for rule in rules_for(one):
            np.testing.assert_array_equal(rule.work(found).utilisation, rule.work(alone).utilisation)


def test_a_locked_unit_moves_alike_in_every_operation_at_every_load() -> None:
    plans = [heave.demo_plan().changed(operation=operation(kind)) for kind in ("waiting", "tripping")]
    every = [Case(plan.changed(hookload_entered=load)) for plan in plans for load in (1.2e6, 1.4e6)]
    first, *others = demands_of(every, seas(), np.asarray(220.0))
    assert all(other.moments is first.moments for other in others)


def test_what_rules_share_is_worked_once_for_each_demands_and_arguments() -> None:
    given = list[str]()

    @once
    def work(_: Demands, side: str, *, falling: bool = False) -> str:
        given.append(f"{side} {falling}")
        return given[-1]

    one, other = (demands(heave.demo_plan(), seas()) for _ in range(2))
    for _ in range(2):
        assert work(one, "less") == "less False"
        assert work(one, "more") == "more False"
        assert work(one, "more", falling=True) == "more True"
        assert work(other, "less") == "less False"
    assert given == ["less False", "more False", "more True", "less False"]
