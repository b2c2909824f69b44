"""Forecast and hindcast files: a table of seas over time to a Forecast, or an ensemble of them."""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from heave.arrays import FloatArray
from heave.errors import FileError
from heave.fields import MAX_TEXT
from heave.files.forecast.answers import answered
from heave.files.forecast.mapping import guess, members_in, roles_of, runs_in
from heave.files.forecast.questions import ForecastQuestions, Understood, understood
from heave.files.forecast.seas import Seas, make_seas
from heave.files.forecast.series import in_order, members_of, step_and_gaps, without_short_holes
from heave.files.forecast.table import directions_beside, forecast_numbers, forecast_sheet
from heave.files.forecast.turned import placed
from heave.files.forecast.words import is_statistic
from heave.files.rows import Flags, Integers, Table
from heave.files.tables import Source
from heave.files.wanted import at_most
from heave.planning.columns import BESIDE, UNSURE, USUAL_SENSES, WAVES, ForecastMapping
from heave.units import counted
from heave.weather.forecast import FURTHEST_ISSUE, MAX_MEMBERS, EnsembleForecast, Forecast


@dataclass(frozen=True)
class _Rows:
    """All rows of the file, read."""

    times: Integers
    values: FloatArray
    beside: dict[str, FloatArray]
    """What stands beside the waves, by its field of a forecast."""

    line: Callable[[int], int]
    """Line of the file a row stood on."""

    groups: dict[str, tuple[Seas, Integers]]
    """Seas of each member, and its rows that are used."""

    notes: tuple[str, ...]
    issued: np.datetime64 | None


