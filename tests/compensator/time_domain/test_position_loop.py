"""An active part that follows position, stepped through time, against the closed form and against its limits."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from energy import accounted
from sine_fit import amplitude
from transfer_functions import transfer_functions

from heave.compensator import Compensator, linear_system, plan_setting
from heave.compensator.time_domain import (
    Event,
    SimulationCase,
    irregular_heave,
    regular_heave,
    simulate_cases,
    simulation_case,
    string_model,
)
from heave.drill_string import DrillString

Pipe = Callable[..., DrillString]

FRICTION, LOSS = 30e3, 12.66e3


def driven(case: SimulationCase, **changes: object) -> SimulationCase:
    loop = {"loop": "position", "gain": 1.0, "delay": 0.1, "friction": FRICTION, "hydraulic_loss": LOSS}
    return replace(case, **(loop | changes))  # type: ignore[arg-type]


def left(gain: float, delay: float, bandwidth: float, centring: float, period: float) -> float:
    """|1 − G e^{−iωτ}/(1 + iω/ω_b) · iωT/(1 + iωT)|, worked out here in real numbers."""
    omega = 2 * math.pi / period
    size = gain / math.hypot(1.0, omega / (2 * math.pi * bandwidth))
    phase = -omega * delay - math.atan(omega / (2 * math.pi * bandwidth))
    if math.isfinite(centring):
        slow = omega * centring / (2 * math.pi)
        size *= slow / math.hypot(1.0, slow)
        phase += math.atan(1 / slow)
    return math.sqrt(1 + size**2 - 2 * size * math.cos(phase))


def test_a_metre_at_ten_seconds_leaves_what_the_delay_lets_through(pipe: Pipe, c1: SimulationCase) -> None:
    """2 sin(ωτ/2): 0.063 m at 0.1 s and full gain, whatever friction and loss; on bottom the rod's force of that."""
    model = string_model(pipe(1000.0), 30e3, loss_factor=0.02)
    heave = regular_heave(1.0, 10.0, 120.0)
    hanging = simulate_cases(model, driven(c1, contact="none", wob=0.0), heave)
    assert amplitude(hanging, "hook", 10.0) == pytest.approx(0.0628, rel=0.005)
    held = simulate_cases(model, driven(c1), heave)
    assert amplitude(held, "hook", 10.0) == pytest.approx(0.0628, rel=0.005)
    # 1000 m of rod with its end held: EA κ/sin κL per metre of its top
    section = pipe(1000.0).sections[0]
    angle = 2 * math.pi / 10.0 * 1000.0 / section.wave_speed
    force = section.youngs_modulus * section.area / 1000.0 * angle / math.sin(angle) * 0.0628
    assert amplitude(held, "bit_force", 10.0) == pytest.approx(force, rel=0.01)


@pytest.mark.parametrize(
    ("gain", "delay", "bandwidth", "centring", "period"),
    [
        (0.95, 0.1, math.inf, math.inf, 8.0),
        (1.0, 0.0, 1.0, math.inf, 8.0),
        (1.0, 0.05, math.inf, 120.0, 14.0),
        (1.05, 0.15, 2.0, 200.0, 10.0),
    ],
)
def test_lag_and_slow_loop_leave_what_the_closed_form_says(
    gain: float,
    delay: float,
    bandwidth: float,
    centring: float,
    period: float,
    pipe: Pipe,
    c1: SimulationCase,
) -> None:
    loop = {"gain": gain, "delay": delay, "bandwidth": bandwidth, "centring": centring}
    case = driven(c1, contact="none", wob=0.0, **loop)
    run = simulate_cases(
        string_model(pipe(500.0), 30e3, loss_factor=0.02), case, regular_heave(1.0, period, 300.0)
    )
    assert amplitude(run, "hook", period) == pytest.approx(left(period=period, **loop), rel=0.01)


def test_the_force_it_takes_is_gas_friction_and_loss(pipe: Pipe, c1: SimulationCase) -> None:
    """With nothing left of the motion nothing is left for the string: active = −(gas + friction + loss)."""
    model = string_model(pipe(1000.0), 30e3, loss_factor=0.02)
    run = simulate_cases(model, driven(c1, delay=0.0), regular_heave(1.0, 10.0, 60.0)).traces
    others = run["gas"] + run["friction"]
    assert np.quantile(np.abs(run["active"] + others), 0.95) < 0.02 * np.abs(others).max()
    peak = 1500e3 * ((1 - 1 / 76.2) ** -1.2 - 1) + FRICTION
    assert np.abs(run["active"]).max() == pytest.approx(peak, rel=0.02)


def test_past_its_limits_it_leaves_more(pipe: Pipe, c1: SimulationCase) -> None:
    model, heave = string_model(pipe(1000.0), 30e3, loss_factor=0.02), regular_heave(1.0, 10.0, 120.0)
    free = driven(c1, contact="none", wob=0.0)
    full = simulate_cases(model, free, heave)
    weak = simulate_cases(model, replace(free, active_force_limit=40e3), heave)
    slow = simulate_cases(model, replace(free, active_velocity_limit=0.4), heave)
    assert np.abs(weak.traces["active"]).max() == pytest.approx(40e3)
    assert np.abs(slow.traces["speed"]).max() == pytest.approx(0.4, rel=0.02)
    for limited in (weak, slow):
        assert amplitude(limited, "hook", 10.0) > 2 * amplitude(full, "hook", 10.0)


