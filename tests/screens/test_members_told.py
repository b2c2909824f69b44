"""What the page and the morning sheet say of members: work in pieces, a step under way, a member that drops out."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from members_drawn import HOUR, START, together

from heave.errors import InputError
from heave.files.rigs import demo_plan
from heave.judging import NEAR, NOT_ASSESSED, OVER, WITHIN
from heave.planning import BASE_CASE, NO_FACTOR, Campaign, OperationStep, Plan
from heave.planning.ranges import CLOSED
from heave.screens.weather import ensemble, summary
from heave.screens.weather.clock import Clock
from heave.screens.weather.sheet import sheet_of
from heave.sea import SeaBatch, SystemSlot
from heave.weather import EnsembleResult, Forecast, ensemble_windows, weather_windows

HEIGHTS = {"#": 0.3, ".": 8.0, "?": float("nan")}


def series(text: str, **beside: Any) -> Forecast:
    """Calm, rough or missing hours of a wind sea of 9 s on the bow."""
    size = len(text)
    slot = SystemSlot(np.array([HEIGHTS[mark] for mark in text]), np.full(size, 9.0), np.full(size, 220.0))
    times = START + np.arange(size) * np.timedelta64(1, "h")
    beside = {"issued": START, **beside}
    return Forecast(times, SeaBatch((slot,), 1200.0), ("wind sea",), HOUR, np.zeros(size - 1, bool), **beside)


def plan_of(hours: float, *more: OperationStep, **asked: Any) -> Plan:
    """Drilling of so many hours, an hour to make safe, and more steps after it; nothing is unsure."""
    plan = demo_plan()
    operation = replace(plan.operation, duration=hours * HOUR)
    first = OperationStep(operation, name="Drill", interruptible=True, contingency=0.0, make_safe=HOUR)
    weather = replace(plan.weather, **{"campaign": Campaign((first, *more)), "alpha": NO_FACTOR, **asked})
    return plan.changed(weather=weather, ranges=CLOSED)


def told(plan: Plan, members: Sequence[str], hours: float = 0.0) -> tuple[str, str, list[str]]:
    """State, title and lines, without marks of Markdown."""
    found = ensemble_windows(plan, together([series(each) for each in members]))
    now = START + np.timedelta64(round(hours * 60), "m")
    answer = ensemble.headline(found, Clock(), now)
    return answer.state, answer.title, [line.replace("*", "").replace("\\", "") for line in answer.lines]


def test_work_in_pieces_is_told_of_the_members_that_it_can_be_done_in() -> None:
    """Eight hours do not fit in one spell of any; in two of three members they are done in two pieces by hour 16."""
    two, one = "######....########......", "######.................."
    state, title, lines = told(plan_of(8, needed=0.6), (two, two, one))
    assert (state, title) == (NEAR, "In pieces only")
    begun = "Work can be begun Fri 1 May 00:00 UTC in 3 of 3 members; done by Fri 1 May 15:00 UTC in 2 of 3."
    safe = "Begun then, start making safe by Fri 1 May 04:00 UTC: it holds until Fri 1 May 05:00 UTC in 3 of 3 members."
    way = "Member 1, the slowest of 2: Drill 4 h, make safe 1 h, wait 5 h, get back 1 h, Drill 4 h."
    assert [line.replace("\u00a0", " ") for line in lines[:3]] == [begun, safe, way]
    _, title, lines = told(plan_of(8, needed=1.0), (two, two, one))
    assert title == "In pieces only"
    assert "in 2 of 3 it is done in this forecast." in lines[0]
    assert "after that no work fits into this forecast" in lines[2]


def test_a_first_piece_is_made_safe_in_time_for_enough_members() -> None:
    """Whatever the way that is told: of three members one holds to hour 3 only, and two are enough."""
    members = ("######....########......", "#####.....########......", "####......########......")
    for needed, by in ((0.6, "03:00"), (1.0, "02:00")):
        _, title, lines = told(plan_of(8, needed=needed), members)
        assert title == "In pieces only"
        assert lines[1].startswith(f"Begun then, start making safe by Fri 1 May {by} UTC: it holds until ")


def test_members_that_can_be_begun_at_different_times_only_have_no_window() -> None:
    """Each by itself can be done, in pieces or whole; no hour is one in which both can be begun."""
    for members in (
        ("######....................", "..............######......"),
        ("##########..........", "..........##########"),
    ):
        assert told(plan_of(4 if len(members[0]) > 20 else 9, needed=1.0), members)[:2] == (OVER, "No window")


def test_a_step_under_way_is_made_safe_in_time_for_enough_members() -> None:
    """An hour to make safe before what ends it: in nine of ten members at hour 18 or later."""
    plan = plan_of(6, under_way=True, forecast_interval=6 * HOUR)
    members = ["#" * 40] * 8 + ["#" * 19 + "." * 21]
    state, title, lines = told(plan, [*members, "#" * 8 + "." * 32])
    assert (state, title) == (WITHIN, "Start making safe by Fri 1 May 17:00 UTC")
    assert lines[0].startswith("Drill holds until Fri 1 May 18:00 UTC in 9 of 10 members; then ")
    assert "Within limits until Fri 1 May 07:00 UTC, then near one, or over it, in a member." in lines
    # the tenth member is over its limits at once: time enough in nine, and no longer within limits
    state, title, lines = told(plan, [*members, "." * 40])
    assert (state, title) == (NEAR, "Start making safe by Fri 1 May 17:00 UTC")
    assert "It holds now in 9 of 10 members; it is over a limit in 1 of 10 members." in lines
    assert told(plan, [*members, "." * 40], hours=17)[:2] == (OVER, "Start making safe now")
    state, title, lines = told(plan, [*members[:7], "." * 40, "." * 40, "?" * 40])
    assert (state, title) == (OVER, "Over a limit now")
    assert lines[0] == "Drill is under way and over a limit in 2 of 10 members: make safe."
    state, title, lines = told(plan, [*members[:7], "?" * 40, "?" * 40, "?" * 40])
    assert (state, title) == (NOT_ASSESSED, "Not assessed")
    assert lines[0].endswith("whether it is within its limits now is known in 7 of 10 members only.")


def test_waits_are_counted_in_when_all_is_done() -> None:
    """The wind stops the second step from hour 4 to 13; done then in two of three members, in the third later."""
    second = OperationStep(
        replace(demo_plan().operation, duration=2 * HOUR),
        interruptible=True,
        contingency=0.0,
        wind_limit=20.0,
    )
    plan = plan_of(4, second, needed=0.6)
    winds = [np.array([5.0] * 4 + [30.0] * hours + [5.0] * (30 - hours)) for hours in (10, 10, 20)]
    members = [series("#" * 34, wind_speed=wind) for wind in winds]
    found = ensemble_windows(plan, together(members))
    alone = [weather_windows(plan, one).schedule[-1].latest_end for one in members]
    assert [(end - START) / np.timedelta64(1, "h") for end in alone] == [16, 16, 26]
    assert found.finished_by(START) == (START + np.timedelta64(16, "h"), 2)
    assert ensemble_windows(plan, together(members), needed=1.0).finished_by(START)[0] == alone[2]


def test_a_later_step_that_this_forecast_does_not_decide_is_said() -> None:
    """As of one forecast: the wind lets the second step begin two days later in one of two members."""
    second = OperationStep(
        replace(demo_plan().operation, duration=2 * HOUR), "Land it", 0.0, True, wind_limit=20.0
    )
    plan = plan_of(4, second, needed=1.0, alpha=BASE_CASE)
    winds = [np.array([5.0] * 4 + [30.0] * hours + [5.0] * (92 - hours)) for hours in (0, 46)]
    members = [series("#" * 96, wind_speed=wind) for wind in winds]
    alone = weather_windows(plan, members[1]).schedule[1]
    found = ensemble_windows(plan, together(members))
    assert found.to_be_confirmed(START) == ("Land it", alone.start, alone.confirm)
    assert alone.confirm is not None
    line = next(line for line in ensemble.headline(found, Clock(), START).lines if line.startswith("Land it"))
    assert f"issued {Clock().both(alone.confirm)} or later" in line
    assert ensemble_windows(plan, together(members[:1])).to_be_confirmed(START) is None


def test_each_member_has_the_tide_of_its_own() -> None:
    plan, tides = plan_of(4), [np.zeros(20), np.append(np.zeros(10), np.full(10, 12.0))]
    members = [series("#" * 20, tide=tide) for tide in tides]
    found = ensemble_windows(plan, together(members))
    alone = [weather_windows(plan, one).steps[0].inside for one in members]
    assert alone[0].all()
    assert not alone[1].all()
    assert (found.inside[0] == np.array(alone)).all()


def test_a_sea_that_the_factor_raises_past_the_planner_is_over_where_it_is_so_as_forecast() -> None:
    """As for one forecast: what ends it is a limit, and not that nothing is assessed."""
    plan, one = plan_of(4, alpha=BASE_CASE), series("######")
    slot = replace(one.batch.slots[0], hs=np.array([0.3] * 5 + [24.0]))
    raised = replace(one, batch=replace(one.batch, slots=(slot,)))
    alone, found = weather_windows(plan, raised), ensemble_windows(plan, together([raised]))
    assert np.isnan(alone.steps[0].design_hs[5])
    assert found.windows[0].ends == alone.windows[0].ending.check_name


def sheet_headline(found: EnsembleResult, forecast: Forecast, plan: Plan) -> summary.Headline:
    none = InputError("sea", "none", None, "any")
    sheet = sheet_of(weather_windows(plan, forecast), Clock(), "metric", [none], None, found)
    assert any(line.endswith(f"highest sea to come: {forecast.name}.") for line in sheet.sure)
    assert sum(bool(re.match(r"Can start at .* in 1 of 2 members", line)) for line in sheet.sure) == 1
    return sheet.headline


def test_the_morning_sheet_is_headed_by_all_members_and_not_by_the_one_that_it_shows() -> None:
    """Of two members the one with the higher sea can start, and the other, whose wind is too high, cannot."""
    plan = plan_of(4, needed=1.0)
    step = replace(plan.campaign.steps[0], wind_limit=20.0)
    plan = plan.changed(weather=replace(plan.weather, campaign=Campaign((step,))))
    calm = series("#" * 20, wind_speed=np.full(20, 5.0), name="calm")
    blown = series("#" * 20, wind_speed=np.full(20, 30.0))
    found = ensemble_windows(plan, together([calm, blown]))
    assert summary.headline(weather_windows(plan, calm), Clock()).state == WITHIN
    shown = sheet_headline(found, calm, plan)
    assert (shown.state, shown.title) == (OVER, "No window")
