"""The numbers the exercises ask about, taken from a plan and its assessment."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from heave.compensator import ActivePart, Drawworks, GasSpring, GasUnit
from heave.drill_string import rod_dynamics
from heave.judging.path_loads import block_weight
from heave.judging.results import Assessment
from heave.planning.plan import Plan
from heave.simulation.comparisons import ADDED_DELAY, ADDED_GAIN, SHUT
from heave.units import STANDARD_GRAVITY, to_si

REFERENCE_AREA: Final = 0.1
"""Effective area of the gas spring asked about where the plan has none [m²]."""

REFERENCE_SPRING: Final = {"stroke": 7.62, "volume_ratio": 10.0, "index": 1.2}
"""Its stroke [m], 25 ft, its gas volume over swept volume and its polytropic index."""

REFERENCE_FRICTION: Final = 0.02
"""Its seal friction over load: common practice, no source."""

DRILLING_RATE: Final = 15 / 3600
"""Rate of penetration asked about when the plan makes no hole [m/s]: invented."""

SMALLEST_ROOM: Final = 0.2
"""Stroke asked about when the plan leaves none, or its unit has none [m]."""

WAVES: Final = (6.0, 8.0, 10.0, 14.0, 20.0)
"""Periods at which hook load and bit load may be compared [s]; the first is short enough for inertia to be seen."""

LARGEST_GAIN: Final = 4.0
"""Bit swing over cell swing up to which a period is used; past it the string is close to its own period."""

CELL_SWING: Final = 50e3
"""Swing of the load cell in that question [N]."""

LEAST_FORCE: Final = 10.0
"""Least force that is asked about: less is the arithmetic of what is still [N]."""

LINES: Final = 10.0
"""Lines strung asked about where no drawworks says how many."""

SHEAVE_FACTOR: Final = 1.04
"""Pull over a turning sheave of roller bearings (API RP 9B)."""

BLOCK: Final = 40e3 * STANDARD_GRAVITY
"""Weight of the block and what hangs under it above the hook [N]: invented."""

STAND: Final = 28.5
"""Length of a stand [m], three joints."""

WORK_GOAL: Final = to_si(3000.0, "t·km")
"""Work between cuts asked about [J]: invented, for goals are the rig's own."""

WORK_DONE: Final = 0.4
"""Share of it done: invented."""


def numbers_of(plan: Plan, assessment: Assessment) -> dict[str, float]:
    """The numbers of a plan on bottom by symbol [SI], with a reference gas spring where the plan has none.

    Parameters
    ----------
    plan : on bottom
    assessment : of it
    """
    unit, string, load = plan.compensator, plan.string, assessment.setting.load
    heave, budget, band = assessment.responses.heave, assessment.responses.stroke, assessment.responses.bit
    if isinstance(unit, GasUnit):
        spring, share = unit.spring(load), unit.friction_fraction
    else:
        spring = GasSpring(load, effective_area=REFERENCE_AREA, **REFERENCE_SPRING)
        share = REFERENCE_FRICTION
    gain, delay = ADDED_GAIN, ADDED_DELAY
    if isinstance(unit, ActivePart):
        gain, delay = unit.active_gain or ADDED_GAIN, unit.active_delay
    left = math.inf
    if budget is not None:
        left = float(budget.half_stroke - budget.reserve - budget.start - budget.extreme)
    room = SMALLEST_ROOM if budget is None or left <= 0 else left
    elastic = string.stiffness * float(heave.level) if band is None else float(band.elastic)
    elastic = 0.0 if elastic < LEAST_FORCE else elastic
    return {
        "W_air": string.mass * STANDARD_GRAVITY,
        "ρ_mud": string.mud_density,
        "ρ_steel": string.steel_density,
        "W_h": plan.hookload,
        "W_c": plan.moving_mass * STANDARD_GRAVITY,
        "WOB": plan.wob,
        "F_0": load,
        "A_e": spring.effective_area or REFERENCE_AREA,
        "μ": share,
        "F_f": share * load,
        "φ": spring.volume_ratio,
        "S": spring.stroke,
        "n": spring.index,
        "F_abs": spring.absolute_force,
        "k_c": spring.stiffness,
        "s": SHUT,
        "k_s": string.stiffness,
        "σ_z": float(heave.sigma),
        "N_z": float(heave.cycles),
        "p": plan.risk,
        "a": elastic,
        "F_r": share * load if band is None else band.friction,
        "b": 0.0 if band is None else float(band.ringing),
        "A_k": math.inf if band is None else float(band.locked),
        "G": gain,
        "τ": delay,
        "T": float(heave.period),
        "x_left": room,
        "x_over": max(-left, 0.0),
        "z": float(heave.level),
        "A_high": math.nan if band is None else float(band.high),
        "ROP": plan.offsets.penetration_rate or DRILLING_RATE,
        "A_cell": CELL_SWING,
        **_swings(plan),
        **_hoisted(plan),
    }


def _hoisted(plan: Plan) -> dict[str, float]:
    """What hangs in the lines and what a round trip moves; the pipe is the lightest section, all above it collars."""
    string, path, unit = plan.string, plan.hoisting, plan.compensator
    strung = unit.lines if isinstance(unit, Drawworks) else LINES
    block = BLOCK if path is None else block_weight(plan)
    lightest = min(section.linear_mass for section in string.sections)
    pipe = string.buoyancy_factor * lightest * STANDARD_GRAVITY
    return {
        "n_l": strung if path is None else path.count,
        "K": SHEAVE_FACTOR if path is None else path.sheave_factor,
        "W_b": block,
        "w_p": pipe,
        "D_b": string.length,
        "L_s": STAND,
        "W_t": block + string.handling_weight,
        "C": string.buoyed_weight - pipe * string.length,
        "A_goal": WORK_GOAL,
        "A_done": WORK_DONE * WORK_GOAL,
    }


def _swings(plan: Plan) -> dict[str, float]:
    """A period, and force per hook amplitude at the load cell, |EAκ cot κL − ω²m|, and at the bit, |EAκ/sin κL|."""
    mass = plan.moving_mass + plan.string.handling_mass
    omega = 2 * math.pi / np.array(WAVES)
    rod = rod_dynamics(plan.string, omega, plan.string_loss)
    cell = np.abs(rod.top_stiffness_fixed - omega**2 * mass)
    bit = np.abs(rod.bit_force_per_top)
    fair = bit <= LARGEST_GAIN * cell
    place = int(np.argmax(fair)) if fair.any() else len(WAVES) - 1
    return {"T_w": WAVES[place], "m": mass, "k_cell": float(cell[place]), "k_bit": float(bit[place])}
