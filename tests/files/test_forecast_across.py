"""Forecasts whose times run across: read as the same table with its times down, or refused in words of the file."""

from __future__ import annotations

import numpy as np
import pytest

from heave.errors import FileError
from heave.files.forecast.layout import upright_sheet
from heave.files.forecast.reader import read_forecast
from heave.weather.forecast import Forecast

DOWN = """Time (UTC),Hs (m),Tp (s),Wave direction from (deg)
2026-11-27 18:00,2.1,8.1,225
2026-11-28 00:00,2.4,8.4,230
2026-11-28 06:00,2.7,8.7,235
2026-11-28 12:00,3.1,9,240
"""
ACROSS = {
    "a line a quantity": """Marine forecast for site 12
Time (UTC),2026-11-27 18:00,2026-11-28 00:00,2026-11-28 06:00,2026-11-28 12:00
Hs (m),2.1,2.4,2.7,3.1
Tp (s),8.1,8.4,8.7,9.0
Wave direction from (deg),225,230,235,240
Valid for the named site only
""",
    "a column of units, in seconds": """;;27/11/2026;28/11/2026;;
Parameter;UTC;18:00;00:00;06:00;12:00
Hs;m;2,1;2,4;2,7;3,1
Tp;s;8,1;8,4;8,7;9,0
Wave direction from;deg;225;230;235;240
Weather;;rain;rain;fair;fair
""",
    "a part a day, the first of one hour": """Friday 27 November 2026
UTC 18
Hs(m) 2.1
Tp(s) 8.1
Wave dir from (deg) 225
Saturday 28 November 2026
UTC 00 06 12
Hs(m) 2.4 2.7 3.1
Tp(s) 8.4 8.7 9.0
Wave dir from (deg) 230 235 240
""",
    "dates over the first of their hours": """Site 12       27 Nov 2026   28 Nov 2026
UTC           18:00         00:00  06:00  12:00
Hs (m)        2.1           2.4    2.7    3.1
Tp (s)        8.1           8.4    8.7    9.0
Wave dir from 225           230    235    240
""",
    "groups in a column before": """Of,What,2026-11-27 18:00Z,2026-11-28 00:00Z,2026-11-28 06:00Z,2026-11-28 12:00Z
Wind,Speed (kn),20,22,24,26
Sea,Hs (m),2.1,2.4,2.7,3.1
,Tp (s),8.1,8.4,8.7,9
,Dir from,225,230,235,240
""",
}


def _read(text: str) -> Forecast:
    found = read_forecast(text.encode())
    assert isinstance(found, Forecast)
    return found


@pytest.mark.parametrize("layout", list(ACROSS))
def test_times_across_are_read_as_times_down(layout: str) -> None:
    found, expected = _read(ACROSS[layout]), _read(DOWN)
    assert np.array_equal(found.times, expected.times)
    for read, known in zip(found.batch.slots, expected.batch.slots, strict=True):
        for name in ("hs", "tp", "direction_from"):
            assert getattr(read, name) == pytest.approx(getattr(known, name)), name
    assert "Times run across the file: each of its columns is read as a row." in found.notes
    assert "Times run across" not in " ".join(expected.notes)


@pytest.mark.parametrize(
    ("before", "count", "turned"), [(",", 3, True), ("Time,UTC,", 3, True), ("Time,UTC,", 2, False)]
)
def test_three_times_make_a_line_of_times_whatever_stands_before_them(
    before: str, count: int, turned: bool
) -> None:
    """Nothing, or name and unit: neither counts as a time, nor takes one away."""
    hours = [f"2026-05-01 {hour:02}:00" for hour in (0, 3, 6)][:count]
    unit = "," * (before.count(",") - 1)
    table = [
        f"{before}{','.join(hours)}",
        *(f"{name}{unit},{','.join('234'[:count])}" for name in ("Hs (m)", "Tp (s)")),
    ]
    sheet = upright_sheet("\n".join(table))
    assert (sheet is not None) == turned
    if sheet is not None:
        assert [row.cells[0] for row in sheet.table.rows] == hours


def _refused(text: str) -> FileError:
    with pytest.raises(FileError) as refused:
        read_forecast(text.encode())
    return refused.value


@pytest.mark.parametrize(
    "line",
    [
        "Wind speed (kn) 20 22 24",
        "Wind speed (kn)   20   22   24",
        "Current speed (m/s) 0.2 0.3",
        "Tide (m) 1 2 3",
    ],
)
def test_a_line_without_delimiters_that_lacks_a_value_is_not_read_an_hour_early(line: str) -> None:
    """Of which hour it lacks one nobody says: the wind of six o'clock would be judged at midnight."""
    hours = "UTC 2026-05-01T00:00 2026-05-01T03:00 2026-05-01T06:00 2026-05-01T09:00"
    waves = "Hs (m) 1.0 1.1 1.2 1.3\nTp (s) 8 9 10 10\nWave dir from (deg) 230 235 240 240"
    said = _refused(f"{hours}\n{waves}\n{line}\n")
    assert (said.what, said.line) == ("number of values", 5)
    assert "write - where nothing is known" in str(said)


