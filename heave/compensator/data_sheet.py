"""A compensator as its maker's data sheet gives it, brought to the area and gas volume of the model, and held up to it.

Sheets give cylinders, bore, rod and bottles; the model has one area and one volume at the hook. What an entered unit
cannot be, or seldom is, is said with its numbers when it is entered; nothing is changed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, NamedTuple

from heave.compensator.device import Compensator, GasUnit
from heave.errors import InputError
from heave.fields import choice, quantity, validate
from heave.units import per_cent, show, show_apart, significant

USUAL_STROKE: Final = (3.5, 9.0)
"""Strokes at the hook of drill-string compensators, 15 to 25 ft and somewhat beyond; common practice [m]."""

USUAL_SPEED: Final = (0.5, 3.0)
"""Velocity ratings at the hook; common practice [m/s]."""

USUAL_PRESSURE: Final = (100e5, 350e5)
"""Pressure ratings of air and nitrogen bottles; common practice [Pa]."""

USUAL_VOLUME_RATIO: Final = (3.0, 60.0)
"""Open gas over swept volume: below, the load doubles over the stroke; above, there is more gas than rigs carry."""

LARGEST_RISE: Final = 0.5
"""Share by which the load may rise from mid-stroke to an end before it is said; 5 to 15 % is common practice."""

MOST_SPARE: Final = 2.0
"""Force at the pressure rating over the compensating rating above which one of the two is doubted."""

MOST_LOCKED: Final = 3.0
"""Locked over compensating rating above which one of the two is doubted."""


class Remark(NamedTuple):
    """What was looked at, in a sentence with its numbers, and whether it is in doubt."""

    doubtful: bool
    words: str


@dataclass(frozen=True)
class DataSheet:
    """The numbers of a maker's sheet from which area and gas volume follow."""

    cylinders: float = quantity(
        "Cylinders", "number", low=1, high=12, help="All that carry the load together."
    )
    bore: float = quantity(
        "Bore of a cylinder", "diameter", low=0.02, high=1.5, help="Inside diameter of one cylinder."
    )
    rod: float = quantity("Rod of a cylinder", "diameter", low=0.0, high=1.4, help="0 where it has none.")
    side: str = choice(
        "Gas presses on",
        ("bore side", "rod side"),
        help="Rod side: the ring round the rod.",
    )
    reeving: float = quantity(
        "Hook travel per piston travel",
        "number",
        low=0.5,
        high=8.0,
        help="1 where rods pull the hook directly.",
    )
    bottles: float = quantity(
        "Bottles open to the cylinders",
        "number",
        low=0,
        high=200,
        help="Number that is open, of the same volume each.",
    )
    bottle_volume: float = quantity(
        "Volume of a bottle", "volume", low=0.0, high=20.0, help="Of gas, not of water."
    )
    other_volume: float = quantity(
        "Other gas at mid-stroke", "volume", low=0.0, high=100.0, help="In accumulators, cylinders and pipes."
    )
    pre_charge: float | None = quantity(
        "Pre-charge, gauge, at mid-stroke",
        "pressure",
        low=1e5,
        high=1e8,
        optional=True,
        help="Gauge pressure with the piston at mid-stroke.",
    )

    def __post_init__(self) -> None:
        validate(self)
        if self.rod >= self.bore:
            raise InputError("Rod of a cylinder", self.rod, "m", f"below the bore, {self.bore:g}\u00a0m")
        for name in ("cylinders", "bottles"):
            if getattr(self, name) != int(getattr(self, name)):
                raise InputError(name.capitalize(), getattr(self, name), None, "a whole number")

    @property
    def piston_area(self) -> float:
        """Area the gas presses on in one cylinder, π/4 D², or π/4 (D² − d²) on the rod side [m²]: geometry."""
        lost = self.rod**2 if self.side == "rod side" else 0.0
        return math.pi / 4 * (self.bore**2 - lost)

    @property
    def effective_area(self) -> float:
        """Area at the hook, n A/r with hook travel r per piston travel [m²]: work of the gas is that at the hook."""
        return self.cylinders * self.piston_area / self.reeving

    @property
    def gas_volume(self) -> float:
        """All gas at mid-stroke, bottles and the rest [m³]: definition."""
        return self.bottles * self.bottle_volume + self.other_volume

    def working(self, system: str = "si") -> tuple[str, ...]:
        """How area, volume and load follow from the sheet, with the numbers.

        Parameters
        ----------
        system : of units
        """
        bore, rod = show(self.bore, "diameter", system, 4), show(self.rod, "diameter", system, 4)
        area, whole = show(self.piston_area, "area", system, 5), show(self.effective_area, "area", system, 5)
        square = f"(({bore})² − ({rod})²)" if self.side == "rod side" else f"({bore})²"
        bottle, rest = (
            show(self.bottle_volume, "volume", system, 4),
            show(self.other_volume, "volume", system, 4),
        )
        lines = [
            f"Area of a piston: π/4 × {square} = {area}",
            f"At the hook: {self.cylinders:g} × {area} / {self.reeving:g} = {whole}",
            f"Gas at mid-stroke: {self.bottles:g} × {bottle} + {rest} = {show(self.gas_volume, 'volume', system, 4)}",
        ]
        if self.pre_charge is not None:
            load = show(self.pre_charge * self.effective_area, "force", system, 4)
            pressure = show(self.pre_charge, "pressure", system, 4)
            lines.append(f"Load that the pre-charge carries at mid-stroke: {pressure} × {whole} = {load}")
        return tuple(lines)


