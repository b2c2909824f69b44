"""The weather-window page: windows without any upload, own files mapped by hand, and nothing lost on the way."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import pytest
from streamlit.testing.v1 import AppTest
from weather_page import (
    CALM,
    Box,
    Unfold,
    Words,
    opened,
    pick,
    plan_of,
    present_time,
    press,
    series,
    table_of,
    upload,
)

from heave.files.forecast.unsure import readings_of
from heave.files.plan import plan_to_json, read_plan
from heave.files.rigs import demo_plan
from heave.planning import (
    BASE_CASE,
    NO_FACTOR,
    AlphaRow,
    Plan,
    WeatherChoices,
)
from heave.screens.weather import store
from heave.screens.weather.clock import Clock
from heave.screens.weather.lost import lost_to_swell
from heave.screens.weather.summary import headline
from heave.screens.weather.table import csv_text, windows_table
from heave.weather import (
    WindowResult,
    ensemble_windows,
    hindcast_windows,
    starts_lost_to_systems,
    weather_windows,
)
from heave.weather.worst import worst_reading


@pytest.fixture
def app() -> AppTest:
    """The weather-window page by itself, the forecast unfolded."""
    return opened()


@pytest.fixture
def page(app: AppTest) -> AppTest:
    """The same."""
    return app


def searched(plan: Plan, now: str | None = None) -> WindowResult:
    """What the library finds in the sample."""
    return weather_windows(plan, store.sample().forecast, now=now)  # type: ignore[arg-type]


NEW_ROW = ("1 m, new", "2 m, new", "4 m, new", "6 m, new")


def test_the_demo_shows_windows_without_any_upload(page: AppTest, words: Words) -> None:
    found = searched(demo_plan())
    assert len(found.windows) >= 1
    assert f"[{headline(found, Clock()).title}]" in words()
    assert table_of(page) == windows_table(found, Clock())
    assert table_of(page)[0]["Margin, %"] == f"{100 * found.windows[0].margin:.1f}"
    assert "What ends it" in words()
    for note in found.notes:
        assert note in words()


def test_what_is_lost_to_the_factor_and_to_swell_is_told(page: AppTest, words: Words) -> None:
    found = searched(demo_plan())
    assert ("Lost to α:" in words()) == bool(found.lost_to_factor)
    spans = lost_to_swell(found, starts_lost_to_systems(found))
    assert spans
    for begin, end in spans:
        inside = (found.forecast.times >= begin) & (found.forecast.times <= end)
        assert not found.start_works[inside].any()


def test_an_own_file_with_known_names_is_read_at_once(page: AppTest, words: Words) -> None:
    upload(page, "own.csv", CALM)
    assert "Using own.csv: 30 times" in page.success[0].value.replace("\\", "")
    assert table_of(page)[0]["Length, h"] == "29"
    assert page.expander[0].label
    assert "Using **own.csv**" in words()


def test_a_broken_file_keeps_the_forecast(page: AppTest) -> None:
    upload(page, "own.csv", CALM)
    before = table_of(page)
    nothing, binary, ragged = b"", b"\x00\x01\x02", b"a,b\n1\n"
    too_high, no_number = CALM.replace("0.5", "26").encode(), CALM.replace(",12,", ",twelve,").encode()
    for data in (nothing, binary, ragged, too_high, no_number):
        upload(page, "broken.csv", data)
        assert "broken.csv was not read" in page.error[0].value.replace("\\", "")
        assert not page.table, "no answer of another forecast stands on the page"
        press(page, "Back to own.csv")
        assert table_of(page) == before


def test_missing_hours_never_open_a_window(page: AppTest, words: Words) -> None:
    upload(page, "holes.csv", CALM.replace(",0.5,12,", ",,12,"))
    assert "holes.csv was not read" in page.error[0].value.replace("\\", "")
    assert "missing in every row" in page.error[0].value.replace("\\", "")
    press(page, "Back to sample_forecast.csv")
    lines = CALM.replace(",0.5,12,", ",,12,").split("\n")
    upload(page, "holes.csv", "\n".join([lines[0], lines[1].replace(",,12,", ",0.5,12,"), *lines[2:]]))
    present_time(page, "2026-03-01T02:00")
    assert "[The sea is not known now]" in words()
    assert not page.table


def test_steps_come_and_go(page: AppTest, box: Box, words: Words, unfold: Unfold) -> None:
    unfold("weather:steps")
    press(page, "Set contingency, add steps")
    assert plan_of(page).weather.campaign is not None
    box("Contingency 1 (h)").set_value("2").run()
    press(page, "Add a step")
    page.selectbox(key="heave:step:1:kind").set_value("tripping").run()
    box("Planned 2 (h)").set_value("3,5").run()
    page.checkbox(key="heave:input:weather:campaign:steps:0:interruptible:").check().run()
    steps = plan_of(page).weather.campaign.steps  # type: ignore[union-attr]
    assert [step.operation.kind for step in steps] == ["drilling", "tripping"]
    assert steps[0].contingency == 7200.0
    assert steps[1].planned == 3.5 * 3600
    assert steps[0].interruptible
    assert "Steps, if begun at the earliest start" in words()
    pick(page, "Checks of step", 1)
    press(page, "Remove step 1")
    assert len(plan_of(page).weather.campaign.steps) == 1  # type: ignore[union-attr]
    press(page, "Back to the plan's operation")
    assert plan_of(page).weather.campaign is None


def test_a_period_without_a_row_is_not_assessed(
    page: AppTest, box: Box, words: Words, unfold: Unfold
) -> None:
    unfold("weather:steps", "weather:alpha")
    box("Planned (h)").set_value("30").run()
    assert "[Not assessed]" in words()
    assert "24\u00a0h" in words()
    press(page, "Add a row")
    assert "none is filled in" in page.error[0].value
    for label, text in zip(("New, up to (h)", *NEW_ROW), ("36", "0,5", "0.6", "0.65", "0.7"), strict=True):
        box(label).set_value(text)
    press(page, "Add a row")
    assert "Source of the new row" in page.error[0].value
    assert plan_of(page).weather.alpha == BASE_CASE
    box("Source of the new row").set_value("invented, for a test")
    press(page, "Add a row")
    assert "[Not assessed]" not in words()
    assert plan_of(page).weather.alpha.rows == (*BASE_CASE.rows, AlphaRow(36 * 3600.0, 0.5, 0.6, 0.65, 0.7))
    assert plan_of(page).weather.alpha.source == f"{BASE_CASE.source}; up to 36 h: invented, for a test"
    assert box("2 m, new").value == ""
    press(page, "Base case")
    assert "[Not assessed]" in words()


def test_a_row_out_of_range_or_of_a_period_there_already_is_not_added(
    page: AppTest, box: Box, unfold: Unfold
) -> None:
    unfold("weather:alpha")
    for period, factor in (("24", "0.7"), ("36", "1.7"), ("36", "much")):
        for label, text in zip(("New, up to (h)", *NEW_ROW), (period, *[factor] * 4), strict=True):
            box(label).set_value(text)
        box("Source of the new row").set_value("invented, for a test")
        press(page, "Add a row")
        assert "No row was added" in page.error[0].value
        assert plan_of(page).weather.alpha == BASE_CASE


def test_the_factor_goes_off_and_on_again(page: AppTest, box: Box, words: Words, unfold: Unfold) -> None:
    unfold("weather:alpha")
    box("2 m, 1").set_value("0.70").run()
    assert plan_of(page).weather.alpha.rows[0].at_2m == 0.70
    kept = plan_of(page).weather.alpha
    page.toggle(key="heave:alpha:on").set_value(False).run()
    assert not plan_of(page).weather.alpha.applied
    read = read_plan(plan_to_json(plan_of(page)).encode()).weather
    assert (read.alpha, read.alpha_off) == (
        NO_FACTOR,
        kept,
    )  # saved while off, it is there when that is opened
    bare = searched(demo_plan().changed(weather=WeatherChoices(alpha=NO_FACTOR)))
    assert table_of(page) == windows_table(bare, Clock())
    assert "No forecast factor" in words()
    page.toggle(key="heave:alpha:on").set_value(True).run()
    assert (plan_of(page).weather.alpha, plan_of(page).weather.alpha_off) == (kept, None)


def test_best_heading_and_its_largest_turn(page: AppTest, box: Box, words: Words, unfold: Unfold) -> None:
    unfold("weather:heading")
    page.segmented_control(key="heave:weather:heading").set_value("best").run()
    assert "the best of every 10°, turning at most 30°" in words()
    box("Largest turn (°/h)").set_value("5").run()
    assert "turning at most 5°" in words()
    box("Largest turn (°/h)").set_value("-1").run()
    assert "Still used: 5" in words()


def test_now_and_the_zone(page: AppTest, words: Words, unfold: Unfold) -> None:
    unfold("weather:heading")
    page.selectbox(key="heave:weather:zone").set_value("Europe/Oslo").run()
    assert not page.exception
    clock = Clock("Europe/Oslo")
    assert table_of(page) == windows_table(searched(demo_plan()), clock)
    assert table_of(page)[0]["Earliest start, local"].endswith(" +01:00")
    page.session_state["heave:plan"] = demo_plan().changed(weather=WeatherChoices(now="2026-12-30T00:00:00"))
    page.run()
    assert f"[{headline(searched(demo_plan(), '2026-12-30T00:00:00'), Clock()).title}]" in words()
    press(page, "By the clock again")
    assert f"[{headline(searched(demo_plan()), Clock()).title}]" in words()


def test_a_saved_plan_opens_with_the_same_question(
    page: AppTest, box: Box, words: Words, unfold: Unfold
) -> None:
    """Whatever is picked on the page is in the plan's file, and the plan alone then answers as the page does."""
    unfold("weather:heading")
    page.segmented_control(key="heave:weather:heading").set_value("best").run()
    box("Largest turn (°/h)").set_value("5").run()
    page.selectbox(key="heave:weather:zone").set_value("Europe/Oslo").run()
    asked = replace(plan_of(page).weather, now="2026-12-28T12:00")
    page.session_state["heave:plan"] = plan_of(page).changed(weather=asked)
    page.run()
    shown, title = table_of(page), words()
    read = read_plan(plan_to_json(plan_of(page)).encode())
    assert read.weather == WeatherChoices(
        heading="best", turn_rate=5.0, time_zone="Europe/Oslo", now="2026-12-28T12:00:00"
    )
    found = searched(read)
    assert shown == windows_table(found, Clock(read.weather.time_zone))
    assert f"[{headline(found, Clock()).title}]" in title
    page.session_state["heave:plan"] = demo_plan()
    page.run()
    assert table_of(page) != shown
    page.session_state["heave:plan"] = read
    page.run()
    assert table_of(page) == shown
    assert "turning at most 5°" in words()
    assert "Mon 28 Dec 13:00 Europe/Oslo (12:00 UTC)" in words()


