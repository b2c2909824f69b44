"""The hoisting path as a rig has it: reeving, line, weights and ratings of every part from derrick to elevators."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any, Final, Literal, get_args

from heave.errors import InputError
from heave.fields import Quantity, choice, quantity, validate
from heave.hoisting.braking import LINE_SPEED, PULL, PullCurve
from heave.hoisting.line import MINIMUM_FACTOR, DrillingLine
from heave.hoisting.reeving import BEARINGS, SHEAVE_FACTOR, Bearing
from heave.quantities import LINES, MACHINE_POWER, MOST_LINES
from heave.units import STANDARD_GRAVITY, significant, to_si

LinesOfCrown = Literal["kept by sheaves on arms", "straight to the floor"]
"""How fast and dead line leave a crown that moves."""

LINES_OF_CROWN: Final[tuple[LinesOfCrown, ...]] = get_args(LinesOfCrown)

RATING: Final = Quantity("rating", "force", low=1e4, high=3e7, optional=True)
FACTOR: Final = Quantity("least design factor", "number", low=1.5, high=10.0)


def _rating(label: str, help: str = "") -> Any:
    return RATING.field(label=label, help=help)


def _gear(about: Quantity, label: str, help: str = "") -> Any:
    return about.field(label=label, optional=True, help=help)


def _mass(label: str, help: str = "", high: float = 200_000.0) -> Any:
    return quantity(label, "mass", default=0.0, low=0.0, high=high, help=help)


def _height(label: str, help: str, low: float = 0.0) -> Any:
    return quantity(label, "length", low=low, high=120.0, optional=True, help=help)


@dataclass(frozen=True, kw_only=True)
class HoistingPath:
    """Reeving, drilling line, weights and ratings of the hoisting path; a rating that is empty is not judged.

    Ratings are those of API 8C and 4F: static, at the lines strung where that matters. What hangs below hook or
    compensator (links, elevators, top drive) has its weight in the string's handling gear, and its rating here.
    """

    lines: float = LINES.field(help="To the travelling block.")
    bearing: Bearing = choice(
        "bearings of the sheaves", BEARINGS, default="roller", help="Friction factor 1.04 or 1.09, API RP 9B."
    )
    crown_sheaves: float | None = quantity(
        "sheaves of the crown block",
        "number",
        low=2,
        high=MOST_LINES // 2 + 1,
        optional=True,
        help="Limit the lines to two for each less the one of the fast line. Empty: not checked.",
    )
    lines_of_crown: LinesOfCrown = choice(
        "lines of a moving crown",
        LINES_OF_CROWN,
        default=LINES_OF_CROWN[0],
        help="Crown-mounted units only: straight to the floor, fast and dead line pull on the unit too.",
    )
    line: DrillingLine | None = None
    line_factor: float = FACTOR.field(
        label="least design factor of the line", default=3.0, help="Hoisting: 3, API RP 9B."
    )
    line_factor_heavy: float = FACTOR.field(
        label="least design factor, casing or stuck pipe",
        default=MINIMUM_FACTOR["setting casing"],
        help="Setting casing or pulling on stuck pipe: 2, API RP 9B.",
    )
    crown_mass: float = _mass("mass of the crown block")
    block_mass: float = _mass(
        "mass of the travelling block", "With its hook or dolly, down to the compensator or the top drive."
    )
    body_mass: float = _mass(
        "mass of the unit's body", "In-line units: the parts of the compensator that stay with the block."
    )
    drop: float | None = _height(
        "crown to block at its lowest", "For the weight of the lines, and what is left on the drum.", low=1.0
    )
    derrick_rating: float | None = _rating("derrick, static hook load", "At the lines strung.")
    crown_rating: float | None = _rating("crown block rating")
    anchor_rating: float | None = _rating("dead-line anchor rating", "Pull of the line.")
    block_rating: float | None = _rating("travelling block rating")
    hook_rating: float | None = _rating("hook rating")
    top_drive_rating: float | None = _rating("top drive rating")
    links_rating: float | None = _rating("links rating", "Both together.")
    elevators_rating: float | None = _rating("elevators rating")
    drawworks_pull: float | None = _rating("drawworks, pull of the fast line")
    drawworks_power: float | None = MACHINE_POWER.field(label="drawworks, power hoisting", optional=True)
    brake_power: float | None = MACHINE_POWER.field(
        label="drawworks, power lowering",
        optional=True,
        help="What brake or motors can take in, without pause.",
    )
    low_gear_pull: float | None = _gear(
        PULL, "low gear, pull of the fast line", "Or a point of the motors' curve."
    )
    low_gear_speed: float | None = _gear(LINE_SPEED, "low gear, line speed")
    middle_gear_pull: float | None = _gear(PULL, "middle gear, pull of the fast line")
    middle_gear_speed: float | None = _gear(LINE_SPEED, "middle gear, line speed")
    high_gear_pull: float | None = _gear(PULL, "high gear, pull of the fast line")
    high_gear_speed: float | None = _gear(LINE_SPEED, "high gear, line speed")
    rotating_mass: float = _mass(
        "rotating parts, as a mass at the line",
        "Drum, gears and motors: moment of inertia over radius squared.",
        high=2e6,
    )
    highest_block: float | None = _height(
        "highest block position",
        "In the planned operation, above the floor, to the top of what hangs on the lines.",
    )
    lowest_block: float | None = _height("lowest block position", "To its lower end.")
    crown_stop: float | None = _height("crown stop", "Height above the floor.", low=1.0)
    clearance: float = quantity(
        "clearance kept to crown and floor",
        "length",
        default=0.0,
        low=0.0,
        high=20.0,
        help="The rig's own margin.",
    )

    def __post_init__(self) -> None:
        validate(self)
        if self.lines % 2:
            raise InputError(
                LINES.label, self.lines, None, f"an even number from {LINES.low} to {LINES.high}"
            )
        if self.crown_sheaves is not None:
            most = 2 * (int(self.crown_sheaves) - 1)
            if self.crown_sheaves != int(self.crown_sheaves):
                raise InputError("sheaves of the crown block", self.crown_sheaves, None, "a whole number")
            if self.lines > most:
                allowed = f"at most {most}, with {self.crown_sheaves:g} sheaves in the crown block"
                raise InputError("lines strung", self.lines, None, allowed)
        if self.line is not None and not isinstance(self.line, DrillingLine):
            raise InputError("drilling line", self.line, None, "a drilling line")
        own = (self.block_mass + self.body_mass) * STANDARD_GRAVITY
        for name in ("derrick_rating", "crown_rating", "block_rating"):
            given, carried = (
                getattr(self, name),
                self.block_mass * STANDARD_GRAVITY if name[0] == "b" else own,
            )
            if given is not None and given <= carried:
                allowed = (
                    f"above {carried:.4g}\u00a0N, what the block and what hangs on the lines with it weigh"
                )
                raise InputError(_label(name), given, "N", allowed)
        _ = self.pull_curve  # refuses points that are no curve
        highest, lowest = self.highest_block, self.lowest_block
        if highest is not None and lowest is not None and lowest >= highest:
            raise InputError("lowest block position", lowest, "m", f"below the highest, {highest:g}\u00a0m")
        if lowest is not None and lowest < self.clearance:
            raise InputError(
                "lowest block position", lowest, "m", f"from {self.clearance:g}\u00a0m, the clearance kept"
            )
        if highest is not None and self.crown_stop is not None and highest > self.crown_stop - self.clearance:
            allowed = (
                f"up to {self.crown_stop - self.clearance:g}\u00a0m, the crown stop less the clearance kept"
            )
            raise InputError("highest block position", highest, "m", allowed)

    @property
    def sheave_factor(self) -> float:
        """Pull on one side of a turning sheave over the other, K (API RP 9B)."""
        return SHEAVE_FACTOR[self.bearing]

    @property
    def pull_curve(self) -> PullCurve | None:
        """Pull of the fast line over line speed from two or three gears or points; None where none is given.

        Raises
        ------
        InputError
            For a single point, a speed without its pull or a pull without its speed, or what is no curve.
        """
        points = []
        for gear in ("low", "middle", "high"):
            speed, pull = getattr(self, f"{gear}_gear_speed"), getattr(self, f"{gear}_gear_pull")
            if (speed is None) != (pull is None):
                missing = f"{gear}_gear_{'pull' if pull is None else 'speed'}"
                raise InputError(_label(missing), None, None, "a value: line speed and pull go together")
            if speed is not None:
                points.append((speed, pull))
        if len(points) == 1:
            raise InputError("gears of the drawworks", "1 point", None, "two or three points, or none")
        return PullCurve(tuple(points)) if points else None

    @property
    def count(self) -> int:
        """Lines strung, as a whole number."""
        return int(self.lines)

    @property
    def line_mass(self) -> float:
        """Mass of the lines between crown and block at its lowest [kg]; 0 where line or length is not given."""
        return (
            0.0 if self.line is None or self.drop is None else self.lines * self.drop * self.line.linear_mass
        )

    def unusual(self) -> tuple[str, ...]:
        """What is outside the usual sizes of the trade, in sentences; common practice, no other source."""
        found = []
        for name, (low, high, unit) in USUAL_SIZES.items():
            value = getattr(self.line if name == "diameter" else self, name, None)
            if value is not None and not to_si(low, unit) <= value <= to_si(high, unit):
                below = value < to_si(low, unit)
                label = "line diameter" if name == "diameter" else _label(name)
                found.append(
                    f"{label.capitalize()} is {significant(value / to_si(low if below else high, unit), 2)} times the "
                    f"{'least' if below else 'most'} that is usual in the trade: look at its unit."
                )
        return tuple(found)


USUAL_SIZES: Final = {
    "crown_rating": (840.0, 2800.0, "klbf"),
    "block_rating": (200.0, 2500.0, "klbf"),
    "hook_rating": (350.0, 2000.0, "klbf"),
    "drawworks_power": (550.0, 4000.0, "hp"),
    "diameter": (22.0, 51.0, "mm"),
}
"""Usual sizes of parts by field: common practice, no other source."""


def _label(name: str) -> str:
    return str(next(item for item in fields(HoistingPath) if item.name == name).metadata["about"].label)
