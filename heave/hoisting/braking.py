"""Hoisting and braking a stand: speed for the power, time, energy, stopping, and the pull curve."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.arrays import FloatArray
from heave.errors import InputError
from heave.fields import Quantity
from heave.hoisting.arguments import EFFICIENCY, LENGTH, LOAD, SPEED, held, whole
from heave.quantities import LINES, MACHINE_POWER
from heave.units import STANDARD_GRAVITY

POWER: Final = Quantity("power of the drawworks", "power", low=0.0, high=MACHINE_POWER.high)
"""From 0: the power a formula takes may be what a load leaves of it."""
LIFTED: Final = Quantity("load lifted", "force", above=0.0, high=LOAD.high)
"""Above 0, unlike other loads on the lines: what power or pull can do is divided by it."""
TOP_SPEED: Final = Quantity("most speed of the hook", "speed", above=0.0, high=20.0)
ACCELERATION: Final = Quantity("acceleration of the hook", "acceleration", above=0.0, high=100.0)
DECELERATION: Final = Quantity("deceleration of the hook", "acceleration", low=0.0, high=100.0)
LINE_SPEED: Final = Quantity("line speed", "speed", above=0.0, high=100.0)
PULL: Final = Quantity("fast-line pull", "force", above=0.0, high=1e7)


def hook_speed(power: npt.ArrayLike, load: npt.ArrayLike, efficiency: npt.ArrayLike) -> FloatArray:
    """Speed at which a power at the drum raises a load, v = P E/W.

    Source: Bourgoyne et al., Applied Drilling Engineering, hoisting system (power is force × speed).

    Parameters
    ----------
    power : at the fast line, any shape [W]
    load : on the lines, block included, any shape, above 0 [N]
    efficiency : of the lines and sheaves while hoisting, any shape, above 0 to 1 [-]

    Returns
    -------
    Hook speed, broadcast shape [m/s]

    Raises
    ------
    InputError
        If a number is out of range.
    """
    return held(power, POWER) * held(efficiency, EFFICIENCY) / held(load, LIFTED)


def stand_time(length: npt.ArrayLike, speed: npt.ArrayLike, acceleration: npt.ArrayLike) -> FloatArray:
    """Time to move a stand from rest to rest, with one acceleration up to a speed and down again.

    h/v + v/a where the speed is reached, v² ≤ a h, and 2 √(h/a) where it is not; by definition.

    Parameters
    ----------
    length : h, any shape [m]
    speed : v, most the hook may have, or has the power for, any shape, above 0 [m/s]
    acceleration : a, any shape, above 0 [m/s²]

    Returns
    -------
    Time, broadcast shape [s]

    Raises
    ------
    InputError
        If a number is out of range.
    """
    distance, rate = held(length, LENGTH), held(acceleration, ACCELERATION)
    reached = np.minimum(held(speed, TOP_SPEED), np.sqrt(rate * distance))
    still = distance == 0.0
    return np.asarray(np.where(still, 0.0, distance / np.where(still, 1.0, reached) + reached / rate))[()]


def hoisting_energy(load: npt.ArrayLike, length: npt.ArrayLike, efficiency: npt.ArrayLike) -> FloatArray:
    """Energy the drum gives to raise a load, W h/E: the load raised, and the rest heats sheaves and line.

    Source: the definition of the efficiency of the blocks (API RP 9B).

    Parameters
    ----------
    load : W on the lines, any shape [N]
    length : h, any shape [m]
    efficiency : E while hoisting, any shape, above 0 to 1 [-]

    Returns
    -------
    Energy, broadcast shape [J]

    Raises
    ------
    InputError
        If a number is out of range.
    """
    return held(load, LOAD) * held(length, LENGTH) / held(efficiency, EFFICIENCY)


def brake_energy(load: npt.ArrayLike, length: npt.ArrayLike, efficiency: npt.ArrayLike = 1.0) -> FloatArray:
    """Energy the brake takes when a stand is lowered from rest to rest, W h E_low, by definition of energy.

    Parameters
    ----------
    load : W on the lines, any shape [N]
    length : h, any shape [m]
    efficiency : E_low while lowering, lines × fast line/load; 1 leaves all to the brake, the safe side [-]

    Returns
    -------
    Energy, broadcast shape [J]

    Raises
    ------
    InputError
        If a number is out of range.
    """
    return held(load, LOAD) * held(length, LENGTH) * held(efficiency, EFFICIENCY)


def stopping_distance(speed: npt.ArrayLike, deceleration: npt.ArrayLike) -> FloatArray:
    """Way of the hook until it stands, v²/(2 a), by definition.

    Parameters
    ----------
    speed : v, any shape [m/s]
    deceleration : a, any shape, above 0 [m/s²]

    Returns
    -------
    Distance, broadcast shape [m]

    Raises
    ------
    InputError
        If a number is out of range.
    """
    slowing = Quantity(DECELERATION.label, "acceleration", above=0.0, high=DECELERATION.high)
    return held(speed, SPEED) ** 2 / (2 * held(deceleration, slowing))


def stopping_tension(
    load: npt.ArrayLike, deceleration: npt.ArrayLike, lines: int, efficiency: npt.ArrayLike = 1.0
) -> FloatArray:
    """Fast-line tension while a load that goes down is stopped, W (1 + a/g) E_low/N.

    Source: Newton's second law, the definition of weight and mass; the line's own mass and its stretch are left out.

    Parameters
    ----------
    load : W on the lines, any shape [N]
    deceleration : a of the hook, any shape, from 0 [m/s²]
    lines : N strung
    efficiency : E_low while lowering, lines × fast line/load; 1 leaves all to the brake, the safe side [-]

    Returns
    -------
    Tension, broadcast shape [N]

    Raises
    ------
    InputError
        If a number is out of range.
    """
    strung = whole(lines, LINES)
    dynamic = held(load, LOAD) * (1 + held(deceleration, DECELERATION) / STANDARD_GRAVITY)
    return dynamic * held(efficiency, EFFICIENCY) / strung


@dataclass(frozen=True)
class PullCurve:
    """Fast-line pull a gear or a motor has at a line speed, as two or more points of its data sheet.

    `points` are pairs of line speed [m/s] and pull [N], speeds rising and pulls falling. Between two points pull goes
    with a power of speed, so two points of one power are joined by that power: common practice for motors held at
    their power, where a straight line would promise more than there is. Outside the points nothing is known.
    """

    points: tuple[tuple[float, float], ...]

    def __post_init__(self) -> None:
        try:
            points = tuple((speed, pull) for speed, pull in self.points)
        except (TypeError, ValueError) as error:
            raise InputError("pull curve", self.points, None, "pairs of line speed and pull") from error
        object.__setattr__(self, "points", points)
        Quantity("number of points of the pull curve", "number", low=2, high=20).check(len(points))
        for speed, pull in points:
            LINE_SPEED.check(speed)
            PULL.check(pull)
        for (slow, strong), (fast, weak) in pairwise(points):
            if fast <= slow:
                raise InputError(
                    LINE_SPEED.label, fast, "m/s", f"above {slow:g}\u00a0m/s, that of the point before"
                )
            if weak >= strong:
                raise InputError(PULL.label, weak, "N", f"below {strong:g}\u00a0N, that of the slower point")

    def pull(self, line_speed: npt.ArrayLike) -> FloatArray:
        """Pull there is at a line speed, by definition of the curve.

        Parameters
        ----------
        line_speed : within the points, any shape [m/s]

        Returns
        -------
        Pull, shape of the speed [N]

        Raises
        ------
        InputError
            If a speed lies outside the points.
        """
        return self._between(line_speed, LINE_SPEED, *zip(*self.points, strict=True))

    def line_speed(self, pull: npt.ArrayLike) -> FloatArray:
        """Line speed at which there is that pull, by definition of the curve.

        Parameters
        ----------
        pull : within the points, any shape [N]

        Returns
        -------
        Line speed, shape of the pull [m/s]

        Raises
        ------
        InputError
            If a pull lies outside the points.
        """
        speeds, pulls = zip(*reversed(self.points), strict=True)
        return self._between(pull, PULL, pulls, speeds)

    def hook_speed(self, load: npt.ArrayLike, lines: int, efficiency: npt.ArrayLike) -> FloatArray:
        """Hook speed with a load, line speed/N at the fast-line pull W/(N E). Source: API RP 9B, fast line.

        Parameters
        ----------
        load : W on the lines, any shape, above 0 [N]
        lines : N strung
        efficiency : E while hoisting, any shape, above 0 to 1 [-]

        Returns
        -------
        Hook speed, broadcast shape [m/s]

        Raises
        ------
        InputError
            If a number is out of range, or the pull lies outside the points.
        """
        strung = whole(lines, LINES)
        return self.line_speed(held(load, LIFTED) / (strung * held(efficiency, EFFICIENCY))) / strung

    @staticmethod
    def _between(
        value: npt.ArrayLike, about: Quantity, known: tuple[float, ...], wanted: tuple[float, ...]
    ) -> FloatArray:
        """`wanted` at `value` of the rising `known`, straight in logarithms."""
        inside = Quantity(about.label, about.kind, low=known[0], high=known[-1])
        found = np.exp(np.interp(np.log(held(value, inside)), np.log(known), np.log(wanted)))
        return np.clip(found, min(wanted), max(wanted))  # rounding must not carry an end outside the points
