"""One known sea, and its cells as a layout has them."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

import numpy as np

FEET = 0.3048
SIXTEEN = ["N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"]
POINTS = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")
STARTS = (
    datetime(2026, 3, 2, 0),
    datetime(2026, 2, 27, 6),
    datetime(2027, 12, 31, 18),
    datetime(2026, 11, 12, 12),
)
Columns = dict[tuple[str, str], list[float]]

SYSTEMS = {
    "total": ("total",),
    "parts": ("wind sea", "swell"),
    "both": ("total", "wind sea", "swell"),
    "total and swell": ("total", "swell"),
    "two swells": ("wind sea", "swell 1", "swell 2"),
    "wide": ("total",),
    "long": ("total",),
}
TIMES = (
    "iso",
    "iso T",
    "dot",
    "day slash",
    "month slash",
    "name",
    "am pm",
    "epoch",
    "lead",
    "two columns",
    "days",
    "day once",
)
ZONES = {
    "column UTC": 0,
    "column UTC+8": 8,
    "cell Z": 0,
    "cell +02:00": 2,
    "title UTC+2": 2,
    "none": 3,
    "column LT": -3,
    "column CET": 1,
}
ISSUED = datetime(2026, 2, 27, 0)


@dataclass(frozen=True)
class Layout:
    """How a sea is written."""

    seed: int
    systems: str
    names: str
    unit: str
    unit_place: str
    times: str
    zone: str
    sides: str
    sense: str
    points: bool
    title: int
    footer: bool
    blank: bool
    again: bool
    extra: bool
    encoding: str
    missing: str
    period: str
    wind: str = "none"
    """Of the wind's direction: 'none', 'from', 'to', 'silent' or 'points', first or, with 'last' behind it, last."""

    across: bool = False
    """Whether times run across, a line a quantity."""

    middle: bool = False
    """Whether a group of columns of fixed width has its name over their middle."""

    @property
    def ahead(self) -> int:
        """Hours the clock is ahead of UTC."""
        return 0 if self.times in ("epoch", "lead") else ZONES[self.zone]


@dataclass(frozen=True)
class Sea:
    """What is written: UTC times, and height, period and direction of each system, as the file has them."""

    times: list[datetime]
    columns: Columns
    members: list[list[float]]
    holes: set[int]
    wind: list[float]
    """Direction the wind comes from [degrees], and NaN where it is variable; its speed is 20 kn throughout."""


def sea_of(layout: Layout) -> Sea:
    """A sea drawn by the layout's seed, to 0.1 m, 0.1 s and 45 degrees."""
    chance = random.Random(layout.seed)
    step = chance.choice((1, 3, 6))
    times = [chance.choice(STARTS) + timedelta(hours=step * place) for place in range(chance.randint(6, 14))]
    size = len(times)
    columns: Columns = {}
    for name, low, high in (("wind sea", 4, 8), ("swell", 10, 15), ("swell 1", 10, 15), ("swell 2", 12, 16)):
        columns["height", name] = [round(chance.uniform(0.5, 3.0), 1) for _ in range(size)]
        columns["period", name] = [round(chance.uniform(low, high), 1) for _ in range(size)]
        columns["direction", name] = [float(chance.randrange(8) * 45) for _ in range(size)]
    pairs = zip(columns["height", "wind sea"], columns["height", "swell"], strict=True)
    columns["height", "total"] = [round(float(np.hypot(*pair)), 3) for pair in pairs]
    columns["period", "total"] = columns["period", "wind sea"]
    columns["direction", "total"] = columns["direction", "wind sea"]
    members = [[round(chance.uniform(0.5, 4.0), 1) for _ in range(size)] for _ in range(3)]
    holes = {chance.randrange(1, size)} if layout.missing != "none" else set()
    first = chance.choice(STARTS)
    times = [first + timedelta(hours=step * place) for place in range(size)]
    if layout.times == "lead":
        times = [ISSUED + timedelta(hours=step * place) for place in range(size)]
    wind = [float(chance.randrange(16) * 22.5) for _ in range(size)]
    wind[chance.randrange(size)] = float("nan")
    return Sea(times, columns, members, holes, wind)


