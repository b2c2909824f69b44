"""Every column a table may have: names understood, units, range, marks of missing values, and where it goes.

A column of a string, a heave record or a response table is one `Column`, its units taken from `heave.units`. The
columns of a forecast hold a few quantities, whose units stand in `heave.planning.columns`, since a plan keeps what
its forecast's columns mean; what is believed of each and every name it may go by stand here.

Names of forecast columns, all in lower case:

- ours: `hs_m`, `tp_s`, `direction_from_deg`, with `wind_sea_`, `swell_`, `swell1_` … in front, are understood by their
  words (`heave.files.forecast.words`), and stand in no list here;
- CF standard names, sea_surface_wave_… (CF standard name table, cfconventions.org, from memory);
- ECMWF short names, swh, mwp, pp1d … (ECMWF parameter database, from memory): the mean periods mwp, mpww,
  mpts and those of the swell partitions are energy periods T(−1,0); mp1, p1ww, p1ps are Tm01 and mp2, p2ww,
  p2ps are Tm02; directions are where waves come from;
- GRIB2 abbreviations of WMO code table 4.2-10-0, HTSGW, PERPW, DIRPW … (from memory). The table calls PERPW,
  WVPER and SWPER mean periods and many models put peak periods there, so the kind is asked;
- NDBC standard meteorological and spectral wave summary files, WVHT, DPD, APD … (NDBC, "Measurement
  descriptions and units", from memory): DPD, SwP and WWP are peak periods, APD is Tm02, directions are from.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import lru_cache
from typing import Final

from heave.drill_string.sections import LARGEST_TUBE
from heave.files.columns import Column, number_column, text_column
from heave.files.tables import TIME_NAMES
from heave.planning.columns import UNITS_OF, ColumnMeaning
from heave.sea.arguments import MAX_HS
from heave.units import unit_written
from heave.vessel.response_table import MAX_HEAVE

STRING: Final = (
    text_column("name"),
    number_column("length", "m ft", above=0.0, high=15_000.0),
    number_column("od", "mm in", low=0.02, high=LARGEST_TUBE, goes="outer_diameter"),
    number_column("id", "mm in", low=0.0, high=LARGEST_TUBE, goes="inner_diameter"),
    number_column("mass", "kg/m lb/ft", low=1.0, high=2000.0, goes="linear_mass", other={"weight": "lb/ft"}),
    number_column("yield", "MPa ksi", required=False, low=1e8, high=2e9, goes="yield_strength"),
    text_column("grade", required=False),
    number_column(
        "tension_area", "cm² in²", required=False, missing=True, above=0.0, high=0.3, goes="tensile_area"
    ),
    number_column("modulus", "GPa Mpsi", required=False, low=5e10, high=2.5e11, goes="youngs_modulus"),
)
"""Of a drill string; `goes` is the field of `Section`."""

HEAVE_RECORD: Final = (
    number_column("time", "s min", required=False),
    text_column("time_utc", required=False),
    number_column("heave", "m ft", required=False, missing=True, low=-30.0, high=30.0),
    number_column("heave_down", "m ft", required=False, missing=True, low=-30.0, high=30.0),
)

DENSITY: Final = Column(
    "spectral density", {"m²/Hz": 1.0}, True, True, ("MM", 999.0, 9999.0, -999.0, -99.0), low=0.0, high=900.0
)
"""In a band of a buoy's spectrum; a record of 9.999, 99 or 99.99 throughout is missing too."""

_ANGLES: Final = {"deg": math.pi / 180, "rad": 1.0}


def _rotation(name: str) -> Column:
    """Per metre of wave amplitude, or per unit of wave slope."""
    per_metre = {f"{name}_{unit}_per_m": factor for unit, factor in _ANGLES.items()}
    per_slope = {f"{name}_{unit}_per_{unit}": 1.0 for unit in _ANGLES}
    return Column(name, {**per_metre, **per_slope}, low=0.0, high=50.0)


def _phase(name: str) -> Column:
    headers = {f"{name}_phase_{unit}": factor for unit, factor in _ANGLES.items()}
    return Column(f"{name}_phase", headers, low=-4 * math.pi - 1e-9, high=4 * math.pi + 1e-9)