def test_lost_it_is_a_passive_unit_and_locked_it_is_rigid(pipe: Pipe, c1: SimulationCase) -> None:
    model, heave = string_model(pipe(1000.0), 30e3, loss_factor=0.02), regular_heave(1.0, 10.0, 240.0)
    lost = simulate_cases(model, driven(c1), heave, events=(Event("active unit lost", 60.0),))
    passive = simulate_cases(model, driven(c1, gain=0.0), heave)
    assert np.all(lost.traces["active"][lost.time > 60.2] == 0.0)
    late = lost.time > 160
    assert np.ptp(lost.traces["bit_force"][late]) == pytest.approx(
        np.ptp(passive.traces["bit_force"][late]), rel=0.05
    )
    locked = simulate_cases(model, driven(c1), heave, events=(Event("compensator locked", 60.0),))
    assert np.ptp(locked.traces["stroke"][locked.time > 61]) < 2e-3


def test_one_case_alone_and_beside_others_and_in_pieces(pipe: Pipe, c1: SimulationCase) -> None:
    omega = np.linspace(0.3, 1.5, 200)
    spectrum = np.exp(-(((omega - 0.65) / 0.1) ** 2))
    model, case = (
        string_model(pipe(1000.0), 30e3, loss_factor=0.04),
        driven(c1, centring=200.0, bandwidth=2.0),
    )
    both = irregular_heave(omega, spectrum, 1200.0, (1, 2))
    whole = simulate_cases(model, case, both, keep=False).summary
    alone = simulate_cases(model, case, irregular_heave(omega, spectrum, 1200.0, (1,)), keep=False).summary
    parted = simulate_cases(model, case, both, keep=False, in_pieces=True).summary
    for name in ("stroke", "hook", "bit_force"):
        assert whole.highest[name][0] == pytest.approx(alone.highest[name][0], rel=1e-9)
        assert parted.sigma[name] == pytest.approx(whole.sigma[name], rel=0.01)


def test_energy_adds_up(pipe: Pipe, c1: SimulationCase) -> None:
    """What vessel and active part put in is found again, within 1 % of what is lost."""
    model = string_model(pipe(3000.0), 30e3, loss_factor=0.04)
    _, energy = accounted(model, driven(c1, gain=0.95, rock_stiffness=50e6), regular_heave(1.0, 10.0, 200.0))
    assert abs(energy.imbalance[0]) < 0.01
    # 4 F_f X + (8/3) c_q X³ ω² a cycle, 20 whole ones and six that grow as ½(1 − cos)
    friction, loss = 4 * FRICTION * 0.95, 8 / 3 * LOSS * 0.95**3 * (2 * math.pi / 10) ** 2
    assert energy.friction[0] == pytest.approx((20 + 6 / 2) * friction, rel=0.02)
    assert energy.loss[0] == pytest.approx((20 + 6 * 5 / 16) * loss, rel=0.02)
    assert energy.active[0] < 0


UNIT = {
    "name": "unit",
    "kind": "active-assisted",
    "stroke": 7.62,
    "compensated_rating": 3e6,
    "locked_rating": 6e6,
    "velocity_rating": 2.0,
    "effective_area": 0.1,
    "gas_volume": 7.62,
    "pressure_rating": 3e7,
    "friction_fraction": 0.0,
    "index": 1.2,
    "active_gain": 0.9,
    "active_delay": 0.08,
    "active_bandwidth": 0.4,
    "active_centring": 150.0,
}
WINCH = {
    "name": "drawworks",
    "kind": "drawworks",
    "compensated_rating": 4e6,
    "locked_rating": 5e6,
    "line_speed_limit": 20.0,
    "line_acceleration_limit": 15.0,
    "power_limit": 6e6,
    "lines": 12,
} | {name: value for name, value in UNIT.items() if name.startswith("active")}


@pytest.mark.parametrize("condition", ["on bottom", "free"])
@pytest.mark.parametrize(
    "given", [UNIT, UNIT | {"active_loop": "position"}, WINCH], ids=["force", "position", "drawworks"]
)
def test_every_loop_is_its_transfer_function(condition: str, given: dict[str, object], pipe: Pipe) -> None:
    """What a unit's own fields come to, in heave of 1 cm at 8 s: hook, travel and bit to 1 %."""
    unit = Compensator.of(**given)  # type: ignore[arg-type]
    setting = plan_setting(unit, 1.2e6, 100e3 if condition == "on bottom" else 0.0)
    string = replace(pipe(2000.0), handling_mass=25e3)
    system = linear_system(unit, string, setting, [2 * math.pi / 8.0], condition)
    expected = transfer_functions(system, 0.0)
    case = simulation_case(unit, setting, condition, latched=True, rock_stiffness=1e11)
    model = string_model(string, 25e3, loss_factor=0.02)
    run = simulate_cases(model, case, regular_heave(0.01, 8.0, 240.0, lead=160.0))
    wanted = {"hook": expected.hook, "stroke": expected.stroke}
    wanted |= {"bit_force": expected.bit_force} if condition == "on bottom" else {"bit": expected.bit_motion}
    for name, response in wanted.items():
        assert response is not None
        size = float(np.abs(response[0]))
        assert amplitude(run, name, 8.0, 15) / 0.01 == pytest.approx(size, rel=0.002), name
