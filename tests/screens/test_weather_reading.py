"""Own files on the weather-window page: asked about one question at a time, pasted, bridged, of unknown kind."""

from __future__ import annotations

import numpy as np
import pytest
from streamlit.testing.v1 import AppTest
from weather_page import CALM, Box, Words, opened, plan_of, press, series, table_of, upload

from heave.files.plan import plan_to_json, read_plan
from heave.judging import utilisations
from heave.planning import ForecastMapping
from heave.planning.columns import ColumnMeaning
from heave.planning.weather import MOST_LAYOUTS
from heave.screens.weather import store
from heave.weather.worst import worst_reading


@pytest.fixture
def app() -> AppTest:
    """The weather-window page by itself, the forecast unfolded."""
    return opened()


@pytest.fixture
def page(app: AppTest) -> AppTest:
    """The same."""
    return app


UNKNOWN = series([0.5] * 20 + [7.0] * 20 + [0.5] * 30, "when,wave,beat,way")


def asked(app: AppTest) -> str:
    """The question that is put, without the marks that keep it plain."""
    found = next(item.value for item in app.markdown if item.value.startswith("**") and "?" in item.value)
    return found.replace("\\", "").strip("*")


def test_unknown_columns_are_asked_about_and_remembered(page: AppTest, words: Words) -> None:
    upload(page, "strange.csv", UNKNOWN)
    assert not page.table, "no answer of another forecast stands on the page"
    assert "Which column holds the significant wave height" in asked(page)
    assert "Then still to be answered" in page.caption[0].value
    press(page, "Wave")
    assert "Which column holds the period" in asked(page)
    press(page, "Beat")
    assert "what is in column way" in asked(page).lower()
    press(page, "Direction of the sea: where waves come from: 220")
    assert "In which unit is the height in column wave" in asked(page)
    press(page, "0.5, 0.5, 0.5\u00a0m")
    assert "Which period is in column beat" in asked(page)
    press(page, "Peak period: 12, 12, 12")
    assert [row["Window"] for row in table_of(page)] == ["A", "B"]
    kept = plan_of(page).weather.forecast_mapping
    assert kept is not None
    assert {meaning.column for meaning in kept.columns} == {"when", "wave", "beat", "way"}
    assert read_plan(plan_to_json(plan_of(page)).encode()).weather.forecast_mapping == kept
    upload(page, "next.csv", UNKNOWN)
    assert "Using next.csv" in page.success[0].value.replace("\\", "")
    press(page, "Ask about it again")
    assert "Which column holds the significant wave height" in asked(page)
    press(page, "Wave")
    press(page, "Back one answer")
    assert "Which column holds the significant wave height" in asked(page)
    press(page, "Leave the file")
    press(page, "Back to the sample")
    assert "sample_forecast" in words()


def test_a_pasted_table_is_read_as_a_file_is(page: AppTest, words: Words) -> None:
    page.text_area[0].set_value(CALM.replace(",", "\t")).run()
    assert not page.exception
    assert "Using pasted text: 30 times" in page.success[0].value.replace("\\", "")
    assert page.text_area[0].value == ""
    assert table_of(page)[0]["Length, h"] == "29"


def test_gaps_are_bridged_up_to_a_stated_length(page: AppTest, box: Box, words: Words) -> None:
    lines = CALM.split("\n")
    upload(page, "gap.csv", "\n".join(lines[:10] + lines[12:]))
    assert "Gaps, which break a window" in words()
    assert table_of(page)[0]["Earliest start, UTC"] == "2026-03-01 11:00"
    box("Gaps bridged up to (h)").set_value("3").run()
    assert not page.exception
    assert table_of(page)[0]["Earliest start, UTC"] == "2026-03-01 00:00"
    assert "bridged, as asked" in words()
    assert plan_of(page).weather.forecast_mapping.bridge == 3 * 3600.0  # type: ignore[union-attr]


