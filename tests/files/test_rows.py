"""Rows read in bulk and rows read line by line: the same forecast, or the same error, for any file at all."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heave.errors import FileError
from heave.files import tables
from heave.files.forecast.reader import read_forecast
from heave.files.heave_record import read_heave_record
from heave.files.rows import DIGITS, WIDEST, PlainRows, plain_rows
from heave.files.tables import read_table
from heave.weather.forecast import EnsembleForecast, Forecast

HEAD = ("time", "hs_m", "tp_s", "direction_from_deg")
PLAIN = "time_utc,hs_m,tp_s,direction_from_deg\n" + "".join(
    f"2026-02-{day:02d}T{hour:02d}:00Z,{1 + hour / 10:.2f},{8 + day / 10:.1f},{hour * 15}\n"
    for day in range(13, 16)
    for hour in range(24)
)


def told(found: Forecast | EnsembleForecast) -> list[object]:
    """All a forecast holds, to be compared."""
    members = found.members if isinstance(found, EnsembleForecast) else (found,)
    held: list[object] = []
    for one in members:
        arrays = [one.times, one.gap_after, np.zeros(0) if one.wind_speed is None else one.wind_speed]
        for slot in one.batch.slots:
            arrays += [slot.hs, slot.tp, slot.direction_from]  # type: ignore[union-attr]
        held += [*(array.tobytes() for array in arrays), one.step, one.notes, one.name, one.system_names]
    return held


def outcome(reader: Callable[[bytes], Any], data: bytes, *, bulk: bool) -> object:
    """What a reader makes of a file with rows in bulk, or line by line: what it holds, or how it is refused."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(tables, "BULK_FROM", 0 if bulk else 10**9)
        try:
            found = reader(data)
        except FileError as problem:
            return str(problem), problem.line, problem.column
    return told(found) if isinstance(found, Forecast | EnsembleForecast) else found


def same(reader: Callable[[bytes], Any], data: bytes) -> object:
    """What both ways make of a file, which must be the same."""
    quick = outcome(reader, data, bulk=True)
    assert quick == outcome(reader, data, bulk=False)
    return quick


TIMES = st.sampled_from(
    [f"2026-10-25{t}{h:02d}:00{zone}" for t in "T " for h in (0, 2, 3) for zone in ("", "Z", "+02:00")]
    + ["2026-10-25T01:30:00Z", "2026-02-29T00:00Z", "2026-10-25", "noon", "", "2026-10-25T02:00:00.5Z"]
)
CELLS = (
    *(
        "",
        "NaN",
        "MM",
        "-999",
        "99",
        "99.0",
        "-0",
        "+2",
        "2.",
        ".5",
        ".",
        "-",
        "1e1",
        "1_0",
        "26",
        "1 2",
        "2,5",
    ),
    *("2,", "1,290", "NNE", "360", "361", "#N/A", "'2", '"2"', '"2', "0" * 40, "2.5" + "0" * 14, "x" * 70),
)
DECIMALS = st.decimals(0, 20, places=2).map(str)
NUMBERS = st.one_of(st.sampled_from(CELLS), DECIMALS, DECIMALS.map(lambda number: number.replace(".", ",")))
ROWS = st.lists(st.tuples(TIMES, NUMBERS, NUMBERS, NUMBERS), min_size=1, max_size=5)
GOOD = st.integers(0, 23).map(lambda hour: (f"2026-10-25T{hour:02d}:00Z", "2.5", "9", "200"))


def file_of(rows: Sequence[Sequence[str]], mark: str, end: str, around: str, last: str) -> bytes:
    """A table with its own delimiter, line end, room around cells and end of file."""
    lines = [mark.join(around + cell + around for cell in row) for row in (HEAD, *rows)]
    return (end.join(lines) + last.replace("\n", end)).encode()


@settings(max_examples=120, deadline=None)
@given(
    rows=st.one_of(ROWS, st.lists(st.one_of(GOOD, st.tuples(TIMES, NUMBERS, NUMBERS, NUMBERS)), max_size=5)),
    mark=st.sampled_from([",", ";", "\t", " "]),
    end=st.sampled_from(["\n", "\r\n", "\r"]),
    around=st.sampled_from(["", "", " ", "  "]),
    last=st.sampled_from(["", "\n", "\n\n \n", "\n\t\n"]),
    first=st.sampled_from(["", "\ufeff", "# format: heave-forecast 1\n", "\ufeffsep=;\n"]),
    zone=st.sampled_from([None, "Europe/Oslo", "+02:00"]),
)
def test_any_table_gives_the_same_in_bulk(
    rows: list[tuple[str, ...]], mark: str, end: str, around: str, last: str, first: str, zone: str | None
) -> None:
    data = first.encode() + file_of(rows, mark, end, around, last)
    same(lambda source: read_forecast(source, time_zone=zone), data)


