"""Total and parts: all energy once; and what may be done with gaps, workbooks, encodings and columns that are no Hs."""

from __future__ import annotations

import io
import math
import zipfile
from dataclasses import replace

import numpy as np
import pytest

from heave.errors import FileError
from heave.files.codec import decode, encode
from heave.files.forecast import workbook
from heave.files.forecast.answers import answer
from heave.files.forecast.questions import ForecastQuestions, suggest_mapping
from heave.files.forecast.reader import read_forecast
from heave.files.forecast.series import step_and_gaps, without_short_holes
from heave.planning.columns import ForecastMapping
from heave.weather.forecast import EnsembleForecast, Forecast

TOTAL = "time_utc,hs_m,tp_s,direction_from_deg"
SWELL = ",swell1_hs_m,swell1_tp_s,swell1_direction_from_deg"
SEA = ",wind_sea_hs_m,wind_sea_tp_s,wind_sea_direction_from_deg"


def one(head: str, *rows: str, **rules: object) -> Forecast:
    lines = [f"2026-02-01T{hour:02d}:00Z,{row}" for hour, row in enumerate(rows)]
    data = "\n".join([head, *lines]).encode()
    mapping = replace(suggest_mapping(data).mapping, **rules) if rules else None  # type: ignore[arg-type]
    found = read_forecast(data, mapping)
    assert isinstance(found, Forecast)
    return found


def systems(found: Forecast, row: int = 0) -> dict[str, tuple[float, float, float]]:
    return {s.label: (round(s.hs, 4), round(s.tp, 4), s.direction_from) for s in found.sea_state(row).systems}


def test_a_swell_beside_a_total_is_not_dropped() -> None:
    """Heights add as squares: 2.5² = 2.0² + 1.5²."""
    found = one(TOTAL + SWELL, "2.5,7,210,1.5,12,190", "1.3,6,210,1.2,11,190")
    assert systems(found) == {"wind sea": (2.0, 7.0, 210.0), "swell 1": (1.5, 12.0, 190.0)}
    assert systems(found, 1)["wind sea"][0] == 0.5
    np.testing.assert_allclose(found.batch.hs, [2.5, 1.3])


def test_two_swells_beside_a_total() -> None:
    head = TOTAL + SWELL + SWELL.replace("swell1", "swell2")
    found = one(head, "2.7,6,210,1.4,12,190,2.2,15,280")
    left = math.sqrt(2.7**2 - 1.4**2 - 2.2**2)
    assert systems(found)["wind sea"] == (round(left, 4), 6.0, 210.0)
    assert found.batch.hs[0] == pytest.approx(2.7)


def test_a_wind_sea_beside_a_total_leaves_the_swell() -> None:
    found = one(TOTAL + SEA, "2.5,12,200,1.5,6,230")
    assert systems(found) == {"wind sea": (1.5, 6.0, 230.0), "swell": (2.0, 12.0, 200.0)}


def test_the_rest_has_its_own_period_and_direction_where_the_file_gives_them() -> None:
    head = f"{TOTAL}{SWELL},wind_sea_tp_s,wind_sea_direction_from_deg"
    found = one(head, "2.5,12,190,1.5,12,190,5.5,240")
    assert systems(found)["wind sea"] == (2.0, 5.5, 240.0)


def test_the_period_of_the_rest_is_asked_where_the_totals_cannot_be_its() -> None:
    data = f"{TOTAL}{SWELL}\n2026-02-01T00:00Z,2.5,12,190,2.4,12,190\n".encode()
    with pytest.raises(ForecastQuestions) as asked:
        read_forecast(data)
    (question,) = asked.value.questions
    assert (question.key, question.options) == ("rest_period", ("total", "fully developed"))
    rest = math.sqrt(2.5**2 - 2.4**2)
    for given, period in (("total", 12.0), ("fully developed", 6.6 * rest ** (1 / 3))):
        found = read_forecast(data, answer(asked.value.mapping, question, given))
        assert isinstance(found, Forecast)
        assert systems(found)["wind sea"] == (round(rest, 4), round(period, 4), 190.0)


