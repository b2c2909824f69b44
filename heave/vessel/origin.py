"""Where a response table was read from: the file, its hash, and what its numbers were said to mean."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, fields
from typing import Any, Final

from heave.errors import InputError
from heave.fields import check_once, check_parts, choice, hold_tuple, text, validate
from heave.sea.dispersion import WATER_DEPTH
from heave.vessel.response_table import REFERENCE_X, REFERENCE_Y

MOTION_PARTS: Final = tuple(
    f"{motion} {part}"
    for motion in ("heave", "roll", "pitch")
    for part in ("amplitude", "phase", "real part", "imaginary part")
)
"""What a column may hold of a motion."""

HOLDS: Final = ("period or frequency", "heading", *MOTION_PARTS, "not used")
"""What a column of a response file may hold."""

MOST_NOTES: Final = 40
_PER: Final = ("wave amplitude", "wave height")
_ROTATIONS: Final = ("deg/m", "rad/m", "deg/ft", "rad/ft", "wave slope")


@dataclass(frozen=True)
class ResponseColumn:
    """What one column of a response file was said to hold, by its name in the file."""

    name: str = text("Column")
    holds: str = choice("Holds", HOLDS, help="What its cells are.")

    def __post_init__(self) -> None:
        validate(self)


@dataclass(frozen=True)
class ResponseConventions:
    """What the numbers of a response file mean, as it says or as was answered; None is not said.

    `columns` names those whose own names do not tell what they hold.
    """

    columns: tuple[ResponseColumn, ...] = ()
    frequency: str | None = choice("Periods or frequencies in", ("s", "rad/s", "Hz"), optional=True)
    phase_unit: str | None = choice("Phases in", ("deg", "rad"), optional=True)
    per: str | None = choice("Motions per", _PER, optional=True)
    rotation: str | None = choice("Roll and pitch in", _ROTATIONS, optional=True)
    waves: str | None = choice("Wave slope of", ("deep water", "finite depth"), optional=True)
    depth: float | None = WATER_DEPTH.field(label="Water depth of the table", optional=True)
    without_phases: str | None = choice("Without phases", ("heave only", "upper bound"), optional=True)
    phase: str | None = choice("A phase is a", ("lead", "lag"), optional=True)
    phase_zero: str | None = choice(
        "Phase is nil at the wave's", ("crest", "trough", "rise", "fall"), optional=True
    )
    heave: str | None = choice("Heave is positive", ("up", "down"), optional=True)
    head_sea: str | None = choice("A head sea is at", ("180", "0"), optional=True)
    side: str | None = choice("Waves at 90 come from", ("starboard", "port"), optional=True)
    pitch: str | None = choice("Pitch is positive", ("bow down", "bow up"), optional=True)
    roll: str | None = choice("Roll is positive", ("starboard down", "port down"), optional=True)
    symmetric: str | None = choice("Both sides alike", ("yes", "no"), optional=True)
    reference_x: float | None = REFERENCE_X.field(optional=True)
    reference_y: float | None = REFERENCE_Y.field(optional=True)

    against: tuple[str, ...] = ()
    """Names of those that are held against what the file itself says."""

    def __post_init__(self) -> None:
        validate(self)
        object.__setattr__(self, "columns", tuple(self.columns))
        object.__setattr__(self, "against", tuple(self.against))
        known = [item.name for item in fields(self)]
        if not set(self.against) <= set(known):
            raise InputError("Held against the file", self.against, None, "names of conventions")
        check_once("Column", [column.name for column in self.columns], "each column once")
        if (self.waves == "finite depth") != (self.depth is not None):
            raise InputError("Water depth of the table", self.depth, "m", "a depth, where it is finite")

    def holds(self, name: str) -> str | None:
        """What the column `name` was said to hold, or None."""
        return next((column.holds for column in self.columns if column.name == name), None)

    def said(self) -> tuple[tuple[str, str], ...]:
        """Every convention that is known, as its label and what was said of it, in their order."""
        found = [(f"Column {column.name}", column.holds) for column in self.columns]
        for item in fields(self):
            value: Any = getattr(self, item.name)
            if value is not None and "about" in item.metadata:
                words = value if isinstance(value, str) else f"{value:g}\u00a0m"
                words += ", against what the file says" if item.name in self.against else ""
                found.append((str(item.metadata["about"].label), words))
        return tuple(found)


@dataclass(frozen=True)
class ResponseOrigin:
    """The file a response table was read from.

    Parameters
    ----------
    file : its name
    sha256 : hash of its bytes, 64 hexadecimal digits (FIPS 180-4)
    conventions : what it says of its numbers, or what was answered
    layout : names of its columns, by which a file alike is known again
    notes : what is to be said of its reading
    """

    file: str = text("File")
    sha256: str = text("SHA-256")
    conventions: ResponseConventions = field(default_factory=ResponseConventions)
    layout: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        validate(self)
        if not re.fullmatch(r"[0-9a-f]{64}", self.sha256):
            raise InputError("SHA-256", self.sha256, None, "64 hexadecimal digits")
        check_parts(self, {"conventions": ResponseConventions})
        for name in ("layout", "notes"):
            hold_tuple(self, name, str, name, f"texts, at most {MOST_NOTES * 10}", most=MOST_NOTES * 10)
