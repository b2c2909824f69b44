"""A plan for the well on the weather-window page: now, steps, waits, pieces, limits, and what is not known."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
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
    tables_of,
    upload,
)

from heave.files.rigs import demo_plan
from heave.planning import (
    CLOSED,
    Campaign,
    Operation,
    OperationStep,
    WeatherChoices,
)
from heave.screens.state import Message
from heave.screens.weather import store
from heave.weather import (
    weather_windows,
)


@pytest.fixture
def app() -> AppTest:
    """The weather-window page by itself, the forecast unfolded."""
    return opened()


@pytest.fixture
def page(app: AppTest) -> AppTest:
    """The same."""
    return app


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
    assert "**Old forecast**: issued Sat 28 Feb 13:00 UTC, 13\xa0h ago" in words()
    page.session_state["heave:plan"] = plan_of(page).changed(
        weather=replace(plan_of(page).weather, oldest=14 * 3600.0)
    )
    page.run()
    assert "Old forecast" not in words()


def test_a_forecast_that_says_no_issue_can_be_told_it(page: AppTest, words: Words) -> None:
    """Of unknown age it is near a limit; told when, it has an age, and a time that is none changes nothing."""

    def tell(text: str) -> None:
        next(box for box in page.text_input if box.label == "Issued (UTC)").set_value(text).run()
        assert not page.exception

    upload(page, "own.csv", CALM)
    present_time(page, "2026-03-01T02:00")
    assert "**Age not known**" in words()
    tell("2026-02-28 21:00")
    assert "Age not known" not in words()
    assert "Sat 28 Feb 21:00 UTC" in words()
    tell("yesterday")
    assert "a time such as 2026-03-04 06:00, UTC" in words()
    assert "Sat 28 Feb 21:00 UTC" in words()
    tell("2026-02-28 13:00")
    assert "**Old forecast**" in words()
    tell("")
    assert "**Age not known**" in words()


def test_a_step_under_way_is_headed_by_when_to_begin_making_safe(page: AppTest, words: Words) -> None:
    upload(page, "own.csv", series([0.5] * 20 + [7.0] * 10))
    well(page, drilling(8.0, 3.0), under_way=True)
    assert "[Start making safe by Sun 1 Mar 16:00 UTC]" in words()
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
    upload(page, "own.csv", "# issued: 2026-03-01 00:00 UTC\n" + CALM)
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
    page.session_state["heave:messages"] = [Message("good", "Kept over the hour", "")]
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
    assert "is never within limits: best at" in words()
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


def test_a_step_runs_a_string_of_its_own_from_a_file(page: AppTest, words: Words, unfold: Unfold) -> None:
    """A lighter string than the plan's; a file that is none changes nothing; and back again."""
    unfold("weather:steps", "weather:step:0")
    press(page, "Set contingency, add steps")
    whole = plan_of(page).string.hookload

    def bring(data: str) -> None:
        box = next(item for item in page.file_uploader if item.label == "Its own string (CSV), 1")
        box.set_value([("landing.csv", data.encode(), "text/csv")]).run()
        assert not page.exception

    bring("name,length_m\npipe,10\n")
    assert plan_of(page).campaign.steps[0].string is None
    bring("name,length_m,od_in,id_in,weight_lb_per_ft,grade\nDrill pipe,1500,5,4.276,22.6,S-135\n")
    own = plan_of(page).campaign.steps[0].string
    assert own is not None
    assert own.hookload < 0.7 * whole
    assert plan_of(page).string.hookload == whole
    assert "Its own string, Drill pipe at the top" in words()
    page.button(key="heave:step:0:plan").click().run()
    assert plan_of(page).campaign.steps[0].string is None
