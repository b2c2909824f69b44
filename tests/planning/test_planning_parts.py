"""What a plan is made of, by hand: slow travel, steps and blocks, tasks, α, tide, clocks, trips and what is refused."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import timedelta
from typing import Any

import numpy as np
import pytest

import heave
from heave.compensator import Compensator
from heave.errors import InputError
from heave.files.rigs import demo_compensators, demo_hoisting
from heave.planning import HsLimit, Operation, Plan, StaticOffsets
from heave.planning.alpha import BASE_CASE, NO_FACTOR, AlphaRow, AlphaTable
from heave.planning.campaign import Block, Campaign, OperationStep
from heave.planning.columns import ForecastMapping
from heave.planning.job import first_well, held_against
from heave.planning.progress import Answered, Progress
from heave.planning.rig import curve_at, load_over_stroke, with_path, with_sections, with_unit
from heave.planning.task import Task, plan_for, with_tide
from heave.planning.tide import Tide, TideWater, travel
from heave.planning.trip import trip_time
from heave.planning.weather import WeatherChoices
from heave.planning.zones import offset_of

HOUR = 3600.0
G = 9.80665


@pytest.fixture(scope="module")
def plan() -> Plan:
    return heave.demo_plan()


def test_slow_travel_towards_either_end() -> None:
    """Tide, draught, Δ² / 2L, space-out and hole made: 3 % of 1500 m sets down 0.675 m."""
    offsets = StaticOffsets(
        start_position=0.25, tide_rise=0.5, tide_fall=0.7, draught_change=0.4, vessel_offset=45.0,
        space_out_error=0.2, penetration_rate=20 / HOUR, feed_interval=600.0,
    )  # fmt: skip
    assert offsets.set_down(1500.0) == pytest.approx(0.675)
    assert offsets.drilled == pytest.approx(20 / 6)
    assert offsets.sides(1500.0, False) == pytest.approx((0.25 + 0.5 + 0.675 + 0.2, 0.7 + 0.4 + 0.2 - 0.25))
    assert offsets.sides(1500.0, True)[0] == pytest.approx(0.25 + 0.5 + 0.675 + 0.2 + 20 / 6)
    risen = replace(offsets, draught_change=-0.4)
    assert risen.sides(1500.0, False) == pytest.approx((0.25 + 0.5 + 0.4 + 0.675 + 0.2, 0.7 + 0.2 - 0.25))
    assert StaticOffsets().set_down(None) == 0.0
    with pytest.raises(InputError, match="Water depth"):
        offsets.set_down(None)
    at_most = replace(offsets, vessel_offset=20.0)
    assert at_most.set_down(100.0) == 2.0
    with pytest.raises(InputError, match="20\u00a0%"):
        replace(offsets, vessel_offset=20.001).set_down(100.0)


def steps(*given: tuple[float, float | None, bool]) -> tuple[OperationStep, ...]:
    return tuple(
        OperationStep(
            Operation(duration=planned * HOUR),
            contingency=None if more is None else more * HOUR,
            interruptible=stop,
        )
        for planned, more, stop in given
    )


def test_steps_in_blocks_and_their_times() -> None:
    """A wait stands only between two steps that can both be stopped."""
    made = steps((2, 1, True), (3, None, True), (4, 2, False), (1, 0, True), (1, 0, True))
    campaign = Campaign(made)
    assert [(block.first, len(block.steps)) for block in campaign.blocks] == [(0, 1), (1, 3), (4, 1)]
    assert made[1].contingency_used == 3 * HOUR
    assert made[1].reference == 6 * HOUR
    assert campaign.reference == (3 + 6 + 6 + 1 + 1) * HOUR
    block = campaign.blocks[1]
    assert (block.planned, block.reference) == (8 * HOUR, 13 * HOUR)
    assert block.spans == ((0.0, 6 * HOUR), (3 * HOUR, 12 * HOUR), (7 * HOUR, 13 * HOUR))
    assert (block.no_return, block.can_halt) == (3 * HOUR, False)
    assert (campaign.blocks[0].no_return, campaign.blocks[0].can_halt) == (None, True)
    assert Block(0, made[2:3]).no_return == 0.0
    assert not Block(0, made[2:3]).can_halt
    assert not Block(0, made[:2]).can_halt


@pytest.mark.parametrize(
    ("planned", "more", "restricted"),
    [(71.0, 24.0, True), (72.0, 0.0, False), (71.0, 25.0, False), (48.0, 48.0, False), (47.0, 48.0, True)],
)
def test_a_forecast_may_decide_below_72_and_96_hours(planned: float, more: float, restricted: bool) -> None:
    """T_POP below 72 h and T_R below 96 h (DNV-OS-H101 / DNV-ST-N001, from memory)."""
    assert Block(0, steps((planned, more, False))).weather_restricted == restricted


def test_durations_are_counted_in_whole_seconds_rounded_up() -> None:
    for given, counted in ((100.0, 100.0), (100.0 + 1e-7, 100.0), (100.001, 101.0), (100.5, 101.0)):
        assert OperationStep(Operation(duration=given)).planned == counted


def test_time_at_risk_and_load_of_a_step(plan: Plan) -> None:
    """A step's own T_R where that is shorter than the plan's exposure; its own depth and load."""
    long, short = steps((10, 0, True), (1, 0, True))
    given = plan.changed(exposure=3 * HOUR)
    assert Task.of(long, given).exposure == 3 * HOUR
    assert Task.of(short, given).exposure == HOUR
    assert Task.of(replace(short, exposure=5 * HOUR), given).exposure == 5 * HOUR
    entered = plan.changed(hookload_entered=1.05 * plan.own_hookload)
    kept = plan_for(entered, Task(Operation()))
    assert kept.hookload_entered == entered.hookload_entered
    assert kept.exposure == entered.exposure
    depth = 0.8 * plan.string.length
    cut = plan_for(entered, Task(Operation(), bit_depth=depth))
    assert cut.hookload_entered is None
    assert cut.string.length == pytest.approx(depth)
    other = plan_for(entered, Task(Operation(), string=plan.string))
    assert (other.hookload_entered, other.string) == (None, plan.string)
    both = plan_for(entered, Task(Operation(kind="tripping"), 2 * HOUR, None, depth, 9e5, 12.0))
    assert (both.hookload_entered, both.heading, both.exposure) == (9e5, 12.0, 2 * HOUR)
    assert both.operation.kind == "tripping"
    assert Task.waiting(long) is None
    waits = Task.waiting(replace(long, waits_in=Operation(kind="waiting"), heading=5.0, hookload=9e5))
    assert waits is not None
    assert (waits.operation.kind, waits.exposure, waits.heading, waits.hookload) == (
        "waiting",
        None,
        5.0,
        9e5,
    )
    tided = with_tide(plan, 0.3, 0.4)
    assert (tided.offsets.tide_rise, tided.offsets.tide_fall) == (0.3, 0.4)


def test_alpha_of_the_base_case_and_back() -> None:
    """12 h .65 .76 .79 .80 at 1, 2, 4 and 6 m (from memory), linear between, constant outside."""
    row = BASE_CASE.rows[0]
    heights = np.array([0.0, 0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 9.0])
    alpha = [0.65, 0.65, 0.65, 0.705, 0.76, 0.775, 0.79, 0.795, 0.80, 0.80]
    np.testing.assert_allclose(row.factor(heights), alpha)
    np.testing.assert_allclose(row.design_height(heights * alpha), heights, atol=1e-12)
    for planned, found in ((1.0, 0), (12 * HOUR, 0), (12 * HOUR + 1, 1), (24 * HOUR, 1)):
        assert BASE_CASE.row_for(planned) is BASE_CASE.rows[found]
    with pytest.raises(InputError, match="24\u00a0h"):
        BASE_CASE.row_for(24 * HOUR + 1)
    assert NO_FACTOR.row_for(1e9) is None
    assert (BASE_CASE.longest, NO_FACTOR.longest) == (24 * HOUR, math.inf)
    np.testing.assert_array_equal(NO_FACTOR.factor(1.0, [1.0, math.nan]), [1.0, math.nan])
    series = BASE_CASE.by_lead(np.array([-1.0, 12 * HOUR, 12 * HOUR + 1, 1e6]))
    assert series is not None
    assert series.of == (0, 0, 1, 1)
    assert series.tiled(2).of == (0, 0, 1, 1) * 2
    assert series.take(np.array([3, 0])).of == (1, 0)
    expected = [float(BASE_CASE.rows[place].design_height(2.0)) for place in series.of]
    np.testing.assert_allclose(series.design_height(np.full(4, 2.0)), expected)
    assert NO_FACTOR.by_lead(np.zeros(1)) is None
    for bad in (-0.1, math.inf):
        with pytest.raises(InputError):
            row.factor(bad)
    first, second = BASE_CASE.rows
    for rows in ((second, first), (first, first)):
        with pytest.raises(InputError, match="longer than the one before"):
            AlphaTable(rows, "own")
    with pytest.raises(InputError, match="Source"):
        AlphaTable((first,), " ")
    with pytest.raises(InputError):
        AlphaRow(12 * HOUR, 0.9, 0.4, 0.9, 0.9)


def test_the_tide_goes_as_half_a_cosine_between_two_waters() -> None:
    """6 h from 0 to 3 m: 0.75 m after 2 h, 1.5 after 3, 2.25 after 4; not known outside."""
    tide = Tide(
        tuple(
            TideWater(f"2026-01-01T{hour:02d}:00", height) for hour, height in ((0, 0.0), (6, 3.0), (12, 1.0))
        )
    )

    def at(*hours: float) -> Any:
        return np.array(["2026-01-01"], dtype="datetime64[s]") + np.array([round(h * 3600) for h in hours])

    np.testing.assert_allclose(tide.level(at(0, 2, 3, 4, 6, 9, 12)), [0, 0.75, 1.5, 2.25, 3.0, 2.0, 1.0])
    assert np.isnan(tide.level(at(-0.001, 12.001))).all()
    rise, fall = travel(tide.level, tide.times, at(2, 4, 8, 10), 5 * HOUR)
    np.testing.assert_allclose(rise, [0.0, 1.5, 1.0, 0.0], atol=1e-12)
    np.testing.assert_allclose(fall, [0.0, 0.0, 0.5, 1.5], atol=1e-12)
    for waters in ((tide.waters[0],), tide.waters[::-1], (tide.waters[0],) * 2):
        with pytest.raises(InputError):
            Tide(waters)


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("+02:00", 120), ("-0330", -210), ("UTC+02", 120), ("-02", -120), ("+05:59", 359), ("+05:60", None),
        ("+00:00", 0), ("2", None), ("+2", None), ("UTC", None), ("+30:00", None),
    ],
)  # fmt: skip
def test_clocks_ahead_of_utc(text: str, minutes: int | None) -> None:
    assert offset_of(text) == (None if minutes is None else timedelta(minutes=minutes))


def test_time_of_a_trip_is_whole_stands() -> None:
    assert trip_time(2800.0, 28.0, 20.0) == 5 * HOUR
    assert trip_time(2800.0 + 1e-9, 28.0, 20.0) == 5 * HOUR
    assert trip_time(2800.1, 28.0, 20.0) == pytest.approx(5.05 * HOUR)
    assert trip_time(0.0, 28.0, 20.0) == 0.0


def test_a_drawworks_takes_the_lines_of_the_path(plan: Plan) -> None:
    works = next(one for one in demo_compensators().values() if one.kind == "drawworks")
    path = replace(demo_hoisting(), lines=10)
    with_it = with_path(plan.changed(hoisting=None, compensator=replace(works, lines=12)), path)
    assert with_it.compensator.lines == 10
    assert with_it.hoisting == path
    back = with_unit(plan.changed(hoisting=path), replace(works, lines=12))
    assert back.compensator.lines == 10
    assert with_path(with_it, None).compensator.lines == 10
    assert with_unit(plan.changed(hoisting=None), replace(works, lines=8)).compensator.lines == 8
    with pytest.raises(InputError, match="lines strung"):
        with_it.changed(hoisting=replace(path, lines=12))
    shorter = plan.string.sections[:1]
    assert with_sections(plan, shorter).string.sections == shorter
    with pytest.raises(InputError, match="kind of compensator"):
        curve_at(works, 1e6)
    assert load_over_stroke(with_it, heave.assess(with_it).setting) is None


def test_what_a_hookload_is_held_against(plan: Plan) -> None:
    unit: Compensator = plan.compensator
    held = held_against(plan)
    assert held["hookload judged"] == plan.hookload
    assert held["rating compensating, less moving parts"] == pytest.approx(
        unit.compensated_rating - G * unit.moving_mass
    )
    assert held["rating locked, less moving parts"] == pytest.approx(
        unit.locked_rating - G * unit.moving_mass
    )


def test_a_first_well_is_parted_at_the_seabed(plan: Plan) -> None:
    length = plan.string.length
    still = plan.changed(offsets=StaticOffsets())
    for depth, parts in ((None, 1), (1000.0, 2), (length - 0.11, 2), (length - 0.1, 1), (length, 1)):
        found = first_well(still.changed(sea=replace(plan.sea, depth=depth)))
        assert len(found.intervals) == parts, depth
        assert sum(one.length for one in found.intervals) == pytest.approx(length)


def test_what_was_done_of_the_lesson_is_kept_once() -> None:
    one, other = "0" * 16, "f" * 16
    done = Progress().with_scene("a").with_scene("b").with_scene("a").with_answer("x", one)
    assert done.scenes == ("a", "b")
    assert (done.numbers_of("x"), done.numbers_of("y")) == (one, "")
    again = done.with_answer("x", other)
    assert again.answers == (Answered("x", other),)
    assert again.with_answer("x", other) is again
    joined = done.joined(Progress(("b", "c"), (Answered("x", other), Answered("y", other))))
    assert joined.scenes == ("a", "b", "c")
    assert joined.answers == (Answered("x", one), Answered("y", other))
    with pytest.raises(InputError):
        Progress(("a", "a"))


def test_the_mapping_of_a_file_is_known_by_its_columns() -> None:
    one, other = ForecastMapping((), time_zone="UTC"), ForecastMapping((), time_zone="+02:00")
    choices, dropped = WeatherChoices().knowing(one)
    assert dropped == ()
    assert choices.mapping_for([]) == one
    again, dropped = choices.knowing(other)
    assert again.mapping_for([]) == other
    assert (again.forecast_layouts, dropped) == ((), ())
    assert again.mapping_for(["hs"]) is None
    assert again.but(needed=0.5, oldest=None) == replace(again, needed=0.5)


def test_what_parts_together_do_not_allow(plan: Plan) -> None:
    """Weight on bit that leaves the least hanging; a start within half the stroke; a keel in the ground."""
    from heave.planning.plan import LEAST_HANGING

    still = plan.changed(offsets=StaticOffsets())
    at_most = plan.hookload - LEAST_HANGING
    assert still.changed(wob=at_most).wob == at_most
    with pytest.raises(InputError, match="Weight on bit"):
        still.changed(wob=math.nextafter(at_most, math.inf) + 1e-6)
    half = plan.compensator.stroke / 2
    for start in (-half, half):
        assert (
            plan.changed(offsets=replace(plan.offsets, start_position=start)).offsets.start_position == start
        )
        with pytest.raises(InputError, match="Start position"):
            plan.changed(offsets=replace(plan.offsets, start_position=1.001 * start))
    loose = replace(plan.compensator, friction_fraction=0.0, hydraulic_loss=0.0)
    assert plan.changed(compensator=loose)
    for damped in (replace(loose, friction_fraction=0.01), replace(loose, hydraulic_loss=1e3)):
        assert plan.changed(operation=Operation(kind="landing"), compensator=damped)
    with pytest.raises(InputError, match="seal friction"):
        plan.changed(operation=Operation(kind="landing"), compensator=loose)


def test_slow_travel_of_the_weight_begins_where_it_was_set(plan: Plan) -> None:
    started = plan.changed(offsets=replace(plan.offsets, start_position=0.7))
    (rising, falling), (less, more) = started.static_sides, started.drift_sides
    assert (rising - 0.7, falling + 0.7) == pytest.approx((less, more))
    assert (less, more) == pytest.approx(
        plan.changed(offsets=replace(plan.offsets, start_position=-0.7)).drift_sides
    )
    assert started.set_at == 0.7
    works = next(one for one in demo_compensators().values() if one.kind == "drawworks")
    assert with_unit(started, works).set_at == 0.0


def test_water_under_the_keel(plan: Plan) -> None:
    """Depth less draught, less what the tide falls and the vessel deepens; a lighter vessel is not counted on."""
    draught = plan.vessel.floats_at
    for change, taken in ((0.5, 0.5), (-0.5, 0.0)):
        offsets = StaticOffsets(tide_fall=1.0, draught_change=change)
        deep = plan.changed(offsets=offsets, sea=replace(plan.sea, depth=100.0))
        assert deep.under_keel == pytest.approx(100.0 - draught - 1.0 - taken)
    assert plan.changed(offsets=StaticOffsets(), sea=replace(plan.sea, depth=None)).under_keel is None


def test_limits_that_are_asked_for_and_given() -> None:
    assert Operation(hs_limits=(HsLimit(2.0),)).gives("hs_limits")
    assert not Operation().gives("hs_limits")
    assert Operation(heave_limit=1.0).gives("heave_limit")
    assert not Operation().gives("heave_limit")
    casing = Operation(kind="casing")
    assert (casing.wanted == "") == (not casing.missing)
    with pytest.raises(InputError, match="Lowest WOB"):
        Operation(wob_low=1e5, wob_high=1e5)
    assert Operation(wob_low=99e3, wob_high=1e5).wob_low == 99e3
    for bad in ({"period_from": 9.0, "period_to": 8.9}, {"heading_from": 91.0, "heading_to": 90.0}):
        with pytest.raises(InputError):
            HsLimit(2.0, **bad)
    assert HsLimit(2.0, 9.0, 9.0, 90.0, 90.0).hs == 2.0


def test_a_plan_in_another_operation_keeps_the_limits_of_both(plan: Plan) -> None:
    waiting = Operation(kind="waiting", heave_limit=3.0, duration=5 * HOUR)
    given = plan.changed(procedures=(waiting,))
    there = given.doing("waiting")
    assert there.operation == waiting
    assert there.doing(plan.operation.kind).operation == plan.operation
    fresh = plan.changed(procedures=()).doing("waiting").operation
    assert (fresh.kind, fresh.heave_limit, fresh.duration) == ("waiting", None, plan.operation.duration)
    with pytest.raises(InputError, match="procedures"):
        plan.changed(procedures=(waiting, waiting))
