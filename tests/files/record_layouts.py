"""Composes heave records: one motion in any layout, any unit and any sense, with what the file says of them or not.

Written from what the words mean, apart from the reader: heave z(t) is a sum of waves, its acceleration −Σ ω² of each.
"""

from __future__ import annotations

import io
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

import numpy as np

from heave.arrays import FloatArray

UNITS = {"m": 1.0, "ft": 0.3048, "cm": 0.01, "mm": 0.001, "in": 0.0254}
ACCELERATIONS = {"m/s2": 1.0, "g": 9.80665, "mg": 0.00980665, "ft/s2": 0.3048, "gal": 0.01}
TIMES = {"s": 1.0, "ms": 0.001, "min": 60.0, "h": 3600.0}
BEGIN = datetime(2026, 3, 4, 6, 0, 0)


def waves(seed: int, least: float = 6.0, most: float = 18.0) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Amplitude [m], angular frequency [rad/s] and phase of forty waves that make about 0.7 m of deviation."""
    rng = np.random.default_rng(seed)
    period = rng.uniform(least, most, 40)
    return rng.uniform(0.08, 0.22, 40), 2 * math.pi / period, rng.uniform(0, 2 * math.pi, 40)


def heave(time: FloatArray, seed: int = 1, **periods: float) -> FloatArray:
    """Heave of the hoist, up positive (nt,) [m]."""
    a, w, phase = waves(seed, **periods)
    return np.asarray((a * np.cos(np.outer(time, w) + phase)).sum(axis=1))


def acceleration(time: FloatArray, seed: int = 1, **periods: float) -> FloatArray:
    """Its second derivative [m/s²]."""
    a, w, phase = waves(seed, **periods)
    return np.asarray((-a * w**2 * np.cos(np.outer(time, w) + phase)).sum(axis=1))


@dataclass(frozen=True)
class Style:
    """How a file is written."""

    quantity: str = "heave"
    name: str = "Heave"
    unit: str = "m"
    down: bool = False
    gravity: bool = False
    unit_at: str = "brackets"
    """brackets, row, name, or nowhere"""

    sense_at: str = "nowhere"
    """name, above, or nowhere"""

    time: str = "s"
    """s, ms, min, h, iso, clock, date and clock, day first, samples, none, or whole seconds"""

    time_name: str = "Time"
    time_unit_said: bool = True
    rate_at: str = "nowhere"
    """above, or nowhere: of files whose times do not tell it"""

    delimiter: str = ","
    comma: bool = False
    above: tuple[str, ...] = ()
    extra: tuple[str, ...] = ()
    second: str = ""
    """Name of a second column of heave, of another point."""

    order: int = 0
    workbook: bool = False
    mark: str = ""
    """Before lines above and names, such as #."""

    names: Mapping[str, str] = field(default_factory=dict)


def _number(value: float, digits: int, comma: bool) -> str:
    text = f"{value:.{digits}f}"
    return text.replace(".", ",") if comma else text


def _stamps(style: Style, time: FloatArray) -> dict[str, list[str]]:
    """The columns of time, by name."""
    if style.time in TIMES:
        unit = f" ({style.time})" if style.time_unit_said else ""
        digits = {"s": 4, "ms": 1, "min": 8, "h": 10}[style.time]
        return {style.time_name + unit: [_number(t / TIMES[style.time], digits, style.comma) for t in time]}
    moments = [BEGIN + timedelta(seconds=float(round(t, 4))) for t in time]
    part = [f"{m.microsecond // 100:04d}"[:3] for m in moments]
    clock = [f"{m:%H:%M:%S}.{p}" for m, p in zip(moments, part, strict=True)]
    if style.time == "iso":
        return {"Time UTC": [f"{m:%Y-%m-%d}T{c}Z" for m, c in zip(moments, clock, strict=True)]}
    if style.time == "clock":
        return {"Time": clock}
    if style.time == "date and clock":
        return {"Date": [f"{m:%Y-%m-%d}" for m in moments], "Time": clock}
    if style.time == "day first":
        return {"Time": [f"{m:%d/%m/%Y} {c}" for m, c in zip(moments, clock, strict=True)]}
    made = {"Time": [f"{m:%H:%M:%S}" for m in moments]} if style.time == "whole seconds" else {}
    return {"Sample": [str(place) for place in range(len(time))]} if style.time == "samples" else made


def composed(style: Style, time: FloatArray, values: FloatArray) -> bytes:
    """The file of a motion, up positive in SI.

    Parameters
    ----------
    style : how it is written
    time : from the first value [s]
    values : heave [m] or acceleration [m/s²], as the style says
    """
    units = UNITS if style.quantity == "heave" else ACCELERATIONS
    shown = values + (9.80665 if style.gravity else 0.0)
    shown = (-shown if style.down else shown) / units[style.unit]
    digits = 4 + max(0, -math.floor(math.log10(1 / units[style.unit])))
    name = style.name
    if style.sense_at == "name":
        name += " down" if style.down else " up"
    if style.unit_at == "brackets":
        name += f" ({style.unit})"
    if style.unit_at == "name":
        name += f"_{style.unit.replace('/', '_per_')}"
    motion = {name: [_number(v, digits, style.comma) for v in shown]}
    if style.second:
        other = 0.8 * np.roll(shown, 5)
        tail = f" ({style.unit})" if style.unit_at == "brackets" else ""
        motion = {style.second + tail: [_number(v, digits, style.comma) for v in other], **motion}
    rng = np.random.default_rng(9)
    beside = {one: [_number(v, 3, style.comma) for v in rng.normal(0, 2, len(time))] for one in style.extra}
    parts: list[dict[str, list[str]]] = [_stamps(style, time), motion, beside]
    columns: dict[str, list[str]] = {}
    for place in ((0, 1, 2), (0, 2, 1), (2, 1, 0))[style.order % 3]:
        columns |= parts[place]
    heads = [list(columns)]
    if style.unit_at == "row":
        known = {
            name: style.unit,
            **({style.second: style.unit} if style.second else {}),
            style.time_name: style.time if style.time in TIMES else "-",
        }
        heads.append([known.get(one, "-") for one in columns])
    above = [*style.above]
    if style.rate_at == "above":
        above.append(f"Sampling frequency: {1 / float(time[1] - time[0]):g} Hz")
    if style.sense_at == "above":
        above.append(f"Heave positive {'down' if style.down else 'up'}")
    rows = [list(row) for row in zip(*columns.values(), strict=True)]
    if style.workbook:
        return _workbook(above, heads, rows)
    mark = style.delimiter
    if mark == " ":
        heads = [[name.replace(" ", "_") for name in head] for head in heads]
    made = [style.mark + line for line in above] + [style.mark + mark.join(head) for head in heads]
    return "\n".join([*made, *(mark.join(row) for row in rows), ""]).encode()


def _workbook(above: list[str], heads: list[list[str]], rows: list[list[str]]) -> bytes:
    import openpyxl

    def cell(text: str) -> Any:
        try:
            return float(text)
        except ValueError:
            return text

    book = openpyxl.Workbook()
    sheet = book.active
    for line in [*([one] for one in above), *heads, *rows]:
        sheet.append([cell(text) for text in line])
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()
