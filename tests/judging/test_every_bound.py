"""Every field at its bounds: refused by name where it is made, or judged without a crash or a silent NaN."""

from __future__ import annotations

import itertools
import math
import random
from collections.abc import Iterator
from dataclasses import fields, replace
from functools import cache
from typing import Any

import numpy as np
import pytest

import heave
from heave.errors import InputError
from heave.fields import Quantity
from heave.files.rigs import demo_compensators, demo_vessels
from heave.planning import OPERATIONS, Operation, Plan
from heave.planning.rig import closed_form_vessels
from heave.sea import SeaState, WaveSystem

Path = tuple[str | int, ...]
Change = tuple[Path, float | None]

LIMITS: dict[str, Any] = {
    "wob_low": 20e3,
    "wob_high": 340e3,
    "heave_limit": 3.0,
    "speed_limit": 1.0,
    "acceleration_limit": 1.0,
    "roll_limit": 0.05,
    "pitch_limit": 0.05,
    "residual_motion_limit": 1.0,
    "residual_velocity_limit": 1.0,
    "stroke_out_limit": 1e-3,
}
UNITS = {unit.kind: unit for unit in demo_compensators().values()}
HULLS = {**demo_vessels(), **closed_form_vessels()}
SHAPES = ("jonswap", "two-parameter", "torsethaugen", "ochi-hubble", "gaussian-swell")

THE_PLAN: tuple[Path, ...] = ((), ("offsets",), ("string",), ("string", "sections", 0))


def plan_of(kind: str, operation: str) -> Plan:
    return heave.demo_plan().changed(
        compensator=UNITS[kind],
        operation=Operation(kind=operation, **LIMITS),  # type: ignore[arg-type]
    )


def at(root: Any, path: Path) -> Any:
    for step in path:
        root = root[step] if isinstance(step, int) else getattr(root, step)
    return root


def put(root: Any, path: Path, value: Any) -> Any:
    if not path:
        return value
    step, rest = path[0], path[1:]
    if isinstance(step, int):
        return (*root[:step], put(root[step], rest, value), *root[step + 1 :])
    return replace(root, **{str(step): put(getattr(root, step), rest, value)})


def edges(about: Quantity) -> Iterator[float | None]:
    """The bounds, or the nearest number inside where the bound itself is refused; and empty."""
    if about.low is not None:
        yield about.low
    if about.above is not None:
        yield math.nextafter(about.above, math.inf)
    if about.high is not None:
        yield about.high
    if about.below is not None:
        yield math.nextafter(about.below, -math.inf)
    if about.optional:
        yield None


def changes(plan: Plan, *holders: Path) -> list[Change]:
    """Every number of some parts of a plan at every edge."""
    return [
        ((*holder, item.name), value)
        for holder in holders
        for item in fields(at(plan, holder))
        if isinstance(item.metadata.get("about"), Quantity)
        for value in edges(item.metadata["about"])
    ]


def made(plan: Plan, *given: Change) -> Plan | None:
    """The plan with some numbers changed; None where it is refused with what, value and what is allowed."""
    try:
        for path, value in given:
            plan = put(plan, path, value)
    except InputError as error:
        refused = error
    else:
        return plan
    assert refused.what
    assert refused.allowed
    return None


def judged(plan: Plan, *given: Change) -> None:
    changed = made(plan, *given)
    if changed is None:
        return
    assert unsound(changed) == [], given


@cache
def unsound(plan: Plan) -> list[str]:
    """Checks of a plan with a silent NaN or a utilisation below nought; one in twenty plans comes more than once."""
    return [
        check.key
        for check in heave.assess(plan).checks
        if math.isnan(check.utilisation) != (check.state == "not assessed") or check.utilisation < 0
    ]


@pytest.mark.parametrize("operation", OPERATIONS)
@pytest.mark.parametrize("kind", UNITS)
def test_every_bound_of_every_kind_of_unit_and_operation(kind: str, operation: str) -> None:
    plan = plan_of(kind, operation)
    for change in changes(plan, ("compensator",), ("operation",)):
        judged(plan, change)


@pytest.mark.parametrize(
    ("kind", "operation"),
    [
        ("in-line", "drilling"),
        ("active-assisted", "landing"),
        ("crown-mounted", "fixed"),
        ("drawworks", "landing"),
    ],
)
def test_every_bound_of_plan_offsets_and_string(kind: str, operation: str) -> None:
    plan = plan_of(kind, operation)
    for change in changes(plan, *THE_PLAN):
        judged(plan, change)


@pytest.mark.parametrize("hull", HULLS)
def test_every_bound_of_the_vessel(hull: str) -> None:
    plan = plan_of("in-line", "drilling").changed(vessel=HULLS[hull])
    described = hasattr(plan.vessel.response, "draught")
    for change in changes(plan, ("vessel",), *((("vessel", "response"),) if described else ())):
        judged(plan, change)


@pytest.mark.parametrize("shape", SHAPES)
def test_every_bound_of_the_sea(shape: str) -> None:
    period = None if shape == "ochi-hubble" else 10.0
    system = WaveSystem(hs=2.0, period=period, direction_from=230.0, shape=shape)
    plan = plan_of("in-line", "drilling").changed(sea=SeaState(systems=(system,), depth=1200.0))
    for change in changes(plan, ("sea",), ("sea", "systems", 0)):
        judged(plan, change)


@pytest.mark.parametrize(("kind", "operation"), [("in-line", "drilling"), ("active-assisted", "landing")])
def test_two_extremes_at_a_time(kind: str, operation: str) -> None:
    plan = plan_of(kind, operation)
    pairs = list(itertools.combinations(changes(plan, *THE_PLAN, ("compensator",), ("operation",)), 2))
    for first, second in random.Random(f"{kind} {operation}").sample(pairs, 300):
        judged(plan, first, second)


@pytest.mark.parametrize("kind", ["active-assisted", "drawworks"])
def test_a_few_seconds_simulated_at_every_bound_of_the_unit(kind: str) -> None:
    plan = plan_of(kind, "drilling")
    for change in changes(plan, ("compensator",)):
        changed = made(plan, change)
        if changed is not None:
            run = heave.simulate(changed, 2.0)
            assert np.all(np.isfinite(run.bit_force)), change
            assert np.all(np.isfinite(run.stroke)), change


THIN = {("compensator", "gas_volume_shut"): 0.0, ("compensator", "effective_area"): 0.001}
SMOOTH = {("compensator", "friction_fraction"): 0.0, ("compensator", "hydraulic_loss"): 0.0}


@pytest.mark.parametrize(
    ("operation", "given", "named"),
    [
        ("drilling", {("string_loss",): 0.4}, "loss factor"),
        ("drilling", THIN, "open to the cylinder"),
        ("landing", SMOOTH, "seal friction.*hydraulic loss"),
        ("drilling", {("wob",): 1.9e6}, "Weight on bit"),
        ("landing", {("hookload_entered",): 200e3}, "Hookload off bottom.*top drive"),
        ("drilling", {("string", "sections", 0, "linear_mass"): 2000.0}, "Hookload of the string"),
    ],
)
def test_what_cannot_be_combined_is_refused_where_it_is_typed(
    operation: str, given: dict[Path, float], named: str
) -> None:
    plan = plan_of("in-line", operation)

    def typed() -> None:
        changed = plan
        for path, value in given.items():
            changed = put(changed, path, value)

    with pytest.raises(InputError, match=named):
        typed()


def test_the_largest_loss_is_judged() -> None:
    plan = put(plan_of("in-line", "landing"), ("compensator", "hydraulic_loss"), 1e7)
    assert heave.assess(plan).governing is not None
