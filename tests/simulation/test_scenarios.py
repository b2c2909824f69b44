"""Trials and what is reported of them: set-ups, events, bands, histogram, equations of an instant."""

from __future__ import annotations

import ast
import math
import re
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from heave.errors import InputError
from heave.files.rigs import demo_compensators, demo_plan
from heave.judging import Step, assess
from heave.planning import OPERATIONS, Plan
from heave.simulation.comparisons import (
    COMPARISONS,
    Variant,
    band_of,
    for_the_bit,
    variants,
    why_not,
    without_drilling,
)
from heave.simulation.scenario import DURATION, Happening, MeasuredHeave, Scenario, run, why_nothing
from heave.simulation.simulate import SimulationResult
from heave.simulation.statistics import instant, report, shared_edges

ACTIVE = "Demo active-assisted unit, 600 klbf"
DRAWWORKS = "Demo compensating drawworks"


def with_unit(name: str) -> Plan:
    return demo_plan().changed(compensator=demo_compensators()[name])


def rougher() -> Plan:
    """The demo plan in a sea that lifts the bit when nothing compensates."""
    plan = without_drilling(demo_plan().changed(wob=150e3))
    return plan.changed(sea=plan.sea.with_primary(hs=5.0, tp=11.0))


@pytest.fixture(scope="module")
def bare() -> SimulationResult:
    return run(Variant("no compensator", rougher(), "no compensator"), Scenario(duration=120.0))


@pytest.fixture(scope="module")
def planned() -> SimulationResult:
    shut = Happening("gas bank shut", 60.0, 0.5)
    return run(Variant("as planned", demo_plan()), Scenario(duration=120.0, happenings=(shut,)))


def value_of(step: Step) -> float:
    """The formula of a step worked out again from its own numbers, SI."""
    names = {name: float(term.value) for name, term in step.terms.items()}
    words = step.formula.format(**{name: f"({value!r})" for name, value in names.items()})
    for sign, code in (("×", "*"), ("−", "-"), ("^", "**"), ("√", "sqrt"), ("π", "*pi"), ("²", "**2")):
        words = words.replace(sign, code)
    tree = ast.parse(words, mode="eval")
    return float(eval(compile(tree, "step", "eval"), {"sqrt": math.sqrt, "pi": math.pi}))  # our own formula


@pytest.mark.parametrize("unit", sorted(demo_compensators()))
@pytest.mark.parametrize("key", COMPARISONS)
def test_every_comparison_runs_or_says_why_not(key: str, unit: str) -> None:
    plan, _ = for_the_bit(with_unit(unit))
    if why_not(plan, key):
        assert (unit, key) == (DRAWWORKS, "bottles")
        with pytest.raises(InputError, match="no bottles"):
            variants(plan, key)
        return
    found = variants(plan, key)
    assert len(found) == (1 if key == "alone" else 2)
    assert len({(variant.plan, variant.unit) for variant in found}) == len(found)
    for variant in found:
        result = run(variant, Scenario(duration=30.0))
        assert np.all(np.isfinite(result.bit_force))
        assert np.all(result.bit_force >= 0)


def test_set_ups_change_what_they_say() -> None:
    plan = demo_plan()
    short, long = variants(plan, "depth")
    assert [variant.plan.string.length for variant in (short, long)] == pytest.approx([3000.0, 8000.0])
    opened, shut = variants(plan, "bottles")
    assert opened.plan.compensator.gas_volume_shut == 0
    ratio = opened.plan.compensator.volume_ratio / shut.plan.compensator.volume_ratio
    assert ratio == pytest.approx(2.5)
    passive, active = variants(with_unit(ACTIVE), "active")
    assert (passive.plan.active_in_use, active.plan.active_in_use) == (False, True)
    added = variants(plan, "active")[1]
    assert added.plan.active_in_use
    assert "invented" in added.label


def test_an_unknown_comparison_is_refused() -> None:
    with pytest.raises(InputError, match="comparison"):
        why_not(demo_plan(), "brand")


def test_too_little_gas_is_said_and_not_tried() -> None:
    unit = demo_plan().compensator
    small = replace(unit, gas_volume=1.5, gas_volume_shut=0.0)
    assert "less gas than the cylinder sweeps" in why_not(demo_plan().changed(compensator=small), "bottles")


