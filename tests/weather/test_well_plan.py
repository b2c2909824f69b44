"""A plan for the well: loads, time at risk, tide, lead time, limits beside waves, and the clock, end to end."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

import heave
from heave.errors import InputError
from heave.judging import utilisations
from heave.planning import (
    BASE_CASE,
    NO_FACTOR,
    AlphaRow,
    AlphaTable,
    Campaign,
    Operation,
    OperationStep,
    Plan,
    WeatherChoices,
    trip_time,
)
from heave.planning.task import Task, plan_for
from heave.weather import EnsembleForecast, ensemble_windows, hindcast_windows, weather_windows
from heave.weather.forecast import Forecast
from heave.weather.schedule import pieces_of

HOUR = 3600.0
CALM, ROUGH = 0.8, 7.0
Maker = Callable[..., Forecast]


def at(forecast: Forecast, hours: float) -> np.datetime64:
    return forecast.when(hours * HOUR)


# --- what a step has of its own -----------------------------------------------------------------


def drilling(hours: float = 2.0, **own: object) -> OperationStep:
    return OperationStep(Operation(duration=hours * HOUR), "", 0.0, True, **own)  # type: ignore[arg-type]


def test_a_trip_takes_whole_stands() -> None:
    """3,000 m in stands of 28 m are 108 stands (107.1 rounded up); at 27 stands an hour, 4 h."""
    assert trip_time(3000.0, 28.0, 27.0) == 4 * HOUR
    assert trip_time(0.0, 28.0, 27.0) == 0.0
    for wrong in ((-1.0, 28.0, 20.0), (3000.0, 2.0, 20.0), (3000.0, 28.0, 0.4), (15001.0, 28.0, 20.0)):
        with pytest.raises(InputError):
            trip_time(*wrong)


def test_a_string_is_cut_at_the_top_to_a_bit_depth(plan: Plan) -> None:
    whole = plan.string
    short = whole.cut_to(whole.length / 2)
    assert short.length == pytest.approx(whole.length / 2)
    assert short.sections[-1] == whole.sections[-1]
    assert short.hookload < whole.hookload
    assert whole.cut_to(whole.length).sections == whole.sections
    top, rest = whole.sections[0], whole.sections[1:]
    without = whole.cut_to(sum(section.length for section in rest))
    assert without.sections == rest
    assert top not in without.sections
    for wrong in (0.0, whole.length + 1.0):
        with pytest.raises(InputError, match="Bit depth"):
            whole.cut_to(wrong)


def test_a_step_is_judged_with_its_own_load_time_at_risk_and_heading(plan: Plan, make: Maker) -> None:
    """Each figure of a step is that of a plan which has it as its own."""
    forecast = make([2.0, 3.0], [1.0, 0.5])
    own = {"hookload": 1.1e6, "exposure": 1200.0, "heading": 140.0}
    step = drilling(2.0, **own)
    (found,) = weather_windows(plan, forecast, Campaign((step,)), alpha=NO_FACTOR).steps
    alike = plan.changed(
        operation=step.operation,
        hookload_entered=1.1e6,
        exposure=1200.0,
        heading=140.0,
        sea=forecast.sea_state(1),
    )
    judged = heave.assess(alike)
    assert found.plain.governing[1] == pytest.approx(judged.governing.utilisation, rel=1e-6)
    for name in own:
        less = replace(step, **{name: None})
        (other,) = weather_windows(plan, forecast, Campaign((less,)), alpha=NO_FACTOR).steps
        same = [
            other.plain.by_check[key][1] == pytest.approx(found.plain.by_check[key][1], rel=1e-5)
            for key in found.plain.keys
        ]
        assert not all(same), name


def test_time_at_risk_is_the_steps_own_where_it_is_shorter(plan: Plan) -> None:
    landing = OperationStep(Operation(kind="landing", duration=1200.0), contingency=0.0)
    assert plan_for(plan, Task.of(landing, plan)).exposure == 1200.0
    assert plan_for(plan, Task.of(replace(landing, contingency=None), plan)).exposure == 2400.0
    brief = OperationStep(Operation(kind="landing", duration=60.0), contingency=0.0)
    assert plan_for(plan, Task.of(brief, plan)).exposure == 600.0
    long = OperationStep(Operation(duration=40 * HOUR))
    assert plan_for(plan, Task.of(long, plan)).exposure == plan.exposure
    assert plan_for(plan, Task.of(replace(landing, exposure=7200.0), plan)).exposure == 7200.0


def test_a_locked_unit_does_not_feel_the_tide(plan: Plan, make: Maker) -> None:
    """What is left out for speed is nothing: no figure of a locked unit moves with it."""
    sea = make([2.0, 4.0], [1.0, 1.5]).batch
    for kind in ("tripping", "casing", "waiting"):
        still = plan.changed(operation=Operation(kind=kind, heave_limit=4.0))  # type: ignore[arg-type]
        moved = still.changed(offsets=replace(still.offsets, tide_rise=3.0, tide_fall=3.0))
        one, other = utilisations(still, sea), utilisations(moved, sea)
        assert all((one.by_check[key] == other.by_check[key]).all() for key in one.keys)
        assert (one.high == other.high).all()


def test_a_depth_takes_the_place_of_a_hookload_entered_for_the_whole_plan(plan: Plan) -> None:
    entered = plan.changed(hookload_entered=2e6)
    half = plan.string.length / 2
    assert plan_for(entered, Task.of(drilling(bit_depth=half), entered)).hookload == pytest.approx(
        plan.string.cut_to(half).hookload
    )
    assert plan_for(entered, Task.of(drilling(bit_depth=half, hookload=1.5e6), entered)).hookload == 1.5e6
    assert plan_for(entered, Task.of(drilling(), entered)).hookload == 2e6


@pytest.mark.parametrize(
    ("limit", "column", "key"),
    [
        ("wind_limit", "wind_speed", "wind"),
        ("gust_limit", "gust_speed", "gust"),
        ("current_limit", "current_speed", "current"),
    ],
)
def test_limits_beside_waves_end_windows_and_need_their_column(
    plan: Plan, make: Maker, limit: str, column: str, key: str
) -> None:
    forecast = make([CALM] * 12)
    campaign = Campaign((drilling(2.0, **{limit: 5.0}),))
    bare = weather_windows(plan, forecast, campaign)
    assert bare.windows == ()
    assert not bare.steps[0].reduced.assessed.any()
    speeds = np.full(12, 4.75)
    speeds[[8, 10]] = 5.0, np.nan
    windy = replace(forecast, **{column: speeds})
    result = weather_windows(plan, windy, campaign)
    assert result.steps[0].inside.tolist() == [True] * 8 + [False, True, False, True]
    (window,) = result.windows
    assert (window.ending.check, window.ending.utilisation, window.ending.system) == (key, 1.0, None)
    assert (window.closest, window.margin) == (key, pytest.approx(0.05))
    assert result.steps[0].reduced.by_check[key][0] == pytest.approx(0.95)


def test_the_risers_own_limits(plan: Plan, make: Maker) -> None:
    """Its Hs limit is lowered by α like any wave limit; its offset limit is held to the plan's offset."""
    forecast = make([1.0, 1.25, 1.3])
    (found,) = weather_windows(plan, forecast, Campaign((drilling(riser_hs_limit=1.9),))).steps
    # 12 h row, 0.65 at 1 m and 0.76 at 2 m: at 1.9 m 0.749, so 1.423 m is allowed
    assert found.reduced.by_check["riser_hs"][0] < found.reduced.by_check["riser_hs"][2] < 1.0
    assert found.plain.by_check["riser_hs"].tolist() == pytest.approx([1.0 / 1.9, 1.25 / 1.9, 1.3 / 1.9])
    assert found.reduced.by_check["riser_hs"][0] == pytest.approx(
        float(BASE_CASE.rows[0].design_height([1.0])[0]) / 1.9
    )
    off = plan.offsets.vessel_offset
    assert off > 0
    for limit, holds in ((off * 1.25, True), (off, False)):
        (found,) = weather_windows(plan, forecast, Campaign((drilling(riser_offset_limit=limit),))).steps
        assert found.inside.all() == holds


