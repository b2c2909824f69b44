"""Linear transfer functions of compensator, hook and string for one damping: the equation of motion.

Heave Z of the block, hook Y, both + up; X = Z − Y is the stroke, + gas compressed. The hook of mass
m_h hangs on the compensator force K X and carries the string's top force D Y:

    (K − ω² m_h + D) Y = K Z,      K = ρ (k + iωc),      ρ = 1 − G e^{−iωτ},

D = d/b with the bit held on the bottom, c/a with the bit free, from the string's transfer matrix. All
is multiplied through by b (or a), called `dip` here, so that the string's own resonances, where D has
poles, do no harm:

    N = (D − ω² m_h)·dip,   E = K dip + N,   Y = K dip/E,   X = N/E,   bit = K/E

where bit is the bit force per heave [N/m] on the bottom and the bit motion per heave [m/m] off it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.compensator.device import Compensator
from heave.compensator.setting import Setting
from heave.drill_string import DrillString, rod_dynamics
from heave.errors import InputError

FloatArray = npt.NDArray[np.float64]
ComplexArray = npt.NDArray[np.complex128]

CONDITIONS: Final = ("on bottom", "free", "locked on bottom", "locked free")
"""Where the bit is, and whether the compensator is locked."""

STRING_LOSS_FACTOR: Final = 0.02
"""Structural loss factor of the string, 1 % of critical: common practice, no source. It only matters at
the string's own resonances, which without any loss would depend on the frequency grid."""


@dataclass(frozen=True)
class LinearSystem:
    """The parts of the transfer functions that do not depend on damping, arrays (nω,).

    `omega` [rad/s]; `on_bottom`: the bit is held; `spring`: k [N/m]; `dip`: b or a of the string.
    `rigid` says that stroke and hook motion do not depend on a spring: a locked unit or a drawworks.
    """

    omega: FloatArray
    on_bottom: bool
    rigid: bool
    spring: float
    dip: ComplexArray
    load: ComplexArray
    """N = (D − ω² m_h)·dip."""
    residual: ComplexArray
    """ρ = 1 − G e^{−iωτ}: 1 without an active part, and for a locked unit."""
    active: ComplexArray
    """G e^{−iωτ}."""


@dataclass(frozen=True)
class TransferFunctions:
    """Complex response per metre of heave over `omega` [rad/s], arrays (nω,).

    `stroke` and `hook` in m/m; `compensator_force` and `active_force` in N/m; `bit_force` in N/m on
    the bottom, else None; `bit_motion` in m/m with the bit free, else None.
    """

    omega: FloatArray
    stroke: ComplexArray
    hook: ComplexArray
    compensator_force: ComplexArray
    active_force: ComplexArray
    bit_force: ComplexArray | None
    bit_motion: ComplexArray | None


def active_residual(omega: npt.ArrayLike, gain: float, delay: float) -> ComplexArray:
    """What an active part of gain G and delay τ leaves of the heave, 1 − G e^{−iωτ}.

    Its size is √(1 + G² − 2G cos ωτ), 2 sin(ωτ/2) at G = 1.

    Parameters
    ----------
    omega : [rad/s]
    gain : G
    delay : τ [s]
    """
    return np.asarray(1.0 - gain * np.exp(-1j * np.asarray(omega, dtype=np.float64) * delay))


def linear_system(
    compensator: Compensator,
    string: DrillString,
    setting: Setting,
    omega: npt.ArrayLike,
    condition: str,
    *,
    active: bool = True,
    index: float | None = None,
    loss_factor: float = STRING_LOSS_FACTOR,
) -> LinearSystem:
    """Everything in the equation of motion that does not depend on the damping.

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
    if condition not in CONDITIONS:
        raise InputError("condition", condition, None, f"one of {', '.join(CONDITIONS)}")
    frequency = np.atleast_1d(np.asarray(omega, dtype=np.float64))
    if not np.all(frequency > 0):
        raise InputError("angular frequency", omega, "rad/s", "above zero")
    rod = rod_dynamics(string, frequency, loss_factor)
    on_bottom = condition.endswith("on bottom")
    dip, pull = (rod.b, rod.d) if on_bottom else (rod.a, rod.c)
    mass = compensator.moving_mass + string.handling_mass
    locked = condition.startswith("locked")
    gain = compensator.active_gain or 0.0
    if locked or not active:
        gain = 0.0
    residual = active_residual(frequency, gain, compensator.active_delay or 0.0)
    rigid = locked or compensator.is_drawworks
    return LinearSystem(
        omega=frequency,
        on_bottom=on_bottom,
        rigid=rigid,
        spring=0.0 if rigid else compensator.spring(setting.load, index, setting.start).stiffness,
        dip=dip,
        load=pull - frequency**2 * mass * dip,
        residual=residual,
        active=1.0 - residual,
    )


def transfer_functions(system: LinearSystem, damping: float) -> TransferFunctions:
    """Complex transfer functions of the system at one equivalent damping.

    A rigid system moves the hook by ρ Z whatever the damping.

    Parameters
    ----------
    system : from `linear_system`
    damping : linear damping c between block and hook [N s/m]

    Raises
    ------
    InputError
        If the damping is negative or NaN; infinite damping is a unit that does not stroke.
    """
    if not damping >= 0:
        raise InputError("damping", damping, "N·s/m", "zero or above")
    none = np.zeros_like(system.residual)
    if system.rigid or np.isinf(damping):
        hook = system.residual if system.rigid else 1 + none
        bit = hook / system.dip
        stroke, force = 1.0 - hook, hook * system.load / system.dip
        # a unit that sticks still has its active part push with its share of the force that holds it
        active = none if system.rigid else system.active / system.residual * force
    else:
        passive = system.spring + 1j * system.omega * damping
        unit = system.residual * passive
        whole = unit * system.dip + system.load
        stroke, hook, bit = system.load / whole, unit * system.dip / whole, unit / whole
        force, active = unit * stroke, system.active * passive * stroke
    on_bottom = system.on_bottom
    return TransferFunctions(
        system.omega, stroke, hook, force, active, bit if on_bottom else None, None if on_bottom else bit
    )