def test_a_present_time_stays_while_the_forecast_has_it(page: AppTest, words: Words, unfold: Unfold) -> None:
    unfold("weather:heading")
    at = WeatherChoices(now="2026-03-01T06:00")
    page.session_state["heave:plan"] = demo_plan().changed(weather=at)
    page.run()
    assert "outside this forecast" in words()
    upload(page, "own.csv", CALM)
    assert plan_of(page).weather.now == "2026-03-01T06:00:00"
    assert "outside this forecast" not in words()
    press(page, "Back to the sample")
    assert plan_of(page).weather.now is None


def test_the_csv_is_the_table_and_starts_no_formula(page: AppTest, box: Box, unfold: Unfold) -> None:
    unfold("weather:steps", "weather:step:0")
    press(page, "Set contingency, add steps")
    box("Name of step 1").set_value('=HYPERLINK("x")').run()
    plan = plan_of(page)
    rows = windows_table(searched(plan), Clock())
    assert table_of(page) == rows
    read = list(csv.DictReader(io.StringIO(csv_text(rows))))
    assert read[0]["In step"] == '\'=HYPERLINK("x")'
    assert [{**row, "In step": row["In step"].removeprefix("'")} for row in read] == rows


def members() -> str:
    rows = ["time_utc,member,hs_m,tp_s,direction_from_deg"]
    for member in range(4):
        for hour in range(40):
            height = 7.0 if hour >= 20 + 4 * member else 0.5
            rows.append(f"2026-03-{1 + hour // 24:02d}T{hour % 24:02d}:00Z,{member},{height},12,220")
    return "\n".join(rows) + "\n"


