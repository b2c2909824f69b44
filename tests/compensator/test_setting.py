"""What to set: pressures, loads at the ends, and when there is nothing to set."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from heave.compensator import load_curve, plan_setting
from heave.compensator.gas_spring import ATMOSPHERE
from heave.errors import InputError


def test_ends_of_stroke_by_hand(device: Any) -> None:
    setting = plan_setting(device(), 1.65e6, 0.15e6)
    absolute = 15e6 + ATMOSPHERE
    assert setting.load == 1.5e6
    assert setting.pressure == pytest.approx(15e6)
    assert setting.load_top == pytest.approx((absolute * 0.95**-1.2 - ATMOSPHERE) * 0.1, rel=1e-12)
    assert setting.load_bottom == pytest.approx((absolute * 1.05**-1.2 - ATMOSPHERE) * 0.1, rel=1e-12)
    assert setting.pressure_max == pytest.approx(absolute * 0.95**-1.6 - ATMOSPHERE, rel=1e-12)


def test_a_higher_index_is_stiffer_and_quicker(device: Any) -> None:
    setting = plan_setting(device(), 1.5e6, 0.0)
    assert setting.stiffness_low < setting.stiffness_nominal < setting.stiffness_high
    assert setting.free_period_low > setting.free_period_nominal > setting.free_period_high
    assert setting.free_period_nominal == pytest.approx(15.99 / math.sqrt(1 + ATMOSPHERE / 15e6), abs=0.005)


def test_weight_on_bit_lowers_the_pressure_by_its_share(device: Any) -> None:
    unit = device()
    off, on = plan_setting(unit, 1.5e6, 0.0), plan_setting(unit, 1.5e6, 0.2e6)
    assert off.pressure - on.pressure == pytest.approx(0.2e6 / 0.1)
    assert on.friction_force == pytest.approx(0.02 * 1.3e6)


@pytest.mark.parametrize(
    ("load", "wob", "what"),
    [
        (0.0, 0.0, "suspended load"),
        (math.nan, 0.0, "suspended load"),
        (1e6, -1.0, "Weight on bit"),
        (1e6, math.inf, "Weight on bit"),
        (1e6, 1e6, "weight on bit"),
        (1e6, 1.2e6, "weight on bit"),
    ],
)
def test_impossible_loads_are_refused_by_name(device: Any, load: float, wob: float, what: str) -> None:
    assert plan_setting(device(), 1e6, 0.999e6).load == pytest.approx(1e3)
    with pytest.raises(InputError, match=what):
        plan_setting(device(), load, wob)


def test_a_drawworks_has_nothing_to_set(drawworks: Any) -> None:
    setting = plan_setting(drawworks(), 2e6, 0.1e6)
    assert setting.load == 1.9e6
    assert setting.friction_force == 0.0
    assert setting.pressure is None
    assert setting.stiffness_nominal is None
    assert setting.free_period_high is None
    assert setting.pressure_max is None
    assert setting.temperature_note == ""
    with pytest.raises(InputError, match="kind of compensator"):
        load_curve(drawworks(), setting)


def test_load_curve_runs_from_end_to_end_with_friction_either_side(device: Any) -> None:
    unit = device()
    setting = plan_setting(unit, 1.65e6, 0.15e6)
    curve = load_curve(unit, setting)
    assert (curve.x[0], curve.x[50], curve.x[-1]) == pytest.approx((-3.81, 0.0, 3.81))
    assert curve.rising - curve.falling == pytest.approx(np.full(101, 2 * 30e3))
    middle = (curve.rising + curve.falling) / 2
    assert middle[[0, 50, 100]] == pytest.approx([setting.load_bottom, 1.5e6, setting.load_top])


def test_the_pressure_is_set_where_the_piston_is(device: Any) -> None:
    """By hand: 76.2 m of gas at mid-stroke, 74.7 m with the piston 1.5 m up, 80.01 and 72.39 m at the ends."""
    setting = plan_setting(device(), 1.65e6, 0.15e6, 1.5)
    absolute = 15e6 + ATMOSPHERE
    assert setting.pressure == pytest.approx(15e6)
    assert setting.pressure_mid_stroke == pytest.approx(
        absolute * (74.7 / 76.2) ** 1.2 - ATMOSPHERE, rel=1e-12
    )
    assert setting.load_top == pytest.approx((absolute * (74.7 / 72.39) ** 1.2 - ATMOSPHERE) * 0.1, rel=1e-12)
    assert setting.load_bottom == pytest.approx(
        (absolute * (74.7 / 80.01) ** 1.2 - ATMOSPHERE) * 0.1, rel=1e-12
    )
    assert setting.stiffness_nominal == pytest.approx(1.2 * absolute * 0.1 / 74.7, rel=1e-12)
    curve = load_curve(device(), setting)
    middle = (curve.rising + curve.falling)[50] / 2
    assert middle == pytest.approx(setting.pressure_mid_stroke * 0.1, rel=1e-12)


def test_no_pressure_is_set_past_the_end_of_the_stroke(device: Any) -> None:
    assert plan_setting(device(), 1.5e6, 0.0, 3.81).start == 3.81
    for start in (3.82, -3.82, math.nan):
        with pytest.raises(InputError, match="where the load is set"):
            plan_setting(device(), 1.5e6, 0.0, start)
