"""What a simulated run says of the weight on bit: its spread, time outside the band, lift-offs, equations."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.compensator import GasUnit
from heave.compensator.gas_spring import ATMOSPHERE
from heave.fields import Quantity
from heave.formula import Formula, Step
from heave.judging.formulas import BALANCE, GAS_LAW, KINEMATICS, formula
from heave.judging.moments import setting_of
from heave.judging.results import BitBand
from heave.simulation.simulate import SimulationResult
from heave.units import STANDARD_GRAVITY

BINS: Final = 60
"""Bars of the histogram."""

_formula = partial(
    formula,
    z_block=("length", "block above where it stood at rest"),
    z=("length", "heave of the hoist, up"),
    d=("length", "moved by the driller or the drawworks, up"),
    x=("length", "stroke from mid-stroke, + gas compressed"),
    x_0=("length", "start position from mid-stroke"),
    z_hook=("length", "hook above where it stood at rest"),
    P=("pressure", "gas pressure, gauge"),
    P_0=("pressure", "absolute pressure where the gas was set or bottles were last shut"),
    V_0=("volume", "gas open to the cylinder there"),
    x_r=("length", "stroke there"),
    n=("number", "polytropic index"),
    F=("force", "force between block and hook"),
    F_s=("force", "seals and hydraulics, against the travel"),
    F_a=("force", "active part"),
    F_end=("force", "end of the stroke, where it is met"),
    F_cell=("force", "hook load, what the load cell shows"),
    W_s=("force", "string in mud and gear, hanging still"),
    F_i=("force", "inertia and ringing of hook and string: not on any gauge"),
)
BLOCK: Final = _formula("z_block = z + d", KINEMATICS)
TRAVEL: Final = _formula("x = x_0 + z_block − z_hook", KINEMATICS)
GAS: Final = _formula("P = P_0 × (V_0 / (V_0 − A_e × (x − x_r)))^n − p_a", GAS_LAW)
FORCE: Final = _formula("F = P × A_e + F_s + F_a + F_end", BALANCE)
CELL: Final = _formula("F_cell = F − m_c × g", BALANCE)
BIT: Final = _formula("WOB = W_s − F_cell + F_i", "vertical balance of everything below the load cell")


@dataclass(frozen=True)
class LiftOff:
    """One time the bit left the rock: when [s] and for how long [s]."""

    start: float
    duration: float


@dataclass(frozen=True, eq=False)
class RunStatistics:
    """The weight on bit of one run.

    edges, shares : of the histogram (nb + 1,) [N] and (nb,), the shares adding to 1
    mean, sigma, lowest, highest : of the bit force [N]
    outside_low, outside_nominal, outside_high : share of the time outside each predicted band; NaN without one
    outside_limits : share outside the lowest and highest WOB allowed; NaN where the plan gives neither
    lift_offs : each of them
    hook_swing, bit_swing : largest departure from the mean of hook load and of bit force [N]
    """

    edges: FloatArray
    shares: FloatArray
    mean: float
    sigma: float
    lowest: float
    highest: float
    outside_low: float
    outside_nominal: float
    outside_high: float
    outside_limits: float
    lift_offs: tuple[LiftOff, ...]
    hook_swing: float
    bit_swing: float


def report(result: SimulationResult, band: BitBand | None, edges: FloatArray | None = None) -> RunStatistics:
    """Sum up one run.

    Parameters
    ----------
    result : of `simulate`
    band : the predicted band, drift with slow travel counted as in the check
    edges : of the histogram [N], so that two runs can share them; None covers this run
    """
    force = result.bit_force
    if edges is None:
        edges = shared_edges([result])
    counts, _ = np.histogram(np.clip(force, edges[0], edges[-1]), edges)
    limits = result.plan.operation.wob_low, result.plan.operation.wob_high
    low = -math.inf if limits[0] is None else limits[0]
    high = math.inf if limits[1] is None else limits[1]
    beyond = [math.nan] * 3
    if band is not None:
        beyond = [_outside(force, *band.span(swing)) for swing in (band.low, band.nominal, band.high)]
    hook = result.hook_load
    return RunStatistics(
        edges=edges,
        shares=counts / len(force),
        mean=float(force.mean()),
        sigma=float(force.std()),
        lowest=float(force.min()),
        highest=float(force.max()),
        outside_low=beyond[0],
        outside_nominal=beyond[1],
        outside_high=beyond[2],
        outside_limits=math.nan if limits == (None, None) else _outside(force, low, high),
        lift_offs=_contacts(result),
        hook_swing=float(np.abs(hook - hook.mean()).max()),
        bit_swing=float(np.abs(force - force.mean()).max()),
    )


def shared_edges(results: Sequence[SimulationResult]) -> FloatArray:
    """Even edges that cover the bit force of every result [N].

    Parameters
    ----------
    results : the runs
    """
    low = min(float(result.bit_force.min()) for result in results)
    high = max(float(result.bit_force.max()) for result in results)
    spare = max(0.02 * (high - low), 1.0)
    return np.linspace(low - spare, high + spare, BINS + 1)


def _outside(force: FloatArray, low: float, high: float) -> float:
    return float(np.mean((force < low) | (force > high)))


def _contacts(result: SimulationResult) -> tuple[LiftOff, ...]:
    off = np.concatenate([[False], result.lift_off, [False]])
    change = np.flatnonzero(off[1:] != off[:-1])
    return tuple(
        LiftOff(float(result.time[first]), float((last - first) * result.step))
        for first, last in zip(change[::2], change[1::2], strict=True)
    )


def instant(result: SimulationResult, moment: float, unit: str = "as planned") -> tuple[Step, ...]:
    """The equations of one instant with its numbers: travel, gas, compensator force, hook load, bit force.

    Parameters
    ----------
    result : of `simulate`
    moment : when [s]
    unit : as in `Variant`; without a working compensator there is no gas in the equations

    Raises
    ------
    InputError
        If the moment is outside the run.
    """
    Quantity("moment", "period", low=0.0, high=float(result.time[-1])).check(moment)
    row = _row(result, moment)
    heave, block, hook, stroke, force, rubbing, active, cell, bit = (
        float(getattr(result, name)[row])
        for name in (
            *("heave", "block", "hook", "stroke", "compensator_force"),
            *("friction_force", "active_force", "hook_load", "bit_force"),
        )
    )
    plan, setting = result.plan, setting_of(result.plan)
    mass = plan.moving_mass
    steps = [_told(BLOCK, block, z=heave, d=block - heave)]
    if result.gas_pressure is not None and unit == "as planned":
        pressure, area = float(result.gas_pressure[row]), plan.compensator.of_type(GasUnit).effective_area
        end = float(result.stop_force[row])
        steps += [
            _told(TRAVEL, stroke, x_0=plan.offsets.start_position, z_block=block, z_hook=hook),
            _told(GAS, pressure, x=stroke, **_gas(result, row, result.gas_pressure)),
            _told(FORCE, force, P=pressure, A_e=area, F_s=rubbing, F_a=active, F_end=end),
        ]
    below = setting.load + setting.wob - mass * STANDARD_GRAVITY
    return (
        *steps,
        _told(CELL, cell, F=force, m_c=mass),
        _told(BIT, bit, W_s=below, F_cell=cell, F_i=bit - below + cell),
    )


def _row(result: SimulationResult, moment: float) -> int:
    return min(int(np.searchsorted(result.time, moment)), len(result.time) - 1)


def _told(equation: Formula, found: float, **terms: float) -> Step:
    """The equation with its numbers, and on its other side what the run itself found."""
    step = equation(**terms)
    return step._replace(result=step.result._replace(value=found))


def _gas(result: SimulationResult, row: int, pressure: FloatArray) -> dict[str, float]:
    """Terms of the gas law from the last moment at which its amount changed: the start, or bottles being shut."""
    plan, unit = result.plan, result.plan.compensator.of_type(GasUnit)
    area = unit.effective_area
    base = (setting_of(plan).pressure or math.nan) + ATMOSPHERE
    length, origin = unit.volume_ratio * unit.stroke, plan.offsets.start_position
    for event in sorted(result.events, key=lambda item: item.time):
        if event.kind == "gas bank shut" and event.time <= result.time[row] and event.amount is not None:
            when = _row(result, event.time)
            base, origin = float(pressure[when]) + ATMOSPHERE, float(result.stroke[when])
            length -= event.amount / area
    return {"P_0": base, "V_0": (length - origin) * area, "A_e": area, "x_r": origin, "n": unit.index}