# --- α by lead time -------------------------------------------------------------------------------

ROWS = AlphaTable(
    (AlphaRow(6 * HOUR, *[0.9] * 4), AlphaRow(12 * HOUR, *[0.8] * 4), AlphaRow(24 * HOUR, *[0.5] * 4)),
    "a test",
)


def factors(plan: Plan, forecast: Forecast, step: OperationStep, interval: float = 12.0) -> list[float]:
    asked = plan.changed(weather=WeatherChoices(Campaign((step,)), ROWS, forecast_interval=interval * HOUR))
    found = weather_windows(asked, forecast).steps[0]
    return np.round(forecast.batch.hs / found.design_hs, 6).tolist()


def test_the_row_goes_by_lead_time_from_the_issue(plan: Plan, make: Maker) -> None:
    forecast = make([CALM] * 30)
    whole = OperationStep(Operation(duration=2 * HOUR), contingency=0.0)
    assert factors(plan, forecast, whole) == [0.9] * 7 + [0.8] * 6 + [0.5] * 17
    early = replace(forecast, issued=forecast.times[0] - np.timedelta64(5, "h"))
    assert factors(plan, early, whole) == [0.9] * 2 + [0.8] * 6 + [0.5] * 22


def test_what_can_be_halted_counts_no_more_than_from_one_forecast_to_the_next_and_securing(
    plan: Plan, make: Maker
) -> None:
    forecast = make([CALM] * 30)
    assert factors(plan, forecast, drilling(20.0, make_safe=HOUR), 5.0) == [0.9] * 30
    assert factors(plan, forecast, drilling(20.0, make_safe=HOUR + 1), 5.0) == [0.9] * 7 + [0.8] * 23