def test_an_ensemble_tells_shares_and_shows_one_member(page: AppTest, words: Words) -> None:
    upload(page, "members.csv", members())
    found = ensemble_windows(demo_plan(), page.session_state["heave:kept:forecast"].forecast)
    assert len(found.windows) == 1
    present_time(page, "2026-03-01T00:00")
    assert "[Open now]" in words()
    first = found.windows[0]
    assert f"{first.count} of 4" in words()
    assert (first.ends_in, first.ends[1:] in words()) == (4, True)
    assert table_of(page)[0]["Lowest share of a start"] == f"{100 * found.windows[0].lowest:.0f}\u00a0%"
    pick(page, "A start must work in at least", 0.5)
    assert table_of(page)[0]["Latest safe start, UTC"] > "2026-03-01 07:00"
    pick(page, "Members", 3)
    assert "member 3" in words() or "Length, h" in table_of(page)[0]
    page.selectbox(key="heave:weather:member").set_value(-1).run()
    assert "Lowest share of a start" in table_of(page)[0]


def test_a_hindcast_counts_in_a_thread_and_shows_months(page: AppTest, words: Words) -> None:
    page.session_state["heave:tab:weather"] = "Hindcast, years of seas"
    page.run()
    assert not page.exception
    record = series([0.5, 0.5, 0.5, 7.0] * 5 + [0.5] * 60)
    upload(page, "years.csv", record, "Hindcast or long record (CSV, text or .xlsx)")
    press(page, "Count windows in the record")
    job = page.session_state["heave:kept:hindcast:job"]
    if job is not None:
        job.thread.join(180)
    page.run()
    assert not page.exception
    found = hindcast_windows(demo_plan(), page.session_state["heave:kept:hindcast"].forecast)
    row = table_of(page)[-1]
    assert row["Month"] == "All"
    assert row["Available"] == f"{100 * found.overall.availability:.1f}\u00a0%"
    assert "Counted in years.csv" in words()
    assert not page.warning
    upload(page, "years.csv", CALM, "Hindcast or long record (CSV, text or .xlsx)")
    assert "which is not the record above" in page.warning[0].value


