"""An active part that follows force and gives back more than there is, by the check and stepped through time."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

import heave
from heave.compensator.time_domain import irregular_heave, simulate_cases, simulation_case, string_model
from heave.files.rigs import demo_compensators
from heave.judging import NEAR, OVER, WITHIN, utilisations
from heave.judging.demands import demands
from heave.planning import Operation, Plan
from heave.planning.ranges import CLOSED
from heave.sea import OMEGA, SeaState

FORCE, POSITION = "Demo active-assisted unit, 600 klbf", "Demo unit driven by position, 600 klbf"


def plan_of(gain: float, operation: str, unit: str = FORCE) -> Plan:
    """A gentle sea, an active part of that gain, and no limit of the rig that it comes near."""
    part = replace(demo_compensators()[unit], active_gain=gain)
    limits = {"wob_low": 1e3, "wob_high": 1e6, "residual_motion_limit": 10.0, "residual_velocity_limit": 10.0}
    doing = Operation(kind=operation, **limits)  # type: ignore[arg-type]
    changes = {"compensator": part, "operation": doing, "ranges": CLOSED, "overpull": 2e5}
    return heave.demo_plan().changed(sea=SeaState.single(1.0, 9.0, depth=1200.0), **changes)


@cache
def left_after(gain: float, seconds: float = 600.0) -> float:
    """How far a free hook has gone by then, stepped through time without ends of the stroke [m]."""
    plan = plan_of(gain, "landing")
    found = demands(plan, plan.sea.batch(), keep_spectrum=True)
    waves = irregular_heave(OMEGA, found.spectrum[0], seconds, range(2))
    case = simulation_case(plan.compensator, found.setting, plan.operation.about.condition, latched=True)
    model = string_model(
        plan.string, plan.string.handling_mass + plan.moving_mass, loss_factor=plan.string_loss
    )
    most = [0.0]

    def see(time: float, seen: dict[str, np.ndarray], _: object) -> None:
        most[0] = max(most[0], float(np.nanmax(np.abs(seen["bit"]))))

    simulate_cases(model, replace(case, half_stroke=np.inf), waves, step=0.02, keep=False, watch=see)
    return most[0]


def test_a_free_hook_runs_away_from_a_gain_above_one() -> None:
    """Balance of forces: past all of the gas's stiffness the spring that is left pushes."""
    assert left_after(0.95) < 1.0
    assert left_after(1.1) > 3.0


@pytest.mark.parametrize("operation", ["drilling", "landing", "fixed"])
def test_no_such_plan_passes_in_any_sea(operation: str) -> None:
    plan = plan_of(1.1, operation)
    result = heave.assess(plan)
    assert (result.verdict, result.check("runaway").utilisation) == (OVER, pytest.approx(1.1))
    assert np.all(utilisations(plan, plan.sea.batch().scaled(np.array([0.1, 1.0, 4.0]))).governing >= 1.1)
    lost = heave.assess(plan.changed(active=False))
    assert "runaway" not in {check.key for check in lost.checks}


def test_it_is_called_for_only_where_force_is_followed_past_all_of_it() -> None:
    for gain, operation, named in (
        (1.0, "landing", FORCE),
        (1.1, "landing", POSITION),
        (1.1, "tripping", FORCE),
    ):
        assert "runaway" not in {check.key for check in heave.assess(plan_of(gain, operation, named)).checks}
    assert heave.assess(plan_of(0.95, "landing")).verdict in (WITHIN, NEAR)
