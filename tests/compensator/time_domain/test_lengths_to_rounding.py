"""How many samples a heave has: a length that is whole but for rounding is whole, and one that is not gets one more."""

from __future__ import annotations

import math

import numpy as np
import pytest

from heave.compensator.time_domain import irregular_heave, regular_heave, simulate_cases, string_model
from heave.compensator.time_domain.case import SimulationCase
from heave.compensator.time_domain.heave_motion import HeaveMotion, grown, sampled_heave
from heave.drill_string import DrillString, Section
from heave.errors import InputError
from heave.sea import OMEGA, jonswap

ROD = DrillString((Section("rod", 3000.0, 0.127, 0.1086, 33.6, 9.3e8),), mud_density=1200.0)


@pytest.mark.parametrize(
    ("duration", "samples"), [(1.0, 611), (1.1, 612), (2.3, 624), (6.7, 668), (1.1001, 613), (100.0, 1601)]
)
def test_tenths_of_a_second_and_a_minute_before(duration: float, samples: int) -> None:
    found = regular_heave(1.5, 8.0, duration, phase=0.4)
    assert len(found.position) == samples
    assert found.duration >= duration - 1e-9
    assert (found.step, found.lead, found.cases) == (0.1, 60.0, 1)
    time = np.arange(samples) * 0.1 - 60.0
    late = time >= 0
    np.testing.assert_allclose(
        found.position[late, 0], 1.5 * np.sin(math.pi / 4 * time[late] + 0.4), atol=1e-9
    )
    drawn = irregular_heave(OMEGA, jonswap(OMEGA, 2.0, 9.0), duration, (1, 2))
    assert drawn.position.shape == (samples, 2)


def test_it_grows_from_nothing_along_half_a_cosine() -> None:
    """An eighth of the way (1 − cos π/8)/2; speed as the difference of the places, from rest to the motion's own."""
    steady = np.ones((101, 1))
    found = grown(steady, 0.0 * steady, 0.1, 8.0)
    assert found.position[10, 0] == pytest.approx((1 - math.cos(math.pi / 8)) / 2)
    assert found.velocity[40, 0] == pytest.approx(math.pi / 16)
    np.testing.assert_allclose(found.position[80:], 1.0)
    np.testing.assert_allclose(found.velocity[80:], 0.0, atol=1e-15)
    np.testing.assert_allclose(
        np.gradient(found.position[:, 0], 0.1)[1:79], found.velocity[1:79, 0], atol=3e-4
    )
    for lead in (0.0, -1.0):
        at_once = grown(steady, 2 * steady, 0.1, lead)
        assert (at_once.lead, at_once.position[0, 0], at_once.velocity[0, 0]) == (0.0, 1.0, 2.0)


@pytest.mark.parametrize(
    ("step", "count", "samples"),
    [(0.3, 10, 628), (0.1, 11, 611), (0.25, 11, 626), (0.07, 11, 608), (0.7, 11, 671)],
)
def test_measured_heave_is_read_to_its_last_tenth(step: float, count: int, samples: int) -> None:
    """Nine steps of 0.3 s are 27 tenths, beside the 600 of the minute before; its mean is none of it."""
    time = np.arange(count) * step
    found = sampled_heave(5.0 + 0.2 * time, step)
    assert len(found.position) == samples
    after = found.position[600:, 0]
    np.testing.assert_allclose(after, 0.2 * (np.arange(len(after)) * 0.1 - time.mean()), atol=1e-9)
    np.testing.assert_allclose(found.velocity[601:, 0], 0.2, atol=1e-9)
    assert found.position[599, 0] == pytest.approx(-0.2 * time.mean(), rel=1e-4)
    assert abs(found.position[0, 0]) < 1e-12


def test_a_motion_comes_later_by_any_part_of_a_step() -> None:
    """A parabola from rest, half a step and more late: the same parabola, at rest before."""
    time = np.arange(60) * 0.1
    motion = HeaveMotion(0.1, (time**2)[:, None], (2 * time)[:, None], 1.0)
    for delay in (0.0, 0.05, 0.1, 0.3, 0.7, 0.97):
        found = motion.delayed(delay)
        behind = np.maximum(time - delay, 0.0)
        assert (len(found.position), found.lead) == (60, 1.0)
        np.testing.assert_allclose(found.position[:, 0], behind**2, atol=2e-3 if delay % 0.1 else 1e-12)
        np.testing.assert_allclose(found.position[12:, 0], behind[12:] ** 2, atol=1e-12)
        np.testing.assert_allclose(found.velocity[12:, 0], 2 * behind[12:], atol=1e-12)


def test_between_samples_a_cubic_is_itself() -> None:
    time = np.arange(8) * 0.5
    place = 1 - 2 * time + 0.7 * time**2 - 0.3 * time**3
    motion = HeaveMotion(0.5, place[:, None], (-2 + 1.4 * time - 0.9 * time**2)[:, None])
    for first, count, parts in ((0, 7, 4), (2, 3, 5), (6, 1, 1)):
        found, rate = motion.refined(first, count, parts)
        at = 0.5 * (first + np.arange(1, count * parts + 1) / parts)
        np.testing.assert_allclose(found[:, 0], 1 - 2 * at + 0.7 * at**2 - 0.3 * at**3, atol=1e-12)
        np.testing.assert_allclose(rate[:, 0], -2 + 1.4 * at - 0.9 * at**2, atol=1e-12)


def test_a_step_is_a_whole_part_of_a_tenth() -> None:
    case = SimulationCase(load=1e6, wob=1e5, gas_length=70.0, index=1.2, half_stroke=3.0, contact="held")
    model, heave = string_model(ROD, 3e4, elements=4, modes=2, loss_factor=0.02), regular_heave(0.1, 8.0, 1.0)
    for step in (0.05, 0.1 / 3, 0.02, 0.02 * (1 + 5e-9)):
        assert simulate_cases(model, case, heave, step=step).summary.steps == round(1.0 / step)
    for step in (0.03, 0.02 * (1 + 2e-8), 0.02 * (1 - 2e-8), 0.21):
        with pytest.raises(InputError, match="a whole part"):
            simulate_cases(model, case, heave, step=step)
