"""Composes response files: one table in any layout, any units and any conventions, with what it says of them or not.

Written from the definitions of the conventions, apart from the reader: a motion A cos(ωt + ε) for a crest at t = 0.
"""

from __future__ import annotations

import io
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any

import numpy as np

from heave.vessel import ResponseConventions, ResponseTable

MOTIONS = ("heave", "roll", "pitch")
G = 9.80665


@dataclass(frozen=True)
class Style:
    """How a file is written."""

    layout: str = "long"
    """long, headings (a block for each), wide (a block for each motion and part), grouped (headings over pairs)"""

    frequency: str = "s"
    angles: str = "half"
    """half, whole, repeated (0 to 360), around (-180 to 180), other (180 to 360)"""

    phase_unit: str = "deg"
    per: str = "wave amplitude"
    rotation: str = "deg/m"
    depth: float | None = None
    phase: str = "lead"
    phase_zero: str = "crest"
    heave: str = "up"
    head_sea: str = "180"
    side: str = "starboard"
    pitch: str = "bow down"
    roll: str = "starboard down"
    delimiter: str = ","
    comma: bool = False
    says_units: bool = True
    says: bool = False
    phases: bool = True
    complex_parts: bool = False
    blank: bool = False
    order: int = 0
    units_row: bool = False
    names: Mapping[str, str] = field(default_factory=dict)
    workbook: bool = False
    digits: int = 15

    def conventions(self, **more: Any) -> ResponseConventions:
        """What has to be answered, or is stated, for this file to be read."""
        named = {
            name: getattr(self, name)
            for name in ("phase", "phase_zero", "heave", "head_sea", "side", "pitch", "roll", "per")
        }
        if not self.says_units:
            named |= {"frequency": self.frequency, "phase_unit": self.phase_unit, "rotation": self.rotation}
        waves = (
            {"waves": "deep water"} if self.depth is None else {"waves": "finite depth", "depth": self.depth}
        )
        return ResponseConventions(**named, **waves, reference_x=0.0, reference_y=0.0, **more)


@cache
def wave_number(omega: float, depth: float | None) -> float:
    """Dispersion by bisection: ω² = g k tanh(k d)."""
    if depth is None:
        return omega**2 / G
    low, high = 1e-9, 10.0
    for _ in range(200):
        middle = math.sqrt(low * high)
        low, high = (middle, high) if G * middle * math.tanh(middle * depth) < omega**2 else (low, middle)
    return low


def headings_of(style: Style) -> list[float]:
    """Headings as they stand in the file."""
    step = 30.0
    found = {
        "half": np.arange(0.0, 181.0, step),
        "whole": np.arange(0.0, 360.0, step),
        "repeated": np.arange(0.0, 361.0, step),
        "around": np.arange(-180.0, 181.0, step),
        "other": np.arange(180.0, 361.0, step),
    }[style.angles]
    rng = np.random.default_rng(style.order)
    headings = [float(one) for one in found]
    if style.order:
        rng.shuffle(headings)
    return headings


def raw(table: ResponseTable, style: Style, heading: float, place: int, motion: str) -> complex:
    """The complex number a file of that style has for a motion: amplitude and phase in radians, as it counts them."""
    side = 1.0 if style.side == "starboard" else -1.0
    travel = side * heading if style.head_sea == "180" else 180.0 - side * heading
    travel %= 360.0
    mirrored = travel > 180.0 and table.symmetric
    at = 360.0 - travel if mirrored else travel
    row = int(np.argmin(np.abs(table.heading - at)))
    assert abs(table.heading[row] - at) < 1e-9
    value = complex(getattr(table, motion)[row, place])
    if mirrored and motion == "roll":
        value = -value
    if (motion, getattr(style, motion)) in {("heave", "down"), ("roll", "port down"), ("pitch", "bow up")}:
        value = -value
    # crest at t = 0; counted from another moment of the wave the phase is less by what the wave has gone on since
    gone = {"crest": 0.0, "trough": math.pi, "rise": math.pi / 2, "fall": -math.pi / 2}[style.phase_zero]
    size, lead = abs(value), math.atan2(value.imag, value.real) - gone
    lead = math.remainder(lead, 2 * math.pi)
    omega = float(table.omega[place])
    if motion == "heave":
        unit = 1.0
    else:
        slope = wave_number(omega, style.depth)
        unit = {
            "deg/m": 180 / math.pi,
            "rad/m": 1.0,
            "deg/ft": 180 / math.pi * 0.3048,
            "rad/ft": 0.3048,
            "wave slope": 1 / slope,
        }[style.rotation]
    halved = style.per == "wave height" and not (motion != "heave" and style.rotation == "wave slope")
    size *= unit * (0.5 if halved else 1.0)
    return (
        size * complex(math.cos(lead), math.sin(lead))
        if style.phase == "lead"
        else size * complex(math.cos(lead), -math.sin(lead))
    )