def test_a_period_of_unknown_kind_is_the_worst_for_the_plan(page: AppTest, words: Words) -> None:
    """Whatever the plan: of every hour the kind with the highest governing check is used, and that is said."""
    text = series([2.0] * 12 + [4.0] * 12, "time_utc,hs_m,period_s,direction_from_deg")
    upload(page, "kinds.csv", text)
    press(page, "Not sure")
    source = store.Source("x", page.session_state["heave:kept:forecast"].forecast)
    readings = page.session_state["heave:kept:forecast"].readings
    assert len(readings) == 4
    assert "The kind of a period is not known" in words()
    plan = plan_of(page)
    worst = worst_reading(plan, readings)
    judged = [utilisations(plan, reading.with_depth(plan.sea.depth).batch).governing for reading in readings]
    found = utilisations(plan, worst.with_depth(plan.sea.depth).batch).governing
    assert found.tolist() == pytest.approx(np.max(judged, axis=0).tolist())
    assert source.forecast.size == 24


def test_a_saved_plan_answers_files_of_every_layout_it_was_told_of(page: AppTest, words: Words) -> None:
    """Three layouts answered, another session opens the plan: each is read without a click."""
    files = [
        series([0.5] * 30, f"time_utc,hs_m,period_s,{name}")
        for name in ("direction_from_deg", "mwd", "way_from_deg")
    ]
    for place, text in enumerate(files[:2]):
        upload(page, f"{place}.csv", text)
        press(page, "Peak period: 12, 12, 12")
    upload(page, "2.csv", files[2])
    press(page, "Direction of the sea: where waves come from: 220")
    press(page, "Peak period: 12, 12, 12")
    saved = plan_to_json(plan_of(page)).encode()
    other = opened()
    other.session_state["heave:plan"] = read_plan(saved)
    for place, text in enumerate(files):
        upload(other, f"again {place}.csv", text)
        assert f"Using again {place}.csv" in other.success[0].value.replace("\\", "")
    press(other, "Ask about it again")
    assert "?" in asked(other)
    upload(other, "back.csv", files[0])
    assert "Using back.csv" in other.success[0].value.replace("\\", "")


def test_a_layout_that_is_dropped_is_said(page: AppTest, words: Words) -> None:
    known = plan_of(page).weather
    for place in range(MOST_LAYOUTS + 1):
        known, _ = known.knowing(ForecastMapping((ColumnMeaning(f"wave {place}", "height", unit="m"),)))
    page.session_state["heave:plan"] = plan_of(page).changed(weather=known)
    upload(page, "new.csv", series([0.5] * 30, "time_utc,hs_m,period_s,mwd"))
    press(page, "Peak period: 12, 12, 12")
    assert any("wave 0" in item.value and "dropped" in item.value for item in page.success)
    assert plan_of(page).weather.mapping_for(("wave 0",)) is None
    assert plan_of(page).weather.mapping_for(("wave 1",)) is not None


def test_a_direction_behind_the_wind_is_asked_about_and_drawn_as_its(page: AppTest, words: Words) -> None:
    rows = [f"2026-03-01T{hour:02d}:00Z,20,250,0.5,12,220" for hour in range(24)]
    upload(page, "wind.csv", "\n".join(["Time,Wind (kn),Dir,Hs (m),Tp (s),MWD", *rows]))
    assert "Using wind.csv" in words(), "the waves have their own: nothing is asked"
    rows = [f"2026-03-01T{hour:02d}:00Z,20,250,0.5,12" for hour in range(24)]
    upload(page, "alone.csv", "\n".join(["Time,Wind (kn),Dir,Hs (m),Tp (s)", *rows]))
    assert "Of what is the direction in column dir" in asked(page)
    press(page, "Direction of the wind: 250")
    assert "where do the waves come from" in asked(page).lower()
    page.text_input(key=next(one.key for one in page.text_input if ":typed:" in (one.key or ""))).set_value(
        "220"
    ).run()
    assert not page.exception
    assert "Using alone.csv" in words()
    held = page.session_state["heave:kept:forecast"].forecast
    assert held.wind_direction_from.tolist() == [250.0] * 24
    assert set(held.batch.slots[0].direction_from.tolist()) == {220.0}
