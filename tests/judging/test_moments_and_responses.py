"""The figures of a locked unit by a rod's own formulas, which cycle is taken, and what an assessment shows of a sea."""

from __future__ import annotations

import cmath
import math
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from test_small_parts import plan_of, sea

import heave
from heave.drill_string import DrillString, Section
from heave.judging.cases import Case
from heave.judging.demands import demands
from heave.judging.moments import Moments, _columns, _depends_on, _Held, carried_load, setting_of, static_load
from heave.judging.results import Assessment, responses_of, string_period
from heave.planning.ranges import CLOSED
from heave.sea import OMEGA, WEIGHTS

G = 9.80665
ROD = DrillString((Section("rod", 3000.0, 0.127, 0.1086, 33.6, 9.3e8),), mud_density=1200.0)
STIFFNESS = 206.8e9 * math.pi / 4 * (0.127**2 - 0.1086**2)


@pytest.mark.parametrize("free", [True, False])
@pytest.mark.parametrize("place", [120, 200, 240])
def test_a_locked_unit_feels_the_rod_and_the_mass_on_it(free: bool, place: int) -> None:
    """E A κ cot κL held, −E A κ tan κL free, less ω² m; what goes on to the bit E A κ / sin κL, or 1 / cos κL."""
    mass, loss, omega = 40e3, 0.02, OMEGA[place]
    columns = _columns(_Held(ROD, mass, free, loss), 100, 260, "d")
    assert columns.shape == (160, 9)
    modulus = STIFFNESS * (1 + 1j * loss)
    wave = omega * cmath.sqrt(33.6 / modulus)
    turn, pull = wave * 3000.0, modulus * wave
    top = -pull * cmath.tan(turn) if free else pull / cmath.tan(turn)
    far = 1 / cmath.cos(turn) if free else pull / cmath.sin(turn)
    width = WEIGHTS[place]
    expected = [omega**order * width for order in (0, 2, 4, 6)]
    expected += [abs(top - omega**2 * mass) ** 2 * omega**order * width for order in (0, 2)]
    expected += [abs(far) ** 2 * omega**order * width for order in (0, 2, 4)]
    np.testing.assert_allclose(columns[place - 100], expected, rtol=1e-9)


def test_what_is_carried_and_what_is_set() -> None:
    """Hookload and moving parts; latched with the overpull on top, and without it where nothing is latched."""
    plan = plan_of(hookload_entered=None)
    carried = plan.hookload + 6e3 * G
    assert (carried_load(plan), static_load(plan)) == pytest.approx((carried, carried))
    latched = plan_of("fixed")
    assert static_load(latched) == pytest.approx(carried_load(latched) + 150e3)
    setting = setting_of(plan)
    assert setting.load == pytest.approx(carried - 150e3)
    assert setting.start == plan.set_at


def test_cases_share_what_they_agree_in() -> None:
    """Heave's factor: calibration with its margin, range of response and height; a locked unit has no model."""
    plan = plan_of(heave_calibration=0.9, calibration_margin=0.1)
    held, factor, working = _depends_on(Case(plan, 1.1, 1.2))
    assert factor == pytest.approx(0.9 * 1.1 * 1.1 * 1.2)
    assert (held.mass, held.free) == (plan.moving_mass + plan.string.handling_mass, False)
    assert working is not None
    assert (working.heave, working.active, working.driven) == (factor, True, False)
    assert _depends_on(Case(plan_of("landing")))[0].free
    assert _depends_on(Case(plan_of("waiting")))[2] is None
    follows = plan_of(unit="active")
    driven = follows.changed(compensator=replace(follows.compensator, active_loop="position"))
    for one, expected in ((driven, True), (driven.changed(active=False), False), (follows, False)):
        found = _depends_on(Case(one))[2]
        assert found is not None
        assert found.driven == expected


def test_of_two_cycles_the_one_with_the_higher_level_counts_sea_by_sea() -> None:
    plan: Any = SimpleNamespace(exposure=10800.0, risk=0.01)
    working = np.array([[[1.0, 4.0], [1.0, 4.0]], [[2.0, 3.0], [2.0, 3.0]]])
    found = Moments(np.array([[1.0, 2.0], [0.5, 0.25]]), 4.0, working)
    made = found.of_working(0, plan)
    assert made is not None
    np.testing.assert_allclose(made.sigma, [math.sqrt(2.0), 2.0])
    assert found.of_working(0, plan) is made
    still = found.of_still(0, plan)
    np.testing.assert_allclose(still.sigma, [2.0, math.sqrt(8.0)])
    np.testing.assert_allclose(still.period, 2 * math.pi * np.sqrt([1 / 0.5, 2 / 0.25]))
    assert found.of_still(0, SimpleNamespace(exposure=10800.0, risk=0.02)) is not still  # type: ignore[arg-type]
    assert Moments(np.ones((9, 1))).of_working(0, plan) is None


def test_a_response_per_wave_is_shown_where_there_are_waves() -> None:
    """0.6 of the plain vessel where the sea has a millionth of its highest density, and nothing elsewhere."""
    plan = plan_of(sea=sea((2.0, 9.0), (1.0, 15.0)), ranges=CLOSED)
    found = responses_of(demands(plan, plan.sea.batch(), keep_spectrum=True))
    density = plan.sea.spectrum()
    shown = density > 1e-6 * density.max()
    assert np.isnan(found.transfer).tolist() == (~shown).tolist()
    np.testing.assert_allclose(found.transfer[shown], 0.6, rtol=1e-4)
    np.testing.assert_allclose(found.sea_spectrum, density)
    assert found.relative_headings == (190.0, 190.0)
    assert float(found.heave.sigma) == pytest.approx(0.6 * math.sqrt(5.0) / 4, rel=1e-3)


def test_longest_period_of_the_string_on_bottom() -> None:
    """The hook's mass and the gas on a rod held below: (k − ω² m) + E A κ cot κL = 0, by halving."""
    plan = plan_of(string=replace(ROD, handling_mass=20e3))
    gas = plan.compensator.spring(plan.hookload).stiffness
    mass = plan.moving_mass + 20e3

    def left(omega: float) -> float:
        wave = omega * math.sqrt(33.6 / STIFFNESS)
        return gas - omega**2 * mass + STIFFNESS * wave / math.tan(wave * 3000.0)

    low, high = 1e-3, math.pi / 3000.0 / math.sqrt(33.6 / STIFFNESS) * (1 - 1e-9)
    for _ in range(100):
        middle = (low + high) / 2
        low, high = (middle, high) if left(middle) > 0 else (low, middle)
    assert string_period(plan) == pytest.approx(2 * math.pi / low, rel=1e-6)


def test_checks_most_used_first_and_those_not_assessed_last() -> None:
    checks = tuple(
        SimpleNamespace(utilisation=used, name=name, key=name.lower())
        for used, name in ((0.2, "B"), (math.nan, "N"), (0.9, "C"), (0.2, "A"), (math.inf, "I"))
    )
    result: Any = SimpleNamespace(checks=checks)
    prop: Any = Assessment.by_utilisation
    assert [one.name for one in prop.fget(result)] == ["I", "C", "A", "B", "N"]
    assert Assessment.check(result, "c").name == "C"
    with pytest.raises(KeyError):
        Assessment.check(result, "x")
    assert heave.assess(plan_of(ranges=CLOSED)).by_utilisation[0].utilisation > 0