RESPONSE: Final = (
    number_column("period", "s", required=False, low=0.5, high=700.0),
    number_column("omega", "rad/s", required=False, low=0.009, high=12.6),
    Column("frequency", {"frequency_hz": 2 * math.pi}, required=False, low=0.009, high=12.6),
    Column("heading", {"heading_deg": 1.0}, low=0.0, high=360.0),
    number_column("heave", "m/m ft/ft", low=0.0, high=MAX_HEAVE),
    *(_phase("heave"), _rotation("roll"), _phase("roll"), _rotation("pitch"), _phase("pitch")),
)

_CLOCKWISE: Final = (
    *("N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE"),
    *("S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"),
)
POINTS: Final = {name: place * 22.5 for place, name in enumerate(_CLOCKWISE)}
"""The sixteen compass points in degrees."""

MISSING_WORDS: Final[tuple[str, ...]] = (
    *("MM", "mm", "NaN", "nan", "NAN", "NA", "na", "N/A", "n/a", "NULL", "null", "None", "none"),
    *("-", "--", "---", "*", "**", "***", "missing", "Missing"),
)
"""Words that mean a value of a forecast is missing, as an empty cell does."""

_FILLS: Final = (-9.0, -99.0, -99.9, -999.0, -999.9, -9999.0, -32767.0, -32768.0, 9999.0, 32767.0)
_FILLS_LARGE: Final = (9.999e20, 1e20, 9.96921e36, 99999.0, 999999.0)
_NINES: Final = (99.0, 99.9, 99.99, 999.0)
_BELIEVED: Final[Mapping[str, tuple[float, float, tuple[float, ...]]]] = {
    "height": (0.0, MAX_HS, _NINES),
    "period": (0.0, 60.0, _NINES),
    "direction": (0.0, 360.0, (999.0, 999.9)),  # 99 is a direction like any other
    "wind speed": (0.0, 120.0, _NINES),
    "gust": (0.0, 150.0, _NINES),
    "current": (0.0, 10.0, _NINES),
    "tide": (-20.0, 20.0, _NINES),
    "wind direction": (0.0, 360.0, (999.0, 999.9)),
    "current direction": (0.0, 360.0, (999.0, 999.9)),
}
"""Least and most believed [SI], and the numbers that mark a missing value, in the file's own unit."""


@lru_cache(maxsize=2000)
def forecast_column(meaning: ColumnMeaning) -> Column:
    """How the numbers of a forecast's column are read."""
    low, high, nines = _BELIEVED[meaning.quantity]
    unit = None if meaning.unit == "deg" else unit_written(meaning.unit)  # degrees inside as well
    nines = () if meaning.unit == "cm" else nines  # 99 and 999 cm are seas like any other
    marks: tuple[float | str, ...] = (*MISSING_WORDS, *_FILLS, *_FILLS_LARGE, *nines)
    headers = {meaning.column: unit.factor if unit else 1.0}
    return Column(meaning.column, headers, missing=True, sentinels=marks, low=low, high=high)


_Names = tuple[tuple[str, str, str | None, str], ...]
_SWELLS: Final = (1, 2, 3)


def _meanings(*names: tuple[str, str, str | None, str]) -> dict[str, ColumnMeaning]:
    """Meaning of each name: quantity, system, and what it says: a unit, a kind of period, a direction's sense."""
    found: dict[str, ColumnMeaning] = {}
    for quantity, system, said, words in names:
        units = UNITS_OF.get(quantity, ("",))
        unit = units[0] if len(units) == 1 else said or ""
        kind, sense = (said if quantity == of else None for of in ("period", "direction"))
        found |= {word: ColumnMeaning("", quantity, system, unit, kind, sense) for word in words.split()}
    return found


def _stemmed(stems: Mapping[str, str], *words: tuple[str, str | None, str]) -> _Names:
    """Names made of a stem that says which waves, and words that say what of them."""
    return tuple(
        (quantity, system, said, " ".join(stem + end for end in ends.split()))
        for stem, system in stems.items()
        for quantity, said, ends in words
    )


