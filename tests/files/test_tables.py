"""Tables: what is read, and that the reading is the documented one."""

from __future__ import annotations

import math
import os
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from heave.errors import FileError
from heave.files.columns import Column, number_headers, take, text_column
from heave.files.tables import decode, load, neutral, read_table, un_neutral, write_text
from heave.files.times import parse_time

SEA = (
    text_column("time_utc"),
    Column(
        "hs",
        number_headers("hs", "m", "ft"),
        missing=True,
        sentinels=(-999.0, 99.0, "MM"),
        low=0.0,
        high=25.0,
    ),
    Column("tp", number_headers("tp", "s"), low=2.0, high=30.0),
)


def numbers(text: str | bytes, name: str = "hs") -> list[float]:
    data = text.encode() if isinstance(text, str) else text
    return [float(value) for value in take(read_table(data), SEA).numbers[name]]


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "  "])
def test_each_delimiter_gives_the_same_numbers(delimiter: str) -> None:
    text = delimiter.join(["time_utc", "hs_m", "tp_s"]) + "\n" + delimiter.join(["a", "2.5", "11"]) + "\n"
    assert numbers(text) == [2.5]
    assert numbers(text, "tp") == [11.0]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_line_ends_of_every_system(end: str) -> None:
    assert numbers(end.join(["time_utc,hs_m,tp_s", "a,1,8", "b,2,9", ""])) == [1.0, 2.0]


def test_decimal_comma_with_semicolons_is_a_decimal_comma() -> None:
    assert numbers("time_utc;hs_m;tp_s\na;2,5;11\nb;1,290;9,75\n") == [2.5, 1.29]


def test_spreadsheet_csv_with_mark_separator_line_quotes_and_padded_comment() -> None:
    data = (
        '\ufeffsep=;\r\n"# note: made up; of nothing";;\r\n"time_utc";"hs_m";"tp_s"\r\n"a; b";"2,5";"11"\r\n'
    )
    table = read_table(data.encode())
    assert table.settings() == {"note": (2, "made up; of nothing")}
    assert table.rows[0].line == 4
    columns = take(table, SEA)
    assert columns.texts["time_utc"] == ("a; b",)
    assert columns.numbers["hs"][0] == 2.5


def test_units_of_the_header_are_converted_exactly() -> None:
    assert numbers("time_utc,hs_ft,tp_s\na,10,8\n") == [10 * 0.3048]


def test_sentinels_and_empty_cells_are_missing_not_numbers() -> None:
    values = numbers("time_utc,hs_m,tp_s\na,-999,8\nb,99.0,8\nc,MM,8\nd,,8\ne,0,8\n")
    assert [math.isnan(value) for value in values] == [True, True, True, True, False]


def test_a_sentinel_where_nothing_may_be_missing_is_refused() -> None:
    strict = (Column("tp", number_headers("tp", "s"), sentinels=(99.0,), low=2.0, high=30.0),)
    with pytest.raises(FileError, match="marks a missing value") as caught:
        take(read_table(b"tp_s\n8\n99\n"), strict)
    assert (caught.value.line, caught.value.column) == (3, "tp_s")


def test_bounds_are_inclusive_and_named_in_the_unit_of_the_file() -> None:
    assert numbers("time_utc,hs_m,tp_s\na,25,2\nb,0,30\n") == [25.0, 0.0]
    with pytest.raises(FileError, match=r"line 2, column hs_ft: hs: '82.1'\u00a0ft .*from 0 to 82.0"):
        numbers("time_utc,hs_ft,tp_s\na,82.1,8\n")


def test_blank_lines_are_skipped_and_lines_still_counted() -> None:
    with pytest.raises(FileError) as caught:
        numbers("\n# c\n\ntime_utc,hs_m,tp_s\n\na,1,8\n\nb,x,8\n")
    assert caught.value.line == 8


def test_a_column_may_be_in_the_table_once_by_any_of_its_names() -> None:
    with pytest.raises(FileError, match="hs_m gives it too"):
        numbers("time_utc,hs_m,hs_ft,tp_s\na,1,3,8\n")


def test_size_is_refused_before_reading(tmp_path: Path) -> None:
    path = tmp_path / "large.csv"
    with path.open("wb") as stream:
        stream.truncate(100_000_000)  # sparse: quick to make, and slow only for a reader that reads it
    with pytest.raises(FileError, match=r"100000000\u00a0bytes .*at most 20\u00a0MB"):
        read_table(path)


