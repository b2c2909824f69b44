"""The hoisting path: drilling line and its work, the drum, slipping and cutting, hoisting and braking."""

from heave.hoisting.braking import (
    PullCurve,
    brake_energy,
    crown_clearance,
    floor_clearance,
    hoisting_energy,
    hook_speed,
    stand_time,
    stopping_distance,
    stopping_tension,
)
from heave.hoisting.drum import MINIMUM_WRAPS, Drum, Ledger, Spooled
from heave.hoisting.line import LINE_STRENGTH, MINIMUM_FACTOR, DrillingLine, design_factor
from heave.hoisting.line_work import (
    JOBS,
    Tripping,
    bend_cycles,
    compensating_work,
    gaussian_travel_rate,
    regular_travel_rate,
    sheaves_passed,
)

__all__ = [
    "JOBS",
    "LINE_STRENGTH",
    "MINIMUM_FACTOR",
    "MINIMUM_WRAPS",
    "DrillingLine",
    "Drum",
    "Ledger",
    "PullCurve",
    "Spooled",
    "Tripping",
    "bend_cycles",
    "brake_energy",
    "compensating_work",
    "crown_clearance",
    "design_factor",
    "floor_clearance",
    "gaussian_travel_rate",
    "hoisting_energy",
    "hook_speed",
    "regular_travel_rate",
    "sheaves_passed",
    "stand_time",
    "stopping_distance",
    "stopping_tension",
]
