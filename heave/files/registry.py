"""Every column a table may have: names understood, units, range, marks of missing values, and where it goes.

A column of a string, a heave record or a response table is one `Column`, its units taken from `heave.units`. The
columns of a forecast hold a few quantities, whose units stand in `heave.planning.columns`, since a plan keeps what
its forecast's columns mean; what is believed of each and every name it may go by stand here.

Names of forecast columns, all in lower case:

- ours: `hs_m`, `tp_s`, `direction_from_deg`, with `wind_sea_`, `swell_`, `swell1_` … in front;
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

from heave.files.columns import Column, number_headers, text_column
from heave.planning.columns import UNITS_OF, ColumnMeaning
from heave.sea.arguments import MAX_HS
from heave.units import unit_written
from heave.vessel.response_table import MAX_HEAVE

STRING: Final = (
    text_column("name"),
    Column("length", number_headers("length", "m", "ft"), above=0.0, high=15_000.0),
    Column("od", number_headers("od", "mm", "in"), low=0.02, high=0.6, goes="outer_diameter"),
    Column("id", number_headers("id", "mm", "in"), low=0.0, high=0.6, goes="inner_diameter"),
    Column(
        "mass",
        number_headers("mass", "kg/m", "lb/ft") | number_headers("weight", "lb/ft"),
        low=1.0,
        high=2000.0,
        goes="linear_mass",
    ),
    Column(
        "yield",
        number_headers("yield", "MPa", "ksi"),
        required=False,
        low=1e8,
        high=2e9,
        goes="yield_strength",
    ),
    text_column("grade", required=False),
    Column(
        "tension_area",
        number_headers("tension_area", "cm²", "in²"),
        required=False,
        missing=True,
        above=0.0,
        high=0.3,
        goes="tensile_area",
    ),
    Column(
        "modulus",
        number_headers("modulus", "GPa", "Mpsi"),
        False,
        low=5e10,
        high=2.5e11,
        goes="youngs_modulus",
    ),
)
"""Of a drill string; `goes` is the field of `Section`."""

HEAVE_RECORD: Final = (
    Column("time", number_headers("time", "s", "min"), required=False),
    text_column("time_utc", required=False),
    Column("heave", number_headers("heave", "m", "ft"), required=False, missing=True, low=-30.0, high=30.0),
    Column(
        "heave_down",
        number_headers("heave_down", "m", "ft"),
        required=False,
        missing=True,
        low=-30.0,
        high=30.0,
    ),
)

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
    Column("period", number_headers("period", "s"), required=False, low=0.5, high=700.0),
    Column("omega", number_headers("omega", "rad/s"), required=False, low=0.009, high=12.6),
    Column("frequency", {"frequency_hz": 2 * math.pi}, required=False, low=0.009, high=12.6),
    Column("heading", {"heading_deg": 1.0}, low=0.0, high=360.0),
    Column("heave", {"heave_m_per_m": 1.0, "heave_ft_per_ft": 1.0}, low=0.0, high=MAX_HEAVE),
    *(_phase("heave"), _rotation("roll"), _phase("roll"), _rotation("pitch"), _phase("pitch")),
)

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
}
"""Least and most believed [SI], and the numbers that mark a missing value, in the file's own unit."""


@lru_cache(maxsize=2000)
def forecast_column(meaning: ColumnMeaning) -> Column:
    """How the numbers of a forecast's column are read."""
    low, high, nines = _BELIEVED[meaning.quantity]
    unit = None if meaning.quantity == "direction" else unit_written(meaning.unit)  # degrees inside as well
    marks: tuple[float | str, ...] = (*MISSING_WORDS, *_FILLS, *_FILLS_LARGE, *nines)
    headers = {meaning.column: unit.factor if unit else 1.0}
    return Column(meaning.column, headers, missing=True, sentinels=marks, low=low, high=high)


def _meanings(quantity: str, names: Mapping[tuple[str, str | None], str]) -> dict[str, ColumnMeaning]:
    """Meaning of each of the `names` of (system, what it says): a unit, a kind of period, or a direction's sense."""
    units = UNITS_OF[quantity]
    found: dict[str, ColumnMeaning] = {}
    for (system, said), words in names.items():
        unit = units[0] if len(units) == 1 else said or ""
        kind, sense = (said if quantity == of else None for of in ("period", "direction"))
        found |= {word: ColumnMeaning("", quantity, system, unit, kind, sense) for word in words.split()}
    return found