def test_a_window_says_how_far_ahead_it_lies_and_what_must_confirm_it(plan: Plan, make: Maker) -> None:
    """Nothing nine days ahead is decided by this forecast: by a row of 24 h, 4 h of work wait for a newer one."""
    forecast = make([ROUGH] * 216 + [CALM] * 12)
    (far,) = weather_windows(plan, forecast).windows
    assert far.lead == 216 * HOUR
    assert far.firm_until is None
    assert far.confirm == at(forecast, 216 + 4 - 24)
    near = weather_windows(plan, make([CALM] * 60)).windows[0]
    assert (near.lead, near.confirm) == (0.0, None)
    assert near.firm_until == at(forecast, 20)
    step = drilling(30.0)
    (halting,) = weather_windows(plan, make([CALM] * 60), Campaign((step,))).windows
    assert (halting.firm_until, halting.confirm) == (at(forecast, 12), None)
    assert weather_windows(plan, forecast, alpha=NO_FACTOR).windows[0].firm_until == at(forecast, 216 + 3)


def test_a_long_run_that_can_be_halted_needs_no_long_row(plan: Plan, make: Maker) -> None:
    found = weather_windows(plan, make([CALM] * 80), Campaign((drilling(60.0, make_safe=6 * HOUR),)))
    assert found.missing_rows == ()
    assert len(found.windows) == 1
    slow = weather_windows(plan, make([CALM] * 80), Campaign((drilling(60.0, make_safe=13 * HOUR),)))
    assert slow.missing_rows == (("Drilling ahead", 25 * HOUR),)


# --- the clock --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("now", "clock"),
    [
        ("2026-04-30T23:59:59", "before it starts"),
        ("2026-05-01T00:00:00", "in the forecast"),
        ("2026-05-01T01:30:00", "sea not known"),
        ("2026-05-01T04:00:00", "in the forecast"),
        ("2026-05-02T12:00:00", "in a gap"),
        ("2026-05-08T09:00:00", "in the forecast"),
        ("2026-05-08T09:00:01", "after it ended"),
    ],
)
def test_where_the_present_time_stands(plan: Plan, make: Maker, now: str, clock: str) -> None:
    heights = [CALM, CALM, math.nan, *[CALM] * 7]
    forecast = replace(make(heights, gaps=[4]), issued=np.datetime64("2026-04-30T18:00:00"))
    found = weather_windows(plan, forecast, now=now)
    assert found.outlook.clock == clock
    assert found.outlook.age == (np.datetime64(now) - forecast.issued) / np.timedelta64(1, "s")
    if clock in ("before it starts", "after it ended"):
        assert found.work == ()
        assert found.schedule == ()
        assert found.outlook.until_start is None
        assert found.outlook.margin is None


