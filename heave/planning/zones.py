"""Zones of a clock: UTC, whole hours off it as a ship keeps them, and the named zones of this machine."""

from __future__ import annotations

import re
from datetime import UTC, timedelta, timezone, tzinfo
from functools import lru_cache
from typing import Final
from zoneinfo import ZoneInfo, available_timezones

from heave.errors import InputError

UTC_NAME: Final = "UTC"

OFFSETS: Final = tuple(f"UTC{hours:+03d}:00" for hours in range(-12, 15) if hours)
"""Fixed offsets a ship's clock may keep, whole hours."""

MOST_AHEAD: Final = timedelta(hours=14)
"""Farthest a clock is kept from UTC."""

_OFFSET = re.compile(r"(?:UTC)?([+-])([0-9]{2}):?([0-9]{2})?")


@lru_cache(maxsize=1)
def zone_names() -> tuple[str, ...]:
    """Zones to pick from: UTC, fixed offsets, then named zones of the tz database."""
    named = sorted(
        name
        for name in available_timezones()
        if "/" in name and not name.startswith(("Etc/", "SystemV/", "posix/", "right/"))
    )
    return (UTC_NAME, *OFFSETS, *named)


def offset_of(text: str) -> timedelta | None:
    """How far a clock is ahead of UTC that says `text`, such as +02:00, -0330 or UTC+02; None for what none keeps."""
    found = _OFFSET.fullmatch(text.strip())
    if found is None or int(found[3] or 0) > 59:
        return None
    ahead = timedelta(hours=int(found[2]), minutes=int(found[3] or 0))
    return None if ahead > MOST_AHEAD else -ahead if found[1] == "-" else ahead


@lru_cache(maxsize=64)
def zone_of(name: str) -> tzinfo:
    """The time zone called `name`, for example 'UTC', 'UTC+02:00', '+02:00' or 'Europe/Oslo'.

    Parameters
    ----------
    name : UTC, an offset from it, or a name in the time zone database

    Raises
    ------
    InputError
        If this machine knows no such zone.
    """
    if name.upper() in (UTC_NAME, "Z", "GMT"):
        return UTC
    ahead = offset_of(name)
    if ahead is not None:
        return timezone(ahead, name) if ahead else UTC
    try:
        return ZoneInfo(name)
    except (ValueError, OSError, KeyError):
        allowed = "UTC, an offset such as UTC+02:00, or a zone such as Europe/Oslo"
        raise InputError("Time zone", name, None, allowed) from None
