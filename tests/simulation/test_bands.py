"""Bands beside a run: those of the checks in the plan's sea, a wave's own in a regular wave, none elsewhere."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from heave.files.rigs import demo_compensators, demo_plan
from heave.judging import Assessment, assess
from heave.planning import Plan
from heave.simulation.bands import bands_for, bit_band_for, no_band_words
from heave.simulation.comparisons import Variant, for_the_bit, without_drilling
from heave.simulation.played import play
from heave.simulation.scenario import Happening, MeasuredHeave, Scenario, run
from heave.simulation.simulate import regular_wave_heave
from heave.units import STANDARD_GRAVITY

ACTIVE = "Demo active-assisted unit, 600 klbf"


@pytest.fixture(scope="module")
def found() -> Assessment:
    return assess(demo_plan())


def planned(plan: Plan | None = None, unit: str = "as planned") -> Variant:
    return Variant("A", demo_plan() if plan is None else plan, unit)


def test_in_the_plans_sea_the_bands_are_what_the_checks_compare(found: Assessment) -> None:
    bands, plan = bands_for(planned(), found, Scenario()), found.plan
    assert set(bands) == {"heave", "stroke", "hook_load", "bit_force"}
    for panel in bands.values():
        assert [band.checked for band in panel] == [False] * (len(panel) - 1) + [True]
    likely, high = bands["bit_force"]
    assert plan.wob - high.low == pytest.approx(found.check("lift_off").demand)
    assert high.low < likely.low < plan.wob < likely.high < high.high
    assert "checked" in high.word
    assert likely.word == "likely"
    likely, extreme = bands["stroke"]
    assert extreme.high == pytest.approx(found.check("stroke_rising").demand)
    assert -extreme.low == pytest.approx(found.check("stroke_falling").demand)
    assert extreme.low < likely.low < plan.offsets.start_position < likely.high < extreme.high
    (load,) = bands["hook_load"]
    room = found.check("hook_slack")
    rest = found.setting.load - plan.moving_mass * STANDARD_GRAVITY
    assert load.low == pytest.approx(room.capacity - room.demand)
    assert load.low < rest < load.high
    (heave,) = bands["heave"]
    assert heave.high == -heave.low == pytest.approx(found.responses.heave.level)


def test_hook_load_of_a_latched_string_is_the_load_that_is_checked() -> None:
    """On a latched string nothing but the sea's load is compared with the rating, so the band ends there."""
    plan = demo_plan()
    latched = plan.changed(operation=replace(plan.operation, kind="fixed"))
    found = assess(latched)
    (band,) = bands_for(planned(latched), found, Scenario())["hook_load"]
    weight = latched.moving_mass * STANDARD_GRAVITY
    assert band.high + weight == pytest.approx(found.check("compensated_load").demand)


@pytest.mark.parametrize("unit", ["locked", "no compensator"])
def test_without_a_working_unit_nothing_is_checked_and_nothing_strokes(found: Assessment, unit: str) -> None:
    bands = bands_for(planned(unit=unit), found, Scenario(hole=False))
    assert set(bands) == {"heave", "hook_load", "bit_force"}
    (band,) = bands["bit_force"]
    assert not band.checked
    bit = found.responses.bit
    assert bit is not None
    assert found.plan.wob - band.low == pytest.approx(bit.locked)
    assert (bands["hook_load"][0].high - bands["hook_load"][0].low) / 2 == pytest.approx(
        found.responses.locked
    )


def test_a_run_in_the_plans_sea_keeps_inside_what_is_checked(found: Assessment) -> None:
    result = run(planned(), Scenario(duration=600.0, seed=4))
    for panel, bands in bands_for(planned(), found, Scenario(duration=600.0)).items():
        trace = getattr(result, panel)
        assert bands[-1].low < trace.min(), panel
        assert trace.max() < bands[-1].high, panel


def test_hole_made_in_the_run_widens_the_likely_travel(found: Assessment) -> None:
    made, still = (bands_for(planned(), found, Scenario(hole=hole))["stroke"][0] for hole in (True, False))
    assert made.high - still.high == pytest.approx(found.plan.offsets.penetration_rate * 300.0)
    assert made.low == still.low


@pytest.mark.parametrize("source", ["sea", "wave"])
@pytest.mark.parametrize("held", ["locked", "drawworks"])
def test_hole_made_under_a_hook_that_is_held_takes_its_stretch_off_the_weight(held: str, source: str) -> None:
    """The string alone gives way, k_s of the hole, until the driller feeds: as simulated."""
    plan = demo_plan().changed(heave_calibration=0.5)
    variant = planned(plan, "locked")
    if held == "drawworks":
        plan = plan.changed(compensator=demo_compensators()["Demo compensating drawworks"])
        variant = planned(plan)
    made, still = (
        Scenario(source, height=0.5, period=12.0, duration=100.0, hole=hole) for hole in (True, False)
    )
    lost = plan.string.stiffness * plan.offsets.penetration_rate * 100.0
    bands, before = (bands_for(variant, assess(plan), scenario) for scenario in (made, still))
    assert before["bit_force"][0].low - bands["bit_force"][0].low == pytest.approx(lost)
    assert before["bit_force"][0].high == bands["bit_force"][0].high
    assert before["bit_force"][1:] == bands["bit_force"][1:]
    if held == "locked":
        assert bands["hook_load"][0].high - before["hook_load"][0].high == pytest.approx(lost)
    results = [run(variant, scenario) for scenario in (made, still)]
    assert (results[1].bit_force - results[0].bit_force)[-1] == pytest.approx(lost, rel=0.03)


