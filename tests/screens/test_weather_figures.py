"""Figures and clock of the weather window: nothing extreme lost, nothing joined over a gap, times right."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import datetime
from typing import Any

import numpy as np
import plotly.io
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from heave.errors import InputError
from heave.files.forecast.reader import read_forecast
from heave.files.rigs import demo_plan
from heave.planning import zone_names
from heave.screens.figures.chances import members_figure, months_figure
from heave.screens.figures.look import DARK, LIGHT
from heave.screens.figures.strips import letters, ranked_checks, scale, shades_of
from heave.screens.figures.thin import bucket_starts, highest_in, kept_points, place_of_highest
from heave.screens.figures.timeline import timeline_figure, timeline_words
from heave.screens.figures.timeline_bars import lanes_of, letter, unknown
from heave.screens.figures.timeline_words import hour_lines
from heave.screens.weather import store
from heave.screens.weather.clock import Clock, hours
from heave.weather import (
    EnsembleForecast,
    Forecast,
    WindowResult,
    ensemble_windows,
    hindcast_windows,
    weather_windows,
    without_systems,
)
from heave.weather.site_limits import NAMES

MOST_POINTS = 2000


@pytest.fixture(scope="module")
def sample() -> WindowResult:
    found = store.sample().forecast
    assert isinstance(found, Forecast)
    return weather_windows(demo_plan(), found)


def long_result(size: int = 9000, gap_at: int | None = None) -> WindowResult:
    """A forecast of a year and a gap in it, by repeating one sea at changing heights."""
    short = store.sample().forecast
    assert isinstance(short, Forecast)
    rows = np.arange(size) % short.size
    steps = np.ones(size, dtype=np.int64)
    if gap_at is not None:
        steps[gap_at + 1] = 30
    times = short.times[0] + np.cumsum(steps) * np.timedelta64(3600, "s")
    gaps = np.diff(times) > np.timedelta64(3600, "s")
    made = Forecast(times, short.batch.take(rows), short.system_names, 3600.0, gaps, name="long")
    return weather_windows(demo_plan(), made)


def points(trace: Any) -> int:
    return len(trace.x) if trace.x is not None else 0


@pytest.mark.parametrize("look", [LIGHT, DARK])
@pytest.mark.parametrize("system", ["metric", "oilfield"])
def test_the_timeline_draws_every_check_that_was_assessed(
    sample: WindowResult, look: Any, system: str
) -> None:
    figure = timeline_figure(sample, 0, Clock(), look, system)
    strips = [trace for trace in figure.data if trace.type == "heatmap"]
    assessed = [v for v in sample.steps[0].reduced.by_check.values() if not np.isnan(v).all()]
    assert len(strips) == len(assessed)
    texts = " ".join(str(note.text) for note in figure.layout.annotations)
    assert "Stroke, vessel rising" in texts
    assert ", over a limit" in texts
    assert "<b>A</b>" in texts
    names = {trace.name for trace in figure.data}
    assert {"over a limit", "governs", "no return"} <= names


def test_hatching_and_the_bar_tell_without_colour(sample: WindowResult) -> None:
    figure = timeline_figure(sample, 0, Clock(), LIGHT)
    hatch = next(trace for trace in figure.data if trace.name == "over a limit")
    assert hatch.fillpattern.shape == "/"
    rule = next(trace for trace in figure.data if trace.name == "governs")
    table = sample.steps[0].reduced
    runs = 1 + int(np.count_nonzero(np.diff(table.governed_by)))
    assert len(rule.x) == 3 * runs


def test_pointing_tells_everything(sample: WindowResult) -> None:
    place = 60
    words = "\n".join(hour_lines(sample, 0, place, Clock("Europe/Oslo"), "metric"))
    batch = sample.forecast.batch
    for part in ("UTC", "Europe/Oslo", "wind sea", "swell 1", "swell 2", "Tp", "from", "wind ", "heave", "α"):
        assert part in words, part
    assert f"{batch.hs[place]:.2f}"[:3] in words
    table = sample.steps[0].reduced
    for key, values in table.by_check.items():
        if not np.isnan(values[place]):
            assert f" {values[place]:.2f} " in words, key
    assert words.count("governs") == 1


def test_a_check_just_below_its_limit_is_not_written_as_at_it(sample: WindowResult) -> None:
    used = np.array(list(sample.steps[0].reduced.by_check.values()))
    place = int(np.flatnonzero(((used >= 0.995) & (used < 1)).any(axis=0))[0])
    words = "\n".join(hour_lines(sample, 0, place, Clock(), "metric"))
    assert " 0.99" in words
    assert " 1.00 of 1" not in words


def test_the_box_that_pointing_opens_says_what_the_list_says(sample: WindowResult) -> None:
    """The page is sent the lines once and the figures of each sample; put together they are the list's lines."""
    clock = Clock("Europe/Oslo")
    figure = timeline_figure(sample, 0, clock, LIGHT, "oilfield")
    spots = next(trace for trace in figure.data if trace.name == "hours")
    for place in (0, 100, sample.forecast.size - 1):
        cells = spots.customdata[place]
        told = re.sub(
            r"%\{customdata\[(\d+)\](?::(.*?))?\}",
            lambda gap, row=cells: format(row[int(gap[1])], gap[2] or ""),
            spots.hovertemplate,
        )
        assert told.removesuffix("<extra></extra>").split("<br>") == hour_lines(
            sample, 0, place, clock, "oilfield"
        )
    assert spots.text is None


