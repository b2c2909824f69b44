"""One time step after another: block, compensator, hook, string and bit, of one case or of many at once.

Heave Z and what the driller or a drawworks adds move the block; x = start + block − hook is the travel,
+ gas compressed. Over each step every force is constant and the string moves exactly (`StringStep`).

    gas          F_gas = F_ref ((l − x_ref)/(l − x))ⁿ − p_a A_e, taken at the middle of the step
    friction     −F_f to F_f, whatever holds the travel still; F_f against the speed where it slips
    loss         c_q ẋ|ẋ|
    ends         (k x_past + c ẋ) while the travel is past half the stroke
    active       following force: −G × (gas and friction force above static, τ ago, lagged), limited in force and
                 by speed; following position: whatever holds the travel at its drive, limited in force, the drive in
                 speed
    bit          k × (depth of bit in rock), none below zero when it stands on rock

Friction, loss and ends are taken at the end of the step and the bit a little past its middle; each has a
closed solution there, so stick is exact and no stiffness limits the step (Moreau's time stepping, for
example Acary and Brogliato, Numerical Methods for Nonsmooth Dynamical Systems, 2008).

The equations stand here once. A single case works them in plain numbers, a dozen times as quick as arrays
of length one; many cases work them in arrays (n,).
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import chain
from struct import Struct
from typing import Any, Final

import numpy as np

from heave.arrays import FloatArray
from heave.compensator.time_domain.case import SimulationCase
from heave.compensator.time_domain.string_model import StringModel
from heave.compensator.time_domain.string_motion import LATE_SHARE, ManyStrings, OneString, StringStep
from heave.errors import InputError

_FOUND: Final = ("stroke", "speed", "gas", "friction", "stop", "active", "bit_force")

SIGNALS: Final = (*_FOUND, "hook", "bit")
"""What a step comes to: travel [m] and its speed, four forces and the bit force [N], hook and bit [m]."""

TAPER: Final = 0.2
"""The active part fades from all to nothing between its velocity limit and 1 + this times it: assumption."""

CORRECTION: Final = 0.2
"""Time constant with which an active part that follows position makes good what it is off [s]: assumption, far
quicker than waves and slower than a step."""

_STOP_CHECK: Final = 8
_STOP_MARGIN: Final = 1.5


@dataclass(frozen=True)
class _Arithmetic:
    """What plain numbers and arrays spell differently."""

    positive: Callable[[Any], Any]
    within: Callable[[Any, Any, Any], Any]
    root: Callable[[Any], Any]
    power: Callable[[Any, Any], Any]
    signed: Callable[[Any, Any], Any]
    some: Callable[[Any], bool]
    packed: Callable[..., Any]
    table: Callable[[list[Any]], FloatArray]


_NUMBERS: Final = _Arithmetic(
    positive=lambda x: 0.0 if x <= 0.0 else x,
    within=lambda x, low, high: min(max(x, low), high),
    root=math.sqrt,
    power=math.pow,
    signed=math.copysign,
    some=bool,
    packed=Struct(f"{len(_FOUND)}d").pack,
    table=lambda rows: np.frombuffer(b"".join(rows)).reshape(-1, len(_FOUND), 1),
)
_NONE: Final = np.zeros(1)  # an array, since numbers are turned into one at every call
_ARRAYS: Final = _Arithmetic(
    positive=lambda x: np.maximum(x, _NONE),
    within=lambda x, low, high: np.minimum(np.maximum(x, low), high),  # half of np.clip's time for few
    root=np.sqrt,
    power=np.power,
    signed=np.copysign,
    some=lambda x: bool(x.any()),
    packed=lambda *row: row,
    table=lambda rows: np.concatenate([*chain.from_iterable(rows)]).reshape(len(rows), len(_FOUND), -1),
)


class Stepper:
    """The state of n cases and what moves it on; each value a number for one case, else an array (n,).

    longest : most steps in one stretch
    keep : keep the string's state at every step of a stretch
    """

    def __init__(
        self,
        model: StringModel,
        case: SimulationCase,
        step: float,
        cases: int,
        longest: int,
        keep: bool,
    ) -> None:
        self.model, self.case, self.cases, self.step = model, case, cases, step
        self._alone = cases == 1
        self._do = _NUMBERS if self._alone else _ARRAYS
        self._unit = string = StringStep(model, step)
        self.string = OneString(string, longest) if self._alone else ManyStrings(string, cases, keep)
        each = self._each
        self.none = each(0.0)
        self.start, self.stroke, self.half = each(case.start), each(case.start), each(case.half_stroke)
        self.friction = each(math.inf if case.locked or not case.gas else case.friction)
        self.has_loss = bool(np.any(np.asarray(case.hydraulic_loss) > 0))
        self._loss_factor = 4 * string.hook_speed * each(case.hydraulic_loss)
        self.gas_force = self.gas_base = each(case.load) + each(case.atmosphere)
        self.gas_end, self.gas_room = each(case.gas_length), each(case.gas_length) - each(case.start)
        self.index = each(case.index)
        self.gain = each(0.0 if case.drawworks or case.locked else case.gain)
        self.has_active = bool(np.any(np.asarray(self.gain) > 0)) and case.loop == "force"
        self.is_driven, self._wanted = case.drives_hook, self.start
        self.wob = each(case.wob)
        self.rock = each(0.0 if case.contact == "none" else case.rock_stiffness)
        self._contact = self.rock / (1 + LATE_SHARE * self.rock * string.bit_place)
        # depth of the bit in the rock at rest, less what the static force would do within a step
        rested = np.divide(self.wob, self.rock, out=np.zeros(cases), where=np.asarray(self.rock) > 0)
        self._resting = each(rested) + LATE_SHARE * string.bit_place * self.wob
        self._level = np.zeros(cases)
        self._ends = each(case.stop_stiffness), each(case.stop_damping)
        self._active_limits = each(case.active_force_limit), each(case.active_velocity_limit)
        # speed of travel, friction and bit force above static so far, and what was read off the string
        self._last: tuple[Any, ...] = (self.none, self.none, self.none, (self.none,) * 6)
        lag = case.delay / step
        self._whole, self._part = math.floor(lag), lag - math.floor(lag)
        self._passed = deque([self.none] * (self._whole + 2), maxlen=self._whole + 2)
        pace = 2 * math.pi * case.bandwidth * step
        kept, share = math.exp(-pace), -math.expm1(-pace) / pace
        # first-order lag, exact for force that is straight over a step: shares of itself, of what came and what comes
        self._lag, self._followed, self._came = (kept, share - kept, 1 - share), self.none, self.none

    def _each(self, value: float | FloatArray) -> Any:
        found = np.asarray(value, dtype=np.float64)
        if found.ndim > 1 or found.size not in (1, self.cases):
            allowed = f"one, or one for each of {self.cases} cases"
            raise InputError("number of values", found.size, None, allowed)
        return float(found.reshape(())) if self._alone else np.broadcast_to(found.reshape(-1), (self.cases,))

    def lock(self) -> None:
        """The hook moves with the block from now on."""
        self.friction = self._each(math.inf)
        self.lose_active()

    def lose_active(self) -> None:
        """The active part gives nothing from now on."""
        self.gain, self.has_active, self.is_driven = self.none, False, False

    def shut_gas(self, volume: float) -> None:
        """Take `volume` [m³] of gas off the cylinder; pressure stays, what is left has less room."""
        base = self.gas_base * (self.gas_room / (self.gas_end - self.stroke)) ** self.index
        end = self.gas_end - volume / self._each(self.case.area)
        if not np.all(end > np.minimum(self.half, self.stroke + 0.1)):
            allowed = "less than leaves the cylinder's own swept volume open"
            raise InputError("gas volume shut", volume, "m³", allowed)
        self.gas_base, self.gas_end, self.gas_room = base, end, end - self.stroke

    def run(
        self,
        block: FloatArray,
        block_speed: FloatArray,
        rock: FloatArray,
        drive: tuple[FloatArray, FloatArray] | None = None,
    ) -> dict[str, FloatArray]:
        """Steps through block positions and speeds, and rock levels, all (steps, n).

        Parameters
        ----------
        block, block_speed, rock : [m], [m/s], [m]
        drive : travel from the start and its speed that an active part following position makes of the heave

        Returns
        -------
        One array (steps, n) for each of `SIGNALS`

        Raises
        ------
        InputError
            If the travel runs away, past the end of the gas.
        """
        before = np.concatenate([self._level[None], rock[:-1]])
        self._level = rock[-1].copy()
        still = np.broadcast_to(np.zeros(1), block.shape)
        place, rate = (still, still) if drive is None else drive
        rows = (
            *(block + self.start, block_speed, LATE_SHARE * rock + (1 - LATE_SHARE) * before),
            *(place + self.start, rate),
        )
        row: Iterable[tuple[Any, ...]] = zip(
            *(v[:, 0].tolist() if self._alone else v for v in rows), strict=True
        )
        try:
            found = self._do.table(self._steps(row, len(block)))
        except (ValueError, ArithmeticError):
            found = np.full((1, 1, 1), math.nan)
        if not np.all(np.isfinite(found[-1, 0])):
            raise InputError("travel of the unit", "past the end of its gas", None, "less heave, or more gas")
        places = self.string.places
        signals = {name: found[:, place] for place, name in enumerate(_FOUND)}
        return signals | {"hook": places[:, 0], "bit": places[:, 1]}

    def _steps(self, rows: Iterable[tuple[Any, ...]], steps: int) -> list[Any]:
        """Steps through block position from mid-stroke, its speed, level of the rock and the drive with its speed, and
        packs what is found.

        Travel without rubbing would move at v_free; with g the hook speed that a unit force gives in a step,
        v + g c_q v² = |v_free| − g F_f where that is above zero, else the travel is held.
        """
        positive, root, power, signed = self._do.positive, self._do.root, self._do.power, self._do.signed
        some, packed, found = self._do.some, self._do.packed, []
        move, unit = self.string.mover(steps), self._unit
        late_cross, hook_speed = self._each(LATE_SHARE * unit.bit_cross), self._each(unit.hook_speed)
        has_gas, has_active, has_loss = self.case.gas, self.has_active, self.has_loss
        is_driven, due = self.is_driven, self._wanted
        is_free, is_held = self.case.contact == "none", self.case.contact == "held"
        gas_scale, gas_end, exponent = self.gas_base * self.gas_room**self.index, self.gas_end, -self.index
        gas_force, half_step, loss_factor = self.gas_force, self._each(self.step / 2), self._loss_factor
        grip, near_end = hook_speed * self.friction, self.half - _STOP_MARGIN
        contact, resting, wob, stroke = self._contact, self._resting, self.wob, self.stroke
        none, one, two = self.none, self._each(1.0), self._each(2.0)
        gas = active = bit_force = none
        speed, rub, excess, (_, _, _, ahead, ahead_rate, late_bit) = self._last
        for number, (block, block_speed, level, wanted, wanted_speed) in enumerate(rows):
            if has_gas:
                gas = gas_scale * power(gas_end - stroke - half_step * speed, exponent) - gas_force
            smooth = gas
            if has_active:
                active = self._active(gas + rub, speed)
                smooth = smooth + active
            if number % _STOP_CHECK == 0:
                near = some(abs(stroke) > near_end)
            stop = none
            if near:
                stop = self._stop(block - ahead, block_speed - ahead_rate, smooth, rub, excess)
                smooth = smooth + stop
            free = block_speed - ahead_rate - hook_speed * smooth
            if is_driven:
                active = self._driving(free, due - stroke, wanted_speed)
                smooth = smooth + active
                free = free - hook_speed * active
                due = wanted
            size = abs(free)
            left = positive(size - grip)
            if has_loss:
                left = left * (two / (one + root(one + loss_factor * left)))
            rub = signed((size - left) / hook_speed, free)
            force = smooth + rub
            if has_active:
                self._passed.append(gas + rub)
            if not is_free:
                bit_force = contact * (resting + level - late_cross * force - late_bit)
                if not is_held:
                    bit_force = positive(bit_force)
                excess = bit_force - wob
            hook, rate, _, ahead, ahead_rate, late_bit = reads = move(force, excess)
            stroke, speed = block - hook, block_speed - rate
            found.append(packed(stroke, speed, gas, rub, stop, active, bit_force))
        self.stroke, self._wanted, self._last = stroke, due, (speed, rub, excess, reads)
        return found

    def _active(self, passive: Any, speed: Any) -> Any:
        """Force of the active part, from the passive force a delay ago, limited by force and speed."""
        within, (force, top) = self._do.within, self._active_limits
        later = self._passed[-self._whole] if self._whole else passive
        before = (1 - self._part) * later + self._part * self._passed[-self._whole - 1]
        kept, came, comes = self._lag
        self._followed = kept * self._followed + came * self._came + comes * before
        self._came = before
        pull = within(-self.gain * self._followed, -force, force)
        return pull * within((1 + TAPER - abs(speed) / top) / TAPER, 0.0, 1.0)

    def _driving(self, free: Any, off: Any, wanted_speed: Any) -> Any:
        """Force that brings the travel to its drive against friction and loss, as far as the limits let it.

        `free` is the speed of travel without friction, loss and this force at the end of the step, `off` what the
        travel is short of its drive at the beginning.
        """
        within, (force, top) = self._do.within, self._active_limits
        speed = within(wanted_speed + off / CORRECTION, -top, top)
        rub = self._do.signed(self.friction, speed)
        if self.has_loss:
            rub = rub + self._each(self.case.hydraulic_loss) * speed * abs(speed)
        return within((free - speed) / self._unit.hook_speed - rub, -force, force)

    def _stop(self, travel: Any, speed: Any, smooth: Any, rub: Any, excess: Any) -> Any:
        """Force of the cushion at either end, solved with the friction of the step before."""
        positive, unit, half = self._do.positive, self._unit, self.half
        force = smooth + self._do.within(rub, -self.friction, self.friction)
        past_speed = speed + unit.hook_cross * excess - unit.hook_speed * force
        travel = travel - unit.hook_place * force
        stiffness, damping = self._ends
        top = positive(stiffness * (travel - half) + damping * past_speed)
        low = positive(stiffness * (-travel - half) - damping * past_speed)
        pushed = (travel > half) * top - (travel < -half) * low
        return pushed / (1 + stiffness * unit.hook_place + damping * unit.hook_speed)
