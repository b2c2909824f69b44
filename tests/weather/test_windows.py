"""Windows of the demo plan in made-up forecasts: margins, endings, outlook, clocks, and what is missing."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import heave
from heave.errors import InputError
from heave.judging import utilisations
from heave.planning import (
    BASE_CASE,
    CLOSED,
    NO_FACTOR,
    Campaign,
    Operation,
    OperationStep,
    Plan,
    WeatherChoices,
)
from heave.screens.weather.clock import Clock
from heave.screens.weather.table import windows_table
from heave.weather import WindowResult, weather_windows, without_systems
from heave.weather.forecast import EnsembleForecast, Forecast

HOUR = 3600.0
CALM, ROUGH = 0.8, 7.0
Maker = Callable[..., Forecast]


def hours(time: np.datetime64, forecast: Forecast) -> float:
    return float((time - forecast.times[0]) / np.timedelta64(1, "h"))


def test_one_quiet_spell(plan: Plan, make: Maker) -> None:
    forecast = make([ROUGH] * 3 + [CALM] * 13 + [ROUGH] * 4)
    result = weather_windows(plan, forecast)
    (window,) = result.windows
    assert (hours(window.start, forecast), hours(window.latest_start, forecast)) == (3, 7)
    assert hours(window.end, forecast) == 15
    assert window.length == 12 * HOUR
    assert window.slack == 4 * HOUR
    assert result.earliest is result.longest is window
    assert result.latest_start == window.latest_start
    assert result.start_works.nonzero()[0].tolist() == [3, 4, 5, 6, 7]
    assert result.starts.tolist() == forecast.times[3:8].tolist()
    assert result.reference_period == 8 * HOUR
    assert result.weather_restricted


def test_window_names_what_ends_it(plan: Plan, make: Maker) -> None:
    forecast = make([CALM] * 12 + [ROUGH] * 3)
    (window,) = weather_windows(plan, forecast, alpha=NO_FACTOR).windows
    worst = heave.assess(plan.changed(sea=forecast.sea_state(12))).governing
    assert window.ending.cause == "a limit"
    assert window.ending.sample == 12
    assert window.ending.check == worst.key
    assert window.ending.utilisation == pytest.approx(worst.utilisation, rel=1e-6)
    assert window.ending.system == "wind sea"
    assert not window.ending.system_alone
    assert worst.name in window.ending.words


def test_swell_is_named_when_it_ends_a_window(plan: Plan, make: Maker) -> None:
    swell = [0.3] * 12 + [4.5] * 4
    forecast = make([1.0] * 16, swell)
    (window,) = weather_windows(plan, forecast).windows
    assert window.ending.system == "swell"
    assert window.ending.system_alone
    assert "swell, within limits without it" in window.ending.words
    longer = weather_windows(plan, without_systems(forecast, ("swell",))).windows
    assert longer[0].ending.cause == "end of the forecast"
    assert longer[0].end == forecast.times[-1]


def test_wind_sea_is_named_when_it_is_the_larger_part(plan: Plan, make: Maker) -> None:
    forecast = make([CALM] * 12 + [ROUGH] * 4, [0.3] * 16)
    (window,) = weather_windows(plan, forecast).windows
    assert window.ending.system == "wind sea"


def test_gap_missing_sea_and_end_are_named(plan: Plan, make: Maker) -> None:
    gap = weather_windows(plan, make([CALM] * 20, gaps=[9])).windows
    assert [window.ending.cause for window in gap] == ["gap in the forecast", "end of the forecast"]
    hole = weather_windows(plan, make([CALM] * 10 + [math.nan] + [CALM] * 10)).windows
    assert [window.ending.cause for window in hole] == ["sea not known", "end of the forecast"]


def test_margin_is_what_the_checks_leave(plan: Plan, make: Maker) -> None:
    heights = [ROUGH, *np.linspace(0.6, 1.6, 12), ROUGH]
    forecast = make(heights)
    (window,) = weather_windows(plan, forecast, alpha=NO_FACTOR).windows
    highest = heave.assess(plan.changed(sea=forecast.sea_state(12))).governing
    assert window.margin == pytest.approx(1 - highest.utilisation, rel=1e-6)
    assert window.closest == highest.key


def test_factor_shortens_and_loses_windows(plan: Plan, make: Maker) -> None:
    limit = heave.limiting_sea(plan.changed(sea=make([2.0]).sea_state(0))).hs
    under = 0.95 * limit
    forecast = make([ROUGH] + [under] * 12 + [ROUGH] + [CALM] * 12 + [ROUGH])
    result = weather_windows(plan, forecast)
    assert len(result.without_factor) == 2
    assert len(result.windows) == 1
    assert [hours(lost.start, forecast) for lost in result.lost_to_factor] == [1]
    exact = weather_windows(plan, forecast, alpha=NO_FACTOR)
    assert len(exact.windows) == 2
    assert exact.lost_to_factor == ()


def test_every_sample_is_the_assessment_of_its_own_sea(plan: Plan, make: Maker) -> None:
    forecast = make([1.0, 2.0, 3.0, 4.5], [0.5, 2.5, 1.0, 0.2])
    (step,) = weather_windows(plan, forecast).steps
    for row in range(4):
        one = heave.assess(plan.changed(sea=forecast.sea_state(row)))
        for check in one.checks:
            np.testing.assert_allclose(step.plain.by_check[check.key][row], check.utilisation, rtol=1e-6)
        raised = plan.changed(sea=forecast.sea_state(row))
        share = step.design_hs[row] / raised.sea.hs
        systems = tuple(dataclasses.replace(s, hs=s.hs * share) for s in raised.sea.systems)
        judged = heave.assess(raised.changed(sea=dataclasses.replace(raised.sea, systems=systems)))
        assert step.reduced.governing[row] == pytest.approx(judged.governing.utilisation, rel=1e-6)


def test_outlook_from_inside_and_from_outside(plan: Plan, make: Maker) -> None:
    forecast = make([CALM] * 4 + [ROUGH] * 3 + [CALM] * 12)
    start = forecast.times[0]
    now = weather_windows(plan, forecast, now=start + np.timedelta64(90, "m")).outlook
    assert (now.inside, now.until_limit, now.until_back) == (True, 1.5 * HOUR, 0.0)
    assert now.limit is not None
    assert now.limit.sample == 4
    assert now.until_start == 5.5 * HOUR
    then = weather_windows(plan, forecast, now=start + np.timedelta64(5, "h")).outlook
    assert (then.inside, then.until_limit, then.limit, then.until_back) == (False, 0.0, None, 2 * HOUR)
    between = weather_windows(plan, forecast, now=start + np.timedelta64(200, "m")).outlook
    assert between.inside is False


def test_outlook_beyond_the_forecast_or_in_a_hole_is_not_known(plan: Plan, make: Maker) -> None:
    forecast = make([CALM, CALM, math.nan, CALM, CALM])
    hole = weather_windows(plan, forecast, now=forecast.times[2]).outlook
    assert (hole.inside, hole.until_limit, hole.until_back, hole.until_start) == (None, None, HOUR, None)
    late = weather_windows(plan, forecast, now="2031-01-01T00:00").outlook
    assert (late.inside, late.until_limit, late.until_back) == (None, None, None)
    with pytest.raises(InputError, match="present time"):
        weather_windows(plan, forecast, now="soon")


def test_steps_with_their_own_operations(plan: Plan, make: Maker) -> None:
    """Waiting on a locked compensator stands 6 m of sea, drilling does not."""
    easy = OperationStep(Operation(kind="waiting", duration=3 * HOUR, heave_limit=30.0), "Wait", 0.0, True)
    drill = OperationStep(Operation(kind="drilling", duration=3 * HOUR), "Drill", 0.0, True)
    forecast = make([6.0] * 6 + [CALM] * 8 + [ROUGH])
    result = weather_windows(plan, forecast, Campaign((easy, drill)))
    (window,) = result.windows
    assert [row.label for row in window.schedule] == ["Wait", "Drill"]
    assert hours(window.start, forecast) == 0
    assert hours(window.schedule[1].start, forecast) == 6
    assert hours(window.latest_start, forecast) == 7
    assert window.no_return == ()
    assert window.ending.step == "Drill"
    assert any("waits between steps" in note for note in result.notes)


def test_point_of_no_return_is_marked(plan: Plan, make: Maker) -> None:
    steps = (
        OperationStep(Operation(duration=2 * HOUR), "A", 0.0, True),
        OperationStep(Operation(duration=2 * HOUR), "B", 0.0, False),
    )
    forecast = make([CALM] * 8)
    (window,) = weather_windows(plan, forecast, Campaign(steps)).windows
    assert [hours(time, forecast) for time in window.no_return] == [2]


def test_operation_that_cannot_be_assessed_has_no_window(plan: Plan, make: Maker) -> None:
    coring = plan.changed(operation=Operation(kind="coring", duration=2 * HOUR))
    result = weather_windows(coring, make([CALM] * 10))
    assert result.windows == ()
    assert not result.steps[0].inside.any()
    assert any("Coring is not assessed" in note and "Lowest WOB allowed" in note for note in result.notes)


def test_a_sea_too_high_to_be_raised_is_over_where_it_is_over_as_it_stands(plan: Plan, make: Maker) -> None:
    (step,) = weather_windows(plan, make([CALM, 21.0, CALM])).steps
    assert step.reduced.governing[1] == step.plain.governing[1] > 1
    assert step.reduced.assessed[1]
    waiting = plan.changed(operation=Operation(kind="waiting", heave_limit=30.0))
    found = weather_windows(waiting, make([CALM, 21.0, CALM])).steps[0]
    assert found.plain.governing[1] < 1
    assert math.isnan(found.reduced.governing[1])
    assert found.inside.tolist() == [True, False, True]


def test_an_exposure_shorter_than_the_operation_is_said(plan: Plan, make: Maker) -> None:
    brief = plan.changed(exposure=3600.0)
    assert any("longer than the exposure" in note for note in weather_windows(brief, make([CALM] * 3)).notes)
    long = plan.changed(exposure=24 * HOUR)
    assert not any(
        "longer than the exposure" in note for note in weather_windows(long, make([CALM] * 3)).notes
    )


def test_a_longer_operation_than_the_table_is_answered_with_what_is_missing(plan: Plan, make: Maker) -> None:
    long = plan.changed(operation=Operation(duration=30 * HOUR))
    found = weather_windows(long, make([CALM] * 100))
    assert found.missing_rows == (("Drilling ahead", 30 * HOUR),)
    assert any("no row of α for 30\u00a0h" in note for note in found.notes)
    assert len(found.windows) == len(found.without_factor) == 1
    assert found.windows[0].firm_until is None
    assert found.windows[0].confirm == found.forecast.times[0] + np.timedelta64(6, "h")
    assert len(weather_windows(long, make([CALM] * 100), alpha=NO_FACTOR).windows) == 1


def test_not_weather_restricted_is_said(plan: Plan, make: Maker) -> None:
    long = plan.changed(operation=Operation(duration=72 * HOUR))
    result = weather_windows(long, make([CALM] * 200), alpha=NO_FACTOR)
    assert not result.weather_restricted
    assert any("not a weather-restricted" in note for note in result.notes)


def test_notes_speak_of_coarse_steps_holes_and_gaps(plan: Plan, make: Maker) -> None:
    notes = weather_windows(plan, make([CALM] * 5 + [math.nan] + [CALM] * 4, step=3 * HOUR, gaps=[2])).notes
    assert any("every 3\u00a0h" in note for note in notes)
    assert any("1 of 10 samples" in note for note in notes)
    assert any("1 gaps" in note or "1 gap" in note for note in notes)
    assert not any("every 1\u00a0h" in note for note in weather_windows(plan, make([CALM] * 5)).notes)


def test_the_plan_asks_and_an_argument_takes_the_place_of_what_it_asks(plan: Plan, make: Maker) -> None:
    forecast = make([CALM] * 6 + [3.5] * 8 + [CALM] * 6)
    now, steps = "2026-05-01T02:30", Campaign.of(Operation(duration=HOUR))
    asked = {"campaign": steps, "alpha": NO_FACTOR, "heading": "best", "turn_rate": 12.0, "now": now}
    given = weather_windows(plan, forecast, **asked)
    planned = weather_windows(plan.changed(weather=WeatherChoices(**asked)), forecast)
    assert planned.plan == given.plan
    assert planned.windows == given.windows
    assert planned.notes == given.notes
    assert planned.outlook == given.outlook
    assert planned.heading.tolist() == given.heading.tolist()
    assert any("turning at most 12°" in note for note in planned.notes)
    back = weather_windows(planned.plan, forecast, heading="fixed", alpha=BASE_CASE)
    assert back.heading.tolist() == [plan.heading] * forecast.size
    assert back.alpha == BASE_CASE
    assert back.outlook.now == np.datetime64(now)


@pytest.mark.parametrize(
    ("choice", "message"),
    [
        ({"heading": "random"}, "heading over time"),
        ({"turn_rate": -1.0}, "Largest turn"),
        ({"turn_rate": 3601.0}, "Largest turn"),
        ({"needed": 0.0}, "Share of members"),
        ({"time_zone": "Middle/Earth"}, "Time zone"),
        ({"time_zone": ""}, "Time zone"),
        ({"now": "now"}, "present time"),
        ({"now": "NaT"}, "present time"),
        ({"now": "2026-02-30"}, "present time"),
        ({"forecast_mapping": "hs"}, "forecast_mapping"),
    ],
)
def test_a_choice_out_of_range_is_refused_by_name(choice: dict[str, object], message: str) -> None:
    """'now' too: the library reads no clock, and a plan must ask the same tomorrow."""
    with pytest.raises(InputError, match=message):
        WeatherChoices(**choice)


def test_one_sample_and_wrong_arguments(plan: Plan, make: Maker) -> None:
    assert weather_windows(plan, make([CALM])).windows == ()
    with pytest.raises(InputError, match="heading over time"):
        weather_windows(plan, make([CALM] * 3), heading="random")
    members = EnsembleForecast((make([CALM] * 3),), ("1",))
    with pytest.raises(InputError, match="ensemble_windows"):
        weather_windows(plan, members)


@pytest.fixture(scope="module")
def before(plan: Plan, make: Maker) -> WindowResult:
    """Two calm spells and a rough one, nothing missing."""
    return weather_windows(plan, make([CALM] * 20 + [ROUGH] * 4 + [CALM] * 6, [0.4] * 30))


@settings(max_examples=25)
@given(
    holes=st.lists(st.integers(0, 29), max_size=6, unique=True),
    what=st.sampled_from(["hs", "tp", "direction_from"]),
    slot=st.integers(0, 1),
)
def test_missing_data_never_opens_a_window(
    plan: Plan, before: WindowResult, holes: list[int], what: str, slot: int
) -> None:
    """Whatever number is missing, of whatever system: nothing holds there, and nothing else gets better."""
    whole = before.forecast
    values = getattr(whole.batch.slots[slot], what).copy()
    values[holes] = math.nan
    slots = list(whole.batch.slots)
    slots[slot] = dataclasses.replace(slots[slot], **{what: values})
    torn = dataclasses.replace(whole, batch=dataclasses.replace(whole.batch, slots=tuple(slots)))
    after = weather_windows(plan, torn)
    assert not after.steps[0].inside[holes].any()
    assert not (after.start_works & ~before.start_works).any()
    for window in after.windows:
        for hole in holes:
            assert not window.start <= whole.times[hole] <= window.end


@settings(max_examples=20)
@given(size=st.integers(1, 60), seed=st.integers(0, 99))
def test_factor_never_adds_a_start(plan: Plan, make: Maker, size: int, seed: int) -> None:
    heights = np.random.default_rng(seed).uniform(0.2, 5.0, size)
    forecast = make(np.round(heights, 2), np.round(heights[::-1] / 3, 2))
    with_factor = weather_windows(plan, forecast)
    exact = weather_windows(plan, forecast, alpha=NO_FACTOR)
    assert not (with_factor.start_works & ~exact.start_works).any()


@pytest.mark.parametrize(
    ("start", "zone", "offsets"),
    [
        ("2026-03-28T22:00:00", "Europe/Oslo", ("+01:00", "+02:00")),
        ("2026-10-24T22:00:00", "Europe/Oslo", ("+02:00", "+01:00")),
        ("2028-02-28T20:00:00", "UTC", ("+00:00", "+00:00")),
        ("2026-12-31T18:00:00", "America/Halifax", ("-04:00", "-04:00")),
    ],
)
def test_clock_changes_leap_days_and_year_ends_do_not_move_a_window(
    plan: Plan, make: Maker, start: str, zone: str, offsets: tuple[str, str]
) -> None:
    """Clocks in Norway go forward on 29 March and back on 25 October 2026; 2028 has a 29 February."""
    forecast = make([CALM] * 14 + [ROUGH], start=start)
    result = weather_windows(plan, forecast)
    (window,) = result.windows
    assert window.length == 13 * HOUR
    assert window.slack == 5 * HOUR
    clock = Clock(zone)
    (cells,) = windows_table(result, clock)
    assert cells["Length, h"] == "13"
    shown = "UTC" if clock.is_utc else "local"
    for name, when, offset in zip(
        ("Earliest start", "End"), (window.start, window.end), offsets, strict=True
    ):
        assert clock.local(when).isoformat().endswith(offset)
        assert cells[f"{name}, {shown}"] == clock.full(when)
        assert clock.is_utc or cells[f"{name}, local"].endswith(offset)


def test_table_of_windows(plan: Plan, make: Maker) -> None:
    forecast = make([CALM] * 27 + [ROUGH], start="2028-02-28T12:00:00")
    result = weather_windows(plan, forecast)
    rows = windows_table(result, Clock("Europe/Oslo"))
    cells = rows[0]
    assert len(rows) == len(result.windows) == 1
    assert cells["Earliest start, UTC"] == "2028-02-28 12:00"
    assert cells["End, UTC"] == "2028-02-29 14:00"
    assert cells["End, local"] == "2028-02-29 15:00 +01:00"
    assert cells["Start can wait, h"] == "18"
    assert cells["In step"] == "Drilling ahead"
    with pytest.raises(InputError, match="Time zone"):
        Clock("Nowhere/At all")


def test_pieces_give_the_same_figures(plan: Plan, make: Maker, monkeypatch: pytest.MonkeyPatch) -> None:
    heights = np.linspace(0.2, 6.0, 50)
    batch = make(heights, heights[::-1] / 2).batch
    whole = utilisations(plan, batch)
    monkeypatch.setattr("heave.judging.utilisation.PIECE", 7)
    told: list[float] = []
    parts = utilisations(plan, batch, progress=told.append)
    for key in whole.keys:
        np.testing.assert_allclose(parts.by_check[key], whole.by_check[key], rtol=1e-6)
    assert parts.inside.tolist() == whole.inside.tolist()
    assert told == sorted(told)
    assert told[-1] == 1.0


def test_a_window_tells_what_its_doubt_could_reach(plan: Plan, make: Maker) -> None:
    """The highest over the ranges of every sample the window may use; without ranges it is what the margin leaves."""
    forecast = make([2.0] * 30)
    found = weather_windows(plan, forecast)
    table = found.steps[0].reduced
    first = found.windows[0]
    assert first.doubt == table.high.max() > 1.0 - first.margin
    assert first.doubtful == table.keys[table.high_by[np.argmax(table.high)]]
    sure = weather_windows(plan.changed(ranges=CLOSED), forecast).windows[0]
    assert (sure.start, sure.end, sure.margin) == (first.start, first.end, pytest.approx(first.margin))
    assert sure.doubt == pytest.approx(1.0 - sure.margin)
