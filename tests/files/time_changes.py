"""Changes to the times of a table: other orders of dates, zones, times that are none, an hour that comes twice."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

from spoiling import Meant, Table

ODD_TIMES = [
    "0001-01-01T00:00",
    "9999-12-31T23:59",
    "2026-02-29T00:00",
    "2028-02-29T00:00",
    "1900-02-29",
    "24:00",
    "2026-13-01T00:00",
    "2026-01-32",
    "31/31/2026",
    "now",
    "",
    "1e308",
    "-1",
    "46000.5",
    "2026-03-29T02:30",
    "2026-12-27T24:00",
    "2026-12-27T23:60",
    "2026-12-27T23:59:60",
    "27 Dec",
    "Dec 2026",
    "26-12-27",
    "NaT",
]

DATES = [
    "%d.%m.%Y %H:%M",
    "%d/%m/%Y %H:%M",
    "%m/%d/%Y %H:%M",
    "%d-%b-%Y %H:%M",
    "%Y%m%d%H%M",
    "%Y%m%dT%H%MZ",
    "%m/%d/%Y %I:%M %p",
    "%Y/%m/%d %H:%M",
    "%d %B %Y %H:%M",
    "%a %d %b %Y %H:%M",
    "%Y-%m-%d %H:%M:%S",
]


def other_dates(table: Table, draw: random.Random) -> Meant | None:
    """Dates in another order: the same times, or asked, or refused."""
    if not table.stamps:
        return None
    form = draw.choice(DATES)
    return Meant(
        f"dates {form}",
        _stamped(table, [when.strftime(form) for when in table.stamps]).data(),
        answers={"date_order": "month first" if form.startswith("%m") else "day first", "time_zone": "UTC"},
    )


def other_zone(table: Table, draw: random.Random) -> Meant | None:
    """A zone behind every time: all are shifted by it."""
    if not table.stamps or "utc" in table.columns[0].head.lower():
        return None
    text, minutes = draw.choice(
        (("Z", 0), ("+00:00", 0), ("+02:00", 120), ("-0530", -330), ("+14:00", 840), ("+05:45", 345))
    )
    cells = [when.strftime("%Y-%m-%dT%H:%M") + text for when in table.stamps]
    return Meant(f"zone {text}", _stamped(table, cells).data(), shift=-timedelta(minutes=minutes))


def odd_time(table: Table, draw: random.Random) -> Meant | None:
    """One time that is none, far off, of a leap day, or written another way."""
    if not table.stamps:
        return None
    row = draw.randrange(len(table.stamps))
    cells = list(table.columns[0].cells)
    cells[row] = draw.choice(ODD_TIMES)
    return Meant(f"time {cells[row]!r}", _stamped(table, cells).data(), loose=frozenset({row}))


def hour_twice(table: Table, draw: random.Random) -> Meant | None:
    """Local times with the hour of autumn twice and no zone: no two seas may come of one time."""
    if not table.stamps or len(table.stamps) < 4:
        return None
    cells = [when.strftime("%Y-%m-%d %H:%M") for when in table.stamps]
    row = draw.randrange(1, len(cells) - 1)
    cells[row:] = cells[row - 1 : -1]
    return Meant("hour twice", _stamped(table, cells).data(), unread=True)


def _stamped(table: Table, cells: Sequence[str]) -> Table:
    return replace(table, columns=(replace(table.columns[0], cells=tuple(cells)), *table.columns[1:]))
