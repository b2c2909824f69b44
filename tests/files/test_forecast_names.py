"""Columns of the open conventions, each read to the number its convention means.

Sources: CF standard name table; ECMWF parameter database (mwp, mpww and mpts are periods T(−1,0); mp1 Tm01; mp2
Tm02); WMO GRIB2 code table 4.2-10-0; NDBC "Measurement descriptions and units". All from memory.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from heave.errors import FileError
from heave.files.forecast.names import column_meaning, meaning_of, not_used
from heave.files.forecast.questions import ForecastQuestions, suggest_mapping
from heave.files.forecast.reader import read_forecast
from heave.files.registry import GENERAL, NDBC
from heave.planning.columns import UNITS_OF
from heave.sea.periods import period_ratio
from heave.weather.forecast import EnsembleForecast, Forecast

SUMMARY = Path(__file__).resolve().parents[2].parent / "shared" / "data" / "ndbc_41010.spec"


def one(text: str, **more: str) -> Forecast:
    found = read_forecast(text.encode(), **({"time_zone": "UTC"} | more))  # type: ignore[arg-type]
    assert isinstance(found, Forecast)
    return found


def systems(found: Forecast, row: int = 0) -> dict[str, tuple[float, float, float]]:
    return {s.label: (s.hs, s.tp, s.direction_from) for s in found.sea_state(row).systems}


def test_every_name_is_lower_case_and_has_units_that_fit() -> None:
    for names in (GENERAL, NDBC):
        for name, meaning in names.items():
            assert name == name.lower()
            assert meaning.unit == "" or meaning.unit in UNITS_OF[meaning.quantity]
            assert (meaning.period_kind is None) or meaning.quantity == "period"
            assert (meaning.sense is None) or meaning.quantity == "direction"


def test_cf_standard_names() -> None:
    wave, wind, swell = "sea_surface_wave", "sea_surface_wind_wave", "sea_surface_primary_swell_wave"
    peak = "period_at_variance_spectral_density_maximum"
    sea = f"{wind}_significant_height,{wind}_{peak},{wind}_from_direction"
    far = f"{swell}_significant_height (m),{swell}_{peak} [s],{swell}_from_direction"
    head = f"time,{sea},{far},{wave}_significant_height,wind_speed"
    found = one(f"{head}\n2026-02-01T00:00Z,2,6,210,1.5,11,190,2.5,12\n")
    assert systems(found) == {"wind sea": (2, 6, 210), "swell 1": (1.5, 11, 190)}
    assert found.wind_speed is not None
    assert found.wind_speed[0] == 12.0


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("sea_surface_wave_period_at_variance_spectral_density_maximum", "Tp"),
        ("sea_surface_wave_zero_upcrossing_period", "Tz"),
        ("sea_surface_wave_mean_period_from_variance_spectral_density_second_frequency_moment", "Tz"),
        ("sea_surface_wave_mean_period_from_variance_spectral_density_first_frequency_moment", "T1"),
        ("sea_surface_wave_mean_period_from_variance_spectral_density_inverse_frequency_moment", "Te"),
        *(("pp1d", "Tp"), ("mwp", "Te"), ("mp1", "T1"), ("mp2", "Tz")),
        *(("tp_s", "Tp"), ("tz_s", "Tz"), ("tm02", "Tz"), ("t1_s", "T1"), ("tm01", "T1"), ("te_s", "Te")),
    ],
)
def test_the_kind_a_name_states_is_the_kind_used(name: str, kind: str) -> None:
    """Hs 1 m with 8 s is beyond Tp/√Hs 5, so the peak period is the two-parameter ratio away."""
    found = one(f"valid_time,swh,{name},mwd\n2026-02-01T00:00Z,1,8,200\n")
    assert found.batch.slots[0].tp[0] == pytest.approx(8 / float(period_ratio(kind, 1.0)), rel=1e-6)  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("name", "system", "kind"),
    [
        *(("mpww", "wind sea", "Te"), ("p1ww", "wind sea", "T1"), ("p2ww", "wind sea", "Tz")),
        *(("mpts", "swell", "Te"), ("p1ps", "swell", "T1"), ("p2ps", "swell", "Tz")),
        *((f"mwp{n}", f"swell {n}", "Te") for n in (1, 2, 3)),
        *(
            ("swp", None, None),
            ("wvper", "wind sea", None),
            ("swper", "swell", None),
            ("imwf", "total", None),
        ),
    ],
)
def test_the_kind_each_short_name_of_a_part_states(name: str, system: str | None, kind: str | None) -> None:
    meaning = meaning_of(name, GENERAL)
    assert (meaning.system if meaning else None, meaning.period_kind if meaning else None) == (system, kind)


def test_a_direction_to_is_turned() -> None:
    found = one(
        "time,swh,pp1d,sea_surface_wave_to_direction\n2026-02-01T00:00Z,1,8,200\n2026-02-01T01:00Z,1,8,20\n"
    )
    assert found.batch.slots[0].direction_from.tolist() == [20.0, 200.0]


def test_ecmwf_short_names_with_members() -> None:
    head = "number,time,step,valid_time,swh,mwp,mwd,pp1d,shww,mpww,mdww,shts,mpts,mdts,10si"
    row = "2026-01-31,24,2026-02-01 00:00:00,2.5,8,200,9,2.0,6,210,1.5,11,190,14"
    found = read_forecast(f"{head}\n0,{row}\n1,{row}\n".encode(), time_zone="UTC")
    assert isinstance(found, EnsembleForecast)
    assert found.member_names == ("0", "1")
    assert str(found.times[0]) == "2026-02-01T00:00:00", "valid time, not the time of the run"
    assert found.members[1].system_names == ("wind sea", "swell")
    np.testing.assert_allclose([slot.hs[0] for slot in found.members[1].batch.slots], [2.0, 1.5])


def test_ecmwf_swell_partitions_before_total_swell() -> None:
    head = "valid_time,shww,mpww,mdww,shts,mpts,mdts,swh1,mwp1,mwd1,swh2,mwp2,mwd2"
    found = one(f"{head}\n2026-02-01T00:00Z,2,6,210,1.5,11,190,1.2,11,190,0.9,14,280\n")
    assert found.system_names == ("wind sea", "swell 1", "swell 2")


SEA = "valid_time,wind_sea_hs_m,wind_sea_tp_s,wind_sea_direction_from_deg"


@pytest.mark.parametrize(
    "swells",
    [
        "swell_hs_m,swell_tp_s,swell_direction_from_deg,swell2_hs_m,swell2_tp_s,swell2_direction_from_deg",
        "swell1_hs_m,swell1_tp_s,swell1_direction_from_deg,swell3_hs_m,swell3_tp_s,swell3_direction_from_deg",
        "swell1_hs_m,swell1_tp_s,swell1_direction_from_deg,swell2_hs_m,swell2_direction_from_deg,other",
    ],
)
def test_no_swell_drops_out_of_sight(swells: str) -> None:
    """A swell 2 or 3 that cannot be placed is asked about, the total being one answer where there is one."""
    row = "2026-02-01T00:00Z,2,6,210,1.5,11,190,0.9,14,280"
    with pytest.raises(ForecastQuestions) as asked:
        one(f"{SEA},{swells}\n{row}\n")
    assert [question.key for question in asked.value.questions] == ["column:waves"]
    text = f"{SEA},{swells},hs_m,tp_s,direction_from_deg\n{row},2.7,7,205\n".encode()
    with pytest.raises(ForecastQuestions) as unsure:
        read_forecast(text)
    assert "composition" in [question.key for question in unsure.value.questions]
    mapping = replace(unsure.value.mapping, composition="total", unknown=())
    found = read_forecast(text, mapping)
    assert isinstance(found, Forecast)
    assert systems(found) == {"total sea": (2.7, 7.0, 205.0)}


def test_total_swell_stands_in_for_partitions_without_a_period() -> None:
    found = one(f"{SEA},shts,pp1d,mdts,mpts,swh1\n2026-02-01T00:00Z,2,6,210,1.5,9,190,11,1.2\n")
    assert found.system_names == ("wind sea", "swell")


def test_the_surer_of_two_periods_is_used() -> None:
    found = one("valid_time,swh,mwp,pp1d,mwd\n2026-02-01T00:00Z,1,8,9,200\n")
    assert systems(found)["total sea"][1] == 9.0
    assert "Columns not used: mwp." in found.notes


def test_grib2_abbreviations_ask_which_period_they_hold() -> None:
    head = "valid_time HTSGW PERPW DIRPW WVHGT WVPER WVDIR SWELL SWPER SWDIR WIND"
    text = f"{head}\n2026-02-01T00:00Z 2.5 9 200 2.0 6 210 1.5 11 190 12\n"
    with pytest.raises(ForecastQuestions) as asked:
        one(text)
    assert [question.key for question in asked.value.questions] == ["period_kind:wvper", "period_kind:swper"]
    found = one(text, period_kind="Tp")
    assert systems(found) == {"wind sea": (2, 6, 210), "swell": (1.5, 11, 190)}
    assert replace(asked.value.mapping, time_zone="") == suggest_mapping(text.encode()).mapping


METEOROLOGICAL = """#YY  MM DD hh mm WDIR WSPD GST  WVHT   DPD   APD MWD   PRES  ATMP  WTMP  DEWP  VIS PTDY  TIDE
#yr  mo dy hr mn degT m/s  m/s     m   sec   sec degT   hPa  degC  degC  degC  nmi  hPa    ft
2026 01 01 01 00 190  9.0 11.0    MM    MM    MM  MM 1012.1  10.0  11.0   8.0   MM   MM    MM
2026 01 01 00 50 200  8.0 10.0   2.1    10   6.1 225 1012.1  10.0  11.0   8.0   MM   MM    MM
2025 12 31 23 50 200  7.0  9.0    MM    MM    MM  MM 1012.3  10.0  11.0   8.0   MM   MM    MM
2025 12 31 23 00 200  7.0  9.0    MM    MM    MM  MM 1012.3  10.0  11.0   8.0   MM   MM    MM
2025 12 31 22 50 200  6.0  8.0   1.9     9   5.9 220 1012.3  10.0  11.0   8.0   MM   MM    MM
"""


def test_ndbc_meteorological_file() -> None:
    """Rows at :00 never hold waves in this file and are wind only; the one at 23:50 should, and is missing."""
    found = one(METEOROLOGICAL)
    assert [str(time)[:16] for time in found.times] == [
        "2025-12-31T22:50",
        "2025-12-31T23:50",
        "2026-01-01T00:50",
    ]
    assert found.missing.tolist() == [False, True, False]
    assert systems(found, 2) == {"total sea": (2.1, 10.0, 225.0)}
    assert found.wind_speed is not None
    assert found.wind_speed.tolist() == [6.0, 7.0, 8.0]
    assert any("minutes without wave records: 2 rows" in note for note in found.notes)


def test_ndbc_yearly_file_of_the_nineties() -> None:
    text = "YY MM DD hh WD   WSPD GST  WVHT  DPD   APD  MWD  BAR\n98 12 31 23 200 7.0 9.0 1.90 99.00 5.90 999 1012\n"
    text += "99 01 01 00 200 7.0 9.0 1.90 9.00 5.90 200 1012\n"
    found = one(text)
    assert [str(time)[:13] for time in found.times] == ["1998-12-31T23", "1999-01-01T00"]
    assert found.missing.tolist() == [True, False]


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("  m   sec", "  ft  sec", "m for wvht"),
        ("hPa    ft\n", "hPa\n", "19 units"),
        ("2026 01 01 00 50", "2026 01 32 00 50", "'2026 01 32 00 50'"),
        ("2026 01 01 00 50", "26 01 01 00 50", "'26 01 01 00 50'"),
        ("   2.1 ", "   2.1 7 ", "19 cells"),
        ("   2.1 ", "  -2.1 ", "from 0 to 25"),
    ],
)
def test_ndbc_files_that_are_not_so_are_refused(old: str, new: str, words: str) -> None:
    assert old in METEOROLOGICAL
    with pytest.raises(FileError, match=words) as refused:
        one(METEOROLOGICAL.replace(old, new, 1))
    assert refused.value.line is not None


@pytest.mark.skipif(not SUMMARY.is_file(), reason="the open buoy data are not beside this checkout")
def test_ndbc_wave_summary() -> None:
    """Station 41010, June 2020: its last record prints WVHT 1.1, SwH 1.0 5.6 s SSW, WWH 0.5 3.6 s SE."""
    found = read_forecast(SUMMARY)
    assert isinstance(found, Forecast)
    assert str(found.times[-1]) == "2020-06-08T03:40:00"
    assert systems(found, found.size - 1) == {"wind sea": (0.5, 3.6, 135.0), "swell": (1.0, 5.6, 202.5)}
    printed = [line.split() for line in SUMMARY.read_text().splitlines() if not line.startswith("#")]
    heights = {"{}-{}-{}T{}:{}".format(*row[:5]): float(row[5]) for row in printed}
    known = ~found.missing
    total = np.array([heights[str(time)[:16]] for time in found.times])
    assert known.mean() > 0.9
    assert np.max(np.abs(found.batch.hs - total)[known]) <= 0.16, "three heights each rounded to 0.1 m"


@pytest.mark.parametrize(
    ("header", "quantity", "unit"),
    [
        ("Hs (m)", "height", "m"),
        ("hs [ft]", "height", "ft"),
        ("Significant wave height (m)", "height", "m"),
        ("wind speed (knots)", "wind speed", "kn"),
        ("wind_speed_km_per_h", "wind speed", "km/h"),
        ("Swell-1 Hs (m)", "height", "m"),
        ("swell2_tp_s", "period", "s"),
        ("direction_from (degT)", "direction", "deg"),
    ],
)
def test_units_in_brackets_or_at_the_end(header: str, quantity: str, unit: str) -> None:
    meaning = column_meaning(header.lower(), False)
    assert meaning is not None
    assert (meaning.quantity, meaning.unit) == (quantity, unit)


@pytest.mark.parametrize(
    "header", ["hs_km", "hs (fathoms)", "tp_m", "hs_kn", "wave", "swell9_hs_m", "time (m)"]
)
def test_names_that_are_not_known_or_do_not_fit_are_left_alone(header: str) -> None:
    assert meaning_of(header, GENERAL) is None
    assert header == "time (m)" or column_meaning(header, False) in (None, not_used(header))
