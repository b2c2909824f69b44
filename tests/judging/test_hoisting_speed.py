"""Drawworks at the planned speeds: power hoisting, gears, both, past their ends, power lowering, and nothing told."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

import heave
from heave.files.plan import PLAN_VERSION, plan_to_json
from heave.files.rigs import demo_compensators
from heave.hoisting import PullCurve
from heave.judging import OVER, WITHIN, assess, unjudged_path, utilisations
from heave.planning import OPERATIONS, Plan

GEARS = {
    "low_gear_pull": 400e3, "low_gear_speed": 4.0, "middle_gear_pull": 200e3, "middle_gear_speed": 8.0,
    "high_gear_pull": 80e3, "high_gear_speed": 20.0,
}  # fmt: skip


def tripping(speed: float | None = 0.6, power: float | None = None, **gears: Any) -> Plan:
    plan = heave.demo_plan().doing("tripping")
    path = replace(plan.hoisting, drawworks_power=power, **gears)  # type: ignore[type-var]
    return plan.changed(hoisting=path, operation=replace(plan.operation, hoisting_speed=speed))


def test_power_over_line_speed_is_the_pull_there_is() -> None:
    """2.2 MW on 12 lines at 0.5 m/s: 6 m/s of line, 366.7 kN (Bourgoyne and others, 1986: power is pull × speed)."""
    check = assess(tripping(0.5, 2.2e6)).check("hoisting_pull")
    assert check.capacity == pytest.approx(2.2e6 / 6.0, rel=1e-12)
    assert check.capacity == pytest.approx(366.7e3, rel=1e-4)


def test_the_pull_is_that_of_the_fast_line_in_this_sea() -> None:
    result = assess(tripping(0.5, 2.2e6))
    assert result.check("hoisting_pull").demand == result.check("drawworks_pull").demand
    rough = assess(result.plan.changed(sea=result.plan.sea.with_primary(hs=6.0)))
    assert rough.check("hoisting_pull").demand > result.check("hoisting_pull").demand
    more = assess(result.plan.changed(overpull=5e5))
    assert more.check("hoisting_pull").demand > result.check("hoisting_pull").demand


@pytest.mark.parametrize("speed", [0.4, 0.5, 8 / 12, 1.0, 20 / 12])
def test_gears_give_what_their_curve_does(speed: float) -> None:
    """The curve is the room below's: 400 kN at 4 m/s, 200 at 8 and 80 at 20, 12 lines."""
    curve = PullCurve(((4.0, 400e3), (8.0, 200e3), (20.0, 80e3)))
    found = assess(tripping(speed, None, **GEARS)).check("hoisting_pull")
    assert found.capacity == pytest.approx(float(curve.pull(12 * speed)), rel=1e-9)


def test_slower_than_the_lowest_gear_has_its_pull_and_faster_than_the_highest_none() -> None:
    assert assess(tripping(0.1, None, **GEARS)).check("hoisting_pull").capacity == pytest.approx(400e3)
    past = assess(tripping(1.7, 9e6, **GEARS)).check("hoisting_pull")
    assert past.capacity == 0.0
    assert past.state == OVER
    assert assess(tripping(1.6, 9e6, **GEARS)).check("hoisting_pull").capacity > 0


def test_the_lesser_of_power_and_gears_holds() -> None:
    """At 8 m/s of line 1.2 MW give 150 kN and the gear 200; 2.4 MW give 300."""
    for power, pull in ((1.2e6, 150e3), (2.4e6, 200e3)):
        found = assess(tripping(8 / 12, power, **GEARS)).check("hoisting_pull")
        assert found.capacity == pytest.approx(pull, rel=1e-9)


def test_more_speed_never_leaves_more_pull() -> None:
    speeds = np.linspace(0.05, 1.8, 60)
    used = [assess(tripping(one, 1.8e6, **GEARS)).check("hoisting_pull").utilisation for one in speeds]
    assert np.all(np.diff(used[:-8]) >= -1e-12)


def test_it_governs_a_forecast_too() -> None:
    plan = tripping(1.0, 1e6)
    assert assess(plan).governing.key == "hoisting_pull"  # type: ignore[union-attr]
    assert assess(plan).verdict == OVER
    found = utilisations(plan, plan.sea.batch())
    assert found.keys[int(found.governed_by[0])] == "hoisting_pull"
    assert assess(tripping(0.3, 2.2e6)).verdict == WITHIN


