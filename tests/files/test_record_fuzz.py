"""Spoilt heave records of every kind: read to the same heave, told, asked or refused; never wrong in silence."""

from __future__ import annotations

import random
from functools import cache

import numpy as np
import pytest
from record_layouts import Style, composed, heave

from heave.arrays import FloatArray
from heave.errors import FileError
from heave.files.record.questions import RecordQuestions
from heave.files.record.reader import RecordFile, read_record_file

TIME = np.arange(0.0, 120.0, 0.5)
MOST_OFF = 0.03
"""Deviation of what is used from the motion that was written, as a share of it, that may come without a word.

A digit changed in one of 240 values moves that value by less than a spike, a tenth of the deviation, or is found."""

SPOILT = 200
"""Spoilt files of each style in each part: 3,000 together."""

STYLES = (
    (Style(name="heave", unit_at="name"), {}),
    (
        Style(delimiter=";", comma=True, unit="cm", above=("Motion log", "Sampling frequency: 2 Hz")),
        {"sense:heave (cm)": "up"},
    ),
    (Style(time="iso", extra=("Roll (deg)",)), {"sense:heave (m)": "up"}),
    (Style(time="date and clock", delimiter="\t", down=True, sense_at="above", unit_at="row"), {}),
    (Style(time="none", rate_at="above", name="MRU heave", unit="ft", sense_at="name"), {}),
)

PIECES = (
    *(b"", b",", b";", b"\t", b" ", b"\n", b"\r", b'"', b"'", b"#", b":", b"(", b")", b"=", b"|", b"\\"),
    *(b"\x00", b"\xff", b"\xef\xbb\xbf", b"\xff\xfe", b"\xc3", b"\xe2\x80\xa8", b"\xd9\xa2", b"PK\x03\x04"),
    *(
        b"NaN",
        b"inf",
        b"-",
        b"+",
        b".",
        b"e",
        b"e999",
        b"e-308",
        b"-999",
        b"99",
        b"0",
        b"1e308",
        b"1e-320",
        b"7",
    ),
    *(b"sep=;\n", b"_m", b"_ft", b"down", b"0" * 400, b"9" * 500, b"MM", b"\x1a", b"2026-13-40", b"24:00:00"),
)


@cache
def truth() -> FloatArray:
    return heave(TIME)


def mutated(data: bytes, draw: random.Random) -> bytes:
    """One or two changes: cut, insert, replace, repeat, drop, swap or move lines, and digits changed."""
    for _ in range(draw.randint(1, 2)):
        lines = data.split(b"\n")
        kind, place = draw.randrange(11), draw.randrange(len(lines))
        start = draw.randint(0, len(data))
        end = min(len(data), start + draw.choice((0, 1, 1, 2, 5, 40)))
        if kind < 4:
            data = data[:start] + draw.choice(PIECES) + data[end:]
        elif kind == 4:
            data = b"\n".join([*lines[: place + 1], *lines[place:]])
        elif kind == 5:
            data = b"\n".join(lines[:place] + lines[place + draw.choice((1, 1, 2, 9)) :])
        elif kind == 6:
            other = draw.randrange(len(lines))
            lines[place], lines[other] = lines[other], lines[place]
            data = b"\n".join(lines)
        elif kind in (7, 8, 9):
            digits = [at for at, letter in enumerate(data) if 48 <= letter < 58] or [0]
            at = draw.choice(digits)
            data = data[:at] + str(draw.randrange(10)).encode() + data[at + 1 :]
        else:
            data = data[: draw.randint(0, len(data))]
    return data


def off(found: RecordFile, slips: int) -> float:
    """Deviation of what is used from the motion as it was written, as a share of the motion's, where it stands best.

    A file that lost its beginning starts later, and one without times may have lost rows: then the place slips, at most
    `slips` times, as it is told by nothing else.
    """
    used = found.record.heave
    if abs(found.record.step - 0.5) > 1e-3 or len(used) > len(TIME) + 2:
        return float("inf")
    fine = heave(np.arange(-2.0, 122.0, 0.5))
    size = len(used)
    starts = range(max(1, len(fine) - size + 1)) if not slips else range(-20, 40)
    padded = np.pad(fine, 40, constant_values=99.0)
    apart = np.array([(padded[40 + a : 40 + a + size] - used) ** 2 for a in starts])
    least = np.full((slips + 1, len(apart)), np.inf)
    least[0] = 0.0
    for column in apart.T:
        for slip in range(slips, 0, -1):
            least[slip] = np.minimum(least[slip], least[slip - 1].min())
        least += column
    return float(np.sqrt(least.min() / size)) / float(truth().std())


def answered(data: bytes, answers: dict[str, str], needed: RecordQuestions) -> bool:
    """Whether a file is read once every question has any answer; what comes of a wrong one is whose answer it is."""
    said = {key: value for key, value in answers.items() if key != needed.questions[0].key}
    for _ in range(10):
        question = needed.questions[0]
        assert question.key not in said
        said[question.key] = question.options[-1] if question.options else "2"
        try:
            return bool(np.isfinite(read_record_file(data, said).record.heave).all())
        except RecordQuestions as more:
            needed = more
        except FileError:
            return False
    raise AssertionError("asked without end")


def outcome(data: bytes, answers: dict[str, str], slips: int = 0) -> str:
    """'refused', 'asked', 'told' or 'the same'; any exception but a FileError fails, and any silent wrong value."""
    try:
        found = read_record_file(data, answers)
    except RecordQuestions as needed:
        return "asked" if answered(data, answers, needed) else "refused"
    except FileError:
        return "refused"
    assert np.isfinite(found.record.heave).all()
    assert np.abs(found.record.heave).max() <= 30.0
    if found.record.faults or any("cut short" in note for note in found.record.notes):
        return "told"
    assert off(found, slips) < MOST_OFF, data[:200]
    return "the same"


@pytest.mark.parametrize("part", range(3))
@pytest.mark.parametrize("style", STYLES, ids=["ours", "commas", "iso", "clock", "no time"])
def test_spoilt_records_are_never_read_wrongly_in_silence(
    style: tuple[Style, dict[str, str]], part: int
) -> None:
    draw = random.Random(f"spoil {style[0].time} {part}")
    original = composed(style[0], TIME, truth())
    assert outcome(original, style[1]) == "the same"
    slips = 5 if style[0].time == "none" else 0
    results = [outcome(mutated(original, draw), style[1], slips) for _ in range(SPOILT)]
    assert results.count("the same") > 2
    assert results.count("refused") > SPOILT // 8
