"""The lumped string: its masses and springs by hand, and how many of its modes are kept."""

from __future__ import annotations

import math

import numpy as np
import pytest
from energy import stored

from heave.compensator.time_domain.string_model import ELEMENTS, MODES, string_model
from heave.drill_string import DrillString, Section
from heave.errors import InputError

ROD = DrillString((Section("rod", 3000.0, 0.127, 0.1086, 33.6, 9.3e8),), mud_density=1200.0)
COLLAR = Section("collar", 300.0, 0.2, 0.07, 220.0, 7.6e8)
AREA = math.pi / 4 * (0.127**2 - 0.1086**2)
SPEED = math.sqrt(206.8e9 * AREA / 33.6)


def test_as_many_modes_are_kept_as_were_asked_for() -> None:
    """Of n elements below a free hook n modes can be kept, one coordinate more for the bit."""
    for asked, kept in (
        (None, ELEMENTS),
        (1, 1),
        (5, 5),
        (MODES, MODES),
        (ELEMENTS, ELEMENTS),
        (80, ELEMENTS),
    ):
        model = string_model(ROD, 30e3, modes=asked)
        assert (len(model.frequencies), model.size) == (kept, kept + 1)
        assert model.mass.shape == model.stiffness.shape == model.damping.shape == (kept + 1, kept + 1)
    assert len(string_model(ROD, 30e3, elements=12, modes=None).frequencies) == 12
    for wrong in (0, -1):
        with pytest.raises(InputError, match="modes"):
            string_model(ROD, 30e3, modes=wrong)


def test_modes_of_a_rod_held_below_are_the_odd_quarters() -> None:
    """ω_n of n equal lumps held at one end, 2 (c/h) sin((2i − 1) π / 4n) (Rao, Mechanical Vibrations)."""
    count = 40
    found = string_model(ROD, 0.0, elements=count, modes=6).frequencies
    exact = [2 * SPEED * count / 3000.0 * math.sin((2 * i - 1) * math.pi / (4 * count)) for i in range(1, 7)]
    np.testing.assert_allclose(found, exact, rtol=1e-9)


def test_lumps_of_two_sections_in_step_with_the_way_of_a_wave() -> None:
    """Three lumps of rod and one of collar: half of each at either end, the hook's own mass on top."""
    string = DrillString((*ROD.sections, COLLAR), mud_density=1200.0)
    model = string_model(string, 30e3, elements=3, modes=None)
    rod, collar = 3000.0 * 33.6 / 3, 300.0 * 220.0
    masses = [30e3 + rod / 2, rod, rod, (rod + collar) / 2, collar / 2]
    soft, stiff = 206.8e9 * AREA / 1000.0, 206.8e9 * math.pi / 4 * (0.2**2 - 0.07**2) / 300.0
    springs = [soft] * 3 + [stiff]
    matrix = np.zeros((4, 4))  # of all but the held bit
    for place, spring in enumerate(springs):
        matrix[place, place] += spring
        if place < 3:
            matrix[place + 1, place + 1] += spring
            matrix[place, place + 1] = matrix[place + 1, place] = -spring
    squares = np.linalg.eigvals(np.diag(1 / np.array(masses[:-1])) @ matrix)
    np.testing.assert_allclose(model.frequencies, np.sqrt(np.sort(squares.real)), rtol=1e-9)
    assert model.mass[4, 4] == pytest.approx(sum(masses))
    assert np.diag(model.stiffness)[:4] == pytest.approx(np.sort(squares.real))
    assert model.stiffness[4, 4] == 0.0


def test_energy_of_a_state_is_that_of_its_masses_and_springs() -> None:
    """The hook 1 m up on a bit that stands: k/2 x² of the whole string; all moving at 2 m/s: m/2 v²."""
    model = string_model(ROD, 30e3, modes=None)
    rigid = np.zeros(2 * model.size)
    rigid[-1] = 2.0
    assert stored(model, rigid) == pytest.approx((30e3 + 3000.0 * 33.6) / 2 * 4.0)
    pull = np.zeros(2 * model.size)
    give = model.hook_shape[:-1] / np.diag(model.stiffness)[:-1]
    pull[: model.size - 1] = give / (model.hook_shape[:-1] @ give)
    assert stored(model, pull) == pytest.approx(206.8e9 * AREA / 3000.0 / 2)
    both = np.stack([rigid, 2 * pull])
    np.testing.assert_allclose(stored(model, both), [stored(model, rigid), 4 * stored(model, pull)])


def test_loss_is_the_frequency_of_each_mode_times_the_factor() -> None:
    model = string_model(ROD, 30e3, modes=4, loss_factor=0.03)
    np.testing.assert_allclose(np.diag(model.damping), [*(0.03 * model.frequencies), 0.0])
