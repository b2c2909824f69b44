"""The page of the calculation sheet: title block, names and hours go into the plan, and saved sheets load again."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from streamlit.testing.v1 import AppTest

from heave.files.calculation_json import calculation_to_json
from heave.files.rigs import demo_plan
from heave.files.seals import signed, stale
from heave.judging import assess
from heave.planning import Plan, Record
from heave.screens.calculation.sheet import html_of
from heave.screens.weather.store import sample
from heave.weather import weather_windows
from heave.weather.in_hour import plan_in_hour

PAGE = "heave/screens/calculation/page.py"
Box = Callable[[str], Any]
Words = Callable[[], str]
Unfold = Callable[..., None]


@pytest.fixture
def app(app: AppTest) -> AppTest:
    app.switch_page(PAGE).run()
    assert not app.exception
    return app


def plan_of(app: AppTest) -> Plan:
    plan: Plan = app.session_state["heave:plan"]
    return plan


def test_what_is_typed_stands_in_the_plan(app: AppTest, box: Box) -> None:
    box("Well").set_value("7 A").run()
    box("Prepared by").set_value("A. Author").run()
    app.text_area[0].set_value("One line\nand another").run()
    record = plan_of(app).record
    assert (record.well, record.prepared_by) == ("7 A", "A. Author")
    assert record.note == "One line\nand another"
    box("Revision").set_value("x" * 41).run()
    assert plan_of(app).record.revision == ""
    assert any("at most 40 characters" in item.value for item in app.markdown)


def test_a_name_holds_until_the_plan_changes_and_can_be_renewed(app: AppTest, box: Box, words: Words) -> None:
    box("Checked by").set_value("B. Checker").run()
    assert plan_of(app) == signed(demo_plan(), "checked", "B. Checker")
    assert not app.warning
    box("Well").set_value("7 A").run()
    assert [item.value for item in app.warning] == ["Changed since it was checked."]
    assert "changed since it was checked" in words()
    next(item for item in app.button if item.label.startswith("Checked as it is now")).click().run()
    assert stale(plan_of(app)) == ()
    assert not app.warning
    box("Checked by").set_value("").run()
    assert plan_of(app).record == Record(well="7 A")


def test_an_hour_of_the_forecast_is_taken_as_the_windows_judge_it(
    app: AppTest, unfold: Unfold, words: Words
) -> None:
    unfold("sheet:hour")
    pick = {item.label: item for item in app.selectbox}
    pick["Hour"].set_value(9).run()
    next(item for item in app.button if item.label == "Take this hour into the plan").click().run()
    result = weather_windows(demo_plan(), sample().forecast)
    expected = plan_in_hour(demo_plan(), result, 0, 9)
    taken = plan_of(app)
    assert taken.sea == expected.sea
    assert taken.changed(record=Record()) == expected
    assert stale(taken) == ()
    assert "raised by the forecast factor" in taken.record.hour.words
    assert "wind and current not judged" in words()


@pytest.mark.parametrize("kind", ["html", "json"])
def test_a_saved_sheet_loads_as_its_plan(app: AppTest, kind: str) -> None:
    plan = signed(demo_plan().changed(name="Filed", record=Record(well="7 A")), "checked", "B. Checker")
    result = assess(plan)
    text = html_of(result) if kind == "html" else calculation_to_json(result)
    upload = next(item for item in app.file_uploader if item.label == "Load a plan")
    upload.set_value([(f"sheet.{kind}", text.encode(), f"text/{kind}")]).run()
    assert plan_of(app) == plan
    broken = text.replace("Filed", "Filet").encode()
    upload = next(item for item in app.file_uploader if item.label == "Load a plan")
    upload.set_value([(f"sheet.{kind}", broken, f"text/{kind}")]).run()
    assert plan_of(app) == plan
    assert any("plan in the sheet" in item.value.replace("\\", "") for item in app.error)


def test_both_files_are_offered_and_the_sheet_is_shown(app: AppTest) -> None:
    labels = [item.proto.label for item in app.get("download_button")]
    assert {"Save the sheet (HTML)", "Save the calculation (JSON)"} <= set(labels)
    (frame,) = app.get("iframe")
    assert "Calculation sheet" in frame.proto.srcdoc
    assert "heave-plan" not in frame.proto.srcdoc
