"""Forecast and hindcast files: a table of seas over time to a Forecast, or an ensemble of them."""

from __future__ import annotations

import os
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.errors import FileError, InputError
from heave.fields import MAX_TEXT
from heave.files.forecast.cells import read_numbers
from heave.files.forecast.mapping import (
    Answers,
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
from heave.files.forecast.table import ForecastTable, forecast_table
from heave.files.forecast.times import CLOCK_PUT_BACK, NO_ZONE, read_times
from heave.files.tables import Source
from heave.planning.columns import ForecastMapping
from heave.sea.batch import Slot, SystemSlot
from heave.weather.forecast import MAX_MEMBERS, EnsembleForecast, Forecast

FloatArray = npt.NDArray[np.float64]
Seconds = npt.NDArray[np.int64]

SAMPLE: Final = Path(__file__).resolve().parents[3] / "sea_states" / "sample_forecast.csv"
"""The invented sample forecast."""

_WAVES: Final = ("height", "period", "direction")


@dataclass(frozen=True)
class _Rows:
    """All rows of the file, read."""

    times: Seconds
    values: FloatArray
    wind: FloatArray | None
    lines: tuple[int, ...]
    seas: Seas
    members: tuple[str, ...] | None
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
    found = forecast_table(source)
    answers = Answers(period_kind, height_unit, direction_sense, direction_from, time_zone)
    used = answered(guess(found) if mapping is None else mapping, answers)
    questions = questions_about(used, found)
    if questions:
        raise ForecastQuestions(questions, used)
    called = _name(source) if name is None else name
    rows = _read_rows(found, used, depth)
    groups = members_of(rows.members, rows.times.size)
    if len(groups) == 1:
        return _forecast(rows, next(iter(groups.values())), used, called, None)
    if len(groups) > MAX_MEMBERS:
        raise FileError("members", len(groups), None, f"at most {MAX_MEMBERS}", line=found.table.header_line)
    return _ensemble(rows, groups, used, called)


@cache
def demo_forecast() -> Forecast:
    """The invented sample forecast of ten days, in deep water."""
    found = read_forecast(SAMPLE)
    if not isinstance(found, Forecast):
        raise InputError("sample forecast", "members", None, "one forecast")
    return found


def _read_rows(found: ForecastTable, mapping: ForecastMapping, depth: float | None) -> _Rows:
    """Numbers, times and seas of every row, in the order of the file."""
    table = found.table
    roles = roles_of(mapping, found)
    systems = systems_of(roles)
    wind = roles.get(("wind speed", "total"))
    wind = wind if wind is not None and wind.unit else None
    waves = [roles[key] for key in roles if key[0] in _WAVES and _used(key, systems)]
    numbers = read_numbers(table, waves if wind is None else [*waves, wind])
    member = roles.get(("member", "total"))
    members = None if member is None else _texts(table.header.index(member.column), found)
    places = time_places(roles, table.header)
    times, notes = read_times(table, places, mapping.time_zone, members)
    seas = make_seas(numbers, systems, roles, mapping, depth)
    taken = {meaning.column for meaning in waves} | ({wind.column} if wind else set())
    taken |= {table.header[place] for place in places.values()} | ({member.column} if member else set())
    left = [header for header in table.header if header not in taken]
    about = (*notes, *_about_systems(systems, roles, mapping), *seas.notes)
    about += (f"Columns not used: {', '.join(left)}.",) if left else ()
    carried = None if wind is None else numbers[wind.column]
    values = np.column_stack(list(numbers.values()))
    lines = tuple(row.line for row in table.rows)
    rows = _Rows(times, values, carried, lines, seas, members, about)
    return _without_wind_only(rows) if found.buoy else rows


def _used(key: tuple[str, str], systems: tuple[str, ...]) -> bool:
    """Whether a wave column is read: those of the systems, and the total height as a check of the parts."""
    return key[1] in systems or key == ("height", "total")


def _about_systems(systems: tuple[str, ...], roles: Roles, mapping: ForecastMapping) -> tuple[str, ...]:
    made = "Sea from " + ", ".join("its total" if name == "total" else name for name in systems)
    periods = [roles["period", name] for name in systems]
    kinds = ", ".join(f"{meaning.column} as {meaning.period_kind}" for meaning in periods)
    notes = [f"{made}; periods: {kinds}."]
    fixed = [name for name in systems if ("direction", name) not in roles]
    if fixed:
        notes.append(f"Direction of {', '.join(fixed)} taken as {mapping.direction_from:g}° throughout.")
    return tuple(notes)


def _texts(place: int, found: ForecastTable) -> tuple[str, ...]:
    cells = tuple(row.cells[place] for row in found.table.rows)
    column = found.table.header[place]
    for row, cell in zip(found.table.rows, cells, strict=True):
        if not cell or len(cell) > MAX_TEXT or not cell.isprintable():
            raise FileError("member", cell[:60], None, "a name or number", line=row.line, column=column)
    return cells


def _without_wind_only(rows: _Rows) -> _Rows:
    """A buoy's rows at minutes of the hour at which the file never has waves carry the wind only: left out."""
    minute = rows.times % 3600
    kept = np.isin(minute, np.unique(minute[rows.seas.seen]))
    if kept.all() or not kept.any():
        return rows
    places = np.flatnonzero(kept)
    notes = (*rows.notes, f"Left out at minutes without wave records: {count_of((~kept).sum())}.")
    seas = Seas(rows.seas.batch.take(places), rows.seas.names, rows.seas.seen[places], rows.seas.notes)
    wind = None if rows.wind is None else rows.wind[places]
    lines = tuple(rows.lines[place] for place in places)
    return _Rows(rows.times[places], rows.values[places], wind, lines, seas, rows.members, notes)


def _forecast(
    rows: _Rows, chosen: Seconds, mapping: ForecastMapping, name: str, common: Seconds | None
) -> Forecast:
    """One series; on `common` times those it lacks are missing."""
    order, notes = in_order(rows.times, rows.values, rows.lines, chosen, mapping.repeated_times)
    if order.size < chosen.size and NO_ZONE in rows.notes:
        notes.append(CLOCK_PUT_BACK)
    times = rows.times[order]
    batch = rows.seas.batch.take(order)
    wind = None if rows.wind is None else rows.wind[order]
    if common is not None and common.size != times.size:
        where = np.minimum(np.searchsorted(times, common), times.size - 1)
        lacking = times[where] != common
        batch = batch.take(where)
        slots = tuple(_blanked(slot, lacking) for slot in batch.slots)
        batch = type(batch)(slots, batch.depth)
        wind = None if wind is None else np.where(lacking, np.nan, wind[where])
        notes.append(f"Missing, as only other members have them: {count_of(lacking.sum(), 'time')}.")
        times = common
    step, gaps, about = step_and_gaps(times)
    every = (*rows.notes, *notes, *about)
    moments = times.astype("datetime64[s]")
    return Forecast(moments, batch, rows.seas.names, step, gaps, wind, name, every)


def _ensemble(
    rows: _Rows, groups: dict[str, Seconds], mapping: ForecastMapping, name: str
) -> EnsembleForecast:
    common = np.unique(rows.times)
    members = tuple(
        _forecast(rows, chosen, mapping, f"{name}, member {member}", common)
        for member, chosen in groups.items()
    )
    notes = dict.fromkeys(note for member in members for note in member.notes)
    return EnsembleForecast(members, tuple(groups), name, tuple(notes))


def _blanked(slot: Slot, rows: npt.NDArray[np.bool_]) -> Slot:
    """The slot with the sea of `rows` missing."""
    if not isinstance(slot, SystemSlot):
        raise InputError("slot", type(slot).__name__, None, "a wave system")
    return replace(slot, hs=np.where(rows, np.nan, slot.hs))


def _name(source: Source) -> str:
    if not isinstance(source, str | os.PathLike):
        return "forecast"
    stem = Path(source).stem[:MAX_TEXT]
    return stem if stem.isprintable() and stem else "forecast"