@pytest.mark.parametrize("kind", OPERATIONS)
def test_any_plan_is_put_on_bottom(kind: str) -> None:
    plan = demo_plan()
    other = plan.changed(operation=replace(plan.operation, kind=kind))
    ready, words = for_the_bit(other)
    assert ready.on_bottom
    assert bool(words) != other.on_bottom
    empty, words = for_the_bit(other.changed(wob=0.0))
    assert empty.wob == pytest.approx(0.1 * plan.hookload)
    assert "tenth" in words


def test_a_stiff_set_up_has_the_locked_band() -> None:
    plan = demo_plan()
    found = assess(plan)
    for unit in ("locked", "no compensator"):
        band = band_of(Variant(unit, plan, unit), found)
        assert band.low == band.nominal == band.high == found.responses.bit.locked
        assert band.span(band.nominal) == pytest.approx((band.wob - band.locked, band.wob + band.locked))
    assert band_of(Variant("as planned", plan), found) == found.responses.bit


def test_the_compensator_softens_the_bit_force() -> None:
    soft, stiff = (
        run(variant, Scenario(duration=120.0, hole=False)) for variant in variants(demo_plan(), "none")
    )
    assert np.array_equal(soft.heave, stiff.heave)
    assert soft.bit_force.std() < 0.6 * stiff.bit_force.std()
    assert np.abs(stiff.stroke).max() < 1e-3  # a hook that moves with the vessel, to a millimetre


def test_hole_made_eats_stroke_and_a_feed_gives_it_back() -> None:
    made = run(Variant("as planned", demo_plan()), Scenario(duration=120.0, hole=True))
    not_made = run(Variant("as planned", demo_plan()), Scenario(duration=120.0, hole=False))
    eaten = (made.stroke - not_made.stroke)[-500:].mean()
    assert eaten == pytest.approx(demo_plan().offsets.penetration_rate * 115, rel=0.1)
    fed = Scenario(duration=180.0, happenings=(Happening("driller feeds off", 100.0),))
    after = run(Variant("as planned", demo_plan()), fed)
    assert after.stroke[-500:].mean() < made.stroke[-500:].mean() + 0.05


def test_events_happen_to_what_they_can_happen_to() -> None:
    plan = demo_plan()
    planned, bare = Variant("as planned", plan), Variant("none", plan, "no compensator")
    assert not why_nothing("gas bank shut", planned)
    assert why_nothing("gas bank shut", bare)
    assert why_nothing("gas bank shut", Variant("as planned", with_unit(DRAWWORKS)))
    assert why_nothing("active unit lost", planned)
    assert not why_nothing("active unit lost", Variant("as planned", with_unit(ACTIVE)))
    assert not why_nothing("driller feeds off", bare)
    locked = run(planned, Scenario(duration=60.0, happenings=(Happening("compensator locked", 30.0),)))
    after = locked.time > 31
    assert np.ptp(locked.stroke[after]) < 1e-3
    assert np.ptp(locked.stroke[~after]) > 0.05
    all_of_them = tuple(Happening(kind, 20.0) for kind in ("gas bank shut", "active unit lost"))
    assert run(bare, Scenario(duration=30.0, happenings=all_of_them)).events == ()


def test_a_regular_wave_is_regular() -> None:
    result = run(Variant("as planned", demo_plan()), Scenario("wave", height=2.0, period=8.0, duration=64.0))
    assert result.heave[400:] == pytest.approx(result.heave[:-400], abs=1e-4)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: Scenario("tide"), "heave"),
        (lambda: Scenario("record"), "measured heave"),
        (lambda: Scenario(duration=DURATION[0] - 1), "time of a scenario"),
        (lambda: Scenario(duration=DURATION[1] + 1), "time of a scenario"),
        (lambda: Scenario(duration=math.nan), "time of a scenario"),
        (lambda: Happening("coffee break", 1.0), "event"),
        (lambda: Happening("gas bank shut", 1.0, 1.0), "share"),
        (lambda: Happening("gas bank shut", 1.0, 0.0), "share"),
    ],
)
def test_what_cannot_be_tried_is_refused(make: Any, words: str) -> None:
    with pytest.raises(InputError, match=words):
        make()
    assert Scenario(duration=DURATION[0]).length == DURATION[0]


def test_trials_can_be_told_apart() -> None:
    record = MeasuredHeave("a", np.zeros(100), 1.0)
    assert Scenario() == Scenario()
    assert len({Scenario(), Scenario(seed=2), Scenario("record", record=record), Scenario("wave")}) == 4


def test_a_run_can_be_watched_and_stopped() -> None:
    told: list[float] = []
    run(Variant("as planned", demo_plan()), Scenario(duration=60.0), told.append)
    assert told == sorted(told)
    assert told[-1] == 1.0

    def stop(share: float) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        run(Variant("as planned", demo_plan()), Scenario(duration=60.0), stop)