def test_margin_for_starting_now_beside_the_least_of_the_window(plan: Plan, make: Maker) -> None:
    forecast = make([0.8] * 9 + [3.3] * 12 + [ROUGH])
    found = weather_windows(plan, forecast)
    (window,) = found.windows
    assert found.outlook.margin is not None
    assert found.outlook.margin > window.margin
    used = found.steps[0].reduced.governing
    assert found.outlook.margin == pytest.approx(1 - used[:9].max())


def test_the_schedule_says_by_when_to_secure(plan: Plan, make: Maker) -> None:
    steps = (
        drilling(3.0, make_safe=1.5 * HOUR),
        OperationStep(Operation(duration=2 * HOUR), "B", 0.0, False),
    )
    forecast = make([CALM] * 16 + [ROUGH])
    found = weather_windows(plan, forecast, Campaign(steps), now=at(forecast, 2))
    first, second = found.schedule
    assert (first.start, first.planned_end, first.limit_at) == (
        at(forecast, 2),
        at(forecast, 5),
        at(forecast, 15),
    )
    assert first.secure_by == at(forecast, 13.5)
    assert first.limit.cause == "a limit"
    assert second.secure_by is None
    assert second.start == first.latest_end


def test_a_wait_is_listed_with_its_state(plan: Plan, make: Maker) -> None:
    hung = Operation(kind="waiting", heave_limit=30.0)
    steps = (drilling(3.0, make_safe=HOUR, waits_in=hung), drilling(3.0))
    forecast = make([CALM] * 6 + [6.0] * 4 + [CALM] * 6)
    found = weather_windows(plan, forecast, Campaign(steps))
    (wait,) = found.waits
    assert (wait.after, wait.state) == ("Drilling ahead", "Waiting, string off bottom")
    assert (wait.start, wait.safe, wait.end) == tuple(at(forecast, hour) for hour in (3, 4, 10))
    judged = found.steps[0].waiting
    assert judged is not None
    assert wait.highest == judged.governing[4:11].max() < 1
    weak = replace(hung, heave_limit=0.2)
    steps = (replace(steps[0], waits_in=weak), steps[1])
    assert weather_windows(plan, forecast, Campaign(steps)).schedule == ()


def test_years_of_seas_judge_what_the_rig_waits_in(plan: Plan, make: Maker) -> None:
    forecast = make([CALM] * 6 + [ROUGH] * 4 + [CALM] * 6)
    for limit, starts in ((30.0, True), (0.2, False)):
        hung = Operation(kind="waiting", heave_limit=limit)
        steps = (drilling(3.0, make_safe=HOUR, waits_in=hung), drilling(3.0))
        assert hindcast_windows(plan, forecast, Campaign(steps), BASE_CASE).start_works[0] == starts


def test_members_judge_what_the_rig_waits_in_and_wind(plan: Plan, make: Maker) -> None:
    """In one of two members it is windy; the other is searched as a forecast alone is."""
    forecast = make([CALM] * 6 + [6.0] * 4 + [CALM] * 6)
    calm, windy = (replace(forecast, wind_speed=np.full(16, speed)) for speed in (10.0, 30.0))
    members = EnsembleForecast((calm, windy), ("1", "2"))
    hung = Operation(kind="waiting", heave_limit=30.0)
    steps = Campaign((drilling(3.0, make_safe=HOUR, waits_in=hung), drilling(3.0, wind_limit=20.0)))
    found = ensemble_windows(plan, members, steps, needed=0.5)
    alone = weather_windows(plan, calm, steps)
    assert found.inside[1].tolist() == [alone.steps[1].inside.tolist(), [False] * 16]
    assert (found.start_probability == 0.5).tolist() == alone.start_works.tolist()
    assert alone.start_works.any()
    (first, *_) = found.windows
    assert (first.count, first.ends_in) == (1, 1)
    assert first.ends == (alone.windows[0].ending.check_name or alone.windows[0].ending.cause)


