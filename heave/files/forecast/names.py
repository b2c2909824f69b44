"""Names of forecast columns that mean one thing: our own headers and those of the open conventions.

- Ours: `hs_m`, `tp_s`, `direction_from_deg`, with `wind_sea_`, `swell_`, `swell1_` … in front.
- CF standard names, sea_surface_wave_… (CF standard name table, cfconventions.org, from memory).
- ECMWF short names, swh, mwp, pp1d … (ECMWF parameter database, from memory): the mean periods mwp, mpww,
  mpts and those of the swell partitions are energy periods T(−1,0); mp1, p1ww, p1ps are Tm01 and mp2, p2ww,
  p2ps are Tm02; directions are where waves come from.
- GRIB2 abbreviations of WMO code table 4.2-10-0, HTSGW, PERPW, DIRPW … (from memory). The table calls PERPW,
  WVPER and SWPER mean periods and many models put peak periods there, so the kind is asked.
- NDBC standard meteorological and spectral wave summary files, WVHT, DPD, APD … (NDBC, "Measurement
  descriptions and units", from memory): DPD, SwP and WWP are peak periods, APD is Tm02, directions are from.
"""

from __future__ import annotations

import re
from typing import Final

from heave.planning.columns import ColumnMeaning

_BRACKETS = re.compile(r"(.*?)\s*[\[(]([^\])]{0,20})[\])]")

UNIT_WORDS: Final = {
    **{word: "m" for word in ("m", "metre", "metres", "meter", "meters", "mtr")},
    **{word: "ft" for word in ("ft", "foot", "feet")},
    **{word: "s" for word in ("s", "sec", "secs", "second", "seconds")},
    **{word: "deg" for word in ("deg", "degt", "degree", "degrees", "°", "degrees_true", "degree_true")},
    **{word: "m/s" for word in ("m/s", "m s-1", "m s**-1", "mps", "ms-1", "m_per_s", "ms")},
    **{word: "kn" for word in ("kn", "kt", "kts", "knot", "knots")},
    **{word: "km/h" for word in ("km/h", "kmh", "kph", "km_per_h")},
    **{word: "ft/s" for word in ("ft/s", "fps", "ft_per_s")},
}
"""How a unit may be written in brackets or at the end of a name."""

UNITS_OF: Final = {
    "height": ("m", "ft"),
    "period": ("s",),
    "direction": ("deg",),
    "wind speed": ("m/s", "kn", "km/h", "ft/s"),
}
"""Units each quantity may have; the first of several is not assumed."""

_SYSTEM_STEMS: Final = {
    "": "total",
    "total_": "total",
    "wind_sea_": "wind sea",
    "windsea_": "wind sea",
    "swell_": "swell",
    **{f"swell{n}_": f"swell {n}" for n in (1, 2, 3)},
    **{f"swell_{n}_": f"swell {n}" for n in (1, 2, 3)},
}
_HEIGHTS: Final = ("hs", "hm0", "significant_wave_height", "height")
_PERIODS: Final = {"tp": "Tp", "tz": "Tz", "tm02": "Tz", "t1": "T1", "tm01": "T1", "te": "Te", "period": None}
_DIRECTIONS: Final = {"direction_from": "from", "direction_to": "to", "direction": None, "dir": None}

_CF_SYSTEMS: Final = {
    "sea_surface_wave": "total",
    "sea_surface_wind_wave": "wind sea",
    "sea_surface_swell_wave": "swell",
    "sea_surface_primary_swell_wave": "swell 1",
    "sea_surface_secondary_swell_wave": "swell 2",
    "sea_surface_tertiary_swell_wave": "swell 3",
}
_CF_PERIODS: Final = {
    "period_at_variance_spectral_density_maximum": "Tp",
    "zero_upcrossing_period": "Tz",
    "mean_period_from_variance_spectral_density_second_frequency_moment": "Tz",
    "mean_period_from_variance_spectral_density_first_frequency_moment": "T1",
    "mean_period_from_variance_spectral_density_inverse_frequency_moment": "Te",
    "mean_period": None,
    "period": None,
}
_CF_DIRECTIONS: Final = {
    "from_direction": "from",
    "from_direction_at_variance_spectral_density_maximum": "from",
    "to_direction": "to",
}


def _height(system: str, unit: str = "m") -> ColumnMeaning:
    return ColumnMeaning("", "height", system, unit)


def _period(system: str, kind: str | None) -> ColumnMeaning:
    return ColumnMeaning("", "period", system, "s", kind)


def _direction(system: str, sense: str | None = "from") -> ColumnMeaning:
    return ColumnMeaning("", "direction", system, "deg", None, sense)


def _wind(unit: str) -> ColumnMeaning:
    return ColumnMeaning("", "wind speed", "total", unit)


def _plain(quantity: str) -> ColumnMeaning:
    return ColumnMeaning("", quantity)


def _own() -> dict[str, ColumnMeaning]:
    names: dict[str, ColumnMeaning] = {}
    for stem, system in _SYSTEM_STEMS.items():
        names |= {stem + word: _height(system, "") for word in _HEIGHTS}
        names |= {stem + word: _period(system, kind) for word, kind in _PERIODS.items()}
        names |= {stem + word: _direction(system, sense) for word, sense in _DIRECTIONS.items()}
    return names


def _cf() -> dict[str, ColumnMeaning]:
    names = {}
    for stem, system in _CF_SYSTEMS.items():
        names[f"{stem}_significant_height"] = _height(system)
        names |= {f"{stem}_{word}": _period(system, kind) for word, kind in _CF_PERIODS.items()}
        names |= {f"{stem}_{word}": _direction(system, sense) for word, sense in _CF_DIRECTIONS.items()}
    return names | {"wind_speed": _wind("m/s"), "realization": _plain("member")}


