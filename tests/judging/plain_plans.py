"""Plans so plain that their figures can be worked by hand, of every operation on every kind of unit.

Moments of the heave have a closed form: a long-crested Gaussian swell on a vessel that heaves 0.6 m a metre at every
period. The string is a rod of two sections.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache, lru_cache

import numpy as np

from heave.compensator import Compensator
from heave.drill_string import DrillString, Section
from heave.hoisting import DrillingLine, HoistingPath
from heave.judging.demands import Demands, demands
from heave.planning import HEAVE_BASES, OPERATIONS, HsLimit, Operation, Plan, StaticOffsets
from heave.sea import SeaState, WaveSystem
from heave.vessel import ResponseTable, Vessel

HEAVE, ROLL, PITCH, WIDTH = 0.6, 0.02, 0.01, 0.01
"""Heave [m/m], roll off the axis and pitch [rad/m] per wave, and width of the swell [Hz]."""

PIPE = Section("pipe", 2500.0, 0.127, 0.1086, 33.6, 9.3e8)
COLLAR = Section("collar", 150.0, 0.2, 0.07, 220.0, 2.0e8, tensile_area=0.0055)
STRING = DrillString((PIPE, COLLAR), mud_density=1200.0, handling_mass=20e3, drag=30e3)
GAS = {
    "stroke": 7.0, "compensated_rating": 2.0e6, "locked_rating": 4.0e6, "velocity_rating": 2.0, "effective_area": 0.1,
    "gas_volume": 7.0, "gas_volume_shut": 0.5, "pressure_rating": 2.4e7, "index_low": 1.1, "index": 1.3,
    "index_high": 1.6, "friction_fraction": 0.02, "hydraulic_loss": 4e4, "moving_mass": 6e3, "end_reserve": 0.4,
}  # fmt: skip
ACTIVE = {
    "active_gain": 0.3, "active_delay": 0.1, "active_force_limit": 2e5, "active_velocity_limit": 1.5,
    "active_power_limit": 3e5,
}  # fmt: skip
DRIVE = {"active_loop": "position", "active_gain": 0.9, "active_bandwidth": 0.8, "active_centring": 90.0}
LINE = {
    "compensated_rating": 3e6, "locked_rating": 4e6, "active_gain": 0.95, "active_delay": 0.1, "lines": 12,
    "line_speed_limit": 20.0, "line_acceleration_limit": 15.0, "power_limit": 3e6, "moving_mass": 5e3,
}  # fmt: skip
UNITS = [
    Compensator.of("passive", "in-line", **GAS),
    Compensator.of("active", "active-assisted", **GAS, **ACTIVE),
    Compensator.of("too active", "active-assisted", **GAS, **{**ACTIVE, "active_gain": 1.1}),
    Compensator.of("late", "active-assisted", **GAS, **{**ACTIVE, "active_gain": 0.15, "active_delay": 2.0}),
    Compensator.of(
        "lagging", "active-assisted", **GAS, **{**ACTIVE, "active_gain": 0.8, "active_bandwidth": 1.5}
    ),
    Compensator.of("driven", "active-assisted", **GAS, **(ACTIVE | DRIVE)),
    Compensator.of("line", "drawworks", **LINE),
]
PATH = HoistingPath(
    lines=8, bearing="plain", line=DrillingLine(0.035, "other", own_strength=9e5, own_mass=5.0), line_factor=3.2,
    line_factor_heavy=2.3, crown_mass=4e3, block_mass=7e3, body_mass=3e3, drop=40.0, derrick_rating=3e6,
    crown_rating=3.5e6, anchor_rating=3e5, block_rating=2.9e6, hook_rating=2.8e6, top_drive_rating=2.7e6,
    links_rating=2.6e6, elevators_rating=2.5e6, drawworks_pull=4e5, drawworks_power=1.5e6, brake_power=2e6,
    low_gear_pull=4e5, low_gear_speed=3.0, middle_gear_pull=2e5, middle_gear_speed=8.0, high_gear_pull=1e5,
    high_gear_speed=20.0, rotating_mass=1e4, highest_block=30.0,
    lowest_block=12.0, crown_stop=41.0, clearance=1.5,
)  # fmt: skip
NO_GEARS = {f"{gear}_gear_{what}": None for gear in ("low", "middle", "high") for what in ("pull", "speed")}
PATHS = {
    "passive": PATH,
    "active": replace(PATH, bearing="roller", **NO_GEARS),
    "driven": replace(PATH, lines_of_crown="straight to the floor"),
    "late": replace(PATH, lines_of_crown="straight to the floor"),
    "line": replace(PATH, lines=12, bearing="roller", drawworks_power=None),
}
"""Hoisting paths by the name of the unit; the active ones but "too active" stand under the crown with one."""

OFFSETS = StaticOffsets(
    start_position=-0.3, tide_rise=0.5, tide_fall=0.7, draught_change=0.4, vessel_offset=30.0, space_out_error=0.2,
    penetration_rate=0.004, feed_interval=200.0,
)  # fmt: skip
SHALLOWER = replace(OFFSETS, start_position=0.4, draught_change=-0.6)
START = {"gentle": replace(OFFSETS, start_position=3.2), "sticking": replace(OFFSETS, start_position=-3.2)}
"""So far off the middle that one end is reached, and the heave does not bring the unit back to the middle."""
ROWS = (
    HsLimit(5.0, 2.0, 10.0),
    HsLimit(6.0, 8.0, 30.0, 100.0, 180.0),
    HsLimit(3.5, 8.0, 20.0, 0.0, 99.0),
)


def plain_vessel() -> Vessel:
    omega, headings = np.linspace(0.05, 3.0, 60), np.arange(0.0, 181.0, 30.0)
    flat, on_axis = np.ones((7, 60), dtype=complex), np.isin(headings, (0.0, 180.0))[:, None]
    return Vessel("plain", ResponseTable(omega, headings, HEAVE * flat, ROLL * flat * ~on_axis, PITCH * flat))


def sea(*systems: tuple[float, float]) -> SeaState:
    swell = {"shape": "gaussian-swell", "width": WIDTH, "spreading": "long-crested", "direction_from": 200.0}
    return SeaState(tuple(WaveSystem(hs=hs, period=tp, **swell) for hs, tp in systems), depth=1500.0)


SEAS = {
    "moderate": sea((2.0, 9.0)),
    "rough": sea((9.0, 12.0)),
    "stiff": sea((3.0, 9.0), (0.5, 15.0)),
    "gentle": sea((0.3, 9.0)),
    "sticking": sea((0.45, 9.0)),
    "stuck": sea((0.2, 9.0)),
    "long": sea((2.0, 6.0)),
    "swell": sea((2.6, 14.0)),
    "lively": sea((2.5, 13.5)),
    "slow": sea((3.6, 16.7)),
    "slow, slight": sea((1.0, 16.7)),
    "slower": sea((5.2, 21.5)),
}
"""In "stiff", "sticking" and "stuck" the seals are tight and lossy; "long" has a string as slow as its waves; in
"swell" and "lively" a free hook swings on the gas, and the friction lets most of it go; the slow ones are slower than
the load on its gas, and take a hook along that hardly slips."""

FREELY = ("swell", "lively", "slow", "slow, slight", "slower")
"""Those that are for a free hook on a passive unit."""

HEAT = {
    "moderate": (3e4, 0.2),
    "long": (-3e4, 0.1),
    "gentle": (1.2e5, 0.2),
    "sticking": (-1.5e5, 0.1),
    "stuck": (1.2e5, 0.0),
}
"""What the gas's temperature adds to its force where the bit or the latch is held [N], and moves a free hook [m]."""

