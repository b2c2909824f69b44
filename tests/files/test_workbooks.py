"""Workbooks as people make them: days beside times of day, hidden rows, formulas without values, days since 1904."""

from __future__ import annotations

import io
from collections.abc import Callable
from datetime import datetime, time, timedelta
from typing import Any

import numpy as np
import openpyxl
import pytest
from fuzz_forecasts import read
from openpyxl.utils.datetime import CALENDAR_MAC_1904

from heave.errors import FileError
from heave.files.forecast.reader import read_forecast
from heave.files.record.reader import read_record_file
from heave.files.response.reader import read_response_file
from heave.weather.forecast import EnsembleForecast, Forecast

BEGIN = datetime(2026, 3, 20)
HS = [2.1, 2.35, 2.6, 3.05, 3.4, 3.15]
REST = [9.5, 225]
HEAD = ["Hs (m)", "Tp (s)", "Direction from (deg)"]


def book(fill: Callable[[Any], None], epoch: datetime | None = None) -> bytes:
    made, out = openpyxl.Workbook(), io.BytesIO()
    if epoch is not None:
        made.epoch = epoch
    fill(made.active)
    made.save(out)
    return out.getvalue()


def rows(*lines: list[Any]) -> Callable[[Any], None]:
    def fill(sheet: Any) -> None:
        for line in lines:
            sheet.append(line)

    return fill


def found_in(data: bytes) -> Forecast:
    found = read(data, {"time_zone": "UTC", "date_order": "day first"})
    assert not isinstance(found, EnsembleForecast)
    return found


@pytest.mark.parametrize("head", ["Time (UTC)", "UTC", "Hour (UTC)", "Clock", "hhmm"])
@pytest.mark.parametrize("clock", [time(18), timedelta(hours=18), "18:00", 18, "1800"])
@pytest.mark.parametrize("apart", [24, 3])
def test_a_day_and_a_time_beside_it_are_one_time(head: str, clock: Any, apart: int) -> None:
    """A day in a workbook is its midnight. One row a day at 18:00 came out as of 00:00, the time of day not used."""
    lines = []
    for place, hs in enumerate(HS):
        when = BEGIN + timedelta(hours=18 + apart * (place - len(HS) if apart == 3 else place))
        hour: Any = clock
        if apart == 3:
            hour = {time: when.time(), timedelta: timedelta(hours=when.hour), int: when.hour}.get(type(clock))
            hour = hour if hour is not None else f"{when:%H:%M}" if ":" in clock else f"{when:%H%M}"
        lines.append([when.replace(hour=0), hour, hs, *REST])
    found = found_in(book(rows(["Date", head, *HEAD], *lines)))
    first = BEGIN + timedelta(hours=18 - (18 if apart == 3 else 0))
    assert found.times.tolist() == [first + timedelta(hours=apart * place) for place in range(len(HS))]
    assert found.batch.hs == pytest.approx(HS)


@pytest.mark.parametrize("end", ["", " 00:00", " 00:00:00", "T00:00:00.000"])
def test_a_table_of_text_with_midnights_is_the_same(end: str) -> None:
    days = [
        f"{BEGIN + timedelta(days=place):%Y-%m-%d}{end},18:00,{hs},9.5,225" for place, hs in enumerate(HS)
    ]
    found = found_in("\n".join([",".join(["Date", "Time (UTC)", *HEAD]), *days]).encode())
    assert str(found.times[0]) == "2026-03-20T18:00:00"


def test_a_time_of_day_that_cannot_be_read_is_not_left_out() -> None:
    lines = [[BEGIN + timedelta(days=place), 0.75, hs, *REST] for place, hs in enumerate(HS)]
    with pytest.raises(FileError, match=r"line 2, column date time \(utc\).*2026-03-20 0\.75"):
        found_in(book(rows(["Date", "Time (UTC)", *HEAD], *lines)))


def test_full_times_beside_a_time_of_day_stay_full() -> None:
    lines = [[BEGIN + timedelta(hours=6 + 24 * place), time(18), hs, *REST] for place, hs in enumerate(HS)]
    assert str(found_in(book(rows(["Date", "Time (UTC)", *HEAD], *lines))).times[0]) == "2026-03-20T06:00:00"


