"""The record of the drilling line against arithmetic of its own, and how it is kept in a plan."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

import heave
from heave.errors import InputError
from heave.files.plan import plan_to_json, read_plan
from heave.files.rigs import demo_compensators, demo_hoisting
from heave.judging import assess
from heave.judging.line_record import LineRecord, heave_work, heave_work_over, line_record, tripping
from heave.planning import LineJob, LineWork, Plan
from heave.units import STANDARD_GRAVITY, to_si

TON_MILE = to_si(2.0, "klbf") * 1609.344
JOBS = (LineJob("round trip", 3000.0, times=2.0), LineJob("drilling with a top drive", 3200.0, 3000.0))
RECORD = LineWork(
    since_cut=500 * TON_MILE,
    goal=1500 * TON_MILE,
    cut_length=25.0,
    slip_length=30.0,
    on_reel=100.0,
    on_drum=420.0,
    drum_core=0.8,
    drum_width=1.4,
    drum_layers=5.0,
    jobs=JOBS,
    planned=72 * 3600.0,
    stand=28.0,
    hook_acceleration=0.3,
    lowering_speed=1.5,
    deceleration=0.5,
)


def base_plan(body: float = 9_000.0, **changes: Any) -> Plan:
    """The demo plan on a block of 12 t, and a body of an in-line unit of 9 t."""
    path = replace(demo_hoisting(), block_mass=12_000.0, body_mass=body)
    return heave.demo_plan().changed(hoisting=path, **changes)


def drawworks_plan(record: LineWork | None = RECORD) -> Plan:
    unit = next(unit for unit in demo_compensators().values() if unit.is_drawworks)
    return base_plan(0.0, compensator=unit, line_work=record)


def record_of(plan: Plan) -> LineRecord:
    found = line_record(plan)
    assert found is not None
    return found


def round_trip(plan: Plan, depth: float) -> float:
    """API RP 9B, round trip, from the plan's own weights [J]: the demo string's pipe is its longest section."""
    string, path = plan.string, plan.hoisting
    assert path is not None
    pipe = (
        max(string.sections, key=lambda one: one.length).linear_mass
        * string.buoyancy_factor
        * STANDARD_GRAVITY
    )
    excess = string.buoyed_weight - pipe * string.length
    lines = 12 * 45.0 * path.line.linear_mass  # type: ignore[union-attr]
    block = (21_000 + lines + plan.compensator.moving_mass + string.handling_mass) * STANDARD_GRAVITY
    return pipe * depth * (28.0 + depth) + 4 * depth * (block + excess / 2)


def test_planned_work_and_the_next_cut() -> None:
    plan = base_plan(line_work=RECORD)
    found = record_of(plan)
    trip, deeper = round_trip(plan, 3000.0), round_trip(plan, 3200.0)
    assert found.jobs == pytest.approx((2 * trip, deeper - trip), rel=1e-9)
    assert found.planned == pytest.approx(trip + deeper, rel=1e-9)
    assert found.rate == pytest.approx((trip + deeper) / (72 * 3600.0), rel=1e-9)
    assert found.left == pytest.approx(1000 * TON_MILE, rel=1e-9)
    assert found.time_left == pytest.approx(found.left / found.rate, rel=1e-9)
    assert found.cuts_left == 3  # 100 m by 30 m
    assert found.heave is None  # nothing compensates with the line


def test_wraps_left_are_those_of_the_laps_on_the_drum() -> None:
    """Five layers of 40 wraps of 34.925 mm line; layer by layer, what 30 m of block on 12 lines take off 420 m."""
    found = record_of(base_plan(line_work=RECORD))
    left, wraps, laid = 420.0 - 30.0 * 12, 0.0, 0
    a_layer = math.floor(1.4 / 0.034925)
    while left > 0:
        lap = math.pi * (0.8 + 0.034925 + 2 * 0.9 * 0.034925 * laid)
        wraps += min(left / lap, a_layer)
        left -= a_layer * lap
        laid += 1
    assert found.wraps == pytest.approx(wraps, rel=1e-9)
    capacity = sum(a_layer * math.pi * (0.834925 + 2 * 0.9 * 0.034925 * layer) for layer in range(5))
    assert found.capacity == pytest.approx(capacity, rel=1e-9)


def test_a_block_that_follows_the_heave_leaves_less_on_the_drum() -> None:
    plan = drawworks_plan()
    still, moved = record_of(base_plan(line_work=RECORD)), record_of(plan)
    fewer = assess(plan).responses.heave.level * 12 / (math.pi * 0.834925)
    assert moved.wraps == pytest.approx(still.wraps - fewer, rel=1e-9)  # type: ignore[operator]
    short = drawworks_plan(replace(RECORD, on_drum=361.0))
    assert record_of(short).wraps == 0.0


def test_an_hour_of_compensating_is_load_times_the_way_of_a_gaussian_heave() -> None:
    """Mean |v| of a Gaussian is √(2/π) σ_v; as PHYSICS of a regular heave, 200 short tons, 1 m, 10 s: 179 ton-miles."""
    plan = drawworks_plan(replace(RECORD, jobs=(), compensating=10 * 3600.0, planned=20 * 3600.0))
    found, motion = record_of(plan), assess(plan).responses
    assert found.heave is not None
    load = plan.hookload - plan.wob + 12_000 * STANDARD_GRAVITY
    load += 12 * 45.0 * plan.hoisting.line.linear_mass * STANDARD_GRAVITY  # type: ignore[union-attr]
    load += plan.compensator.moving_mass * STANDARD_GRAVITY
    rate = math.sqrt(2 / math.pi) * float(motion.velocity.sigma)
    assert float(found.heave.work[0]) == pytest.approx(load * rate * 3600, rel=1e-6)
    assert found.planned == pytest.approx(10 * float(found.heave.work[0]), rel=1e-12)
    # 4σ on 12 lines over 15 m between crown and block at its highest: sheaves that one piece runs over
    sheaves = min(1 + math.floor(12 * 4 * float(motion.heave.sigma) / 15.0), 12)
    assert found.heave.bends[0] == pytest.approx(2 * sheaves * 3600 / float(motion.heave.period), rel=1e-9)


def test_many_seas_at_once_are_each_as_alone_and_work_grows_with_the_sea() -> None:
    plan = drawworks_plan()
    seas = [plan.sea.with_primary(hs=height) for height in (0.5, 2.0, 5.0)]
    alone = [heave_work(plan.changed(sea=sea), sea.batch()) for sea in seas]
    works = [float(one.work[0]) for one in alone if one is not None]
    assert len(works) == 3
    assert np.all(np.diff(works) > 0)
    both = heave_work(plan, seas[1].batch().repeated(2))
    assert both is not None
    assert list(both.work) == pytest.approx([works[1]] * 2, rel=1e-6)
    assert heave_work(plan.changed(active=False), plan.sea.batch()) is None
    assert heave_work(plan.doing("tripping"), plan.sea.batch()) is None


def test_work_through_seas_is_the_sum_of_their_hours_and_a_missing_sea_adds_nothing() -> None:
    plan = drawworks_plan()
    hour = heave_work(plan, plan.sea.batch())
    assert hour is not None
    three = plan.sea.batch().repeated(3)
    work, known, _ = heave_work_over(plan, three, 3 * 3600.0)  # type: ignore[misc]
    assert work == pytest.approx(9 * float(hour.work[0]), rel=1e-6)
    assert known == 9 * 3600.0
    slot = replace(three.slots[0], hs=np.array([np.nan, *three.slots[0].hs[1:]]))
    lacking = replace(three, slots=(slot, *three.slots[1:]))
    less, hours, _ = heave_work_over(plan, lacking, 3 * 3600.0)  # type: ignore[misc]
    assert less == pytest.approx(work * 2 / 3, rel=1e-6)
    assert hours == 6 * 3600.0
    assert heave_work_over(base_plan(), three, 3600.0) is None


def test_a_stand_up_and_down() -> None:
    plan = base_plan(line_work=RECORD)
    stand, path = record_of(plan).stand, plan.hoisting
    assert path is not None
    load = plan.hookload + (21_000 + 4_000) * STANDARD_GRAVITY + path.line_mass * STANDARD_GRAVITY
    speed = 2.2e6 * 0.78208 / load  # efficiency of 12 lines, API RP 9B
    assert stand.speed == pytest.approx(speed, rel=1e-4)
    assert stand.time == pytest.approx(28.0 / speed + speed / 0.3, rel=1e-4)
    assert stand.energy == pytest.approx(load * 28.0, rel=1e-9)
    assert stand.stopping == pytest.approx(1.5**2 / (2 * 0.5), rel=1e-12)
    assert stand.raised == pytest.approx(load * 28.0 / 0.78208, rel=1e-4)
    assert stand.stopping_pull == pytest.approx(load * (1 + 0.5 / STANDARD_GRAVITY) / 12, rel=1e-9)


def test_the_hook_is_as_fast_as_power_and_gears_both_allow() -> None:
    """Fast line of the demo string about 175 kN: gears of 300, 150 and 60 kN at 4, 8 and 20 m/s, 1.2 MW each."""
    plan = base_plan(line_work=RECORD)
    gears = {
        "low_gear_pull": 300e3,
        "low_gear_speed": 4.0,
        "middle_gear_pull": 150e3,
        "middle_gear_speed": 8.0,
    }
    gears |= {"high_gear_pull": 60e3, "high_gear_speed": 20.0}

    def speed(hookload: float | None = None, power: float | None = None, **given: float) -> float | None:
        path = replace(plan.hoisting, drawworks_power=power, **given)
        asked = plan.changed(hoisting=path, hookload_entered=hookload, hookload_confirmed=hookload, wob=0.0)
        return record_of(asked).stand.speed

    load = plan.hookload + (21_000 + 4_000 + plan.hoisting.line_mass) * STANDARD_GRAVITY
    assert speed(**gears) == pytest.approx(1.2e6 * 0.78208 / load, rel=1e-4)
    assert speed(power=0.6e6, **gears) == pytest.approx(0.6e6 * 0.78208 / load, rel=1e-4)
    assert speed(power=2.2e6, **gears) == speed(**gears)
    assert speed(hookload=2.3e5, **gears) == pytest.approx(20.0 / 12)
    assert speed(hookload=3.5e6, **gears) is None
    assert speed(hookload=3.5e6, power=2.2e6, **gears) is None
    assert speed() is None


def test_after_the_next_cut_and_how_long_it_should_be() -> None:
    """A lap of the first layer is π (0.8 + 0.034925) = 2.623 m: 25 m are 9.53 laps, so 10.5 of them."""
    found = record_of(base_plan(line_work=RECORD))
    assert found.cut == pytest.approx(10.5 * math.pi * 0.834925, rel=1e-9)
    assert (found.after.on_reel, found.after.on_drum) == (70.0, 425.0)
    for changes in ({"on_reel": 20.0}, {"cut_length": 480.0}, {"goal": None}):
        assert record_of(base_plan(line_work=replace(RECORD, **changes))).after is None
    assert record_of(base_plan(line_work=replace(RECORD, drum_core=None))).cut is None


def test_a_string_lighter_than_its_longest_pipe_is_taken_as_uniform() -> None:
    plan = base_plan()
    pipe = max(plan.string.sections, key=lambda one: one.length)
    light = replace(pipe, length=500.0, linear_mass=pipe.linear_mass / 2)
    string = replace(plan.string, sections=(pipe, light))
    plan = plan.changed(string=string, wob=0.0)
    found = tripping(plan, 28.0)
    assert found.excess_weight == 0.0
    assert found.pipe_weight == pytest.approx(string.buoyed_weight / string.length, rel=1e-12)


def test_what_is_empty_is_not_known_and_what_rests_on_it_is_none() -> None:
    found = record_of(base_plan(line_work=LineWork()))
    assert (found.planned, found.rate, found.left, found.time_left, found.cuts_left) == (None,) * 5
    assert (found.capacity, found.wraps, found.stand.time, found.stand.energy, found.stand.stopping) == (
        None,
    ) * 5
    asked = replace(RECORD, jobs=(), compensating=3600.0)
    assert record_of(base_plan(line_work=asked)).planned is None  # no drawworks compensates
    assert line_record(heave.demo_plan()) is None
    assert line_record(base_plan(line_work=RECORD).changed(hoisting=None)) is None


def test_the_record_is_kept_with_the_plan_and_older_files_have_none() -> None:
    plan = drawworks_plan()
    written = plan_to_json(plan)
    assert read_plan(written.encode()) == plan
    document = json.loads(written)
    del document["plan"]["line_work"]
    assert read_plan(json.dumps(document).encode()) == plan.changed(line_work=None)


@pytest.mark.parametrize(
    ("change", "named"),
    [
        ({"drum_core": 0.02}, "core diameter of the drum"),
        ({"on_drum": 900.0}, "line on the drum"),
        ({"on_drum": 300.0}, "travel of the block"),
        ({"goal": 0.0}, "work between cuts"),
        ({"on_reel": -1.0}, "line on the supply reel"),
        ({"compensating": 80 * 3600.0}, "of it the drawworks compensates"),
        ({"deceleration": 0.0}, "deceleration of the hook"),
    ],
)
def test_bad_numbers_are_refused_by_name(change: dict[str, float], named: str) -> None:
    with pytest.raises(InputError, match=named):
        base_plan(line_work=replace(RECORD, **change))  # type: ignore[arg-type]


def test_a_job_ends_deeper_than_it_begins() -> None:
    with pytest.raises(InputError, match="from depth"):
        LineJob("coring", 1000.0, 1200.0)