def test_the_report_counts_every_moment_once(bare: SimulationResult) -> None:
    band = assess(bare.plan).responses.bit
    found = report(bare, band)
    force = bare.bit_force
    assert found.shares.sum() == pytest.approx(1.0)
    assert len(found.edges) == len(found.shares) + 1
    assert found.lowest == force.min() == 0.0
    lowest, highest = band.span(band.nominal)
    assert band.drift_less > 0  # the demo plan makes hole between feeds
    assert lowest == pytest.approx(band.wob - band.drift_less - band.nominal)
    outside = (force < lowest) | (force > highest)
    assert found.outside_nominal == pytest.approx(outside.mean())
    assert found.outside_low >= found.outside_nominal >= found.outside_high
    low, high = bare.plan.operation.wob_low, bare.plan.operation.wob_high
    assert found.outside_limits == pytest.approx(np.mean((force < low) | (force > high)))
    assert math.isnan(report(bare, None).outside_nominal)


def test_every_lift_off_is_told_with_its_length(bare: SimulationResult) -> None:
    found = report(bare, None).lift_offs
    assert len(found) == int(bare.summary.lift_offs[0]) > 0
    total = sum(item.duration for item in found)
    assert total == pytest.approx(bare.lift_off.mean() * len(bare.time) * bare.step)
    for item in found:
        inside = (bare.time >= item.start) & (bare.time < item.start + item.duration - 1e-9)
        assert np.all(bare.bit_force[inside] == 0)


def test_two_runs_share_their_histogram(bare: SimulationResult, planned: SimulationResult) -> None:
    edges = shared_edges([bare, planned])
    for result in (bare, planned):
        assert edges[0] < result.bit_force.min()
        assert edges[-1] > result.bit_force.max()
        assert report(result, None, edges).shares.sum() == pytest.approx(1.0)


def test_a_stretch_keeps_its_extremes(bare: SimulationResult) -> None:
    farthest = bare.time[np.argmax(np.abs(bare.bit_force - bare.bit_force.mean()))]
    start = min(max(farthest - 24.0, 0.0), bare.time[-1] - 40.0)
    time, force = bare.decimated("bit_force", 300, start, start + 40.0)
    inside = (bare.time >= start) & (bare.time <= start + 40.0)
    assert len(time) <= 300
    assert np.all(np.diff(time) >= 0)
    assert (force.min(), force.max()) == (bare.bit_force[inside].min(), bare.bit_force[inside].max())
    with pytest.raises(InputError, match="trace"):
        bare.decimated("gauge", 800, 0.0, 10.0)
    with pytest.raises(InputError, match="stretch"):
        bare.decimated("heave", 800, 500.0, 510.0)


@pytest.mark.parametrize("moment", [0.0, 30.0, 59.9, 60.1, 90.0, 120.0])
def test_the_equations_of_an_instant_come_out(planned: SimulationResult, moment: float) -> None:
    """Each formula worked out from the numbers it shows; the gas force is taken half a step ahead, so to 1e-4."""
    steps = instant(planned, moment)
    assert [step.symbol for step in steps] == ["z_block", "x", "P", "F", "F_cell", "WOB"]
    for step in steps:
        tolerance = {"rel": 2e-4} if step.symbol == "P" else {"rel": 1e-9, "abs": 1e-6}
        assert value_of(step) == pytest.approx(step.result.value, **tolerance), step.symbols()
    row = min(int(np.searchsorted(planned.time, moment)), len(planned.time) - 1)
    assert steps[-1].result.value == planned.bit_force[row]
    assert steps[-2].result.value == planned.hook_load[row]


def test_equations_without_a_working_unit_have_no_gas(bare: SimulationResult) -> None:
    assert [step.symbol for step in instant(bare, 10.0, "no compensator")] == ["z_block", "F_cell", "WOB"]
    with pytest.raises(InputError, match="moment"):
        instant(bare, 121.0)


def test_hook_load_is_not_bit_load(bare: SimulationResult) -> None:
    """The balance at an instant needs what no gauge shows: inertia and ringing of hook and string."""
    shares = []
    for moment in np.arange(5.0, 115.0, 1.0):
        step = instant(bare, float(moment), "no compensator")[-1]
        shares.append(abs(step.terms["F_i"].value) / bare.plan.wob)
    assert max(shares) > 0.1
    assert re.search("not on any gauge", instant(bare, 5.0, "locked")[-1].terms["F_i"].meaning)
