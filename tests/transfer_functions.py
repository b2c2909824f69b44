"""Transfer functions at one damping, frequency by frequency in complex numbers: a plain second way to `LinearModel`."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from heave.arrays import ComplexArray, FloatArray
from heave.compensator import LinearSystem
from heave.compensator.transfer import driven_force
from heave.errors import InputError


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


def transfer_functions(system: LinearSystem, damping: float) -> TransferFunctions:
    """Complex transfer functions of the system at one equivalent damping.

    A rigid system moves the hook by ρ Z whatever the damping, which is then not in the active force either.

    Source: one degree of freedom between the vessel and a rod (Den Hartog, Mechanical Vibrations; see `rod_dynamics`).

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
        share = 0.0 if system.rigid else system.active / system.residual
        active = share * force + (driven_force(system) if system.rigid else none)
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
