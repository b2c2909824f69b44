"""Forecast and hindcast files: a table of seas over time to a Forecast, or an ensemble of them."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Final

import numpy as np

from heave.errors import FileError, InputError
from heave.fields import MAX_TEXT
from heave.files.forecast.mapping import (
    ForecastQuestions,
    Roles,
    answered,
    guess,
    questions_about,
    roles_of,
    systems_of,
    time_places,
)
from heave.files.forecast.seas import Seas, make_seas
from heave.files.forecast.series import count_of, in_order, members_of, step_and_gaps
from heave.files.forecast.table import forecast_numbers, forecast_table
from heave.files.rows import Flags, FloatArray, Integers
from heave.files.tables import Source, Table
from heave.files.times import CLOCK_PUT_BACK, NO_ZONE, read_times
from heave.planning.columns import WAVES, ForecastMapping
from heave.weather.forecast import MAX_MEMBERS, EnsembleForecast, Forecast

SAMPLE: Final = Path(__file__).resolve().parents[3] / "sea_states" / "sample_forecast.csv"
"""The invented sample forecast."""


@dataclass(frozen=True)
class _Rows:
    """All rows of the file, read."""

    times: Integers
    values: FloatArray
    wind: FloatArray | None
    line: Callable[[int], int]
    """Line of the file a row stood on."""

    seas: Seas
    groups: dict[str, Integers]
    """Rows of each member that are used."""

    notes: tuple[str, ...]


def read_forecast(
    source: Source,
    mapping: ForecastMapping | None = None,
    *,
    period_kind: str | None = None,
    height_unit: str | None = None,
    direction_sense: str | None = None,
    direction_from: float | None = None,
    time_zone: str | None = None,
    depth: float | None = None,
    name: str | None = None,
) -> Forecast | EnsembleForecast:
    """Read a forecast or a hindcast.

    Columns are known by their names (ours, CF standard names, ECMWF short names, GRIB2 abbreviations, a buoy
    centre's files) or by `mapping`. The rules for repeated, unsorted, missing and uneven rows are those of
    `forecast_seas` and `forecast_series`; the notes of the result say which were used.

    Parameters
    ----------
    source : a path, or bytes
    mapping : meaning of the columns; None takes them by their names
    period_kind : 'Tp', 'Tz', 'T1' or 'Te', for period columns that do not say
    height_unit : 'm' or 'ft', for height columns that do not say
    direction_sense : 'from' or 'to', for direction columns that do not say
    direction_from : for wave systems without a direction column [degrees]
    time_zone : of times that carry none; empty is UTC
    depth : water depth [m]; None is deep water
    name : what to call it; None takes the file's name

    Returns
    -------
    Forecast, or EnsembleForecast where a member column of the file names more than one

    Raises
    ------
    ForecastQuestions
        A FileError whose `questions` must be answered before the file can be understood.
    FileError
        With line and column for anything that cannot be read in one way or is out of range.
    """
    table = forecast_table(source)
    answers = {"period_kind": period_kind, "height_unit": height_unit, "direction_sense": direction_sense}
    used = answered(guess(table) if mapping is None else mapping, answers)
    if direction_from is not None:
        used = replace(used, direction_from=direction_from)
    if time_zone is not None:
        used = replace(used, time_zone=time_zone)
    questions = questions_about(used, table)
    if questions:
        raise ForecastQuestions(questions, used)
    called = _name(source) if name is None else name
    rows = _read_rows(table, used, depth)
    if len(rows.groups) == 1:
        return _forecast(rows, next(iter(rows.groups.values())), used, called, None)
    if len(rows.groups) > MAX_MEMBERS:
        raise table.refuse("members", len(rows.groups), f"at most {MAX_MEMBERS}")
    common = np.unique(rows.times)
    members = tuple(
        _forecast(rows, chosen, used, f"{called}, member {member}", common)
        for member, chosen in rows.groups.items()
    )
    notes = dict.fromkeys(note for member in members for note in member.notes)
    return EnsembleForecast(members, tuple(rows.groups), called, tuple(notes))


@cache
def demo_forecast() -> Forecast:
    """The invented sample forecast of ten days, in deep water."""
    found = read_forecast(SAMPLE)
    if not isinstance(found, Forecast):
        raise InputError("sample forecast", "members", None, "one forecast")
    return found


def _read_rows(table: Table, mapping: ForecastMapping, depth: float | None) -> _Rows:
    """Numbers, times and seas of every row, in the order of the file."""
    roles = roles_of(mapping, table)
    systems = systems_of(roles)
    wind = roles.get(("wind speed", "total"))
    winds = [wind] if wind is not None and wind.unit else []
    read = [(quantity, system) for system in systems for quantity in WAVES] + [("height", "total")]
    waves = [meaning for key, meaning in roles.items() if key in read]
    numbers = forecast_numbers(table, waves + winds)
    member = roles.get(("member", "total"))
    members = None if member is None else _members(table, member.column)
    places = time_places(roles, table.header)
    ticks, notes = read_times(table, places, mapping.time_zone, members)
    seas = make_seas(numbers, systems, roles, mapping, depth)
    taken = {*numbers, *(table.header[place] for place in places.values()), member and member.column}
    left = [header for header in table.header if header not in taken]
    about = (*notes, *_about_systems(systems, roles, mapping), *seas.notes)
    about += (f"Columns not used: {', '.join(left)}.",) if left else ()
    times = ticks // 10**6
    groups = members_of(members, times.size)
    if table.buoy:
        groups, left_out = _without_wind_only(times, seas.seen)
        about += left_out
    carried = numbers[winds[0].column] if winds else None
    values = np.column_stack(list(numbers.values()))
    return _Rows(times, values, carried, table.rows.line, seas, groups, about)


def _about_systems(systems: tuple[str, ...], roles: Roles, mapping: ForecastMapping) -> tuple[str, ...]:
    made = "Sea from " + ", ".join("its total" if name == "total" else name for name in systems)
    periods = [roles["period", name] for name in systems]
    kinds = ", ".join(f"{meaning.column} as {meaning.period_kind}" for meaning in periods)
    notes = [f"{made}; periods: {kinds}."]
    fixed = [name for name in systems if ("direction", name) not in roles]
    if fixed:
        notes.append(f"Direction of {', '.join(fixed)} taken as {mapping.direction_from:g}° throughout.")
    return tuple(notes)


def _members(table: Table, column: str) -> list[str]:
    cells = table.rows.column(table.header.index(column))
    for cell in dict.fromkeys(cells):
        if not cell or len(cell) > MAX_TEXT or not cell.isprintable():
            line = table.rows.line(cells.index(cell))
            raise FileError("member", cell[:60], None, "a name or number", line=line, column=column)
    return cells


def _without_wind_only(times: Integers, seen: Flags) -> tuple[dict[str, Integers], tuple[str, ...]]:
    """A buoy's rows at minutes of the hour at which the file never has waves carry the wind only: left out."""
    minute = times % 3600
    kept = np.isin(minute, np.unique(minute[seen]))
    if kept.all() or not kept.any():
        return {"": np.arange(times.size)}, ()
    note = f"Left out at minutes without wave records: {count_of((~kept).sum())}."
    return {"": np.flatnonzero(kept)}, (note,)


def _forecast(
    rows: _Rows, chosen: Integers, mapping: ForecastMapping, name: str, common: Integers | None
) -> Forecast:
    """One series; on `common` times those it lacks are missing."""
    order, notes = in_order(rows.times, rows.values, rows.line, chosen, mapping.repeated_times)
    if order.size < chosen.size and NO_ZONE in rows.notes:
        notes.append(CLOCK_PUT_BACK)
    times = rows.times[order]
    batch = rows.seas.batch.take(order)
    wind = None if rows.wind is None else rows.wind[order]
    if common is not None and common.size != times.size:
        where = np.minimum(np.searchsorted(times, common), times.size - 1)
        lacking = times[where] != common
        batch = batch.take(where).times(np.where(lacking, np.nan, 1.0))
        wind = None if wind is None else np.where(lacking, np.nan, wind[where])
        notes.append(f"Missing, as only other members have them: {count_of(lacking.sum(), 'time')}.")
        times = common
    step, gaps, about = step_and_gaps(times)
    every = (*rows.notes, *notes, *about)
    moments = times.astype("datetime64[s]")
    return Forecast(moments, batch, rows.seas.names, step, gaps, wind, name, every)


def _name(source: Source) -> str:
    if not isinstance(source, str | os.PathLike):
        return "forecast"
    stem = Path(source).stem[:MAX_TEXT]
    return stem if stem.isprintable() and stem else "forecast"
