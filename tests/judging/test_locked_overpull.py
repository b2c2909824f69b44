"""A locked unit carries the overpull too, whatever the operation."""

from __future__ import annotations

import pytest

import heave


@pytest.mark.parametrize("kind", ["tripping", "casing", "waiting", "fixed"])
def test_overpull_reaches_the_locked_unit_once(kind: str) -> None:
    """Locked, everything the string can pull hangs on the unit: weight, moving parts and the overpull."""
    plan = heave.demo_plan().changed(operation=heave.Operation(kind=kind))
    demands = [
        next(
            check for check in heave.assess(plan.changed(overpull=pull)).checks if check.key == "locked_load"
        ).demand
        for pull in (0.0, 300e3)
    ]
    assert demands[1] - demands[0] == pytest.approx(300e3, rel=1e-9)


def test_a_drawworks_that_lost_its_compensation_loads_the_string_as_a_locked_one() -> None:
    unit = heave.files.rigs.demo_compensators()["Demo compensating drawworks"]
    plan = heave.demo_plan().changed(compensator=unit, operation=heave.Operation(kind="landing"))
    lost = heave.assess(plan.changed(active=False))
    locked = heave.assess(plan.changed(operation=heave.Operation(kind="tripping")))
    working = heave.assess(plan)
    assert lost.check("tension").demand == pytest.approx(locked.check("tension").demand, rel=1e-9)
    assert lost.check("compensated_load").demand > working.check("compensated_load").demand
    assert "line_speed" not in {check.key for check in lost.checks}


def test_what_is_no_plan_and_no_list_of_sections_is_said_so() -> None:
    with pytest.raises(heave.InputError, match=r"plan.*a Plan"):
        heave.assess(None)  # type: ignore[arg-type]
    pipe = heave.drill_string.drill_pipe("5 in", "19.50", "S-135", 1000.0)
    with pytest.raises(heave.InputError, match="a list of sections"):
        heave.drill_string.DrillString(pipe, mud_density=1200.0)  # type: ignore[arg-type]
