"""One time step after another: block, compensator, hook, string and bit of n cases at once.

Heave Z and what the driller or a drawworks adds move the block; x = start + block − hook is the travel,
+ gas compressed. Over each step every force is constant and the string moves exactly (`Propagator`).

    gas          F_gas = F_ref ((l − x_ref)/(l − x))ⁿ − p_a A_e, taken at the middle of the step
    friction     −F_f to F_f, whatever holds the travel still; F_f against the speed where it slips
    loss         c_q ẋ|ẋ|
    ends         (k x_past + c ẋ) while the travel is past half the stroke
    active       −G × (gas and friction force above static, τ ago), limited in force and by speed
    bit          k × (depth of bit in rock), none below zero when it stands on rock

Friction, loss and ends are taken at the end of the step and the bit a little past its middle; each has a
closed solution there, so stick is exact and no stiffness limits the step (Moreau's time stepping, for
example Acary and Brogliato, Numerical Methods for Nonsmooth Dynamical Systems, 2008).
"""

from __future__ import annotations

import math
from collections import deque
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.compensator.time_domain.case import SimulationCase
from heave.compensator.time_domain.string_model import Propagator, StringModel
from heave.errors import InputError

FloatArray = npt.NDArray[np.float64]

SIGNALS: Final = ("stroke", "speed", "gas", "friction", "stop", "active", "hook", "bit", "bit_force")
"""What a step writes down: travel [m] and its speed, four forces, hook and bit [m], bit force [N]."""

TAPER: Final = 0.2
"""The active part fades from all to nothing between its velocity limit and 1 + this times it: assumption."""

LATE_SHARE: Final = 0.6
"""Share of the end of the step in the depth of the bit in the rock: at 1 blows are blunted, below one half the
contact would give back more than it took."""

_STOP_CHECK: Final = 8
_STOP_MARGIN: Final = 1.5
_READS: Final = 6
_TOGETHER: Final = 128
"""Cases multiplied together: larger products are spread over threads, which costs more than it gives."""