NAMES = {
    "ours": {"height": "hs", "period": "tp", "direction": "direction_{sense}"},
    "plain": {
        "height": "Significant wave height",
        "period": "Peak wave period",
        "direction": "Wave direction {sense}",
    },
    "terse": {"height": "Hs", "period": "Tp", "direction": "Dir"},
    "groups": {"height": "Hs", "period": "Tp", "direction": "Dir"},
}
GROUPS = {
    "total": "Total",
    "wind sea": "Wind sea",
    "swell": "Swell",
    "swell 1": "Swell 1",
    "swell 2": "Swell 2",
}


def _name(layout: Layout, quantity: str, system: str) -> tuple[str, str]:
    """The group and the name of a column, without its unit."""
    name = NAMES[layout.names][quantity].format(sense=layout.sense)
    if quantity == "period" and layout.period == "silent" and layout.names != "ours":
        name = "Wave period" if layout.names == "plain" else "Period"
    if layout.names == "groups" and len(SYSTEMS[layout.systems]) > 1:
        return GROUPS[system], name
    if system == "total":
        return "", name
    if layout.names == "ours":
        return "", f"{system.replace(' ', '_')}_{name}"
    return "", f"{GROUPS[system]} {name[0].lower() + name[1:] if layout.names == 'plain' else name}"


def table_of(layout: Layout, sea: Sea) -> tuple[list[str], list[str], list[str], list[list[str]], list[str]]:
    """Groups, names, units and rows of cells, and the date of each row for layouts that part days."""
    groups, names, units, columns = [], [], [], []
    times, dates = _times(layout, sea)
    for name, cells in times:
        groups.append("")
        names.append(name)
        units.append("")
        columns.append(cells)
    runs = range(3) if layout.systems == "wide" else range(1)
    for system in SYSTEMS[layout.systems]:
        for quantity, unit in (("height", layout.unit), ("period", "s"), ("direction", "deg")):
            group, name = _name(layout, quantity, system)
            values = sea.columns[quantity, system]
            for run in runs if quantity == "height" else range(1):
                own = sea.members[run] if layout.systems == "wide" and quantity == "height" else values
                member = f" member {run + 1}" if layout.systems == "wide" and quantity == "height" else ""
                groups.append(group)
                names.append(name + (member.replace(" ", "_") if layout.names == "ours" else member))
                units.append(unit)
                columns.append([_cell(layout, quantity, value) for value in own])
                for hole in sea.holes if quantity != "direction" else ():
                    columns[-1][hole] = layout.missing
    if layout.wind != "none":
        at = len(names) if layout.wind.endswith("last") else len(times)
        for place, column in enumerate(_wind(layout, sea)):
            for one, value in zip((groups, names, units, columns), column, strict=True):
                one.insert(at + place, value)
    if layout.extra:
        groups += ["", "", ""]
        names += ["Gusts", "Hmax", "Air temp"]
        units += ["kn", "m", "C"]
        size = len(sea.times)
        columns += [["12"] * size, ["9.9"] * size, ["8"] * size]
    rows = [list(row) for row in zip(*columns, strict=True)]
    if layout.systems == "long":
        names.append("member")
        groups.append("")
        units.append("")
        place = names.index(_name(layout, "height", "total")[1])
        rows = [
            [
                *row[:place],
                layout.missing if hour in sea.holes else _cell(layout, "height", heights[hour]),
                *row[place + 1 :],
                str(run),
            ]
            for run, heights in enumerate(sea.members)
            for hour, row in enumerate(rows)
        ]
        dates = dates * 3
    return groups, names, units, rows, dates


