"""Checks by simulation: against the linear answer where it is exact, against the quick method elsewhere."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from heave.files.rigs import demo_compensators, demo_plan
from heave.hoisting import LINES_OF_CROWN
from heave.judging import assess
from heave.planning import Plan
from heave.sea import SeaState
from heave.simulation.proof import Proof, Simulated, nothing_to_simulate, simulated


def planned(kind: str = "drilling", unit: str = "in-line") -> Plan:
    plan = demo_plan()
    limits = {"residual_motion_limit": 1.0, "residual_velocity_limit": 0.5}
    made = next(one for one in demo_compensators().values() if one.kind == unit)
    return plan.changed(operation=replace(plan.operation, kind=kind, **limits), compensator=made)


@cache
def proof(kind: str = "drilling", unit: str = "in-line") -> Proof:
    return simulated(planned(kind, unit))


def test_a_drawworks_is_linear_and_both_ways_agree() -> None:
    # no gas and no seals: the frequency domain is exact, so what is between them is chance and the tail's fit
    for kind in ("drilling", "landing"):
        found = proof(kind, "drawworks")
        assert len(found.figures) == 2
        for figure in found.figures:
            assert figure.finding == "agrees", figure
            assert figure.utilisation == pytest.approx(figure.quick, rel=0.05)


def test_the_demo_plan_stands_to_the_quick_method_as_the_published_ratios_say() -> None:
    # DEVELOPERS.md, simulated over checked on bottom: at most 1.02, and above 0.85 in most plans
    found = proof()
    plan = found.plan
    assert found.why_not == found.remark == ""
    rising = found.of("stroke_rising")
    assert rising is not None
    static = plan.static_sides[0]
    quick = assess(plan).check("stroke_rising").demand - static
    assert 0.7 <= (rising.demand - static) / quick <= 1.03
    lift = found.of("lift_off")
    assert lift is not None
    assert 0.85 <= lift.utilisation / lift.quick <= 1.02
    speed = found.of("stroke_rate")
    assert speed is not None
    assert 0.85 <= speed.utilisation / speed.quick <= 1.05


def test_each_figure_lies_in_its_interval_and_has_the_capacity_of_its_check() -> None:
    for found in (proof(), proof("landing", "crown-mounted"), proof("drilling", "active-assisted")):
        checks = {check.key: check for check in assess(found.plan).checks}
        assert found.figures
        for figure in found.figures:
            check = checks[figure.key]
            assert figure.low <= figure.demand <= figure.high
            assert figure.quick == check.utilisation
            assert figure.kind == check.kind
            assert figure.capacity == pytest.approx(check.capacity), figure.key


def test_every_check_of_a_moving_unit_is_given() -> None:
    keys = {figure.key for figure in proof("drilling", "active-assisted").figures}
    stroke = {"stroke_rising", "stroke_falling", "stroke_rate", "active_velocity", "active_force"}
    assert keys == stroke | {"compensated_load", "tension", "lift_off", "wob_band"}
    free = {figure.key for figure in proof("landing", "crown-mounted").figures}
    assert {"residual_motion", "residual_velocity"} < free


def test_the_same_plan_has_the_same_figures() -> None:
    assert simulated(planned("drilling", "drawworks")) == proof("drilling", "drawworks")


def test_a_locked_unit_needs_no_simulation() -> None:
    found = proof("tripping")
    assert found.figures == ()
    assert "locked" in found.why_not


def test_a_sea_that_is_not_known_cannot_be_simulated() -> None:
    result = assess(demo_plan())
    assert nothing_to_simulate(result) == ""
    responses = replace(
        result.responses, heave=replace(result.responses.heave, variance=np.full(1, math.nan))
    )
    assert "no heave" in nothing_to_simulate(replace(result, responses=responses))


def test_what_hardly_moves_is_simulated_too() -> None:
    found = simulated(demo_plan().changed(sea=SeaState.single(0.001, 8.0, direction_from=0.0, depth=1000.0)))
    lift = found.of("lift_off")
    assert lift is not None
    assert lift.utilisation < 0.3


def test_a_unit_held_by_its_seals_is_given_no_travel() -> None:
    found = proof("landing")
    assert "seals hold" in found.remark
    assert {figure.key for figure in found.figures} == {"residual_motion", "residual_velocity"}


@pytest.mark.parametrize(
    ("quick", "finding"),
    [(0.9, "agrees"), (0.965, "agrees"), (0.98, "less"), (0.85, "agrees"), (0.84, "more")],
)
def test_finding(quick: float, finding: str) -> None:
    figure = Simulated("stroke_rising", "Stroke", "length", 0.9, 0.86, 0.95, 1.0, quick)
    assert figure.finding == finding
    assert figure.interval == (0.86, 0.95)


def test_newly_over_is_what_only_simulation_has_over() -> None:
    over = Simulated("stroke_rate", "Speed", "speed", 2.2, 2.1, 2.3, 2.0, 0.9)
    both = replace(over, key="stroke_rising", quick=1.2)
    below = replace(over, key="tension", capacity=3.0)
    assert Proof(demo_plan(), (over, both, below)).newly_over == (over,)
    assert replace(over, capacity=0.0).utilisation == float("inf")


def test_load_is_that_of_cylinder_and_crown_as_in_the_check() -> None:
    """What an active part takes off the hook its cylinder carries, and lines that run straight from a moving crown
    pull on the unit; what slow travel loads the gas with does not reach the hook past the active part."""
    plan = planned("landing", "crown-mounted")
    assert plan.hoisting is not None
    plan = plan.changed(hoisting=replace(plan.hoisting, lines_of_crown=LINES_OF_CROWN[1]))
    assert plan.crown_ratio > 1.1
    for found in (simulated(plan), proof("landing", "active-assisted")):
        load = found.of("compensated_load")
        assert load is not None
        assert 0.93 <= load.utilisation / load.quick <= 1.02
    steady = planned("landing", "active-assisted")
    steady = steady.changed(offsets=replace(steady.offsets, tide_rise=2.5, start_position=0.0))
    came, tension = simulated(steady).of("tension"), assess(steady).check("tension")
    assert came is not None
    assert came.demand <= 1.005 * tension.demand
