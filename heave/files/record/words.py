"""What a heave record says in words: of a column by its name, and of rate and sense above the table."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from heave.errors import FileError
from heave.files.registry import HEAVE_RECORD
from heave.files.response.words import stated
from heave.units import STANDARD_GRAVITY, UNITS, Unit, unit_written


@dataclass(frozen=True)
class Told:
    """A unit: what brings its numbers to SI, what it is called when it is asked for, and how else files write it."""

    factor: float
    words: str
    spelt: str = ""


@dataclass(frozen=True)
class Quantity:
    """What a column may hold: its name, its unit in SI, the units it may be in by symbol, and with what it grows."""

    name: str
    si: str
    units: Mapping[str, Told]
    grows: str = ""

    def factor(self, unit: str) -> float:
        """What brings numbers in a unit to SI; our own columns may be in any of `heave.units`."""
        return self.units[unit].factor if unit in self.units else UNITS[unit].factor


HEAVE: Final = Quantity(
    "heave",
    "m",
    {
        "m": Told(1.0, "metres"),
        "ft": Told(UNITS["ft"].factor, "feet"),
        "cm": Told(UNITS["cm"].factor, "centimetres", "centimetre centimetres centimeter centimeters"),
        "mm": Told(UNITS["mm"].factor, "millimetres", "millimetre millimetres millimeter millimeters"),
        "in": Told(UNITS["in"].factor, "inches", "inch inches"),
    },
    "as the hoist rises",
)
ACCELERATION: Final = Quantity(
    "acceleration",
    "m/s²",
    {
        "m/s²": Told(
            1.0,
            "metres per second squared",
            "m/s2 m/s^2 m/s**2 m/s/s m_s-2 ms-2 m.s-2 m_per_s2 m_s2 mps2 mpss",
        ),
        "g": Told(STANDARD_GRAVITY, "gravities, g", "gn g0"),
        "ft/s²": Told(UNITS["ft/s²"].factor, "feet per second squared", "ft/s2 ft/s^2 ft/s/s ft_per_s2 fps2"),
        "cm/s²": Told(0.01, "centimetres per second squared, Gal", "cm/s2 cm/s^2 gal gals"),
        "mg": Told(STANDARD_GRAVITY / 1000, "thousandths of g", "milli-g millig"),
    },
    "as the hoist is pushed upwards",
)
TIME: Final = Quantity(
    "time",
    "s",
    {
        "s": Told(1.0, "seconds"),
        "ms": Told(1e-3, "milliseconds", "msec millisecond milliseconds millis"),
        "min": Told(60.0, "minutes", "minute minutes mins"),
        "h": Told(3600.0, "hours", "hr hrs hour hours"),
        "d": Told(86400.0, "days", "day days"),
    },
)
MOTIONS: Final = {one.name: one for one in (HEAVE, ACCELERATION)}
"""What may be measured of the hoist."""

_UNITS: Final = {
    word: symbol
    for quantity in (HEAVE, ACCELERATION, TIME)
    for symbol, unit in quantity.units.items()
    for word in (symbol, *unit.spelt.split())
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
    unit : symbol of a unit of HEAVE, ACCELERATION or TIME, 'utc' for clock times; None where it does not say
    down : whether it counts downwards; None where it does not say
    """

    kind: str
    unit: str | None = None
    down: bool | None = None


def _own(column: str, unit: Unit | None) -> Meaning:
    if column.startswith("time"):
        return Meaning("time", "utc" if unit is None else unit.symbol)
    return Meaning("heave", unit.symbol if unit else None, column == "heave_down")


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
        return Meaning("acceleration", unit if unit in ACCELERATION.units else None, down)
    found = Meaning("unknown", unit)
    if _SAMPLE.search(plain):
        found = Meaning("sample")
    elif (_TIME.search(plain) and not _HEAVE.search(plain)) or (not plain and unit in TIME.units):
        found = Meaning(
            "time", "utc" if re.search(r"\butc\b", plain) else unit if unit in TIME.units else None
        )
    elif _OTHER.search(plain) or (_HEAVE.search(plain) and (unit in ACCELERATION.units or "/s" in name)):
        found = Meaning("other")
    elif _HEAVE.search(plain):
        found = Meaning("heave", unit if unit in HEAVE.units else None, down)
    return found


def elsewhere(name: str) -> bool:
    """Whether a column is named for another point of the vessel than the hoist."""
    return bool(_ELSEWHERE.search(name.replace("_", " "))) and not re.search(r"hoist|derrick|drill", name)


def is_unit(cell: str) -> bool:
    """Whether a cell is a unit under a name, or says that there is none."""
    plain = cell.strip("[]() ").lower()
    return plain in ("-", "utc", "no", "hh:mm:ss", "deg", "rad", "°", "deg/s") or _unit(plain) is not None


def sense_said(lines: Iterable[str]) -> bool | None:
    """Whether words above the table say that heave counts downwards; None where they say nothing, or both."""
    said = {found["heave"] == "down" for line in lines if "heave" in (found := stated([line.lower()]))}
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
