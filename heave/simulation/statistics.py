"""What a simulated run says of the weight on bit: its spread, time outside the band, lift-offs, equations."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.compensator.gas_spring import ATMOSPHERE
from heave.errors import InputError
from heave.formula import Step, Term
from heave.judging.moments import setting_of
from heave.judging.results import BitBand
from heave.simulation.simulate import SimulationResult, thinned
from heave.units import STANDARD_GRAVITY

__all__ = ["LiftOff", "RunStatistics", "busiest", "instant", "report", "shared_edges", "stretch"]

FloatArray = npt.NDArray[np.float64]

BINS: Final = 60
"""Bars of the histogram."""


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
    beyond = [
        math.nan if band is None else _outside(force, *band.span(swing))
        for swing in ((band.low, band.nominal, band.high) if band is not None else (0.0, 0.0, 0.0))
    ]
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


def shared_edges(results: Sequence[SimulationResult], bins: int = BINS) -> FloatArray:
    """Even edges that cover the bit force of every result [N].

    Parameters
    ----------
    results : the runs
    bins : number of bars
    """
    low = min(float(result.bit_force.min()) for result in results)
    high = max(float(result.bit_force.max()) for result in results)
    spare = max(0.02 * (high - low), 1.0)
    return np.linspace(low - spare, high + spare, bins + 1)


def _outside(force: FloatArray, low: float, high: float) -> float:
    return float(np.mean((force < low) | (force > high)))


def _contacts(result: SimulationResult) -> tuple[LiftOff, ...]:
    off = np.concatenate([[False], result.lift_off, [False]])
    change = np.flatnonzero(off[1:] != off[:-1])
    return tuple(
        LiftOff(float(result.time[first]), float((last - first) * result.step))
        for first, last in zip(change[::2], change[1::2], strict=True)
    )


def busiest(results: Sequence[SimulationResult], length: float) -> float:
    """Start of the stretch of `length` [s] about the largest departure of any bit force from its mean [s].

    Parameters
    ----------
    results : runs of one duration
    length : of the stretch [s]
    """
    largest = max(results, key=lambda r: float(np.abs(r.bit_force - r.bit_force.mean()).max()))
    force = largest.bit_force
    peak = float(largest.time[int(np.argmax(np.abs(force - force.mean())))])
    return min(max(peak - 0.6 * length, 0.0), max(float(largest.time[-1]) - length, 0.0))


def stretch(
    result: SimulationResult, name: str, start: float, end: float, most: int = 800
) -> tuple[FloatArray, FloatArray]:
    """A trace between two times with at most `most` points, least and greatest of every bucket kept.

    Parameters
    ----------
    result : of `simulate`
    name : an array of it, such as "bit_force"
    start, end : [s]
    most : most points, from 4

    Raises
    ------
    InputError
        If there is no such trace, or nothing lies between the two times.
    """
    values = getattr(result, name, None)
    if not isinstance(values, np.ndarray) or values.shape != result.time.shape:
        raise InputError("trace", name, None, "the name of an array of the result")
    first, last = np.searchsorted(result.time, [start, end])
    if last - first < 2 or most < 4:
        raise InputError("stretch", f"{start:g} to {end:g}", "s", "a stretch of the run")
    return thinned(result.time[first:last], values[first:last], most)


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
    if not 0 <= moment <= result.time[-1]:
        raise InputError("moment", moment, "s", f"within the run, {result.time[-1]:g} s")
    row = min(int(np.searchsorted(result.time, moment)), len(result.time) - 1)
    steps = [_block(result, row)]
    if result.gas_pressure is not None and unit == "as planned":
        pressure = float(result.gas_pressure[row])
        steps += [_travel(result, row), _gas(result, row, result.gas_pressure), _force(result, row, pressure)]
    return (*steps, _cell(result, row), _bit(result, row))


def _block(result: SimulationResult, row: int) -> Step:
    heave, block = result.heave[row], result.block[row]
    return Step(
        "z_block",
        "{z} + {d}",
        {
            "z": Term(heave, "length", "heave of the hoist, up"),
            "d": Term(block - heave, "length", "moved by the driller or the drawworks, up"),
        },
        Term(block, "length", "block above where it stood at rest"),
    )


def _travel(result: SimulationResult, row: int) -> Step:
    start = result.plan.offsets.start_position
    return Step(
        "x",
        "{x_0} + {z_block} − {z_hook}",
        {
            "x_0": Term(start, "length", "start position from mid-stroke"),
            "z_block": Term(result.block[row], "length", "block above rest"),
            "z_hook": Term(result.hook[row], "length", "hook above rest"),
        },
        Term(result.stroke[row], "length", "stroke from mid-stroke, + gas compressed"),
    )


def _gas(result: SimulationResult, row: int, pressure: FloatArray) -> Step:
    """Gas law from the last moment at which its amount changed: the start, or bottles being shut."""
    plan, unit = result.plan, result.plan.compensator
    area, stroke = unit.effective_area or math.nan, unit.stroke or math.nan
    setting = setting_of(plan)
    base = (setting.pressure or math.nan) + ATMOSPHERE
    length, origin = unit.volume_ratio * stroke, plan.offsets.start_position
    for event in sorted(result.events, key=lambda item: item.time):
        if event.kind == "gas bank shut" and event.time <= result.time[row] and event.amount is not None:
            when = min(int(np.searchsorted(result.time, event.time)), len(result.time) - 1)
            base, origin = float(pressure[when]) + ATMOSPHERE, float(result.stroke[when])
            length -= event.amount / area
    return Step(
        "P",
        "{P_0} × ({V_0} / ({V_0} − {A_e} × ({x} − {x_r})))^{n} − {p_a}",
        {
            "P_0": Term(
                base, "pressure", "absolute pressure where the gas was set or bottles were last shut"
            ),
            "V_0": Term((length - origin) * area, "volume", "gas open to the cylinder there"),
            "A_e": Term(area, "area", "effective area"),
            "x": Term(result.stroke[row], "length", "stroke now"),
            "x_r": Term(origin, "length", "stroke there"),
            "n": Term(unit.index, "number", "polytropic index"),
            "p_a": Term(ATMOSPHERE, "pressure", "pressure of the air"),
        },
        Term(float(pressure[row]), "pressure", "gas pressure, gauge"),
    )


def _force(result: SimulationResult, row: int, pressure: float) -> Step:
    area = result.plan.compensator.effective_area or math.nan
    gas = pressure * area
    total, rubbing = result.compensator_force[row], result.friction_force[row]
    active = result.active_force[row]
    end = total - gas - rubbing - active
    return Step(
        "F",
        "{P} × {A_e} + {F_s} + {F_a} + {F_end}",
        {
            "P": Term(pressure, "pressure", "gas pressure, gauge"),
            "A_e": Term(area, "area", "effective area"),
            "F_s": Term(rubbing, "force", "seals and hydraulics, against the travel"),
            "F_a": Term(active, "force", "active part"),
            "F_end": Term(
                end if result.stroke_out[row] else 0.0, "force", "end of the stroke, where it is met"
            ),
        },
        Term(total, "force", "force between block and hook"),
    )


def _cell(result: SimulationResult, row: int) -> Step:
    mass = result.plan.compensator.moving_mass
    return Step(
        "F_cell",
        "{F} − {m} × {g}",
        {
            "F": Term(result.compensator_force[row], "force", "force between block and hook"),
            "m": Term(mass, "mass", "moving parts of the compensator"),
            "g": Term(STANDARD_GRAVITY, "acceleration", "standard gravity"),
        },
        Term(result.hook_load[row], "force", "hook load, what the load cell shows"),
    )


def _bit(result: SimulationResult, row: int) -> Step:
    """Vertical balance of everything below the load cell; what is left over is inertia and ringing."""
    setting = setting_of(result.plan)
    below = setting.load + setting.wob - result.plan.compensator.moving_mass * STANDARD_GRAVITY
    cell, bit = result.hook_load[row], result.bit_force[row]
    return Step(
        "WOB",
        "{W_s} − {F_cell} + {F_i}",
        {
            "W_s": Term(below, "force", "string in mud and gear, hanging still"),
            "F_cell": Term(cell, "force", "hook load now"),
            "F_i": Term(
                bit - below + cell, "force", "inertia and ringing of hook and string: not on any gauge"
            ),
        },
        Term(bit, "force", "weight on bit"),
    )
