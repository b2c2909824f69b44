"""The simulator against closed formulas, the frequency domain and its own energy account.

C1 is the reference unit: 1500 kN, 7.62 m stroke, gas ten times the swept volume, index 1.2, k_c 23.622 kN/m,
over 3000 m of 5 in 19.5 lb/ft pipe with a wave speed of 4575 m/s.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import numpy.typing as npt
import pytest

from heave.compensator import Compensator, linear_system, plan_setting, transfer_functions
from heave.compensator.time_domain import (
    Event,
    Run,
    SimulationCancelled,
    SimulationCase,
    StringModel,
    regular_heave,
    simulate_cases,
    simulation_case,
    string_model,
)
from heave.drill_string import DrillString, Section
from heave.errors import InputError
from heave.units import STANDARD_GRAVITY

FloatArray = npt.NDArray[np.float64]

PIPE_AREA = 5.2746 * 0.0254**2
STEEL = 206.8e9
WAVE_SPEED = 4575.0


def pipe(length: float, linear_mass: float = STEEL * PIPE_AREA / WAVE_SPEED**2) -> DrillString:
    section = Section(
        name="pipe",
        length=length,
        outer_diameter=0.127,
        inner_diameter=4.276 * 0.0254,
        linear_mass=linear_mass,
        yield_strength=930e6,
    )
    return DrillString((section,), mud_density=1200.0)


C1 = SimulationCase(
    load=1500e3, wob=150e3, gas_length=76.2, index=1.2, half_stroke=3.81, contact="held", rock_stiffness=1e11
)
BENCH = replace(C1, friction=30e3, hydraulic_loss=12.66e3, contact="one-sided", rock_stiffness=50e6)


def above_static(run: Run) -> FloatArray:
    return np.asarray(sum(run.traces[name] for name in ("gas", "friction", "stop", "active")))


def amplitude_at(time: FloatArray, values: FloatArray, period: float, cycles: int) -> float:
    """Amplitude at one period over the last whole cycles, by least squares."""
    last = time > time[-1] - cycles * period
    phase = 2 * math.pi / period * time[last]
    table = np.stack([np.cos(phase), np.sin(phase), np.ones_like(phase)], axis=1)
    fit = np.linalg.lstsq(table, values[last], rcond=None)[0]
    return float(np.hypot(fit[0], fit[1]))


# the string --------------------------------------------------------------------------------------


def test_lumped_rod_frequencies() -> None:
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


def test_reduced_string_keeps_its_mass_stiffness_and_slow_modes() -> None:
    full = string_model(pipe(3000.0), 30e3, modes=None)
    few = string_model(pipe(3000.0), 30e3)
    assert few.mass[-1, -1] == pytest.approx(30e3 + pipe(3000.0).mass)
    assert few.frequencies == pytest.approx(full.frequencies[: len(few.frequencies)])
    # static give of the hook with the bit held, Σ φ²/ω², is the string's own
    give = float(np.sum(full.hook_shape[:-1] ** 2 / full.frequencies**2))
    assert 1 / give == pytest.approx(pipe(3000.0).stiffness, rel=1e-9)
    kept = float(np.sum(few.hook_shape[:-1] ** 2 / few.frequencies**2))
    assert kept == pytest.approx(give, rel=0.001)


def test_tapered_string_has_elements_in_every_section() -> None:
    sections = (*pipe(2500.0).sections, *pipe(30.0, 250.0).sections)
    model = string_model(DrillString(sections, mud_density=1200.0), 0.0, elements=10, modes=None)
    assert len(model.frequencies) == 11
    assert model.mass[-1, -1] == pytest.approx(sum(section.mass for section in sections))


# the linear case ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("period", "expected"), [(6.0, 32.06e3), (8.0, 26.51e3), (10.0, 24.48e3), (15.0, 22.72e3)]
)
def test_linear_case_is_the_frequency_domain(period: float, expected: float) -> None:
    """|ΔWOB/Z| of C1 with a 30 t hook, computed from K_c/(K_c − ω²m + EAκ cot κL) · EAκ/sin κL; to 0.1 %."""
    heave = regular_heave(0.01, period, 400.0)
    model = string_model(pipe(3000.0), 30e3, loss_factor=0.02)
    run = simulate_cases(model, C1, heave)
    found = amplitude_at(run.time, run.traces["bit_force"][:, 0], period, 20) / 0.01
    assert found == pytest.approx(expected, rel=0.001)


def test_eight_lumps_are_already_close() -> None:
    """Eight plain lumps at 10 s; another lumping of the same rod gives 24.63 kN/m, the rod itself 24.48."""
    model = string_model(pipe(3000.0), 30e3, elements=8, modes=None, loss_factor=0.02)
    run = simulate_cases(model, C1, regular_heave(0.01, 10.0, 400.0))
    found = amplitude_at(run.time, run.traces["bit_force"][:, 0], 10.0, 20) / 0.01
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
    return Compensator(**(plain | changes))  # type: ignore[arg-type]


@pytest.mark.parametrize("condition", ["on bottom", "free", "locked on bottom", "locked free"])
@pytest.mark.parametrize("active", [False, True])
def test_every_condition_agrees_with_the_transfer_functions(condition: str, active: bool) -> None:
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
    heave = regular_heave(0.01, 8.0, 560.0, lead=240.0)
    run = simulate_cases(model, case, heave)
    names = {"hook": "hook", "stroke": "stroke"}
    if expected.bit_force is not None:
        names["bit_force"] = "bit_force"
    if expected.bit_motion is not None:
        names["bit"] = "bit_motion"
    for trace, response in names.items():
        wanted = float(np.abs(getattr(expected, response)[0]))
        found = amplitude_at(run.time, run.traces[trace][:, 0], 8.0, 40) / 0.01
        assert found == pytest.approx(wanted, rel=0.01, abs=1e-3), trace


def test_drawworks_leaves_what_its_delay_lets_through() -> None:
    """Residual 2 sin(ωτ/2) of a perfect gain: 0.0628 at 10 s and 0.1 s (computed from the formula)."""
    case = SimulationCase(
        load=2e6, gas=False, drawworks=True, gain=1.0, delay=0.1, contact="none"
    )  # fmt: skip
    model = string_model(pipe(1000.0), 60e3, loss_factor=0.02)
    run = simulate_cases(model, case, regular_heave(2.0, 10.0, 200.0))
    assert amplitude_at(run.time, run.traces["hook"][:, 0], 10.0, 10) / 2.0 == pytest.approx(0.0628, abs=2e-4)
    lost = simulate_cases(
        model, case, regular_heave(2.0, 10.0, 200.0), events=(Event("active unit lost", 50.0),)
    )
    assert amplitude_at(lost.time, lost.traces["hook"][:, 0], 10.0, 10) == pytest.approx(2.0, rel=0.005)


def test_drawworks_keeps_its_limits_of_speed_and_acceleration() -> None:
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
    left = amplitude_at(run.time, run.traces["hook"][:, 0], 10.0, 10)
    assert 0.3 < left < 2.0


# friction, loss and stick ------------------------------------------------------------------------


def stiff_bottom(**changes: object) -> tuple[StringModel, SimulationCase]:
    """A short string held at its end: the stroke is the heave."""
    return string_model(pipe(300.0), 30e3, loss_factor=0.05), replace(C1, **changes)  # type: ignore[arg-type]


def loop_area(run: Run, period: float, cycles: int) -> tuple[float, float]:
    """Work of friction and loss a cycle, and single amplitude of stroke, over the last whole cycles."""
    rows = slice(-round(cycles * period / run.step) - 1, None)
    stroke = run.traces["stroke"][rows, 0]
    work = float(np.sum(run.traces["friction"][rows, 0][1:] * np.diff(stroke))) / cycles
    return work, float(stroke.max() - stroke.min()) / 2


def test_friction_loop_is_four_force_times_amplitude() -> None:
    model, case = stiff_bottom(friction=30e3)
    run = simulate_cases(model, case, regular_heave(1.0, 10.0, 200.0))
    work, amplitude = loop_area(run, 10.0, 10)
    assert work == pytest.approx(4 * 30e3 * amplitude, rel=0.001)
    assert amplitude == pytest.approx(0.98, abs=0.02)


def test_quadratic_loss_a_cycle() -> None:
    """(8/3) c_q X³ ω² for a sine; the stroke is one to 0.1 %."""
    model, case = stiff_bottom(hydraulic_loss=12.66e3)
    run = simulate_cases(model, case, regular_heave(1.0, 10.0, 200.0))
    work, amplitude = loop_area(run, 10.0, 10)
    assert work == pytest.approx(8 / 3 * 12.66e3 * amplitude**3 * (2 * math.pi / 10) ** 2, rel=0.005)


@pytest.mark.parametrize(("share", "moves"), [(0.97, False), (1.03, True)])
def test_hanging_free_it_sticks_below_its_threshold(share: float, moves: bool) -> None:
    """μ g/ω² = 0.497 m at μ = 2 % and 10 s; a rigid load, so a short string under a heavy hook."""
    string = pipe(100.0)
    load = 1500e3
    hook = load / STANDARD_GRAVITY - string.mass
    case = replace(C1, load=load, wob=0.0, friction=0.02 * load, contact="none")
    threshold = 0.02 * STANDARD_GRAVITY / (2 * math.pi / 10) ** 2
    assert threshold == pytest.approx(0.497, abs=5e-4)
    run = simulate_cases(
        string_model(string, hook, loss_factor=0.05), case, regular_heave(share * threshold, 10.0, 100.0)
    )
    travel = np.abs(run.traces["stroke"][:, 0]).max()
    assert (travel > 1e-3) == moves
    assert (run.summary.stuck_share[0] > 0.999) != moves
    if not moves:
        assert travel < 1e-5


# the nonlinear bench -----------------------------------------------------------------------------


def bench(step: float = 0.02, **parts: int) -> Run:
    model = string_model(pipe(3000.0), 30e3, loss_factor=0.02, **parts)  # type: ignore[arg-type]
    return simulate_cases(model, BENCH, regular_heave(1.0, 10.0, 300.0), step=step, account=True)


def swing(values: FloatArray) -> float:
    return float(values.max() - values.min()) / 2


def test_bench_is_in_its_band() -> None:
    """C1, 3000 m, 30 t, WOB 150 kN, F_f 30 kN, c_q 12.66 kN/(m/s)², rock 50 MN/m, heave 1 m at 10 s:
    bit ± 77 kN and hook ± 48 kN, within ± 10 % between integrators (computed by another)."""
    run = bench()
    late = run.time > 150
    assert swing(run.traces["bit_force"][late, 0]) == pytest.approx(77e3, rel=0.10)
    assert swing(above_static(run)[late, 0]) == pytest.approx(48e3, rel=0.10)
    # the hook does not see what the bit does
    assert swing(run.traces["bit_force"][late, 0]) > 1.4 * swing(above_static(run)[late, 0])


def test_half_the_step_and_more_modes_change_little() -> None:
    plain = swing(bench().traces["bit_force"][:, 0])
    assert swing(bench(0.01).traces["bit_force"][:, 0]) == pytest.approx(plain, rel=0.01)
    assert swing(bench(modes=24, elements=120).traces["bit_force"][:, 0]) == pytest.approx(plain, rel=0.01)


def test_an_independent_integrator_agrees() -> None:
    """Eight plain lumps, regularised friction, one-sided rock, by LSODA; bit and hook traces over two waves."""
    from scipy.integrate import solve_ivp

    count, length = 8, 3000.0
    spring = STEEL * PIPE_AREA / length * count
    lump = pipe(length).mass / count
    masses = np.full(count + 1, lump)
    masses[[0, -1]] = lump / 2
    masses[0] += 30e3
    damping = 3e3

    def forces(time: float, state: FloatArray) -> tuple[FloatArray, float, float]:
        place, speed = state[: count + 1], state[count + 1 :]
        growth = (1 - math.cos(math.pi * min(time / 20, 1))) / 2
        slope = math.sin(math.pi * time / 20) * math.pi / 40 if time < 20 else 0.0
        omega = 2 * math.pi / 10
        heave = growth * math.sin(omega * (time - 20))
        rise = growth * omega * math.cos(omega * (time - 20)) + slope * math.sin(omega * (time - 20))
        travel, rate = heave - place[0], rise - speed[0]
        gas = 1500e3 * (76.2 / (76.2 - travel)) ** 1.2 - 1500e3
        unit = gas + 30e3 * math.tanh(rate / 2e-3) + 12.66e3 * rate * abs(rate)
        bit = max(150e3 - 50e6 * place[-1], 0.0)
        stretch = spring * np.diff(place) + damping * np.diff(speed)
        total = np.concatenate([stretch, [0.0]]) - np.concatenate([[0.0], stretch])
        total[0] += unit
        total[-1] += bit - 150e3
        return total / masses, unit, bit

    def rates(time: float, state: FloatArray) -> FloatArray:
        return np.concatenate([state[count + 1 :], forces(time, state)[0]])

    times = np.arange(20.02, 40.0, 0.02)
    found = solve_ivp(
        rates, (0.0, 40.0), np.zeros(2 * count + 2), "LSODA", times, rtol=1e-6, atol=1e-8, max_step=0.02
    )
    other = np.array([forces(t, s)[1:] for t, s in zip(times, found.y.T, strict=True)])
    model = string_model(pipe(length), 30e3, elements=count, modes=None)
    # dashpots along the springs damp a mode by its frequency squared
    squares = np.append(model.frequencies**2, 0.0)
    run = simulate_cases(
        replace(model, damping=np.diag(damping / spring * squares)),
        BENCH,
        regular_heave(1.0, 10.0, 19.98, lead=20.0),
    )
    rows = len(times)
    hook, bit = above_static(run)[:rows, 0], run.traces["bit_force"][:rows, 0]
    # a friction reversal may fall one step earlier or later, so nine samples in ten are held
    for mine, theirs in ((hook, other[:, 0]), (bit, other[:, 1])):
        assert np.quantile(np.abs(mine - theirs), 0.9) < 0.025 * swing(theirs)
        assert swing(mine) == pytest.approx(swing(theirs), rel=0.015)
    place = found.y[0]
    assert np.abs(run.traces["hook"][:rows, 0] - place).max() < 0.02 * swing(place)


@pytest.mark.parametrize(
    ("changes", "height"),
    [
        ({}, 1.0),
        ({"contact": "none", "wob": 0.0}, 1.0),
        ({"wob": 30e3}, 2.0),
        ({"half_stroke": 0.7}, 1.0),
        ({"gain": 0.9, "delay": 0.08, "active_force_limit": 40e3}, 1.0),
        ({"locked": True}, 0.3),
    ],
    ids=["bench", "free", "lifts off", "meets its ends", "active", "locked"],
)
def test_energy_adds_up(changes: dict[str, object], height: float) -> None:
    """Gas by its own law, string by its own state: what heave puts in is found again, within 1 %."""
    model = string_model(pipe(3000.0), 30e3, loss_factor=0.04)
    case = replace(BENCH, **changes)  # type: ignore[arg-type]
    # locked, the little that the string loses is all there is to measure the account by
    step = 0.01 if case.locked else 0.02
    energy = simulate_cases(model, case, regular_heave(height, 10.0, 200.0), step=step, account=True).energy
    assert energy is not None
    assert abs(energy.imbalance[0]) < 0.01
    for lost in (energy.friction, energy.loss, energy.stop, energy.string_lost):
        assert lost[0] >= -1e-6


# contact and ends --------------------------------------------------------------------------------


def test_bit_lifts_off_and_never_pulls() -> None:
    case = replace(BENCH, wob=30e3)
    run = simulate_cases(
        string_model(pipe(3000.0), 30e3, loss_factor=0.02), case, regular_heave(1.5, 10.0, 200.0)
    )
    force, bit = run.traces["bit_force"][:, 0], run.traces["bit"][:, 0]
    assert force.min() == 0.0
    assert 0.05 < run.summary.lift_off_share[0] < 0.6
    assert run.summary.lift_offs[0] >= 10
    assert bit[force == 0].max() > 0.01
    assert np.all(bit[force > 0] < 1e-3)
    # the mean is kept: what is not carried by the rock hangs on the hook, and the gas sees little of it
    assert force.mean() == pytest.approx(30e3, rel=0.5)


def test_ends_hold_and_make_the_unit_rigid() -> None:
    model, case = string_model(pipe(3000.0), 30e3, loss_factor=0.02), replace(BENCH, half_stroke=0.7)
    run = simulate_cases(model, case, regular_heave(1.0, 10.0, 200.0))
    stroke = run.traces["stroke"][:, 0]
    assert 0.7 < np.abs(stroke).max() < 0.75
    assert run.summary.stop_hits[0] >= 40
    assert swing(run.traces["bit_force"][:, 0]) > 1.2 * swing(bench().traces["bit_force"][:, 0])
    inside = np.abs(stroke) < 0.69
    assert np.all(run.traces["stop"][inside, 0] == 0.0)


def test_locked_unit_takes_the_whole_heave() -> None:
    run = simulate_cases(
        string_model(pipe(3000.0), 30e3, loss_factor=0.02),
        replace(BENCH, locked=True),
        regular_heave(0.3, 10.0, 100.0),
    )
    assert np.abs(run.traces["stroke"]).max() < 1e-3
    # k_string times heave, 234.6 kN/m, with κL/sin κL on top: lifts off, so look at the pushing side
    assert run.traces["bit_force"].max() - 150e3 > 0.9 * 234.6e3 * 0.3


def test_force_and_speed_limits_of_the_active_part() -> None:
    model = string_model(pipe(3000.0), 30e3, loss_factor=0.02)
    active = replace(BENCH, gain=0.95, delay=0.06, active_force_limit=25e3)
    heave = regular_heave(1.0, 10.0, 200.0)
    limited = simulate_cases(model, active, heave).traces
    assert np.abs(limited["active"]).max() == pytest.approx(25e3)
    free = simulate_cases(model, replace(active, active_force_limit=1e6), heave).traces
    passive = simulate_cases(model, BENCH, heave).traces
    hooks = [swing(traces["hook"][5000:, 0]) for traces in (free, limited, passive)]
    assert hooks[0] < hooks[1] < hooks[2]
    slow = simulate_cases(model, replace(active, active_velocity_limit=0.3), heave).traces
    quick = np.abs(slow["speed"][:-1, 0]) > 0.3 * 1.2
    assert quick.any()
    assert np.all(slow["active"][1:, 0][quick] == 0.0)


# events ------------------------------------------------------------------------------------------


def test_shutting_gas_keeps_the_load_and_stiffens_the_spring() -> None:
    """Shutting 60 % of the gas makes the spring 2.5 times as stiff."""
    model, case = stiff_bottom()
    heave = regular_heave(0.2, 10.0, 200.0)
    run = simulate_cases(model, case, heave, events=(Event("gas bank shut", 100.0, 0.6 * 7.62),))
    gas, time = run.traces["gas"][:, 0], run.time
    steps = np.abs(np.diff(gas))
    assert steps[np.abs(time[1:] - 100) < 1].max() < 3 * steps[time[1:] < 99].max()
    before, after = swing(gas[(time > 50) & (time < 100)]), swing(gas[time > 150])
    assert after / before == pytest.approx(2.5, rel=0.03)


def test_drilling_eats_stroke_and_feeding_gives_it_back() -> None:
    rate = 20 / 3600.0
    run = simulate_cases(
        string_model(pipe(3000.0), 30e3, loss_factor=0.02),
        BENCH,
        regular_heave(0.5, 10.0, 600.0),
        drilling_rate=rate,
        events=(Event("driller feeds off", 300.0),),
    )
    stroke, time = run.traces["stroke"][:, 0], run.time

    def mean(start: float) -> float:
        return float(stroke[(time >= start) & (time < start + 40)].mean())

    # the gas pulls more as it is compressed and stretches the string: k_s/(k_s + k_c) of the hole, and the
    # weight on bit sags by the series of both springs, 21.46 kN/m
    share = 234.6 / (234.6 + 23.622)
    assert mean(250.0) - mean(0.0) == pytest.approx(rate * 250 * share, rel=0.02)
    force = run.traces["bit_force"][:, 0]
    sag = force[time < 40].mean() - force[(time >= 250) & (time < 290)].mean()
    assert sag == pytest.approx(21.46e3 * rate * 250, rel=0.05)
    # what was drilled by 300 s is fed at 0.05 m/s; from then on only the last 100 s count
    assert mean(400.0) == pytest.approx(mean(100.0), abs=0.1)
    assert run.traces["bit"][-1, 0] == pytest.approx(-rate * 600, rel=0.02)


def test_locking_and_losing_during_the_run() -> None:
    model = string_model(pipe(3000.0), 30e3, loss_factor=0.02)
    case = replace(BENCH, gain=0.9, delay=0.06)
    heave = regular_heave(0.3, 10.0, 300.0)
    events = (Event("active unit lost", 100.0), Event("compensator locked", 200.0))
    run = simulate_cases(model, case, heave, events=events)
    time, stroke = run.time, run.traces["stroke"][:, 0]
    assert np.all(run.traces["active"][time > 100.2, 0] == 0.0)
    assert swing(stroke[time > 201]) < 2e-3
    force = run.traces["bit_force"][:, 0]
    assert swing(force[(time > 50) & (time < 100)]) < swing(force[(time > 150) & (time < 200)])
    assert swing(force[(time > 150) & (time < 200)]) < swing(force[time > 250])


# many cases, bad input ---------------------------------------------------------------------------


def test_a_case_in_a_batch_is_the_case_alone() -> None:
    model = string_model(pipe(3000.0), 30e3, loss_factor=0.02)
    frictions = np.array([10e3, 30e3, 60e3])
    heights = np.array([0.5, 1.0, 1.5])
    batch = simulate_cases(model, replace(BENCH, friction=frictions), regular_heave(heights, 10.0, 60.0))
    for number in range(3):
        alone = simulate_cases(
            model, replace(BENCH, friction=frictions[number]), regular_heave(heights[number], 10.0, 60.0)
        )
        for name, trace in alone.traces.items():
            tolerance = 1e-6 * max(float(np.abs(trace).max()), 1e-6)
            assert batch.traces[name][:, number] == pytest.approx(trace[:, 0], rel=1e-6, abs=tolerance), name


def test_summary_is_the_traces_summed_up() -> None:
    run = bench()
    for name in ("heave", "stroke", "bit_force", "hook"):
        trace = run.traces[name][:, 0]
        assert run.summary.highest[name][0] == trace.max()
        assert run.summary.lowest[name][0] == trace.min()
        assert run.summary.mean[name][0] == pytest.approx(trace.mean(), abs=1e-9 * np.abs(trace).max())
        assert run.summary.sigma[name][0] == pytest.approx(trace.std(), rel=1e-6)


def test_progress_and_cancel() -> None:
    model, heave = string_model(pipe(3000.0), 30e3), regular_heave(1.0, 10.0, 60.0)
    shares: list[float] = []
    simulate_cases(model, BENCH, heave, progress=shares.append)
    assert shares == sorted(shares)
    assert shares[-1] == 1.0
    with pytest.raises(SimulationCancelled):
        simulate_cases(model, BENCH, heave, cancel=lambda: True)


@pytest.mark.parametrize(
    "changes",
    [
        {"friction": -1.0},
        {"load": math.nan},
        {"contact": "sideways"},
        {"start": 4.0},
        {"drawworks": True},
        {"gas_length": 0.0},
    ],
)
def test_impossible_cases_are_refused(changes: dict[str, object]) -> None:
    with pytest.raises(InputError):
        replace(BENCH, **changes)  # type: ignore[arg-type]


def test_impossible_runs_are_refused() -> None:
    model, heave = string_model(pipe(3000.0), 30e3), regular_heave(1.0, 10.0, 60.0)
    with pytest.raises(InputError, match="time step"):
        simulate_cases(model, BENCH, heave, step=0.03)
    with pytest.raises(InputError, match="time of the event"):
        simulate_cases(model, BENCH, heave, events=(Event("compensator locked", 61.0),))
    with pytest.raises(InputError, match="rate of penetration"):
        simulate_cases(model, BENCH, heave, drilling_rate=-1.0)
    with pytest.raises(InputError, match="gas volume shut"):
        simulate_cases(model, BENCH, heave, events=(Event("gas bank shut", 1.0, 7.6),))
    with pytest.raises(InputError, match="number of values"):
        simulate_cases(model, replace(BENCH, friction=np.array([1e3, 2e3])), heave)
    for kind, time, amount in (
        ("dinner", 0.0, None),
        ("compensator locked", -1.0, None),
        ("gas bank shut", 1.0, None),
    ):
        with pytest.raises(InputError):
            Event(kind, time, amount)
    for wrong in ({"elements": 1}, {"modes": 0}, {"loss_factor": 0.6}):
        with pytest.raises(InputError):
            string_model(pipe(3000.0), 30e3, **wrong)  # type: ignore[arg-type]
    with pytest.raises(InputError):
        string_model(pipe(3000.0), -1.0)
