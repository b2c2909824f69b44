"""The water beside the heave of a run: the sea's own spectrum, and with the heave what linear theory gives."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import numpy.typing as npt
import pytest

from heave.arrays import FloatArray
from heave.compensator.time_domain import components
from heave.files.rigs import demo_plan, demo_vessels
from heave.judging.demands import calibrated_spectrum
from heave.planning import Plan
from heave.sea import OMEGA, SeaState, WaveSystem
from heave.simulation.comparisons import Variant
from heave.simulation.scenario import Happening, MeasuredHeave, Scenario, run
from heave.simulation.simulate import simulate
from heave.simulation.surface import cross_spectrum, sea_surface, wave_transfer
from heave.vessel import BoxHull, Vessel

LONG = 4 * 3600.0
PIECE = 4096


def with_sea(*systems: WaveSystem, vessel: str = "Demo drillship") -> Plan:
    plan = demo_plan()
    return plan.changed(sea=SeaState(systems, depth=plan.sea.depth), vessel=demo_vessels()[vessel])


def swell(tp: float = 14.0, spreading: str = "long-crested") -> WaveSystem:
    return WaveSystem(hs=3.0, period=tp, direction_from=demo_plan().heading, spreading=spreading)


def pair(plan: Plan, seed: int = 1) -> tuple[FloatArray, FloatArray]:
    """Heave and water of one long drawing, every 0.1 s."""
    waves = components(OMEGA, calibrated_spectrum(plan), LONG, [seed])
    heave, water = waves.motion(), sea_surface(plan, waves, seed)
    late = slice(round(heave.lead / heave.step), None)
    return heave.position[late, 0], water.position[late, 0]


def between(omega: FloatArray, low: float, high: float) -> npt.NDArray[np.bool_]:
    return np.asarray((omega >= low) & (omega < high))


def spectra(one: FloatArray, other: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Frequencies, two spectra and the complex cross spectrum, averaged over pieces under Hann windows (Welch 1967)."""
    starts = range(0, len(one) - PIECE + 1, PIECE // 2)
    window = np.hanning(PIECE)
    a, b = (np.fft.rfft(np.stack([v[s : s + PIECE] * window for s in starts]), axis=1) for v in (one, other))
    scale = 2 * 0.1 / (2 * math.pi) / (window**2).sum()
    mean = [np.mean(v, axis=0) * scale for v in (np.abs(a) ** 2, np.abs(b) ** 2, a * np.conj(b))]
    return 2 * math.pi * np.fft.rfftfreq(PIECE, 0.1), *mean


@pytest.mark.parametrize("spreading", ["long-crested", "cos-n"])
def test_the_water_has_the_spectrum_of_the_sea(spreading: str) -> None:
    """Significant height within its sampling error in 16 h of a sea of 14 s, under 1 %, and the spectrum by bands,
    whose energy has a standard error of √(2π/(width × time)), 4 % of the narrowest."""
    plan = with_sea(swell(spreading=spreading))
    waters = [pair(plan, seed)[1] for seed in range(4)]
    assert 4 * np.mean([water.std() for water in waters]) == pytest.approx(3.0, rel=0.02)
    every = [spectra(water, water) for water in waters]
    omega, found = every[0][0], np.mean([each[2] for each in every], axis=0)
    fine = np.linspace(0.3, 1.2, 9001)
    for low, high in ((0.3, 0.42), (0.42, 0.5), (0.5, 0.7), (0.7, 1.2)):
        part = fine[between(fine, low, high)]
        truth = np.trapezoid(np.interp(part, OMEGA, plan.sea.spectrum()), part)
        assert found[between(omega, low, high)].sum() * omega[1] == pytest.approx(truth, rel=0.12)


def test_of_one_long_crested_sea_the_heave_tells_all_of_the_water() -> None:
    plan = with_sea(swell())
    heave, water = pair(plan)
    omega, first, second, cross = spectra(heave, water)
    inside = (omega > 0.35) & (omega < 0.7)
    coherence = np.abs(cross[inside]) ** 2 / (first[inside] * second[inside])
    assert coherence.min() > 0.9
    sea, joint = cross_spectrum(plan)
    response = np.interp(omega[inside], OMEGA, (joint / np.maximum(sea, 1e-12)).real) + 1j * np.interp(
        omega[inside], OMEGA, (joint / np.maximum(sea, 1e-12)).imag
    )
    assert np.abs(cross[inside] / second[inside] - response).max() < 0.08


def test_two_systems_from_two_sides_are_not_told_by_the_heave_alone() -> None:
    plan = with_sea(swell(), replace(swell(9.0), direction_from=demo_plan().heading + 90))
    heave, water = pair(plan)
    assert 4 * water.std() == pytest.approx(3 * math.sqrt(2), rel=0.05)
    omega, first, second, cross = spectra(heave, water)
    sea, joint = cross_spectrum(plan)
    truth = np.abs(joint) ** 2 / np.maximum(sea * calibrated_spectrum(plan), 1e-12)
    assert truth.max() < 1 + 1e-3
    for low, high in ((0.4, 0.5), (0.6, 0.75), (0.75, 0.9)):
        inside, wanted = between(omega, low, high), between(OMEGA, low, high)
        coherence = np.mean(np.abs(cross[inside]) ** 2 / (first[inside] * second[inside]))
        assert coherence == pytest.approx(truth[wanted].mean(), abs=0.08)


@pytest.mark.parametrize("vessel", sorted(demo_vessels()))
def test_in_long_waves_the_hull_follows_the_water(vessel: str) -> None:
    """A hull much shorter than the wave rises and falls with it (Archimedes): phase near 0, response near 1."""
    plan = with_sea(swell(), vessel=vessel)
    response = wave_transfer(plan, 1.0, 28.0)
    assert abs(response) == pytest.approx(1.0, abs=0.3)
    assert abs(math.atan2(response.imag, response.real)) < math.radians(20)
    result = run(Variant("A", plan), Scenario("wave", height=2.0, period=28.0, duration=112.0))
    assert result.surface is not None
    assert result.surface.max() == pytest.approx(1.0, abs=0.01)
    assert np.corrcoef(result.surface, result.heave)[0, 1] > math.cos(math.radians(20))


def test_the_water_of_a_regular_wave_leads_by_the_phase_of_the_response() -> None:
    plan, scenario = demo_plan(), Scenario("wave", height=2.0, period=9.0, duration=90.0)
    response = wave_transfer(plan, 2.0, 9.0)
    result = run(Variant("A", plan), scenario)
    assert result.surface is not None
    turn = np.exp(-2j * math.pi * result.time / 9.0)
    found = np.sum(result.heave * turn) / np.sum(result.surface * turn)
    assert found == pytest.approx(plan.heave_factor * response, rel=1e-3)


def test_a_closed_form_hull_has_water_too() -> None:
    hull = Vessel(name="Box", response=BoxHull(length=100.0, beam=30.0, draught=8.0))
    plan = demo_plan().changed(vessel=hull)
    _, water = pair(plan)
    assert 4 * water.std() == pytest.approx(float(plan.sea.batch().hs[0]), rel=0.06)


def test_the_calibration_of_the_heave_leaves_the_water_alone() -> None:
    plan = demo_plan()
    one, other = (simulate(plan.changed(heave_calibration=c), 40.0) for c in (1.0, 1.3))
    assert one.surface is not None
    assert other.surface == pytest.approx(one.surface, abs=1e-9)


def test_the_water_runs_beside_the_heave_and_is_not_known_of_a_record() -> None:
    plan = demo_plan()
    result = simulate(plan, 60.0, seed=5)
    assert result.surface is not None
    assert result.surface.shape == result.time.shape
    assert np.array_equal(result.surface, simulate(plan, 60.0, seed=5).surface)
    assert not np.array_equal(result.surface, simulate(plan, 60.0, seed=6).surface)
    record = MeasuredHeave("a", np.sin(np.arange(200) / 3), 0.5)
    assert run(Variant("A", plan), Scenario("record", record=record)).surface is None


def test_a_wave_group_lifts_the_water_with_the_hull() -> None:
    plan = with_sea(swell())
    before = run(Variant("A", plan), Scenario(duration=120.0, hole=False))
    group = Happening("wave group", 70.0, height=1.5)
    after = run(Variant("A", plan), Scenario(duration=120.0, hole=False, happenings=(group,)))
    assert after.surface is not None
    assert before.surface is not None
    row = round(70.0 / after.step) - 1
    assert after.heave[row] == pytest.approx(1.5, abs=1e-4)
    # the sea of 14 s lifts the hull nearly as much as the water, a little later
    assert after.surface[row - 100 : row + 100].max() > 1.5
    early = after.time < 10
    assert np.abs(after.surface - before.surface)[early].max() < 0.3
