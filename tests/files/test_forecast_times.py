"""Times of a forecast: zones, summer time, leap days and year ends, each by its rule.

The clock changes are those of European summer time (Directive 2000/84/EC: last Sundays of March and October,
at 01:00 UTC) and the offsets those of the IANA time zone database.
"""

from __future__ import annotations

import numpy as np
import pytest

from heave.errors import FileError
from heave.files.forecast.questions import ForecastQuestions
from heave.files.forecast.reader import read_forecast
from heave.weather.forecast import EnsembleForecast, Forecast

HEAD = "time,hs_m,tp_s,direction_from_deg"


def read(times: list[str], head: str = HEAD, **more: str) -> Forecast:
    rows = [f"{time},{1 + place / 10:.1f},8,200" for place, time in enumerate(times)]
    found = read_forecast("\n".join([head, *rows]).encode(), **({"time_zone": "UTC"} | more))  # type: ignore[arg-type]
    assert isinstance(found, Forecast)
    return found


def stamps(found: Forecast) -> list[str]:
    return [str(time)[:16] for time in found.times]


def test_without_a_zone_it_is_asked() -> None:
    text = f"{HEAD}\n2026-03-04T06:00,1,8,200\n2026-03-04 07:00,1,8,200\n".encode()
    with pytest.raises(ForecastQuestions, match="in which time zone") as asked:
        read_forecast(text)
    assert [question.key for question in asked.value.questions] == ["time_zone"]
    found = read(["2026-03-04T06:00", "2026-03-04 07:00"])
    assert stamps(found) == ["2026-03-04T06:00", "2026-03-04T07:00"]


@pytest.mark.parametrize("name", ["time_utc", "Time (UTC)", "time [UTC]"])
def test_a_column_that_says_utc_needs_no_note(name: str) -> None:
    found = read(["2026-03-04T06:00", "2026-03-04T07:00"], HEAD.replace("time", name))
    assert not any("zone" in note for note in found.notes)


@pytest.mark.parametrize(
    "text",
    ["2026-03-04T06:00Z", "2026-03-04 06:00:00+00:00", "2026-03-04T08:00+02:00", "2026-03-04T0130-0430",
     "2026-03-04T06Z", "2026-03-04T06:00:00.000000Z", "2026-03-04T11:30+05:30", "2026-03-04 06:00 UTC",
     "2026-03-03T23:00-07"],
)  # fmt: skip
def test_one_moment_in_many_ways(text: str) -> None:
    assert stamps(read([text, "2026-03-04T09:00Z"]))[0] == "2026-03-04T06:00"


@pytest.mark.parametrize(
    "text",
    ["03/04/2026 06:00", "2026-3-4T06:00", "2026-03-04", "2026-02-29T00:00Z", "2026-13-01T00:00Z",
     "2026-03-04T25:00Z", "2026-03-04T06:61Z", "2026-03-04T06:00:60Z", "2026-03-04T06:00:00.5Z",
     "2026-03-04T06:00+25:00", "2026-W10-3T06:00", "1492-10-12T06:00Z", "noon", "", "NaN",
     "2026-03-04T06:00+02:99", "２026-03-04T06:00Z"],
)  # fmt: skip
def test_what_is_no_time_is_refused_with_its_line(text: str) -> None:
    with pytest.raises(FileError) as refused:
        read(["2026-03-04T05:00Z", text, "2026-03-04T07:00Z"])
    assert refused.value.line == 3
    assert refused.value.column == "time"


def test_leap_day() -> None:
    """2028 is a leap year and 2100 is none (Gregorian calendar): hours run on across 29 February."""
    days = ["2028-02-28T21:00Z", "2028-02-29T00:00Z", "2028-02-29T21:00Z", "2028-03-01T00:00Z"]
    found = read(days)
    assert stamps(found) == [day[:16] for day in days]
    assert np.diff(found.times).astype(int).tolist() == [10800, 75600, 10800]
    with pytest.raises(FileError, match="2100-02-29"):
        read(["2100-02-28T00:00Z", "2100-02-29T00:00Z"])


