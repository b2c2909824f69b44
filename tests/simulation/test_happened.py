"""What may be made to happen, what it comes to, and the marks that a run tells of it."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from heave.compensator import GasUnit
from heave.compensator.time_domain import BLOCK_MOVES, Event, regular_heave, simulate_cases
from heave.errors import InputError
from heave.files.rigs import demo_compensators, demo_plan
from heave.judging import assess
from heave.judging.results import string_period
from heave.planning import Plan
from heave.simulation.bands import no_band_words
from heave.simulation.comparisons import Variant, without_drilling
from heave.simulation.happened import APART, BLOW, BLOW_VALIDITY, Mark
from heave.simulation.scenario import (
    ASKED,
    BEYOND,
    HAPPENINGS,
    Happening,
    Scenario,
    block_travel,
    largest_heave,
    run,
    why_left_out,
    why_nothing,
)
from heave.simulation.simulate import SimulationResult, plan_case, plan_model, simulate

ACTIVE = "Demo active-assisted unit, 600 klbf"
DRAWWORKS = "Demo compensating drawworks"


@cache
def undisturbed(variant: Variant) -> SimulationResult:
    return run(variant, Scenario(duration=50.0))


def plan_with(unit: str = "Demo in-line unit, 400 klbf") -> Plan:
    return demo_plan().changed(compensator=demo_compensators()[unit])


def tried(variant: Variant, kind: Any, **about: Any) -> SimulationResult:
    return run(variant, Scenario(duration=120.0, happenings=(Happening(kind, 50.0, **about),)))


def marks(result: SimulationResult, kind: str) -> list[Mark]:
    return [mark for mark in result.happened if mark.kind == kind]


@pytest.mark.parametrize("unit", sorted(demo_compensators()))
@pytest.mark.parametrize("kind", sorted(HAPPENINGS))
def test_what_happens_is_marked_and_what_changes_nothing_says_why(kind: Any, unit: str) -> None:
    for how in ("as planned", "locked"):
        variant = Variant(how, plan_with(unit), how)
        happening = Happening(kind, 20.0)
        result = run(variant, Scenario(duration=50.0, happenings=(happening,)))
        why, changed = why_nothing(kind, variant), np.zeros(len(result.time))
        for name in ("hook_load", "active_force"):
            changed += np.abs(getattr(result, name) - getattr(undisturbed(variant), name))
        assert bool(marks(result, kind)) == (not why)
        assert (changed.max() > 100.0) == (not why), how
        if why:
            assert why.endswith(".")
        elif kind != "wave group":
            assert changed[result.time < 19.8].max() < 1e-3


@pytest.mark.parametrize("kind", BLOCK_MOVES)
def test_the_driller_runs_the_unit_into_its_end(kind: Any) -> None:
    plan = without_drilling(demo_plan())
    result = tried(Variant("A", plan), kind)
    half = (getattr(plan.compensator, "stroke", math.nan)) / 2
    (first, *_) = marks(result, "stroke-out")
    assert 50.0 < first.time < 75.0
    assert first.word.endswith("compressed" if kind == "block raised" else "extended")
    row = int(np.searchsorted(result.time, first.time))
    assert BLOCK_MOVES[kind] * result.stroke[row] == pytest.approx(half, abs=0.02)
    touching = result.stop_force != 0
    assert first.force is not None
    assert first.force == pytest.approx(np.abs(result.stop_force[row : row + 250]).max(), rel=1e-9)
    assert np.all(BLOCK_MOVES[kind] * result.stop_force[touching] > 0)
    # the load trace shows it: gas, seals and end are what stands between block and hook
    assert np.array_equal(touching, result.stroke_out)
    gas = result.gas_pressure
    assert gas is not None
    rest = result.compensator_force - gas * (getattr(plan.compensator, "effective_area", math.nan))
    assert rest == pytest.approx(result.friction_force + result.active_force + result.stop_force, abs=1.0)


def test_in_a_calm_the_default_goes_just_past_the_end() -> None:
    """Way to the end, 0.3 m, and the string's stretch under gas (P V^n, air on the other side) and seals."""
    plan = without_drilling(demo_plan())
    unit, setting = plan.compensator, assess(plan).setting
    assert isinstance(unit, GasUnit)
    half, length = unit.stroke / 2, unit.volume_ratio * unit.stroke
    air = 101325.0 * unit.effective_area
    for start in (0.0, 0.5):
        moved = plan.changed(offsets=replace(plan.offsets, start_position=start))
        for kind, side in BLOCK_MOVES.items():
            end = side * half
            gas = (setting.load + air) * (((length - start) / (length - end)) ** unit.index - 1)
            stretch = (abs(gas) + setting.friction_force) / plan.string.stiffness
            assert block_travel(moved, kind) == pytest.approx(
                half - side * start + BEYOND + stretch, rel=1e-3
            )
    calm = regular_heave(0.0, 10.0, 120.0)
    for kind in BLOCK_MOVES:
        for share_of_it, meets in ((1.0, True), (0.8, False)):
            event = Event(kind, 20.0, share_of_it * block_travel(plan, kind), 40.0)  # type: ignore[arg-type]
            assert bool(marks(simulate(plan, heave=calm, events=(event,)), "stroke-out")) == meets, kind


