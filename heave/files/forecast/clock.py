"""One cell of time, as forecasts write it: dates, times of day, zones; what could be two days is left open.

Numbers with a point between are taken with the day first; with a slash or a dash either may come first, which the
whole column decides (`heave.files.forecast.moments`). Month names are English.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Final

from heave.planning.zones import offset_of, zone_names

YEARS: Final = (1900, 2200)
"""First and last year believed."""

MONTHS: Final = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")

ABBREVIATIONS: Final = {
    **dict.fromkeys(("UTC", "GMT", "Z", "ZULU", "WET"), 0),
    **{"WEST": 60, "CET": 60, "CEST": 120, "EET": 120, "EEST": 180, "MSK": 180, "WAT": 60},
    **{"SGT": 480, "HKT": 480, "AWST": 480, "JST": 540},
    **{"BRT": -180, "EDT": -240, "EST": -300, "CDT": -300, "MDT": -360, "PDT": -420, "PST": -480},
}
"""Names that mean one offset from UTC [min]; of BST, IST, CST, AST and others there are several, so they are asked."""

_SEVERAL: Final = ("BST", "IST", "CST", "AST", "MST", "AMT", "GST", "ECT", "SST", "WST", "ADT", "NST")
_LOCAL: Final = r"\b(?:lt|lmt|local|rig time|ship'?s? time|ship time|platform time|vessel time)\b"
_OFFSETS: Final = (
    re.compile(r"\b(?:utc|gmt) *([+-]|plus|minus) *([0-9]{1,2})(?::?([0-9]{2}))?(?![0-9])"),
    re.compile(r"(?<=[(\[])([+-])([0-9]{1,2})(?::?([0-9]{2}))?(?=h?[)\]])"),
    re.compile(r"(?<= )([+-])([0-9]{2}):([0-9]{2})(?![0-9])"),
)
ISSUED: Final = re.compile(
    r"\b(?:issued?|issue time|issuance|analysis|model run|run time|base time|reference time|produced|created|prepared"
    r"|init\w*)\b",
    re.IGNORECASE,
)
"""Words that come before the time of issue."""

_WEEKDAY = re.compile(
    r"\b(?:mon|tues?|wed(?:nes)?|thu(?:rs?)?|fri|sat(?:ur)?|sun)(?:day)?\b[.,]?", re.IGNORECASE
)
_AROUND_A_DAY = re.compile(
    r"[*=#]|\b(?:forecast|for|day|date|outlook|on|the|of)\b|:\s*$|-{2,}", re.IGNORECASE
)
_MONTH: Final = r"(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]{0,6}\.?"
_DATES: Final = tuple(
    (order, re.compile(pattern, re.IGNORECASE))
    for order, pattern in (
        ("ymd", r"(?<![0-9])([0-9]{4})[-/.]([0-9]{1,2})[-/.]([0-9]{1,2})(?![0-9])"),
        ("dmy", r"(?<![0-9])([0-9]{1,2})\.([0-9]{1,2})\.([0-9]{4}|[0-9]{2})(?![0-9])"),
        ("???", r"(?<![0-9])([0-9]{1,2})[-/]([0-9]{1,2})[-/]([0-9]{4}|[0-9]{2})(?![0-9])"),
        (
            "dmy",
            rf"(?<![0-9])([0-9]{{1,2}})(?:st|nd|rd|th)?[ \-./]*{_MONTH}"
            r"(?:[ ,]*([0-9]{4})|[-/']([0-9]{2,4}))?(?![0-9:])",
        ),
        (
            "mdy",
            rf"\b{_MONTH}[ \-]*([0-9]{{1,2}})(?:st|nd|rd|th)?(?![0-9:])(?:,?[ ,\-]+([0-9]{{4}})(?![0-9:]))?",
        ),
        ("ymd", r"(?<![0-9])((?:19|20|21)[0-9]{2})([0-9]{2})([0-9]{2})(?=$|[^0-9]|[0-9]{2}(?:[0-9]{2})?$)"),
    )
)
_GROUP = re.compile(rf"([0-9]{{2}})([0-9]{{4}}) ?[Zz] ?{_MONTH} ?((?:20)?[0-9]{{2}})", re.IGNORECASE)
"""A date-time group: day, hour and minute, Z, month, year."""

_CLOCKS: Final = tuple(
    re.compile(pattern + r"\s*(am|pm|a\.m\.|p\.m\.)?", re.IGNORECASE)
    for pattern in (
        r"([0-9]{1,2})[:.h]([0-9]{2})(?:[:.]([0-9]{2})(?:\.0{1,9})?)?",
        r"([0-9]{2})([0-9]{2})(?:([0-9]{2}))?(?![0-9])",
        r"([0-9]{1,2})()()",
    )
)


@dataclass(frozen=True)
class Moment:
    """What a cell says: a date, whose order may be open, a time of day, a zone; each None where it does not say."""

    numbers: tuple[int, int, int] | None = None
    """As they stand in the cell; the year 0 where there is none."""

    order: str = ""
    """'ymd', 'dmy' or 'mdy'; '???' where the day or the month may come first."""

    seconds: int | None = None
    """After midnight; of 24:00 a whole day."""

    ahead: int | None = None
    """Of UTC [min]."""

    zone: str = ""
    """The zone as the cell has it, where it has one."""

    short: bool = False
    """Whether the year has two digits."""

    def day(self, order: str, year: int = 0) -> date | None:
        """The date when its numbers stand in `order` ('ymd', 'dmy', 'mdy'); None for one there is not."""
        if self.numbers is None:
            return None
        found = dict(zip(order if self.order == "???" else self.order, self.numbers, strict=True))
        full = found["y"] or year
        if full < 100 and self.short:
            full += 1900 if full >= 70 else 2000
        try:
            return date(full, found["m"], found["d"]) if YEARS[0] <= full <= YEARS[1] else None
        except ValueError:
            return None


@lru_cache(maxsize=4000)
def moment_in(text: str) -> Moment | None:
    """What a cell of time says; None where any part of it is no time."""
    group = _GROUP.fullmatch(text.strip())
    if group:
        text = f"{group[1]} {group[3]} 20{group[4][-2:]} {group[2]}Z"
    rest, weekdays = _WEEKDAY.subn(" ", text.strip())
    numbers, order, short = None, "", False
    for kind, pattern in _DATES:
        if found := pattern.search(rest):
            if kind == "mdy" and re.search(r"[0-9]", rest[: found.start()]):
                return None  # 0600 Mar 26 may be of the 26th or of 2026
            groups = [group for group in found.groups() if group is not None]
            groups += ["0"] * (3 - len(groups))
            short = len(groups[kind.find("y")] if "y" in kind else groups[2]) == 2
            numbers = tuple(
                MONTHS.index(part[:3].lower()) + 1 if part[0].isalpha() else int(part) for part in groups
            )
            order, rest = kind, rest[: found.start()] + " " + rest[found.end() :]
            break
    ahead, zone, rest = _zone_off(rest)
    rest = re.sub(
        r"\b(?:at|hrs?|hours?|h|t|o'clock)\b|[,;]|^\s*[T\-]|[\-]\s*$", " ", rest.strip(), flags=re.IGNORECASE
    ).strip()
    seconds = None
    if rest:
        seconds = _seconds(rest)
        if seconds is None or (weekdays and numbers is None and rest.isdigit()):  # Mon 02 is no two o'clock
            return None
    if numbers is None and seconds is None:
        return None
    return Moment(numbers, order, seconds, ahead, zone, short)  # type: ignore[arg-type]


def day_alone(text: str) -> bool:
    """Whether a line holds one date and words only, as the line above the hours of a day does."""
    moment = moment_in(_AROUND_A_DAY.sub(" ", text))
    return moment is not None and moment.numbers is not None and moment.seconds is None


def zone_said(text: str) -> str | None:
    """The zone that words such as a header state: 'UTC', '+08:00', 'local' for a clock without a zone.

    Returns None where they say nothing, 'several' where they say two things or a name that stands for several zones.
    """
    plain = text.lower().replace("\u2212", "-")
    found = {_named_zones()[name] for name in re.findall(r"[a-z]+/[a-z_/]+", plain) if name in _named_zones()}
    plain = plain.replace("_", " ")
    for pattern in _OFFSETS:
        for said in pattern.finditer(plain):
            name = f"{'-' if said[1][0] in '-m' else '+'}{int(said[2]):02d}:{said[3] or '00'}"
            ahead = offset_of(name)
            found.add("several" if ahead is None else name if ahead else "UTC")
        plain = pattern.sub(" ", plain)
    words = set(re.findall(r"[a-z]+", plain))
    found |= {offset_name(ahead) for name, ahead in ABBREVIATIONS.items() if name.lower() in words}
    local = re.search(_LOCAL, plain) is not None
    if found:
        return "several" if len(found) > 1 or (local and found == {"UTC"}) else found.pop()
    if words & {name.lower() for name in _SEVERAL}:
        return "several"
    return "local" if local else None


@lru_cache(maxsize=1)
def _named_zones() -> dict[str, str]:
    return {name.lower(): name for name in zone_names() if "/" in name}


def offset_name(minutes: int) -> str:
    """'UTC', or an offset such as '+08:00'."""
    hours, rest = divmod(abs(minutes), 60)
    return f"{'-' if minutes < 0 else '+'}{hours:02d}:{rest:02d}" if minutes else "UTC"


def _zone_off(rest: str) -> tuple[int | None, str, str]:
    """The zone a cell ends with [min ahead of UTC], its words, and what is left of the cell."""
    offset = re.search(
        r"(?:\(?\b(?:UTC|GMT)|(?<=[0-9ap m])\(?)\s*([+-][0-9]{1,2}(?::?[0-9]{2})?)\)?\s*$",
        rest,
        re.IGNORECASE,
    )
    if offset and (re.match(r"(?i)\s*\(?(utc|gmt)", offset[0]) or re.search(r":|[+-][0-9]{4}\b", offset[1])):
        sign, digits = offset[1][0], offset[1][1:].replace(":", "")
        hours, minutes = (digits, "00") if len(digits) <= 2 else (digits[:-2], digits[-2:])
        ahead = offset_of(f"{sign}{int(hours):02d}:{minutes}")
        if ahead is not None:
            return int(ahead.total_seconds() // 60), offset[0].strip(), rest[: offset.start()]
    named = re.search(r"\(?\b([A-Za-z]{1,5})\)?\s*$", rest) or re.search(r"(?<=[0-9])([Zz])\)?\s*$", rest)
    if named and named[1].upper() in ABBREVIATIONS:
        return ABBREVIATIONS[named[1].upper()], named[1], rest[: named.start()]
    if named and named[1].upper() in ("LT", "LOCAL"):
        return None, "", rest[: named.start()]
    return None, "", rest


def _seconds(text: str) -> int | None:
    """Seconds after midnight of a time of day; None for what is none."""
    for pattern in _CLOCKS:
        found = pattern.fullmatch(text.strip())
        if found is None:
            continue
        hour, minute, second = (int(found[place] or 0) for place in (1, 2, 3))
        half = (found[4] or "").lower().replace(".", "")
        if half:
            if not 1 <= hour <= 12:
                return None
            hour = hour % 12 + (12 if half == "pm" else 0)
        whole_day = hour == 24 and minute == second == 0
        if (hour > 23 and not whole_day) or minute > 59 or second > 59:
            return None
        return (hour * 60 + minute) * 60 + second
    return None