def test_year_end() -> None:
    found = read(["2026-12-31T22:00Z", "2026-12-31T23:00Z", "2027-01-01T00:00Z", "2027-01-01T01:00Z"])
    assert found.step == 3600.0
    assert not found.gap_after.any()
    assert stamps(read(["2027-01-01T01:00+02:00", "2027-01-01T02:00+02:00"]))[0] == "2026-12-31T23:00"


def test_offsets_carry_over_both_clock_changes() -> None:
    spring = read(["2026-03-29T00:00+01:00", "2026-03-29T01:00+01:00", "2026-03-29T03:00+02:00"])
    assert stamps(spring) == ["2026-03-28T23:00", "2026-03-29T00:00", "2026-03-29T01:00"]
    autumn = read(["2026-10-25T02:00+02:00", "2026-10-25T02:00+01:00", "2026-10-25T03:00+01:00"])
    assert stamps(autumn) == ["2026-10-25T00:00", "2026-10-25T01:00", "2026-10-25T02:00"]
    assert spring.step == autumn.step == 3600.0


def test_named_zone_over_the_spring_change() -> None:
    local = ["2026-03-29T00:00", "2026-03-29T01:00", "2026-03-29T03:00", "2026-03-29T04:00"]
    found = read(local, time_zone="Europe/Oslo")
    assert stamps(found) == [f"2026-03-{day}:00" for day in ("28T23", "29T00", "29T01", "29T02")]
    assert not found.gap_after.any()
    assert "Times carry no zone: taken as Europe/Oslo." in found.notes


def test_an_hour_the_clock_skips_is_refused() -> None:
    with pytest.raises(FileError, match="put forward") as refused:
        read(["2026-03-29T01:00", "2026-03-29T02:00", "2026-03-29T03:00"], time_zone="Europe/Oslo")
    assert refused.value.line == 3


AUTUMN = ["2026-10-25T01:00", "2026-10-25T02:00", "2026-10-25T02:00", "2026-10-25T03:00"]
IN_UTC = ["2026-10-24T23:00", "2026-10-25T00:00", "2026-10-25T01:00", "2026-10-25T02:00"]


def test_a_repeated_hour_is_told_apart_by_its_order() -> None:
    found = read(AUTUMN, time_zone="Europe/Oslo")
    assert stamps(found) == IN_UTC
    assert found.batch.hs.tolist() == pytest.approx([1.0, 1.1, 1.2, 1.3])


def test_a_repeated_hour_in_a_file_that_runs_newest_first() -> None:
    found = read(AUTUMN[::-1], time_zone="Europe/Oslo")
    assert stamps(found) == IN_UTC
    assert found.batch.hs.tolist() == pytest.approx([1.3, 1.2, 1.1, 1.0])


@pytest.mark.parametrize("times", [[AUTUMN[0], AUTUMN[1], AUTUMN[3]], [*AUTUMN[:3], AUTUMN[2], AUTUMN[3]]])
def test_a_repeated_hour_given_once_or_thrice_is_refused(times: list[str]) -> None:
    with pytest.raises(FileError, match="shows it twice") as refused:
        read(times, time_zone="Europe/Oslo")
    assert refused.value.line == 3


def test_a_repeated_hour_is_counted_within_each_member() -> None:
    rows = [f"{time},{member},1,8,200" for member in "ab" for time in AUTUMN]
    head = HEAD.replace("time", "time,member")
    found = read_forecast("\n".join([head, *rows]).encode(), time_zone="Europe/Oslo")
    assert isinstance(found, EnsembleForecast)
    assert [str(time)[:16] for time in found.times] == IN_UTC


def test_a_fixed_offset_has_no_clock_change() -> None:
    found = read(["2026-10-25T01:00", "2026-10-25T02:00", "2026-10-25T03:00"], time_zone="+02:00")
    assert stamps(found) == IN_UTC[:3]


@pytest.mark.parametrize("zone", ["Mars/Olympus", "+99:00", "local", "../../etc/passwd", "Europe", "CEST"])
def test_an_unknown_zone_is_refused(zone: str) -> None:
    with pytest.raises(FileError, match="Europe/Oslo"):
        read(["2026-10-25T01:00"], time_zone=zone)


def test_a_zone_against_a_column_that_says_utc_is_refused() -> None:
    with pytest.raises(FileError, match="as column time_utc says"):
        read(["2026-10-25T01:00"], HEAD.replace("time", "time_utc"), time_zone="Europe/Oslo")