_OWN: Final = {
    "": "total",
    "total_": "total",
    "wind_sea_": "wind sea",
    "windsea_": "wind sea",
    "swell_": "swell",
} | {stem: f"swell {n}" for n in (1, 2, 3) for stem in (f"swell{n}_", f"swell_{n}_")}
_CF: Final = {
    "sea_surface_wave": "total",
    "sea_surface_wind_wave": "wind sea",
    "sea_surface_swell_wave": "swell",
    "sea_surface_primary_swell_wave": "swell 1",
    "sea_surface_secondary_swell_wave": "swell 2",
    "sea_surface_tertiary_swell_wave": "swell 3",
}
_CF_MEAN: Final = "mean_period_from_variance_spectral_density"
_STEMMED: Final[tuple[tuple[Mapping[str, str], str, Mapping[str | None, str]], ...]] = (
    (_OWN, "height", {"": "hs hm0 significant_wave_height height"}),
    (_OWN, "period", {"Tp": "tp", "Tz": "tz tm02", "T1": "t1 tm01", "Te": "te", None: "period"}),
    (_OWN, "direction", {"from": "direction_from", "to": "direction_to", None: "direction dir"}),
    (_CF, "height", {"m": "_significant_height"}),
    (
        _CF,
        "period",
        {
            "Tp": "_period_at_variance_spectral_density_maximum",
            "Tz": f"_zero_upcrossing_period _{_CF_MEAN}_second_frequency_moment",
            "T1": f"_{_CF_MEAN}_first_frequency_moment",
            "Te": f"_{_CF_MEAN}_inverse_frequency_moment",
            None: "_mean_period _period",
        },
    ),
    (
        _CF,
        "direction",
        {
            "from": "_from_direction _from_direction_at_variance_spectral_density_maximum",
            "to": "_to_direction",
        },
    ),
)
"""Names made of a stem that says which waves and a word that says what of them."""

_SHORT: Final[Mapping[str, Mapping[tuple[str, str | None], str]]] = {
    "height": {
        ("total", "m"): "swh htsgw",
        ("wind sea", "m"): "shww wvhgt",
        ("swell", "m"): "shts swell",
        **{(f"swell {n}", "m"): f"swh{n} swell_{n}" for n in (1, 2, 3)},
    },
    "period": {
        **{("total", "Tp"): "pp1d", ("total", "Te"): "mwp", ("total", "T1"): "mp1", ("total", "Tz"): "mp2"},
        **{("wind sea", "Te"): "mpww", ("wind sea", "T1"): "p1ww", ("wind sea", "Tz"): "p2ww"},
        **{("swell", "Te"): "mpts", ("swell", "T1"): "p1ps", ("swell", "Tz"): "p2ps"},
        **{("total", None): "perpw mwsper imwf", ("wind sea", None): "wvper", ("swell", None): "swper"},
        **{(f"swell {n}", "Te"): f"mwp{n}" for n in (1, 2, 3)},
        **{(f"swell {n}", None): f"swper_{n}" for n in (1, 2, 3)},
    },
    "direction": {
        ("total", "from"): "mwd dirpw wwsdir",
        ("wind sea", "from"): "mdww wvdir",
        ("swell", "from"): "mdts swdir",
        **{(f"swell {n}", "from"): f"mwd{n} swdir_{n}" for n in (1, 2, 3)},
    },
    "wind speed": {
        ("total", "m/s"): "wind_speed wind_speed_m_per_s 10si wind",
        ("total", ""): "wspd windspeed",
    },
}

_PLAIN: Final = {
    "time": "time_utc valid_time time datetime timestamp",
    "date": "date",
    "clock": "clock hour_minute",
    "member": "member ensemble_member realization number",
}


def _general() -> dict[str, ColumnMeaning]:
    found: dict[str, ColumnMeaning] = {}
    for stems, quantity, words in _STEMMED:
        for stem, system in stems.items():
            names = {
                (system, said): " ".join(stem + w for w in list_.split()) for said, list_ in words.items()
            }
            found |= _meanings(quantity, names)
    for quantity, short in _SHORT.items():
        found |= _meanings(quantity, short)
    plain = {
        word: ColumnMeaning("", quantity) for quantity, words in _PLAIN.items() for word in words.split()
    }
    return found | plain


GENERAL: Final = _general()
"""Meaning by name, for files that are not in a buoy centre's layout."""

NDBC: Final = {
    **{name: ColumnMeaning("", name) for name in ("year", "month", "day", "hour", "minute")},
    **_meanings("height", {("total", "m"): "wvht", ("swell", "m"): "swh", ("wind sea", "m"): "wwh"}),
    **_meanings("period", {("total", "Tp"): "dpd", ("swell", "Tp"): "swp", ("wind sea", "Tp"): "wwp"}),
    **_meanings("period", {("total", "Tz"): "apd"}),
    **_meanings(
        "direction", {("total", "from"): "mwd", ("swell", "from"): "swd", ("wind sea", "from"): "wwd"}
    ),
    **_meanings("wind speed", {("total", "m/s"): "wspd"}),
}
"""Meaning by name in the buoy centre's layout, whose time columns the reader has named."""
