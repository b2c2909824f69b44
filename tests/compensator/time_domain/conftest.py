"""The reference unit and string of the simulator tests.

C1 is 1500 kN, 7.62 m stroke, gas ten times the swept volume, index 1.2, k_c 23.622 kN/m, over 3000 m of
5 in 19.5 lb/ft pipe with a wave speed of 4575 m/s.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache

import pytest

from heave.compensator.time_domain import Run, SimulationCase, regular_heave, simulate_cases, string_model
from heave.drill_string import DrillString, Section

Pipe = Callable[..., DrillString]
Bench = Callable[..., Run]

PIPE_AREA = 5.2746 * 0.0254**2
STEEL = 206.8e9
WAVE_SPEED = 4575.0


@pytest.fixture(scope="session")
def pipe() -> Pipe:
    """Makes a string of one pipe of a given length and, if wanted, mass per metre."""

    def make(length: float, linear_mass: float = STEEL * PIPE_AREA / WAVE_SPEED**2) -> DrillString:
        section = Section(
            name="pipe",
            length=length,
            outer_diameter=0.127,
            inner_diameter=4.276 * 0.0254,
            linear_mass=linear_mass,
            yield_strength=930e6,
        )
        return DrillString((section,), mud_density=1200.0)

    return make


@pytest.fixture(scope="session")
def c1() -> SimulationCase:
    """C1 without friction or loss, the string held at its lower end."""
    return SimulationCase(
        load=1500e3,
        wob=150e3,
        gas_length=76.2,
        index=1.2,
        half_stroke=3.81,
        contact="held",
        rock_stiffness=1e11,
    )


@pytest.fixture(scope="session")
def bench_case(c1: SimulationCase) -> SimulationCase:
    """C1 with friction 30 kN and loss 12.66 kN/(m/s)^2, the bit on rock of 50 MN/m."""
    return replace(c1, friction=30e3, hydraulic_loss=12.66e3, contact="one-sided", rock_stiffness=50e6)


@pytest.fixture(scope="session")
def bench(pipe: Pipe, bench_case: SimulationCase) -> Bench:
    """Runs that case, once each way, on 3000 m of pipe under a 30 t hook in 1 m of heave at 10 s."""

    @cache
    def run(step: float = 0.02, **parts: int) -> Run:
        model = string_model(pipe(3000.0), 30e3, loss_factor=0.02, **parts)  # type: ignore[arg-type]
        return simulate_cases(model, bench_case, regular_heave(1.0, 10.0, 300.0), step=step)

    return run
