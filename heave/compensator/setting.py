"""What to set on a passive compensator: gas pressure, and what follows from it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from heave.compensator.device import Compensator
from heave.compensator.gas_spring import FloatArray
from heave.errors import InputError

TEMPERATURE_NOTE: Final = "10 K of gas temperature moves the set load by 3.5 to 5 %: check it as it changes."
"""Said beside every set pressure: 10 K at 290 K is 3.5 % for an ideal gas, more for nitrogen at pressure."""

CURVE_POINTS: Final = (2, 2001)
"""Fewest and most points of a load curve."""


@dataclass(frozen=True)
class Setting:
    """What to set and what it gives, at mid-stroke. Pressures are gauge [Pa], loads forces [N].

    `load` = `suspended_load` − `wob`, and `friction_force` is the friction fraction of it. Without a
    gas spring (a compensating drawworks) every gas figure is None and friction is zero. Friction lets
    the true set pressure lie between `pressure_low` and `pressure_high`. `stiffness_low`,
    `stiffness_nominal`, `stiffness_high` [N/m] and `free_period_low`, `free_period_nominal`,
    `free_period_high` [s] are at the unit's low, nominal and high polytropic index.
    `temperature_note` is the warning that goes with a set pressure.
    `load_bottom` is the gas load with the gas fully expanded (vessel down half a stroke),
    `load_top` fully compressed, both at the nominal index; `pressure_max` is fully compressed at
    the high index.
    """

    suspended_load: float
    wob: float
    load: float
    friction_force: float
    pressure: float | None
    pressure_low: float | None
    pressure_high: float | None
    stiffness_low: float | None
    stiffness_nominal: float | None
    stiffness_high: float | None
    free_period_low: float | None
    free_period_nominal: float | None
    free_period_high: float | None
    load_top: float | None
    load_bottom: float | None
    pressure_max: float | None
    temperature_note: str = TEMPERATURE_NOTE

    @property
    def wob_uncertainty(self) -> float:
        """Weight on bit the pressure gauge cannot see, ± the friction force [N]."""
        return self.friction_force


@dataclass(frozen=True)
class LoadCurve:
    """Load over travel `x`; `rising` while the gas is being compressed (vessel rises), `falling` back."""

    x: FloatArray
    rising: FloatArray
    falling: FloatArray


def plan_setting(compensator: Compensator, suspended_load: float, wob: float) -> Setting:
    """Set pressure P = (load below − WOB)/A_e at mid-stroke, with its friction band ± F_f/A_e.

    Friction F_f = μ × load. Stiffness n (F0 + p_a A_e)/(φS) and free period at the low, nominal and
    high polytropic index; a higher index gives a stiffer spring and a shorter period.

    Parameters
    ----------
    compensator : the unit
    suspended_load : load below the compensator with the bit off bottom, top drive included [N]
    wob : weight on bit wanted; 0 off bottom [N]

    Returns
    -------
    Setting

    Raises
    ------
    InputError
        If the load is not above zero, the weight on bit is negative, or it is not below the load:
        then nothing is left for the compensator to carry.
    """
    if not (math.isfinite(suspended_load) and suspended_load > 0):
        raise InputError("suspended load", suspended_load, "N", "above 0")
    if not (math.isfinite(wob) and wob >= 0):
        raise InputError("weight on bit", wob, "N", "from 0")
    if wob >= suspended_load:
        raise InputError(
            "weight on bit",
            wob,
            "N",
            f"below the suspended load, {suspended_load:.4g} N: nothing would hang on the compensator",
        )
    load = suspended_load - wob
    area = compensator.effective_area
    if compensator.is_drawworks or area is None:
        return Setting(suspended_load, wob, load, 0.0, *(None,) * 12, temperature_note="")
    friction = compensator.friction_fraction * load
    low, nominal, high = (
        compensator.spring(load, n)
        for n in (compensator.index_low, compensator.index, compensator.index_high)
    )
    half = nominal.stroke / 2
    return Setting(
        suspended_load=suspended_load,
        wob=wob,
        load=load,
        friction_force=friction,
        pressure=load / area,
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
    )


def load_curve(
    compensator: Compensator, setting: Setting, index: float | None = None, points: int = 101
) -> LoadCurve:
    """Load over the whole stroke with friction: gas load ± F_f.

    While the vessel rises the gas is compressed and friction adds to the load on the hook; while it
    falls friction takes away. The loop encloses 4 F_f X over a cycle of single amplitude X.

    Parameters
    ----------
    compensator, setting : the unit and what is set on it
    index : polytropic index; None takes the unit's own
    points : number of points along the stroke

    Raises
    ------
    InputError
        For a drawworks, or a number of points outside 2–2001.
    """
    if not CURVE_POINTS[0] <= points <= CURVE_POINTS[1]:
        raise InputError("points of the load curve", points, None, f"{CURVE_POINTS[0]} to {CURVE_POINTS[1]}")
    spring = compensator.spring(setting.load, index)
    x = np.linspace(-spring.stroke / 2, spring.stroke / 2, points)
    gas = spring.load(x)
    return LoadCurve(x, gas + setting.friction_force, gas - setting.friction_force)
