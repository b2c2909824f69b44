"""Plans with a hoisting path and pictures of it, for the tests of picture and page."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import heave
from heave.compensator import Compensator
from heave.files.rigs import demo_compensators, demo_hoisting
from heave.judging import assess
from heave.judging.path_loads import PathLoads, path_loads
from heave.planning import Plan
from heave.screens.figures.look import LIGHT
from heave.screens.figures.reeved_parts import Drawing, layout
from heave.screens.figures.reeving import reeving_figure

UNITS = {unit.name: unit for unit in demo_compensators().values()}


def unit_of_kind(kind: str) -> Compensator:
    return next(unit for unit in UNITS.values() if unit.kind == kind)


def with_path(**changes: Any) -> Plan:
    """The demo plan with its path changed; lines beyond the demo's sheaves get the most there are."""
    return heave.demo_plan().changed(hoisting=replace(demo_hoisting(), **changes))


def loads_of(plan: Plan) -> PathLoads:
    found = path_loads(plan)
    assert found is not None
    return found


def drawn(plan: Plan, system: str = "metric") -> str:
    assert plan.hoisting is not None
    loads = loads_of(plan)
    states = loads.states(assess(plan).checks)
    return reeving_figure(plan, plan.hoisting, loads, states, LIGHT, system)


def places(plan: Plan) -> Drawing:
    assert plan.hoisting is not None
    heights = layout(plan.hoisting, plan.compensator)
    made = Drawing(plan.hoisting, plan.compensator, loads_of(plan).unit, heights, LIGHT, False)
    list(made.parts(lambda key: {"stroke": key}))
    return made