@pytest.mark.parametrize(("swell", "refused"), [(2.62, False), (2.63, True)])
def test_a_part_larger_than_the_total_is_refused_at_its_row(swell: float, refused: bool) -> None:
    """Beyond rounding, 0.1 m and 1 %: a total of 2.5 m carries a part of 2.625 m."""
    rows = ("2.5,7,210,1.5,12,190", f"2.5,7,210,{swell},12,190")
    if not refused:
        assert systems(one(TOTAL + SWELL, *rows), 1) == {"swell 1": (2.62, 12.0, 190.0)}
        return
    with pytest.raises(FileError, match=r"at most the total height, 2\.5\u00a0m") as error:
        one(TOTAL + SWELL, *rows)
    assert error.value.line == 3
    with pytest.raises(FileError, match="height of swell 1"):
        one(TOTAL + SEA + SWELL, f"2.5,7,210,0.5,6,210,{swell},12,190")


def test_a_blank_swell_beside_a_total_is_in_the_rest() -> None:
    found = one(TOTAL + SWELL, "2.5,7,210,,,", "2.5,7,210,1.5,12,190")
    assert systems(found) == {"wind sea": (2.5, 7.0, 210.0)}


def test_the_total_checks_the_parts_and_the_largest_difference_is_said() -> None:
    found = one(TOTAL + SEA + SWELL, "2.55,7,210,2,6,210,1.5,12,190", "2.5,7,210,2,6,210,1.5,12,190")
    assert found.system_names == ("wind sea", "swell 1")
    assert "The total height checks the parts: largest difference 0.05\u00a0m." in found.notes


def test_a_local_header_is_not_utc() -> None:
    text = "Time (UTC+2),hs_m,tp_s,direction_from_deg\n2026-02-01 06:00,1,8,200\n"
    assert str(read_forecast(text.encode()).times[0]) == "2026-02-01T04:00:00"
    with pytest.raises(ForecastQuestions, match="time zone"):
        read_forecast(text.replace("UTC+2", "LT").encode())


def test_no_member_of_an_ensemble_is_taken_for_the_forecast() -> None:
    head = "time_utc,hs_m_m01,hs_m_m02,hs mean (m),tp_s,direction_from_deg"
    found = read_forecast(f"{head}\n2026-02-01T00:00Z,1,3,2,8,200\n".encode())
    assert isinstance(found, EnsembleForecast)
    assert found.member_names == ("1", "2")
    assert [float(member.batch.hs[0]) for member in found.members] == [1.0, 3.0]
    assert "Figures over the members, not used: mean." in found.notes
    alone = b"time_utc,hs mean (m),tp_s,direction_from_deg\n2026-02-01T00:00Z,2,8,200\n"
    with pytest.raises(ForecastQuestions, match="mean of an ensemble"):
        read_forecast(alone)


def test_a_height_beside_those_of_the_members_is_named_as_not_used() -> None:
    """It may be the main run or a mean: nobody says, and the members are the forecast."""
    head = "time_utc,hs_m,hs_m_m01,hs_m_m02,tp_s,direction_from_deg"
    found = read_forecast(f"{head}\n2026-02-01T00:00Z,2.5,1,3,8,200\n".encode())
    assert isinstance(found, EnsembleForecast)
    assert [float(member.batch.hs[0]) for member in found.members] == [1.0, 3.0]
    assert "Beside the members, one run or a mean, not used: hs_m." in found.notes
    shared = read_forecast(f"{head.replace('hs_m,', '')}\n2026-02-01T00:00Z,1,3,8,200\n".encode())
    assert not any("Beside the members" in words for words in shared.notes)


def test_gaps_are_bridged_up_to_the_stated_length_only() -> None:
    hours = np.array([0, 1, 2, 5, 6, 7, 12, 13, 14]) * 3600
    assert step_and_gaps(hours, 3 * 3600)[1].tolist() == [False] * 5 + [True] + [False] * 2
    assert step_and_gaps(hours, 5 * 3600)[1].tolist() == [False] * 8
    assert step_and_gaps(hours, 3 * 3600 - 1)[1].sum() == 2


def test_missing_seas_are_left_out_where_they_span_up_to_the_bridge() -> None:
    times = np.arange(8) * 3600
    missing = np.array([True, False, True, True, False, True, False, True])
    assert without_short_holes(times, missing, 3 * 3600).tolist() == [0, 1, 4, 6, 7]
    assert without_short_holes(times, missing, 2 * 3600).tolist() == [0, 1, 2, 3, 4, 6, 7]
    found = one(TOTAL, "1,8,200", ",8,200", "3,8,200", bridge=7200.0)
    assert found.batch.hs.tolist() == [1, 3]
    assert not found.gap_after.any()


