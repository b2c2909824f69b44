"""What the linear response of compensator, hook and string rests on: the equation of motion.

Heave Z of the block, hook Y, both + up; X = Z − Y is the stroke, + gas compressed. The hook of mass
m_h hangs on the compensator force K X and carries the string's top force D Y:

    (K − ω² m_h + D) Y = K Z,      K = ρ (k + iωc),      ρ = 1 − G e^{−iωτ}/(1 + iω/ω_b),

for a passive unit (ρ = 1) and for an active part that follows force and cancels a share of the passive one. An
active part that follows position drives the hook whatever the forces, and so does a drawworks:

    X = H Z,      Y = ρ Z,      H = G e^{−iωτ}/(1 + iω/ω_b) · iωT/(1 + iωT),      ρ = 1 − H,

the last factor the slow loop that holds mid-stroke. It leaves ρ times the force of a locked unit, N ρ/dip, and the
active part must give that less what the gas gives, N ρ/dip − k H, beside friction and loss.

D = d/b with the bit held on the bottom, c/a with the bit free, from the string's transfer matrix. All
is multiplied through by b (or a), called `dip` here, so that the string's own resonances, where D has
poles, do no harm:

    N = (D − ω² m_h)·dip,   E = K dip + N,   Y = K dip/E,   X = N/E,   bit = K/E

where bit is the bit force per heave [N/m] on the bottom and the bit motion per heave [m/m] off it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal, get_args

import numpy as np
import numpy.typing as npt

from heave.arrays import ComplexArray, FloatArray
from heave.compensator.device import ActivePart, Compensator, GasUnit
from heave.compensator.setting import Setting
from heave.drill_string import DrillString, rod_dynamics
from heave.errors import InputError
from heave.fields import Choice

Condition = Literal["on bottom", "free", "locked on bottom", "locked free"]
"""The mechanical condition a response is computed for."""

CONDITIONS: Final[tuple[Condition, ...]] = get_args(Condition)
"""Where the bit is, and whether the compensator is locked."""

CONDITION: Final = Choice("condition", CONDITIONS)

STRING_LOSS_FACTOR: Final = 0.02
"""Structural loss factor of the string, 1 % of critical: common practice, no source. It only matters at
the string's own resonances, which without any loss would depend on the frequency grid."""


@dataclass(frozen=True)
class LinearSystem:
    """The parts of the transfer functions that do not depend on damping, arrays (nω,).

    `omega` [rad/s]; `on_bottom`: the bit is held; `spring`: k [N/m]; `dip`: b or a of the string.
    `rigid` says that stroke and hook motion do not depend on a spring: a locked unit, a drawworks, or a unit whose
    active part follows position; that has the spring in its active force.
    """

    omega: FloatArray
    on_bottom: bool
    rigid: bool
    spring: float
    dip: ComplexArray
    load: ComplexArray
    """N = (D − ω² m_h)·dip."""
    residual: ComplexArray
    """ρ: 1 without an active part, and for a locked unit."""
    active: ComplexArray
    """1 − ρ, what an active part makes of what it follows."""


def active_residual(
    omega: npt.ArrayLike,
    gain: float,
    delay: float,
    bandwidth: float | None = None,
    centring: float | None = None,
) -> ComplexArray:
    """What an active part leaves of what it follows, ρ = 1 − G e^{−iωτ}/(1 + iω/ω_b) · iωT/(1 + iωT).

    With gain and delay alone its size is √(1 + G² − 2G cos ωτ), 2 sin(ωτ/2) at G = 1.
    Source: delay, first-order lag and first-order high-pass of any text on control.

    Parameters
    ----------
    omega : [rad/s]
    gain : G
    delay : τ [s]
    bandwidth : ω_b/2π, None without lag [Hz]
    centring : 2πT, period of the slow loop that holds mid-stroke, None without one [s]
    """
    angular = np.asarray(omega, dtype=np.float64)
    drive = gain * np.exp(-1j * angular * delay)
    if bandwidth is not None:
        drive = drive / (1.0 + 1j * angular / (2 * math.pi * bandwidth))
    if centring is not None:
        slow = 1j * angular * centring / (2 * math.pi)
        drive = drive * slow / (1.0 + slow)
    return np.asarray(1.0 - drive)


def linear_system(
    compensator: Compensator,
    string: DrillString,
    setting: Setting,
    omega: npt.ArrayLike,
    condition: Condition,
    *,
    active: bool = True,
    index: float | None = None,
    loss_factor: float = STRING_LOSS_FACTOR,
) -> LinearSystem:
    """Everything in the equation of motion that does not depend on the damping.

    Source: balance of forces on the hook, gas law, and dynamics of a rod; see `rod_dynamics`.

    Parameters
    ----------
    compensator, string, setting : the unit, what hangs on it, and what is set
    omega : angular frequency [rad/s], shape (nω,)
    condition : one of `CONDITIONS`
    active : False for an active part lost: gain 0, so full heave from a drawworks
    index : polytropic index; None takes the unit's own
    loss_factor : structural loss of the string

    Raises
    ------
    InputError
        If the condition is unknown or a frequency is not above zero.
    """
    CONDITION.check(condition)
    frequency = np.atleast_1d(np.asarray(omega, dtype=np.float64))
    if not np.all(frequency > 0):
        raise InputError("angular frequency", omega, "rad/s", "above zero")
    rod = rod_dynamics(string, frequency, loss_factor)
    on_bottom = condition.endswith("on bottom")
    dip, pull = (rod.b, rod.d) if on_bottom else (rod.a, rod.c)
    mass = compensator.moving_mass + string.handling_mass
    locked = condition.startswith("locked")
    residual = np.ones(frequency.shape, dtype=np.complex128)
    if active and not locked and isinstance(compensator, ActivePart):
        centring = compensator.active_centring if compensator.follows_position else None
        about = (compensator.active_gain, compensator.active_delay, compensator.active_bandwidth, centring)
        residual = active_residual(frequency, *about)
    gas = compensator if isinstance(compensator, GasUnit) and not locked else None
    return LinearSystem(
        omega=frequency,
        on_bottom=on_bottom,
        rigid=gas is None or (active and compensator.follows_position),
        spring=0.0 if gas is None else gas.spring(setting.load, index, setting.start).stiffness,
        dip=dip,
        load=pull - frequency**2 * mass * dip,
        residual=residual,
        active=1.0 - residual,
    )


def driven_force(system: LinearSystem) -> ComplexArray:
    """Force per heave of an active part that follows position, N ρ/dip − k H [N/m]; none in other rigid systems.

    Source: balance of forces on the hook, without friction and loss, which come on top.

    Parameters
    ----------
    system : a rigid one
    """
    if system.spring == 0:
        return np.zeros_like(system.residual)
    return np.asarray(system.residual * system.load / system.dip - system.spring * system.active)
