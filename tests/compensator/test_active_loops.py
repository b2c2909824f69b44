"""Both loops of an active part in closed form: what each leaves of motion and of force, and what it must give."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from linear_answer import linear_response
from transfer_functions import transfer_functions

from heave.compensator import (
    ActiveAssisted,
    Compensator,
    active_residual,
    linear_system,
    plan_setting,
)
from heave.drill_string import rod_dynamics
from heave.errors import InputError

OMEGA = 2 * math.pi / np.array([5.0, 8.0, 10.0, 14.0])
ACTIVE = {"kind": "active-assisted", "active_gain": 1.0, "active_delay": 0.1}


def responses(unit: Compensator, string: Any, condition: str, **options: Any) -> Any:
    system = linear_system(unit, string, plan_setting(unit, 1.5e6, 0.0), OMEGA, condition, **options)
    return transfer_functions(system, 5e4)


@pytest.mark.parametrize(("gain", "delay"), [(1.0, 0.1), (0.9, 0.2), (1.1, 0.05), (0.0, 0.1)])
def test_gain_and_delay_leave_the_closed_form(gain: float, delay: float) -> None:
    """√(1 + G² − 2G cos ωτ), the law of cosines for a sine less its delayed share."""
    wanted = np.sqrt(1 + gain**2 - 2 * gain * np.cos(OMEGA * delay))
    assert np.abs(active_residual(OMEGA, gain, delay)) == pytest.approx(wanted, rel=1e-12, abs=1e-12)


def test_lag_and_slow_loop_are_of_first_order() -> None:
    """At its bandwidth a lag passes 1/√2, 45° late; at its own period the slow loop passes as much, 45° early."""
    lag = 1 - active_residual(2 * math.pi * 0.2, 1.0, 0.0, bandwidth=0.2)
    slow = 1 - active_residual(2 * math.pi / 60.0, 1.0, 0.0, centring=60.0)
    assert abs(lag) == pytest.approx(1 / math.sqrt(2), rel=1e-12)
    assert np.angle(lag) == pytest.approx(-math.pi / 4, rel=1e-12)
    assert abs(slow) == pytest.approx(1 / math.sqrt(2), rel=1e-12)
    assert np.angle(slow) == pytest.approx(math.pi / 4, rel=1e-12)
    # travel of an hour is all left to the hook, of what is far quicker than the loop nothing
    assert abs(active_residual(2 * math.pi / 3600, 1.0, 0.0, centring=60.0)) > 0.99
    assert abs(active_residual(2 * math.pi / 0.6, 1.0, 0.0, centring=60.0)) < 0.011


def test_a_metre_at_ten_seconds_leaves_63_mm_off_bottom_and_the_strings_force_of_it_on_bottom(
    device: Any, string: Any
) -> None:
    """2 sin(ωτ/2) at full gain; a short string is a plain spring, EA/L of 0.0628 m, whatever friction and gas."""
    unit = device(**ACTIVE, active_loop="position", active_bandwidth=None)
    at_ten = int(np.argmin(np.abs(OMEGA - 2 * math.pi / 10)))
    off = responses(unit, string(500.0), "free")
    assert abs(off.hook[at_ten]) == pytest.approx(0.0628, abs=5e-5)
    on = responses(unit, string(500.0), "on bottom")
    stiffness = string(500.0).stiffness
    assert abs(on.bit_force[at_ten]) == pytest.approx(0.0628 * stiffness, rel=0.005)
    locked = responses(unit, string(500.0), "locked on bottom")
    left = np.abs(active_residual(OMEGA, 1.0, 0.1))
    assert np.abs(on.bit_force) == pytest.approx(left * np.abs(locked.bit_force), rel=1e-12)
    # a force-following unit leaves as large a share of the gas's far smaller force
    follows = responses(device(**ACTIVE), string(500.0), "on bottom")
    assert abs(follows.bit_force[at_ten]) < 0.1 * abs(on.bit_force[at_ten])


@pytest.mark.parametrize("condition", ["on bottom", "free"])
def test_forces_on_a_driven_hook_balance(device: Any, string: Any, condition: str) -> None:
    """Gas + active − string's pull = −ω² m Y."""
    unit = device(**ACTIVE, active_loop="position", active_bandwidth=1.0, active_centring=200.0)
    setting, found = plan_setting(unit, 1.5e6, 0.0), responses(unit, string(), condition)
    rod = rod_dynamics(string(), OMEGA, 0.02)
    pull = (rod.top_stiffness_fixed if condition == "on bottom" else rod.top_stiffness_free) * found.hook
    balance = setting.stiffness_nominal * found.stroke + found.active_force - pull
    assert balance == pytest.approx(-(OMEGA**2) * 30e3 * found.hook, rel=1e-9)
    assert found.hook == pytest.approx(active_residual(OMEGA, 1.0, 0.1, 1.0, 200.0), rel=1e-12)


def test_the_loop_that_holds_mid_stroke_counts_for_position_alone(device: Any, string: Any) -> None:
    plain, held = (
        responses(device(**ACTIVE, **more), string(), "free") for more in ({}, {"active_centring": 60.0})
    )
    assert held.hook == pytest.approx(plain.hook, rel=1e-12)
    lagged = responses(device(**ACTIVE, active_bandwidth=0.5), string(), "on bottom")
    assert np.all(
        np.abs(lagged.bit_force) > np.abs(responses(device(**ACTIVE), string(), "on bottom").bit_force)
    )


def test_lost_it_is_the_passive_unit(device: Any, string: Any) -> None:
    lost = responses(device(**ACTIVE, active_loop="position"), string(), "on bottom", active=False)
    passive = responses(device(), string(), "on bottom")
    assert lost.hook == pytest.approx(passive.hook, rel=1e-12)
    assert np.all(lost.active_force == 0)


def test_moments_are_those_of_the_transfer_functions(device: Any, string: Any) -> None:
    unit = device(**ACTIVE, active_loop="position", active_bandwidth=2.0)
    omega, spectrum = np.linspace(0.3, 1.4, 300), np.ones(300)
    weights = np.full(300, 1.1 / 299)
    setting = plan_setting(unit, 1.5e6, 0.0)
    found = linear_response(unit, string(), setting, omega, weights, spectrum, "on bottom")
    one = found.transfer()
    for name in ("hook", "stroke", "bit_force", "active_force", "compensator_force"):
        size = float(np.sum(np.abs(getattr(one, name)) ** 2 * weights))
        assert getattr(found, f"{name}_m0")[0] == pytest.approx(size, rel=1e-9), name
    assert not found.stuck[0]


def test_what_a_unit_may_be_told(device: Any, drawworks: Any) -> None:
    assert device(**ACTIVE).active_loop == "force"
    assert drawworks().active_loop == "position"
    assert drawworks().follows_position
    assert isinstance(device(**ACTIVE, active_loop="position"), ActiveAssisted)
    for wrong in (
        {"active_loop": "speed"},
        {"active_bandwidth": 0.01},
        {"active_centring": 5.0},
        {"active_power_limit": -1.0},
    ):
        with pytest.raises(InputError):
            device(**ACTIVE, **wrong)
    for wrong in ({"active_loop": "position"}, {"active_bandwidth": 1.0}):
        with pytest.raises(InputError, match="empty for a compensator of kind 'in-line'"):
            device(**wrong)
