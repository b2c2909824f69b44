"""Equation of motion of compensator, hook and string: balances, limits, and time stepping of one sine."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
from scipy.integrate import solve_ivp
from transfer_functions import transfer_functions

from heave.compensator import (
    CONDITIONS,
    LinearSystem,
    active_residual,
    linear_system,
    plan_setting,
)
from heave.drill_string import rod_dynamics
from heave.errors import InputError

OMEGA = 2 * math.pi / np.array([4.5, 6.0, 8.0, 10.0, 14.0, 25.0])
DAMPING = 60e3


def built(unit: Any, string: Any, condition: str, **options: Any) -> LinearSystem:
    return linear_system(unit, string, plan_setting(unit, 1.5e6, 0.0), OMEGA, condition, **options)


@pytest.mark.parametrize("condition", CONDITIONS)
def test_forces_on_the_hook_balance(device: Any, string: Any, condition: str) -> None:
    """Compensator force − string's pull = −ω² m Y, and X = Z − Y."""
    system = built(device(), string(), condition)
    found = transfer_functions(system, DAMPING)
    rod = rod_dynamics(string(), OMEGA, 0.02)
    pull = (rod.top_stiffness_fixed if system.on_bottom else rod.top_stiffness_free) * found.hook
    assert found.compensator_force - pull == pytest.approx(-(OMEGA**2) * 30e3 * found.hook, rel=1e-9)
    assert found.stroke + found.hook == pytest.approx(np.ones(OMEGA.size), rel=1e-12)
    if system.on_bottom:
        assert found.bit_motion is None
        assert found.bit_force == pytest.approx(rod.bit_force_per_top * found.hook, rel=1e-9)
    else:
        assert found.bit_force is None
        assert found.bit_motion == pytest.approx(rod.bit_motion_per_top_free * found.hook, rel=1e-9)


@pytest.mark.parametrize("condition", ["on bottom", "free"])
def test_power_in_is_power_lost(device: Any, string: Any, condition: str) -> None:
    """½ Re(F (iωZ)*) put in by the vessel is ½ c ω²|X|² lost in the damper; the string loses none."""
    system = built(device(), string(), condition, loss_factor=0.0)
    found = transfer_functions(system, DAMPING)
    power_in = 0.5 * np.real(found.compensator_force * np.conj(1j * OMEGA))
    assert power_in == pytest.approx(0.5 * DAMPING * OMEGA**2 * np.abs(found.stroke) ** 2, rel=1e-9)


@pytest.mark.parametrize("condition", ["on bottom", "free"])
def test_endless_damping_is_a_locked_unit(device: Any, string: Any, condition: str) -> None:
    stiff = transfer_functions(built(device(), string(), condition), math.inf)
    locked = transfer_functions(built(device(), string(), f"locked {condition}"), 0.0)
    near = transfer_functions(built(device(), string(), condition), 1e13)
    for name in ("stroke", "hook", "compensator_force", "bit_force", "bit_motion"):
        if getattr(locked, name) is not None:
            assert getattr(stiff, name) == pytest.approx(getattr(locked, name), rel=1e-12)
            assert getattr(near, name) == pytest.approx(getattr(locked, name), rel=1e-4, abs=1e-4)


def test_slow_heave_on_bottom_sees_springs_in_series(device: Any, string: Any) -> None:
    unit, pipe = device(), string()
    setting = plan_setting(unit, 1.5e6, 0.0)
    system = linear_system(unit, pipe, setting, 1e-3, "on bottom", loss_factor=0.0)
    found = transfer_functions(system, 0.0)
    series = 1 / (1 / setting.stiffness_nominal + 1 / pipe.stiffness)
    assert abs(found.bit_force[0]) == pytest.approx(series, rel=1e-4)
    assert abs(found.hook[0]) == pytest.approx(series / pipe.stiffness, rel=1e-4)


def test_active_part_softens_the_unit_and_its_loss_gives_the_passive_unit_back(
    device: Any, string: Any
) -> None:
    unit = device(kind="active-assisted", active_gain=0.9, active_delay=0.0)
    helped, lost, passive = (
        transfer_functions(built(u, string(), "on bottom", active=on), 0.0)
        for u, on in ((unit, True), (unit, False), (device(), True))
    )
    assert np.abs(lost.bit_force) == pytest.approx(np.abs(passive.bit_force), rel=1e-12)
    assert np.all(np.abs(helped.bit_force) < 0.15 * np.abs(passive.bit_force))
    assert np.all(passive.active_force == 0)
    # the active force is the gain's share of the passive force variation
    spring = built(unit, string(), "on bottom").spring
    assert helped.active_force == pytest.approx(0.9 * spring * helped.stroke, rel=1e-12)