def _wind(layout: Layout, sea: Sea) -> list[tuple[str, str, str, list[str]]]:
    """Group, name, unit and cells of the wind's speed and direction."""
    way = layout.wind.split()[0]
    sense = f" {way}" if way in ("from", "to") else ""
    group, speed, direction = {
        "ours": ("", "wind_speed", f"wind_direction{sense.replace(' ', '_')}"),
        "plain": ("", "Wind speed", f"Wind direction{sense}"),
        "terse": ("", "WSpd", f"WDir{sense}"),
        "groups": ("Wind", "Speed", f"Dir{sense}"),
    }[layout.names]
    if group and len(SYSTEMS[layout.systems]) == 1:
        group, speed, direction = "", f"Wind {speed}", f"Wind {direction}"
    turned = [(value + (180.0 if way == "to" else 0.0)) % 360.0 for value in sea.wind]
    cells = [f"{value:g}" for value in turned]
    if way == "points":
        cells = ["VRB" if np.isnan(value) else SIXTEEN[int(value // 22.5)] for value in turned]
    cells = [cell if cell != "nan" else "variable" for cell in cells]
    unit = "" if way == "points" else "deg"
    return [(group, speed, "kn", ["20"] * len(cells)), (group, direction, unit, cells)]


def _cell(layout: Layout, quantity: str, value: float) -> str:
    if quantity == "height":
        metres = {
            "m": f"{value:.3f}".rstrip("0").rstrip("."),
            "ft": f"{value / FEET:.3f}",
            "cm": f"{100 * value:.1f}",
        }
        return metres[layout.unit]
    if quantity == "period":
        return f"{value:.1f}"
    turned = (value + (180.0 if layout.sense == "to" else 0.0)) % 360.0
    return POINTS[int(turned // 45)] if layout.points else f"{turned:.0f}"


_FORMS = {
    "iso": "%Y-%m-%d %H:%M",
    "iso T": "%Y-%m-%dT%H:%M",
    "dot": "%d.%m.%Y %H:%M",
    "day slash": "%d/%m/%Y %H:%M",
    "month slash": "%m/%d/%Y %H:%M",
    "name": "%d %b %Y %H:%M",
    "am pm": "%Y-%m-%d %I:%M %p",
}


def _times(layout: Layout, sea: Sea) -> tuple[list[tuple[str, list[str]]], list[str]]:
    """The time columns, and the line above each day."""
    local = [time + timedelta(hours=layout.ahead) for time in sea.times]
    zone = {
        "column UTC": " (UTC)",
        "column UTC+8": " (UTC+8)",
        "column LT": " (LT)",
        "column CET": " (CET)",
    }.get(layout.zone, "")
    tail = {"cell Z": "Z", "cell +02:00": "+02:00"}.get(layout.zone, "")
    if layout.times == "epoch":
        return [("time", [str(int(time.replace(tzinfo=UTC).timestamp())) for time in sea.times])], []
    if layout.times == "lead":
        hours = [int((time - ISSUED).total_seconds() // 3600) for time in sea.times]
        return [("Lead time", [f"+{hour:02d}" for hour in hours])], []
    clock = [f"{time:%H:%M}{tail}" for time in local]
    if layout.times == "two columns":
        return [("Date", [f"{time:%d/%m/%Y}" for time in local]), (f"Time{zone}", clock)], []
    if layout.times == "day once":
        days = [f"{time:%d %B %Y}" for time in local]
        once = [day if place == 0 or days[place - 1] != day else "" for place, day in enumerate(days)]
        return [("Date", once), (f"Time{zone}", clock)], []
    if layout.times == "days":
        return [(f"Time{zone}", clock)], [f"{time:%A} {time.day} {time:%B %Y}" for time in local]
    form = _FORMS[layout.times]
    gap = " " if layout.times == "am pm" and tail == "Z" else ""
    return [(f"Time{zone}", [time.strftime(form) + gap + tail for time in local])], []


def drawn(chance: random.Random) -> Layout:
    """A layout drawn at random from all there are."""
    layout = Layout(
        seed=chance.randrange(10**6),
        systems=chance.choice(list(SYSTEMS)),
        names=chance.choice(list(NAMES)),
        unit=chance.choice(("m", "m", "ft", "cm")),
        unit_place=chance.choice(("brackets", "brackets", "row", "nowhere")),
        times=chance.choice(TIMES),
        zone=chance.choice(list(ZONES)),
        sides=chance.choice((",", ";", "\t", "fixed", "xlsx")),
        sense=chance.choice(("from", "to")),
        points=chance.random() < 0.3,
        title=chance.randrange(3),
        footer=chance.random() < 0.3,
        blank=chance.random() < 0.3,
        again=chance.random() < 0.2,
        extra=chance.random() < 0.3,
        encoding=chance.choice(("utf-8", "utf-8", "utf-16", "cp1252")),
        missing=chance.choice(("none", "none", "-", "N/A", "-999", "")),
        period=chance.choice(("said", "silent")),
        wind=chance.choice(
            ("none", "from", "to", "silent", "points", "silent last", "to last", "points last")
        ),
        across=chance.random() < 0.25,
        middle=chance.random() < 0.5,
    )
    return replace(layout, names="ours") if layout.systems == "long" and layout.names == "groups" else layout