_MOMENT: Final = "mean_period_from_variance_spectral_density"
_CF: Final = _stemmed(
    {
        "sea_surface_wave_": "total",
        "sea_surface_wind_wave_": "wind sea",
        "sea_surface_swell_wave_": "swell",
        "sea_surface_primary_swell_wave_": "swell 1",
        "sea_surface_secondary_swell_wave_": "swell 2",
        "sea_surface_tertiary_swell_wave_": "swell 3",
    },
    ("height", "m", "significant_height"),
    ("period", "Tp", "period_at_variance_spectral_density_maximum"),
    ("period", "Tz", f"zero_upcrossing_period {_MOMENT}_second_frequency_moment"),
    ("period", "T1", f"{_MOMENT}_first_frequency_moment"),
    ("period", "Te", f"{_MOMENT}_inverse_frequency_moment"),
    ("period", None, "mean_period period"),
    ("direction", "from", "from_direction from_direction_at_variance_spectral_density_maximum"),
    ("direction", "to", "to_direction"),
)

GENERAL: Final = _meanings(
    *_CF,
    ("time", "total", None, "time_utc valid_time time datetime timestamp"),
    ("date", "total", None, "date"),
    ("clock", "total", None, "clock hour_minute"),
    ("member", "total", None, "member ensemble_member realization number"),
    ("wind speed", "total", "m/s", "wind_speed_m_per_s 10si"),
    ("wind speed", "total", "", "wspd windspeed wind_speed wind"),
    ("gust", "total", "m/s", "gust_speed gust_m_per_s gust_speed_m_per_s wind_speed_of_gust"),
    ("gust", "total", "", "gust wind_gust"),
    ("current", "total", "m/s", "current_speed current_speed_m_per_s sea_water_speed"),
    ("tide", "total", "m", "tide_m tide_height_m"),
    ("tide", "total", "", "tide tide_height"),
    ("height", "total", "m", "swh htsgw"),
    ("height", "wind sea", "m", "shww wvhgt"),
    ("height", "swell", "m", "shts swell"),
    *(("height", f"swell {n}", "m", f"swh{n} swell_{n}") for n in _SWELLS),
    *(("period", "total", "Tp", "pp1d"), ("period", "total", "Te", "mwp"), ("period", "total", "T1", "mp1")),
    *(("period", "total", "Tz", "mp2"), ("period", "total", None, "perpw mwsper imwf")),
    *(("period", "wind sea", "Te", "mpww"), ("period", "wind sea", "T1", "p1ww")),
    *(("period", "wind sea", "Tz", "p2ww"), ("period", "wind sea", None, "wvper")),
    *(("period", "swell", "Te", "mpts"), ("period", "swell", "T1", "p1ps")),
    *(("period", "swell", "Tz", "p2ps"), ("period", "swell", None, "swper")),
    *(("period", f"swell {n}", "Te", f"mwp{n}") for n in _SWELLS),
    *(("period", f"swell {n}", None, f"swper_{n}") for n in _SWELLS),
    ("direction", "total", "from", "mwd dirpw wwsdir"),
    ("direction", "wind sea", "from", "mdww wvdir"),
    ("direction", "swell", "from", "mdts swdir"),
    *(("direction", f"swell {n}", "from", f"mwd{n} swdir_{n}") for n in _SWELLS),
)
"""Meaning by name, for files that are not in a buoy centre's layout."""

OF_CONVENTION: Final = {"wind_speed": "sea_surface_", "wind": "htsgw"}
"""Names of a wind speed in m/s where another column's name shows that the file keeps to the convention they are of."""

NDBC: Final = _meanings(
    *((name, "total", None, name) for name in TIME_NAMES),
    *(("height", "total", "m", "wvht"), ("height", "swell", "m", "swh"), ("height", "wind sea", "m", "wwh")),
    *(
        ("period", "total", "Tp", "dpd"),
        ("period", "swell", "Tp", "swp"),
        ("period", "wind sea", "Tp", "wwp"),
    ),
    *(("period", "total", "Tz", "apd"), ("direction", "total", "from", "mwd")),
    *(("direction", "swell", "from", "swd"), ("direction", "wind sea", "from", "wwd")),
    ("wind speed", "total", "m/s", "wspd"),
    ("wind direction", "total", None, "wdir wd"),
)
"""Meaning by name in the buoy centre's layout, whose time columns the reader has named."""
