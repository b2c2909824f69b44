"""Loads of the hoisting path: every part's own check, the balance of forces between parts, and the working."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

import heave
from heave.drill_string import HoleInterval, Well
from heave.errors import InputError
from heave.files.rigs import demo_compensators, demo_hoisting, demo_operations
from heave.hoisting import MOTIONS, HoistingPath, efficiency, line_pulls
from heave.judging import assess, unjudged_path
from heave.judging.path_loads import PathLoads, path_loads
from heave.judging.reeving_working import reeving_working, strung_instead
from heave.planning import CLOSED, Plan
from heave.screens.hoisting import loads
from heave.units import STANDARD_GRAVITY, show, to_si

PLANS = [
    heave.demo_plan().changed(compensator=unit).doing(operation.kind)
    for unit in demo_compensators().values()
    for operation in demo_operations()
]


def loads_of(plan: Plan) -> PathLoads:
    found = path_loads(plan)
    assert found is not None
    return found


@pytest.mark.parametrize("plan", PLANS, ids=lambda p: f"{p.compensator.kind} {p.operation.kind}")
def test_every_part_is_as_its_own_check_has_it_and_the_weakest_is_the_most_used(plan: Plan) -> None:
    found, result = loads_of(plan), assess(plan)
    for part in found.chain:
        check = result.check(part.check)
        assert part.extreme == pytest.approx(check.demand, rel=1e-12)
        assert part.rating == pytest.approx(check.capacity, rel=1e-12)
        assert part.utilisation == pytest.approx(check.utilisation, rel=1e-12)
    shares = {part.key: part.utilisation for part in found.chain}
    assert found.weakest_link == max(shares, key=lambda key: shares[key])


@pytest.mark.parametrize("unit", demo_compensators().values(), ids=lambda u: u.name)
def test_what_hangs_still_balances_from_part_to_part(unit: heave.compensator.Compensator) -> None:
    """Free bodies: each part carries the one below it and the weight between; the line's pulls carry the block."""
    body = 9_000.0 if unit.mounting == "block" else 0.0
    path = replace(demo_hoisting(), crown_mass=9_000.0, block_mass=12_000.0, body_mass=body)
    plan = heave.demo_plan().changed(compensator=unit, hoisting=path)
    found = loads_of(plan)
    assert path.line is not None
    g = STANDARD_GRAVITY
    lines = 12 * 45.0 * path.line.linear_mass * g
    for motion in MOTIONS:
        load = {part.key: getattr(part, motion) for part in found.chain}
        pulls = found.lines[motion]
        assert len(pulls) == 14
        assert sum(pulls[1:-1]) == pytest.approx(load["derrick"], rel=1e-12)
        assert load["crown_block"] == pytest.approx(sum(pulls), rel=1e-12)
        assert load["drawworks_pull"] == load["drilling_line"] == pulls[0]
        assert load["dead_line"] == pulls[-1]
        assert load["hook"] == pytest.approx(plan.string.hookload, rel=1e-12)
        assert load["hook"] - load["elevators"] == pytest.approx(plan.string.handling_mass * g, rel=1e-9)
        assert load["derrick"] - load["travelling_block"] == pytest.approx(12_000 * g + lines, rel=1e-9)
        hung = (body + (0 if unit.mounting == "crown" else unit.moving_mass)) * g
        assert load["travelling_block"] - load["hook"] == pytest.approx(hung, rel=1e-9, abs=1e-3)
        own = {"crown": unit.moving_mass + 9_000 + 12_000 + lines / g, "block": unit.moving_mass, None: 0.0}
        carried = load["hook"] + g * own[unit.mounting]
        assert load[found.unit] == pytest.approx(carried, rel=1e-9)


def test_the_working_of_the_reeving_gives_the_numbers_of_the_room_below() -> None:
    for lines, bearing in ((4, "roller"), (10, "plain"), (16, "roller")):
        plan = heave.demo_plan()
        path = replace(plan.hoisting, lines=float(lines), bearing=bearing, crown_sheaves=9.0)  # type: ignore[type-var]
        plan = plan.changed(hoisting=path)
        steps = {step.symbol: float(step.result.value) for step in reeving_working(plan)}
        load, factor = loads_of(plan).on_block, path.sheave_factor  # type: ignore[union-attr]
        up, down = (line_pulls(load, lines, factor, motion) for motion in ("hoisting", "lowering"))  # type: ignore[arg-type]
        assert steps["E_r"] == pytest.approx(efficiency(lines, factor), rel=1e-12)
        assert (steps["F_fl"], steps["F_dh"]) == pytest.approx((up[0], up[-1]), rel=1e-12)
        assert steps["F_dw"] == pytest.approx(down[-1], rel=1e-12)
        assert steps["F_cr"] == pytest.approx(float(line_pulls(load, lines, factor).sum(axis=-1)), rel=1e-12)
        assert steps["F_4"] == pytest.approx(load * (lines + 4) / lines, rel=1e-12)


