"""Heave over time: spectrum kept, seeds honoured, extremes as the statistics say, cubic between samples."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from heave.compensator.time_domain import (
    HeaveMotion,
    SimulationCase,
    irregular_heave,
    regular_heave,
    sampled_heave,
    simulate_cases,
    string_model,
)
from heave.drill_string import DrillString, drill_pipe, rod_dynamics
from heave.errors import InputError
from heave.sea import OMEGA, jonswap, level_exceeded, mean_period, moment

SPECTRUM = jonswap(OMEGA, 2.0, 9.0, 2.0)


def test_variance_and_period_are_the_spectrums() -> None:
    # a hundred hours of about a hundred independent values each: 1 %, held to three of these
    motion = irregular_heave(OMEGA, SPECTRUM, 3600.0, range(100))
    rows = slice(round(motion.lead / motion.step), None)
    m0, m2 = (float(moment(SPECTRUM, order)) for order in (0, 2))
    assert motion.position[rows].var() == pytest.approx(m0, rel=0.03)
    assert motion.velocity[rows].var() == pytest.approx(m2, rel=0.03)
    # half a dozen bands, each with its share of the energy
    power = np.mean(np.abs(np.fft.rfft(motion.position[rows], axis=0)) ** 2, axis=1)
    omega = 2 * math.pi * np.fft.rfftfreq(len(motion.position[rows]), motion.step)
    edges = np.array([0.5, 0.6, 0.7, 0.8, 0.9, 1.1, 1.5])
    for low, high in itertools.pairwise(edges):
        band = (omega >= low) & (omega < high)
        fine = np.linspace(low, high, 501)
        share = float(np.trapezoid(jonswap(fine, 2.0, 9.0, 2.0), fine)) / m0
        assert power[band].sum() / power.sum() == pytest.approx(share, abs=0.02)


def test_seeds_are_honoured() -> None:
    same = [irregular_heave(OMEGA, SPECTRUM, 60.0, (seed,)).position[:, 0] for seed in (7, 7, 8)]
    assert np.array_equal(same[0], same[1])
    assert not np.allclose(same[0], same[2])
    together = irregular_heave(OMEGA, SPECTRUM, 60.0, (8, 7)).position
    assert together[:, 1] == pytest.approx(same[0], abs=1e-12)


def test_amplitudes_are_random_too() -> None:
    """Short records differ in variance: with fixed amplitudes they would not."""
    motion = irregular_heave(OMEGA, SPECTRUM, 300.0, range(40), lead=0.0)
    variances = motion.position.var(axis=0)
    assert variances.std() / variances.mean() > 0.1


def test_extremes_of_seeds_follow_the_statistics() -> None:
    """Of 200 half-hours, the share whose highest heave, and bit force of a linear unit, passes the level of
    a given chance stays within the binomial 99.9 % interval about that chance; the level takes crests as
    independent, so from below a little more room is given."""
    seeds, duration = range(200), 1800.0
    string = DrillString((drill_pipe(size="5 in", weight="19.50", grade="S-135", length=2000.0),), 1200.0)
    motion = irregular_heave(OMEGA, SPECTRUM, duration, seeds)
    hook, spring = 30e3, 1.2 * 1.2e6 / 1e4
    case = SimulationCase(
        load=1.2e6,
        wob=0.0,
        gas_length=1e4,
        index=1.2,
        contact="held",
        rock_stiffness=1e11,
        hydraulic_loss=0.0,
    )
    model = string_model(string, hook, loss_factor=0.04)
    found = simulate_cases(model, case, motion, keep=False, in_pieces=True).summary
    rod = rod_dynamics(string, OMEGA, 0.04)
    transfer = spring / ((spring - OMEGA**2 * hook) * rod.b + rod.d)
    for name, spectrum in (("heave", SPECTRUM), ("bit_force", SPECTRUM * np.abs(transfer) ** 2)):
        m0, m2 = moment(spectrum, 0), moment(spectrum, 2)
        cycles = duration / mean_period(m0, m2)
        assert found.sigma[name].mean() == pytest.approx(float(np.sqrt(m0)), rel=0.02), name
        for chance in (0.5, 0.2):
            level = float(level_exceeded(m0, cycles, chance))
            passed = float(np.mean(found.highest[name] > level))
            room = 3.29 * math.sqrt(chance * (1 - chance) / len(seeds))
            assert chance - 1.5 * room < passed < chance + room, (name, chance)


def test_cubic_between_samples() -> None:
    """A 3 s wave, the quickest that moves a rig, sampled ten times a second."""
    motion = regular_heave(1.0, 3.0, 30.0, lead=0.0)
    place, rate = motion.refined(10, 50, 5)
    time = 1.0 + np.arange(1, 251) * 0.02
    omega = 2 * math.pi / 3
    assert place[:, 0] == pytest.approx(np.sin(omega * time), abs=1e-5)
    assert rate[:, 0] == pytest.approx(omega * np.cos(omega * time), abs=1e-3)


def test_delay() -> None:
    motion = regular_heave(1.0, 8.0, 60.0, lead=0.0)
    for delay in (0.0, 0.05, 0.1, 0.237):
        late = motion.delayed(delay)
        time = np.arange(len(motion.position)) * motion.step
        later = time > 1.0
        expected = np.sin(2 * math.pi / 8 * (time - delay))
        assert late.position[later, 0] == pytest.approx(expected[later], abs=1e-6)


def test_it_grows_from_nothing() -> None:
    motion = regular_heave(1.0, 8.0, 60.0)
    assert motion.position[0, 0] == motion.velocity[0, 0] == 0.0
    slope = np.gradient(motion.position[:, 0], motion.step)
    assert motion.velocity[1:-1, 0] == pytest.approx(slope[1:-1], abs=2e-3)
    assert motion.duration == pytest.approx(60.0)
    assert motion.cases == 1


def test_measured_samples_come_back() -> None:
    time = np.arange(0.0, 120.0, 0.37)
    measured = 0.4 + np.sin(2 * math.pi / 9 * time)
    motion = sampled_heave(measured, 0.37)
    rows = slice(round(motion.lead / motion.step), None)
    again = np.arange(len(motion.position[rows])) * motion.step
    expected = np.sin(2 * math.pi / 9 * again) - (measured.mean() - 0.4)
    assert motion.position[rows, 0] == pytest.approx(expected, abs=2e-3)


def test_impossible_heave_is_refused() -> None:
    with pytest.raises(InputError, match="time simulated"):
        irregular_heave(OMEGA, SPECTRUM, 0.5, (1,))
    with pytest.raises(InputError, match="time simulated"):
        irregular_heave(OMEGA, SPECTRUM, 49 * 3600.0, (1,))
    with pytest.raises(InputError, match="spectrum"):
        irregular_heave(OMEGA, -SPECTRUM, 60.0, (1,))
    with pytest.raises(InputError, match="seeds"):
        irregular_heave(OMEGA, SPECTRUM, 60.0, ())
    with pytest.raises(InputError, match="amplitude"):
        regular_heave(math.nan, 8.0, 60.0)
    with pytest.raises(InputError, match="period"):
        regular_heave(1.0, 1.9, 60.0)
    with pytest.raises(InputError, match="measured"):
        sampled_heave(np.full(20, math.nan), 0.1)
    with pytest.raises(InputError, match="step"):
        sampled_heave(np.zeros(20), 3.0)
    with pytest.raises(InputError, match="heave"):
        HeaveMotion(0.1, np.full((5, 1), math.nan), np.zeros((5, 1)))


@pytest.mark.parametrize("duration", [0.999, 48 * 3600.0 + 1.0, float("nan"), -1.0])
def test_no_regular_heave_is_too_short_or_too_long(duration: float) -> None:
    assert regular_heave(1.0, 8.0, 1.0).duration == pytest.approx(1.0)
    with pytest.raises(InputError, match="time simulated"):
        regular_heave(1.0, 8.0, duration)
