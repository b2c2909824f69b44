"""A 36 in conductor on its landing string goes through everything: judged, simulated, filled or dry, from a file."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

import heave
from heave.drill_string import DrillString, Section
from heave.files.string import read_string, string_text
from heave.planning import Operation
from heave.units import STANDARD_GRAVITY

SIZE, BORE = 0.9144, 0.8382
CONDUCTOR = Section("36 in conductor", 80.0, SIZE, BORE, 7850 * math.pi / 4 * (SIZE**2 - BORE**2), 3.6e8)
LANDING = Section("landing string", 1200.0, 0.1397, 0.1087, 49.0, 9.3e8)
STRING = DrillString((LANDING, CONDUCTOR), 1030.0, handling_mass=22e3)


@pytest.mark.parametrize("inside", ["filled", "empty, float closed"])
@pytest.mark.parametrize("kind", ["casing", "landing"])
def test_it_is_judged_with_numbers(kind: str, inside: str) -> None:
    string = replace(STRING, inside=inside)
    limits = {"heave_limit": 3.0} if kind == "casing" else {}
    operation = Operation(kind=kind, residual_motion_limit=2.0, residual_velocity_limit=2.0, **limits)  # type: ignore[arg-type]
    result = heave.assess(heave.demo_plan().changed(string=string, operation=operation))
    assert result.plan.hookload == string.hookload
    assert all(math.isfinite(check.demand) for check in result.checks)
    assert {"compensated_load", "locked_load", "tension"} & {check.key for check in result.checks}


def test_dry_it_hangs_lighter_by_the_water_it_would_hold() -> None:
    held = 1030 * STANDARD_GRAVITY * math.pi / 4 * (80 * BORE**2)
    dry = DrillString((CONDUCTOR,), 1030.0, inside="empty, float closed")
    assert replace(dry, inside="filled").hookload - dry.hookload == pytest.approx(held, rel=1e-9)


def test_it_is_simulated() -> None:
    """Over waves the hook carries what hangs below it, a few per cent of it up and down."""
    plan = heave.demo_plan().changed(string=STRING, operation=Operation(kind="landing"))
    run = heave.simulate(plan, duration=600.0, seed=3)
    assert float(np.mean(run.hook_load)) == pytest.approx(STRING.hookload, rel=2e-3)
    assert float(np.ptp(run.hook_load)) < 0.1 * STRING.hookload


def test_it_comes_back_from_a_file() -> None:
    again = read_string(string_text(STRING.sections).encode())[1]
    assert again.outer_diameter == pytest.approx(SIZE, rel=1e-14)
    text = "name,length_m,od_in,id_in,weight_lb_per_ft,grade\nconductor,80,36,33,553,E-75\n"
    assert read_string(text.encode())[0].outer_diameter == pytest.approx(SIZE)
    with pytest.raises(heave.FileError, match="od"):
        read_string(text.replace(",36,", ",37,").encode())
