"""Response tables as they are sent: every layout and convention reads to the same response, or asks, or is refused."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest
from response_layouts import EIGHT, MOTIONS, Style, composed

from heave.errors import FileError
from heave.files.response.questions import ResponseQuestions, answer
from heave.files.response.reader import ResponseFile, read_response_file
from heave.files.response.words import stated
from heave.files.rigs import demo_vessels
from heave.sea import SeaBatch, SeaState
from heave.vessel import (
    ResponseConventions,
    ResponseTable,
    Vessel,
    box_hull_response,
    hoist_moments,
    hoist_transfer,
)

STEP = np.arange(0.0, 181.0, 30.0)
MARKS = b'0;,\n\t -abE.\xff9"#'
"""Bytes that damage a file."""

OTHER_NAMES = {
    "frequency": "Wave spacing",
    "heading": "mu_w",
    "pitch amplitude": "RY",
    "heave phase": "eps z",
}


@cache
def drillship() -> ResponseTable:
    """The invented drillship at every 30° and every fourth frequency, with no roll on its axis."""
    table = demo_vessels()["Demo drillship"].response
    assert isinstance(table, ResponseTable)
    rows = np.isin(table.heading, STEP)
    heave, roll, pitch = (getattr(table, name)[rows][:, ::4] for name in MOTIONS)
    return ResponseTable(
        table.omega[::4], STEP, heave, np.where(np.isin(STEP, (0, 180))[:, None], 0, roll), pitch
    )


@cache
def box() -> ResponseTable:
    """The closed form of a box hull, which has the phases of its formula."""
    omega = np.linspace(0.2, 1.4, 25)
    motions = box_hull_response(omega, STEP, 200.0, 36.0, 11.0)
    roll = np.where(np.isin(STEP, (0, 180))[:, None], 0.0, motions.roll)
    return ResponseTable(omega, STEP, motions.heave, roll, motions.pitch)


def sigma(table: ResponseTable, x: float = 12.0, y: float = 3.0) -> np.ndarray[Any, Any]:
    """Standard deviation of the motion at a hoist off the reference point, in seas from all round [m]."""
    states = [
        SeaState.single(3.0, tp, direction_from=direction)
        for tp in (8.0, 12.0, 16.0)
        for direction in (0.0, 40.0, 100.0, 180.0, 250.0, 320.0)
    ]
    vessel = Vessel("own", table, hoist_x=x, hoist_y=y)
    found = hoist_moments(vessel, 20.0, SeaBatch.stack([state.batch() for state in states]))[:, 0]
    return np.sqrt(found)


@pytest.mark.parametrize("style", EIGHT, ids=range(8))
@pytest.mark.parametrize("hull", [drillship, box])
def test_eight_conventions_of_one_vessel_give_one_motion_at_the_hoist(style: Style, hull: Any) -> None:
    table = hull()
    read = read_response_file(composed(table, style), style.conventions()).table
    assert sigma(read) == pytest.approx(sigma(table), rel=1e-6)


def truth(style: Style, key: str, name: str, options: tuple[str, ...]) -> str:
    """What a person who knows how the file was made answers."""
    if key == "column":
        plain = name.partition(" (")[0]
        held = {given.lower(): holds for holds, given in style.names.items()}
        given = held[plain]
        return {"frequency": "period or frequency"}.get(given, given)
    if key in ("reference_x", "reference_y"):
        return "0"
    if key == "waves":
        return "deep water" if style.depth is None else repr(style.depth)
    if key == "without_phases":
        return "upper bound"
    return str(getattr(style, key))


def read_by_answers(style: Style, data: bytes) -> tuple[ResponseFile, list[str]]:
    """Read a file, answering one question at a time."""
    known, asked = ResponseConventions(), []
    for _ in range(30):
        try:
            return read_response_file(data, known), asked
        except ResponseQuestions as needed:
            question = needed.questions[0]
            key, _, name = question.key.partition(":")
            assert question.words.endswith("?")
            assert len(question.previews) in (0, len(question.options))
            asked.append(key)
            known = answer(needed.conventions, question, truth(style, key, name, question.options))
    raise AssertionError("asked without end")


def drawn(seed: int) -> Style:
    """A style by chance."""
    rng = np.random.default_rng(seed)

    def pick(*options: Any) -> Any:
        return options[int(rng.integers(len(options)))]

    layout = pick("long", "long", "headings", "wide", "grouped")
    workbook = bool(rng.random() < 0.15)
    delimiter = pick(",", ";", "\t", " ") if layout != "grouped" else pick(",", ";", "\t")
    unsaid = bool(rng.random() < 0.3)
    named = bool(rng.random() < 0.3) and layout == "long"
    return Style(
        layout=layout,
        frequency=pick("s", "rad/s", "Hz"),
        angles=pick("half", "whole", "repeated", "around", "other"),
        phase_unit=pick("deg", "rad"),
        per=pick("wave amplitude", "wave height"),
        rotation=pick("deg/m", "rad/m", "deg/ft", "wave slope"),
        depth=pick(None, 60.0, 300.0),
        phase=pick("lead", "lag"),
        phase_zero=pick("crest", "trough", "rise", "fall"),
        heave=pick("up", "down"),
        head_sea=pick("180", "0"),
        side=pick("starboard", "port"),
        pitch=pick("bow down", "bow up"),
        roll=pick("starboard down", "port down"),
        delimiter=delimiter,
        comma=delimiter != "," and bool(rng.random() < 0.3) and not workbook,
        says_units=not unsaid,
        says=bool(rng.random() < 0.5),
        complex_parts=bool(rng.random() < 0.2),
        blank=delimiter != " ",
        order=int(rng.integers(0, 4)),
        units_row=not unsaid and bool(rng.random() < 0.3),
        names=OTHER_NAMES if named else {},
        workbook=workbook,
        digits=int(rng.integers(7, 12)),
    )


def same(read: ResponseTable, table: ResponseTable, digits: int) -> None:
    """The table that was read is the one that was written, at every heading and frequency of it."""
    assert read.omega == pytest.approx(table.omega, rel=10.0 ** (2 - digits))
    for row, heading in enumerate(table.heading):
        at = read.transfer(read.omega, float(heading))
        for motion in MOTIONS:
            written = getattr(table, motion)[row]
            worst = np.abs(getattr(at, motion)[0] - written).max()
            assert worst <= 10.0 ** (3 - digits) * np.abs(getattr(table, motion)).max()


@pytest.mark.parametrize("block", range(8))
def test_any_layout_reads_to_the_response_it_was_made_of(block: int) -> None:
    """Four hundred files by chance; every answer is the true one, and what is stated is not asked."""
    read = refused = 0
    for seed in range(50 * block, 50 * block + 50):
        style = drawn(seed)
        table = drillship() if seed % 2 else box()
        data = composed(table, style)
        try:
            found, asked = read_by_answers(style, data)
        except FileError:
            refused += 1
            continue
        read += 1
        same(found.table, table, style.digits)
        if style.says:
            assert not {"per", "phase", "phase_zero", "head_sea", "pitch", "reference_x"} & set(asked), seed
        again = read_response_file(data, found.origin.conventions)
        assert again.table == found.table
    assert read >= 45, f"{refused} of 50 were refused"


def long_file(rows: list[str], header: str = "Period (s),Heading,Heave amp (m/m),Heave phase (deg)") -> bytes:
    return "\n".join([header, *rows, ""]).encode()


def simple_rows(headings: Any = range(0, 361, 30)) -> list[str]:
    return [f"{period},{heading},0.5,10" for period in (20, 10) for heading in headings]


SAID = Style(layout="long").conventions()


def test_0_and_360_must_agree() -> None:
    found = read_response_file(long_file(simple_rows()), SAID)
    assert list(found.table.heading) == [float(one) for one in range(0, 360, 30)]
    assert any("0 and 360 are the same and agree" in note for note in found.origin.notes)
    rows = [row.replace("0.5", "0.6") if row.startswith("10,360") else row for row in simple_rows()]
    with pytest.raises(FileError, match="the same heave as at 0 deg") as caught:
        read_response_file(long_file(rows), SAID)
    assert caught.value.value == 360.0


def test_one_side_goes_for_both_and_it_is_said() -> None:
    found = read_response_file(long_file(simple_rows(range(0, 181, 30))), SAID)
    assert found.table.symmetric
    assert any("by symmetry" in note for note in found.origin.notes)
    assert any("has no roll" in note for note in found.origin.notes)


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        (["20,0,0.5,", *simple_rows()[1:]], "a phase, as the amplitude is 0.5"),
        (["20,0,-0.5,10", *simple_rows()[1:]], "0 or above"),
        (["20,0,,10", *simple_rows()[1:]], "0 or above"),
        (simple_rows()[1:-1], "every period at every heading"),
        ([*simple_rows(), "20,0,0.9,10"], "as line 2 has it"),
        ([*simple_rows(), "20,400,0.5,10"], "from -180 to 360"),
        (["0,0,0.5,10", *simple_rows()[1:]], "a number above 0"),
        (["20,0,0.5,10,7", *simple_rows()[1:]], "4 cells"),
        (simple_rows(range(0, 181, 90)), "60 deg apart"),
        (["20;0;0,5;10"], "cells|numbers|names"),
    ],
)
def test_what_cannot_be_read_is_refused_with_the_reason(rows: list[str], words: str) -> None:
    with pytest.raises(FileError, match=words):
        read_response_file(long_file(rows), SAID)


def test_a_blank_phase_is_taken_where_nothing_moves() -> None:
    found = read_response_file(long_file(["20,0,0,", *simple_rows(range(0, 360, 30))[1:]]), SAID)
    assert found.table.heave[0, 0] == 0.0


def bare(style: Style) -> bytes:
    return composed(drillship(), replace(style, phases=False))


def test_without_phases_it_is_asked_and_either_answer_is_said() -> None:
    style = Style()
    with pytest.raises(ResponseQuestions) as asked:
        read_response_file(bare(style), style.conventions())
    assert [question.key for question in asked.value.questions] == ["without_phases"]
    alone = read_response_file(bare(style), style.conventions(without_phases="heave only"))
    assert not alone.table.knows("pitch")
    assert not alone.table.knows("roll")
    assert any("left out" in note for note in alone.origin.notes)
    bound = read_response_file(bare(style), style.conventions(without_phases="upper bound"))
    assert not bound.table.phases
    assert any("upper bound" in note for note in bound.origin.notes)


@pytest.mark.parametrize("place", [(0.0, 0.0), (40.0, 5.0), (-40.0, -5.0), (25.0, -8.0)])
def test_the_upper_bound_is_the_sum_of_the_sizes_and_never_below_the_truth(
    place: tuple[float, float],
) -> None:
    style = Style()
    bound = read_response_file(bare(style), style.conventions(without_phases="upper bound")).table
    x, y = place
    table = drillship()
    for heading in (0.0, 30.0, 90.0, 180.0, 270.0, 330.0):
        one = hoist_transfer(Vessel("bound", bound, hoist_x=x, hoist_y=y), table.omega, heading)
        other = hoist_transfer(Vessel("true", table, hoist_x=x, hoist_y=y), table.omega, heading)
        at = table.transfer(table.omega, heading)
        sizes = np.abs(at.heave) + abs(y) * np.abs(at.roll) + abs(x) * np.abs(at.pitch)
        assert one == pytest.approx(sizes.astype(complex), rel=1e-6, abs=1e-9)
        assert np.all(np.abs(one) >= np.abs(other) * (1 - 1e-6) - 1e-9)
    assert np.all(sigma(bound, x, y) >= sigma(table, x, y) * (1 - 1e-3))


def test_what_is_stated_goes_before_what_was_answered() -> None:
    style = Style(says=True, phase="lag")
    wrong = replace(style.conventions(), phase="lead")
    found = read_response_file(composed(drillship(), style), wrong)
    assert found.origin.conventions.phase == "lag"
    same(found.table, drillship(), 11)
    held = replace(wrong, against=("phase",))
    other = read_response_file(composed(drillship(), style), held)
    assert other.origin.conventions.phase == "lead"
    assert other.table.heave == pytest.approx(np.conj(drillship().heave), abs=1e-9)


def test_the_file_and_its_hash_stay_with_the_table() -> None:
    data = composed(drillship(), Style())
    origin = read_response_file(data, SAID, name="own\x00 table.csv").origin
    assert origin.file == "own table.csv"
    assert len(origin.sha256) == 64
    assert ("Motions per", "wave amplitude") in origin.conventions.said()


def test_damaged_files_are_read_or_refused_and_nothing_else() -> None:
    """Any byte put in any place of a file: a table, a question or a refusal."""
    rng = np.random.default_rng(5)
    seen = set()
    sound = [composed(box(), replace(style, digits=5)) for style in EIGHT[:6]]
    for turn in range(240):
        style = EIGHT[turn % 6]
        data = bytearray(sound[turn % 6])
        for _ in range(int(rng.integers(1, 4))):
            place = int(rng.integers(len(data)))
            gone = int(rng.integers(0, 3))
            data[place : place + gone] = bytes([int(rng.choice(list(MARKS)))])
        try:
            read_response_file(bytes(data), style.conventions())
            seen.add("read")
        except FileError as problem:
            seen.add(type(problem).__name__)
    assert {"read", "FileError"} <= seen


@pytest.mark.parametrize(
    ("column", "unit"),
    [
        ("Heave amp (ft/m)", "ft/m"),
        ("Heave amp (m/ft)", "m/ft"),
        ("Heave amp (deg/m)", "deg/m"),
        ("Heave amp [mm/m]", "mm/m"),
        ("Heave amp cm/m", "cm/m"),
        ("Heave phase (cycles)", "cycles"),
        ("Roll amp (mrad/m)", "mrad/m"),
        ("Period (min)", "min"),
    ],
)
def test_a_unit_that_is_not_read_is_refused_and_never_taken_for_another(column: str, unit: str) -> None:
    style = Style()
    text = composed(drillship(), style).decode()
    name = re.split(r" [\[(]| cm/m", column)[0]
    spoilt = re.sub(rf"{name} \([^)]*\)", column, text)
    assert spoilt != text
    with pytest.raises(FileError, match=f"unit of a column: '{unit}'"):
        read_response_file(spoilt.encode(), style.conventions())


@pytest.mark.parametrize(
    "words",
    [
        "phases: lag negative",
        "phase lead negative",
        "a negative phase is a lag",
        "pitch: bow up negative",
        "roll: starboard up negative",
        "heave positive up is not used",
    ],
)
def test_a_sign_that_is_denied_is_asked_about(words: str) -> None:
    """'Lag negative' is a lead: words that deny a sign state none."""
    assert not {"phase", "heave", "roll", "pitch"} & stated([words]).keys()