def test_exactly_the_largest_size_is_read_and_one_byte_more_is_not() -> None:
    assert load(b"x" * 10, 10) == b"x" * 10
    with pytest.raises(FileError, match="file size"):
        load(b"x" * 11, 10)


def test_places_that_are_not_files(tmp_path: Path) -> None:
    for place in (tmp_path, tmp_path / "none.csv", "bad\x00name", "/dev/zero"):
        with pytest.raises(FileError, match="file"):
            load(place)
    with pytest.raises(FileError, match="a path or bytes"):
        load(3)  # type: ignore[arg-type]


def test_path_and_bytes_give_the_same_table(tmp_path: Path) -> None:
    data = b"# k: v\ntime_utc,hs_m,tp_s\na,1,8\n"
    path = tmp_path / "sea.csv"
    path.write_bytes(data)
    assert read_table(path) == read_table(str(path)) == read_table(data)


def test_decode_names_the_line_of_a_bad_byte() -> None:
    with pytest.raises(FileError, match=r"line 3: encoding: 'byte 0xe9'"):
        decode(b"a\r\nb\r\nc\xe9d\r\n")


@pytest.mark.parametrize("text", ["=1+1", "+a", "-a", "@x", "'=x", "''", "plain", "", "a=b", "\u22121"])
def test_neutral_text_comes_back(text: str) -> None:
    safe = neutral(text)
    assert not safe.startswith(("=", "+", "-", "@", "\u2212"))
    assert un_neutral(safe) == text


def test_write_text_leaves_the_old_file_when_it_fails(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    write_text(path, "old")
    with pytest.raises(FileError):
        write_text(path, "lone \ud800 surrogate")
    assert path.read_text() == "old"
    assert [item.name for item in tmp_path.iterdir()] == ["a.txt"]
    with pytest.raises(FileError, match="can be written"):
        write_text(tmp_path / "no" / "a.txt", "x")


def test_writing_follows_a_link_and_keeps_the_mode(tmp_path: Path) -> None:
    kept = tmp_path / "kept.txt"
    kept.write_text("old")
    kept.chmod(0o640)
    link = tmp_path / "link.txt"
    link.symlink_to(kept)
    write_text(link, "new")
    assert link.is_symlink()
    assert kept.read_text() == "new"
    assert kept.stat().st_mode & 0o777 == 0o640
    (tmp_path / "plain.txt").touch()
    write_text(tmp_path / "fresh.txt", "new")
    assert (tmp_path / "fresh.txt").stat().st_mode == (tmp_path / "plain.txt").stat().st_mode


def test_a_file_is_on_the_disk_before_its_name_points_to_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What a power cut would leave: the old file until the new one is whole on the disk."""
    path, seen = tmp_path / "a.txt", []
    write_text(path, "old")
    real = os.fsync

    def fsync(number: int) -> None:
        (draft,) = (one for one in tmp_path.iterdir() if one != path)
        seen.append((path.read_text(), draft.read_text()))
        real(number)

    monkeypatch.setattr(os, "fsync", fsync)
    write_text(path, "new")
    assert seen == [("old", "new")]
    assert path.read_text() == "new"


def test_two_writers_at_once_leave_one_whole_file(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    texts = {letter * 200_000 for letter in "abcd"}
    with ThreadPoolExecutor(4) as pool:
        for _ in range(10):
            list(pool.map(lambda text: write_text(path, text), texts))
            assert path.read_text() in texts
    assert [item.name for item in tmp_path.iterdir()] == ["a.txt"]


def test_times_are_iso_with_a_zone() -> None:
    expected = "2026-03-04T06:00:00+00:00"
    assert parse_time("2026-03-04T06:00Z").isoformat() == expected
    assert parse_time("2026-03-04T08:00+02:00").isoformat() == expected
    for wrong in (
        "2026-03-04T06:00",
        "03/04/2026 06:00",
        "2026-13-04T06:00Z",
        "2026-03-04",
        "",
        "0001-01-01T00:00+10:00",
    ):
        with pytest.raises(FileError, match="ISO 8601"):
            parse_time(wrong)
