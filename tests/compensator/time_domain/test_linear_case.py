"""The string and the linear case: closed formulas and the frequency domain."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from sine_fit import amplitude
from transfer_functions import transfer_functions

from heave.compensator import Compensator, linear_system, plan_setting
from heave.compensator.time_domain import (
    Event,
    Run,
    SimulationCase,
    regular_heave,
    simulate_cases,
    simulation_case,
    string_model,
)
from heave.drill_string import DrillString

Pipe = Callable[..., DrillString]
Bench = Callable[..., Run]
WAVE_SPEED = 4575.0


def test_lumped_rod_frequencies(pipe: Pipe) -> None:
    """A fixed-free rod of N lumps has frequencies 2N sin((2j − 1)π/4N) c/L (computed from the formula)."""
    count, length = 8, 3000.0
    found = string_model(pipe(length), 0.0, elements=count, modes=None).frequencies
    order = np.arange(1, count + 1)
    expected = (
        2
        * count
        * np.sin((2 * order - 1) * math.pi / (4 * count))
        * pipe(length).sections[0].wave_speed
        / length
    )
    assert found == pytest.approx(expected, rel=1e-9)


def test_reduced_string_keeps_its_mass_stiffness_and_slow_modes(pipe: Pipe) -> None:
    full = string_model(pipe(3000.0), 30e3, modes=None)
    few = string_model(pipe(3000.0), 30e3)
    assert few.mass[-1, -1] == pytest.approx(30e3 + pipe(3000.0).mass)
    assert few.frequencies == pytest.approx(full.frequencies[: len(few.frequencies)])
    # static give of the hook with the bit held, Σ φ²/ω², is the string's own
    give = float(np.sum(full.hook_shape[:-1] ** 2 / full.frequencies**2))
    assert 1 / give == pytest.approx(pipe(3000.0).stiffness, rel=1e-9)
    kept = float(np.sum(few.hook_shape[:-1] ** 2 / few.frequencies**2))
    assert kept == pytest.approx(give, rel=0.001)


def test_tapered_string_has_elements_in_every_section(pipe: Pipe) -> None:
    sections = (*pipe(2500.0).sections, *pipe(30.0, 250.0).sections)
    model = string_model(DrillString(sections, mud_density=1200.0), 0.0, elements=10, modes=None)
    assert len(model.frequencies) == 11
    assert model.mass[-1, -1] == pytest.approx(sum(section.mass for section in sections))


@pytest.mark.parametrize(
    ("period", "expected"), [(6.0, 32.06e3), (8.0, 26.51e3), (10.0, 24.48e3), (15.0, 22.72e3)]
)
def test_linear_case_is_the_frequency_domain(
    period: float, expected: float, pipe: Pipe, c1: SimulationCase
) -> None:
    """|ΔWOB/Z| of C1 with a 30 t hook, computed from K_c/(K_c − ω²m + EAκ cot κL) · EAκ/sin κL; to 0.1 %."""
    heave = regular_heave(0.01, period, 400.0)
    model = string_model(pipe(3000.0), 30e3, loss_factor=0.02)
    run = simulate_cases(model, c1, heave)
    found = amplitude(run, "bit_force", period, 20) / 0.01
    assert found == pytest.approx(expected, rel=0.001)


def test_eight_lumps_are_already_close(pipe: Pipe, c1: SimulationCase) -> None:
    """Eight plain lumps at 10 s; another lumping of the same rod gives 24.63 kN/m, the rod itself 24.48."""
    model = string_model(pipe(3000.0), 30e3, elements=8, modes=None, loss_factor=0.02)
    run = simulate_cases(model, c1, regular_heave(0.01, 10.0, 400.0))
    found = amplitude(run, "bit_force", 10.0, 20) / 0.01
    assert found == pytest.approx(24.48e3, rel=0.001)
    assert found == pytest.approx(24.63e3, rel=0.01)


def in_line(**changes: object) -> Compensator:
    plain: dict[str, object] = {
        "name": "unit",
        "kind": "in-line",
        "stroke": 7.62,
        "compensated_rating": 3e6,
        "locked_rating": 6e6,
        "velocity_rating": 2.0,
        "effective_area": 0.1,
        "gas_volume": 7.62,
        "pressure_rating": 3e7,
        "friction_fraction": 0.0,
        "index": 1.2,
    }
    return Compensator.of(**(plain | changes))  # type: ignore[arg-type]


@pytest.mark.parametrize("condition", ["on bottom", "free", "locked on bottom", "locked free"])
@pytest.mark.parametrize("active", [False, True])
def test_every_condition_agrees_with_the_transfer_functions(condition: str, active: bool, pipe: Pipe) -> None:
    """Gain 0.9, delay 0.08 s, 8 s heave of 1 cm on a tapered string; hook, force and bit to 1 %."""
    unit = in_line(kind="active-assisted", active_gain=0.9, active_delay=0.08, active_force_limit=1e6)
    string = replace(pipe(2000.0), sections=(*pipe(1800.0).sections, *pipe(200.0, 220.0).sections))
    string = replace(string, handling_mass=25e3)
    setting = plan_setting(unit, 1.2e6, 100e3 if "bottom" in condition else 0.0)
    omega = np.array([2 * math.pi / 8.0])
    linear = linear_system(unit, string, setting, omega, condition, active=active)
    expected = transfer_functions(linear, 0.0)
    case = simulation_case(unit, setting, condition, active=active, latched=True, rock_stiffness=1e11)
    model = string_model(string, 25e3, loss_factor=0.02)
    heave = regular_heave(0.01, 8.0, 320.0, lead=160.0)
    run = simulate_cases(model, case, heave)
    names = {"hook": "hook", "stroke": "stroke"}
    if expected.bit_force is not None:
        names["bit_force"] = "bit_force"
    if expected.bit_motion is not None:
        names["bit"] = "bit_motion"
    for trace, response in names.items():
        wanted = float(np.abs(getattr(expected, response)[0]))
        found = amplitude(run, trace, 8.0, 35) / 0.01
        assert found == pytest.approx(wanted, rel=0.01, abs=1e-3), trace


def test_drawworks_leaves_what_its_delay_lets_through(pipe: Pipe) -> None:
    """Residual 2 sin(ωτ/2) of a perfect gain: 0.0628 at 10 s and 0.1 s (computed from the formula)."""
    case = SimulationCase(
        load=2e6, gas=False, drawworks=True, gain=1.0, delay=0.1, contact="none"
    )  # fmt: skip
    model = string_model(pipe(1000.0), 60e3, loss_factor=0.02)
    run = simulate_cases(model, case, regular_heave(2.0, 10.0, 200.0))
    assert amplitude(run, "hook", 10.0, 10) / 2.0 == pytest.approx(0.0628, abs=2e-4)
    lost = simulate_cases(
        model, case, regular_heave(2.0, 10.0, 200.0), events=(Event("active unit lost", 50.0),)
    )
    assert amplitude(lost, "hook", 10.0, 10) == pytest.approx(2.0, rel=0.005)


def test_drawworks_keeps_its_limits_of_speed_and_acceleration(pipe: Pipe) -> None:
    case = SimulationCase(
        load=2e6,
        gas=False,
        drawworks=True,
        gain=1.0,
        delay=0.1,
        contact="none",
        block_speed_limit=0.8,
        block_acceleration_limit=1.0,
    )
    heave = regular_heave(2.0, 10.0, 200.0)
    run = simulate_cases(string_model(pipe(1000.0), 60e3, loss_factor=0.02), case, heave)
    moved = run.traces["block"][:, 0] - run.traces["heave"][:, 0]
    speed = np.gradient(moved, run.step)
    assert np.abs(speed).max() == pytest.approx(0.8, rel=0.02)
    left = amplitude(run, "hook", 10.0, 10)
    assert 0.3 < left < 2.0
