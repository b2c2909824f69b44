"""Where the block is and how deep the hole: heave, feeding off, drilling, and a compensating drawworks."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from heave.arrays import FloatArray
from heave.compensator.time_domain.case import BLOCK_MOVES, FEED_SPEED, Event, SimulationCase
from heave.compensator.time_domain.heave_motion import HeaveMotion
from heave.errors import InputError
from heave.fields import Quantity


@dataclass(frozen=True, eq=False)
class BlockMotion:
    """Movement of the block relative to the vessel, and the level of the rock under the bit.

    offset : how far the block stands above where the vessel alone would have it
    level : of the rock at the samples (nt, k), falling as hole is made [m]
    drive : travel that an active part following position makes of the heave, of each case; None without one

    The others have one column for all cases or for each group of as many, in their order.
    """

    offset: HeaveMotion
    level: FloatArray
    drive: HeaveMotion | None = None

    def rock(self, first: int, count: int, parts: int) -> FloatArray:
        """Level of the rock on the fine grid (count × parts, k); arguments as for HeaveMotion.refined."""
        share = np.arange(1, parts + 1)[:, None] / parts
        before, after = (self.level[row : row + count, None] for row in (first, first + 1))
        return np.asarray((before + (after - before) * share).reshape(count * parts, -1))


def block_motion(
    heave: HeaveMotion, case: SimulationCase, events: tuple[Event, ...], drilling_rate: float
) -> BlockMotion:
    """Block and rock over the whole run.

    A drawworks moves the block against what its active part makes of the heave (`driven`), within its limits of speed
    and acceleration; once lost or locked it holds still. A feed lowers the block at a steady speed on any unit, and the
    driller may raise or lower it by any amount along a half cosine. Without power the brake holds the block where it
    is, and no more hole is made.

    Parameters
    ----------
    heave : of the vessel
    case : unit
    events : what happens
    drilling_rate : [m/s]

    Raises
    ------
    InputError
        If an event lies after the end, or the rate is negative or not finite.
    """
    Quantity("rate of penetration", "speed", low=0.0).check(drilling_rate)
    for event in events:
        if event.time > heave.duration:
            raise InputError(
                "time of the event", event.time, "s", f"within the run, {heave.duration:g}\u00a0s"
            )
    time = np.asarray(np.arange(len(heave.position)) * heave.step - heave.lead, dtype=np.float64)
    powered = np.minimum(time, _first(events, "power lost"))
    level = 0.0 - drilling_rate * np.maximum(powered, 0.0)
    place = (_fed(powered, level, events) + _moved(powered, events))[:, None]
    speed = np.gradient(place, heave.step, axis=0)
    if case.drawworks and not case.locked:
        held = _first(events, "active unit lost", "compensator locked", "power lost")
        added, added_speed = _drawworks(heave, case, time, held)
        place, speed = place + added, speed + added_speed
    drive = driven(heave, case) if case.drives_hook else None
    return BlockMotion(HeaveMotion(heave.step, place, speed, heave.lead), level[:, None], drive)


def driven(heave: HeaveMotion, case: SimulationCase) -> HeaveMotion:
    """What an active part that follows position makes of the heave: G times it, a delay ago, lagged and centred.

    Lag and slow loop are of first order, ẏ = ω_b (u − y) and ẏ = u̇ − y/T, solved exactly for input that is straight
    between samples (any text on control); without either the cubic of the heave itself.

    Parameters
    ----------
    heave : of the vessel
    case : for gain, delay, bandwidth and period of the slow loop
    """
    late = heave.delayed(case.delay)
    place, rate = (np.asarray(case.gain) * values for values in (late.position, late.velocity))
    if math.isfinite(case.bandwidth):
        place, rate = (_lagged(values, 2 * math.pi * case.bandwidth, heave.step) for values in (place, rate))
    if math.isfinite(case.centring):
        pace = 2 * math.pi / case.centring
        slow = _lagged(place, pace, heave.step)
        place, rate = place - slow, rate - pace * (place - slow)
    return HeaveMotion(heave.step, place, rate, heave.lead)


def _lagged(values: FloatArray, pace: float, step: float) -> FloatArray:
    """y of ẏ = pace (u − y), from rest, u straight between the rows of `values`."""
    from scipy.linalg import solve_banded

    left = math.exp(-pace * step)
    share = (1 - left) / (pace * step)
    pushed = (1 - share) * values
    pushed[1:] += (share - left) * values[:-1]
    bands = np.repeat([[1.0], [-left]], len(values), axis=1)
    return np.asarray(solve_banded((1, 0), bands, pushed))


def _first(events: tuple[Event, ...], *kinds: str) -> float:
    """When the first event of these kinds comes; infinite where none does."""
    return min((event.time for event in events if event.kind in kinds), default=math.inf)


def _moved(time: FloatArray, events: tuple[Event, ...]) -> FloatArray:
    """How far the driller has raised the block, lowered below zero [m]."""
    offset = np.zeros_like(time)
    for event in events:
        if event.kind in BLOCK_MOVES and event.amount is not None and event.over is not None:
            share = np.clip((time - event.time) / event.over, 0.0, 1.0)
            offset += BLOCK_MOVES[event.kind] * event.amount * (1 - np.cos(math.pi * share)) / 2
    return offset


def _fed(time: FloatArray, level: FloatArray, events: tuple[Event, ...]) -> FloatArray:
    """How far feeding has lowered the block [m], zero or below."""
    offset, fed = np.zeros_like(time), 0.0
    for event in sorted((e for e in events if e.kind == "driller feeds off"), key=lambda e: e.time):
        drilled = -float(np.interp(event.time, time, level))
        amount = max(drilled - fed, 0.0) if event.amount is None else event.amount
        fed += amount
        offset -= np.clip((time - event.time) * FEED_SPEED, 0.0, amount)
    return offset


def _drawworks(
    heave: HeaveMotion, case: SimulationCase, time: FloatArray, lost: float
) -> tuple[FloatArray, FloatArray]:
    """What a compensating drawworks adds to the block's position and speed."""
    drive = driven(heave, case)
    wanted, speed = -drive.position, -drive.velocity
    step, top, change = heave.step, case.block_speed_limit, case.block_acceleration_limit
    acceleration = np.gradient(speed, step, axis=0)
    if np.abs(speed).max() > top or np.abs(acceleration).max() > change:
        wanted, speed = _limited(wanted, step, top, change)
    held = time > lost
    if held.any():
        first = max(int(np.argmax(held)), 1)
        wanted[held] = wanted[first - 1]
        speed[held] = 0.0
    return wanted, speed


def _limited(wanted: FloatArray, step: float, top: float, change: float) -> tuple[FloatArray, FloatArray]:
    """Follow `wanted` with no more than speed `top` and acceleration `change`.

    Speed is also kept to what can be braked within the distance left, √(2 × change × distance).
    """
    place = np.zeros_like(wanted)
    speed = np.zeros(wanted.shape[1])
    for row in range(1, len(wanted)):
        goal_speed = (wanted[row] - wanted[row - 1]) / step
        gap = wanted[row] - place[row - 1]
        closing = np.sign(gap) * np.sqrt(2 * change * np.abs(gap)) if np.isfinite(change) else gap / step
        order = np.where(np.abs(closing) < np.abs(gap / step), goal_speed + closing, gap / step)
        order = np.clip(order, speed - change * step, speed + change * step)
        speed = np.clip(order, -top, top)
        place[row] = place[row - 1] + speed * step
    return place, np.gradient(place, step, axis=0)