@pytest.mark.parametrize("kind", ["drilling", "tripping", "waiting"])
def test_friction_of_the_well_is_in_the_working_as_in_the_table_beside_it(kind: str) -> None:
    """Pulled out hoisting and run in lowering, whatever the operation judges."""
    well = Well((HoleInterval(1200.0), HoleInterval(6000.0, math.radians(40.0), 0.25)))
    plan = heave.demo_plan().doing(kind).changed(well=well)  # type: ignore[arg-type]
    steps = {step.symbol: float(step.result.value) for step in reeving_working(plan)}
    up, down = (loads_of(plan).lines[motion] for motion in ("hoisting", "lowering"))
    assert sum(down[1:-1]) < 0.95 * sum(up[1:-1])
    assert (steps["F_fl"], steps["F_dh"]) == pytest.approx((up[0], up[-1]), rel=1e-12)
    assert steps["F_dw"] == pytest.approx(down[-1], rel=1e-12)
    assert steps["F_cr"] == pytest.approx(sum(up), rel=1e-12)
    said = loads.computed_for(assess(plan), loads_of(plan), "metric").replace("\\", "")
    out, held, run_in = (
        show(load, "force", "metric", 4)
        for load in (plan.job_hookload, plan.still_hookload, plan.running_hookload)
    )
    assert f"hookload {held} held" in said
    assert f"{out} pulled out and {run_in} run in" in said


def test_other_numbers_of_lines_are_those_of_the_room_below() -> None:
    for one in strung_instead(2e6, 1.09):
        assert one.efficiency == pytest.approx(efficiency(one.lines, 1.09), rel=1e-12)
        assert one.lifts == pytest.approx(2e6 / one.fast, rel=1e-12)
        assert one.fast == pytest.approx(2e6 / (one.lines * one.efficiency), rel=1e-12)
        assert one.crown == pytest.approx(float(line_pulls(2e6, one.lines, 1.09).sum(axis=-1)), rel=1e-12)


def test_whatever_a_path_is_strung_with_stands_among_them() -> None:
    """The most lines with their fewest sheaves in the crown: no other number is taken for a path."""
    path = heave.demo_plan().hoisting
    assert path is not None
    taken = []
    for lines in range(30):
        try:
            taken.append(replace(path, lines=float(lines), crown_sheaves=lines / 2 + 1).count)
        except InputError:
            continue
    assert [one.lines for one in strung_instead(2e6, 1.09)] == taken
    assert max(taken) > 16


def test_the_working_meets_the_published_example_of_the_line() -> None:
    """API RP 9B, addendum: 400,000 lb on 10 lines, roller bearings: fast line 49,200 lb (to the printed hundred, and
    the efficiency rounded to 0.81 there)."""
    steps = reeving_working(weighing(to_si(400.0, "klbf"), 10))
    fast = next(step for step in steps if step.symbol == "F_fl")
    assert float(fast.result.value) / to_si(1.0, "klbf") == pytest.approx(49.2, abs=0.15)


def weighing(load: float, lines: int) -> Plan:
    """A plan whose load on so many lines is `load` [N]: the block's mass makes up what the string lacks."""
    plan = heave.demo_plan()
    path = replace(
        plan.hoisting,  # type: ignore[type-var]
        **{"lines": float(lines), "line": None, "block_mass": 0.0, "body_mass": 0.0},
    )
    plan = plan.changed(hoisting=path)
    rest = load - loads_of(plan).on_block
    return plan.changed(hoisting=replace(path, block_mass=rest / STANDARD_GRAVITY))


def test_a_part_without_a_rating_is_told_and_never_the_weakest() -> None:
    plan = heave.demo_plan()
    path = replace(plan.hoisting, hook_rating=None, line=None, crown_stop=None)  # type: ignore[type-var]
    found = loads_of(plan.changed(hoisting=path))
    assert found.link("hook").rating is None
    assert np.isnan(found.link("hook").utilisation)
    assert found.link("hook").extreme > 0
    told = unjudged_path(plan.changed(hoisting=path))
    assert told.endswith("given: drilling line, hook.")
    assert unjudged_path(plan) == ""
    assert "the plan has none" in unjudged_path(plan.changed(hoisting=None))
    drawworks = next(unit for unit in demo_compensators().values() if unit.is_drawworks)
    bare = replace(demo_hoisting(), brake_power=None, crown_stop=None)
    told = unjudged_path(plan.changed(compensator=drawworks, hoisting=bare))
    assert told.endswith("given: crown clearance, power lowering.")
    assert path_loads(plan.changed(hoisting=None)) is None
    assert reeving_working(plan.changed(hoisting=None)) == ()


