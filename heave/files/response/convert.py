"""The records of a response file as a table in our own conventions: headings, phases, signs and units."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from heave.arrays import ComplexArray, FloatArray
from heave.errors import FileError, InputError
from heave.files.response.records import SAME, Records, Value
from heave.files.response.words import slope_unit
from heave.sea import wave_number
from heave.vessel import ResponseConventions, ResponseTable

MOTIONS: Final = ("heave", "roll", "pitch")
_DEG, _FT = math.pi / 180, 0.3048
_PER_METRE: Final = {"deg/m": _DEG, "rad/m": 1.0, "deg/ft": _DEG / _FT, "rad/ft": 1 / _FT}
_ZERO: Final = {"crest": 0.0, "trough": math.pi, "rise": math.pi / 2, "fall": -math.pi / 2}
"""Phase of a crest at the time the phase is counted from, as a lead [rad]: a wave that rises through still water at
t = 0 is sin ωt, whose crest passes a quarter of a turn later."""

_NEARLY: Final = 1e-6
LARGEST_PHASE: Final = 2 * math.pi * 1.02
"""Largest phase that may be in radians where its unit is not said [rad]."""


def rotation_unit(unit: str) -> bool:
    """Whether a unit is one of rotations per wave."""
    return unit in _PER_METRE or slope_unit(unit)


def on_both_sides(headings: list[float]) -> bool:
    """Whether headings lie on both sides of the vessel."""
    turned = [heading % 360.0 for heading in headings]
    return any(0 < one < 180 for one in turned) and any(one > 180 for one in turned)


def table_of_records(
    records: Records, given: ResponseConventions, name: str, notes: list[str]
) -> ResponseTable:
    """The table in our own conventions."""
    phased = any(holds.endswith(("phase", "imaginary part")) for holds in records.values)
    turning = any(not holds.startswith("heave") for holds in records.values)
    places = sorted({place for values in records.values.values() for place in values})
    headings, omega = sorted({place[0] for place in places}), np.array(sorted({place[1] for place in places}))
    motions = {motion: _grid(records, motion, headings, omega, given) for motion in MOTIONS}
    ours = np.array([_travel(heading, given) for heading in headings])
    ours, order = _once(ours, headings, motions, notes)
    motions = {motion: values[order] for motion, values in motions.items()}
    symmetric = not on_both_sides([float(one) for one in ours])
    if symmetric:
        notes.append("One side only: waves from the other side by symmetry of port and starboard.")
        if np.any(ours > 180.0):
            ours = np.where(ours > 180.0, 360.0 - ours, ours)
            if phased:
                motions["roll"] = -motions["roll"]
    sort = np.argsort(ours)
    heave, roll, pitch = (motions[motion][sort] for motion in MOTIONS)
    try:
        return ResponseTable(
            omega,
            ours[sort],
            *(heave, roll, pitch),
            reference_x=given.reference_x or 0.0,
            reference_y=given.reference_y or 0.0,
            symmetric=symmetric,
            source=name,
            phases=phased or not turning,
        )
    except InputError as problem:
        allowed = problem.allowed
        if problem.unit == "rad/m":
            allowed += ": look for degrees read as radians, or per slope as per metre"
        raise FileError(problem.what, problem.value, problem.unit, allowed) from problem


def _travel(heading: float, given: ResponseConventions) -> float:
    """Heading of wave travel from the bow, towards port positive, 0 to below 360 [deg]."""
    side = 1.0 if (given.side or "starboard") == "starboard" else -1.0
    turned = side * heading if given.head_sea == "180" else 180.0 - side * heading
    return round(turned % 360.0, 9) % 360.0


def _once(
    ours: FloatArray, headings: list[float], motions: dict[str, ComplexArray], notes: list[str]
) -> tuple[FloatArray, list[int]]:
    """Each heading once; one that is given twice, as 0 and 360 are, must be the same both times."""
    order: list[int] = []
    for place, heading in enumerate(ours):
        same = next((other for other in order if abs(ours[other] - heading) < _NEARLY), None)
        if same is None:
            order.append(place)
            continue
        for motion, values in motions.items():
            apart = np.abs(values[place] - values[same])
            if np.any(apart > SAME * np.abs(values).max()):
                allowed = f"the same {motion} as at {headings[same]:g} deg, which is the same heading"
                raise FileError("heading", headings[place], "deg", allowed)
        notes.append(f"Headings {headings[same]:g} and {headings[place]:g} are the same and agree.")
    return ours[order], order


def _grid(
    records: Records, motion: str, headings: list[float], omega: FloatArray, given: ResponseConventions
) -> ComplexArray:
    """A motion over headings and frequencies: up, bow down, starboard down, as a lead of the crest, per amplitude."""
    parts = {holds.split(" ", 1)[1]: at for holds, at in records.values.items() if holds.startswith(motion)}
    if not parts:
        return np.zeros((len(headings), len(omega)), np.complex128)
    places = ([(heading, one) for one in omega.tolist()] for heading in headings)
    found = np.array([[_motion(motion, parts, at, records, given) for at in row] for row in places])
    unit = "" if motion == "heave" else _unit(records, motion, given)
    per_height = 2.0 if given.per == "wave height" else 1.0
    scale = 1.0 if motion == "heave" else _rotation_scale(unit, omega, given)
    found = found * scale * (1.0 if unit == "wave slope" else per_height)
    if "phase" in parts or "imaginary part" in parts:
        if given.phase == "lag":
            found = np.conj(found)
        found = found * np.exp(1j * _ZERO[given.phase_zero or "crest"])
        turned = getattr(given, motion) in ("down", "port down", "bow up")
        found = -found if turned else found
    return np.asarray(found, np.complex128)


def _motion(
    motion: str,
    parts: dict[str, dict[tuple[float, float], Value]],
    place: tuple[float, float],
    records: Records,
    given: ResponseConventions,
) -> complex:
    """One motion of the file at one place, its phase in radians."""
    values = {}
    for part, at in parts.items():
        if place not in at:
            where = f"heading {place[0]:g} deg, period {2 * math.pi / place[1]:.6g}\u00a0s"
            raise FileError(f"{motion} {part}", f"none at {where}", None, "every period at every heading")
        values[part] = at[place]
    if "real part" in values:
        real, imaginary = values["real part"], values["imaginary part"]
        for value in (real, imaginary):
            if value.number is None:
                raise FileError(motion, "empty", None, "a number", line=value.line, column=value.column)
        return complex(real.number or 0.0, imaginary.number or 0.0)
    size, phase = values["amplitude"], values.get("phase")
    if size.number is None or size.number < 0:
        allowed = "a number, 0 or above: the sign of a motion is in its phase"
        raise FileError(f"{motion} amplitude", size.number, None, allowed, line=size.line, column=size.column)
    if phase is None:
        return complex(size.number)
    if phase.number is None:
        if size.number == 0.0:
            return 0j
        allowed = f"a phase, as the amplitude is {size.number:g}; it may be empty where that is 0"
        raise FileError(f"{motion} phase", "empty", None, allowed, line=phase.line, column=phase.column)
    unit = next(iter(records.units[f"{motion} phase"])) or given.phase_unit or "deg"
    angle = math.radians(phase.number) if unit == "deg" else phase.number
    if abs(angle) > 4 * math.pi + _NEARLY:
        allowed = "at most two turns either way: look for degrees read as radians"
        raise FileError(f"{motion} phase", phase.number, unit, allowed, line=phase.line, column=phase.column)
    return size.number * complex(math.cos(angle), math.sin(angle))


def _unit(records: Records, motion: str, given: ResponseConventions) -> str:
    """The unit of a rotation: as its columns say, else as was answered; the two must not contradict each other."""
    if "rotation" in given.against and given.rotation is not None:
        return given.rotation
    part = "amplitude" if f"{motion} amplitude" in records.units else "real part"
    kinds = {
        ("wave slope" if slope_unit(unit) else unit) if unit and rotation_unit(unit) else given.rotation
        for unit in records.units[f"{motion} {part}"]
    }
    unit = kinds.pop() if len(kinds) == 1 else None
    if unit is None:
        allowed = "one unit in all columns of a motion"
        raise FileError(f"unit of {motion}", ", ".join(sorted(map(str, kinds))) or None, None, allowed)
    if given.rotation == "wave slope" and unit != "wave slope":
        raise FileError(f"unit of {motion}", unit, None, "per wave slope, as the file or the answer says")
    return unit


def _rotation_scale(unit: str, omega: FloatArray, given: ResponseConventions) -> FloatArray | float:
    """What brings a rotation to radians per metre of wave: per slope it is the wave number."""
    if unit != "wave slope":
        return _PER_METRE[unit]
    return wave_number(omega, given.depth if given.waves == "finite depth" else None)