def read_forecast(
    source: Source,
    mapping: ForecastMapping | None = None,
    *,
    period_kind: str | None = None,
    height_unit: str | None = None,
    direction_sense: str | None = None,
    direction_from: float | None = None,
    time_zone: str | None = None,
    issued: str | None = None,
    depth: float | None = None,
    name: str | None = None,
) -> Forecast | EnsembleForecast:
    """Read a forecast or a hindcast: text of any of many layouts, or a workbook (.xlsx).

    Columns are known by their names (ours, CF standard names, ECMWF short names, GRIB2 abbreviations, a buoy
    centre's files), by the words of their names, or by `mapping`. The rules for repeated, unsorted, missing and
    uneven rows are those of `seas` and `series` beside this module; the notes of the result say which were used.

    Parameters
    ----------
    source : a path, or bytes
    mapping : meaning of the columns; None takes them by their names
    period_kind : 'Tp', 'Tz', 'T1' or 'Te', for period columns that do not say
    height_unit : 'm', 'ft' or 'cm', for height columns that do not say
    direction_sense : 'from' or 'to', for direction columns that do not say
    direction_from : for wave systems without a direction column [degrees]
    time_zone : of times that carry none, such as 'UTC', '+02:00' or 'Europe/Oslo'
    issued : when the forecast was issued, where its file does not say, ISO 8601, UTC
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
    sheet = forecast_sheet(source)
    with placed(sheet.hours):
        answers = {"period_kind": period_kind, "height_unit": height_unit, "direction_sense": direction_sense}
        used = answered(guess(sheet) if mapping is None else mapping, answers)
        if direction_from is not None:
            used = replace(used, direction_from=direction_from)
        if time_zone is not None:
            used = replace(used, time_zone=time_zone)
        known = understood(sheet, used, issued)
        if known.questions:
            raise ForecastQuestions(known.questions, used)
        called = _name(source) if name is None else name
        rows = _read_rows(known, depth)
        if len(rows.groups) == 1:
            found = _forecast(rows, next(iter(rows.groups)), used, called, None)
            _some_known((found,), sheet.table)
            return found
        line = sheet.table.header_line
        at_most("members", len(rows.groups), MAX_MEMBERS, ": delete those over it", line)
        common = np.unique(np.concatenate([rows.times[chosen] for _, chosen in rows.groups.values()]))
        members = tuple(
            _forecast(rows, member, used, f"{called}, member {member}"[:MAX_TEXT], common)
            for member in rows.groups
        )
        _some_known(members, sheet.table)
        notes = dict.fromkeys(note for member in members for note in member.notes)
        return EnsembleForecast(members, tuple(rows.groups), called, tuple(notes))


def _some_known(found: tuple[Forecast, ...], table: Table) -> None:
    """Refuse a file in which no sea is known."""
    if all(bool(member.missing.all()) for member in found):
        why = "; ".join(note for note in found[0].notes if "missing" in note)
        allowed = f"at least one row with every wave number. {why} Ask the forecaster for them"
        raise table.refuse("sea", "missing in every row", allowed.replace("  ", " "))


def _read_rows(known: Understood, depth: float | None) -> _Rows:
    """Numbers, times and seas of every row, in the order of the file."""
    table, mapping, roles, made = known.sheet.table, known.mapping, known.roles, known.made
    wanted = {(quantity, system) for system in made.all for quantity in WAVES} | {("height", "total")}
    if made.checks_swell:
        wanted |= {("height", "swell")}
    if made.rest:
        wanted |= {(quantity, "total") for quantity in WAVES if (quantity, made.rest) not in roles}
    held = ((name, roles.get((quantity, "total"))) for quantity, name in BESIDE.items())
    beside = {name: meaning for name, meaning in held if meaning is not None}
    unitless = [meaning for meaning in beside.values() if not meaning.unit]
    beside = {name: meaning for name, meaning in beside.items() if meaning.unit}
    ways = {name: meaning for name, meaning in beside.items() if meaning.quantity in USUAL_SENSES}
    runs = runs_in(mapping)
    read = [
        meaning for meaning in mapping.columns if meaning.role in wanted and meaning.member in ("", *runs)
    ]
    for meaning in read:
        if meaning.period_kind == UNSURE:
            allowed = "Tp, Tz, T1 or Te: ask the forecaster which, or read it as each of them (files.forecast.unsure)"
            raise FileError("kind of period", UNSURE, None, allowed, column=meaning.column)
    plain = [meaning for name, meaning in beside.items() if name not in ways]
    numbers, notes = forecast_numbers(table, [*read, *plain])
    for meaning in ways.values():
        numbers[meaning.column], told = directions_beside(table, meaning)
        notes += told
    member = roles.get(("member", "total"))
    members = None if member is None else _members(table, member.column)
    ticks, about_times = known.clock.ticks(members)
    times = ticks // 10**6
    used = [meaning.column for meaning in mapping.columns if meaning.quantity in ("issued", "member")]
    taken = {*numbers, *used, *(table.header[place] for place in known.clock.places.values())}
    groups, about = _grouped(known, numbers, times, members, depth)
    seas = next(iter(groups.values()))[0]
    about = (
        *known.sheet.notes,
        *about_times,
        *notes,
        *_about_systems(known),
        *seas.notes,
        *about,
        *(f"Column {one.column} not used: its unit is not said." for one in unitless),
        *_left(known, taken | {meaning.column for meaning in unitless}),
    )
    carried = {name: numbers[meaning.column] for name, meaning in beside.items()}
    values = np.column_stack([numbers[meaning.column] for meaning in read])
    return _Rows(times, values, carried, table.rows.line, groups, about, known.clock.issued)


def _grouped(
    known: Understood,
    numbers: dict[str, FloatArray],
    times: Integers,
    members: list[str] | None,
    depth: float | None,
) -> tuple[dict[str, tuple[Seas, Integers]], tuple[str, ...]]:
    """The seas of each member and its rows, whether members have columns or rows of their own."""
    table, mapping = known.sheet.table, known.mapping
    line = table.rows.line
    runs = runs_in(mapping)
    if runs:
        every = np.arange(times.size)
        found = {
            run: (make_seas(numbers, known.made, roles_of(mapping, table, run), mapping, depth, line), every)
            for run in runs
        }
        left = [name for name in members_in(mapping) if name not in runs]
        own = {meaning.role for meaning in mapping.columns if meaning.member}
        beside = [one.column for one in mapping.columns if not one.member and one.role in own]
        said = (("Figures over the members", left), ("Beside the members, one run or a mean", beside))
        return found, tuple(f"{what}, not used: {', '.join(names)}." for what, names in said if names)
    seas = make_seas(numbers, known.made, known.roles, mapping, depth, line)
    groups, notes = members_of(members, times.size), tuple[str, ...]()
    figures = [name for name in groups if is_statistic(name)]
    if figures and len(groups) > len(figures):
        groups = {name: rows for name, rows in groups.items() if name not in figures}
        notes = (f"Figures over the members, not used: {', '.join(figures)}.",)
    if table.buoy:
        groups, notes = _without_wind_only(times, seas.seen)
    return {name: (seas, rows) for name, rows in groups.items()}, notes


def _left(known: Understood, taken: set[str]) -> tuple[str, ...]:
    """What the file holds and is not used, by name; other heights by themselves."""
    highest = [meaning.column for meaning in known.mapping.columns if meaning.quantity == "other height"]
    told = {*taken, *highest}
    if runs_in(known.mapping):
        told |= {meaning.column for meaning in known.mapping.columns if is_statistic(meaning.member)}
    left = [header for header in known.sheet.table.header if header not in told]
    said = (("Columns not used", left), ("Highest or average wave, which is not Hs, not used", highest))
    return tuple(f"{what}: {', '.join(names)}." for what, names in said if names)


def _about_systems(known: Understood) -> tuple[str, ...]:
    roles, systems = known.roles, known.made.systems
    made = "Sea from " + ", ".join("its total" if name == "total" else name for name in systems)
    made += f" and the rest of its total, a {known.made.rest}" if known.made.rest else ""
    periods = [roles["period", name] for name in systems]
    kinds = ", ".join(f"{meaning.column} as {meaning.period_kind}" for meaning in periods)
    notes = [f"{made}; periods: {kinds}."]
    fixed = [name for name in systems if ("direction", name) not in roles]
    if fixed:
        taken = f"taken as {known.mapping.direction_from:g}° throughout"
        notes.append(f"Direction of {', '.join(fixed)} {taken}.")
    ways = [roles["direction", name] for name in systems if ("direction", name) in roles]
    says = re.compile(r"(?:^|[ _])(?:from|to)(?:$|[ _])")
    plain = [meaning.column for meaning in ways if not says.search(meaning.column)]
    if plain:
        senses = {"come from" if meaning.sense == "from" else "go to" for meaning in ways}
        notes.append(f"Directions: {', '.join(plain)} as where waves {' or '.join(sorted(senses))}.")
    return tuple(notes)


def _members(table: Table, column: str) -> list[str]:
    cells = table.cells(column)
    for cell in dict.fromkeys(cells):
        if not cell or len(cell) > MAX_TEXT or not cell.isprintable():
            allowed = "a name or number: write the member in every row"
            raise table.wrong("member", cells.index(cell), allowed, column)
    return cells


def _without_wind_only(times: Integers, seen: Flags) -> tuple[dict[str, Integers], tuple[str, ...]]:
    """A buoy's rows at minutes of the hour at which the file never has waves carry the wind only: left out."""
    minute = times % 3600
    kept = np.isin(minute, np.unique(minute[seen]))
    if kept.all() or not kept.any():
        return {"": np.arange(times.size)}, ()
    note = f"Left out at minutes without wave records: {counted((~kept).sum(), 'row')}."
    return {"": np.flatnonzero(kept)}, (note,)