class Stepper:
    """The state of n cases and what moves it on."""

    def __init__(self, model: StringModel, case: SimulationCase, stepping: Propagator, cases: int) -> None:
        self.model, self.case, self.cases, self.step = model, case, cases, stepping.step
        size = 2 * model.size
        self.size = size
        self._matrix, responses = _with_reads(model, stepping)
        self.hook_place, self.hook_speed, self.hook_cross, self.bit_place, self.bit_cross = responses
        self._front = np.zeros((_READS + size + 2, cases))
        self._back = np.zeros_like(self._front)
        self.friction = self._each(math.inf if case.locked or not case.gas else case.friction)
        self.grip = self.hook_speed * self.friction
        self.has_loss = bool(np.any(np.asarray(case.hydraulic_loss) > 0))
        self.loss_factor = 4 * self.hook_speed * self._each(case.hydraulic_loss)
        self.gas_force = self._each(case.load) + self._each(case.atmosphere)
        self.gas_base = self._each(case.load) + self._each(case.atmosphere)
        self.gas_room = self._each(case.gas_length) - self._each(case.start)
        self.gas_end = self._each(case.gas_length)
        self.power = -self._each(case.index)
        self.gain = self._each(0.0 if case.drawworks or case.locked else case.gain)
        self.has_active = bool(np.any(self.gain > 0))
        self.active_speed = self._each(case.active_velocity_limit)
        self.wob = self._each(case.wob)
        rock = self._each(0.0 if case.contact == "none" else case.rock_stiffness)
        self.contact = rock / (1 + LATE_SHARE * rock * self.bit_place)
        # depth of the bit in the rock at rest, and that less what the static force would do within a step
        self.rested = np.divide(self.wob, rock, out=np.zeros(cases), where=rock > 0)
        self.resting = self.rested + LATE_SHARE * self.bit_place * self.wob
        self.level = 0.0
        self.free, self.held = case.contact == "none", case.contact == "held"
        self.half = self._each(case.half_stroke)
        self.stroke = self._each(case.start)
        self.speed = np.zeros(cases)
        self.bit_excess = np.zeros(cases)
        self.slip_force = np.zeros(cases)
        lag = case.delay / self.step
        self._whole, self._part = math.floor(lag), lag - math.floor(lag)
        self._passed = deque([np.zeros(cases)] * (self._whole + 2), maxlen=self._whole + 2)
        self._near_stop = bool(np.any(np.isfinite(self.half)))
        self._count = 0
        self._scratch = np.empty((3, cases))
        self._parts = [slice(first, first + _TOGETHER) for first in range(0, cases, _TOGETHER)]

    def _each(self, value: float | FloatArray) -> FloatArray:
        found = np.asarray(value, dtype=np.float64)
        if found.ndim > 1 or found.size not in (1, self.cases):
            raise InputError(
                "number of values", found.size, None, f"one, or one for each of {self.cases} cases"
            )
        return np.broadcast_to(found.reshape(-1), (self.cases,)).copy()

    @property
    def state(self) -> FloatArray:
        """The string's coordinates and their speeds, (2m, n)."""
        return self._front[_READS : _READS + self.size]

    def lock(self) -> None:
        """The hook moves with the block from now on."""
        self.friction[:] = math.inf
        self.grip[:] = math.inf
        self.lose_active()

    def lose_active(self) -> None:
        """The active part gives nothing from now on."""
        self.gain[:] = 0.0
        self.has_active = False

    def shut_gas(self, volume: float) -> None:
        """Take `volume` [m³] of gas off the cylinder; pressure stays, what is left has less room."""
        base = self.gas_base * (self.gas_room / (self.gas_end - self.stroke)) ** -self.power
        end = self.gas_end - volume / self._each(self.case.area)
        room = end - self.stroke
        if not np.all(end > np.minimum(self.half, self.stroke + 0.1)):
            raise InputError(
                "gas volume shut", volume, "m³", "less than leaves the cylinder's own swept volume open"
            )
        self.gas_base, self.gas_end, self.gas_room = base, end, room

    def run(
        self,
        block: FloatArray,
        block_speed: FloatArray,
        rock: FloatArray,
        out: dict[str, FloatArray],
        states: FloatArray | None = None,
    ) -> None:
        """Steps through block positions (steps, n) and speeds, and rock levels (steps,).

        Fills `out`, one array (steps, n) for each of `SIGNALS`, and `states` (steps, 2m, n) where given.
        """
        rows = zip(block, block_speed, rock, *(out[name] for name in SIGNALS), strict=True)
        for number, row in enumerate(rows):
            self._advance(*row)
            if states is not None:
                states[number] = self.state

    def _advance(
        self,
        block: FloatArray,
        block_speed: FloatArray,
        rock: float,
        stroke: FloatArray,
        speed: FloatArray,
        gas: FloatArray,
        friction: FloatArray,
        stop: FloatArray,
        active: FloatArray,
        hook: FloatArray,
        bit: FloatArray,
        bit_force: FloatArray,
    ) -> None:
        """One step; every argument but the first three is a row to be filled (names as in `SIGNALS`)."""
        front, back = self._front, self._back
        self._gas(gas)
        smooth = gas
        if self.has_active:
            smooth = gas + self._active(gas, active)
        else:
            active[:] = 0.0
        if self._near_stop:
            smooth = smooth + self._stop(block, block_speed, smooth, stop)
        else:
            stop[:] = 0.0
        self._rub(block_speed, smooth, friction)
        np.add(smooth, friction, out=front[-2])
        self._press(rock, front[-2], bit_force)
        if self.has_active:
            self._passed.append(gas + friction)
        # the string moves on, and foretells the next step without forces
        for part in self._parts:
            np.matmul(self._matrix, front[_READS:, part], out=back[:-2, part])
        self._front, self._back = back, front
        hook[:] = back[0]
        bit[:] = back[_READS + self.size // 2 - 1]
        np.subtract(block, hook, out=stroke)
        np.add(stroke, self.case.start, out=stroke)
        np.subtract(block_speed, back[1], out=speed)
        self.stroke, self.speed = stroke, speed
        self._count += 1
        if self._count % _STOP_CHECK == 0:
            self._near_stop = bool((np.abs(stroke) > self.half - _STOP_MARGIN).any())

    def _gas(self, gas: FloatArray) -> None:
        """Gas force above static, at the middle of the step as the speed so far foretells it."""
        if not self.case.gas:
            gas[:] = 0.0
            return
        np.multiply(self.speed, self.step / 2, out=gas)
        np.add(gas, self.stroke, out=gas)
        np.subtract(self.gas_end, gas, out=gas)
        np.divide(gas, self.gas_room, out=gas)
        np.power(gas, self.power, out=gas)
        np.multiply(gas, self.gas_base, out=gas)
        np.subtract(gas, self.gas_force, out=gas)

    def _rub(self, block_speed: FloatArray, smooth: FloatArray, friction: FloatArray) -> None:
        """Force of seals and hydraulics.

        With g the hook speed that a unit force gives in a step and v_free the speed of travel without
        rubbing, v + g c_q v² = |v_free| − g F_f where that is above zero; else the travel is held.
        """
        free, size, left = self._scratch
        np.multiply(smooth, self.hook_speed, out=free)
        np.add(free, self._front[3], out=free)
        np.multiply(self.bit_excess, self.hook_cross, out=size)
        np.add(free, size, out=free)
        np.subtract(block_speed, free, out=free)
        np.abs(free, out=size)
        np.subtract(size, self.grip, out=left)
        np.maximum(left, 0.0, out=left)
        if self.has_loss:
            left *= 2 / (1 + np.sqrt(1 + self.loss_factor * left))
        np.subtract(size, left, out=size)
        np.divide(size, self.hook_speed, out=size)
        np.copysign(size, free, out=friction)
        self.slip_force = friction

    def _press(self, rock: float, force: FloatArray, bit_force: FloatArray) -> None:
        """Force of bit on rock, from its depth early and late in the step, and what of it is above static."""
        if self.free:
            bit_force[:] = 0.0
            return
        front = self._front
        excess, early = front[-1], self._scratch[0]
        np.multiply(force, -self.bit_cross, out=bit_force)
        np.subtract(bit_force, front[4], out=bit_force)
        np.multiply(bit_force, LATE_SHARE, out=bit_force)
        np.multiply(front[_READS + self.size // 2 - 1], LATE_SHARE - 1, out=early)
        np.add(bit_force, early, out=bit_force)
        np.add(bit_force, self.resting, out=bit_force)
        np.add(bit_force, LATE_SHARE * rock + (1 - LATE_SHARE) * self.level, out=bit_force)
        self.level = rock
        np.multiply(bit_force, self.contact, out=bit_force)
        if not self.held:
            np.maximum(bit_force, 0.0, out=bit_force)
        np.subtract(bit_force, self.wob, out=excess)
        self.bit_excess = excess

    def _active(self, gas: FloatArray, active: FloatArray) -> FloatArray:
        """Force of the active part, from the passive force a delay ago, limited by force and speed."""
        passed = self._passed
        if self._whole == 0:
            now = gas + self.slip_force
            passive = (1 - self._part) * now + self._part * passed[-1]
        else:
            passive = (1 - self._part) * passed[-self._whole] + self._part * passed[-self._whole - 1]
        force = self.case.active_force_limit
        np.clip(-self.gain * passive, -force, force, out=active)
        active *= np.clip((1 + TAPER - np.abs(self.speed) / self.active_speed) / TAPER, 0.0, 1.0)
        return active

    def _stop(
        self, block: FloatArray, block_speed: FloatArray, smooth: FloatArray, stop: FloatArray
    ) -> FloatArray:
        """Force of the cushion at either end, solved with the friction of the step before."""
        force = smooth + np.clip(self.slip_force, -self.friction, self.friction)
        past_speed = block_speed - self._front[3] - self.hook_speed * force
        travel = block + self.case.start - self._front[2] - self.hook_place * force
        stiffness, damping = self.case.stop_stiffness, self.case.stop_damping
        yielding = 1 + stiffness * self.hook_place + damping * self.hook_speed
        top = np.maximum(stiffness * (travel - self.half) + damping * past_speed, 0.0) / yielding
        low = np.maximum(stiffness * (-travel - self.half) - damping * past_speed, 0.0) / yielding
        np.subtract(np.where(travel > self.half, top, 0.0), np.where(travel < -self.half, low, 0.0), out=stop)
        return stop


def _with_reads(model: StringModel, stepping: Propagator) -> tuple[FloatArray, tuple[float, ...]]:
    """One matrix for state and what is read off it, and what a unit force does within a step.

    Rows: hook, its speed, then hook, its speed, bit, its speed a step later without forces, then the state.
    """
    size = 2 * model.size
    transition = stepping.transition
    free = transition[:, :size]
    bit_place, bit_speed = np.zeros(size), np.zeros(size)
    bit_place[size // 2 - 1] = bit_speed[-1] = 1.0
    reads = np.stack(
        [
            stepping.hook_place,
            stepping.hook_speed,
            stepping.hook_place @ free,
            stepping.hook_speed @ free,
            bit_place @ free,
            bit_speed @ free,
        ]
    )
    from_hook, from_bit = transition[:, size], transition[:, size + 1]
    responses = (
        float(stepping.hook_place @ from_hook),
        float(stepping.hook_speed @ from_hook),
        float(stepping.hook_speed @ from_bit),
        float(bit_place @ from_bit),
        float(bit_place @ from_hook),
    )
    return np.ascontiguousarray(np.vstack([reads @ transition, transition])), responses