def test_where_no_band_belongs_there_is_none_and_words_say_why(found: Assessment) -> None:
    record = MeasuredHeave("a", np.zeros(1000), 0.5)
    rougher = demo_plan().changed(sea=demo_plan().sea.with_primary(hs=5.0, tp=12.0))
    shut = Scenario(happenings=(Happening("gas bank shut", 60.0),))
    for variant, scenario, words in (
        (planned(), Scenario("record", record=record), "measured"),
        (planned(rougher), Scenario(), "another sea"),
        (planned(), shut, "after 60\u00a0s"),
    ):
        assert bands_for(variant, found, scenario) == {}
        assert bit_band_for(variant, found, scenario) is None
        assert words in no_band_words(variant, found, scenario)


def test_what_changes_nothing_takes_no_band_away(found: Assessment) -> None:
    for happening in (Happening("driller feeds off", 60.0), Happening("active unit lost", 60.0)):
        scenario = Scenario(happenings=(happening,))
        assert no_band_words(planned(), found, scenario) == ""
        assert bands_for(planned(), found, scenario) == bands_for(planned(), found, Scenario())
    shut = Scenario(happenings=(Happening("gas bank shut", 60.0),))
    assert bands_for(planned(unit="locked"), found, shut)
    active = demo_plan().changed(compensator=demo_compensators()[ACTIVE])
    lost = Scenario(happenings=(Happening("active unit lost", 60.0),))
    assert bands_for(planned(active), assess(active), lost) == {}


def test_the_assessment_may_leave_out_the_hole() -> None:
    still = without_drilling(demo_plan())
    assert bands_for(planned(), assess(still), Scenario(hole=False))


@pytest.mark.parametrize("unit", sorted(demo_compensators()))
def test_a_regular_wave_has_its_own_band(unit: str) -> None:
    plan, _ = for_the_bit(demo_plan().changed(compensator=demo_compensators()[unit]))
    plan, scenario = without_drilling(plan), Scenario("wave", height=3.0, period=13.0, duration=150.0)
    bands = bands_for(planned(plan), assess(plan), scenario)
    result = run(planned(plan), scenario)
    settled = result.time > 100
    assert not any(band.checked for panel in bands.values() for band in panel)
    (heave,) = bands["heave"]
    assert heave.high == pytest.approx(result.heave[settled].max(), rel=1e-3)
    assert ("stroke" in bands) == (not plan.compensator.is_drawworks)
    assert ("hook_load" in bands) == (unit != ACTIVE)  # there the cylinder's load is not the hook's
    for panel in bands:
        (band,) = bands[panel]
        trace = getattr(result, panel)[settled]
        assert 0.25 < np.ptp(trace) / (band.high - band.low) < 1.05, panel


def test_a_wave_that_moves_nothing_has_a_band_of_nothing() -> None:
    plan = demo_plan().changed(heave_calibration=1.0)
    short = Scenario("wave", height=0.1, period=2.0)
    bands = bands_for(planned(plan), assess(plan), short)
    assert all(math.isfinite(band.low) for panel in bands.values() for band in panel)
    assert bands["heave"][0].high < 1e-3


@pytest.mark.parametrize("feed", ["none", "once", "often"])
@pytest.mark.parametrize("length", [700.0, 2700.0, 5000.0])
def test_in_a_calm_hole_made_against_seals_that_hold_belongs_to_the_band(length: float, feed: str) -> None:
    """A wave of a centimetre frees no seal, so the weight falls by up to their friction, and a feed puts as much on."""
    plan = demo_plan()
    pipe, *rest = plan.string.sections
    plan = plan.changed(
        string=replace(plan.string, sections=(replace(pipe, length=length), *rest)),
        offsets=replace(plan.offsets, penetration_rate=15.0 / 3600, feed_interval=40.0 * (feed == "often")),
    )
    feeds = (Happening("driller feeds off", 60.0),) if feed == "once" else ()
    scenario = Scenario("wave", height=0.01, period=10.0, duration=150.0, happenings=feeds)
    result, bands = run(planned(plan), scenario), bands_for(planned(plan), assess(plan), scenario)
    seen = result.time > 0
    for panel in ("bit_force", "hook_load"):
        (band,), trace = bands[panel], getattr(result, panel)[seen]
        assert band.low - 5e3 < trace.min(), panel
        assert trace.max() < band.high + 5e3, panel
    trace = result.bit_force[seen]
    hole = plan.offsets.penetration_rate * (40.0 if feed == "often" else 60.0)
    assert np.ptp(trace) > 0.8 * min(plan.string.stiffness * hole, 20e3)
    (band,) = bands["bit_force"]
    assert band.high - band.low < 3 * np.ptp(trace)


@pytest.mark.parametrize("amplitude", [1.8, 2.0])
def test_a_hook_that_swings_on_its_gas_bears_more_than_a_locked_one_would(amplitude: float) -> None:
    """Off bottom, in a wave of the load's own period on the gas, the hook moves more than the vessel: the band of the
    hook load is not that of a locked unit, which holds the hook to the vessel."""
    base = demo_plan()
    plan = without_drilling(base.changed(operation=replace(base.operation, kind="landing"), wob=0.0))
    own = float(assess(plan).setting.free_period_nominal or 0.0)
    per_metre = float(np.abs(regular_wave_heave(plan, 1.0, own, 60.0).position).max())
    scenario = Scenario("wave", height=amplitude / per_metre, period=own, duration=240.0, hole=False)
    played = play(Variant("as planned", plan), scenario)
    late = played.result.time > 240.0 - 4 * own
    swing = float(np.ptp(played.result.hook_load[late])) / 2
    (band,) = played.bands["hook_load"]
    assert not played.result.stroke_out.any()
    assert np.ptp(played.result.hook[late]) > np.ptp(played.result.heave[late])
    assert swing / ((band.high - band.low) / 2) == pytest.approx(1.0, abs=0.25)
