"""Hoisting path: reeving, drilling line, what hangs on what and what each part may carry."""

from heave.hoisting.line import DrillingLine
from heave.hoisting.path import LINES_OF_CROWN, HoistingPath, LinesOfCrown
from heave.hoisting.reeving import (
    BEARINGS,
    MOTIONS,
    SHEAVE_FACTOR,
    Bearing,
    Motion,
    crown_load,
    crown_ratio,
    efficiency,
    fast_line,
    four_leg_load,
    line_pulls,
)

__all__ = [
    "BEARINGS",
    "LINES_OF_CROWN",
    "MOTIONS",
    "SHEAVE_FACTOR",
    "Bearing",
    "DrillingLine",
    "HoistingPath",
    "LinesOfCrown",
    "Motion",
    "crown_load",
    "crown_ratio",
    "efficiency",
    "fast_line",
    "four_leg_load",
    "line_pulls",
]
