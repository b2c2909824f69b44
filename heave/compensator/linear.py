"""Response of compensator, hook and bit to heave spectra: moments of stroke, motion and force."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from heave.compensator.device import Compensator
from heave.compensator.linearisation import AVERAGE, FIGURES, BoolArray, Cycle, FloatArray, LinearModel
from heave.compensator.setting import Setting
from heave.compensator.transfer import (
    STRING_LOSS_FACTOR,
    LinearSystem,
    TransferFunctions,
    linear_system,
    transfer_functions,
)
from heave.drill_string import DrillString
from heave.errors import InputError
from heave.fields import Quantity

_NAMES: Final = {"force": "compensator_force", "active": "active_force"}
"""What figures of a linear model are called here, where it differs."""

_CHUNK: Final = 512
"""Seas worked on at a time, so that what is worked on stays in the cache."""


@dataclass(frozen=True)
class LinearResponse:
    """Spectral moments of the response, one value per sea, arrays (n,); SI throughout.

    m0, m2, m4 are the moments ∫ ωⁿ S dω of order n, for the bit only where `condition` has them.

    - stroke_m0, stroke_m2, stroke_m4: block relative to hook [m², ...].
    - hook_m0, hook_m2, hook_m4: residual motion of the hook, relative to the seabed.
    - bit_force_m0, bit_force_m2: bit on the bottom, gas stiffness and hydraulic loss only [N², ...].
      Friction damps the motion in it; what friction adds to the force comes on top, see `BitSwing`.
    - bit_motion_m0, bit_motion_m2, bit_motion_m4: bit free.
    - compensator_force_m0, compensator_force_m2: force between block and hook about its mean.
    - active_force_m0, active_force_m2: the active part's share, G times the passive force variation; one that
      follows position gives what is left beside the gas, friction and loss not counted.
    - damping: the equivalent linear damping [N s/m]; infinite where `stuck`: friction never breaks
      and the unit does not stroke. A sea with NaN in it, or too violent to be one, gives NaN.
    - system: the equation of motion behind it, for `transfer`.
    """

    condition: str
    damping: FloatArray
    stuck: BoolArray
    system: LinearSystem
    stroke_m0: FloatArray
    stroke_m2: FloatArray
    stroke_m4: FloatArray
    hook_m0: FloatArray
    hook_m2: FloatArray
    hook_m4: FloatArray
    compensator_force_m0: FloatArray
    compensator_force_m2: FloatArray
    active_force_m0: FloatArray
    active_force_m2: FloatArray
    bit_force_m0: FloatArray | None = None
    bit_force_m2: FloatArray | None = None
    bit_motion_m0: FloatArray | None = None
    bit_motion_m2: FloatArray | None = None
    bit_motion_m4: FloatArray | None = None

    def transfer(self, row: int = 0) -> TransferFunctions:
        """Complex transfer functions at the damping found for sea `row`, for plotting.

        Raises
        ------
        InputError
            If that sea has no answer.
        """
        return transfer_functions(self.system, float(self.damping[row]))


@dataclass(frozen=True)
class BitSwing:
    """How far the weight on bit swings about its mean, single amplitudes [N], at three beliefs about ringing.

    `elastic` is |H|a, the swing without friction at the chosen risk, scalar or (n,); `friction` F_f, `ringing` the
    force b with which the string rings after a reversal, `locked` the swing with the unit locked, which a unit that
    sticks comes to, and `model_range` what the highest of simulation is over the nominal swing.

    Raises
    ------
    InputError
        If the swing without friction or the friction is negative or infinite. A swing of NaN gives NaN.
    """

    elastic: FloatArray
    friction: float
    ringing: FloatArray | float = 0.0
    locked: FloatArray | float = math.inf
    model_range: float = 1.0

    def __post_init__(self) -> None:
        elastic = np.asarray(self.elastic, dtype=np.float64)
        object.__setattr__(self, "elastic", elastic)
        if np.any((elastic < 0) | np.isposinf(elastic)):
            raise InputError("bit force", elastic, "N", "zero or above")
        Quantity("friction", "force", low=0.0).check(self.friction)

    @property
    def low(self) -> FloatArray:
        """|H|a + F_f, a string that does not ring, (n,) [N]."""
        return np.minimum(self.elastic + self.friction, self.locked)

    @property
    def nominal(self) -> FloatArray:
        """F_f + √((|H|a)² + b²), (n,) [N]."""
        return np.minimum(self.friction + np.hypot(self.elastic, self.ringing), self.locked)

    @property
    def high(self) -> FloatArray:
        """The nominal swing times the model range, (n,) [N]."""
        return self.model_range * self.nominal


def linear_response(
    compensator: Compensator,
    string: DrillString,
    setting: Setting,
    omega: npt.ArrayLike,
    weights: npt.ArrayLike,
    heave_spectrum: npt.ArrayLike,
    condition: str,
    *,
    active: bool = True,
    index: float | None = None,
    loss_factor: float = STRING_LOSS_FACTOR,
    cycle: Cycle = AVERAGE,
) -> LinearResponse:
    """Moments of stroke, hook, bit and force for many seas at once (method: heave.compensator.linearisation).

    Parameters
    ----------
    compensator, string, setting : the unit, what hangs on it, and what is set on it
    omega, weights : angular frequency and cell width of the grid [rad/s], shape (nω,)
    heave_spectrum : heave at the hoist [m² s], shape (n, nω) or (nω,) for one sea
    condition : "on bottom", "free", "locked on bottom" or "locked free"
    active : False for an active part lost
    index : polytropic index of the gas; None takes the unit's own
    loss_factor : structural loss of the string
    cycle : the cycle whose damping is taken; see `heave.compensator.linearisation` for the largest

    Returns
    -------
    LinearResponse, arrays (n,)

    Raises
    ------
    InputError
        If shapes do not match, a spectrum is negative or infinite, the condition is unknown, or a
        unit off bottom has neither friction nor hydraulic loss: undamped, its resonance would
        depend on the grid.
    """
    system = linear_system(
        compensator, string, setting, omega, condition, active=active, index=index, loss_factor=loss_factor
    )
    spectra = np.atleast_2d(np.asarray(heave_spectrum, dtype=np.float64))
    width = np.asarray(weights, dtype=np.float64)
    count = system.omega.size
    if width.shape != (count,) or spectra.ndim != 2 or spectra.shape[1] != count:
        shapes = f"{width.shape} and {spectra.shape}"
        raise InputError("shapes of weights and spectra", shapes, None, f"({count},) and (n, {count})")
    if not np.all(width > 0):
        raise InputError("cell width of the frequency grid", weights, "rad/s", "above zero")
    if bool(np.any((spectra < 0) | np.isposinf(spectra))):
        raise InputError("heave spectrum", "a negative or infinite value", "m²·s", "zero or above")
    friction, loss = setting.friction_force, compensator.hydraulic_loss
    if not (system.rigid or system.on_bottom or friction > 0 or loss > 0):
        allowed = "above zero, or a hydraulic loss above zero, off bottom"
        raise InputError("seal friction over load", 0.0, None, allowed)
    model = LinearModel(system, width, friction, loss, cycles=(cycle,))
    found = [
        model.respond(spectra[first : first + _CHUNK])[0] for first in range(0, len(spectra) or 1, _CHUNK)
    ]
    moments, damping, stuck = (
        np.concatenate([getattr(answer, name) for answer in found])
        for name in ("moments", "damping", "stuck")
    )
    names = _NAMES | {"bit": "bit_force" if system.on_bottom else "bit_motion"}
    columns = [f"{names.get(figure, figure)}_m{order}" for figure in FIGURES for order in FIGURES[figure]]
    offered: dict[str, Any] = dict(zip(columns, moments.T, strict=True))
    offered.pop("bit_force_m4", None)
    return LinearResponse(condition, damping, stuck, system, **offered)