@pytest.mark.parametrize("kind", OPERATIONS)
def test_they_are_judged_where_the_string_is_run_and_said_where_they_cannot_be(kind: str) -> None:
    runs = OPERATIONS[kind].runs_string  # type: ignore[index]
    assert runs == (kind in ("tripping", "casing"))
    base = heave.demo_plan().doing(kind)  # type: ignore[arg-type]
    for key, way, power, what in (
        ("hoisting_pull", "hoisting", "drawworks_power", "power and gears"),
        ("lowering_power", "lowering", "brake_power", "power"),
    ):
        for speed, given, words in (
            (0.3, 2.2e6, ""),
            (None, 2.2e6, f"planned {way} speed"),
            (0.3, None, f"{what} {way}"),
            (None, None, f"planned {way} speed, {what} {way}"),
        ):
            path = replace(base.hoisting, **{power: given})  # type: ignore[type-var]
            other = {"hoisting_speed": 0.3, "lowering_speed": 0.3} | {f"{way}_speed": speed}
            plan = base.changed(hoisting=path, operation=replace(base.operation, **other))  # type: ignore[arg-type]
            assert (key in {check.key for check in assess(plan).checks}) == (runs and not words)
            told = f"Drawworks {way} at speed is not judged, not given: {words}."
            assert unjudged_path(plan) == (told if runs and words else "")
    assert unjudged_path(base.changed(hoisting=None)).startswith("Nothing of the hoisting path")


def test_a_step_is_told_by_its_own_operation() -> None:
    plan = heave.demo_plan()
    step = replace(plan.doing("casing").operation, hoisting_speed=None)
    assert "planned hoisting speed" in unjudged_path(plan, step)
    assert unjudged_path(plan, replace(step, hoisting_speed=0.3)) == ""


def test_power_lowering_is_the_pull_of_the_fast_line_lowering_times_its_speed() -> None:
    """Line by line: a sheave keeps 1/1.04 of the pull that comes to it, so lowering the fast line pulls least."""
    plan = tripping(0.5, 2.2e6)
    plan = plan.changed(operation=replace(plan.operation, lowering_speed=0.8))
    result = assess(plan)
    load = result.check("derrick").demand
    pulls = load * 1.04 ** np.arange(12) / np.sum(1.04 ** np.arange(12))  # fast end first
    assert result.check("lowering_power").demand == pytest.approx(12 * 0.8 * pulls[0] / 1.04, rel=1e-9)
    assert result.check("lowering_power").capacity == plan.hoisting.brake_power  # type: ignore[union-attr]
    faster = assess(plan.changed(operation=replace(plan.operation, lowering_speed=1.6)))
    assert faster.check("lowering_power").utilisation == pytest.approx(
        2 * result.check("lowering_power").utilisation
    )


def test_a_speed_of_nothing_or_of_a_lift_is_refused_and_a_plan_keeps_its_own() -> None:
    plan = tripping(0.5, 2.2e6)
    for wrong in (0.0, -1.0, 9.0, float("nan")):
        for way in ("hoisting", "lowering"):
            with pytest.raises(heave.InputError, match=f"Planned {way} speed"):
                replace(plan.operation, **{f"{way}_speed": wrong})  # type: ignore[arg-type]
    assert heave.read_plan(plan_to_json(plan).encode()) == plan
    older = json.loads(plan_to_json(plan))
    assert older["version"] == PLAN_VERSION
    older["version"] = 5  # which knew of neither speed
    for operation in (older["plan"]["operation"], *older["plan"]["procedures"]):
        for way in ("hoisting", "lowering"):
            del operation[f"{way}_speed_m_per_s"]
    read = heave.read_plan(json.dumps(older).encode())
    assert (read.operation.hoisting_speed, read.operation.lowering_speed) == (None, None)


def test_a_compensating_drawworks_runs_its_string_with_it_too() -> None:
    unit = next(unit for unit in demo_compensators().values() if unit.is_drawworks)
    plan = tripping(0.5, 2.2e6).changed(compensator=unit)
    assert assess(plan).check("hoisting_pull").capacity == pytest.approx(2.2e6 / 6.0)