@pytest.mark.parametrize("kind", BLOCK_MOVES)
def test_the_blow_lies_within_what_is_said_of_it(kind: Any) -> None:
    """Stiffness and damping of the cushion halved and doubled."""
    plan = without_drilling(demo_plan())
    case, model, heave = plan_case(plan), plan_model(plan), regular_heave(0.6, 11.0, 80.0)
    event, blows = Event(kind, 20.0, block_travel(plan, kind), 20.0), {}
    for soft in (0.5, 1.0, 2.0):
        for loose in (0.5, 1.0, 2.0):
            cushion = replace(
                case,
                stop_stiffness=soft * np.asarray(case.stop_stiffness),
                stop_damping=loose * np.asarray(case.stop_damping),
            )
            stop = simulate_cases(model, cushion, heave, events=(event,)).traces["stop"][:, 0]
            first = int(np.argmax(stop != 0))
            blows[soft, loose] = float(np.abs(stop[first : first + 75]).max())
    shares = [blow / blows[1.0, 1.0] for blow in blows.values()]
    assert BLOW[0] <= min(shares) < max(shares) - 0.05
    assert max(shares) <= BLOW[1]
    assert all(f"{end:g}" in BLOW_VALIDITY for end in BLOW)


def test_power_lost_takes_the_active_part_and_sets_the_brake() -> None:
    active = tried(Variant("A", plan_with(ACTIVE)), "power lost")
    assert np.abs(active.active_force[active.time < 50]).max() > 1e3
    assert not active.active_force[active.time > 50.2].any()
    assert marks(active, "power lost")[0].word == "Power lost: the active part stops"
    drawworks = tried(Variant("A", plan_with(DRAWWORKS)), "power lost")
    held = drawworks.time > 50.2
    assert np.ptp((drawworks.block - drawworks.heave)[held]) < 1e-9
    assert np.ptp((drawworks.block - drawworks.heave)[~held]) > 0.2
    assert "brake" in marks(drawworks, "power lost")[0].word
    # no hole is made any more on any unit, and nothing is fed
    passive = tried(Variant("A", demo_plan()), "power lost")
    assert passive.bit[-1] == pytest.approx(-50.0 * demo_plan().offsets.penetration_rate, abs=2e-3)


def test_a_wave_group_has_the_crest_that_is_asked_for() -> None:
    plan = demo_plan()
    for height, wanted in ((0.8, 0.8), (None, largest_heave(plan))):
        result = tried(Variant("A", plan), "wave group", height=height)
        row = round(50.0 / result.step) - 1
        assert result.heave[row] == pytest.approx(wanted, abs=1e-4)
        assert result.heave[row] > result.heave[row - 5]
        assert result.heave[row] > result.heave[row + 5]
    assert largest_heave(plan) == pytest.approx(assess(plan).responses.heave.most_probable_maximum, rel=1e-6)


def test_a_lift_off_is_told_with_its_landing_and_the_blow() -> None:
    plan = without_drilling(demo_plan().changed(wob=150e3))
    plan = plan.changed(sea=plan.sea.with_primary(hs=5.0, tp=11.0))
    result = run(Variant("A", plan, "no compensator"), Scenario(duration=120.0))
    lifts, landings = marks(result, "lift-off"), marks(result, "landing")
    assert len(lifts) >= len(landings) >= 3
    swing = string_period(plan)
    for lift, landing in zip(lifts, landings, strict=False):
        assert lift.time < landing.time
        row = int(np.searchsorted(result.time, landing.time))
        assert result.bit_force[row] > 0 == result.bit_force[row - 1]
        window = (result.time >= landing.time - 1e-9) & (result.time < landing.time + swing - result.step)
        assert landing.force is not None
        assert landing.force >= result.bit_force[window].max()
        assert landing.force <= result.bit_force[row : row + round(swing / result.step) + 2].max()
        assert lift.force is None
    assert all(later.time - earlier.time > swing for earlier, later in pairwise(lifts))
    hardest = max(landings, key=lambda mark: mark.force or 0.0)
    assert hardest.told("metric") == f"Bit lands, {hardest.told('metric').partition(', ')[2]}"
    assert hardest.told("metric") != hardest.told("oilfield")


