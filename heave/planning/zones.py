"""Zones of a clock: UTC, whole hours off it as a ship keeps them, and the named zones of this machine."""

from __future__ import annotations

from datetime import UTC, timedelta, timezone, tzinfo
from functools import lru_cache
from typing import Final
from zoneinfo import ZoneInfo, available_timezones

from heave.errors import InputError

UTC_NAME: Final = "UTC"

OFFSETS: Final = tuple(f"UTC{hours:+03d}:00" for hours in range(-12, 15) if hours)
"""Fixed offsets a ship's clock may keep, whole hours."""


@lru_cache(maxsize=1)
def zone_names() -> tuple[str, ...]:
    """Zones to pick from: UTC, fixed offsets, then named zones of the tz database."""
    named = sorted(
        name
        for name in available_timezones()
        if "/" in name and not name.startswith(("Etc/", "SystemV/", "posix/", "right/"))
    )
    return (UTC_NAME, *OFFSETS, *named)


@lru_cache(maxsize=64)
def zone_of(name: str) -> tzinfo:
    """The time zone called `name`, for example 'UTC', 'UTC+02:00' or 'Europe/Oslo'.

    Parameters
    ----------
    name : UTC, one of `OFFSETS`, or a name in the time zone database

    Raises
    ------
    InputError
        If this machine knows no such zone.
    """
    if name == UTC_NAME:
        return UTC
    if name in OFFSETS:
        return timezone(timedelta(hours=int(name[3:6])), name)
    try:
        return ZoneInfo(name)
    except (ValueError, OSError, KeyError):
        allowed = "UTC, an offset such as UTC+02:00, or a zone such as Europe/Oslo"
        raise InputError("Time zone", name, None, allowed) from None
