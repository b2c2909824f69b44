"""What the columns of a forecast file mean: a first guess by name, and which column stands for what."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from heave.files.forecast.clock import moment_in
from heave.files.forecast.layout import Sheet
from heave.files.forecast.names import column_meaning, not_used, rank
from heave.files.forecast.words import is_statistic, numbered_in, speed_in, swell_in
from heave.files.registry import MISSING_WORDS, OF_CONVENTION, POINTS
from heave.files.rows import Table
from heave.files.times import TIME_SETS
from heave.planning.columns import UNITS_OF, USUAL_SENSES, WAVES, ColumnMeaning, ForecastMapping

Roles = dict[tuple[str, str], ColumnMeaning]
"""The column for each (quantity, wave system); the system of times, members and wind is `total`."""

_LOOKED_AT: Final = 200
"""Rows in which is looked whether a column holds numbers."""

ONE_OF_THEM: Final = "delete the other, or say in its name of what it is"
"""What to change where two columns give one quantity."""

_STEP = re.compile(r"([tThHfF]?\+|[tThHfF])?0*([0-9]{1,3})h?")
_WAVES = re.compile(r"\b(?:hs|hm0|hmax|swh|h1/3|tp|tz|tm|te|waves?|swell|period)\b")
_WIND = re.compile(r"\bwind|gust|\bw ?(?:spd|spe|speed|s)\b|\bff\b")
_NUMERIC = re.compile(r"[<>+-]?[0-9]+([.,][0-9]+)?(\s*-\s*[0-9.,]+)?\u00b0?")


def guess(sheet: Sheet) -> ForecastMapping:
    """The mapping by names alone: of several columns for one quantity the surest, the others not used.

    A column whose name says nothing and that holds numbers is among the unknown.

    Parameters
    ----------
    sheet : the file as a table

    Raises
    ------
    FileError
        If two columns give one quantity equally well.
    """
    table = sheet.table
    parts, numbered = swell_in(table.header), numbered_in(table.header)
    best: dict[tuple[str, str, str], ColumnMeaning] = {}
    unknown, either = [], list[tuple[str, str]]()
    for place, header in enumerate(table.header):
        meaning = column_meaning(header, table.buoy, parts, numbered)
        if meaning is None and holds(table, place) in ("numbers", "points") and not speed_in(header):
            unknown.append(header)
        if meaning is None or meaning.quantity in ("not used", "other height"):
            continue
        key = (*meaning.role, meaning.member)
        other = best.get(key)
        if other is not None and rank(other) == rank(meaning):
            if meaning.quantity in ("time", "issued", "lead", "clock") or meaning.system != other.system:
                continue
            if meaning.quantity in USUAL_SENSES:
                either.append(meaning.role)
                continue
            allowed = f"one column for the {named(meaning)}; {other.column} gives it too: {ONE_OF_THEM}"
            raise table.refuse("column", header, allowed, header)
        if other is None or rank(meaning) < rank(other):
            best[key] = meaning
            if other is not None and meaning.quantity == "time" and _steps_from(table, other.column):
                # the run, beside the valid time
                best["issued", "total", ""] = replace(other, quantity="issued")
    for role in either:
        best.pop((*role, ""), None)  # nothing is judged by it: which of them it is need not be asked
    _times(best, table)
    _winds(best, table)
    way = best.get(("direction", "total", ""))
    if way is not None and _of_another(table, way.column, best):
        del best["direction", "total", ""]
        unknown.append(way.column)
    used = {meaning.column: meaning for meaning in best.values()}
    columns = tuple(used.get(header) or _left(header, sheet) for header in table.header)
    return ForecastMapping(columns, tuple(unknown))


def _winds(best: dict[tuple[str, str, str], ColumnMeaning], table: Table) -> None:
    """The unit of a wind speed by the convention the file keeps to; one that is a component of the wind is no speed."""
    speed = best.get(("wind speed", "total", ""))
    if speed is None:
        return
    mark = OF_CONVENTION.get(speed.column, "")
    if mark and not speed.unit and any(mark in name for name in table.header):
        best["wind speed", "total", ""] = replace(speed, unit="m/s")
    if speed.column[:1] == "u" and f"v{speed.column[1:]}" in table.header:
        del best["wind speed", "total", ""]


def _of_another(table: Table, column: str, best: dict[tuple[str, str, str], ColumnMeaning]) -> bool:
    """Whether a direction that does not say of what may be that of the wind, the current or a part of the sea.

    It is of the whole sea where it stands behind its height or period, or where all others have their own.
    """
    if table.buoy or re.search(r"wave|sea|swell|mwd|dirpw|hs|tp|peak|^direction_(?:from|to)_deg$", column):
        return False
    known = {meaning.column: meaning for meaning in best.values()}
    place = table.header.index(column)
    before = table.header[place - 1] if place else ""
    waves = known.get(before)
    if waves is not None and waves.quantity in ("height", "period"):
        return waves.system != "total" and ("direction", waves.system, "") not in best
    held = {name: known[name].quantity if name in known else "" for name in table.header if name != column}
    left = {about_beside(name, quantity) for name, quantity in held.items()} - {""}
    left -= {name for name in left if (f"{name} direction", "total", "") in best}
    return bool(left) and not _WAVES.search(before)


def about_beside(name: str, quantity: str) -> str:
    """'wind' or 'current' where a column is about one of them by what it holds or by its name; else empty.

    Parameters
    ----------
    name : of the column
    quantity : what it holds, as far as that is known
    """
    if quantity in ("wind speed", "gust") or _WIND.search(name):
        return "wind"
    return "current" if quantity == "current" or "current" in name else ""


def _left(header: str, sheet: Sheet) -> ColumnMeaning:
    """A column that is not used, or the highest wave, which is only told."""
    found = column_meaning(header, sheet.table.buoy, True)
    return found if found is not None and found.quantity == "other height" else not_used(header)


def _times(best: dict[tuple[str, str, str], ColumnMeaning], table: Table) -> None:
    """Tell date, time of day, time and steps from each other by what their cells hold."""

    def take(name: str) -> ColumnMeaning | None:
        return best.get((name, "total", ""))

    def put(name: str, meaning: ColumnMeaning) -> None:
        best.pop((meaning.quantity, "total", ""), None)
        best[name, "total", ""] = replace(meaning, quantity=name)

    date, time, clock = take("date"), take("time"), take("clock")
    first = date or clock
    if time is None and first is not None and _whole(table, first.column):
        put("time", first)
    elif date is not None and time is not None:
        if _whole(table, time.column):
            del best["date", "total", ""]
        elif clock is None and _whole(table, date.column):
            best.pop(("time", "total", ""))
            put("time", date)
        elif clock is None:
            put("clock", time)
    time, clock = take("time"), take("clock")
    lead = take("lead")
    if lead is not None and (time is not None or (take("date") and clock) or table.buoy):
        if time is not None and take("issued") is None and not table.buoy and _steps_from(table, time.column):
            put("issued", time)  # one time throughout, and steps beside it
        else:
            del best["lead", "total", ""]
    elif lead is None:
        alone = time or (clock if take("date") is None else None)
        if alone is not None and steps_in(table, alone.column):
            put("lead", alone)


def _first(table: Table, column: str) -> str:
    return table.cells(column, 1)[0]


def _whole(table: Table, column: str) -> bool:
    """Whether a column holds whole times: a date with its time of day, or seconds since 1970."""
    cell = _first(table, column)
    moment = moment_in(cell)
    return bool(
        (moment and moment.numbers and moment.seconds is not None)
        or re.fullmatch(r"[0-9]{10}([0-9]{3})?|[2-7][0-9]{4}\.[0-9]+", cell)
    )


def _steps_from(table: Table, column: str) -> bool:
    cells = table.cells(column)
    return len(cells) > 1 and len(set(cells)) == 1


def steps_in(table: Table, column: str) -> bool:
    """Whether a column holds steps such as +06, T+6 or 0, 3 … 27, which no clock shows.

    Parameters
    ----------
    table : the table
    column : name of the column
    """
    if not _STEP.fullmatch(_first(table, column).strip()):
        return False
    plain = [_STEP.fullmatch(cell.strip()) for cell in table.rows.coded(table.header.index(column))[0]]
    if not all(plain):
        return False
    return all(found[1] for found in plain if found) or max(int(found[2]) for found in plain if found) > 24


def holds(table: Table, place: int) -> str:
    """What the first cells of a column are: 'numbers', 'points' of the compass, 'times', or 'words'.

    Parameters
    ----------
    table : the file
    place : of the column
    """
    cells = [cell for cell in _first_cells(table, place) if cell and cell not in MISSING_WORDS]
    if not cells:
        return "words"
    if all(_NUMERIC.fullmatch(cell) for cell in cells):
        return "numbers"
    if all(cell.upper() in POINTS for cell in cells):
        return "points"
    if all((moment := moment_in(cell)) and moment.numbers for cell in cells):
        return "times"
    return "numbers" if 2 * sum(bool(_NUMERIC.fullmatch(cell)) for cell in cells) > len(cells) else "words"


def could_be(table: Table, place: int, quantity: str) -> bool:
    """Whether the first numbers of a column could be a height [m or ft], a period [s] or a direction [degrees].

    Parameters
    ----------
    table : the file
    place : of the column
    quantity : which of the three
    """
    kind = holds(table, place)
    if kind == "points":
        return quantity == "direction"
    if kind != "numbers":
        return False
    cells = [re.fullmatch(r"\+?([0-9]+([.,][0-9]+)?)", cell) for cell in _first_cells(table, place)]
    most = max((float(cell[1].replace(",", ".")) for cell in cells if cell), default=math.inf)
    if quantity == "direction":
        return 40.0 < most <= 360.0
    return most <= (40.0 if quantity == "period" else 82.0)


def _first_cells(table: Table, place: int) -> list[str]:
    return table.rows.column(place, np.arange(min(_LOOKED_AT, len(table.rows))))


def roles_of(mapping: ForecastMapping, table: Table, member: str | None = None) -> Roles:
    """The column for each quantity and wave system; of an ensemble in columns, those of one member.

    Parameters
    ----------
    mapping : meaning of the columns
    table : the table
    member : whose columns; None takes the first that has each

    Raises
    ------
    FileError
        If the mapping names a column the file does not have, or two columns for one quantity.
    """
    roles: Roles = {}
    for meaning in mapping.columns:
        if meaning.quantity in ("not used", "other height") and meaning.column in table.header:
            continue
        if meaning.column not in table.header:
            allowed = "the columns of this file: " + ", ".join(table.header[:20]) + ". Name one of them"
            raise table.refuse("mapped column", meaning.column, allowed, meaning.column)
        if member is not None and meaning.member not in ("", member):
            continue
        other = roles.get(meaning.role)
        if other is not None and other.member == meaning.member:
            allowed = f"one column for the {named(meaning)}; {other.column} gives it too: {ONE_OF_THEM}"
            raise table.refuse("mapped column", meaning.column, allowed, meaning.column)
        if other is not None and bool(meaning.member) == (member is None):
            continue  # of all members the column that is no member's, of one member its own
        units = UNITS_OF.get(meaning.quantity, ())
        if meaning.unit and meaning.unit not in units:
            allowed = ("the unit " + " or ".join(units) if units else "no unit") + ": correct it"
            raise table.refuse("unit", meaning.unit, allowed, meaning.column)
        roles[meaning.role] = meaning
    return roles


def members_in(mapping: ForecastMapping) -> tuple[str, ...]:
    """Members that have columns of their own, in the order of the file.

    Parameters
    ----------
    mapping : how the file is to be read
    """
    own = (meaning.member for meaning in mapping.columns if meaning.member and meaning.quantity in WAVES)
    return tuple(dict.fromkeys(own))


def runs_in(mapping: ForecastMapping) -> tuple[str, ...]:
    """Of these members those that are runs of the model, and no figures over them.

    Parameters
    ----------
    mapping : how the file is to be read
    """
    return tuple(name for name in members_in(mapping) if not is_statistic(name))


def time_places(roles: Roles, header: Sequence[str]) -> dict[str, int]:
    """Columns that hold the time, by what they hold; empty where there are none.

    Parameters
    ----------
    roles : the column for each quantity
    header : names of the columns
    """
    for names in TIME_SETS:
        if all((name, "total") in roles for name in names):
            extra = ("minute",) if "year" in names and ("minute", "total") in roles else ()
            return {name: header.index(roles[name, "total"].column) for name in (*names, *extra)}
    return {}


def named(meaning: ColumnMeaning) -> str:
    """A column's quantity in words: 'height of the sea'.

    Parameters
    ----------
    meaning : of the column
    """
    of_waves = f" of {system_words(meaning.system)}" if meaning.quantity in WAVES else ""
    return meaning.quantity + of_waves


def system_words(system: str) -> str:
    """A wave system in words."""
    return "the sea" if system == "total" else system
