"""Rig page: equipment from the library, every field by hand, and files with their questions asked."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from response_text import response_table_text
from streamlit.testing.v1 import AppTest

from heave.files.rigs import demo_compensators, demo_plan, demo_strings, demo_vessels
from heave.files.string import string_text
from heave.judging import assess
from heave.planning import Plan
from heave.vessel import ResponseTable

RIG = "heave/screens/rig/page.py"
RESPONSE = "Response table (CSV, text or workbook)"
Box = Callable[[str], Any]
Words = Callable[[], str]
Unfold = Callable[..., None]

BUOY = b"""#YY  MM DD hh mm Sep_Freq  < spec_1 (freq_1) spec_2 (freq_2) spec_3 (freq_3) ... >
2024 03 01 01 00 9.999 0.000 (0.033) 2.000 (0.038) 6.000 (0.043) 3.000 (0.048) 1.000 (0.053)
2024 03 01 00 00 9.999 0.000 (0.033) 1.000 (0.038) 4.000 (0.043) 2.000 (0.048) 0.500 (0.053)
"""


def plan_of(app: AppTest) -> Plan:
    plan: Plan = app.session_state["heave:plan"]
    return plan


def open_tab(app: AppTest, name: str) -> None:
    app.session_state["heave:tab:rig"] = name
    app.switch_page(RIG).run()
    assert not app.exception


def upload(app: AppTest, label: str, name: str, data: bytes) -> None:
    box = next(item for item in app.file_uploader if item.label == label)
    box.set_value([(name, data, "text/csv")]).run()
    assert not app.exception


@pytest.mark.parametrize(
    ("tab", "key", "names"),
    [
        ("Vessel", "vessel", list(demo_vessels())),
        ("Compensator", "compensator", list(demo_compensators())),
        ("Drill string", "string", list(demo_strings())),
    ],
)
def test_library_items_go_into_the_plan(app: AppTest, tab: str, key: str, names: list[str]) -> None:
    open_tab(app, tab)
    libraries = {"vessel": demo_vessels, "compensator": demo_compensators, "string": demo_strings}
    for name in names:
        app.selectbox(key=f"heave:library:{key}").set_value(name).run()
        app.button(key=f"heave:use:{key}").click().run()
        assert not app.exception
        assert getattr(plan_of(app), key) == libraries[key]()[name]


@pytest.mark.parametrize("name", ["Box-hull ship, closed form", "Semisubmersible, closed form"])
def test_closed_form_hulls_work_to_the_verdict(app: AppTest, name: str) -> None:
    open_tab(app, "Vessel")
    app.selectbox(key="heave:library:vessel").set_value(name).run()
    app.button(key="heave:use:vessel").click().run()
    assert plan_of(app).vessel.name == name
    app.switch_page("heave/screens/check/page.py").run()
    assert not app.exception


def test_fields_are_edited_and_refused(app: AppTest, box: Box) -> None:
    open_tab(app, "Compensator")
    box("Stroke (m)").set_value("6,1").run()
    assert plan_of(app).compensator.stroke == 6.1
    box("Polytropic index").set_value("1.9").run()
    assert plan_of(app).compensator.index == demo_plan().compensator.index
    assert [item for item in app.markdown if "Not taken" in item.value]


def test_the_kind_is_picked_and_shows_just_its_fields(app: AppTest) -> None:
    open_tab(app, "Compensator")
    before = plan_of(app).compensator
    for kind, there, not_there in (
        ("drawworks", "Lines strung", "Effective area (cm²)"),
        ("active-assisted", "Active gain", "Lines strung"),
        ("crown-mounted", "Effective area (cm²)", "Active gain"),
        ("in-line", "Effective area (cm²)", "Lines strung"),
    ):
        app.selectbox(key="heave:kind").set_value(kind).run()
        assert not app.exception
        assert not app.error
        assert plan_of(app).compensator.kind == kind
        labels = [item.label for item in app.text_input]
        assert there in labels
        assert not_there not in labels
    after = plan_of(app).compensator
    assert after.compensated_rating == before.compensated_rating
    assert after.name == f"{before.name}, edited"


def test_sections_move_and_go(app: AppTest, unfold: Unfold) -> None:
    open_tab(app, "Drill string")
    unfold("section:0", "section:1")
    before = [section.name for section in plan_of(app).string.sections]
    app.button(key="heave:up:1").click().run()
    assert [s.name for s in plan_of(app).string.sections][:2] == [before[1], before[0]]
    app.button(key="heave:cut:0").click().run()
    assert len(plan_of(app).string.sections) == len(before) - 1


def test_pipe_is_added_from_the_table(app: AppTest, unfold: Unfold) -> None:
    open_tab(app, "Drill string")
    unfold("pipe")
    app.text_input(key="heave:pipe:length:m").set_value("1 000").run()
    app.button(key="heave:pipe:add").click().run()
    assert not app.exception
    assert plan_of(app).string.sections[-1].length == 1000.0
    app.text_input(key="heave:pipe:length:m").set_value("long").run()
    before = plan_of(app)
    app.button(key="heave:pipe:add").click().run()
    assert plan_of(app) == before
    assert app.error


def test_a_response_file_is_seen_then_used(app: AppTest, words: Words) -> None:
    open_tab(app, "Vessel")
    table = demo_vessels()["Demo semisubmersible"].response
    upload(app, RESPONSE, "own.csv", response_table_text(table).encode())  # type: ignore[arg-type]
    assert "Read from own.csv" in words()
    assert plan_of(app) == demo_plan()
    app.button(key="heave:response:use").click().run()
    assert not app.exception
    assert plan_of(app).vessel.name == "Vessel of own.csv"
    assert plan_of(app).vessel.hoist_x == demo_plan().vessel.hoist_x


def test_a_silent_file_is_asked_about(app: AppTest, words: Words) -> None:
    open_tab(app, "Vessel")
    table = demo_vessels()["Demo semisubmersible"].response
    text = response_table_text(table)  # type: ignore[arg-type]
    silent = "\n".join(line for line in text.splitlines() if not line.startswith("# phase"))
    upload(app, RESPONSE, "silent.csv", silent.encode())
    assert "does not say" in words()
    app.button(key="heave:response:answer:phase:lead").click().run()
    assert not app.exception
    assert "Read from silent.csv" in words()


LONG_TABLE = """T (s);Dir (deg);Heave;Heave phase (deg);Pitch;Pitch phase (deg)
{rows}
"""


def table_of_others() -> bytes:
    """A table as it is sent: own names, a decimal comma, no word on what anything means; waves long enough."""
    rows = []
    for period in (30.0, 20.0, 12.0, 8.0):
        for heading in range(0, 181, 30):
            pitch = 57.29578 * (2 * math.pi / period) ** 2 / 9.80665 * math.cos(math.radians(heading))
            phase = -90 if pitch > 0 else 90
            rows.append(f"{period};{heading};1;0;{abs(pitch):.6f};{phase}".replace(".", ","))
    return LONG_TABLE.format(rows="\n".join(rows)).encode()


def answer(app: AppTest, *given: str) -> None:
    """Answer the questions in the order they are put."""
    for one in given:
        if ":" in one:
            app.button(key=f"heave:response:answer:{one}").click().run()
        else:
            app.text_input(key=f"heave:response:typed:{one}").set_value("0").run()
        assert not app.exception
        assert not app.error


SAID = ("per:wave amplitude", "rotation:deg/m", "head_sea:180", "phase:lead", "phase_zero:crest", "heave:up")
REFERENCE = ("reference_x", "reference_y")


def test_a_table_of_others_is_asked_about_one_question_at_a_time(app: AppTest, words: Words) -> None:
    open_tab(app, "Vessel")
    data = table_of_others()
    upload(app, RESPONSE, "naval.csv", data)
    assert "question 1 of 9" in words()
    answer(app, *SAID)
    answers = [item.label for item in app.button if item.key.startswith("heave:response:answer:pitch")]
    assert [one.replace("\\", "") for one in answers] == [
        "Bow down (long waves say otherwise)",
        "Bow up (fits long waves)",
    ]
    app.button(key="heave:response:back").click().run()
    assert any(item.key == "heave:response:answer:heave:up" for item in app.button)
    answer(app, "heave:up", "pitch:bow up", *REFERENCE)
    assert "Read from naval" in words()
    assert "The file has no roll" in words()
    app.button(key="heave:response:use").click().run()
    origin = plan_of(app).vessel.origin
    assert origin is not None
    assert (origin.file, origin.sha256) == ("naval.csv", hashlib.sha256(data).hexdigest())
    assert origin.conventions.pitch == "bow up"
    upload(app, RESPONSE, "naval later.csv", data)
    assert "Read from naval later" in words()
    app.switch_page("heave/screens/method/page.py").run()
    assert origin.sha256 in words()


def test_a_wrong_answer_is_caught_and_its_repair_is_offered_and_not_made(app: AppTest, words: Words) -> None:
    open_tab(app, "Vessel")
    upload(app, RESPONSE, "naval.csv", table_of_others())
    answer(app, *SAID, "pitch:bow down", *REFERENCE)
    assert any("pitch is 180° from the wave's slope" in item.value.replace("\\", "") for item in app.warning)
    offered = {item.label.replace("\\", ""): item for item in app.button if "repair" in item.key}
    assert "Read with pitch positive bow up instead" in offered
    assert "Read with phases as lags instead" in offered
    offered["Read with pitch positive bow up instead"].click().run()
    assert not app.warning
    app.button(key="heave:response:use").click().run()
    conventions = plan_of(app).vessel.origin.conventions  # type: ignore[union-attr]
    assert (conventions.pitch, conventions.against) == ("bow up", ("pitch",))


def test_a_file_that_cannot_be_read_after_its_answers_is_left_and_the_plan_stays(app: AppTest) -> None:
    open_tab(app, "Vessel")
    upload(app, RESPONSE, "bad.csv", table_of_others().replace(b"30,0;60;1;0;", b"30,0;60;1;;"))
    for one in SAID[:-1]:  # what is missing shows as soon as the table could be made
        app.button(key=f"heave:response:answer:{one}").click().run()
    assert "nothing was changed" in app.error[0].value.replace("\\", "")
    assert plan_of(app) == demo_plan()
    upload(app, RESPONSE, "naval.csv", table_of_others())
    assert not app.exception


def test_nonsense_files_change_nothing(app: AppTest) -> None:
    for tab, label in (
        ("Vessel", RESPONSE),
        ("Drill string", "Your own sections (CSV)"),
        ("Measured sea", "Wave-buoy spectra (text)"),
    ):
        open_tab(app, tab)
        upload(app, label, "nonsense.csv", b"\x00\x01 nothing; of, use")
        assert "nothing was changed" in app.error[0].value.replace("\\", "")
        assert plan_of(app) == demo_plan()


def test_sections_come_from_a_file(app: AppTest, words: Words) -> None:
    open_tab(app, "Drill string")
    sections = next(iter(demo_strings().values())).sections[::-1]
    upload(app, "Your own sections (CSV)", "pipe.csv", string_text(sections).encode())
    assert "Read from pipe.csv" in words()
    app.button(key="heave:string:use").click().run()
    assert [s.name for s in plan_of(app).string.sections] == [s.name for s in sections]


def test_a_measured_spectrum_becomes_the_sea(app: AppTest, box: Box, words: Words) -> None:
    open_tab(app, "Measured sea")
    upload(app, "Wave-buoy spectra (text)", "buoy.txt", BUOY)
    assert "2 records" in words()
    app.button(key="heave:buoy:use").click().run()
    assert app.error, "the direction was not given"
    assert plan_of(app) == demo_plan()
    app.text_input(key="heave:buoy:from").set_value("200").run()
    app.button(key="heave:buoy:use").click().run()
    measured = plan_of(app).sea.measured
    assert measured is not None
    assert measured.direction_from == 200.0
    assert measured.hs == pytest.approx(4 * (12 * 0.005) ** 0.5, rel=1e-3)
    app.switch_page("heave/screens/check/page.py").run()
    assert not app.exception
    app.button(key="heave:systems").click().run()
    assert plan_of(app).sea == demo_plan().sea


def test_a_table_that_waves_do_not_carry_is_doubted_when_read(app: AppTest, words: Words) -> None:
    open_tab(app, "Vessel")
    table = demo_plan().vessel.response
    assert isinstance(table, ResponseTable)
    upload(app, RESPONSE, "own.csv", response_table_text(table).encode())
    assert not any("At 30\u00a0s" in item.value for item in app.warning)
    wrong = replace(table, pitch=-table.pitch)
    upload(app, RESPONSE, "own.csv", response_table_text(wrong).encode())
    assert any("pitch is 180° from the wave's slope" in item.value.replace("\\", "") for item in app.warning)


def test_a_data_sheet_is_typed_seen_and_taken(app: AppTest, box: Box, unfold: Unfold, words: Words) -> None:
    open_tab(app, "Compensator")
    assert "At its pressure rating" in words()
    unfold("data-sheet")
    assert "Fill in bore" in words()
    before = plan_of(app).compensator
    for label, typed in (("Bore of a cylinder (mm)", "500"), ("Volume of a bottle (m³)", "0,8")):
        box(label).set_value(typed).run()
    assert "Area of a piston" in words()
    assert plan_of(app).compensator == before
    app.button(key="heave:sheet:take").click().run()
    assert not app.exception
    after = plan_of(app).compensator
    assert after.effective_area == pytest.approx(2 * math.pi / 4 * 0.5**2)
    assert after.gas_volume == 8.0
    box("Rod of a cylinder (mm)").set_value("600").run()
    assert any("below the bore" in item.value for item in app.error)
    assert plan_of(app).compensator == after


def test_what_was_typed_in_one_unit_is_not_read_in_another(
    app: AppTest, box: Box, unfold: Unfold, words: Words
) -> None:
    """500 mm would be 500 in, and 1000 m of pipe 1000 ft; counts and degrees stay, for they have no other unit."""
    open_tab(app, "Compensator")
    unfold("data-sheet", "pipe")
    for label, typed in (
        ("Bore of a cylinder (mm)", "500"),
        ("Volume of a bottle (m³)", "0,8"),
        ("Bottles open to the cylinders", "12"),
    ):
        box(label).set_value(typed).run()
    assert "Area of a piston" in words()
    app.session_state["heave:units"] = "oilfield"
    app.run()
    assert box("Bore of a cylinder (in)").value == ""
    assert box("Bottles open to the cylinders").value == "12"
    assert "Area of a piston" not in words()
    app.session_state["heave:units"] = "metric"
    app.run()
    assert box("Bore of a cylinder (mm)").value == "500"
    open_tab(app, "Drill string")
    box("Length to add (m)").set_value("1000").run()
    app.session_state["heave:units"] = "oilfield"
    app.run()
    assert box("Length to add (ft)").value == ""


def test_a_rating_that_the_gas_cannot_carry_is_named_when_it_is_typed(app: AppTest, box: Box) -> None:
    open_tab(app, "Compensator")
    assert not app.warning
    box("Pressure rating (bar)").set_value("60").run()
    assert any("the gas cannot carry the rating" in item.value for item in app.warning)
    app.selectbox(key="heave:kind").set_value("drawworks").run()
    assert not app.exception


def test_a_unit_under_the_crown_is_judged_with_the_pull_of_its_lines(app: AppTest, words: Words) -> None:
    """As its check has it: what is on the unit and not what is on the hook."""
    unit = demo_compensators()["Demo crown-mounted unit, 600 klbf"]
    path = replace(demo_plan().hoisting, lines_of_crown="straight to the floor")
    plan = demo_plan().changed(compensator=unit, hoisting=path)
    app.session_state["heave:plan"] = plan
    app.run()
    open_tab(app, "Compensator")
    assert assess(plan).check("compensated_load").demand == pytest.approx(1.815e6, rel=1e-3)
    assert (
        "The load of the plan, 1\u202f820\u00a0kN with the pull of its lines on the crown, is within"
        in words()
    )