@settings(max_examples=100, deadline=None)
@given(
    place=st.integers(0, len(PLAIN)),
    cut=st.integers(0, 3),
    piece=st.one_of(
        st.sampled_from(["", ",", "\n", "\r", " ", "\t", "-", ".", '"', "#", "9", "é", "\n\n", "\x00"]),
        st.text(max_size=2),
    ),
)
def test_a_spoilt_plain_file_gives_the_same_in_bulk(place: int, cut: int, piece: str) -> None:
    data = PLAIN[:place] + piece + PLAIN[place + cut :]
    same(read_forecast, data.encode("utf-8", "surrogatepass"))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("\n", "\r\n"),
        ("\n", "\r"),
        ("\n", " \n"),
        (",", ", "),
        (",", ";"),
        (",", "\t"),
        (",", " "),
        (",1.10,", ",,"),
        (",1.10,", ",NaN,"),
        (",1.10,", ",-999,"),
        (",1.", ",+1."),
        ("00:00Z", "0:00Z"),
        (":00Z", ":00"),
        ("2026-02-14T06:00Z,1.60,9.4,90\n", "2026-02-14T06:00Z,1.60,9.4,90\n\n"),
        ("2026-02-14T06:00Z,1.60,9.4,90\n", "2026-02-14T06:00Z,1.60,9.4\n"),
        ("2026-02-14T06:00Z,1.60,9.4,90\n", "2026-02-14T06:00Z,1.60,9.4,90,\n2026-02-14T07:00Z,1.60,9.4\n"),
        ("2026-02-14T06:00Z,1.60,9.4,90\n", "# note\n"),
        ("2026-02-14T06:00Z,1.60", "2026-02-14T06:00Z,26"),
        ("2026-02-14T06:00Z,1.60", "2026-02-14T05:00Z,1.60"),
        ("2026-02-14T06:00Z,1.60", "2026-02-14T06:00,1.60"),
        ("2026-02-14T06:00Z", "2026-02-30T06:00Z"),
        ("2026-02-14T06:00Z", '"2026-02-14T06:00Z"'),
    ],
)
def test_what_files_are_made_of_gives_the_same_in_bulk(old: str, new: str) -> None:
    assert old in PLAIN
    for last in ("", "\n", "\n \n\n"):
        for mark in ("", "\ufeff"):
            same(read_forecast, (mark + PLAIN.replace(old, new).rstrip() + last).encode())


def test_a_large_plain_file_is_read_in_bulk_and_a_row_that_is_not_is_named() -> None:
    large = PLAIN + "".join(PLAIN.split("\n", 1)[1].replace("2026", str(year)) for year in range(2027, 2037))
    assert isinstance(read_table(large.encode()).rows, PlainRows)
    ragged = large.replace("2026-02-14T06:00Z,1.60,", "2026-02-14T06:00Z,")
    with pytest.raises(FileError, match=r"line 32: number of cells: 3 .*4 cells") as refused:
        read_forecast(ragged.encode())
    assert refused.value.line == 32


def test_cells_moved_from_one_row_to_the_next_are_not_taken_for_a_table() -> None:
    """As many delimiters as the table should have, and none of the rows: nothing may be shifted."""
    assert plain_rows("1,2,3,4\n5,6\n7,8,9\n", 3, ",", 2) is None
    assert plain_rows("1 2 3 4\n5 6\n7 8 9\n", 3, " ", 2) is None
    assert plain_rows("1 2\n3 4 5 6\n", 3, " ", 2) is None
    assert plain_rows("\t\n1\t2\n", 2, "\t", 2) is None, "a line of tabs is blank, not a row of empty cells"
    assert plain_rows("1,2\n" + "9" * (WIDEST + 1) + ",2\n", 2, ",", 2) is None


@given(
    st.lists(
        st.one_of(
            st.from_regex(r"[+-]?[0-9]{0,9}[.]?[0-9]{0,9}", fullmatch=True), NUMBERS, st.floats().map(repr)
        ),
        min_size=1,
        max_size=20,
    )
)
def test_numbers_in_bulk_are_the_floats_of_their_text(cells: list[str]) -> None:
    rows = plain_rows("".join(f"{cell},0\n" for cell in cells), 2, ",", 1)
    if rows is None:
        return
    numbers, plain = rows.decimals(0, ".")
    for row, (number, taken) in enumerate(zip(numbers.tolist(), plain.tolist(), strict=True)):
        cell = rows.cell(row, 0)
        decimal = re.fullmatch(r"[+-]?([0-9]+|[0-9]*[.][0-9]+)", cell)
        assert taken == (decimal is not None and sum(map(str.isdigit, cell)) <= DIGITS)
        assert not taken or repr(number) == repr(float(cell))


@pytest.mark.parametrize("head", ["time_s", "time_utc"])
def test_a_heave_record_gives_the_same_in_bulk(head: str) -> None:
    times = np.arange(0.0, 50.0, 0.25)
    stamps = [f"{t:.2f}" if head == "time_s" else f"2026-03-04T06:00:{t:06.3f}Z" for t in times]
    rows = [f"{stamp},{np.sin(t):.6f}" for stamp, t in zip(stamps, times, strict=True)]
    step, *_ = same(_record, "\n".join([f"{head},heave_m", *rows]).encode())  # type: ignore[misc]
    assert step == 0.25


def _record(source: bytes) -> tuple[object, ...]:
    found = read_heave_record(source)
    return found.step, found.start, found.notes, found.heave.tobytes()


def test_quotes_around_whole_cells_are_plain_and_no_others() -> None:
    rows = plain_rows('"1", "b c",""\n2," x ",3\n', 3, ",", 2)
    assert rows is not None
    assert [rows[row].cells for row in range(2)] == [("1", "b c", ""), ("2", "x", "3")]
    for text in ('"1,2",3\n', '"1""2",3\n', '"1" ,2\n', '"1,2\n', '1",2\n', '",",2\n', '"","""\n'):
        assert plain_rows(text, 2, ",", 2) is None
    quoted = "\n".join(",".join(f'"{cell}"' for cell in line.split(",")) for line in PLAIN.split())
    assert same(read_forecast, quoted.encode()) == outcome(read_forecast, PLAIN.encode(), bulk=True)