class Writer:
    """The cells of a file, layout by layout."""

    def __init__(self, table: ResponseTable, style: Style) -> None:
        self.table, self.style = table, style
        self.headings = headings_of(style)
        self.order = np.argsort([(-1) ** style.order * one for one in range(len(table.omega))])
        parts = ("amp", "phase") if style.phases else ("amp",)
        self.names = ("real", "imag") if style.complex_parts else parts
        rotation = "deg/deg" if style.rotation == "wave slope" else style.rotation
        self.units = {
            (motion, part): ("m/m" if motion == "heave" else rotation)
            if part != "phase"
            else style.phase_unit
            for motion in MOTIONS
            for part in self.names
        }
        first = {"s": "Period", "rad/s": "Frequency", "Hz": "Frequency"}[style.frequency]
        self.first = style.names.get("frequency", first)
        self.columns = [
            self.named(style.names.get(f"{motion} {part}", f"{motion.title()} {part}"), unit)
            for (motion, part), unit in self.units.items()
        ]

    def number(self, value: float) -> str:
        text = f"{value:.{self.style.digits}g}"
        return text.replace(".", ",") if self.style.comma else text

    def named(self, words: str, unit: str) -> str:
        return f"{words} ({unit})" if self.style.says_units and not self.style.units_row else words

    def parts(self, heading: float, place: int, motion: str) -> list[str]:
        style, value = self.style, raw(self.table, self.style, heading, int(place), motion)
        if style.complex_parts:
            return [self.number(value.real), self.number(value.imag)]
        angle = math.atan2(value.imag, value.real)
        angle = math.degrees(angle) if style.phase_unit == "deg" else angle
        phase = "" if style.blank and abs(value) == 0.0 else self.number(angle)
        return [self.number(abs(value)), phase][: len(self.names)]

    def frequency(self, place: int) -> str:
        omega = float(self.table.omega[place])
        kinds = {"s": 2 * math.pi / omega, "rad/s": omega, "Hz": omega / 2 / math.pi}
        return self.number(kinds[self.style.frequency])

    def all_parts(self, heading: float, place: int) -> list[str]:
        return [cell for motion in MOTIONS for cell in self.parts(heading, place, motion)]

    def long(self) -> list[list[str]]:
        style = self.style
        cells = [
            [self.named(self.first, style.frequency), style.names.get("heading", "Heading"), *self.columns]
        ]
        cells += [[style.frequency, "deg", *self.units.values()]] if style.units_row else []
        for heading in self.headings:
            for place in self.order:
                cells.append([self.frequency(place), self.number(heading), *self.all_parts(heading, place)])
        return cells

    def by_heading(self) -> list[list[str]]:
        cells = []
        for heading in self.headings:
            cells += [
                [f"Heading {heading:g} deg"],
                [self.named(self.first, self.style.frequency), *self.columns],
            ]
            cells += [[self.style.frequency, *self.units.values()]] if self.style.units_row else []
            cells += [[self.frequency(place), *self.all_parts(heading, place)] for place in self.order]
        return cells

    def wide(self) -> list[list[str]]:
        cells, style = [], self.style
        for count, ((motion, part), unit) in enumerate(self.units.items()):
            cells.append([f"{motion.title()} {part}" + (f" ({unit})" if style.says_units else "")])
            corner = f"{self.first} ({style.frequency})" if style.says_units else self.first
            cells.append([corner, *(f"{heading:g}" for heading in self.headings)])
            at = count % len(self.names)
            for place in self.order:
                values = (self.parts(heading, place, motion)[at] for heading in self.headings)
                cells.append([self.frequency(place), *values])
        return cells

    def grouped(self) -> list[list[str]]:
        cells = []
        for motion in MOTIONS:
            rest = [""] * (len(self.names) - 1)
            over = [cell for heading in self.headings for cell in (f"{heading:g} deg", *rest)]
            pairs = [self.named(part.title(), self.units[motion, part]) for part in self.names]
            first = self.named(self.first, self.style.frequency)
            cells += [
                [motion.title()],
                ["", *over],
                [first, *(pair for _ in self.headings for pair in pairs)],
            ]
            for place in self.order:
                values = [cell for heading in self.headings for cell in self.parts(heading, place, motion)]
                cells.append([self.frequency(place), *values])
        return cells