def test_drawworks_residual_and_lost_power(drawworks: Any, string: Any) -> None:
    unit = drawworks()
    on = transfer_functions(built(unit, string(), "free"), 0.0)
    off = transfer_functions(built(unit, string(), "free", active=False), 0.0)
    assert on.hook == pytest.approx(active_residual(OMEGA, 0.97, 0.1), rel=1e-12)
    assert off.hook == pytest.approx(np.ones(OMEGA.size), rel=1e-12)
    assert np.abs(on.stroke) == pytest.approx(np.full(OMEGA.size, 0.97), rel=1e-12)


def test_what_cannot_be_asked(device: Any, string: Any) -> None:
    with pytest.raises(InputError, match="condition"):
        built(device(), string(), "hanging")
    setting = plan_setting(device(), 1.5e6, 0.0)
    for omega in (0.0, -1.0, math.nan):
        with pytest.raises(InputError, match="angular frequency"):
            linear_system(device(), string(), setting, omega, "free")
    for damping in (-1.0, math.nan):
        with pytest.raises(InputError, match="damping"):
            transfer_functions(built(device(), string(), "free"), damping)


def stepped(
    system: LinearSystem, pipe: Any, hook_mass: float, period: float, fixed: bool
) -> tuple[complex, complex]:
    """Hook motion and bit force (or motion) per heave by stepping a chain of masses through time.

    Independent of the transfer functions: heave grows slowly to 1 m, then the last cycles are
    fitted by least squares with sine and cosine.
    """
    pieces = 16
    section = pipe.sections[0]
    spring = pieces * section.youngs_modulus * section.area / section.length
    mass = np.full(pieces + 1, section.mass / pieces)
    mass[0] = section.mass / pieces / 2 + hook_mass
    mass[-1] /= 2
    omega = 2 * math.pi / period

    def rates(t: float, state: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
        place, speed = np.split(state, 2)
        grown = 1 - math.exp(-((t / (4 * period)) ** 2))
        slope = (1 - grown) * 2 * t / (4 * period) ** 2
        heave = grown * math.cos(omega * t)
        heave_rate = slope * math.cos(omega * t) - grown * omega * math.sin(omega * t)
        stretch = spring * np.diff(place)
        force = np.zeros(pieces + 1)
        force[:-1] += stretch
        force[1:] -= stretch
        force[0] += system.spring * (heave - place[0]) + DAMPING * (heave_rate - speed[0])
        change = force / mass
        if fixed:
            change[-1] = 0.0
        return np.concatenate([speed, change])

    end = 26 * period
    times = np.linspace(end - 6 * period, end, 600)
    done = solve_ivp(rates, (0, end), np.zeros(2 * pieces + 2), t_eval=times, rtol=1e-7, atol=1e-9)
    basis = np.stack([np.cos(omega * times), -np.sin(omega * times)], axis=1)
    place = done.y[: pieces + 1]
    bit = spring * (place[-2] - place[-1]) if fixed else place[-1]
    fits = [np.linalg.lstsq(basis, series, rcond=None)[0] for series in (place[0], bit)]
    return complex(*fits[0]), complex(*fits[1])


@pytest.mark.parametrize(("condition", "period"), [("on bottom", 6.0), ("on bottom", 10.0), ("free", 9.0)])
def test_one_sine_stepped_through_time(device: Any, string: Any, condition: str, period: float) -> None:
    unit, pipe = device(), string()
    setting = plan_setting(unit, 1.5e6, 0.0)
    system = linear_system(unit, pipe, setting, 2 * math.pi / period, condition, loss_factor=0.0)
    found = transfer_functions(system, DAMPING)
    hook, bit = stepped(system, pipe, 30e3, period, fixed=system.on_bottom)
    expected = found.bit_force if system.on_bottom else found.bit_motion
    # 16 pieces put the string's own frequencies 0.04 % low
    assert abs(found.hook[0] - hook) < 0.004 * abs(hook)
    assert abs(expected[0] - bit) < 0.004 * abs(bit)
