"""A measured record against the prediction: known waves, statistics of many seeds, bounds and refusals."""

from __future__ import annotations

import math

import numpy as np
import pytest

from heave.compensator.time_domain import irregular_heave
from heave.errors import InputError
from heave.files.heave_record import read_heave_record
from heave.files.rigs import demo_plan
from heave.judging import assess
from heave.planning.plan import CALIBRATION_RANGE
from heave.sea import OMEGA
from heave.simulation.comparisons import Variant
from heave.simulation.reconcile import FAR, SHORTEST_RECORD, STROKES, reconcile, unlike
from heave.simulation.scenario import MeasuredHeave, Scenario, run
from heave.units import show


def sine(amplitude: float, period: float, length: float = 1200.0, step: float = 0.5) -> np.ndarray:
    return amplitude * np.sin(2 * math.pi * np.arange(0, length + step / 2, step) / period)


def drawn(seed: int, factor: float = 1.0, length: float = 1800.0) -> np.ndarray:
    """Heave of the demo plan's own sea, a value each half second."""
    motion = irregular_heave(OMEGA, assess(demo_plan()).responses.heave_spectrum, length, (seed,), lead=0.0)
    return factor * motion.position[::5, 0]


def test_a_sine_has_its_own_figures() -> None:
    found = reconcile(demo_plan(), 3.0 + sine(1.5, 12.0), 0.5)
    assert found.sigma == pytest.approx(1.5 / math.sqrt(2), rel=1e-3)
    assert found.significant == pytest.approx(2 * found.sigma)
    assert found.significant_double == pytest.approx(4 * found.sigma)
    assert found.period == pytest.approx(12.0, rel=1e-3)
    assert (found.highest, found.lowest) == pytest.approx((1.5, -1.5), abs=0.02)
    assert found.omega[np.argmax(found.spectrum)] == pytest.approx(2 * math.pi / 12, abs=0.02)
    assert np.trapezoid(found.spectrum, found.omega) == pytest.approx(found.sigma**2, rel=1e-3)
    assert found.duration == pytest.approx(1200.0)


def test_mean_and_straight_trend_are_not_heave() -> None:
    clean, drifting = (
        reconcile(demo_plan(), sine(1.0, 10.0) + add, 0.5) for add in (0.0, 5 + np.linspace(0, 2, 2401))
    )
    assert drifting.sigma == pytest.approx(clean.sigma, rel=1e-2)


def test_the_ratio_finds_the_factor_it_was_made_with() -> None:
    predicted = assess(demo_plan()).responses.heave
    for factor in (0.7, 1.3):
        found = reconcile(demo_plan(), drawn(3, factor), 0.5)
        assert found.predicted_sigma == pytest.approx(predicted.sigma, rel=1e-6)
        assert found.ratio == pytest.approx(factor, rel=4 * found.uncertainty)
        assert found.factor == round(found.ratio, 3)
        assert found.working[-1].result.value == found.ratio


def test_the_uncertainty_is_what_many_seeds_show() -> None:
    """24 records of half an hour: their scatter against the stated standard error, both known to about a third."""
    found = [reconcile(demo_plan(), drawn(seed, length=1000.0), 0.5) for seed in range(24)]
    scatter = float(np.std([item.ratio for item in found], ddof=1))
    stated = float(np.mean([item.uncertainty * item.ratio for item in found]))
    assert 0.6 < scatter / stated < 1.6
    assert np.mean([item.ratio for item in found]) == pytest.approx(1.0, abs=4 * stated / math.sqrt(24))


def test_a_calibration_in_use_does_not_change_what_is_predicted() -> None:
    record = sine(0.4, 10.0)
    plain, calibrated = (
        reconcile(plan, record, 0.5) for plan in (demo_plan(), demo_plan().changed(heave_calibration=1.4))
    )
    assert plain.ratio == calibrated.ratio


def test_a_ratio_out_of_bounds_is_not_offered() -> None:
    low, high = CALIBRATION_RANGE
    sigma = reconcile(demo_plan(), sine(0.4, 10.0), 0.5).predicted_sigma
    for ratio, offered in (
        (0.99 * low, False),
        (1.01 * low, True),
        (0.99 * high, True),
        (1.01 * high, False),
    ):
        found = reconcile(demo_plan(), sine(ratio * sigma * math.sqrt(2), 10.0), 0.5)
        assert (found.factor is not None) == offered
        assert bool(found.refused) != offered


@pytest.mark.parametrize(
    ("record", "step", "words"),
    [
        (sine(1.0, 10.0, length=SHORTEST_RECORD - 1), 0.5, "length of the record"),
        (np.zeros(3000), 0.5, "moves"),
        (np.full(3000, np.nan), 0.5, "finite"),
        (sine(1.0, 10.0), 3.0, "step"),
        (np.linspace(0, 1, 3000) ** 2, 0.5, "several waves"),
    ],
)
def test_what_cannot_be_judged_is_refused(record: np.ndarray, step: float, words: str) -> None:
    with pytest.raises(InputError, match=words):
        reconcile(demo_plan(), record, step)


