"""Friction at the extremes: its formulas by plain arithmetic, its limits, and the simulator against a closed form."""

from __future__ import annotations

import math

import numpy as np
import pytest

import heave
from heave.compensator.time_domain import SimulationCase, simulate_cases, string_model
from heave.compensator.time_domain.heave_motion import regular_heave
from heave.drill_string import DrillString, Section, drill_pipe
from heave.files.rigs import demo_compensators
from heave.judging import reversal
from heave.judging.demands import Demands, demands
from heave.judging.rules import hook
from heave.planning import Operation, Plan
from heave.sea import SeaState

SEAS = np.array([0.05, 0.3, 0.8, 1.5, 2.5])


def found(kind: str, unit: str = "Demo in-line unit, 400 klbf", active: bool = True) -> Demands:
    plan = heave.demo_plan().changed(
        operation=Operation(kind=kind), compensator=demo_compensators()[unit], wob=100e3, active=active
    )
    return demands(
        plan, SeaState.single(hs=2.0, tp=11.0, direction_from=240.0, depth=1200.0).batch().scaled(SEAS)
    )


def own_period(plan: Plan, stiffness: float) -> float:
    """The first period by bisection of k cot on a fine grid of the string's lumps, bit held."""
    mass = plan.string.handling_mass + plan.moving_mass
    model = string_model(plan.string, mass, elements=200, modes=None)
    whole = model.stiffness[:-1, :-1] + stiffness * np.outer(model.hook_shape[:-1], model.hook_shape[:-1])
    return 2 * math.pi / math.sqrt(float(np.linalg.eigvalsh(whole)[0]))


ACTIVE = "Demo active-assisted unit, 600 klbf"


@pytest.mark.parametrize(
    ("unit", "active"), [("Demo in-line unit, 400 klbf", True), (ACTIVE, False), (ACTIVE, True)]
)
def test_swing_at_the_bit_and_speed_of_travel_by_plain_arithmetic(unit: str, active: bool) -> None:
    d = found("drilling", unit, active)
    plan, friction, k = d.plan, d.setting.friction_force, d.plan.string.stiffness
    gain, delay = (
        (plan.compensator.active_gain, plan.compensator.active_delay) if plan.active_in_use else (0.0, 0.0)
    )
    period = own_period(plan, d.setting.stiffness_nominal)
    left, a = friction * abs(1 - gain), d.acceleration.level
    built = np.minimum(
        (2 * left) ** 1.5 + math.sqrt(18) * gain * friction * delay * np.sqrt(k * a), (2 * friction) ** 1.5
    )
    built = np.cbrt(built) ** 2
    turn = np.sqrt(2 * built * a / k)
    mass = plan.string.handling_mass + plan.moving_mass + plan.string.mass / 3
    damping = plan.compensator.hydraulic_loss * (1 - gain * math.cos(2 * math.pi * delay / period))
    kept = np.exp(-damping * d.stroke.level / mass)
    ring = k * turn * period / (2 * math.pi) * kept
    ring = (
        ring + built - 2 * left
        if gain
        else ring * (1 + np.exp(-(((period / d.heave.period - 0.29) / 0.06) ** 2)) / 5)
    )
    swing = np.minimum(left + np.hypot(d.elastic, ring), d.locked_end.level)
    np.testing.assert_allclose(d.bit.nominal, swing, rtol=2e-4)
    assert d.bit.high == pytest.approx(swing * 1.08, rel=2e-4)
    top = plan.string.sections[0]
    if gain:  # no faster than a long string is thrown: √(E A m′) is force per speed
        turn = np.minimum(turn, built / math.sqrt(top.youngs_modulus * top.area * top.linear_mass))
    speed = (1.02 if gain else 1.0) * (d.linear_speed + np.exp(-left / d.locked) * kept * turn)
    np.testing.assert_allclose(d.stroke_velocity, speed, rtol=2e-4)


