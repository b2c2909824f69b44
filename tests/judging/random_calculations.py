"""Random plans of every operation on every kind of unit and hull, with and without hoisting path and well."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterator
from typing import Any

import numpy as np

from heave.compensator import Compensator
from heave.drill_string import HoleInterval, Well
from heave.files.rigs import demo_compensators, demo_plan, demo_vessels
from heave.hoisting import LINES_OF_CROWN
from heave.planning import HEAVE_BASES, OPERATIONS, HsLimit, Operation, Plan, StaticOffsets
from heave.planning.ranges import CLOSED
from heave.planning.rig import closed_form_vessels
from heave.sea import SeaState, WaveSystem

ACTIVE = ("force, crown", "force, block", "position", "gain 1", "too much")
KINDS = ("in-line", "crown-mounted", *ACTIVE, "drawworks", "drawworks, perfect")
"""Kinds of unit, those with an active part by what it follows and where it sits."""


def plans(count: int, seed: int = 20) -> Iterator[Plan]:
    """So many plans, operation by operation and unit by unit, everything else drawn."""
    chance = np.random.default_rng(seed)
    pairs = [(kind, unit) for kind in OPERATIONS for unit in KINDS]
    for number in range(count):
        kind, unit = pairs[number % len(pairs)]
        yield drawn(chance, kind, unit, number)


def drawn(chance: np.random.Generator, kind: str, unit: str, number: int) -> Plan:
    """One plan."""
    base = demo_plan()
    hull = list({**demo_vessels(), **closed_form_vessels()}.values())[int(chance.integers(4)) % 4]
    device = compensator(chance, unit)
    systems = tuple(
        WaveSystem(
            float(chance.uniform(0.3, 6.0)),
            float(chance.uniform(5.0, 17.0)),
            direction_from=float(chance.uniform(0, 360)),
            shape=str(chance.choice(["jonswap", "two-parameter", "gaussian-swell"])),
            period_kind="Tp" if place else str(chance.choice(["Tp", "Tz"])),
            label=("wind sea", "swell", "old swell")[place],
        )
        for place in range(int(chance.integers(1, 4)))
    )
    bottom = OPERATIONS[kind].string == "on bottom"
    return base.changed(
        name=f"random {number}, {kind}, {unit}",
        sea=SeaState(systems, depth=1200.0),
        heading=float(chance.uniform(0, 360)),
        vessel=hull,
        compensator=device,
        string=string(chance),
        operation=dataclasses.replace(
            operation(chance, kind),
            hoisting_speed=(None, 0.15, 0.5, 1.3)[number % 4],
            lowering_speed=(None, 0.7, 1.4)[number % 3],
        ),
        hookload_entered=None,
        wob=float(chance.uniform(5e3, 2.5e5)) if bottom else 0.0,
        overpull=float(chance.choice([0.0, 2e5, 4.3e5])),
        offsets=offsets(chance),
        hoisting=with_gears(path(chance, device), number),
        well=well(chance),
        risk=float(chance.choice([1e-4, 0.01, 0.2])),
        exposure=float(chance.choice([1800.0, 10800.0, 40000.0])),
        heave_calibration=float(chance.choice([1.0, 0.93, 1.1])),
        calibration_margin=float(chance.choice([0.0, 0.07])),
        active=bool(chance.random() < 0.85),
        ranges=CLOSED,
    )


def compensator(chance: np.random.Generator, unit: str) -> Compensator:
    """A unit of the kind, friction and loss drawn."""
    demos = {one.kind: one for one in demo_compensators().values()}
    if unit.startswith("drawworks"):
        perfect = {"active_gain": 1.0, "active_delay": 0.0} if "perfect" in unit else {}
        return dataclasses.replace(demos["drawworks"], **perfect)
    kind = "active-assisted" if unit in ACTIVE else unit
    values: dict[str, Any] = {
        "friction_fraction": float(chance.choice([0.005, 0.02, 0.06])),
        "hydraulic_loss": float(chance.choice([5e3, 4e4])),
        "gas_volume_shut": float(chance.choice([0.0, 1.0])),
    }
    force = {"active_loop": "force", "active_bandwidth": None, "active_centring": None}
    values |= {
        "force, crown": {**force, "mounting": "crown"},
        "force, block": {**force, "mounting": "block", "active_gain": 0.6},
        "position": {"active_loop": "position", "active_gain": 0.95, "active_centring": 120.0},
        "gain 1": {**force, "active_gain": 1.0, "active_delay": 0.2},
        "too much": {**force, "active_gain": 1.15, "active_delay": 0.05, "mounting": "block"},
    }.get(unit, {})
    return dataclasses.replace(demos[kind], **values)


def string(chance: np.random.Generator) -> Any:
    """The demonstration string, its pipe longer or shorter, with or without drag."""
    base = demo_plan().string
    first = dataclasses.replace(base.sections[0], length=float(chance.uniform(600.0, 5200.0)))
    drag = float(chance.choice([0.0, 45e3]))
    return dataclasses.replace(
        base, sections=(first, *base.sections[1:]), drag=drag, mud_density=float(chance.uniform(1000, 1800))
    )


def operation(chance: np.random.Generator, kind: str) -> Operation:
    """The operation with all limits, or with few."""
    if chance.random() < 0.2:
        return Operation(kind=kind)
    return Operation(
        kind=kind,
        wob_low=5e3,
        wob_high=3e5,
        residual_motion_limit=1.0,
        residual_velocity_limit=0.5,
        heave_limit=3.0,
        heave_basis=HEAVE_BASES[int(chance.integers(4))],
        speed_limit=1.0,
        acceleration_limit=1.0,
        roll_limit=0.05,
        pitch_limit=0.05,
        stroke_out_limit=1e-4,
        hs_limits=(HsLimit(4.0),),
    )


def offsets(chance: np.random.Generator) -> StaticOffsets:
    """Slow travel, all parts drawn, some of them none."""
    return StaticOffsets(
        start_position=float(chance.choice([0.0, 0.7, -0.9])),
        tide_rise=float(chance.choice([0.0, 0.35, 3.9])),
        tide_fall=float(chance.choice([0.0, 0.4])),
        draught_change=float(chance.choice([0.0, 0.3, -0.2])),
        vessel_offset=float(chance.choice([0.0, 25.0])),
        space_out_error=float(chance.choice([0.0, 0.15])),
        penetration_rate=float(chance.choice([0.0, 12 / 3600])),
        feed_interval=300.0,
    )


def path(chance: np.random.Generator, unit: Compensator) -> Any:
    """The demonstration path, or none."""
    base = demo_plan().hoisting
    if chance.random() < 0.3 or base is None:
        return None
    changes: dict[str, Any] = {"brake_power": 4e6, "rotating_mass": 2e4}
    changes["lines_of_crown"] = LINES_OF_CROWN[int(chance.integers(2))]
    if getattr(unit, "lines", None) is not None:
        changes["lines"] = unit.lines
    return dataclasses.replace(base, **changes)


def with_gears(path: Any, number: int) -> Any:
    """The path with power, gears or both of its drawworks, or neither, by the number of the plan."""
    given: dict[str, Any] = {"drawworks_power": 3e6} if number % 5 < 3 else {}
    if number % 5 in (1, 3):
        given |= {"low_gear_speed": 3.0, "low_gear_pull": 6e5, "high_gear_speed": 14.0, "high_gear_pull": 1e5}
    return path and dataclasses.replace(path, **given)


def well(chance: np.random.Generator) -> Well | None:
    """None, vertical without friction, or inclined with it."""
    which = int(chance.integers(4))
    if which < 2:
        return None
    friction = (0.0, 0.0, 0.0, 0.22)[which]
    return Well(
        (
            HoleInterval(1200.0),
            HoleInterval(1500.0, math.radians(20.0), friction),
            HoleInterval(4000.0, math.radians(48.0), 1.3 * friction),
        )
    )