def test_a_record_long_enough_is_taken() -> None:
    assert reconcile(demo_plan(), sine(1.0, 10.0, length=SHORTEST_RECORD), 0.5).duration == SHORTEST_RECORD


def test_a_record_can_be_run() -> None:
    record = MeasuredHeave("record", sine(0.5, 10.0), 0.5)
    result = run(Variant("as planned", demo_plan()), Scenario("record", record=record, duration=100.0))
    assert result.time[-1] == pytest.approx(100.0)
    inside = result.time > 1
    assert result.heave[inside] == pytest.approx(
        0.5 * np.sin(2 * math.pi * result.time[inside] / 10), abs=0.01
    )
    whole = Scenario("record", record=record, duration=3600.0)
    assert whole.length == pytest.approx(1200.0)


def test_the_safe_end_holds_the_truth() -> None:
    """Records of twenty minutes made with 0.7: what the checks use is above it nearly always, the ratio in half."""
    found = [reconcile(demo_plan(), drawn(seed, 0.7, length=1200.0), 0.5) for seed in range(30)]
    assert all(item.margin == round(1.645 * item.uncertainty, 3) > 0 for item in found)
    plans = [
        demo_plan().changed(heave_calibration=item.factor, calibration_margin=item.margin) for item in found
    ]
    assert sum(plan.heave_factor >= 0.7 for plan in plans) >= 26  # 28.5 ± 1.2 of 30 are expected
    assert 8 <= sum(item.ratio >= 0.7 for item in found) <= 22


def test_a_record_too_short_for_the_change_is_refused() -> None:
    """Ten minutes know σ to some 5 to 10 %: a change of 8 % is chance, one of 30 % is not; five hours know both."""
    for factor, length, offered in (
        (0.92, 600.0, False),
        (1.08, 600.0, False),
        (0.7, 600.0, True),
        (1.4, 600.0, True),
        (1.08, 18000.0, True),
    ):
        found = reconcile(demo_plan(), drawn(5, factor, length=length), 0.5)
        assert (found.factor is not None) == offered, (factor, length, found.ratio, found.uncertainty)
        assert ("too short" in found.refused) != offered


def test_a_record_that_can_hardly_be_of_this_unit_says_why() -> None:
    """Both sides of two strokes of travel, and of three times the predicted deviation."""
    plan = demo_plan()
    stroke, sigma = plan.compensator.stroke, reconcile(plan, sine(0.4, 10.0), 0.5).predicted_sigma
    assert stroke is not None
    for travel, told in ((0.99 * STROKES * stroke, 0), (1.01 * STROKES * stroke, 1)):
        found = unlike(plan, sine(travel / 2, 10.0), 0.5)
        assert sum("strokes" in words for words in found) == told
    for ratio, told in ((0.99 * FAR, 0), (1.01 * FAR, 1)):
        found = unlike(plan, 5.0 + sine(ratio * sigma * math.sqrt(2), 10.0), 0.5)
        assert sum("sea and heading" in words for words in found) == told
        assert (show(4 * sigma, "length", "metric") in "".join(found)) == bool(told)
    calibrated = plan.changed(heave_calibration=1.4)
    assert unlike(calibrated, sine(1.0, 10.0), 0.5, "oilfield") == unlike(
        plan, sine(1.0, 10.0), 0.5, "oilfield"
    )


def test_an_acceleration_record_calibrates_as_its_heave_does() -> None:
    """The ends that integration gives up are in neither the comparison nor the run."""
    spectrum = assess(demo_plan()).responses.heave_spectrum
    motion = irregular_heave(OMEGA, spectrum, 1800.0, (3,), lead=0.0)
    place, rate = motion.position[:, 0], motion.velocity[:, 0]
    pushed = np.gradient(rate, motion.step)
    rows = "".join(f"{n * motion.step:.2f},{a:.6f}\n" for n, a in enumerate(pushed))
    read = read_heave_record(f"time_s,heave acceleration up (m/s2)\n{rows}".encode())
    assert read.given_up == pytest.approx((60.0, 60.0))
    inner = place[round(60 / motion.step) : -round(60 / motion.step)]
    found, truth = (reconcile(demo_plan(), heave, motion.step) for heave in (read.heave, inner))
    assert found.ratio == pytest.approx(truth.ratio, rel=0.01)
    assert found.duration == pytest.approx(1680.0, abs=0.5)
    run_ = Scenario("record", record=MeasuredHeave("a", read.heave, read.step), duration=3600.0)
    assert run_.length == pytest.approx(1680.0, abs=0.5)