def rows_of(table: ResponseTable, style: Style) -> list[list[str]]:
    """The file as rows of cells."""
    made = Writer(table, style)
    layouts = {"long": made.long, "headings": made.by_heading, "wide": made.wide, "grouped": made.grouped}
    return [*stated(style), *layouts[style.layout]()]


def stated(style: Style) -> list[list[str]]:
    """Lines above the table that say what the conventions are."""
    if not style.says:
        return [["Motion response of the vessel"]]
    beam = f"90 deg is waves from {style.side}"
    zero = {
        "crest": "wave crest",
        "trough": "wave trough",
        "rise": "zero up-crossing",
        "fall": "zero down-crossing",
    }
    lines = [
        f"Motions per {style.per}",
        f"Head sea = {style.head_sea} deg and {beam}",
        f"Phase {style.phase} relative to the {zero[style.phase_zero]} at the reference",
        f"Pitch positive {style.pitch}; roll positive {style.roll}; heave positive {style.heave}",
        "Deep water" if style.depth is None else f"Water depth: {style.depth:g} m",
        "reference_x_m: 0",
        "reference_y_m: 0",
    ]
    return [[line] for line in lines]


def composed(table: ResponseTable, style: Style) -> bytes:
    """The file: text, or a workbook."""
    cells = rows_of(table, style)
    if style.workbook:
        return _workbook(cells, style)
    width = 24
    lines = []
    for row in cells:
        if style.delimiter == " ":
            lines.append(row[0] if len(row) == 1 else "".join(f"{cell:>{width}}" for cell in row))
        else:
            lines.append(style.delimiter.join(row))
    return "\n".join([*lines, ""]).encode()


def _workbook(cells: list[list[str]], style: Style) -> bytes:
    import openpyxl

    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "RAO"
    for row in cells:
        sheet.append([_cell(cell) for cell in row])
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def _cell(text: str) -> Any:
    try:
        return float(text)
    except ValueError:
        return text or None


EIGHT = (
    Style(),
    Style(layout="headings", frequency="rad/s", phase="lag", rotation="rad/m", phase_unit="rad"),
    Style(layout="wide", frequency="Hz", head_sea="0", angles="around", delimiter=";", comma=True),
    Style(layout="grouped", pitch="bow up", roll="port down", angles="repeated", delimiter="\t"),
    Style(per="wave height", phase_zero="rise", heave="down", side="port", angles="whole", delimiter=" "),
    Style(rotation="wave slope", phase="lag", phase_zero="trough", head_sea="0", side="port", angles="other"),
    Style(
        layout="wide", complex_parts=True, phase="lag", rotation="deg/ft", workbook=True, angles="repeated"
    ),
    Style(
        layout="long",
        phase_zero="fall",
        depth=80.0,
        rotation="wave slope",
        says=True,
        units_row=True,
        order=3,
    ),
)
"""One response in eight ways."""