def test_without_the_factor_a_wait_is_judged_in_the_sea_as_forecast(plan: Plan, make: Maker) -> None:
    """A limit of waiting between its figure as forecast and its figure with α: only the factor stands in the way."""
    forecast = make([CALM] * 6 + [ROUGH] * 4 + [CALM] * 6)
    table = plan.changed(operation=Operation(kind="waiting", heave_limit=30.0))
    exact = float(utilisations(table, forecast.batch).by_check["heave_limit"][7]) * 30.0
    hung = Operation(kind="waiting", heave_limit=1.1 * exact)
    gentle = replace(drilling(3.0), operation=Operation(duration=3 * HOUR, heave_limit=0.8 * exact))
    steps = Campaign((replace(gentle, make_safe=HOUR, waits_in=hung), gentle))
    found = weather_windows(plan, forecast, steps)
    first = found.steps[0]
    assert first.waiting is not None
    assert first.waiting_plain is not None
    assert first.waiting.governing[7] > 1 > first.waiting_plain.governing[7]
    plain = weather_windows(plan, forecast, steps, alpha=NO_FACTOR)
    assert plain.windows[0].start == forecast.times[0]
    assert plain.windows[0].waits[0].highest < 1
    assert [(one.start, one.latest_start, one.waits) for one in found.without_factor] == [
        (one.start, one.latest_start, one.waits) for one in plain.windows
    ]
    assert all(window.start > at(forecast, 3) for window in found.windows), (
        "with it the rig cannot wait through"
    )


def test_every_piece_says_how_far_ahead_it_lies_and_what_must_confirm_it(plan: Plan, make: Maker) -> None:
    """Drilling that is stopped for a gale and gone back to: the first piece is this forecast's, the second is not."""
    hung = Operation(kind="waiting", heave_limit=30.0)
    forecast = make([CALM] * 10 + [ROUGH] * 20 + [CALM] * 40)
    forecast = replace(forecast, issued=forecast.times[0] - np.timedelta64(3, "h"))
    steps = Campaign((drilling(20.0, make_safe=2 * HOUR, waits_in=hung),))
    found = weather_windows(plan, forecast, steps)
    way = next(way for way in found.work if [one.doing for one in way.stretches].count("work") == 2)
    assert [one.doing for one in way.stretches] == ["work", "make safe", "wait", "get back", "work"]
    first, second = pieces_of(plan, forecast, steps, way)
    assert (first.start, first.end) == (at(forecast, 0), at(forecast, 7))
    assert (first.lead, first.confirm) == (3 * HOUR, None)
    assert second.start == at(forecast, 32)
    assert second.lead == 33 * HOUR, "from the issue to when the rig begins to get back"
    assert second.confirm == at(forecast, 30 - 12), "one forecast before that"
    later = replace(plan, weather=replace(plan.weather, forecast_interval=40 * HOUR))
    assert [piece.confirm for piece in pieces_of(later, forecast, steps, way)] == [None, None]


def test_pieces_of_steps_that_cannot_be_halted_are_decided_when_the_first_is_begun(
    plan: Plan, make: Maker
) -> None:
    forecast = make([ROUGH] * 30 + [CALM] * 30)
    whole = OperationStep(Operation(duration=4 * HOUR), contingency=0.0)
    steps = Campaign((whole, replace(whole, name="B")))
    found = weather_windows(plan, forecast, steps)
    one, other = pieces_of(plan, forecast, steps, found.work[0])
    assert (one.lead, other.lead) == (30 * HOUR, 34 * HOUR)
    assert one.confirm == other.confirm == at(forecast, 30 + 8 - 24)
    assert one.confirm == found.windows[0].confirm