@pytest.mark.parametrize(("unit", "active"), [("Demo in-line unit, 400 klbf", True), (ACTIVE, True)])
def test_off_bottom_by_plain_arithmetic(unit: str, active: bool) -> None:
    d = found("landing", unit, active)
    plan, friction, gain = d.plan, d.setting.friction_force, getattr(d.plan.compensator, "active_gain", 0.0)
    left, k, a = friction * abs(1 - gain), plan.string.stiffness, d.acceleration.level
    share = np.clip((d.locked / left - 1) / 1.4, 0, 1) ** 2
    rest = friction / d.setting.stiffness_nominal
    z = d.heave.level
    wander = rest * z / (rest + z)
    motion = d.locked_end.level + share * (np.hypot(d.residual.level, wander) + left / k - d.locked_end.level)
    np.testing.assert_allclose(d.residual_motion, (1.11 if gain else 1.06) * motion, rtol=1e-12)
    travel = (1.08 if gain else 1.05) * np.sqrt(share * (d.stroke.level**2 + wander**2))
    np.testing.assert_allclose(d.stroke_level, travel, rtol=1e-12)
    turn = 2 * np.sqrt(friction * a / k)
    if gain:
        late = 12 * gain * friction * plan.compensator.active_delay * a**2 / k
        turn = np.minimum(np.cbrt((4 * left * a / k) ** 1.5 + late), turn)
    fixed, linear = d.locked_end_speed.level, d.residual_speed.level
    speed = fixed + share * (linear - fixed) + np.sqrt(share) * turn / 4
    np.testing.assert_allclose(d.residual_velocity, (1.04 if gain else 1.08) * speed, rtol=1e-12)
    travel = np.sqrt(share) * (d.linear_speed + turn / 4)
    np.testing.assert_allclose(d.stroke_velocity, (1.0 if gain else 1.02) * travel, rtol=1e-12)


@pytest.mark.parametrize("gain", [0.5, 0.8, 0.95, 1.0])
@pytest.mark.parametrize("delay", [0.02, 0.1, 0.3])
def test_force_built_up_at_a_turn_is_that_of_all_echoes(gain: float, delay: float) -> None:
    """Friction F(t) = N(t) + G F(t − τ), N = k a t²/2, so F = Σ Gʲ k a (t − jτ)²/2; it has turned at 2 F_f."""
    friction, pace = 30e3, 400e3 * np.array([0.1, 0.5, 2.0])
    for one in pace:
        time = np.linspace(0.0, math.sqrt(4 * friction / one), 20_001)
        echo = np.arange(1 + int(time[-1] / delay))[:, None]
        rub = np.sum(gain**echo * one / 2 * np.maximum(time - echo * delay, 0.0) ** 2, axis=0)
        slip = time[np.argmax(rub >= 2 * friction * (1 - 1e-9))]
        built = reversal.SLIP_ACTIVE(
            F_r=friction * (1 - gain), F_f=friction, G=gain, τ=delay, k_s=one, a_z=1.0
        )
        assert 0.98 * slip < math.sqrt(2 * float(built.result.value) / one) < 1.16 * slip


def test_what_loss_leaves_of_a_small_oscillation_about_the_travel() -> None:
    """Stepped through a quarter of a cycle of the travel, X sin ωt: m y'' + c (v + y')|v + y'| − c v² + k y = 0."""
    mass, loss, travel, period, own = 60e3, 2e4, 1.5, 12.0, 0.2
    stiffness, omega, step = mass * (2 * math.pi / own) ** 2, 2 * math.pi / period, 2e-4
    place, rate, energy = 0.0, -0.01, []
    for time in np.arange(-period / 4, 0.0, step):
        speed = travel * omega * math.cos(omega * time)
        drag = loss * ((speed + rate) * abs(speed + rate) - speed**2)
        rate -= step * (drag + stiffness * place) / mass
        place += step * rate
        energy.append(mass * rate**2 + stiffness * place**2)
    own_cycle = round(own / step)
    first, last = (float(np.mean(part)) for part in (energy[:own_cycle], energy[-own_cycle:]))
    # energy goes as the square of the amplitude; the means stand half an own period inside either end
    kept = reversal.RUNG(c_q=loss, X_l=travel, m_r=mass).result.value
    assert math.sqrt(last / first) == pytest.approx(float(kept), rel=0.03)


def test_what_the_seals_hold_is_locked() -> None:
    """In the least sea the string pulls less than the friction: no travel, and the end moves as under a locked unit."""
    d = found("landing")
    assert d.locked[0] < d.setting.friction_force
    assert d.stroke_level[0] == 0.0
    assert d.stroke_velocity[0] == 0.0
    assert d.residual_motion[0] == pytest.approx(1.06 * d.locked_end.level[0])
    assert d.residual_velocity[0] == pytest.approx(1.08 * d.locked_end_speed.level[0])


@pytest.mark.parametrize("kind", ["drilling", "landing", "fixed"])
def test_more_sea_never_asks_for_less(kind: str) -> None:
    plan = heave.demo_plan().changed(operation=Operation(kind=kind))
    batch = SeaState.single(hs=2.0, tp=12.0, direction_from=240.0, depth=1200.0).batch()
    d = demands(plan, batch.scaled(np.linspace(0.02, 3.0, 150)))
    figures = [d.travel, d.travel_velocity, d.stroke_level]
    figures += [d.bit.high] if d.bit is not None else [d.residual_motion, d.residual_velocity]
    for values in figures:
        assert np.all(np.diff(values) >= -1e-9 * values[1:])