def _forecast(
    rows: _Rows, member: str, mapping: ForecastMapping, name: str, common: Integers | None
) -> Forecast:
    """One series; on `common` times those it lacks are missing."""
    seas, chosen = rows.groups[member]
    order, notes = in_order(rows.times, rows.values, rows.line, chosen, mapping.repeated_times)
    if mapping.bridge and common is None:
        left = without_short_holes(rows.times[order], np.isnan(seas.batch.hs[order]), mapping.bridge)
        if left.size < order.size:
            count = counted(order.size - left.size, "row")
            notes.append(f"Missing seas left out where they span up to the gap that is bridged: {count}.")
            order = order[left]
    times = rows.times[order]
    batch = seas.batch.take(order)
    beside = {name: values[order] for name, values in rows.beside.items()}
    if common is not None and common.size != times.size:
        where = np.minimum(np.searchsorted(times, common), times.size - 1)
        lacking = times[where] != common
        batch = batch.take(where).times(np.where(lacking, np.nan, 1.0))
        beside = {name: np.where(lacking, np.nan, values[where]) for name, values in beside.items()}
        notes.append(f"Missing, as only other members have them: {counted(lacking.sum(), 'time')}.")
        times = common
    step, gaps, about = step_and_gaps(times, mapping.bridge)
    every = [*rows.notes, *notes, *about]
    moments = times.astype("datetime64[s]")
    issued = rows.issued
    if issued is not None:
        far = abs(issued - moments[0]) > FURTHEST_ISSUE
        why = ", far from the first time: not taken as a forecast's issue" if far else ""
        every.append(f"Issued {str(issued)[:16]}Z{why}.")
        issued = None if far else issued
    return Forecast(
        moments, batch, seas.names, step, gaps, name=name, notes=tuple(every), issued=issued, **beside
    )


def _name(source: Source) -> str:
    if not isinstance(source, str | os.PathLike):
        return "forecast"
    stem = Path(source).stem[:MAX_TEXT]
    return stem if stem.isprintable() and stem else "forecast"
