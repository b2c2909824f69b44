"""The weather-window page: windows without any upload, own files mapped by hand, and nothing lost on the way."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from streamlit.testing.v1 import AppTest

from heave.files.plan import plan_to_json, read_plan
from heave.files.rigs import demo_plan
from heave.planning import (
    BASE_CASE,
    CLOSED,
    NO_FACTOR,
    AlphaRow,
    Campaign,
    Operation,
    OperationStep,
    Plan,
    WeatherChoices,
)
from heave.screens.weather import store
from heave.screens.weather.clock import Clock
from heave.screens.weather.summary import headline, lost_to_swell
from heave.screens.weather.table import csv_text, windows_table
from heave.weather import (
    WindowResult,
    ensemble_windows,
    hindcast_windows,
    starts_lost_to_systems,
    weather_windows,
)

Box = Callable[[str], Any]
Words = Callable[[], str]
Unfold = Callable[..., None]
PAGE = str(Path(__file__).resolve().parents[2] / "heave/screens/weather/page.py")


@pytest.fixture
def app() -> AppTest:
    """The weather-window page by itself, the forecast unfolded."""
    page = AppTest.from_file(PAGE, default_timeout=30)
    page.session_state["heave:opened"] = {"weather:forecast": True}
    page.session_state["heave:open:weather:forecast"] = True
    page.run()
    assert not page.exception
    return page


@pytest.fixture
def page(app: AppTest) -> AppTest:
    """The same."""
    return app


def plan_of(app: AppTest) -> Plan:
    plan: Plan = app.session_state["heave:plan"]
    return plan


def upload(
    app: AppTest, name: str, data: str | bytes, label: str = "Your own forecast (CSV, text or .xlsx)"
) -> None:
    box = next(item for item in app.file_uploader if item.label == label)
    raw = data if isinstance(data, bytes) else data.encode()
    box.set_value([(name, raw, "text/csv")]).run()
    assert not app.exception


def press(app: AppTest, label: str) -> None:
    next(item for item in app.button if item.label.replace("\\", "") == label).click().run()
    assert not app.exception


def pick(app: AppTest, label: str, value: Any) -> None:
    next(item for item in app.selectbox if item.label == label).set_value(value).run()
    assert not app.exception


def tables_of(app: AppTest) -> list[list[dict[str, str]]]:
    """Every table of the page as it reads."""
    found = [table.value.to_dict("records") for table in app.table]
    return [
        [{k.replace("\\", ""): v.replace("\\", "") for k, v in row.items()} for row in rows] for rows in found
    ]


def table_of(app: AppTest) -> list[dict[str, str]]:
    """The table of windows."""
    return next(rows for rows in tables_of(app) if "Window" in rows[0] or "Month" in rows[0])


def series(heights: list[float], header: str = "time_utc,hs_m,tp_s,direction_from_deg") -> str:
    rows = [
        f"2026-03-{1 + hour // 24:02d}T{hour % 24:02d}:00Z,{height},12,220"
        for hour, height in enumerate(heights)
    ]
    return "\n".join([header, *rows]) + "\n"


def searched(plan: Plan, now: str | None = None) -> WindowResult:
    """What the library finds in the sample."""
    return weather_windows(plan, store.sample().forecast, now=now)  # type: ignore[arg-type]


NEW_ROW = ("1 m, new", "2 m, new", "4 m, new", "6 m, new")
CALM = series([0.5] * 30)


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


def present_time(app: AppTest, now: str) -> None:
    """Put the present time where a file of another year has its days."""
    asked = replace(plan_of(app).weather, now=now)
    app.session_state["heave:plan"] = plan_of(app).changed(weather=asked)
    app.run()
    assert not app.exception


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
    assert "24 h" in words()
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
    bare = searched(demo_plan().changed(weather=WeatherChoices(alpha=NO_FACTOR)))
    assert table_of(page) == windows_table(bare, Clock())
    assert "No forecast factor" in words()
    page.toggle(key="heave:alpha:on").set_value(True).run()
    assert plan_of(page).weather.alpha == kept


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
    assert table_of(page)[0]["Lowest share of a start"] == f"{100 * found.windows[0].lowest:.0f} %"
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
        job.thread.join(20)
    page.run()
    assert not page.exception
    found = hindcast_windows(demo_plan(), page.session_state["heave:kept:hindcast"].forecast)
    row = table_of(page)[-1]
    assert row["Month"] == "All"
    assert row["Available"] == f"{100 * found.overall.availability:.1f} %"
    assert "Counted in years.csv" in words()


def test_a_stopped_count_keeps_nothing(page: AppTest) -> None:
    from heave.screens.weather.hindcast import Job

    job = Job(demo_plan(), store.sample().forecast, "sample")  # type: ignore[arg-type]
    job.stop.set()
    job.start()
    assert job.thread is not None
    job.thread.join(20)
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


def well(app: AppTest, *steps: OperationStep, now: str = "2026-03-01T02:00", **asked: Any) -> None:
    """A plan of these steps, asked at a present time of the made-up files."""
    choices = WeatherChoices(Campaign(steps), now=now, **asked)
    app.session_state["heave:plan"] = demo_plan().changed(weather=choices)
    app.run()
    assert not app.exception


def drilling(hours: float, safe: float = 0.0, **own: Any) -> OperationStep:
    return OperationStep(
        Operation(duration=hours * 3600.0), "Drill", 0.0, True, make_safe=safe * 3600.0, **own
    )


@pytest.mark.parametrize(
    ("now", "title"),
    [
        ("2026-03-21T05:00", "This forecast ended 19\xa0days ago"),
        ("2026-02-27T19:00", "This forecast starts in 29\xa0h"),
        ("2026-03-01T01:30", "Now is in a gap of the forecast"),
    ],
)
def test_now_outside_the_forecast_is_never_open(page: AppTest, words: Words, now: str, title: str) -> None:
    rows = CALM.splitlines()
    with_gap = "\n".join([*rows[:3], *rows[6:], "2026-03-02T06:00Z,0.5,12,220"]) + "\n"
    upload(page, "own.csv", with_gap if "gap" in title else CALM)
    present_time(page, now)
    assert f":gray[{title}]" in words()
    assert "Open now" not in words()
    assert "Safe to start" not in words()


def test_without_a_picked_time_the_clock_of_the_machine_counts(page: AppTest, words: Words) -> None:
    """A file of last spring is over, whatever its first hours say."""
    upload(page, "own.csv", CALM.replace("2026-", "2020-"))
    assert "This forecast ended" in words()
    assert "Open now" not in words()


def test_an_old_forecast_is_a_caution_beside_the_answer(page: AppTest, words: Words) -> None:
    upload(page, "own.csv", CALM)
    taken = page.session_state["heave:kept:forecast"]
    issued = np.datetime64("2026-02-28T13:00:00")
    page.session_state["heave:kept:forecast"] = replace(
        taken, forecast=replace(taken.forecast, issued=issued)
    )
    present_time(page, "2026-03-01T00:00")
    assert "Old forecast" not in words()
    assert "11\xa0h" in words()
    present_time(page, "2026-03-01T02:00")
    assert "**Old forecast**: issued Sat 28 Feb 13:00, 13\xa0h ago" in words()
    page.session_state["heave:plan"] = plan_of(page).changed(
        weather=replace(plan_of(page).weather, oldest=14 * 3600.0)
    )
    page.run()
    assert "Old forecast" not in words()


def test_a_step_under_way_is_headed_by_when_to_begin_making_safe(page: AppTest, words: Words) -> None:
    upload(page, "own.csv", series([0.5] * 20 + [7.0] * 10))
    well(page, drilling(8.0, 3.0), under_way=True)
    assert "[Start making safe by Sun 1 Mar 16:00]" in words()
    well(page, drilling(8.0, 3.0), under_way=True, now="2026-03-01T16:00")
    assert ":red[Start making safe now]" in words()
    well(page, drilling(8.0, 3.0), under_way=True, now="2026-03-01T22:00")
    assert "[Over a limit now]" in words()
    whole = replace(drilling(8.0), interruptible=False)
    well(page, whole, under_way=True)
    assert "[Must be finished]" in words()


def test_waits_and_ways_of_doing_it_are_listed(page: AppTest, words: Words) -> None:
    upload(page, "own.csv", series([0.5] * 12 + [7.0] * 6 + [0.5] * 30))
    hung = Operation(kind="waiting", heave_limit=30.0)
    well(page, drilling(16.0, 1.0, waits_in=hung), drilling(3.0), now="2026-03-01T00:00")
    ways = next(rows for rows in tables_of(page) if "Way" in rows[0])
    assert [row["Way"][:12] for row in ways] == ["Drill 10\xa0h, ", "start Sun 1 "]
    assert "make safe 1\xa0h, wait" in ways[0]["Way"]
    well(page, drilling(8.0, 1.0, waits_in=hung), drilling(20.0), now="2026-03-01T00:00")
    plan = next(rows for rows in tables_of(page) if "Begin making safe by" in rows[0])
    assert [row["Step"] for row in plan] == ["Drill", "Wait", "Drill"]
    assert plan[0]["Begin making safe by"] == "Sun 1, 10:00"
    assert plan[1]["What ends it"].startswith("Waiting, string off bottom, at most 0.")
    well(page, drilling(8.0, 1.0), drilling(20.0), now="2026-03-01T00:00")
    assert "not judged" in next(rows for rows in tables_of(page) if "Step" in rows[0])[1]["What ends it"]


def test_a_missing_row_shows_both_answers_and_relies_on_neither(page: AppTest, words: Words) -> None:
    upload(page, "own.csv", series([0.5] * 100))
    well(page, replace(drilling(30.0), interruptible=False))
    assert ":gray[Not assessed]" in words()
    assert "With the row for 24\xa0h: start" in words()
    assert "Without any factor: start" in words()
    assert words().count("not to be relied on**") == 2
    well(page, drilling(30.0))
    assert "[Open now]" in words()


def test_what_is_near_a_limit_is_not_shown_as_within(page: AppTest, words: Words) -> None:
    """The highest sea that holds leaves a sliver: the word and colour of the answer are those of the check."""
    upload(page, "own.csv", CALM)
    well(page, drilling(2.0), now="2026-03-01T00:00")
    plan = plan_of(page).changed(ranges=CLOSED)
    page.session_state["heave:plan"] = plan
    page.run()
    assert ":blue[Open now]" in words()
    used = 1 - weather_windows(plan, page.session_state["heave:kept:forecast"].forecast).windows[0].margin
    page.session_state["heave:plan"] = plan.changed(caution_level=used - 0.01)
    page.run()
    assert ":orange[Open now]" in words()
    assert "Near a limit:" in words()


def test_what_this_page_does_not_judge_and_who_decides_stands_on_it(page: AppTest, words: Words) -> None:
    for said in ("riser", "station keeping", "cranes", "helicopters", "the master"):
        assert said in words()


def test_a_step_takes_its_own_figures_on_the_page(page: AppTest, box: Box, unfold: Unfold) -> None:
    unfold("weather:steps", "weather:step:0")
    press(page, "Set contingency, add steps")
    page.checkbox(key="heave:input:weather:campaign:steps:0:interruptible:").check().run()
    press(page, next(item.label for item in page.button if "connections included" in item.label))
    assert plan_of(page).campaign.steps[0].make_safe == pytest.approx(108 / 20 * 3600)
    pick(page, "Waits in, 1", "waiting")
    assert plan_of(page).campaign.steps[0].waits_in is not None
    pick(page, "Waits in, 1", "")
    assert plan_of(page).campaign.steps[0].waits_in is None
    box("Bit depth, 1 (m)").set_value("900").run()
    assert plan_of(page).campaign.steps[0].bit_depth == 900.0
    box("Wind limit, 1 (m/s)").set_value("20").run()
    assert plan_of(page).campaign.steps[0].wind_limit == 20.0


def test_a_tide_is_typed_as_high_and_low_waters(page: AppTest, words: Words, unfold: Unfold) -> None:
    unfold("weather:heading", "weather:tide")
    area = page.text_area(key="heave:tide:text")
    area.set_value("2026-12-26 22:00 0,4\n2026-12-27 04:10  3.1\n\n").run()
    press(page, "Use this tide")
    tide = plan_of(page).weather.tide
    assert tide is not None
    assert [(water.when, water.height) for water in tide.waters] == [
        ("2026-12-26T22:00:00", 0.4),
        ("2026-12-27T04:10:00", 3.1),
    ]
    for wrong, said in (("2026-12-26 22:00", "line 1"), ("2026-12-26 22:00 a\n2026-12-27 04:10 2", "Height")):
        page.text_area(key="heave:tide:text").set_value(wrong).run()
        press(page, "Use this tide")
        assert said in page.error[0].value
        assert plan_of(page).weather.tide == tide
    press(page, "No tide curve")
    assert plan_of(page).weather.tide is None


def test_the_answer_is_drawn_again_when_the_hour_turns(
    page: AppTest, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert 1 <= store.to_next_hour() <= 3601
    page.session_state["heave:kept:hour:drawn"] = "2026-01-01T00"
    page.session_state["heave:messages"] = [("good", "Kept over the hour")]
    page.run()
    assert "Kept over the hour" in page.success[0].value
    assert not page.exception
    assert page.session_state["heave:kept:hour:drawn"] == str(np.datetime64("now", "h"))


def test_no_window_says_what_is_short_and_what_would_open_one(page: AppTest, words: Words) -> None:
    upload(page, "own.csv", series([0.5] * 6 + [7.0] * 4 + [0.5] * 5 + [7.0] * 3))
    well(page, drilling(5.0), OperationStep(Operation(duration=7200.0), "Land", 0.0), now="2026-03-01T00:00")
    assert "[No window]" in words()
    assert "**Land** needs 2\xa0h" in words() or "**Drill** needs 5\xa0h" in words()
    assert "Would open one: Land being a step that can be stopped, from **Sun 1 Mar 00:00 UTC**" in words()
    upload(page, "own.csv", series([9.0] * 30))
    well(page, drilling(5.0), now="2026-03-01T00:00")
    assert "is never inside: best at" in words()
    assert "No single change that was tried would open one." in words()


def test_not_assessed_is_a_word_of_its_own(page: AppTest, words: Words) -> None:
    upload(page, "own.csv", CALM)
    well(page, drilling(2.0, wind_limit=20.0))
    assert ":gray[Not assessed]" in words()
    assert "No window" not in words()


def test_the_turn_of_the_bow_is_named(page: AppTest, words: Words) -> None:
    rows = series([3.0] * 30).replace(",12,220", ",12,{}")
    upload(page, "own.csv", rows.format(*[220] * 10, *[260] * 20))
    well(page, drilling(2.0), heading="best", now="2026-03-01T00:00")
    assert "Bow 220° now, **" in words()


def test_work_that_fits_only_in_pieces_is_offered_as_such(page: AppTest, words: Words) -> None:
    upload(page, "own.csv", series([0.5] * 12 + [7.0] * 6 + [0.5] * 10 + [7.0] * 3))
    hung = Operation(kind="waiting", heave_limit=30.0)
    well(page, drilling(14.0, 1.0, waits_in=hung), now="2026-03-01T00:00")
    assert ":orange[In pieces only]" in words()
    assert "**Drill 10\xa0h, make safe 1\xa0h, wait 7\xa0h, get back 1\xa0h, Drill 4\xa0h**" in words()
