"""Planning against figures worked from published formulas."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest

import heave
from heave.planning import StaticOffsets
from heave.sea import level_exceeded, most_probable_maximum, upcrossing_rate


@pytest.mark.parametrize(("off_centre", "per_hour"), [(0.0, 0.25), (1.0, 6.9)])
def test_stroke_out_rate_of_a_25_ft_stroke(off_centre: float, per_hour: float) -> None:
    """Rice's up-crossing rate ν = (1/Tz) exp(−x²/2σ²): S 7.62 m, Tz 10 s, significant heave 4 m double."""
    sigma, period = 1.0, 10.0
    rate = upcrossing_rate(
        7.62 / 2 - off_centre, np.array([sigma**2]), np.array([(sigma * 2 * math.pi / period) ** 2])
    )
    assert 3600 * rate[0] == pytest.approx(per_hour, abs=0.05 if off_centre else 0.005)


def test_set_down_of_an_offset_of_3_percent_in_1500_m() -> None:
    """Δ²/(2L), small angles: 45 m of offset in 1500 m is 0.675 m."""
    assert StaticOffsets(vessel_offset=45.0).set_down(1500.0) == pytest.approx(0.675, abs=1e-9)


def test_drill_off_of_20_m_per_hour_uses_half_a_25_ft_stroke_in_11_minutes() -> None:
    """Rate × time: 20 m/h over 11.43 min is 3.81 m."""
    offsets = StaticOffsets(penetration_rate=20 / 3600, feed_interval=11.43 * 60)
    assert offsets.drilled == pytest.approx(3.81, abs=0.005)
    assert offsets.sides(None, True) == pytest.approx((3.81, 0.0), abs=0.005)
    assert offsets.sides(None, False) == (0.0, 0.0)


def test_extreme_used_is_the_level_exceeded_once_in_a_hundred_exposures() -> None:
    """√(2 ln(N/−ln(1−p))) σ (narrow-band Gaussian, Rayleigh peaks), against the figure in the working."""
    plan = heave.demo_plan()
    heave_level = heave.assess(plan).responses.heave
    factor = math.sqrt(2 * math.log(heave_level.cycles / -math.log(1 - plan.risk)))
    assert heave_level.level == pytest.approx(factor * heave_level.sigma, rel=1e-9)
    assert heave_level.cycles == pytest.approx(plan.exposure / heave_level.period, rel=1e-9)


def test_most_probable_maximum_is_exceeded_in_63_percent_of_exposures() -> None:
    """At the most probable maximum of N cycles the chance of exceeding is 1 − 1/e (Rayleigh peaks)."""
    one, cycles = np.array([1.0]), np.array([1080.0])
    np.testing.assert_allclose(
        level_exceeded(one, cycles, 1 - math.exp(-1)), most_probable_maximum(one, cycles), rtol=1e-12
    )


def test_set_pressure_of_the_oilfield_example() -> None:
    """(290 − 35) klbf on 155 in² is 1,645 psi, ± 2 % friction is ± 33 psi and about 5 klbf of WOB (arithmetic)."""
    from heave.units import from_si, to_si

    plan = heave.demo_plan()
    unit = dataclasses.replace(
        plan.compensator,
        effective_area=to_si(155.0, "in²"),
        moving_mass=0.0,
        friction_fraction=0.02,
    )
    setting = heave.assess(
        plan.changed(
            compensator=unit,
            hookload_entered=to_si(290.0, "klbf"),
            wob=to_si(35.0, "klbf"),
            operation=heave.Operation(),
        )
    ).setting
    assert from_si(setting.pressure, "psi") == pytest.approx(1645, abs=0.5)
    assert from_si(setting.pressure_high - setting.pressure, "psi") == pytest.approx(33, abs=0.5)
    assert from_si(setting.friction_force, "klbf") == pytest.approx(5.1, abs=0.05)


def test_the_usual_approximation_of_the_level_is_a_little_high() -> None:
    """√(2 ln(N/α)) for N 1000 and α 0.1 is 4.292; the exact level has −ln(1 − α) for α and is 4.280."""
    approximate = math.sqrt(2 * math.log(1000 / 0.1))
    exact = float(level_exceeded(np.array([1.0]), np.array([1000.0]), 0.1)[0])
    assert approximate == pytest.approx(4.292, abs=5e-4)
    assert exact == pytest.approx(4.280, abs=5e-4)


def test_compensating_2000_kn_over_2_m_at_10_s_peaks_at_2_51_mw() -> None:
    """Power = force × speed: F ω a with 2000 kN, 2 m and 10 s is 2.51 MW."""
    from heave.judging.demands import demands
    from heave.judging.rules.drawworks import power

    unit = heave.files.rigs.demo_compensators()["Demo compensating drawworks"]
    plan = heave.demo_plan().changed(
        compensator=unit, hookload_entered=2e6, operation=heave.Operation(kind="waiting"), hoisting=None
    )
    found = demands(plan, plan.sea.batch())
    speed = 2.0 * 2 * math.pi / 10.0
    swinging = dataclasses.replace(found.moments, scale=float(speed / found.velocity.level[0]) ** 2)
    demand = power.work(dataclasses.replace(found, moments=swinging)).demand
    assert demand[0] == pytest.approx(2.51e6, abs=0.005e6)
