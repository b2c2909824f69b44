"""A share of the fuzz run: spoilt files of every reader are read rightly, refused in short words or asked about."""

from __future__ import annotations

import pickle
import random
from collections import Counter
from contextlib import nullcontext
from decimal import Decimal
from time import thread_time

import fuzzed
import fuzzed_plans
import fuzzed_typed
import pytest
from scatter_text import CELLS, TZ, matrix
from spoiling import Meant, astray

from heave.errors import FileError, InputError
from heave.files.forecast.reader import read_forecast
from heave.files.plan import plan_document, plan_file_of
from heave.files.rigs import demo_plan
from heave.files.scatter import read_scatter
from heave.screens.inputs import number_of
from heave.sea import SeaState

FILES = 40


@pytest.mark.parametrize("reader", [*fuzzed.kinds(), *fuzzed_plans.READERS, *fuzzed_typed.READERS])
def test_spoilt_files_are_read_rightly_refused_or_asked(reader: str) -> None:
    module = next(
        one for one in (fuzzed_plans, fuzzed_typed, fuzzed) if reader in getattr(one, "READERS", reader)
    )
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


@pytest.mark.parametrize("reader", fuzzed.kinds())
def test_a_million_columns_are_refused_at_once(reader: str) -> None:
    wide = (",".join(["a"] * 300_000) + "\n" + ",".join(["1"] * 300_000)).encode()
    began = thread_time()
    with pytest.raises(InputError):
        fuzzed.kinds()[reader].read(wide, {})
    assert thread_time() - began < 1.5  # a third of the time a whole file may take; seen: 0.6 at most


def test_a_diagram_whose_periods_fall_is_the_same_diagram() -> None:
    how = {"classes": "middles", "period_kind": "Tz"}
    rising = read_scatter(matrix().encode(), **how)
    cells = tuple(row[::-1] for row in CELLS)
    falling = read_scatter(matrix(tz=TZ[::-1], cells=cells).encode(), **how)
    assert (falling.period_limits == rising.period_limits).all()
    assert (falling.parts[0].cells == rising.parts[0].cells).all()


def test_many_wave_systems_are_refused_before_any_is_made() -> None:
    document = plan_document(demo_plan())
    document["plan"]["sea"]["systems"] *= 4000
    with pytest.raises(FileError, match=r"8000 values.*at most 400"):
        plan_file_of(document)


@pytest.mark.parametrize(("depth", "good"), [(12_000.0, True), (12_000.1, False), (1e308, False)])
def test_no_sea_is_deeper_than_the_sea(depth: float, good: bool) -> None:
    with nullcontext() if good else pytest.raises(InputError, match="Water depth"):
        SeaState.single(2.0, 9.0, depth=depth)


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


@pytest.mark.parametrize("reader", ["forecast", "ensemble", "heave record", "response table"])
@pytest.mark.parametrize("letter", ["h", "(", " ", "x "])
def test_a_line_of_a_hundred_thousand_letters_costs_nothing(reader: str, letter: str) -> None:
    kind = fuzzed.kinds()[reader]
    began = thread_time()
    for table in kind.tables:
        with pytest.raises(InputError, match=r"characters|columns|cells|empty|finite|row|name"):
            kind.read((letter * (100_000 // len(letter))).encode() + table.data(), fuzzed.KNOWN)
    assert thread_time() - began < 1.5 * len(kind.tables)  # patterns searched in such a line took minutes


def test_an_empty_cell_beside_a_number_of_the_same_place_is_refused() -> None:
    table = fuzzed.kinds()["response table"].tables[1]
    row = table.text().split("\n")[3].split(",")
    row[2] = ""
    twice = table.text().replace("\n7,45", "\n" + ",".join(row) + "\n7,45", 1)
    with pytest.raises(FileError, match=r"heave.*line \d+ has it for the same heading and period"):
        fuzzed.kinds()["response table"].read(twice.encode(), {})


@pytest.mark.parametrize("typed", ["a" * 50_000, "2\u202e5", "2\x07", "9" * 400])
def test_what_was_typed_is_shown_short_and_without_unseen_letters(typed: str) -> None:
    about = next(one for one in fuzzed_typed._boxes() if not one.optional)
    value, why = number_of(typed, about, "metric")
    assert value is None
    assert len(why) < fuzzed.LONGEST
    assert why.translate(fuzzed.SPACES).isprintable()


@pytest.mark.parametrize(
    ("typed", "number"),
    [
        ("2,5", "2.5"),
        ("2.500", "2.5"),
        ("1 290", "1290"),
        ("\u22121 290,5", "-1290.5"),
        ("1,290", None),
        ("1.290,5", None),
        ("12 34", None),
        ("2e3", "2000"),
        ("1e999", None),
        ("٢", None),
        ("-0", "0"),
    ],
)
def test_the_measure_of_typed_numbers(typed: str, number: str | None) -> None:
    found = fuzzed_typed.said(typed)
    assert found == (None if number is None else Decimal(number))
