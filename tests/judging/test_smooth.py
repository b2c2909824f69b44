"""More sea or load never uses less of a limit, and no small change of an input makes a large one of a check."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest
from test_ranges import random_plans

from heave.judging import utilisations
from heave.planning import CLOSED, Plan

MORE = 1.001
LARGEST_JUMP = 0.03

LESS_WITH_MORE = {
    **{
        (
            input_,
            key,
        ): "as the seals let go, the load falls from that of a locked unit to that of one that slips"
        for input_ in ("sea", "heave")
        for key in ("compensated_load", "tension")
    },
    ("hookload", "hook_slack"): "a heavier string is harder to unload",
    ("overpull", "hook_slack"): "a string pulled harder is harder to unload",
    ("overpull", "latch_tension"): "a string pulled harder keeps more of it at the latch",
    ("hookload", "stroke_rising"): "off bottom more load is more seal friction, which moves less",
    ("hookload", "stroke_falling"): "off bottom more load is more seal friction, which moves less",
    ("overpull", "stroke_rate"): "latched, more pull is more seal friction, which moves less",
    ("hookload", "stroke_rate"): "off bottom more load is more seal friction, which moves less",
    ("hookload", "residual_motion"): "off bottom more load is more inertia, which moves less",
    ("hookload", "residual_velocity"): "off bottom more load is more inertia, which moves less",
}
"""Where more of an input uses less of a limit, and why."""


def a_little_more(plan: Plan) -> Iterator[tuple[str, Plan]]:
    """The plan with each of its inputs a thousandth higher."""
    first, unit = plan.sea.systems[0], plan.compensator
    yield "sea", plan.changed(sea=plan.sea.with_primary(hs=first.hs * MORE))
    yield "heave", plan.changed(heave_calibration=plan.heave_calibration * MORE)
    yield "hookload", plan.changed(hookload_entered=plan.hookload * MORE)
    yield "overpull", plan.changed(overpull=plan.overpull * MORE)
    yield "period", plan.changed(sea=plan.sea.with_primary(tp=first.tp * MORE))
    yield "wob", plan.changed(wob=plan.wob * MORE)
    yield "heading", plan.changed(heading=(plan.heading + 0.36) % 360.0)
    yield "exposure", plan.changed(exposure=plan.exposure * MORE)
    yield "string loss", plan.changed(string_loss=plan.string_loss * MORE)
    if not unit.is_drawworks:
        more = {
            name: replace(unit, **{name: getattr(unit, name) * MORE})
            for name in ("friction_fraction", "gas_volume", "effective_area", "moving_mass")
        }
        yield from ((name, plan.changed(compensator=changed)) for name, changed in more.items())


def used(plan: Plan) -> dict[str, float]:
    found = utilisations(plan, plan.sea.batch())
    return {key: float(values[0]) for key, values in found.by_check.items()}


@pytest.mark.parametrize("seed", range(4))
def test_checks_are_continuous_and_rise_with_sea_and_load(seed: int) -> None:
    for drawn in random_plans(8, 20 + seed):
        plan = drawn.changed(ranges=CLOSED)
        before = used(plan)
        for name, changed in a_little_more(plan):
            after = used(changed)
            for key, was in before.items():
                if not math.isfinite(was) or was < 0.05:
                    continue
                about = (name, key, plan.operation.kind, plan.compensator.kind)
                assert after[key] == pytest.approx(was, rel=LARGEST_JUMP), about
                if name in ("sea", "heave", "hookload", "overpull") and (name, key) not in LESS_WITH_MORE:
                    assert after[key] >= was * (1 - 1e-5), about


@pytest.mark.parametrize("seed", range(4))
def test_a_rising_sea_uses_more_of_every_limit(seed: int) -> None:
    """From 0.2 to 10 m nothing falls by more than a ten-thousandth, load and tension by 1 % where the seals let go."""
    for drawn in random_plans(8, 20 + seed):
        plan = drawn.changed(ranges=CLOSED)
        found = utilisations(plan, plan.sea.batch().scaled(np.geomspace(0.2, 10.0, 60)))
        for key, values in found.by_check.items():
            known = np.where(np.isfinite(values), values, 0.0)
            highest = np.maximum.accumulate(known)
            falls = (highest - known) / np.maximum(highest, 1e-9)
            fall = np.max(falls[np.isfinite(values)], initial=0.0)
            assert fall <= (0.01 if ("sea", key) in LESS_WITH_MORE else 1e-4), (key, plan.operation.kind)