def _ecmwf() -> dict[str, ColumnMeaning]:
    names = {
        **{"swh": _height("total"), "mwd": _direction("total"), "pp1d": _period("total", "Tp")},
        **{"mwp": _period("total", "Te"), "mp1": _period("total", "T1"), "mp2": _period("total", "Tz")},
        **{"shww": _height("wind sea"), "mdww": _direction("wind sea"), "mpww": _period("wind sea", "Te")},
        **{"p1ww": _period("wind sea", "T1"), "p2ww": _period("wind sea", "Tz")},
        **{"shts": _height("swell"), "mdts": _direction("swell"), "mpts": _period("swell", "Te")},
        **{"p1ps": _period("swell", "T1"), "p2ps": _period("swell", "Tz")},
        **{"10si": _wind("m/s"), "wind": _wind("m/s"), "number": _plain("member")},
    }
    for n in (1, 2, 3):
        system = f"swell {n}"
        names |= {
            f"swh{n}": _height(system),
            f"mwp{n}": _period(system, "Te"),
            f"mwd{n}": _direction(system),
        }
    return names


def _grib2() -> dict[str, ColumnMeaning]:
    names = {
        **{"htsgw": _height("total"), "perpw": _period("total", None), "dirpw": _direction("total")},
        **{"mwsper": _period("total", None), "imwf": _period("total", None), "wwsdir": _direction("total")},
        **{"wvhgt": _height("wind sea"), "wvper": _period("wind sea", None), "wvdir": _direction("wind sea")},
        **{"swell": _height("swell"), "swper": _period("swell", None), "swdir": _direction("swell")},
    }
    for n in (1, 2, 3):
        system = f"swell {n}"
        names |= {
            f"swell_{n}": _height(system),
            f"swper_{n}": _period(system, None),
            f"swdir_{n}": _direction(system),
        }
    return names


GENERAL: Final[dict[str, ColumnMeaning]] = {
    **_own(),
    **_cf(),
    **_ecmwf(),
    **_grib2(),
    **{name: _plain("time") for name in ("time_utc", "valid_time", "time", "datetime", "timestamp")},
    **{"date": _plain("date"), "clock": _plain("clock"), "hour_minute": _plain("clock")},
    **{"member": _plain("member"), "ensemble_member": _plain("member")},
    **{"wind_speed_m_per_s": _wind("m/s"), "wspd": _wind(""), "windspeed": _wind("")},
}
"""Meaning by name, for files that are not in a buoy centre's layout."""

NDBC: Final[dict[str, ColumnMeaning]] = {
    **{"year": _plain("year"), "month": _plain("month"), "day": _plain("day")},
    **{"hour": _plain("hour"), "minute": _plain("minute")},
    **{"wvht": _height("total"), "dpd": _period("total", "Tp"), "apd": _period("total", "Tz")},
    **{"mwd": _direction("total"), "wspd": _wind("m/s")},
    **{"swh": _height("swell"), "swp": _period("swell", "Tp"), "swd": _direction("swell")},
    **{"wwh": _height("wind sea"), "wwp": _period("wind sea", "Tp"), "wwd": _direction("wind sea")},
}
"""Meaning by name in the buoy centre's layout, whose time columns the reader has named."""

_RANKS: Final = ("Tp", "Te", "T1", "Tz", None)


def meaning_of(header: str, names: dict[str, ColumnMeaning]) -> ColumnMeaning | None:
    """What a column called `header` means among `names`, or None; a unit may stand in brackets or at the end.

    Parameters
    ----------
    header : the name in the file
    names : GENERAL or NDBC

    Returns
    -------
    ColumnMeaning of that column, unit empty where the name does not say; None for a name that is not known
    or a unit that does not go with it.
    """
    plain = header.strip().lower()
    bracket = _BRACKETS.fullmatch(plain)
    word = bracket[2].strip() if bracket else None
    stem = re.sub(r"[ \-]+", "_", (bracket[1] if bracket else plain).strip())
    found = names.get(stem)
    if found is None and word is None:
        stem, found, word = _unit_at_end(stem, names)
    if found is None:
        return None
    unit = found.unit
    if word == "utc" and found.quantity in ("time", "date", "clock"):
        word = None
    if word:
        unit = UNIT_WORDS.get(word, "?")
        if unit not in UNITS_OF.get(found.quantity, ()):
            return None
    kind, sense = found.period_kind, found.sense
    return ColumnMeaning(header, found.quantity, found.system, unit, kind, sense)


def rank(meaning: ColumnMeaning) -> int:
    """Order of preference among columns for one quantity: the surest period first, 0 best."""
    if meaning.quantity == "period":
        return _RANKS.index(meaning.period_kind)
    if meaning.quantity == "time":
        stem = meaning.column.lower()
        return 0 if stem == "time_utc" else 1 if stem == "valid_time" else 2
    if meaning.quantity == "direction":
        second = "maximum" in meaning.column or meaning.sense == "to"
        return 2 if meaning.sense is None else int(second)
    return 0


def _unit_at_end(stem: str, names: dict[str, ColumnMeaning]) -> tuple[str, ColumnMeaning | None, str | None]:
    """Split `hs_ft` into hs and ft, the longest unit that leaves a known name."""
    words = stem.split("_")
    for count in range(min(3, len(words) - 1), 0, -1):
        front, unit = "_".join(words[:-count]), "_".join(words[-count:])
        if unit in UNIT_WORDS and front in names:
            return front, names[front], unit
    return stem, None, None
