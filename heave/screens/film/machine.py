"""What stands between block and bit in a film, and the levels of its plan that go with its traces."""

from __future__ import annotations

from itertools import accumulate
from typing import Any, Final

from heave.planning.rig import Drawworks, GasUnit
from heave.simulation.comparisons import Variant
from heave.simulation.simulate import SimulationResult
from heave.units import STANDARD_GRAVITY

Parts = dict[str, Any]

DRAWN_LINES: Final = 8
"""Lines drawn to the block where neither hoisting path nor drawworks says how many are strung."""

_MOUNTED: Final = {"crown": "under the crown", "block": "under the block"}
_CONTACT: Final = {"on bottom": "one-sided", "fixed at the seabed": "held", "free": "none"}


SHIP_LENGTH: Final = 140.0
"""Vessels from this length are drawn as ships, shorter ones on columns; common practice [m]."""


def hull_of(variant: Variant) -> str:
    """How the hull is drawn, "ship" or "columns": by the vessel's length, or that of its closed form; columns where
    neither is known.

    Parameters
    ----------
    variant : what is simulated
    """
    vessel = variant.plan.vessel
    length = vessel.length or getattr(vessel.response, "length", None) or 0.0
    return "ship" if length >= SHIP_LENGTH else "columns"


def shut_of(variant: Variant, result: SimulationResult) -> list[tuple[float, float]]:
    """From when [s] how much of a unit's gas is shut off, as a share of all: by the plan, then by each bank shut.

    Parameters
    ----------
    variant : what is simulated
    result : its run
    """
    unit = variant.plan.compensator
    if not isinstance(unit, GasUnit):
        return []
    shut = [event for event in result.events if event.kind == "gas bank shut"]
    banks = sorted((event.time, event.amount or 0.0) for event in shut)
    volumes = accumulate((amount for _, amount in banks), initial=unit.gas_volume_shut)
    times = [0.0, *(time for time, _ in banks)]
    return [(time, volume / unit.gas_volume) for time, volume in zip(times, volumes, strict=True)]


def machine_of(variant: Variant) -> Parts:
    """Unit, string and hole of a variant as they are drawn; lengths [m].

    Parameters
    ----------
    variant : what is simulated
    """
    plan, unit = variant.plan, variant.plan.compensator
    bare = variant.unit == "no compensator"
    kind = "none" if bare else "drawworks" if unit.is_drawworks else _MOUNTED[unit.mounting or "block"]
    gas = unit if isinstance(unit, GasUnit) and not bare else None
    lines = unit.lines if isinstance(unit, Drawworks) else DRAWN_LINES
    path = plan.hoisting
    return {
        "kind": kind,
        "active": variant.as_planned and plan.active_in_use,
        "locked": locked_from_the_start(variant),
        "stroke": None if gas is None else gas.stroke,
        "start": 0.0 if gas is None else plan.offsets.start_position,
        "reserve": 0.0 if gas is None else gas.end_reserve,
        "lines": int(path.lines if path is not None else lines),
        "sections": [
            {"name": section.name, "length": section.length, "od": section.outer_diameter}
            for section in plan.string.sections
        ],
        "water_depth": plan.sea.depth,
        "depth": sum(section.length for section in plan.string.sections),
        "contact": _CONTACT[plan.operation.about.string],
    }


def locked_from_the_start(variant: Variant) -> bool:
    """Whether the unit of a variant is locked all along.

    Parameters
    ----------
    variant : what is simulated
    """
    planned = not variant.plan.operation.compensated
    return variant.unit == "locked" or (variant.as_planned and planned)


def limits_of(variant: Variant) -> Parts:
    """Levels that the plan sets, by panel [SI]; the rating as the load cell shows it, less the moving parts.

    A rating of a unit under the crown is over the load at the hook by the pull of its lines (`Plan.crown_ratio`).

    Parameters
    ----------
    variant : what is simulated
    """
    plan, unit, operation = variant.plan, variant.plan.compensator, variant.plan.operation
    bit = [(operation.wob_low, "WOB, lowest allowed"), (operation.wob_high, "WOB, highest allowed")]
    bit = bit if plan.on_bottom else []  # off bottom there is no weight to hold to a programme
    found = {"bit_force": [(level, word) for level, word in bit if level is not None]}
    if variant.unit != "no compensator":
        locked, rating, word = locked_from_the_start(variant), unit.compensated_rating, "rating compensating"
        if locked:
            rating, word = unit.locked_rating, "rating locked"
        found["hook_load"] = [(rating / plan.crown_ratio - plan.moving_mass * STANDARD_GRAVITY, word)]
        if isinstance(unit, GasUnit):
            half, reserve = unit.stroke / 2, unit.end_reserve
            found["stroke"] = [(-half, "end of the stroke"), (half, "end of the stroke")]
            if reserve > 0:
                found["stroke"] += [(sign * (half - reserve), "reserve begins") for sign in (-1, 1)]
            if not locked:
                found["gas_pressure"] = [(unit.pressure_rating, "pressure rating")]
    return {
        panel: [{"level": level, "word": word} for level, word in levels]
        for panel, levels in found.items()
        if levels
    }