DEN_HARTOG = [(0.8, 0.3, 2.626), (1.5, 0.3, 0.721)]
"""Frequency over own, friction over force, amplitude over static deflection: Den Hartog, Trans. ASME 53 (1931)."""


@pytest.mark.parametrize(("beta", "friction", "amplitude"), DEN_HARTOG)
def test_the_simulator_meets_den_hartogs_closed_form(beta: float, friction: float, amplitude: float) -> None:
    """A mass on spring and Coulomb friction, moved by its base: Y acts as β² Y on the relative travel.

    x0/a = √(V² − (x_f/a)² U²), V = 1/(1 − β²), U = sin(π/β)/(β (1 + cos(π/β))); no stops.
    """
    v, u = 1 / (1 - beta**2), math.sin(math.pi / beta) / (beta * (1 + math.cos(math.pi / beta)))
    assert math.sqrt(v**2 - (friction * u) ** 2) == pytest.approx(amplitude, abs=2e-3)
    mass, period, base = 100e3, 12.0, 0.3
    own = beta * period
    stiffness = mass * (2 * math.pi / own) ** 2
    acting = beta**2 * base
    stiff = DrillString(
        (
            Section(
                name="stiff",
                length=10.0,
                outer_diameter=0.2,
                inner_diameter=0.05,
                linear_mass=250.0,
                yield_strength=5e8,
            ),
        ),
        0.0,
    )
    load = 5e7  # so much that the gas is as good as linear
    case = SimulationCase(
        load=load, friction=friction * acting * stiffness, gas_length=load / stiffness, index=1.0,
        contact="none",
    )  # fmt: skip
    model = string_model(stiff, mass - stiff.mass, elements=2, modes=1)
    run = simulate_cases(model, case, regular_heave(base, period, 600.0), step=0.005)
    travel = run.traces["stroke"][-12000:]
    assert float(np.ptp(travel) / 2) == pytest.approx(amplitude * acting, rel=0.005)


def test_gas_is_stiffer_at_the_extreme() -> None:
    """((1 − X/L)⁻ⁿ − 1)/(n X/L), with L the length of the gas and the push of the air in its stiffness."""
    d = found("drilling")
    unit, reached = d.plan.compensator, np.array([0.0, 0.5, 2.0, 50.0, np.nan])
    share = np.minimum(np.maximum(reached, 1e-3), unit.stroke / 2) / (unit.volume_ratio * unit.stroke)
    expected = ((1 - share) ** -unit.index - 1) / (unit.index * share)
    np.testing.assert_allclose(reversal.stiffening(d.plan, d.setting, reached), expected, rtol=1e-9)


@pytest.mark.parametrize("gain", [0.6, 0.95])
@pytest.mark.parametrize("delay", [0.04, 0.2])
def test_what_an_active_part_leaves_on_the_hook_stands_against_the_simulator(
    gain: float, delay: float
) -> None:
    """Light seals in a regular sea: the hook's mass alone turns them, so it bears all of their turn until the echo.

    With much gain that is the largest, 2 F_f less what was left of it; with little the share left of the gas is.
    """
    string = DrillString((drill_pipe(size="5 in", weight="19.50", grade="S-135", length=3000.0),), 1200.0)
    mass, friction, heave_, omega, length = 40e3, 10e3, 2.0, 2 * math.pi / 10.0, 65.0
    case = SimulationCase(
        load=1e6, friction=friction, gas_length=length, index=1.3, contact="held", gain=gain, delay=delay
    )
    model = string_model(string, mass, loss_factor=0.02)
    run = simulate_cases(model, case, regular_heave(heave_, 10.0, 150.0), step=0.01)
    force = sum(run.traces[name][5000:] for name in ("gas", "friction", "active"))
    gas = 1e6 * (1 - heave_ / length) ** -1.3
    at_turn = hook.AT_TURN(N_s=0.0, m_h=mass, a_z=heave_ * omega**2, F_f=friction)
    assert at_turn.result.value == 2 * friction
    left = math.sqrt(1 + gain**2 - 2 * gain * math.cos(omega * delay))
    found = hook.LEFT(
        f_hook=1.0, F_r=(1 - gain) * friction, q=left, F_g=gas, F_0=1e6, c_q=0.0, v_d=0.0, N_h=at_turn
    )
    assert 0.85 < float(np.abs(force).max()) / float(found.result.value) < 1.0
