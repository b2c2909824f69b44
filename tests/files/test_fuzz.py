"""A share of the fuzz run: spoilt files of every reader are read rightly, refused in short words or asked about."""

from __future__ import annotations

import pickle
import random
from collections import Counter

import fuzzed
import fuzzed_plans
import pytest
from spoiling import Meant, astray

from heave.errors import FileError, InputError
from heave.files.forecast.reader import read_forecast

FILES = 30


@pytest.mark.parametrize("reader", [*fuzzed.kinds(), *fuzzed_plans.READERS])
def test_spoilt_files_are_read_rightly_refused_or_asked(reader: str) -> None:
    module = fuzzed if reader in fuzzed.kinds() else fuzzed_plans
    came = Counter(module.attempt(reader, random.Random(f"suite {reader} {n}")).outcome for n in range(FILES))
    assert came["read"] > 2
    assert came["refused"] > 2


BEFORE = {1: {"hs": 2.0, "tp": 9.0}, 2: {"hs": 3.0, "tp": 10.0}}


@pytest.mark.parametrize(
    ("meant", "found", "fault"),
    [
        (Meant("same", b""), BEFORE, ""),
        (Meant("same", b""), {1: BEFORE[1]}, "lost"),
        (Meant("same", b""), {**BEFORE, 3: {"hs": 1.0}}, "nobody wrote"),
        (Meant("same", b""), {1: BEFORE[1], 2: {"hs": 3.1, "tp": 10.0}}, "is meant"),
        (Meant("gone", b"", gone=frozenset({1})), {1: BEFORE[1]}, ""),
        (Meant("gone", b"", gone=frozenset({1})), BEFORE, "gone and read"),
        (Meant("scaled", b"", factors={"hs": 0.5}), BEFORE, "is meant"),
        (Meant("one", b"", ratio=(1, "hs", 1.1)), BEFORE, "is meant"),
        (Meant("asked", b"", unread=True), BEFORE, "two ways"),
        (Meant("unit", b"", unused="hs"), BEFORE, "is read"),
    ],
)
def test_the_measure_itself_sees_what_is_wrong(meant: Meant, found: fuzzed.Facts, fault: str) -> None:
    said = astray(meant, BEFORE, found)
    assert fault in said
    assert bool(said) == bool(fault)


def test_a_message_holds_no_long_header() -> None:
    name = "hs" * 50_000
    with pytest.raises(FileError) as caught:
        read_forecast(f"time_utc,{name},{name}\n2026-01-01T00:00Z,1,2\n".encode())
    assert len(str(caught.value)) <= fuzzed.LONGEST


@pytest.mark.parametrize("part", ["what", "value", "unit", "allowed", "column"])
def test_every_part_of_a_message_is_cut(part: str) -> None:
    given = {"what": "height", "value": 1, "unit": "m", "allowed": "less", "column": "hs", "line": 3}
    error = FileError(**{**given, part: "x" * 100_000})  # type: ignore[arg-type]
    assert len(str(error)) <= fuzzed.LONGEST
    assert getattr(error, part) == "x" * 100_000
    assert "line 3" in str(error)


@pytest.mark.parametrize(
    "error", [InputError("a", 1, "m", "b"), FileError("a", 1, None, "b", line=3, column="c")]
)
def test_an_error_comes_whole_from_another_process(error: InputError) -> None:
    again = pickle.loads(pickle.dumps(error))
    assert (type(again), str(again), vars(again)) == (type(error), str(error), vars(error))
