"""What the answer on the weather may not say: over what was not judged, calmer than its checks, of another time."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from heave.errors import InputError
from heave.files.rigs import demo_plan
from heave.judging import NEAR, NOT_ASSESSED, WITHIN
from heave.planning import BASE_CASE, NO_FACTOR, AlphaTable, Campaign, Operation, OperationStep, Plan
from heave.planning.ranges import CLOSED, USUAL, Ranges
from heave.screens.figures.timeline_words import hour_lines
from heave.screens.inputs import plain
from heave.screens.weather import ensemble, store, summary, tiles
from heave.screens.weather.changes import coming
from heave.screens.weather.clock import Clock
from heave.screens.weather.sheet import sheet_of, worst_sample
from heave.sea import SeaBatch, SystemSlot
from heave.weather import EnsembleForecast, Forecast, WindowResult, ensemble_windows, weather_windows

HOUR = 3600.0
START = np.datetime64("2026-05-01T00:00:00", "s")
CALM, ROUGH = 0.5, 8.0


def forecast(heights: Sequence[float], step: float = HOUR, **beside: Any) -> Forecast:
    """Heights of a wind sea of 9 s on the bow, a value every `step` seconds."""
    size = len(heights)
    slot = SystemSlot(np.array(heights, float), np.full(size, 9.0), np.full(size, 220.0))
    times = START + np.arange(size) * np.timedelta64(round(step), "s")
    gaps = np.zeros(size - 1, dtype=np.bool_)
    beside = {"issued": START, **beside}
    return Forecast(times, SeaBatch((slot,), 1200.0), ("wind sea",), step, gaps, **beside)


def plan_of(*steps: OperationStep, **asked: Any) -> Plan:
    plan = demo_plan()
    weather = replace(plan.weather, **{"campaign": Campaign(steps), "alpha": NO_FACTOR, **asked})
    return plan.changed(weather=weather)


def drilling(**own: Any) -> OperationStep:
    operation = replace(demo_plan().operation, duration=4 * HOUR)
    return OperationStep(
        **{"operation": operation, "interruptible": True, "contingency": 0.0, "make_safe": HOUR, **own}
    )


def now_tile(result: WindowResult) -> tuple[str, str, str]:
    """The tile of the first limit."""
    return next(tile for tile in tiles.tiles(result, Clock()) if "imit" in tile[0])


@pytest.mark.parametrize("under_way", [False, True])
def test_a_step_that_is_not_assessed_now_is_not_said_to_be_over_a_limit(under_way: bool) -> None:
    """The wind of the second hour is not in the forecast; in the third it is over its limit, in the first it is not."""
    wind = np.array([5.0, math.nan, 30.0, 5.0])
    plan, seas = (
        plan_of(drilling(wind_limit=20.0), under_way=under_way),
        forecast([CALM] * 4, wind_speed=wind),
    )
    unknown, over, at_odds = (
        weather_windows(plan, seas, now=START + np.timedelta64(minutes, "m")) for minutes in (60, 120, 90)
    )
    assert (unknown.outlook.inside, unknown.outlook.until_limit) == (None, None)
    assert now_tile(unknown) == ("First limit", "not known", "the first step is not assessed now")
    for result in (over, at_odds):  # half past one lies beside an hour that is over
        assert (result.outlook.inside, result.outlook.until_limit) == (False, 0.0)
        assert now_tile(result)[1] == "over it now"
    if under_way:
        assert summary.headline(unknown, Clock()).state == NOT_ASSESSED
        assert summary.headline(over, Clock()).title == "Over a limit now"


def test_work_under_way_that_nothing_can_judge_says_what_it_needs() -> None:
    plan = plan_of(drilling(operation=Operation(kind="landing", duration=4 * HOUR)), under_way=True)
    answer = summary.headline(weather_windows(plan, forecast([CALM] * 9)), Clock())
    assert (answer.state, answer.title) == (NOT_ASSESSED, "Not assessed")
    assert "needs" in " ".join(answer.lines)


def test_work_under_way_is_no_calmer_than_its_check() -> None:
    """A sea near a limit, two days before what ends the work: there is time to make safe, and it is near a limit."""
    plan = plan_of(drilling(), under_way=True)
    (used,) = weather_windows(plan, forecast([2.0])).steps[0].reduced.governing
    near = 2.0 * 0.95 / used  # checks grow with the sea; near enough to pass the caution level
    for height, state in ((CALM, WITHIN), (near, NEAR)):
        result = weather_windows(plan, forecast([CALM] * 10 + [height] * 40 + [ROUGH] * 5))
        assert result.steps[0].reduced.verdicts(plan.caution_level)[12] == state
        answer = summary.headline(result, Clock())
        assert answer.title.startswith("Start making safe by")
        assert answer.state == state


def test_an_hour_of_the_sheet_is_no_calmer_than_any_of_its_seas() -> None:
    """Ten minutes apart, the wind not known at twenty past one: the calm sea there is not judged, whatever it uses."""
    wind = np.full(19, 5.0)
    wind[8] = math.nan
    seas = forecast([CALM] * 8 + [0.4] + [CALM] * 10, step=600.0, wind_speed=wind)
    result = weather_windows(plan_of(drilling(wind_limit=20.0)), seas)
    hours = sheet_of(result, Clock(), "metric", [InputError("sea", "none", None, "any")]).hours
    assert [hour.state for hour in hours] == [WITHIN, NOT_ASSESSED, WITHIN, WITHIN]


def test_the_worst_of_an_hour_is_that_of_the_step_it_is_told_for() -> None:
    """Only the second step has a limit of wind, which half past one comes near to."""
    wind = np.full(40, 5.0)
    wind[9] = 19.0
    first = drilling(operation=replace(demo_plan().operation, duration=HOUR))
    plan = plan_of(first, drilling(wind_limit=20.0))
    result = weather_windows(plan, forecast([CALM] * 40, step=600.0, wind_speed=wind))
    hours = sheet_of(result, Clock(), "metric", [InputError("sea", "none", None, "any")] * 2).hours
    assert [(hour.cells[-3], hour.state) for hour in hours[:3]] == [("1", WITHIN), ("2", NEAR), ("2", WITHIN)]


@pytest.mark.parametrize("now", ["2026-05-01T06:30", "2026-05-01T12:00"])
def test_the_sheet_tells_no_hour_that_is_past(now: str) -> None:
    """In a gap of a forecast the next hour is the one after it, and after its end there is none, nor any setting."""
    seas = forecast([CALM] * 7)
    if now.endswith("06:30"):
        times = np.append(seas.times, START + np.timedelta64(20, "h"))
        seas = replace(forecast([CALM] * 8), times=times, gap_after=np.arange(7) == 6)
    result = weather_windows(plan_of(drilling()), seas, now=now)
    assert [str(at) for at in seas.times[coming(result)]] == ["2026-05-01T20:00:00"][: seas.size - 7]
    if seas.size == 7:
        with pytest.raises(InputError, match="next 48 h"):
            worst_sample(result)
        sheet = sheet_of(result, Clock(), "metric", [InputError("sea", "none", None, "any")])
        assert (sheet.hours, sheet.settings) == ((), ())
        assert sheet.settings_for.endswith("the forecast has no hour of the next 48 h")
        assert not any("No settings" in line for line in sheet.sure)


def test_settings_without_any_figure_are_of_the_highest_sea_to_come() -> None:
    plan = plan_of(drilling(operation=Operation(kind="landing", duration=HOUR, heave_limit=None)))
    result = weather_windows(plan, forecast([7.0, 0.5, 0.9, 0.7]), now="2026-05-01T01:00")
    blank = replace(result.steps[0].reduced, governing=np.full(4, math.nan))
    judged = replace(result, steps=(replace(result.steps[0], reduced=blank),))
    assert worst_sample(judged) == 2


def members_now(plan: Plan, series: Sequence[Forecast], hours: float, monkeypatch: Any) -> summary.Headline:
    """The answer of an ensemble so many hours after its first time."""
    now = START + np.timedelta64(round(hours * 60), "m")
    monkeypatch.setattr(store, "present", lambda _: now)
    names = tuple(map(str, range(len(series))))
    return ensemble.headline(ensemble_windows(plan, EnsembleForecast(tuple(series), names)), Clock())


def test_an_ensemble_is_as_old_as_a_forecast_is(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of members that are alike the answer is that of one of them: open, and to be confirmed once it is too old."""
    plan, one = plan_of(drilling(interruptible=False), alpha=BASE_CASE), forecast([0.3] * 99, issued=START)
    for hours, title, state, old in (
        (1, "Open now", WITHIN, False),
        (13, "Open now", NEAR, True),
        (21, "To be confirmed", NEAR, True),  # beyond the row for 24 h with four hours of work
    ):
        single = summary.headline(weather_windows(plan, one, now=START + np.timedelta64(hours, "h")), Clock())
        both = members_now(plan, [one] * 2, hours, monkeypatch)
        for answer in (single, both):
            assert (answer.title, answer.state) == (title, state)
            assert any("Old forecast" in line for line in answer.lines) == old