def remarks(unit: Compensator, load: float, system: str = "si", ratio: float = 1.0) -> tuple[Remark, ...]:
    """What the numbers of a unit say of each other, and of the load it is to carry.

    Source: force is pressure times area, the polytropic gas law; bounds by common practice are named so.

    Parameters
    ----------
    unit : of any kind
    load : at the hook, which the gas carries on its effective area [N]
    system : of units
    ratio : load on the unit over that at the hook, `heave.hoisting.crown_ratio` of one under the crown; its ratings are
        over the load on it

    Returns
    -------
    One remark for each thing that was looked at
    """
    found = [_locked(unit, system), _rating(unit, load, system, ratio)]
    if isinstance(unit, GasUnit):
        found += [*_pressures(unit, load, system, ratio), *_gas(unit, load, system), *_usual(unit, system)]
    return tuple(found)


def _locked(unit: Compensator, system: str) -> Remark:
    locked, compensated = unit.locked_rating, unit.compensated_rating
    words = (
        f"The rating locked, {show(locked, 'force', system)}, is {significant(locked / compensated)} times that "
        f"compensating, {show(compensated, 'force', system)}"
    )
    doubtful = locked > MOST_LOCKED * compensated
    return Remark(doubtful, words + (": one of the two may be wrong." if doubtful else "."))


def _rating(unit: Compensator, load: float, system: str, ratio: float) -> Remark:
    doubtful = load * ratio > unit.compensated_rating
    carried, rating = show_apart(load * ratio, unit.compensated_rating, "force", system)
    pull = "" if ratio == 1 else " with the pull of its lines on the crown"
    words = f"The load of the plan, {carried}{pull}, is {'above' if doubtful else 'within'} the rating"
    return Remark(doubtful, f"{words} compensating, {rating}.")


def _pressures(unit: GasUnit, load: float, system: str, ratio: float) -> Iterator[Remark]:
    """Area times pressure against the rating, and the pressure that the load needs."""
    most, rating = unit.effective_area * unit.pressure_rating * ratio, unit.compensated_rating
    area, pressure = (
        show(unit.effective_area, "area", system, 4),
        show(unit.pressure_rating, "pressure", system),
    )
    carries, rated = show_apart(most, rating, "force", system)
    on_it = "" if ratio == 1 else f" at the hook, {significant(ratio)} times as much on the unit"
    words = (
        f"At its pressure rating, {pressure} on {area}{on_it}, the gas carries {carries}; the rating compensating is "
        f"{rated}"
    )
    if most < rating:
        yield Remark(True, words + ": the gas cannot carry the rating, so area, pressure or rating is wrong.")
    elif most > MOST_SPARE * rating:
        yield Remark(True, words + ": that is more than twice the rating, so one of the three may be wrong.")
    else:
        yield Remark(False, words + ".")
    needed, most_gas = show_apart(load / unit.effective_area, unit.pressure_rating, "pressure", system)
    doubtful = load / unit.effective_area > unit.pressure_rating
    yield Remark(doubtful, f"The load of the plan needs {needed}, against a rating of {most_gas}.")


def _gas(unit: GasUnit, load: float, system: str) -> Iterator[Remark]:
    """Gas volume against stroke: what the load does over the stroke."""
    spring, ratio = unit.spring(load), unit.volume_ratio
    half = unit.stroke / 2
    up, down = (float(spring.load(x)) / load - 1 for x in (half, -half))
    swept = show(unit.effective_area * unit.stroke, "volume", system)
    low, high = USUAL_VOLUME_RATIO
    words = (
        f"Open gas, {show(unit.gas_volume - unit.gas_volume_shut, 'volume', system)}, is {significant(ratio)} times "
        f"the swept volume, {swept}: the load goes from {per_cent(down)} to +{per_cent(up)} over the stroke at "
        f"index {unit.index:g}"
    )
    doubtful = up > LARGEST_RISE or not low <= ratio <= high
    yield Remark(doubtful, words + (": look at volume, area and stroke." if doubtful else "."))
    end = float(unit.spring(load, unit.index_high).load(half)) / unit.effective_area
    reached, rating = show_apart(end, unit.pressure_rating, "pressure", system)
    words = (
        f"Fully compressed in waves (index {unit.index_high:g}) the gas reaches {reached}, "
        f"{'above' if end > unit.pressure_rating else 'within'} the pressure rating of {rating}."
    )
    yield Remark(end > unit.pressure_rating, words)


def _usual(unit: GasUnit, system: str) -> Iterator[Remark]:
    """Stroke, speed and pressure against what such units have, by common practice."""
    for name, value, kind, (low, high) in (
        ("stroke", unit.stroke, "length", USUAL_STROKE),
        ("velocity rating", unit.velocity_rating, "speed", USUAL_SPEED),
        ("pressure rating", unit.pressure_rating, "pressure", USUAL_PRESSURE),
    ):
        between = f"{show(low, kind, system)} to {show(high, kind, system)}"
        doubtful = not low <= value <= high
        told, _ = show_apart(value, min(max(value, low), high), kind, system)
        words = f"The {name}, {told}, is {'not ' if doubtful else ''}within the usual {between}"
        yield Remark(doubtful, words + (": is it at the hook, and in that unit?" if doubtful else "."))
