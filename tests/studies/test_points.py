"""Values put into plans of every sort: seas, hulls and units, against plans made and assessed one by one."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from heave.files.rigs import demo_compensators, demo_plan
from heave.judging import assess
from heave.planning import CLOSED, Plan
from heave.planning.rig import closed_form_vessels, with_unit
from heave.sea import MeasuredSpectrum, SeaState, WaveSystem
from heave.studies.inputs import INPUTS, inputs_of, ranged
from heave.studies.points import judge

HULL = next(one for one in closed_form_vessels().values() if one.heave_only)


def same(plan: Plan, found, place: int, made: Plan) -> None:
    """Every check at a point is that of a plan made by hand."""
    for check in assess(made.changed(ranges=CLOSED)).checks:
        used = found.used[found.keys.index(check.key), place]
        assert used == pytest.approx(check.utilisation, rel=3e-6, nan_ok=True), check.key


@pytest.mark.parametrize("shape", ["two-parameter", "jonswap", "torsethaugen", "gaussian-swell"])
def test_every_shape_of_sea(shape: str) -> None:
    plan = demo_plan()
    sea = SeaState((WaveSystem(3.0, 6.0, "Tz", 200.0, shape),), plan.sea.depth)
    plan = plan.changed(sea=sea)
    tp = sea.systems[0].tp
    found = judge(plan, {"sea_height": [2.0, 4.0], "sea_period": [tp, 1.1 * tp], "sea_turn": [0.0, 170.0]})
    for place, (hs, period, turned) in enumerate(((2.0, tp, 200.0), (4.0, 1.1 * tp, 10.0))):
        system = replace(sea.systems[0], hs=hs, period=period, period_kind="Tp", direction_from=turned)
        same(plan, found, place, plan.changed(sea=replace(sea, systems=(system,))))


def test_seas_whose_period_cannot_be_changed() -> None:
    plan = demo_plan()
    double = plan.changed(sea=SeaState((WaveSystem(3.0, None, shape="ochi-hubble"),), plan.sea.depth))
    spectrum = MeasuredSpectrum((0.08, 0.1, 0.12), (0.02,) * 3, (8.0, 20.0, 8.0), direction_from=225.0)
    measured = plan.changed(sea=SeaState(measured=spectrum, depth=plan.sea.depth))
    for one in (double, measured):
        names = {given.name for given in inputs_of(one)}
        assert "sea_height" in names
        assert "sea_period" not in names
    found = judge(measured, {"sea_height": [1.5, 4.0]})
    for place, hs in enumerate((1.5, 4.0)):
        same(measured, found, place, measured.changed(sea=measured.sea.with_primary(hs=hs)))
    found = judge(double, {"sea_height": [4.0]})
    same(double, found, 0, double.changed(sea=double.sea.with_primary(hs=4.0)))


def test_a_hull_that_is_damped_by_each_sea() -> None:
    """A semisubmersible: its drag coefficient is an input, and height does not scale its heave."""
    plan = demo_plan().changed(vessel=HULL)
    found = judge(plan, {"drag_coefficient": [1.5, 3.0], "sea_height": [6.0, 2.0]})
    for place, (drag, hs) in enumerate(((1.5, 6.0), (3.0, 2.0))):
        hull = replace(HULL, response=replace(HULL.response, drag_coefficient=drag))
        grown = tuple(replace(one, hs=one.hs * hs / plan.sea.hs) for one in plan.sea.systems)
        same(plan, found, place, plan.changed(vessel=hull, sea=replace(plan.sea, systems=grown)))


@pytest.mark.parametrize("name", sorted(demo_compensators()))
def test_every_input_of_every_unit_moves_what_it_says(name: str) -> None:
    """At the planned values of all inputs at once the plan is as it is, and each end is a plan of its own."""
    plan = with_unit(demo_plan(), demo_compensators()[name])
    every = ranged(plan)
    found = judge(plan, {one.input.name: [one.planned] for one in every})
    assert not found.refused
    same(plan, found, 0, plan)
    active = {one.input.name for one in every} & {"active_gain", "active_delay"}
    assert bool(active) == plan.active_in_use


def test_seas_outside_the_bounds_are_refused_and_others_are_not() -> None:
    plan = demo_plan()
    low, high = INPUTS["sea_period"].bounds(plan)
    found = judge(plan, {"sea_period": [low, high, high * 1.01, low * 0.99, 9.0]})
    assert sorted(found.refused) == [2, 3]
    assert np.isnan(found.used[:, 2:4]).all()
    assert list(found.assessed) == [True, True, False, False, True]
    assert list(found.governed_by[2:4]) == [-1, -1]


def test_the_hookload_of_the_string_goes_with_the_string() -> None:
    """Heavier mud under a hookload that is computed: 3 % more of what then hangs there."""
    plan = demo_plan()
    assert plan.hookload_entered is None
    lighter = replace(plan.string, mud_density=1300.0)
    found = judge(plan, {"mud_density": [1300.0], "hookload": [1.03 * plan.hookload]})
    same(plan, found, 0, plan.changed(string=lighter, hookload_entered=1.03 * lighter.hookload))
    entered = plan.changed(hookload_entered=1.3e6)
    found = judge(entered, {"mud_density": [1300.0], "hookload": [1.35e6]})
    same(entered, found, 0, entered.changed(string=lighter, hookload_entered=1.35e6))
