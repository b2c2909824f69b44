"""The tab of measured heave: one question at a time, faults shown before use, and nothing lost by a bad file."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from streamlit.testing.v1 import AppTest

from heave.files.record.reader import read_record_file
from heave.files.rigs import demo_plan
from heave.screens.figures.look import DARK, LIGHT
from heave.screens.figures.record_trace import trace_figure
from heave.screens.weight_on_bit.record import LABEL
from heave.simulation.reconcile import reconcile
from heave.simulation.scenario import MeasuredHeave

PAGE = "heave/screens/weight_on_bit/page.py"
TIME = np.arange(0.0, 900.0, 0.5)
WAVE = 0.5 * np.sin(2 * math.pi * TIME / 10) + 0.3 * np.sin(2 * math.pi * TIME / 7.3)


def file_of(values: Any, header: str = "time_s,heave_m") -> bytes:
    return "\n".join([header, *(f"{t:.1f},{v:.4f}" for t, v in zip(TIME, values, strict=True)), ""]).encode()


def spoilt() -> np.ndarray:
    values = WAVE + 1.5
    values[[200, 500, 700, 900, 1100, 1300]] += 6.0
    values[1600:1660] = values[1600]
    return values


@pytest.fixture
def page(app: AppTest) -> AppTest:
    app.session_state["heave:tab:wob"] = "Measured heave"
    app.switch_page(PAGE).run()
    assert not app.exception
    return app


def bring(app: AppTest, data: bytes, name: str = "record.csv") -> None:
    (box,) = [item for item in app.file_uploader if item.label == LABEL]
    box.set_value([(name, data, "text/csv")]).run()
    assert not app.exception


def press(app: AppTest, label: str) -> None:
    (button,) = [
        item for item in app.button if item.label.replace("\\", "").lower().startswith(label.lower())
    ]
    button.click().run()
    assert not app.exception


def words(app: AppTest) -> str:
    kinds = (app.markdown, app.caption, app.error, app.success, app.info, app.warning)
    return "\n".join(item.value for kind in kinds for item in kind).replace("\\", "")


def in_use(app: AppTest) -> MeasuredHeave | None:
    try:
        kept: MeasuredHeave | None = app.session_state["heave:kept:heave record"]
    except KeyError:
        return None
    return kept


def test_a_record_in_our_own_columns_without_a_fault_is_taken_at_once(page: AppTest) -> None:
    bring(page, file_of(WAVE))
    record = in_use(page)
    assert record is not None
    assert record.position == pytest.approx(WAVE, abs=1e-4)
    assert "question" not in words(page)


def test_faults_are_shown_over_a_picture_and_the_record_is_used_only_then(page: AppTest) -> None:
    bring(page, file_of(spoilt()))
    text = words(page)
    assert in_use(page) is None
    for told in (
        "**Spike.** 6 spikes, on lines 202, 502, 702, 902, 1102, 1302",
        "**Stuck.** The sensor is stuck on line 1602",
    ):
        assert told in text
    assert "**Offset.** The record has an offset: its mean is 1.5" in text
    assert "s of the file are not used" in text
    assert len(page.get("plotly_chart")) == 1
    press(page, "Use this record")
    record = in_use(page)
    assert record is not None
    assert record.position == pytest.approx(WAVE[:1600] + 1.5, abs=0.02)
    assert "Measured over predicted" in "".join(item.value for item in page.header)


def test_what_is_not_said_is_asked_one_at_a_time_and_remembered(page: AppTest) -> None:
    data = file_of(-100 * WAVE, "Elapsed,Motion")
    bring(page, data)
    asked = []
    for answer in ("motion", "heave", "centimetres", "down"):
        asked.append(
            next(line for line in words(page).split("\n") if line.startswith("**") and "·" not in line)
        )
        assert in_use(page) is None
        press(page, answer)
    assert len(set(asked)) == 4
    press(page, "Use this record")
    record = in_use(page)
    assert record is not None
    assert record.position == pytest.approx(WAVE, abs=1e-3)
    bring(page, file_of(-200 * WAVE, "Elapsed,Motion"), "next.csv")
    assert "read by what was said of that" in words(page)
    assert "question" not in words(page)
    press(page, "Ask again")
    bring(page, data)
    assert "record.csv: question 1" in words(page)
    press(page, "motion")
    press(page, "Back one answer")
    assert "record.csv: question 1" in words(page)
    press(page, "Leave the file")
    assert "question" not in words(page)
    assert in_use(page) is record or in_use(page) is not None


def test_a_rate_is_typed_and_a_bad_one_refused(page: AppTest) -> None:
    rows = "\n".join(f"{value:.4f}" for value in WAVE)
    bring(page, f"heave_m\n{rows}\n".encode())
    (box,) = [item for item in page.text_input if item.label == "Answer"]
    box.set_value("fast").run()
    assert "a finite number" in words(page)
    (box,) = [item for item in page.text_input if item.label == "Answer"]
    box.set_value("2").run()
    press(page, "Use this record")
    record = in_use(page)
    assert record is not None
    assert record.step == 0.5


def test_a_refused_file_leaves_the_good_one_in_place(page: AppTest) -> None:
    bring(page, file_of(WAVE))
    good = in_use(page)
    for bad in (b"time_s,heave_m\n0,0.1\n1,much\n", b"\x00", file_of(np.zeros(len(TIME)))):
        bring(page, bad, "bad.csv")
        assert "bad.csv was not read and nothing was changed" in words(page)
        assert in_use(page) is good
    bring(page, file_of(spoilt()), "other.csv")
    assert in_use(page) is good
    press(page, "Leave the file")
    assert in_use(page) is good


def test_a_record_that_can_hardly_be_of_this_unit_is_asked_about(page: AppTest) -> None:
    plan = demo_plan()
    sigma = reconcile(plan, WAVE, 0.5).predicted_sigma
    far = 4 * sigma / WAVE.std() * WAVE
    bring(page, file_of(far))
    assert in_use(page) is None
    assert "Is this a record of this unit" in words(page)
    assert "the sea and heading of this plan give" in words(page)
    press(page, "It is of this unit: use it")
    record = in_use(page)
    assert record is not None
    assert record.position == pytest.approx(far, abs=1e-3)


def test_text_of_a_file_stays_text(page: AppTest) -> None:
    """A name of a column as a picture, a link or a formula is shown letter by letter."""
    nasty = "![pic](http://a.example/p.png) $q^2$ <b>heave</b> *m*"
    bring(page, file_of(WAVE, f'Time (s),"{nasty}"'), "www.name.example $y$.csv")
    shown = "".join(item.value for kind in (page.markdown, page.caption) for item in kind)
    assert "a\\.example" in shown
    for raw in ("![", "](http", "<b>", "$q", "www.name"):
        assert raw not in shown.replace("\\$", "")
    assert not any("![" in item.label for item in page.button)


@pytest.mark.parametrize("look", [LIGHT, DARK], ids=["light", "dark"])
def test_the_picture_has_file_and_use_and_its_faults(look: Any) -> None:
    found = read_record_file(file_of(spoilt()))
    figure = trace_figure(found, look)
    names = [trace.name for trace in figure.data]
    assert names == ["as in the file", "as used", "spike or other fault"]
    raw, used, marks = figure.data
    assert max(raw.y) == pytest.approx(found.raw.max(), rel=1e-6)
    assert max(used.y) == pytest.approx(found.record.heave.max(), rel=1e-6)
    assert len(marks.x) == 6
    assert list(marks.x) == pytest.approx([100.0, 250.0, 350.0, 450.0, 550.0, 650.0])
    assert len(figure.layout.shapes) == 2  # the sensor stuck, and what is not used after it
    feet = trace_figure(found, look, "oilfield")
    assert max(feet.data[0].y) == pytest.approx(found.raw.max() / 0.3048, rel=1e-6)
    assert "(ft)" in feet.layout.yaxis.title.text


def test_an_acceleration_has_a_panel_of_its_own() -> None:
    omega = 2 * math.pi / 10
    data = file_of(-(omega**2) * np.sin(omega * TIME), "time_s,heave acceleration up (m/s2)")
    found = read_record_file(data)
    figure = trace_figure(found, LIGHT)
    assert figure.data[0].yaxis == "y2"
    assert "m/s²" in figure.layout.yaxis2.title.text
    assert [shape.x1 - shape.x0 for shape in figure.layout.shapes] == pytest.approx([60.0, 60.0])
    assert max(figure.data[1].y) == pytest.approx(1.0, abs=0.02)