@pytest.mark.parametrize("alpha", [BASE_CASE, NO_FACTOR])
def test_a_forecast_of_unknown_age_is_not_within_limits(
    alpha: AlphaTable, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It may be old, whatever the hour it begins with; what has ended says that it has ended and no more."""
    plan, seas = plan_of(drilling(), alpha=alpha), forecast([0.3] * 30, issued=None)
    for hours, title, said in (
        (0, "Open now", ""),
        (3, "Open now", ", 3\u00a0h ago"),
        (90, "This forecast ended", None),
    ):
        now = START + np.timedelta64(hours, "h")
        for answer in (
            summary.headline(weather_windows(plan, seas, now=now), Clock()),
            members_now(plan, [seas] * 2, hours, monkeypatch),
        ):
            assert answer.title.startswith(title)
            assert answer.state == (NOT_ASSESSED if said is None else NEAR)
            lines = [line for line in answer.lines if line.startswith("**Age not known**")]
            begins = f"it begins Fri 1 May 00:00 UTC{said}. {summary.SAY_ISSUE}"
            assert [line.partition("; ")[2] for line in lines] == [begins][: said is not None]


def test_an_ensemble_says_what_of_the_hoisting_path_nobody_judged(monkeypatch: pytest.MonkeyPatch) -> None:
    plan = plan_of(drilling()).changed(hoisting=None)
    said = summary.unjudged(weather_windows(plan, forecast([CALM] * 9)))
    assert said
    answer = members_now(plan, [forecast([CALM] * 9)], 1, monkeypatch)
    assert answer.lines[-len(said) :] == tuple(map(plain, said))


def test_one_member_without_a_sea_now_does_not_silence_the_others(monkeypatch: pytest.MonkeyPatch) -> None:
    hole, whole = forecast([CALM, math.nan, *[CALM] * 7]), forecast([CALM] * 9)
    plan = plan_of(drilling(), needed=0.5)
    assert members_now(plan, [hole, whole], 1, monkeypatch).title == "Open now"
    assert members_now(plan, [hole, hole], 1, monkeypatch).title == "The sea is not known now"


def test_work_too_long_for_a_forecast_is_not_within_limits(monkeypatch: pytest.MonkeyPatch) -> None:
    long = drilling(operation=replace(demo_plan().operation, duration=100 * HOUR))
    series = forecast([CALM] * 150)
    single = summary.headline(weather_windows(plan_of(long), series), Clock())
    for answer in (single, members_now(plan_of(long), [series], 0, monkeypatch)):
        assert (answer.title, answer.state) == ("Open now", NEAR)
        assert summary.TOO_LONG in answer.lines


def near_height(plan: Plan) -> float:
    """A height of the sea that is inside every limit and near one."""
    heights = np.arange(0.3, 9.0, 0.05)
    used = weather_windows(plan, forecast(heights.tolist())).steps[0].reduced.governing
    return float(heights[(used > plan.caution_level) & (used < 1.0)][0])


@pytest.mark.parametrize("place", [2, 40])
@pytest.mark.parametrize("ranges", [USUAL, CLOSED])
def test_an_ensemble_is_no_calmer_than_any_of_its_members(
    place: int, ranges: Ranges, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One member of three comes near a limit, in the work begun now or in that of a later start; or is over it there.

    The answer is of a start now, so what only a later one comes to is said, with the start from which it does.
    """
    plan = plan_of(drilling(), needed=0.6).changed(ranges=ranges)
    near, state = near_height(plan), NEAR if place == 2 else WITHIN
    for height in (near, ROUGH):
        calm, other = [0.3] * 50, [0.3] * 50
        other[place] = height
        alone = [summary.headline(weather_windows(plan, forecast(each)), Clock()) for each in (calm, other)]
        assert (alone[0].title, alone[0].state) == ("Open now", WITHIN)
        if (place, height) == (2, ROUGH):
            assert alone[1].title.startswith("Opens in")
        else:
            assert (alone[1].title, alone[1].state) == ("Open now", state)
        for members, told in (([calm] * 3, WITHIN), ([calm, other, calm], state)):
            answer = members_now(plan, [forecast(each) for each in members], 0, monkeypatch)
            assert (answer.title, answer.state) == ("Open now", told)
            lines = " ".join(answer.lines).lower()
            assert ("near a limit in **1 of 3** members" in lines) == (height == near and other in members)
            assert ("works in **2 of 3**." in lines) == (told == NEAR and height == ROUGH)
    # four hours of work: the start before that whose hours reach the one near the limit
    if place == 40:
        answer = members_now(plan, [forecast([0.3] * 40 + [near] + [0.3] * 9)] * 3, 0, monkeypatch)
        assert any(
            line.startswith("Begun after **Sat 2 May 11:00 UTC**: near a limit") for line in answer.lines
        )


def test_a_later_start_in_doubt_in_a_member_is_said_and_one_now_is_not_within(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Two of three members are enough and the third is in doubt, in the work begun now or in that of a later start."""
    plan = plan_of(drilling(), needed=0.6)
    heights = np.arange(0.3, 9.0, 0.05)
    step = weather_windows(plan, forecast(heights.tolist())).steps[0].reduced
    doubtful = float(heights[(step.governing < plan.caution_level) & (step.high >= 1.0)][0])
    for place, state, begins in ((14, WITHIN, "Begun after **"), (2, NEAR, "In doubt")):
        long = [0.3] * place + [doubtful] + [0.3] * (19 - place)
        series = [forecast(each) for each in ([0.3] * 20, [0.3] * 20, long)]
        answer = members_now(plan, series, 0, monkeypatch)
        assert (answer.title, answer.state) == ("Open now", state)
        assert any(line.startswith(begins) and "n doubt" in line for line in answer.lines)


def test_a_member_that_waits_near_a_limit_is_told_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """The wind stops the second step for ten hours; meanwhile the sea is near a limit of what the rig waits in."""
    first = drilling(waits_in=replace(demo_plan().operation, duration=HOUR))
    plan = plan_of(first, drilling(wind_limit=20.0), needed=1.0).changed(ranges=CLOSED)
    wind = np.array([5.0] * 4 + [30.0] * 10 + [5.0] * 6)
    for height, state in ((0.3, WITHIN), (near_height(plan_of(drilling())), NEAR)):
        seas = forecast([0.3] * 8 + [height] * 3 + [0.3] * 9, wind_speed=wind)
        for answer in (
            summary.headline(weather_windows(plan, seas), Clock()),
            members_now(plan, [seas, seas], 0, monkeypatch),
        ):
            assert (answer.title, answer.state) == ("Open now", state)


def test_shares_of_members_are_of_now_and_of_what_is_to_come() -> None:
    """The second of two members is rough from four on, so an hour before that the best start is one that is past."""
    plan, names = plan_of(drilling(operation=replace(demo_plan().operation, duration=HOUR))), ("0", "1")
    rough = forecast([CALM] * 4 + [ROUGH] * 5)
    result = ensemble_windows(plan, EnsembleForecast((forecast([CALM] * 9), rough), names))
    found = []
    for hours in (0, 3, 12):
        told = ensemble.tiles(result, START + np.timedelta64(hours, "h"), Clock())
        found.append([figure for _, figure, _ in told[1:4]])
    known = "not known"
    assert found == [
        ["100\u00a0%", "100\u00a0%", "100\u00a0%"],
        ["100\u00a0%", "50\u00a0%", "50\u00a0%"],
        [known, known, "0\u00a0%"],
    ]


def test_a_step_on_a_heading_of_its_own_is_told_with_it() -> None:
    turned = drilling(heading=120.0, name="Turned")
    result = weather_windows(plan_of(drilling(name="As planned"), turned), forecast([CALM] * 20))
    assert "its own heading 120°" in tiles.computed_for(result, "file", Clock())
    assert any("Steps with their own: Turned 120°." in note for note in result.notes)
    assert "heading 120°" in hour_lines(result, 1, 0, Clock(), "metric")
    assert not any("heading" in line for line in hour_lines(result, 0, 0, Clock(), "metric"))
    best = weather_windows(plan_of(turned, heading="best"), forecast([CALM] * 20))
    assert summary.next_turn(best) is None
    assert "heading 120°" in hour_lines(best, 0, 3, Clock(), "metric")


def test_a_best_heading_that_never_turns_is_told_as_it_is() -> None:
    """Before the forecast begins nothing holds the bow; it may not turn, and the plan's heading is not the best."""
    plan = plan_of(drilling(), heading="best", turn_rate=0.0, now="2026-04-30T00:00").changed(heading=40.0)
    result = weather_windows(plan, forecast([CALM] * 5))
    assert np.ptp(result.heading) == 0
    assert result.heading[0] != 40.0
    assert f"heading {result.heading[0]:g}°" in tiles.computed_for(result, "file", Clock())


@pytest.mark.parametrize(
    ("apart", "words"),
    [
        (-30.0, None),
        (-3600.0, "**Now is picked**, 1\u00a0h before the clock's."),
        (3 * 86400.0, "**Now is picked**, 3\u00a0days after the clock's."),
    ],
)
def test_a_present_time_that_was_picked_is_said(apart: float, words: str | None) -> None:
    """A plan that is opened again brings the present time it was saved with; what was open then is no answer now."""
    told = summary.picked(summary.Headline(WITHIN, "Open now", ("Safe.",)), apart)
    assert told.lines == ("Safe.", *filter(None, [words]))


def test_done_by_is_no_promise_of_a_later_step_that_must_be_confirmed() -> None:
    """The second step waits two days for the wind to fall, longer than the forecast decides; the first is open."""
    wind = np.array([5.0] * 4 + [30.0] * 48 + [5.0] * 40)
    second = drilling(name="Land it", wind_limit=20.0)
    seas = forecast([0.3] * 92, issued=START, wind_speed=wind)
    plan = plan_of(drilling(), second, alpha=BASE_CASE)
    result = weather_windows(plan, seas)
    assert [step.confirm is None for step in result.schedule] == [True, False]
    answer = summary.headline(result, Clock())
    assert answer.title == "Open now"
    issue = Clock().both(result.schedule[1].confirm)
    assert any(
        line.startswith("Land it, from") and f"issued {issue} or later" in line for line in answer.lines
    )


def test_a_capacity_that_is_used_up_is_no_check_without_a_limit() -> None:
    """At a tide longer than the stroke it strikes out all the time: no figure, and never the words "no limit"."""
    plan = plan_of(drilling(operation=replace(demo_plan().operation, duration=HOUR, stroke_out_limit=1e-4)))
    stuck = plan.changed(offsets=replace(plan.offsets, tide_fall=9.0))
    assert math.isinf(weather_windows(stuck, forecast([CALM])).steps[0].reduced.governing[0])
    result = weather_windows(stuck, forecast([CALM] * 9))
    (line, _) = summary.why(*store.short_of(result), Clock())
    assert "with no room at all." in line
    assert "no limit" not in line
    told = replace(
        weather_windows(plan, forecast([CALM] * 9 + [ROUGH])).windows[0].ending, utilisation=math.inf
    )
    assert told.words.startswith(f"{told.check_name} with no room at all")


def test_members_that_nothing_can_judge_are_not_said_to_be_over_a_limit(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A limit of wind, and no wind in the file: as for a single forecast, "not assessed" and never "no window"."""
    plan, seas = plan_of(drilling(wind_limit=20.0, name="Drill")), forecast([CALM] * 9)
    single = summary.headline(weather_windows(plan, seas), Clock())
    both = members_now(plan, [seas, seas], 1, monkeypatch)
    assert (single.title, single.state) == (both.title, both.state) == ("Not assessed", NOT_ASSESSED)
    assert single.lines == both.lines
    rough = members_now(plan_of(drilling()), [forecast([ROUGH] * 9)], 1, monkeypatch)
    assert rough.title == "No window"


@pytest.mark.parametrize(("risk", "times"), [(0.01, "100"), (0.4, "2.50"), (1e-6, "1\u202f000\u202f000")])
def test_notes_tell_the_accepted_risk_as_the_check_page_does(risk: float, times: str) -> None:
    notes = weather_windows(plan_of(drilling()).changed(risk=risk), forecast([CALM])).notes
    assert any(note.endswith(f"exceeded once in {times} such times.") for note in notes)