def test_midnights_and_steps_after_them_stay_a_run_and_its_hours() -> None:
    text = "Date,Lead (h),Hs (m),Tp (s),Direction from (deg)\n"
    text += "".join(f"2026-03-20 00:00,{hour},2.5,9.5,225\n" for hour in (0, 12, 24, 36))
    assert str(found_in(text.encode()).times[-1]) == "2026-03-21T12:00:00"


@pytest.mark.parametrize("epoch", [None, CALENDAR_MAC_1904])
@pytest.mark.parametrize("numbers", [False, True])
def test_days_are_counted_from_where_the_workbook_does(epoch: datetime | None, numbers: bool) -> None:
    """Plain day numbers of a workbook that counts from 1904 were read four years and a day too early."""
    zero = CALENDAR_MAC_1904 if epoch else datetime(1899, 12, 30)
    times: list[Any] = [BEGIN + timedelta(hours=3 * place) for place in range(len(HS))]
    shown = [(one - zero).total_seconds() / 86_400 for one in times] if numbers else times
    lines = [[when, hs, *REST] for when, hs in zip(shown, HS, strict=True)]
    assert found_in(book(rows(["Time (UTC)", *HEAD], *lines), epoch)).times.tolist() == times


def _timed() -> list[list[Any]]:
    return [[BEGIN + timedelta(hours=3 * place), hs, *REST] for place, hs in enumerate(HS)]


def test_hidden_rows_are_told() -> None:
    def fill(sheet: Any) -> None:
        rows(["Time (UTC)", *HEAD], *_timed())(sheet)
        for row in (3, 5):
            sheet.row_dimensions[row].hidden = True

    assert "Rows that the sheet hides are read as well: 2." in found_in(book(fill)).notes
    assert not any("hides" in note for note in found_in(book(rows(["Time (UTC)", *HEAD], *_timed()))).notes)


def test_formulas_that_were_never_worked_out_are_missing_and_told() -> None:
    lines = _timed()
    lines[2][1] = lines[4][1] = "=1+1"
    found = found_in(book(rows(["Time (UTC)", *HEAD], *lines)))
    assert found.missing.tolist() == [False, False, True, False, True, False]
    assert any(
        note.startswith("Formulas without a saved value, 2 cells, are missing") for note in found.notes
    )
    every = [[when, "=1+1", *rest] for when, _, *rest in lines]
    with pytest.raises(FileError, match="Formulas without a saved value, 6 cells"):
        read_forecast(book(rows(["Time (UTC)", *HEAD], *every)))


@pytest.mark.parametrize("step", [0.2, 0.5, 1.0])
@pytest.mark.parametrize("apart", [False, True])
def test_a_record_keeps_the_parts_of_its_seconds(step: float, apart: bool) -> None:
    """Times were brought to whole seconds, a time of day to its minute."""
    times = np.arange(300) * step
    heave = np.sin(2 * np.pi * times / 9.0)
    lines: list[list[Any]] = []
    for seconds, value in zip(times.tolist(), heave.tolist(), strict=True):
        when = BEGIN + timedelta(hours=22, seconds=seconds)
        lines.append(
            [when.replace(hour=0, minute=0, second=0, microsecond=0), when.time(), value][not apart :]
        )
        if not apart:
            lines[-1][0] = when
    found = read_record_file(book(rows(["Date", "Time", "Heave up (m)"][not apart :], *lines)), {})
    assert found.record.step == pytest.approx(step, rel=1e-6)
    assert found.record.heave == pytest.approx(heave, abs=1e-6)


def test_a_workbook_that_is_damaged_inside_is_refused_by_every_reader() -> None:
    """A byte of an archive changed at every eighth place: what the unpacker raises never reaches whoever brought it."""
    whole = book(
        rows(["Time (UTC)", *HEAD], *([BEGIN + timedelta(hours=n), hs, *REST] for n, hs in enumerate(HS)))
    )
    refused = 0
    for place in range(0, len(whole), 8):
        data = whole[:place] + bytes([whole[place] ^ 0xFF]) + whole[place + 1 :]
        for reader in (read_forecast, read_record_file, read_response_file):
            try:
                reader(data)
            except FileError:
                refused += 1
    assert refused > len(whole) // 8
