"""Forecasts to be spoilt, in four layouts, and what is read of them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Final
from unittest.mock import patch

import numpy as np
from spoiling import Column, Facts, Fault, Table

from heave.errors import FileError, InputError
from heave.files import tables
from heave.files.forecast.answers import answer
from heave.files.forecast.questions import ForecastQuestions
from heave.files.forecast.reader import read_forecast
from heave.files.rigs import demo_plan
from heave.weather import weather_windows
from heave.weather.forecast import EnsembleForecast, Forecast

Answers = Mapping[str, str]
LENGTHS: Final = {"m": 1.0, "ft": 0.3048}
BEGIN: Final = datetime(2026, 12, 26, 22)


def windows(found: Forecast | EnsembleForecast) -> None:
    for member in found.members[:2] if isinstance(found, EnsembleForecast) else (found,):
        if member.size > 200:
            continue
        try:
            result = weather_windows(demo_plan(), member)
        except FileError:
            raise
        except InputError:
            continue
        if len(result.forecast.times) != member.size:
            raise Fault("windows of another forecast")


def _told(question: str, answers: Answers) -> str | None:
    key = question.partition(":")[0]
    return answers.get(question) or answers.get(key)


def read(data: bytes, answers: Answers) -> Forecast | EnsembleForecast:
    mapping = None
    zone = answers.get("time_zone") or "UTC"
    for _ in range(12):
        try:
            return read_forecast(data, mapping, time_zone=zone if mapping is None else None, period_kind="Tp")
        except ForecastQuestions as asked:
            said = _told(asked.questions[0].key, answers)
            if said is None:
                raise
            try:
                mapping = answer(asked.mapping, asked.questions[0], said)
            except FileError as wrong:
                raise asked from wrong
    raise Fault("asked without end")


def read_in_bulk(data: bytes, answers: Answers) -> Forecast | EnsembleForecast:
    """As `read`, rows looked at in bulk however few they are."""
    with patch.object(tables, "BULK_FROM", 500):
        return read(data, answers)


def facts(found: Forecast | EnsembleForecast) -> Facts:
    facts: Facts = {}
    several = isinstance(found, EnsembleForecast)
    names = found.member_names if isinstance(found, EnsembleForecast) else ("",)
    for member, series in zip(
        names, found.members if isinstance(found, EnsembleForecast) else (found,), strict=True
    ):
        if np.any(np.diff(series.times) <= np.timedelta64(0, "s")):
            raise Fault("times do not rise")
        for row, time in enumerate(series.times.astype(object)):
            values: dict[str, float] = {}
            for name, slot in zip(series.system_names, series.batch.slots, strict=True):
                there = slot.hs[row] > 0.0
                values[f"{name} hs"] = float(slot.hs[row])
                values[f"{name} tp"] = float(slot.tp[row]) if there else math.nan
                values[f"{name} from"] = float(slot.direction_from[row]) if there else math.nan
            for name in ("wind_speed", "current_speed", "gust_speed", "tide"):
                beside = getattr(series, name)
                if beside is not None:
                    values[name] = float(beside[row])
            if not all(math.isnan(v) or 0 <= v <= 400 or name == "tide" for name, v in values.items()):
                raise Fault(f"no sea: {values}")
            facts[(str(time), member) if several else time] = values
    return {key: facts[key] for key in sorted(facts)}


def hours(
    count: int, form: str = "%Y-%m-%d %H:%M", step: float = 3.0
) -> tuple[tuple[datetime, ...], tuple[str, ...]]:
    stamps = tuple(BEGIN + timedelta(hours=step * row) for row in range(count))
    return stamps, tuple(when.strftime(form) for when in stamps)


def wave(count: int, mean: float, swing: float, digits: int, phase: float = 0.0) -> tuple[str, ...]:
    return tuple(f"{mean + swing * math.sin(0.4 * row + phase):.{digits}f}" for row in range(count))


def of_total(count: int, mark: str = ",", step: float = 3.0) -> Table:
    stamps, times = hours(count, step=step)
    return Table(
        (
            Column("time", times),
            Column("hs_{}", wave(count, 2.6, 0.8, 2), "total sea hs", "m", LENGTHS),
            Column("tp_s", wave(count, 9.4, 1.2, 1, 1.0), "total sea tp"),
            Column("direction_from_deg", wave(count, 214, 9, 0, 2.0), "total sea from"),
            Column(
                "wind_speed_{}",
                wave(count, 21, 6, 1),
                "wind_speed",
                "kn",
                {"kn": 0.514444444, "m_per_s": 1.0},
            ),
        ),
        stamps,
        mark=mark,
    )


def of_parts(count: int = 8) -> Table:
    stamps, times = hours(count, "%d.%m.%Y %H:%M")
    return Table(
        (
            Column("Date and time (UTC)", times),
            Column("Wind sea Hs ({})", wave(count, 1.8, 0.5, 2), "wind sea hs", "m", LENGTHS),
            Column("Wind sea Tp (s)", wave(count, 6.4, 0.7, 1, 1.0), "wind sea tp"),
            Column("Wind sea direction from (°)", wave(count, 210, 9, 0, 2.0), "wind sea from"),
            Column("Swell Hs ({})", wave(count, 1.2, 0.3, 2, 3.0), "swell hs", "m", LENGTHS),
            Column("Swell Tp (s)", wave(count, 12.4, 0.9, 1, 1.5), "swell tp"),
            Column("Swell direction from (°)", wave(count, 255, 9, 0, 2.5), "swell from"),
        ),
        stamps,
        above=("Marine forecast for the site", ""),
    )


def of_members(count: int = 5, members: int = 3) -> Table:
    rows = [(row, member) for row in range(count) for member in range(members)]
    _, times = hours(count)
    height = [f"{2.4 + 0.4 * math.sin(0.5 * row) + 0.15 * member:.2f}" for row, member in rows]
    return Table(
        (
            Column("valid_time", tuple(times[row] for row, _ in rows)),
            Column("number", tuple(str(member) for _, member in rows)),
            Column("swh", tuple(height), "total sea hs"),
            Column("mwp", wave(len(rows), 8.2, 0.6, 1), "mean period"),
            Column("mwd", wave(len(rows), 205, 8, 0), "total sea from"),
        )
    )


def of_buoy_centre(count: int = 8) -> Table:
    stamps, _ = hours(count, step=1.0)
    names = ("#YY", "%Y"), ("MM", "%m"), ("DD", "%d"), ("hh", "%H"), ("mm", "%M")
    return Table(
        (
            *(Column(name, tuple(when.strftime(form) for when in stamps)) for name, form in names),
            Column("WSPD", wave(count, 8, 2, 1), "wind_speed"),
            Column("WVHT", wave(count, 2.2, 0.5, 1), "total sea hs"),
            Column("DPD", wave(count, 9, 1, 0), "total sea tp"),
            Column("MWD", wave(count, 225, 9, 0), "total sea from"),
        ),
        mark=" ",
    )