def test_some_times_with_a_zone_and_some_without_are_refused() -> None:
    with pytest.raises(FileError, match="every time or with none; line 2") as refused:
        read(["2026-10-25T01:00Z", "2026-10-25T02:00"])
    assert refused.value.line == 3


def test_date_and_clock_in_two_columns() -> None:
    for head in ("date,time", "date,clock"):
        text = f"{head},hs_m,tp_s,direction_from_deg\n2026-12-31,23:00,1,8,20\n2027-01-01,00:00,1,8,20\n"
        found = read_forecast(text.encode(), time_zone="UTC")
        assert isinstance(found, Forecast)
        assert stamps(found) == ["2026-12-31T23:00", "2027-01-01T00:00"]


def test_a_date_beside_a_full_time_is_not_used() -> None:
    text = "date,valid_time,hs_m,tp_s,direction_from_deg\n2026-12-31,2027-01-01T06:00Z,1,8,20\n"
    found = read_forecast(text.encode())
    assert isinstance(found, Forecast)
    assert stamps(found) == ["2027-01-01T06:00"]
    assert "Columns not used: date." in found.notes


def test_a_date_column_that_holds_full_times_is_the_time() -> None:
    found = read(["2026-12-31 23:00", "2027-01-01 00:00"], HEAD.replace("time", "Date"))
    assert stamps(found) == ["2026-12-31T23:00", "2027-01-01T00:00"]
    assert stamps(read(["31/12/2026 23:00"], HEAD.replace("time", "date"))) == ["2026-12-31T23:00"]


def test_a_date_column_without_full_times_leaves_the_time_asked() -> None:
    with pytest.raises(ForecastQuestions, match="which column holds the time"):
        read(["2026-12-31"], HEAD.replace("time", "date"))


def repeated_hour(head: str, **more: str) -> Forecast:
    """A local clock put back at the end of October, one sea throughout, so that the repeated rows agree."""
    clock = ["00:00", "01:00", "02:00", "02:00", "03:00"]
    rows = [f"2026-10-25 {time},1,8,200" for time in clock]
    found = read_forecast("\n".join([head, *rows]).encode(), **more)  # type: ignore[arg-type]
    assert isinstance(found, Forecast)
    return found


def test_a_repeated_time_without_a_zone_may_be_a_clock_put_back_and_is_asked() -> None:
    with pytest.raises(ForecastQuestions, match="in which time zone"):
        repeated_hour(HEAD)


def test_a_repeated_time_whose_zone_is_known_is_no_riddle() -> None:
    for found in (repeated_hour(HEAD, time_zone="UTC"), repeated_hour(HEAD.replace("time", "time_utc"))):
        assert found.size == 4
    oslo = repeated_hour(HEAD, time_zone="Europe/Oslo")
    assert oslo.size == 5


def test_an_issue_that_could_be_two_days_is_asked_and_not_taken_day_first() -> None:
    """Steps under a line whose 03/04 the file cannot tell; over ISO days as well, where nothing hangs on it."""
    steps = "Issued 03/04/2026 06:00 UTC\nstep,Hs (m),Tp (s),Dir from (deg)\n+03,1,8,200\n+06,1.1,8,200\n"
    with pytest.raises(ForecastQuestions, match="when was the forecast issued"):
        read_forecast(steps.encode())
    found = read_forecast(steps.encode(), issued="2026-04-03 06:00")
    assert isinstance(found, Forecast)
    assert stamps(found) == ["2026-04-03T09:00", "2026-04-03T12:00"]


def test_hours_that_go_back_under_an_iso_day_are_refused() -> None:
    rows = "2026-03-04\n18:00,1,8,200\n00:00,1.1,8,200\n2026-03-05\n06:00,1,8,200\n"
    with pytest.raises(FileError, match="hours that run on under their date") as refused:
        read_forecast(f"Time (UTC),Hs (m),Tp (s),Dir from (deg)\n{rows}".encode())
    assert refused.value.line == 4


def test_an_offset_of_whole_hours_stands_behind_a_time() -> None:
    found = read(["2026-03-04T06:00+02", "2026-03-04T07:00+02"])
    assert stamps(found) == ["2026-03-04T04:00", "2026-03-04T05:00"]