def test_a_record_of_unsure_periods_is_counted_by_the_worst_kind_in_each_hour(
    page: AppTest, words: Words
) -> None:
    """What was answered for the forecast goes for the record of the same layout: never the first kind in silence."""
    record = series([0.5, 2.0, 3.0, 7.0] * 5 + [2.5] * 60, "time_utc,hs_m,period_s,direction_from_deg")
    upload(page, "unsure.csv", record)
    press(page, "Not sure")
    page.session_state["heave:tab:weather"] = "Hindcast, years of seas"
    page.run()
    upload(page, "years.csv", record, "Hindcast or long record (CSV, text or .xlsx)")
    press(page, "Count windows in the record")
    job = page.session_state["heave:kept:hindcast:job"]
    if job is not None:
        job.thread.join(180)
    page.run()
    assert not page.exception
    readings = readings_of(record.encode(), plan_of(page).weather.forecast_mapping)  # type: ignore[arg-type]
    counts = [hindcast_windows(plan_of(page), one).overall.availability for one in readings]  # type: ignore[arg-type]
    worst = hindcast_windows(plan_of(page), worst_reading(plan_of(page), readings))  # type: ignore[arg-type]
    assert worst.overall.availability <= min(counts)
    assert worst.overall.availability < max(counts), "the kind matters in this record"
    assert table_of(page)[-1]["Available"] == f"{100 * worst.overall.availability:.1f}\u00a0%"
    assert "The kind of a period is not known" in words()


def test_a_stopped_count_keeps_nothing(page: AppTest) -> None:
    from functools import partial

    from heave.screens.job import Job
    from heave.screens.weather.hindcast import counted

    job = Job("sample", partial(counted, demo_plan(), store.sample()))
    job.stop.set()
    job.start()
    assert job.thread is not None
    job.thread.join(180)
    assert job.result is None
    assert "Stopped" in job.error
    page.session_state["heave:kept:hindcast:job"] = job
    page.session_state["heave:tab:weather"] = "Hindcast, years of seas"
    page.run()
    page.run()
    assert not page.exception
    assert page.session_state["heave:kept:hindcast:job"] is None


def test_hostile_names_stay_text(page: AppTest) -> None:
    upload(page, "![x](http:__198.51.100.1_x)<script>.csv", CALM)
    shown = [item.value for item in (*page.markdown, *page.caption, *page.success) if "198" in item.value]
    assert shown
    assert all("![x](" not in text for text in shown)