def test_the_timeline_is_sent_in_few_bytes(sample: WindowResult) -> None:
    """Drawn anew at every entry: figures as numbers, words said once, a byte a colour; 104 kB of 179 kB before."""
    sent = plotly.io.to_json(timeline_figure(sample, 0, Clock(), LIGHT).to_dict(), validate=False)
    assert len(sent) < 110_000


def test_strips_turn_colour_at_the_caution_level_and_at_one_and_not_before(sample: WindowResult) -> None:
    ramp = dict(zip(("near", "over"), (stop for stop, _ in scale(LIGHT)[2:5:2]), strict=True))
    table = sample.steps[0].reduced
    figure = timeline_figure(sample, 0, Clock(), LIGHT)
    strips = [trace for trace in figure.data if trace.type == "heatmap"]
    caution = sample.plan.caution_level
    assert figure.layout.coloraxis.cmin == 0
    for strip, key in zip(strips, ranked_checks(table), strict=True):
        share = np.asarray(strip.z[0], dtype=float) / figure.layout.coloraxis.cmax
        values = table.by_check[key]
        assert ((share >= ramp["near"]) == (values >= caution)).all(), key
        assert ((share >= ramp["over"]) == (values >= 1)).all(), key
    edges = np.nextafter([caution, caution, 1.0, 1.0, 9.0], [0.0, 1.0, 0.0, 2.0, 0.0])
    assert shades_of(edges, caution).tolist() == [119, 120, 179, 180, 240]
    assert np.isnan(shades_of(np.array([np.nan]), caution)).all()


def test_name_and_highest_of_a_strip_have_room_beside_each_other_on_a_phone(sample: WindowResult) -> None:
    """348 px are left there; a letter is 0.55 of its size wide, measured in the browser."""
    for name in NAMES.values():
        words = f"{name}0.99, over a limit"
        assert 0.55 * letters(words) * len(words) < 344
    assert letters("Stroke, vessel rising0.85, near a limit") == 12.5
    notes = timeline_figure(sample, 0, Clock(), LIGHT).layout.annotations
    sizes = {str(note.text): note.font.size for note in notes}
    for key in ranked_checks(sample.steps[0].reduced):
        assert 11 <= sizes[NAMES[key]] <= 12.5


def test_what_is_not_there_has_no_period_and_no_direction(sample: WindowResult) -> None:
    """A calm system carries stand-ins for both, which are nobody's forecast."""
    calm = without_systems(sample.forecast, ("swell 1",))
    lines = hour_lines(replace(sample, forecast=calm), 0, 60, Clock(), "metric")
    assert "swell 1 –\u00a0m, Tp –\u00a0s, from –°" in lines


def test_even_steps_are_told_by_the_first_and_the_step(sample: WindowResult) -> None:
    figure = timeline_figure(sample, 0, Clock(), LIGHT)
    for trace in figure.data:
        if trace.name in {"hours", "heave"} or str(trace.name).startswith("Hs in all"):
            assert (trace.x0, trace.dx) == (str(sample.forecast.times[0]), 3_600_000)
    strip = next(trace for trace in figure.data if trace.type == "heatmap")
    assert (strip.x0, strip.dx) == (str(sample.forecast.times[0]), 3_600_000)
    assert strip.z.shape == (1, sample.forecast.size)


def test_every_sample_can_be_clicked(sample: WindowResult) -> None:
    figure = timeline_figure(sample, 0, Clock(), LIGHT)
    spots = next(trace for trace in figure.data if trace.name == "hours")
    assert spots.customdata[:, 0].tolist() == list(range(sample.forecast.size))
    assert figure.layout.clickmode == "event+select"


