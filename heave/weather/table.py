"""Windows as a table for a screen or a file: the same text in both, UTC and a local clock side by side."""

from __future__ import annotations

from datetime import UTC, datetime, tzinfo

import numpy as np

from heave.planning import zone_of
from heave.weather.results import Window, WindowResult
from heave.weather.site_limits import NAMES


def clock(time: np.datetime64, zone: tzinfo) -> str:
    """A UTC time on a local clock, 'YYYY-MM-DD HH:MM ±hh:mm'; the offset tells a repeated hour apart.

    Parameters
    ----------
    time : the time, UTC
    zone : the zone of the clock
    """
    local = datetime.fromisoformat(str(time)).replace(tzinfo=UTC).astimezone(zone)
    offset = local.strftime("%z")
    return f"{local:%Y-%m-%d %H:%M} {offset[:3]}:{offset[3:5]}"


def window_table(
    result: WindowResult, zone: str = "UTC"
) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Header and rows of the windows, in time order; the header carries the units.

    Parameters
    ----------
    result : what was found
    zone : zone of the local columns

    Raises
    ------
    InputError
        If there is no such zone.
    """
    local = zone_of(zone)
    header = (
        "earliest_start_utc",
        "latest_start_utc",
        "end_utc",
        "earliest_start_local",
        "latest_start_local",
        "end_local",
        "length_h",
        "start_may_slip_h",
        "margin_percent",
        "closest_check",
        "ends_because",
        "no_return_utc",
        "ahead_of_issue_h",
        "confirmed_by_issue_from_utc",
    )
    return header, tuple(_row(window, local) for window in result.windows)


def _row(window: Window, local: tzinfo) -> tuple[str, ...]:
    times = (window.start, window.latest_start, window.end)
    return (
        *(_utc(time) for time in times),
        *(clock(time, local) for time in times),
        f"{window.length / 3600:.1f}",
        f"{window.slack / 3600:.1f}",
        f"{100 * window.margin:.0f}",
        NAMES.get(window.closest, window.closest),
        f"{window.ending.step}: {window.ending.words}",
        " ".join(_utc(time) for time in window.no_return) or "none",
        f"{window.lead / 3600:.1f}",
        "this" if window.confirm is None else _utc(window.confirm),
    )


def _utc(time: np.datetime64) -> str:
    return str(time)[:16] + "Z"
