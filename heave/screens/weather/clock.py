"""Times on the screen: UTC inside, and beside it the local time of a zone the user picks."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Final

import numpy as np

from heave.planning import UTC_NAME, zone_of

MOST_TICKS: Final = 11
"""Day marks on a time axis; more days share them out."""


@dataclass(frozen=True)
class Clock:
    """Shows UTC times in one zone."""

    name: str = UTC_NAME

    def __post_init__(self) -> None:
        zone_of(self.name)

    @property
    def is_utc(self) -> bool:
        """True when local time and UTC are the same by name."""
        return self.name == UTC_NAME

    def local(self, when: np.datetime64) -> datetime:
        """A UTC time as an aware time in the zone."""
        seconds = int(when.astype("datetime64[s]").astype(np.int64))
        return datetime.fromtimestamp(seconds, UTC).astimezone(zone_of(self.name))

    def stamp(self, when: np.datetime64) -> str:
        """Short local time, for example 'Tue 29 Dec 10:00'."""
        return _short(self.local(when))

    def dated(self, when: np.datetime64, now: np.datetime64) -> str:
        """Short local time, with its year where that is not the year of `now`."""
        at = self.local(when)
        return _short(at) if at.year == self.local(now).year else f"{at:%a} {at.day} {at:%b %Y %H:%M}"

    def brief(self, when: np.datetime64) -> str:
        """Shortest local time, for example 'Tue 29, 10:00'; month and year stand elsewhere."""
        at = self.local(when)
        return f"{at:%a} {at.day}, {at:%H:%M}"

    def month(self, when: np.datetime64) -> str:
        """Month and year of a time, and its zone: 'Dec 2026, UTC'."""
        return f"{self.local(when):%b %Y}, {self.name}"

    def both(self, when: np.datetime64, now: np.datetime64 | None = None) -> str:
        """Local time with its zone, and UTC where that differs; with its year where that is not the year of `now`."""
        told = self.stamp(when) if now is None else self.dated(when, now)
        if self.is_utc:
            return f"{told} UTC"
        local, utc = self.local(when), Clock().local(when)
        there = f"{utc:%H:%M}" if utc.date() == local.date() else f"{utc:%a} {utc.day}, {utc:%H:%M}"
        return f"{told} {self.name} ({there} UTC)"

    def full(self, when: np.datetime64) -> str:
        """Local date and time as a table has it; with its offset from UTC unless it is UTC."""
        at = self.local(when)
        return f"{at:%Y-%m-%d %H:%M}" + ("" if self.is_utc else f" {at.isoformat()[19:25]}")

    def utc(self, local: datetime) -> np.datetime64:
        """The UTC time of a clock reading in the zone; of an hour that comes twice, the first."""
        aware = local.replace(tzinfo=zone_of(self.name))
        return np.datetime64(int(aware.timestamp()), "s")

    def days(self, first: np.datetime64, last: np.datetime64) -> tuple[list[np.datetime64], list[str]]:
        """Local midnights between two times as UTC, and what to write at each; at most `MOST_TICKS`."""
        begin = self.local(first).replace(tzinfo=None, hour=0, minute=0, second=0)
        end = self.local(last).replace(tzinfo=None)
        step = max(1, math.ceil(((end - begin).days + 1) / MOST_TICKS))
        days = [begin + timedelta(days=day) for day in range(0, (end - begin).days + 1, step)]
        shown = [at for at in days if self.utc(at) >= first]
        words = []
        for at, before in zip(shown, [None, *shown], strict=False):
            under = f"{at.day}" if before and at.month == before.month else f"{at.day}<br>{at:%b}"
            words.append(f"{at:%a}<br>{under}" if step < 7 else under)
        return [self.utc(at) for at in shown], words


def _short(at: datetime) -> str:
    return f"{at:%a} {at.day} {at:%b} {at:%H:%M}"


def span_words(seconds: float) -> str:
    """A span of time for a headline: days where it is two or more, else hours: '19 days', '29 h'."""
    if seconds >= 2 * 86400:
        return f"{seconds / 86400:.0f}\u00a0days"
    return hours(round(seconds / 3600) * 3600 if seconds >= 7200 else seconds)


def hours(seconds: float) -> str:
    """A span of time in hours, minutes where it is not whole hours: '57 h', '3 h 20 min'."""
    if math.isinf(seconds):
        return "not in the record"
    minutes = round(seconds / 60)
    whole, rest = divmod(minutes, 60)
    if rest == 0:
        return f"{whole}\u00a0h"
    return f"{whole}\u00a0h {rest}\u00a0min" if whole else f"{rest}\u00a0min"
