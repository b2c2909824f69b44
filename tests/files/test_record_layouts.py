"""Heave records as they are sent: every layout reads to the same heave, or asks, or is refused by name."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest
from record_layouts import TIMES, Style, acceleration, composed, heave

from heave.errors import FileError
from heave.files.heave_record import read_heave_record
from heave.files.record.questions import RecordQuestions
from heave.files.record.reader import RecordFile, read_record_file
from heave.files.record.words import meaning_of, rate_said

STEP = 0.5
TIME = np.arange(0.0, 300.0, STEP)


@cache
def truth() -> np.ndarray:
    return heave(TIME)


def answer_of(style: Style, key: str, options: tuple[str, ...]) -> str:
    """What a person who knows how the file was made answers."""
    what, _, column = key.partition(":")
    if what == "column":
        if column == "time":
            return options[-1 if style.time == "none" else 0]
        wanted = style.name.lower()
        return min((option for option in options if option.startswith(wanted)), key=len)
    known = {
        "unit": {"m/s2": "m/s²", "ft/s2": "ft/s²", "gal": "cm/s²"}.get(style.unit, style.unit),
        "sense": "down" if style.down else "up",
        "kind": style.quantity,
        "time_unit": "sample" if style.time == "samples" else style.time,
        "rate": f"{1 / STEP:g}",
    }
    return known[what]


def read_by_answers(style: Style, data: bytes) -> tuple[RecordFile, list[str]]:
    """Read a file, answering one question at a time."""
    said: dict[str, str] = {}
    for _ in range(12):
        try:
            return read_record_file(data, said), [key.partition(":")[0] for key in said]
        except RecordQuestions as needed:
            question = needed.questions[0]
            assert question.words.partition("(Hz)")[0].strip("? ")
            assert len(question.previews) in (0, len(question.options))
            assert question.key not in said, question.key
            said[question.key] = answer_of(style, question.key, question.options)
    raise AssertionError("asked without end")


LOGGER = ("Motion reference unit log", "Vessel: invented", "Date: 2026-03-04")
BESIDE = ("Roll (deg)", "Pitch (deg)")

FIFTY = (
    Style(),
    Style(delimiter=";"),
    Style(delimiter="\t"),
    Style(delimiter=" ", unit_at="name"),
    Style(delimiter=";", comma=True),
    Style(delimiter="\t", comma=True),
    Style(delimiter=" ", comma=True, unit_at="name"),
    Style(unit="ft"),
    Style(unit="cm"),
    Style(unit="mm"),
    Style(unit="in"),
    Style(unit="cm", unit_at="name"),
    Style(unit="ft", unit_at="row"),
    Style(unit="mm", unit_at="nowhere"),
    Style(unit="ft", unit_at="nowhere", down=True),
    Style(down=True),
    Style(down=True, sense_at="name"),
    Style(sense_at="name"),
    Style(down=True, sense_at="above"),
    Style(sense_at="above"),
    Style(time="ms"),
    Style(time="min"),
    Style(time="h"),
    Style(time_unit_said=False),
    Style(time="min", time_unit_said=False),
    Style(time="iso"),
    Style(time="clock"),
    Style(time="date and clock"),
    Style(time="day first"),
    Style(time="samples"),
    Style(time="samples", rate_at="above"),
    Style(time="none"),
    Style(time="none", rate_at="above"),
    Style(time="none", rate_at="above", delimiter=";", comma=True),
    Style(time="whole seconds"),
    Style(above=LOGGER),
    Style(above=LOGGER, mark="# "),
    Style(above=LOGGER, mark="% ", delimiter="\t"),
    Style(above=LOGGER, delimiter=";", comma=True, unit_at="row"),
    Style(extra=BESIDE),
    Style(extra=BESIDE, order=1),
    Style(extra=(*BESIDE, "Wind speed (m/s)", "Status"), order=2),
    Style(second="Heave at CoG"),
    Style(second="Heave at MRU", name="Heave of the hoist", extra=BESIDE),
    Style(name="Vertical displacement"),
    Style(name="Heave at MRU"),
    Style(name="Vert. disp."),
    Style(name="Ch 07"),
    Style(name="Z", unit_at="nowhere", time_name="T"),
    Style(workbook=True),
    Style(workbook=True, above=LOGGER, extra=BESIDE, unit="cm", down=True),
    Style(time="date and clock", delimiter=" ", unit_at="name", extra=("Roll", "Pitch"), order=1),
    Style(time="iso", delimiter=";", comma=True, down=True, sense_at="above", above=LOGGER, unit="cm"),
)


@pytest.mark.parametrize("style", FIFTY, ids=range(len(FIFTY)))
def test_layouts_read_back_to_the_same_heave(style: Style) -> None:
    found, asked = read_by_answers(style, composed(style, TIME, truth()))
    assert found.record.step == pytest.approx(STEP, rel=1e-3)
    assert len(found.record.heave) == len(TIME)
    assert found.record.heave == pytest.approx(truth(), abs=2e-3)
    assert found.record.given_up == (0.0, 0.0)
    ours = style.unit_at == "name" and style.name == "Heave" and style.unit in ("m", "ft")
    assert ("sense" in asked) == (style.sense_at == "nowhere" and not ours)
    assert ("unit" in asked) == (style.unit_at == "nowhere")
    assert ("column" in asked) == (bool(style.second) or style.name in ("Ch 07", "Z"))
    untimed = style.time in ("samples", "none") and style.rate_at == "nowhere"
    assert ("rate" in asked) == (untimed or style.time == "whole seconds")
    assert (found.record.start is not None) == (style.time == "iso")
    away = "CoG" in style.name or "MRU" in style.name
    assert any("not of the hoist" in note for note in found.record.notes) == away
    # the same file again needs no question
    again = read_record_file(composed(style, TIME, truth()), found.answers)
    assert np.array_equal(again.record.heave, found.record.heave)


def drawn(seed: int) -> Style:
    """A style by chance."""
    rng = np.random.default_rng(seed)

    def pick(*options: Any) -> Any:
        return options[int(rng.integers(len(options)))]

    delimiter = pick(",", ";", "\t", " ")
    words = delimiter == " "
    return Style(
        name=pick("MRU heave", "Vertical displacement", "Ch07") if not words else "MRU_heave",
        unit=pick("m", "ft", "cm", "mm", "in"),
        down=bool(rng.integers(2)),
        unit_at="name" if words else pick("brackets", "row", "name", "nowhere"),
        sense_at="above" if words else pick("name", "above", "nowhere"),
        time=pick("s", "ms", "min", "h", "iso", "clock", "date and clock", "samples", "none"),
        time_unit_said=not words and bool(rng.integers(2)),
        rate_at=pick("above", "nowhere"),
        delimiter=delimiter,
        comma=delimiter != "," and bool(rng.integers(2)),
        above=pick((), LOGGER),
        extra=pick((), BESIDE) if not words else (),
        order=int(rng.integers(3)),
        mark=pick("", "# "),
    )


@pytest.mark.parametrize("part", range(6))
def test_layouts_by_chance_are_never_read_wrongly(part: int) -> None:
    """Of 180 layouts nine in ten are read to the same heave; the others are refused."""
    time, read = TIME[:240], 0
    for seed in range(30 * part, 30 * part + 30):
        style = drawn(seed)
        try:
            found, _ = read_by_answers(style, composed(style, time, truth()[:240]))
        except FileError:
            continue
        read += 1
        assert found.record.heave == pytest.approx(truth()[:240], abs=2e-3), style
    assert read >= 27


@pytest.mark.parametrize(
    ("name", "kind", "unit", "down"),
    [
        ("heave_m", "heave", "m", False),
        ("heave_down_ft", "heave", "ft", True),
        ("heave [cm, positive down]", "heave", "cm", True),
        ("heave (positive up) [m]", "heave", "m", False),
        ("mru heave (in)", "heave", "in", None),
        ("vertical motion (metres)", "heave", "m", None),
        ("heave rate (m/s)", "other", None, None),
        ("heave velocity", "other", None, None),
        ("significant heave (m)", "other", None, None),
        ("heave period (s)", "other", None, None),
        ("wave height (m)", "other", None, None),
        ("heave acceleration (m/s²)", "acceleration", "m/s²", None),
        ("acc z [g]", "acceleration", "g", None),
        ("az_m_per_s2", "acceleration", "m/s²", None),
        ("acc x [g]", "other", None, None),
        ("time (s)", "time", "s", None),
        ("elapsed seconds", "time", "s", None),
        ("timestamp_ms", "time", "ms", None),
        ("sample no", "sample", None, None),
        ("z", "unknown", None, None),
    ],
)
def test_names_of_columns(name: str, kind: str, unit: str | None, down: bool | None) -> None:
    found = meaning_of(name)
    assert found.kind == kind
    assert found.down == down
    if kind != "other":
        assert found.unit == unit


ACCELERATED = np.arange(0.0, 600.0, 0.25)


@pytest.mark.parametrize(
    "style",
    [
        Style(quantity="acceleration", name="Heave acceleration", unit="m/s2"),
        Style(quantity="acceleration", name="Acc Z", unit="g", gravity=True),
        Style(quantity="acceleration", name="Vertical acceleration", unit="mg", down=True, gravity=True),
        Style(quantity="acceleration", name="Heave acc", unit="gal", unit_at="nowhere"),
        Style(quantity="acceleration", name="Ch 3", unit="ft/s2", down=True),
    ],
    ids=["m/s2", "g", "mg", "gal", "unnamed"],
)
def test_acceleration_in_any_unit_and_sense(style: Style) -> None:
    data = composed(style, ACCELERATED, acceleration(ACCELERATED))
    said: dict[str, str] = {}
    for _ in range(8):
        try:
            found = read_record_file(data, said)
            break
        except RecordQuestions as needed:
            question = needed.questions[0]
            said[question.key] = answer_of(style, question.key, question.options)
    inner = ACCELERATED[(ACCELERATED >= 60.0) & (ACCELERATED < 540.0)]
    assert found.record.given_up == pytest.approx((60.0, 60.0), abs=0.3)
    assert found.record.heave == pytest.approx(heave(inner), abs=0.03)
    assert any(
        "gravity is " + ("in it" if style.gravity else "not in it") in note for note in found.record.notes
    )


def test_a_column_that_is_not_there_and_an_answer_that_may_not_be_given_are_refused() -> None:
    data = composed(replace(Style(), second="Heave at CoG"), TIME, truth())
    for answers in ({"column:heave": "roll"}, {"column:heave": "heave (m)", "sense:heave (m)": "sideways"}):
        with pytest.raises(FileError, match="allowed: one of"):
            read_record_file(data, answers)
    for rate in ("0", "fast", "1e9", ""):
        with pytest.raises(FileError, match="values a second"):
            read_record_file(b"heave_m\n1\n2\n" * 1 + b"1\n2\n" * 10, {"rate": rate})


def test_the_time_said_twice_and_differently_is_refused() -> None:
    data = composed(replace(Style(), above=("Sampling frequency: 5 Hz",)), TIME, truth())
    with pytest.raises(FileError, match="values a second"):
        read_record_file(data, {"sense:heave (m)": "up"})
    data = composed(replace(Style(), above=("Rate: 2 Hz", "dt = 0.1 s")), TIME, truth())
    with pytest.raises(FileError, match="one rate"):
        read_record_file(data, {"sense:heave (m)": "up"})


def test_units_of_time_are_taken_where_only_one_can_be() -> None:
    style = Style(time="s", time_unit_said=False)
    assert read_by_answers(style, composed(style, TIME, truth()))[1] == ["sense"]
    quick = np.arange(0.0, 60.0, 0.02)
    with pytest.raises(RecordQuestions) as asked:
        read_record_file(composed(style, quick, heave(quick)))
    assert asked.value.questions[0].key == "time_unit:time"
    assert asked.value.questions[0].options == ("s", "min")
    assert set(TIMES) <= {"s", "ms", "min", "h"}


def test_midnight_is_passed() -> None:
    clock = [
        f"{(86_000 + t) // 3600 % 24:02.0f}:{(86_000 + t) // 60 % 60:02.0f}:{(86_000 + t) % 60:04.1f}"
        for t in TIME * 2
    ]
    rows = "".join(f"{stamp},{value:.4f}\n" for stamp, value in zip(clock, truth(), strict=True))
    found = read_heave_record(f"time,heave_m\n{rows}".encode())
    assert found.step == pytest.approx(1.0)
    assert found.heave == pytest.approx(truth(), abs=1e-3)


def test_a_last_line_cut_short_is_left_out_and_any_other_is_refused() -> None:
    whole = composed(Style(), TIME, truth()).decode().rstrip("\n")
    cut = whole[: whole.rindex(",")]
    found = read_record_file(cut.encode(), {"sense:heave (m)": "up"})
    assert len(found.record.heave) == len(TIME) - 1
    assert any("cut short" in note for note in found.record.notes)
    lines = whole.split("\n")
    lines[100] = lines[100].partition(",")[0]
    with pytest.raises(FileError) as refused:
        read_record_file("\n".join(lines).encode(), {"sense:heave (m)": "up"})
    assert refused.value.line == 101


def test_words_between_the_rows_are_refused() -> None:
    lines = composed(Style(), TIME, truth()).decode().split("\n")
    lines.insert(50, "logger,restarted")
    with pytest.raises(FileError) as refused:
        read_record_file("\n".join(lines).encode(), {"sense:heave (m)": "up"})
    assert refused.value.line == 51


@pytest.mark.parametrize(
    ("line", "rate"),
    [
        ("Sampling frequency: 2 Hz", 2.0),
        ("sample rate = 12,5 Hz", 12.5),
        ("Data rate 10 samples per second", 10.0),
        ("Rate: 4 Hz", 4.0),
        ("fs=5 Hz", 5.0),
        ("dt = 0.1 s", 10.0),
        ("Sampling interval: 250 ms", 4.0),
        ("time step 0,5 s", 2.0),
        ("High-pass filter, cut-off frequency 0.03 Hz", None),
        ("Averaging interval 10 s", None),
        ("Peak frequency of the waves: 0.1 Hz", None),
        ("Start 06:00:00, 20 minutes", None),
    ],
)
def test_rates_stated_above_the_table(line: str, rate: float | None) -> None:
    assert rate_said([line, "Motion log"]) == rate
