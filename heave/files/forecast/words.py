"""What a column of a forecast means by the words of its name, as people write them: 'Swell 1 Sig. Wave Ht (ft)'.

A name is understood when it says which quantity it holds and every word that could change the meaning is known. A
highest wave is never a significant one; a mean, a control run or a percentile of an ensemble keeps its name.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from heave.planning.columns import UNITS_OF, USUAL_SENSES, WAVES, ColumnMeaning
from heave.units import unit_written


def word_set(words: str) -> frozenset[str]:
    """The words of a line of them."""
    return frozenset(words.split())


_HEIGHT: Final = word_set("hs hm0 hsig swh height heights ht hgt hght hmo vhm0")
_SIGNIFICANT: Final = word_set("significant sig hs hm0 hsig swh hmo signif")
_PERIODS: Final = {
    **dict.fromkeys(("tp", "tpeak", "tpk", "dpd"), "Tp"),
    **dict.fromkeys(("tz", "tm02", "t02"), "Tz"),
    **dict.fromkeys(("t1", "tm01", "t01"), "T1"),
    **dict.fromkeys(("te", "tm-10", "tmm10"), "Te"),
}
_PERIOD: Final = word_set("period periods per tm ts t tsig tmean")
_PEAK: Final = word_set("peak pk dominant")
_ZERO: Final = word_set("zero crossing upcrossing zerocrossing zeroupcrossing")
_DIRECTION: Final = word_set("direction dir dirn dirs mwd bearing drn direct mdir pdir vmdr")
_SWELL: Final = word_set("swell swells swl sw swel")
_ORDINALS: Final = {
    word: number
    for number, words in enumerate(
        ("1 first 1st primary main prim i", "2 second 2nd secondary sec ii", "3 third 3rd tertiary iii"), 1
    )
    for word in words.split()
}
_SPELT: Final = word_set("first primary second secondary third tertiary")
_GUST: Final = word_set("gust gusts windgust wind speed 10m max")
_TOWARDS: Final = word_set("to towards toward going")
_SENSE: Final = word_set("from to towards toward going coming blowing setting")
_WINDS_OWN: Final = word_set("wdir winddir winddirection wdirn wnddir")
_ABOUT_WAYS: Final = word_set("of the at in and true mag compass deg degrees degree degt t \u00b0t") | _SENSE
_OF_WIND: Final = word_set("wind winds mean average avg surface 10m 10 m") | _ABOUT_WAYS  # a name
_OF_CURRENT: Final = word_set("current currents sea water velocity surface total set") | _ABOUT_WAYS
_CURRENT: Final = word_set("current speed surface sea total")
_TIDE: Final = word_set("tide tidal height level elevation water")
_WIND_SEA: Final = word_set("windsea ww")
_TOTAL: Final = word_set("total combined comb tot overall all resultant")
_FILL: Final = word_set(
    "wave waves of the at in and true deg degrees degree degt state coming mag compass t \u00b0t forecast value s wv"
)
_OF_WAVES: Final = frozenset().union(
    *(_HEIGHT, _SIGNIFICANT, _PERIOD, _PERIODS, _PEAK, _ZERO, _DIRECTION, _FILL, _TOWARDS),
    ("mean", "average", "energy", "from"),
)
"""Every word that a column of waves may have in its name."""

_HIGHEST: Final = word_set("maximum max highest largest extreme")
_OF_ONE_WAVE: Final = word_set("hmax h100 h01 hm crest")
_OTHER: Final = word_set(
    "gust gusts wdir temp temperature pressure press mslp slp pres visibility vis current currents tide tidal cloud "
    "clouds rain precip precipitation weather wx ice icing humidity rh dew remark remarks comment comments notes "
    "level surge lightning air confidence sunrise sunset moon snow fog sst ceiling risk density salinity location "
    "site station lat lon latitude longitude spread spreading steepness length wavelength id depth heave gst baro "
    "v10 10u 10v speed spd thunder probability prob no nr row index number year month week beaufort bft douglas"
)
_TIMES: Final = {
    word: name
    for name, words in {
        "time": "time datetime timestamp valid validity epoch unix yyyymmddhh yyyymmddhhmm zeit uhrzeit tid heure hora",
        "date": "date day dag dato datum fecha",
        "clock": "hour hours hr hrs hh clock hh:mm hhmm",
        "lead": "lead step tau fhr leadtime fh t+ t+h +h",
        "issued": "issued issue run analysis reference issuance init initial",
    }.items()
    for word in words.split()
}
_ZONES: Final = word_set(
    "utc gmt z zulu lt local cet cest eet eest wet bst est edt cst cdt pst ist lmt ship ships rig plus minus"
)
_TIME_FILL: Final = word_set(
    "and of dd mm yyyy yy mon s sec seconds since the dd/mm local h ddmmyyyy forecast utctime in weekday 1970"
)
_MEMBER = re.compile(r"(?:member|mem|ens|m|e|em|pert|perturbation|pf|realization)#?0*([0-9]{1,3})")
_FIGURES: Final = word_set(
    "mean average avg median min minimum max maximum std sd stdev spread lower upper low high"
)
_PERCENTILE: Final = r"(?:p|q|perc)[0-9]{1,2}|[0-9]{1,2}%"
MOST_SYSTEMS: Final = 4
"""Most systems that files number, Hs1 to Hs4."""

_CONTROL: Final = word_set("control ctrl ctl cf c00 cntl")


def is_statistic(member: str) -> bool:
    """Whether the name of a member is that of a figure over all of them: mean, median, p90."""
    plain = member.strip().lower().replace("_", "")
    return bool(plain in _FIGURES or re.fullmatch(_PERCENTILE, plain))


def unit_for(quantity: str, word: str) -> str | None:
    """The unit of `quantity` that a file writes as `word`; None for one it does not have."""
    meant = unit_written(word)
    units = (unit for unit in UNITS_OF.get(quantity, ()) if meant and unit_written(unit) == meant)
    return next(units, None)


def unit_in(header: str, quantity: str) -> str:
    """The unit of `quantity` that a name gives in brackets or at its end; empty where it gives none that fits."""
    return unit_for(quantity, _words(header)[1]) or ""


def direction_in(header: str) -> bool:
    """Whether a name has a word for a direction, whatever it is of."""
    return bool((_DIRECTION | {"wd"}) & set(_words(header)[0]))


def speed_in(header: str) -> bool:
    """Whether a name that says nothing of waves has a unit of speed, so that it needs no question."""
    words, unit = _words(header)
    of_waves = _SWELL | _WIND_SEA | word_set("sea seas wave waves")
    return unit_for("wind speed", unit) is not None and not of_waves & set(words)


def swell_in(headers: tuple[str, ...]) -> bool:
    """Whether any column is about swell by its name."""
    return any(_SWELL & set(_words(header)[0]) or "swell" in header for header in headers)


def numbered_in(headers: tuple[str, ...]) -> bool:
    """Whether so many heights are told apart by a bare number that they must be members: waves have few systems."""
    names = [_words(header)[0] for header in headers]
    numbered = [
        words for words in names if len(words) > 1 and words[-1].isdigit() and words[0] in _SIGNIFICANT
    ]
    return len(numbered) > MOST_SYSTEMS


def _beside(held: set[str], unit: str) -> str:
    """What stands beside the waves that these words mean: wind, gusts, current or tide; empty for none of them."""
    if held & (_DIRECTION | _WINDS_OWN) or held == {"current", "set"} or unit_for("direction", unit):
        return _way_beside(held)
    if held & {"gust", "gusts", "windgust"} and held <= _GUST:
        return "gust"
    if "current" in held and held <= _CURRENT:
        return "current"
    if held & {"tide", "tidal"} and held <= _TIDE:
        return "tide"
    named = {"wind", "speed"} <= held or held & {"wspd", "windspeed", "ws", "ws10", "u10"}
    plain = "wind" in held and held <= {"wind", "10m", "mean"}
    return "wind speed" if plain or (named and not held & {"gust", "gusts"}) else ""


def _way_beside(held: set[str]) -> str:
    """Whether the words of a direction are about the wind, and nothing else, or about the current."""
    left = held - _DIRECTION - _WINDS_OWN
    if left <= _OF_WIND and (held & _WINDS_OWN or left & {"wind", "winds"}):
        return "wind direction"
    about = left & {"current", "currents"} or left >= {"sea", "water"}
    return "current direction" if about and left <= _OF_CURRENT else ""


def meaning_by_words(header: str, parts: bool, numbered: bool = False) -> ColumnMeaning | None:
    """What a column called `header` means by its words; None where that is not certain.

    Parameters
    ----------
    header : the name in the file
    parts : whether the file has swell by itself, so that a plain 'sea' is the wind sea
    numbered : whether a bare number behind a height is that of a member, and not of a wave system
    """
    words, unit = _words(header)
    held = set(words)
    time = _time(words)
    of_waves = held & (_HEIGHT | set(_PERIODS) | {"mwd"}) and not held & {"speed", "height"}
    if held & {"wind", "ws"} and of_waves:
        words = ["windsea" if word in ("wind", "ws") else word for word in words]
        held = set(words)
    if not words:
        found = None
    elif time is not None:
        found = ColumnMeaning(header, time)
    elif held & _OF_ONE_WAVE:
        found = ColumnMeaning(header, "other height")
    elif beside := _beside(held, unit):
        found = _of_beside(ColumnMeaning(header, beside), held, unit)
    elif held & (_OTHER | {"tmax", "thmax"}) or (
        "wind" in held and not held & word_set("sea wave waves seas")
    ):
        found = ColumnMeaning(header)
    else:
        found = _waves(header, words, unit, parts, numbered)
    return found


def _of_beside(meaning: ColumnMeaning, held: set[str], unit: str) -> ColumnMeaning:
    """What stands beside the waves, with its unit, and its sense where a direction says one; not used where the unit
    does not go with it."""
    if meaning.quantity in USUAL_SENSES:
        way = "to" if held & _TOWARDS else "from" if "from" in held else None
        meaning = replace(meaning, unit="deg", sense=way)
    return _with_unit(meaning, unit) or ColumnMeaning(meaning.column)


def _waves(header: str, words: list[str], unit: str, parts: bool, numbered: bool) -> ColumnMeaning | None:
    """A column of waves: which, what of them, and of which member."""
    system, rest = _system(words, parts)
    member, rest = _member(rest, numbered)
    if not unit and len(rest) > 1 and unit_written(rest[-1]) and rest[-1] != "t":
        rest, unit = rest[:-1], rest[-1]
    held = set(rest)
    kinds = {_PERIODS[word] for word in held if word in _PERIODS}
    high = bool(held & (_HEIGHT | {"significant", "sig", "signif"}))
    period, way = bool(kinds or held & _PERIOD), bool(held & _DIRECTION)
    if not (high or period or way):
        quantity = next((name for name in WAVES if unit and unit_for(name, unit)), None)
        if quantity is None or system is None or not held <= _FILL | _SIGNIFICANT:
            return None
        high, period, way = (quantity == name for name in WAVES)
    if held & _HIGHEST:
        return ColumnMeaning(header, "other height" if not (way or (period and not high)) else "not used")
    average = high and not way and not period and bool(held & {"mean", "average"})
    if not held <= _OF_WAVES or system is None:
        return None
    if average and not held & _SIGNIFICANT:
        return ColumnMeaning(header, "other height")
    found = ColumnMeaning(header, "height", system, member=member or ("mean" if average else ""))
    if way:
        found = replace(found, quantity="direction", unit="deg", sense=_sense(held))
    elif period and not (high and not kinds and not held & {"period", "periods", "per"}):
        kind = kinds.pop() if len(kinds) == 1 else None
        for word, meant in ((_PEAK, "Tp"), (_ZERO, "Tz"), ({"energy"}, "Te")):
            kind = kind or (meant if held & word else None)
        found, unit = replace(found, quantity="period", period_kind=kind), unit or "s"
    return found if way else _with_unit(found, unit)


def _sense(held: set[str]) -> str | None:
    """Whether a direction is where waves come from or go to; a mean or peak wave direction is by convention from."""
    if held & _TOWARDS:
        return "to"
    return "from" if held & {"from", "mean", "mwd", "peak"} else None


def _words(header: str) -> tuple[list[str], str]:
    """Words of a name, lower case, and the unit that stands in brackets or at its end."""
    plain = header.lower().replace("h1/3", "hs").replace("h\u2153", "hs")
    plain = re.sub(r"t\(?m?\)?[ _]?[-\u2212][ _]?1[,.]?0\)?", "te", plain)
    plain = re.sub(r"\bwinds\b", "wind", plain)
    plain = re.sub(r"\b([ht])_([spz]|m0|max)\b", r"\1\2", plain)
    plain = re.sub(r"zero[ _-]+(up[ _-]?)?crossing", "zero", plain)
    plain = re.sub(r"\bwind[ _-]*(sea|wave)s?\b(?![ _]*state)", "windsea", plain.replace("_", " "))
    plain = re.sub(
        r"\b(?:africa|america|asia|atlantic|australia|europe|indian|pacific)/[a-z/]+", " utc ", plain
    )
    plain = re.sub(r"\b(?:utc|gmt) ?[+-] ?[0-9:]+|[(\[][+-][0-9:]+[)\]]", " utc ", plain)
    unit = ""
    for bracket in re.findall(r"[(\[][^)\]]*[)\]]", plain):
        word = bracket[1:-1].strip().rstrip(".")
        if unit_written(word):
            unit = word
            plain = plain.replace(bracket, " ")
    plain = re.sub(r"(swell|swl|sw|sea|ww|windsea)([0-9])\b", r"\1 \2", plain)
    plain = re.sub(r"\b(\u00b0t?)(?=\W|$)", " ", plain)
    words = [word.strip(".") for word in re.split(r"[\s\[\](),;:/#|]+|(?<=[a-z])-(?=[a-z0-9])", plain)]
    words = [word for word in words if word]
    if not unit:
        last = re.search(r"(?:^|[\s,/])([a-z\u00b0]+(?:/[a-z]+)?)\s*$", plain)
        if last and len(words) > 1 and unit_written(last[1]) and last[1] not in ("sw", "t"):
            unit = last[1]
            words = words[: -len(re.split("/", unit))]
    return words, unit


def _time(words: list[str]) -> str | None:
    """What of the time a column holds, when its words are about nothing else."""
    held = {word for word in words if not re.fullmatch(r"[+-]?[0-9:]*h?", word)}
    found = {_TIMES[word] for word in held if word in _TIMES}
    if words and held and held <= _ZONES:
        return "time"
    if not found or not held <= set(_TIMES) | _ZONES | _TIME_FILL:
        return None
    for name in ("issued", "lead"):
        if name in found:
            return name
    if held & {"forecast"} and found == {"clock"}:
        return "lead"
    if "time" in found or len(found) > 1 or (found == {"clock"} and held & {"dd", "dd/mm", "yyyy"}):
        return "time"
    return found.pop()


def _system(words: list[str], parts: bool) -> tuple[str | None, list[str]]:
    """Which waves the words are about, None where that is not certain, and the words left."""
    held = set(words)
    swell, wind_sea = bool(held & _SWELL), bool(held & _WIND_SEA)
    number = next((_ORDINALS[word] for word in words if word in _ORDINALS), 0)
    if swell:
        if (held & {"sea", "seas"} or wind_sea) and held & (_TOTAL | {"and", "+", "&"}):
            taken = _SWELL | _TOTAL | _WIND_SEA | {"sea", "seas", "+", "&"}
            return "total", [word for word in words if word not in taken]
        taken = _SWELL | {"total", "combined"} | (set(_ORDINALS) if number else set())
        rest = [word for word in words if word not in taken]
        return (None if wind_sea else f"swell {number}" if number else "swell"), rest
    rest = [word for word in words if word not in _TOTAL | _WIND_SEA | {"sea", "seas"}]
    if wind_sea:
        return "wind sea", rest
    if held & {"sea", "seas"} and parts and not held & _TOTAL and "state" not in held:
        return "wind sea", rest
    if number and held & _SPELT:
        return None, rest
    return "total", rest


def _member(words: list[str], numbered: bool) -> tuple[str, list[str]]:
    """The member of an ensemble that the words name, empty for none, and the words left."""
    name, taken = "", 1
    for place, word in enumerate(words):
        following = words[place + 1] if place + 1 < len(words) else ""
        found = _MEMBER.fullmatch(word)
        if found and word not in _PERIODS:
            name = found[1]
        elif word in ("member", "ens", "ensemble", "mem") and following.isdigit():
            name, taken = str(int(following)), 2
        elif word in _CONTROL:
            name = "control"
        elif word in ("median", "std", "sd", "stdev") or re.fullmatch(_PERCENTILE, word):
            name = word
        if name:
            return name, words[:place] + words[place + taken :]
    rest = [word for word in words if word not in ("ensemble", "ens")]
    named = [word for word in words if word in _FIGURES]
    if len(rest) < len(words) and named:
        name, rest = named[0], [word for word in rest if word != named[0]]
    elif numbered and words and words[-1].isdigit() and set(words[:-1]) & _SIGNIFICANT:
        name, rest = str(int(words[-1])), words[:-1]
    else:
        rest = words
    return name, rest


def _with_unit(meaning: ColumnMeaning, unit: str) -> ColumnMeaning | None:
    """The meaning with its unit; None for a unit that does not go with it."""
    if not unit:
        return meaning
    known = unit_for(meaning.quantity, unit)
    return None if known is None else replace(meaning, unit=known)
