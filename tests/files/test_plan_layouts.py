"""What was said of forecast files is kept in the plan file, layout by layout, and the oldest is let go."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

import heave
from heave.errors import InputError
from heave.files.forecast.answers import answer
from heave.files.forecast.questions import ForecastQuestions, suggest_mapping
from heave.files.forecast.reader import read_forecast
from heave.files.plan import KeptForecast, plan_to_json, read_plan_file
from heave.planning import ForecastMapping
from heave.planning.columns import ColumnMeaning
from heave.planning.weather import MOST_LAYOUTS

pytestmark = pytest.mark.portable


def _said(name: str) -> ForecastMapping:
    columns = (
        ColumnMeaning("when", "time"),
        ColumnMeaning(name, "height", unit="ft"),
        ColumnMeaning("wd", "wind direction", unit="deg", sense="to"),
        ColumnMeaning("cd", "current direction", unit="deg"),
    )
    return ForecastMapping(columns, time_zone="+02:00")


def test_what_was_said_of_every_layout_is_kept() -> None:
    plan = heave.demo_plan()
    asked = plan.weather
    for name in ("a", "b", "c", "a"):
        asked, dropped = asked.knowing(_said(name))
        assert not dropped
    again = heave.read_plan(plan_to_json(plan.changed(weather=asked)).encode()).weather
    assert again == asked
    assert again.forecast_mapping == _said("a")
    assert again.forecast_layouts == (_said("b"), _said("c"))
    for name in "abc":
        assert again.mapping_for(("wd", "cd", "when", name)) == _said(name)
    assert again.mapping_for(("wd", "when", "a")) is None, "a file with other columns is another layout"


def test_of_too_many_layouts_the_oldest_are_dropped_and_named() -> None:
    asked, gone = heave.demo_plan().weather, list[ForecastMapping]()
    for place in range(MOST_LAYOUTS + 3):
        asked, dropped = asked.knowing(_said(f"h{place}"))
        gone += dropped
    assert gone == [_said("h0"), _said("h1")]
    assert len(asked.forecast_layouts) == MOST_LAYOUTS
    with pytest.raises(InputError, match=f"at most {MOST_LAYOUTS}"):
        replace(asked, forecast_layouts=(*asked.forecast_layouts, _said("one more")))


@pytest.mark.parametrize("version", [2, 3, 4])
def test_a_file_that_knows_one_layout_only_still_reads(version: int) -> None:
    asked, _ = heave.demo_plan().weather.knowing(_said("a"))
    document = json.loads(plan_to_json(heave.demo_plan().changed(weather=asked)))
    document["version"] = version
    del document["plan"]["weather"]["forecast_layouts"]
    read = heave.read_plan(json.dumps(document).encode()).weather
    assert (read.forecast_mapping, read.forecast_layouts) == (_said("a"), ())


def test_a_saved_plan_gives_its_forecast_back_with_the_same_sea_and_wind() -> None:
    """The bytes and what was said of them: that the lone direction is the wind's, and where the waves come from."""
    rows = [f"2026-05-01 {hour:02d}:00,20,{hour * 30},2.5,9" for hour in range(8)]
    data = "\n".join(["Time,Wind (kn),Dir,Hs (m),Tp (s)", *rows]).encode()
    mapping = None
    answers = {"unknown": "direction of the wind", "direction_from": "210", "time_zone": "+02:00"}
    for _ in answers:
        with pytest.raises(ForecastQuestions) as asked:
            read_forecast(data, mapping)
        question = asked.value.questions[0]
        mapping = answer(asked.value.mapping, question, answers[question.key.partition(":")[0]])
    assert mapping is not None
    plan = heave.demo_plan()
    weather, _ = plan.weather.knowing(mapping)
    text = plan_to_json(plan.changed(weather=weather), KeptForecast("wind.csv", data))
    kept = read_plan_file(text.encode())
    assert kept.forecast is not None
    known = kept.plan.weather.mapping_for(suggest_mapping(data).header)
    before, after = read_forecast(data, mapping), read_forecast(kept.forecast.data, known)
    assert after.wind_direction_from is not None
    assert after.wind_direction_from.tolist() == [30.0 * hour for hour in range(8)]
    assert after.wind_direction_from.tolist() == before.wind_direction_from.tolist()
    assert after.wind_speed.tolist() == before.wind_speed.tolist()
    assert (after.times == before.times).all()
    assert set(after.batch.slots[0].direction_from.tolist()) == {210.0}