def test_all_that_is_said_of_a_file_is_kept() -> None:
    mapping = ForecastMapping(
        (),
        ("a",),
        time_zone="UTC",
        date_order="day first",
        composition="parts",
        rest_period="total",
        bridge=3600.0,
    )
    assert decode(ForecastMapping, encode(mapping), "mapping") == mapping
    old = {key: value for key, value in encode(mapping).items() if key in ("columns", "time_zone")}
    assert decode(ForecastMapping, old, "mapping") == ForecastMapping((), time_zone="UTC")


def archive(**parts: bytes) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as made:
        for name, data in parts.items():
            made.writestr(name.replace("__", "/") + ".xml", data)
    return stream.getvalue()


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (archive(a=b"x"), "no workbook"),
        (archive(xl__workbook=b"<x/>"), "a sound workbook"),
        (archive(xl__workbook=b'<!DOCTYPE x [<!ENTITY a "b">]><x/>'), "defines entities"),
        (archive(xl__workbook=b"<x/>")[:-30], "damaged"),
        (b"\xd0\xcf\x11\xe0" + bytes(40), "password"),
    ],
)
def test_archives_that_are_no_workbook_are_refused(data: bytes, words: str) -> None:
    with pytest.raises(FileError, match=words):
        read_forecast(data)


def test_a_workbook_that_unzips_to_too_much_is_refused_before_it_is_parsed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    data = archive(xl__workbook=b"<x/>", xl__big=bytes(300_000))
    assert len(data) < 3_000
    monkeypatch.setattr(workbook, "MAX_UNZIPPED", 200_000)
    with pytest.raises(FileError, match="300004 bytes unzipped"):
        read_forecast(data)


def test_formulas_are_never_run_and_two_tables_are_refused() -> None:
    import openpyxl

    book = openpyxl.Workbook()
    for sheet in (book.active, book.create_sheet("other")):
        sheet.append(TOTAL.split(","))
        sheet.append(["2026-02-01T00:00Z", "=1+1", 8, 200])
        sheet.append(["2026-02-01T01:00Z", 2, 8, 200])
    stream = io.BytesIO()
    book.save(stream)
    with pytest.raises(FileError, match="Delete the other sheets"):
        read_forecast(stream.getvalue())
    book.remove(book["other"])
    stream = io.BytesIO()
    book.save(stream)
    found = read_forecast(stream.getvalue())
    assert isinstance(found, Forecast)
    assert found.missing.tolist() == [True, False]


def test_utf_16_cut_short_is_refused() -> None:
    with pytest.raises(FileError, match="cut short"):
        read_forecast(TOTAL.encode("utf-16")[:-1])


@pytest.mark.parametrize(
    ("line", "issued"),
    [
        ("Issued: 2026-01-31 18:00 UTC", "2026-01-31T18:00:00"),
        ("ISSUED AT 1800 UTC ON 31 JAN 2026", "2026-01-31T18:00:00"),
        ("Model run 31.01.2026 18Z; next at 00Z", "2026-01-31T18:00:00"),
        ("Issue time 31 January 2026 20:00 (UTC+2). All times are local.", "2026-01-31T18:00:00"),
        ("Issued 31 Jan 2026 18:00", "2026-01-31T18:00:00"),
        ("Issued 02/01/2026 18:00 UTC", None),
        ("Issued on Saturday", None),
        ("Issued 2025-12-01 18:00 UTC", None),
    ],
)
def test_the_issue_is_read_where_the_file_says_it(line: str, issued: str | None) -> None:
    """Of 02/01/2026 nobody can say which day it is, where the file's own dates are ISO 8601; December is far off."""
    data = f"{line}\n{TOTAL}\n2026-02-01T00:00Z,2,8,200\n2026-02-01T01:00Z,2,8,200\n".encode()
    found = read_forecast(data)
    assert found.issued == (None if issued is None else np.datetime64(issued))


