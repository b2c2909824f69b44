"""Worked plans of units in which something is nought: seal friction, loss, what an active part leaves, its delay.

Where a number is nought a branch of its own is taken, and a factor of it is 1 or nothing at all.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest
from plain_plans import UNITS, heat, plans_of
from test_worked_plans import differences

from heave.judging.demands import demands
from heave.planning import OPERATIONS, Plan

WITHOUT: dict[str, dict[str, Any]] = {
    "friction": {"friction_fraction": 0.0},
    "loss": {"hydraulic_loss": 0.0},
    "either": {"friction_fraction": 0.0, "hydraulic_loss": 0.0},
    "anything left": {"active_gain": 1.0},
    "delay": {"active_delay": 0.0},
}


def _cases() -> Iterator[tuple[str, str, str]]:
    for kind in ("drilling", "tripping", "landing"):
        for unit in (one for one in UNITS if not one.is_drawworks):
            for what in WITHOUT:
                undamped = what == "either" and OPERATIONS[kind].string == "free"  # which no plan may be
                if not undamped and (unit.name != "passive" or what in ("friction", "loss", "either")):
                    yield kind, unit.name, what


CASES = tuple(_cases())


def bare(plan: Plan, what: str) -> Plan:
    return plan.changed(compensator=replace(plan.compensator, **WITHOUT[what]))


@pytest.mark.parametrize(("kind", "unit", "what"), CASES)
def test_a_unit_without_it_comes_to_the_numbers_worked_here(kind: str, unit: str, what: str) -> None:
    plan = bare(next(plan for plan in plans_of(kind, unit) if plan.name == "moderate"), what)
    force, shift = heat(plan)
    asked = replace(demands(plan, plan.sea.batch()), gas_force=force, gas_shift=shift)
    assert list(differences(kept_of=[asked])) == []