LONG = DrillString((replace(PIPE, length=9000.0), COLLAR), mud_density=1200.0, handling_mass=20e3, drag=30e3)


PAIRS = tuple((kind, unit.name) for kind in OPERATIONS for unit in UNITS)
"""Every operation on every unit."""


@lru_cache(maxsize=1)
def plans() -> tuple[Plan, ...]:
    """Each operation on each unit, in seas past the stroke, hardly moving it, or not at all."""
    return tuple(plan for pair in PAIRS for plan in plans_of(*pair))


@cache
def plans_of(kind: str, name: str) -> tuple[Plan, ...]:
    """Those of an operation on the unit of a name."""
    return tuple(_plans(kind, next(unit for unit in UNITS if unit.name == name)))


def _plans(kind: str, unit: Compensator) -> Iterator[Plan]:
    for place, (name, state) in enumerate(SEAS.items()):
        rough = name == "rough"
        stiff = name in ("stiff", "sticking", "stuck")
        if unit.is_drawworks and (stiff or name == "long"):
            continue
        free = OPERATIONS[kind].string == "free"
        if name in FREELY and not (free and unit.name == "passive"):
            continue
        freely = free and name in ("sticking", "stuck")
        operation = Operation(
            kind=kind,
            wob_low=60e3 if rough else 20e3,
            wob_high=500e3 if rough else 250e3,
            heave_limit=2.5,
            heave_basis=HEAVE_BASES[place % 4],
            speed_limit=1.2,
            acceleration_limit=0.9,
            roll_limit=0.05,
            pitch_limit=0.03,
            residual_motion_limit=1.5,
            residual_velocity_limit=0.9,
            stroke_out_limit=1e-3,
            hoisting_speed=(0.3, 0.6, 1.5)[place % 3],
            lowering_speed=0.7,
            hs_limits=ROWS,
        )
        yield Plan(
            sea=SeaState(tuple(replace(w, hs=5 * w.hs) for w in state.systems), depth=1500.0)
            if freely
            else state,
            vessel=plain_vessel(),
            compensator=replace(unit, friction_fraction=0.06, hydraulic_loss=3e6) if stiff else unit,
            string=LONG if name == "long" else STRING,
            operation=operation,
            name=name,
            heading=260.0 if rough else 210.0,
            wob=150e3,
            offsets=SHALLOWER if rough else START.get(name, OFFSETS),
            hookload_entered=1.1e6 if rough else None,
            overpull=150e3,
            exposure=4 * 3600.0,
            risk=0.02,
            yield_fraction=0.85,
            active=not (rough and unit.is_drawworks),
            hoisting=None if name == "gentle" else PATHS.get(unit.name),
        )


@lru_cache(maxsize=1)
def found() -> tuple[Demands, ...]:
    return tuple(one for pair in PAIRS for one in found_of(*pair))


@cache
def found_of(kind: str, name: str) -> tuple[Demands, ...]:
    """What is asked of each plan of an operation on the unit of a name."""
    return tuple(
        replace(demands(plan, plan.sea.batch()), gas_force=heat(plan)[0], gas_shift=heat(plan)[1])
        for plan in plans_of(kind, name)
    )


def heat(plan: Plan) -> tuple[float, float]:
    """What temperature adds to the force of the gas, and how far it moves a free hook."""
    force, shift = (0.0, 0.0) if plan.compensator.is_drawworks else HEAT.get(plan.name, (0.0, 0.0))
    return (0.0, shift) if OPERATIONS[plan.operation.kind].string == "free" else (force, 0.0)