def test_numbered_heights_are_members_only_where_they_are_too_many_for_wave_systems() -> None:
    few = b"time_utc,hs_1,hs_2,tp_1,tp_2\n2026-02-01T00:00Z,2,1,8,12\n"
    with pytest.raises(ForecastQuestions) as asked:
        read_forecast(few)
    assert asked.value.questions[0].key == "column:waves"
    names = ",".join(f"hs_{run}" for run in range(1, 13))
    many = f"time_utc,{names},tp_s,direction_from_deg\n2026-02-01T00:00Z{',2' * 12},8,200\n".encode()
    found = read_forecast(many, height_unit="m")
    assert isinstance(found, EnsembleForecast)
    assert found.member_names == tuple(str(run) for run in range(1, 13))


def test_a_column_whose_name_says_which_waves_and_nothing_of_them_is_asked_about() -> None:
    names = ",".join(f"hs_{run}" for run in range(1, 7))
    row = "2026-02-01T00:00Z,1,2,3,4,5,6,8,200,9"
    with pytest.raises(ForecastQuestions) as asked:
        read_forecast(f"time_utc,{names},tp_s,direction_from_deg,Total\n{row}\n".encode())
    assert asked.value.questions[0].key == "unknown:total"


def test_steps_in_minutes_are_no_hours_and_a_wind_direction_is_no_waves() -> None:
    lead = "Issued 2026-02-01 00:00 UTC\nLead (min),hs_m,tp_s,direction_from_deg\n60,2,8,200\n120,2,8,200\n"
    assert str(read_forecast(lead.encode()).times[0]) == "2026-02-01T01:00:00"
    wind = "time_utc,Wind speed (kn),Direction from (deg),hs_m,tp_s\n2026-02-01T00:00Z,20,250,2,8\n"
    with pytest.raises(ForecastQuestions) as asked:
        read_forecast(wind.encode())
    assert "unknown:direction from (deg)" in [question.key for question in asked.value.questions]


def test_a_figure_over_members_never_stands_before_the_forecasts_own_height() -> None:
    for head in ("hs p90 (m),hs (m)", "hs (m),hs p90 (m)"):
        row = "3,2" if head.startswith("hs p90") else "2,3"
        data = f"time_utc,{head},tp_s,direction_from_deg\n2026-02-01T00:00Z,{row},8,200\n".encode()
        found = read_forecast(data)
        assert isinstance(found, Forecast)
        assert found.batch.hs.tolist() == [2.0]
        assert "Columns not used: hs p90 (m)." in found.notes


def test_a_date_time_group_is_a_day_and_a_year_at_either_end() -> None:
    """020600Z MAR 26 is 2 March 2026, and 0600 Mar 26 may be two things."""
    data = "DTG,hs_m,tp_s,direction_from_deg\n{},2,8,200\n".format
    asked = suggest_mapping(data("020600Z MAR 26").encode())
    mapping = answer(asked.mapping, asked.questions[0], "dtg")
    assert str(read_forecast(data("020600Z MAR 26").encode(), mapping).times[0]) == "2026-03-02T06:00:00"
    with pytest.raises(FileError, match="time"):
        read_forecast(data("0600Z MAR 26").encode(), mapping)


def test_short_names_of_wind_sea_are_no_wind_speed() -> None:
    head = "time_utc,Hs (m),Tp,MWD,Hs_SW1 (m),Tp_SW1,MWD_SW1,Hs_WS (m),Tp_WS,MWD_WS"
    found = read_forecast(f"{head}\n2026-02-01T00:00Z,2.5,7,210,1.5,12,190,2,7,210\n".encode())
    assert isinstance(found, Forecast)
    assert systems(found) == {"wind sea": (2.0, 7.0, 210.0), "swell 1": (1.5, 12.0, 190.0)}


def test_partitions_that_lack_swell_are_missing() -> None:
    """All swell of 2 m holds more than a partition of 1.5 m; 1.81 m is within 0.1 m and 5 %: 2 − 0.1 − 0.1 = 1.8."""
    swell = ",swell_hs_m,swell_tp_s,swell_direction_from_deg"
    found = one(
        "time_utc" + SEA + swell + SWELL, "1,5,210,2,12,200,1.5,13,200", "1,5,210,2,12,200,1.81,13,200"
    )
    assert found.system_names == ("wind sea", "swell 1")
    assert found.missing.tolist() == [True, False]
    assert any("less than all swell, 1 row: missing" in note for note in found.notes)
