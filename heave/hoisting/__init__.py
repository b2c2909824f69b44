"""The hoisting path: reeving, drilling line and its work, what hangs on what, the drum, hoisting and braking."""

from heave.hoisting.braking import (
    PullCurve,
    brake_energy,
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
    sheaves_passed,
)
from heave.hoisting.path import LINES_OF_CROWN, HoistingPath
from heave.hoisting.reeving import (
    MOTIONS,
    SHEAVE_FACTOR,
    Motion,
    crown_ratio,
    efficiency,
    line_pulls,
)
