"""What a heave record says in words: of a column by its name, and of rate and sense above the table."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from heave.errors import FileError
from heave.files.registry import HEAVE_RECORD
from heave.files.response.words import stated
from heave.units import STANDARD_GRAVITY, UNITS, Unit, unit_written

LENGTHS: Final = {symbol: UNITS[symbol].factor for symbol in ("m", "ft", "cm", "mm", "in")}
"""Units of heave [m]."""

ACCELERATIONS: Final = {
    "m/s²": 1.0,
    "g": STANDARD_GRAVITY,
    "ft/s²": UNITS["ft/s²"].factor,
    "cm/s²": 0.01,
    "mg": STANDARD_GRAVITY / 1000,
}
"""Units of acceleration [m/s²]."""

TIMES: Final = {"s": 1.0, "ms": 1e-3, "min": 60.0, "h": 3600.0, "d": 86400.0}
"""Units of time [s]."""

_SPELT: Final = {
    "m/s²": "m/s2 m/s^2 m/s**2 m/s/s m_s-2 ms-2 m.s-2 m_per_s2 m_s2 mps2 mpss",
    "ft/s²": "ft/s2 ft/s^2 ft/s/s ft_per_s2 fps2",
    "cm/s²": "cm/s2 cm/s^2 gal gals",
    "g": "gn g0",
    "mg": "milli-g millig",
    "ms": "msec millisecond milliseconds millis",
    "min": "minute minutes mins",
    "h": "hr hrs hour hours",
    "d": "day days",
    "cm": "centimetre centimetres centimeter centimeters",
    "mm": "millimetre millimetres millimeter millimeters",
    "in": "inch inches",
}
_UNITS: Final = {
    **{word: symbol for symbol, words in _SPELT.items() for word in words.split()},
    **{symbol: symbol for symbol in (*LENGTHS, *ACCELERATIONS, *TIMES)},
}

_OTHER: Final = re.compile(
    r"\b(?:roll|pitch|yaw|surge|sway|heading|course|rates?|vel|velocity|speed|wind|waves?|temp\w*|pressure|status|quality"
    r"|flag|lat\w*|lon\w*|gps|depth|draft|draught|period|max\w*|min|mean|std|sigma|rms|significant|hs|load|stroke|wob"
    r"|force|tide|voltage|current|longitudinal|transverse|[xy])\b|hookload"
)
_HEAVE: Final = re.compile(
    r"\bheave\b|\bvert(?:ical)?\b.*\b(?:disp\w*|motion|position|pos|movement)\b"
    r"|\b(?:z disp\w*|disp\w* z|z motion|z position)\b"
)
_ACCELERATION: Final = re.compile(
    r"\b(?:heave|vert(?:ical)?|z|down|up)\b.*\bacc(?:el\w*)?\b|\bacc(?:el\w*)?\b.*\b(?:heave|vert(?:ical)?|z|down|up)\b"
    r"|\b(?:accz|az|zacc|a z)\b"
)
_TIME: Final = re.compile(
    r"\b(?:time|elapsed|timestamp|time stamp|seconds?|sec|utc|gmt|date ?time|date|clock|hh ?mm\w*)\b|^t\b"
)
_SAMPLE: Final = re.compile(
    r"^(?:samples?|index|idx|no|nr|n|number|counts?|counter|scans?|records?|rows?|points?|#|id)\b"
)
_ELSEWHERE: Final = re.compile(
    r"\b(?:cog|com|mru|reference|ref|origin|bow|stern|helideck|midships?|centre|center)\b"
)
_DOWN: Final = re.compile(r"\b(?:down|downwards?|\+ ?down|down positive|positive down|ned)\b")
_UP: Final = re.compile(r"\b(?:up|upwards?|up positive|positive up|enu)\b")
_RATE: Final = re.compile(
    r"(?:\b(?:sampl\w*|scan\w*|log\w*|data|output|update|acquisition)\W+(?:rate|frequency|freq)|^\W*(?:rate|frequency)|\bfs)"
    r"\b[^0-9]{0,20}?([0-9]+(?:[.,][0-9]+)?)\s*(?:hz|samples? ?/ ?s|samples? per second|per second|s/s|sps)\b"
)
"""A stated rate; that of a filter or of waves is none."""

_STEP: Final = re.compile(
    r"(?:\b(?:sampl\w*|scan\w*|log\w*|time)\W+(?:step|interval|spacing|time|period)|^\W*(?:step|interval)|\bdt"
    r"|\bdelta ?t)\b[^0-9]{0,20}?([0-9]+(?:[.,][0-9]+)?)\s*(ms|msec|s|sec|seconds?)\b"
)


@dataclass(frozen=True)
class Meaning:
    """What the name of a column tells.

    kind : 'heave', 'acceleration', 'time', 'sample' for a running number, 'other' for what is known to be none of
        these, 'unknown' for a name that says nothing
    unit : as a key of LENGTHS, ACCELERATIONS or TIMES, 'utc' for clock times; None where it does not say
    down : whether it counts downwards; None where it does not say
    own : whether it is a name of our own format, which is fully known
    """

    kind: str
    unit: str | None = None
    down: bool | None = None
    own: bool = False


def _own(column: str, unit: Unit | None) -> Meaning:
    if column.startswith("time"):
        return Meaning("time", "utc" if unit is None else unit.symbol, None, True)
    return Meaning("heave", unit.symbol if unit else None, column == "heave_down", True)


_OWN: Final = {
    header: _own(column.name, unit_written(header.split("_")[-1]))
    for column in HEAVE_RECORD
    for header in column.headers
}


def meaning_of(name: str) -> Meaning:
    """What the name of a column tells.

    Parameters
    ----------
    name : lower case
    """
    if name in _OWN:
        return _OWN[name]
    plain, unit = _unit_off(name)
    down = _way(plain)
    if _ACCELERATION.search(plain) and not re.search(r"\b(?:roll|pitch|yaw|[xy])\b", plain):
        return Meaning("acceleration", unit if unit in ACCELERATIONS else None, down)
    found = Meaning("unknown", unit)
    if _SAMPLE.search(plain):
        found = Meaning("sample")
    elif (_TIME.search(plain) and not _HEAVE.search(plain)) or (not plain and unit in TIMES):
        found = Meaning("time", "utc" if re.search(r"\butc\b", plain) else unit if unit in TIMES else None)
    elif _OTHER.search(plain) or (_HEAVE.search(plain) and (unit in ACCELERATIONS or "/s" in name)):
        found = Meaning("other")
    elif _HEAVE.search(plain):
        found = Meaning("heave", unit if unit in LENGTHS else None, down)
    return found


def elsewhere(name: str) -> bool:
    """Whether a column is named for another point of the vessel than the hoist."""
    return bool(_ELSEWHERE.search(name.replace("_", " "))) and not re.search(r"hoist|derrick|drill", name)


def factor_of(kind: str, unit: str) -> float:
    """What brings numbers of a kind of column, 'heave' or 'acceleration', to SI."""
    known = ACCELERATIONS if kind == "acceleration" else {symbol: one.factor for symbol, one in UNITS.items()}
    return known[unit]


def is_unit(cell: str) -> bool:
    """Whether a cell is a unit under a name, or says that there is none."""
    plain = cell.strip("[]() ").lower()
    return plain in ("-", "utc", "no", "hh:mm:ss", "deg", "rad", "°", "deg/s") or _unit(plain) is not None


def sense_said(lines: Iterable[str]) -> bool | None:
    """Whether words above the table say that heave counts downwards; None where they say nothing, or both."""
    said = {found["heave"] == "down" for line in lines if "heave" in (found := stated(line.lower()))}
    return said.pop() if len(said) == 1 else None


def rate_said(lines: Iterable[str]) -> float | None:
    """Values a second that words above the table state [Hz]; None where they do not.

    Raises
    ------
    FileError
        If they state two.
    """
    found: dict[float, str] = {}
    for line in lines:
        plain = line.lower().replace("_", " ")
        for said in _RATE.finditer(plain):
            found.setdefault(round(_number(said[1]), 9), line)
        for said in _STEP.finditer(plain):
            step = _number(said[1]) * (1e-3 if said[2].startswith("m") else 1.0)
            if step > 0:
                found.setdefault(round(1.0 / step, 9), line)
    if len(found) > 1:
        said_all = " and ".join(f"{rate:g}" for rate in found)
        allowed = "one rate in the words above the table: correct them"
        raise FileError("values a second", said_all, "Hz", allowed, line=1)
    return found.popitem()[0] if found else None


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def _way(plain: str) -> bool | None:
    down, up = _DOWN.search(plain) is not None, _UP.search(plain) is not None
    return None if down == up else down


def _unit(word: str) -> str | None:
    """The unit a word stands for, as its symbol; lengths as any file may write them."""
    plain = word.strip().lower().replace(" ", "_")
    if plain in _UNITS:
        return _UNITS[plain]
    found = unit_written(plain)
    return found.symbol if found is not None and found.symbol in _UNITS else None


def _unit_off(name: str) -> tuple[str, str | None]:
    """A name in words without its unit, and the unit."""
    unit = None
    rest = name.replace("m/s²", "m/s2")
    for bracket in re.finditer(r"[\[(]([^\])]*)[\])]", rest):
        for part in (bracket[1], *re.split(r"[,;]|\s{1,}(?=positive|\+|up|down)", bracket[1])):
            if unit is None and _unit(part) is not None:
                unit = _unit(part)
    rest = re.sub(r"[\[(](.*?)[\])]", lambda found: " " if _unit(found[1]) else f" {found[1]} ", rest)
    if unit is None:
        last = re.search(r"(?:^|[\s_,:/.\-])([^\s_,:.\-]+|[mcft]{1,2}_(?:per_)?s-?2)$", rest)
        if last and _unit(last[1]) is not None:
            unit, rest = _unit(last[1]), rest[: last.start()]
    return " ".join(re.sub(r"[_\-./,:;+|]+", " ", rest).split()), unit
