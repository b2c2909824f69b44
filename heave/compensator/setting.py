"""What to set on a passive compensator: gas pressure, and what follows from it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.compensator.device import Compensator, GasUnit
from heave.drill_string.job import WEIGHT_ON_BIT
from heave.errors import InputError
from heave.fields import Quantity

TEMPERATURE_NOTE: Final = (
    "10\u00a0K of gas temperature moves the set load by 3.5 to 5\u00a0%: check it as it changes."
)
"""Said beside every set pressure: 10 K at 290 K is 3.5 % for an ideal gas, more for nitrogen at pressure."""

CURVE_POINTS: Final = 101
"""Points of a load curve."""


@dataclass(frozen=True)
class Setting:
    """What to set on a unit and what it gives. Pressures are gauge [Pa], loads and friction forces [N].

    Of a unit without a gas spring there is only the load: the rest is None, and what rests on it is not assessed.

    `load` = `suspended_load` − `wob`. `friction_force` is the friction fraction of it, zero without gas; the pressure
    gauge cannot see as much of the weight on bit. `start` is where the piston then is, from mid-stroke, positive
    towards gas compression [m].
    `pressure` is to be read with the piston at `start`; moved to mid-stroke the same gas shows
    `pressure_mid_stroke`, at the nominal index. Friction lets the true set pressure lie between
    `pressure_low` and `pressure_high`. `stiffness_low`, `stiffness_nominal`, `stiffness_high` [N/m]
    and `free_period_low`, `free_period_nominal`, `free_period_high` [s] are at `start`, at the
    unit's low, nominal and high polytropic index.
    `load_bottom` is the gas load with the gas fully expanded (vessel down half a stroke),
    `load_top` fully compressed, both at the nominal index; `pressure_max` is fully compressed at
    the high index. `temperature_note` is the warning that goes with a set pressure.
    """

    suspended_load: float
    wob: float
    load: float
    friction_force: float = 0.0
    start: float = 0.0
    pressure: float | None = None
    pressure_mid_stroke: float | None = None
    pressure_low: float | None = None
    pressure_high: float | None = None
    stiffness_low: float | None = None
    stiffness_nominal: float | None = None
    stiffness_high: float | None = None
    free_period_low: float | None = None
    free_period_nominal: float | None = None
    free_period_high: float | None = None
    load_top: float | None = None
    load_bottom: float | None = None
    pressure_max: float | None = None
    temperature_note: str = ""


@dataclass(frozen=True)
class LoadCurve:
    """Load over travel `x` from mid-stroke; `rising` while gas is being compressed (vessel rises), `falling` back."""

    x: FloatArray
    rising: FloatArray
    falling: FloatArray


def plan_setting(compensator: Compensator, suspended_load: float, wob: float, start: float = 0.0) -> Setting:
    """Set pressure P = (load below − WOB)/A_e where the piston is when it is set, with its friction band ± F_f/A_e.

    Friction F_f = μ × load (μ of 1 to 3 % is common practice). Stiffness n (F0 + p_a A_e)/(φS − x_s) and free
    period at the low, nominal and high polytropic index (polytropic gas law, see `GasSpring`); a higher
    index gives a stiffer spring and a shorter period.

    Parameters
    ----------
    compensator : the unit
    suspended_load : load below the compensator with the bit off bottom, top drive included [N]
    wob : weight on bit wanted; 0 off bottom [N]
    start : where the piston is, x_s from mid-stroke, positive towards gas compression [m]

    Returns
    -------
    Setting; its load alone for a unit without a gas spring

    Raises
    ------
    InputError
        If the load is not above zero, the weight on bit is negative, it is not below the load (then
        nothing is left for the compensator to carry), or the place is past half the stroke.
    """
    Quantity("suspended load", "force", above=0.0).check(suspended_load)
    WEIGHT_ON_BIT.check(wob)
    if wob >= suspended_load:
        allowed = (
            f"below the suspended load, {suspended_load:.4g}\u00a0N: nothing would hang on the compensator"
        )
        raise InputError("weight on bit", wob, "N", allowed)
    load = suspended_load - wob
    if not isinstance(compensator, GasUnit):
        return Setting(suspended_load, wob, load)
    area = compensator.effective_area
    friction = compensator.friction_fraction * load
    low, nominal, high = (
        compensator.spring(load, n, start)
        for n in (compensator.index_low, compensator.index, compensator.index_high)
    )
    half = nominal.stroke / 2
    return Setting(
        suspended_load=suspended_load,
        wob=wob,
        load=load,
        friction_force=friction,
        start=start,
        pressure=load / area,
        pressure_mid_stroke=float(nominal.load(0.0)) / area,
        pressure_low=(load - friction) / area,
        pressure_high=(load + friction) / area,
        stiffness_low=low.stiffness,
        stiffness_nominal=nominal.stiffness,
        stiffness_high=high.stiffness,
        free_period_low=low.free_period(),
        free_period_nominal=nominal.free_period(),
        free_period_high=high.free_period(),
        load_top=float(nominal.load(half)),
        load_bottom=float(nominal.load(-half)),
        pressure_max=float(high.load(half)) / area,
        temperature_note=TEMPERATURE_NOTE,
    )


def load_curve(compensator: Compensator, setting: Setting) -> LoadCurve:
    """Load over the whole stroke with friction: gas load ± F_f.

    Source: polytropic gas law with Coulomb friction (see `GasSpring`).
    While the vessel rises the gas is compressed and friction adds to the load on the hook; while it
    falls friction takes away. The loop encloses 4 F_f X over a cycle of single amplitude X.

    Parameters
    ----------
    compensator, setting : the unit and what is set on it

    Raises
    ------
    InputError
        For a drawworks.
    """
    spring = compensator.of_type(GasUnit).spring(setting.load, set_at=setting.start)
    x = np.linspace(-spring.stroke / 2, spring.stroke / 2, CURVE_POINTS)
    gas = spring.load(x)
    return LoadCurve(x, gas + setting.friction_force, gas - setting.friction_force)
