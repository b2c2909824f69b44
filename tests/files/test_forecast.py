"""Forecast files: what is read from them, by which rule, and what is refused."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import heave
from heave.errors import FileError, InputError
from heave.files.codec import decode, encode
from heave.files.forecast.questions import ForecastQuestions, suggest_mapping
from heave.files.forecast.reader import read_forecast
from heave.planning.columns import ColumnMeaning, ForecastMapping
from heave.weather.forecast import EnsembleForecast, Forecast

HEAD = "time_utc,hs_m,tp_s,direction_from_deg"
PARTS = (
    "time_utc,hs_m,wind_sea_hs_m,wind_sea_tp_s,wind_sea_direction_from_deg,"
    "swell1_hs_m,swell1_tp_s,swell1_direction_from_deg"
)


def one(text: str, mapping: ForecastMapping | None = None, **more: object) -> Forecast:
    zone = {"time_zone": "UTC"} if mapping is None else {}
    found = read_forecast(text.encode(), mapping, **(zone | more))  # type: ignore[arg-type]
    assert isinstance(found, Forecast)
    return found


def hours(*rows: str, head: str = HEAD, **more: object) -> Forecast:
    """Rows at 00:00, 01:00 … of one day, each the cells after the time."""
    lines = [f"2026-02-01T{hour:02d}:00Z,{row}" for hour, row in enumerate(rows)]
    return one("\n".join([head, *lines]), **more)


def says(found: Forecast, words: str) -> bool:
    return any(words in note for note in found.notes)


def test_the_public_name_reads_bytes_and_paths(tmp_path: Path) -> None:
    text = f"{HEAD},wind_speed_kn\n2026-02-01T00:00Z,2.5,9,200,20\n2026-02-01T03:00Z,2.7,9.5,210,\n"
    path = tmp_path / "west of nowhere.csv"
    path.write_text(text, encoding="utf-8")
    for found in (heave.read_forecast(path), heave.read_forecast(str(path)), one(text)):
        assert isinstance(found, Forecast)
        assert found.size == 2
        assert found.batch.hs.tolist() == [2.5, 2.7]
        assert found.step == 3 * 3600.0
    assert heave.read_forecast(path).name == "west of nowhere"
    assert one(text, name="mine").name == "mine"
    wind = one(text).wind_speed
    assert wind is not None
    assert wind[0] == pytest.approx(20 * 1852 / 3600)
    assert np.isnan(wind[1])


def test_columns_in_any_order_and_any_delimiter() -> None:
    rows = [["hs_m", "time_utc", "direction_from_deg", "tp_s"], ["2.5", "2026-02-01T00:00Z", "200", "9.5"]]
    for mark in (",", ";", "\t", "   "):
        found = one("\n".join(mark.join(row) for row in rows))
        assert found.batch.slots[0].hs.tolist() == [2.5]
        assert found.batch.slots[0].direction_from.tolist() == [200.0]
    comma = "\n".join(";".join(row) for row in rows).replace("2.5", "2,5").replace("9.5", "9,5")
    assert one(comma).batch.hs.tolist() == [2.5]


def test_parts_are_taken_and_the_total_only_checked() -> None:
    found = hours("2.5,2,6,210,1.5,11,190", head=PARTS)
    assert found.system_names == ("wind sea", "swell 1")
    assert found.batch.hs[0] == pytest.approx(2.5)
    wind_sea, swell = found.sea_state(0).systems
    assert (wind_sea.hs, wind_sea.tp, wind_sea.direction_from, wind_sea.shape) == (2.0, 6.0, 210.0, "jonswap")
    assert (swell.hs, swell.tp, swell.direction_from, swell.shape) == (1.5, 11.0, 190.0, "gaussian-swell")
    assert swell.spreading_exponent == 10.0


def test_up_to_three_swells() -> None:
    stems = ("wind_sea", "swell_1", "swell_2", "swell_3")
    head = ",".join(["time_utc", *(f"{s}_hs_m,{s}_tp_s,{s}_direction_from_deg" for s in stems)])
    found = hours("1,5,10,2,9,20,0,,,0.5,15,30", head=head)
    assert found.system_names == ("wind sea", "swell 1", "swell 2", "swell 3")
    assert [system.label for system in found.sea_state(0).systems] == ["wind sea", "swell 1", "swell 3"]
    assert found.batch.hs[0] == pytest.approx(np.sqrt(1 + 4 + 0.25))


@pytest.mark.parametrize("mark", ["", "MM", "NaN", "-999", "99.00", "-9999", "9999", "N/A", "-", "9.999e20"])
@pytest.mark.parametrize("column", [0, 1, 2])
def test_a_missing_number_makes_the_sea_missing(mark: str, column: int) -> None:
    if column == 2 and mark == "99.00":
        mark = "999.0"
    row = ["2.5", "9", "200"]
    row[column] = mark
    found = hours("2,8,100", ",".join(row), "0,8,100")
    assert found.missing.tolist() == [False, True, False]
    assert np.isnan(found.batch.slots[0].hs[1])
    assert says(found, "not known in 1 of 3 rows")
    with pytest.raises(InputError, match="missing at 2026-02-01T01:00:00Z"):
        found.sea_state(1)


def test_ninety_nine_degrees_is_a_direction() -> None:
    assert hours("2,8,99").sea_state(0).systems[0].direction_from == 99.0


@given(
    st.lists(st.booleans(), min_size=6, max_size=6),
    st.sampled_from(["", "MM", "-999", "nan", "-32768"]),
)
def test_missing_is_never_calm(present: list[bool], mark: str) -> None:
    """Whatever is missing of a sea in parts, its height is no number; nothing missing, and it is."""
    good = ("2", "5", "100", "1.5", "9", "50")
    cells = [cell if there else mark for cell, there in zip(good, present, strict=True)]
    found = hours(",".join(good), ",".join(cells), head=PARTS.replace("hs_m,", "", 1))
    assert found.missing.tolist() == [False, not all(present)]
    assert np.isnan(found.batch.hs[1]) == (not all(present))


def test_height_zero_is_a_system_that_is_not_there() -> None:
    found = hours("0,,", "0,0,0", "0,9,999")
    assert found.batch.hs.tolist() == [0.0, 0.0, 0.0]
    assert np.isfinite(found.batch.spectra()[0].ordinates).all()
    with pytest.raises(InputError, match="flat calm"):
        found.sea_state(0)


def test_period_zero_with_waves_is_missing() -> None:
    found = hours("1,0,100", "1,8,100")
    assert found.missing.tolist() == [True, False]
    assert says(found, "a peak period outside 2 to 30\u00a0s in 1 row: missing")


@pytest.mark.parametrize(("period", "missing"), [(1.99, True), (2.0, False), (30.0, False), (30.01, True)])
def test_peak_periods_off_the_grid_are_missing(period: float, missing: bool) -> None:
    found = hours(f"1,{period},100", "1,8,100")
    assert found.missing.tolist() == [missing, False]
    assert says(found, "a peak period outside 2 to 30\u00a0s in 1 row: missing") == missing


def test_an_empty_part_is_missing_unless_the_total_accounts_for_it() -> None:
    rows = ("2.5,2.5,6,210,,,", "2.5,2.4,6,210,,,", ",2.5,6,210,,,", "2.5,,,,2.5,12,100", "2.5,,,,,,")
    found = hours(*rows, head=PARTS)
    assert found.missing.tolist() == [False, True, True, False, True]
    assert found.batch.slots[1].hs[0] == 0.0
    assert says(found, "the file's total height is accounted for")


def test_an_empty_swell_may_be_said_not_to_be_there() -> None:
    text = f"{PARTS}\n2026-02-01T00:00Z,,2.5,6,210,,,\n2026-02-01T01:00Z,,,,,,,\n2026-02-01T02:00Z,,,,,1,9,50"
    with pytest.raises(FileError, match="missing in every row"):
        one(text)
    text += "\n2026-02-01T03:00Z,,1,6,210,1,9,50"
    mapping = replace(suggest_mapping(text.encode()).mapping, empty_swell="not there")
    assert one(text).missing.tolist() == [True, True, True, False]
    assert one(text, mapping).missing.tolist() == [False, True, True, False]


@pytest.mark.parametrize(("total", "missing"), [(2.73, False), (2.75, True)])
def test_parts_that_lack_a_system_are_missing(total: float, missing: bool) -> None:
    """The bound is 0.1 m and 5 %: parts of 2.5 m carry a total to (2.5 + 0.1)/0.95 = 2.737 m."""
    found = hours(f"{total},2,6,210,1.5,11,190", "2.5,2,6,210,1.5,11,190", head=PARTS)
    assert found.missing.tolist() == [missing, False]
    assert says(found, "less than the total height, 1 row: missing") == missing


def test_parts_beyond_the_total_are_kept_and_said() -> None:
    found = hours("2.2,2,6,210,1.5,11,190", "2.5,2,6,210,1.5,11,190", head=PARTS)
    assert found.missing.tolist() == [False, False]
    assert says(found, "more than the total height, 1 row: kept")


def test_a_short_swell_takes_the_form_of_a_wind_sea() -> None:
    found = hours("2.5,2,6,210,1.5,3.5,190", "2.5,2,6,210,1.5,11,190", head=PARTS)
    assert found.system_names == ("wind sea", "swell 1", "swell 1, below 4 s")
    np.testing.assert_allclose(found.batch.hs, 2.5)
    assert [slot.hs.tolist() for slot in found.batch.slots[1:]] == [[0.0, 1.5], [1.5, 0.0]]


def test_the_kind_of_period_is_asked_and_converted() -> None:
    """Tz of a two-parameter spectrum is 0.710371 Tp exactly (γ is 1 from Tp/√Hs 5)."""
    text = f"{HEAD.replace('tp_s', 'period_s')}\n2026-02-01T00:00Z,1,7.10371,200\n"
    with pytest.raises(ForecastQuestions) as asked:
        one(text)
    assert [question.key for question in asked.value.questions] == ["period_kind:period_s"]
    assert asked.value.questions[0].options == ("Tp", "Tz", "T1", "Te")
    assert one(text, period_kind="Tz").batch.slots[0].tp[0] == pytest.approx(10.0, rel=2e-6)  # type: ignore[union-attr]
    assert one(text, period_kind="Tp").batch.slots[0].tp[0] == 7.10371  # type: ignore[union-attr]
    with pytest.raises(FileError, match="one of Tp, Tz, T1, Te"):
        one(text, period_kind="Tm")


def test_unit_sense_and_direction_are_asked() -> None:
    text = "time,hs,tp,dir\n2026-02-01T00:00Z,10,9,20\n"
    with pytest.raises(ForecastQuestions) as asked:
        one(text)
    assert [question.key for question in asked.value.questions] == ["height_unit:hs", "direction_sense:dir"]
    found = one(text, height_unit="ft", direction_sense="to")
    assert found.batch.hs[0] == pytest.approx(3.048)
    assert found.batch.slots[0].direction_from[0] == 200.0
    without = "time_utc,hs_m,tp_s\n2026-02-01T00:00Z,1,9\n"
    with pytest.raises(ForecastQuestions, match="where do the waves come from"):
        one(without)
    assert one(without, direction_from=270.0).batch.slots[0].direction_from[0] == 270.0
    assert says(one(without, direction_from=270.0), "taken as 270° throughout")
    with pytest.raises(InputError, match="below 360"):
        one(without, direction_from=360.0)


@pytest.mark.parametrize(
    "head", ["when,how_high", "time_utc,tp_s", "hs_m,tp_s,mwd", "time_utc,shww,mpww,mdww"]
)
def test_what_cannot_be_known_by_name_is_to_be_mapped_by_hand(head: str) -> None:
    row = ",".join("1" for _ in head.split(","))
    with pytest.raises(ForecastQuestions) as asked:
        one(f"{head}\n{row}\n")
    keys = [question.key for question in asked.value.questions]
    assert keys
    assert set(keys) <= {"column:time", "column:waves"}
    assert len(keys) == len(set(keys))
    assert asked.value.questions[0].options == tuple(head.split(","))


def test_a_mapping_by_hand_reads_any_names_and_is_kept_in_json() -> None:
    text = "wann;hoehe;periode;woher;boeen\n2026-02-01 01:00;6,5;9,5;NNE;20\n2026-02-01 02:00;7,0;9,5;W;20\n"
    guess = suggest_mapping(text.encode())
    assert [meaning.quantity for meaning in guess.mapping.columns] == ["not used"] * 5
    assert guess.header == ("wann", "hoehe", "periode", "woher", "boeen")
    assert guess.preview[0] == ("2026-02-01 01:00", "6,5", "9,5", "NNE", "20")
    assert guess.questions
    mapping = ForecastMapping(
        (
            ColumnMeaning("wann", "time"),
            ColumnMeaning("hoehe", "height", unit="ft"),
            ColumnMeaning("periode", "period", unit="s", period_kind="Tp"),
            ColumnMeaning("woher", "direction", unit="deg", sense="from"),
        ),
        time_zone="+01:00",
    )
    again = decode(ForecastMapping, encode(mapping), "mapping")
    assert again == mapping
    found = one(text, again)
    assert str(found.times[0]) == "2026-02-01T00:00:00"
    np.testing.assert_allclose(found.batch.hs, [6.5 * 0.3048, 7.0 * 0.3048])
    assert found.batch.slots[0].direction_from.tolist() == [22.5, 270.0]
    assert says(found, "Columns not used: boeen.")


def test_a_mapping_that_does_not_fit_the_file_is_refused() -> None:
    text = f"{HEAD}\n2026-02-01T00:00Z,1,9,20\n"
    with pytest.raises(FileError, match="mapped column: 'swh'"):
        one(text, ForecastMapping((ColumnMeaning("swh", "height", unit="m"),)))
    twice = (ColumnMeaning("hs_m", "height", unit="m"), ColumnMeaning("tp_s", "height", unit="m"))
    with pytest.raises(FileError, match="hs_m gives it too"):
        one(text, ForecastMapping(twice))
    with pytest.raises(FileError, match="m or ft"):
        one(text, ForecastMapping((ColumnMeaning("hs_m", "height", unit="s"),)))
    with pytest.raises(InputError, match="each column once"):
        ForecastMapping((ColumnMeaning("hs_m"), ColumnMeaning("hs_m")))


@pytest.mark.parametrize(
    ("row", "column", "words"),
    [
        ("-1,9,20", "hs_m", "from 0 to 25"),
        ("25.1,9,20", "hs_m", "from 0 to 25"),
        ("1,-3,20", "tp_s", "from 0 to 60"),
        ("1,61,20", "tp_s", "from 0 to 60"),
        ("1,9,361", "direction_from_deg", "from 0 to 360"),
        ("1,9,-1", "direction_from_deg", "from 0 to 360"),
        ("1,9,NNE", "direction_from_deg", "a finite number"),
        ("calm,9,20", "hs_m", "a finite number"),
        ("inf,9,20", "hs_m", "a finite number"),
        ("1 m,9,20", "hs_m", "a finite number"),
    ],
)
def test_what_is_out_of_range_is_refused_with_its_place(row: str, column: str, words: str) -> None:
    with pytest.raises(FileError, match=words) as refused:
        hours("1,9,20", row, "1,9,20")
    assert refused.value.line == 3
    assert refused.value.column == column


def test_a_direction_of_360_is_north() -> None:
    assert hours("1,9,360", "1,9,0").batch.slots[0].direction_from.tolist() == [0.0, 0.0]


@pytest.mark.parametrize(
    ("head", "words"),
    [
        ("time_utc,hs_m,hs_ft,tp_s", "hs_m gives it too"),
        ("time_utc,hs_m,htsgw,tp_s", "hs_m gives it too"),
        ("# format: heave-forecast 9\ntime_utc,hs_m,tp_s,dir", "heave-forecast 1"),
    ],
)
def test_headers_that_say_two_things_are_refused(head: str, words: str) -> None:
    with pytest.raises(FileError, match=words):
        one(head + "\n2026-02-01T00:00Z,1,1,9\n")


def test_an_ensemble_is_read_on_common_times() -> None:
    head = HEAD.replace("time_utc", "time_utc,member") + ",wind_speed_m_per_s"
    rows = ["00:00Z,a,1", "01:00Z,a,2", "02:00Z,a,3", "02:00Z,b,6", "00:00Z,b,4"]
    text = "\n".join([head, *(f"2026-02-01T{row},9,100,{place}" for place, row in enumerate(rows))])
    found = read_forecast(text.encode())
    assert isinstance(found, EnsembleForecast)
    assert found.member_names == ("a", "b")
    assert found.size == 3
    np.testing.assert_array_equal(found.members[0].batch.hs, [1, 2, 3])
    np.testing.assert_array_equal(found.members[1].batch.hs, [4, np.nan, 6])
    for member, wind in zip(found.members, ([0, 1, 2], [4, np.nan, 3]), strict=True):
        assert member.wind_speed is not None
        np.testing.assert_array_equal(member.wind_speed, wind)
    assert found.members[1].step == 3600.0
    assert not found.members[1].gap_after.any()
    assert any("Missing, as only other members have them: 1 time." in note for note in found.notes)
    assert found.with_depth(80.0).members[1].batch.depth == 80.0


@pytest.mark.parametrize("row", [0, 1])
def test_the_sea_of_a_sample_is_the_sea_of_the_batch(row: int) -> None:
    found = hours("2.5,2,6,210,1.5,3.5,190", "2.5,2,6,210,1.5,11,190", head=PARTS, depth=80.0)
    ours = sum(part.ordinates[0] for part in found.batch.take(np.array([row])).spectra())
    np.testing.assert_allclose(found.sea_state(row).spectrum(), ours, rtol=2e-6, atol=1e-9)


def test_spectral_shapes_are_those_of_the_mapping() -> None:
    text = f"{HEAD}\n2026-02-01T00:00Z,4,11,200\n2026-02-01T01:00Z,0,,\n2026-02-01T02:00Z,4,26,200\n"
    guess = suggest_mapping(text.encode()).mapping
    for shape in ("jonswap", "two-parameter", "torsethaugen"):
        found = one(text, replace(guess, sea_shape=shape, sea_exponent=3.0))
        (system,) = found.sea_state(0).systems
        assert (system.shape, system.spreading_exponent) == (shape, 3.0)
        assert found.missing.tolist() == [False, False, shape == "torsethaugen"], "fitted to 25\u00a0s"
        assert np.isfinite(found.batch.spectra()[0].ordinates[:2]).all()
    mean = text.replace("tp_s", "tz_s").encode()
    with pytest.raises(FileError, match="Tp, for a Torsethaugen"):
        read_forecast(mean, replace(suggest_mapping(mean).mapping, sea_shape="torsethaugen"))
    swell = hours("2.5,2,6,210,1.5,11,190", head=PARTS).batch.slots[1]
    assert (swell.width, swell.spreading) == (0.01, "cos-n")  # type: ignore[union-attr]


def test_the_example_of_the_readme_is_read() -> None:
    readme = Path(__file__).resolve().parents[2] / "sea_states" / "README.md"
    example = readme.read_text(encoding="utf-8").split("```")[1].strip()
    found = one(example)
    assert found.system_names == ("wind sea", "swell 1")
    assert found.step == 3 * 3600.0
    assert not found.missing.any()


def test_one_member_alone_is_a_forecast() -> None:
    head = HEAD.replace("time_utc", "time_utc,number")
    assert one(f"{head}\n2026-02-01T00:00Z,0,1,9,100\n2026-02-01T01:00Z,0,1,9,100\n").size == 2


def test_water_depth_goes_with_the_seas() -> None:
    assert hours("1,9,20", depth=60.0).batch.depth == 60.0
    assert hours("1,9,20").with_depth(60.0).sea_state(0).depth == 60.0
    with pytest.raises(InputError, match="depth"):
        hours("1,9,20", depth=1.0)
