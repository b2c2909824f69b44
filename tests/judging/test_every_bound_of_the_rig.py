"""Every field of hoisting path, line record, hole, ranges, limits in wave height, study and weather at its bounds."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from test_every_bound import Change, Path, changes, judged, made, plan_of

from heave.drill_string import HoleInterval, Well
from heave.judging.job import job_cautions
from heave.judging.line_record import line_record
from heave.judging.path_loads import path_loads
from heave.planning import HsLimit, LineJob, LineWork, Plan
from heave.planning.ranges import Ranges

PARTS: dict[str, tuple[Path, ...]] = {
    "hoisting": (("hoisting",), ("hoisting", "line")),
    "line_work": (("line_work",), ("line_work", "jobs", 0)),
    "well": (("well",), *(("well", "intervals", place) for place in range(3))),
    "ranges": (("ranges",),),
    "hs_limits": (("operation", "hs_limits", 0),),
    "study": (("study",),),
    "weather": (("weather",),),
}
WAYS = [
    ("in-line", "drilling"),
    ("crown-mounted", "tripping"),
    ("active-assisted", "landing"),
    ("drawworks", "casing"),
    ("in-line", "fixed"),
]


def whole(kind: str, operation: str) -> Plan:
    """A plan that has each of the parts, with every number that may be left empty given."""
    plan = plan_of(kind, operation)
    length = plan.string.length
    assert plan.hoisting is not None
    path = replace(
        plan.hoisting,
        lines=getattr(plan.compensator, "lines", plan.hoisting.lines),
        drawworks_power=2.2e6,
        brake_power=4e6,
        rotating_mass=2000.0,
        low_gear_pull=3.5e5,
        low_gear_speed=2.0,
        middle_gear_pull=1.4e5,
        middle_gear_speed=6.0,
        high_gear_pull=6e4,
        high_gear_speed=15.0,
    )
    ledger = LineWork(
        since_cut=4e9, goal=1.5e10, cut_length=25.0, slip_length=15.0, on_reel=900.0, on_drum=420.0, drum_core=0.8,
        drum_width=1.4, drum_layers=5.0, planned=86_400.0, compensating=7200.0, stand=28.0, hook_acceleration=0.4,
        lowering_speed=1.5, deceleration=0.8, jobs=(LineJob("round trip", length),),
    )  # fmt: skip
    holes = (
        HoleInterval(length / 3),
        HoleInterval(length / 3, math.radians(20.0), 0.25),
        HoleInterval(length / 3, 0.5, 0.2),
    )
    limits = (HsLimit(4.0, 2.0, 12.0), HsLimit(3.0, 8.0, 30.0))
    return plan.changed(
        hoisting=path,
        line_work=ledger,
        well=Well(holes),
        ranges=Ranges(),
        operation=replace(plan.operation, hs_limits=limits),
    )


def told(plan: Plan, *given: Change) -> None:
    """Judged, and everything that is said of the path, the line and the hole put together."""
    judged(plan, *given)
    changed = made(plan, *given)
    if changed is None:
        return
    loads = path_loads(changed)
    for part in () if loads is None else loads.chain:
        assert not part.utilisation < 0, (given, part.key)
        assert math.isnan(part.utilisation) or part.rating is not None, (given, part.key)
    line_record(changed)
    list(job_cautions(changed))


@pytest.mark.parametrize("part", PARTS)
@pytest.mark.parametrize(("kind", "operation"), WAYS)
def test_every_bound_of_a_part(kind: str, operation: str, part: str) -> None:
    plan = whole(kind, operation)
    asked = changes(plan, *PARTS[part])
    assert asked
    for change in asked:
        told(plan, change)