def test_a_year_is_thinned_and_keeps_its_extremes() -> None:
    result = long_result()
    figure = timeline_figure(result, 0, Clock(), LIGHT)
    for trace in figure.data:
        if trace.name not in {"over a limit", "governs"}:
            assert points(trace) <= MOST_POINTS, trace.name
    total = next(trace for trace in figure.data if str(trace.name).startswith("Hs in all"))
    known = np.asarray(total.y, dtype=float)
    assert np.nanmax(known) == np.nanmax(result.forecast.batch.hs)
    assert np.nanmin(known) == np.nanmin(result.forecast.batch.hs)
    spots = next(trace for trace in figure.data if trace.name == "hours")
    worst = int(np.argmax(result.steps[0].reduced.governing))
    assert float(result.steps[0].reduced.governing[spots.customdata[:, 0].astype(int)].max()) == float(
        result.steps[0].reduced.governing[worst]
    )


def test_lines_break_at_a_gap() -> None:
    result = long_result(300, gap_at=100)
    figure = timeline_figure(result, 0, Clock(), LIGHT)
    total = next(trace for trace in figure.data if str(trace.name).startswith("Hs in all"))
    assert np.isnan(np.asarray(total.y, dtype=float)).sum() == 1
    strip = next(trace for trace in figure.data if trace.type == "heatmap")
    assert strip.z.shape[1] == len(strip.x) - 1 == result.forecast.size + 1
    assert np.isnan(strip.z[0, 101])
    assert np.all(np.diff(strip.x) > np.timedelta64(0, "s"))
    (hole,) = unknown(result)
    assert hole[1] - hole[0] == np.timedelta64(29, "h")


def test_missing_seas_are_told_as_such() -> None:
    text = "time_utc,hs_m,tp_s,direction_from_deg\n" + "\n".join(
        f"2026-03-01T{hour:02d}:00Z,{'' if hour == 5 else 1.0},12,220" for hour in range(24)
    )
    found = read_forecast(text.encode())
    assert isinstance(found, Forecast)
    result = weather_windows(demo_plan(), found)
    assert "never inside" in "\n".join(hour_lines(result, 0, 5, Clock(), "metric"))
    assert timeline_figure(result, 0, Clock(), LIGHT).data
    (hole,) = unknown(result)
    assert hole == (np.datetime64("2026-03-01T04:30:00", "s"), np.datetime64("2026-03-01T05:30:00", "s"))


def test_names_of_steps_cannot_be_markup(sample: WindowResult) -> None:
    plan = demo_plan()
    from heave.planning.campaign import Campaign, OperationStep

    step = OperationStep(plan.operation, name="<b>x</b><a href='y'>")
    made = replace(sample, campaign=Campaign((step,)))
    figure = timeline_figure(made, 0, Clock(), LIGHT)
    assert "<a href" not in figure.to_json()


def test_the_picture_in_words(sample: WindowResult) -> None:
    words = timeline_words(sample, Clock())
    assert "window A" in words
    assert hours(sample.windows[0].length) in words


def test_windows_that_overlap_stand_in_lanes(sample: WindowResult) -> None:
    first, second = sample.windows
    late = replace(first, end=second.start + np.timedelta64(1, "h"))
    assert lanes_of(sample) == [0, 0]
    assert lanes_of(replace(sample, windows=(late, second))) == [0, 1]
    assert timeline_figure(replace(sample, windows=(late, second)), 0, Clock(), LIGHT).layout.height > (
        timeline_figure(sample, 0, Clock(), LIGHT).layout.height
    )


def test_windows_are_lettered() -> None:
    assert [letter(place) for place in (0, 25, 26, 52)] == ["A", "Z", "A2", "A3"]


def test_the_ramp_rises_and_turns_at_the_caution_level_and_at_one() -> None:
    stops = [stop for stop, _ in scale(LIGHT)]
    assert stops == sorted(stops)
    assert stops.count(stops[2]) == 2
    assert stops[0] == 0.0
    assert stops[-1] == 1.0


@given(arrays(np.float64, st.integers(1, 400), elements=st.floats(-50, 50)), st.integers(1, 60))
def test_thinning_keeps_lowest_and_highest(values: np.ndarray[Any, Any], most: int) -> None:
    kept = kept_points(values, most)
    assert kept.size <= max(2 * most, 1)
    assert np.all(np.diff(kept) > 0)
    assert values[kept].max() == values.max()
    assert values[kept].min() == values.min()
    starts = bucket_starts(values.size, most)
    assert highest_in(values, starts).max() == values.max()
    assert values[place_of_highest(values, starts)].max() == values.max()


