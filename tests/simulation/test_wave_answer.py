"""The quick answer in a regular wave against simulation over random plans, and where it must be exact."""

from __future__ import annotations

import math
import sys
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from heave.compensator import GasUnit
from heave.compensator.time_domain import regular_heave
from heave.files.rigs import demo_plan
from heave.judging import assess
from heave.planning import Plan
from heave.planning.offsets import StaticOffsets
from heave.simulation import bands
from heave.simulation.comparisons import Variant
from heave.simulation.scenario import Scenario, run
from heave.simulation.simulate import simulate
from heave.simulation.surface import wave_transfer
from heave.simulation.wave_answer import wave_demands

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "benchmarks"))
from random_plans import drawn


@cache
def told(group: int, place: int) -> dict[str, tuple[float, float]]:
    """Simulated and predicted half swing by panel, and the heave's amplitude, of a random plan in a random wave."""
    chance = np.random.default_rng(900 + 100 * group + place)
    plan = drawn(group).plans[place].changed(offsets=StaticOffsets())
    wave = float(chance.uniform(1.0, 6.0)), float(chance.uniform(7.0, 17.0))
    scenario = Scenario("wave", height=wave[0], period=wave[1], duration=170.0)
    variant = Variant("A", plan)
    result = run(variant, scenario)
    if result.lift_off.any() or result.stroke_out.any():
        return {}
    late = result.time > 90
    found = {"heave": (float(np.ptp(result.heave[late])) / 2, math.nan)}
    for panel, (band,) in bands.bands_for(variant, assess(plan), scenario).items():
        found[panel] = float(np.ptp(getattr(result, panel)[late])) / 2, (band.high - band.low) / 2
    return found


@pytest.mark.parametrize(
    ("group", "how"), [(0, "passive"), (9, "passive"), (6, "passive"), (2, "active"), (14, "active")]
)
def test_simulated_swings_lie_within_the_stated_margins(group: int, how: str) -> None:
    seen = 0
    for place in range(5):
        plan = drawn(group).plans[place]
        assert ("active" if plan.active_in_use else "passive") == how
        found = told(group, place)
        if not found:
            continue
        seen += 1
        amplitude, predicted = found["heave"]
        assert amplitude == pytest.approx(predicted, rel=2e-3)
        low, high = bands.WAVE_BIT[how]
        assert low <= found["bit_force"][0] / found["bit_force"][1] <= high
        if "stroke" in found:
            assert abs(found["stroke"][0] - found["stroke"][1]) <= bands.WAVE_TRAVEL * amplitude
        if "hook_load" in found:
            assert bands.WAVE_LOAD[0] <= found["hook_load"][0] / found["hook_load"][1] <= bands.WAVE_LOAD[1]
    assert seen >= 2


def smooth() -> Plan:
    """The demo plan with next to no seal friction and no loss."""
    plan = demo_plan()
    assert isinstance(plan.compensator, GasUnit)
    unit = replace(plan.compensator, friction_fraction=1e-6, hydraulic_loss=0.0)
    return plan.changed(compensator=unit, offsets=StaticOffsets())


def test_without_friction_the_answer_is_the_linear_one() -> None:
    plan, amplitude = smooth(), 0.4
    found = wave_demands(plan, amplitude, 12.0)
    result = simulate(plan, heave=regular_heave(amplitude, 12.0, 200.0))
    late = result.time > 120
    assert found.heave.level == pytest.approx(amplitude)
    assert found.velocity.level == pytest.approx(amplitude * 2 * math.pi / 12.0)
    assert found.stroke is not None
    assert found.stroke.level == pytest.approx(np.ptp(result.stroke[late]) / 2, rel=0.01)
    assert found.bit is not None
    assert found.bit.elastic == pytest.approx(np.ptp(result.bit_force[late]) / 2, rel=0.02)


def test_a_locked_unit_in_a_wave_is_linear() -> None:
    plan, amplitude = smooth(), 0.3
    found = wave_demands(plan, amplitude, 10.0)
    result = simulate(plan, heave=regular_heave(amplitude, 10.0, 200.0), unit="no compensator")
    late = result.time > 120
    assert found.locked == pytest.approx(np.ptp(result.hook_load[late]) / 2, rel=0.02)
    assert found.locked_end.level == pytest.approx(np.ptp(result.bit_force[late]) / 2, rel=0.02)


