"""The numbers the exercises ask about, taken from a plan and its assessment."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from heave.compensator.gas_spring import ATMOSPHERE, GasSpring
from heave.drill_string import rod_dynamics
from heave.judging.results import Assessment
from heave.planning.plan import Plan
from heave.simulation.setups import ADDED_DELAY, ADDED_GAIN
from heave.units import STANDARD_GRAVITY

__all__ = ["Ground", "ground_of"]

REFERENCE_AREA: Final = 0.1
"""Effective area of the reference gas spring [m²]."""

REFERENCE_STROKE: Final = 7.62
"""Its stroke [m], 25 ft."""

REFERENCE_RATIO: Final = 10.0
"""Its gas volume over swept volume."""

REFERENCE_INDEX: Final = 1.2
"""Its polytropic index."""

REFERENCE_FRICTION: Final = 0.02
"""Its seal friction over load: common practice, no source."""

DRILLING_RATE: Final = 15 / 3600
"""Rate of penetration asked about when the plan makes no hole [m/s]: invented."""

SMALLEST_ROOM: Final = 0.2
"""Stroke asked about when the plan leaves none [m]."""

WAVES: Final = (6.0, 8.0, 10.0, 14.0, 20.0)
"""Periods at which hook load and bit load may be compared [s]; the first is short enough for inertia to be seen."""

LARGEST_GAIN: Final = 4.0
"""Bit swing over cell swing up to which a period is used; past it the string is close to its own period."""

CELL_SWING: Final = 50e3
"""Swing of the load cell in that question [N]."""


@dataclass(frozen=True)
class Ground:
    """SI numbers behind the questions. `unit_words` begins a sentence about the compensator.

    weight_in_air, mud_density, steel_density, hookload, moving_weight, wob, load : of string and loads
    area, friction_fraction, friction, volume_ratio, stroke, index, gas_load, gas_stiffness : of the gas spring;
        gas_load = load + atmosphere × area
    string_stiffness : of the string, static
    sigma, period, cycles, risk, elastic : of heave at the hoist, and the bit force swing without friction
    gain, delay : of an active part
    rate, room : drilling, and stroke left on the gas side
    wave, cell_swing, moving_mass, cell_stiffness, bit_stiffness : of the last question; stiffnesses are force
        amplitudes per hook amplitude at the load cell and at the bit
    """

    unit_words: str
    weight_in_air: float
    mud_density: float
    steel_density: float
    hookload: float
    moving_weight: float
    wob: float
    load: float
    area: float
    friction_fraction: float
    friction: float
    volume_ratio: float
    stroke: float
    index: float
    gas_load: float
    gas_stiffness: float
    string_stiffness: float
    sigma: float
    period: float
    cycles: float
    risk: float
    elastic: float
    gain: float
    delay: float
    rate: float
    room: float
    wave: float
    cell_swing: float
    moving_mass: float
    cell_stiffness: float
    bit_stiffness: float


def ground_of(plan: Plan, assessment: Assessment) -> Ground:
    """The numbers of a plan on bottom, with a reference gas spring where the plan has none.

    Parameters
    ----------
    plan : on bottom
    assessment : of it
    """
    unit, string = plan.compensator, plan.string
    has_gas = not unit.is_drawworks
    heave, budget, band = assessment.responses.heave, assessment.responses.stroke, assessment.responses.bit
    load = assessment.setting.load
    area = unit.effective_area if unit.effective_area is not None else REFERENCE_AREA
    spring = unit.spring(load) if has_gas else _reference(load)
    fraction = unit.friction_fraction if has_gas else REFERENCE_FRICTION
    room = SMALLEST_ROOM
    if budget is not None:
        room = max(budget.half_stroke - budget.reserve - budget.start - budget.extreme, SMALLEST_ROOM)
    elastic = band.elastic if band is not None else string.stiffness * heave.level
    rate = plan.offsets.penetration_rate
    moving = unit.moving_mass + string.handling_mass
    wave, at_cell, at_bit = _swings(plan, moving)
    return Ground(
        unit_words="Your compensator"
        if has_gas
        else "Your plan has a drawworks; a gas compensator in its place",
        weight_in_air=string.mass * STANDARD_GRAVITY,
        mud_density=string.mud_density,
        steel_density=string.steel_density,
        hookload=plan.hookload,
        moving_weight=unit.moving_mass * STANDARD_GRAVITY,
        wob=plan.wob,
        load=load,
        area=area,
        friction_fraction=fraction,
        friction=fraction * load,
        volume_ratio=spring.volume_ratio,
        stroke=spring.stroke,
        index=spring.index,
        gas_load=load + ATMOSPHERE * area,
        gas_stiffness=spring.stiffness,
        string_stiffness=string.stiffness,
        sigma=heave.sigma,
        period=heave.period,
        cycles=heave.cycles,
        risk=plan.risk,
        elastic=elastic,
        gain=unit.active_gain if unit.active_gain else ADDED_GAIN,
        delay=unit.active_delay if unit.active_delay is not None else ADDED_DELAY,
        rate=rate if rate > 0 else DRILLING_RATE,
        room=room,
        wave=wave,
        cell_swing=CELL_SWING,
        moving_mass=moving,
        cell_stiffness=at_cell,
        bit_stiffness=at_bit,
    )


def _swings(plan: Plan, moving: float) -> tuple[float, float, float]:
    """A period, and force per hook amplitude at the load cell, |EAκ cot κL − ω²m|, and at the bit, |EAκ/sin κL|."""
    omega = 2 * math.pi / np.array(WAVES)
    rod = rod_dynamics(plan.string, omega, plan.string_loss)
    cell = np.abs(rod.top_stiffness_fixed - omega**2 * moving)
    bit = np.abs(rod.bit_force_per_top)
    fair = bit <= LARGEST_GAIN * cell
    place = int(np.argmax(fair)) if fair.any() else len(WAVES) - 1
    return WAVES[place], float(cell[place]), float(bit[place])


def _reference(load: float) -> GasSpring:
    return GasSpring(load, REFERENCE_STROKE, REFERENCE_RATIO, REFERENCE_INDEX, REFERENCE_AREA)