def test_thinning_breaks_where_nothing_is_known() -> None:
    values = np.concatenate((np.ones(50), np.full(50, np.nan), np.ones(50)))
    assert np.isnan(values[kept_points(values, 15)]).any()
    assert np.isnan(highest_in(values, bucket_starts(150, 15))).sum() == 5


@pytest.mark.parametrize(
    ("zone", "utc", "shown"),
    [
        ("UTC", "2026-12-31T23:30:00", "Thu 31 Dec 23:30"),
        ("Europe/Oslo", "2026-12-31T23:30:00", "Fri 1 Jan 00:30"),
        ("Europe/Oslo", "2026-03-29T00:30:00", "Sun 29 Mar 01:30"),
        ("Europe/Oslo", "2026-03-29T01:30:00", "Sun 29 Mar 03:30"),
        ("Europe/Oslo", "2026-10-25T00:30:00", "Sun 25 Oct 02:30"),
        ("Europe/Oslo", "2026-10-25T01:30:00", "Sun 25 Oct 02:30"),
        ("UTC-03:00", "2028-02-29T01:00:00", "Mon 28 Feb 22:00"),
        ("UTC+05:00", "2028-02-28T20:00:00", "Tue 29 Feb 01:00"),
    ],
)
def test_local_time_over_clock_changes_leap_days_and_year_ends(zone: str, utc: str, shown: str) -> None:
    assert Clock(zone).stamp(np.datetime64(utc, "s")) == shown


def test_a_clock_reading_goes_to_utc_and_back() -> None:
    clock = Clock("Europe/Oslo")
    assert clock.utc(datetime(2026, 7, 1, 12)) == np.datetime64("2026-07-01T10:00:00", "s")
    assert clock.utc(datetime(2026, 10, 25, 2, 30)) == np.datetime64("2026-10-25T00:30:00", "s")
    assert clock.full(np.datetime64("2026-07-01T10:00:00", "s")) == "2026-07-01 12:00 +02:00"


def test_both_clocks_side_by_side() -> None:
    clock = Clock("Europe/Oslo")
    assert clock.both(np.datetime64("2026-07-01T10:00:00", "s")) == "Wed 1 Jul 12:00 Europe/Oslo (10:00 UTC)"
    late = clock.both(np.datetime64("2026-06-30T23:00:00", "s"))
    assert late == "Wed 1 Jul 01:00 Europe/Oslo (Tue 30, 23:00 UTC)"


def test_day_marks_are_local_midnights_and_few() -> None:
    clock = Clock("Europe/Oslo")
    first, last = np.datetime64("2026-03-27T00:00:00", "s"), np.datetime64("2026-04-03T00:00:00", "s")
    marks, words = clock.days(first, last)
    assert {clock.local(mark).hour for mark in marks} == {0}
    assert len(marks) == len(words) == 7
    year = clock.days(first, first + np.timedelta64(400, "D"))
    assert len(year[0]) <= 11


def test_zones_are_named_and_others_refused() -> None:
    assert zone_names()[0] == "UTC"
    assert "Europe/Oslo" in zone_names()
    with pytest.raises(InputError):
        Clock("Middle/Earth")


@pytest.mark.parametrize(
    ("span", "words"),
    [
        (3600.0, "1\u00a0h"),
        (5400.0, "1\u00a0h 30\u00a0min"),
        (600.0, "10\u00a0min"),
        (float("inf"), "not in the record"),
    ],
)
def test_spans_of_time(span: float, words: str) -> None:
    assert hours(span) == words


def ensemble() -> EnsembleForecast:
    rows = ["time_utc,member,hs_m,tp_s,direction_from_deg"]
    for member in range(5):
        rows += [
            f"2026-03-{1 + hour // 24:02d}T{hour % 24:02d}:00Z,{member},{1.0 + member * (hour > 20)},12,220"
            for hour in range(40)
        ]
    found = read_forecast("\n".join(rows).encode())
    assert isinstance(found, EnsembleForecast)
    return found


def test_the_members_figure_shows_shares() -> None:
    result = ensemble_windows(demo_plan(), ensemble(), needed=0.5)
    figure = members_figure(result, Clock(), LIGHT)
    shares = [trace for trace in figure.data if trace.yaxis == "y2"]
    assert len(shares) == 2
    assert all(0 <= value <= 1 for trace in shares for value in trace.y)


def test_the_months_figure_has_a_bar_for_each_month() -> None:
    result = hindcast_windows(demo_plan(), store.sample().forecast)  # type: ignore[arg-type]
    figure = months_figure(result, DARK)
    assert list(figure.data[0].x) == [month.name for month in result.months]
    assert figure.data[1].marker.pattern.shape == "/"