@pytest.mark.parametrize(
    "line", ["Wind speed (kn) 20 22 24 26 28", "Wind dir from N NE E SE S", "Tide 1 2 3 4 5"]
)
def test_a_line_without_delimiters_with_a_value_too_many_is_not_read_an_hour_late(line: str) -> None:
    """Its first value is no part of its name, as the 2 of Swell 2 is."""
    hours = "UTC 2026-05-01T00:00 2026-05-01T03:00 2026-05-01T06:00 2026-05-01T09:00"
    waves = "Swell 2 Hs (m) 1.0 1.1 1.2 1.3\nSwell 2 Tp (s) 8 9 10 10\nSwell 2 dir from (deg) 230 235 240 240"
    said = _refused(f"{hours}\n{waves}\n{line}\n")
    assert (said.what, said.value, said.line) == ("number of values", 5, 5)
    named = f"{hours}\nHs (m) Swell 2 1 1 1 1\nTp s 8 9 10 10"
    sheet = upright_sheet(named)
    assert sheet is not None
    assert sheet.table.header[1:] == ("hs (m) swell 2", "tp s")


def test_an_error_names_the_hour_and_no_line_of_a_table_that_was_turned() -> None:
    said = _refused(ACROSS["a line a quantity"].replace("2.7", "high"))
    assert (said.line, said.column) == (None, "hs (m) at 2026-11-28 06:00")
    assert str(said).startswith("column hs (m) at 2026-11-28 06:00: hs (m): 'high' cannot be used")
    twice = _refused(ACROSS["a line a quantity"].replace("Tp (s)", "Hs (m)"))
    assert (twice.what, twice.line, twice.column) == ("column name", None, "hs (m)")


def test_a_time_that_stands_twice_is_said_to_stand_in_a_column() -> None:
    said = _refused(ACROSS["a line a quantity"].replace("2026-11-28 12:00", "2026-11-28 00:00"))
    assert (said.what, said.line) == ("time", None)
    assert "column 3 has it too" in said.allowed
    assert "line" not in said.allowed


def test_words_between_two_lines_are_refused_with_their_line() -> None:
    said = _refused(ACROSS["a line a quantity"].replace("Tp (s)", "Of the swell\nTp (s)"))
    assert (said.what, said.value, said.line) == ("line", "Of the swell", 4)
    assert "write what they say into the names" in said.allowed


@pytest.mark.parametrize("line", ["Tp (s) 8.4 9.0", "Hs (m) 2.4"])
def test_without_delimiters_a_line_that_lacks_a_value_is_refused(line: str) -> None:
    text = ACROSS["a part a day, the first of one hour"]
    old = {"Tp": "Tp(s) 8.4 8.7 9.0", "Hs": "Hs(m) 2.4 2.7 3.1"}[line[:2]]
    said = _refused(text.replace(old, line))
    assert (said.what, said.value) == ("number of values", len(line.split()) - 2)
    assert said.allowed == "3, one under each time: write - where nothing is known"
    assert said.line == text.split("\n").index(old) + 1


def test_what_stands_around_is_left_around() -> None:
    text = ACROSS["a part a day, the first of one hour"]
    found = _read(
        "Significant wave height of the site\n" + text + "Wave height is of the site\nNext issue at 18\n"
    )
    assert found.batch.slots[0].hs == pytest.approx([2.1, 2.4, 2.7, 3.1])
    assert "Lines under the table, not read: Wave height is of the site; Next issue at 18." in found.notes


def test_without_delimiters_a_name_may_end_with_a_number() -> None:
    text = """27 November 2026
UTC 06 12 18
Hs (m) Swell 1 1.1 1.4 2
Tp (s) Swell 1 12 12 13
Dir from Swell 1 90 90 90
Wind sea Hs (m) 2.1 2.4 2.7
Wind sea Tp (s) 8.1 8.4 8.7
Wind sea Dir from 225 230 235
"""
    found = _read(text)
    assert found.system_names == ("wind sea", "swell 1")
    assert found.batch.slots[1].hs == pytest.approx([1.1, 1.4, 2.0])
    assert found.batch.slots[1].tp == pytest.approx([12, 12, 13])


def test_waves_above_the_first_times_are_refused_and_not_left_out() -> None:
    said = _refused("Hs (m),9,9,9,9\n" + ACROSS["a line a quantity"].replace("Hs (m)", "Swell Hs (m)"))
    assert (said.what, said.line) == ("line", 1)
    assert "under the times of line 3" in said.allowed


def test_a_part_with_other_names_than_the_first_is_refused() -> None:
    text = ACROSS["a part a day, the first of one hour"]
    said = _refused(text.replace("Hs(m) 2.4", "Swell Hs(m) 2.4"))
    assert (said.what, said.line) == ("names of a part", 7)


def test_dates_between_two_hours_are_refused() -> None:
    text = ACROSS["dates over the first of their hours"]
    said = _refused(text.replace("   28 Nov 2026", "     28 Nov 2026"))
    assert (said.what, said.line) == ("dates over hours", 1)
    assert "on line 2" in said.allowed


def test_a_value_that_is_lacking_at_the_end_is_a_hole() -> None:
    found = _read(ACROSS["a line a quantity"].replace("2.7,3.1", "2.7,"))
    assert found.missing.tolist() == [False, False, False, True]


def test_few_or_many_lines_are_not_taken_for_times_across() -> None:
    two = "Time (UTC),2026-11-27 18:00,2026-11-28 00:00\nHs (m),2.1,2.4\nTp (s),8.1,8.4\n"
    assert upright_sheet(two) is None
    sheet = upright_sheet(ACROSS["a line a quantity"])
    assert sheet is not None
    assert upright_sheet(ACROSS["a line a quantity"] + "Remark,none,none,none,none\n" * 400) is None
    assert upright_sheet(DOWN) is None