def test_what_was_not_judged_is_among_the_cautions() -> None:
    plan = heave.demo_plan().changed(hoisting=None)
    assert unjudged_path(plan) in assess(plan).cautions
    tiny = replace(heave.demo_plan().hoisting, hook_rating=4e5)  # type: ignore[type-var]
    assert any(
        "usual in the trade" in line for line in assess(heave.demo_plan().changed(hoisting=tiny)).cautions
    )


def test_the_path_alone_has_its_own_weakest_part() -> None:
    """Unit and string have ratings of their own; the path has none of its own in a path that is bare."""
    bare = loads_of(heave.demo_plan().changed(hoisting=HoistingPath(lines=10.0)))
    assert bare.weakest is None
    assert bare.weakest_link in (bare.unit, "tension")
    whole = loads_of(heave.demo_plan())
    shares = {part.key: part.utilisation for part in whole.parts}
    assert whole.weakest == max(shares, key=lambda key: shares[key])
    assert {part.key for part in whole.chain} - set(shares) == {whole.unit, "tension"}


def test_a_planned_speed_can_make_the_drawworks_the_weakest_link() -> None:
    path = heave.demo_plan().hoisting
    assert path is not None
    plan = heave.demo_plan().doing("tripping").changed(hoisting=replace(path, drawworks_power=1.4e6))
    planned = plan.changed(operation=replace(plan.operation, hoisting_speed=0.6))
    weak = plan.changed(operation=replace(plan.operation, hoisting_speed=None))
    assert loads_of(weak).link("drawworks_pull").check == "drawworks_pull"
    found, result = loads_of(planned), assess(planned)
    link = found.link("drawworks_pull")
    assert (found.weakest_link, link.check) == ("drawworks_pull", "hoisting_pull")
    assert link.rating == pytest.approx(1.4e6 / (path.lines * 0.6))
    assert link.utilisation == result.check("hoisting_pull").utilisation >= 1
    assert found.states(result.checks)["drawworks_pull"] == "over a limit"
    assert result.check("drawworks_pull").state == "within limits"


def test_block_and_line_feel_what_the_hook_feels_and_the_cylinder_alone_the_rest() -> None:
    """Free body of the block: the active force acts on block and hook alike. 1,364.3 kN
    of string and the 25.3 kN that the active part leaves; the cylinder carries 73.6 kN more than hangs still. Moved
    by position the hook feels no gas at all; with the active part lost, all of it."""
    unit = demo_compensators()["Demo active-assisted unit, 600 klbf"]
    plan = heave.demo_plan().changed(compensator=unit, ranges=CLOSED).doing("landing")
    result, g = assess(plan), STANDARD_GRAVITY
    assert plan.string.hookload == pytest.approx(1_364_328, rel=1e-6)
    at_hook = result.check("hook").demand
    assert at_hook == pytest.approx(1_364_328 + 25_348, rel=2e-4)
    pulled = next(step for step in result.check("tension").working if step.symbol == "T_top")
    assert at_hook - plan.string.hookload == pytest.approx(pulled.terms["ΔT"].value, rel=1e-9)
    # under the crown the unit carries crown and block, which the lines do not
    assert result.check("derrick").demand == pytest.approx(at_hook + plan.block_mass * g, rel=1e-9)
    carried = plan.string.hookload + plan.moving_mass * g
    assert result.check("compensated_load").demand - carried == pytest.approx(73_640, rel=2e-3)
    assert result.lost is not None
    without = assess(plan.changed(active=False))
    lost, passive = ({c.key: c.demand for c in a.checks} for a in (result.lost, without))
    assert lost["hook"] == passive["hook"]
    assert passive["hook"] == pytest.approx(passive["compensated_load"] - plan.moving_mass * g, rel=1e-9)
    driven = plan.changed(compensator=replace(unit, active_loop="position"))
    steps = {step.symbol: step.result.value for step in assess(driven).check("hook").working}
    assert steps["F_d"] == pytest.approx(carried + steps["F_m"], rel=1e-9)