def test_marks_come_in_order_of_time_and_bounces_are_one() -> None:
    result = tried(Variant("A", without_drilling(demo_plan())), "block lowered")
    times = [mark.time for mark in result.happened]
    assert times == sorted(times)
    strikes = marks(result, "stroke-out")
    assert all(b.time - a.time >= APART for a, b in pairwise(strikes))
    assert len(strikes) <= int(result.summary.stop_hits[0])
    assert run(Variant("A", without_drilling(demo_plan())), Scenario(duration=60.0)).happened == ()


def test_why_nothing_is_plain() -> None:
    plan = demo_plan()
    free = plan.changed(operation=replace(plan.operation, kind="landing"))
    still, active = without_drilling(plan), plan_with(ACTIVE)
    for kind, variant, source, words in (
        ("active unit lost", Variant("A", plan), "sea", "No active part"),
        ("active unit lost", Variant("A", active.changed(active=False)), "sea", "No active part"),
        ("gas bank shut", Variant("A", plan_with(DRAWWORKS)), "sea", "no bottles"),
        ("gas bank shut", Variant("A", plan, "no compensator"), "sea", "Nothing compensates"),
        ("compensator locked", Variant("A", plan, "locked"), "sea", "Nothing compensates"),
        ("power lost", Variant("A", still), "sea", "needs power"),
        ("power lost", Variant("A", without_drilling(active), "locked"), "sea", "needs power"),
        ("driller feeds off", Variant("A", still), "sea", "nothing to feed off"),
        ("block raised", Variant("A", free), "sea", "goes with the block"),
        ("wave group", Variant("A", plan), "record", "measured heave"),
        ("wave group", Variant("A", plan), "wave", "regular wave"),
    ):
        assert words in why_nothing(kind, variant, source), kind
    for kind in HAPPENINGS:
        assert why_nothing(kind, Variant("A", active)) == ""
    with pytest.raises(InputError, match="event"):
        why_nothing("coffee break", Variant("A", plan))


def test_what_is_left_out_is_told_of_the_run_as_it_is() -> None:
    plan = demo_plan()
    most_crest = 6 * float(assess(plan).responses.heave.sigma)
    power, most = Happening("power lost", 20.0), Happening("gas bank shut", 20.0, 0.95)
    for item, variant, scenario, words in (
        (power, Variant("A", plan), Scenario(hole=False), "needs power"),
        (power, Variant("A", plan), Scenario(), ""),
        (most, Variant("A", plan), Scenario(), "less gas than the cylinder sweeps"),
        (replace(most, share=0.85), Variant("A", plan), Scenario(), ""),
        (Happening("wave group", 20.0), Variant("A", plan), Scenario("wave"), "regular wave"),
        (
            Happening("wave group", 20.0, height=most_crest * 1.01),
            Variant("A", plan),
            Scenario(),
            "no such wave",
        ),
        (Happening("wave group", 20.0, height=most_crest * 0.99), Variant("A", plan), Scenario(), ""),
        (Happening("compensator locked", 40.1), Variant("A", plan), Scenario(), "after the end"),
        (Happening("compensator locked", 40.0), Variant("A", plan), Scenario(), ""),
    ):
        tried_so = replace(scenario, duration=40.0, happenings=(item,))
        assert words in why_left_out(item, variant, tried_so)
        assert bool(why_left_out(item, variant, tried_so)) == bool(words)
        assert any(event.kind == item.kind for event in run(variant, tried_so).events) == (not words)
        assert bool(no_band_words(variant, assess(plan), tried_so)) == (not words)


@pytest.mark.parametrize(
    ("about", "words"),
    [
        ({"time": -1.0}, "Time"),
        ({"time": 3601.0}, "Time"),
        ({"time": math.nan}, "Time"),
        ({"amount": 0.05}, "Block moved"),
        ({"amount": 20.1}, "Block moved"),
        ({"over": 0.5}, "on the way"),
        ({"over": 301.0}, "on the way"),
        ({"height": 0.0}, "Crest"),
        ({"height": 31.0}, "Crest"),
    ],
)
def test_numbers_of_a_happening_are_bounded(about: dict[str, float], words: str) -> None:
    with pytest.raises(InputError, match=words):
        Happening("block raised", **({"time": 10.0} | about))  # type: ignore[arg-type]
    assert set(ASKED) <= set(HAPPENINGS)


def test_a_group_that_no_sea_makes_or_that_has_no_sea_is_refused() -> None:
    plan = demo_plan()
    with pytest.raises(InputError, match="crest of the wave group"):
        simulate(plan, 60.0, events=(Event("wave group", 20.0, 20.0),))
    group = Event("wave group", 20.0, 0.5)
    with pytest.raises(InputError, match="own sea"):
        simulate(plan, heave=regular_heave(0.5, 10.0, 60.0), events=(group,))
    with pytest.raises(InputError, match="wave groups"):
        simulate(plan, 60.0, events=(group, Event("wave group", 40.0, 0.5)))
    with pytest.raises(InputError, match="crest"):
        simulate(plan, 60.0, events=(Event("wave group", 40.0),))