def test_twice_the_wave_is_more_than_twice_the_travel_of_a_rubbing_unit() -> None:
    plan = demo_plan().changed(offsets=StaticOffsets())
    small, large = (wave_demands(plan, amplitude, 12.0).stroke for amplitude in (0.3, 0.6))
    assert small is not None
    assert large is not None
    assert 2.0 * small.level < large.level < 0.6


def test_a_unit_that_the_seals_hold_does_not_travel_and_swings_as_if_locked() -> None:
    plan = demo_plan().changed(offsets=StaticOffsets())
    found = wave_demands(plan, 0.01, 12.0)
    assert found.locked < found.setting.friction_force
    assert found.stroke is not None
    assert found.stroke.level < 1e-4 * 0.01
    assert found.bit is not None
    assert found.bit.nominal == pytest.approx(found.locked_end.level)


def test_travel_is_not_told_where_the_seals_let_go_for_a_part_of_the_wave() -> None:
    plan = demo_plan().changed(offsets=StaticOffsets())
    per_metre = float(wave_demands(plan, 1.0, 12.0).locked[0])
    friction = float(wave_demands(plan, 1.0, 12.0).setting.friction_force)
    for share, kept in ((0.9, True), (1.2, False), (1.7, True)):
        height = 2 * share * friction / per_metre / abs(wave_transfer(plan, 1.0, 12.0))
        scenario = Scenario("wave", height=height, period=12.0)
        found = bands.bands_for(Variant("A", plan), assess(plan), scenario)
        assert ("stroke" in found) == kept
        assert "bit_force" in found


def test_the_sentence_holds_the_margins() -> None:
    for number in (
        *bands.WAVE_BIT["passive"],
        *bands.WAVE_BIT["active"],
        *bands.WAVE_LOAD,
        bands.WAVE_TRAVEL,
    ):
        assert f"{number:g}" in bands.WAVE_VALIDITY


def test_hole_made_in_the_wave_moves_weight_and_travel() -> None:
    """Rate times time is eaten of the stroke, and takes off the weight what both springs in series give; the seals,
    slipping more one way than the other, make the simulated loss some hundredths more."""
    plan, scenario = demo_plan(), Scenario("wave", height=3.0, period=12.0, duration=200.0)
    drilled, variant = plan.offsets.penetration_rate * 200.0, Variant("A", plan)
    made, still = (
        bands.bands_for(variant, assess(plan), replace(scenario, hole=hole)) for hole in (True, False)
    )
    assert made["stroke"][0].high - still["stroke"][0].high == pytest.approx(drilled)
    assert made["stroke"][0].low == pytest.approx(still["stroke"][0].low)
    lost = still["bit_force"][0].low - made["bit_force"][0].low
    first, last = (
        float(run(variant, replace(scenario, hole=hole)).bit_force[-1200:].mean()) for hole in (False, True)
    )
    assert first - last == pytest.approx(lost * 188 / 200, rel=0.1)
    assert made["bit_force"][0].high == pytest.approx(still["bit_force"][0].high)


def test_a_held_unit_swings_the_hook_as_if_locked() -> None:
    plan = demo_plan().changed(offsets=StaticOffsets())
    height = 2 * 0.01 / abs(wave_transfer(plan, 1.0, 12.0))
    scenario = Scenario("wave", height=height, period=12.0, duration=150.0)
    variant = Variant("A", plan)
    found, result = bands.bands_for(variant, assess(plan), scenario), run(variant, scenario)
    late = result.time > 100
    for panel in ("hook_load", "bit_force"):
        (band,) = found[panel]
        assert band.high - band.low == pytest.approx(np.ptp(getattr(result, panel)[late]), rel=0.03), panel


@pytest.mark.parametrize("unit", ["locked", "no compensator"])
def test_without_a_working_unit_the_wave_is_answered_linearly(unit: str) -> None:
    plan = demo_plan().changed(offsets=StaticOffsets())
    scenario, variant = Scenario("wave", height=1.0, period=11.0, duration=200.0), Variant("A", plan, unit)
    found, result = bands.bands_for(variant, assess(plan), scenario), run(variant, scenario)
    late = result.time > 140
    assert set(found) == {"heave", "hook_load", "bit_force"}
    for panel, (band,) in found.items():
        trace = getattr(result, panel)[late]
        assert (band.low, band.high) == pytest.approx((trace.min(), trace.max()), rel=0.02), panel
